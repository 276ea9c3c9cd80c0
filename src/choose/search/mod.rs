//! The search for a cheap cover and for the proof that none is cheaper.
//!
//! 1. The ways of each lot are listed outright where that is quick.
//! 2. `prices`: prices come from the dual by cutting planes; lots that were not listed are asked
//!    for their best way at those prices.
//! 3. `greedy`: a cover from the ways met so far, repaired and improved, is the first plan.
//! 4. `sums` of listed ways, where those are few, or `sets` of boards, with exact bounds, prove
//!    the least cost.
//! 5. Where sets stay undecided, better plans are looked for around the best one (`near`) and by
//!    sets with some slack.

mod afresh;
mod better;
mod branch;
mod drawn;
mod enough;
mod exchange;
mod freed;
mod greedy;
mod halved;
mod near;
mod node;
mod prices;
mod recut;
mod rounded;
pub mod sets;
mod some_kinds;
mod sums;
pub mod tight;
mod together;
mod varied;
mod walk;

use crate::choose::effort::exchange::{FAILED, FAILED_OF_FEW};
use crate::choose::effort::freed::{AGAIN, MENDED_AGAIN};
use crate::choose::effort::halved::HALVES;
use crate::choose::effort::stages::{
    ANY_ROUNDS, EARLY, FEW_SETS, MANY_BOARDS, MANY_WAYS, MET, QUICK_SETS, SETS, SOME_SETS, SOON,
    WAYS,
};
use crate::choose::effort::{Depth, Effort, MANY_STRIPS};
use crate::choose::kernel::bound::{bound, settle};
use crate::choose::kernel::cover::{Choice, Cover, Lot, Way, clamped};
use crate::cut::BoardCuts;
use crate::cut::list::Floor;
use better::better;
use drawn::Drawn;
use enough::Pains;
use prices::{dual, scales};
use rayon::prelude::*;
use sets::{Found, Limits, Master};

/// A search's answer in units of cost.
pub struct Answer {
    /// Boards opened as (lot, way).
    pub chosen: Option<Vec<(usize, Vec<u32>)>>,
    /// Cost of what was chosen; one more than all boards together where nothing was.
    pub cost: i64,
    /// No choice costs less, in units; equal to the cost when proved, which without a choice
    /// means that none exists.
    pub bound: i64,
    /// Prices of strips at the end, in price parts.
    pub prices: Vec<i64>,
    /// Ways met of each lot that was not listed.
    pub met: Vec<Vec<Way>>,
    /// Lots of boards that are not enough, as deciding them showed, each as often as it has boards
    /// among them.
    pub refuted: Vec<Vec<usize>>,
    /// Lots of boards of which it is not known whether they are enough, in the same manner. Choices of
    /// them would be cheaper than what was found.
    pub undecided: Vec<Vec<usize>>,
}

/// What a search begins with.
#[derive(Clone, Copy, Debug, Default)]
pub struct Begin<'b> {
    /// A choice.
    pub choice: Option<&'b Choice>,
    /// Likely prices of strips, in units of cost.
    pub prices: Option<&'b [f64]>,
    /// No choice costs less, in units, as is known from elsewhere.
    pub bound: i64,
    /// Lots that are known not to be enough, as [`Answer::refuted`].
    pub refuted: &'b [Vec<usize>],
    /// Lots that may be enough, as [`Answer::undecided`].
    pub undecided: &'b [Vec<usize>],
}

