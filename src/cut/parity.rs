//! The most that a board comes to when odd strips of flipped pairs count nothing.
//!
//! [`crate::cut::value`] counts an odd strip that could only go in as half of a flipped pair in
//! full. Where its best cut leaves such strips, the board is valued again with the counts of
//! those items followed as even or odd through leaves, stacks, rips and sections: a value for
//! each set of items that are odd so far. Up to three items are followed; what others leave odd
//! counts in full still, so the value is the most or more.

use crate::cut::across::END;
use crate::cut::board::{BoardCuts, Offer, SectionCuts};
use crate::cut::serve::Standing;
use crate::cut::value::{ChosenRip, ChosenSection, Cut, Valued};
use smallvec::SmallVec;

/// No cut gives this.
const NEVER: i64 = i64::MIN / 4;
/// Steps along arcs that one valuation may take, about, by which the items followed are limited.
const STEPS: usize = 16_000_000;

/// A value for each set of items that are odd.
type Values<const M: usize> = [i64; M];

/// What was chosen at a beginning for a set of odd items.
#[derive(Clone, Copy)]
enum Chosen {
    /// Nothing begins here.
    Next,
    /// This section, which gives this set of odd items.
    Section(u32, usize),
    /// As for another set: an odd strip more is no use.
    As(usize),
}

/// A valuation that follows families of items as even or odd, each named by its longest item.
struct Even<'a, const M: usize> {
    cuts: &'a BoardCuts,
    valued: &'a Valued,
    of: &'a [usize],
    /// For each profile, the best entry of each set among its first entries.
    leaves: Vec<Vec<[(i64, u32); M]>>,
}

impl BoardCuts {
    /// The most that the board comes to, odd strips of flipped pairs counting nothing as far as
    /// they are followed, and a cut that comes to it.
    pub fn best(&self, valued: &Valued) -> (i64, Cut) {
        let mut cut = self.cut(valued);
        let mut best = valued.best;
        let pairs = |i: &usize| self.served.items[*i].standing != Standing::Free;
        let longest = |i: &usize| self.nested.family[*i] == *i;
        let mut followed: SmallVec<[usize; 3]> = SmallVec::new();
        if !(0..self.served.items.len()).any(|i| pairs(&i)) || self.stop.asked() {
            return (best, cut);
        }
        let pairing = self.sections.iter().filter(|s| s.pairs);
        let arcs: usize = pairing.map(|s| self.graphs[s.graph as usize].arcs.len()).sum();
        let most = (1..=3).rev().find(|q| arcs << (2 * q) <= STEPS).unwrap_or(1);
        loop {
            let counts = self.family_counts(&cut);
            let odd: Vec<usize> = (0..counts.len())
                .filter(|i| pairs(i) && longest(i))
                .filter(|&i| counts[i] % 2 == 1 && self.odd_price(valued, i) > 0)
                .filter(|i| !followed.contains(i))
                .collect();
            if odd.is_empty() || followed.len() == most {
                return (best, cut);
            }
            followed.extend(odd.into_iter().take(most - followed.len()));
            let new = match followed.len() {
                1 => Even::<2>::new(self, valued, &followed).best(),
                2 => Even::<4>::new(self, valued, &followed).best(),
                _ => Even::<8>::new(self, valued, &followed).best(),
            };
            // Stopped, it is as it was.
            let Some(new) = new else { return (best, cut) };
            (best, cut) = (best.min(new.0), new.1);
        }
    }

    /// What the odd strip of a family is worth at least: as much as one of its shortest item.
    fn odd_price(&self, valued: &Valued, longest: usize) -> i64 {
        let shortest = self.nested.items.serves(longest).last();
        self.item_price(valued, shortest.unwrap_or(longest))
    }

    /// How many strips of each family of items a cut gives, at the place of its longest one.
    fn family_counts(&self, cut: &Cut) -> Vec<u32> {
        let mut families = vec![0_u32; self.served.items.len()];
        for (item, n) in self.item_counts(cut).into_iter().enumerate() {
            families[self.nested.family[item]] += n;
        }
        families
    }
}

impl<'a, const M: usize> Even<'a, M> {
    fn new(cuts: &'a BoardCuts, valued: &'a Valued, of: &'a [usize]) -> Self {
        let leaves = cuts
            .profiles
            .iter()
            .map(|profile| {
                let mut best = [(NEVER, u32::MAX); M];
                best[0].0 = 0;
                let prefix = profile.entries.iter().enumerate().map(|(e, entry)| {
                    let (mut value, mut set) = (0, 0);
                    for &strip in &entry.strips {
                        let item = usize::from(profile.items[usize::from(strip)]);
                        value += cuts.item_price(valued, item);
                        let family = cuts.nested.family[item];
                        if let Some(place) = of.iter().position(|&o| o == family) {
                            set ^= 1 << place;
                        }
                    }
                    if value > best[set].0 {
                        best[set] = (value, u32::try_from(e).unwrap_or(u32::MAX));
                    }
                    best
                });
                prefix.collect()
            })
            .collect();
        Even { cuts, valued, of, leaves }
    }

