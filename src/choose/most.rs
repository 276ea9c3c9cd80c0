//! As many whole paddles as possible, then least cost: from boards on hand, or for a budget.
//!
//! A mix says how many paddles of each kind. What holds more than a mix that can't be made can't
//! be made either, so single answers exclude much. Prices exclude more: at any prices π the least
//! cost of a mix is no less than `π·strips − Σ over boards of max(0, most − cost)`, which is a line
//! over mixes. A mix whose line is beyond the cost of all boards, or the budget, can't be made.
//!
//! 1. Mixes are grown one kind after another, doubling and halving: a plan is had early.
//! 2. Mixes of one paddle more are asked for, the most likely first, until one can be made or all
//!    are excluded. What can't be decided with little work is put aside and asked again in the end.
//! 3. No more can be made than the greatest total of which a mix is not excluded: that is proved.
//! 4. The mixes of the best total are planned at least cost, as long as their lines leave room
//!    below the best.
//!
//! A mix that was not decided excludes nothing.

use crate::choose::ask::{NoPlan, Outcome, Shortage};
use crate::choose::effort::most::{
    AGAIN, ASKED, LINES, LISTED, MOST_OF_ONE, PLANNED, STEPS, WEIGHED,
};
use crate::choose::effort::{EFFORT, LITTLE};
use crate::choose::mixes::{Line, Mix, holds, total};
use crate::choose::outlooks;
use crate::choose::planner::Planner;
use crate::choose::problem::Problem;
use crate::choose::rack::serves;
use crate::choose::solve::{Proved, Solved};
use crate::paddle::{Job, StripKind, strip_kinds};
use crate::plan::{Most, Plan, Proof};
use rayon::prelude::*;

/// What is known of a mix.
pub enum Answer {
    /// It can be made.
    Yes,
    /// It can't.
    No,
    /// It is not known.
    Unknown,
}

/// What was found in looking for mixes.
enum Looked {
    /// These are not excluded; there may be more.
    Some(Vec<Mix>),
    /// Every mix is excluded.
    None,
    /// There was too much to look at.
    Tired,
}

/// A plan that is not assembled yet.
struct Held<'a> {
    mix: Mix,
    problem: Problem<'a>,
    solved: Solved,
}

/// A search for the most paddles.
pub struct Search<'s, 'a> {
    planner: &'s Planner<'a>,
    /// What the plan may cost, in parts.
    budget: Option<i128>,
    /// Most of each kind.
    limits: Mix,
    /// The problem of as many as the limits allow, at which lines are worked out.
    all: Option<Problem<'a>>,
    lines: Vec<Line>,
    /// Mixes that can be made, and so can what they hold.
    yes: Vec<Mix>,
    /// Mixes that can't be made, nor what holds them.
    no: Vec<Mix>,
    /// Mixes that were not decided.
    unknown: Vec<Mix>,
    best: Option<Held<'a>>,
    asked: usize,
}

impl<'s, 'a> Search<'s, 'a> {
    /// A search; `limits` are the most wanted of each kind.
    pub fn new(planner: &'s Planner<'a>, limits: &[u32], budget: Option<i128>) -> Self {
        let kinds = strip_kinds(planner.job);
        let volume = |strips: &[u32]| -> i128 {
            kinds.iter().zip(strips).map(|(k, &n)| k.least_volume() * i128::from(n)).sum()
        };
        let (each, once) = Line::priced(planner.job, &volume);
        let boards: i128 = planner.boards.iter().map(|b| b.volume() * i128::from(b.quantity)).sum();
        let wood = boards + in_hand(planner.job, &kinds);
        let most = |p: usize, limit: u32| {
            let by_wood = (wood - once[p]).max(0) / each[p].max(1);
            limit.min(u32::try_from(by_wood).unwrap_or(u32::MAX))
        };
        let limits = limits.iter().enumerate().map(|(p, &limit)| most(p, limit)).collect();
        let lines = vec![Line { each, once, limit: wood, less: None }];
        Search {
            planner,
            budget,
            limits,
            all: None,
            lines,
            yes: Vec::new(),
            no: Vec::new(),
            unknown: Vec::new(),
            best: None,
            asked: 0,
        }
    }

    /// No more than this can be made, by the wood that they take.
    pub fn by_wood(&self) -> u32 {
        total(&self.limits)
    }

