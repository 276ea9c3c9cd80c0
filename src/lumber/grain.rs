//! Ring angle, pith and slope of grain (MODEL 5).

use crate::length::Length;
use std::fmt;

/// An angle of 0° to 90°, in millionths of a degree.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Angle(i64);

impl Angle {
    /// Flat grain.
    pub const FLAT: Angle = Angle(0);
    /// Rift, and the usual least angle of vertical grain.
    pub const RIFT: Angle = Angle(45_000_000);
    /// Vertical grain.
    pub const VERTICAL: Angle = Angle(90_000_000);

    /// An angle in degrees, to the nearest millionth, if it lies in 0° to 90°.
    ///
    /// ```
    /// use stripwright::Angle;
    /// assert_eq!(Angle::from_degrees(45.0), Some(Angle::RIFT));
    /// assert_eq!(Angle::from_degrees(90.1), None);
    /// assert_eq!(Angle::from_degrees(f64::NAN), None);
    /// ```
    #[allow(clippy::cast_possible_truncation, clippy::float_arithmetic)]
    pub fn from_degrees(degrees: f64) -> Option<Self> {
        // What is no number becomes 0 as a whole number, so it is asked for first.
        let inside = (0.0..=90.0).contains(&degrees);
        inside.then(|| Angle((degrees * 1e6).round() as i64))
    }

    /// An angle in millionths of a degree, if it lies in 0° to 90°.
    pub fn from_millionths(millionths: i64) -> Option<Self> {
        (0..=90_000_000).contains(&millionths).then_some(Angle(millionths))
    }

    /// In millionths of a degree.
    pub const fn millionths(self) -> i64 {
        self.0
    }

    /// In degrees, for drawings and tables.
    #[allow(clippy::cast_precision_loss)]
    pub fn degrees(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// What is left to 90°: the angle that the same rings make to the other face.
    #[must_use]
    pub const fn turned(self) -> Angle {
        Angle(90_000_000 - self.0)
    }

    /// The smallest and greatest whole numbers of units between which `tan(self)·reach` lies;
    /// the second is `None` at 90°. They differ by at most one, and are equal where it is whole.
    fn tan_times(self, reach: Length) -> (i128, Option<i128>) {
        let reach = i128::from(reach.units());
        match self {
            Angle::FLAT => (0, Some(0)),
            Angle::RIFT => (reach, Some(reach)),
            Angle::VERTICAL => (i128::MAX, None),
            _ => {
                let (low, high) = tangent::bounds(self.0);
                let one = 1_i128 << tangent::BITS;
                (reach * low / one, Some((reach * high + one - 1) / one))
            }
        }
    }
}

impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}°", self.degrees())
    }
}

/// How the growth rings lie in a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Grain {
    /// One angle to the wide face for the whole end.
    Rings(Angle),
    /// The pith lies `across` from the reference edge and `depth` down from the marked face.
    Pith {
        /// From the reference edge; may be off the board.
        across: Length,
        /// Down from the marked face; may be above it or below the board.
        depth: Length,
    },
}

impl Grain {
    /// Where, across the board, strips cut upright or turned meet the least ring angle `least`
    /// to the blade's face. `thickness` is the board's.
    pub fn serves(self, least: Angle, turned: bool, thickness: Length) -> Band {
        match self {
            Grain::Rings(r) => {
                let angle = if turned { r.turned() } else { r };
                if angle >= least { Band::Everywhere } else { Band::Nowhere }
            }
            Grain::Pith { across, depth } => {
                if least == Angle::FLAT {
                    return Band::Everywhere;
                }
                let below = thickness - depth;
                if turned {
                    let inside = depth >= Length::ZERO && below >= Length::ZERO;
                    let reach = if inside { Length::ZERO } else { depth.abs().min(below.abs()) };
                    let half = least.turned().tan_times(reach).0;
                    match i64::try_from(half) {
                        Ok(half) if half < Length::LIMIT.units() * 4 => {
                            let half = Length::from_units(half);
                            Band::Within(across - half, across + half)
                        }
                        _ => Band::Everywhere,
                    }
                } else {
                    let reach = depth.abs().max(below.abs());
                    match least.tan_times(reach).1.and_then(|half| i64::try_from(half).ok()) {
                        Some(half) if half < Length::LIMIT.units() * 4 => {
                            let half = Length::from_units(half);
                            Band::Outside(across - half, across + half)
                        }
                        _ => Band::Nowhere,
                    }
                }
            }
        }
    }
}

/// The part of a board's width that serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Band {
    /// All of it.
    Everywhere,
    /// None of it.
    Nowhere,
    /// From the first to the second distance from the reference edge.
    Within(Length, Length),
    /// All but what lies between the two distances from the reference edge.
    Outside(Length, Length),
}

/// A slope of grain: the fibres rise by `rise` over `run`. Both are above 0, and only their ratio
/// counts, so 1 in 20 is
///
/// ```
/// use stripwright::Slope;
/// let slope = Slope { rise: 1, run: 20 };
/// assert_eq!(slope.to_string(), "1:20");
/// assert!(slope.steeper_than(Slope { rise: 2, run: 50 }));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Slope {
    /// The rise, in whatever the run is in; files are read in millionths.
    pub rise: i64,
    /// The run, in whatever the rise is in.
    pub run: i64,
}

