//! Tables, JSON and CSV of a verified plan.

pub mod cuts;
pub mod json;
pub mod proof;
pub mod short;
pub mod survey;
pub mod table;
pub mod tables;
pub mod totals;
pub mod what_if;
