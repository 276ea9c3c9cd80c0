//! What is left of a job whose boards are cut, all or some (MODEL 11): offcuts worth keeping as
//! boards of their own.
//!
//! An offcut is measured as its board was: from the end, the edge and the face that lay towards
//! the board's marked end, reference edge and marked face. Whatever is not known for certain is
//! written so that an offcut promises less than it holds, never more: bends are rounded up, zones
//! outwards, and where planing leaves the depth of the pith open, it is written where the grain is
//! judged the worse.

use crate::length::{Length, Units};
use crate::lumber::{Bend, Board, Grain, Zone, ZoneKind};
use crate::paddle::Job;
use crate::plan::{Edge, Face};
use crate::shop::below::below;
use crate::shop::layout::Layout;
use crate::shop::offcuts::{Keep, Place};
use crate::shop::part::Part;
use crate::verify::VerifiedPlan;

/// An offcut as a board, and where it lay.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offcut {
    /// The offcut as it is measured now.
    pub board: Board,
    /// The board that it comes from, by its place in the plan.
    pub index: usize,
    /// The section that it comes from, by its place in the plan's board; `None` where it has the
    /// board's whole width.
    pub section: Option<usize>,
    /// Where it began, from the board's marked end.
    pub from: Length,
    /// Where its side towards the reference edge lay, as the section's coordinates are.
    pub near: Length,
    /// How far its face towards the marked face lay below that face of the section, once planed.
    pub top: Length,
}

/// The zone that keeps clear of the end of a board on an offcut whose other end is sawn, since a
/// board has one allowance for both.
pub const BOARD_END: &str = "board end";

/// The offcuts worth keeping of the boards that are cut, by their places in the plan, in the order
/// of the plan.
pub fn offcuts(
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
    is_cut: impl Fn(usize) -> bool,
) -> Vec<Offcut> {
    let layouts = Layout::all(plan, job, boards);
    let cut = layouts.iter().filter(|layout| is_cut(layout.index));
    cut.flat_map(|layout| layout.keeps.iter().map(|keep| Piece { layout, keep }.offcut())).collect()
}

/// An offcut in the board that it comes from.
struct Piece<'a> {
    layout: &'a Layout<'a>,
    keep: &'a Keep,
}

