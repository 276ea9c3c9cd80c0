//! A cutting plan: what is cut from which board, and what is proved of it (MODEL 9).

use crate::length::Length;
use crate::lumber::{Board, Price};
use std::fmt;

/// A plan as planning makes it or a file states it; nothing about it is checked yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// What the boards opened come to.
    pub cost: Cost,
    /// What is proved of that cost.
    pub proof: Proof,
    /// What is proved of the number of paddles, where as many as possible were asked for.
    pub most: Option<Most>,
    /// Paddles made of each kind, in the order of the job.
    pub paddles: Vec<u32>,
    /// The boards opened.
    pub boards: Vec<CutBoard>,
    /// The strips in hand that go in.
    pub in_hand: Vec<InHand>,
}

/// A strip in hand that a plan makes use of (MODEL 10).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InHand {
    /// Its place in the job's list of strips in hand, from 0.
    pub strip: usize,
    /// The kind of paddle it is for: an index into the job's paddles.
    pub paddle: usize,
    /// The lamination it is for: an index into that paddle's laminations.
    pub lamination: usize,
    /// The other strip in hand of its flipped pair.
    pub flipped_with: Option<String>,
}

/// How cost is measured in a job (MODEL 7).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Prices, where every board has one.
    Price,
    /// Wood volume of the boards opened, in board feet by actual size.
    BoardFeet,
}

/// A cost, exact: ten-thousandths of money, or cubed units of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cost {
    /// The measure.
    pub measure: Measure,
    /// Ten-thousandths of money, or cubed units of length.
    pub parts: i128,
}

/// What is proved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// No plan costs less.
    Optimal,
    /// No plan costs less than this; parts as in [`Cost`].
    AtLeast(i128),
}

/// What is proved of the number of paddles, where as many as possible were asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Most {
    /// Paddles that the plan makes, of all kinds together.
    pub made: u32,
    /// No plan makes more than this; equal to `made` where that is the most.
    pub at_most: u32,
}

/// A board that is opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutBoard {
    /// Its place in the list of boards, from 0.
    pub board: usize,
    /// Which of the equal copies of that board, from 1.
    pub copy: u32,
    /// Sections from the marked end on.
    pub sections: Vec<Section>,
}

/// A full-width piece between two crosscuts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// From the marked end.
    pub from: Length,
    /// From the marked end.
    pub to: Length,
    /// What was done about crook.
    pub edge: Edge,
    /// What was done about bow.
    pub face: Face,
    /// Rips from the reference edge on.
    pub rips: Vec<Rip>,
}

/// What is done about a section's crook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Rips follow the board's curve.
    Kept,
    /// The edge is straightened; coordinates are from the chord of the near edge.
    Lined,
}

/// What is done about a section's bow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Face {
    /// Strips keep the bow.
    Kept,
    /// The section is planed flat and loses thickness.
    Flattened,
}

/// A rip over the whole length of its section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rip {
    /// Side nearer to the reference edge.
    pub near: Length,
    /// Side farther from the reference edge.
    pub far: Length,
    /// Strips are laid on their side: rip width is the blank's depth.
    pub turned: bool,
    /// Leaves from the marked face down.
    pub leaves: Vec<Leaf>,
}

impl Rip {
    /// Thickness and depth of the strips of one of its leaves, as strips lie in a blank.
    pub fn strip_size(&self, leaf: &Leaf) -> (Length, Length) {
        let across = self.far - self.near;
        if self.turned { (leaf.thickness, across) } else { (across, leaf.thickness) }
    }
}

/// A slice of a rip's thickness.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leaf {
    /// Through the board's thickness.
    pub thickness: Length,
    /// Strips from the marked end on.
    pub strips: Vec<Strip>,
}

/// One strip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// The name to write on the wood.
    pub id: String,
    /// The kind of paddle it is for: an index into the job's paddles.
    pub paddle: usize,
    /// The lamination it is for: an index into that paddle's laminations.
    pub lamination: usize,
    /// From the marked end.
    pub from: Length,
    /// From the marked end.
    pub to: Length,
    /// The other strip of its flipped pair.
    pub flipped_with: Option<String>,
}

impl Measure {
    /// Prices if every board that is not an offcut has one, else volume.
    pub fn of(boards: &[Board]) -> Measure {
        let priced = |b: &Board| b.offcut || b.price.is_some();
        if boards.iter().any(|b| b.price.is_some()) && boards.iter().all(priced) {
            Measure::Price
        } else {
            Measure::BoardFeet
        }
    }

    /// What opening this board costs, in parts: nothing for an offcut, which is paid for.
    pub fn parts(self, board: &Board) -> i128 {
        match self {
            _ if board.offcut => 0,
            Measure::Price => i128::from(board.price.unwrap_or_default().parts()),
            Measure::BoardFeet => board.volume(),
        }
    }

    /// The name in plan JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Measure::Price => "price",
            Measure::BoardFeet => "board feet",
        }
    }

    /// How many parts make one: a unit of money, or 144 cubic inches.
    pub const fn one(self) -> i128 {
        match self {
            Measure::Price => Price::SCALE as i128,
            Measure::BoardFeet => {
                let inch = Length::INCH.units() as i128;
                144 * inch * inch * inch
            }
        }
    }
}

impl Cost {
    /// As a decimal, for JSON, tables and figures; never for a comparison.
    #[allow(clippy::cast_precision_loss)]
    pub fn value(self) -> f64 {
        // Two steps keep the digits of volumes beyond 2^53 parts.
        let one = self.measure.one();
        (self.parts / one) as f64 + (self.parts % one) as f64 / one as f64
    }
}

impl fmt::Display for Cost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.measure {
            Measure::Price => {
                let parts = i64::try_from(self.parts).unwrap_or(i64::MAX);
                write!(f, "{}", Price::from_parts(parts))
            }
            Measure::BoardFeet => write!(f, "{:.2} board feet", self.value()),
        }
    }
}

impl Proof {
    /// How far the cost may lie above the least, as a share of the cost; 0 when optimal.
    #[allow(clippy::cast_precision_loss)]
    pub fn gap(self, cost: Cost) -> f64 {
        match self {
            Proof::Optimal => 0.0,
            Proof::AtLeast(_) if self.least(cost) => 0.0,
            Proof::AtLeast(_) => (cost.parts - self.bound(cost)) as f64 / cost.parts as f64,
        }
    }

    /// The proved lower bound, in parts; never below 0, since no board costs less than nothing.
    pub fn bound(self, cost: Cost) -> i128 {
        match self {
            Proof::Optimal => cost.parts,
            Proof::AtLeast(bound) => bound.max(0),
        }
    }

    /// Is it proved that no plan costs less?
    pub fn least(self, cost: Cost) -> bool {
        self.bound(cost) >= cost.parts
    }
}

impl Section {
    /// Do its rips follow a curve? They do on a crooked board whose edge is kept.
    pub fn follows(&self, board: &Board) -> bool {
        self.edge == Edge::Kept && board.crook != Length::ZERO
    }
}

impl Plan {
    /// Every strip with the board, section and rip it comes from.
    pub fn strips(&self) -> impl Iterator<Item = (&CutBoard, &Section, &Rip, &Leaf, &Strip)> {
        self.boards.iter().flat_map(|b| {
            b.sections.iter().flat_map(move |s| {
                s.rips.iter().flat_map(move |r| {
                    r.leaves
                        .iter()
                        .flat_map(move |l| l.strips.iter().map(move |strip| (b, s, r, l, strip)))
                })
            })
        })
    }
}
