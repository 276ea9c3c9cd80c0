//! Lengths as exact integers.
//!
//! One unit is 1/80 µm. It holds 1/128 in (15,875), 0.001 in (2,032) and 0.01 mm (800) without
//! rounding, so geometry never meets a float. Text finer than a unit is rounded to the nearest.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A signed length, a whole number of units of 1/80 µm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

/// The units a job is written in, which bare numbers are read in and all output is shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Units {
    /// Inches, shown as reduced fractions to 1/64, else as decimals.
    #[default]
    Inch,
    /// Millimetres, shown as decimals.
    Mm,
}

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0);
    /// One inch, 25.4 mm exactly.
    pub const INCH: Length = Length(2_032_000);
    /// One foot.
    pub const FOOT: Length = Length(12 * 2_032_000);
    /// One millimetre.
    pub const MM: Length = Length(80_000);
    /// The greatest size that is read: 100 m. Cubes of it stay far inside 128 bits.
    pub const LIMIT: Length = Length(100_000 * 80_000);

    /// A length of so many units of 1/80 µm.
    pub const fn from_units(units: i64) -> Self {
        Length(units)
    }

    /// The number of units of 1/80 µm.
    pub const fn units(self) -> i64 {
        self.0
    }

    /// `numerator/denominator` inches, exact where the denominator divides 2,032,000.
    pub const fn inch_fraction(numerator: i64, denominator: i64) -> Self {
        Length(numerator * 2_032_000 / denominator)
    }

    /// The length without its sign.
    pub const fn abs(self) -> Self {
        Length(self.0.abs())
    }

    /// In the job's units, for mechanics, drawings and JSON only; never for geometry.
    #[allow(clippy::cast_precision_loss)] // lengths stay below 2^53 units
    pub fn to_f64(self, units: Units) -> f64 {
        self.0 as f64 / units.one().0 as f64
    }

    /// In metres, for mechanics only.
    #[allow(clippy::cast_precision_loss)]
    pub fn metres(self) -> f64 {
        self.0 as f64 / 80_000_000.0
    }

    /// The nearest length to a number in the job's units; `None` when it isn't finite or passes
    /// [`Length::LIMIT`]. Used for JSON, whose numbers are decimal.
    #[allow(clippy::cast_possible_truncation, clippy::cast_precision_loss)]
    pub fn from_f64(value: f64, units: Units) -> Option<Self> {
        let scaled = (value * units.one().0 as f64).round();
        (scaled.is_finite() && scaled.abs() <= Self::LIMIT.0 as f64)
            .then_some(Length(scaled as i64))
    }

    /// Shows the length in the job's units, without the unit's name.
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inch => self.inches(64).unwrap_or_else(|| self.decimal(Units::Inch)),
            Units::Mm => self.decimal(Units::Mm),
        }
    }

    /// Shows the length with the unit's sign: `86 3/4"` or `22 mm`.
    pub fn with_unit(self, units: Units) -> String {
        match units {
            Units::Inch => format!("{}\"", self.show(units)),
            Units::Mm => format!("{} mm", self.show(units)),
        }
    }

    /// Writes the length so that [`Length::parse`] reads the very same: as it is shown where that
    /// holds it, else in millimetres with all digits.
    ///
    /// ```
    /// use stripwright::length::{Length, Units};
    /// assert_eq!(Length::inch_fraction(7, 64).exact(Units::Inch), "7/64");
    /// assert_eq!(Length::from_units(1).exact(Units::Inch), "0.0000125 mm");
    /// ```
    pub fn exact(self, units: Units) -> String {
        let shown = self.show(units);
        if Self::parse(&shown, units) == Ok(self) {
            return shown;
        }
        if let Some(fraction) = self.inches(128).filter(|_| units == Units::Inch) {
            return fraction;
        }
        let (whole, rest) = (self.0.abs() / Self::MM.0, self.0.abs() % Self::MM.0);
        // A unit is 125 ten-millionths of a millimetre.
        let digits = format!("{whole}.{:07}", rest * 125);
        let sign = if self.0 < 0 { "-" } else { "" };
        format!("{sign}{} mm", digits.trim_end_matches('0').trim_end_matches('.'))
    }

    /// The length rounded to what a tape shows: the nearest 1/32 in, or the nearest 0.5 mm.
    pub fn on_tape(self, units: Units) -> Length {
        let step = match units {
            Units::Inch => Self::INCH.0 / 32,
            Units::Mm => Self::MM.0 / 2,
        };
        self.nearest(Length(step))
    }

    /// The nearest whole number of these steps.
    pub(crate) fn nearest(self, step: Length) -> Length {
        Length((self.0 + step.0 / 2).div_euclid(step.0) * step.0)
    }

    /// What is set, sawn and marked to at best: 1/64 in, or 0.1 mm.
    pub(crate) const fn fine_step(units: Units) -> Self {
        match units {
            Units::Inch => Self(Self::INCH.0 / 64),
            Units::Mm => Self(Self::MM.0 / 10),
        }
    }

    /// As a reduced fraction of an inch, when `denominator` parts of an inch hold it exactly.
    fn inches(self, denominator: i64) -> Option<String> {
        let part = Self::INCH.0 / denominator;
        if self.0 % part != 0 {
            return None;
        }
        let parts = self.0.abs() / part;
        let (whole, mut top) = (parts / denominator, parts % denominator);
        let mut bottom = denominator;
        while top != 0 && top % 2 == 0 {
            top /= 2;
            bottom /= 2;
        }
        let sign = if self.0 < 0 { "-" } else { "" };
        Some(match (whole, top) {
            (_, 0) => format!("{sign}{whole}"),
            (0, _) => format!("{sign}{top}/{bottom}"),
            _ => format!("{sign}{whole} {top}/{bottom}"),
        })
    }

    /// As a decimal with four places (inch) or three (mm), trailing zeros dropped.
    fn decimal(self, units: Units) -> String {
        let (one, places) = match units {
            Units::Inch => (Self::INCH.0, 4_u32),
            Units::Mm => (Self::MM.0, 3),
        };
        let scale = 10_i128.pow(places);
        let scaled =
            (i128::from(self.0.abs()) * scale * 2 + i128::from(one)) / (i128::from(one) * 2);
        let (whole, rest) = (scaled / scale, scaled % scale);
        let sign = if self.0 < 0 && scaled != 0 { "-" } else { "" };
        if rest == 0 {
            return format!("{sign}{whole}");
        }
        let digits = format!("{rest:0width$}", width = places as usize);
        format!("{sign}{whole}.{}", digits.trim_end_matches('0'))
    }

    /// Reads a length in any spelling of the model: `1 7/16`, `1-7/16"`, `7' 2 1/2"`, `0.125`,
    /// `36 mm`, `3.5 cm`, `0.9 m`. A bare number is in `units`.
    ///
    /// # Errors
    /// [`LengthError`] says what can't be read and how to spell it.
    ///
    /// ```
    /// use stripwright::length::{Length, Units};
    /// let l = Length::parse("7' 2 1/2\"", Units::Inch).unwrap();
    /// assert_eq!(l, Length::inch_fraction(173, 2));
    /// assert_eq!(l.show(Units::Inch), "86 1/2");
    /// assert_eq!(Length::parse("25.4", Units::Mm).unwrap(), Length::INCH);
    /// ```
    pub fn parse(text: &str, units: Units) -> Result<Self, LengthError> {
        parse::length(text, units)
    }
}

