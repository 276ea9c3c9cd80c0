//! What a leaf gives: strips one after another along it (MODEL 4).
//!
//! For given obstacles and a given beginning, every multiset of strips has one earliest end: each
//! strip starts as early as it can, at the leaf's beginning, at the end of an obstacle, or one
//! kerf beyond its neighbour. A [`Profile`] lists those ends.

use crate::cut::serve::{LeafForm, Obstacle};
use crate::length::Length;
use rustc_hash::{FxHashMap, FxHashSet};
use smallvec::SmallVec;
use std::rc::Rc;

/// A multiset of the strips of a leaf: places in [`Profile::items`], ascending.
pub type Strips = SmallVec<[u16; 8]>;

/// One multiset of strips and the earliest place it can end.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Entry {
    /// Where its last strip ends.
    pub end: Length,
    /// Its last strip, in [`Profile::steps`].
    pub last: u32,
    /// The multiset.
    pub strips: Strips,
}

/// A strip of a leaf, after others.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Step {
    /// Which item (place in [`Profile::items`]) it is.
    pub item: u16,
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// The strip before it; `None` for the first one of the leaf.
    pub before: Option<u32>,
}

/// Everything that a leaf gives from one beginning on, by earliest end.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Profile {
    /// Indices of board items that the multisets are of.
    pub items: SmallVec<[u16; 6]>,
    /// Sorted by end.
    pub entries: Vec<Entry>,
    /// Strip after strip, of all entries.
    pub steps: Vec<Step>,
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
    /// The family of its item: a longer candidate of it serves as well.
    pub family: usize,
    /// Stretches it must not touch, sorted and apart.
    pub barred: Rc<Vec<(Length, Length)>>,
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

    /// Does it serve wherever the other one does?
    fn serves(&self, other: &Candidate) -> bool {
        self.family == other.family && self.length >= other.length
    }
}

/// Too many multisets to list; beyond it a profile is not complete and nothing is proved by it.
const ENTRIES: usize = 30_000;

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

/// Which ends of strips need not be told apart.
pub struct Alike<C, O> {
    /// The class of a leaf's end: of multisets that end in one class only those are kept of which
    /// no strip could be longer.
    pub class: C,
    /// The class of an end for strips that follow, in the leaf or beyond it: `None` if all ends
    /// are told apart.
    pub onwards: O,
}

/// Lists what a leaf gives between `begin` and `end`. Candidates of one family stand together, the
/// longest first.
pub fn profile<C: Ord>(
    candidates: &[Candidate],
    (begin, end): (Length, Length),
    kerf: Length,
    alike: &Alike<impl Fn(Length) -> C, impl Fn(Length) -> Option<Length>>,
) -> Profile {
    let items = candidates.iter().map(|c| c.item).collect();
    let mut entries: Vec<Entry> = Vec::new();
    let mut steps: Vec<Step> = Vec::new();
    let mut seen: FxHashMap<Strips, u32> = FxHashMap::default();
    let mut complete = true;
    let of = |c: u16| &candidates[usize::from(c)];
    // Where longer strips are as many as are wanted of a shorter one, that one may as well be left
    // out or be shorter still.
    let of_use = |strips: &Strips| {
        let longer = |&strip: &u16| strips.iter().filter(|&&s| of(s).serves(of(strip))).count();
        strips.iter().all(|strip| longer(strip) <= usize::from(of(*strip).cap))
    };
    // Where what follows can't tell ends of a class apart, and no more fit than are wanted of each
    // between them, a shorter strip is no use if a longer one in its place ends in the same class.
    let fit = |c: &Candidate| (end - begin + kerf).units() / (c.length + kerf).units().max(1);
    let most = candidates.iter().map(fit).max().unwrap_or(0);
    let ample = |c: &Candidate| i64::from(c.cap) >= most;
    // Level by level, so that every multiset is extended only once its end is the earliest.
    let mut level: Vec<Option<u32>> = vec![None];
    while !level.is_empty() {
        let first = entries.len();
        for &before in &level {
            let (at, strips) = match before {
                None => (begin, Strips::new()),
                Some(e) => {
                    let entry = &entries[e as usize];
                    (entry.end + kerf, entry.strips.clone())
                }
            };
            let mut longer: Option<(usize, Length)> = None;
            for (c, candidate) in (0..).zip(candidates) {
                let ample = ample(candidate);
                longer = longer.filter(|longer| ample && longer.0 == candidate.family);
                let from = candidate.start(at);
                let to = from + candidate.length;
                if to > end {
                    continue;
                }
                if ample && let Some(class) = (alike.onwards)(to) {
                    let this = Some((candidate.family, class));
                    if this == longer {
                        continue;
                    }
                    longer = this;
                }
                let mut more = strips.clone();
                more.insert(more.partition_point(|&s| s <= c), c);
                if !of_use(&more) {
                    continue;
                }
                let step = Step { item: c, from, to, before };
                match seen.get(&more) {
                    Some(&known) => {
                        let known = known as usize;
                        if to < entries[known].end {
                            entries[known].end = to;
                            steps[known] = step;
                        }
                    }
                    None if entries.len() >= ENTRIES => complete = false,
                    None => {
                        let index = u32::try_from(entries.len()).unwrap_or(u32::MAX);
                        seen.insert(more.clone(), index);
                        entries.push(Entry { end: to, last: index, strips: more });
                        steps.push(step);
                    }
                }
            }
        }
        level = (first..entries.len()).map(|e| u32::try_from(e).ok()).collect();
    }
    entries.sort_by_key(|e| e.end);
    if candidates.windows(2).any(|pair| pair[0].family == pair[1].family) {
        keep_longest(&mut entries, candidates, &alike.class);
        keep_steps(&mut entries, &mut steps);
    }
    Profile { items, entries, steps, complete }
}

