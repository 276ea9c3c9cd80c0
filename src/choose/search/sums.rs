//! Choices by sums: board after board, the sums of counts that can still lead to a good choice.
//!
//! A sum is what the boards looked at so far give together, cut off at what is needed, at the
//! least cost known for it. Equal boards and orders of ways make no difference to sums. At any
//! prices π its cost can't end below
//!
//! `cost + π·(need − sum) + Σ over boards to come of min(0, cost − most)`
//!
//! in whole numbers; several π may be asked. Sums that reach the ceiling that way are dropped. Where the
//! gap between bound and ceiling is small this leaves few, and the search is exact; where they
//! are too many the best go on, and what is found is a choice, but no proof.

use crate::choose::effort::sums::{PAIRS, SLICE};
use crate::choose::kernel::cover::{Choice, Cover, Lot, MOST, Scale, Way, owed, worth};
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// Most kinds of strip, and the greatest count.
const KINDS: usize = 24;

/// Counts by kind, cut off at what is needed.
type Sum = [u8; KINDS];

/// A board as the sums see it.
pub struct Part<'a> {
    /// The board.
    pub board: usize,
    /// What it costs, in units.
    pub cost: i64,
    /// What it comes to at most at each of the prices, in price parts.
    pub most: Vec<i64>,
    /// Ways to cut it.
    pub ways: &'a [Way],
}

/// What is asked.
pub struct Asked<'a> {
    /// Strips of each kind.
    pub need: &'a [u32],
    /// Prices, in price parts.
    pub prices: &'a [Vec<i64>],
    /// How the prices were made.
    pub scale: Scale,
    /// Only choices below this cost are of interest, in units.
    pub ceiling: i64,
    /// Sums that go on from board to board.
    pub beam: usize,
    /// Additions in all.
    pub effort: u64,
    /// Asked for an end from outside.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// What came of it.
pub enum Summed {
    /// A choice below the ceiling.
    Better {
        /// Boards opened, each with its way.
        ways: Vec<(usize, Way)>,
        /// What they cost, in units.
        cost: i64,
        /// No choice of these ways costs less.
        cheapest: bool,
    },
    /// These ways hold no choice below the ceiling.
    NoBetter,
    /// None was found, but sums were left out.
    Unknown,
}

#[derive(Clone, Copy)]
struct Label {
    sum: Sum,
    cost: i64,
    before: u32,
    way: u32,
}

/// The board stays whole.
const WHOLE: u32 = u32::MAX;

/// The kept sums after each board.
struct Walk {
    steps: Vec<Vec<Label>>,
    /// The board after which all that is needed was first come to, and how; the best of those.
    best: Option<(usize, Label)>,
    /// No sum was left out.
    every: bool,
    /// It came to an end.
    ended: bool,
}

