//! From so many paddles to a plan of them.

use crate::choose::ask::{News, NoPlan, Options, Outcome, Shortage};
use crate::choose::assemble::{Pains, assemble, laid};
use crate::choose::effort::lengths::{KINDS, NODES};
use crate::choose::effort::stages::{BENT, MANY_BOARDS, SOME_BOARDS};
use crate::choose::effort::{Depth, EFFORT, Effort, LITTLE};
use crate::choose::laid::{Laid, Opened};
use crate::choose::lengths::Level;
use crate::choose::problem::Problem;
use crate::choose::rack::{Rack, Use, nests};
use crate::choose::solve::{self, Proved, Solved};
use crate::choose::{crooked, lengths};
use crate::cut::ranges::Places;
use crate::lumber::Board;
use crate::paddle::strips::needed;
use crate::paddle::{Job, StripKind, strip_kinds};
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
        self.problem_of(self.kinds(paddles), paddles)
    }

    /// The job's kinds of strip. Where it is not of many lengths, a longer one is not counted for a
    /// shorter one.
    fn kinds(&self, paddles: &[u32]) -> Vec<StripKind> {
        let mut kinds = strip_kinds(self.job);
        let wanted = needed(self.job, &kinds, paddles);
        let nested = lengths::many(&kinds, &wanted) && nests(self.job, &kinds);
        kinds.iter_mut().for_each(|k| k.apart = !nested);
        kinds
    }

    /// The same for kinds of strip that may stand for several of the job's.
    fn problem_of(&self, kinds: Vec<StripKind>, paddles: &[u32]) -> Problem<'a> {
        self.problem_at(&Places::default(), kinds, paddles)
    }

    fn problem_at(&self, places: &Places, kinds: Vec<StripKind>, paddles: &[u32]) -> Problem<'a> {
        let wanted = needed(self.job, &kinds, paddles);
        let within = (places, &self.options.stop);
        Problem::within(self.job, self.boards, kinds, wanted, self.measure, within)
    }

    /// Searches with so many nodes. It ends early with a choice that costs no more than `enough`,
    /// or once none can cost no more than `dear`, in parts.
    pub fn solve(
        &self,
        problem: &mut Problem<'a>,
        nodes: usize,
        (enough, dear): (Option<i128>, Option<i128>),
    ) -> Solved {
        let solved = self.once(problem, nodes, (enough, dear));
        self.for_all_ways(problem, solved, |hoped| self.once(hoped, nodes, (None, None)))
    }

    /// Where the rack has too many ways to be listed, a bound is one for all of them only if each
    /// part gave the most of every kind at once.
    fn for_all_ways(
        &self,
        problem: &Problem<'a>,
        mut solved: Solved,
        search: impl FnOnce(&mut Problem<'a>) -> Solved,
    ) -> Solved {
        if problem.rack.complete || self.stopped() {
            return solved;
        }
        let bound = search(&mut self.with_rack(problem, problem.rack.hoped()));
        let cost = solved.chosen.as_ref().map(|chosen| problem.cost(chosen));
        solved.proved = match (bound.proved, cost) {
            (Proved::AtLeast(bound), Some(cost)) => Proved::AtLeast(bound.min(cost)),
            (Proved::NoChoice, Some(_)) => solved.proved,
            (proved, None) => proved,
        };
        solved
    }

    /// A problem with another rack.
    fn with_rack(&self, problem: &Problem<'a>, rack: Rack) -> Problem<'a> {
        let mut other =
            Problem { rack, refuted: Vec::new(), undecided: Vec::new(), ..problem.clone() };
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
        crooked::solve(problem, effort, &mut |stage, cost, bound| {
            let found = enough.zip(cost).is_some_and(|(e, c)| c <= e);
            if found || dear.is_some_and(|d| bound > d) {
                ended.store(true, Ordering::Relaxed);
            }
            self.tell(stage, cost, bound);
        })
    }

    /// Tells of the best cost so far and the proved bound, in parts.
    #[allow(clippy::cast_precision_loss)]
    fn tell(&self, stage: &str, cost: Option<i128>, bound: i128) {
        let one = self.measure.one() as f64;
        if let Some(listener) = &self.options.listener {
            let cost = cost.map(|c| c as f64 / one);
            listener(News { stage: stage.to_owned(), cost, bound: bound as f64 / one });
        }
    }

    /// A plan for so many paddles of each kind.
    pub fn plan(&self, paddles: &[u32]) -> Outcome {
        let climbed = self.climb(paddles);
        let none = climbed.none;
        if let Some((problem, solved)) = climbed.best {
            let solved = Solved { proved: Proved::AtLeast(climbed.bound), ..solved };
            if let Some(plan) = self.finish(&problem, paddles, &solved) {
                return Ok(plan);
            }
        }
        let problem = self.problem(paddles);
        let stop = || self.stopped();
        let effort = Effort { stop: &stop, nodes: LITTLE, ..EFFORT };
        let mut missing = solve::missing(&problem, effort);
        // Stopped before anything was cut, it is not known how far the boards come.
        if !none && missing == problem.to_cut {
            missing.fill(0);
        }
        let short = Shortage { missing, needed: problem.wanted() };
        Err(if none { NoPlan::Infeasible(short) } else { NoPlan::Stopped(short) })
    }

    /// Searches for so many paddles of each kind: level by level where they are of many lengths.
    fn climb(&self, paddles: &[u32]) -> Climbed<'a> {
        let kinds = self.kinds(paddles);
        let wanted = needed(self.job, &kinds, paddles);
        let mut climbed = Climbed { best: None, laid: Vec::new(), bound: 0, none: false };
        let levels = lengths::levels(self.job, self.boards, &kinds, &wanted, &self.options.stop);
        if levels.is_empty() && self.long(kinds.len()) {
            self.soon(kinds.clone(), paddles, &mut climbed);
        }
        let few = levels.is_empty() || kinds.len() <= KINDS;
        let last = levels.len();
        for (n, level) in levels.into_iter().enumerate() {
            // The first says whether there is a plan at all; later ones are for the bound.
            let bounds = match n {
                0 => Some(Depth::Full),
                _ if few => None,
                _ if n + 1 == last => Some(Depth::Full),
                _ => Some(Depth::Prices),
            };
            self.level(level, paddles, bounds, &mut climbed);
        }
        if few || climbed.best.is_none() {
            self.itself(paddles, Depth::Full, &mut climbed);
        }
        climbed
    }

    /// Does it take long to work out what the boards give, or prices for as many?
    fn long(&self, kinds: usize) -> bool {
        let bent = self.boards.iter().filter(|b| b.bent()).count();
        let copies = self.copies();
        copies <= MANY_BOARDS && (copies > SOME_BOARDS || bent * kinds > BENT)
    }

    /// How many boards there are.
    fn copies(&self) -> usize {
        self.boards.iter().map(|b| b.quantity as usize).fold(0, usize::saturating_add)
    }

    /// Some choice, soon: without what bent boards give in straight-lined sections, which takes long
    /// to work out.
    fn soon(&self, kinds: Vec<StripKind>, paddles: &[u32], climbed: &mut Climbed<'a>) {
        let mut problem = self.problem_at(&Places::none(), kinds, paddles);
        let stop = || self.stopped();
        // Of very many boards good prices take long, whatever boards give.
        let prices = (self.copies() <= SOME_BOARDS).then_some(Depth::Prices);
        for depth in [Depth::Any].into_iter().chain(prices) {
            let effort = Effort { stop: &stop, depth, ..EFFORT };
            let solved = solve::solve(&mut problem, effort, &mut |_, _, _| {});
            climbed.take(problem.clone(), solved, true);
            self.tell("prices", climbed.cost(), 0);
        }
    }

    /// The job as it is, for a choice and for a bound.
    fn itself(&self, paddles: &[u32], depth: Depth, climbed: &mut Climbed<'a>) {
        if climbed.done() || self.stopped() && climbed.best.is_some() {
            return;
        }
        let mut problem = self.problem(paddles);
        climbed.carry(&mut problem);
        let stop = || self.stopped();
        let effort = Effort { stop: &stop, depth, ..EFFORT };
        let (before, known) = (climbed.cost(), climbed.bound);
        let solved = crooked::solve(&mut problem, effort, &mut |stage, cost, bound| {
            self.tell(stage, cost.into_iter().chain(before).min(), bound.max(known));
        });
        let solved = self.for_all_ways(&problem, solved, |hoped| {
            crooked::solve(hoped, effort, &mut |stage, _, _| self.tell(stage, before, known))
        });
        climbed.learn(&solved);
        // Nothing comes after it, so that it takes its time but for a stop.
        climbed.take(problem, solved, self.stopped());
    }

    /// One level: as if every strip were as long as the longest of its group for a plan, and as if
    /// it were as short as the shortest for a bound.
    fn level(
        &self,
        level: Level,
        paddles: &[u32],
        bounds: Option<Depth>,
        climbed: &mut Climbed<'a>,
    ) {
        let stop = || self.stopped();
        let effort = Effort { stop: &stop, nodes: EFFORT.nodes / NODES, ..EFFORT };
        if climbed.done() || self.stopped() {
            return;
        }
        let mut longest = self.problem_of(level.longest, paddles);
        climbed.carry(&mut longest);
        let (before, bound) = (climbed.cost(), climbed.bound);
        let quick = Effort { depth: Depth::Quick, ..effort };
        let solved = solve::solve(&mut longest, quick, &mut |stage, cost, _| {
            self.tell(stage, cost.into_iter().chain(before).min(), bound);
        });
        climbed.take(longest, solved, true);
        let Some(depth) = bounds.filter(|_| !climbed.done() && !self.stopped()) else { return };
        let mut shortest = self.problem_of(level.shortest, paddles);
        shortest.proved = climbed.bound;
        let (before, known) = (climbed.cost(), climbed.bound);
        let effort = Effort { depth, ..effort };
        let solved = crooked::solve(&mut shortest, effort, &mut |stage, _, bound| {
            self.tell(stage, before, bound.max(known));
        });
        climbed.learn(&solved);
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
        let (opened, uses) = opened(problem, chosen);
        assemble(problem, paddles, (opened, uses), proof)
    }

    /// Nothing said of what is short.
    pub fn nothing(&self) -> Shortage {
        let missing = vec![0; strip_kinds(self.job).len()];
        Shortage { needed: missing.clone(), missing }
    }
}

