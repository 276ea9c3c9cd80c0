//! Boards that are all opened, cut near what they are mixed to at the tightest prices.
//!
//! At the tightest prices boards are mixtures of ways that come to more than is needed, all of them
//! together ([`crate::choose::search::tight`]). Each board is cut into no more of a kind than its mixture
//! gives, rounded up: that leaves few ways of each, and of those one each is sought that together
//! give what is needed ([`crate::choose::search::recut`]). Then the lists grow around the cut that
//! lacks least: by ways of each board that give no more than is left if the others are cut as they are.

use crate::choose::effort::afresh::FEW;
use crate::choose::effort::enough::NEAR;
use crate::choose::effort::recut::{LOOKS, STEPS};
use crate::choose::effort::rounded::{AROUND, CHEAPEST, FAILED, MORE};
use crate::choose::kernel::cover::Way;
use crate::choose::search::enough::Dive;
use crate::choose::search::recut::{Recut, recut};
use crate::choose::search::tight::{Asked, Tight, exact_slack};
use crate::choose::search::together::unlike;
use rayon::prelude::*;
use std::sync::Arc;

impl Dive<'_> {
    /// Ways of these boards that give what is needed, if any are found near the mixtures. If not,
    /// those that lack least are kept.
    pub(super) fn rounded(
        &mut self,
        need: &[u32],
        boards: &[usize],
        tight: &Tight,
    ) -> Option<Vec<(usize, Way)>> {
        if tight.parts.is_empty() {
            return None;
        }
        let means: Vec<Vec<f64>> =
            (0..boards.len()).map(|place| tight.mixture(place, need.len())).collect();
        let asked = Asked { need, boards, scales: self.scales };
        let slack = |j: usize| exact_slack(self.cover, asked, &tight.near[j]);
        let (prices, slacks) = unlike(&tight.near, slack, need);
        self.told = Some((prices.clone(), slacks.clone()));
        let pains = (self.left.list, self.left.ways);
        // All of the boards' ways that give no more than this.
        let listed = |(place, most): (usize, Vec<u32>)| {
            let mut ways = self.listed(boards[place], &most, (&prices, &slacks), pains, &NEAR);
            // Those it is mixed of may give more of a kind than that.
            ways.extend(tight.mixed(place));
            ways
        };
        let mut lists: Vec<Vec<Way>> = vec![Vec::new(); boards.len()];
        let mut best: Option<(i64, Vec<Way>)> = None;
        let mut failed = 0;
        for round in 0..MORE.len() + AROUND {
            if (self.stop)() || failed > FAILED {
                break;
            }
            // First around the mixtures, then around the cut that lacks least so far.
            let (around, more) = match (MORE.get(round), &best) {
                (Some(&more), _) => (None, more),
                (None, Some((_, ways))) => (Some(ways), u32::from(round % 2 == 1)),
                (None, None) => break,
            };
            let most: Vec<Vec<u32>> = match around {
                None => means.iter().map(|mean| rounded_up(mean, need, more)).collect(),
                Some(ways) => left_for_each(ways, need, more),
            };
            let new: Vec<Vec<Way>> = most.into_par_iter().enumerate().map(listed).collect();
            match around {
                None => lists = new,
                Some(_) => lists.iter_mut().zip(new).for_each(|(list, new)| list.extend(new)),
            }
            for (place, list) in lists.iter_mut().enumerate() {
                list.extend(around.map(|ways| Arc::clone(&ways[place])));
                list.sort_unstable();
                list.dedup();
            }
            let first = |(place, list): (usize, &Vec<Way>)| match around {
                None => nearest(list, &means[place], &tight.prices),
                Some(ways) => list.iter().position(|way| *way == ways[place]),
            };
            let first: Option<Vec<usize>> = lists.iter().enumerate().map(first).collect();
            let Some(first) = first else { break };
            let cut = |at: Vec<usize>| -> Vec<Way> {
                lists.iter().zip(at).map(|(list, way)| Arc::clone(&list[way])).collect()
            };
            let ways: usize = lists.iter().map(Vec::len).sum();
            let steps = (LOOKS * lists.len() / ways.max(1)).min(STEPS);
            let with = (steps, self.draw);
            match recut(need, &lists, &tight.prices, first, with, self.stop) {
                Recut::Enough(at) => return Some(boards.iter().copied().zip(cut(at)).collect()),
                Recut::Nearest { at, lacks } => {
                    failed += usize::from(around.is_some());
                    if best.as_ref().is_none_or(|best| lacks < best.0) {
                        best = Some((lacks, cut(at)));
                        failed = 0;
                    }
                }
            }
        }
        if let Some((_, mut ways)) = best {
            if self.left.afresh > 0 && boards.len() > FEW {
                self.left.afresh -= 1;
                let kept = std::mem::take(&mut self.left.afresh);
                let told = self.told.clone();
                let enough = self.afresh(need, boards, tight, &mut ways);
                (self.left.afresh, self.told) = (kept, told);
                if enough {
                    return Some(boards.iter().copied().zip(ways).collect());
                }
            }
            self.nearest = boards.iter().copied().zip(ways).collect();
        }
        None
    }
}