impl Piece<'_> {
    fn offcut(&self) -> Offcut {
        let (from, whole) = (self.layout.board, self.keep.place == Place::Along);
        let (length, width) = (self.keep.to - self.keep.from, self.width());
        let mut board =
            Board::plain(&self.keep.name, from.species.clone(), [length, width, self.thickness()]);
        board.offcut = true;
        (board.runout, board.rise) = (from.runout, from.rise);
        board.crook = if self.lined() { Length::ZERO } else { self.bent(from.crook) };
        board.bow = if self.flattened() { Length::ZERO } else { self.bent(from.bow) };
        board.grain = from.grain.map(|grain| self.grain(grain));
        let sawn = Some(Length::ZERO);
        (board.edge, board.far_edge) = match self.keep.place {
            Place::Along => (from.edge, from.far_edge),
            Place::Beside(_) => (
                if self.own_edge() { from.edge } else { sawn },
                if self.own_far_edge() { from.far_edge } else { sawn },
            ),
            Place::Stick(..) | Place::Below(..) => (sawn, sawn),
        };
        let ends = self.own_ends();
        board.board_end = if ends == (true, true) { from.board_end } else { sawn };
        board.zones = from.zones.iter().filter_map(|z| self.zone(z, &board)).collect();
        if whole {
            board.zones.extend(self.board_end(ends, &board));
        }
        Offcut {
            index: self.layout.index,
            section: self.keep.place.section(),
            from: self.keep.from,
            near: self.keep.near,
            top: self.top(),
            board,
        }
    }

    fn units(&self) -> Units {
        self.layout.units()
    }

    fn job(&self) -> &Job {
        self.layout.job
    }

    fn part(&self) -> Option<&Part<'_>> {
        self.keep.place.section().and_then(|s| self.layout.sections.get(s))
    }

    /// Is it straight where its board was crooked?
    fn lined(&self) -> bool {
        let crooked = self.layout.board.crook != Length::ZERO;
        crooked && self.part().is_some_and(|p| p.section.edge == Edge::Lined)
    }

    /// Is it flat where its board was bowed?
    fn flattened(&self) -> bool {
        let bowed = self.layout.board.bow != Length::ZERO;
        bowed && self.part().is_some_and(|p| p.section.face == Face::Flattened)
    }

    /// Across. What straightening takes is seldom a length that can be marked, so what stays
    /// beside it is rounded down.
    fn width(&self) -> Length {
        let width = self.keep.far - self.keep.near;
        if self.lined() && !self.keep.place.of_a_rip() { self.down(width) } else { width }
    }

    /// Through; what flattening takes, likewise.
    fn thickness(&self) -> Length {
        let whole = self.part().is_some_and(|p| self.keep.thickness == p.thickness);
        let rest = matches!(self.keep.place, Place::Below(..));
        if self.flattened() && (whole || rest) {
            self.down(self.keep.thickness)
        } else {
            self.keep.thickness
        }
    }

    /// The bend of a piece as long as the offcut, rounded away from nothing.
    fn bent(&self, gap: Length) -> Length {
        let over = self.layout.board.length;
        let length = self.keep.to - self.keep.from;
        if length == over {
            return gap;
        }
        let bend = self.up(Bend { gap, over }.loss(length), bend_step(self.units()));
        if gap < Length::ZERO { -bend } else { bend }
    }

    /// By how much more the offcut bends as it is written than it does.
    fn rounding(&self, crook: Length) -> Length {
        let (board, length) = (self.layout.board, self.keep.to - self.keep.from);
        if crook == Length::ZERO || length == board.length {
            return Length::ZERO;
        }
        let exact = Bend { gap: crook, over: length };
        // Whether the board's own bend comes to exactly that.
        let same = board.crook().within(length, crook.abs())
            && exact.within(board.length, board.crook.abs());
        if same {
            return Length::ZERO;
        }
        crook.abs() - board.crook().loss(length) + Length::from_units(1)
    }

    /// Does its near side still have the board's reference edge?
    fn own_edge(&self) -> bool {
        self.keep.near == Length::ZERO && !self.lined()
    }

    /// Does its far side still have the board's far edge?
    fn own_far_edge(&self) -> bool {
        self.part().is_none_or(|part| self.keep.far == part.limit)
    }

    /// Are its ends the board's own?
    fn own_ends(&self) -> (bool, bool) {
        (self.keep.from == Length::ZERO, self.keep.to == self.layout.board.length)
    }

    /// The board's own end, where the other is sawn.
    fn board_end(&self, ends: (bool, bool), board: &Board) -> Option<Zone> {
        let end = self.job().shop.at(self.layout.board).board_end.min(board.length);
        let (from, to) = match ends {
            (true, false) => (Length::ZERO, end),
            (false, true) => (board.length - end, board.length),
            _ => return None,
        };
        let kind = ZoneKind::new(BOARD_END);
        (from < to).then_some(Zone { kind, from, to, near: Length::ZERO, far: board.width })
    }

    /// How far below the upper face of its section, once planed, its own begins.
    fn top(&self) -> Length {
        let resaw = self.job().shop.resaw_kerf;
        let rip = |r: usize| self.part().and_then(|p| p.section.rips.get(r));
        match self.keep.place {
            Place::Along | Place::Beside(_) => Length::ZERO,
            Place::Stick(_, r, l) => rip(r).map_or(Length::ZERO, |rip| {
                let above = rip.leaves.iter().take(l);
                above.map(|leaf| leaf.thickness + resaw.unwrap_or_default()).sum()
            }),
            Place::Below(_, r) => {
                let found = self.part().zip(rip(r)).and_then(|(p, rip)| below(p, rip, resaw));
                found.map_or(Length::ZERO, |(top, _)| top)
            }
        }
    }

    /// The least and the greatest depth below the board's marked face at which its own may lie.
    fn depths(&self) -> (Length, Length) {
        let (top, board) = (self.top(), self.layout.board);
        let Some(part) = self.part().filter(|_| self.flattened()) else { return (top, top) };
        // A hollow marked face loses nothing midway and all that flattening takes at the ends; a
        // crowned one is planed parallel to the face below it, which is flattened first. What else
        // a section is too thick comes off that last face.
        let loss = board.thickness - part.thickness;
        let more = part.thickness - part.planed(self.job().shop.resaw_kerf);
        if board.bow > Length::ZERO { (top, top + loss) } else { (top + more, top + more + loss) }
    }

    /// The grain as it lies in the offcut.
    fn grain(&self, grain: Grain) -> Grain {
        let Grain::Pith { across, depth } = grain else { return grain };
        let (low, high) = self.depths();
        let depths = (depth - high, depth - low);
        let lifts = match self.part().filter(|_| self.lined()) {
            Some(Part { section, .. }) => {
                let (from, to) = (self.keep.from, self.keep.to);
                self.layout.board.crook().lifts(from, to, section.from, section.to)
            }
            None => (Length::ZERO, Length::ZERO),
        };
        let places = (across + lifts.0 - self.keep.near, across + lifts.1 - self.keep.near);
        let half = |l: Length| Length::from_units(l.units() / 2);
        let middle = (half(self.width()), half(self.thickness()));
        let nearest = |(low, high): (Length, Length), at: Length| at.max(low).min(high);
        let farthest = |(low, high): (Length, Length), at: Length| {
            if (at - low).abs() > (high - at).abs() { low } else { high }
        };
        // Steep rings are spoiled by a pith that is nearer across and farther down, flat ones by
        // one that is farther across and nearer.
        let steep = (nearest(places, middle.0) - middle.0).abs()
            >= (farthest(depths, middle.1) - middle.1).abs();
        let (across, depth) = if steep {
            (nearest(places, middle.0), farthest(depths, middle.1))
        } else {
            (farthest(places, middle.0), nearest(depths, middle.1))
        };
        Grain::Pith { across, depth }
    }

    /// A zone of the board as it lies in the offcut, if any of it or of its margin does.
    fn zone(&self, zone: &Zone, board: &Board) -> Option<Zone> {
        let margin = self.job().shop.margin(&zone.kind);
        let (mut near, mut far) = (zone.near, zone.far);
        if let Some(Part { section, .. }) = self.part().filter(|_| self.lined()) {
            // Lifted as far as any of it is, its margin too.
            let from = (zone.from - margin.along).max(section.from);
            let to = (zone.to + margin.along).min(section.to);
            if from > to {
                return None;
            }
            let crook = self.layout.board.crook();
            let (low, high) = crook.lifts(from, to, section.from, section.to);
            (near, far) = (near + low, far + high);
        }
        let (near, far) = (near - self.keep.near, far - self.keep.near);
        let pad = self.rounding(board.crook);
        let (near, far) = if pad > Length::ZERO || self.lined() {
            (self.down(near - pad), self.up(far + pad, Length::fine_step(self.units())))
        } else {
            (near, far)
        };
        let (from, to) = (zone.from - self.keep.from, zone.to - self.keep.from);
        let sliver = Length::fine_step(self.units());
        let (from, to) = within(from, to, board.length, margin.along, sliver)?;
        let (near, far) = within(near, far, board.width, margin.across, sliver)?;
        Some(Zone { kind: zone.kind.clone(), from, to, near, far })
    }

    /// Down to what can be marked, where the length isn't such already.
    fn down(&self, length: Length) -> Length {
        let step = Length::fine_step(self.units()).units();
        if Length::parse(&length.show(self.units()), self.units()) == Ok(length) {
            return length;
        }
        Length::from_units(length.units().div_euclid(step) * step)
    }

    fn up(&self, length: Length, step: Length) -> Length {
        if Length::parse(&length.show(self.units()), self.units()) == Ok(length) {
            return length;
        }
        Length::from_units(-(-length.units()).div_euclid(step.units()) * step.units())
    }
}

