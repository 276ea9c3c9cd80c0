//! Strips that a plan has cut, as they are expected to measure (MODEL 8, 10, 11).

use crate::glue::signs::OwnBend;
use crate::length::{Length, Units};
use crate::lumber::{Angle, Bend, Board, End, Grain, StripInHand, Zone};
use crate::paddle::{Job, Shop};
use crate::plan::{Edge, Leaf, Rip, Section, Strip};
use crate::shop::left::bend_step;
use crate::text::plain;

/// A strip with what it was cut from.
#[derive(Clone, Copy)]
pub struct Cut<'a> {
    /// The board.
    pub board: &'a Board,
    /// The section.
    pub section: &'a Section,
    /// The rip.
    pub rip: &'a Rip,
    /// The leaf.
    pub leaf: &'a Leaf,
    /// The strip.
    pub strip: &'a Strip,
}

impl Cut<'_> {
    /// The strip in hand, before it is measured: sizes as sawn, bends and grain as the board
    /// foretold them.
    ///
    /// It is for what it was cut for, so that planning again can do as the plan did. A `spare`
    /// serves whatever it fits, where that does no harm: strips in hand have no zones and no slope
    /// of grain, and one whose rings weren't measured is taken as good enough.
    pub fn in_hand(&self, job: &Job, spare: bool) -> StripInHand {
        let Cut { board, section, rip, leaf, strip } = *self;
        let length = strip.to - strip.from;
        let (thickness, depth) = rip.strip_size(leaf);
        let name = plain(&strip.id);
        let mut out = StripInHand::plain(&name, board.species.clone(), [length, thickness, depth]);
        let own = OwnBend::of(board, section, rip);
        let shop = &job.shop;
        let foretold = |gap, limits: &[Length]| {
            foretold(Bend { gap, over: own.over }, length, limits, job.units)
        };
        out.sidewise = foretold(own.sidewise, &[shop.pull]);
        out.depthwise = foretold(own.depthwise, &[shop.straight, shop.pair]);
        out.rises = match own.rise {
            1 => Some(End::B),
            -1 => Some(End::A),
            _ => None,
        };
        let paddle = job.paddles.get(strip.paddle);
        out.rings = self.rings(paddle.map_or(Angle::FLAT, |p| p.rings));
        if !(spare && self.harmless(job)) {
            out.paddle = paddle.map(|p| p.name.clone());
            let lamination = paddle.and_then(|p| p.laminations.get(strip.lamination));
            out.lamination = lamination.map(|l| l.name.clone());
        }
        out
    }

    /// Would it do in any lamination that it fits?
    fn harmless(&self, job: &Job) -> bool {
        let slope = self.board.runout;
        let steep = |limit| slope.is_some_and(|slope| slope.steeper_than(limit));
        self.board.grain.is_some()
            && !job.paddles.iter().filter_map(|p| p.runout).any(steep)
            && !self.board.zones.iter().any(|zone| self.touches(zone, &job.shop))
    }

    /// Does any of a zone or of its margin lie in it?
    fn touches(&self, zone: &Zone, shop: &Shop) -> bool {
        let margin = shop.margin(&zone.kind);
        let (from, to) = (zone.from - margin.along, zone.to + margin.along);
        let (inner, outer) = (from.max(self.section.from), to.min(self.section.to));
        if inner >= outer || self.strip.to <= from || to <= self.strip.from {
            return false;
        }
        let (low, high) = self.lifts(inner, outer);
        let (near, far) = (zone.near - margin.across + low, zone.far + margin.across + high);
        near < self.rip.far && self.rip.near < far
    }

    /// How far what lies along a stretch of the board is lifted in its section.
    fn lifts(&self, from: Length, to: Length) -> (Length, Length) {
        match self.section.edge {
            Edge::Kept => (Length::ZERO, Length::ZERO),
            Edge::Lined => self.board.crook().lifts(from, to, self.section.from, self.section.to),
        }
    }

    /// The least ring angle to the blade's face anywhere in it, at least what its paddle asks for,
    /// since it was found to have that.
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::float_arithmetic
    )]
    fn rings(&self, asked: Angle) -> Option<Angle> {
        let (across, depth) = match self.board.grain? {
            Grain::Rings(r) => return Some(if self.rip.turned { r.turned() } else { r }),
            Grain::Pith { across, depth } => (across, depth),
        };
        let (low, high) = self.lifts(self.strip.from, self.strip.to);
        let (near, far) = (across + low - self.rip.far, across + high - self.rip.near);
        let (above, below) = (Length::ZERO - depth, self.board.thickness - depth);
        let range = |a: Length, b: Length| {
            let (a, b) = (a.units() as f64, b.units() as f64);
            let inside = a <= 0.0 && b >= 0.0;
            (if inside { 0.0 } else { a.abs().min(b.abs()) }, a.abs().max(b.abs()))
        };
        let (beside, down) = (range(near, far), range(above, below));
        let angle = if self.rip.turned { down.0.atan2(beside.1) } else { beside.0.atan2(down.1) };
        // Tenths of a degree, and never more than there are.
        let tenths = ((angle.to_degrees() - 1e-6) * 10.0).floor().max(0.0) as i64;
        Angle::from_millionths(tenths * 100_000).map(|found| found.max(asked))
    }
}

/// A bend over a length, rounded away from nothing to what is written, but not beyond a limit that
/// it keeps.
fn foretold(bend: Bend, length: Length, limits: &[Length], units: Units) -> Length {
    let exact = bend.loss(length);
    let step = bend_step(units).units();
    let shown = Length::parse(&exact.show(units), units) == Ok(exact);
    let rounded =
        if shown { exact } else { Length::from_units(-(-exact.units()).div_euclid(step) * step) };
    let crossed = |limit: &&Length| bend.within(length, **limit) && rounded > **limit;
    let gap = limits.iter().filter(crossed).min().copied().unwrap_or(rounded);
    if bend.gap < Length::ZERO { -gap } else { gap }
}

#[cfg(test)]
mod tests {
    use super::foretold;
    use crate::length::{Length, Units};
    use crate::lumber::Bend;

    #[test]
    fn a_bend_that_keeps_a_limit_keeps_it_rounded() {
        let inch = Length::inch_fraction;
        let limit = inch(1, 16) + Length::from_units(3);
        for n in 1..400 {
            let bend = Bend { gap: Length::from_units(-n * 4001), over: inch(100, 1) };
            let length = inch(71, 1);
            let shown = foretold(bend, length, &[limit], Units::Inch);
            assert!(shown < Length::ZERO);
            assert!(shown.abs() >= bend.loss(length) - Length::from_units(1), "{n}");
            assert_eq!(bend.within(length, limit), shown.abs() <= limit, "{n}");
        }
    }
}
