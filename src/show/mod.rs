//! Tables, JSON and CSV of a verified plan.

pub mod cuts;
pub mod json;
pub mod table;
pub mod tables;
pub mod totals;
