//! Sets of boards that lack little, cut near other mixtures.
//!
//! Boards cut near what the tightest prices mix them to ([`crate::choose::search::rounded`]) lack a strip
//! or two, and time and again the same ones. But boards with some slack can be mixed in many ways. So
//! they are mixed with other floors of what each kind of strip counts for, some drawn higher and some
//! lower, and the kinds that lacked with higher ones, and are cut near that. Nothing is proved by it.

use crate::choose::effort::enough::{FLOORED, FLOORS};
use crate::choose::effort::varied::{LACKED, LEAST, OFTEN, TIMES, USUAL};
use crate::choose::kernel::cover::{Way, owed};
use crate::choose::search::drawn::Drawn;
use crate::choose::search::enough::{Dive, Told};
use crate::choose::search::tight::{Tight, Tightened};

/// Sets of boards that were asked for.
#[derive(Default)]
pub(super) struct AskedFor(Vec<Asked>);

/// One of them.
#[derive(Clone)]
pub(super) struct Asked {
    pub boards: Vec<usize>,
    /// Prices that tell most of them.
    told: Option<Told>,
    /// What they lacked at least, by worth; `None` if there is no use in asking again.
    lacks: Option<f64>,
    /// How often each kind of strip lacked.
    lacked: Vec<i32>,
    /// So many times they were asked for near other mixtures.
    pub again: usize,
}

impl Asked {
    /// The least slack that is known of, as a part of what is needed.
    #[allow(clippy::cast_precision_loss)]
    fn slack(&self, need: &[u32]) -> f64 {
        let told = self.told.iter().flat_map(|(prices, slacks)| prices.iter().zip(slacks));
        let parts = told.map(|(prices, &slack)| slack as f64 / owed(need, prices).max(1) as f64);
        parts.fold(USUAL, f64::min).max(LEAST)
    }
}

impl AskedFor {
    fn of(&self, boards: &[usize]) -> Option<&Asked> {
        self.0.iter().find(|asked| asked.boards == boards)
    }

    /// Were these boards asked for?
    pub fn knows(&self, boards: &[usize]) -> bool {
        self.of(boards).is_some()
    }

    /// Prices that tell most of these boards.
    pub fn told(&self, boards: &[usize]) -> Option<&Told> {
        self.of(boards)?.told.as_ref()
    }

    /// Learns of boards that were asked for with which ways they lack least, of what worth, if that is
    /// known.
    pub fn learn(
        &mut self,
        boards: &[usize],
        lacking: Option<(&[i64], f64)>,
        told: Option<Told>,
        again: bool,
    ) {
        let at = self.0.iter().position(|asked| asked.boards == boards).unwrap_or_else(|| {
            let (boards, lacked) = (boards.to_vec(), Vec::new());
            self.0.push(Asked { boards, told: None, lacks: None, lacked, again: 0 });
            self.0.len() - 1
        });
        let asked = &mut self.0[at];
        asked.again += usize::from(again);
        asked.told = told.or(asked.told.take());
        if let Some((missing, worth)) = lacking {
            asked.lacks = Some(asked.lacks.map_or(worth, |least| least.min(worth)));
            asked.lacked.resize(missing.len(), 0);
            for (times, &missing) in asked.lacked.iter_mut().zip(missing) {
                *times += i32::from(missing > 0);
            }
        }
    }

    /// So many of them to be asked for again, less than so many times each: such as lack little, and
    /// were not asked for often.
    #[allow(clippy::cast_precision_loss)]
    pub fn to_ask_again(
        &self,
        most: usize,
        times: usize,
        need: &[u32],
        of_use: impl Fn(&[usize]) -> bool,
    ) -> Vec<Asked> {
        let mut open: Vec<(f64, &Asked)> = self
            .0
            .iter()
            .filter(|asked| asked.again < times && of_use(&asked.boards))
            .filter_map(|asked| {
                Some((asked.lacks? * (asked.again + 1) as f64 / asked.slack(need), asked))
            })
            .collect();
        open.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.boards.cmp(&b.1.boards)));
        open.into_iter().take(most).map(|open| open.1.clone()).collect()
    }
}

