//! Small covers for tests, and every choice there is.

use crate::choose::kernel::cover::{Choice, Cover, Lot, Way};
use proptest::collection::vec;
use proptest::prelude::*;

/// Covers of two or three kinds of strip and up to six boards of up to four ways. Costs are small,
/// or so great that sums come to the limits of their numbers, or both side by side.
pub fn cover() -> impl Strategy<Value = Cover<'static>> {
    (2..=3_usize).prop_flat_map(|kinds| {
        let way = vec(0..4_u32, kinds);
        let cost = (1..9_i64, prop::sample::select(vec![1, 1, 1 << 20, 1 << 44]))
            .prop_map(|(cost, times)| cost * times + times / 3);
        let lot = (vec(way, 1..=4), cost, 1..=2_usize);
        (vec(0..7_u32, kinds), vec(lot, 1..=4)).prop_map(|(need, lots)| {
            let copies: Vec<usize> = lots.iter().map(|l| l.2).collect();
            let lots = lots
                .into_iter()
                .map(|(ways, cost, _)| {
                    let ways = ways.into_iter().map(Way::from).collect();
                    Lot { cuts: None, cost, ways, listed: true }
                })
                .collect();
            Cover::new(need, lots, &copies).expect("small numbers")
        })
    })
}

/// The least cost of all choices; `None` if no choice is enough.
pub fn least(cover: &Cover<'_>) -> Option<i64> {
    fn from(cover: &Cover<'_>, board: usize, choice: &mut Choice, best: &mut Option<i64>) {
        if board == cover.stock.len() {
            if cover.meets(choice) {
                let cost = cover.cost(choice);
                *best = Some(best.map_or(cost, |b| b.min(cost)));
            }
            return;
        }
        from(cover, board + 1, choice, best);
        for way in cover.lot(board).ways.clone() {
            choice[board] = Some(way);
            from(cover, board + 1, choice, best);
        }
        choice[board] = None;
    }
    let (mut choice, mut best) = (vec![None; cover.stock.len()], None);
    from(cover, 0, &mut choice, &mut best);
    best
}

/// A price for each kind of strip, in units of cost.
pub fn prices(kinds: usize) -> impl Strategy<Value = Vec<f64>> {
    vec(0.0..4.0_f64, kinds)
}

/// A cover with prices.
pub fn priced() -> impl Strategy<Value = (Cover<'static>, Vec<f64>)> {
    cover().prop_flat_map(|c| {
        let kinds = c.need.len();
        (Just(c), prices(kinds))
    })
}
