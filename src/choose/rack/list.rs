//! Every way in which a part of the rack can serve.
//!
//! Strips come one after another, the most curved first. A label says what was given so far and,
//! for each kind, whether a bent strip waits for its partner. That one strip at most waits for each
//! kind leaves nothing out: put the strips that go into the pairs of a kind in order of their
//! curves, and pair the first with the second, the third with the fourth and so on; if any pairing
//! of them is one of partners, this is. A pair's more curved strip comes first, and the other follows
//! before any other strip of a pair of that kind.
//!
//! Two labels with the same counts, and curves of waiting strips, are one.

use super::{Giving, Use};
use crate::choose::effort::rack::LABELS;
use crate::paddle::fits::{Fit, partners};
use crate::paddle::{Job, StripKind};
use crate::stop::Stop;
use rustc_hash::{FxHashMap, FxHashSet};

/// A strip in hand as the list sees it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// Its index among the job's strips in hand.
    pub(super) strip: usize,
    /// The kinds that it serves, and how.
    pub(super) fits: Vec<(usize, Fit)>,
    /// Its place in the order of curves; equal curves have one place.
    pub(super) rank: u32,
}

impl Piece {
    /// How it serves a kind, if it does.
    pub(super) fn fit(&self, kind: usize) -> Option<Fit> {
        self.fits.iter().find(|f| f.0 == kind).map(|f| f.1)
    }
}

/// The ways of a part.
pub(super) struct Listed {
    /// Those that no other covers, as far as all are there.
    pub(super) ways: Vec<Giving>,
    /// All are there.
    pub(super) complete: bool,
}

/// What was done with the strips so far.
#[derive(Clone, Debug)]
struct Label {
    /// Strips given of each kind of the part, no more than are needed.
    counts: Vec<u32>,
    /// For each kind of the part, the strip that waits for its partner, as an index of pieces.
    waits: Vec<Option<usize>>,
    /// The last use, as an index of the trail.
    last: Option<usize>,
}

impl Label {
    fn sum(&self) -> u32 {
        self.counts.iter().sum()
    }
}

/// A use, and the one before it.
struct Trail {
    made: Use,
    before: Option<usize>,
}

struct Lister<'a> {
    job: &'a Job,
    kinds: &'a [StripKind],
    /// The kinds of the part, and what is needed of each.
    of: Vec<usize>,
    need: Vec<u32>,
    pieces: &'a [Piece],
    trail: Vec<Trail>,
    complete: bool,
}

/// Lists the ways of one part.
pub(super) fn list(
    job: &Job,
    kinds: &[StripKind],
    need: &[u32],
    pieces: &[Piece],
    stop: &Stop,
) -> Listed {
    let mut of: Vec<usize> = pieces.iter().flat_map(|p| p.fits.iter().map(|f| f.0)).collect();
    of.sort_unstable();
    of.dedup();
    let own = of.iter().map(|&k| need[k]).collect();
    let lister = Lister { job, kinds, of, need: own, pieces, trail: Vec::new(), complete: true };
    lister.run(need.len(), stop)
}

