//! What the strips in hand can give (MODEL 10): a board, as it were, that costs nothing.
//!
//! Each strip is used once, for one of the kinds of strip that it serves; strips that are bent go
//! in two by two. So the rack has ways as a board has: counts of each kind. Strips that have no kind
//! in common have nothing to do with each other, so the rack falls apart into **parts**. A part with
//! one best way is given outright, and what is needed of the boards is less by that. The others
//! are free lots of the cover, each with every way that no other of it covers (`list.rs`).
//!
//! Any way can be laid into blanks beside strips of boards. Every line of a kind off the centreline
//! wants an even number of strips, or is alone in its kind (`StripKind::alone`); pairs, of boards
//! and of the rack, take places in twos, and whatever is free fills the rest. With p pairs and f
//! free strips so that 2p + f is enough for n mirrored places, p + f/2, rounded down, is at least n.
//!
//! Lines of one kind of strip are served alike by every strip in hand: a kind is parted where a
//! strip was cut for some of its lines only (`strip_kinds`).

mod list;

use crate::choose::kernel::cover::{Lot, Way};
use crate::paddle::fits::{Fit, compare, curve, fit};
use crate::paddle::{Job, StripKind, Tally};
use crate::stop::Stop;
use list::{Piece, list};
use std::cmp::Ordering;

/// What the rack gives.
#[derive(Clone, Debug, Default)]
pub struct Rack {
    /// Strips of each kind that it gives in any case.
    pub given: Tally,
    uses: Vec<Use>,
    parts: Vec<Vec<Giving>>,
    /// Every way of every part is there.
    pub complete: bool,
    /// What each part gives at most of each kind by itself, where not every way is there.
    most: Vec<Tally>,
}

/// One way of a part: the counts, and which strip goes where.
#[derive(Clone, Debug)]
struct Giving {
    way: Way,
    uses: Vec<Use>,
}

/// A strip in hand that goes in for a kind of strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Use {
    /// The strip, as an index into the job's strips in hand.
    pub strip: usize,
    /// The kind of strip.
    pub kind: usize,
    /// The other strip of its flipped pair.
    pub partner: Option<usize>,
}

impl Rack {
    /// What the job's strips in hand give towards so many strips of each kind.
    pub fn of(job: &Job, kinds: &[StripKind], need: &[u32], stop: &Stop) -> Rack {
        let mut rack = Rack { given: vec![0; need.len()], complete: true, ..Rack::default() };
        for pieces in parts(pieces(job, kinds, need), kinds.len()) {
            let listed = list(job, kinds, need, &pieces, stop);
            match <[Giving; 1]>::try_from(listed.ways) {
                Ok([only]) if listed.complete => {
                    rack.given.iter_mut().zip(only.way.iter()).for_each(|(g, &n)| *g += n);
                    rack.uses.extend(only.uses);
                }
                ways => {
                    rack.complete &= listed.complete;
                    let ways = ways.map_or_else(|ways| ways, |one| one.to_vec());
                    let most = |(k, &need): (usize, &u32)| {
                        let serve = pieces.iter().filter(|p| p.fit(k).is_some()).count();
                        u32::try_from(serve).unwrap_or(u32::MAX).min(need)
                    };
                    rack.most.push(need.iter().enumerate().map(most).collect());
                    rack.parts.push(ways);
                }
            }
        }
        rack
    }

    /// Its parts that can give in several ways, as lots that cost nothing; there is one of each.
    pub fn lots<'a>(&self) -> impl Iterator<Item = Lot<'a>> {
        self.parts.iter().map(|ways| {
            let ways = ways.iter().map(|g| Way::clone(&g.way)).collect();
            Lot { cuts: None, cost: 0, ways, listed: true }
        })
    }

    /// The most strips that one of its lots gives.
    pub fn most_strips(&self) -> i64 {
        let ways = self.parts.iter().flatten();
        ways.map(|g| g.way.iter().map(|&n| i64::from(n)).sum()).max().unwrap_or(0)
    }

    /// What it comes to at most at these worths of strips, beside what it gives in any case.
    pub fn worth(&self, worth: &dyn Fn(&[u32]) -> i128) -> i128 {
        let best = |ways: &Vec<Giving>| ways.iter().map(|g| worth(&g.way)).max().unwrap_or(0);
        self.parts.iter().map(best).sum()
    }

