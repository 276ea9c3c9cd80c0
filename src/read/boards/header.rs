//! The line of column names.

use super::{List, Reader, YARD_COLUMNS};
use crate::length::Length;
use crate::read::problem::{Problem, nearest, suggestion};

/// Columns that every list of boards has.
const FIRST: [&str; 5] = ["board", "species", "length", "width", "thickness"];

/// Words that people write above columns for those that are known.
const OTHER_WORDS: [(&str, &[&str]); 11] = [
    ("board", &["name", "id", "no", "number", "label"]),
    ("species", &["wood", "timber", "material"]),
    ("length", &["len", "l", "long"]),
    ("width", &["w", "wide", "breadth"]),
    ("thickness", &["thick", "thk", "t", "depth", "height"]),
    ("quantity", &["qty", "count", "pieces", "copies"]),
    ("price", &["cost", "amount"]),
    ("price_per_foot", &["price_per_board_foot", "price_per_running_foot", "price_per_bf"]),
    ("zone", &["kind", "defect", "fault", "mark"]),
    ("from", &["start", "begin", "begins"]),
    ("to", &["end", "ends", "until"]),
];

/// Columns that are looked at for a misspelt one.
const MOST_MEANT: usize = 1000;

impl Reader<'_> {
    pub(super) fn header(
        &mut self,
        line: usize,
        record: &csv::StringRecord,
    ) -> Option<Vec<Option<&'static str>>> {
        let known = self.columns();
        if self.is_a_board(record, &known) {
            let rule = "begins with a board, not with the names of columns";
            let cure = format!("write above it: {}", FIRST.join(","));
            let mut problem = Problem::of_file(self.file, rule, &cure);
            problem.line = Some(line);
            self.problems.push(problem);
            return None;
        }
        let mut meant_board = false;
        let mut columns: Vec<Option<&'static str>> = Vec::new();
        for cell in record {
            let word = word(cell);
            let found = known.iter().copied().find(|k| *k == word);
            match found {
                Some(column) if columns.contains(&Some(column)) => {
                    let cure = "keep one of the two";
                    self.problem(
                        line,
                        column,
                        Some(cell.trim()),
                        "stands twice in the header",
                        cure,
                    );
                }
                None if !word.is_empty() => {
                    // What is only counted needs no cure.
                    let full = self.problems.is_full();
                    let cure = if full { String::new() } else { self.cure(&word, &known) };
                    meant_board |= !full && meant(&word, &known) == Some("board");
                    self.problem(line, &word, Some(cell.trim()), "is not a column", &cure);
                }
                _ => {}
            }
            columns.push(found);
        }
        if columns.contains(&Some("board")) {
            self.absent(line, &columns, record);
            return Some(columns);
        }
        if !meant_board {
            let cure = format!("begin with a line of column names: {}", FIRST.join(","));
            self.problem(line, "board", None, "is missing from the header", &cure);
        }
        None
    }

    /// Are there a board's measures where the names of columns should be?
    fn is_a_board(&self, record: &csv::StringRecord, known: &[&str]) -> bool {
        let cells = || record.iter().take(MOST_MEANT).map(str::trim).filter(|c| !c.is_empty());
        let size = |cell: &&str| Length::parse(cell, self.units).is_ok_and(|l| l > Length::ZERO);
        cells().all(|cell| !known.contains(&word(cell).as_str()))
            && cells().filter(size).count() >= 2
    }

    /// What to write instead of a column that isn't known.
    fn cure(&self, word: &str, known: &[&'static str]) -> String {
        if self.list == List::OnHand && YARD_COLUMNS.contains(&word) {
            let instead = match word {
                "size" => "give width and thickness as measured",
                _ => "give the price of the whole board under price",
            };
            return format!("only a yard's list has it (buy, odds); here {instead}");
        }
        match meant(word, known) {
            Some(column) if bare(word) == column => format!(
                "write {column} alone: bare numbers are in {}, others carry their unit",
                self.units.word()
            ),
            Some(column) => format!("did you mean {column}?"),
            None => suggestion(word, known),
        }
    }

    /// Blames the header once for each needed column that it lacks, unless it misspells it.
    pub(super) fn absent(
        &mut self,
        line: usize,
        columns: &[Option<&str>],
        record: &csv::StringRecord,
    ) {
        let known = self.columns();
        for needed in ["species", "length", "width", "thickness"] {
            let nominal =
                columns.contains(&Some("size")) && matches!(needed, "width" | "thickness");
            if columns.contains(&Some(needed)) || nominal {
                continue;
            }
            self.absent.push(needed);
            let stands_for = |cell: &str| {
                let word = word(cell);
                !known.contains(&word.as_str()) && meant(&word, &known) == Some(needed)
            };
            if !record.iter().take(MOST_MEANT).any(stands_for) {
                let cure = format!("add a column {needed}");
                self.problem(line, needed, None, "is missing from the header", &cure);
            }
        }
    }
}

/// The column that a word seems to stand for: named with a unit, by another word or misspelt.
fn meant(word: &str, known: &[&'static str]) -> Option<&'static str> {
    let column = |name: &str| known.iter().copied().find(|k| *k == name);
    let by_other = |word: &str| {
        OTHER_WORDS.iter().find(|(_, words)| words.contains(&word)).map(|(column, _)| *column)
    };
    let other = || by_other(bare(word));
    column(bare(word)).or_else(|| other().and_then(column)).or_else(|| {
        of_words(
            word,
            |w| column(w).or_else(|| by_other(w).and_then(column)),
            || nearest(bare(word), known).or_else(|| nearest(word, known)),
        )
    })
}

/// The column that a heading of several words stands for, `Board Name`: each word of it is taken
/// whole before letters are compared. Where some words say nothing, the nearest spelling comes
/// before those that do: `bord_end` is not `end`.
pub(in crate::read) fn of_words(
    word: &str,
    column: impl Fn(&str) -> Option<&'static str>,
    nearest: impl Fn() -> Option<&'static str>,
) -> Option<&'static str> {
    // What stands behind says what of: price per board, length of board.
    let ends = ["_per_", "_of_"];
    let head = ends.iter().filter_map(|end| word.find(end)).min().map_or(word, |at| &word[..at]);
    // A cell may hold a page of text.
    let words: Vec<Option<&'static str>> =
        head.split('_').filter(|w| !w.is_empty()).take(MOST_WORDS).map(column).collect();
    let last = words.iter().rev().find_map(|found| *found);
    let all = words.len() > 1 && words.iter().all(Option::is_some);
    if all { last } else { nearest().or(last) }
}

/// Words of a heading that are looked at.
const MOST_WORDS: usize = 8;

/// A column's name without a unit behind it: `length_(in)`, `width_mm`.
pub(in crate::read) fn bare(word: &str) -> &str {
    let word = word.split(['(', '[', '/', ',']).next().unwrap_or(word).trim_end_matches('_');
    let units = ["_in", "_inch", "_inches", "_mm", "_cm", "_m", "_ft", "_feet", "_deg"];
    units.iter().find_map(|unit| word.strip_suffix(unit)).unwrap_or(word)
}

/// A column's name as it is known, from a cell of the header.
pub(in crate::read) fn word(cell: &str) -> String {
    cell.trim().to_lowercase().replace([' ', '-'], "_")
}
