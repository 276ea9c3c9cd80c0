//! Labels that move along a board: which count vectors it can give ([`crate::cut::list`]).
//!
//! Labels (count vectors reached so far) move along the board and across its sections. A label
//! that another at the same place covers is dropped, and so is one that cannot come to a wanted
//! value any more, by the exact values of [`crate::cut::value`].

use crate::cut::across::END;
use crate::cut::board::{BoardCuts, Offer, SectionCuts};
use crate::cut::lanes::Lanes;
use crate::cut::list::{Counted, FLOORS, Floor, uncovered};
use crate::cut::value::{ChosenRip, ChosenSection, Cut};
use rustc_hash::FxHashMap;
use std::cmp::Reverse;
use std::ops::Range;

/// What a rip can give: strips, saw cuts, and how.
#[derive(Clone, Debug)]
struct Yield<const N: usize> {
    counts: Lanes<N>,
    cuts: u16,
    leaves: Vec<(usize, u32, u32)>,
}

#[derive(Clone, Copy, Debug)]
struct Label<const N: usize> {
    counts: Lanes<N>,
    values: Values,
    /// Saw cuts, and the length of straight-lined sections in its lower bits, as far as they matter.
    toil: u64,
    before: u32,
    section: u32,
    point: u32,
    arc: u32,
    given: u32,
}

const NONE: u32 = u32::MAX;

/// What opening a section that follows a curve counts as, in saw cuts: more than a board takes.
const CURVE: u16 = 1_000;

/// What a saw cut counts as in a label's toil: more than any board is long.
const CUT: u64 = 1 << 40;

/// Which of cuts that give the same is the best.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Least {
    /// Any is as good as another.
    Nothing,
    /// That with the fewest saw cuts.
    Cuts,
    /// Of those the one whose straight-lined sections are the shortest together.
    Lined,
}

/// A value at each floor.
type Values = [i64; FLOORS];

/// Stacks, and profile and number of entries of each leaf form.
type OfferKey = (u32, Vec<(u32, u32)>);

/// Labels that reached one place. Equal ones meet in the map at once; those that others cover are
/// culled when the place's turn comes.
#[derive(Clone, Default)]
struct Place<const N: usize> {
    by_counts: FxHashMap<Lanes<N>, u32>,
}

/// What can still come of a section and after it, at each floor's prices.
struct Ahead {
    /// From each of its points on.
    points: Vec<Values>,
    /// Once it is left.
    rest: Values,
}

impl Ahead {
    fn at(&self, point: u32) -> &Values {
        self.points.get(point as usize).unwrap_or(&self.rest)
    }
}

/// The labels of a point, or those beyond the last one.
fn next_place<'p, const N: usize>(
    frontiers: &'p mut [Place<N>],
    last: &'p mut Place<N>,
    point: u32,
) -> &'p mut Place<N> {
    match point {
        END => last,
        point => &mut frontiers[point as usize],
    }
}

/// A search for the count vectors of a board.
pub struct Search<'a, const N: usize> {
    cuts: &'a BoardCuts,
    counted: Counted,
    caps: Lanes<N>,
    floors: Vec<Floor<'a>>,
    /// What one more in each lane is worth at each floor.
    prices: Vec<Vec<i64>>,
    /// What is to be least: a label with less of it is not covered.
    least: Least,
    labels: Vec<Label<N>>,
    yields: Vec<Yield<N>>,
    /// What each of them is worth.
    worths: Vec<Values>,
    by_offer: FxHashMap<OfferKey, Range<u32>>,
    /// Labels of a place that go on, at most.
    beam: usize,
    /// Steps left before the search gives up: a label made, or eight compared.
    effort: u64,
    /// Steps when it is next asked whether to stop.
    look: u64,
}

/// Steps between two looks whether to stop.
const LOOK: u64 = 4_096;
/// Yields compared in a step.
const COMPARED: u64 = 64;

impl<'a, const N: usize> Search<'a, N> {
    /// Of a board, with so many steps. `None` if more is counted than there are lanes.
    pub fn new(
        counted: Counted,
        cuts: &'a BoardCuts,
        floors: &[Floor<'a>],
        least: Least,
        effort: u64,
    ) -> Option<Self> {
        let floors: Vec<Floor<'a>> = floors.iter().copied().take(FLOORS).collect();
        let items = cuts.served.items.len();
        let price = |f: &Floor<'_>| {
            let worth: Vec<i64> = (0..items).map(|i| cuts.item_price(f.valued, i)).collect();
            counted.prices(&cuts.nested.items.prices(&worth))
        };
        let prices = floors.iter().map(price).collect();
        Some(Search {
            cuts,
            caps: Lanes::pack(counted.caps.iter().copied())?,
            counted,
            floors,
            prices,
            least,
            labels: Vec::new(),
            yields: Vec::new(),
            worths: Vec::new(),
            by_offer: FxHashMap::default(),
            beam: usize::MAX,
            effort,
            look: effort,
        })
    }

