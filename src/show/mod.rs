//! Tables, JSON and CSV of a verified plan.
