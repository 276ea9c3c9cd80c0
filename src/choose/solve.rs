//! From a problem to boards and ways, with what is proved.
//!
//! 1. The ways of each class are listed outright where that is quick.
//! 2. Prices come from the dual by cutting planes; classes that were not listed are asked for
//!    their best way at those prices.
//! 3. A greedy cover from the ways met so far, repaired and improved, is the first plan.
//! 4. Sums of listed ways, where those are few, or sets of boards, with exact bounds, prove the
//!    least cost.
//! 5. Where sets stay undecided, better plans are looked for around the best one and by sets with
//!    some slack.

use crate::choose::around::around;
use crate::choose::cover::{Choice, Cover, Lot, Way, clamped};
use crate::choose::fates::{bound, settle};
use crate::choose::first;
use crate::choose::master::{Found, Limits, Master};
use crate::choose::prices::{self, Row};
use crate::choose::problem::Problem;
use crate::choose::sums;
use crate::cut::list::Floor;
use rayon::prelude::*;
use rustc_hash::FxHashSet;
use std::sync::Arc;

/// How much work a search may take. Work, not time, so that runs repeat.
#[derive(Clone, Copy)]
pub struct Effort<'a> {
    /// Comparisons of labels for listing a class outright.
    pub list: u64,
    /// Labels for adding up boards that are all listed; forty times as many where
    /// sets of boards were left undecided.
    pub sums: u64,
    /// Rounds of cutting planes.
    pub rounds: usize,
    /// Nodes of the search for sets of boards.
    pub nodes: usize,
    /// Asks for an end from outside.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// News of a search: best cost so far and proved bound, in parts of cost.
pub type Tell<'a> = &'a mut dyn FnMut(&str, Option<i128>, i128);

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Boards opened as (class, way's counts); `None` if no choice was found.
    pub chosen: Option<Vec<(usize, Vec<u32>)>>,
    /// What is proved.
    pub proved: Proved,
    /// Prices of strips at the end, in parts of cost.
    pub prices: Vec<f64>,
}

/// What a search proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proved {
    /// No choice exists.
    NoChoice,
    /// No choice costs less than so many parts of cost.
    AtLeast(i128),
}

/// A search's answer in units of cost.
struct Answer {
    chosen: Option<Vec<(usize, Vec<u32>)>>,
    /// Cost of what was chosen; one more than all boards together where nothing was.
    cost: i64,
    /// No choice costs less, in units; equal to the cost when proved, which without a choice
    /// means that none exists.
    bound: i64,
    prices: Vec<i64>,
}

/// Searches for the cheapest choice. Where costs had to be rounded to whole units and the bound
/// stays below what was found for that alone, the boards that are no dearer than all that was
/// found are looked at again in finer units.
pub fn solve(problem: &mut Problem<'_>, effort: Effort<'_>, tell: Tell<'_>) -> Solved {
    let mut solved = once(problem, effort, tell);
    for _ in 0..REFINED {
        let (Some(chosen), Proved::AtLeast(bound)) = (&solved.chosen, solved.proved) else { break };
        let cost = problem.cost(chosen);
        if problem.as_good_as(bound, cost) || (effort.stop)() || !problem.refine(cost) {
            break;
        }
        let finer = once(problem, effort, tell);
        // A choice that is cheaper than what is known opens none of the boards left out.
        let known = match finer.proved {
            Proved::NoChoice => cost,
            Proved::AtLeast(bound) => bound.min(cost),
        };
        let bound = bound.max(known);
        if finer.chosen.as_ref().is_some_and(|c| problem.cost(c) < cost) {
            solved = finer;
        }
        solved.proved = Proved::AtLeast(bound);
    }
    solved
}

/// Times that costs are rounded more finely at most.
const REFINED: usize = 3;