/// Keeps of the multisets, sorted by end, those for which no other one has as many strips of every
/// family, each as long as this one's or longer, and ends no later, or in the same class.
fn keep_longest<C: Ord>(
    entries: &mut Vec<Entry>,
    candidates: &[Candidate],
    class: impl Fn(Length) -> C,
) {
    let of = |c: &u16| &candidates[usize::from(*c)];
    let long = |e: &Entry| e.strips.iter().map(|c| of(c).length).fold(Length::ZERO, |a, b| a + b);
    let mut order: Vec<usize> = (0..entries.len()).collect();
    // One that serves for another ends in an earlier class, or comes to a greater length.
    order.sort_by_cached_key(|&e| (class(entries[e].end), std::cmp::Reverse(long(&entries[e])), e));
    let mut keep = vec![false; entries.len()];
    let mut kept: FxHashMap<SmallVec<[usize; 8]>, Vec<&Strips>> = FxHashMap::default();
    for e in order {
        let strips = &entries[e].strips;
        let families = strips.iter().map(|c| of(c).family).collect();
        let alike = kept.entry(families).or_default();
        // Of one family the longer ones come first.
        if !alike.iter().any(|longer| longer.iter().zip(strips).all(|(l, s)| l <= s)) {
            keep[e] = true;
            alike.push(strips);
        }
    }
    let mut keep = keep.into_iter();
    entries.retain(|_| keep.next().unwrap_or(true));
}

/// Keeps the steps that entries are made of.
fn keep_steps(entries: &mut [Entry], steps: &mut Vec<Step>) {
    let mut used: FxHashSet<u32> = FxHashSet::default();
    for entry in &*entries {
        let mut at = Some(entry.last);
        while let Some(step) = at.filter(|&step| used.insert(step)) {
            at = steps[step as usize].before;
        }
    }
    let mut order: Vec<u32> = used.into_iter().collect();
    order.sort_unstable();
    let place = |step: u32| {
        let place = order.binary_search(&step).unwrap_or(usize::MAX);
        u32::try_from(place).unwrap_or(u32::MAX)
    };
    entries.iter_mut().for_each(|e| e.last = place(e.last));
    let kept = order.iter().map(|&s| {
        let step = steps[s as usize].clone();
        Step { before: step.before.map(place), ..step }
    });
    *steps = kept.collect();
}

impl Profile {
    /// Bytes that it takes, about.
    pub fn size(&self) -> usize {
        size_of::<Profile>()
            + size_of_val(self.entries.as_slice())
            + size_of_val(self.steps.as_slice())
    }

    /// How many entries end at or before `to`.
    pub fn upto(&self, to: Length) -> usize {
        self.entries.partition_point(|e| e.end <= to)
    }

    /// The strips of an entry from the marked end on, as (item, from, to).
    pub fn strips(&self, entry: usize) -> Vec<(u16, Length, Length)> {
        let mut strips = Vec::new();
        let mut at = self.entries.get(entry).map(|e| e.last);
        while let Some(step) = at.and_then(|s| self.steps.get(s as usize)) {
            strips.push((self.items[usize::from(step.item)], step.from, step.to));
            at = step.before;
        }
        strips.reverse();
        strips
    }
}