/// Searches a cover. `complete` says that the most a board comes to can be relied on.
pub fn search(
    mut cover: Cover<'_>,
    complete: bool,
    begin: Begin<'_>,
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
        met: Vec::new(),
        refuted: Vec::new(),
        undecided: Vec::new(),
    };
    if cover.need.iter().all(|&n| n == 0) {
        return Answer { chosen: Some(Vec::new()), cost: 0, bound: 0, ..nothing };
    }
    if cover.lots.is_empty() {
        return nothing;
    }
    if effort.depth == Depth::Any {
        let choice = any(&mut cover, begin, effort);
        let cost = choice.as_ref().map_or(nothing.cost, |c| cover.cost(c));
        let chosen = choice.map(|c| opened(&cover, c));
        return Answer { chosen, cost, bound: 0, met: met(&mut cover), ..nothing };
    }
    tell("ways to cut each board", None, 0);
    list_soon(&mut cover, effort);
    let many = cover.stock.len() > MANY_BOARDS;
    if many {
        let all: Vec<usize> = (0..cover.need.len()).collect();
        cut_for_one_kind_each(&mut cover, &all);
    }
    tell("prices", None, 0);
    let (float_prices, trail) = dual(&mut cover, begin.prices, effort);
    let prices = cover.whole_prices(&float_prices);
    let at_prices = bound(&cover, &prices);
    let bound = if complete { cover.scale.whole_units(at_prices.0).max(begin.bound) } else { 0 };
    let scales = scales(&float_prices);
    let start = first(&cover, many, (&float_prices, &scales));
    tell("choice of boards", start.as_ref().map(|c| cover.cost(c)), bound);
    let swaps = if many { 0 } else { 50 };
    let start = start.map(|c| greedy::improve(&cover, &float_prices, c, swaps, effort.stop));
    let start = begun(&mut cover, start, begin.choice.cloned(), &float_prices, effort);
    tell("choice of boards", start.as_ref().map(|c| cover.cost(c)), bound);
    let mut news = |cost: Option<i64>, b: i64| {
        tell("choice of boards", cost, if complete { b.max(bound) } else { 0 });
    };
    let mut found = Found { choice: start, bound, ..Found::default() };
    let mut drawn = Drawn::new();
    // What other searches have learned the first one for sets is told; it stays with its rows.
    let mut known: Vec<Vec<usize>> =
        begin.refuted.iter().map(|lots| first_of(&cover, lots)).collect();
    let mut refuted: Vec<Vec<usize>> = Vec::new();
    let many_strips = strips(&cover) > u64::from(MANY_STRIPS);
    for stage in stages(effort.depth, many_strips, &cover) {
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
            Stage::Sets(..) | Stage::Better | Stage::Freed | Stage::Exchange(_) if many => {}
            Stage::Exchange(time) => {
                let Some(choice) = found.choice.take() else { continue };
                let known = exchange::Known {
                    prices: &float_prices,
                    scales: &scales,
                    trail: &trail,
                    reduced: &at_prices.1,
                    lowest: found.bound,
                };
                let sets: Vec<Vec<usize>> =
                    begin.undecided.iter().map(|lots| first_of(&cover, lots)).collect();
                let sets = (&found.nearest[..], &sets[..]);
                let mut tell = |cost| news(Some(cost), found.bound);
                let failing = if many_strips { usize::MAX } else { FAILED_OF_FEW };
                let with = (time, FAILED[time].min(failing), effort.stop);
                let better = exchange::exchanged(&cover, choice, known, sets, with, &mut tell);
                cover.keep(better.met);
                found.choice = Some(better.choice);
                found.nearest.extend(better.nearest);
            }
            Stage::Sets(undecided, longer) => {
                let fates = settle(&cover, (at_prices.0, &at_prices.1), ceiling);
                let pains = pains(effort.depth, undecided);
                let nodes = match effort.depth {
                    Depth::Rows | Depth::Bound => effort.nodes / EARLY,
                    _ => effort.nodes,
                };
                let limits = Limits { nodes, undecided, longer, pains, stop: effort.stop };
                let before = (&trail[..], found.memory);
                let prices = (&float_prices[..], &scales[..]);
                let master = Master::new(&cover, fates, found.choice, before, prices);
                let master = master.knowing(&std::mem::take(&mut known));
                let mut new = master.run(found.bound, limits, &mut news);
                cover.keep(std::mem::take(&mut new.met));
                refuted.append(&mut new.refuted);
                found = new;
            }
            Stage::Better => {
                let start = (&trail[..], &float_prices[..], &scales[..]);
                let mut tell = |cost, bound| news(cost, bound);
                let with = (&mut drawn, effort);
                found = better(&mut cover, found, start, &at_prices, with, &mut tell);
                refuted.append(&mut found.refuted);
            }
            Stage::Freed => {
                // Before a proof a few tries do; more come after it.
                let few = matches!(effort.depth, Depth::Soon | Depth::Good);
                let again = if few { MENDED_AGAIN } else { AGAIN };
                let least = (found.bound, again);
                let mut tell = |cost| news(Some(cost), found.bound);
                let improve = |c| {
                    freed::improve(&cover, c, (&mut drawn, &float_prices), least, effort, &mut tell)
                };
                found.choice = found.choice.map(improve);
            }
            Stage::Listing => list_promising(&mut cover, &prices, ceiling, effort.list * 40),
        }
    }
    if found.choice.as_ref().is_some_and(|c| found.bound >= cover.cost(c)) {
        found.choice = fewest_boards(&cover, &prices, found.choice, effort);
    }
    let proved = if complete { found.bound.max(bound) } else { 0 };
    let met = met(&mut cover);
    let lot = |&b: &usize| cover.stock[b].lot;
    let refuted = refuted.iter().map(|set| set.iter().map(lot).collect()).collect();
    let undecided = found.memory.undecided();
    let undecided = undecided.map(|set| set.iter().map(lot).collect()).collect();
    let Some(choice) = found.choice else {
        return Answer { bound: proved, prices, met, refuted, undecided, ..nothing };
    };
    let cost = cover.cost(&choice);
    let chosen = opened(&cover, choice);
    Answer { chosen: Some(chosen), cost, bound: proved.min(cost), prices, met, refuted, undecided }
}

