//! Every best way to cut one board (MODEL 4 to 6).