    /// The same with each part giving the most of every kind at once: no less than it can, so that
    /// a bound with it holds where its ways are too many to be listed.
    pub fn hoped(&self) -> Rack {
        let one = |most: &Tally| vec![Giving { way: most.clone().into(), uses: Vec::new() }];
        Rack { parts: self.most.iter().map(one).collect(), complete: true, ..self.clone() }
    }

    /// Which strips go where, for the ways of its lots that were chosen, as (lot, counts). Of
    /// strips that would do as well, the shortest go in.
    pub fn uses(&self, job: &Job, kinds: &[StripKind], chosen: &[(usize, Vec<u32>)]) -> Vec<Use> {
        let mut uses = self.uses.clone();
        for (part, counts) in chosen {
            let ways = self.parts.get(*part).into_iter().flatten();
            // A choice gives a way, or less than one.
            let enough = |g: &&Giving| g.way.iter().zip(counts).all(|(has, n)| has >= n);
            uses.extend(ways.clone().find(enough).map(|g| g.uses.clone()).unwrap_or_default());
        }
        prefer(job, kinds, &mut uses);
        uses
    }
}

/// Lets the shortest and then the straightest of all that serve alone go in, so that long ones stay
/// for a job that needs them.
fn prefer(job: &Job, kinds: &[StripKind], uses: &mut [Use]) {
    let mut used = vec![false; job.strips.len()];
    uses.iter().for_each(|u| used[u.strip] = true);
    let order = |&a: &usize, &b: &usize| {
        let (one, other) = (&job.strips[a], &job.strips[b]);
        let bent = compare(curve(one), curve(other));
        one.length.cmp(&other.length).then(bent).then_with(|| one.name.cmp(&other.name))
    };
    for (k, kind) in kinds.iter().enumerate() {
        let Some(&line) = kind.lines.first() else { continue };
        let alone = |u: &Use| u.kind == k && u.partner.is_none();
        let free = |s: usize| fit(job, &job.strips[s], line) == Ok(Fit::Free);
        let mut those: Vec<usize> = (0..used.len()).filter(|&s| !used[s] && free(s)).collect();
        those.extend(uses.iter().filter(|u| alone(u)).map(|u| u.strip));
        those.sort_by(order);
        for (place, strip) in uses.iter_mut().filter(|u| alone(u)).zip(those) {
            used[place.strip] = false;
            place.strip = strip;
        }
        uses.iter().filter(|u| alone(u)).for_each(|u| used[u.strip] = true);
    }
}

/// The strips in hand that serve anything that is needed, the most curved first. Their order does
/// not depend on that of the file.
fn pieces(job: &Job, kinds: &[StripKind], need: &[u32]) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    for (s, strip) in job.strips.iter().enumerate() {
        let fits: Vec<(usize, Fit)> = (0..kinds.len())
            .filter(|&k| need[k] > 0)
            .filter_map(|k| Some((k, fit(job, strip, *kinds[k].lines.first()?).ok()?)))
            .collect();
        if !fits.is_empty() {
            pieces.push(Piece { strip: s, fits, rank: 0 });
        }
    }
    let bent =
        |a: &Piece, b: &Piece| compare(curve(&job.strips[b.strip]), curve(&job.strips[a.strip]));
    pieces.sort_by(|a, b| {
        let (one, other) = (&job.strips[a.strip], &job.strips[b.strip]);
        let length = one.length.cmp(&other.length);
        bent(a, b)
            .then_with(|| a.fits.cmp(&b.fits))
            .then(length)
            .then_with(|| one.name.cmp(&other.name))
    });
    for i in 1..pieces.len() {
        let more = bent(&pieces[i - 1], &pieces[i]) != Ordering::Equal;
        pieces[i].rank = pieces[i - 1].rank + u32::from(more);
    }
    pieces
}

/// Strips parted so that those of different parts have no kind in common.
fn parts(pieces: Vec<Piece>, kinds: usize) -> Vec<Vec<Piece>> {
    let mut part_of: Vec<usize> = (0..kinds).collect();
    for piece in &pieces {
        let first = part_of[piece.fits[0].0];
        for &(k, _) in &piece.fits {
            let other = part_of[k];
            part_of.iter_mut().filter(|p| **p == other).for_each(|p| *p = first);
        }
    }
    let mut parts: Vec<Vec<Piece>> = vec![Vec::new(); kinds];
    for piece in pieces {
        parts[part_of[piece.fits[0].0]].push(piece);
    }
    parts.retain(|part| !part.is_empty());
    parts
}