/// The candidates of a leaf: those of its kinds that have an item in this mode, as
/// (item, family, length, most of use). What bars one of a family bars all of it.
pub fn candidates(
    form: &LeafForm,
    item_of: impl Fn(usize) -> Option<(u16, usize, Length, u16)>,
    barred_of: impl Fn(usize) -> Vec<(Length, Length)>,
) -> Vec<Candidate> {
    let mut candidates: Vec<Candidate> = Vec::with_capacity(form.kinds.len());
    let mut first_of: FxHashMap<usize, usize> = FxHashMap::default();
    for &kind in &form.kinds {
        let Some((item, family, length, cap)) = item_of(kind) else { continue };
        let known = candidates.iter().find(|c| c.family == family);
        let barred = known.map_or_else(|| Rc::new(barred_of(kind)), |c| Rc::clone(&c.barred));
        first_of.entry(family).or_insert(candidates.len());
        candidates.push(Candidate { item, length, cap, family, barred });
    }
    // In the order in which families are first met.
    candidates.sort_by_key(|c| (first_of[&c.family], std::cmp::Reverse(c.length)));
    candidates
}

#[cfg(test)]
mod tests {
    use super::{Alike, Candidate, profile};
    use crate::length::Length;
    use proptest::prelude::*;
    use std::collections::{BTreeMap, BTreeSet};
    use std::rc::Rc;

    fn inch(n: i64) -> Length {
        Length::INCH * n
    }

    #[test]
    fn a_strip_is_pushed_back_to_an_obstacles_far_side() {
        let strip = |length, barred| Candidate {
            item: 0,
            length: inch(length),
            cap: 9,
            family: 0,
            barred: Rc::new(barred),
        };
        let all = Alike { class: |e| e, onwards: |_| None };
        let one =
            profile(&[strip(10, vec![(inch(5), inch(7))])], (inch(0), inch(40)), inch(1), &all);
        let ends: Vec<_> = one.entries.iter().map(|e| e.end).collect();
        assert_eq!(ends, vec![inch(17), inch(28), inch(39)]);
        // Touching the obstacle's near side is not touching.
        let two =
            profile(&[strip(5, vec![(inch(5), inch(7))])], (inch(0), inch(12)), inch(1), &all);
        assert_eq!(two.strips(1), vec![(0, inch(0), inch(5)), (0, inch(7), inch(12))]);
    }

    #[test]
    fn the_order_that_ends_first_is_kept() {
        let long =
            Candidate { item: 0, length: inch(10), cap: 1, family: 0, barred: Rc::new(vec![]) };
        let short = Candidate {
            item: 1,
            length: inch(5),
            cap: 1,
            family: 1,
            barred: Rc::new(vec![(inch(5), inch(11))]),
        };
        let all = Alike { class: |e| e, onwards: |_| None };
        let both = profile(&[long, short], (inch(0), inch(40)), inch(0), &all);
        let last = both.entries.last().map(|e| (e.end, e.strips.to_vec()));
        // Short first would end at 15, long first at 16.
        assert_eq!(last, Some((inch(15), vec![0, 1])));
    }

    #[test]
    fn of_ends_that_make_no_difference_the_longest_strips_are_kept() {
        let strip = |item, length| Candidate {
            item,
            length: inch(length),
            cap: 9,
            family: 0,
            barred: Rc::new(vec![]),
        };
        let three = [strip(0, 12), strip(1, 10), strip(2, 9)];
        // Two fit. In one class are all ends beyond 12 in.
        let class = |end| if end > inch(12) { inch(30) } else { end };
        let all = Alike { class, onwards: |_| None };
        let made = profile(&three, (inch(0), inch(22)), inch(0), &all);
        // Two strips after a first one of 9 or 10 in, one after one of 12 in, none after two.
        let onwards = |end| Some(if end > inch(13) { inch(30) } else { end });
        let soon = Alike { class, onwards };
        assert_eq!(made, profile(&three, (inch(0), inch(22)), inch(0), &soon));
        let strips = |e| made.strips(e).iter().map(|s| s.0).collect::<Vec<_>>();
        let all: Vec<_> = (0..made.entries.len()).map(strips).collect();
        // 9 and 10, 10 and 10, 9 and 12 are shorter than 10 and 12, which ends at 22.
        assert_eq!(all, [vec![2], vec![1], vec![0], vec![0, 1]]);
        assert_eq!(made.steps.len(), 4);
    }

