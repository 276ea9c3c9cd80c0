//! Are these boards enough? The question left once every board's fate is decided.
//!
//! With prices π, boards that are enough satisfy `Σ most(π) ≥ π·need`. If some prices break that,
//! they are not enough. If none do, then in any choice that is enough each board's way comes
//! within `δ = Σ most(π) − π·need` of the most it could come to: a short list of ways when π is
//! the tightest found.

use crate::choose::ascend::Decided;
use crate::choose::cover::{Choice, Cover, Fate, Lot, Stock, Way, whole_prices, worth};
use crate::choose::first;
use crate::cut::list::Floor;
use std::sync::Arc;

/// The answer.
pub enum Enough<'a> {
    /// They are, so cut.
    Yes(Choice),
    /// They are not, in no way of cutting them.
    No,
    /// Not sure yet.
    Maybe(Maybe<'a>),
}

/// What is known where it isn't sure whether boards are enough.
pub struct Maybe<'a> {
    /// The boards.
    pub boards: Vec<usize>,
    /// These boards alone with the ways met so far.
    pub met: Cover<'a>,
    /// The tightest prices found, in price parts.
    pub whole: Vec<i64>,
}

/// Steps towards the tightest prices.
const STEPS: usize = 160;
/// More ways than this for one board are not worth listing here.
const WAYS: usize = 20_000;

/// Decides whether the boards that must be opened are enough.
#[allow(clippy::cast_precision_loss)]
pub fn enough<'a>(
    cover: &Cover<'a>,
    decided: &Decided,
    first_prices: &[f64],
    scales: &[f64],
    (effort, stop): (u64, &(dyn Fn() -> bool + Sync)),
) -> (Enough<'a>, Vec<(usize, Way)>) {
    let boards: Vec<usize> =
        (0..cover.stock.len()).filter(|&b| decided.fates[b] == Fate::In).collect();
    let kinds = cover.need.len();
    let mut met: Vec<(usize, Way)> = Vec::new();
    let worth_of_need =
        |p: &[f64]| -> f64 { cover.need.iter().zip(p).map(|(&n, p)| f64::from(n) * p).sum() };
    // Prices are kept at one worth of the needs, so that δ means the same throughout.
    let size = boards.iter().map(|&b| cover.lot(b).cost).sum::<i64>().max(1) as f64;
    let normal = |prices: &mut Vec<f64>| {
        let now = worth_of_need(prices);
        if now > 0.0 {
            prices.iter_mut().for_each(|p| *p *= size / now);
        } else {
            prices.clone_from(&scales.to_vec());
        }
    };
    let mut prices = first_prices.to_vec();
    normal(&mut prices);
    normal(&mut prices);
    let mut best = (f64::INFINITY, prices.clone());
    let mut choice: Choice = vec![None; cover.stock.len()];
    let (mut boldness, mut since) = (1.0, 0);
    for _ in 0..STEPS {
        let whole = whole_prices(&prices);
        let mut slack = -worth_of_need(&prices);
        let mut slope: Vec<f64> = cover.need.iter().map(|&n| f64::from(n)).collect();
        for &b in &boards {
            let lot = cover.stock[b].lot;
            let Some(answer) = cover.answer(lot, &prices, &whole, decided.limit(b)) else {
                return (Enough::No, met);
            };
            slack += answer.worth;
            for (s, &n) in slope.iter_mut().zip(answer.way.iter()) {
                *s -= f64::from(n);
            }
            if !cover.lots[lot].listed && choice[b].as_ref() != Some(&answer.way) {
                met.push((lot, Arc::clone(&answer.way)));
            }
            choice[b] = Some(answer.way);
        }
        if slack < best.0 - 1e-9 * size {
            since = 0;
            best = (slack, prices.clone());
        } else {
            since += 1;
        }
        if slope.iter().all(|&s| s <= 0.0) {
            return (Enough::Yes(choice), met);
        }
        if slack < 0.0 && short(cover, decided, &boards, &whole) {
            return (Enough::No, met);
        }
        if since >= 5 {
            boldness *= 0.6;
            since = 0;
            prices.clone_from(&best.1);
        }
        let norm: f64 = (0..kinds).map(|k| (slope[k] * scales[k]).powi(2)).sum();
        let length = boldness * (slack + 0.002 * size) / norm.max(1e-12);
        for k in 0..kinds {
            prices[k] = (prices[k] + length * slope[k] * scales[k].powi(2)).max(0.0);
        }
        normal(&mut prices);
    }
    let mut pooled = cover.clone();
    for (lot, way) in &met {
        let ways = &mut pooled.lots[*lot].ways;
        if !ways.contains(way) {
            ways.push(Arc::clone(way));
        }
    }
    let only = only(&pooled, &boards, |b| pooled.lot(b).ways.clone());
    if let Some(found) = first::complete(&only, &best.1, vec![None; boards.len()]) {
        let mut choice: Choice = vec![None; cover.stock.len()];
        boards.iter().zip(found).for_each(|(&b, way)| choice[b] = way);
        return (Enough::Yes(choice), met);
    }
    for from in [choice, vec![None; cover.stock.len()]] {
        let choice = recut_exactly(cover, decided, &boards, &best.1, from, (effort, stop));
        if cover.meets(&choice) {
            return (Enough::Yes(choice), met);
        }
    }
    (Enough::Maybe(Maybe { boards, met: only, whole: whole_prices(&best.1) }), met)
}

