//! Tables for the terminal that never cut anything off.

use crate::text::together;
use tabled::builder::Builder;
use tabled::settings::Style;
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

/// A table that fits the width by wrapping its widest columns; where even that would tear words
/// apart, a list with a line for each cell.
pub fn table(header: &[&str], rows: &[Vec<String>], width: usize) -> String {
    let head: Vec<String> = header.iter().map(|h| (*h).to_owned()).collect();
    let all: Vec<Vec<String>> = std::iter::once(&head)
        .chain(rows)
        .map(|row| row.iter().map(|cell| together(cell)).collect())
        .collect();
    let most = |column: usize, measure: fn(&str) -> usize| {
        all.iter().filter_map(|row| row.get(column)).map(|c| measure(c)).max().unwrap_or(0)
    };
    let words = |cell: &str| cell.split(' ').map(display_width).max().unwrap_or(0);
    let least: Vec<usize> = (0..header.len()).map(|c| most(c, words)).collect();
    let mut widths: Vec<usize> = (0..header.len()).map(|c| most(c, display_width)).collect();
    // Two spaces of padding and a line for each column, and the last line.
    let room = width.saturating_sub(header.len() * 3 + 1);
    if least.iter().sum::<usize>() > room {
        return list(header, rows, width);
    }
    while widths.iter().sum::<usize>() > room {
        let widest = (0..widths.len()).filter(|&c| widths[c] > least[c]).max_by_key(|&c| widths[c]);
        let Some(widest) = widest else { break };
        widths[widest] -= 1;
    }
    let mut builder = Builder::default();
    for row in &all {
        let cells = row.iter().zip(&widths).map(|(cell, &w)| fill(cell, w.max(1), "", ""));
        builder.push_record(cells);
    }
    let mut table = builder.build();
    table.with(Style::sharp());
    table.to_string()
}

pub(super) fn fill(text: &str, width: usize, first: &str, next: &str) -> String {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(next)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::fill(&together(text), options).replace('\u{A0}', " ")
}

fn list(header: &[&str], rows: &[Vec<String>], width: usize) -> String {
    let mut out = String::new();
    for row in rows {
        for (place, (name, cell)) in header.iter().zip(row).enumerate() {
            if !cell.is_empty() {
                let line = if place == 0 { cell.clone() } else { format!("{name}: {cell}") };
                out.push_str(&indented(&line, if place == 0 { "" } else { "  " }, width));
            }
        }
    }
    out.trim_end().to_owned()
}

/// Heads that say nothing that their cells don't.
const SILENT: [&str; 9] =
    ["", "figure", "how much", "strip", "lamination", "wood", "side", "lies", "how"];

/// Columns side by side without lines where they fit, else a paragraph for each row.
pub fn columns(head: &[String], rows: &[Vec<String>], width: usize) -> String {
    let mut out = String::new();
    let all = || std::iter::once(head).chain(rows.iter().map(Vec::as_slice));
    let most = |i: usize| all().filter_map(|r| r.get(i)).map(|c| display_width(c)).max();
    let wide: Vec<usize> = (0..head.len()).map(|i| most(i).unwrap_or(0)).collect();
    if wide.iter().map(|w| w + 2).sum::<usize>() <= width + 2 {
        let says = |row: &&[String]| row.iter().skip(1).any(|c| c != "figure" && c != "how much");
        for row in all().filter(says) {
            let mut line = String::new();
            for (cell, &w) in row.iter().zip(&wide) {
                line.push_str(cell);
                line.push_str(&" ".repeat(w + 2 - display_width(cell).min(w)));
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
        return out;
    }
    for row in rows {
        let named = |(head, cell): (&String, &String)| match head.as_str() {
            head if SILENT.contains(&head) => cell.clone(),
            head => format!("{head} {cell}"),
        };
        let cells = head.iter().zip(row).skip(1).filter(|(_, c)| !c.is_empty());
        let cells: Vec<String> = cells.map(named).collect();
        let text = format!("{}: {}", row.first().map_or("", String::as_str), cells.join(", "));
        paragraph(&mut out, &text, width, "", "    ");
    }
    out
}

/// Adds a paragraph that never parts a number from its fraction or its unit's figure.
pub fn paragraph(out: &mut String, text: &str, width: usize, first: &str, rest: &str) {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_separator(WordSeparator::AsciiSpace);
    for wrapped in textwrap::wrap(&together(text), options) {
        out.push_str(&wrapped.trim_end().replace('\u{A0}', " "));
        out.push('\n');
    }
}

/// A paragraph wrapped to the width, ended; every line but the first is set in by two more.
pub fn indented(text: &str, by: &str, width: usize) -> String {
    let mut out = fill(text, width.max(20), by, &format!("{by}  "));
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::{indented, table};

    fn rows() -> Vec<Vec<String>> {
        [["A", "western redcedar", "96\" x 3 1/2\" x 1 1/2\""], ["B", "ash", "9\" x 8\" x 7\""]]
            .map(|r| r.map(str::to_owned).to_vec())
            .to_vec()
    }

    #[test]
    fn a_table_fits_every_width_and_loses_nothing() {
        let header = ["board", "wood", "size"];
        for width in 20..90 {
            let shown = table(&header, &rows(), width);
            assert!(shown.lines().all(|l| l.chars().count() <= width), "{width}\n{shown}");
            let dense: String = shown.chars().filter(|c| c.is_alphanumeric()).collect();
            for word in ["western", "redcedar", "ash", "board", "312", "112"] {
                // In a list the name of the first column gives way to the board itself.
                assert!(dense.contains(word) || word == "board", "{width}: {word}\n{shown}");
            }
        }
    }

    #[test]
    fn wide_enough_tables_have_a_line_a_row() {
        insta::assert_snapshot!(table(&["board", "wood", "size"], &rows(), 80), @r#"
        ┌───────┬──────────────────┬───────────────────────┐
        │ board │ wood             │ size                  │
        ├───────┼──────────────────┼───────────────────────┤
        │ A     │ western redcedar │ 96" x 3 1/2" x 1 1/2" │
        │ B     │ ash              │ 9" x 8" x 7"          │
        └───────┴──────────────────┴───────────────────────┘
        "#);
    }

    #[test]
    fn a_mixed_number_is_not_torn() {
        assert_eq!(indented("it needs 84 3/4\" here", "", 20), "it needs 84 3/4\"\n  here\n");
        assert_eq!(indented("so long it needs 84 3/4\"", "", 20), "so long it needs\n  84 3/4\"\n");
    }
}
