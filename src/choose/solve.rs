//! From a problem to boards and ways, with what is proved: costs in parts outside, in whole units
//! within the search.

use crate::choose::effort::Effort;
use crate::choose::effort::units::REFINED;
use crate::choose::kernel::cover::{Choice, Cover, Lot};
use crate::choose::problem::Problem;
use crate::choose::search::{Answer, Begin, search};

/// News of a search: best cost so far and proved bound, in parts of cost.
pub type Tell<'a> = &'a mut dyn FnMut(&str, Option<i128>, i128);

/// What came of a search.
#[derive(Clone, Debug)]
pub struct Solved {
    /// Boards opened as (class, way's counts), and behind the classes what parts of the rack give;
    /// `None` if no choice was found.
    pub chosen: Option<Vec<(usize, Vec<u32>)>>,
    /// What is proved.
    pub proved: Proved,
    /// Prices of strips at the end, in parts of cost.
    pub prices: Vec<f64>,
}

impl Solved {
    /// Nothing found, and nothing proved.
    pub fn nothing(problem: &Problem<'_>) -> Solved {
        let prices = vec![0.0; problem.need.len()];
        Solved { chosen: None, proved: Proved::AtLeast(0), prices }
    }
}

/// What a search proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proved {
    /// No choice exists.
    NoChoice,
    /// No choice costs less than so many parts of cost.
    AtLeast(i128),
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

#[allow(clippy::cast_precision_loss)]
fn once(problem: &mut Problem<'_>, effort: Effort<'_>, tell: Tell<'_>) -> Solved {
    let (lots, copies) = problem.lots(|_, c| (&c.cuts, c.cost));
    let Some(cover) = problem.cover(lots, &copies) else {
        return Solved::nothing(problem);
    };
    let known = known(problem, &cover);
    // Costs in units are whole parts only where they are exact.
    let bound = if problem.exact { problem.proved.div_euclid(problem.unit) } else { 0 };
    let bound = i64::try_from(bound).unwrap_or(0).min(cover.everything());
    let refuted = &problem.refuted;
    let undecided = &problem.undecided;
    let begin = Begin { choice: known.as_ref(), prices: None, bound, refuted, undecided };
    // News in parts of cost.
    let parts = |units: i64| i128::from(units.max(0)) * problem.unit;
    let part = problem.unit as f64 / cover.scale.parts as f64;
    let mut tell_parts =
        |stage: &str, cost: Option<i64>, bound: i64| tell(stage, cost.map(parts), parts(bound));
    let Answer { chosen, cost, bound, prices, met, refuted: new, undecided } =
        search(cover, problem.holds(), begin, effort, &mut tell_parts);
    problem.refuted.extend(new);
    problem.undecided = undecided;
    problem.met = met;
    problem.met.truncate(problem.classes.len());
    // A way may have been cut off at what was needed of a shorter kind and not of a longer one.
    let families = &problem.families;
    let whole = |way: &Vec<u32>| families.sums(&families.counts(way));
    let chosen = chosen.map(|c| c.iter().map(|(class, way)| (*class, whole(way))).collect());
    let proved = match chosen {
        None if bound >= cost => Proved::NoChoice,
        // Costs are rounded down: a bound in units is one in parts.
        _ => Proved::AtLeast(parts(bound)),
    };
    let prices = prices.iter().map(|&p| p as f64 * part).collect();
    Solved { chosen, proved, prices }
}

/// The choice that the problem begins with, as one of the cover's.
fn known(problem: &Problem<'_>, cover: &Cover<'_>) -> Option<Choice> {
    let known = problem.known.iter().map(|laid| (laid.board.class, &laid.board.gives));
    let begun = problem.begun.iter().map(|(class, way)| (*class, way));
    let ways: Vec<(usize, &Vec<u32>)> =
        if problem.begun.is_empty() { known.collect() } else { begun.collect() };
    let mut choice: Choice = vec![None; cover.stock.len()];
    for &(class, way) in &ways {
        let free = |b: &usize| cover.stock[*b].lot == class && choice[*b].is_none();
        let board = (0..choice.len()).find(free)?;
        choice[board] = Some(way.clone().into());
    }
    (!ways.is_empty()).then_some(choice)
}

/// How many strips of each kind are missing from the best that the boards give: as few as the
/// search finds, all strips counted alike.
pub fn missing(problem: &Problem<'_>, effort: Effort<'_>) -> Vec<u32> {
    let (mut lots, mut copies) = problem.lots(|_, c| (&c.cuts, 0));
    // Each missing strip costs one, and boards and what is in hand nothing.
    let boards = lots.len();
    for (k, &wanted) in problem.to_cut.iter().enumerate() {
        let mut one = vec![0; problem.need.len()];
        one[k] = 1;
        let ways = vec![problem.families.sums(&one).into()];
        lots.push(Lot { cuts: None, cost: 1, ways, listed: true });
        copies.push(wanted as usize);
    }
    let Some(cover) = problem.cover(lots, &copies) else {
        return problem.to_cut.clone();
    };
    let answer = search(cover, problem.holds(), Begin::default(), effort, &mut |_, _, _| {});
    let Some(chosen) = answer.chosen else { return problem.to_cut.clone() };
    let mut missing = vec![0; problem.need.len()];
    for (lot, _) in chosen {
        if lot >= boards {
            missing[lot - boards] += 1;
        }
    }
    missing
}
