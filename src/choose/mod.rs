//! Which boards to open, and which way to cut each (MODEL 7).

pub mod around;
pub mod assemble;
pub mod cover;
pub mod crooked;
pub mod dive;
pub mod fates;
pub mod first;
pub mod gains;
pub mod master;
mod most;
pub mod prices;
pub mod problem;
pub mod relaxed;
pub mod rows;
pub mod solve;
pub mod sums;
pub mod tight;
#[cfg(test)]
mod trial;

use crate::lumber::Board;
use crate::paddle::strips::needed;
use crate::paddle::{Job, Tally, strip_kinds};
use crate::plan::{Measure, Most, Plan, Proof};
use crate::stop::Stop;
use assemble::{Opened, assemble};
use problem::Problem;
use solve::{Effort, Proved, Solved};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

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

/// Plans a job.
pub fn plan(job: &Job, boards: &[Board], options: &Options) -> Outcome {
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let planner = Planner::new(job, boards, options);
    match options.aim {
        Aim::Wanted => planner.plan(&wanted),
        Aim::Most => planner.most(&wanted, None),
    }
}

/// Plans so many paddles of each kind, whatever quantities the job names.
pub fn plan_for(job: &Job, boards: &[Board], paddles: &[u32], options: &Options) -> Outcome {
    Planner::new(job, boards, options).plan(paddles)
}

/// Plans the most paddles whose boards cost no more than `budget`, in parts of the job's measure.
/// With one kind its quantity doesn't count; with several it is the most wanted of each.
pub fn most_for(job: &Job, boards: &[Board], budget: i128, options: &Options) -> Outcome {
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    Planner::new(job, boards, options).most(&wanted, Some(budget))
}

/// How many paddles the boards give, as [`Aim::Most`] has it, without planning them.
pub fn most_count(job: &Job, boards: &[Board], options: &Options) -> Most {
    let wanted: Vec<u32> = job.paddles.iter().map(|p| p.quantity).collect();
    let planner = Planner::new(job, boards, options);
    planner.search(&wanted, None).count()
}

struct Planner<'a> {
    job: &'a Job,
    boards: &'a [Board],
    measure: Measure,
    options: &'a Options,
}

impl<'a> Planner<'a> {
    fn new(job: &'a Job, boards: &'a [Board], options: &'a Options) -> Self {
        Planner { job, boards, measure: Measure::of(boards), options }
    }

    fn stopped(&self) -> bool {
        self.options.stop.asked()
    }

    fn problem(&self, paddles: &[u32]) -> Problem<'a> {
        let kinds = strip_kinds(self.job);
        let need = needed(self.job, &kinds, paddles);
        Problem::within(self.job, self.boards, kinds, need, self.measure, &self.options.stop)
    }

    /// Searches with so many nodes. It ends early with a choice that costs no more than `enough`,
    /// or once none can cost no more than `dear`, in parts.
    #[allow(clippy::cast_precision_loss)]
    fn solve(
        &self,
        problem: &mut Problem<'_>,
        nodes: usize,
        (enough, dear): (Option<i128>, Option<i128>),
    ) -> Solved {
        let ended = AtomicBool::new(false);
        let stop = || ended.load(Ordering::Relaxed) || self.stopped();
        let effort = Effort { stop: &stop, nodes, ..EFFORT };
        let one = self.measure.one() as f64;
        crooked::solve(problem, effort, &mut |stage, cost, bound| {
            let found = enough.zip(cost).is_some_and(|(e, c)| c <= e);
            if found || dear.is_some_and(|d| bound > d) {
                ended.store(true, Ordering::Relaxed);
            }
            if let Some(listener) = &self.options.listener {
                let cost = cost.map(|c| c as f64 / one);
                listener(News { stage: stage.to_owned(), cost, bound: bound as f64 / one });
            }
        })
    }

    /// A plan for so many paddles of each kind.
    fn plan(&self, paddles: &[u32]) -> Outcome {
        let mut problem = self.problem(paddles);
        let solved = self.solve(&mut problem, EFFORT.nodes, (None, None));
        match self.finish(&problem, paddles, &solved) {
            Some(plan) => Ok(plan),
            None => {
                let stop = || self.stopped();
                let effort = Effort { stop: &stop, nodes: EFFORT.nodes / 20, ..EFFORT };
                let missing = solve::missing(&problem, effort);
                let short = Shortage { missing, needed: problem.need.clone() };
                Err(if solved.proved == Proved::NoChoice {
                    NoPlan::Infeasible(short)
                } else {
                    NoPlan::Stopped(short)
                })
            }
        }
    }

    fn finish(&self, problem: &Problem<'_>, paddles: &[u32], solved: &Solved) -> Option<Plan> {
        let chosen = solved.chosen.as_ref()?;
        let proof = match solved.proved {
            Proved::AtLeast(bound) if !problem.as_good_as(bound, problem.cost(chosen)) => {
                Proof::AtLeast(bound)
            }
            _ => Proof::Optimal,
        };
        let mut used = vec![0_usize; problem.classes.len()];
        let opened = chosen
            .iter()
            .map(|(class, gives)| {
                used[*class] += 1;
                Opened { class: *class, member: used[*class] - 1, gives: gives.clone() }
            })
            .collect();
        assemble(problem, paddles, opened, proof)
    }

    /// As many paddles as the boards give, or as a budget in parts pays.
    fn most(&self, wanted: &[u32], budget: Option<i128>) -> Outcome {
        let mut plan = self.search(wanted, budget).run()?;
        // Beyond the most that a job may ask for nothing was looked for, nor is it proved.
        if let ([_], Some(most)) = (wanted, &mut plan.most)
            && most.made >= MOST_OF_ONE
        {
            most.at_most = most::Search::new(self, &[u32::MAX], budget).by_wood().max(most.made);
            if most.at_most > most.made {
                plan.proof = Proof::AtLeast(plan.proof.bound(plan.cost));
            }
        }
        Ok(plan)
    }

    fn search(&self, wanted: &[u32], budget: Option<i128>) -> most::Search<'_, 'a> {
        // With one kind its quantity doesn't count.
        let limits: Vec<u32> = match wanted {
            [_] => vec![MOST_OF_ONE],
            several => several.to_vec(),
        };
        most::Search::new(self, &limits, budget)
    }

    /// Nothing said of what is short.
    fn nothing(&self) -> Shortage {
        let missing = vec![0; strip_kinds(self.job).len()];
        Shortage { needed: missing.clone(), missing }
    }
}

/// With one kind of paddle so many are made at most: no job may ask for more.
const MOST_OF_ONE: u32 = 10_000;

/// Work that a search may take by default.
const EFFORT: Effort<'static> =
    Effort { list: 400_000, sums: 3_000_000, rounds: 60, nodes: 400_000, stop: &|| false };
