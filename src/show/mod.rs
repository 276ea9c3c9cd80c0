//! Tables, JSON and CSV of a verified plan.

pub mod json;
