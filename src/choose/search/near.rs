//! Better plans around a known one: a few boards are freed, and what they gave is had from the
//! boards that are not opened, or from them, for less.

use crate::choose::effort::near::{ADDED, BATCH, FREED, LIST, LOST, OTHERS, ROUNDS, SUMS, WAYS};
use crate::choose::kernel::cover::{Choice, Cover, Way, clamped, owed, worth};
use crate::choose::search::sums::{self, Part, Summed};
use crate::cut::list::Floor;
use rayon::prelude::*;

/// What is saved, and the boards opened instead, each with its way.
type Saving = (i64, Vec<(usize, Way)>);

/// A neighbourhood: what is kept of a choice and what its freed boards cost.
struct Freed {
    boards: Vec<usize>,
    need: Vec<u32>,
    cost: i64,
}

/// Improves a choice until nothing near it is better.
pub fn around(
    cover: &Cover<'_>,
    mut choice: Choice,
    prices: &[f64],
    stop: &(dyn Fn() -> bool + Sync),
) -> Choice {
    let whole = cover.whole_prices(prices);
    let most = cover.most_of_all(&whole);
    let (mut from, mut size) = (0, 0);
    for _ in 0..ROUNDS {
        let order = by_loss(cover, &choice, &whole);
        if stop() || size == FREED.len() || order.is_empty() {
            break;
        }
        let batch: Vec<Freed> = (from..(from + BATCH).min(order.len()))
            .map(|first| freed(cover, &choice, &order, first, size))
            .collect();
        let found: Vec<Option<Saving>> = batch
            .par_iter()
            .map(|freed| instead(cover, &choice, freed, (&whole, &most), stop))
            .collect();
        let best = batch
            .iter()
            .zip(found)
            .filter_map(|(freed, found)| found.map(|(saved, ways)| (saved, freed, ways)))
            .max_by_key(|f| f.0);
        if let Some((_, freed, ways)) = best {
            freed.boards.iter().for_each(|&b| choice[b] = None);
            ways.into_iter().for_each(|(b, way)| choice[b] = Some(way));
            (from, size) = (0, 0);
        } else {
            from += BATCH;
            if from >= order.len() {
                (from, size) = (0, size + 1);
            }
        }
    }
    choice
}

/// Opened boards, the one that costs most over what its useful strips are worth first.
fn by_loss(cover: &Cover<'_>, choice: &Choice, whole: &[i64]) -> Vec<usize> {
    let missing = cover.missing(choice);
    let loss = |b: usize| -> i64 {
        let Some(way) = &choice[b] else { return 0 };
        // What is beyond the needs is worth nothing.
        let useful: i64 = way
            .iter()
            .zip(&missing)
            .zip(whole)
            .map(|((&n, &m), &p)| (i64::from(n) + m.min(0)).max(0) * p)
            .sum();
        // At most 2^59 and 2^60.
        cover.lot(b).cost * cover.scale.parts - useful
    };
    let mut order: Vec<(i64, usize)> =
        (0..choice.len()).filter(|&b| choice[b].is_some()).map(|b| (loss(b), b)).collect();
    order.sort_unstable_by_key(|&(loss, b)| (std::cmp::Reverse(loss), b));
    order.into_iter().map(|o| o.1).collect()
}

/// Frees so many boards, the first one given and others spread over the order.
fn freed(cover: &Cover<'_>, choice: &Choice, order: &[usize], first: usize, pass: usize) -> Freed {
    let count = FREED[pass].min(order.len());
    let step = 1 + (first + pass) % (order.len() / count.max(1)).max(1);
    let mut boards: Vec<usize> =
        (0..count).map(|i| order[(first + i * step) % order.len()]).collect();
    boards.sort_unstable();
    boards.dedup();
    let mut kept = choice.clone();
    boards.iter().for_each(|&b| kept[b] = None);
    let need = cover.still_needed(&kept);
    let cost = cover.size(&boards);
    Freed { boards, need, cost }
}

