//! What sections came to at prices not long ago, as a bound on what they come to now.
//!
//! What a section comes to is the greatest of sums `counts·price`. If no price is more than `r`
//! times what it was, the section comes to no more than `r` times what it came to then. On boards
//! with thousands of candidate sections most are passed over by this bound. It changes nothing
//! but the time taken, whatever is remembered.

use std::sync::{Arc, Mutex};

/// Fewer sections than this are worked out without bounds.
const MANY: usize = 48;
/// Sets of prices remembered: searches side by side have prices of their own.
const KEPT: usize = 6;
/// Bits after the point of a ratio.
const BITS: u32 = 30;

/// What sections came to at some prices, or no more than that.
#[derive(Debug)]
struct Known {
    prices: Vec<i64>,
    sections: Vec<i64>,
}

/// What is remembered of one board.
#[derive(Debug, Default)]
pub struct Recent(Mutex<Vec<Arc<Known>>>);

impl Clone for Recent {
    fn clone(&self) -> Self {
        Recent::default()
    }
}

/// Bounds on what sections come to.
pub struct Bounds(Option<(Arc<Known>, i128)>);

impl Bounds {
    /// The most that a section can come to.
    pub fn of(&self, section: usize) -> i64 {
        self.0.as_ref().map_or(i64::MAX, |(known, ratio)| {
            let most = i128::from(known.sections[section]).checked_mul(*ratio);
            most.and_then(|m| i64::try_from((m >> BITS) + 1).ok()).unwrap_or(i64::MAX)
        })
    }
}

impl Recent {
    /// Bounds at these prices of items from the prices remembered that are nearest; `None` where
    /// a board has few sections.
    pub fn bounds(&self, prices: &[i64], sections: usize) -> Option<Bounds> {
        if sections < MANY {
            return None;
        }
        let known = self.0.lock().ok()?;
        let nearest = known
            .iter()
            .filter_map(|k| ratio(prices, &k.prices).map(|r| (r, k)))
            .min_by_key(|(r, _)| *r);
        Some(Bounds(nearest.map(|(r, k)| (Arc::clone(k), r))))
    }

    /// Remembers what sections come to at these prices.
    pub fn keep(&self, prices: &[i64], sections: Vec<i64>) {
        if let Ok(mut known) = self.0.lock() {
            if known.len() >= KEPT {
                known.remove(0);
            }
            known.push(Arc::new(Known { prices: prices.to_vec(), sections }));
        }
    }
}

/// The greatest ratio of a price now to the price then, rounded up; `None` if there is none.
fn ratio(now: &[i64], then: &[i64]) -> Option<i128> {
    let one = |(&now, &then): (&i64, &i64)| match (now, then) {
        (0, _) => Some(0),
        (_, 0) => None,
        (now, then) => Some(((i128::from(now) << BITS) / i128::from(then)) + 1),
    };
    now.iter().zip(then).map(one).try_fold(0, |most, r| r.map(|r| most.max(r)))
}
