//! The choice of boards as a cover: every kind of strip needed so many times, every board opened
//! at most once and cut in one way.
//!
//! With a price on each kind of strip, a lower bound follows from any prices at all:
//!
//! `bound(π) = Σ need·π + Σ over boards of min(0, cost − most that the board comes to at π)`
//!
//! (a board that must be opened counts `cost − most` in full, one that stays whole counts
//! nothing). Searching good prices is done in floats; the bound that is believed is worked out
//! again in whole numbers from the rounded prices.
//!
//! # Why no sum overflows
//!
//! [`Cover::new`] takes a cover only if these hold, with `E` what all boards cost together and `S`
//! the most strips that one board gives, and chooses the price parts so that they do:
//!
//! * a price is at most `2·(E + 1)` units, so what one board comes to is at most
//!   `2·(E + 1)·parts·S ≤ 2^60` ([`MOST`]), and the sum of two such fits into 64 bits;
//! * everything that adds up more than two boards, or needs, does so in 128 bits: at most 2^32
//!   strips of each of 2^16 kinds at 2^60 are below 2^108.
//!
//! Prices are only made by [`Cover::whole_prices`], which keeps to that.

use crate::cut::BoardCuts;
use crate::stop::Stop;
use rayon::prelude::*;
use std::sync::Arc;

/// Parts that one unit of cost is divided into for whole-number prices at most.
const PRICE_PARTS: i64 = 1 << 16;

/// No board comes to more than this, in price parts.
pub const MOST: i64 = 1 << 60;

/// How whole numbers of a cover are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Parts that one unit of cost is divided into for whole-number prices; a power of two.
    pub parts: i64,
    /// The greatest price of a strip, in parts.
    dearest: i64,
}

impl Scale {
    /// The finest scale for boards that cost so much together and give at most so many strips
    /// each; `None` where sums might not fit.
    pub fn new(everything: i128, strips: i64) -> Option<Scale> {
        // Twice all boards: no strip is worth more in a plan that exists.
        let dearest = everything.checked_add(1)?.checked_mul(2)?;
        let room = i128::from(MOST) / i128::from(strips.max(1));
        let mut parts = PRICE_PARTS;
        while parts > 0 {
            if let Some(dearest) = dearest.checked_mul(i128::from(parts)).filter(|&d| d <= room) {
                return Some(Scale { parts, dearest: i64::try_from(dearest).ok()? });
            }
            parts /= 2;
        }
        None
    }

    /// The most that all boards together may cost, in units, where one gives at most so many
    /// strips.
    pub fn room(strips: i64) -> i128 {
        i128::from(MOST) / i128::from(strips.max(1)) / 2 - 1
    }

    /// Units of cost in price parts.
    pub fn parts_of(self, units: i64) -> i128 {
        i128::from(units) * i128::from(self.parts)
    }

    /// Rounds price parts up to whole units of cost. A lower bound beyond 64 bits stays one when
    /// it is cut off there.
    pub fn whole_units(self, parts: i128) -> i64 {
        let one = i128::from(self.parts);
        clamped(parts.div_euclid(one) + i128::from(parts.rem_euclid(one) != 0))
    }

    /// Prices in units of cost to whole price parts.
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
    pub fn whole_prices(self, prices: &[f64]) -> Vec<i64> {
        let whole = |&p: &f64| {
            let parts = (p * self.parts as f64).round();
            // Any whole number from 0 on is a valid price; wild ones only make a poor bound. The
            // dearest may round up as a float, so it is the limit as a whole number too.
            let parts = if parts.is_finite() { parts.clamp(0.0, self.dearest as f64) } else { 0.0 };
            (parts as i64).min(self.dearest)
        };
        prices.iter().map(whole).collect()
    }
}

/// Ways met that are kept of each lot that is not listed.
const POOL: usize = 400;

/// A count vector: strips of each kind.
pub type Way = Arc<[u32]>;

/// Boards that are equal: what one costs and how it can be cut.
#[derive(Clone, Debug)]
pub struct Lot<'a> {
    /// Candidate ways to cut one, for the most it comes to at given prices. `None` where
    /// [`Lot::ways`] is all there is.
    pub cuts: Option<&'a BoardCuts>,
    /// Cost of one, in units of cost.
    pub cost: i64,
    /// Ways known. All that matter if `listed`, else those met so far.
    pub ways: Vec<Way>,
    /// Every way that no other covers is in `ways`.
    pub listed: bool,
}

/// One board that may be opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Index of its lot.
    pub lot: usize,
    /// An equal board listed before this one: that one is opened first.
    pub twin_before: Option<usize>,
}

/// The whole choice.
#[derive(Clone, Debug)]
pub struct Cover<'a> {
    /// How many of each kind of strip.
    pub need: Vec<u32>,
    /// Lots of equal boards.
    pub lots: Vec<Lot<'a>>,
    /// Boards that may be opened.
    pub stock: Vec<Stock>,
    /// How its whole numbers are made.
    pub scale: Scale,
    /// Asks for an end.
    pub stop: Stop,
}

