//! The most that the strips of a board can come to at given prices.
//!
//! Exact dynamic programming in whole numbers: over the entries of a leaf, the stacks of a rip,
//! the places of rips across a section and the sections along the board. An odd strip that could
//! only go in as half of a flipped pair counts in full here, so the value is an upper bound where
//! such strips are in it; counts taken from a cut leave the odd one out.
//!
//! A valuation that is stopped comes to everything that is wanted, which is an upper bound still,
//! and its cut is whatever it had.

use crate::cut::across::END;
use crate::cut::board::{BoardCuts, Offer, SectionCuts};
use crate::cut::leaf::Profile;
use crate::cut::serve::Standing;
use crate::stop::Stop;
use smallvec::SmallVec;

/// Prices of a board's strips worked through, and what they lead to.
#[derive(Clone, Debug)]
pub struct Valued {
    /// The most the whole board comes to.
    pub best: i64,
    /// The most that can still come from each start on; one more entry, 0, at the end.
    pub from_start: Vec<i64>,
    /// No less than what each section comes to by itself.
    pub sections: Vec<i64>,
    /// Price of each item: what one strip is worth.
    items: Vec<i64>,
    /// The prices themselves.
    prices: Vec<i64>,
    /// For each profile, the greatest value among its first entries.
    leaves: Vec<Vec<(i64, u32)>>,
    /// The section chosen at each start; `None` to move on to the next start.
    section: Vec<Option<u32>>,
}

/// One rip of a cut: the arc taken at a point, its stack, and the entry of each leaf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChosenRip {
    /// Index of the point in the section's graph.
    pub point: u32,
    /// Index of the arc in the section's graph.
    pub arc: u32,
    /// For each leaf from the marked face down: leaf form, profile and entry. A leaf that gives
    /// nothing is not cut and is left out.
    pub leaves: Vec<(usize, u32, u32)>,
}

/// One section of a cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChosenSection {
    /// Index of the section.
    pub section: u32,
    /// Its rips from the reference edge on.
    pub rips: Vec<ChosenRip>,
}

/// A way to cut a board.
pub type Cut = Vec<ChosenSection>;

impl BoardCuts {
    /// Values the board at these prices of sums of strips (whole numbers, not negative).
    pub fn value(&self, prices: &[i64]) -> Valued {
        let worth = self.nested.kinds.worth(prices);
        let items: Vec<i64> = self.nested.worth_as.iter().map(|&k| worth[k]).collect();
        let leaves = |profile: &Profile| {
            let worth: SmallVec<[i64; 32]> =
                profile.items.iter().map(|&i| items[usize::from(i)]).collect();
            let mut best = (0_i64, u32::MAX);
            let prefix = profile.entries.iter().enumerate().map(|(e, entry)| {
                let value: i64 = entry.strips.iter().map(|&c| worth[usize::from(c)]).sum();
                if value > best.0 {
                    best = (value, u32::try_from(e).unwrap_or(u32::MAX));
                }
                best
            });
            prefix.collect()
        };
        let stopped = self.stop.asked();
        let leaves: Vec<_> =
            if stopped { Vec::new() } else { self.profiles.iter().map(leaves).collect() };
        let bounds = self.recent.bounds(&items, self.sections.len());
        let mut valued = Valued {
            best: 0,
            from_start: vec![0; self.starts.len() + 1],
            sections: vec![0; self.sections.len()],
            items,
            prices: prices.to_vec(),
            leaves,
            section: vec![None; self.starts.len()],
        };
        if stopped {
            return self.at_a_stop(valued, prices);
        }
        let mut watch = self.stop.watch();
        let mut rows = Vec::new();
        let mut places = Vec::new();
        let mut s = self.sections.len();
        for start in (0..self.starts.len()).rev() {
            let mut best = (valued.from_start[start + 1], None);
            while s > 0 && self.sections[s - 1].start as usize == start {
                s -= 1;
                if watch.asked() {
                    return self.at_a_stop(valued, prices);
                }
                let section = &self.sections[s];
                let rest = valued.from_start[section.next as usize];
                if let Some(bounds) = &bounds {
                    valued.sections[s] = bounds.of(s);
                    if valued.sections[s].saturating_add(rest) <= best.0 {
                        continue;
                    }
                }
                self.rows(section, &valued, &mut rows);
                let mut value = self.at_most(section, &rows);
                if value.saturating_add(rest) > best.0 {
                    value = self.across(section, &rows, &mut places);
                }
                valued.sections[s] = value;
                if value + rest > best.0 {
                    best = (value + rest, u32::try_from(s).ok());
                }
            }
            (valued.from_start[start], valued.section[start]) = best;
        }
        valued.best = valued.from_start[0];
        if bounds.is_some() {
            self.recent.keep(&valued.items, valued.sections.clone());
        }
        valued
    }

