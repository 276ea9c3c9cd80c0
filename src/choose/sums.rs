//! The exact choice by sums: board after board, every sum of counts that can still lead to a plan
//! cheaper than the best known.
//!
//! A label is what the boards looked at so far give together, cut off at what is needed, and what
//! they cost. Of equal sums the cheaper stays, so equal boards and orders of ways make no
//! difference. At prices π a label's cost can't end below
//!
//! `cost + π·(need − sum) + Σ over boards to come of min(0, cost − most)`
//!
//! in whole numbers; labels that reach the best known cost that way are dropped. Where the gap
//! between bound and best cost is small this leaves few.

use crate::choose::cover::{Choice, Cover, PRICE_PARTS, whole_units, worth};
use crate::cut::lanes::{LANES, Lanes, MOST};
use rustc_hash::FxHashMap;

/// What came of it.
pub enum Summed {
    /// The cheapest choice; it costs less than the best known.
    Better(Choice),
    /// No choice costs less than the best known.
    NoBetter,
}

#[derive(Clone, Copy)]
struct Label {
    cost: i64,
    before: u32,
    /// Board and way that were added.
    board: u32,
    way: u32,
}

/// Looks for the cheapest choice below `ceiling`, all lots being listed; `prices` in price parts
/// only decide how much work it is. `None` where it takes more than `effort` labels, a lot is not
/// listed, or counts are too many to pack.
pub fn cheapest(
    cover: &Cover<'_>,
    prices: &[i64],
    ceiling: i64,
    effort: u64,
    stop: &dyn Fn() -> bool,
) -> Option<Summed> {
    let kinds = cover.need.len();
    if kinds > LANES || cover.lots.iter().any(|l| !l.listed) || cover.need.iter().any(|&n| n > MOST)
    {
        return None;
    }
    let need = Lanes::pack(cover.need.iter().copied())?;
    let pack = |way: &[u32]| Lanes::pack(way.iter().zip(&cover.need).map(|(&n, &m)| n.min(m)));
    let ways: Vec<Vec<Lanes>> = cover
        .lots
        .iter()
        .map(|lot| lot.ways.iter().map(|w| pack(w)).collect())
        .collect::<Option<_>>()?;
    // Boards that pay most at these prices first: there little is left open.
    let reduced: Vec<i128> = (0..cover.lots.len())
        .map(|l| {
            let most = i128::from(cover.most(l, prices, None));
            i128::from(cover.lots[l].cost) * i128::from(PRICE_PARTS) - most
        })
        .collect();
    let mut order: Vec<usize> = (0..cover.stock.len()).collect();
    order.sort_by_key(|&b| (reduced[cover.stock[b].lot], b));
    // What the boards to come can still take off the bound.
    let mut to_come = vec![0_i128; order.len() + 1];
    for (step, &b) in order.iter().enumerate().rev() {
        to_come[step] = to_come[step + 1] + reduced[cover.stock[b].lot].min(0);
    }
    let most = i128::from(worth(&cover.need, prices));
    let hopeless = |cost: i64, sum: Lanes, step: usize| {
        let missing = most - i128::from(sum.value(prices));
        let bound = i128::from(cost) * i128::from(PRICE_PARTS) + missing + to_come[step];
        whole_units(bound) >= ceiling || cost >= ceiling
    };
    let mut labels = vec![Label { cost: 0, before: u32::MAX, board: u32::MAX, way: u32::MAX }];
    let mut now: FxHashMap<Lanes, u32> = FxHashMap::from_iter([(Lanes::default(), 0)]);
    let mut best: Option<(i64, u32)> = None;
    let mut left = effort;
    for (step, &board) in order.iter().enumerate() {
        let lot = cover.stock[board].lot;
        let mut next: FxHashMap<Lanes, u32> = FxHashMap::default();
        let mut sums: Vec<(Lanes, u32)> = now.into_iter().collect();
        // An order of their own, whatever the map's.
        sums.sort_unstable();
        for (sum, from) in sums {
            if stop() {
                return None;
            }
            let cost = labels[from as usize].cost;
            if !hopeless(cost, sum, step + 1) {
                keep(&mut next, &labels, sum, from);
            }
            let cost = cost + cover.lots[lot].cost;
            for (w, &way) in ways[lot].iter().enumerate() {
                left = left.checked_sub(1)?;
                let more = sum.plus(way, need);
                if more == sum || hopeless(cost, more, step + 1) {
                    continue;
                }
                let label = u32::try_from(labels.len()).ok()?;
                let (board, way) = (u32::try_from(board).ok()?, u32::try_from(w).ok()?);
                labels.push(Label { cost, before: from, board, way });
                if more == need {
                    if best.is_none_or(|b| cost < b.0) {
                        best = Some((cost, label));
                    }
                } else {
                    keep(&mut next, &labels, more, label);
                }
            }
        }
        now = next;
    }
    let Some((_, mut at)) = best else { return Some(Summed::NoBetter) };
    let mut choice: Choice = vec![None; cover.stock.len()];
    while labels[at as usize].before != u32::MAX {
        let Label { before, board, way, .. } = labels[at as usize];
        choice[board as usize] = Some(cover.lot(board as usize).ways[way as usize].clone());
        at = before;
    }
    Some(Summed::Better(choice))
}

/// Of equal sums the cheaper stays, of equally dear ones the earlier.
fn keep(next: &mut FxHashMap<Lanes, u32>, labels: &[Label], sum: Lanes, label: u32) {
    next.entry(sum)
        .and_modify(|known| {
            if labels[label as usize].cost < labels[*known as usize].cost {
                *known = label;
            }
        })
        .or_insert(label);
}
