//! From so many paddles to a plan of them.

use crate::choose::ask::{News, NoPlan, Options, Outcome, Shortage};
use crate::choose::assemble::{Opened, assemble};
use crate::choose::crooked;
use crate::choose::effort::{EFFORT, Effort};
use crate::choose::problem::Problem;
use crate::choose::rack::Rack;
use crate::choose::solve::{self, Proved, Solved};
use crate::lumber::Board;
use crate::paddle::strips::needed;
use crate::paddle::{Job, strip_kinds};
use crate::plan::{Measure, Plan, Proof};
use std::sync::atomic::{AtomicBool, Ordering};

/// Plans mixes of a job's paddles from its boards.
pub struct Planner<'a> {
    /// The job.
    pub job: &'a Job,
    /// The boards on hand.
    pub boards: &'a [Board],
    measure: Measure,
    options: &'a Options,
}

impl<'a> Planner<'a> {
    /// Cost is measured by all of its boards.
    pub fn new(job: &'a Job, boards: &'a [Board], options: &'a Options) -> Self {
        Planner { job, boards, measure: Measure::of(boards), options }
    }

    /// Is an end asked for?
    pub fn stopped(&self) -> bool {
        self.options.stop.asked()
    }

    /// So many paddles of each kind as a choice of boards.
    pub fn problem(&self, paddles: &[u32]) -> Problem<'a> {
        let kinds = strip_kinds(self.job);
        let need = needed(self.job, &kinds, paddles);
        Problem::within(self.job, self.boards, kinds, need, self.measure, &self.options.stop)
    }

    /// Searches with so many nodes. It ends early with a choice that costs no more than `enough`,
    /// or once none can cost no more than `dear`, in parts.
    pub fn solve(
        &self,
        problem: &mut Problem<'a>,
        nodes: usize,
        (enough, dear): (Option<i128>, Option<i128>),
    ) -> Solved {
        let mut solved = self.once(problem, nodes, (enough, dear));
        // Where the rack has too many ways to be listed, a bound is one for all of them only if each
        // part gave the most of every kind at once.
        if !problem.rack.complete && !self.stopped() {
            let mut hoped = self.with_rack(problem, problem.rack.hoped());
            let bound = self.once(&mut hoped, nodes, (None, None));
            let cost = solved.chosen.as_ref().map(|chosen| problem.cost(chosen));
            solved.proved = match (bound.proved, cost) {
                (Proved::AtLeast(bound), Some(cost)) => Proved::AtLeast(bound.min(cost)),
                (Proved::NoChoice, Some(_)) => solved.proved,
                (proved, None) => proved,
            };
        }
        solved
    }

    /// A problem with another rack.
    fn with_rack(&self, problem: &Problem<'a>, rack: Rack) -> Problem<'a> {
        let mut other = Problem { rack, ..problem.clone() };
        other.count();
        other
    }

    #[allow(clippy::cast_precision_loss)]
    fn once(
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
    pub fn plan(&self, paddles: &[u32]) -> Outcome {
        let mut problem = self.problem(paddles);
        let solved = self.solve(&mut problem, EFFORT.nodes, (None, None));
        match self.finish(&problem, paddles, &solved) {
            Some(plan) => Ok(plan),
            None => {
                let stop = || self.stopped();
                let effort = Effort { stop: &stop, nodes: EFFORT.nodes / 20, ..EFFORT };
                let mut missing = solve::missing(&problem, effort);
                // Stopped before anything was cut, it is not known how far the boards come.
                if solved.proved != Proved::NoChoice && missing == problem.need {
                    missing.fill(0);
                }
                let short = Shortage { missing, needed: problem.wanted() };
                Err(if solved.proved == Proved::NoChoice {
                    NoPlan::Infeasible(short)
                } else {
                    NoPlan::Stopped(short)
                })
            }
        }
    }

    /// The plan of what a search chose.
    pub fn finish(&self, problem: &Problem<'_>, paddles: &[u32], solved: &Solved) -> Option<Plan> {
        let chosen = solved.chosen.as_ref()?;
        let proof = match solved.proved {
            Proved::AtLeast(bound) if !problem.as_good_as(bound, problem.cost(chosen)) => {
                Proof::AtLeast(bound)
            }
            _ => Proof::Optimal,
        };
        let mut used = vec![0_usize; problem.classes.len()];
        let (mut opened, mut of_rack) = (Vec::new(), Vec::new());
        for (class, gives) in chosen {
            match used.get_mut(*class) {
                Some(used) => {
                    *used += 1;
                    opened.push(Opened { class: *class, member: *used - 1, gives: gives.clone() });
                }
                // Behind the classes stand parts of the rack.
                None => of_rack.push((class - problem.classes.len(), gives.clone())),
            }
        }
        let uses = problem.rack.uses(problem.job, &problem.kinds, &of_rack);
        assemble(problem, paddles, (opened, uses), proof)
    }

    /// Nothing said of what is short.
    pub fn nothing(&self) -> Shortage {
        let missing = vec![0; strip_kinds(self.job).len()];
        Shortage { needed: missing.clone(), missing }
    }
}