/// The boards that a choice opens, and the strips in hand that it uses.
fn opened(problem: &Problem<'_>, chosen: &[(usize, Vec<u32>)]) -> (Vec<Opened>, Vec<Use>) {
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
    (opened, problem.rack.uses(problem.job, (&problem.kinds, &problem.wanted()), &of_rack))
}

/// What is known after some levels.
struct Climbed<'a> {
    /// The cheapest choice, and the problem that it is one of.
    best: Option<(Problem<'a>, Solved)>,
    /// The same laid out.
    laid: Vec<Laid>,
    /// No choice costs less, in parts.
    bound: i128,
    /// It is proved that there is none.
    none: bool,
}

impl<'a> Climbed<'a> {
    /// What the best choice costs, in parts.
    fn cost(&self) -> Option<i128> {
        let (problem, solved) = self.best.as_ref()?;
        solved.chosen.as_ref().map(|c| problem.cost(c))
    }

    /// Is nothing left to find or to prove?
    fn done(&self) -> bool {
        let proved = |(problem, _): &(Problem<'_>, Solved)| {
            self.cost().is_some_and(|cost| problem.as_good_as(self.bound, cost))
        };
        self.none || self.best.as_ref().is_some_and(proved)
    }

    /// Lets a problem begin with the best choice, and with what is proved.
    fn carry(&self, to: &mut Problem<'_>) {
        to.proved = self.bound;
        if let Some((from, _)) = &self.best {
            to.known = lengths::carried(from, &self.laid, to).unwrap_or_default();
        }
    }

    /// Takes a choice that is cheaper than the best, if it can be laid out, or where that must be
    /// `soon`, if it can be soon.
    fn take(&mut self, mut problem: Problem<'a>, solved: Solved, soon: bool) {
        if let Some(chosen) = &solved.chosen
            && self.cost().is_none_or(|cost| problem.cost(chosen) < cost)
        {
            let (boards, uses) = opened(&problem, chosen);
            // There is something else to fall back upon.
            let soon = soon && self.best.is_some();
            if let Some(laid) = laid(&problem, (boards, &uses), Pains::Quick { soon }) {
                problem.known.clone_from(&laid);
                (self.laid, self.best) = (laid, Some((problem, solved)));
            }
        }
    }

    /// Takes what is proved of a problem that asks for no more than the job does.
    fn learn(&mut self, solved: &Solved) {
        match solved.proved {
            Proved::NoChoice => self.none = self.best.is_none(),
            Proved::AtLeast(bound) => self.bound = self.bound.max(bound),
        }
    }
}
