//! Boards that are all opened, each cut in a way of its list, and cut anew one after another.
//!
//! What lacks of a kind counts by a weight. Board after board is cut in the way of its list with which
//! least lacks, the others as they are. Where none can do better, the kinds that lack count for more
//! from then on, so that boards are cut otherwise until all is had. A step looks at some hundred ways,
//! which takes some microseconds.

use crate::choose::effort::recut::{ASKED, FINEST, HEAVIEST, LEAST, RAISED};
use crate::choose::kernel::cover::Way;
use crate::choose::search::drawn::Drawn;

/// What came of it: a place in each list.
pub(super) enum Recut {
    /// Cut so, the boards are enough.
    Enough(Vec<usize>),
    /// Of all that was met this lacks least, by so much.
    Nearest { at: Vec<usize>, lacks: i64 },
}

/// The ways of a list, kind after kind: what they give of the first kind, of the second, and so on.
struct Table {
    ways: usize,
    counts: Vec<i32>,
}

impl Table {
    fn of(ways: &[Way], kinds: &[usize]) -> Table {
        let count = |way: &Way, k: usize| i32::try_from(way[k]).unwrap_or(i32::MAX);
        let counts = kinds.iter().flat_map(|&k| ways.iter().map(move |way| count(way, k)));
        Table { ways: ways.len(), counts: counts.collect() }
    }

    fn of_kind(&self, kind: usize) -> &[i32] {
        &self.counts[kind * self.ways..][..self.ways]
    }
}

/// What is still needed: less than nothing where more is given.
struct Left(Vec<i32>);

impl Left {
    fn given(&mut self, table: &Table, way: usize) {
        let kinds = self.0.iter_mut().enumerate();
        kinds.for_each(|(k, left)| *left = left.saturating_sub(table.of_kind(k)[way]));
    }

    fn taken_back(&mut self, table: &Table, way: usize) {
        let kinds = self.0.iter_mut().enumerate();
        kinds.for_each(|(k, left)| *left = left.saturating_add(table.of_kind(k)[way]));
    }

    fn lacks(&self, weights: &[i32]) -> i64 {
        let kinds = self.0.iter().zip(weights);
        kinds.map(|(&left, &weight)| i64::from(left.max(0)) * i64::from(weight)).sum()
    }
}

/// Looks in so many steps for a way of each list that together give what is needed. `prices` say what
/// a strip counts for at first; it begins with the places in `at`. What is drawn comes otherwise for
/// each `draw`.
pub(super) fn recut(
    need: &[u32],
    lists: &[Vec<Way>],
    prices: &[f64],
    mut at: Vec<usize>,
    (steps, draw): (usize, usize),
    stop: &(dyn Fn() -> bool + Sync),
) -> Recut {
    let kinds: Vec<usize> = (0..need.len()).filter(|&k| need[k] > 0).collect();
    let first = weights(&kinds, prices);
    let mut now = first.clone();
    let tables: Vec<Table> = lists.iter().map(|ways| Table::of(ways, &kinds)).collect();
    let needed = |&k: &usize| i32::try_from(need[k]).unwrap_or(i32::MAX);
    let mut left = Left(kinds.iter().map(needed).collect());
    tables.iter().zip(&at).for_each(|(table, &way)| left.given(table, way));
    let mut best = (left.lacks(&first), at.clone());
    // Boards that were cut last since when as they are: none of them can do better.
    let mut settled = 0;
    // A board is not cut back to what it was, as long as weights are the same.
    let mut before: Vec<Option<usize>> = vec![None; tables.len()];
    let mut lacks: Vec<i64> = Vec::new();
    let mut drawn = Drawn::of_search(draw);
    for step in 0..steps {
        if best.0 == 0 {
            return Recut::Enough(best.1);
        }
        if step % ASKED == 0 && stop() {
            break;
        }
        let board = drawn.below(tables.len());
        let (table, old) = (&tables[board], at[board]);
        left.taken_back(table, old);
        lacks.clear();
        lacks.resize(table.ways, 0);
        for (k, (&left, &weight)) in left.0.iter().zip(&now).enumerate().filter(|k| *k.1.0 > 0) {
            for (sum, &n) in lacks.iter_mut().zip(table.of_kind(k)) {
                *sum += i64::from((left - n).max(0)) * i64::from(weight);
            }
        }
        // Another way with which as much lacks will do: it may lead on.
        let others = lacks.iter().enumerate().filter(|o| o.0 != old && Some(o.0) != before[board]);
        let least = others.min_by_key(|other| *other.1).map(|other| other.0);
        let other = least.filter(|&way| lacks[way] <= lacks[old]);
        let better = other.is_some_and(|way| lacks[way] < lacks[old]);
        settled = if better { 0 } else { settled + 1 };
        if let Some(way) = other {
            (before[board], at[board]) = (Some(old), way);
        }
        left.given(table, at[board]);
        if better {
            let lacks = left.lacks(&first);
            if lacks < best.0 {
                best = (lacks, at.clone());
            }
        }
        if settled >= 2 * tables.len() {
            settled = 0;
            before.iter_mut().for_each(|way| *way = None);
            raise(&mut now, &first, &left);
        }
    }
    let (lacks, at) = best;
    if lacks == 0 { Recut::Enough(at) } else { Recut::Nearest { at, lacks } }
}

