//! Where straight-lined sections may begin and end, by places and by ranges (MODEL 6).
//!
//! Straight-lined, a section from x0 to x1 of a board of length L and crook c loses
//! `s = |c|·((x1−x0)/L)²` of the width, and lifts what lies at x by
//! `B(x) = 4c/L²·(x−x0)(x1−x)`. Both change with every step of x0 and x1, so no list of places
//! holds all that matter. Hence two kinds of [`Places`]:
//!
//! * places where sections are looked for beside those of the list (beginnings and ends). What is
//!   cut so can be cut;
//! * marks that part the board into **ranges**. A section then stands for all that begin between
//!   its own beginning and the next mark, and end between its own end and the next mark. It has
//!   room for whatever any of those gives, and mostly a little more: no board gives more than is
//!   found so, and what is proved with it holds wherever sections begin and end.
//!
//! # Why a range is enough
//!
//! Let x0 lie in `[a0, a1]` and x1 in `[e0, e1]`. Where rips lie in one section may be measured
//! from any line along it, so let it be the one that touches the curve midway, at u = (x0+x1)/2.
//! It lies s off the chord. From it the curve stands off by `B(x) − s = −4c/L²·(x−u)²`: where the
//! section begins and ends matters only through u, and little near the middle. In a hollow section
//! rips lie from `edge` to `width − s`, in a crowned one from `edge + s` to `width`; s is at least
//! that of the shortest section of the range.
//!
//! Let `[f, t]` be the part of a zone that lies in every section of the range, between a1 and e0,
//! and k = 4|c|/L². In any section, the part of the zone in it holds `[f, t]`, so its farthest
//! point from u is at least as far as the farther of f and t, and that is at least the least of
//! this over all u, D; and its nearest point is no farther than the nearest of `[f, t]`, which is
//! no farther than for the first or the last u, d. So the zone reaches across at least from
//! `near − kD²` to `far − kd²` where it is hollow, and from `near + kd²` to `far + kD²` where it is
//! crowned. If near is not below far the zone is no obstacle.
//!
//! Where no part lies in every section, that falls back on the chord, with B for |B|. B at a fixed
//! x falls as x0 grows and grows with x1, and so does the part of the zone, at whose very ends in
//! the section B is 0. So the least lift is at most that from a0 to e1, and the greatest at least
//! 0; s, between its least and its greatest, leads from there to the line midway.
//!
//! Any section of the range is then allowed by these obstacles: its strips keep clear of more. A
//! zone beyond the section's ends does not matter, since along the board zones stay where they are
//! and its strips are clear of it there. For obstacles that stand still the argument of `leaf.rs`
//! and `across.rs` holds: pushed to the beginning `a0` and towards the reference edge, the same
//! strips end no later. A section that begins at x0 ≥ its neighbour's end and kerf is found from
//! the last mark before x0, or from that end where no mark lies between; its end from the farthest
//! of its strips' ends and the last mark before x1. Section after section, each ends no later than
//! the real one, and has room for it.

use crate::length::Length;
use crate::lumber::Bend;
use std::collections::BTreeSet;

/// Beginnings and ends of straight-lined sections beside those that every board is tried with, or
/// marks between which they may begin and end anywhere.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Places {
    /// Of beginnings.
    pub starts: BTreeSet<Length>,
    /// Of ends.
    pub ends: BTreeSet<Length>,
    /// They are marks that part ranges, not places.
    pub ranges: bool,
    /// There are none: no section is straight-lined. A flattened one begins after its neighbour
    /// only. What is cut so can be cut, and is soon known.
    pub none: bool,
    /// Bytes that the sections worked out with them may take, about; `None` for what a single board
    /// may.
    pub room: Option<usize>,
}

/// A zone's reach along the board, within a section; `None` if nothing of it lies there.
fn part((from, to): (Length, Length), x0: Length, x1: Length) -> Option<(Length, Length)> {
    let part = (from.max(x0), to.min(x1));
    (part.0 < part.1).then_some(part)
}

/// Straight-lined sections that begin from one place to another and end from one to another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Range {
    /// Beginning and end of the first.
    pub first: (Length, Length),
    /// Of the last.
    pub last: (Length, Length),
    /// None is shorter.
    pub shortest: Length,
}

/// Less than the rounding of a bend.
const UNIT: Length = Length::from_units(1);

impl Range {
    /// What every section loses at least, rounded down, and at most, rounded up.
    fn losses(self, crook: Bend) -> (Length, Length) {
        let short = (self.first.1 - self.last.0).max(self.shortest);
        let least = (crook.loss(short) - UNIT).max(Length::ZERO);
        (least, crook.loss(self.last.1 - self.first.0))
    }