    /// Searches for the number alone.
    pub fn count(mut self) -> Most {
        self.seek();
        let made = self.made();
        Most { made, at_most: self.at_most(made) }
    }

    /// Searches, and plans what was found.
    pub fn run(mut self) -> Outcome {
        self.seek();
        let made = self.made();
        let at_most = self.at_most(made);
        if made == 0 {
            let one = vec![1; self.limits.len()];
            let short = match self.planner.stopped() {
                // Of very many boards even a look takes long.
                true => self.planner.nothing(),
                false => match self.planner.plan(&one) {
                    Err(none) => none.shortage().clone(),
                    // For less than the budget there is none.
                    Ok(_) => self.planner.nothing(),
                },
            };
            return Err(if at_most == 0 {
                NoPlan::Infeasible(short)
            } else {
                NoPlan::Stopped(short)
            });
        }
        self.cheapest(made, at_most)
    }

    fn made(&self) -> u32 {
        self.best.as_ref().map_or(0, |b| total(&b.mix))
    }

    /// Looks for the most paddles.
    fn seek(&mut self) {
        let limits = self.limits.clone();
        if limits.iter().all(|&l| l == 0) || self.planner.stopped() {
            return;
        }
        // What takes least wood first.
        let mut order: Vec<usize> = (0..limits.len()).filter(|&p| limits[p] > 0).collect();
        order.sort_by_key(|&p| (self.lines[0].each[p], p));
        if self.early(&order) || self.planner.stopped() {
            return;
        }
        let mut all = self.planner.problem(&limits);
        outlooks::look_out(&mut all);
        self.all = (all.holds() && all.scale.is_some()).then_some(all);
        if self.planner.stopped() {
            return;
        }
        // Prices at which all that is wanted is too much say how much too much.
        if !matches!(self.ask(&limits, false), Answer::Yes) {
            let mut mix = vec![0; limits.len()];
            for &p in &order {
                mix = self.grow(mix, p);
            }
            self.beyond();
        }
    }

    /// Has a plan early: one paddle, then of each kind one, two, four and so on. Can all that
    /// is wanted be made?
    fn early(&mut self, order: &[usize]) -> bool {
        let mut mix = vec![0; self.limits.len()];
        let mut each = 1_u32;
        for &p in order {
            mix[p] = 1;
            if !matches!(self.ask(&mix, false), Answer::Yes) {
                return false;
            }
        }
        while mix != self.limits && !self.done() {
            each = each.saturating_mul(2);
            mix = self.limits.iter().map(|&l| l.min(each)).collect();
            if self.excluded(&mix) || !matches!(self.ask(&mix, false), Answer::Yes) {
                return false;
            }
        }
        mix == self.limits
    }

    /// Adds as many of a kind as can be made with the others of a mix.
    fn grow(&mut self, mut mix: Mix, p: usize) -> Mix {
        let from = mix[p];
        let with = |mix: &Mix, n: u32| {
            let mut more = mix.clone();
            more[p] = n;
            more
        };
        let (mut can, mut cannot) = (from, self.limits[p] + 1);
        let mut step = 1;
        while cannot - can > 1 && !self.done() {
            // What is excluded need not be asked.
            let (mut low, mut high) = (can, cannot);
            while high - low > 1 {
                let middle = low + (high - low) / 2;
                if self.excluded(&with(&mix, middle)) { high = middle } else { low = middle }
            }
            cannot = high;
            if cannot - can <= 1 {
                break;
            }
            // Doubled steps first, then halves.
            let half = can + (cannot - can) / 2;
            let next = if step > 0 { half.min(can.saturating_add(step)) } else { half };
            match self.ask(&with(&mix, next), false) {
                Answer::Yes => {
                    can = next;
                    step *= 2;
                }
                Answer::No | Answer::Unknown => {
                    cannot = next;
                    step = 0;
                }
            }
        }
        mix[p] = can;
        mix
    }

