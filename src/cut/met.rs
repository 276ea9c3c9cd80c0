//! At which prices ways of a board were met, so that a way that is chosen can be cut at once,
//! without a search for it.

use rustc_hash::FxHashMap;
use std::sync::{Arc, Mutex};

/// Ways of one board that are remembered.
const KEPT: usize = 20_000;

/// Prices by the counts that were met at them. It changes nothing but the time taken.
#[derive(Clone, Debug, Default)]
pub struct Met(Arc<Mutex<Known>>);

/// Prices by counts.
type Known = FxHashMap<Vec<u32>, Box<[i64]>>;

impl Met {
    /// Remembers that a board's best way at these prices gives these counts.
    pub fn keep(&self, counts: &[u32], prices: &[i64]) {
        let Ok(mut known) = self.0.lock() else { return };
        let room = known.len() < KEPT;
        match known.get_mut(counts) {
            // The least of several, so that the order of threads decides nothing.
            Some(before) if prices < &**before => *before = prices.into(),
            Some(_) => {}
            None if room => {
                known.insert(counts.to_vec(), prices.into());
            }
            None => {}
        }
    }

    /// Prices at which a way was met that gives at least these counts.
    pub fn prices(&self, needed: &[u32]) -> Option<Box<[i64]>> {
        let known = self.0.lock().ok()?;
        if let Some(same) = known.get(needed) {
            return Some(same.clone());
        }
        let enough = |counts: &[u32]| counts.iter().zip(needed).all(|(n, w)| n >= w);
        // The least of them, so that the order of the map decides nothing.
        let all = known.iter().filter(|(counts, _)| enough(counts));
        all.min_by_key(|(counts, _)| *counts).map(|(_, prices)| prices.clone())
    }
}
