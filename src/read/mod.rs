//! From files to boards and a job, with every problem reported in one run.

pub mod plan_json;