    /// A valuation that was stopped: nothing comes to more than all that is wanted, since strips
    /// beyond that are of no use. What is worth most by itself is as good a cut as any.
    fn at_a_stop(&self, mut valued: Valued, prices: &[i64]) -> Valued {
        let of_kind = |(&n, &p): (&u32, &i64)| i64::from(n.next_multiple_of(2)).saturating_mul(p);
        let all = self.wanted.iter().zip(prices).map(of_kind).fold(0, i64::saturating_add);
        let all = all.min(i64::MAX / 8);
        valued.best = all;
        let starts = self.starts.len();
        valued.from_start[..starts].fill(all);
        valued.sections.fill(all);
        valued.section.fill(None);
        valued
    }

    /// What a stack comes to.
    #[inline]
    fn stack(&self, valued: &Valued, offer: &Offer, stack: &[u32]) -> i64 {
        let leaf = |(l, &n): (usize, &u32)| match n {
            0 => 0,
            _ => self.leaf(offer, l, valued) * i64::from(n),
        };
        stack.iter().enumerate().map(leaf).sum()
    }

    /// What each row of a section's graph comes to.
    pub(super) fn rows(&self, section: &SectionCuts, valued: &Valued, rows: &mut Vec<i64>) {
        rows.clear();
        let of = |offer: &Option<Offer>| offer.as_ref().map_or(0, |o| self.rip(o, valued));
        rows.extend(section.offers.iter().map(of));
    }

    /// What the rip of an offer comes to.
    #[inline]
    pub(super) fn rip(&self, offer: &Offer, valued: &Valued) -> i64 {
        let stacks = &self.stacks[offer.stacks as usize];
        stacks.iter().map(|s| self.stack(valued, offer, s)).max().unwrap_or(0)
    }

    /// What one leaf of an offer comes to.
    #[inline]
    pub(super) fn leaf(&self, offer: &Offer, leaf: usize, valued: &Valued) -> i64 {
        let (profile, upto) = offer.leaves[leaf];
        match upto {
            0 => 0,
            _ => valued.leaves[profile as usize][upto as usize - 1].0,
        }
    }

    /// More than a section can come to: its whole width at the greatest worth for the width taken.
    fn at_most(&self, section: &SectionCuts, rows: &[i64]) -> i64 {
        let graph = &self.graphs[section.graph as usize];
        // The greatest worth for its width, by cross multiplication.
        let mut best = (0_i64, 1_i64);
        for (&value, &takes) in rows.iter().zip(&graph.takes) {
            if i128::from(value) * i128::from(best.1) > i128::from(best.0) * i128::from(takes) {
                best = (value, takes.max(1));
            }
        }
        let most = i128::from(best.0) * i128::from(graph.room) / i128::from(best.1);
        i64::try_from(most).unwrap_or(i64::MAX)
    }

