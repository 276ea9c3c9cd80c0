//! Plans without a solver: a greedy cover, its repair, and a local search over boards.
//!
//! They stand behind every proof: a limit never means no answer. All is deterministic, and ties
//! go to the board listed first.

use crate::choose::effort::greedy::{BUYS, DROPS};
use crate::choose::kernel::cover::{Choice, Cover, Lot, Way, still_needed};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use std::sync::Arc;

/// A working choice with what is still missing.
#[derive(Clone)]
struct Draft<'a> {
    cover: &'a Cover<'a>,
    prices: &'a [f64],
    /// Ways of each lot with what they come to at the prices, those that come to most first.
    by_worth: Arc<Vec<Vec<(f64, &'a Way)>>>,
    choice: Choice,
    missing: Vec<i64>,
}

impl<'a> Draft<'a> {
    fn new(cover: &'a Cover<'a>, prices: &'a [f64], choice: Choice) -> Self {
        let missing = cover.missing(&choice);
        let worth =
            |way: &'a Way| (way.iter().zip(prices).map(|(&n, p)| f64::from(n) * p).sum(), way);
        let sorted = |lot: &'a Lot<'_>| {
            let mut ways: Vec<(f64, &Way)> = lot.ways.iter().map(worth).collect();
            ways.sort_by(|a, b| b.0.total_cmp(&a.0));
            ways
        };
        let by_worth = Arc::new(cover.lots.iter().map(sorted).collect());
        Draft { cover, prices, by_worth, choice, missing }
    }

    fn put(&mut self, board: usize, way: Option<Way>) {
        for (way, sign) in [(&self.choice[board], 1), (&way, -1)] {
            for (m, &n) in self.missing.iter_mut().zip(way.iter().flat_map(|w| w.iter())) {
                *m += sign * i64::from(n);
            }
        }
        self.choice[board] = way;
    }

    fn done(&self) -> bool {
        self.missing.iter().all(|&m| m <= 0)
    }

    /// The way of a board that is worth most to what is missing; strips beyond that count a
    /// little, so that later changes find them.
    fn best_way(&self, board: usize) -> Option<(f64, Way)> {
        let wanted = still_needed(&self.missing);
        let mut best: Option<(f64, f64, &Way)> = None;
        for &(worth, way) in &self.by_worth[self.cover.stock[board].lot] {
            // No later way comes to more.
            if best.is_some_and(|b| worth < b.0 - 1e-9) {
                break;
            }
            let mut useful = 0.0;
            for k in 0..wanted.len() {
                useful += self.prices[k] * f64::from(way[k].min(wanted[k]));
            }
            let spare = worth - useful;
            let better = match best {
                None => true,
                Some((u, s, _)) => useful > u + 1e-9 || (useful > u - 1e-9 && spare > s + 1e-9),
            };
            if better {
                best = Some((useful, spare, way));
            }
        }
        best.map(|(useful, _, way)| (useful, Arc::clone(way)))
    }

