//! `stripwright plan`.

use crate::choose::{self, Aim, NoPlan};
use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, complain, say, width};
use crate::cli::progress::Progress;
use crate::cli::sizes::sizes;
use crate::cli::{Ended, Ending, Failure, Files, fault_list, rack};
use crate::glue::glue_up;
use crate::paddle::Job;
use crate::read;
use crate::report::{self, Pages, Part, csv, json, text as show};
use crate::shop::bench;
use crate::shop::kept::kept;
use crate::verify::{Fault, VerifiedPlan, verify};
use std::path::PathBuf;

/// Plan the cheapest boards to open and how to cut them, verified and with what is proved
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// Make as many whole paddles as the boards give (with several kinds, at most as many of
    /// each as wanted)
    #[arg(long)]
    most: bool,
    /// Write the plan as JSON; - for standard output
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Write the cut list as CSV, one line a strip; - for standard output
    #[arg(long, value_name = "FILE")]
    cuts: Option<PathBuf>,
    /// Write a page to print and take to the saw, as one HTML file; - for standard output
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// What the page holds, if not all: job, boards, labels, measures, gluing, bench
    #[arg(long, value_name = "PARTS", value_delimiter = ',', requires = "sheet", value_parser = Part::parse)]
    pages: Vec<Part>,
    /// Write every drawing as an SVG file into this folder
    #[arg(long, value_name = "FOLDER")]
    svg: Option<PathBuf>,
    /// Print the bench sheets too: how each blank goes together
    #[arg(long)]
    bench: bool,
    /// Print the cuts of each board in shop order too, as the page has them
    #[arg(long)]
    steps: bool,
    /// Draw each board in the terminal too
    #[arg(long)]
    draw: bool,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
    #[command(flatten)]
    limit: TimeLimit,
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    let mut options = arguments.limit.options();
    let files = [
        ("--json", arguments.json.as_ref()),
        ("--cuts", arguments.cuts.as_ref()),
        ("--sheet", arguments.sheet.as_ref()),
    ];
    let mut outputs = Outputs::of(&arguments.files.paths(), &files, arguments.svg.as_ref())?;
    let read::Inputs { job, glue: settings, boards, doubts } = arguments.files.read()?;
    let copies = boards.iter().map(|b| u64::from(b.quantity)).sum();
    let blanks = job.paddles.iter().map(|p| u64::from(p.quantity)).sum();
    outputs.foresee([job.paddles.len() as u64, copies, blanks])?;
    outputs.open()?;
    for warning in sizes(&job, &boards) {
        complain(&format!("Warning: {warning}"));
    }
    for warning in rack::warnings(&job, &doubts) {
        complain(&format!("Warning: {warning}"));
    }
    let quiet = outputs.takes_standard_output();
    options.aim = if arguments.most { Aim::Most } else { Aim::Wanted };
    let progress = Progress::start(&mut options);
    let outcome = choose::plan(&job, &boards, &options);
    // From here on nothing is kept that is not finished: a request to end ends the program.
    progress.searched();
    match outcome {
        Ok(plan) => {
            progress.stage("verifying");
            let plan = verified(verify(plan, &job, &boards))?;
            // Only pages and drawings show how blanks lie, and of thousands that takes long.
            let shown = outputs.has("--sheet") || arguments.svg.is_some();
            progress.stage("placing strips in blanks");
            let up = (shown || !quiet).then(|| glue_up(&plan, &job, &boards, &settings));
            let blanks = up.as_ref().map_or(&[][..], |up| &up.blanks);
            let kept = if shown { kept(&plan, &job, &boards) } else { Vec::new() };
            let sheet =
                |i: usize| Some(bench::sheet(blanks.get(i)?, &kept, &job, &boards, &settings));
            let benches = report::Benches { count: blanks.len(), sheet: &sheet };
            let of = (&plan, &job, &boards[..]);
            outputs.put("--json", || json::to_string(&plan, &job, &boards));
            outputs.put("--cuts", || csv::cuts(&plan, &job, &boards));
            let pages = Pages::of(&arguments.pages);
            let mut told = |done, all| progress.part("writing the page", done, all);
            outputs.put_in_pieces("--sheet", &mut |out| {
                report::html_in_pieces(of, &benches, &pages, out, &mut told)
            });
            let mut told = |done, all| progress.part("drawing", done, all);
            outputs.draw(|take| report::svgs_one_by_one(of, &benches, &mut told, take));
            drop(progress);
            let Some(up) = up.as_ref().filter(|_| !quiet) else {
                outputs.commit()?;
                return Ok(Ending::Done);
            };
            let columns = width(arguments.width);
            if arguments.draw {
                say(&show::sheet::text(&plan, &job, &boards, columns));
            }
            say(&show::tables::plan(&plan, &job, &boards, columns));
            if arguments.steps {
                say(&show::steps::text(&plan, &job, &boards, columns));
            } else {
                say(&show::table::indented(show::tables::STEPS, "", columns));
            }
            if arguments.bench {
                say("");
                let sheets = bench::sheets(up, &plan, &job, &boards, &settings);
                say(&show::bench::sheets(up, &sheets, &job, columns));
            } else {
                say(&show::bench::summary(up, &job, columns));
            }
            outputs.commit()?;
            Ok(Ending::Done)
        }
        Err(short) => {
            drop(progress);
            let columns = width(arguments.width);
            let text = show::short::text(&short, &job, &boards, columns, &options.stop.grace());
            outputs.tell(&text);
            no_plan(outputs, &short, &job)?;
            Ok(Ending::NoPlan)
        }
    }
}

/// A verified plan, or the failure that a faulty one is: nothing of it leaves the program.
///
/// # Errors
/// The faults.
pub(super) fn verified(checked: Result<VerifiedPlan, Vec<Fault>>) -> Result<VerifiedPlan, Failure> {
    checked.map_err(|faults| {
        Failure::new(format!(
            "The plan found breaks the rules, which is a fault of this program; nothing was written.\n{}",
            fault_list(&faults)
        ))
    })
}

/// Is this JSON of a run that had no plan either?
pub(super) fn says_no_plan(text: &str) -> bool {
    let json = serde_json::from_str::<serde_json::Value>(text).ok();
    json.is_some_and(|json| {
        read::plan_json::NO_PLAN.iter().any(|status| json["proof"]["status"] == *status)
    })
}

/// Writes what came of a run that has no plan, and says what becomes of an earlier run's files.
///
/// # Errors
/// As [`Outputs::commit`].
pub(super) fn no_plan(outputs: Outputs, short: &NoPlan, job: &Job) -> Result<(), Failure> {
    answer(outputs, short.proved(), || json::short_json(short, job))
}

/// That there is no plan is an answer, and is written; that none was found in time replaces none.
///
/// # Errors
/// As [`Outputs::commit`].
pub(super) fn answer(
    mut outputs: Outputs,
    decided: bool,
    json: impl FnOnce() -> String,
) -> Result<(), Failure> {
    if decided {
        outputs.put("--json", json);
        outputs.tell_what_stays("there is no plan to write");
    } else {
        outputs.put_if_nothing_is_lost("--json", |old| !says_no_plan(old), json);
        outputs.tell_what_stays("the search was stopped before it had a plan");
    }
    outputs.commit()
}