    /// Asks for mixes of one paddle more than the best, until there is none left.
    fn beyond(&mut self) {
        while !self.done() {
            let next = self.made() + 1;
            match self.look(next, true, WEIGHED) {
                Looked::Some(mixes) => {
                    let likely = mixes.into_iter().min_by_key(|m| self.strain(m));
                    let Some(mix) = likely else { return };
                    if let Answer::Yes = self.ask(&mix, false) {
                        let mut more = mix;
                        for p in 0..more.len() {
                            more = self.grow(more, p);
                        }
                    }
                }
                Looked::Tired => return,
                Looked::None => {
                    // What was not decided, with more work.
                    let mut again: Vec<Mix> = self
                        .unknown
                        .iter()
                        .filter(|m| total(m) == next && !self.excluded(m))
                        .cloned()
                        .collect();
                    again.sort_by_key(|m| self.strain(m));
                    let before = self.made();
                    for mix in again.into_iter().take(AGAIN) {
                        if self.done() || matches!(self.ask(&mix, true), Answer::Yes) {
                            break;
                        }
                    }
                    if self.made() == before {
                        return;
                    }
                }
            }
        }
    }

    fn done(&self) -> bool {
        self.asked >= ASKED || self.planner.stopped()
    }

    /// How near a mix comes to the limit of a line, in millionths of it.
    fn strain(&self, mix: &[u32]) -> i128 {
        let of = |l: &Line| l.of(mix).saturating_mul(1_000_000) / l.limit.max(1);
        self.lines.iter().map(of).max().unwrap_or(0)
    }

    /// Is it proved that a mix can't be made?
    fn excluded(&self, mix: &[u32]) -> bool {
        self.lines.iter().any(|l| l.of(mix) > l.limit) || self.no.iter().any(|no| holds(mix, no))
    }

    /// Can a mix be made? With more work if `longer`.
    fn ask(&mut self, mix: &[u32], longer: bool) -> Answer {
        if self.yes.iter().any(|y| holds(y, mix)) {
            return Answer::Yes;
        }
        self.asked += 1;
        let mut problem = self.planner.problem(mix);
        let nodes = if longer { EFFORT.nodes } else { LITTLE };
        let enough = Some(self.budget.unwrap_or(i128::MAX));
        let solved = self.planner.solve(&mut problem, nodes, (enough, self.budget));
        let cost = cost(&problem, &solved);
        self.learn(&solved);
        let within = |cost: i128| self.budget.is_none_or(|b| cost <= b);
        if cost.is_some_and(within) {
            self.yes.retain(|y| !holds(mix, y));
            self.yes.push(mix.to_vec());
            if total(mix) > self.made() {
                self.best = Some(Held { mix: mix.to_vec(), problem, solved });
            }
            return Answer::Yes;
        }
        let beyond = |b: i128| bound(&solved) > b;
        if solved.proved == Proved::NoChoice || self.budget.is_some_and(beyond) {
            self.no.retain(|no| !holds(no, mix));
            self.no.push(mix.to_vec());
            return Answer::No;
        }
        if !self.unknown.iter().any(|u| u == mix) {
            self.unknown.push(mix.to_vec());
        }
        Answer::Unknown
    }

    /// Keeps the line of a search's last prices.
    #[allow(clippy::cast_precision_loss)]
    fn learn(&mut self, solved: &Solved) {
        let Some(all) = &self.all else { return };
        let Some(scale) = all.scale else { return };
        if self.planner.stopped() || solved.prices.iter().all(|&p| p <= 0.0) {
            return;
        }
        // Any prices make a line that holds; these are the search's, in this problem's units.
        let units: Vec<f64> = solved.prices.iter().map(|p| p / all.unit as f64).collect();
        let prices = &scale.whole_prices(&units);
        let of_one = all.families.worth(prices);
        let worth = |strips: &[u32]| -> i128 {
            let one = |(&n, &p): (&u32, &i64)| i128::from(n) * i128::from(p);
            strips.iter().zip(&of_one).map(one).sum()
        };
        let (each, once) = Line::priced(self.planner.job, &worth);
        let parts = i128::from(scale.parts);
        let gains = all.classes.par_iter().map(|class| {
            let most = i128::from(class.cuts.best(&class.cuts.value(prices)).0);
            (most - i128::from(class.cost) * parts).max(0) * class.boards.len() as i128
        });
        // Strips in hand cost nothing.
        let in_hand = worth(&all.rack.given) + all.rack.worth(&worth);
        let less: i128 = gains.sum::<i128>() + in_hand;
        // Stopped on the way, what boards come to is a bound still, but a poor one.
        let everything: i128 =
            all.classes.iter().map(|c| i128::from(c.cost) * c.boards.len() as i128).sum();
        let most = match self.budget {
            Some(budget) => everything.min(budget.div_euclid(all.unit)),
            None => everything,
        };
        if self.lines.len() >= LINES {
            self.lines.remove(LINES / 2);
        }
        self.lines.push(Line { each, once, limit: most * parts + less, less: Some(less) });
    }

