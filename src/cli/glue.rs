//! `stripwright glue`.

use crate::cli::lists::FilesOfPlan;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::{Ended, Ending, Failure, fault_list};
use crate::glue::{GlueUp, bench, glue_up};
use crate::paddle::Job;
use crate::read;
use crate::verify::verify_file;
use std::path::PathBuf;

/// Say how the strips of a plan go together: places, flips, straightness, glue and clamps
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(flatten)]
    files: FilesOfPlan,
    /// The plan, as `plan --json` writes it
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Write the bench sheets here instead of to standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Columns to wrap at; 100 where there is no terminal
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input, and for a plan that breaks a rule.
pub fn run(arguments: &Arguments) -> Ended {
    let mut inputs = arguments.files.paths();
    inputs.push(&arguments.plan);
    let mut outputs = Outputs::of(&inputs, &[("--out", arguments.out.as_ref())], None)?;
    let read::Inputs { job, glue: settings, boards } = arguments.files.read()?;
    let file = read::plan(&arguments.plan, &job, &boards)?;
    outputs.open()?;
    let plan = verify_file(&file, &job, &boards).map_err(|faults| {
        let list = fault_list(&faults);
        Failure::new(format!("{list}\nThe plan breaks these rules; nothing was glued up."))
    })?;
    // A file reads the same wherever it was written.
    let columns = match &arguments.out {
        Some(_) => arguments.width.unwrap_or(100),
        None => width(arguments.width),
    };
    let up = glue_up(&plan, &job, &boards, &settings);
    let text = text(&up, &job, columns);
    if !outputs.has("--out") {
        say(&text);
    }
    outputs.put("--out", || text);
    outputs.commit()?;
    Ok(Ending::Done)
}

/// Every bench sheet of a glue-up, and the strips that stay over.
pub fn text(up: &GlueUp, job: &Job, columns: usize) -> String {
    let sheets = up.blanks.iter().map(|b| bench::text_sheet(&b.bench, columns));
    let mut out = sheets.collect::<Vec<_>>().join("\n\n");
    if !up.spares.is_empty() {
        let name = |s: &crate::glue::Spare| {
            let lamination =
                job.paddles.get(s.paddle).and_then(|p| p.laminations.get(s.lamination));
            format!("{} ({})", s.strip, lamination.map_or("", |l| l.name.as_str()))
        };
        let list: Vec<String> = up.spares.iter().map(name).collect();
        let line = format!("Spares, the most bent of their lamination: {}.", list.join(", "));
        out.push('\n');
        out.push_str(&textwrap::fill(&line, columns));
        out.push('\n');
    }
    if up.blanks.is_empty() {
        out.push_str("The plan makes no paddle: there is nothing to glue.\n");
    }
    out
}

/// A sentence for each blank: how straight it is foretold to be.
pub fn summary(up: &GlueUp, job: &Job, columns: usize) -> String {
    let shown = |metres: f64| {
        let here = match job.units {
            crate::length::Units::Inch => metres / 0.0254,
            crate::length::Units::Mm => metres * 1000.0,
        };
        let length = crate::length::Length::from_f64(here.abs(), job.units).unwrap_or_default();
        length.on_tape(job.units).with_unit(job.units)
    };
    let mut out = String::new();
    for blank in &up.blanks {
        let (before, after) = (&blank.before, &blank.after);
        let line = format!(
            "Glued up, {} {} is foretold to bend {} depthwise and {} sidewise ({} and {} without flips).",
            crate::show::tables::plain(&blank.name),
            blank.copy,
            shown(after.depthwise),
            shown(after.sidewise),
            shown(before.depthwise),
            shown(before.sidewise),
        );
        out.push_str(&crate::show::table::indented(&line, "", columns));
    }
    out.push_str("Places, flips, glue and clamps: add --bench, or print --sheet.\n");
    out
}
