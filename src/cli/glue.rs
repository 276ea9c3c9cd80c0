//! `stripwright glue`.

use crate::cli::lists::FilesOfPlan;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::{Ended, Ending, Failure, fault_list, rack, warn, whose};
use crate::glue::glue_up;
use crate::read;
use crate::report::{self, Part, text as show};
use crate::shop::bench::{self, BenchSheet};
use crate::shop::code::code;
use crate::verify::verify_cut;
use std::path::PathBuf;

/// Say how the strips of a plan go together: places, flips, straightness, glue and clamps
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright glue plan.json             with boards.csv and paddles.toml where you stand
  stripwright glue plan.json --strips measured.csv --out bench.txt
  stripwright glue plan.json --sheet ada.html --for Ada")]
pub struct Arguments {
    #[command(flatten)]
    files: FilesOfPlan,
    /// The plan, as `plan --json` writes it
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Instead of bench sheets a sheet to write measurements on: what is foretold of every strip,
    /// and room for what it measures
    #[arg(long)]
    measures: bool,
    /// Write the bench sheets here instead of to standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Write a page to print with how to glue up and the bench sheets, as one HTML file; - for
    /// standard output
    #[arg(long, value_name = "FILE", conflicts_with = "measures")]
    sheet: Option<PathBuf>,
    /// Bench sheets for these paddles alone, as for one builder of a class; the page then says also
    /// where each strip comes from, and has its label and its measures. May be given more than once
    #[arg(long = "for", value_name = "PADDLES", conflicts_with = "measures")]
    whose: Vec<String>,
    /// Columns to wrap at; 100 where there is no terminal
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input, and for a plan that breaks a rule.
pub fn run(arguments: &Arguments) -> Ended {
    let files = arguments.files.found()?;
    let mut inputs = files.paths();
    inputs.push(&arguments.plan);
    let files_out = [("--out", arguments.out.as_ref()), ("--sheet", arguments.sheet.as_ref())];
    let mut outputs = Outputs::of(&inputs, &files_out, None)?;
    let read = files.read().map_err(|problems| {
        // Names that the plan doesn't have are told at once, though the plan can't be checked yet.
        problems.beside(files.strips().map_or(Vec::new(), |s| rack::strange(s, &arguments.plan)))
    });
    let read::Inputs { job, glue: settings, boards, doubts } = read?;
    for doubt in &doubts {
        warn(&doubt.to_string());
    }
    let parts: &[Part] =
        if arguments.whose.is_empty() { &[Part::Gluing, Part::Bench] } else { &[] };
    let pages = whose::pages(parts, &arguments.whose, &job)?;
    let file = read::plan(&arguments.plan, &job, &boards)?;
    outputs.open()?;
    let plan = verify_cut(&file, &job, &boards).map_err(|faults| {
        let list = fault_list(&faults);
        Failure::new(format!("{list}\nThe plan breaks these rules; nothing was glued up."))
    })?;
    for unused in rack::not_of_plan(&plan, &job) {
        warn(&unused);
    }
    // A file reads the same wherever it was written.
    let columns = match &arguments.out {
        Some(_) => arguments.width.unwrap_or(100),
        None => width(arguments.width),
    };
    if arguments.measures {
        let text = show::rack::measures(&plan, &job, &boards, columns);
        if !outputs.has("--out") {
            say(&text);
        }
        outputs.put("--out", || text);
        outputs.commit()?;
        return Ok(Ending::Done);
    }
    let up = glue_up(&plan, &job, &boards, &settings);
    let sheets = bench::sheets(&up, &plan, &job, &boards, &settings);
    let mut text = show::rack::misfits(&up, &plan, &job, columns);
    // What was said of strips that do not fit is the answer where nothing can be glued.
    if text.is_empty() || !up.blanks.is_empty() {
        let serves = |paddle| pages.serves(paddle);
        let code = code(&plan, &job, &boards);
        text.push_str(&format!("Bench sheets of plan {code}\n\n"));
        text.push_str(&show::bench::sheets((&up, &sheets), &job, &serves, columns));
    }
    let own: Vec<&BenchSheet> = (up.blanks.iter().zip(&sheets))
        .filter_map(|(blank, sheet)| pages.serves(blank.paddle).then_some(sheet))
        .collect();
    let sheet = |i: usize| own.get(i).map(|sheet| (*sheet).clone());
    let benches = report::Benches { count: own.len(), sheet: &sheet };
    outputs.put_in_pieces("--sheet", &mut |out| {
        let of = (&plan, &job, &boards[..]);
        report::html_in_pieces(of, &benches, &pages, out, &mut |_, _| {})
    });
    let wanted: u64 = plan.paddles.iter().map(|&n| u64::from(n)).sum();
    let all = up.blanks.len() as u64 >= wanted;
    if !outputs.has("--out") && !outputs.takes_standard_output() {
        say(&text);
    }
    outputs.put("--out", || text);
    outputs.commit()?;
    Ok(if all || up.misfits.is_empty() { Ending::Done } else { Ending::NoPlan })
}
