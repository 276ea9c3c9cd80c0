//! From a problem to boards and ways, with what is proved.
//!
//! 1. The ways of each class are listed outright where that is quick.
//! 2. Prices come from the dual by cutting planes; classes that were not listed are asked for
//!    their best way at those prices.
//! 3. A greedy cover from the ways met so far, repaired and improved, is the first plan.
//! 4. Classes not listed yet are listed again, without ways that are too poor at these prices to
//!    be in a cheaper plan.
//! 5. Branch and bound over the listed ways. If every class is listed, what it proves holds for
//!    the job; if not, the bound of step 2 does.

use crate::choose::branch::{Limits, Search};
use crate::choose::cover::{Cover, PRICE_PARTS, Stock, whole_prices, whole_units};
use crate::choose::first;
use crate::choose::prices::{self, Row};
use crate::choose::problem::Problem;
use crate::cut::list::Floor;
use rayon::prelude::*;

/// How much work a search may take. Work, not time, so that runs repeat.
#[derive(Clone, Copy)]
pub struct Effort<'a> {
    /// Comparisons of labels for listing a class outright.
    pub list: u64,
    /// Comparisons of labels for listing a class at given prices.
    pub list_priced: u64,
    /// Rounds of cutting planes.
    pub rounds: usize,
    /// Nodes of branch and bound.
    pub nodes: usize,
    /// Asks for an end from outside.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// News of a search: best cost so far and proved bound, in units of cost.
pub type Tell<'a> = &'a mut dyn FnMut(&str, Option<i64>, i64);

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Boards opened as (class, way's counts); `None` if no choice was found.
    pub chosen: Option<Vec<(usize, Vec<u32>)>>,
    /// Cost in units.
    pub cost: i64,
    /// No choice costs less, in units; equal to the cost when proved optimal, and one more than
    /// all boards cost together when it is proved that no choice exists.
    pub bound: i64,
    /// Whole-number prices at the end.
    pub prices: Vec<i64>,
}

/// Searches for the cheapest choice.
pub fn solve(problem: &Problem<'_>, effort: Effort<'_>, tell: Tell<'_>) -> Solved {
    let everything: i64 =
        problem.classes.iter().map(|c| c.cost * i64::try_from(c.boards.len()).unwrap_or(1)).sum();
    let none = Solved {
        chosen: None,
        cost: everything + 1,
        bound: everything + 1,
        prices: vec![0; problem.kinds.len()],
    };
    if problem.need.iter().all(|&n| n == 0) {
        return Solved { chosen: Some(Vec::new()), cost: 0, bound: 0, ..none };
    }
    if problem.classes.is_empty() {
        return none;
    }
    tell("ways to cut each board", None, 0);
    let mut listed: Vec<Option<Vec<Vec<u32>>>> =
        problem.classes.par_iter().map(|c| c.cuts.list(&problem.need, None, effort.list)).collect();
    tell("prices", None, 0);
    let (float_prices, met) = dual(problem, &listed, effort, everything);
    let prices = whole_prices(&float_prices);
    let bound = if problem.complete() { bound(problem, &listed, &prices) } else { 0 };
    // First plan, from the ways met.
    let cover = cover(problem, |c| listed[c].clone().unwrap_or_else(|| met[c].clone()));
    let start = first::complete(&cover.0, &float_prices, vec![None; cover.0.stock.len()])
        .map(|c| first::improve(&cover.0, &float_prices, c, 50));
    let ceiling = start.as_ref().map_or(everything + 1, |c| cover.0.cost(c));
    tell("ways worth keeping", start.as_ref().map(|_| ceiling), bound);
    let mut all = problem.complete();
    if bound < ceiling && listed.iter().any(Option::is_none) {
        let floors = floors(problem, &listed, &prices, ceiling);
        let again: Vec<Option<Vec<Vec<u32>>>> = (0..problem.classes.len())
            .into_par_iter()
            .map(|c| {
                if listed[c].is_some() || (effort.stop)() {
                    return None;
                }
                let valued = problem.classes[c].cuts.value(&prices);
                let floor = Floor { valued: &valued, least: floors[c] };
                problem.classes[c].cuts.list(&problem.need, Some(floor), effort.list_priced)
            })
            .collect();
        for (listed, again) in listed.iter_mut().zip(again) {
            if listed.is_none() {
                *listed = again;
            }
        }
    }
    all &= listed.iter().all(Option::is_some);
    let (cover, members) = cover_of(problem, &listed, &met);
    let start = start
        .and_then(|_| first::complete(&cover, &float_prices, vec![None; cover.stock.len()]))
        .map(|c| first::improve(&cover, &float_prices, c, 50));
    let scales: Vec<f64> = scales(&float_prices);
    let search = Search::new(&cover, scales);
    let limits = Limits { nodes: effort.nodes, stop: effort.stop };
    let found = search.run(&float_prices, start, limits, &mut |cost, b| {
        tell("choice of boards", cost, if all { b.max(bound) } else { bound });
    });
    let proved = if all { found.bound.max(bound) } else { bound };
    match found.choice {
        None => Solved { bound: if all { found.bound } else { bound }, prices, ..none },
        Some(choice) => {
            let cost = cover.cost(&choice);
            let chosen = choice
                .iter()
                .enumerate()
                .filter_map(|(b, w)| w.map(|w| (members[b], cover.stock[b].ways[w].clone())))
                .collect();
            Solved { chosen: Some(chosen), cost, bound: proved.min(cost), prices }
        }
    }
}

