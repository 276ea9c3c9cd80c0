//! What the strips in hand can give (MODEL 10): a board, as it were, that costs nothing.
//!
//! Each strip is used once, for one of the kinds of strip that it serves; strips that are bent go
//! in two by two. So the rack has ways as a board has: counts of each kind. Strips that have no kind
//! in common have nothing to do with each other, so the rack falls apart into **parts**. A part with
//! one best way is given outright, and what is needed of the boards is less by that. The others
//! are free lots of the cover, each with every way that no other of it covers (`list.rs`).
//!
//! Where a part has too many ways to be listed, its strips that neither are bent nor could be the
//! partner of one that is stand apart: strips that serve the same kinds are one lot, of which there
//! are as many as strips, and a way of it is one strip of one kind. Where what is left has too many
//! ways still, those that were found make plans, and bounds come from [`Rack::hoped`].
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
use crate::lumber::StripInHand;
use crate::paddle::fits::{Fit, compare, curve, fit, partners};
use crate::paddle::{Families, Job, StripKind, Tally};
use crate::stop::Stop;
use list::{Listed, Piece, list};
use std::cmp::Ordering;

/// Does every strip in hand that serves a kind serve each shorter one of its family too, alone?
/// Then what the rack gives may be counted as what boards give is, in sums.
pub fn nests(job: &Job, kinds: &[StripKind]) -> bool {
    let families = Families::of(kinds);
    let closed = |strip: &StripInHand| {
        (0..kinds.len()).all(|k| match (serves(job, strip, &kinds[k]), families.shorter(k)) {
            (None, _) => true,
            (Some(Fit::Free), shorter) => {
                shorter.is_none_or(|s| serves(job, strip, &kinds[s]) == Some(Fit::Free))
            }
            (Some(Fit::Paired), shorter) => shorter.is_none() && families.served_by(k).count() == 1,
        })
    };
    job.strips.iter().all(closed)
}

/// How a strip in hand serves a kind of strip, if it does: all lines of one kind are served alike.
pub fn serves(job: &Job, strip: &StripInHand, kind: &StripKind) -> Option<Fit> {
    fit(job, strip, *kind.lines.first()?).ok()
}

/// What the rack gives.
#[derive(Clone, Debug, Default)]
pub struct Rack {
    /// Strips of each kind that it gives in any case.
    pub given: Tally,
    uses: Vec<Use>,
    parts: Vec<Part>,
    /// Every way of every part is there.
    pub complete: bool,
}

