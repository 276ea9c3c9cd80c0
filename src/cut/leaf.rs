//! What a leaf gives: strips one after another along it (MODEL 4).
//!
//! For given obstacles and a given beginning, every multiset of strips has one earliest end: each
//! strip starts as early as it can, at the leaf's beginning, at the end of an obstacle, or one
//! kerf beyond its neighbour. A [`Profile`] lists those ends.

use crate::cut::serve::{LeafForm, Obstacle};
use crate::length::Length;
use rustc_hash::FxHashMap;
use smallvec::SmallVec;

/// Counts of the strips of a leaf, in the order of [`Profile::items`].
pub type Counts = SmallVec<[u16; 6]>;

/// One multiset of strips and the earliest place it can end.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Entry {
    /// Where its last strip ends.
    pub end: Length,
    /// Where its last strip begins.
    pub start: Length,
    /// Which item (place in [`Profile::items`]) its last strip is.
    pub last: u16,
    /// The entry without the last strip; `None` for the first strip of the leaf.
    pub before: Option<u32>,
    /// The multiset.
    pub counts: Counts,
}

/// Everything that a leaf gives from one beginning on, by earliest end.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Profile {
    /// Indices of board items that the counts are of.
    pub items: SmallVec<[u16; 6]>,
    /// Sorted by end.
    pub entries: Vec<Entry>,
    /// False when there were too many multisets to list.
    pub complete: bool,
}

/// A strip that may be crosscut from a leaf.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Index of the board's item.
    pub item: u16,
    /// Length of the strip.
    pub length: Length,
    /// At most so many are of use, those that are longer and serve as well counted in.
    pub cap: u16,
    /// Places among the candidates of itself and of those that serve as well.
    pub longer: SmallVec<[u16; 6]>,
    /// Stretches it must not touch, sorted and apart.
    pub barred: Vec<(Length, Length)>,
}

impl Candidate {
    /// The earliest start at or after `at`.
    fn start(&self, at: Length) -> Length {
        let mut start = at;
        let first = self.barred.partition_point(|b| b.1 <= at);
        for &(from, to) in &self.barred[first..] {
            if start + self.length <= from {
                break;
            }
            start = start.max(to);
        }
        start
    }
}

/// Too many multisets to list; beyond it a profile is not complete and nothing is proved by it.
const ENTRIES: usize = 6_000;

/// Stretches along the board that a kind of strip must not touch, cut this way, where these
/// obstacles lie under the rip.
pub fn barred(
    obstacles: &[Obstacle],
    under: &[u16],
    kind: usize,
    turned: bool,
) -> Vec<(Length, Length)> {
    let mut spans: Vec<(Length, Length)> = under
        .iter()
        .map(|&o| &obstacles[usize::from(o)])
        .filter(|o| o.bars(turned).contains(&kind))
        .map(|o| (o.from, o.to))
        .collect();
    spans.sort_unstable();
    let mut apart: Vec<(Length, Length)> = Vec::with_capacity(spans.len());
    for span in spans {
        match apart.last_mut() {
            Some(last) if span.0 < last.1 => last.1 = last.1.max(span.1),
            _ => apart.push(span),
        }
    }
    apart
}

/// Lists what a leaf gives between `begin` and `end`.
pub fn profile(candidates: &[Candidate], begin: Length, end: Length, kerf: Length) -> Profile {
    let items = candidates.iter().map(|c| c.item).collect();
    let mut entries: Vec<Entry> = Vec::new();
    let mut seen: FxHashMap<Counts, u32> = FxHashMap::default();
    let mut complete = true;
    let none: Counts = SmallVec::from_elem(0, candidates.len());
    // Where longer strips are as many as are wanted of a shorter one, that one may as well be left
    // out or be shorter still.
    let of_use = |counts: &Counts| {
        candidates.iter().zip(counts).all(|(candidate, &n)| {
            let longer = || candidate.longer.iter().map(|&l| u32::from(counts[usize::from(l)]));
            n == 0 || longer().sum::<u32>() <= u32::from(candidate.cap)
        })
    };
    // Level by level, so that every multiset is extended only once its end is the earliest.
    let mut level: Vec<Option<u32>> = vec![None];
    while !level.is_empty() {
        let first = entries.len();
        for &before in &level {
            let (at, counts) = match before {
                None => (begin, none.clone()),
                Some(e) => {
                    let entry = &entries[e as usize];
                    (entry.end + kerf, entry.counts.clone())
                }
            };
            for (c, candidate) in candidates.iter().enumerate() {
                if counts[c] >= candidate.cap {
                    continue;
                }
                let mut more = counts.clone();
                more[c] += 1;
                if !of_use(&more) {
                    continue;
                }
                let start = candidate.start(at);
                let stop = start + candidate.length;
                if stop > end {
                    continue;
                }
                let last = u16::try_from(c).unwrap_or(u16::MAX);
                match seen.get(&more) {
                    Some(&known) => {
                        let known = &mut entries[known as usize];
                        if stop < known.end {
                            (known.end, known.start) = (stop, start);
                            (known.last, known.before) = (last, before);
                        }
                    }
                    None if entries.len() >= ENTRIES => complete = false,
                    None => {
                        let index = u32::try_from(entries.len()).unwrap_or(u32::MAX);
                        seen.insert(more.clone(), index);
                        entries.push(Entry { end: stop, start, last, before, counts: more });
                    }
                }
            }
        }
        level = (first..entries.len()).map(|e| u32::try_from(e).ok()).collect();
    }
    sort(&mut entries);
    Profile { items, entries, complete }
}

