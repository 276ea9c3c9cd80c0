//! A line of a spreadsheet, its cells by the names of their columns: for boards and strips alike.

use crate::read::number::decimal_comma;
use crate::read::problem::{Problem, cut_off};
use csv::StringRecord;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// A longer cell is none, and is not looked into: of a file that is no list it may be all.
const LONGEST_CELL: usize = 10_000;

/// Columns that hold words, in which a comma is a comma.
const WORDS: [&str; 13] = [
    "board",
    "strip",
    "species",
    "zone",
    "grade",
    "size",
    "foot",
    "rises",
    "offcut",
    "paddle",
    "lamination",
    "quantity",
    "",
];

/// A line's cells by column.
pub(super) struct Row<'r> {
    pub line: usize,
    cells: BTreeMap<&'static str, Cow<'r, str>>,
}

/// A cell that stands beyond the last column, with its place from 1.
pub(super) struct Beyond<'r>(pub usize, pub &'r str);

/// A number whose comma was taken for a decimal point: its column, as written, and as read.
pub(super) type Pointed = (&'static str, String, String);

impl<'r> Row<'r> {
    /// The cells of a line below a header of `columns`, those of which that are not known are
    /// passed over; and the cells beyond.
    pub fn of(
        line: usize,
        record: &'r StringRecord,
        columns: &[Option<&'static str>],
    ) -> (Row<'r>, Vec<Beyond<'r>>) {
        let mut row = Row { line, cells: BTreeMap::new() };
        let mut beyond = Vec::new();
        for (place, cell) in record.iter().enumerate() {
            match columns.get(place) {
                Some(Some(column)) => {
                    row.cells.insert(column, Cow::Borrowed(cell));
                }
                // Columns with an unknown name were reported with the header.
                Some(None) => {}
                None if cell.trim().is_empty() => {}
                None => beyond.push(Beyond(place + 1, cell)),
            }
        }
        (row, beyond)
    }

    /// The cell, if there is anything in it.
    pub fn get(&self, column: &str) -> Option<&str> {
        self.cells.get(column).map(|c| c.trim()).filter(|c| !c.is_empty())
    }

    /// Takes the commas of numbers for decimal points, in a file whose cells are parted by
    /// something else; the first that was so taken.
    pub fn point_commas(&mut self) -> Option<Pointed> {
        let mut first = None;
        for (column, cell) in &mut self.cells {
            if let Some(pointed) = number_of(column, cell) {
                first.get_or_insert_with(|| (*column, cell.trim().to_owned(), pointed.clone()));
                *cell = Cow::Owned(pointed);
            }
        }
        first
    }
}

/// That commas of a file were taken for decimal points: said of the first only.
pub(super) fn commas(
    file: &str,
    line: usize,
    (column, written, read): &Pointed,
    first: bool,
) -> Option<Problem> {
    first.then(|| Problem {
        file: file.to_owned(),
        line: Some(line),
        column: Some(format!("column {column}")),
        value: Some(written.clone()),
        rule: format!("is read as {read}, and so is every decimal comma of this file"),
        cure: "where that is not meant write points".to_owned(),
    })
}

/// A cell with its decimal comma as a point, if its column holds numbers and it has one.
pub(super) fn number_of(column: &str, cell: &str) -> Option<String> {
    if WORDS.contains(&column) { None } else { decimal_comma(cell.trim()) }
}

/// A cell that makes a line none: its column or its place, what is shown of it, the rule that it
/// breaks and the cure.
pub(super) struct Torn {
    pub column: String,
    pub value: String,
    pub rule: String,
    pub cure: &'static str,
}

/// The first cell of a line that runs over the end of the line, or that is too long to be one.
pub(super) fn torn(
    record: &StringRecord,
    header: Option<&[Option<&'static str>]>,
    list: &'static str,
) -> Option<Torn> {
    if let Some((place, cell)) = record.iter().enumerate().find(|(_, c)| c.contains('\n')) {
        let named = header.and_then(|h| h.get(place).copied().flatten());
        return Some(Torn {
            column: named.map_or_else(|| (place + 1).to_string(), str::to_owned),
            value: cell.to_owned(),
            rule: "runs over the end of the line".to_owned(),
            cure: "close the quotes, or write an inch mark inside quotes twice: \"1 7/16\"\"\"",
        });
    }
    let (place, long) = record.iter().enumerate().find(|(_, c)| c.len() > LONGEST_CELL)?;
    Some(Torn {
        column: (place + 1).to_string(),
        value: cut_off(long, 60),
        rule: format!("is {} bytes long, and no cell is longer than {LONGEST_CELL}", long.len()),
        cure: list,
    })
}
