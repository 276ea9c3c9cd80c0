//! Which boards to open, and which way to cut each (MODEL 7).

mod ask;
mod assemble;
mod crooked;
mod effort;
pub mod kernel;
mod laid;
mod lengths;
mod mixes;
mod most;
mod outlooks;
mod planner;
pub mod problem;
pub mod rack;
pub mod search;
mod solve;

pub use ask::{Aim, Listener, News, NoPlan, Options, Outcome, Shortage};

use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Most;
use planner::Planner;

/// Plans a job.
///
/// # Errors
/// [`NoPlan`]: that none exists, or that none was found before the search was stopped or came to
/// the end of its effort, and what is missing.
pub fn plan(job: &Job, boards: &[Board], options: &Options) -> Outcome {
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let planner = Planner::new(job, boards, options);
    match options.aim {
        Aim::Wanted => planner.plan(&wanted),
        Aim::Most => most::most(&planner, &wanted, None),
    }
}

/// Plans so many paddles of each kind, in the order of the job's, whatever quantities it names and
/// whatever [`Options::aim`] says. Kinds beyond the end of `paddles` are not wanted; figures beyond
/// the job's kinds say nothing.
///
/// # Errors
/// As [`plan`].
pub fn plan_for(job: &Job, boards: &[Board], paddles: &[u32], options: &Options) -> Outcome {
    Planner::new(job, boards, options).plan(&of_each(job, paddles))
}

/// So many paddles of every kind of the job: none of those that are not named.
fn of_each(job: &Job, paddles: &[u32]) -> Vec<u32> {
    let mut paddles = paddles.to_vec();
    paddles.resize(job.paddles.len(), 0);
    paddles
}

/// Plans the most paddles whose boards cost no more than `budget`. With one kind its quantity
/// doesn't count; with several it is the most wanted of each.
///
/// `budget` is in parts of the measure of these boards, [`Measure::of`](crate::plan::Measure::of):
/// so many times [`Measure::one`](crate::plan::Measure::one) for whole money or board feet.
///
/// # Errors
/// As [`plan`]. [`NoPlan::Infeasible`] here says that not one paddle can be had for the budget.
pub fn most_for(job: &Job, boards: &[Board], budget: i128, options: &Options) -> Outcome {
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    most::most(&Planner::new(job, boards, options), &wanted, Some(budget))
}

/// How many paddles the boards give, as [`Aim::Most`] has it, without planning them.
pub fn most_count(job: &Job, boards: &[Board], options: &Options) -> Most {
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let planner = Planner::new(job, boards, options);
    most::search(&planner, &wanted, None).count()
}

/// Do the boards give so many paddles of each kind, as far as that is soon found: with crooked
/// boards' sections at the places that are always tried? What is given can be cut; what is not may
/// be given all the same.
pub fn soon_given(job: &Job, boards: &[Board], paddles: &[u32], options: &Options) -> bool {
    let planner = Planner::new(job, boards, options);
    let mut problem = planner.problem(&of_each(job, paddles));
    let stop = || planner.stopped();
    let effort = effort::Effort { stop: &stop, nodes: effort::LITTLE, ..effort::EFFORT };
    solve::solve(&mut problem, effort, &mut |_, _, _| {}).chosen.is_some()
}

/// Are the boards and the strips in hand enough for so many paddles of each kind, at whatever cost?
/// `None` where that was not decided: the search was stopped, or came to the end of its effort.
pub fn enough(job: &Job, boards: &[Board], paddles: &[u32], options: &Options) -> Option<bool> {
    let planner = Planner::new(job, boards, options);
    let mut problem = planner.problem(&of_each(job, paddles));
    if problem.to_cut.iter().all(|&n| n == 0) {
        return Some(true);
    }
    // Any choice will do, so the first one ends the search.
    let solved = planner.solve(&mut problem, effort::LITTLE, (Some(i128::MAX), None));
    match solved.proved {
        _ if solved.chosen.is_some() => Some(true),
        solve::Proved::NoChoice => Some(false),
        solve::Proved::AtLeast(_) => None,
    }
}
