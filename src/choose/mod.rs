//! Which boards to open, and which way to cut each (MODEL 7).

use crate::lumber::Board;
use crate::paddle::{Job, Tally};
use crate::plan::Plan;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// What is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Aim {
    /// Every paddle wanted, at least cost.
    #[default]
    Wanted,
    /// As many whole paddles as the boards give, at most as many of each kind as wanted unless
    /// the kind's quantity is left open; then least cost.
    Most,
}

/// How to search.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// What is asked for.
    pub aim: Aim,
    /// Stop after this time with the best plan so far.
    pub time_limit: Option<Duration>,
    /// Raised from outside to stop with the best plan so far.
    pub stop: Arc<AtomicBool>,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// A plan, not verified yet.
    Planned(Plan),
    /// There is none: for each kind of strip (in the order of
    /// [`crate::paddle::strip_kinds`]) how many are missing from the best that the boards give.
    Short(Tally),
}

/// Plans a job.
pub fn plan(job: &Job, boards: &[Board], options: &Options) -> Outcome {
    let _ = (boards, options);
    Outcome::Short(vec![0; crate::paddle::strip_kinds(job).len()])
}