/// Strips that have nothing to do with others.
#[derive(Clone, Debug)]
struct Part {
    ways: Vec<Giving>,
    /// Are those all its ways?
    complete: bool,
    /// What it gives at most of each kind by itself.
    most: Tally,
    /// Where each strip is a lot of its own: the strips, all alike.
    alike: Vec<usize>,
    /// How many such lots there are.
    copies: usize,
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
            let part = Part::listed(job, kinds, need, &pieces, stop);
            match &part.ways[..] {
                [only] if part.complete => {
                    rack.given.iter_mut().zip(only.way.iter()).for_each(|(g, &n)| *g += n);
                    rack.uses.extend(only.uses.iter().copied());
                }
                _ if part.complete || stop.asked() => rack.parts.push(part),
                _ => rack.parts.extend(apart(job, kinds, need, &pieces, stop)),
            }
        }
        rack.complete = rack.parts.iter().all(|p| p.complete);
        rack
    }

    /// The same with its ways in sums (see [`nests`]): whatever is enough in counts is in sums, and
    /// no strip was counted for more than is needed of its kind.
    #[must_use]
    pub fn in_sums(mut self, families: &Families) -> Rack {
        for part in self.parts.iter_mut().filter(|_| !families.single()) {
            part.most = families.sums(&part.most);
            part.ways.iter_mut().for_each(|g| g.way = families.sums(&g.way).into());
        }
        self
    }

    /// Its parts that can give in several ways, as lots that cost nothing, and how many there are
    /// of each.
    pub fn lots<'a>(&self) -> impl Iterator<Item = (Lot<'a>, usize)> {
        self.parts.iter().map(|part| {
            let ways = part.ways.iter().map(|g| Way::clone(&g.way)).collect();
            (Lot { cuts: None, cost: 0, ways, listed: true }, part.copies)
        })
    }

    /// The most strips that one of its lots gives.
    pub fn most_strips(&self) -> i64 {
        let ways = self.parts.iter().flat_map(|p| &p.ways);
        ways.map(|g| g.way.iter().map(|&n| i64::from(n)).sum()).max().unwrap_or(0)
    }

    /// What it comes to at most at these worths of strips, beside what it gives in any case.
    pub fn worth(&self, worth: &dyn Fn(&[u32]) -> i128) -> i128 {
        let best = |part: &Part| {
            let one = part.ways.iter().map(|g| worth(&g.way)).max().unwrap_or(0);
            one * i128::try_from(part.copies).unwrap_or(i128::MAX)
        };
        self.parts.iter().map(best).sum()
    }

    /// The same with each part of which not all ways are known giving the most of every kind at
    /// once: no less than it can, so that a bound with it holds.
    pub fn hoped(&self) -> Rack {
        let mut hoped = Rack { complete: true, ..self.clone() };
        for part in hoped.parts.iter_mut().filter(|p| !p.complete) {
            part.ways = vec![Giving { way: part.most.clone().into(), uses: Vec::new() }];
        }
        hoped
    }

    /// Which strips go where, for the ways of its lots that were chosen, as (lot, counts), where so
    /// many are wanted of each kind. Of strips that would do as well, the shortest go in.
    pub fn uses(
        &self,
        job: &Job,
        (kinds, wanted): (&[StripKind], &[u32]),
        chosen: &[(usize, Vec<u32>)],
    ) -> Vec<Use> {
        let mut uses = self.uses.clone();
        let mut taken = vec![0; self.parts.len()];
        for (p, counts) in chosen {
            let Some(part) = self.parts.get(*p) else { continue };
            // A choice gives a way, or less than one.
            let enough = |g: &&Giving| g.way.iter().zip(counts).all(|(has, n)| has >= n);
            let mut gives = part.ways.iter().find(enough).map_or_else(Vec::new, |g| g.uses.clone());
            if let Some(&strip) = part.alike.get(taken[*p]) {
                gives.iter_mut().for_each(|u| u.strip = strip);
                taken[*p] += 1;
            }
            uses.extend(gives);
        }
        let families = Families::of(kinds);
        if !families.single() {
            serve_shorter(&families, wanted, &mut uses);
        }
        prefer(job, kinds, &mut uses);
        uses
    }
}

/// Where more strips were counted for a kind than are wanted of it, the others serve the shorter
/// ones of its family, which in sums they were counted for as well. With N, R and B the sums of
/// what is wanted, of the rack and of the boards, B ≥ N − R, and what is moved on beyond a kind is the
/// most by which the rack gives more than is wanted from some longer kind on: N − R with it is that
/// of a longer kind, and B, being sums, is no less than there.
fn serve_shorter(families: &Families, wanted: &[u32], uses: &mut [Use]) {
    for &kind in families.longest_first() {
        let Some(shorter) = families.shorter(kind) else { continue };
        let of_kind = uses.iter_mut().filter(|u| u.kind == kind);
        of_kind.skip(wanted[kind] as usize).for_each(|u| u.kind = shorter);
    }
}

impl Part {
    /// A part with its ways, as far as they can be listed.
    fn listed(job: &Job, kinds: &[StripKind], need: &[u32], pieces: &[Piece], stop: &Stop) -> Part {
        let listed = list(job, kinds, need, pieces, stop);
        let most = |(k, &need): (usize, &u32)| {
            let serve = pieces.iter().filter(|p| p.fit(k).is_some()).count();
            u32::try_from(serve).unwrap_or(u32::MAX).min(need)
        };
        let most = need.iter().enumerate().map(most).collect();
        let Listed { ways, complete } = listed;
        Part { ways, complete, most, alike: Vec::new(), copies: 1 }
    }