impl Units {
    /// One of this unit.
    pub const fn one(self) -> Length {
        match self {
            Units::Inch => Length::INCH,
            Units::Mm => Length::MM,
        }
    }

    /// `inches` or `millimetres`, for sentences.
    pub const fn word(self) -> &'static str {
        match self {
            Units::Inch => "inches",
            Units::Mm => "millimetres",
        }
    }

    /// `in` or `mm`, as written in paddles.toml and JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Units::Inch => "in",
            Units::Mm => "mm",
        }
    }
}

impl fmt::Display for Units {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Why a text is not a length.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// Nothing, or only spaces.
    #[error("is empty")]
    Empty,
    /// A fraction with nothing below the line.
    #[error("has a fraction with 0 below the line")]
    ZeroDenominator,
    /// Greater than [`Length::LIMIT`].
    #[error("is more than 100 m")]
    TooLong,
    /// A fraction with more digits than are read.
    #[error("has more than 12 digits above or below the line of a fraction")]
    LongFraction,
    /// As `8' 14"`: twelve of them are a foot.
    #[error("has 12 inches or more behind the feet")]
    InchesPastFoot,
    /// Anything else.
    #[error("is not a length")]
    Unreadable,
}

mod parse {
    use super::{Length, LengthError, Units};

    pub(super) fn length(text: &str, units: Units) -> Result<Length, LengthError> {
        let tidy = tidy(text);
        let mut rest = tidy.trim();
        if rest.is_empty() {
            return Err(LengthError::Empty);
        }
        let mut sign = 1;
        if let Some(after) = rest.strip_prefix('-') {
            sign = -1;
            rest = after.trim_start();
        } else if let Some(after) = rest.strip_prefix('+') {
            rest = after.trim_start();
        }
        let total = match rest.split_once('\'') {
            // A double prime may also have been typed as two single ones.
            Some((number, after)) if after.starts_with('\'') && after.len() == 1 => {
                mixed(number, Length::INCH)?
            }
            Some((feet, inches)) => {
                let feet = mixed(feet, Length::FOOT)?;
                let inches = inches.trim().trim_start_matches('-').trim();
                let inches = match inches.strip_suffix('"').or(inches.strip_suffix("''")) {
                    Some(number) => mixed(number, Length::INCH)?,
                    None if inches.is_empty() => Ratio::whole(0, Length::FOOT)?,
                    None => mixed(inches, Length::INCH)?,
                };
                // A slip of the pen: of 8' 14" no one can tell whether 8' 1/4" was meant.
                if inches.units >= i128::from(Length::FOOT.0) {
                    return Err(LengthError::InchesPastFoot);
                }
                feet.plus(&inches).ok_or(LengthError::TooLong)?
            }
            None => {
                let (number, one) = unit(rest, units);
                mixed(number, one)?
            }
        };
        let rounded = total.rounded().ok_or(LengthError::TooLong)?;
        let units = i64::try_from(rounded).map_err(|_| LengthError::TooLong)?;
        if units > Length::LIMIT.0 {
            return Err(LengthError::TooLong);
        }
        Ok(Length(sign * units))
    }

