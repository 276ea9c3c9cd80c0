//! What is proved where straight-lined sections may begin and end anywhere.
//!
//! The search ([`solve::solve`]) knows of a crooked board only what it gives with straight-lined
//! sections at listed places. Its plan can be cut. Its bound holds for those places.
//!
//! So each such board has an outlook as well: what it gives at most when sections stand for
//! whole ranges of places ([`crate::cut::ranges`]). With prices π and the outlooks' values
//!
//! > cost − π·way + bound'(π) − min(0, cost − most'(π))
//!
//! is the least that a choice costs in which the board is cut that way. A way matters only if
//! that is less than the best plan costs. If every way of the outlook that matters can be cut, the
//! board is **settled**: no choice that is cheaper than the plan cuts it otherwise than the search
//! knows. Else such a way is looked for at places within the ranges of its sections, and where it
//! isn't found those ranges are halved, until the way is found, or the outlook no longer has it, or
//! the ranges are a tape's 1/64 in.
//!
//! Three things can follow, by turns; in small jobs the last comes first:
//!
//! * New ways found: the search runs again with them.
//! * All boards settled: the search's bound holds for all places.
//! * Else the search runs with the outlooks of the boards that are not settled. What it proves
//!   holds for all places. If the choice that it finds is cheaper than the plan, its ways are
//!   looked for as above: all found, it is the plan; one that is not in the finer outlook any more,
//!   the search runs again; one that stays open at 1/64 in, the plan has a gap.

use crate::choose::effort::crooked::{AT_ONCE, FEW, FINE, MANY, QUICK, ROUNDS, TURNS};
use crate::choose::effort::{Depth, Effort, MANY_STRIPS};
use crate::choose::kernel::bound::bound;
use crate::choose::kernel::cover::clamped;
use crate::choose::outlooks::{Outlook, all_complete, cuts, hopeful, of, outlook, usable};
use crate::choose::problem::Problem;
use crate::choose::solve::{self, Proved, Solved, Tell};
use crate::cut::BoardCuts;
use crate::cut::list::Floor;
use crate::cut::outlook::{DECIDE, Sought, TAPE};
use crate::cut::ranges::Places;
use rayon::prelude::*;

/// The prices of a bound and the least worth, in price parts, of ways that matter.
struct Matters<'a> {
    prices: &'a [i64],
    least: i64,
}