/// No more of a kind than a mixture gives, rounded up, and so many more.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn rounded_up(mean: &[f64], need: &[u32], more: u32) -> Vec<u32> {
    // A trifle over a whole number is that number.
    let up =
        |(&m, &n): (&f64, &u32)| ((m - 1e-6).ceil().max(0.0) as u32).saturating_add(more).min(n);
    mean.iter().zip(need).map(up).collect()
}

/// What each board is to give if the others are cut in these ways, and so many more of a kind.
pub(super) fn left_for_each(ways: &[Way], need: &[u32], more: u32) -> Vec<Vec<u32>> {
    let given = |k: usize| ways.iter().map(|w| w[k]).sum::<u32>();
    let left = |way: &Way, k: usize| {
        let left = need[k].saturating_add(way[k]).saturating_sub(given(k));
        left.saturating_add(more).min(need[k])
    };
    ways.iter().map(|way| (0..need.len()).map(|k| left(way, k)).collect()).collect()
}

/// What lacks if boards are cut in these ways, by worth; a cheap strip counts for something too.
pub(super) fn lacks(need: &[u32], ways: &[Way], prices: &[f64]) -> f64 {
    let given = |k: usize| ways.iter().map(|w| w[k]).sum::<u32>();
    let least = prices.iter().copied().fold(0.0, f64::max) * CHEAPEST;
    let lacks = |k: usize| f64::from(need[k].saturating_sub(given(k)));
    (0..need.len()).map(|k| lacks(k) * prices[k].max(least).max(f64::MIN_POSITIVE)).sum()
}

/// The way that is nearest to a mixture by worth.
fn nearest(ways: &[Way], mean: &[f64], prices: &[f64]) -> Option<usize> {
    let off = |way: &Way| -> f64 {
        let kinds = way.iter().zip(mean).zip(prices);
        kinds.map(|((&n, mean), price)| (f64::from(n) - mean).abs() * price).sum()
    };
    let ways = ways.iter().map(off).enumerate();
    ways.min_by(|a, b| a.1.total_cmp(&b.1)).map(|way| way.0)
}

#[cfg(test)]
mod tests {
    use crate::choose::kernel::trial::priced;
    use crate::choose::search::enough::{Dive, Pains};
    use crate::choose::search::tight::tests::tightest;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn ways_near_the_mixtures_are_enough_or_lack_something((cover, prices) in priced()) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let boards: Vec<usize> = (0..cover.stock.len()).collect();
            let scales = vec![1.0; prices.len()];
            let Some(tight) = tightest(&cover, &boards, &prices) else { return Ok(()) };
            let mut dive = Dive::new(&cover, &scales, Pains::SHORT, &|| false);
            let found = dive.rounded(&cover.need, &boards, &tight);
            let choice = |ways: &[(usize, _)]| {
                let mut choice = vec![None; cover.stock.len()];
                ways.iter().for_each(|(b, way)| choice[*b] = Some(std::sync::Arc::clone(way)));
                choice
            };
            if let Some(ways) = found {
                prop_assert!(cover.meets(&choice(&ways)));
            } else if !dive.nearest.is_empty() {
                let nearest = choice(&dive.nearest);
                prop_assert!(!cover.meets(&nearest));
                for (board, way) in nearest.iter().enumerate() {
                    prop_assert!(way.iter().all(|w| cover.lot(board).ways.contains(w)));
                }
            }
        }
    }
}
