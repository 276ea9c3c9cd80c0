//! Boards that are all opened, cut near what they are mixed to at the tightest prices.
//!
//! At the tightest prices boards are mixtures of ways that come to more than is needed, all of them
//! together ([`crate::choose::search::tight`]). Each board is cut into no more of a kind than its mixture
//! gives, rounded up: that leaves few ways of each, and of those one each is sought that together
//! give what is needed. Sums that stay near the mixtures go on.

use crate::choose::effort::enough::NEAR;
use crate::choose::effort::rounded::{BEAM, MORE};
use crate::choose::kernel::cover::{Way, clamped, worth};
use crate::choose::search::enough::Dive;
use crate::choose::search::sums::{self, Part, STRIP, Summed};
use crate::choose::search::tight::{Asked, Tight, exact_slack};
use crate::choose::search::together::apart;
use rayon::prelude::*;

impl Dive<'_> {
    /// Ways of these boards that give what is needed, if any are found near the mixtures.
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
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
        let near = apart(&tight.near, need);
        let prices: Vec<Vec<i64>> = near.iter().map(|&j| tight.near[j].clone()).collect();
        let slack = |p: &Vec<i64>| clamped(exact_slack(self.cover, asked, p));
        let slacks: Vec<i64> = prices.iter().map(slack).collect();
        // Of the prices of sums the last ones, here the tightest, say what lacks most.
        let last: Vec<Vec<i64>> = prices.iter().rev().cloned().collect();
        for more in MORE {
            if (self.stop)() {
                return None;
            }
            let list = |(place, (&board, mean)): (usize, (&usize, &Vec<f64>))| {
                // A trifle over a whole number is that number.
                let up = |(&m, &n): (&f64, &u32)| ((m - 1e-6).ceil().max(0.0) as u32 + more).min(n);
                let most: Vec<u32> = mean.iter().zip(need).map(up).collect();
                let pains = (self.left.list, self.left.ways);
                let mut ways = self.listed(board, &most, (&prices, &slacks), pains, &NEAR);
                // Those it is mixed of may give more of a kind than that.
                ways.extend(tight.mixed(place));
                ways.sort_unstable();
                ways.dedup();
                ways
            };
            let places = boards.par_iter().zip(&means).enumerate();
            let lists: Vec<Vec<Way>> = places.map(list).collect();
            if lists.iter().any(Vec::is_empty) {
                return None;
            }
            let mut parts: Vec<Part<'_>> = Vec::with_capacity(boards.len());
            for ((&board, ways), mean) in boards.iter().zip(&lists).zip(&means) {
                let most = |p: &Vec<i64>| ways.iter().map(|w| worth(w, p)).max().unwrap_or(0);
                let about = mean.iter().map(|m| (m * STRIP as f64) as i64).collect();
                parts.push(Part {
                    board,
                    cost: 0,
                    most: last.iter().map(most).collect(),
                    ways,
                    about,
                });
            }
            // Fewer ways first: there is less to make up for them with.
            parts.sort_by_key(|p| (p.ways.len(), p.board));
            let asked = sums::Asked {
                need,
                prices: &last,
                scale: self.cover.scale,
                ceiling: 1,
                beam: BEAM,
                effort: self.left.added,
                stop: self.stop,
            };
            // Two halves that are about as much work.
            let mut halves: [Vec<Part<'_>>; 2] = [Vec::new(), Vec::new()];
            for (i, part) in parts.into_iter().enumerate() {
                halves[i % 2].push(part);
            }
            match sums::meet([&halves[0], &halves[1]], &asked) {
                Summed::Better { ways, .. } => return Some(ways),
                Summed::Unknown { nearest } if !nearest.is_empty() => self.nearest = nearest,
                _ => {}
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use crate::choose::kernel::trial::priced;
    use crate::choose::search::enough::{Dive, Pains};
    use crate::choose::search::tight::{Asked, Tightened, Tightest};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn ways_near_the_mixtures_are_enough_or_lack_something((cover, prices) in priced()) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let boards: Vec<usize> = (0..cover.stock.len()).collect();
            let scales = vec![1.0; prices.len()];
            let asked = Asked { need: &cover.need, boards: &boards, scales: &scales };
            let tight = Tightest::new(&cover, asked, &prices, &[]).find(&[], 40);
            let Tightened::Open(tight) = tight else { return Ok(()) };
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