#[allow(clippy::cast_precision_loss)]
fn once(problem: &Problem<'_>, effort: Effort<'_>, tell: Tell<'_>) -> Solved {
    let copies: Vec<usize> = problem.classes.iter().map(|c| c.copies).collect();
    let lots: Vec<Lot<'_>> = problem
        .classes
        .iter()
        .map(|c| Lot { cuts: Some(&c.cuts), cost: c.cost, ways: Vec::new(), listed: false })
        .collect();
    let Some(cover) = Cover::new(problem.need.clone(), lots, &copies) else {
        let prices = vec![0.0; problem.need.len()];
        return Solved { chosen: None, proved: Proved::AtLeast(0), prices };
    };
    // News in parts of cost.
    let parts = |units: i64| i128::from(units.max(0)) * problem.unit;
    let part = problem.unit as f64 / cover.scale.parts as f64;
    let mut tell_parts =
        |stage: &str, cost: Option<i64>, bound: i64| tell(stage, cost.map(parts), parts(bound));
    let Answer { chosen, cost, bound, prices } =
        search(cover, problem.complete, effort, &mut tell_parts);
    let proved = match chosen {
        None if bound >= cost => Proved::NoChoice,
        // Costs are rounded down: a bound in units is one in parts.
        _ => Proved::AtLeast(parts(bound)),
    };
    let prices = prices.iter().map(|&p| p as f64 * part).collect();
    Solved { chosen, proved, prices }
}

/// How many strips of each kind are missing from the best that the boards give: as few as the
/// search finds, all strips counted alike.
pub fn missing(problem: &Problem<'_>, effort: Effort<'_>) -> Vec<u32> {
    let mut copies: Vec<usize> = problem.classes.iter().map(|c| c.copies).collect();
    let mut lots: Vec<Lot<'_>> = problem
        .classes
        .iter()
        .map(|c| Lot { cuts: Some(&c.cuts), cost: 0, ways: Vec::new(), listed: false })
        .collect();
    // Each missing strip costs one, and boards nothing.
    let boards = lots.len();
    for (k, &need) in problem.need.iter().enumerate() {
        let mut one = vec![0; problem.need.len()];
        one[k] = 1;
        lots.push(Lot { cuts: None, cost: 1, ways: vec![one.into()], listed: true });
        copies.push(need as usize);
    }
    let Some(cover) = Cover::new(problem.need.clone(), lots, &copies) else {
        return problem.need.clone();
    };
    let answer = search(cover, problem.complete, effort, &mut |_, _, _| {});
    let Some(chosen) = answer.chosen else { return problem.need.clone() };
    let mut missing = vec![0; problem.need.len()];
    for (lot, _) in chosen {
        if lot >= boards {
            missing[lot - boards] += 1;
        }
    }
    missing
}

