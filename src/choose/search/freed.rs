//! Better choices where boards can't be listed: a few opened boards are freed, and what they gave is
//! had from them and from all boards that are whole, as a choice of its own.
//!
//! Of dozens of kinds of strip nearly every set of boards stays undecided. What a few boards gave is
//! a far smaller need: with the others kept as they are, the cheapest boards for it are mostly found,
//! and often proved to be the cheapest. Nothing is proved of the whole choice by it.

use crate::choose::effort::freed::{
    FREED, LABELS, LIST, MENDED, MENDED_MOST, MENDS, NODES, TRIES, WORTH,
};
use crate::choose::effort::{Depth, Effort};
use crate::choose::kernel::cover::{Choice, Cover, Way, owed};
use crate::choose::search::drawn::Drawn;
use crate::choose::search::{Answer, Begin, search};
use rayon::prelude::*;

/// Improves a choice, until it costs little more than `least` or nothing is found `again` and again.
pub fn improve(
    cover: &Cover<'_>,
    mut choice: Choice,
    (drawn, prices): (&mut Drawn, &[f64]),
    (least, again): (i64, usize),
    effort: Effort<'_>,
    tell: &mut dyn FnMut(i64),
) -> Choice {
    // With little left to gain, others find it sooner.
    let enough = least + least / WORTH;
    let (mut sizes, mut failed) = ([*FREED.start(); 2], 0);
    for _ in 0..TRIES {
        let cost = cover.cost(&choice);
        if (effort.stop)() || failed >= again || cost <= enough {
            break;
        }
        let Some(better) = tried(cover, &choice, (drawn, &mut sizes), prices, (cost, effort))
        else {
            break;
        };
        failed += 1;
        if let Some(better) = better {
            (choice, failed) = (better, 0);
            tell(cover.cost(&choice));
        }
    }
    choice
}

/// A choice that lacks little, mended for less than `dear`, if that is soon found.
pub fn mend(
    cover: &Cover<'_>,
    lacking: &Choice,
    (drawn, prices): (&mut Drawn, &[f64]),
    dear: i64,
    effort: Effort<'_>,
) -> Option<Choice> {
    let mut sizes = MENDED;
    for _ in 0..if effort.depth == Depth::Soon { 1 } else { MENDS } {
        if (effort.stop)() {
            break;
        }
        let found = tried(cover, lacking, (drawn, &mut sizes), prices, (dear, effort))?;
        if found.is_some() {
            return found;
        }
        sizes.iter_mut().for_each(|size| *size = (*size).min(MENDED_MOST));
    }
    None
}

