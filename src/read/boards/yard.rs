//! What only a yard's list has: nominal sizes and prices by the foot.

use super::header::word;
use super::{Reader, Row};
use crate::length::Length;
use crate::lumber::{Board, Price, nominal};
use crate::read::sheet;
use std::ops::ControlFlow;

/// How nominal sizes and prices by the foot were taken, where the list has such.
pub(in crate::read) fn notes(text: &str) -> Vec<&'static str> {
    let cell = |row: &'_ csv::StringRecord, column: Option<usize>| {
        column.and_then(|c| row.get(c)).map(|c| c.trim().to_lowercase()).unwrap_or_default()
    };
    let mut columns: Option<[Option<usize>; 3]> = None;
    let (mut nominal, mut board, mut running) = (false, false, false);
    // The list was read already: what is wrong with it was said then.
    let _ = sheet::each(text, |_, row| {
        let Some([size, price, foot]) = columns else {
            let column = |name: &str| row.iter().position(|c| word(c) == name);
            columns = Some(["size", "price", "foot"].map(column));
            return ControlFlow::Continue(());
        };
        nominal |= !cell(row, size).is_empty();
        if cell(row, price).is_empty() {
            board |= cell(row, foot) == "board";
            running |= cell(row, foot) == "running";
        }
        ControlFlow::Continue(())
    });
    let said = [
        (nominal, "Nominal sizes are taken as the dressed dry sizes of PS 20."),
        (
            board,
            "A price by the board foot counts board feet by nominal size where one is given, else by actual size; a thickness below 1 in counts as 1 in.",
        ),
        (running, "A price by the running foot counts the length of the board."),
    ];
    said.into_iter().filter(|(used, _)| *used).map(|(_, note)| note).collect()
}

impl Reader<'_> {
    /// Width and thickness from a nominal size.
    pub(super) fn nominal(&mut self, row: &Row<'_>) -> Option<(Length, Length)> {
        let text = row.get("size")?;
        for column in ["width", "thickness"] {
            if let Some(value) = row.get(column) {
                let cure = "give the nominal size or the actual one";
                self.problem(row.line, column, Some(value), "stands beside a nominal size", cure);
            }
        }
        let found = nominal::actual(text);
        if found.is_none() {
            let cure = "write it as 1x6, 5/4x4 or 2x8";
            self.problem(row.line, "size", Some(text), "is not a nominal size of PS 20", cure);
        }
        found
    }

    /// Price of one board from a price by the foot.
    pub(super) fn by_the_foot(
        &mut self,
        row: &Row<'_>,
        board: &Board,
        by_size: bool,
    ) -> Option<Price> {
        let price = self.price(row, "price_per_foot")?;
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
        let parts = i128::from(price.parts())
            .checked_mul(feet.0)
            .and_then(|p| (p / feet.1).checked_mul(2)?.checked_add(p % feet.1 * 2 / feet.1 + 1))
            .and_then(|p| i64::try_from(p / 2).ok())
            .filter(|&p| p <= Price::LIMIT);
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