    /// The same with no more labels at any place than this.
    #[must_use]
    pub fn with_beam(self, beam: usize) -> Self {
        Search { beam, ..self }
    }

    /// Of the cuts that give at least these counts the one with the fewest saw cuts, if that is
    /// asked; `Some(None)` if there is none.
    pub fn cheapest(mut self, needed: &[u32]) -> Option<Option<Cut>> {
        let last = self.run()?;
        let enough =
            |&label: &u32| self.tally(label, needed.len()).iter().zip(needed).all(|(n, w)| n >= w);
        let best = last.iter().copied().filter(enough).min_by_key(|&l| {
            let label = &self.labels[l as usize];
            (label.toil, Reverse(label.counts))
        });
        Some(best.map(|best| self.trace(best)))
    }

    /// What a label gives of each kind of strip.
    fn tally(&self, label: u32, kinds: usize) -> Vec<u32> {
        let counts = self.labels[label as usize].counts;
        self.cuts.tally(&self.counted.of_items(|lane| counts.get(lane)), kinds)
    }

    /// Runs the search and returns the counts of the labels at the far end, by kind of strip, those that
    /// others cover left out. `None` if they are more than `most`.
    pub fn tallies(mut self, wanted: &[u32], most: usize) -> Option<Vec<Vec<u32>>> {
        let last = self.run()?;
        let clipped = |label: u32| -> Vec<u32> {
            let tally = self.tally(label, wanted.len());
            tally.iter().zip(wanted).map(|(&n, &w)| n.min(w)).collect()
        };
        uncovered(last.into_iter().map(clipped).collect(), most, &self.cuts.stop)
    }

    /// Runs the labels along the board; returns those at its far end.
    fn run(&mut self) -> Option<Vec<u32>> {
        let starts = self.cuts.starts.len();
        let mut at_start: Vec<Place<N>> = vec![Place::default(); starts + 1];
        self.labels.push(Label {
            counts: Lanes::default(),
            values: [0; FLOORS],
            toil: 0,
            before: NONE,
            section: NONE,
            point: NONE,
            arc: NONE,
            given: NONE,
        });
        at_start[0].by_counts.insert(Lanes::default(), 0);
        let mut s = 0;
        let mut frontiers: Vec<Place<N>> = Vec::new();
        for start in 0..starts {
            let place = std::mem::take(&mut at_start[start]);
            let here = self.cull(place)?;
            while s < self.cuts.sections.len() && self.cuts.sections[s].start as usize == start {
                self.section(s, &here, &mut frontiers, &mut at_start)?;
                s += 1;
            }
            let rest = self.rest(start + 1);
            for &label in &here {
                if !self.hopeless(label, &rest) {
                    self.settle(&mut at_start[start + 1], label)?;
                }
            }
        }
        let last = at_start.pop()?;
        self.cull(last)
    }

    /// Takes off steps, each as long as there are lanes; `None` if there are none left or an end is
    /// asked for.
    fn spend(&mut self, steps: u64) -> Option<()> {
        self.effort = self.effort.checked_sub(steps * (N as u64).div_ceil(16))?;
        if self.effort <= self.look {
            if self.cuts.stop.asked() {
                return None;
            }
            self.look = self.effort.saturating_sub(LOOK);
        }
        Some(())
    }