    /// Puts the many dashes, primes and vulgar fractions of keyboards and spreadsheets into one
    /// spelling. A vulgar fraction stands apart: digits after it are no part of it.
    fn tidy(text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        for c in text.chars() {
            match c {
                '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' => out.push('-'),
                '\u{2032}' | '\u{2019}' => out.push('\''),
                '\u{2033}' | '\u{201D}' => out.push('"'),
                '\u{2044}' => out.push('/'),
                '\u{BD}' => out.push_str(" 1/2 "),
                '\u{BC}' => out.push_str(" 1/4 "),
                '\u{BE}' => out.push_str(" 3/4 "),
                '\u{215B}' => out.push_str(" 1/8 "),
                '\u{215C}' => out.push_str(" 3/8 "),
                '\u{215D}' => out.push_str(" 5/8 "),
                '\u{215E}' => out.push_str(" 7/8 "),
                c if c.is_whitespace() => out.push(' '),
                c => out.extend(c.to_lowercase()),
            }
        }
        out
    }

    fn unit(text: &str, units: Units) -> (&str, Length) {
        let ends: [(&str, Length); 9] = [
            ("\"", Length::INCH),
            ("inches", Length::INCH),
            ("inch", Length::INCH),
            ("in", Length::INCH),
            ("feet", Length::FOOT),
            ("ft", Length::FOOT),
            ("mm", Length::MM),
            ("cm", Length(10 * Length::MM.0)),
            ("m", Length(1000 * Length::MM.0)),
        ];
        for (end, one) in ends {
            if let Some(number) = text.strip_suffix(end) {
                return (number, one);
            }
        }
        (text, units.one())
    }