impl Dive<'_> {
    /// Ways of boards that were asked for that give all that is needed, near another mixture. If none
    /// are found, those that lack least are kept.
    pub(super) fn otherwise(&mut self, asked: &Asked, prices: &[f64]) -> Option<Vec<(usize, Way)>> {
        let (need, boards) = (&self.cover.need, &asked.boards);
        let (mut search, tight) = self.tightest_of(need, boards, prices, 0.0);
        let Tightened::Open(tight) = tight else { return None };
        let mut floors = search.floors(1.0);
        let mut drawn = Drawn::of_search(self.draw);
        let kinds = (0..need.len()).filter(|&k| need[k] > 0);
        for (floor, k) in floors.iter_mut().zip(kinds) {
            let often = asked.lacked.get(k).map_or(0, |&often| often.min(OFTEN));
            *floor *= TIMES[drawn.below(TIMES.len())] * LACKED.powi(often);
        }
        let all: f64 = floors.iter().sum();
        floors.iter_mut().for_each(|floor| *floor *= FLOORS / all);
        match search.find(&floors, FLOORED) {
            // What boards lose is told by the tightest prices of all.
            Tightened::Open(Tight { parts, .. }) => {
                self.rounded(need, boards, &Tight { parts, ..tight })
            }
            Tightened::Enough(ways) => Some(boards.iter().copied().zip(ways).collect()),
            Tightened::Short(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::AskedFor;
    use crate::choose::kernel::trial::priced;
    use crate::choose::search::enough::{Dive, Pains};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn boards_cut_otherwise_are_enough_or_lack_something(
            (cover, prices) in priced(),
            lacking in prop::collection::vec(0..2_i64, 12),
            draw in 0..20_usize,
        ) {
            prop_assume!(cover.need.iter().any(|&n| n > 0));
            let boards: Vec<usize> = (0..cover.stock.len()).collect();
            let scales = vec![1.0; prices.len()];
            let mut asked = AskedFor::default();
            let lacking: Vec<i64> = lacking.into_iter().take(cover.need.len()).collect();
            asked.learn(&boards, Some((&lacking, 1.0)), None, false);
            let again = asked.to_ask_again(1, 1, &cover.need, |_| true);
            prop_assert_eq!(&again[0].boards, &boards);
            let mut dive = Dive::new(&cover, &scales, Pains::AGAIN, &|| false);
            dive.draw = draw;
            match dive.otherwise(&again[0], &prices) {
                Some(ways) => {
                    let mut cut: Vec<usize> = ways.iter().map(|way| way.0).collect();
                    cut.sort_unstable();
                    prop_assert_eq!(cut, boards);
                    prop_assert!(cover.meets(&cover.opened(ways)));
                }
                None => prop_assert!(
                    dive.nearest.is_empty() || !cover.meets(&cover.opened(dive.nearest))
                ),
            }
        }
    }

    #[test]
    fn boards_that_lack_little_and_were_asked_for_seldom_come_first() {
        let mut asked = AskedFor::default();
        let need = [4, 4];
        let next = |asked: &AskedFor, most: usize, times: usize| -> Vec<Vec<usize>> {
            let found = asked.to_ask_again(most, times, &need, |boards| boards != [9]);
            found.into_iter().map(|asked| asked.boards).collect()
        };
        for (boards, worth) in [([1], 5.0), ([2], 3.0), ([9], 1.0)] {
            asked.learn(&boards, Some((&[1, 0], worth)), None, false);
        }
        // Such as can't be cut, or are too dear, are not asked for again.
        asked.learn(&[3], None, None, false);
        assert!(asked.knows(&[3]) && !asked.knows(&[4]));
        assert_eq!(next(&asked, 5, 1), [[2], [1]]);
        // Twice 3 is more than 5; then it is no more than twice 5.
        asked.learn(&[2], Some((&[0, 1], 4.0)), None, true);
        assert_eq!(next(&asked, 5, 1), [[1]]);
        assert_eq!(next(&asked, 5, 2), [[1], [2]]);
        assert_eq!(next(&asked, 1, 2), [[1]]);
        // With little slack, 8 of 4,000, what lacks counts for more.
        let told = (vec![vec![500, 500]], vec![8]);
        asked.learn(&[1], None, Some(told), false);
        assert!(asked.told(&[1]).is_some());
        assert_eq!(next(&asked, 5, 2), [[2], [1]]);
        let found = asked.to_ask_again(2, 2, &need, |boards| boards == [2]).remove(0);
        assert_eq!((found.lacked, found.again), (vec![1, 1], 1));
    }
}
