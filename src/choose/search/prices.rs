//! Prices for strips from the dual of the linear cover, by cutting planes.
//!
//! microlp gives no duals, so the dual itself is stated with good_lp: a variable for the price of
//! each kind of strip and one for the profit of each board, as much as the needs are worth less
//! the profits, and one row for each way to cut a board that is known so far: the way's strips
//! are worth no more than the board's cost and profit. A new way is a new row, which microlp
//! takes warm.

use crate::choose::effort::Effort;
use crate::choose::effort::prices::{ROWS, ROWS_EACH, TRAIL};
use crate::choose::kernel::cover::{Cover, Lot, Way};
use good_lp::{Expression, ProblemVariables, SolverModel, Variable, constraint, variable};
use rayon::prelude::*;
use rustc_hash::FxHashSet;
use std::sync::Arc;

/// A row of the dual: a way to cut a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The board (or class of equal boards).
    pub board: usize,
    /// The way's counts.
    pub counts: Vec<u32>,
}

/// A class of equal boards, as the dual sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Class {
    /// Cost of one.
    pub cost: f64,
    /// How many there are.
    pub copies: u32,
}

/// Finds prices by cutting planes. `ask(prices)` gives the rows that the prices break (or the
/// best rows there are) and is called until it gives none, or `rounds` times. Costs should be
/// near 1. `ceiling` is the greatest price of a strip, so that the dual stays bounded where boards
/// are too few. Returns the last prices.
pub fn find(
    need: &[u32],
    classes: &[Class],
    first: Vec<Row>,
    ceiling: f64,
    rounds: usize,
    mut ask: impl FnMut(&[f64]) -> Vec<Row>,
) -> Vec<f64> {
    let mut vars = ProblemVariables::new();
    let prices: Vec<Variable> =
        need.iter().map(|_| vars.add(variable().min(0.0).max(ceiling))).collect();
    let profits: Vec<Variable> = classes.iter().map(|_| vars.add(variable().min(0.0))).collect();
    // Numbers near 1: the program is only as good as its floats.
    let all = f64::from(need.iter().copied().max().unwrap_or(1).max(1));
    let worth: Expression = prices.iter().zip(need).map(|(&p, &n)| f64::from(n) / all * p).sum();
    let profit: Expression =
        profits.iter().zip(classes).map(|(&p, c)| f64::from(c.copies) / all * p).sum();
    let row = |row: &Row| {
        let value: Expression = prices
            .iter()
            .zip(&row.counts)
            .filter(|(_, n)| **n > 0)
            .map(|(&p, &n)| f64::from(n) * p)
            .sum();
        constraint!(value - profits[row.board] <= classes[row.board].cost)
    };
    let mut model = vars.maximise(worth - profit).using(good_lp::microlp);
    for known in &first {
        model = model.with(row(known));
    }
    let Ok(solution) = model.solve() else { return vec![0.0; need.len()] };
    // From here on rows are added warm, which good_lp has no call for. microlp's variables come
    // in the order they were made above: prices first, then profits.
    let mut solution = solution.into_inner();
    let handles: Vec<microlp::Variable> = solution.iter().map(|(v, _)| v).collect();
    let read = |s: &microlp::Solution| -> Vec<f64> {
        handles[..need.len()].iter().map(|&v| s.var_value(v).max(0.0)).collect()
    };
    let mut now = read(&solution);
    for _ in 0..rounds {
        if now.iter().any(|p| !p.is_finite()) {
            return vec![0.0; need.len()];
        }
        let broken = ask(&now);
        if broken.is_empty() {
            break;
        }
        for new in &broken {
            let mut terms: Vec<(microlp::Variable, f64)> = handles
                .iter()
                .zip(&new.counts)
                .filter(|(_, n)| **n > 0)
                .map(|(&v, &n)| (v, f64::from(n)))
                .collect();
            terms.push((handles[need.len() + new.board], -1.0));
            let cost = classes[new.board].cost;
            match solution.add_constraint(terms, microlp::ComparisonOp::Le, cost) {
                Ok(microlp::SolveOutcome::Solution(next)) => solution = next,
                _ => return now,
            }
        }
        now = read(&solution);
    }
    now
}