/// Searches a cover. `complete` says that the most a board comes to can be relied on.
fn search(
    mut cover: Cover<'_>,
    complete: bool,
    effort: Effort<'_>,
    tell: &mut dyn FnMut(&str, Option<i64>, i64),
) -> Answer {
    let everything = cover.everything();
    let nothing = Answer {
        chosen: None,
        cost: everything + 1,
        // Boards that were cut short may give more.
        bound: if complete { everything + 1 } else { 0 },
        prices: vec![0; cover.need.len()],
    };
    if cover.need.iter().all(|&n| n == 0) {
        return Answer { chosen: Some(Vec::new()), cost: 0, bound: 0, ..nothing };
    }
    if cover.lots.is_empty() {
        return nothing;
    }
    tell("ways to cut each board", None, 0);
    let list = |lot: &Lot<'_>| {
        let ways = lot.cuts?.list(&cover.need, &[], effort.list)?;
        (ways.len() <= WAYS).then_some(ways)
    };
    let listed: Vec<Option<Vec<Vec<u32>>>> = cover.lots.par_iter().map(list).collect();
    for (lot, ways) in cover.lots.iter_mut().zip(listed) {
        if let Some(ways) = ways {
            lot.ways = ways.into_iter().map(Way::from).collect();
            lot.listed = true;
        }
    }
    tell("prices", None, 0);
    let (float_prices, trail) = dual(&mut cover, effort);
    let prices = cover.whole_prices(&float_prices);
    let at_prices = bound(&cover, &prices);
    let bound = if complete { cover.scale.whole_units(at_prices.0) } else { 0 };
    let scales = scales(&float_prices);
    let none = || vec![None; cover.stock.len()];
    // Prices of nothing, as where boards cost nothing, don't tell what is worth cutting.
    let many = cover.stock.len() > MANY_BOARDS;
    let rounded = if many { first::rounded(&cover, &scales) } else { None };
    let start = rounded
        .or_else(|| first::complete(&cover, &float_prices, none()))
        .or_else(|| first::complete(&cover, &scales, none()))
        .map(|c| {
            let swaps = if many { 0 } else { 50 };
            first::improve(&cover, &float_prices, c, swaps, effort.stop)
        });
    tell("choice of boards", start.as_ref().map(|c| cover.cost(c)), bound);
    let members: Vec<(usize, i64)> =
        cover.stock.iter().map(|s| (s.lot, cover.lots[s.lot].cost)).collect();
    let mut news = |cost: Option<i64>, b: i64| {
        tell("choice of boards", cost, if complete { b.max(bound) } else { 0 });
    };
    let mut found = Found { choice: start, bound, ..Found::default() };
    // Each way to the end is exact; which one is quick depends on the job.
    let mut stages = vec![Stage::Sums(1), Stage::Sets(FEW_SETS), Stage::Better, Stage::Sets(SETS)];
    if few_strips(&cover.need) {
        stages.push(Stage::Listing);
    }
    stages.push(Stage::Sums(40));
    for stage in stages {
        let ceiling = found.choice.as_ref().map_or(everything + 1, |c| cover.cost(c));
        if found.bound >= ceiling || (effort.stop)() {
            break;
        }
        match stage {
            Stage::Sums(times) => {
                let labels = effort.sums * times;
                match sums::cheapest(&cover, &prices, ceiling, labels, effort.stop) {
                    Some(Some(choice)) => {
                        found.bound = cover.cost(&choice);
                        found.choice = Some(choice);
                    }
                    Some(None) => found.bound = ceiling,
                    None => {}
                }
            }
            // Programs with a row for each board take too long there.
            Stage::Sets(_) | Stage::Better if many => {}
            Stage::Sets(undecided) => {
                let fates = settle(&cover, (at_prices.0, &at_prices.1), ceiling);
                let limits = Limits { nodes: effort.nodes, undecided, stop: effort.stop };
                let before = (&trail[..], found.memory);
                let prices = (&float_prices[..], &scales[..]);
                let master = Master::new(&cover, fates, found.choice, before, prices);
                let mut new = master.run(found.bound, limits, &mut news);
                cover.keep(std::mem::take(&mut new.met));
                found = new;
            }
            Stage::Better => {
                let start = (&trail[..], &float_prices[..], &scales[..]);
                let mut tell = |cost, bound| news(cost, bound);
                found = better(&mut cover, found, start, &at_prices, effort, &mut tell);
            }
            Stage::Listing => list_promising(&mut cover, &prices, ceiling, effort.list * 40),
        }
    }
    if found.choice.as_ref().is_some_and(|c| found.bound >= cover.cost(c)) {
        found.choice = fewest_boards(&cover, &prices, found.choice, effort);
    }
    let proved = if complete { found.bound.max(bound) } else { 0 };
    let Some(choice) = found.choice else { return Answer { bound: proved, prices, ..nothing } };
    let chosen: Vec<((usize, i64), Vec<u32>)> = members
        .into_iter()
        .zip(choice)
        .filter_map(|(member, way)| way.map(|w| (member, w.to_vec())))
        .collect();
    let cost = chosen.iter().map(|c| c.0.1).sum();
    let chosen = chosen.into_iter().map(|((lot, _), way)| (lot, way)).collect();
    Answer { chosen: Some(chosen), cost, bound: proved.min(cost), prices }
}