/// A choice: for each board the way it is cut, or `None` where it stays whole.
pub type Choice = Vec<Option<Way>>;

/// What is decided about a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// Nothing.
    Open,
    /// It must be opened.
    In,
    /// It stays whole.
    Out,
}

impl<'a> Cover<'a> {
    /// A choice among lots with so many copies each. `None` where its sums might not fit into the
    /// numbers that they are worked out in.
    pub fn new(need: Vec<u32>, lots: Vec<Lot<'a>>, copies: &[usize]) -> Option<Self> {
        let mut everything = 0_i128;
        for (lot, &copies) in lots.iter().zip(copies) {
            if lot.cost < 0 {
                return None;
            }
            let all = i128::from(lot.cost).checked_mul(i128::try_from(copies).ok()?)?;
            everything = everything.checked_add(all)?;
        }
        let strips = |lot: &Lot<'_>| {
            let listed = lot.ways.iter().map(|w| w.iter().map(|&n| i64::from(n)).sum::<i64>());
            let cut = lot.cuts.map_or(0, BoardCuts::most_strips);
            listed.max().unwrap_or(0).max(cut)
        };
        let strips = lots.iter().map(strips).max().unwrap_or(0);
        let scale = Scale::new(everything, strips)?;
        Some(Cover { need, lots, stock: Cover::stock(copies), scale, stop: Stop::default() })
    }

    /// The same, until it is stopped.
    #[must_use]
    pub fn until(self, stop: &Stop) -> Self {
        Cover { stop: stop.clone(), ..self }
    }

    /// Lays out boards for lots with so many copies each.
    pub fn stock(copies: &[usize]) -> Vec<Stock> {
        let mut stock: Vec<Stock> = Vec::new();
        for (lot, &copies) in copies.iter().enumerate() {
            for copy in 0..copies {
                let twin_before = (copy > 0).then(|| stock.len() - 1);
                stock.push(Stock { lot, twin_before });
            }
        }
        stock
    }

    /// Keeps ways that were met of lots that are not listed, up to so many of each.
    pub fn keep(&mut self, met: Vec<(usize, Way)>) {
        for (lot, way) in met {
            let ways = &mut self.lots[lot].ways;
            if ways.len() < POOL && !ways.contains(&way) {
                ways.push(way);
            }
        }
    }

    /// Is an end asked for?
    pub fn stopped(&self) -> bool {
        self.stop.asked()
    }

    /// The lot of a board.
    pub fn lot(&self, board: usize) -> &Lot<'a> {
        &self.lots[self.stock[board].lot]
    }

    /// These boards opened, each cut in its way, and the others whole.
    pub fn opened(&self, ways: impl IntoIterator<Item = (usize, Way)>) -> Choice {
        let mut choice = vec![None; self.stock.len()];
        ways.into_iter().for_each(|(board, way)| choice[board] = Some(way));
        choice
    }

    /// What a choice costs.
    pub fn cost(&self, choice: &Choice) -> i64 {
        (0..choice.len()).filter(|&b| choice[b].is_some()).map(|b| self.lot(b).cost).sum()
    }

    /// What these boards cost together.
    pub fn size(&self, boards: &[usize]) -> i64 {
        boards.iter().map(|&b| self.lot(b).cost).sum()
    }

    /// What all boards cost together.
    pub fn everything(&self) -> i64 {
        (0..self.stock.len()).map(|b| self.lot(b).cost).sum()
    }

    /// What is still missing of each kind; negative where there is more than needed.
    pub fn missing(&self, choice: &Choice) -> Vec<i64> {
        let mut missing: Vec<i64> = self.need.iter().map(|&n| i64::from(n)).collect();
        for way in choice.iter().flatten() {
            for (m, &n) in missing.iter_mut().zip(way.iter()) {
                *m -= i64::from(n);
            }
        }
        missing
    }

    /// What is still to be had of each kind beside a choice.
    pub fn still_needed(&self, choice: &Choice) -> Vec<u32> {
        still_needed(&self.missing(choice))
    }

    /// Does the choice give every strip?
    pub fn meets(&self, choice: &Choice) -> bool {
        self.missing(choice).iter().all(|&m| m <= 0)
    }

    /// Prices in units of cost to whole price parts.
    pub fn whole_prices(&self, prices: &[f64]) -> Vec<i64> {
        self.scale.whole_prices(prices)
    }

    /// What a lot comes to at most at whole-number prices, in price parts, exact.
    pub fn most(&self, lot: usize, prices: &[i64]) -> i64 {
        let lot = &self.lots[lot];
        match lot.cuts {
            Some(cuts) if !lot.listed => cuts.best(&cuts.value(prices)).0,
            _ => lot.ways.iter().map(|w| worth(w, prices)).max().unwrap_or(0),
        }
    }

    /// What every lot comes to at most at whole-number prices, in price parts, exact.
    pub fn most_of_all(&self, prices: &[i64]) -> Vec<i64> {
        (0..self.lots.len()).into_par_iter().map(|lot| self.most(lot, prices)).collect()
    }

    /// What a board costs over what lots come to at most, in price parts.
    pub fn over(&self, board: usize, most: &[i64]) -> i128 {
        let lot = self.stock[board].lot;
        self.scale.parts_of(self.lots[lot].cost) - i128::from(most[lot])
    }

    /// A way of a lot that comes to most at whole-number prices.
    pub fn best_way(&self, lot: usize, prices: &[i64]) -> Option<Way> {
        let lot = &self.lots[lot];
        if let Some(cuts) = lot.cuts.filter(|_| !lot.listed) {
            let cut = cuts.best(&cuts.value(prices)).1;
            let counts = cuts.counts(&cut, self.need.len());
            cuts.met.keep(&counts, prices);
            return Some(counts.into());
        }
        let mut best: Option<(i64, &Way)> = None;
        for way in &lot.ways {
            let worth = worth(way, prices);
            if best.is_none_or(|b| worth > b.0) {
                best = Some((worth, way));
            }
        }
        best.map(|b| Arc::clone(b.1))
    }
}