/// Step sizes: near the prices, and never nothing.
pub fn scales(prices: &[f64]) -> Vec<f64> {
    let positive: Vec<f64> = prices.iter().copied().filter(|&p| p > 0.0).collect();
    let count = f64::from(u32::try_from(positive.len().max(1)).unwrap_or(1));
    let mean = (positive.iter().sum::<f64>() / count).max(1.0);
    prices.iter().map(|&p| p.max(mean * 0.2)).collect()
}

/// Prices from the dual, beginning with likely ones, if there are any; ways met on the way to them
/// are kept with their lots.
#[allow(clippy::cast_precision_loss)]
pub fn dual(
    cover: &mut Cover<'_>,
    likely: Option<&[f64]>,
    effort: Effort<'_>,
) -> (Vec<f64>, Vec<Vec<i64>>) {
    let unit = cover.lots.iter().map(|l| l.cost).max().unwrap_or(1).max(1) as f64;
    let mut classes: Vec<Class> =
        cover.lots.iter().map(|l| Class { cost: l.cost as f64 / unit, copies: 0 }).collect();
    for stock in &cover.stock {
        classes[stock.lot].copies += 1;
    }
    // No strip can be worth more than all the boards.
    let ceiling = (cover.everything() as f64 / unit + 1.0) * 1.5;
    let need = cover.need.clone();
    // The last ways met of lots that are not listed are rows from the beginning.
    let each = (ROWS / cover.lots.len().max(1)).clamp(ROWS_EACH.0, ROWS_EACH.1);
    let pool = |(lot, l): (usize, &Lot<'_>)| {
        let ways = if l.listed { &[] } else { &l.ways[l.ways.len().saturating_sub(each)..] };
        ways.iter().map(move |way| (lot, Arc::clone(way))).collect::<Vec<_>>()
    };
    let mut met: FxHashSet<(usize, Way)> = cover.lots.iter().enumerate().flat_map(pool).collect();
    let mut known: Vec<Row> =
        met.iter().map(|(board, way)| Row { board: *board, counts: way.to_vec() }).collect();
    known.sort_unstable_by(|a, b| (a.board, &a.counts).cmp(&(b.board, &b.counts)));
    let mut trail: Vec<Vec<i64>> = Vec::new();
    let mut ask = |now: &[f64]| -> Vec<Row> {
        let scaled: Vec<f64> = now.iter().map(|p| p * unit).collect();
        let whole = cover.whole_prices(&scaled);
        trail.push(whole.clone());
        let answers: Vec<Option<Way>> =
            (0..cover.lots.len()).into_par_iter().map(|lot| cover.best_way(lot, &whole)).collect();
        let mut rows = Vec::new();
        for (board, answer) in answers.into_iter().enumerate() {
            let Some(way) = answer else { continue };
            if way.iter().all(|&n| n == 0) || !met.insert((board, Arc::clone(&way))) {
                continue;
            }
            rows.push(Row { board, counts: way.to_vec() });
            if !cover.lots[board].listed {
                cover.lots[board].ways.push(way);
            }
        }
        rows
    };
    let likely = likely.map(|p| p.iter().map(|p| p / unit).collect());
    let guess: Vec<f64> = likely.unwrap_or_else(|| vec![ceiling / 1e3; need.len()]);
    let mut first = ask(&guess);
    first.extend(known);
    let found = find(&need, &classes, first, ceiling, effort.rounds, |now| {
        if (effort.stop)() { Vec::new() } else { ask(now) }
    });
    let found: Vec<f64> = found.iter().map(|p| p * unit).collect();
    let last = trail.len().saturating_sub(TRAIL);
    let mut trail = trail.split_off(last);
    trail.push(cover.whole_prices(&found));
    (found, trail)
}