impl Slope {
    /// The steepest that the Wood Handbook still gives a strength for (FPL-GTR-190, Table 5-12):
    /// what is steeper is of no use for a paddle, or was not measured as rise to run.
    pub const STEEPEST: Slope = Slope { rise: 1, run: 5 };

    /// Is this slope steeper than the other? Exact.
    pub fn steeper_than(self, other: Slope) -> bool {
        i128::from(self.rise) * i128::from(other.run)
            > i128::from(other.rise) * i128::from(self.run)
    }

    /// The slope of a fibre that slopes so on the face and so on the edge: √(s₁² + s₂²).
    /// Boards.csv takes this one where both were measured.
    ///
    /// ```
    /// use stripwright::lumber::Slope;
    /// // ANC-19 table 2-11 gives 1:16-2/3 for 1:20 with 1:30.
    /// let (face, edge) = (Slope { rise: 1, run: 20 }, Slope { rise: 1, run: 30 });
    /// assert!((1.0 / face.combined(edge) - 16.64).abs() < 0.01);
    /// ```
    pub fn combined(self, other: Slope) -> f64 {
        self.ratio().hypot(other.ratio())
    }

    /// Rise over run, for the mechanics.
    #[allow(clippy::cast_precision_loss)]
    pub fn ratio(self) -> f64 {
        self.rise as f64 / self.run as f64
    }
}

impl fmt::Display for Slope {
    #[allow(clippy::cast_precision_loss)]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let run = self.run as f64 / self.rise as f64;
        let text = format!("{run:.2}");
        write!(f, "1:{}", text.trim_end_matches('0').trim_end_matches('.'))
    }
}

/// Tangents in fixed point, so that no float decides where a strip may lie.
mod tangent {
    /// Binary places of the bounds.
    pub(super) const BITS: u32 = 62;
    /// π/180/10⁶ (radians in a millionth of a degree) times 2^110, rounded down.
    const RADIANS: i128 = 22_655_668_980_597_745_002_315_953;

    /// Bounds of tan of an angle strictly between 0° and 90°, times 2^BITS.
    pub(super) fn bounds(millionths: i64) -> (i128, i128) {
        // Close to 90° the cosine is small; take the tangent there as 1/tan of the complement.
        if millionths > 45_000_000 {
            let (low, high) = bounds(90_000_000 - millionths);
            let square = (1_i128 << (2 * BITS)) - 1;
            return (square / high, square / low.max(1) + 2);
        }
        let angle = (RADIANS * i128::from(millionths)) >> (110 - BITS);
        let times = |a: i128, b: i128| (a * b) >> BITS;
        let square = times(angle, angle);
        // sin and cos by their series; terms fall below one part in 2^62 after twelve.
        let (mut sine, mut cosine) = (angle, 1_i128 << BITS);
        let (mut s, mut c) = (angle, 1_i128 << BITS);
        for n in 1..=12_i128 {
            c = -times(c, square) / ((2 * n - 1) * (2 * n));
            s = -times(s, square) / ((2 * n) * (2 * n + 1));
            sine += s;
            cosine += c;
        }
        // Every step above errs by at most a few parts in 2^62; 256 covers them all.
        const SLACK: i128 = 256;
        let low = ((sine - SLACK) << BITS) / (cosine + SLACK);
        let high = ((sine + SLACK) << BITS) / (cosine - SLACK) + 1;
        (low.max(0), high)
    }
}

#[cfg(test)]
mod tests {
    use super::{Angle, Band, Grain, tangent};
    use crate::length::Length;

    #[test]
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)]
    fn fixed_point_tangents_enclose_the_library_tangent() {
        for millionths in (1..90).map(|d| d * 1_000_000).chain([1, 30_500_000, 89_900_000]) {
            let (low, high) = tangent::bounds(millionths);
            assert!(low < high);
            let tan = (millionths as f64 / 1e6).to_radians().tan();
            let one = (1_i128 << tangent::BITS) as f64;
            assert!((low as f64 / one - tan).abs() <= tan * 1e-12 + 1e-15, "{millionths}");
            assert!((high as f64 / one - tan).abs() <= tan * 1e-12 + 1e-15, "{millionths}");
        }
    }

    #[test]
    fn forty_five_degrees_is_exact() {
        let pith = Grain::Pith { across: Length::INCH * 2, depth: Length::inch_fraction(-1, 2) };
        let thick = Length::inch_fraction(3, 2);
        assert_eq!(
            pith.serves(Angle::RIFT, false, thick),
            Band::Outside(Length::ZERO, Length::INCH * 4)
        );
        assert_eq!(
            pith.serves(Angle::RIFT, true, thick),
            Band::Within(Length::inch_fraction(3, 2), Length::inch_fraction(5, 2))
        );
    }

    #[test]
    fn flat_grain_serves_turned_only() {
        let flat = Grain::Rings(Angle::FLAT);
        assert_eq!(flat.serves(Angle::RIFT, false, Length::INCH), Band::Nowhere);
        assert_eq!(flat.serves(Angle::RIFT, true, Length::INCH), Band::Everywhere);
    }
}
