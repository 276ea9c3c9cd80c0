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

use crate::cut::BoardCuts;
use crate::stop::Stop;
use std::sync::Arc;

/// Parts that one unit of cost is divided into for whole-number prices.
pub const PRICE_PARTS: i64 = 1 << 16;

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

impl Cover<'_> {
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

    /// Is an end asked for, by the boards' own stop?
    pub fn stopped(&self) -> bool {
        self.lots.iter().find_map(|l| l.cuts).is_some_and(|c| c.stop.asked())
    }

    /// The boards' own stop.
    pub fn stop(&self) -> Stop {
        self.lots.iter().find_map(|l| l.cuts).map(|c| c.stop.clone()).unwrap_or_default()
    }

    /// The lot of a board.
    pub fn lot(&self, board: usize) -> &Lot<'_> {
        &self.lots[self.stock[board].lot]
    }

    /// What a choice costs.
    pub fn cost(&self, choice: &Choice) -> i64 {
        (0..choice.len()).filter(|&b| choice[b].is_some()).map(|b| self.lot(b).cost).sum()
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

    /// Does the choice give every strip?
    pub fn meets(&self, choice: &Choice) -> bool {
        self.missing(choice).iter().all(|&m| m <= 0)
    }

    /// What a lot comes to at most at whole-number prices, in price parts, exact.
    pub fn most(&self, lot: usize, prices: &[i64]) -> i64 {
        let lot = &self.lots[lot];
        match lot.cuts {
            Some(cuts) if !lot.listed => cuts.best(&cuts.value(prices)).0,
            _ => lot.ways.iter().map(|w| worth(w, prices)).max().unwrap_or(0),
        }
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

/// What a way comes to at whole-number prices, in price parts. Saturates far beyond any cost.
pub fn worth(way: &[u32], prices: &[i64]) -> i64 {
    way.iter().zip(prices).map(|(&n, &p)| i64::from(n) * p).sum()
}

/// Rounds price parts up to whole units of cost.
pub fn whole_units(parts: i128) -> i64 {
    let one = i128::from(PRICE_PARTS);
    let units = parts.div_euclid(one) + i128::from(parts.rem_euclid(one) != 0);
    i64::try_from(units).unwrap_or(if units < 0 { i64::MIN } else { i64::MAX })
}

/// The greatest price, in parts: low enough that no sum of strips overflows.
const DEAREST: f64 = 1e14;

/// Prices in units of cost to whole price parts.
#[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
pub fn whole_prices(prices: &[f64]) -> Vec<i64> {
    let whole = |&p: &f64| {
        let parts = (p * PRICE_PARTS as f64).round();
        // Any whole number from 0 on is a valid price; wild ones only make a poor bound.
        if parts.is_finite() { parts.clamp(0.0, DEAREST) as i64 } else { 0 }
    };
    prices.iter().map(whole).collect()
}
