//! Mixes: so many paddles of each kind, and sums over them.

use crate::paddle::strips::needed;
use crate::paddle::{Job, strip_kinds};

/// How many paddles of each kind.
pub type Mix = Vec<u32>;

/// A sum over mixes that is too much beyond a limit.
#[derive(Clone, Debug)]
pub struct Line {
    /// What each paddle of a kind adds.
    pub each: Vec<i128>,
    /// What a kind adds once if there is any of it (spares).
    pub once: Vec<i128>,
    /// No mix that can be made comes to more.
    pub limit: i128,
    /// What it comes to less this is a bound of the cost in price parts; `None` for lines that
    /// say nothing of cost.
    pub less: Option<i128>,
}

impl Line {
    /// What a mix comes to.
    pub fn of(&self, mix: &[u32]) -> i128 {
        let kind = |((&n, each), once): ((&u32, &i128), &i128)| {
            if n == 0 { 0 } else { i128::from(n) * each + once }
        };
        mix.iter().zip(&self.each).zip(&self.once).map(kind).sum()
    }

    /// What each paddle of a kind, and a kind once, adds at these worths of strips.
    pub fn priced(job: &Job, worth: &dyn Fn(&[u32]) -> i128) -> (Vec<i128>, Vec<i128>) {
        let kinds = strip_kinds(job);
        let paddles = job.paddles.len();
        let at = |p: usize, n: u32| {
            let mut mix = vec![0; paddles];
            mix[p] = n;
            worth(&needed(job, &kinds, &mix))
        };
        let each: Vec<i128> = (0..paddles).map(|p| at(p, 2) - at(p, 1)).collect();
        let once = (0..paddles).map(|p| at(p, 1) - each[p]).collect();
        (each, once)
    }
}

/// Does a mix hold at least as many of each kind?
pub fn holds(mix: &[u32], other: &[u32]) -> bool {
    mix.iter().zip(other).all(|(m, o)| m >= o)
}

/// Paddles of all kinds together.
pub fn total(mix: &[u32]) -> u32 {
    mix.iter().fold(0, |sum, &n| sum.saturating_add(n))
}
