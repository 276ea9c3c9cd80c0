//! What to look for at the rack: figures worked out from the job for clear boards of common sizes.

use crate::choose::most_count;
use crate::length::{Length, Units};
use crate::lumber::species::Trade;
use crate::lumber::{Angle, BENT, Board, Grain, Species, nominal};
use crate::paddle::{Job, Paddle};
use crate::plan::Most;
use crate::stop::Stop;
use crate::survey::alone::{only, until};
use rayon::prelude::*;

/// Nominal thicknesses of softwood looked at; hardwood is looked at by its quarters.
pub const THICK: [&str; 3] = ["1", "5/4", "2"];
/// Widths looked at, nominal ones of softwood, measured ones of hardwood.
pub const WIDE: [u32; 5] = [4, 6, 8, 10, 12];
/// Lengths looked at, in feet.
pub const LONG: [u32; 5] = [8, 10, 12, 14, 16];

/// Lengths looked at in a job in millimetres, in tenths of a metre.
const LONG_METRIC: [i64; 5] = [24, 30, 36, 42, 48];
/// Thicknesses of sawn softwood and hardwood looked at there, and widths of either: among the
/// preferred sizes of EN 1313-1 and EN 1313-2 (from memory).
const THICK_SOFT: [i64; 4] = [22, 25, 38, 50];
const THICK_HARD: [i64; 4] = [20, 27, 32, 40];
const WIDE_METRIC: [i64; 5] = [100, 125, 150, 175, 200];

/// The lengths of boards that are looked at, as they are sold where the job's units are used.
pub fn lengths(units: Units) -> [Length; 5] {
    match units {
        Units::Inch => LONG.map(|feet| Length::FOOT * i64::from(feet)),
        Units::Mm => LONG_METRIC.map(|tenths| Length::MM * (tenths * 100)),
    }
}

/// What a clear piece of one size gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeGives {
    /// Nominal size, as `5/4x6`; of hardwood quarters and measured inches, as `5/4, 6 in`; in a job
    /// in millimetres sawn thickness and width, as `25 x 150`.
    pub size: String,
    /// Paddles' worth of strips from flat grain and from vertical grain, by length: how many it
    /// gives, and no more than how many.
    pub counts: Vec<(Most, Most)>,
}

impl SizeGives {
    /// The thickness in its name: `5/4` of `5/4x6`.
    pub fn thickness(&self) -> &str {
        self.size.split(['x', ',']).next().unwrap_or_default().trim_end()
    }
}

/// A lamination as it must be found in a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunWanted {
    /// Which lamination.
    pub lamination: usize,
    /// Strips of it in one paddle.
    pub strips: u32,
    /// Shortest clear run.
    pub length: Length,
    /// Clear width and least thickness for a strip cut upright.
    pub upright: (Length, Length),
    /// Clear width and least thickness for a strip cut turned.
    pub turned: (Length, Length),
}

/// How much a whole board may bend at most for the paddle's longest strips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BendAllowed {
    /// Length of the board.
    pub length: Length,
    /// Bend across the depth with which strips may go in anywhere.
    pub free: Length,
    /// Bend across the depth that flipped pairs cancel.
    pub pairs: Length,
    /// Bend the other way that the clamps pull out.
    pub pull: Length,
}

/// What to look for, for one kind of paddle and one wood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// Index of the paddle.
    pub paddle: usize,
    /// The wood; `None` if any will do.
    pub species: Option<Species>,
    /// Hardwood or softwood, where its name tells; sizes go by it.
    pub trade: Option<Trade>,
    /// Laminations that may be of it.
    pub runs: Vec<RunWanted>,
    /// Clear pieces of common sizes.
    pub sizes: Vec<SizeGives>,
    /// Bends allowed at common lengths.
    pub bends: Vec<BendAllowed>,
}

/// Works out what to look for, for each kind of paddle and each wood that it names.
pub fn look(job: &Job) -> Vec<Look> {
    look_until(job, &Stop::default())
}

/// The same until it is stopped: sizes that were not worked out by then are said to give none or
/// more.
pub fn look_until(job: &Job, stop: &Stop) -> Vec<Look> {
    (0..job.paddles.len())
        .flat_map(|p| woods(&job.paddles[p]).into_iter().map(move |w| (p, w)))
        .map(|(p, wood)| look_at(job, p, wood, stop))
        .collect()
}

/// The woods that a paddle's laminations name, in their order; `None` where some take any.
fn woods(paddle: &Paddle) -> Vec<Option<Species>> {
    let mut woods: Vec<Option<Species>> = Vec::new();
    for lamination in &paddle.laminations {
        let named = lamination.species.iter().cloned().map(Some);
        let any = lamination.species.is_empty().then_some(None);
        for wood in named.chain(any) {
            let known = woods.iter().any(|w| match (w, &wood) {
                (Some(a), Some(b)) => a.matches(b),
                (None, None) => true,
                _ => false,
            });
            if !known {
                woods.push(wood);
            }
        }
    }
    woods
}

