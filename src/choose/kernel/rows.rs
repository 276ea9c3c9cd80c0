//! What every choice that is enough must open, as rows of whole numbers.
//!
//! Boards that are enough come to `Σ most(π) ≥ π·need` at any prices π. What each board comes to
//! at given prices, and what the needs come to, is a row. So is "at least one board beside
//! these", once it is known that these are not enough. Rows with weights `w ≥ 0` bound what a
//! choice costs:
//!
//! `Σ w·need + Σ over boards of min(0, cost − Σ w·most)`
//!
//! (boards that must be opened count in full, those that stay whole not at all), whatever the
//! weights are. So weights may come from floats; the bound is worked out in whole numbers.

use crate::choose::kernel::cover::{Cover, Fate, clamped, owed};
use rayon::prelude::*;

/// Parts that a weight of one is divided into.
const WEIGHT_PARTS: i64 = 1 << 20;
/// The greatest weight: far more than any row deserves, and low enough that no sum overflows.
const HEAVIEST: f64 = 1e5;

/// A row: the boards opened come to at least the need.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What must be come to, more than nothing.
    pub need: i64,
    /// What each board comes to, at most the need.
    pub most: Vec<i64>,
    /// It comes from prices.
    pub priced: bool,
}

impl Row {
    /// The row of some whole-number prices; boards that stay whole in any case count nothing.
    /// `None` where the needs are worth nothing, or more than the row's numbers hold.
    pub fn priced(cover: &Cover<'_>, fates: &[Fate], whole: &[i64]) -> Option<Row> {
        let need = i64::try_from(owed(&cover.need, whole)).ok().filter(|&n| n > 0)?;
        let mut asked = vec![false; cover.lots.len()];
        for (stock, fate) in cover.stock.iter().zip(fates) {
            asked[stock.lot] |= *fate != Fate::Out;
        }
        let most = |lot: usize| if asked[lot] { cover.most(lot, whole) } else { 0 };
        let lots: Vec<i64> = (0..cover.lots.len()).into_par_iter().map(most).collect();
        // A board that gives more than all that is needed helps no more than that.
        let most = cover.stock.iter().map(|s| lots[s.lot].min(need)).collect();
        Some(Row { need, most, priced: true })
    }

    /// At least one board beside these must be opened. `size` is about what a choice costs, so
    /// that the row's numbers are like those of the others.
    pub fn beside(cover: &Cover<'_>, these: &[usize], size: i64) -> Row {
        let boards = cover.stock.len();
        let need = clamped(cover.scale.parts_of(size.max(1)));
        let mut most = vec![need; boards];
        these.iter().for_each(|&b| most[b] = 0);
        Row { need, most, priced: false }
    }

    /// How much these boards come to less than the need; nothing or less where they are enough.
    fn lacking(&self, opened: impl Iterator<Item = usize>) -> i128 {
        i128::from(self.need) - opened.map(|b| i128::from(self.most[b])).sum::<i128>()
    }

    /// Do these boards come to too little?
    pub fn short(&self, opened: impl Iterator<Item = usize>) -> bool {
        self.lacking(opened) > 0
    }

    /// Are these boards short by more than a millionth?
    pub fn short_by_more_than_a_trifle(&self, opened: &[usize]) -> bool {
        self.lacking(opened.iter().copied()) > i128::from(self.need) / 1_000_000
    }
}

/// Weights in whole parts.
#[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
pub fn whole_weight(weight: f64) -> i64 {
    let parts = (weight.min(HEAVIEST) * WEIGHT_PARTS as f64).round();
    if parts.is_finite() { parts.max(0.0) as i64 } else { 0 }
}

/// The bound of some rows with weights, in whole units of cost, exact: no choice with these fates
/// costs less.
pub fn bound(cover: &Cover<'_>, fates: &[Fate], rows: &[Row], weights: &[(usize, i64)]) -> i64 {
    let needs = |&(row, w): &(usize, i64)| i128::from(rows[row].need) * i128::from(w);
    let mut total: i128 = weights.iter().map(needs).sum();
    let one = i128::from(cover.scale.parts) * i128::from(WEIGHT_PARTS);
    for (b, fate) in fates.iter().enumerate() {
        if *fate == Fate::Out {
            continue;
        }
        let most: i128 =
            weights.iter().map(|&(row, w)| i128::from(rows[row].most[b]) * i128::from(w)).sum();
        let reduced = i128::from(cover.lot(b).cost) * one - most;
        total += if *fate == Fate::In { reduced } else { reduced.min(0) };
    }
    // Rounded up twice, which changes nothing: first to price parts, then to units.
    let parts = i128::from(WEIGHT_PARTS);
    cover.scale.whole_units(total.div_euclid(parts) + i128::from(total.rem_euclid(parts) != 0))
}

#[cfg(test)]
mod tests {
    use super::{Row, bound, whole_weight};
    use crate::choose::kernel::cover::{Cover, Fate};
    use crate::choose::kernel::trial::{least, priced};
    use proptest::collection::vec;
    use proptest::prelude::*;

    /// Rows of some prices, each of the prices times `by`.
    fn rows(cover: &Cover<'_>, prices: &[f64], by: &[f64]) -> Vec<Row> {
        let fates = vec![Fate::Open; cover.stock.len()];
        let row = |by: &f64| {
            let prices: Vec<f64> =
                prices.iter().enumerate().map(|(k, p)| p * by + k as f64).collect();
            Row::priced(cover, &fates, &cover.whole_prices(&prices))
        };
        by.iter().filter_map(row).collect()
    }

    proptest! {
        #[test]
        fn no_weights_make_a_bound_too_high(
            (cover, prices) in priced(),
            by in vec(0.0..3.0_f64, 1..4),
            weights in vec(0.0..2.0_f64, 4),
        ) {
            let rows = rows(&cover, &prices, &by);
            let weights: Vec<(usize, i64)> =
                (0..rows.len()).map(|r| (r, whole_weight(weights[r]))).collect();
            let fates = vec![Fate::Open; cover.stock.len()];
            let least = least(&cover);
            prop_assert!(least.is_none_or(|l| bound(&cover, &fates, &rows, &weights) <= l));
            // A board less, or one that must be opened: the best of those choices.
            let mut fates = fates;
            fates[0] = Fate::Out;
            let mut without = cover.clone();
            let lot = without.lots[cover.stock[0].lot].clone();
            without.lots.push(crate::choose::kernel::cover::Lot { ways: Vec::new(), ..lot });
            without.stock[0].lot = without.lots.len() - 1;
            let rest = crate::choose::kernel::trial::least(&without);
            prop_assert!(rest.is_none_or(|l| bound(&cover, &fates, &rows, &weights) <= l));
            fates[0] = Fate::In;
            let opened = bound(&cover, &fates, &rows, &weights);
            prop_assert!(least.is_none_or(|l| opened <= l + cover.lot(0).cost));
        }

        #[test]
        fn a_row_never_calls_boards_short_that_are_enough((cover, prices) in priced()) {
            if least(&cover).is_none() {
                return Ok(());
            }
            let all = 0..cover.stock.len();
            for row in rows(&cover, &prices, &[1.0, 2.0]) {
                prop_assert!(!row.short(all.clone()));
            }
            let these: Vec<usize> = (1..cover.stock.len()).collect();
            let row = Row::beside(&cover, &these, 7);
            prop_assert!(row.short(these.into_iter()) && !row.short(0..1));
        }
    }
}