/// The first boards of these lots, as far as there are as many.
fn first_of(cover: &Cover<'_>, lots: &[usize]) -> Vec<usize> {
    let mut boards: Vec<usize> = Vec::with_capacity(lots.len());
    for &lot in lots {
        let free = |&b: &usize| cover.stock[b].lot == lot && !boards.contains(&b);
        boards.extend((0..cover.stock.len()).find(free));
    }
    boards
}

/// Lists the ways of the lots of which that is quick.
fn list_soon(cover: &mut Cover<'_>, effort: Effort<'_>) {
    let list = |lot: &Lot<'_>| {
        let cuts = lot.cuts.filter(|c| soon(c))?;
        cuts.list_few(&cover.need, &[], WAYS, effort.list)
    };
    let listed: Vec<Option<Vec<Vec<u32>>>> = cover.lots.par_iter().map(list).collect();
    for (lot, ways) in cover.lots.iter_mut().zip(listed) {
        if let Some(ways) = ways {
            lot.ways = ways.into_iter().map(Way::from).collect();
            lot.listed = true;
        }
    }
}

/// The boards that a choice opens, as (lot, way).
fn opened(cover: &Cover<'_>, choice: Choice) -> Vec<(usize, Vec<u32>)> {
    let lots = cover.stock.iter().map(|s| s.lot);
    lots.zip(choice).filter_map(|(lot, way)| Some((lot, way?.to_vec()))).collect()
}

/// Any choice, from the ways met in the first few rounds towards prices, and where those are not
/// enough, from ways that give most of what is missing.
fn any(cover: &mut Cover<'_>, begin: Begin<'_>, effort: Effort<'_>) -> Option<Choice> {
    let effort = Effort { rounds: ANY_ROUNDS, ..effort };
    let (prices, _) = dual(cover, begin.prices, effort);
    let prices = scales(&prices);
    for _ in 0..ANY_ROUNDS {
        let none = vec![None; cover.stock.len()];
        match greedy::complete(cover, &prices, none) {
            Ok(choice) => return Some(choice),
            Err(missing) => cut_for_one_kind_each(cover, &missing),
        }
    }
    None
}