impl Lister<'_> {
    fn run(mut self, kinds: usize, stop: &Stop) -> Listed {
        let none =
            Label { counts: vec![0; self.of.len()], waits: vec![None; self.of.len()], last: None };
        let mut labels = vec![none];
        for next in 0..self.pieces.len() {
            labels = undominated(self.pieces, self.step(next, &labels));
            // Where an end is asked for, one way will do.
            labels = self.few(labels, if stop.asked() { 1 } else { LABELS });
        }
        labels.retain(|l| l.waits.iter().all(Option::is_none));
        let labels = undominated(self.pieces, labels);
        let giving = |label: &Label| {
            let mut way = vec![0; kinds];
            self.of.iter().zip(&label.counts).for_each(|(&k, &n)| way[k] = n);
            Giving { way: way.into(), uses: self.uses(label) }
        };
        Listed { ways: labels.iter().map(giving).collect(), complete: self.complete }
    }

    /// No more labels than so many; what could come of the others is not known. Half are those that
    /// give most, and of every kind alike; the rest are taken from all the others.
    fn few(&mut self, mut labels: Vec<Label>, most: usize) -> Vec<Label> {
        if labels.len() <= most {
            return labels;
        }
        self.complete = false;
        let missing = |l: &Label| -> u64 {
            let short = l.counts.iter().zip(&self.need).map(|(&n, &need)| u64::from(need - n));
            short.map(|s| s * s).sum()
        };
        labels.sort_by_cached_key(|l| (std::cmp::Reverse(l.sum()), missing(l)));
        let rest = labels.split_off(most.div_ceil(2));
        let every = rest.len().div_ceil((most - labels.len()).max(1));
        let room = most - labels.len();
        labels.extend(rest.into_iter().step_by(every.max(1)).take(room));
        labels
    }

    /// Everything that can be done with the next strip.
    fn step(&mut self, next: usize, labels: &[Label]) -> Vec<Label> {
        let piece = &self.pieces[next];
        let mut out: Vec<Label> = Vec::new();
        let mut known: FxHashSet<(Vec<u32>, Vec<Option<u32>>)> = FxHashSet::default();
        let pieces = self.pieces;
        let mut trail = std::mem::take(&mut self.trail);
        let mut add = |mut label: Label, made: &[Use]| {
            let ranks = label.waits.iter().map(|w| w.map(|i| pieces[i].rank)).collect();
            if known.insert((label.counts.clone(), ranks)) {
                for &made in made {
                    trail.push(Trail { made, before: label.last });
                    label.last = Some(trail.len() - 1);
                }
                out.push(label);
            }
        };
        for label in labels {
            let mut alone = false;
            for (k, &kind) in self.of.iter().enumerate() {
                let Some(fit) = piece.fit(kind).filter(|_| label.counts[k] < self.need[k]) else {
                    continue;
                };
                match label.waits[k] {
                    Some(first) if self.pair(first, next, kind) => {
                        let (a, b) = (pieces[first].strip, piece.strip);
                        let mut with = label.clone();
                        with.waits[k] = None;
                        with.counts[k] = (with.counts[k] + 2).min(self.need[k]);
                        let half = |strip, other| Use { strip, kind, partner: Some(other) };
                        add(with, &[half(a, b), half(b, a)]);
                    }
                    None if fit == Fit::Paired => {
                        let mut with = label.clone();
                        with.waits[k] = Some(next);
                        add(with, &[]);
                    }
                    _ => {}
                }
                if fit == Fit::Free {
                    alone = true;
                    let mut with = label.clone();
                    with.counts[k] += 1;
                    add(with, &[Use { strip: piece.strip, kind, partner: None }]);
                }
            }
            // Where a strip can serve by itself, leaving it out gives less.
            if !alone {
                add(label.clone(), &[]);
            }
        }
        self.trail = trail;
        // Strips to come are straighter: one that can't be a partner now never finds one.
        let hopeless = |label: &Label| {
            let mut waits = label.waits.iter().zip(&self.of);
            waits.any(|(w, &kind)| w.is_some_and(|w| !self.near(w, next, kind)))
        };
        let hopeless: Vec<bool> = out.iter().map(hopeless).collect();
        let mut of = hopeless.into_iter();
        out.retain(|_| !of.next().unwrap_or(false));
        out
    }

    /// May two strips be partners in a kind, as far as their curves go?
    fn near(&self, one: usize, other: usize, kind: usize) -> bool {
        let strip = |i: usize| &self.job.strips[self.pieces[i].strip];
        let line = self.kinds[kind].lines.first();
        line.is_some_and(|&line| partners(self.job, [strip(one), strip(other)], line))
    }

    fn pair(&self, first: usize, next: usize, kind: usize) -> bool {
        first != next && self.near(first, next, kind)
    }

    fn uses(&self, label: &Label) -> Vec<Use> {
        let mut uses = Vec::new();
        let mut at = label.last;
        while let Some(trail) = at.and_then(|at| self.trail.get(at)) {
            uses.push(trail.made);
            at = trail.before;
        }
        uses.reverse();
        uses
    }
}

/// Labels that no other covers: with as much of every kind, and the same strips waiting.
fn undominated(pieces: &[Piece], mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort_by_key(|l| std::cmp::Reverse(l.sum()));
    let mut groups: FxHashMap<Vec<Option<u32>>, Vec<usize>> = FxHashMap::default();
    let mut kept: Vec<Label> = Vec::new();
    for label in labels {
        let ranks = label.waits.iter().map(|w| w.map(|i| pieces[i].rank)).collect();
        let group = groups.entry(ranks).or_default();
        // No two are equal, so what covers one gives more in all.
        let mut more = group.iter().take_while(|&&g| kept[g].sum() > label.sum());
        let covers = |&g: &usize| kept[g].counts.iter().zip(&label.counts).all(|(a, b)| a >= b);
        if !more.any(covers) {
            group.push(kept.len());
            kept.push(label);
        }
    }
    kept
}