    /// The most digits that are read before a point or in a fraction, and after a point. What
    /// stands further behind a point is less than a billionth of a unit of length.
    const DIGITS: usize = 12;
    const PLACES: usize = 18;

    /// `units + top / bottom` units of length: no part below 0, `top` below `bottom`, `bottom` at
    /// most 10^18, so that sums and doubles of all products stay below 2^127. Still every step is
    /// checked.
    struct Ratio {
        units: i128,
        top: i128,
        bottom: i128,
    }

    impl Ratio {
        /// `top / bottom` of `one`; too long if that passes what can be reckoned with.
        fn new(top: i128, bottom: i128, one: Length) -> Result<Ratio, LengthError> {
            let top = top.checked_mul(i128::from(one.0)).ok_or(LengthError::TooLong)?;
            let units = top.checked_div(bottom).ok_or(LengthError::ZeroDenominator)?;
            let top = top.checked_rem(bottom).ok_or(LengthError::ZeroDenominator)?;
            Ok(Ratio { units, top, bottom })
        }

        fn whole(number: i128, one: Length) -> Result<Ratio, LengthError> {
            Ratio::new(number, 1, one)
        }

        fn plus(&self, other: &Ratio) -> Option<Ratio> {
            let bottom = self.bottom.checked_mul(other.bottom)?;
            let left = self.top.checked_mul(other.bottom)?;
            let top = left.checked_add(other.top.checked_mul(self.bottom)?)?;
            let units = self.units.checked_add(other.units)?.checked_add(top / bottom)?;
            Some(Ratio { units, top: top % bottom, bottom })
        }

        /// To the nearest unit, half of one upwards.
        fn rounded(&self) -> Option<i128> {
            self.units.checked_add(i128::from(self.top.checked_mul(2)? >= self.bottom))
        }
    }

    /// `86`, `86.5`, `7/16`, `1 7/16` or `1-7/16`, times the unit.
    fn mixed(text: &str, one: Length) -> Result<Ratio, LengthError> {
        let text = text.trim();
        let Some((left, bottom)) = text.split_once('/') else {
            return decimal(text, one);
        };
        let left = left.trim_end();
        let (whole, top) = match left.rfind([' ', '-']) {
            Some(at) => (left[..at].trim_end().trim_end_matches('-').trim_end(), &left[at + 1..]),
            None => ("", left),
        };
        let whole = if whole.is_empty() { 0 } else { whole_number(whole)? };
        let part = |text: &str| {
            whole_number(text).map_err(|error| match error {
                // Such a fraction may come to next to nothing.
                LengthError::TooLong => LengthError::LongFraction,
                error => error,
            })
        };
        let (top, bottom) = (part(top)?, part(bottom.trim())?);
        let fraction = Ratio::new(top, bottom, one)?;
        Ratio::whole(whole, one)?.plus(&fraction).ok_or(LengthError::TooLong)
    }