/// The last ways that were met of each lot that was not listed.
fn met(cover: &mut Cover<'_>) -> Vec<Vec<Way>> {
    let of = |lot: &mut Lot<'_>| {
        let mut ways = std::mem::take(&mut lot.ways);
        if lot.listed { Vec::new() } else { ways.split_off(ways.len().saturating_sub(MET)) }
    };
    cover.lots.iter_mut().map(of).collect()
}

/// A first choice, at good prices or typical ones.
fn first(cover: &Cover<'_>, many: bool, (prices, scales): (&[f64], &[f64])) -> Option<Choice> {
    let none = || vec![None; cover.stock.len()];
    let rounded = if many { greedy::rounded(cover, scales) } else { None };
    // Prices of nothing, as where boards cost nothing, don't tell what is worth cutting.
    rounded
        .or_else(|| greedy::complete(cover, prices, none()).ok())
        .or_else(|| greedy::complete(cover, scales, none()).ok())
}

/// The steps to the end, of a job of few strips or of many. Each way there is exact; which one is quick depends on the job.
fn stages(depth: Depth, many: bool, cover: &Cover<'_>) -> Vec<Stage> {
    match depth {
        Depth::Any | Depth::Prices => Vec::new(),
        Depth::Rows if many => vec![Stage::Sets(QUICK_SETS, false)],
        // Few strips come from few boards, and deciding a set of them is quick with little work.
        Depth::Rows | Depth::Bound => vec![Stage::Sets(FEW_SETS, false)],
        Depth::Soon => {
            let [first, again] = [Stage::Exchange(0), Stage::Exchange(1)];
            vec![Stage::Sums(1), first, Stage::Better, again, Stage::Freed]
        }
        Depth::Part => vec![Stage::Sums(1), Stage::Sets(QUICK_SETS, false), Stage::Better],
        Depth::Quick => vec![Stage::Sums(1), Stage::Sets(QUICK_SETS, false), Stage::Better],
        Depth::Full | Depth::Good | Depth::More | Depth::Proof => {
            // Of boards with very many ways hardly a set is cut or shown short, and with many strips
            // a good choice comes before the proof.
            let rich = cover.lots.iter().any(|l| !l.listed && l.cuts.is_some_and(|c| !soon(c)));
            let hopeless = rich && many;
            let mut stages = vec![Stage::Sums(1)];
            if depth != Depth::Proof {
                // Sets with slack were tried soon where a good choice is all that is asked.
                if depth == Depth::Good && (many || rich) {
                    stages.push(Stage::Exchange(2));
                    // With many strips boards are freed once something is proved.
                    if !many {
                        stages.push(Stage::Freed);
                    }
                } else if depth == Depth::More {
                    stages.extend([Stage::Exchange(3), Stage::Freed]);
                } else if rich || many {
                    stages.extend([Stage::Sets(QUICK_SETS, false), Stage::Better, Stage::Freed]);
                }
                // Of few strips the cheapest sets are soon decided, or not for long.
                let few = !(rich || many);
                if few {
                    stages.extend([Stage::Sets(SOME_SETS, false), Stage::Exchange(2)]);
                }
                if depth == Depth::Full || few {
                    stages.extend([Stage::Sets(FEW_SETS, !hopeless), Stage::Freed, Stage::Better]);
                    stages.push(Stage::Freed);
                }
            }
            if !matches!(depth, Depth::Good | Depth::More) {
                // Deciding a set takes seconds there.
                if many && depth == Depth::Proof {
                    stages.push(Stage::Sets(FEW_SETS, true));
                } else if !hopeless {
                    stages.push(Stage::Sets(SETS, true));
                }
                if few_strips(&cover.need) {
                    stages.push(Stage::Listing);
                }
                stages.push(Stage::Sums(40));
            }
            stages
        }
    }
}