/// Sorts by end and renumbers the links.
fn sort(entries: &mut Vec<Entry>) {
    let mut order: Vec<u32> = (0..u32::try_from(entries.len()).unwrap_or(u32::MAX)).collect();
    order.sort_by_key(|&e| entries[e as usize].end);
    let mut place = vec![0_u32; entries.len()];
    for (new, &old) in order.iter().enumerate() {
        place[old as usize] = u32::try_from(new).unwrap_or(u32::MAX);
    }
    let moved = order.iter().map(|&old| {
        let mut entry = entries[old as usize].clone();
        entry.before = entry.before.map(|b| place[b as usize]);
        entry
    });
    *entries = moved.collect();
}

impl Profile {
    /// How many entries end at or before `to`.
    pub fn upto(&self, to: Length) -> usize {
        self.entries.partition_point(|e| e.end <= to)
    }

    /// The strips of an entry from the marked end on, as (item, from, to).
    pub fn strips(&self, entry: usize) -> Vec<(u16, Length, Length)> {
        let mut strips = Vec::new();
        let mut at = Some(entry);
        while let Some(entry) = at.and_then(|e| self.entries.get(e)) {
            strips.push((self.items[usize::from(entry.last)], entry.start, entry.end));
            at = entry.before.map(|b| b as usize);
        }
        strips.reverse();
        strips
    }
}

/// The candidates of a leaf: those of its kinds that have an item in this mode.
pub fn candidates(
    form: &LeafForm,
    item_of: impl Fn(usize) -> Option<(u16, Length, u16)>,
    barred_of: impl Fn(usize) -> Vec<(Length, Length)>,
) -> Vec<Candidate> {
    let candidate = |&kind: &usize| {
        let (item, length, cap) = item_of(kind)?;
        Some(Candidate { item, length, cap, longer: SmallVec::new(), barred: barred_of(kind) })
    };
    form.kinds.iter().filter_map(candidate).collect()
}

/// Notes for each candidate which ones serve as well: those of its family that are no shorter.
pub fn note_longer(candidates: &mut [Candidate], alike: impl Fn(u16, u16) -> bool) {
    let all: Vec<(u16, Length)> = candidates.iter().map(|c| (c.item, c.length)).collect();
    for candidate in candidates {
        let serves = |&(_, &(item, length)): &(u16, &(u16, Length))| {
            length >= candidate.length && alike(item, candidate.item)
        };
        candidate.longer = (0..).zip(&all).filter(serves).map(|c| c.0).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::{Candidate, profile};
    use crate::length::Length;
    use smallvec::SmallVec;

    fn inch(n: i64) -> Length {
        Length::INCH * n
    }

    #[test]
    fn a_strip_is_pushed_back_to_an_obstacles_far_side() {
        let strip = |length, barred| Candidate {
            item: 0,
            length: inch(length),
            cap: 9,
            longer: SmallVec::from_slice(&[0]),
            barred,
        };
        let one = profile(&[strip(10, vec![(inch(5), inch(7))])], inch(0), inch(40), inch(1));
        let ends: Vec<_> = one.entries.iter().map(|e| e.end).collect();
        assert_eq!(ends, vec![inch(17), inch(28), inch(39)]);
        // Touching the obstacle's near side is not touching.
        let two = profile(&[strip(5, vec![(inch(5), inch(7))])], inch(0), inch(12), inch(1));
        assert_eq!(two.strips(1), vec![(0, inch(0), inch(5)), (0, inch(7), inch(12))]);
    }

    #[test]
    fn the_order_that_ends_first_is_kept() {
        let long = Candidate {
            item: 0,
            length: inch(10),
            cap: 1,
            longer: SmallVec::from_slice(&[0]),
            barred: vec![],
        };
        let short = Candidate {
            item: 1,
            length: inch(5),
            cap: 1,
            longer: SmallVec::from_slice(&[1]),
            barred: vec![(inch(5), inch(11))],
        };
        let both = profile(&[long, short], inch(0), inch(40), inch(0));
        let last = both.entries.last().map(|e| (e.end, e.counts.to_vec()));
        // Short first would end at 15, long first at 16.
        assert_eq!(last, Some((inch(15), vec![1, 1])));
    }
}