    /// Strips that serve the same kinds, each alone: one strip of one kind at a time.
    fn alike(need: &[u32], pieces: &[&Piece]) -> Option<Part> {
        let first = pieces.first()?;
        let way = |&(kind, _): &(usize, Fit)| {
            let mut way = vec![0; need.len()];
            way[kind] = 1;
            let made = Use { strip: first.strip, kind, partner: None };
            Giving { way: way.into(), uses: vec![made] }
        };
        // More than all needs together are of no use.
        let wanted: u64 = first.fits.iter().map(|&(k, _)| u64::from(need[k])).sum();
        let copies = pieces.len().min(usize::try_from(wanted).unwrap_or(usize::MAX));
        let ways: Vec<Giving> = first.fits.iter().map(way).collect();
        let alike = pieces.iter().map(|p| p.strip).collect();
        Some(Part { ways, complete: true, most: vec![0; need.len()], alike, copies })
    }
}

/// The parts of one that has too many ways: those strips together that are bent or could be the
/// partner of one that is, and the others by what they serve.
fn apart(job: &Job, kinds: &[StripKind], need: &[u32], pieces: &[Piece], stop: &Stop) -> Vec<Part> {
    let bent = |p: &Piece| p.fits.iter().any(|f| f.1 == Fit::Paired);
    let near = |p: &Piece, o: &Piece| {
        o.fits.iter().any(|&(k, fit)| {
            let line = kinds[k].lines.first();
            fit == Fit::Paired
                && p.fit(k).is_some()
                && line.is_some_and(|&line| {
                    partners(job, [&job.strips[p.strip], &job.strips[o.strip]], line)
                })
        })
    };
    let all: Vec<&Piece> = pieces.iter().filter(|p| bent(p)).collect();
    let tied = |p: &&Piece| bent(p) || all.iter().any(|o| near(p, o));
    let (tied, free): (Vec<&Piece>, Vec<&Piece>) = pieces.iter().partition(tied);
    let mut parts = Vec::new();
    if !tied.is_empty() {
        let tied: Vec<Piece> = tied.into_iter().cloned().collect();
        parts.push(Part::listed(job, kinds, need, &tied, stop));
    }
    let mut groups: Vec<Vec<&Piece>> = Vec::new();
    for piece in free {
        match groups.iter_mut().find(|g| g[0].fits == piece.fits) {
            Some(group) => group.push(piece),
            None => groups.push(vec![piece]),
        }
    }
    parts.extend(groups.iter().filter_map(|group| Part::alike(need, group)));
    parts
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
            .filter_map(|k| Some((k, serves(job, strip, &kinds[k])?)))
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

#[cfg(test)]
mod tests {
    use super::{Part, Use, apart, nests, pieces, serve_shorter};
    use crate::choose::effort::EFFORT;
    use crate::choose::planner::Planner;
    use crate::choose::problem::Problem;
    use crate::choose::solve::Proved;
    use crate::choose::{Options, crooked, plan};
    use crate::length::{Length, Units};
    use crate::lumber::{Board, Species, StripInHand};
    use crate::paddle::strips::needed;
    use crate::paddle::{Families, Job, strip_kinds};
    use crate::plan::{Measure, Proof};
    use crate::read::{List, boards_text};
    use crate::stop::Stop;
    use crate::verify::verify;
    use proptest::prelude::*;

    fn job(strips: &[(i64, i64, i64)]) -> Job {
        let text = "[shop]\nstraight = \"1/16\"\npair = \"3/8\"\n[[paddle]]\nname = \"p\"\nlength = 24\nloom = 8\ntrim = 0\nthickness = 1\nrings = 0\n\
            [[paddle.lamination]]\nname = \"a\"\nthickness = \"1/4\"\nruns = \"through\"\n\
            [[paddle.lamination]]\nname = \"b\"\nthickness = \"3/8\"\nruns = \"through\"\n\
            [[paddle.lamination]]\nname = \"c\"\nthickness = \"1/4\"\nruns = \"blade\"\n";
        let mut job = crate::read::job_text("p", text).unwrap();
        let strip = |(i, &(length, thickness, bend)): (usize, &(i64, i64, i64))| {
            let size = [
                Length::inch_fraction(length, 1),
                Length::inch_fraction(thickness, 16),
                Length::INCH,
            ];
            let depthwise = Length::inch_fraction(bend, 16);
            StripInHand {
                depthwise,
                ..StripInHand::plain(&format!("{i}"), Species::new("fir"), size)
            }
        };
        job.strips = strips.iter().enumerate().map(strip).collect();
        job
    }

    /// Paddles of two laminations, each of its own length, so that all could nest.
    fn class(paddles: &[(&str, i64)], strips: &[(i64, i64, Option<usize>)]) -> Job {
        let mut text = "[shop]\nstraight = \"1/16\"\nmin_rip = 4\n".to_owned();
        for (name, length) in paddles {
            text += &format!(
                "[[paddle]]\nname = \"{name}\"\nlength = {length}\nloom = 8\ntrim = 0\nthickness = 1\nrings = 0\n"
            );
            for (lamination, thickness) in [("side", "1/4"), ("edge", "3/8")] {
                text += &format!(
                    "[[paddle.lamination]]\nname = \"{lamination}\"\nthickness = \"{thickness}\"\nruns = \"through\"\n"
                );
            }
        }
        let mut job = crate::read::job_text("p", &text).unwrap();
        let strip = |(i, &(length, thickness, of)): (usize, &(i64, i64, Option<usize>))| {
            let size = [
                Length::inch_fraction(length, 1),
                Length::inch_fraction(thickness, 8),
                Length::INCH,
            ];
            let plain = StripInHand::plain(&format!("{i}"), Species::new("fir"), size);
            StripInHand { paddle: of.map(|p| paddles[p].0.to_owned()), ..plain }
        };
        job.strips = strips.iter().enumerate().map(strip).collect();
        job
    }

    const THREE: [(&str, i64); 3] = [("a", 20), ("b", 18), ("c", 17)];

    fn least(job: &Job, boards: &[Board], nested: bool) -> Option<i128> {
        let mut kinds = strip_kinds(job);
        kinds.iter_mut().for_each(|k| k.apart = !nested);
        let wanted = needed(job, &kinds, &[1, 1, 1]);
        let mut problem = Problem::new(job, boards, kinds, wanted, Measure::of(boards));
        let solved = crooked::solve(&mut problem, EFFORT, &mut |_, _, _| {});
        let cost = solved.chosen.as_ref().map(|c| problem.cost(c));
        match solved.proved {
            Proved::NoChoice => assert!(cost.is_none()),
            Proved::AtLeast(bound) => assert_eq!(Some(bound), cost, "not proved"),
        }
        cost
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(100))]

        /// Counted in sums, strips in hand make a plan as cheap as when every length is apart.
        #[test]
        fn strips_in_hand_nest_as_boards_do(
            strips in prop::collection::vec(
                (15..22_i64, 2..4_i64, prop::option::weighted(0.1, 0..3_usize)), 1..6,
            ),
            boards in prop::collection::vec((16..60_i64, 1..5_i64, 5..12_i64), 2..6),
        ) {
            let job = class(&THREE, &strips);
            let mut csv = String::from("board,species,length,width,thickness,rings,price\n");
            for (i, (length, width, price)) in boards.iter().enumerate() {
                csv += &format!("b{i},fir,{length},{width},1 1/4,80,{price}\n");
            }
            let boards = boards_text("b", &csv, Units::Inch, List::OnHand).unwrap();
            let kinds = strip_kinds(&job);
            if nests(&job, &kinds) {
                let cost = least(&job, &boards, true);
                prop_assert_eq!(cost, least(&job, &boards, false));
                let plan = plan(&job, &boards, &Options::default());
                prop_assert_eq!(plan.as_ref().ok().map(|p| p.cost.parts), cost);
                if let Ok(plan) = plan {
                    prop_assert!(verify(plan, &job, &boards).is_ok());
                }
            } else {
                prop_assert!(strips.iter().any(|s| s.2.is_some()), "only those cut for somebody");
            }
        }
    }

    /// A dozen strips that serve any of twelve kinds have too many ways to be listed, so that each is
    /// a lot of its own, and several are counted for the longest kind, of which two are wanted.
    #[test]
    fn strips_that_are_counted_for_one_kind_serve_the_shorter_ones() {
        let six = [("a", 20), ("b", 19), ("c", 18), ("d", 17), ("e", 16), ("f", 15)];
        let job = class(&six, &[(21, 3, None); 12]);
        assert!(nests(&job, &strip_kinds(&job)));
        let csv = "board,species,length,width,thickness,rings,price\n\
            x,fir,60,6,1 1/4,80,5\ny,fir,60,3,1 1/4,80,4\nz,fir,60,6,1 1/4,80,6\n";
        let boards = boards_text("b", csv, Units::Inch, List::OnHand).unwrap();
        // As it is, without levels of lengths.
        let (options, each) = (Options::default(), [1; 6]);
        let planner = Planner::new(&job, &boards, &options);
        let mut problem = planner.problem(&each);
        assert!(!problem.families.single() && problem.rack.parts.len() == 1);
        assert!(!problem.rack.parts[0].alike.is_empty(), "too many ways to be listed");
        let solved = planner.solve(&mut problem, EFFORT.nodes, (None, None));
        let plan = planner.finish(&problem, &each, &solved).expect("a plan");
        assert_eq!(plan.proof, Proof::Optimal);
        let bare = Job { strips: Vec::new(), ..job.clone() };
        let without = crate::choose::plan(&bare, &boards, &Options::default()).expect("a plan");
        assert!(plan.cost.parts < without.cost.parts, "strips in hand save a board");
        assert!(plan.in_hand.len() > 2);
        assert!(verify(plan, &job, &boards).is_ok());
    }

    #[test]
    fn what_is_beyond_the_need_serves_the_next_shorter_kind() {
        let job = class(&THREE, &[]);
        let kinds = strip_kinds(&job);
        let families = Families::of(&kinds);
        let long = families.longest_first()[0];
        let (next, last) = (families.shorter(long).unwrap(), families.served_by(long).count());
        assert_eq!(last, 1);
        let short = families.shorter(next).unwrap();
        let mut uses: Vec<Use> =
            (0..6).map(|strip| Use { strip, kind: long, partner: None }).collect();
        serve_shorter(&families, &vec![2; kinds.len()], &mut uses);
        let kinds: Vec<usize> = uses.iter().map(|u| u.kind).collect();
        assert_eq!(kinds, [long, long, next, next, short, short]);
    }

    /// A strip that was cut for the longest paddle serves no other, and nothing nests.
    #[test]
    fn strips_that_were_cut_for_somebody_do_not_nest() {
        let nests = |of| {
            let job = class(&THREE, &[(21, 2, of)]);
            nests(&job, &strip_kinds(&job))
        };
        assert!(nests(None) && !nests(Some(0)));
    }

    proptest! {
        /// A part that is taken apart gives what it gives as one.
        #[test]
        fn strips_apart_give_what_they_give_together(
            strips in prop::collection::vec(
                (prop::sample::select(vec![8_i64, 24, 30]), prop::sample::select(vec![4_i64, 6]), 0..6_i64),
                1..8,
            ),
        ) {
            let job = job(&strips);
            let kinds = strip_kinds(&job);
            let need = needed(&job, &kinds, &[1]);
            let pieces = pieces(&job, &kinds, &need);
            let stop = Stop::default();
            let together = Part::listed(&job, &kinds, &need, &pieces, &stop);
            prop_assert!(together.complete);
            let mut sums = vec![vec![0; need.len()]];
            for part in apart(&job, &kinds, &need, &pieces, &stop) {
                for _ in 0..part.copies {
                    let with = |sum: &Vec<u32>| -> Vec<Vec<u32>> {
                        let add = |w: &[u32]| sum.iter().zip(w).zip(&need).map(|((a, b), n)| (a + b).min(*n)).collect();
                        let mut all: Vec<Vec<u32>> = part.ways.iter().map(|g| add(&g.way)).collect();
                        all.push(sum.clone());
                        all
                    };
                    sums = sums.iter().flat_map(with).collect();
                    sums.sort();
                    sums.dedup();
                }
            }
            let covers = |a: &[u32], b: &[u32]| a.iter().zip(b).all(|(a, b)| a >= b);
            for sum in &sums {
                prop_assert!(together.ways.iter().any(|g| covers(&g.way, sum)), "{sum:?}");
            }
            for way in &together.ways {
                prop_assert!(sums.iter().any(|sum| covers(sum, &way.way)), "{way:?}");
            }
        }
    }
}
