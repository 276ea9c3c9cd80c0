//! Bench sheets as text.

use crate::glue::{GlueUp, Spare};
use crate::length::{Length, Units};
use crate::paddle::Job;
use crate::report::text::table::{columns, indented, paragraph};
use crate::shop::bench::{BenchSheet, CUT_SHORT};
use crate::text::plain;

/// Every bench sheet of a glue-up, and the strips that stay over.
pub fn sheets(up: &GlueUp, sheets: &[BenchSheet], job: &Job, width: usize) -> String {
    let sheets = sheets.iter().map(|sheet| text_sheet(sheet, width));
    let mut out = sheets.collect::<Vec<_>>().join("\n\n");
    if !up.spares.is_empty() {
        let name = |s: &Spare| {
            let lamination =
                job.paddles.get(s.paddle).and_then(|p| p.laminations.get(s.lamination));
            format!("{} ({})", s.strip, lamination.map_or("", |l| l.name.as_str()))
        };
        let list: Vec<String> = up.spares.iter().map(name).collect();
        let line = format!("Spares, the most bent of their lamination: {}.", list.join(", "));
        out.push('\n');
        paragraph(&mut out, &line, width, "", "");
    }
    if up.blanks.is_empty() {
        out.push_str("The plan makes no paddle: there is nothing to glue.\n");
    }
    out
}

/// A sentence for each blank: how straight it is foretold to be.
pub fn summary(up: &GlueUp, job: &Job, width: usize) -> String {
    let shown = |metres: f64| {
        let here = match job.units {
            Units::Inch => metres / 0.0254,
            Units::Mm => metres * 1000.0,
        };
        let length = Length::from_f64(here.abs(), job.units).unwrap_or_default();
        length.on_tape(job.units).with_unit(job.units)
    };
    let mut out = String::new();
    for blank in &up.blanks {
        let (before, after) = (&blank.before, &blank.after);
        let line = format!(
            "Glued up, {} {} is foretold to bend {} depthwise and {} sidewise ({} and {} without flips).",
            plain(&blank.name),
            blank.copy,
            shown(after.depthwise),
            shown(after.sidewise),
            shown(before.depthwise),
            shown(before.sidewise),
        );
        out.push_str(&indented(&line, "", width));
    }
    if up.blanks.iter().any(|b| b.cut_short) {
        out.push_str(&indented(CUT_SHORT, "", width));
    }
    out.push_str("Places, flips, glue and clamps: add --bench, or print --sheet.\n");
    out
}

/// The sheet as text, wrapped to `width` columns.
pub fn text_sheet(sheet: &BenchSheet, width: usize) -> String {
    let width = width.max(20);
    let mut out = String::new();
    let line = |out: &mut String, text: &str, first: &str, rest: &str| {
        paragraph(out, text, width, first, rest);
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
        out.push_str(&columns(&table.head, &table.rows, width));
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