    /// Cuts each opened board anew for what the others leave missing, until nothing changes.
    fn recut(&mut self, passes: usize) {
        for _ in 0..passes {
            if self.done() || self.cover.stopped() {
                return;
            }
            let mut changed = false;
            for board in 0..self.choice.len() {
                if self.choice[board].is_some() && self.cover.stopped() {
                    return;
                }
                let Some(old) = self.choice[board].clone() else { continue };
                self.put(board, None);
                let way = self.best_way(board).map_or_else(|| Arc::clone(&old), |b| b.1);
                changed |= way != old;
                self.put(board, Some(way));
                if self.done() {
                    return;
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// Opens boards, the best buy first, until nothing is missing. What costs nothing comes before
    /// all that costs something: a board may cost as little as one unit, so no rate would tell.
    #[allow(clippy::cast_precision_loss)]
    fn fill(&mut self) -> bool {
        while !self.done() {
            if self.cover.stopped() {
                return self.fill_at_once();
            }
            let mut best: Option<((bool, f64), usize, Way)> = None;
            // Of equal boards the first that stays whole stands for all.
            let mut seen = vec![false; self.cover.lots.len()];
            for board in 0..self.choice.len() {
                let lot = self.cover.stock[board].lot;
                if self.choice[board].is_some() || std::mem::replace(&mut seen[lot], true) {
                    continue;
                }
                let Some((useful, way)) = self.best_way(board) else { continue };
                if useful <= 0.0 {
                    continue;
                }
                let cost = self.cover.lot(board).cost;
                let (free, rate) = (cost <= 0, useful / (cost.max(1) as f64));
                let better = |&(was_free, was): &(bool, f64)| {
                    if free == was_free { rate > was * (1.0 + 1e-12) } else { free }
                };
                if best.as_ref().is_none_or(|b| better(&b.0)) {
                    best = Some(((free, rate), board, way));
                }
            }
            let Some((_, board, way)) = best else { return false };
            self.put(board, Some(way));
            self.recut(2);
        }
        true
    }

    /// Opens boards in the order of their worth at the prices, each cut as best for what is
    /// missing then: quick, where there is no time left.
    fn fill_at_once(&mut self) -> bool {
        for board in self.whole_by_worth() {
            if self.done() {
                break;
            }
            if let Some((useful, way)) = self.best_way(board)
                && useful > 0.0
            {
                self.put(board, Some(way));
            }
        }
        self.done()
    }

    /// What a board of each lot is worth over its cost at the prices.
    #[allow(clippy::cast_precision_loss)]
    fn gains(&self) -> Vec<f64> {
        let most = |ways: &Vec<(f64, &Way)>| ways.first().map_or(0.0, |w| w.0.max(0.0));
        let lots = self.cover.lots.iter().zip(self.by_worth.iter());
        lots.map(|(l, ways)| most(ways) - l.cost as f64).collect()
    }

    /// Leaves out boards that the others can do without, dear ones first.
    fn drop(&mut self) {
        let mut order: Vec<usize> =
            (0..self.choice.len()).filter(|&b| self.choice[b].is_some()).collect();
        order.sort_by_key(|&b| std::cmp::Reverse(self.cover.lot(b).cost));
        for board in order.into_iter().take(DROPS) {
            if self.cover.stopped() {
                break;
            }
            let mut trial = self.clone();
            trial.put(board, None);
            trial.recut(3);
            if trial.done() {
                *self = trial;
            }
        }
    }

    /// Boards that stay whole and are worth most over their cost at the prices.
    fn best_buys(&self) -> Vec<usize> {
        let mut closed = self.whole_by_worth();
        closed.truncate(BUYS);
        closed
    }

    /// Boards that stay whole, those worth most over their cost first.
    fn whole_by_worth(&self) -> Vec<usize> {
        let gains = self.gains();
        let gain = |b: usize| gains[self.cover.stock[b].lot];
        let mut whole: Vec<usize> =
            (0..self.choice.len()).filter(|&b| self.choice[b].is_none()).collect();
        whole.sort_by(|&a, &b| gain(b).total_cmp(&gain(a)).then(a.cmp(&b)));
        whole
    }

    /// One board out and a cheaper one in, as long as that works.
    fn swap(&mut self, stop: &dyn Fn() -> bool) -> bool {
        let opened: Vec<usize> =
            (0..self.choice.len()).filter(|&b| self.choice[b].is_some()).collect();
        let mut best: Option<(i64, Draft<'a>)> = None;
        let closed = self.best_buys();
        for &out in &opened {
            if stop() {
                break;
            }
            let cost = self.cover.lot(out).cost;
            for &into in &closed {
                if stop() {
                    break;
                }
                let saved = cost - self.cover.lot(into).cost;
                if saved <= best.as_ref().map_or(0, |b| b.0) {
                    continue;
                }
                let mut trial = self.clone();
                trial.put(out, None);
                if let Some((_, way)) = trial.best_way(into) {
                    trial.put(into, Some(way));
                    trial.recut(3);
                    if trial.done() {
                        best = Some((saved, trial));
                    }
                }
            }
        }
        let found = best.is_some();
        if let Some((_, trial)) = best {
            *self = trial;
        }
        found
    }
}

/// Completes a choice to one that gives every strip, and leaves out what it can. Else the
/// kinds of strip that are missing: the boards weren't enough this way.
pub fn complete(cover: &Cover<'_>, prices: &[f64], choice: Choice) -> Result<Choice, Vec<usize>> {
    let mut draft = Draft::new(cover, prices, choice);
    draft.recut(3);
    if !draft.fill() {
        let short = |k: &usize| draft.missing[*k] > 0;
        return Err((0..draft.missing.len()).filter(short).collect());
    }
    draft.drop();
    Ok(draft.choice)
}

/// A choice for many equal boards: how often each way known is taken is worked out as if it could
/// be taken in part, rounded down, and the rest is completed as always.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
pub fn rounded(cover: &Cover<'_>, prices: &[f64]) -> Option<Choice> {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let dearest = cover.lots.iter().map(|l| l.cost).max().unwrap_or(0).max(1) as f64;
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); cover.lots.len()];
    cover.stock.iter().enumerate().for_each(|(b, s)| members[s.lot].push(b));
    let all = f64::from(cover.need.iter().copied().max().unwrap_or(1).max(1));
    let mut times: Vec<(usize, &Way, Variable)> = Vec::new();
    for (at, (lot, of)) in cover.lots.iter().zip(&members).enumerate() {
        for way in &lot.ways {
            // A trifle for each board, so that boards that cost nothing are not all opened.
            let cost = lot.cost as f64 / dearest + 1e-6;
            let most = of.len() as f64 / all;
            times.push((at, way, problem.add_var(cost, (0.0, most))));
        }
    }
    for (lot, of) in members.iter().enumerate() {
        let row: Vec<(Variable, f64)> =
            times.iter().filter(|t| t.0 == lot).map(|t| (t.2, 1.0)).collect();
        problem.add_constraint(row, ComparisonOp::Le, of.len() as f64 / all);
    }
    for (k, &need) in cover.need.iter().enumerate() {
        let row: Vec<(Variable, f64)> =
            times.iter().filter(|t| t.1[k] > 0).map(|t| (t.2, f64::from(t.1[k]))).collect();
        problem.add_constraint(row, ComparisonOp::Ge, f64::from(need) / all);
    }
    let solution = problem.solve().ok()?.into_solution().ok()?;
    let mut choice: Choice = vec![None; cover.stock.len()];
    let mut next = vec![0; cover.lots.len()];
    for (lot, way, times) in times {
        let so_often = (solution.var_value(times) * all + 1e-6).floor().max(0.0) as usize;
        for _ in 0..so_often.min(members[lot].len() - next[lot]) {
            choice[members[lot][next[lot]]] = Some(Arc::clone(way));
            next[lot] += 1;
        }
    }
    complete(cover, prices, choice).ok()
}

/// Improves a choice by swapping boards, at most so many times.
pub fn improve(
    cover: &Cover<'_>,
    prices: &[f64],
    choice: Choice,
    swaps: usize,
    stop: &dyn Fn() -> bool,
) -> Choice {
    let mut draft = Draft::new(cover, prices, choice);
    for _ in 0..swaps {
        if stop() || !draft.swap(stop) {
            break;
        }
        draft.drop();
    }
    draft.choice
}
