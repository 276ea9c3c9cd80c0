//! A board as it was measured.

use crate::length::Length;
use crate::lumber::{Bend, Grain, Slope, Species};
use std::fmt;

/// A board: its actual sizes, its grain and bends, and the zones marked on it.
///
/// Along the board is measured from its marked end, across it from the reference edge, and its
/// depth from the marked face.
///
/// Sizes are above 0, no bend is more than a quarter of the length, zones lie on the board, a board
/// with zones is one of its kind, and no two boards have one name. Reading a file sees to all of
/// that; of boards made in code [`check_boards`](crate::check_boards) tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// The name in boards.csv.
    pub name: String,
    /// The wood.
    pub species: Species,
    /// Along the grain.
    pub length: Length,
    /// Across the wide face.
    pub width: Length,
    /// Through the wide face.
    pub thickness: Length,
    /// How the growth rings lie, if it was measured.
    pub grain: Option<Grain>,
    /// Edgewise bend over the whole length: + reference edge hollow, - crowned.
    pub crook: Length,
    /// Facewise bend over the whole length: + marked face hollow.
    pub bow: Length,
    /// Slope of grain, if it was measured.
    pub runout: Option<Slope>,
    /// Which way the grain rises along the marked face, if it was read off.
    pub rise: Option<Rise>,
    /// What one such board costs.
    pub price: Option<Price>,
    /// How many such boards there are; more than one only without zones.
    pub quantity: u32,
    /// Its own allowance at the reference edge, instead of the shop's.
    pub edge: Option<Length>,
    /// Its own allowance at the far edge, instead of the shop's.
    pub far_edge: Option<Length>,
    /// Its own allowance at each end, instead of the shop's.
    pub board_end: Option<Length>,
    /// Already paid for: it costs nothing.
    pub offcut: bool,
    /// Its grade as it is written, if it has one; case and spare spaces don't tell grades apart.
    pub grade: Option<String>,
    /// What was marked on it.
    pub zones: Vec<Zone>,
}

impl Board {
    /// One straight board of these sizes (length, width, thickness) with nothing else measured.
    pub fn plain(name: &str, species: Species, [length, width, thickness]: [Length; 3]) -> Self {
        Board {
            name: name.to_owned(),
            species,
            length,
            width,
            thickness,
            grain: None,
            crook: Length::ZERO,
            bow: Length::ZERO,
            runout: None,
            rise: None,
            price: None,
            quantity: 1,
            edge: None,
            far_edge: None,
            board_end: None,
            offcut: false,
            grade: None,
            zones: Vec::new(),
        }
    }

    /// Length × width × thickness, in cubed units of length.
    pub fn volume(&self) -> i128 {
        [self.length, self.width, self.thickness].iter().map(|l| i128::from(l.units())).product()
    }

    /// Does it bend, edgewise or facewise?
    pub fn bent(&self) -> bool {
        self.crook != Length::ZERO || self.bow != Length::ZERO
    }

    /// The edgewise bend as a curve.
    pub fn crook(&self) -> Bend {
        Bend { gap: self.crook, over: self.length }
    }

    /// The facewise bend as a curve.
    pub fn bow(&self) -> Bend {
        Bend { gap: self.bow, over: self.length }
    }
}

/// Which way the grain comes up to the marked face, going from the marked end to the far end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rise {
    /// The grain rises towards the marked face on the way to the far end.
    Far,
    /// The grain rises towards the marked face on the way back to the marked end.
    Marked,
}

/// A stretch of board that some laminations may not contain. It goes through the thickness.
///
/// It lies on its board: 0 ≤ `from` ≤ `to` ≤ length, 0 ≤ `near` ≤ `far` ≤ width. A zone without
/// length or width counts where the shop keeps a margin around its kind ([`Margin`]); elsewhere an
/// empty zone is no zone.
///
/// [`Margin`]: crate::paddle::Margin
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Zone {
    /// What it is.
    pub kind: ZoneKind,
    /// Where it begins, from the marked end.
    pub from: Length,
    /// Where it ends, from the marked end.
    pub to: Length,
    /// Its side nearer to the reference edge.
    pub near: Length,
    /// Its side farther from the reference edge.
    pub far: Length,
}

/// The kind of a zone: `knot`, `sap`, or any word, in lower case.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ZoneKind(String);

impl ZoneKind {
    /// A kind from its spelling; case and spare spaces don't count.
    pub fn new(text: &str) -> Self {
        ZoneKind(text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase())
    }

    /// The word.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for ZoneKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A price in ten-thousandths of whatever money the file is in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Price(i64);

impl Price {
    /// Parts in one unit of money.
    pub const SCALE: i64 = 10_000;
    /// The greatest price that is read.
    pub const LIMIT: i64 = 1_000_000_000 * Self::SCALE;

    /// A price of so many ten-thousandths.
    pub const fn from_parts(parts: i64) -> Self {
        Price(parts)
    }

    /// The number of ten-thousandths.
    pub const fn parts(self) -> i64 {
        self.0
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / Self::SCALE, (self.0 % Self::SCALE).abs());
        let digits = format!("{part:04}");
        let trimmed = digits.trim_end_matches('0');
        write!(f, "{whole}.{trimmed:0<2}")
    }
}
