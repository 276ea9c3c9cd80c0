//! The values in a strip's cells.

use super::{Reader, Row};
use crate::length::{Length, Units};
use crate::lumber::{Angle, End, StripInHand, Weight};
use crate::read::number::{angle, decimal, length_cure, not_above_zero};

const LENGTHS: &str = "write it as 86 3/4, 7' 2 1/2\", 0.125, 36 mm or 0.9 m";

impl Reader<'_> {
    fn length(&mut self, line: usize, column: &str, text: &str) -> Option<Length> {
        match Length::parse(text, self.units) {
            Ok(length) => Some(length),
            Err(error) => {
                let cure = length_cure(text, self.units, &error, LENGTHS);
                self.problem(line, column, Some(text), &error.to_string(), &cure);
                None
            }
        }
    }

    /// A size that must be there and be more than nothing.
    pub(super) fn size(&mut self, row: &Row<'_>, column: &str) -> Option<Length> {
        let Some(text) = row.get(column) else {
            if !self.absent.contains(&column) {
                let cure = format!("measure the strip's {column} as it is now");
                self.problem(row.line, column, None, "is missing", &cure);
            }
            return None;
        };
        let length = self.length(row.line, column, text)?;
        if length <= Length::ZERO {
            let cure = format!("measure the strip's {column} as it is now");
            self.problem(row.line, column, Some(text), not_above_zero(text, length), &cure);
            return None;
        }
        Some(length)
    }

    pub(super) fn rings(&mut self, row: &Row<'_>) -> Option<Angle> {
        let text = row.get("rings")?;
        let found = angle(text);
        if found.is_none() {
            let cure = "give 0 (flat) to 90 (vertical) to the blade's face, or the word flat, rift or vertical";
            self.problem(row.line, "rings", Some(text), "is not an angle of 0 to 90 degrees", cure);
        }
        found
    }

    pub(super) fn bend(&mut self, row: &Row<'_>, column: &str) -> Length {
        let Some(text) = row.get(column) else { return Length::ZERO };
        self.length(row.line, column, text).unwrap_or_default()
    }

    /// A bend that is more than the strip could have is a slip of the pen.
    pub(super) fn bends(&mut self, row: &Row<'_>, strip: &StripInHand) {
        for (column, bend) in [("sidewise", strip.sidewise), ("depthwise", strip.depthwise)] {
            if strip.length > Length::ZERO && bend.abs() * 4 > strip.length {
                let cure = "measure the greatest gap to a straight line from end to end";
                let rule = "is more than a quarter of the length";
                self.problem(row.line, column, row.get(column), rule, cure);
            }
        }
    }

    pub(super) fn rises(&mut self, row: &Row<'_>) -> Option<End> {
        let text = row.get("rises")?;
        match text.to_lowercase().as_str() {
            "a" => Some(End::A),
            "b" => Some(End::B),
            _ => {
                let cure = "write A if the grain comes up to the upper face towards the end that the arrow points to, B if towards the other; leave it empty if it was not read off";
                self.problem(row.line, "rises", Some(text), "is not an end", cure);
                None
            }
        }
    }

    pub(super) fn weight(&mut self, row: &Row<'_>) -> Option<Weight> {
        let text = row.get("weight")?;
        let found = weight(text, self.units);
        if found.is_none() {
            let cure = match self.units {
                Units::Inch => "write it as 12.5 (ounces), 12.5 oz, 0.8 lb, 354 g or 0.35 kg",
                Units::Mm => "write it as 354 (grams), 354 g, 0.35 kg, 12.5 oz or 0.8 lb",
            };
            self.problem(row.line, "weight", Some(text), "is not a weight above 0", cure);
        }
        found
    }
}

/// A weight: a decimal with its unit; a bare number is in ounces where lengths are in inches, in
/// grams where they are in millimetres.
fn weight(text: &str, units: Units) -> Option<Weight> {
    let text = text.trim().to_lowercase();
    let ends = [
        ("kg", Weight::from_parts(1000 * Weight::GRAM.parts())),
        ("oz", Weight::OUNCE),
        ("lbs", Weight::POUND),
        ("lb", Weight::POUND),
        ("g", Weight::GRAM),
    ];
    let bare = match units {
        Units::Inch => ("", Weight::OUNCE),
        Units::Mm => ("", Weight::GRAM),
    };
    let (end, one) = ends.into_iter().find(|(end, _)| text.ends_with(end)).unwrap_or(bare);
    let number = text.strip_suffix(end).unwrap_or(&text).trim();
    let one = i128::from(one.parts());
    let billionths = decimal(number, 9)?.checked_mul(one)?;
    // To the nearest part, of which a gram has a billion.
    let parts = i64::try_from((billionths + 500_000_000).div_euclid(1_000_000_000)).ok()?;
    let weight = Weight::from_parts(parts);
    (weight > Weight::default() && weight <= Weight::LIMIT).then_some(weight)
}

#[cfg(test)]
mod tests {
    use super::weight;
    use crate::length::Units;
    use crate::lumber::Weight;

    #[test]
    fn weights_are_exact_in_every_unit() {
        let read = |text| weight(text, Units::Inch);
        assert_eq!(read("1"), Some(Weight::OUNCE));
        assert_eq!(read("16 oz"), read("1 lb"));
        // 0.45359237 kg, by the agreement that made the pound.
        assert_eq!(read("453.59237 g"), read("1 lb"));
        assert_eq!(read("0.45359237kg"), read("1lb"));
        assert_eq!(weight("2.5", Units::Mm), read("2.5 g"));
        for wrong in ["", "0", "-1", "1,5", "heavy", "1 stone", "1001 kg"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
