//! Plans, proves and draws how to cut boards into the strips of laminated Greenland-type paddles.
//!
//! Data flows one way: files (`read`) → boards and demand ([`lumber`], [`paddle`]) → ways to
//! cut each board (`cut`) → choice of boards (`choose`) → [`plan`] → verified plan (`verify`) →
//! facts for the saw and the bench (`shop`) → tables, sheets, files (`report`). DEVELOPERS.md is the design.

pub mod choose;
pub mod claim;
pub mod cli;
pub mod cut;
pub mod glue;
pub mod length;
pub mod lumber;
pub mod paddle;
pub mod plan;
pub mod prove;
pub mod read;
pub mod report;
pub mod shop;
pub mod stop;
pub mod survey;
pub mod text;
pub mod verify;