/// Looks for a better choice around the best so far and by sets that come to somewhat more than is
/// needed, by turns. How much more a set must come to, so that it can be cut into whole strips,
/// is found by halving.
#[allow(clippy::cast_precision_loss)]
fn better(
    cover: &mut Cover<'_>,
    mut found: Found,
    (trail, prices, scales): (&[Vec<i64>], &[f64], &[f64]),
    (total, reduced): &(i128, Vec<i128>),
    effort: Effort<'_>,
    tell: &mut dyn FnMut(Option<i64>, i64),
) -> Found {
    let cost = |cover: &Cover<'_>, c: &Option<Choice>| {
        c.as_ref().map_or(cover.everything() + 1, |c| cover.cost(c))
    };
    let lowest = found.bound;
    let limits = Limits { nodes: SLACK_NODES, undecided: 1, stop: effort.stop };
    for _ in 0..TURNS {
        let before = cost(cover, &found.choice);
        if before <= lowest || (effort.stop)() {
            break;
        }
        found.choice = found.choice.map(|c| around(cover, c, prices, effort.stop));
        tell(found.choice.as_ref().map(|c| cover.cost(c)), lowest);
        let gap = cost(cover, &found.choice) as f64 / (lowest.max(1) as f64) - 1.0;
        let (mut low, mut high) = (0.0, gap.clamp(0.002, 0.3));
        while high - low > CLOSE_ENOUGH && !(effort.stop)() {
            let more = (low + high) / 2.0;
            let now = cost(cover, &found.choice);
            let fates = settle(cover, (*total, reduced), now);
            let memory = (trail, found.memory);
            let master =
                Master::new(cover, fates, found.choice, memory, (prices, scales)).with_slack(more);
            let mut new = master.run(lowest, limits, &mut |_, _| {});
            cover.keep(std::mem::take(&mut new.met));
            found = new;
            tell(found.choice.as_ref().map(|c| cover.cost(c)), lowest);
            if found.failed {
                low = more;
            } else {
                high = more;
            }
        }
        if cost(cover, &found.choice) == before {
            break;
        }
    }
    found
}

/// Turns of looking for a better choice, nodes of one search, and how near the slack that it
/// takes is found.
const TURNS: usize = 3;
const SLACK_NODES: usize = 6_000;
const CLOSE_ENOUGH: f64 = 3e-4;
/// With more boards than this, copies counted, sets of boards are not searched: the best plan is
/// what swaps found, and the bound that of prices. Measured with 10,000 copies of each board.
const MANY_BOARDS: usize = 2_000;
/// Sets that may stay undecided before a better choice is looked for otherwise, and after.
const FEW_SETS: usize = 6;
const SETS: usize = 120;

/// Among choices that cost as little as this one, one with fewer boards, if it is found within
/// effort: each board costs a trifle more, so little that all together don't make a unit of cost.
#[allow(clippy::cast_precision_loss)]
fn fewest_boards(
    cover: &Cover<'_>,
    prices: &[i64],
    choice: Option<Choice>,
    effort: Effort<'_>,
) -> Option<Choice> {
    let known = choice.as_ref()?;
    let mut copies = vec![0; cover.lots.len()];
    cover.stock.iter().for_each(|s| copies[s.lot] += 1);
    let times = i64::try_from(cover.stock.len()).ok()? + 1;
    let mut lots = cover.lots.clone();
    for lot in &mut lots {
        match lot.cost.checked_mul(times).and_then(|c| c.checked_add(1)) {
            Some(cost) => lot.cost = cost,
            None => return choice,
        }
    }
    let Some(mut finer) = Cover::new(cover.need.clone(), lots, &copies) else { return choice };
    // The same prices in units so many times as small.
    let by = times as f64 / cover.scale.parts as f64;
    let prices: Vec<f64> = prices.iter().map(|&p| p as f64 * by).collect();
    let prices = finer.whole_prices(&prices);
    let ceiling = finer.cost(known);
    list_promising(&mut finer, &prices, ceiling, effort.list * 10);
    match sums::cheapest(&finer, &prices, ceiling, effort.sums, effort.stop) {
        Some(Some(fewer)) => Some(fewer),
        _ => choice,
    }
}

/// Does the job need so few strips that the ways of any board are few enough to list, at least
/// the promising ones?
fn few_strips(need: &[u32]) -> bool {
    let vectors = need.iter().fold(1, |all: u64, &n| all.saturating_mul(u64::from(n) + 1));
    vectors <= 1_500_000
}

