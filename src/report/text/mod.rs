//! Tables, sentences and drawings for the terminal.

pub mod bench;
pub mod hindrance;
pub mod odds;
pub mod overview;
pub mod proof;
pub mod rack;
pub mod sheet;
pub mod short;
pub mod steps;
pub mod survey;
pub mod table;
pub mod tables;
pub mod tally;
pub mod what_if;
mod whom;