/// Cheaper boards for what the freed ones gave: what is saved, and how.
fn instead(
    cover: &Cover<'_>,
    choice: &Choice,
    freed: &Freed,
    (whole, most): (&[i64], &[i64]),
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Saving> {
    let reduced = |b: usize| cover.over(b, most);
    let mut others: Vec<usize> = (0..choice.len())
        .filter(|&b| choice[b].is_none() && cover.lot(b).cost < freed.cost)
        .collect();
    others.sort_by_key(|&b| (reduced(b), b));
    others.truncate(OTHERS);
    let mut boards: Vec<usize> = freed.boards.iter().copied().chain(others).collect();
    // What these boards and prices can't do without.
    let due: i128 =
        owed(&freed.need, whole) + boards.iter().map(|&b| reduced(b).min(0)).sum::<i128>();
    let room = cover.scale.parts_of(freed.cost - 1) - due;
    boards.retain(|&b| reduced(b) <= room);
    if room < 0 {
        return None;
    }
    boards.sort_by_key(|&b| (std::cmp::Reverse(reduced(b).abs()), b));
    let lists: Vec<Vec<Way>> = boards
        .iter()
        .map(|&b| {
            near(cover, b, &freed.need, whole, most[cover.stock[b].lot], room - reduced(b).max(0))
        })
        .collect();
    let parts: Vec<Part<'_>> = boards
        .iter()
        .zip(&lists)
        .map(|(&board, ways)| Part {
            board,
            cost: cover.lot(board).cost,
            most: vec![most[cover.stock[board].lot]],
            ways,
        })
        .collect();
    let asked = sums::Asked {
        need: &freed.need,
        prices: &[whole.to_vec()],
        scale: cover.scale,
        ceiling: freed.cost,
        beam: SUMS,
        effort: ADDED,
        stop,
    };
    match sums::add_up(&parts, &asked) {
        Summed::Better { ways, cost, .. } => Some((freed.cost - cost, ways)),
        _ => None,
    }
}

/// Ways of a board, cut off at what is needed, that lose no more than there is room for, or fewer
/// where those are many.
fn near(
    cover: &Cover<'_>,
    board: usize,
    need: &[u32],
    whole: &[i64],
    most: i64,
    room: i128,
) -> Vec<Way> {
    let lot = cover.lot(board);
    let Some(cuts) = lot.cuts.filter(|_| !lot.listed) else {
        let cap = |w: &Way| -> Way { w.iter().zip(need).map(|(&n, &m)| n.min(m)).collect() };
        let mut ways: Vec<Way> = lot.ways.iter().map(cap).collect();
        ways.sort_unstable();
        ways.dedup();
        ways.sort_by_cached_key(|w| std::cmp::Reverse(worth(w, whole)));
        ways.truncate(WAYS);
        return ways;
    };
    let valued = cuts.value(whole);
    for part in LOST {
        let least = clamped(i128::from(most) - room / part).max(1);
        if let Some(mut list) = cuts.list(need, &[Floor { valued: &valued, least }], LIST) {
            list.sort_by_cached_key(|w| std::cmp::Reverse(worth(w, whole)));
            list.truncate(WAYS);
            return list.into_iter().map(Way::from).collect();
        }
    }
    Vec::new()
}

#[cfg(test)]
mod tests {
    use super::around;
    use crate::choose::kernel::trial::{least, priced};
    use crate::choose::search::greedy;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_better_choice_is_enough_and_costs_no_more((cover, prices) in priced()) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let start = greedy::complete(&cover, &prices, vec![None; cover.stock.len()]).ok();
            let Some(start) = start else { return Ok(()) };
            let cost = cover.cost(&start);
            let new = around(&cover, start, &prices, &|| false);
            prop_assert!(cover.meets(&new));
            prop_assert!(cover.cost(&new) <= cost);
            prop_assert!(Some(cover.cost(&new)) >= least(&cover));
        }
    }
}