/// How much work a set of boards is worth, where so many may stay undecided.
fn pains(depth: Depth, undecided: usize) -> Pains {
    let halvings = match undecided {
        n if n <= SOME_SETS => 1,
        n if n <= FEW_SETS => 2,
        _ => HALVES.len(),
    };
    let proof = depth == Depth::Proof;
    match depth {
        Depth::Part => Pains::PART,
        Depth::Rows => Pains { proof: true, ..Pains::LITTLE },
        Depth::Bound => Pains { halvings: 1, proof: true, ..Pains::SHORT },
        Depth::Full | Depth::Good if undecided == QUICK_SETS => Pains::LITTLE,
        _ => Pains { halvings, proof, ..Pains::SHORT },
    }
}

/// How many strips are needed.
fn strips(cover: &Cover<'_>) -> u64 {
    let families = cover.lots.iter().find_map(|l| l.cuts).map(|c| &c.nested.kinds);
    let counts = families.map(|f| f.counts(&cover.need));
    counts.as_ref().unwrap_or(&cover.need).iter().map(|&n| u64::from(n)).sum()
}

/// Is a board cut into so few sorts of strip that it may be listed soon?
fn soon(cuts: &BoardCuts) -> bool {
    cuts.served.items.len() <= SOON
}

/// The choice to begin with, improved, if it is cheaper than the first one found.
fn begun(
    cover: &mut Cover<'_>,
    start: Option<Choice>,
    known: Option<Choice>,
    prices: &[f64],
    effort: Effort<'_>,
) -> Option<Choice> {
    // What the rack gives stands in no choice that is handed on.
    let whole =
        |k: Choice| if cover.meets(&k) { Some(k) } else { greedy::complete(cover, prices, k).ok() };
    let Some(known) = known.and_then(whole) else { return start };
    let lot = |b: usize, way: &Option<Way>| Some((cover.stock[b].lot, way.clone()?));
    let met: Vec<(usize, Way)> =
        known.iter().enumerate().filter_map(|(b, way)| lot(b, way)).collect();
    cover.keep(met.into_iter().filter(|m| !cover.lots[m.0].listed).collect());
    let known = greedy::improve(cover, prices, known, 50, effort.stop);
    match start {
        Some(start) if cover.cost(&start) <= cover.cost(&known) => Some(start),
        _ => Some(known),
    }
}

/// Meets the ways that give most of one of these kinds of strip. With very many boards the time may be up
/// before prices are good ones; a plan from these is a plan.
fn cut_for_one_kind_each(cover: &mut Cover<'_>, kinds: &[usize]) {
    for &k in kinds {
        let mut prices = vec![0; cover.need.len()];
        prices[k] = 1;
        let met: Vec<(usize, Way)> = (0..cover.lots.len())
            .into_par_iter()
            .filter(|&lot| !cover.lots[lot].listed)
            .filter_map(|lot| Some((lot, cover.best_way(lot, &prices)?)))
            .filter(|(_, way)| way.iter().any(|&n| n > 0))
            .collect();
        cover.keep(met);
    }
}

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
    let finer = Cover::new(cover.need.clone(), lots, &copies);
    let Some(mut finer) = finer.map(|c| c.until(&cover.stop)) else { return choice };
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
    /// Sets of boards, by rows that every choice must meet, until so many sets are undecided; then
    /// the cheapest of those may be worked on longer.
    Sets(usize, bool),
    /// A search for a better choice.
    Better,
    /// The same by exchanging boards, the first time or a later one.
    Exchange(usize),
    /// The same with a few boards freed.
    Freed,
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
        let ways = cuts.list_few(&cover.need, &[floor], MANY_WAYS, effort)?;
        Some(ways.into_iter().map(Way::from).collect())
    };
    let pairs: Vec<(&Lot<'_>, i128)> = cover.lots.iter().zip(reduced_of).collect();
    let all: Option<Vec<Vec<Way>>> = pairs.into_par_iter().map(list).collect();
    for (lot, ways) in cover.lots.iter_mut().zip(all.into_iter().flatten()) {
        (lot.ways, lot.listed) = (ways, true);
    }
}