    /// The usable width of `near..far`, from the line midway, of some section at most.
    pub fn across(self, crook: Bend, near: Length, far: Length) -> (Length, Length) {
        let (least, _) = self.losses(crook);
        if crook.gap > Length::ZERO { (near, far - least) } else { (near + least, far) }
    }

    /// How far a zone is lifted off the line midway in every section: on its near side (the most
    /// that it may be) and on its far side (the least). `None` if the zone lies in no section.
    pub fn lifts(self, crook: Bend, zone: (Length, Length)) -> Option<(Length, Length)> {
        let hollow = crook.gap > Length::ZERO;
        let wide = part(zone, self.first.0, self.last.1)?;
        let Some((f, t)) = part(zone, self.last.0, self.first.1) else {
            let (least, greatest) = crook.lifts(wide.0, wide.1, self.first.0, self.last.1);
            let (less, more) = self.losses(crook);
            return Some(if hollow {
                (least + UNIT - less, -more)
            } else {
                (more, greatest - UNIT + less)
            });
        };
        // In half units, as is the place midway.
        let twice = |l: Length| 2 * i128::from(l.units());
        let middle = |s: (Length, Length)| i128::from((s.0 + s.1).units());
        let (u0, u1, f, t) = (middle(self.first), middle(self.last), twice(f), twice(t));
        let farthest = |u: i128| (u - f).max(t - u);
        let nearest = |u: i128| (f - u).max(u - t).max(0);
        // The farther end is nearest where u is midway between them.
        let far = farthest(((f + t) / 2).clamp(u0, u1));
        let near = nearest(u0).max(nearest(u1));
        let (gap, square) =
            (i128::from(crook.gap.abs().units()), i128::from(crook.over.units()).pow(2));
        let fit = |n: i128| Length::from_units(i64::try_from(n).unwrap_or(i64::MAX / 4));
        let down = |d: i128| fit(gap * d * d / square);
        let up = |d: i128| down(d) + UNIT;
        // A half unit off the middle makes less than a unit.
        Some(if hollow { (-(down(far) - UNIT), -up(near)) } else { (up(near), down(far) - UNIT) })
    }
}

impl Places {
    /// One range of all places: sections may begin and end anywhere, and lose no more than the
    /// shortest one. What stands in their way is as much as is common to all, so it stands still,
    /// and such a section is worked out as quickly as one that keeps edge and face.
    pub fn everywhere() -> Self {
        Places { ranges: true, ..Places::default() }
    }

    /// No straight-lined section at all.
    pub fn none() -> Self {
        Places { none: true, ..Places::default() }
    }

    /// Is there one range of all places?
    pub fn whole(&self) -> bool {
        self.ranges && self.starts.is_empty() && self.ends.is_empty()
    }

    /// Marks that part the usable length into so many ranges.
    pub fn parted(low: Length, high: Length, parts: i64) -> Self {
        let mark = |i: i64| low + Length::from_units((high - low).units() * i / parts);
        let starts: BTreeSet<Length> = (1..parts).map(mark).collect();
        Places { ends: starts.clone(), starts, ranges: true, ..Places::default() }
    }

    /// How late a section listed from `start` to `end` may begin and end, on a board whose
    /// sections end by `high` and are no shorter than `shortest`.
    pub(super) fn reach(
        &self,
        (start, end): (Length, Length),
        high: Length,
        shortest: Length,
    ) -> (Length, Length) {
        if !self.ranges {
            return (start, end);
        }
        let after = |marks: &BTreeSet<Length>, at: Length| {
            let one = Length::from_units(at.units() + 1);
            marks.range(one..).next().copied()
        };
        let longest = after(&self.ends, end).map_or(high, |m| m.min(high));
        let latest = longest - shortest;
        (after(&self.starts, start).map_or(latest, |m| m.min(latest)).max(start), longest)
    }

    /// Pairs of a beginning and an end among the marks.
    pub fn pairs(&self) -> usize {
        self.starts.len() * self.ends.len()
    }

    /// The widest range, between marks or a mark and an end of the board.
    pub fn widest(&self, low: Length, high: Length) -> Length {
        let widest = |marks: &BTreeSet<Length>| {
            let mut last = low;
            let mut widest = Length::ZERO;
            for &mark in marks.iter().chain([&high]) {
                widest = widest.max(mark - last);
                last = mark;
            }
            widest
        };
        widest(&self.starts).max(widest(&self.ends))
    }

