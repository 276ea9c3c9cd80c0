//! A strip in its place in the blank.

use crate::glue::forecast::Member;
use crate::glue::signs::{OwnBend, Placing};
use crate::length::Length;
use crate::lumber::Species;

/// Left or right of the centreline, as seen from end A with the upper face up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Left of the centreline.
    Left,
    /// On it.
    Centre,
    /// Right of it.
    Right,
}

/// How far along the blank a strip runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reach {
    /// The blade at end A.
    BladeA,
    /// Loom and both blades.
    Through,
    /// The blade at end B.
    BladeB,
}

/// One strip in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// The strip's name in the plan.
    pub strip: String,
    /// Its board, as an index into the list of boards; `None` for a strip in hand.
    pub board: Option<usize>,
    /// Which copy of that board, from 1.
    pub copy: u32,
    /// Was it turned on its side at the saw?
    pub turned: bool,
    /// Its lamination, as an index into the paddle's.
    pub lamination: usize,
    /// The lamination's name.
    pub lamination_name: String,
    /// The wood.
    pub species: Species,
    /// Its density in kg/m³, if it was weighed.
    pub density: Option<f64>,
    /// Side of the centreline.
    pub side: Side,
    /// How far it runs.
    pub reach: Reach,
    /// How it lies.
    pub placing: Placing,
    /// Left edge across the dressed blank, from the centreline (negative on the left).
    pub left: Length,
    /// Right edge, likewise.
    pub right: Length,
    /// Rough length.
    pub length: Length,
    /// Rough depth.
    pub depth: Length,
    /// Own bends and rise as it lies, before placing.
    pub own: OwnBend,
    /// Own sidewise bend over its length in metres, as placed: + middle to the right.
    pub sidewise: f64,
    /// Own depthwise bend over its length in metres, as placed: + upper face hollow.
    pub depthwise: f64,
    /// +1 grain comes up to the upper face towards B, -1 towards A, 0 not known; as placed.
    pub rise: i8,
    /// Steepest slope that straight-lining and flattening gave the grain in it.
    pub added_slope: f64,
    /// The other strip of its flipped pair.
    pub flipped_with: Option<String>,
}

impl Laid {
    /// Dressed thickness.
    pub fn thickness(&self) -> Length {
        self.right - self.left
    }

    /// This strip as the mechanics see it, with this modulus (any unit), in another placing.
    pub fn member(&self, placing: Placing, modulus: f64) -> Member {
        let own = self.own.placed(placing);
        Member {
            left: self.left.metres(),
            right: self.right.metres(),
            depth: self.depth.metres(),
            modulus,
            sidewise: own.curvature(own.sidewise),
            depthwise: own.curvature(own.depthwise),
        }
    }
}
