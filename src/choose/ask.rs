//! What can be asked of a search, and what it answers.

use crate::paddle::Tally;
use crate::plan::Plan;
use crate::stop::Stop;
use std::sync::Arc;

/// What is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Aim {
    /// Every paddle wanted, at least cost.
    #[default]
    Wanted,
    /// As many whole paddles as the boards give, then least cost. With one kind of paddle its
    /// quantity doesn't count; with several it is the most wanted of each.
    Most,
}

/// News of a search that takes long.
#[derive(Clone, Debug, PartialEq)]
pub struct News {
    /// What is being worked on.
    pub stage: String,
    /// Best cost so far, in the job's measure.
    pub cost: Option<f64>,
    /// Proved lower bound, in the job's measure.
    pub bound: f64,
}

/// Takes news.
pub type Listener = Arc<dyn Fn(News) + Send + Sync>;

/// How to search.
///
/// ```
/// use std::time::Duration;
/// use stripwright::{Aim, Options, Stop};
///
/// // As many paddles as the boards give, or the best plan found within ten seconds.
/// let options = Options {
///     aim: Aim::Most,
///     stop: Stop::after(Some(Duration::from_secs(10))),
///     ..Options::default()
/// };
/// assert!(!options.stop.asked());
/// // From another thread, a clone asks for an end at once.
/// options.stop.clone().ask();
/// assert!(options.stop.asked());
/// ```
#[derive(Clone, Default)]
pub struct Options {
    /// What is asked for.
    pub aim: Aim,
    /// Asks to stop with the best plan so far, by the clock or from outside.
    pub stop: Stop,
    /// Told of progress.
    pub listener: Option<Listener>,
}

/// What came of it: a plan that is not verified yet, or why there is none.
pub type Outcome = Result<Plan, NoPlan>;

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoPlan {
    /// It is proved that none exists.
    Infeasible(Shortage),
    /// The search was stopped before it had one; there may be one.
    Stopped(Shortage),
}

impl NoPlan {
    /// How far the boards fall short, as far as is known.
    pub fn shortage(&self) -> &Shortage {
        match self {
            NoPlan::Infeasible(short) | NoPlan::Stopped(short) => short,
        }
    }

    /// Is it proved that no plan exists?
    pub fn proved(&self) -> bool {
        matches!(self, NoPlan::Infeasible(_))
    }
}

/// How far the boards fall short: by the best that they give, as far as it was looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shortage {
    /// Missing strips of each kind, in the order of [`crate::paddle::strip_kinds`].
    pub missing: Tally,
    /// Strips of each kind that were asked for.
    pub needed: Tally,
}