    /// Halves all ranges.
    pub fn halve_all(&mut self, low: Length, high: Length) {
        for marks in [&mut self.starts, &mut self.ends] {
            let all: Vec<Length> =
                std::iter::once(low).chain(marks.iter().copied()).chain([high]).collect();
            marks.extend(all.windows(2).map(|w| middle(w[0], w[1])));
        }
    }
}

pub(super) fn middle(a: Length, b: Length) -> Length {
    Length::from_units(a.units() + (b - a).units() / 2)
}

#[cfg(test)]
mod tests {
    use super::{Places, Range};
    use crate::length::Length;
    use crate::lumber::Bend;
    use proptest::prelude::*;

    fn inch(n: i64) -> Length {
        Length::INCH * n
    }

    #[test]
    fn a_section_reaches_to_the_next_marks() {
        let marks = Places::parted(inch(0), inch(80), 8);
        let reach = |from, to| marks.reach((inch(from), inch(to)), inch(80), inch(12));
        assert_eq!(reach(3, 45), (inch(10), inch(50)));
        assert_eq!(reach(10, 50), (inch(20), inch(60)));
        // No section ends beyond the board, or begins too late for the shortest.
        assert_eq!(reach(3, 77), (inch(10), inch(80)));
        assert_eq!(reach(64, 77), (inch(68), inch(80)));
        let places = Places { ranges: false, ..marks.clone() };
        assert_eq!(places.reach((inch(3), inch(45)), inch(80), inch(12)), (inch(3), inch(45)));
        assert_eq!(marks.widest(inch(0), inch(80)), inch(10));
        let mut finer = marks;
        finer.halve_all(inch(0), inch(80));
        assert_eq!(finer.widest(inch(0), inch(80)), inch(5));
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2_000, ..ProptestConfig::default() })]

        /// In eighths of an inch, against every section of the range.
        #[test]
        fn what_is_blocked_by_a_range_is_blocked_by_each_of_its_sections(
            x0 in 0..40_i64, more0 in 0..16_i64, long in 30..60_i64, more1 in 0..16_i64,
            from in -10..120_i64, reach in 1..60_i64, crook in -9..=9_i64,
        ) {
            prop_assume!(crook != 0);
            let eighth = |n: i64| Length::inch_fraction(n, 8);
            let bend = Bend { gap: eighth(crook), over: eighth(140) };
            let (x1, zone) = (x0 + long, (from, from + reach));
            let range = Range {
                first: (eighth(x0), eighth(x1)),
                last: (eighth(x0 + more0), eighth(x1 + more1)),
                shortest: eighth(1),
            };
            let all = range.lifts(bend, (eighth(zone.0), eighth(zone.1)));
            let width = range.across(bend, eighth(0), eighth(50));
            let of = |l: Length| l.units() as f64 / eighth(1).units() as f64;
            for a in x0..=x0 + more0 {
                for e in x1..=x1 + more1 {
                    if a >= e {
                        continue;
                    }
                    // What lining loses, and how far the line midway lies off the chord.
                    let loss = (crook.abs() * (e - a).pow(2)) as f64 / (140.0 * 140.0);
                    let off = loss * crook.signum() as f64;
                    let (near, far) = if crook > 0 { (loss, 50.0) } else { (0.0, 50.0 - loss) };
                    prop_assert!(of(width.0) <= near - off + 1e-6);
                    prop_assert!(of(width.1) >= far - off - 1e-6);
                    let (f, t) = (zone.0.max(a), zone.1.min(e));
                    if f >= t {
                        continue;
                    }
                    // The zone's own lifts, from a curve in steps of an eighth and its summit.
                    let at = |x: f64| {
                        let (a, e) = (a as f64, e as f64);
                        4.0 * crook as f64 / (140.0 * 140.0) * (x - a) * (e - x) - off
                    };
                    let mut lifts: Vec<f64> = (f..=t).map(|x| at(x as f64)).collect();
                    let middle = (a + e) as f64 / 2.0;
                    if f as f64 <= middle && middle <= t as f64 {
                        lifts.push(at(middle));
                    }
                    let least = lifts.iter().copied().fold(f64::INFINITY, f64::min);
                    let greatest = lifts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                    let (near, far) = all.expect("the zone lies in a section of the range");
                    prop_assert!(of(near) >= least - 1e-6, "{} {least}", of(near));
                    prop_assert!(of(far) <= greatest + 1e-6, "{} {greatest}", of(far));
                }
            }
        }
    }
}
