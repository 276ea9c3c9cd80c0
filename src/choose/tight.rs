//! The prices at which given boards come nearest to falling short.
//!
//! Boards that are enough come to `Σ most(π) ≥ π·need` at any prices π. The slack of boards is
//! the least that `Σ most(π) − π·need` can be brought to, prices being scaled to one worth of the
//! needs. It is sought by subgradient steps; prices that make it negative prove, in whole numbers,
//! that the boards are not enough.

use crate::choose::ascend::Decided;
use crate::choose::cover::{Cover, Way, whole_prices, worth};
use std::collections::VecDeque;
use std::sync::Arc;

/// Prices that are kept beside the tightest.
const NEAR: usize = 8;

/// The tightest prices found for some boards.
pub struct Tight {
    /// Prices, scaled so that the needs are worth as much as the boards cost.
    pub prices: Vec<f64>,
    /// Slack at these prices, in units of cost.
    pub slack: f64,
    /// The way of each board at the prices looked at last, in the order of the boards.
    pub ways: Vec<Way>,
    /// Prices met on the way that were nearly as tight, as whole numbers.
    pub near: Vec<Vec<i64>>,
    /// Average counts of each board along the way, board by board.
    pub mean: Vec<f64>,
}

/// What came of it.
pub enum Tightened {
    /// The boards are not enough, in no way of cutting them; the prices prove it, unless a board
    /// has no way left.
    Short(Vec<f64>),
    /// They are, cut so.
    Enough(Vec<Way>),
    /// Not known.
    Open(Tight),
}

/// Which boards, for what.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// Strips of each kind.
    pub need: &'a [u32],
    /// Boards that are all opened.
    pub boards: &'a [usize],
    /// Limits of ways.
    pub decided: &'a Decided,
    /// Typical price of each kind of strip.
    pub scales: &'a [f64],
}

/// Steps towards the tightest prices, from `first` on. Ways met of lots that aren't listed go
/// to `met`.
#[allow(clippy::cast_precision_loss)]
pub fn tighten(
    cover: &Cover<'_>,
    asked: Asked<'_>,
    first: &[f64],
    steps: usize,
    met: &mut Vec<(usize, Way)>,
) -> Tightened {
    let Asked { need, boards, decided, scales } = asked;
    let kinds = need.len();
    let size = boards.iter().map(|&b| cover.lot(b).cost).sum::<i64>().max(1) as f64;
    let mut prices = first.to_vec();
    normal(&mut prices, need, scales, size);
    let mut best = (f64::INFINITY, prices.clone());
    let mut ways: Vec<Option<Way>> = vec![None; boards.len()];
    let mut mean = vec![0.0; boards.len() * kinds];
    let mut near: VecDeque<Vec<i64>> = VecDeque::new();
    let (mut boldness, mut since) = (1.0, 0);
    for step in 0..steps.max(1) {
        let whole = whole_prices(&prices);
        let mut slack = -worth_of(need, &prices);
        let mut slope: Vec<f64> = need.iter().map(|&n| f64::from(n)).collect();
        let weight = if step == 0 { 1.0 } else { (2.0 / (step + 2) as f64).max(0.06) };
        for (i, &b) in boards.iter().enumerate() {
            let lot = cover.stock[b].lot;
            let Some(answer) = cover.answer(lot, &prices, &whole, decided.limit(b)) else {
                return Tightened::Short(prices);
            };
            slack += answer.worth;
            let mean = &mut mean[i * kinds..(i + 1) * kinds];
            for ((s, m), &n) in slope.iter_mut().zip(mean).zip(answer.way.iter()) {
                *s -= f64::from(n);
                *m += weight * (f64::from(n) - *m);
            }
            if !cover.lots[lot].listed && ways[i].as_ref() != Some(&answer.way) {
                met.push((lot, Arc::clone(&answer.way)));
            }
            ways[i] = Some(answer.way);
        }
        if slack < best.0 - 1e-9 * size {
            since = 0;
            best = (slack, prices.clone());
        } else {
            since += 1;
        }
        if slack <= best.0 + 0.2 * best.0.abs() {
            if near.len() >= NEAR {
                near.pop_front();
            }
            near.push_back(whole.clone());
        }
        if slope.iter().all(|&s| s <= 0.0) {
            return Tightened::Enough(ways.into_iter().flatten().collect());
        }
        if slack < 0.0 && exact_slack(cover, asked, &whole) < 0 {
            return Tightened::Short(prices);
        }
        if since >= 5 {
            boldness *= 0.6;
            since = 0;
            prices.clone_from(&best.1);
        }
        let norm: f64 = slope.iter().zip(scales).map(|(s, scale)| (s * scale).powi(2)).sum();
        let length = boldness * (slack + 0.002 * size) / norm.max(1e-12);
        for k in 0..kinds {
            prices[k] = (prices[k] + length * slope[k] * scales[k].powi(2)).max(0.0);
        }
        normal(&mut prices, need, scales, size);
    }
    let ways = ways.into_iter().flatten().collect();
    near.push_back(whole_prices(&best.1));
    Tightened::Open(Tight { prices: best.1, slack: best.0, ways, near: near.into(), mean })
}

/// Slack at whole-number prices, in price parts, exact.
pub fn exact_slack(cover: &Cover<'_>, asked: Asked<'_>, whole: &[i64]) -> i128 {
    let most =
        |&b: &usize| i128::from(cover.most(cover.stock[b].lot, whole, asked.decided.limit(b)));
    asked.boards.iter().map(most).sum::<i128>() - i128::from(worth(asked.need, whole))
}

fn worth_of(need: &[u32], prices: &[f64]) -> f64 {
    need.iter().zip(prices).map(|(&n, p)| f64::from(n) * p).sum()
}

/// Scales prices to one worth of the needs, so that slack means the same throughout.
fn normal(prices: &mut Vec<f64>, need: &[u32], scales: &[f64], size: f64) {
    if worth_of(need, prices) <= 0.0 {
        prices.clear();
        prices.extend_from_slice(scales);
    }
    let now = worth_of(need, prices);
    if now > 0.0 {
        prices.iter_mut().for_each(|p| *p *= size / now);
    }
}
