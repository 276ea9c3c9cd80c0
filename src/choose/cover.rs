//! The choice of boards as a cover: every kind of strip needed so many times, every board opened
//! at most once and cut in one of its listed ways.
//!
//! With a price on each kind of strip, a lower bound follows from any prices at all:
//!
//! `bound(π) = Σ need·π + Σ over boards of min(0, cost − max over ways of π·way)`
//!
//! (a board that must be opened counts `cost − max` in full, one that is closed counts nothing).
//! Searching good prices is done in floats; the bound that is believed is worked out again in
//! whole numbers from the rounded prices.

/// Parts that one unit of cost is divided into for whole-number prices.
pub const PRICE_PARTS: i64 = 1 << 16;

/// One board (one copy of it) that may be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// What opening it costs, in units of cost.
    pub cost: i64,
    /// Count vectors, in the order of the needs; never empty vectors only.
    pub ways: Vec<Vec<u32>>,
    /// An equal board listed before this one: open that one first.
    pub twin_before: Option<usize>,
}

/// The whole choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// How many of each kind of strip.
    pub need: Vec<u32>,
    /// Boards that may be opened.
    pub stock: Vec<Stock>,
}

/// A choice: for each board the way it is cut, or `None` where it stays whole.
pub type Choice = Vec<Option<usize>>;

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

/// Flat copies of the ways in floats, for fast bounds.
#[derive(Clone, Debug)]
pub struct Table {
    kinds: usize,
    counts: Vec<f64>,
    first: Vec<usize>,
}

impl Table {
    /// Lays out the ways of a cover.
    pub fn new(cover: &Cover) -> Self {
        let kinds = cover.need.len();
        let mut table = Table { kinds, counts: Vec::new(), first: vec![0] };
        for stock in &cover.stock {
            for way in &stock.ways {
                table.counts.extend(way.iter().map(|&n| f64::from(n)));
            }
            table.first.push(table.counts.len() / kinds.max(1));
        }
        table
    }

    /// The counts of a way.
    pub fn way(&self, board: usize, way: usize) -> &[f64] {
        let at = (self.first[board] + way) * self.kinds;
        &self.counts[at..at + self.kinds]
    }

    /// The best way of a board at these prices among those allowed, and what it comes to.
    pub fn best(&self, board: usize, prices: &[f64], allowed: Option<&[u16]>) -> (f64, usize) {
        let worth = |way: usize| -> f64 {
            self.way(board, way).iter().zip(prices).map(|(n, p)| n * p).sum()
        };
        let mut best = (f64::NEG_INFINITY, usize::MAX);
        let mut look = |way: usize| {
            let value = worth(way);
            if value > best.0 {
                best = (value, way);
            }
        };
        match allowed {
            Some(ways) => ways.iter().for_each(|&w| look(usize::from(w))),
            None => (0..self.first[board + 1] - self.first[board]).for_each(look),
        }
        best
    }
}

impl Cover {
    /// What a choice costs.
    pub fn cost(&self, choice: &Choice) -> i64 {
        let cost = |(stock, way): (&Stock, &Option<usize>)| way.map_or(0, |_| stock.cost);
        self.stock.iter().zip(choice).map(cost).sum()
    }

    /// What is still missing of each kind; negative where there is more than needed.
    pub fn missing(&self, choice: &Choice) -> Vec<i64> {
        let mut missing: Vec<i64> = self.need.iter().map(|&n| i64::from(n)).collect();
        for (stock, way) in self.stock.iter().zip(choice) {
            if let Some(way) = *way {
                for (m, &n) in missing.iter_mut().zip(&stock.ways[way]) {
                    *m -= i64::from(n);
                }
            }
        }
        missing
    }

    /// Does the choice give every strip?
    pub fn meets(&self, choice: &Choice) -> bool {
        self.missing(choice).iter().all(|&m| m <= 0)
    }

    /// The bound at these whole-number prices (in [`PRICE_PARTS`]), rounded up to whole units of
    /// cost, exact. `allowed` limits a board's ways.
    pub fn bound<'a>(
        &self,
        prices: &[i64],
        fates: &[Fate],
        allowed: impl Fn(usize) -> Option<&'a [u16]>,
    ) -> i64 {
        let worth = |way: &[u32]| -> i128 {
            way.iter().zip(prices).map(|(&n, &p)| i128::from(n) * i128::from(p)).sum()
        };
        let mut total: i128 = worth(&self.need);
        for (b, stock) in self.stock.iter().enumerate() {
            if fates[b] == Fate::Out {
                continue;
            }
            let best = match allowed(b) {
                Some(ways) => ways.iter().map(|&w| worth(&stock.ways[usize::from(w)])).max(),
                None => stock.ways.iter().map(|w| worth(w)).max(),
            };
            let reduced = i128::from(stock.cost) * i128::from(PRICE_PARTS) - best.unwrap_or(0);
            total += if fates[b] == Fate::In { reduced } else { reduced.min(0) };
        }
        whole_units(total)
    }
}

/// Rounds price parts up to whole units of cost.
pub fn whole_units(parts: i128) -> i64 {
    let one = i128::from(PRICE_PARTS);
    let units = parts.div_euclid(one) + i128::from(parts.rem_euclid(one) != 0);
    i64::try_from(units).unwrap_or(if units < 0 { i64::MIN } else { i64::MAX })
}

/// Prices in units of cost to whole price parts.
#[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
pub fn whole_prices(prices: &[f64]) -> Vec<i64> {
    let whole = |&p: &f64| {
        let parts = (p * PRICE_PARTS as f64).round();
        // Any whole number from 0 on is a valid price; wild ones only make a poor bound.
        if parts.is_finite() { parts.clamp(0.0, 1e15) as i64 } else { 0 }
    };
    prices.iter().map(whole).collect()
}
