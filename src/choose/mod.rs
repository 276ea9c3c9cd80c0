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
use crate::plan::{Measure, Plan, Proof};
use assemble::{Opened, assemble};
use problem::Problem;
use solve::{Effort, Solved};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

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
    /// Stop after this time with the best plan so far.
    pub time_limit: Option<Duration>,
    /// Raised from outside to stop with the best plan so far.
    pub stop: Arc<AtomicBool>,
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
        Aim::Most => planner.most(&wanted),
    }
}

/// Plans so many paddles of each kind, whatever quantities the job names.
pub fn plan_for(job: &Job, boards: &[Board], paddles: &[u32], options: &Options) -> Outcome {
    Planner::new(job, boards, options).plan(paddles)
}

/// All ways to share `count` paddles among kinds, at most `most` of each, in a fixed order.
pub fn shared(count: u32, most: &[u32]) -> Vec<Vec<u32>> {
    let Some((&first, rest)) = most.split_first() else {
        return if count == 0 { vec![Vec::new()] } else { Vec::new() };
    };
    let mut all = Vec::new();
    for n in (0..=first.min(count)).rev() {
        for mut others in shared(count - n, rest) {
            others.insert(0, n);
            all.push(others);
        }
    }
    all
}

struct Planner<'a> {
    job: &'a Job,
    boards: &'a [Board],
    measure: Measure,
    options: &'a Options,
    deadline: Option<Instant>,
}

impl<'a> Planner<'a> {
    fn new(job: &'a Job, boards: &'a [Board], options: &'a Options) -> Self {
        let deadline = options.time_limit.and_then(|t| Instant::now().checked_add(t));
        Planner { job, boards, measure: Measure::of(boards), options, deadline }
    }

    fn stopped(&self) -> bool {
        self.options.stop.load(Ordering::Relaxed)
            || self.deadline.is_some_and(|d| Instant::now() >= d)
    }

    fn problem(&self, paddles: &[u32]) -> Problem<'a> {
        let kinds = strip_kinds(self.job);
        let need = needed(self.job, &kinds, paddles);
        Problem::new(self.job, self.boards, kinds, need, self.measure)
    }

    #[allow(clippy::cast_precision_loss)]
    fn solve(&self, problem: &mut Problem<'_>) -> Solved {
        let stop = || self.stopped();
        let effort = Effort { stop: &stop, ..EFFORT };
        let one = self.measure.one() as f64 / problem.unit as f64;
        crooked::solve(problem, effort, &mut |stage, cost, bound| {
            if let Some(listener) = &self.options.listener {
                let cost = cost.map(|c| c as f64 / one);
                listener(News { stage: stage.to_owned(), cost, bound: bound as f64 / one });
            }
        })
    }

    /// A plan for so many paddles of each kind.
    fn plan(&self, paddles: &[u32]) -> Outcome {
        let mut problem = self.problem(paddles);
        let solved = self.solve(&mut problem);
        match self.finish(&problem, paddles, &solved) {
            Some(plan) => Ok(plan),
            None => {
                let stop = || self.stopped();
                let effort = Effort { stop: &stop, nodes: EFFORT.nodes / 20, ..EFFORT };
                let missing = solve::missing(&problem, effort);
                let proved = solved.bound >= solved.cost;
                let short = Shortage { missing, needed: problem.need.clone() };
                Err(if proved { NoPlan::Infeasible(short) } else { NoPlan::Stopped(short) })
            }
        }
    }

    fn finish(&self, problem: &Problem<'_>, paddles: &[u32], solved: &Solved) -> Option<Plan> {
        let chosen = solved.chosen.as_ref()?;
        let proof = if solved.bound >= solved.cost {
            Proof::Optimal
        } else {
            Proof::AtLeast(i128::from(solved.bound.max(0)) * problem.unit)
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

    /// As many paddles as the boards give.
    fn most(&self, wanted: &[u32]) -> Outcome {
        if let [_] = wanted {
            return self.most_of_one();
        }
        let total: u32 = wanted.iter().sum();
        let mut beyond: Vec<Vec<u32>> = Vec::new();
        for count in (1..=total).rev() {
            let mut best: Option<Plan> = None;
            for paddles in shared(count, wanted) {
                // More paddles than some that the boards can't give can't be given either.
                if beyond.iter().any(|b| b.iter().zip(&paddles).all(|(b, p)| b <= p)) {
                    continue;
                }
                match self.plan(&paddles) {
                    Ok(plan) => {
                        if best.as_ref().is_none_or(|b| plan.cost.parts < b.cost.parts) {
                            best = Some(plan);
                        }
                    }
                    Err(_) => beyond.push(paddles),
                }
            }
            if let Some(plan) = best {
                return Ok(plan);
            }
        }
        self.plan(&vec![1; wanted.len()])
    }

    fn most_of_one(&self) -> Outcome {
        let wood: i128 = self.boards.iter().map(|b| b.volume() * i128::from(b.quantity)).sum();
        let kinds = strip_kinds(self.job);
        let one: i128 = kinds
            .iter()
            .zip(needed(self.job, &kinds, &[1]))
            .map(|(k, n)| k.volume() * i128::from(n))
            .sum();
        let mut best = self.plan(&[1]);
        if best.is_err() {
            return best;
        }
        let (mut can, mut cannot) = (1, u32::try_from(wood / one.max(1) + 1).unwrap_or(u32::MAX));
        while cannot - can > 1 {
            // Steps of twice as many first: the volume is far more than can be had.
            let next = (can * 2).min(can + (cannot - can) / 2);
            match self.plan(&[next]) {
                Ok(plan) => {
                    can = next;
                    best = Ok(plan);
                }
                Err(_) => cannot = next,
            }
        }
        best
    }
}

/// Work that a search may take by default.
const EFFORT: Effort<'static> =
    Effort { list: 400_000, sums: 3_000_000, rounds: 60, nodes: 400_000, stop: &|| false };