/// Weights by prices, in so fine parts of the dearest.
#[allow(clippy::cast_possible_truncation)]
fn weights(kinds: &[usize], prices: &[f64]) -> Vec<i32> {
    let dearest = kinds.iter().map(|&k| prices[k]).fold(f64::MIN_POSITIVE, f64::max);
    kinds.iter().map(|&k| ((prices[k] / dearest * FINEST) as i32).max(LEAST)).collect()
}

/// What lacks counts for more. Where that grows too much, all but what was at first is halved.
fn raise(now: &mut [i32], first: &[i32], left: &Left) {
    for ((weight, first), &left) in now.iter_mut().zip(first).zip(&left.0) {
        *weight += if left > 0 { first / RAISED + 1 } else { 0 };
    }
    if now.iter().any(|&weight| weight > HEAVIEST) {
        now.iter_mut().zip(first).for_each(|(weight, &first)| *weight = (*weight / 2).max(first));
    }
}

#[cfg(test)]
mod tests {
    use super::{Recut, recut};
    use crate::choose::kernel::cover::Way;
    use proptest::prelude::*;

    fn lists() -> impl Strategy<Value = Vec<Vec<Way>>> {
        let way = prop::collection::vec(0..4_u32, 3).prop_map(Way::from);
        prop::collection::vec(prop::collection::vec(way, 1..6), 1..5)
    }

    proptest! {
        #[test]
        fn what_is_enough_is_and_what_lacks_is_told(
            lists in lists(),
            need in prop::collection::vec(0..8_u32, 3),
            prices in prop::collection::vec(0.1..3.0_f64, 3),
        ) {
            prop_assume!(need.iter().any(|&n| n > 0));
            let at = vec![0; lists.len()];
            let found = recut(&need, &lists, &prices, at, (300, 0), &|| false);
            let (at, enough) = match found {
                Recut::Enough(at) => (at, true),
                Recut::Nearest { at, lacks } => {
                    prop_assert!(lacks > 0);
                    (at, false)
                }
            };
            let given = |k: usize| lists.iter().zip(&at).map(|(list, &way)| list[way][k]).sum::<u32>();
            prop_assert_eq!(enough, (0..3).all(|k| given(k) >= need[k]));
        }
    }

    #[test]
    fn what_is_dear_gives_way_to_what_lacks() {
        // At these prices the first board is cut into two of the first kind, and nothing alone leads
        // from there: only the first way of all of them has what is needed.
        let list = |ways: [[u32; 3]; 2]| ways.map(|way| Way::from(way.to_vec())).to_vec();
        let lists = [list([[1, 1, 0], [2, 0, 0]]), list([[1, 0, 1], [2, 0, 0]])];
        let prices = [3.0, 1.0, 1.0];
        let found = recut(&[2, 1, 1], &lists, &prices, vec![1, 1], (200, 0), &|| false);
        assert!(matches!(found, Recut::Enough(at) if at == [0, 0]));
        let lacking = recut(&[3, 1, 1], &lists, &prices, vec![1, 1], (200, 0), &|| false);
        // One of a cheap kind.
        let Recut::Nearest { at, .. } = lacking else { panic!("found") };
        assert_eq!(at.iter().sum::<usize>(), 1);
    }
}
