//! Better prices step by step, and what settles at them.

use crate::choose::cover::{
    Choice, Cover, Fate, PRICE_PARTS, Way, whole_prices, whole_units, worth,
};
use std::sync::Arc;

/// What is decided so far in one part of the search.
#[derive(Clone)]
pub struct Decided {
    /// Fate of each board.
    pub fates: Vec<Fate>,
    /// Boards of listed lots whose ways are limited, sorted by board.
    pub limits: Vec<(usize, Arc<Vec<u16>>)>,
}

impl Decided {
    /// The ways that a board is limited to.
    pub fn limit(&self, board: usize) -> Option<&[u16]> {
        let at = self.limits.binary_search_by_key(&board, |l| l.0).ok()?;
        Some(&self.limits[at].1)
    }

    /// Limits a board's ways.
    pub fn set_limit(&mut self, board: usize, ways: Arc<Vec<u16>>) {
        match self.limits.binary_search_by_key(&board, |l| l.0) {
            Ok(at) => self.limits[at].1 = ways,
            Err(at) => self.limits.insert(at, (board, ways)),
        }
    }
}

/// What an ascent leaves behind.
pub struct Ascent {
    /// The best prices met.
    pub prices: Vec<f64>,
    /// Average of each board's being opened, along the ascent.
    pub opened: Vec<f64>,
    /// Average counts of each board, along the ascent.
    pub counts: Vec<f64>,
    /// The way of each board at the end.
    pub last: Choice,
    /// Ways of lots not listed that were met, in the order met.
    pub met: Vec<(usize, Way)>,
}

/// How an ascent steps.
#[derive(Clone, Copy)]
pub struct Pace<'a> {
    /// Steps at most.
    pub steps: usize,
    /// A bound that is enough, in units of cost.
    pub target: i64,
    /// Typical price of each kind of strip.
    pub scales: &'a [f64],
    /// Asked for an end from outside.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// Answers of all lots at some prices, each worked out once.
struct Answers<'a> {
    cover: &'a Cover<'a>,
    whole: Vec<i64>,
    known: Vec<Option<Option<(f64, Way)>>>,
}

impl<'a> Answers<'a> {
    fn get(&mut self, board: usize, prices: &[f64], limit: Option<&[u16]>) -> Option<(f64, Way)> {
        let lot = self.cover.stock[board].lot;
        let ask =
            |whole: &[i64]| self.cover.answer(lot, prices, whole, limit).map(|a| (a.worth, a.way));
        if limit.is_some() {
            return ask(&self.whole);
        }
        if self.known[lot].is_none() {
            self.known[lot] = Some(ask(&self.whole));
        }
        self.known[lot].clone().flatten()
    }
}

/// Improves prices towards a bound of `pace.target` by subgradient steps.
#[allow(clippy::cast_precision_loss)]
pub fn ascend(cover: &Cover<'_>, decided: &Decided, first: &[f64], pace: Pace<'_>) -> Ascent {
    let (boards, kinds) = (cover.stock.len(), cover.need.len());
    let mut prices = first.to_vec();
    let mut best = (f64::NEG_INFINITY, prices.clone());
    let mut opened = vec![0.0; boards];
    let mut counts = vec![0.0; boards * kinds];
    let mut last: Choice = vec![None; boards];
    let mut met: Vec<(usize, Way)> = Vec::new();
    let mut slope = vec![0.0; kinds];
    let mut direction = vec![0.0; kinds];
    let (mut boldness, mut since) = (1.0_f64, 0);
    let target = pace.target as f64;
    for step in 0..pace.steps {
        if step > 0 && (pace.stop)() {
            break;
        }
        let mut value: f64 = cover.need.iter().zip(&prices).map(|(&n, p)| f64::from(n) * p).sum();
        for (s, &n) in slope.iter_mut().zip(&cover.need) {
            *s = f64::from(n);
        }
        let mut answers =
            Answers { cover, whole: whole_prices(&prices), known: vec![None; cover.lots.len()] };
        // The averages forget their beginning.
        let weight = if step == 0 { 1.0 } else { (2.0 / (step + 2) as f64).max(0.06) };
        for b in 0..boards {
            if decided.fates[b] == Fate::Out {
                continue;
            }
            let Some((most, way)) = answers.get(b, &prices, decided.limit(b)) else { continue };
            let reduced = cover.lot(b).cost as f64 - most;
            opened[b] *= 1.0 - weight;
            let mine = &mut counts[b * kinds..(b + 1) * kinds];
            mine.iter_mut().for_each(|c| *c *= 1.0 - weight);
            if decided.fates[b] == Fate::In || reduced < 0.0 {
                value += reduced;
                opened[b] += weight;
                for ((s, c), &n) in slope.iter_mut().zip(mine).zip(way.iter()) {
                    *s -= f64::from(n);
                    *c += weight * f64::from(n);
                }
            }
            if !cover.lot(b).listed && last[b].as_ref() != Some(&way) {
                met.push((cover.stock[b].lot, Arc::clone(&way)));
            }
            last[b] = Some(way);
        }
        if value > best.0 + 1e-9 * value.abs() {
            if value > best.0 + 1e-5 * value.abs() {
                since = 0;
            }
            best.0 = value;
            best.1.clone_from(&prices);
        } else {
            since += 1;
        }
        if since >= 6 {
            boldness *= 0.6;
            since = 0;
            if boldness < 1e-4 {
                break;
            }
            prices.clone_from(&best.1);
        }
        if value >= target {
            break;
        }
        let mut norm = 0.0;
        for k in 0..kinds {
            direction[k] = slope[k] + 0.5 * direction[k];
            if prices[k] <= 0.0 && direction[k] < 0.0 {
                direction[k] = 0.0;
            }
            norm += (direction[k] * pace.scales[k]).powi(2);
        }
        if norm <= 0.0 {
            break;
        }
        let length = boldness * (target - value).max(1e-6 * target.abs()) / norm;
        for k in 0..kinds {
            let moved = prices[k] + length * direction[k] * pace.scales[k].powi(2);
            prices[k] = moved.max(0.0);
        }
    }
    Ascent { prices: best.1, opened, counts, last, met }
}

