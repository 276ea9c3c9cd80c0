//! What only a yard's list has: nominal sizes and prices by the foot.

use super::header::word;
use super::{Reader, Row};
use crate::length::{Length, Units};
use crate::lumber::species::Trade;
use crate::lumber::{Board, Price, Species, nominal};
use crate::read::problem::Problem;
use crate::read::sheet;
use std::ops::ControlFlow;

/// How nominal sizes and prices by the foot were taken, where the list has such.
pub(in crate::read) fn notes(text: &str) -> Vec<&'static str> {
    let cell = |row: &'_ csv::StringRecord, column: Option<usize>| {
        column.and_then(|c| row.get(c)).map(|c| c.trim().to_lowercase()).unwrap_or_default()
    };
    let mut columns: Option<[Option<usize>; 4]> = None;
    let (mut soft, mut hard, mut unknown) = (false, false, false);
    let (mut quarters, mut board, mut running) = (false, false, false);
    // The list was read already: what is wrong with it was said then.
    let _ = sheet::each(text, |_, row| {
        let Some([size, price, foot, wood]) = columns else {
            let column = |name: &str| row.iter().position(|c| word(c) == name);
            columns = Some(["size", "price", "foot", "species"].map(column));
            return ControlFlow::Continue(());
        };
        let said = cell(row, size);
        if nominal::surfaced(&said).is_some() {
            quarters = true;
        } else if !said.is_empty() {
            match Species::new(&cell(row, wood)).trade() {
                Some(Trade::Softwood) => soft = true,
                Some(Trade::Hardwood) => hard = true,
                None => unknown = true,
            }
        }
        if cell(row, price).is_empty() {
            board |= cell(row, foot) == "board";
            running |= cell(row, foot) == "running";
        }
        ControlFlow::Continue(())
    });
    let said = [
        (soft || hard || unknown, "Nominal sizes are taken as the dressed dry sizes of PS 20."),
        (
            hard,
            "PS 20 is for softwood. A hardwood with a nominal size is taken as no larger than a softwood of that size: measure it. Hardwood is mostly sold by quarters: write 4/4, 5/4, 6/4 or 8/4 as its size, and its width as measured.",
        ),
        (
            unknown,
            "Some woods with a nominal size are not known as hardwood or softwood: softwood sizes are assumed.",
        ),
        (
            quarters,
            "Quarters are taken as hardwood surfaced on two sides: 4/4 is 13/16 in, 5/4 1 1/16, 6/4 1 5/16, 8/4 1 3/4 (trade charts); widths as measured. By the board foot they count in full quarters. Hardwood edges are seldom straight: see that edge takes enough off.",
        ),
        (
            board,
            "A price by the board foot counts board feet by nominal size where one is given, else by actual size; a thickness below 1 in counts as 1 in.",
        ),
        (running, "A price by the running foot counts the length of the board."),
        (board || running, "What a board comes to by the foot is rounded to a hundredth."),
    ];
    said.into_iter().filter(|(used, _)| *used).map(|(_, note)| note).collect()
}

/// More for a board foot than is asked for any wood that paddles are made of: boatbuilding spruce
/// and teak come to some 15 to 45 in dollars, euros or pounds (from memory). What is above may be
/// the price of a board, written where that of a foot belongs.
const DEAR: i128 = 60;

/// Does a board of so many board feet, a fraction, come to so much?
fn dear(total: i64, (above, below): (i128, i128)) -> bool {
    let one = i128::from(Price::SCALE);
    i128::from(total)
        .checked_mul(below)
        .zip(above.checked_mul(DEAR * one))
        .is_some_and(|(t, d)| t > d)
}

/// A price of `top / bottom` parts as a till asks for it: to the nearest hundredth, half of one
/// upwards; below that to the nearest part, so that nothing is had for nothing.
fn to_the_cent(top: i128, bottom: i128) -> Option<i64> {
    let nearest = |one: i128| {
        let below = bottom.checked_mul(one)?;
        let twice = (top / below).checked_mul(2)?.checked_add(top % below * 2 / below + 1)?;
        i64::try_from((twice / 2).checked_mul(one)?).ok()
    };
    nearest(i128::from(Price::SCALE / 100)).filter(|&p| p > 0 || top == 0).or_else(|| nearest(1))
}

/// What is said of prices by the foot that look like prices of boards, once for the list.
pub(super) fn too_dear(file: &str, lines: &[(usize, String, Price)]) -> Option<Problem> {
    let (_, _, total) = lines.first()?;
    let others = likewise(lines.len());
    let rule =
        format!("looks like the price of a board: by the foot the board comes to {total}{others}");
    of_first(file, lines, "price_per_foot", rule, "write the price of a board under price")
}

