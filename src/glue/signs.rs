//! Which way a strip bends and its grain rises, from the board through every cut and turn.
//!
//! The blank lies on the bench with its upper face up, end A near you and end B away from you.
//! Left and right are as you stand at A. A bend is the gap of a parabola over a length:
//!
//! | + means | of a board | of a strip |
//! |---|---|---|
//! | sidewise | crook: reference edge hollow | the middle stands off to the right |
//! | depthwise | bow: marked face hollow | the upper face is hollow |
//! | rise | grain comes up to the marked face towards the far end | grain comes up to the upper face towards B |
//!
//! A strip lies *as it lies* with its marked end at A and its name up. The name of an upright
//! strip is on its marked face; that of a turned strip is on the edge that was the rip's side
//! towards the reference edge. The reference edge is on your left when you stand at the board's
//! marked end with the marked face up. So, as it lies:
//!
//! | cut | up | right | sidewise | depthwise | rise |
//! |---|---|---|---|---|---|
//! | upright | marked face | away from the reference edge | + crook | + bow | as the board's |
//! | turned (a quarter turn that brings the reference edge up) | reference edge | marked face | − bow | + crook | not known: the board's rise now lies across the blank |
//!
//! An edge that was straight-lined counts as crook 0, a face that was flattened as bow 0. The four
//! placings are half turns of the strip, see [`Placing::signs`].

use crate::length::Length;
use crate::lumber::Board;
use crate::lumber::board::Rise;
use crate::plan::{Edge, Face, Rip, Section};

/// How a strip is laid into the blank: one of the four ways that keep it along the blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Placing {
    /// Name up, marked end at A.
    AsItLies,
    /// A half turn about its long axis: name down, marked end at A.
    Rolled,
    /// End for end about the depth axis: name up, marked end at B.
    Spun,
    /// End for end about the lamination axis: name down, marked end at B.
    Tumbled,
}

impl Placing {
    /// All four.
    pub const ALL: [Placing; 4] =
        [Placing::AsItLies, Placing::Rolled, Placing::Spun, Placing::Tumbled];

    /// The signs of sidewise bend, depthwise bend and rise of grain against those as it lies.
    /// A half turn reverses two of the three axes: along, across, up. Sidewise bend goes with
    /// across, depthwise bend with up, and rise with both along and up.
    pub const fn signs(self) -> (i8, i8, i8) {
        match self {
            Placing::AsItLies => (1, 1, 1),
            Placing::Rolled => (-1, -1, -1),
            Placing::Spun => (-1, 1, -1),
            Placing::Tumbled => (1, -1, 1),
        }
    }

    /// The placing whose depthwise and sidewise signs are these. Rise goes with sidewise.
    pub const fn with(depthwise_kept: bool, sidewise_kept: bool) -> Placing {
        match (depthwise_kept, sidewise_kept) {
            (true, true) => Placing::AsItLies,
            (false, false) => Placing::Rolled,
            (true, false) => Placing::Spun,
            (false, true) => Placing::Tumbled,
        }
    }

    /// Is the strip's name on the upper face?
    pub const fn name_up(self) -> bool {
        matches!(self, Placing::AsItLies | Placing::Spun)
    }

    /// Is the strip's marked end at end A?
    pub const fn marked_end_at_a(self) -> bool {
        matches!(self, Placing::AsItLies | Placing::Rolled)
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Placing::AsItLies => "as it lies",
            Placing::Rolled => "rolled",
            Placing::Spun => "spun",
            Placing::Tumbled => "tumbled",
        }
    }

    /// How to lay it, in the words of the strip's label.
    pub const fn how(self) -> &'static str {
        match self {
            Placing::AsItLies => "name up, arrow to A",
            Placing::Rolled => "name down, arrow to A",
            Placing::Spun => "name up, arrow to B",
            Placing::Tumbled => "name down, arrow to B",
        }
    }
}

/// A strip's own bends, as it lies: gaps over its board's length, with their signs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnBend {
    /// + when the middle stands off to the right.
    pub sidewise: Length,
    /// + when the upper face is hollow.
    pub depthwise: Length,
    /// The length that both gaps were measured over.
    pub over: Length,
    /// +1 when the grain comes up to the upper face towards B, -1 towards A, 0 when not known.
    pub rise: i8,
}