    /// What a section comes to; `places` becomes what can still come from each point on.
    pub(super) fn across(&self, section: &SectionCuts, rows: &[i64], places: &mut Vec<i64>) -> i64 {
        let graph = &self.graphs[section.graph as usize];
        places.resize(graph.points.len(), 0);
        let after = |places: &[i64], next: u32| if next == END { 0 } else { places[next as usize] };
        for (p, point) in graph.points.iter().enumerate().rev() {
            let mut best = after(places, point.skip);
            for arc in &graph.arcs[point.arcs.start as usize..point.arcs.end as usize] {
                best = best.max(rows[arc.row as usize] + after(places, arc.next));
            }
            places[p] = best;
        }
        places.first().copied().unwrap_or(0)
    }

    /// What can still come from each point of a section's graph on.
    pub fn places(&self, section: &SectionCuts, valued: &Valued) -> Vec<i64> {
        let (mut rows, mut places) = (Vec::new(), Vec::new());
        self.rows(section, valued, &mut rows);
        self.across(section, &rows, &mut places);
        places
    }

    /// A cut that comes to the best value.
    pub fn cut(&self, valued: &Valued) -> Cut {
        let mut cut = Vec::new();
        let mut start = 0;
        while start < self.starts.len() {
            let Some(s) = valued.section[start] else {
                start += 1;
                continue;
            };
            let section = &self.sections[s as usize];
            cut.push(ChosenSection { section: s, rips: self.rips(section, valued) });
            start = section.next as usize;
        }
        cut
    }

    fn rips(&self, section: &SectionCuts, valued: &Valued) -> Vec<ChosenRip> {
        let graph = &self.graphs[section.graph as usize];
        let (mut rows, mut places) = (Vec::new(), Vec::new());
        self.rows(section, valued, &mut rows);
        self.across(section, &rows, &mut places);
        let mut rips = Vec::new();
        let mut at = 0;
        while at != END && (at as usize) < graph.points.len() && places[at as usize] > 0 {
            let point = &graph.points[at as usize];
            let chosen = point.arcs.clone().find(|&a| {
                let arc = graph.arcs[a as usize];
                let after = if arc.next == END { 0 } else { places[arc.next as usize] };
                rows[arc.row as usize] > 0 && rows[arc.row as usize] + after == places[at as usize]
            });
            let Some(arc) = chosen else {
                at = point.skip;
                continue;
            };
            let row = graph.arcs[arc as usize].row as usize;
            if let Some(offer) = &section.offers[row] {
                rips.push(ChosenRip { point: at, arc, leaves: self.leaves(offer, valued) });
            }
            at = graph.arcs[arc as usize].next;
        }
        rips
    }

    fn leaves(&self, offer: &Offer, valued: &Valued) -> Vec<(usize, u32, u32)> {
        let stacks = &self.stacks[offer.stacks as usize];
        let best = stacks.iter().max_by_key(|s| self.stack(valued, offer, s));
        let mut leaves = Vec::new();
        for (l, &n) in best.into_iter().flatten().enumerate() {
            let (profile, upto) = offer.leaves[l];
            if upto == 0 {
                continue;
            }
            let (value, entry) = valued.leaves[profile as usize][upto as usize - 1];
            if value > 0 {
                leaves.extend((0..n).map(|_| (l, profile, entry)));
            }
        }
        leaves
    }