/// Step sizes: near the prices, and never nothing.
fn scales(prices: &[f64]) -> Vec<f64> {
    let positive: Vec<f64> = prices.iter().copied().filter(|&p| p > 0.0).collect();
    let count = f64::from(u32::try_from(positive.len().max(1)).unwrap_or(1));
    let mean = (positive.iter().sum::<f64>() / count).max(1.0);
    prices.iter().map(|&p| p.max(mean * 0.2)).collect()
}

fn cover(problem: &Problem<'_>, ways: impl Fn(usize) -> Vec<Vec<u32>>) -> (Cover, Vec<usize>) {
    let mut stock = Vec::new();
    let mut members = Vec::new();
    for (c, class) in problem.classes.iter().enumerate() {
        let ways = ways(c);
        if ways.is_empty() {
            continue;
        }
        for copy in 0..class.boards.len() {
            let twin_before = (copy > 0).then(|| stock.len() - 1);
            stock.push(Stock { cost: class.cost, ways: ways.clone(), twin_before });
            members.push(c);
        }
    }
    (Cover { need: problem.need.clone(), stock }, members)
}

fn cover_of(
    problem: &Problem<'_>,
    listed: &[Option<Vec<Vec<u32>>>],
    met: &[Vec<Vec<u32>>],
) -> (Cover, Vec<usize>) {
    cover(problem, |c| listed[c].clone().unwrap_or_else(|| met[c].clone()))
}

/// The most a class comes to at whole-number prices, exact.
fn best(problem: &Problem<'_>, listed: &[Option<Vec<Vec<u32>>>], c: usize, prices: &[i64]) -> i64 {
    let worth =
        |way: &Vec<u32>| -> i64 { way.iter().zip(prices).map(|(&n, &p)| i64::from(n) * p).sum() };
    match &listed[c] {
        Some(ways) => ways.iter().map(worth).max().unwrap_or(0),
        None => problem.classes[c].cuts.value(prices).best,
    }
}

/// The exact bound at whole-number prices, in units of cost.
fn bound(problem: &Problem<'_>, listed: &[Option<Vec<Vec<u32>>>], prices: &[i64]) -> i64 {
    whole_units(bound_parts(problem, listed, prices).0)
}

/// The exact bound in price parts, and each class's part in it.
fn bound_parts(
    problem: &Problem<'_>,
    listed: &[Option<Vec<Vec<u32>>>],
    prices: &[i64],
) -> (i128, Vec<i128>) {
    let reduced: Vec<i128> = (0..problem.classes.len())
        .into_par_iter()
        .map(|c| {
            i128::from(problem.classes[c].cost) * i128::from(PRICE_PARTS)
                - i128::from(best(problem, listed, c, prices))
        })
        .collect();
    let worth: i128 =
        problem.need.iter().zip(prices).map(|(&n, &p)| i128::from(n) * i128::from(p)).sum();
    let profits = reduced
        .iter()
        .zip(&problem.classes)
        .map(|(&r, class)| r.min(0) * i128::try_from(class.boards.len()).unwrap_or(1));
    (worth + profits.sum::<i128>(), reduced)
}