    /// Mixes of a total that are not excluded, up to so many; those not decided are left out too
    /// if `decided`.
    fn look(&self, total: u32, decided: bool, most: usize) -> Looked {
        let mut found = Vec::new();
        let mut look = Look {
            search: self,
            decided,
            most,
            steps: STEPS,
            mix: vec![0; self.limits.len()],
            found: &mut found,
        };
        let tired = look.at(0, total).is_none();
        match (found.is_empty(), tired) {
            (false, _) => Looked::Some(found),
            (true, false) => Looked::None,
            (true, true) => Looked::Tired,
        }
    }

    /// The most that is not excluded.
    fn at_most(&self, made: u32) -> u32 {
        let (mut can, mut cannot) = (made, total(&self.limits).saturating_add(1));
        // The greatest totals are mostly excluded.
        while cannot - can > 1 {
            let middle = can + (cannot - can) / 2;
            match self.look(middle, false, 1) {
                Looked::None => cannot = middle,
                _ => can = middle,
            }
        }
        can
    }

    /// The cheapest plan of so many paddles.
    fn cheapest(mut self, made: u32, at_most: u32) -> Outcome {
        let most = Some(Most { made, at_most });
        let mut mixes = match self.look(made, false, LISTED) {
            Looked::Some(mixes) => mixes,
            _ => Vec::new(),
        };
        // Mixes that were not listed may cost anything.
        let listed = mixes.len() < LISTED && !mixes.is_empty();
        let best_mix = self.best.as_ref().map(|b| b.mix.clone());
        mixes.sort_by_key(|m| (Some(m) != best_mix.as_ref(), self.least_cost(m)));
        let mut open: Option<i128> = None;
        let mut least = |bound: i128| open = Some(open.map_or(bound, |o: i128| o.min(bound)));
        let mut planned = 0;
        let mut best_cost = self.best.as_ref().and_then(|b| cost(&b.problem, &b.solved));
        for mix in mixes {
            let by_line = self.least_cost(&mix);
            let own = Some(&mix) == best_mix.as_ref();
            if !own && best_cost.is_some_and(|c| by_line >= c) {
                least(by_line);
                continue;
            }
            if planned >= PLANNED || self.planner.stopped() {
                // What was found in looking for the most has a bound of its own.
                let known = self.best.as_ref().filter(|_| own);
                least(by_line.max(known.map_or(0, |b| bound(&b.solved))));
                continue;
            }
            planned += 1;
            let mut problem = self.planner.problem(&mix);
            // Beyond the best it is of no interest.
            let dear = best_cost.filter(|_| !own).map(|c| c - 1);
            let solved = self.planner.solve(&mut problem, EFFORT.nodes, (None, dear));
            self.learn(&solved);
            least(by_line.max(bound(&solved)));
            let cost = cost(&problem, &solved);
            if cost.is_some_and(|c| best_cost.is_none_or(|b| c < b || (own && c <= b))) {
                best_cost = cost;
                self.best = Some(Held { mix, problem, solved });
            }
        }
        let Some(held) = self.best else { return Err(NoPlan::Stopped(self.planner.nothing())) };
        let plan = self.planner.finish(&held.problem, &held.mix, &held.solved);
        let Some(plan) = plan else {
            return Err(NoPlan::Stopped(Shortage {
                missing: vec![0; held.problem.need.len()],
                needed: held.problem.wanted(),
            }));
        };
        let bound = if listed { open.unwrap_or(0).clamp(0, plan.cost.parts) } else { 0 };
        let proof = if made == at_most && held.problem.as_good_as(bound, plan.cost.parts) {
            Proof::Optimal
        } else {
            Proof::AtLeast(bound)
        };
        Ok(Plan { proof, most, ..plan })
    }

    /// No plan of a mix costs less, by the lines, in parts.
    fn least_cost(&self, mix: &[u32]) -> i128 {
        let Some(all) = &self.all else { return 0 };
        let parts = i128::from(all.scale.map_or(1, |s| s.parts));
        let of = |l: &Line| {
            let bound = l.of(mix) - l.less?;
            // Costs are whole units.
            Some((bound.div_euclid(parts) + i128::from(bound.rem_euclid(parts) != 0)) * all.unit)
        };
        self.lines.iter().filter_map(of).max().unwrap_or(0).max(0)
    }
}