    /// Seeks a cut that gives at least these counts by raising the prices of kinds that a cut
    /// lacks. Returns such a cut if one was met, and the prices at which the counts come nearest
    /// to the most that the board can come to: there few other counts are as good.
    pub fn seek(&self, needed: &[u32]) -> (Option<Cut>, Valued) {
        const ROUNDS: usize = 150;
        let mut prices: Vec<i64> =
            needed.iter().map(|&n| if n > 0 { 1 << 30 } else { 0 }).collect();
        let worth = |prices: &[i64]| -> i128 {
            needed.iter().zip(prices).map(|(&n, &p)| i128::from(n) * i128::from(p)).sum()
        };
        let mut found = None;
        let mut tightest: Option<(i128, i128, Valued)> = None;
        for round in 0..ROUNDS {
            if round > 0 && self.stop.asked() {
                break;
            }
            let valued = self.value(&prices);
            let (most, need) = (i128::from(valued.best), worth(&prices));
            let cut = self.cut(&valued);
            let counts = self.counts(&cut, needed.len());
            if tightest.as_ref().is_none_or(|t| most * t.1 < t.0 * need) {
                tightest = Some((most, need, valued));
            }
            if counts.iter().zip(needed).all(|(c, n)| c >= n) {
                found = found.or(Some(cut));
                if round > ROUNDS / 4 {
                    break;
                }
            }
            // Smaller steps later, so that prices settle.
            let step = i64::try_from(12 + round / 2).unwrap_or(64);
            for (price, (&c, &n)) in prices.iter_mut().zip(counts.iter().zip(needed)) {
                match n.cmp(&c) {
                    std::cmp::Ordering::Greater => *price = (*price + *price / step).min(1 << 44),
                    std::cmp::Ordering::Less => *price = (*price - *price / (2 * step)).max(1),
                    std::cmp::Ordering::Equal => {}
                }
            }
        }
        let valued = tightest.map_or_else(|| self.value(&prices), |t| t.2);
        (found, valued)
    }

    /// How many strips of each kind a cut gives, as sums, the odd ones of flipped pairs left out.
    pub fn counts(&self, cut: &Cut, kinds: usize) -> Vec<u32> {
        self.tally(&self.nested.items.sums(&self.item_counts(cut)), kinds)
    }

    /// How many strips of each item a cut gives.
    pub(super) fn item_counts(&self, cut: &Cut) -> Vec<u32> {
        let mut items = vec![0_u32; self.served.items.len()];
        for &(_, profile, entry) in cut.iter().flat_map(|s| &s.rips).flat_map(|r| &r.leaves) {
            let profile = &self.profiles[profile as usize];
            for &strip in &profile.entries[entry as usize].strips {
                items[usize::from(profile.items[usize::from(strip)])] += 1;
            }
        }
        items
    }

    /// From sums of items to sums of kinds, the odd ones of flipped pairs left out.
    pub fn tally(&self, items: &[u32], kinds: usize) -> Vec<u32> {
        let of_item = |&item: &usize| match self.served.items[item].standing {
            Standing::Free => items[item],
            Standing::PairUpright | Standing::PairTurned => items[item] - items[item] % 2,
        };
        self.nested.of_kind.iter().take(kinds).map(|of| of.iter().map(of_item).sum()).collect()
    }

    /// What strips, as sums, come to at the prices of a valuation.
    pub fn worth(&self, valued: &Valued, sums: &[u32]) -> i64 {
        sums.iter().zip(&valued.prices).map(|(&n, &p)| i64::from(n) * p).sum()
    }

    /// Has the board an item that serves as a strip of this kind?
    pub fn may_give(&self, kind: usize) -> bool {
        self.nested.of_kind.get(kind).is_some_and(|of| !of.is_empty())
    }

    /// A cut that gives at least these counts, if one was met; it is not searched for and does
    /// not hear a stop.
    pub fn met(&self, needed: &[u32]) -> Option<Cut> {
        let prices = self.met.prices(needed)?;
        let free = BoardCuts { stop: Stop::default(), ..self.clone() };
        let cut = free.best(&free.value(&prices)).1;
        let counts = free.counts(&cut, needed.len());
        counts.iter().zip(needed).all(|(n, w)| n >= w).then_some(cut)
    }

    /// No cut gives more strips than this, the sums of all kinds together. It is counted once.
    pub fn most_strips(&self) -> i64 {
        *self.strips.get_or_init(|| self.value(&vec![1; self.nested.of_kind.len()]).best)
    }

    /// Price of an item at these prices.
    pub fn item_price(&self, valued: &Valued, item: usize) -> i64 {
        valued.items[item]
    }
}