fn takes(paddle: &Paddle, lamination: usize, wood: Option<&Species>) -> bool {
    let named = &paddle.laminations[lamination].species;
    match wood {
        None => named.is_empty(),
        Some(wood) => named.is_empty() || named.iter().any(|s| s.matches(wood)),
    }
}

fn look_at(job: &Job, p: usize, species: Option<Species>, stop: &Stop) -> Look {
    let paddle = &job.paddles[p];
    let of: Vec<usize> =
        (0..paddle.laminations.len()).filter(|&l| takes(paddle, l, species.as_ref())).collect();
    let runs = of
        .iter()
        .map(|&l| {
            let lamination = &paddle.laminations[l];
            let thick = lamination.rough_thickness(job.shop.dress);
            let deep = paddle.rough_depth(&job.shop);
            RunWanted {
                lamination: l,
                strips: lamination.strips(),
                length: paddle.rough_length(lamination),
                upright: (thick, deep),
                turned: (deep, thick),
            }
        })
        .collect::<Vec<_>>();
    let mut part = only(job, p);
    part.paddles[0].laminations = of.iter().map(|&l| paddle.laminations[l].clone()).collect();
    let wood = species.clone().unwrap_or_else(|| Species::new("any wood"));
    let trade = species.as_ref().and_then(Species::trade);
    let sizes = common(trade, job.units)
        .into_par_iter()
        .map(|(size, [width, thickness])| {
            let counts = lengths(job.units)
                .iter()
                .map(|&length| {
                    let board = |angle| clear(&size, [length, width, thickness], angle, &wood);
                    let gives = |angle| worth(&part, &board(angle), stop);
                    (gives(Angle::FLAT), gives(Angle::VERTICAL))
                })
                .collect();
            SizeGives { size, counts }
        })
        .collect();
    let longest = runs.iter().map(|r| r.length).max().unwrap_or(Length::ZERO);
    let of = |length| bend_allowed(job, length, longest);
    let bends = lengths(job.units).into_iter().filter_map(of).collect();
    Look { paddle: p, species, trade, runs, sizes, bends }
}

/// Common sizes by the rule of their trade: name, width and thickness. Where the trade is not
/// known, those of softwood.
fn common(trade: Option<Trade>, units: Units) -> Vec<(String, [Length; 2])> {
    if units == Units::Mm {
        let thick = if trade == Some(Trade::Hardwood) { THICK_HARD } else { THICK_SOFT };
        let of = |t: i64, w: i64| (format!("{t} x {w}"), [w, t].map(|n| Length::MM * n));
        return thick.iter().flat_map(|&t| WIDE_METRIC.map(|w| of(t, w))).collect();
    }
    match trade {
        Some(Trade::Hardwood) => {
            let of = |quarters: &str, wide: u32| {
                let thick = nominal::surfaced(quarters).unwrap_or_default();
                (format!("{quarters}, {wide} in"), [Length::INCH * i64::from(wide), thick])
            };
            let quarters = nominal::QUARTERS.iter();
            quarters.flat_map(|q| WIDE.iter().map(move |&w| of(q.0, w))).collect()
        }
        _ => {
            let of = |thick: &str, wide: u32| {
                let size = format!("{thick}x{wide}");
                let (width, thickness) = nominal::actual(&size).unwrap_or_default();
                (size, [width, thickness])
            };
            THICK.iter().flat_map(|t| WIDE.iter().map(move |&w| of(t, w))).collect()
        }
    }
}

/// A clear board.
fn clear(size: &str, sizes: [Length; 3], rings: Angle, wood: &Species) -> Board {
    let grain = Some(Grain::Rings(rings));
    Board { grain, ..Board::plain(size, wood.clone(), sizes) }
}

/// Paddles' worth of a job's strips that a board gives.
fn worth(part: &Job, board: &Board, stop: &Stop) -> Most {
    most_count(part, std::slice::from_ref(board), &until(stop))
}

/// Bends of a board of this length that leave strips of this length usable: a strip has the
/// share (its length ÷ the board's)² of the board's bend. Rounded down to the tape's marks. Where
/// strips are short that comes to bends of boards that no one should carry home (34 in over 16 ft):
/// no more than 1 in 48 is ever said.
fn bend_allowed(job: &Job, length: Length, strip: Length) -> Option<BendAllowed> {
    if strip == Length::ZERO || strip > length - job.shop.board_end * 2 {
        return None;
    }
    let wide = |l: Length| i128::from(l.units());
    let of = |limit: Length| {
        let units = wide(limit) * wide(length).pow(2) / wide(strip).pow(2);
        let units = units.min(wide(length) / i128::from(BENT));
        let mark = wide(job.units.one()) / if job.units == Units::Inch { 16 } else { 1 };
        Length::from_units(i64::try_from(units / mark * mark).unwrap_or(0))
    };
    let shop = &job.shop;
    Some(BendAllowed { length, free: of(shop.straight), pairs: of(shop.pair), pull: of(shop.pull) })
}