/// Searches for the cheapest choice; what is proved holds wherever sections begin and end.
pub fn solve(problem: &mut Problem<'_>, effort: Effort<'_>, tell: Tell<'_>) -> Solved {
    // News tells the best so far, whichever search found it.
    let (mut least, mut proved) = (None, 0);
    let mut tell = |stage: &str, cost: Option<i128>, bound: i128| {
        least = cost.into_iter().chain(least).min();
        proved = bound.max(proved);
        tell(stage, least, least.map_or(proved, |least: i128| proved.min(least)));
    };
    let tell = &mut tell;
    let open = |c: &crate::choose::problem::Class| !c.cuts.all_listed();
    let strips: u32 = problem.wanted().iter().sum();
    let (few, many) = (strips <= FEW, strips > MANY_STRIPS);
    // Jobs of many strips take the same steps where all boards are listed in full.
    let steps = many && effort.depth == Depth::Full && problem.holds();
    if !steps && !problem.classes.iter().any(open) {
        return solve::solve(problem, effort, tell);
    }
    let see = |class: usize| {
        (open(&problem.classes[class]) && !(effort.stop)()).then(|| outlook(problem, class))
    };
    let mut outlooks: Vec<Option<Outlook>> =
        (0..problem.classes.len()).into_par_iter().map(see).collect();
    // Prices at which outlooks are valued allow for as many strips as those give.
    for (class, outlook) in problem.classes.iter_mut().zip(&outlooks) {
        class.hoped = outlook.as_ref().map_or(0, |o| o.cuts.most_strips());
    }
    problem.count();
    let rich = outlooks.iter().flatten().any(|o| o.rich);
    let seen = problem.classes.iter().zip(&outlooks).all(|(c, o)| !open(c) || o.is_some());
    let complete = seen && problem.whole && problem.rack.complete && all_complete(&outlooks);
    // Where outlooks get no finer not all boards will be settled, and with many strips there is hardly
    // time for it, so a search of the listed places proves nothing, and the time is better spent on one
    // with outlooks.
    let hope = (rich || !few) && complete && effort.depth == Depth::Full;
    // A bound that holds everywhere comes first, from prices: a search that is stopped has no time
    // for one in the end.
    let mut early = 0;
    let mut begun = Solved::nothing(problem);
    if complete {
        let effort_of_prices = Effort { depth: Depth::Prices, ..effort };
        let first = solve::solve(problem, effort_of_prices, &mut |s, cost, _| tell(s, cost, 0));
        early = At::prices(problem, &outlooks, &first.prices)
            .filter(|_| !(effort.stop)())
            .map_or(0, |at| at.bound(problem).min(beyond(problem)));
        if effort.depth == Depth::Prices {
            return at_least(problem, first, early);
        }
        begun = first;
        // Where there will hardly be time to settle boards outlooks are asked for what they tell of
        // sets of boards, too.
        if !few || rich && !hope {
            let depth = if hope { Depth::Rows } else { Depth::Bound };
            // What it chooses is hoped for, and no news.
            let mut tell = |stage: &str, _: Option<i128>, bound| tell(stage, None, bound);
            tell("prices", None, early);
            let mut hopeful = hopeful(problem, &outlooks);
            let hoped = solve::solve(&mut hopeful, Effort { depth, ..effort }, &mut tell);
            problem.refuted = hopeful.refuted;
            problem.undecided = hopeful.undecided;
            early = early.max(known(&hoped, beyond(problem)));
        }
    }
    problem.proved = problem.proved.max(early);
    // Jobs of many strips look for a good choice first, then for what is proved of it with little
    // work, and then for both with more, twice.
    let turns: &[(Depth, Depth)] = match (hope, many) {
        (true, true) => {
            &[(Depth::Soon, Depth::Bound), (Depth::Good, Depth::Proof), (Depth::More, Depth::Proof)]
        }
        (true, false) => &[(Depth::Good, Depth::Proof)],
        (false, _) => &[],
    };
    let mut best = at_least(problem, begun, early);
    for &(choice, depth) in turns {
        let more = listed(problem, Effort { depth: choice, ..effort }, tell);
        best = cheaper(problem, best, more);
        let proved = prove(problem, &mut outlooks, best, (Effort { depth, ..effort }, true), tell);
        match proved.proved {
            Proved::NoChoice => return proved,
            Proved::AtLeast(bound) => early = early.max(bound),
        }
        best = proved;
        if early >= cost(problem, &best) || (effort.stop)() {
            return at_least(problem, best, early);
        }
        problem.begun = best.chosen.clone().unwrap_or_default();
    }
    let more = listed(problem, effort, tell);
    best = cheaper(problem, best, more);
    // With many strips searching with outlooks that get no finer takes minutes.
    if rich && (many || hope) || !complete {
        return at_least(problem, best, early);
    }
    let proved = prove(problem, &mut outlooks, best, (effort, false), tell);
    match proved.proved {
        Proved::NoChoice => proved,
        Proved::AtLeast(bound) => at_least(problem, proved, early.max(bound)),
    }
}

/// Searches the listed places. What is proved of them holds for no others, and is no news.
fn listed(problem: &mut Problem<'_>, effort: Effort<'_>, tell: Tell<'_>) -> Solved {
    let (bound, refuted) = (problem.proved, problem.refuted.len());
    let found = solve::solve(problem, effort, &mut |s, cost, _| tell(s, cost, bound));
    problem.refuted.truncate(refuted);
    found
}

/// What was found, with a bound that holds: no choice costs less.
fn at_least(problem: &Problem<'_>, found: Solved, bound: i128) -> Solved {
    let proved = match found.chosen {
        None if bound >= beyond(problem) => Proved::NoChoice,
        None => Proved::AtLeast(bound),
        Some(_) => Proved::AtLeast(bound.min(cost(problem, &found))),
    };
    Solved { proved, ..found }
}

/// What a choice costs, in parts; where there is none, more than all boards.
fn cost(problem: &Problem<'_>, solved: &Solved) -> i128 {
    solved.chosen.as_ref().map_or_else(|| beyond(problem), |c| problem.cost(c))
}

/// More than all boards cost together, in parts: a bound of so much says that no choice exists.
fn beyond(problem: &Problem<'_>) -> i128 {
    let all = |c: &crate::choose::problem::Class| {
        c.parts.saturating_mul(i128::try_from(c.boards.len()).unwrap_or(i128::MAX))
    };
    problem.classes.iter().map(all).fold(1, i128::saturating_add)
}

