//! The values in a board's cells.

use super::{Reader, Row};
use crate::length::Length;
use crate::lumber::board::Rise;
use crate::lumber::{Angle, Board, Grain, Price, Slope};
use crate::read::number::{angle, length_cure, not_above_zero, price, slope};

/// The most copies of one board that are read.
pub(in crate::read) const MOST_COPIES: u32 = 10_000;

const LENGTHS: &str = "write it as 86 3/4, 7' 2 1/2\", 0.125, 36 mm or 0.9 m";

impl Reader<'_> {
    /// A bend that is more than the board could have is a slip of the pen.
    pub(super) fn bends(&mut self, row: &Row<'_>, board: &Board) {
        for (column, bend) in [("crook", board.crook), ("bow", board.bow)] {
            if board.length > Length::ZERO && bend.abs() * 4 > board.length {
                let cure = "measure the greatest gap to a straight line from end to end";
                let value = row.get(column);
                self.problem(row.line, column, value, "is more than a quarter of the length", cure);
            }
        }
    }

    pub(super) fn length(&mut self, line: usize, column: &str, text: &str) -> Option<Length> {
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
            let cure = format!("give the actual {column}, not the nominal one");
            if !self.absent.contains(&column) {
                self.problem(row.line, column, None, "is missing", &cure);
            }
            return None;
        };
        let length = self.length(row.line, column, text)?;
        if length <= Length::ZERO {
            self.problem(
                row.line,
                column,
                Some(text),
                not_above_zero(text, length),
                "give the actual size",
            );
            return None;
        }
        Some(length)
    }

    pub(super) fn signed(&mut self, row: &Row<'_>, column: &str) -> Option<Length> {
        let text = row.get(column)?;
        self.length(row.line, column, text)
    }

    /// An allowance of the board's own, instead of the shop's.
    pub(super) fn allowance(&mut self, row: &Row<'_>, column: &str) -> Option<Length> {
        let text = row.get(column)?;
        let length = self.length(row.line, column, text)?;
        if length < Length::ZERO {
            let cure = "give 0 or more; leave it empty for the shop's own";
            self.problem(row.line, column, Some(text), "is less than 0", cure);
            return None;
        }
        Some(length)
    }

    /// A column that says yes, or nothing.
    pub(super) fn yes(&mut self, row: &Row<'_>, column: &str) -> bool {
        match row.get(column).map(str::to_lowercase).as_deref() {
            None | Some("no") => false,
            Some("yes") => true,
            Some(value) => {
                self.problem(
                    row.line,
                    column,
                    Some(value),
                    "is neither yes nor no",
                    "write yes, or leave it empty",
                );
                false
            }
        }
    }

    pub(super) fn grain(&mut self, row: &Row<'_>) -> Option<Grain> {
        let rings = row.get("rings").map(|t| (t, self.rings(row.line, t)));
        let pith = [row.get("pith_across"), row.get("pith_depth")];
        let read = ["pith_across", "pith_depth"].map(|column| self.signed(row, column));
        match (rings, pith) {
            // An angle that could not be read was told of.
            (Some((text, Some(_))), [Some(_), _] | [_, Some(_)]) => {
                let cure = "keep the ring angle, or the two measures of the pith";
                self.problem(row.line, "rings", Some(text), "is given beside the pith", cure);
                None
            }
            (Some((_, angle)), _) => angle.map(Grain::Rings),
            (None, [Some(_), Some(_)]) => Some(Grain::Pith { across: read[0]?, depth: read[1]? }),
            (None, [Some(_), None]) => {
                let cure = "give how far down from the marked face the pith lies";
                self.problem(row.line, "pith_depth", None, "is missing beside pith_across", cure);
                None
            }
            (None, [None, Some(_)]) => {
                let cure = "give how far across from the reference edge the pith lies";
                self.problem(row.line, "pith_across", None, "is missing beside pith_depth", cure);
                None
            }
            (None, [None, None]) => None,
        }
    }

    pub(super) fn rings(&mut self, line: usize, text: &str) -> Option<Angle> {
        let found = angle(text);
        if found.is_none() {
            let cure = "give 0 (flat) to 90 (vertical), or the word flat, rift or vertical";
            self.problem(line, "rings", Some(text), "is not an angle of 0 to 90 degrees", cure);
        }
        found
    }

    pub(super) fn slope(&mut self, line: usize, column: &str, text: &str) -> Option<Slope> {
        let found = slope(text);
        if found.is_none() {
            self.problem(
                line,
                column,
                Some(text),
                "is not a slope of grain",
                "write it as 1:20 or 1/20",
            );
        }
        found
    }

    pub(super) fn rise(&mut self, row: &Row<'_>) -> Option<Rise> {
        let text = row.get("rises")?;
        match text.to_lowercase().as_str() {
            "far" => Some(Rise::Far),
            "marked" => Some(Rise::Marked),
            _ => {
                let cure = "write far if the grain comes up to the marked face towards the far end, marked if towards the marked end";
                self.problem(row.line, "rises", Some(text), "is not a direction", cure);
                None
            }
        }
    }

    pub(super) fn quantity(&mut self, row: &Row<'_>) -> Option<u32> {
        let text = row.get("quantity")?;
        match text.parse::<u32>() {
            Ok(n) if (1..=MOST_COPIES).contains(&n) => Some(n),
            _ => {
                let rule = format!("is not a whole number of 1 to {MOST_COPIES}");
                self.problem(row.line, "quantity", Some(text), &rule, "count the boards");
                None
            }
        }
    }

    pub(super) fn price(&mut self, row: &Row<'_>, column: &str) -> Option<Price> {
        let text = row.get(column)?;
        match price(text) {
            Ok(price) => Some(price),
            Err((rule, cure)) => {
                self.problem(row.line, column, Some(text), rule, &cure);
                None
            }
        }
    }
}
