//! Sheets and drawings to take to the saw.