/// Steps of bends: 0.0005 in, or 0.01 mm.
pub(super) fn bend_step(units: Units) -> Length {
    match units {
        Units::Inch => Length::inch_fraction(1, 2000),
        Units::Mm => Length::from_units(Length::MM.units() / 100),
    }
}

/// The part of a stretch that lies within a size. Of one that lies beyond it, but whose margin
/// reaches into it, a sliver at that side: grown by its margin it covers all that the margin did.
/// A mark of no extent stays one.
fn within(
    low: Length,
    high: Length,
    size: Length,
    margin: Length,
    sliver: Length,
) -> Option<(Length, Length)> {
    let sliver = sliver.min(size);
    let (first, last) = (low.max(Length::ZERO), high.min(size));
    if first < last || (low == high && first == last && margin > Length::ZERO) {
        Some((first, last))
    } else if high <= Length::ZERO && high + margin > Length::ZERO {
        Some((Length::ZERO, sliver))
    } else if low >= size && low - margin < size {
        Some((size - sliver, size))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::within;
    use crate::length::Length;

    /// What a stretch keeps clear, grown by its margin, it keeps clear on the offcut too.
    #[test]
    fn a_margin_that_reaches_in_is_kept_clear() {
        let unit = Length::from_units;
        for (low, high) in [(-9, -3), (-4, 0), (-2, 5), (3, 8), (8, 30), (20, 24), (23, 40), (6, 6)]
        {
            for margin in [0, 2, 4, 9] {
                let found = within(unit(low), unit(high), unit(20), unit(margin), unit(1));
                let kept = |at: i64| {
                    found.is_some_and(|(a, b)| {
                        a.units() - margin < at + 1 && at < b.units() + margin && a <= b
                    })
                };
                for at in 0..20 {
                    let grown = low - margin < at + 1 && at < high + margin;
                    let nothing = low == high && margin == 0;
                    assert!(kept(at) || !grown || nothing, "{low} {high} {margin} {at}");
                }
                assert!(found.is_none_or(|(a, b)| a >= unit(0) && b <= unit(20)));
            }
        }
        assert_eq!(within(unit(-9), unit(-3), unit(20), unit(3), unit(1)), None);
        assert_eq!(within(unit(-9), unit(0), unit(20), unit(0), unit(1)), None);
    }
}