impl OwnBend {
    /// The bends of a strip cut from a rip of a section of a board.
    pub fn of(board: &Board, section: &Section, rip: &Rip) -> Self {
        let crook = if section.edge == Edge::Kept { board.crook } else { Length::ZERO };
        let bow = if section.face == Face::Kept { board.bow } else { Length::ZERO };
        let rise = match board.rise {
            Some(Rise::Far) => 1,
            Some(Rise::Marked) => -1,
            None => 0,
        };
        let over = board.length;
        if rip.turned {
            OwnBend { sidewise: -bow, depthwise: crook, over, rise: 0 }
        } else {
            OwnBend { sidewise: crook, depthwise: bow, over, rise }
        }
    }

    /// The same strip in another placing.
    #[must_use]
    pub fn placed(self, placing: Placing) -> Self {
        let (side, deep, rise) = placing.signs();
        OwnBend {
            sidewise: self.sidewise * i64::from(side),
            depthwise: self.depthwise * i64::from(deep),
            over: self.over,
            rise: self.rise * rise,
        }
    }

    /// Curvature of a gap over the board's length, in 1/m: 8·gap/over².
    pub fn curvature(self, gap: Length) -> f64 {
        if self.over <= Length::ZERO {
            return 0.0;
        }
        8.0 * gap.metres() / self.over.metres().powi(2)
    }
}

/// The steepest slope against the sawn line of fibres that follow a board's bends, in a strip from
/// `from` to `to` of a section that was straight-lined, flattened or both. The chord's gap is
/// 4c/L²·(x − x0)(x1 − x), so the slope is 4c/L²·|x0 + x1 − 2x|: at the ends of a whole board 4c/L.
/// The edge's and the face's lie across each other and combine as √(s₁² + s₂²) (ANC-19 §2.3022).
pub fn added_slope(board: &Board, section: &Section, [from, to]: [Length; 2]) -> f64 {
    let ends = (section.from + section.to).metres();
    let far = [from, to].map(|x| (ends - 2.0 * x.metres()).abs());
    let far = far[0].max(far[1]);
    let of = |gap: Length, gone: bool| {
        let over = board.length.metres();
        if gone && over > 0.0 { 4.0 * gap.metres().abs() / over.powi(2) * far } else { 0.0 }
    };
    let edge = of(board.crook, section.edge == Edge::Lined);
    edge.hypot(of(board.bow, section.face == Face::Flattened))
}

#[cfg(test)]
mod tests {
    use super::{OwnBend, Placing};
    use crate::length::Length;

    #[test]
    fn placings_are_half_turns() {
        // Two half turns about different axes make the third; any one twice is none at all.
        let mul = |a: (i8, i8, i8), b: (i8, i8, i8)| (a.0 * b.0, a.1 * b.1, a.2 * b.2);
        let [lies, rolled, spun, tumbled] = Placing::ALL.map(Placing::signs);
        assert_eq!(mul(rolled, spun), tumbled);
        assert_eq!(mul(rolled, rolled), lies);
        for p in Placing::ALL {
            let (side, deep, rise) = p.signs();
            assert_eq!(Placing::with(deep > 0, side > 0), p);
            assert_eq!(side, rise, "{p:?}");
        }
    }

    /// The signs worked out anew with a curve and a fibre turned in space, not with the table.
    #[test]
    fn signs_agree_with_turning_a_curve_in_space() {
        let turn = |p: Placing, [x, y, z]: [f64; 3]| match p {
            Placing::AsItLies => [x, y, z],
            Placing::Rolled => [x, -y, -z],
            Placing::Spun => [-x, -y, z],
            Placing::Tumbled => [-x, y, -z],
        };
        let inch = Length::INCH;
        let own = OwnBend { sidewise: inch, depthwise: inch * 2, over: inch * 96, rise: 1 };
        for p in Placing::ALL {
            // Right is +y, up is +z; a hollow upper face has its middle below its ends.
            let ends = [[-48.0, 0.0, 0.0], [48.0, 0.0, 0.0]].map(|e| turn(p, e));
            let middle = turn(p, [0.0, 1.0, -2.0]);
            assert!(ends.iter().all(|e| e[1].abs() < 1e-9 && e[2].abs() < 1e-9));
            let placed = own.placed(p);
            assert!((placed.sidewise.to_f64(Default::default()) - middle[1]).abs() < 1e-9);
            assert!((placed.depthwise.to_f64(Default::default()) + middle[2]).abs() < 1e-9);
            let fibre = turn(p, [1.0, 0.0, 1.0]);
            assert_eq!(f64::from(placed.rise).is_sign_positive(), fibre[2] / fibre[0] > 0.0);
        }
    }
}
