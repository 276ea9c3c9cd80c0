//! A bench sheet as text, and as parts of the drawn pages.

use crate::glue::blank::{Blank, Reach};
use crate::length::{Length, Units};
use crate::shop::bench::{BenchSheet, Table};

fn text(s: impl Into<String>) -> String {
    s.into()
}

/// The sheet as text, wrapped to `width` columns.
pub fn text_sheet(sheet: &BenchSheet, width: usize) -> String {
    let width = width.max(20);
    let mut out = String::new();
    let line = |out: &mut String, text: &str, first: &str, rest: &str| {
        let options = textwrap::Options::new(width).initial_indent(first).subsequent_indent(rest);
        for wrapped in textwrap::wrap(text, options) {
            out.push_str(wrapped.trim_end());
            out.push('\n');
        }
    };
    let title = format!("Bench sheet: {}", sheet.title);
    line(&mut out, &title, "", "");
    out.push_str(&"=".repeat(textwrap::core::display_width(&title).min(width)));
    out.push('\n');
    for warning in &sheet.warnings {
        line(&mut out, warning, "! ", "  ");
    }
    for table in &sheet.tables {
        out.push('\n');
        line(&mut out, &table.title, "", "");
        table_text(&mut out, table, width);
        for note in &table.notes {
            line(&mut out, note, "", "");
        }
    }
    for (n, step) in sheet.steps.iter().enumerate() {
        out.push('\n');
        line(&mut out, &format!("{}. {}", n + 1, step.title), "", "");
        for text in &step.lines {
            line(&mut out, text, "   - ", "     ");
        }
    }
    out.push_str("\nCautions\n");
    for caution in &sheet.cautions {
        line(&mut out, caution, "- ", "  ");
    }
    out
}

/// Columns side by side where they fit, else a paragraph for each row.
fn table_text(out: &mut String, table: &Table, width: usize) {
    use textwrap::core::display_width;
    let rows = || std::iter::once(&table.head).chain(&table.rows);
    let wide: Vec<usize> = (0..table.head.len())
        .map(|i| rows().filter_map(|r| r.get(i)).map(|c| display_width(c)).max().unwrap_or(0))
        .collect();
    if wide.iter().map(|w| w + 2).sum::<usize>() <= width + 2 {
        for row in rows().filter(|r| r.iter().skip(1).any(|c| c != "figure" && c != "how much")) {
            let mut line = String::new();
            for (cell, &w) in row.iter().zip(&wide) {
                line.push_str(cell);
                line.push_str(&" ".repeat(w + 2 - display_width(cell).min(w)));
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
        return;
    }
    for row in &table.rows {
        let named = |(head, cell): (&String, &String)| match head.as_str() {
            // These cells speak for themselves.
            "" | "figure" | "how much" | "strip" | "lamination" | "wood" | "side" | "lies"
            | "how" => cell.clone(),
            head => format!("{head} {cell}"),
        };
        let cells = table.head.iter().zip(row).skip(1).filter(|(_, c)| !c.is_empty());
        let cells: Vec<String> = cells.map(named).collect();
        let text = format!("{}: {}", row.first().map_or("", String::as_str), cells.join(", "));
        let options = textwrap::Options::new(width).subsequent_indent("    ");
        for wrapped in textwrap::wrap(&text, options) {
            out.push_str(wrapped.trim_end());
            out.push('\n');
        }
    }
}

/// The blank for the drawn sheets: its stack as it lies, and the bench sheet in parts. The left
/// end of the drawing is end A.
pub fn drawn(blank: &Blank, units: Units) -> crate::report::BenchSheet {
    use crate::report::{Bar, BenchPart, Run, Stack};
    let mut rows: Vec<(Length, Vec<Bar>)> = Vec::new();
    for p in &blank.places {
        let bar = Bar {
            name: p.strip.clone(),
            lamination: format!("{}, {}", p.lamination_name, p.thickness().with_unit(units)),
            run: match p.reach {
                Reach::BladeA => Run::LeftBlade,
                Reach::Through => Run::Through,
                Reach::BladeB => Run::RightBlade,
            },
            arrow_left: p.placing.marked_end_at_a(),
            name_up: p.placing.name_up(),
            thickness: p.thickness(),
            how: format!("{}: {}", p.placing.word(), p.placing.how()),
        };
        match rows.last_mut() {
            Some((left, row)) if *left == p.left => row.push(bar),
            _ => rows.push((p.left, vec![bar])),
        }
    }
    let part =
        |heading: &str, lines: Vec<String>, tick| BenchPart { heading: text(heading), lines, tick };
    let mut parts = Vec::new();
    if !blank.bench.warnings.is_empty() {
        parts.push(part("Look out", blank.bench.warnings.clone(), false));
    }
    // The first table is what the drawing and the table beside it show.
    for table in blank.bench.tables.iter().skip(1) {
        let line = |row: &Vec<String>| {
            let cells = table.head.iter().zip(row).skip(1);
            let cells = cells.map(|(head, cell)| match head.as_str() {
                "figure" | "how much" => cell.clone(),
                head => format!("{head} {cell}"),
            });
            let name = row.first().map_or("", String::as_str);
            format!("{name}: {}", cells.collect::<Vec<_>>().join(", "))
        };
        let lines = table.rows.iter().map(line).chain(table.notes.iter().cloned()).collect();
        parts.push(part(&table.title, lines, false));
    }
    for step in &blank.bench.steps {
        parts.push(part(&step.title, step.lines.clone(), true));
    }
    parts.push(part("Cautions", blank.bench.cautions.clone(), false));
    crate::report::BenchSheet {
        title: format!("Bench: {}", blank.bench.title),
        stack: Stack {
            rows: rows.into_iter().map(|(_, row)| row).collect(),
            length: blank.length,
            blade: blank.blade,
            thickness: blank.places.iter().map(|p| p.depth).max().unwrap_or_default(),
        },
        parts,
    }
}