/// No choice costs less, in parts, as far as a search knows; no more than `most`.
fn known(solved: &Solved, most: i128) -> i128 {
    match solved.proved {
        Proved::NoChoice => most,
        Proved::AtLeast(bound) => bound.min(most),
    }
}

/// Proves what can be proved of the best choice, or finds a better one. With `hope` it is searched
/// with outlooks only, since not all boards will be settled.
fn prove(
    problem: &mut Problem<'_>,
    outlooks: &mut [Option<Outlook>],
    mut best: Solved,
    (effort, hope): (Effort<'_>, bool),
    tell: Tell<'_>,
) -> Solved {
    // No choice at all costs less, wherever sections begin and end, in parts.
    let mut proved = 0;
    // Where the search is quick, it is asked with outlooks before boards are settled.
    let few = hope || problem.to_cut.iter().sum::<u32>() <= FEW;
    let mut quick = if few { QUICK } else { 0 };
    for _ in 0..TURNS {
        // A search may have counted costs anew, so all is worked out from them.
        let dear = cost(problem, &best);
        let listed_hold = !hope && problem.holds();
        let of_listed = if listed_hold { known(&best, dear) } else { dear };
        let Some(at) = At::prices(problem, outlooks, &best.prices) else { break };
        proved = at.bound(problem).min(dear).max(proved);
        if proved >= of_listed || (effort.stop)() {
            break;
        }
        if quick == 0 {
            if hope {
                break;
            }
            if settle(problem, outlooks, &at, dear, effort) {
                let new = listed(problem, effort, &mut |_, _, _| {});
                best = cheaper(problem, best, new);
                continue;
            }
            let unsettled = |o: &Option<Outlook>| o.as_ref().is_some_and(|o| !o.settled);
            if !outlooks.iter().any(unsettled) {
                if listed_hold {
                    proved = proved.max(of_listed);
                }
                break;
            }
            if (effort.stop)() {
                break;
            }
        }
        let mut with_outlooks = hopeful(problem, outlooks);
        if hope {
            with_outlooks.begun = best.chosen.clone().unwrap_or_default();
        }
        let whole = with_outlooks.holds();
        let mut news = |stage: &str, _: Option<i128>, bound| {
            if hope && whole {
                tell(stage, None, bound);
            }
        };
        let hoped = solve::solve(&mut with_outlooks, effort, &mut news);
        proved = known(&hoped, dear).max(proved);
        if whole {
            problem.proved = problem.proved.max(proved);
            problem.refuted = with_outlooks.refuted;
            problem.undecided = with_outlooks.undecided;
        }
        if proved >= of_listed {
            break;
        }
        let cheaper_yet = hoped.chosen.is_some() && cost(problem, &hoped) < dear;
        let real = cheaper_yet.then(|| realised(problem, outlooks, &hoped, effort));
        match real {
            Some(Realised { chosen: Some(chosen), .. }) => {
                best = Solved { chosen: Some(chosen), ..hoped };
            }
            Some(Realised { gained: true, .. }) => {
                let new = listed(problem, effort, &mut |_, _, _| {});
                best = cheaper(problem, best, new);
            }
            Some(Realised { refuted: true, .. }) => {}
            _ if quick > 0 && !hope => quick = 1,
            _ => break,
        }
        quick = quick.saturating_sub(1);
    }
    if !all_complete(outlooks) {
        proved = 0;
    }
    let proved = match best.chosen {
        None if proved >= beyond(problem) => Proved::NoChoice,
        _ => Proved::AtLeast(proved.min(cost(problem, &best))),
    };
    Solved { proved, ..best }
}

/// The cheaper of two; the second was searched with more ways, so its bound is the one that holds.
fn cheaper(problem: &Problem<'_>, old: Solved, new: Solved) -> Solved {
    let (proved, dearer) = (new.proved, cost(problem, &new) > cost(problem, &old));
    let better = if dearer { old } else { new };
    // No choice beside the known one is none that is cheaper.
    let proved = match (proved, &better.chosen) {
        (Proved::NoChoice, Some(chosen)) => Proved::AtLeast(problem.cost(chosen)),
        (proved, _) => proved,
    };
    Solved { proved, ..better }
}

/// The bound at some prices, and each class's `cost − most`. Boards that are settled count as
/// known, so the bound holds for choices that are cheaper than the plan.
struct At {
    prices: Vec<i64>,
    total: i128,
    reduced: Vec<i128>,
    scale: crate::choose::kernel::cover::Scale,
}

impl At {
    /// At these prices, in parts of cost. `None` where sums would not fit.
    #[allow(clippy::cast_precision_loss)]
    fn prices(problem: &Problem<'_>, outlooks: &[Option<Outlook>], prices: &[f64]) -> Option<At> {
        let (lots, copies) = problem.lots(|class, c| {
            let outlook = outlooks[class].as_ref().filter(|o| !o.settled);
            (outlook.map_or(&c.cuts, |o| &o.cuts), c.cost)
        });
        let mut reduced = vec![0; lots.len()];
        let cover = problem.cover(lots, &copies)?;
        let units: Vec<f64> = prices.iter().map(|p| p / problem.unit as f64).collect();
        let prices = cover.whole_prices(&units);
        let (total, of_boards) = bound(&cover, &prices);
        for (stock, of_board) in cover.stock.iter().zip(of_boards) {
            reduced[stock.lot] = of_board;
        }
        Some(At { prices, total, reduced, scale: cover.scale })
    }

    /// The bound in parts of cost: costs were rounded down, so it is one.
    fn bound(&self, problem: &Problem<'_>) -> i128 {
        let units = self.scale.whole_units(self.total);
        let all = |c: &crate::choose::problem::Class| i128::from(c.cost) * c.copies as i128;
        // More than all boards: no choice exists.
        if i128::from(units) > problem.classes.iter().map(all).sum() {
            return i128::MAX;
        }
        i128::from(units.max(0)) * problem.unit
    }
}

/// Settles the boards that can be settled; true if new ways were found.
fn settle(
    problem: &mut Problem<'_>,
    outlooks: &mut [Option<Outlook>],
    at: &At,
    dear: i128,
    effort: Effort<'_>,
) -> bool {
    // A cheaper choice costs a part less at most; in whole units, rounded down.
    let units = clamped((dear - 1).div_euclid(problem.unit));
    let most = at.scale.parts_of(units);
    let given: &Problem<'_> = problem;
    let gained: Vec<Option<Places>> = outlooks
        .par_iter_mut()
        .enumerate()
        .map(|(class, outlook)| {
            let outlook = outlook.as_mut().filter(|o| !o.settled && !o.rich)?;
            let cost = at.scale.parts_of(given.classes[class].cost);
            let least = at.total + cost - at.reduced[class].min(0) - most;
            // Cut off where no board comes to, or every way matters.
            let matters = Matters { prices: &at.prices, least: clamped(least) };
            settle_class(given, class, outlook, &matters, effort)
        })
        .collect();
    let mut any = false;
    for (class, places) in gained.into_iter().enumerate() {
        let Some(places) = places else { continue };
        let taken = take(problem, class, places);
        any |= taken;
        // What was found is not known then, or other ways may be lost with it.
        if let Some(outlook) = outlooks[class].as_mut()
            && (!taken || problem.classes[class].cuts.thinned)
        {
            (outlook.settled, outlook.rich) = (false, true);
        }
    }
    any
}

/// Works a board out with more places, unless it is too much to list all that it would give with
/// them, or there is no time: then it would give less than before.
fn take(problem: &mut Problem<'_>, class: usize, places: Places) -> bool {
    let more = cuts(problem, class, &problem.to_cut, &places);
    let of = &mut problem.classes[class];
    let taken = more.complete && (of.cuts.thinned || !more.thinned);
    if taken {
        (of.cuts, of.places) = (more, places);
    }
    taken
}

/// Settles one board if it can; returns its places if ways were found that were not known.
fn settle_class(
    problem: &Problem<'_>,
    class: usize,
    outlook: &mut Outlook,
    matters: &Matters<'_>,
    effort: Effort<'_>,
) -> Option<Places> {
    let (low, high) = usable(problem, class);
    let list = |cuts: &BoardCuts| {
        let valued = cuts.value(matters.prices);
        let floor = Floor { valued: &valued, least: matters.least };
        cuts.list(&problem.need, &[floor], effort.list)
    };
    let Some(mut known) = list(&problem.classes[class].cuts) else {
        outlook.rich = true;
        return None;
    };
    let mut places = problem.classes[class].places.clone();
    let mut gained = None;
    for _ in 0..ROUNDS {
        if (effort.stop)() || !outlook.cuts.complete {
            break;
        }
        let Some(hoped) = list(&outlook.cuts) else {
            outlook.rich = true;
            break;
        };
        let covered = |way: &Vec<u32>| known.iter().any(|k| k.iter().zip(way).all(|(a, b)| a >= b));
        let missing: Vec<Vec<u32>> = hoped.into_iter().filter(|w| !covered(w)).collect();
        if missing.is_empty() {
            outlook.settled = true;
            break;
        }
        let many = missing.len() > MANY && outlook.marks.widest(low, high) > FINE;
        if many && outlook.halve_all(problem, class) {
            continue;
        }
        let (mut found, mut halved) = (false, false);
        for way in missing.into_iter().take(AT_ONCE) {
            let Some(Some(cut)) = outlook.cuts.decide(&way, DECIDE) else { continue };
            if let Some(more) = of(problem, class).within(&way, &places, &outlook.cuts, &cut) {
                places = more;
                gained = Some(places.clone());
                found = true;
                known.push(way);
            } else {
                halved |= outlook.marks.halve(&outlook.cuts, &cut, TAPE);
            }
        }
        if !found && !halved {
            break;
        }
        if halved && !outlook.renew(problem, class) {
            break;
        }
    }
    gained
}

/// What came of looking for the ways of a choice that was made with outlooks.
struct Realised {
    /// The choice, if all its ways can be cut; what was in doubt gives no more than is needed.
    chosen: Option<Vec<(usize, Vec<u32>)>>,
    /// The problem has new ways.
    gained: bool,
    /// A way can't be cut, and the outlook doesn't have it any more.
    refuted: bool,
}

/// Looks for ways to cut what was chosen with outlooks.
fn realised(
    problem: &mut Problem<'_>,
    outlooks: &mut [Option<Outlook>],
    hoped: &Solved,
    effort: Effort<'_>,
) -> Realised {
    let mut chosen: Vec<(usize, Vec<u32>)> = hoped.chosen.clone().unwrap_or_default();
    let of_outlooks: Vec<bool> =
        outlooks.iter().map(|o| o.as_ref().is_some_and(|o| !o.settled)).collect();
    // What the rack gives stands behind the classes, and is known.
    let unsettled = |class: usize| of_outlooks.get(class).is_some_and(|&open| open);
    // The longest of each family first: no sum falls below that of the longer ones.
    for &k in problem.families.longest_first() {
        let given: u32 = chosen.iter().map(|c| c.1[k]).sum();
        let mut surplus = given.saturating_sub(problem.need[k]);
        for (_, way) in chosen.iter_mut().filter(|c| unsettled(c.0)) {
            let less = surplus.min(problem.families.beyond(way, k));
            way[k] -= less;
            surplus -= less;
        }
    }
    let (mut all, mut gained, mut refuted) = (true, false, false);
    for (class, way) in chosen.iter().filter(|c| unsettled(c.0)) {
        let Some(outlook) = outlooks[*class].as_mut() else { continue };
        let listed = &problem.classes[*class].cuts;
        if !listed.complete {
            // It is laid out as it is listed.
            all &= listed.decide(way, DECIDE).flatten().is_some();
            continue;
        }
        let of = of(problem, *class);
        // Ranges of one way are worked out with its own lengths only.
        let mut marks = outlook.marks.clone();
        let sought = of.seek(way, &problem.classes[*class].places, &mut marks, effort.stop);
        if !outlook.fixed {
            outlook.marks = marks;
        }
        match sought {
            Sought::Known => {}
            Sought::Found(places) => {
                let taken = take(problem, *class, places);
                (all, gained) = (all && taken, gained || taken);
            }
            Sought::Refuted if outlook.fixed => all = false,
            Sought::Refuted => {
                // With too many ways, what follows is likely to be refuted as well.
                if !(outlook.rich && outlook.halve_all(problem, *class)) {
                    outlook.renew(problem, *class);
                }
                // One that gets no finer has the way still.
                (all, refuted) = (false, refuted || !outlook.fixed);
            }
            Sought::Undecided => all = false,
        }
    }
    Realised { chosen: all.then_some(chosen), gained, refuted }
}