    /// One value for each floor.
    fn at_floors(&self, value: impl Fn(&Floor<'_>) -> i64) -> Values {
        let mut values = [0; FLOORS];
        values.iter_mut().zip(&self.floors).for_each(|(v, f)| *v = value(f));
        values
    }

    /// What counts are worth, at each floor's prices.
    fn worth(&self, counts: &Lanes<N>) -> Values {
        let mut values = [0; FLOORS];
        values.iter_mut().zip(&self.prices).for_each(|(v, prices)| *v = counts.value(prices));
        values
    }

    /// What can still come from a start on, at each floor's prices.
    fn rest(&self, start: usize) -> Values {
        self.at_floors(|f| f.valued.from_start[start])
    }

    fn hopeless(&self, label: u32, rest: &Values) -> bool {
        self.too_little(&self.labels[label as usize].values, rest)
    }

    fn too_little(&self, values: &Values, rest: &Values) -> bool {
        let floors = self.floors.iter().zip(values).zip(rest);
        floors.into_iter().any(|((f, value), rest)| value.saturating_add(*rest) < f.least)
    }

    fn section(
        &mut self,
        index: usize,
        here: &[u32],
        frontiers: &mut Vec<Place<N>>,
        at_start: &mut [Place<N>],
    ) -> Option<()> {
        let cuts = self.cuts;
        let section: &SectionCuts = &cuts.sections[index];
        let graph = &cuts.graphs[section.graph as usize];
        let rest = self.rest(section.next as usize);
        let mut most = self.at_floors(|f| f.valued.sections[index].min(i64::MAX / 4));
        most.iter_mut().zip(rest).for_each(|(m, r)| *m += r);
        if here.iter().all(|&l| self.hopeless(l, &most)) {
            return Some(());
        }
        let ahead = self.ahead(section, rest);
        // Those of the last section are empty again.
        if frontiers.len() < graph.points.len() {
            frontiers.resize(graph.points.len(), Place::default());
        }
        let Some(&first) = ahead.points.first() else { return Some(()) };
        for &label in here {
            if !self.hopeless(label, &first) {
                self.settle(&mut frontiers[0], label)?;
            }
        }
        let mut last = std::mem::take(&mut at_start[section.next as usize]);
        self.walk(index, &ahead, frontiers, &mut last)?;
        at_start[section.next as usize] = last;
        Some(())
    }

    /// What can still come from each point of a section on, within it and after it.
    fn ahead(&self, section: &SectionCuts, rest: Values) -> Ahead {
        let graph = &self.cuts.graphs[section.graph as usize];
        let mut points = vec![rest; graph.points.len()];
        for (j, floor) in self.floors.iter().enumerate() {
            let within = self.cuts.places(section, floor.valued);
            points.iter_mut().zip(within).for_each(|(p, w)| p[j] += w);
        }
        Ahead { points, rest }
    }

    /// Moves labels across a section, from point to point, and beyond its last one to `last`.
    fn walk(
        &mut self,
        index: usize,
        ahead: &Ahead,
        frontiers: &mut [Place<N>],
        last: &mut Place<N>,
    ) -> Option<()> {
        let section = &self.cuts.sections[index];
        let graph = &self.cuts.graphs[section.graph as usize];
        let mut ranges: Vec<Option<Range<u32>>> = Vec::with_capacity(section.offers.len());
        for offer in &section.offers {
            ranges.push(match offer {
                Some(offer) => Some(self.yields(offer)?),
                None => None,
            });
        }
        for (p, point) in graph.points.iter().enumerate() {
            let place = std::mem::take(&mut frontiers[p]);
            let labels = self.cull(place)?;
            for &from in &labels {
                // Without a rip here. The empty label moves past sections by itself.
                let passes = point.skip != END || from != 0;
                if passes && !self.hopeless(from, ahead.at(point.skip)) {
                    self.settle(next_place(frontiers, last, point.skip), from)?;
                }
                for arc in point.arcs.clone() {
                    let to = graph.arcs[arc as usize];
                    let Some(range) = ranges[to.row as usize].clone() else { continue };
                    let next = next_place(frontiers, last, to.next);
                    for given in range {
                        let i = u32::try_from(index).unwrap_or(NONE);
                        let p = u32::try_from(p).unwrap_or(NONE);
                        self.extend(next, from, (i, p, arc, given), ahead.at(to.next))?;
                    }
                }
            }
        }
        Some(())
    }

    /// Adds a rip to a label, and the new label to a place unless it is hopeless or known there.
    fn extend(
        &mut self,
        place: &mut Place<N>,
        from: u32,
        (section, point, arc, given): (u32, u32, u32, u32),
        after: &Values,
    ) -> Option<()> {
        self.spend(1)?;
        let old = &self.labels[from as usize];
        // What is cut off is worth something, so together they are worth no more than this.
        let mut values = old.values;
        let more = &self.worths[given as usize];
        values.iter_mut().zip(more).for_each(|(v, more)| *v = v.saturating_add(*more));
        if self.too_little(&values, after) {
            return Some(());
        }
        let give = &self.yields[given as usize];
        let counts = old.counts.plus(&give.counts, &self.caps);
        if counts == old.counts {
            return Some(());
        }
        if counts.total() < old.counts.total() + give.counts.total() {
            values = self.worth(&counts);
            if self.too_little(&values, after) {
                return Some(());
            }
        }
        // A new section costs two crosscuts; one that follows a curve more than any saw cuts.
        let of = &self.cuts.sections[section as usize];
        let follows = self.cuts.graphs[of.graph as usize].follows;
        let opened = match (old.section == section, follows) {
            (true, _) => 0,
            (false, false) => 2,
            (false, true) => CURVE,
        };
        let lined = match self.least {
            Least::Lined if opened > 0 && of.mode.lined => (of.to - of.from).units().unsigned_abs(),
            _ => 0,
        };
        let toil = match self.least {
            Least::Nothing => 0,
            _ => old.toil.saturating_add(u64::from(give.cuts + opened) * CUT + lined),
        };
        let label = u32::try_from(self.labels.len()).ok().filter(|&l| l != NONE)?;
        let known = place.by_counts.entry(counts).or_insert(label);
        if *known != label {
            if self.labels[*known as usize].toil <= toil {
                return Some(());
            }
            *known = label;
        }
        self.labels.push(Label { counts, values, toil, before: from, section, point, arc, given });
        Some(())
    }

    /// Adds a label that exists to a place, unless an equal one is there.
    fn settle(&mut self, place: &mut Place<N>, label: u32) -> Option<()> {
        self.spend(1)?;
        let Label { counts, toil, .. } = self.labels[label as usize];
        let labels = &self.labels;
        place
            .by_counts
            .entry(counts)
            .and_modify(|known| {
                if labels[*known as usize].toil > toil {
                    *known = label;
                }
            })
            .or_insert(label);
        Some(())
    }

    /// The labels of a place that no other there covers, in an order that does not depend on the
    /// map's.
    fn cull(&mut self, place: Place<N>) -> Option<Vec<u32>> {
        let mut all: Vec<(u32, Lanes<N>, u64, u32)> = place
            .by_counts
            .into_iter()
            .map(|(counts, l)| (counts.total(), counts, self.labels[l as usize].toil, l))
            .collect();
        if all.len() > self.beam {
            let value = |l: u32| self.labels[l as usize].values[0];
            all.sort_unstable_by_key(|&(_, counts, _, l)| Reverse((value(l), counts)));
            all.truncate(self.beam);
        }
        // One that covers another has the greater total.
        all.sort_unstable_by_key(|&(total, counts, _, _)| Reverse((total, counts)));
        let mut kept: Vec<(Lanes<N>, u64, u32)> = Vec::with_capacity(all.len());
        for (_, counts, toil, label) in all {
            self.spend(kept.len() as u64 / 8 + 1)?;
            if !kept.iter().any(|k| k.0.covers(&counts) && k.1 <= toil) {
                kept.push((counts, toil, label));
            }
        }
        Some(kept.into_iter().map(|k| k.2).collect())
    }

    /// What the rip of an offer can give, those that others cover left out, and those that are worth
    /// so much less than the best one that no cut with them reaches a floor.
    fn yields(&mut self, offer: &Offer) -> Option<Range<u32>> {
        let key = (offer.stacks, offer.leaves.to_vec());
        if let Some(known) = self.by_offer.get(&key) {
            return Some(known.clone());
        }
        let cuts = self.cuts;
        let all = 0..offer.leaves.len();
        let of_leaf: Vec<Values> =
            all.map(|l| self.at_floors(|f| cuts.leaf(offer, l, f.valued))).collect();
        let mut leaves: Vec<Vec<Yield<N>>> = Vec::with_capacity(offer.leaves.len());
        for (l, best) in of_leaf.iter().enumerate() {
            leaves.push(self.leaf(offer, l, best)?);
        }
        let of_rip = self.at_floors(|f| cuts.rip(offer, f.valued));
        let mut all: Vec<Yield<N>> = Vec::new();
        for stack in &cuts.stacks[offer.stacks as usize] {
            // What the stack is worth less than the best one, and the worth of its leaves so far.
            let mut best = of_rip;
            for (of_leaf, &n) in of_leaf.iter().zip(stack) {
                best.iter_mut().zip(of_leaf).for_each(|(b, v)| *b -= v * i64::from(n));
            }
            let none = Yield { counts: Lanes::default(), cuts: 0, leaves: Vec::new() };
            let mut sums = vec![none];
            for (l, &n) in stack.iter().enumerate() {
                for _ in 0..n {
                    best.iter_mut().zip(&of_leaf[l]).for_each(|(b, v)| *b += v);
                    let mut more = Vec::with_capacity(sums.len());
                    for sum in &sums {
                        if !self.loses_too_much(&sum.counts, &best) {
                            self.keep(&mut more, sum.clone());
                        }
                        for leaf in &leaves[l] {
                            let counts = sum.counts.plus(&leaf.counts, &self.caps);
                            self.spend(more.len() as u64 / COMPARED)?;
                            if self.loses_too_much(&counts, &best) {
                                continue;
                            }
                            let cuts = sum.cuts + leaf.cuts + u16::from(!sum.leaves.is_empty());
                            let mut list = sum.leaves.clone();
                            list.extend_from_slice(&leaf.leaves);
                            self.keep(&mut more, Yield { counts, cuts, leaves: list });
                        }
                    }
                    sums = more;
                }
            }
            for sum in sums {
                if sum.counts != Lanes::default() {
                    // The rip itself is one cut.
                    self.spend(all.len() as u64 / COMPARED)?;
                    self.keep(&mut all, Yield { cuts: sum.cuts + 1, ..sum });
                }
            }
        }
        let first = u32::try_from(self.yields.len()).unwrap_or(NONE);
        for give in &all {
            self.worths.push(self.worth(&give.counts));
        }
        self.yields.extend(all);
        let range = first..u32::try_from(self.yields.len()).unwrap_or(NONE);
        self.by_offer.insert(key, range.clone());
        Some(range)
    }

    /// Does a cut that takes these strips for others that are worth so much come to too little? It
    /// comes to at least so much less than the whole board can.
    fn loses_too_much(&self, counts: &Lanes<N>, best: &Values) -> bool {
        let floors = self.floors.iter().zip(&self.prices).zip(best);
        floors.into_iter().any(|((floor, prices), best)| {
            best - counts.value(prices) > floor.valued.best.saturating_sub(floor.least)
        })
    }

    /// What one leaf can give within the section, where the best it can is worth so much.
    fn leaf(&mut self, offer: &Offer, leaf: usize, best: &Values) -> Option<Vec<Yield<N>>> {
        let (index, upto) = offer.leaves[leaf];
        let cuts = self.cuts;
        let profile = &cuts.profiles[index as usize];
        let mut kept = Vec::new();
        for (e, entry) in profile.entries[..upto as usize].iter().enumerate() {
            let mut counts = Lanes::default();
            let sawn = u16::try_from(entry.strips.len()).unwrap_or(u16::MAX);
            for &strip in &entry.strips {
                let item = usize::from(profile.items[usize::from(strip)]);
                for lane in cuts.nested.items.serves(item).filter_map(|i| self.counted.lane(i)) {
                    counts = counts.with_one(lane);
                }
            }
            let counts = counts.plus(&Lanes::default(), &self.caps);
            self.spend(kept.len() as u64 / COMPARED + 1)?;
            if self.loses_too_much(&counts, best) {
                continue;
            }
            let e = u32::try_from(e).unwrap_or(NONE);
            self.keep(&mut kept, Yield { counts, cuts: sawn, leaves: vec![(leaf, index, e)] });
        }
        Some(kept)
    }

    fn keep(&self, kept: &mut Vec<Yield<N>>, new: Yield<N>) {
        let covers = |a: &Yield<N>, b: &Yield<N>| {
            a.counts.covers(&b.counts) && (self.least == Least::Nothing || a.cuts <= b.cuts)
        };
        if !kept.iter().any(|k| covers(k, &new)) {
            kept.retain(|k| !covers(&new, k));
            kept.push(new);
        }
    }

    /// The cut that led to a label.
    fn trace(&self, label: u32) -> Cut {
        let mut sections: Vec<ChosenSection> = Vec::new();
        let mut at = self.labels[label as usize];
        while at.given != NONE {
            let leaves = self.yields[at.given as usize].leaves.clone();
            let rip = ChosenRip { point: at.point, arc: at.arc, leaves };
            match sections.last_mut() {
                Some(last) if last.section == at.section => last.rips.push(rip),
                _ => sections.push(ChosenSection { section: at.section, rips: vec![rip] }),
            }
            at = self.labels[at.before as usize];
        }
        sections.reverse();
        for section in &mut sections {
            section.rips.reverse();
        }
        sections
    }
}