/// The most wood that strips in hand can stand for: each that of the stoutest kind of strip that it
/// serves.
fn in_hand(job: &Job, kinds: &[StripKind]) -> i128 {
    let stands_for = |strip| {
        let serves = |k: &&StripKind| serves(job, strip, k).is_some();
        kinds.iter().filter(serves).map(StripKind::least_volume).max().unwrap_or(0)
    };
    job.strips.iter().map(stands_for).sum()
}

/// What the boards of a choice cost, in parts.
fn cost(problem: &Problem<'_>, solved: &Solved) -> Option<i128> {
    solved.chosen.as_ref().map(|c| problem.cost(c))
}

/// No choice costs less, in parts.
fn bound(solved: &Solved) -> i128 {
    match solved.proved {
        Proved::NoChoice => i128::MAX,
        Proved::AtLeast(bound) => bound,
    }
}

/// A look for mixes of a total, kind after kind.
struct Look<'l, 's, 'a> {
    search: &'l Search<'s, 'a>,
    decided: bool,
    most: usize,
    steps: u32,
    mix: Mix,
    found: &'l mut Vec<Mix>,
}

impl Look<'_, '_, '_> {
    /// Kinds from `p` on, for so many paddles left; `None` if there was too much to look at or
    /// enough was found.
    fn at(&mut self, p: usize, left: u32) -> Option<()> {
        self.steps = self.steps.checked_sub(1)?;
        let search = self.search;
        if p == self.mix.len() {
            let skip = self.decided && search.unknown.contains(&self.mix);
            if left == 0 && !skip && !search.excluded(&self.mix) {
                self.found.push(self.mix.clone());
                if self.found.len() >= self.most {
                    return None;
                }
            }
            return Some(());
        }
        let rest: u32 = search.limits[p + 1..].iter().fold(0, |s, &l| s.saturating_add(l));
        let mut low = i128::from(left.saturating_sub(rest));
        let mut high = i128::from(left.min(search.limits[p]));
        for line in &search.lines {
            // The rest at the least that any kind to come adds.
            let so_far: i128 =
                self.mix[..p].iter().zip(&line.each).map(|(&n, e)| i128::from(n) * e).sum();
            let room = line.limit - so_far;
            let each = line.each[p];
            let Some(least) = line.each[p + 1..].iter().min().copied() else {
                if each > 0 {
                    high = high.min(room.div_euclid(each));
                }
                continue;
            };
            let spare = room - least * i128::from(left);
            match each - least {
                0 if spare < 0 => return Some(()),
                0 => {}
                dear if dear > 0 => high = high.min(spare.div_euclid(dear)),
                // Few of what is cheap leave too many dear ones.
                cheap => low = low.max(-(spare.div_euclid(-cheap))),
            }
        }
        let mut n = high;
        while n >= low {
            self.mix[p] = u32::try_from(n).unwrap_or(0);
            self.at(p + 1, left - self.mix[p])?;
            n -= 1;
        }
        self.mix[p] = 0;
        Some(())
    }
}

/// As many paddles as the boards give, or as a budget in parts pays.
pub fn most(planner: &Planner<'_>, wanted: &[u32], budget: Option<i128>) -> Outcome {
    let mut plan = search(planner, wanted, budget).run()?;
    // Beyond the most that a job may ask for nothing was looked for, nor is it proved.
    if let ([_], Some(most)) = (wanted, &mut plan.most)
        && most.made >= MOST_OF_ONE
    {
        most.at_most = Search::new(planner, &[u32::MAX], budget).by_wood().max(most.made);
        if most.at_most > most.made {
            plan.proof = Proof::AtLeast(plan.proof.bound(plan.cost));
        }
    }
    Ok(plan)
}

/// A search for the most of the paddles wanted.
pub fn search<'s, 'a>(
    planner: &'s Planner<'a>,
    wanted: &[u32],
    budget: Option<i128>,
) -> Search<'s, 'a> {
    // With one kind its quantity doesn't count.
    let limits: Vec<u32> = match wanted {
        [_] => vec![MOST_OF_ONE],
        several => several.to_vec(),
    };
    Search::new(planner, &limits, budget)
}