    /// Every multiset of strips, by the candidates' places, with its earliest end.
    fn every(strips: &[Candidate], (begin, end): (Length, Length), kerf: Length) -> Ends {
        let mut found = Ends::new();
        let mut open = vec![(begin, Vec::new())];
        while let Some((at, before)) = open.pop() {
            for (c, strip) in strips.iter().enumerate() {
                let to = strip.start(at) + strip.length;
                if to > end {
                    continue;
                }
                let mut more = before.clone();
                more.push(c);
                open.push((to + kerf, more.clone()));
                more.sort_unstable();
                let first = found.entry(more).or_insert(to);
                *first = to.min(*first);
            }
        }
        found
    }

    type Ends = BTreeMap<Vec<usize>, Length>;

    /// Beginnings of strips pushed towards the far end or a stretch that bars some.
    fn beginnings(strips: &[Candidate], high: Length, kerf: Length) -> Vec<Length> {
        let mut ends: BTreeSet<Length> = BTreeSet::from([high]);
        ends.extend(strips.iter().flat_map(|s| s.barred.iter().map(|b| b.0)));
        let mut found = BTreeSet::new();
        while let Some(end) = ends.pop_last() {
            for start in strips.iter().map(|s| end - s.length) {
                if start > Length::ZERO && found.insert(start) {
                    ends.insert(start - kerf);
                }
            }
        }
        found.into_iter().collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        /// Of strips of a few lengths, of some of which fewer are of use than fit, every multiset of use
        /// is listed, or one of strips as long that ends no later as far as what follows can tell.
        #[test]
        fn every_multiset_of_use_is_listed_or_a_longer_one(
            lengths in prop::collection::btree_set((0..2_usize, 6..16_i64), 1..6),
            more in prop::collection::vec(1..4_u16, 6),
            barred in prop::collection::vec((0..2_usize, 0..40_i64, 1..6_i64), 0..3),
            (high, kerf) in (20..46_i64, 0..2_i64),
        ) {
            let (high, kerf) = (inch(high), inch(kerf));
            let mut all: Vec<(usize, i64)> = lengths.into_iter().collect();
            all.sort_by_key(|&(family, length)| (family, -length));
            let mut strips: Vec<Candidate> = Vec::new();
            for (item, &(family, length)) in (0..).zip(&all) {
                let longer = strips.last().filter(|l: &&Candidate| l.family == family);
                let cap = longer.map_or(0, |l| l.cap) + more[usize::from(item)];
                let mut bars: Vec<(Length, Length)> = barred
                    .iter()
                    .filter(|b| b.0 == family)
                    .map(|b| (inch(b.1), inch(b.1 + b.2)))
                    .collect();
                bars.sort_unstable();
                bars.dedup_by(|b, a| b.0 < a.1);
                let (length, barred) = (inch(length), Rc::new(bars));
                strips.push(Candidate { item, length, cap, family, barred });
            }
            let classes = beginnings(&strips, high, kerf);
            let class = |end: Length| {
                let least = strips.iter().map(|s| s.length).min().unwrap();
                let next = classes.iter().find(|&&c| c >= end + kerf);
                if end + kerf + least > high { inch(99) } else { *next.unwrap_or(&inch(99)) }
            };
            let alike = Alike { class, onwards: |end| Some(class(end)) };
            let made = profile(&strips, (Length::ZERO, high), kerf, &alike);
            prop_assert!(made.complete);
            let of_use = |set: &[usize]| {
                set.iter().all(|&c| {
                    let longer = set.iter().filter(|&&l| strips[l].serves(&strips[c]));
                    longer.count() <= usize::from(strips[c].cap)
                })
            };
            for (set, end) in every(&strips, (Length::ZERO, high), kerf) {
                let as_long = |e: &super::Entry| {
                    let listed = e.strips.iter().map(|&s| usize::from(s));
                    let mut pairs = listed.zip(&set);
                    e.strips.len() == set.len()
                        && pairs.all(|(l, &c)| strips[l].serves(&strips[c]))
                        && class(e.end) <= class(end)
                };
                let listed = made.entries.iter().any(as_long);
                prop_assert!(!of_use(&set) || listed, "{:?} ends at {:?}: {:?}", set, end, made);
            }
        }
    }
}