/// A step on the way to a proof.
#[derive(Clone, Copy)]
enum Stage {
    /// Sets of boards, by rows that every choice must meet, until so many sets are undecided.
    Sets(usize),
    /// A search for a better choice.
    Better,
    /// Adding up boards, with so many times the labels.
    Sums(u64),
    /// Listing the ways of all boards that could be in a cheaper plan.
    Listing,
}

/// Lists, for lots that aren't, every way that could be in a choice cheaper than `ceiling`. Where
/// that takes too long for one, lots stay as they are.
fn list_promising(cover: &mut Cover<'_>, prices: &[i64], ceiling: i64, effort: u64) {
    let (total, reduced) = bound(cover, prices);
    let mut reduced_of = vec![0_i128; cover.lots.len()];
    for (stock, reduced) in cover.stock.iter().zip(reduced) {
        reduced_of[stock.lot] = reduced;
    }
    // A cheaper choice costs at most one unit less.
    let most = cover.scale.parts_of(ceiling - 1);
    let list = |(lot, reduced): (&Lot<'_>, i128)| {
        if lot.listed {
            return Some(lot.ways.clone());
        }
        let cost = cover.scale.parts_of(lot.cost);
        // Cut off where no board comes to.
        let least = clamped(total + cost - reduced.min(0) - most);
        let cuts = lot.cuts?;
        let valued = cuts.value(prices);
        let floor = Floor { valued: &valued, least };
        let ways = cuts.list(&cover.need, &[floor], effort)?;
        (ways.len() <= MANY_WAYS).then(|| ways.into_iter().map(Way::from).collect())
    };
    let pairs: Vec<(&Lot<'_>, i128)> = cover.lots.iter().zip(reduced_of).collect();
    let all: Option<Vec<Vec<Way>>> = pairs.into_par_iter().map(list).collect();
    for (lot, ways) in cover.lots.iter_mut().zip(all.into_iter().flatten()) {
        (lot.ways, lot.listed) = (ways, true);
    }
}

/// Ways of one board that are kept when only promising ones are listed.
const MANY_WAYS: usize = 5_000;
/// More ways than this for one board are not kept: asking for the best one is quicker.
const WAYS: usize = 3_000;

/// Step sizes: near the prices, and never nothing.
fn scales(prices: &[f64]) -> Vec<f64> {
    let positive: Vec<f64> = prices.iter().copied().filter(|&p| p > 0.0).collect();
    let count = f64::from(u32::try_from(positive.len().max(1)).unwrap_or(1));
    let mean = (positive.iter().sum::<f64>() / count).max(1.0);
    prices.iter().map(|&p| p.max(mean * 0.2)).collect()
}

/// Prices from the dual; ways met on the way to them are kept with their lots.
#[allow(clippy::cast_precision_loss)]
fn dual(cover: &mut Cover<'_>, effort: Effort<'_>) -> (Vec<f64>, Vec<Vec<i64>>) {
    let unit = cover.lots.iter().map(|l| l.cost).max().unwrap_or(1).max(1) as f64;
    let mut classes: Vec<prices::Class> = cover
        .lots
        .iter()
        .map(|l| prices::Class { cost: l.cost as f64 / unit, copies: 0 })
        .collect();
    for stock in &cover.stock {
        classes[stock.lot].copies += 1;
    }
    // No strip can be worth more than all the boards.
    let ceiling = (cover.everything() as f64 / unit + 1.0) * 1.5;
    let need = cover.need.clone();
    let mut met: FxHashSet<(usize, Way)> = FxHashSet::default();
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
    let guess = vec![ceiling / 1e3; need.len()];
    let first = ask(&guess);
    let found = prices::find(&need, &classes, first, ceiling, effort.rounds, |now| {
        if (effort.stop)() { Vec::new() } else { ask(now) }
    });
    let found: Vec<f64> = found.iter().map(|p| p * unit).collect();
    let last = trail.len().saturating_sub(TRAIL);
    let mut trail = trail.split_off(last);
    trail.push(cover.whole_prices(&found));
    (found, trail)
}

const TRAIL: usize = 25;
