//! A strip that is cut already, as it was measured (MODEL 10).

use crate::length::Length;
use crate::lumber::weight::Weight;
use crate::lumber::{Angle, Bend, Species};

/// A strip in hand: one that an earlier job left on the rack, or that has come off the saw, as it
/// is now.
///
/// Sizes are above 0, no bend is more than a quarter of the length, and no two strips have one
/// name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StripInHand {
    /// Its name, as written on the wood.
    pub name: String,
    /// The wood.
    pub species: Species,
    /// Along the grain.
    pub length: Length,
    /// In the lamination's direction, across the blank.
    pub thickness: Length,
    /// Through the blank.
    pub depth: Length,
    /// The ring angle to the blade's face; `None` is taken as steep enough.
    pub rings: Option<Angle>,
    /// Sidewise bend over its length, name up and arrow to A: + middle to the right.
    pub sidewise: Length,
    /// Depthwise bend over its length, likewise: + upper face hollow.
    pub depthwise: Length,
    /// Which end the grain comes up to the upper face towards, if it was read off.
    pub rises: Option<End>,
    /// What it weighs, if it was weighed.
    pub weight: Option<Weight>,
    /// The paddle that it was cut for: it serves only that.
    pub paddle: Option<String>,
    /// The lamination that it was cut for: it serves only laminations of that name.
    pub lamination: Option<String>,
}

/// An end of a strip: its arrow points from B to A.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum End {
    /// The end that the arrow points to.
    A,
    /// The other.
    B,
}

impl End {
    /// `A` or `B`.
    pub const fn word(self) -> &'static str {
        match self {
            End::A => "A",
            End::B => "B",
        }
    }
}

impl StripInHand {
    /// A straight strip of these sizes (length, thickness, depth) of which nothing else is known.
    pub fn plain(name: &str, species: Species, [length, thickness, depth]: [Length; 3]) -> Self {
        StripInHand {
            name: name.to_owned(),
            species,
            length,
            thickness,
            depth,
            rings: None,
            sidewise: Length::ZERO,
            depthwise: Length::ZERO,
            rises: None,
            weight: None,
            paddle: None,
            lamination: None,
        }
    }

    /// The sidewise bend as a curve.
    pub fn side(&self) -> Bend {
        Bend { gap: self.sidewise, over: self.length }
    }

    /// The depthwise bend as a curve.
    pub fn deep(&self) -> Bend {
        Bend { gap: self.depthwise, over: self.length }
    }
}