/// For each class the least value of a way that could be in a plan cheaper than `ceiling`.
fn floors(
    problem: &Problem<'_>,
    listed: &[Option<Vec<Vec<u32>>>],
    prices: &[i64],
    ceiling: i64,
) -> Vec<i64> {
    let (total, reduced) = bound_parts(problem, listed, prices);
    // A plan cheaper than the ceiling costs at most one unit less.
    let most = i128::from(ceiling - 1) * i128::from(PRICE_PARTS);
    reduced
        .iter()
        .zip(&problem.classes)
        .map(|(&r, class)| {
            let cost = i128::from(class.cost) * i128::from(PRICE_PARTS);
            let least = total + cost - r.min(0) - most;
            i64::try_from(least).unwrap_or(i64::MAX)
        })
        .collect()
}

/// Prices from the dual, and the ways met on the way to them.
#[allow(clippy::cast_precision_loss)]
fn dual(
    problem: &Problem<'_>,
    listed: &[Option<Vec<Vec<u32>>>],
    effort: Effort<'_>,
    everything: i64,
) -> (Vec<f64>, Vec<Vec<Vec<u32>>>) {
    let unit = problem.classes.iter().map(|c| c.cost).max().unwrap_or(1).max(1) as f64;
    let classes: Vec<prices::Class> = problem
        .classes
        .iter()
        .map(|c| prices::Class {
            cost: c.cost as f64 / unit,
            copies: u32::try_from(c.boards.len()).unwrap_or(u32::MAX),
        })
        .collect();
    // No strip can be worth more than all the boards.
    let ceiling = (everything as f64 / unit + 1.0) * 1.5;
    let mut met: Vec<Vec<Vec<u32>>> = vec![Vec::new(); problem.classes.len()];
    let mut ask = |now: &[f64]| -> Vec<Row> {
        let scaled: Vec<f64> = now.iter().map(|p| p * unit).collect();
        let whole = whole_prices(&scaled);
        let found: Vec<Option<Vec<u32>>> = (0..problem.classes.len())
            .into_par_iter()
            .map(|c| best_way(problem, listed, c, &whole))
            .collect();
        let mut rows = Vec::new();
        for (board, way) in found.into_iter().enumerate() {
            if let Some(counts) = way.filter(|w| !met[board].contains(w)) {
                met[board].push(counts.clone());
                rows.push(Row { board, counts });
            }
        }
        rows
    };
    let volumes: Vec<f64> = problem.kinds.iter().map(|k| k.volume() as f64).collect();
    let mean = volumes.iter().sum::<f64>() / volumes.len().max(1) as f64;
    let guess: Vec<f64> = volumes.iter().map(|v| v / mean).collect();
    let first = ask(&guess);
    let found = if (effort.stop)() {
        guess
    } else {
        prices::find(&problem.need, &classes, first, ceiling, effort.rounds, |now| {
            if (effort.stop)() { Vec::new() } else { ask(now) }
        })
    };
    (found.iter().map(|p| p * unit).collect(), met)
}

/// The best way of a class at whole-number prices.
fn best_way(
    problem: &Problem<'_>,
    listed: &[Option<Vec<Vec<u32>>>],
    c: usize,
    prices: &[i64],
) -> Option<Vec<u32>> {
    let worth =
        |way: &Vec<u32>| -> i64 { way.iter().zip(prices).map(|(&n, &p)| i64::from(n) * p).sum() };
    match &listed[c] {
        Some(ways) => ways.iter().max_by_key(|w| worth(w)).cloned(),
        None => {
            let cuts = &problem.classes[c].cuts;
            let valued = cuts.value(prices);
            let counts = cuts.counts(&cuts.cut(&valued), problem.kinds.len());
            counts.iter().any(|&n| n > 0).then_some(counts)
        }
    }
}