    /// What a leaf of an offer that gives something comes to, set by set.
    fn leaf(&self, offer: &Offer, leaf: usize) -> Values<M> {
        let (profile, upto) = offer.leaves[leaf];
        self.leaves[profile as usize][upto as usize - 1].map(|b| b.0)
    }

    /// What a stack comes to; with `parts`, what it comes to before each leaf too.
    fn stack(
        &self,
        offer: &Offer,
        stack: &[u32],
        mut parts: Option<&mut Vec<(usize, Values<M>)>>,
    ) -> Values<M> {
        let mut values = [NEVER; M];
        values[0] = 0;
        for (l, &n) in stack.iter().enumerate() {
            if offer.leaves[l].1 == 0 {
                continue;
            }
            let leaf = self.leaf(offer, l);
            for _ in 0..n {
                if let Some(parts) = parts.as_deref_mut() {
                    parts.push((l, values));
                }
                values = together(&values, &leaf);
            }
        }
        values
    }

    /// What each row of a section's graph comes to.
    fn rows(&self, section: &SectionCuts) -> Vec<Values<M>> {
        let row = |offer: &Option<Offer>| {
            let mut best = [NEVER; M];
            if let Some(offer) = offer {
                for stack in &self.cuts.stacks[offer.stacks as usize] {
                    let values = self.stack(offer, stack, None);
                    for (b, v) in best.iter_mut().zip(values) {
                        *b = (*b).max(v);
                    }
                }
            }
            best
        };
        section.offers.iter().map(row).collect()
    }

    /// What can come from each point of a section's graph on.
    fn places(&self, section: &SectionCuts, rows: &[Values<M>]) -> Vec<Values<M>> {
        let graph = &self.cuts.graphs[section.graph as usize];
        let mut places = vec![nothing::<M>(); graph.points.len()];
        for (p, point) in graph.points.iter().enumerate().rev() {
            let mut best = after(&places, point.skip);
            for arc in &graph.arcs[point.arcs.start as usize..point.arcs.end as usize] {
                if section.offers[arc.row as usize].is_none() {
                    continue;
                }
                let values = together(&rows[arc.row as usize], &after(&places, arc.next));
                for (b, v) in best.iter_mut().zip(values) {
                    *b = (*b).max(v);
                }
            }
            places[p] = best;
        }
        places
    }

    /// The most that the board comes to with nothing odd, and a cut that does; `None` if it was
    /// stopped.
    fn best(&self) -> Option<(i64, Cut)> {
        let mut watch = self.cuts.stop.watch();
        let starts = self.cuts.starts.len();
        let mut from_start = vec![nothing::<M>(); starts + 1];
        let mut chosen = vec![[Chosen::Next; M]; starts];
        self.close(&mut from_start[starts], None);
        let mut s = self.cuts.sections.len();
        for start in (0..starts).rev() {
            let mut best = from_start[start + 1];
            while s > 0 && self.cuts.sections[s - 1].start as usize == start {
                s -= 1;
                if watch.asked() {
                    return None;
                }
                let section = &self.cuts.sections[s];
                let rest = from_start[section.next as usize];
                if !section.pairs {
                    self.plain(s, &rest, &mut best, &mut chosen[start]);
                    continue;
                }
                let most = self.valued.sections[s].min(i64::MAX / 4)
                    + rest.iter().copied().max().unwrap_or(0);
                if best.iter().all(|&b| most <= b) {
                    continue;
                }
                let rows = self.rows(section);
                let places = self.places(section, &rows);
                let Some(here) = places.first() else { continue };
                for set in 0..M {
                    for odd in 0..M {
                        let value = here[odd].saturating_add(rest[set ^ odd]);
                        if value > best[set] {
                            best[set] = value;
                            let s = u32::try_from(s).unwrap_or(u32::MAX);
                            chosen[start][set] = Chosen::Section(s, odd);
                        }
                    }
                }
            }
            self.close(&mut best, Some(&mut chosen[start]));
            from_start[start] = best;
        }
        Some((from_start[0][0], self.cut(&from_start, &chosen)))
    }

    /// A section that gives nothing odd.
    fn plain(&self, s: usize, rest: &Values<M>, best: &mut Values<M>, chosen: &mut [Chosen; M]) {
        let bound = self.valued.sections[s].min(i64::MAX / 4);
        if (0..M).all(|set| bound + rest[set] <= best[set]) {
            return;
        }
        let section = &self.cuts.sections[s];
        let (mut rows, mut places) = (Vec::new(), Vec::new());
        self.cuts.rows(section, self.valued, &mut rows);
        let value = self.cuts.across(section, &rows, &mut places);
        for set in 0..M {
            if value + rest[set] > best[set] {
                best[set] = value + rest[set];
                chosen[set] = Chosen::Section(u32::try_from(s).unwrap_or(u32::MAX), 0);
            }
        }
    }