/// Two tries side by side, one with boards freed that give the same strips, one with any: the cheaper
/// choice that was found, if it costs less than `dear`. `None` with fewer boards opened than two.
fn tried(
    cover: &Cover<'_>,
    choice: &Choice,
    (drawn, sizes): (&mut Drawn, &mut [usize; 2]),
    prices: &[f64],
    (dear, effort): (i64, Effort<'_>),
) -> Option<Option<Choice>> {
    let opened: Vec<usize> = (0..choice.len()).filter(|&b| choice[b].is_some()).collect();
    if opened.len() < 2 {
        return None;
    }
    let alike = drawn.alike(choice, opened.clone(), sizes[0]);
    let tries = [alike, drawn.some(opened, sizes[1])];
    let instead = |freed: &Vec<usize>| instead(cover, choice, freed, prices, (dear, effort));
    let found: Vec<(Option<Choice>, bool)> = tries.par_iter().map(instead).collect();
    // As many as are planned in full, and no more as long as better choices are found with these.
    for (size, (better, all)) in sizes.iter_mut().zip(&found) {
        let next = match (better, all) {
            (Some(_), true) => *size,
            (None, true) => *size + 1,
            (_, false) => *size - 1,
        };
        *size = next.clamp(*FREED.start(), *FREED.end());
    }
    Some(found.into_iter().filter_map(|f| f.0).min_by_key(|choice| cover.cost(choice)))
}

/// A choice that differs in the freed boards and those that were whole and costs less than `dear`, and
/// whether it is certain that there is none cheaper than what was found.
fn instead(
    cover: &Cover<'_>,
    choice: &Choice,
    freed: &[usize],
    prices: &[f64],
    (dear, effort): (i64, Effort<'_>),
) -> (Option<Choice>, bool) {
    let mut kept = choice.clone();
    freed.iter().for_each(|&b| kept[b] = None);
    let before = dear - cover.cost(&kept);
    let need = cover.still_needed(&kept);
    let prices = at_need(cover, &need, prices);
    // Boards that can't be part of anything cheaper are passed over.
    let whole = cover.whole_prices(&prices);
    let most = cover.most_of_all(&whole);
    let over = |b: usize| cover.over(b, &most);
    let others: Vec<usize> =
        (0..kept.len()).filter(|&b| choice[b].is_none() && cover.lot(b).cost < before).collect();
    let gains = |boards: &[usize]| boards.iter().map(|&b| over(b).min(0)).sum::<i128>();
    let room =
        cover.scale.parts_of(before - 1) - (owed(&need, &whole) + gains(freed) + gains(&others));
    if room < 0 {
        return (None, true);
    }
    // Those that are free, by lot; of equal boards freed ones first.
    let mut free: Vec<Vec<usize>> = vec![Vec::new(); cover.lots.len()];
    for board in freed.iter().copied().chain(others.into_iter().filter(|&b| over(b) <= room)) {
        free[cover.stock[board].lot].push(board);
    }
    let of_use: Vec<usize> = (0..free.len()).filter(|&lot| !free[lot].is_empty()).collect();
    let free: Vec<Vec<usize>> = of_use.iter().map(|&lot| std::mem::take(&mut free[lot])).collect();
    let copies: Vec<usize> = free.iter().map(Vec::len).collect();
    let lots = of_use.iter().map(|&lot| cover.lots[lot].clone()).collect();
    let (scale, stop) = (cover.scale, cover.stop.clone());
    let part = Cover { need, stock: Cover::stock(&copies), lots, scale, stop };
    let boards = free.concat();
    let known: Choice = boards.iter().map(|&b| choice[b].clone()).collect();
    let effort = Effort { list: LIST, sums: LABELS, nodes: NODES, depth: Depth::Part, ..effort };
    let choice = cover.meets(choice).then_some(&known);
    let begin = Begin { choice, prices: Some(&prices), ..Begin::default() };
    let Answer { chosen, cost, bound, .. } = search(part, true, begin, effort, &mut |_, _, _| {});
    let all = bound >= cost;
    let Some(chosen) = chosen.filter(|_| cost < before) else { return (None, all) };
    let mut next = vec![0; free.len()];
    for (lot, way) in chosen {
        kept[free[lot][next[lot]]] = Some(Way::from(way));
        next[lot] += 1;
    }
    (Some(kept).filter(|k| cover.meets(k)), all)
}

/// Prices for a smaller need: what is not needed is worth nothing, and where no more are needed of a
/// shorter strip than of a longer one that serves for it, all worth goes to the longer one.
fn at_need(cover: &Cover<'_>, need: &[u32], prices: &[f64]) -> Vec<f64> {
    let mut prices = prices.to_vec();
    let Some(cuts) = cover.lots.iter().find_map(|l| l.cuts) else { return prices };
    let families = &cuts.nested.kinds;
    for &kind in families.longest_first().iter().rev() {
        let longer = families.served_by(kind).skip(1).find(|&k| need[k] >= need[kind]);
        let price = prices[kind];
        match longer {
            Some(longer) if need[kind] > 0 => prices[longer] += price,
            None if need[kind] > 0 => continue,
            _ => {}
        }
        prices[kind] = 0.0;
    }
    prices
}

#[cfg(test)]
mod by_hand;

#[cfg(test)]
mod tests {
    use super::{Drawn, at_need, improve};
    use crate::choose::effort::EFFORT;
    use crate::choose::effort::freed::AGAIN;
    use crate::choose::kernel::trial::{least, priced};
    use crate::choose::search::greedy;
    use proptest::prelude::*;

    #[test]
    fn boards_are_drawn_once_each_and_the_same_in_every_run() {
        let [mut a, mut b] = [Drawn::new(), Drawn::new()];
        for count in 0..9 {
            let some = a.some((0..6).collect(), count);
            assert_eq!(some, b.some((0..6).collect(), count));
            let mut sorted = some.clone();
            sorted.sort_unstable();
            sorted.dedup();
            assert_eq!((some.len(), sorted.len()), (count.min(6), count.min(6)));
        }
    }

    #[test]
    fn boards_that_give_the_same_strips_are_freed_first() {
        let way = |n: [u32; 2]| Some(n.into());
        let choice = vec![way([1, 0]), way([0, 2]), way([3, 0]), way([0, 1]), way([1, 0])];
        let mut drawn = Drawn::new();
        for _ in 0..20 {
            let boards = drawn.alike(&choice, (0..5).collect(), 2);
            let kinds: Vec<bool> = boards.iter().map(|b| [0, 2, 4].contains(b)).collect();
            assert!(kinds[0] == kinds[1] && boards[0] != boards[1], "{boards:?}");
            let mut all = drawn.alike(&choice, (0..5).collect(), 9);
            all.sort_unstable();
            assert_eq!(all, [0, 1, 2, 3, 4]);
        }
    }

    proptest! {
        #[test]
        fn a_better_choice_is_enough_and_costs_no_more((cover, prices) in priced()) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let none = vec![None; cover.stock.len()];
            let Ok(start) = greedy::complete(&cover, &prices, none) else { return Ok(()) };
            let (before, mut told) = (cover.cost(&start), Vec::new());
            let mut tell = |cost| told.push(cost);
            let drawn = &mut Drawn::new();
            let new = improve(&cover, start, (drawn, &prices), (0, AGAIN), EFFORT, &mut tell);
            prop_assert!(cover.meets(&new));
            let cost = cover.cost(&new);
            prop_assert!(cost <= before && Some(cost) >= least(&cover));
            prop_assert_eq!(told.last().copied().unwrap_or(before), cost);
            // So few boards are all freed at once sooner or later, or two choices cost the same.
            let opened = new.iter().flatten().count();
            prop_assert!(!(2..=4).contains(&opened) || Some(cost) == least(&cover));
            // Boards without cuts know of no families.
            prop_assert_eq!(at_need(&cover, &cover.need, &prices), prices);
        }
    }
}
