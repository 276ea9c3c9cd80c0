//! boards.csv as it is spelled: for writing a list back with only some of it changed.

use super::BOARD_COLUMNS;
use super::header::word;
use crate::lumber::look;
use crate::read::row::number_of;
use crate::read::sheet;
use std::ops::ControlFlow;

/// A list of boards as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RawBoards {
    /// Its columns, as they are known.
    pub columns: Vec<&'static str>,
    /// The lines below the header: a cell for each column.
    pub lines: Vec<Vec<String>>,
}

impl RawBoards {
    /// Takes a list apart that reads without a problem.
    pub fn of(text: &str) -> RawBoards {
        let mut raw = RawBoards::default();
        let mut places: Vec<usize> = Vec::new();
        let commas = !sheet::parted_by_commas(text);
        // A list that is no CSV was refused before.
        let _ = sheet::each(text, |_, record| {
            if places.is_empty() {
                for (place, cell) in record.iter().enumerate() {
                    let known = BOARD_COLUMNS.iter().copied().find(|k| *k == word(cell));
                    if let Some(column) = known {
                        places.push(place);
                        raw.columns.push(column);
                    }
                }
                return ControlFlow::Continue(());
            }
            let cell = |(&place, column): (&usize, &&'static str)| {
                let cell = record.get(place).unwrap_or_default().trim();
                // What is written back is parted by commas.
                let pointed = commas.then(|| number_of(column, cell)).flatten();
                pointed.unwrap_or_else(|| cell.to_owned())
            };
            raw.lines.push(places.iter().zip(&raw.columns).map(cell).collect());
            ControlFlow::Continue(())
        });
        raw
    }

    /// The place of a column, if the list has it.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| *c == name)
    }

    /// The looks of the name of the board that a line is of.
    pub fn name(&self, line: &[String]) -> String {
        let name = self.column("board").and_then(|at| line.get(at));
        look(name.map_or("", String::as_str))
    }
}