/// What is still to be had of each kind where so much is missing, or beyond the need if negative.
pub fn still_needed(missing: &[i64]) -> Vec<u32> {
    missing.iter().map(|&m| u32::try_from(m.max(0)).unwrap_or(u32::MAX)).collect()
}

/// What a way comes to at whole-number prices, in price parts: at most [`MOST`] for a way of the
/// cover that made the prices.
pub fn worth(way: &[u32], prices: &[i64]) -> i64 {
    way.iter().zip(prices).map(|(&n, &p)| i64::from(n) * p).sum()
}

/// What needs come to at whole-number prices, in price parts.
pub fn owed(need: &[u32], prices: &[i64]) -> i128 {
    need.iter().zip(prices).map(|(&n, &p)| i128::from(n) * i128::from(p)).sum()
}

/// A number as near to this as 64 bits hold.
pub fn clamped(number: i128) -> i64 {
    // The clamp makes the conversion exact.
    i64::try_from(number.clamp(i128::from(i64::MIN), i128::from(i64::MAX))).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::{Cover, Lot, MOST, Scale, Way, clamped, worth};
    use proptest::prelude::*;

    /// Numbers of every size.
    fn sized(bits: u32) -> impl Strategy<Value = i128> {
        (0..bits).prop_flat_map(|b| (1_i128 << b)..=(1_i128 << b) * 2)
    }

    proptest! {
        #[test]
        fn no_way_at_any_prices_comes_to_more_than_fits(
            everything in sized(100),
            strips in sized(40),
            prices in prop::collection::vec(prop_oneof![
                Just(f64::INFINITY), Just(f64::NAN), Just(-1.0), Just(1e300), 0.0..1e20_f64
            ], 1..4),
        ) {
            let strips = i64::try_from(strips).unwrap();
            match Scale::new(everything, strips) {
                Some(scale) => {
                    for price in scale.whole_prices(&prices) {
                        prop_assert!(price >= 0 && i128::from(price) <= 2 * (everything + 1) * i128::from(scale.parts));
                        prop_assert!(i128::from(price) * i128::from(strips) <= i128::from(MOST));
                    }
                    let units = clamped(everything);
                    prop_assert_eq!(scale.whole_units(scale.parts_of(units)), units);
                }
                None => prop_assert!(everything > Scale::room(strips)),
            }
        }
    }

    /// 1,000 boards at the dearest price beside 1,000 at the cheapest, 10,000 of each wanted.
    #[test]
    fn documented_limits_fit() {
        let way = Way::from(vec![30, 20]);
        let lot = |cost| Lot { cuts: None, cost, ways: vec![way.clone()], listed: true };
        let lots: Vec<Lot<'_>> =
            (0..2_000).map(|n| lot(if n % 2 == 0 { 1 } else { 10_000_000_000_000 })).collect();
        let cover = Cover::new(vec![40_000, 40_000], lots.clone(), &[1; 2_000]).expect("fits");
        prop_sums(&cover);
        // More than that is refused, not wrapped.
        assert!(Cover::new(vec![40_000, 40_000], lots, &[100_000; 2_000]).is_none());
    }

    fn prop_sums(cover: &Cover<'_>) {
        let prices = cover.whole_prices(&[1e30, 1e30]);
        let exact: i128 = prices.iter().zip([30, 20]).map(|(&p, n)| i128::from(p) * n).sum();
        assert_eq!(i128::from(worth(&[30, 20], &prices)), exact);
        assert!(exact <= i128::from(MOST));
        assert_eq!(cover.everything(), 1_000 + 10_000_000_000_000_000);
    }
}