    fn decimal(text: &str, one: Length) -> Result<Ratio, LengthError> {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        if whole.is_empty() && part.is_empty() {
            return Err(LengthError::Unreadable);
        }
        let whole = if whole.is_empty() { 0 } else { whole_number(whole)? };
        let mut fraction = Ratio::whole(0, one)?;
        if !part.is_empty() {
            if !part.bytes().all(|b| b.is_ascii_digit()) {
                return Err(LengthError::Unreadable);
            }
            let part = part.get(..PLACES).unwrap_or(part);
            let below = part.parse().map_err(|_| LengthError::Unreadable)?;
            let places = u32::try_from(part.len()).map_err(|_| LengthError::Unreadable)?;
            let bottom = 10_i128.checked_pow(places).ok_or(LengthError::TooLong)?;
            fraction = Ratio::new(below, bottom, one)?;
        }
        Ratio::whole(whole, one)?.plus(&fraction).ok_or(LengthError::TooLong)
    }

    fn whole_number(text: &str) -> Result<i128, LengthError> {
        if text.is_empty() || !text.bytes().all(|b| b.is_ascii_digit()) {
            return Err(LengthError::Unreadable);
        }
        let digits = text.trim_start_matches('0');
        if digits.len() > DIGITS {
            return Err(LengthError::TooLong);
        }
        if digits.is_empty() { Ok(0) } else { digits.parse().map_err(|_| LengthError::Unreadable) }
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, times: i64) -> Length {
        Length(self.0 * times)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(iter: I) -> Length {
        iter.fold(Length::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::{Length, LengthError, Units};

    fn inch(text: &str) -> Result<Length, LengthError> {
        Length::parse(text, Units::Inch)
    }

    #[test]
    fn every_spelling_of_the_model_reads() {
        let cases = [
            ("1 7/16", 23, 16),
            ("1-7/16\"", 23, 16),
            ("7' 2 1/2\"", 173, 2),
            ("7'-2 1/2\"", 173, 2),
            ("7'", 84, 1),
            ("0.125", 1, 8),
            (".5", 1, 2),
            ("-3/4", -3, 4),
            ("- 3/4 in", -3, 4),
            ("5\u{BD}", 11, 2),
            ("1\u{2013}1/4\u{2033}", 5, 4),
            ("8 ft", 96, 1),
        ];
        for (text, top, bottom) in cases {
            assert_eq!(inch(text), Ok(Length::inch_fraction(top, bottom)), "{text}");
        }
        assert_eq!(inch("36 mm"), Ok(Length::MM * 36));
        assert_eq!(inch("3.5 cm"), Ok(Length::MM * 35));
        assert_eq!(inch("0.9 m"), Ok(Length::MM * 900));
        assert_eq!(Length::parse("25.4", Units::Mm), Ok(Length::INCH));
    }

    #[test]
    fn what_is_not_a_length_says_so() {
        assert_eq!(inch("  "), Err(LengthError::Empty));
        assert_eq!(inch("1/0"), Err(LengthError::ZeroDenominator));
        assert_eq!(inch("99999999999999999999"), Err(LengthError::TooLong));
        assert_eq!(inch("1000 m"), Err(LengthError::TooLong));
        for text in ["abc", "1/", "/2", "1 2 3", "1.2.3", "--1", "nan", "1e3", "'", "\"", "7' x"] {
            assert_eq!(inch(text), Err(LengthError::Unreadable), "{text}");
        }
    }

    #[test]
    fn shown_in_the_units_of_the_job() {
        let show = |l: Length| l.show(Units::Inch);
        assert_eq!(show(Length::inch_fraction(347, 4)), "86 3/4");
        assert_eq!(show(Length::inch_fraction(-1, 64)), "-1/64");
        assert_eq!(show(Length::ZERO), "0");
        assert_eq!(show(Length::inch_fraction(1, 1000)), "0.001");
        assert_eq!((Length::MM * 36).show(Units::Mm), "36");
        assert_eq!(Length::inch_fraction(1, 16).show(Units::Mm), "1.588");
        assert_eq!(Length::inch_fraction(1, 64).on_tape(Units::Inch), Length::inch_fraction(1, 32));
        assert_eq!(
            (Length::MM * 3 + Length::from_units(19_999)).on_tape(Units::Mm),
            Length::MM * 3
        );
    }
}
