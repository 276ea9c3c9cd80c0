//! Bench sheets as text.

use crate::glue::{GlueUp, Spare};
use crate::length::{Length, Units};
use crate::paddle::Job;
use crate::report::text::table::{columns, indented, paragraph};
use crate::shop::bench::{BenchSheet, CUT_SHORT};
use crate::text::plain;

/// Every bench sheet of a glue-up for the paddles that `serves` has, what is the same for all of them
/// once before the first, and their strips that stay over.
pub fn sheets(
    (up, sheets): (&GlueUp, &[BenchSheet]),
    job: &Job,
    serves: &dyn Fn(usize) -> bool,
    width: usize,
) -> String {
    let served = up.blanks.iter().zip(sheets).filter(|(blank, _)| serves(blank.paddle));
    let sheets: Vec<BenchSheet> = served.map(|(_, sheet)| sheet.clone()).collect();
    let spares: Vec<&Spare> = up.spares.iter().filter(|s| serves(s.paddle)).collect();
    let shared = common(&sheets);
    let parts = sheets.iter().map(|sheet| match &shared {
        Some(shared) => text_sheet(&own(sheet, shared), width),
        None => text_sheet(sheet, width),
    });
    let first = shared.iter().map(|shared| under("Gluing up", shared, width));
    let mut out = first.chain(parts).collect::<Vec<_>>().join("\n\n");
    if !spares.is_empty() {
        let name = |s: &&Spare| {
            let lamination =
                job.paddles.get(s.paddle).and_then(|p| p.laminations.get(s.lamination));
            format!("{} ({})", s.strip, lamination.map_or("", |l| l.name.as_str()))
        };
        let list: Vec<String> = spares.iter().map(name).collect();
        let line = format!("Spares, the most bent of their lamination: {}.", list.join(", "));
        out.push('\n');
        paragraph(&mut out, &line, width, "", "");
    }
    if sheets.is_empty() {
        let none = if up.blanks.is_empty() { "no paddle" } else { "none of these paddles" };
        out.push_str(&indented(
            &format!("The plan makes {none}: there is nothing to glue."),
            "",
            width,
        ));
    }
    out
}

/// What all sheets of several have in common: warnings, whole tables of glue and clamps, notes, lines
/// of steps, cautions. Nothing of it names a strip, since no strip is in two blanks.
fn common(sheets: &[BenchSheet]) -> Option<BenchSheet> {
    let (first, rest) = sheets.split_first().filter(|(_, rest)| !rest.is_empty())?;
    let all = |has: &dyn Fn(&BenchSheet) -> bool| rest.iter().all(has);
    let mut shared = first.clone();
    shared.title = "the same for every blank".to_owned();
    shared.warnings.retain(|w| all(&|s| s.warnings.contains(w)));
    shared.cautions.retain(|c| all(&|s| s.cautions.contains(c)));
    for table in &mut shared.tables {
        let like = |s: &BenchSheet| {
            s.tables.iter().any(|t| t.title == table.title && t.rows == table.rows)
        };
        if !table.gluing || !all(&like) {
            table.rows.clear();
        }
        let title = table.title.clone();
        table.notes.retain(|note| {
            all(&|s| s.tables.iter().any(|t| t.title == title && t.notes.contains(note)))
        });
    }
    for step in &mut shared.steps {
        let title = step.title.clone();
        step.lines.retain(|line| {
            all(&|s| s.steps.iter().any(|t| t.title == title && t.lines.contains(line)))
        });
    }
    Some(shared)
}

/// A sheet without what is told once for all. Every step stands on it, if only with where to find it.
fn own(sheet: &BenchSheet, shared: &BenchSheet) -> BenchSheet {
    let mut own = sheet.clone();
    own.warnings.retain(|w| !shared.warnings.contains(w));
    own.cautions.retain(|c| !shared.cautions.contains(c));
    for table in &mut own.tables {
        let Some(known) = shared.tables.iter().find(|t| t.title == table.title) else { continue };
        if !known.rows.is_empty() {
            table.rows.clear();
        }
        table.notes.retain(|note| !known.notes.contains(note));
    }
    for (step, known) in own.steps.iter_mut().zip(&shared.steps) {
        step.lines.retain(|line| !known.lines.contains(line));
        if step.lines.is_empty() {
            step.lines.push("As told above, the same for every blank.".to_owned());
        }
    }
    own
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
    // Blanks that come out alike share a sentence: a class has many of them.
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for blank in &up.blanks {
        let (before, after) = (&blank.before, &blank.after);
        let bends = format!(
            "foretold to bend {} depthwise and {} sidewise ({} and {} without flips).",
            shown(after.depthwise),
            shown(after.sidewise),
            shown(before.depthwise),
            shown(before.sidewise),
        );
        let name = format!("{} {}", plain(&blank.name), blank.copy);
        match alike.iter_mut().find(|(said, _)| *said == bends) {
            Some((_, names)) => names.push(name),
            None => alike.push((bends, vec![name])),
        }
    }
    for (bends, names) in &alike {
        let is = if names.len() == 1 { "is" } else { "are each" };
        let line = format!("Glued up, {} {is} {bends}", names.join(", "));
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
    under("Bench sheet", sheet, width)
}

fn under(heading: &str, sheet: &BenchSheet, width: usize) -> String {
    let width = width.max(20);
    let mut out = String::new();
    let line = |out: &mut String, text: &str, first: &str, rest: &str| {
        paragraph(out, text, width, first, rest);
    };
    let title = format!("{heading}: {}", sheet.title);
    line(&mut out, &title, "", "");
    out.push_str(&"=".repeat(textwrap::core::display_width(&title).min(width)));
    out.push('\n');
    for warning in &sheet.warnings {
        line(&mut out, warning, "! ", "  ");
    }
    for table in sheet.tables.iter().filter(|t| !(t.rows.is_empty() && t.notes.is_empty())) {
        out.push('\n');
        line(&mut out, &table.title, "", "");
        if !table.rows.is_empty() {
            out.push_str(&columns(&table.head, &table.rows, width));
        }
        for note in &table.notes {
            line(&mut out, note, "", "");
        }
    }
    for (n, step) in sheet.steps.iter().enumerate().filter(|(_, step)| !step.lines.is_empty()) {
        out.push('\n');
        line(&mut out, &format!("{}. {}", n + 1, step.title), "", "");
        for text in &step.lines {
            line(&mut out, text, "   - ", "     ");
        }
    }
    if !sheet.cautions.is_empty() {
        out.push_str("\nCautions\n");
    }
    for caution in &sheet.cautions {
        line(&mut out, caution, "- ", "  ");
    }
    out
}