/// What is said of thicknesses that are written as the quarters a yard sells by, once for the list:
/// 6/4 is read as the 1 1/2 in that it is rough, and surfaced it is less.
pub(super) fn by_quarters(
    file: &str,
    lines: &[(usize, String, Length)],
    units: Units,
) -> Option<Problem> {
    let (_, written, read) = lines.first()?;
    let surfaced = nominal::surfaced(written)?;
    let rule = format!(
        "is read as {}{}, and hardwood sold as {written} is {} when surfaced (trade charts), softwood no more",
        read.with_unit(units),
        likewise(lines.len()),
        surfaced.with_unit(Units::Inch)
    );
    of_first(file, lines, "thickness", rule, "measure the board, and write what it measures")
}

/// What is said of the first of some lines with a column as written.
fn of_first<T>(
    file: &str,
    lines: &[(usize, String, T)],
    column: &str,
    rule: String,
    cure: &str,
) -> Option<Problem> {
    let (line, written, _) = lines.first()?;
    Some(Problem {
        file: file.to_owned(),
        line: Some(*line),
        column: Some(format!("column {column}")),
        value: Some(written.clone()),
        rule,
        cure: cure.to_owned(),
    })
}

/// That a problem is not that of the first line alone.
fn likewise(lines: usize) -> String {
    match lines.saturating_sub(1) {
        0 => String::new(),
        1 => ", likewise on one line more".to_owned(),
        n => format!(", likewise on {n} lines more"),
    }
}

impl Reader<'_> {
    /// Width and thickness from a nominal size, or from quarters and the width as measured.
    pub(super) fn nominal(&mut self, row: &Row<'_>) -> Option<(Length, Length)> {
        let text = row.get("size")?;
        let surfaced = nominal::surfaced(text);
        let beside: &[&str] =
            if surfaced.is_some() { &["thickness"] } else { &["width", "thickness"] };
        for column in beside {
            if let Some(value) = row.get(column) {
                let cure = "give the nominal size or the actual one";
                self.problem(row.line, column, Some(value), "stands beside a nominal size", cure);
            }
        }
        if let Some(thickness) = surfaced {
            let trade = Species::new(row.get("species").unwrap_or_default()).trade();
            if trade == Some(Trade::Softwood) {
                let cure = "write a nominal size, as 5/4x6, or the actual width and thickness";
                let rule = "is a size of hardwood, and this wood is a softwood";
                self.problem(row.line, "size", Some(text), rule, cure);
            }
            return Some((self.size(row, "width")?, thickness));
        }
        let found = nominal::actual(text);
        if found.is_none() {
            let cure = "write it as 1x6, 5/4x4 or 2x8; hardwood as 4/4, 5/4, 6/4 or 8/4 with its width as measured";
            self.problem(row.line, "size", Some(text), "is not a nominal size of PS 20", cure);
        }
        found
    }

    /// Is there one price, by the board or by the foot, and no foot without a price for it?
    pub(super) fn one_price(&mut self, row: &Row<'_>) -> bool {
        let cells = ["price", "price_per_foot", "foot"].map(|column| row.get(column));
        match cells {
            [Some(_), Some(by_foot), _] => {
                let cure = "keep one of the two: price for the whole board, or price_per_foot";
                let rule = "stands beside a price";
                self.problem(row.line, "price_per_foot", Some(by_foot), rule, cure);
                false
            }
            // With it the price would seem to be one by the foot, and be taken for the board's.
            [_, None, Some(foot)] => {
                let cure = "write the price under price_per_foot, or leave foot empty where price is that of the board";
                let rule = "says which foot a price is for, and there is no price_per_foot";
                self.problem(row.line, "foot", Some(foot), rule, cure);
                false
            }
            _ => true,
        }
    }

    /// Price of one board from a price by the foot.
    pub(super) fn by_the_foot(
        &mut self,
        row: &Row<'_>,
        board: &Board,
        by_size: bool,
    ) -> Option<Price> {
        row.get("price_per_foot")?;
        let price = self.price(row, "price_per_foot");
        let size = row.get("size").filter(|_| by_size);
        let feet = match row.get("foot").map(str::to_lowercase).as_deref() {
            Some("board") => nominal::board_feet(board, size),
            Some("running") => (i128::from(board.length.units()), i128::from(Length::FOOT.units())),
            other => {
                let cure = "write board for a price by the board foot, running for one by the running foot";
                self.problem(
                    row.line,
                    "foot",
                    other,
                    "does not say which foot the price is for",
                    cure,
                );
                return None;
            }
        };
        let parts = i128::from(price?.parts())
            .checked_mul(feet.0)
            .and_then(|p| to_the_cent(p, feet.1))
            .filter(|&p| p <= Price::LIMIT);
        if let Some(total) = parts.filter(|&total| dear(total, nominal::board_feet(board, size))) {
            let written = row.get("price_per_foot").unwrap_or_default().to_owned();
            self.dear.push((row.line, written, Price::from_parts(total)));
        }
        if parts.is_none() {
            let cure = "check the figure, and the board's sizes";
            self.problem(
                row.line,
                "price_per_foot",
                row.get("price_per_foot"),
                "comes to too much",
                cure,
            );
        }
        parts.map(Price::from_parts)
    }
}
