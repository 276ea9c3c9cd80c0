//! The line of column names.

use super::Reader;
use crate::read::problem::{nearest, suggestion};

/// Columns that are looked at for a misspelt one.
const MOST_MEANT: usize = 1000;

impl Reader<'_> {
    pub(super) fn header(
        &mut self,
        line: usize,
        record: &csv::StringRecord,
    ) -> Option<Vec<Option<&'static str>>> {
        let known = self.columns();
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
                    let cure = if full { String::new() } else { suggestion(&word, &known) };
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
        let cure = "begin with a line of column names: board,species,length,width,thickness";
        self.problem(line, "board", None, "is missing from the header", cure);
        None
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
            let meant = |cell: &str| {
                let word = word(cell);
                !known.contains(&word.as_str()) && nearest(&word, &known) == Some(needed)
            };
            if !record.iter().take(MOST_MEANT).any(meant) {
                let cure = format!("add a column {needed}");
                self.problem(line, needed, None, "is missing from the header", &cure);
            }
        }
    }
}

/// A column's name as it is known, from a cell of the header.
pub(super) fn word(cell: &str) -> String {
    cell.trim().to_lowercase().replace([' ', '-'], "_")
}