/// The exact bound at whole-number prices, in price parts, and each board's `cost − most`.
pub fn bound(cover: &Cover<'_>, decided: &Decided, whole: &[i64]) -> (i128, Vec<i128>) {
    let mut total = i128::from(worth(&cover.need, whole));
    let mut reduced = vec![0; cover.stock.len()];
    let mut known: Vec<Option<i64>> = vec![None; cover.lots.len()];
    #[allow(clippy::needless_range_loop)] // fates of other boards change on the way
    for b in 0..cover.stock.len() {
        if decided.fates[b] == Fate::Out {
            continue;
        }
        let lot = cover.stock[b].lot;
        let limit = decided.limit(b);
        let most = if limit.is_some() {
            cover.most(lot, whole, limit)
        } else {
            *known[lot].get_or_insert_with(|| cover.most(lot, whole, None))
        };
        reduced[b] = i128::from(cover.lot(b).cost) * i128::from(PRICE_PARTS) - i128::from(most);
        total += counted(decided.fates[b], reduced[b]);
    }
    (total, reduced)
}

/// What a board's `cost − most` counts in the bound.
fn counted(fate: Fate, reduced: i128) -> i128 {
    match fate {
        Fate::In => reduced,
        Fate::Open => reduced.min(0),
        Fate::Out => 0,
    }
}

/// Gives a board a fate, and equal boards what follows: the first of them is opened first.
pub fn decide(cover: &Cover<'_>, fates: &mut [Fate], board: usize, fate: Fate) {
    fates[board] = fate;
    let lot = cover.stock[board].lot;
    let twins = match fate {
        Fate::In => 0..board,
        _ => board + 1..cover.stock.len(),
    };
    for twin in twins {
        if cover.stock[twin].lot == lot && fates[twin] == Fate::Open {
            fates[twin] = fate;
        }
    }
}

/// Settles boards whose opposite fate, and drops ways that, would bring the exact bound to
/// `ceiling`. False if nothing is left.
pub fn settle(
    cover: &Cover<'_>,
    decided: &mut Decided,
    whole: &[i64],
    (total, reduced): (i128, &[i128]),
    ceiling: i64,
) -> bool {
    for b in 0..cover.stock.len() {
        let reduced = reduced[b];
        // `total` was worked out with the fate that the board had then.
        let before = decided.fates[b];
        if before == Fate::Open && whole_units(total + reduced.abs()) >= ceiling {
            let fate = if reduced > 0 { Fate::Out } else { Fate::In };
            decide(cover, &mut decided.fates, b, fate);
        }
        let lot = cover.lot(b);
        if decided.fates[b] == Fate::Out || !lot.listed {
            continue;
        }
        let base = total - counted(before, reduced).max(counted(decided.fates[b], reduced));
        let keep = |way: &Way| {
            let with =
                i128::from(lot.cost) * i128::from(PRICE_PARTS) - i128::from(worth(way, whole));
            whole_units(base + with) < ceiling
        };
        let limit = decided.limit(b);
        let all = limit.map_or(lot.ways.len(), <[u16]>::len);
        let kept: Vec<u16> = match limit {
            Some(ways) => {
                ways.iter().copied().filter(|&w| keep(&lot.ways[usize::from(w)])).collect()
            }
            None => (0..lot.ways.len())
                .filter(|&w| keep(&lot.ways[w]))
                .filter_map(|w| u16::try_from(w).ok())
                .collect(),
        };
        if kept.is_empty() {
            if decided.fates[b] == Fate::In {
                return false;
            }
            decide(cover, &mut decided.fates, b, Fate::Out);
        } else if kept.len() < all {
            decided.set_limit(b, Arc::new(kept));
        }
    }
    true
}
