//! Crook and bow: a board's edge or face as a parabola (MODEL 6).

use crate::length::Length;

/// Of a board's length, so much bend is more than in any that is sold: 1 in 48 is a quarter of an
/// inch a foot. Grades of what is stocked allow about 1 in of crook over 8 ft, a part of 96, and
/// less than twice that of bow, and culls bend less than a quarter of an inch a foot (grading
/// rules, from memory). One figure for all: boards that bend more are doubted, and no more is ever
/// said to be looked for.
pub(crate) const BENT: i64 = 48;

/// A bend: the greatest gap `gap` (signed) of a parabola over a length `over`.
///
/// Over a piece of length ℓ the gap is `gap·(ℓ/over)²`. That number is seldom whole, so it is
/// compared exactly in 128 bits and rounded only outwards, by less than one unit of length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bend {
    /// The greatest gap over the whole length, with its sign.
    pub gap: Length,
    /// The length that the gap was measured over.
    pub over: Length,
}

impl Bend {
    /// Is the gap over a piece of this length, without its sign, at most `limit`? Exact.
    pub fn within(self, piece: Length, limit: Length) -> bool {
        let wide = |l: Length| i128::from(l.units());
        wide(self.gap.abs()) * wide(piece).pow(2) <= wide(limit) * wide(self.over).pow(2)
    }

    /// The gap over a piece without its sign, rounded up: what straightening the piece costs.
    pub fn loss(self, piece: Length) -> Length {
        let wide = |l: Length| i128::from(l.units());
        let top = wide(self.gap.abs()) * wide(piece).pow(2);
        let bottom = self.bottom();
        Length::from_units(i64::try_from((top + bottom - 1) / bottom).unwrap_or(i64::MAX / 4))
    }

    /// The denominator of all of these. A board without length is none, and is not divided by.
    fn bottom(self) -> i128 {
        i128::from(self.over.units()).pow(2).max(1)
    }

    /// How far the curve stands off its chord from `x0` to `x1` at `x`, times `over²`: the
    /// numerator of `4·gap/over²·(x−x0)(x1−x)`.
    fn lift_top(self, x: Length, x0: Length, x1: Length) -> i128 {
        let wide = |l: Length| i128::from(l.units());
        4 * wide(self.gap) * wide(x - x0) * wide(x1 - x)
    }

    /// The least (rounded down) and the greatest (rounded up) lift over `from..to`, a stretch
    /// that must lie within the chord `x0..x1`.
    pub fn lifts(self, from: Length, to: Length, x0: Length, x1: Length) -> (Length, Length) {
        let bottom = self.bottom();
        let ends = [self.lift_top(from, x0, x1), self.lift_top(to, x0, x1)];
        let (mut low, mut high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        // The summit lies midway, which may fall between two units: take it in half units.
        let middle = (x0 + x1).units();
        if 2 * from.units() <= middle && middle <= 2 * to.units() {
            let summit = i128::from(self.gap.units()) * i128::from((x1 - x0).units()).pow(2);
            low = low.min(summit);
            high = high.max(summit);
        }
        let down = |top: i128| top.div_euclid(bottom);
        let up = |top: i128| -(-top).div_euclid(bottom);
        let fit = |n: i128| Length::from_units(i64::try_from(n).unwrap_or(i64::MAX / 4));
        (fit(down(low)), fit(up(high)))
    }
}

#[cfg(test)]
mod tests {
    use super::Bend;
    use crate::length::Length;

    #[test]
    fn a_quarter_of_the_bend_over_half_the_length() {
        let bend = Bend { gap: Length::inch_fraction(1, 2), over: Length::INCH * 96 };
        assert_eq!(bend.loss(Length::INCH * 48), Length::inch_fraction(1, 8));
        assert!(bend.within(Length::INCH * 48, Length::inch_fraction(1, 8)));
        assert!(!bend.within(Length::INCH * 48, Length::from_units(253_999)));
    }

    #[test]
    fn the_summit_counts_when_it_lies_within() {
        let bend = Bend { gap: Length::inch_fraction(1, 2), over: Length::INCH * 96 };
        let (x0, x1) = (Length::ZERO, Length::INCH * 96);
        let (low, high) = bend.lifts(Length::INCH * 24, Length::INCH * 72, x0, x1);
        assert_eq!(high, Length::inch_fraction(1, 2));
        assert_eq!(low, Length::inch_fraction(3, 8));
        let crowned = Bend { gap: Length::inch_fraction(-1, 2), ..bend };
        assert_eq!(crowned.lifts(Length::INCH * 24, Length::INCH * 72, x0, x1), (-high, -low));
    }
}