/// Adds boards up in the order given.
pub fn add_up(parts: &[Part<'_>], asked: &Asked<'_>) -> Summed {
    let Some(walk) = walk(parts, asked, &vec![0; asked.prices.len()]) else {
        return Summed::Unknown;
    };
    match walk.best {
        Some(best) => better(chosen(parts, &walk.steps, best), best.1.cost, walk.every),
        None if walk.every => Summed::NoBetter,
        None => Summed::Unknown,
    }
}

/// Adds boards up that are all opened, at no cost: half of them, the other half, and then each of
/// the sums to each.
pub fn meet(parts: [&[Part<'_>]; 2], asked: &Asked<'_>) -> Summed {
    let (Some(goal), [first, second]) = (cap(asked.need, asked.need), parts) else {
        return Summed::Unknown;
    };
    let rest = |parts: &[Part<'_>]| -> Vec<i128> {
        (0..asked.prices.len())
            .map(|j| -parts.iter().map(|p| i128::from(p.most[j])).sum::<i128>())
            .collect()
    };
    let walks =
        rayon::join(|| walk(first, asked, &rest(second)), || walk(second, asked, &rest(first)));
    let (Some(one), Some(two)) = walks else { return Summed::Unknown };
    for (part, walk) in [(first, &one), (second, &two)] {
        if let Some(best) = walk.best {
            return better(chosen(part, &walk.steps, best), 0, false);
        }
    }
    let every = one.every && two.every;
    let none = Vec::new();
    let ends = [&one, &two].map(|w| w.steps.last().filter(|_| w.ended).unwrap_or(&none));
    if ends[0].len().saturating_mul(ends[1].len()) > PAIRS {
        return Summed::Unknown;
    }
    let meets = |label: &Label, other: &Label| {
        (0..KINDS).all(|k| label.sum[k].saturating_add(other.sum[k]) >= goal[k])
    };
    let both = |label: Label, other: Label| {
        let mut ways = chosen(first, &one.steps, (first.len(), label));
        ways.extend(chosen(second, &two.steps, (second.len(), other)));
        ways
    };
    let pair = ends[0].par_iter().find_map_first(|label| {
        // All pairs of two full halves take seconds.
        if (asked.stop)() {
            return None;
        }
        ends[1].iter().find(|other| meets(label, other)).map(|other| (*label, *other))
    });
    match pair {
        Some((label, other)) => better(both(label, other), 0, false),
        None if every && !(asked.stop)() => Summed::NoBetter,
        None => Summed::Unknown,
    }
}

fn better(ways: Vec<(usize, Way)>, cost: i64, cheapest: bool) -> Summed {
    Summed::Better { ways, cost, cheapest }
}

/// Counts cut off at what is needed; `None` if there are too many.
fn cap(counts: &[u32], need: &[u32]) -> Option<Sum> {
    let mut sum = [0; KINDS];
    for (k, (&n, &m)) in counts.iter().zip(need).enumerate() {
        *sum.get_mut(k)? = u8::try_from(n.min(m)).ok()?;
    }
    Some(sum)
}

/// What sums come to at some prices.
fn comes_to(sum: &Sum, prices: &[i64]) -> i128 {
    i128::from(sum.iter().zip(prices).map(|(&n, &p)| i64::from(n) * p).sum::<i64>())
}

/// One board that is added to all sums.
struct Adding<'a> {
    asked: &'a Asked<'a>,
    goal: Sum,
    cost: i64,
    ways: Vec<Sum>,
    /// At each of the prices: a sum is dropped whose worth is not more than this.
    owed: Vec<i128>,
}

impl Adding<'_> {
    /// The bounds of a sum at all prices together; `None` if one of them is too dear. A choice
    /// below the ceiling costs at most one unit less.
    fn bound(&self, sum: &Sum, cost: i64, ceiling: i64) -> Option<i128> {
        let parts_of = |units: i64| self.asked.scale.parts_of(units);
        let mut all = 0;
        for (prices, owed) in self.asked.prices.iter().zip(&self.owed) {
            let bound = parts_of(cost) + owed - comes_to(sum, prices);
            if bound > parts_of(ceiling - 1) {
                return None;
            }
            all += bound;
        }
        (cost < ceiling).then_some(all)
    }

    /// What becomes of a label, without the board and with each of its ways.
    fn extended(&self, before: u32, label: &Label, ceiling: i64) -> Vec<(i128, Label)> {
        let mut all = Vec::new();
        // What is opened at no cost may as well be cut.
        if let Some(bound) = self.bound(&label.sum, label.cost, ceiling)
            && (self.cost > 0 || self.ways.is_empty())
        {
            all.push((bound, Label { before, way: WHOLE, ..*label }));
        }
        let cost = label.cost + self.cost;
        for (w, way) in (0..).zip(&self.ways) {
            let mut sum = label.sum;
            for k in 0..KINDS {
                sum[k] = sum[k].saturating_add(way[k]).min(self.goal[k]);
            }
            if let Some(bound) = self.bound(&sum, cost, ceiling) {
                all.push((bound, Label { sum, cost, before, way: w }));
            }
        }
        all
    }
}

/// Labels that are kept of those that a board was added to.
struct Kept {
    by_sum: FxHashMap<Sum, (i128, Label)>,
    /// With a beam, sums beyond the best so many so far need not be kept.
    cutoff: i128,
    beam: usize,
    /// None was left out for the beam.
    every: bool,
}

impl Kept {
    fn new(beam: usize) -> Self {
        Kept { by_sum: FxHashMap::default(), cutoff: i128::MAX, beam, every: true }
    }

    /// Of equal sums the cheaper stays, of equally dear ones the earlier.
    fn keep(&mut self, bound: i128, label: Label) {
        if bound > self.cutoff {
            self.every = false;
            return;
        }
        self.by_sum
            .entry(label.sum)
            .and_modify(|known| {
                if label.cost < known.1.cost {
                    *known = (bound, label);
                }
            })
            .or_insert((bound, label));
    }

    /// Drops what is far beyond the beam.
    fn thin(&mut self) {
        if self.by_sum.len() / 4 > self.beam {
            let mut bounds: Vec<i128> = self.by_sum.values().map(|n| n.0).collect();
            let cutoff = *bounds.select_nth_unstable(self.beam).1;
            self.by_sum.retain(|_, n| n.0 <= cutoff);
            (self.cutoff, self.every) = (cutoff, false);
        }
    }

    /// The labels within the beam, the best first, and whether those are all.
    fn labels(self) -> (Vec<Label>, bool) {
        let mut kept: Vec<(i128, Label)> = self.by_sum.into_values().collect();
        kept.sort_unstable_by_key(|k| (k.0, k.1.sum));
        let every = self.every && kept.len() <= self.beam;
        kept.truncate(self.beam);
        (kept.into_iter().map(|k| k.1).collect(), every)
    }
}

/// What boards to come add at least, at each of the prices, before each of them. `rest` is what
/// boards beside these add.
fn to_come(parts: &[Part<'_>], asked: &Asked<'_>, rest: &[i128]) -> Vec<Vec<i128>> {
    let mut to_come = vec![rest.to_vec(); parts.len() + 1];
    for (at, part) in parts.iter().enumerate().rev() {
        let reduced = part.most.iter().map(|&m| asked.scale.parts_of(part.cost) - i128::from(m));
        to_come[at] = to_come[at + 1].iter().zip(reduced).map(|(t, r)| t + r.min(0)).collect();
    }
    to_come
}

/// Adds boards up in the order given. `rest` is what boards beside these add at least, at each of
/// the prices. `None` if counts are too many.
fn walk(parts: &[Part<'_>], asked: &Asked<'_>, rest: &[i128]) -> Option<Walk> {
    let goal = cap(asked.need, asked.need)?;
    // Sums are cut off at the needs; where those come to more than 64 bits hold, it is not said.
    if asked.prices.iter().any(|p| owed(asked.need, p) > i128::from(MOST)) {
        return None;
    }
    let to_come = to_come(parts, asked, rest);
    let mut ceiling = asked.ceiling;
    let mut left = asked.effort;
    let start = Label { sum: [0; KINDS], cost: 0, before: 0, way: WHOLE };
    let mut walk = Walk { steps: vec![vec![start]], best: None, every: true, ended: false };
    for (at, part) in parts.iter().enumerate() {
        let ways: Vec<Sum> = part.ways.iter().map(|w| cap(w, asked.need)).collect::<Option<_>>()?;
        let owed = asked.prices.iter().zip(&to_come[at + 1]).map(|(p, t)| comes_to(&goal, p) + t);
        let owed = owed.collect();
        let adding = Adding { asked, goal, cost: part.cost, ways, owed };
        let mut next = Kept::new(asked.beam);
        let slice = (SLICE / (adding.ways.len() + 1)).max(1);
        for (first, labels) in walk.steps[at].chunks(slice).enumerate() {
            let still = left.checked_sub((labels.len() * (adding.ways.len() + 1)) as u64);
            let Some(still) = still.filter(|_| !(asked.stop)()) else {
                walk.every = false;
                return Some(walk);
            };
            left = still;
            let extend = |(i, label): (usize, &Label)| {
                let before = u32::try_from(first * slice + i).unwrap_or(u32::MAX);
                adding.extended(before, label, ceiling)
            };
            let extended: Vec<Vec<(i128, Label)>> =
                labels.par_iter().enumerate().map(extend).collect();
            for (bound, label) in extended.into_iter().flatten() {
                if label.sum != goal {
                    next.keep(bound, label);
                } else if label.cost < ceiling {
                    ceiling = label.cost;
                    walk.best = Some((at + 1, label));
                }
            }
            next.thin();
        }
        let (kept, every) = next.labels();
        walk.every &= every;
        walk.steps.push(kept);
    }
    walk.ended = true;
    Some(walk)
}

/// The ways that a label stands for, and those before it.
fn chosen(
    parts: &[Part<'_>],
    steps: &[Vec<Label>],
    (mut at, mut label): (usize, Label),
) -> Vec<(usize, Way)> {
    let mut ways = Vec::new();
    while at > 0 {
        at -= 1;
        if label.way != WHOLE {
            ways.push((parts[at].board, Arc::clone(&parts[at].ways[label.way as usize])));
        }
        label = steps[at][label.before as usize];
    }
    ways
}

/// Looks for the cheapest choice below `ceiling`, all lots being listed; `prices` in price parts
/// only decide how much work it is. `None` where it takes more than `effort` additions, a lot is
/// not listed, or counts are too many.
pub fn cheapest(
    cover: &Cover<'_>,
    prices: &[i64],
    ceiling: i64,
    effort: u64,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Option<Choice>> {
    if cover.lots.iter().any(|l| !l.listed) {
        return None;
    }
    let most: Vec<i64> = cover
        .lots
        .iter()
        .map(|l| l.ways.iter().map(|w| worth(w, prices)).max().unwrap_or(0))
        .collect();
    let reduced = |lot: usize| cover.scale.parts_of(cover.lots[lot].cost) - i128::from(most[lot]);
    // Boards that pay most at these prices first: there little is left open.
    let mut order: Vec<usize> = (0..cover.stock.len()).collect();
    order.sort_by_key(|&b| (reduced(cover.stock[b].lot), b));
    let parts: Vec<Part<'_>> = order
        .iter()
        .map(|&board| {
            let lot = cover.stock[board].lot;
            let Lot { cost, ways, .. } = &cover.lots[lot];
            Part { board, cost: *cost, most: vec![most[lot]], ways }
        })
        .collect();
    let asked = Asked {
        need: &cover.need,
        prices: &[prices.to_vec()],
        scale: cover.scale,
        ceiling,
        beam: usize::MAX,
        effort,
        stop,
    };
    match add_up(&parts, &asked) {
        Summed::Better { ways, cheapest: true, .. } => Some(Some(cover.opened(ways))),
        Summed::NoBetter => Some(None),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Asked, Part, Summed, add_up, cheapest, meet};
    use crate::choose::kernel::cover::{Scale, Way};
    use crate::choose::kernel::trial::{least, priced};
    use proptest::prelude::*;
    use std::sync::atomic::{AtomicUsize, Ordering};

    /// Asked for an end once both halves are added up, no pair is looked at and nothing is claimed.
    #[test]
    fn pairs_that_were_not_looked_at_prove_nothing() {
        let way = |n: [u32; 2]| Way::from(n.to_vec());
        let (first, second) = ([way([1, 0]), way([0, 1])], [way([1, 0]), way([0, 0])]);
        let part = |board, ways| Part { board, cost: 0, most: Vec::new(), ways };
        let met = |need: [u32; 2], stopped: bool| {
            // The halves ask once each.
            let times = AtomicUsize::new(0);
            let stop = || times.fetch_add(1, Ordering::Relaxed) >= 2 && stopped;
            let scale = Scale::new(10, 10).expect("small");
            let (beam, effort, ceiling) = (10, 100, 1);
            let asked =
                Asked { need: &need, prices: &[], scale, ceiling, beam, effort, stop: &stop };
            meet([&[part(0, &first)], &[part(1, &second)]], &asked)
        };
        assert!(matches!(met([1, 1], false), Summed::Better { .. }));
        assert!(matches!(met([2, 1], false), Summed::NoBetter));
        assert!(matches!(met([1, 1], true), Summed::Unknown));
        assert!(matches!(met([2, 1], true), Summed::Unknown));
    }

    proptest! {
        #[test]
        fn sums_find_the_cheapest_of_all_choices((cover, prices) in priced()) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let ceiling = cover.everything() + 1;
            let found = cheapest(&cover, &cover.whole_prices(&prices), ceiling, 1 << 40, &|| false);
            let found = found.expect("small");
            if let Some(choice) = &found {
                prop_assert!(cover.meets(choice));
            }
            prop_assert_eq!(found.map(|c| cover.cost(&c)), least(&cover));
        }

        #[test]
        fn a_beam_finds_choices_and_claims_nothing_false((cover, prices) in priced(), beam in 1..4_usize) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let even = vec![1.0; cover.need.len()];
            let prices = [cover.whole_prices(&prices), cover.whole_prices(&even)];
            let parts: Vec<Part<'_>> = (0..cover.stock.len())
                .map(|board| Part {
                    board,
                    cost: cover.lot(board).cost,
                    most: prices.iter().map(|p| cover.most(cover.stock[board].lot, p)).collect(),
                    ways: &cover.lot(board).ways,
                })
                .collect();
            let asked = Asked {
                need: &cover.need,
                prices: &prices,
                scale: cover.scale,
                ceiling: cover.everything() + 1,
                beam,
                effort: 1 << 40,
                stop: &|| false,
            };
            match add_up(&parts, &asked) {
                Summed::Better { ways, cost, cheapest } => {
                    let mut choice = vec![None; cover.stock.len()];
                    ways.into_iter().for_each(|(b, way)| choice[b] = Some(way));
                    prop_assert!(cover.meets(&choice));
                    prop_assert_eq!(cover.cost(&choice), cost);
                    prop_assert!(!cheapest || Some(cost) == least(&cover));
                }
                Summed::NoBetter => prop_assert_eq!(least(&cover), None),
                Summed::Unknown => {}
            }
        }

        #[test]
        fn two_halves_meet_where_all_boards_together_do((cover, prices) in priced(), beam in 1..200_usize) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let even = vec![1.0; cover.need.len()];
            let prices = [cover.whole_prices(&prices), cover.whole_prices(&even)];
            let part = |board: usize| Part {
                board,
                cost: 0,
                most: prices.iter().map(|p| cover.most(cover.stock[board].lot, p)).collect(),
                ways: &cover.lot(board).ways,
            };
            let parts: Vec<Part<'_>> = (0..cover.stock.len()).map(part).collect();
            let asked = Asked {
                need: &cover.need,
                prices: &prices,
                scale: cover.scale,
                ceiling: 1,
                beam,
                effort: 1 << 40,
                stop: &|| false,
            };
            let (first, second) = parts.split_at(parts.len() / 2);
            match meet([first, second], &asked) {
                Summed::Better { ways, .. } => {
                    let mut choice = vec![None; cover.stock.len()];
                    ways.into_iter().for_each(|(b, way)| choice[b] = Some(way));
                    prop_assert!(cover.meets(&choice));
                }
                Summed::NoBetter => prop_assert_eq!(least(&cover), None),
                Summed::Unknown => prop_assert!(beam < 100),
            }
        }
    }
}