    /// An odd strip is worth nothing in the end: a set is never worth less than another that
    /// differs in one item, less a strip of it.
    fn close(&self, values: &mut Values<M>, mut chosen: Option<&mut [Chosen; M]>) {
        for (place, &item) in self.of.iter().enumerate() {
            let price = self.cuts.odd_price(self.valued, item);
            for set in 0..M {
                let other = set ^ 1 << place;
                if values[other] - price > values[set] {
                    values[set] = values[other] - price;
                    if let Some(chosen) = chosen.as_deref_mut() {
                        chosen[set] = Chosen::As(other);
                    }
                }
            }
        }
    }

    fn cut(&self, from_start: &[Values<M>], chosen: &[[Chosen; M]]) -> Cut {
        let mut cut = Cut::new();
        let (mut start, mut set) = (0, 0);
        while start < chosen.len() {
            match chosen[start][set] {
                Chosen::Next => start += 1,
                Chosen::As(other) => set = other,
                Chosen::Section(s, odd) => {
                    let section = &self.cuts.sections[s as usize];
                    cut.push(ChosenSection { section: s, rips: self.rips(section, odd) });
                    start = section.next as usize;
                    set ^= odd;
                }
            }
            debug_assert!(start <= from_start.len());
        }
        cut
    }

    /// The rips of a section that give a set of odd items.
    fn rips(&self, section: &SectionCuts, mut set: usize) -> Vec<ChosenRip> {
        let graph = &self.cuts.graphs[section.graph as usize];
        let rows = self.rows(section);
        let places = self.places(section, &rows);
        let mut rips = Vec::new();
        let mut at = 0;
        while at != END && (at as usize) < graph.points.len() && places[at as usize][set] > 0 {
            let point = &graph.points[at as usize];
            let wanted = places[at as usize][set];
            let found = point.arcs.clone().find_map(|a| {
                let arc = graph.arcs[a as usize];
                section.offers[arc.row as usize].as_ref()?;
                let row = &rows[arc.row as usize];
                let after = after(&places, arc.next);
                let odd = (0..M)
                    .find(|&o| row[o] > 0 && row[o].saturating_add(after[set ^ o]) == wanted)?;
                Some((a, odd))
            });
            let Some((a, odd)) = found else {
                at = point.skip;
                continue;
            };
            let arc = graph.arcs[a as usize];
            if let Some(offer) = &section.offers[arc.row as usize] {
                let leaves = self.chosen_leaves(offer, odd, rows[arc.row as usize][odd]);
                rips.push(ChosenRip { point: at, arc: a, leaves });
            }
            set ^= odd;
            at = arc.next;
        }
        rips
    }

    /// The leaves of a rip that give a set of odd items and come to a value.
    fn chosen_leaves(&self, offer: &Offer, set: usize, value: i64) -> Vec<(usize, u32, u32)> {
        let mut leaves = Vec::new();
        let stacks = &self.cuts.stacks[offer.stacks as usize];
        let Some(stack) = stacks.iter().find(|s| self.stack(offer, s, None)[set] == value) else {
            return leaves;
        };
        let mut parts = Vec::new();
        let mut values = self.stack(offer, stack, Some(&mut parts));
        let mut set = set;
        while let Some((l, before)) = parts.pop() {
            let (profile, upto) = offer.leaves[l];
            let best = &self.leaves[profile as usize][upto as usize - 1];
            let odd = (0..M).find(|&o| best[o].0.saturating_add(before[set ^ o]) == values[set]);
            let Some(odd) = odd else { break };
            if best[odd].1 != u32::MAX {
                leaves.push((l, profile, best[odd].1));
            }
            (set, values) = (set ^ odd, before);
        }
        leaves.reverse();
        leaves
    }
}

/// Nothing at all: worth nothing, and nothing odd.
fn nothing<const M: usize>() -> Values<M> {
    let mut values = [NEVER; M];
    values[0] = 0;
    values
}

fn after<const M: usize>(places: &[Values<M>], next: u32) -> Values<M> {
    if next == END { nothing() } else { places[next as usize] }
}

/// Two things together.
fn together<const M: usize>(a: &Values<M>, b: &Values<M>) -> Values<M> {
    let mut values = [NEVER; M];
    for (i, &a) in a.iter().enumerate() {
        if a <= NEVER / 2 {
            continue;
        }
        for (j, &b) in b.iter().enumerate() {
            values[i ^ j] = values[i ^ j].max(a + b);
        }
    }
    // What never comes about stays so.
    values.map(|v| if v < NEVER / 2 { NEVER } else { v })
}