/// Cuts one board after another anew, each in the way that of all its ways is worth most to what
/// the others leave missing, until all is given or nothing changes.
fn recut_exactly(
    cover: &Cover<'_>,
    decided: &Decided,
    boards: &[usize],
    prices: &[f64],
    mut choice: Choice,
    (effort, stop): (u64, &(dyn Fn() -> bool + Sync)),
) -> Choice {
    let whole = whole_prices(prices);
    for _ in 0..4 {
        let mut changed = false;
        for &b in boards {
            if stop() {
                return choice;
            }
            let old = choice[b].take();
            let missing: Vec<u32> = cover
                .missing(&choice)
                .iter()
                .map(|&m| u32::try_from(m.max(0)).unwrap_or(u32::MAX))
                .collect();
            let useful = |way: &Way| -> i64 {
                way.iter()
                    .zip(&missing)
                    .zip(&whole)
                    .map(|((&n, &m), &p)| i64::from(n.min(m)) * p.max(1))
                    .sum()
            };
            let now = old.as_ref().map_or(-1, useful);
            let best = best_for(cover, decided, b, &missing, &whole, (now + 1).max(1), effort)
                .filter(|way| useful(way) > now);
            changed |= best.is_some();
            choice[b] = best.or(old);
            if cover.meets(&choice) {
                return choice;
            }
        }
        if !changed {
            break;
        }
    }
    choice
}

/// The way of a board that is worth most to what is missing, if any is worth `least`.
fn best_for(
    cover: &Cover<'_>,
    decided: &Decided,
    board: usize,
    missing: &[u32],
    whole: &[i64],
    least: i64,
    effort: u64,
) -> Option<Way> {
    let lot = cover.lot(board);
    let wanted: Vec<i64> =
        missing.iter().zip(whole).map(|(&m, &p)| if m == 0 { 0 } else { p.max(1) }).collect();
    let useful = |way: &[u32]| -> i64 {
        way.iter().zip(missing).zip(&wanted).map(|((&n, &m), &p)| i64::from(n.min(m)) * p).sum()
    };
    match (decided.limit(board), lot.cuts) {
        (Some(ways), _) => {
            ways.iter().map(|&w| &lot.ways[usize::from(w)]).max_by_key(|w| useful(w)).cloned()
        }
        (None, Some(cuts)) if !lot.listed => {
            let valued = cuts.value(&wanted);
            let floor = Floor { valued: &valued, least };
            let ways = cuts.list(missing, Some(floor), effort)?;
            ways.into_iter().max_by_key(|w| useful(w)).map(Way::from)
        }
        _ => lot.ways.iter().max_by_key(|w| useful(w)).cloned(),
    }
}

/// Do these whole-number prices prove that the boards are not enough?
fn short(cover: &Cover<'_>, decided: &Decided, boards: &[usize], whole: &[i64]) -> bool {
    slack(cover, decided, boards, whole) < 0
}

fn slack(cover: &Cover<'_>, decided: &Decided, boards: &[usize], whole: &[i64]) -> i128 {
    let most = |&b: &usize| i128::from(cover.most(cover.stock[b].lot, whole, decided.limit(b)));
    boards.iter().map(most).sum::<i128>() - i128::from(worth(&cover.need, whole))
}

/// A cover of these boards alone, each a lot of its own.
fn only<'a>(cover: &Cover<'a>, boards: &[usize], ways: impl Fn(usize) -> Vec<Way>) -> Cover<'a> {
    let lots = boards
        .iter()
        .map(|&b| Lot { cuts: None, cost: cover.lot(b).cost, ways: ways(b), listed: true })
        .collect();
    let stock = (0..boards.len()).map(|lot| Stock { lot, twin_before: None }).collect();
    Cover { need: cover.need.clone(), lots, stock }
}

/// These boards alone with every way that could be in a choice that is enough; `None` where that
/// takes more than `effort` steps. A board without ways shows that they are not enough.
pub fn all_ways<'a>(
    cover: &Cover<'a>,
    decided: &Decided,
    boards: &[usize],
    whole: &[i64],
    effort: u64,
) -> Option<Cover<'a>> {
    let slack = slack(cover, decided, boards, whole);
    let mut listed: Vec<Vec<Way>> = Vec::with_capacity(boards.len());
    for &b in boards {
        let lot = cover.lot(b);
        let least = i128::from(cover.most(cover.stock[b].lot, whole, decided.limit(b))) - slack;
        let good = |way: &Way| i128::from(worth(way, whole)) >= least;
        let ways: Vec<Way> = match (decided.limit(b), lot.cuts) {
            (Some(limit), _) => limit
                .iter()
                .map(|&w| &lot.ways[usize::from(w)])
                .filter(|w| good(w))
                .cloned()
                .collect(),
            (None, Some(cuts)) if !lot.listed => {
                let valued = cuts.value(whole);
                let least = i64::try_from(least).unwrap_or(i64::MIN);
                let floor = Floor { valued: &valued, least };
                match cuts.list(&cover.need, Some(floor), effort) {
                    Some(ways) if ways.len() <= WAYS => ways.into_iter().map(Way::from).collect(),
                    _ => return None,
                }
            }
            _ => lot.ways.iter().filter(|w| good(w)).cloned().collect(),
        };
        listed.push(ways);
    }
    let place = |b: usize| boards.iter().position(|&x| x == b).unwrap_or(0);
    Some(only(cover, boards, |b| listed[place(b)].clone()))
}
