//! `stripwright plan`.

use crate::choose::{self, Aim};
use crate::cli::limit::TimeLimit;
use crate::cli::output::{Output, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Failure, Files, fault_list};
use crate::glue::{GlueSettings, bench, glue_up};
use crate::read;
use crate::sheet;
use crate::show;
use crate::verify::{Fault, VerifiedPlan, verify};
use std::path::{Path, PathBuf};

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
    /// Write every drawing as an SVG file into this folder
    #[arg(long, value_name = "FOLDER")]
    svg: Option<PathBuf>,
    /// Print the bench sheets too: how each blank goes together
    #[arg(long)]
    bench: bool,
    /// Draw each board in the terminal too
    #[arg(long)]
    draw: bool,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS")]
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
    let read::Inputs { job, boards } =
        read::inputs(&arguments.files.boards, &arguments.files.paddles)?;
    Output::apart(&[&arguments.json, &arguments.cuts, &arguments.sheet])?;
    let paddles = &arguments.files.paddles;
    let settings =
        GlueSettings::read(&paddles.display().to_string(), &read::text(paddles)?, job.units)?;
    let json = Output::maybe(arguments.json.as_ref())?;
    let cuts = Output::maybe(arguments.cuts.as_ref())?;
    let page = Output::maybe(arguments.sheet.as_ref())?;
    // What goes to standard output for another program stands there alone.
    let quiet = [&arguments.json, &arguments.cuts, &arguments.sheet]
        .iter()
        .any(|o| o.as_deref() == Some("-".as_ref()));
    options.aim = if arguments.most { Aim::Most } else { Aim::Wanted };
    let outcome = {
        let _progress = Progress::start(&mut options);
        choose::plan(&job, &boards, &options)
    };
    match outcome {
        Ok(plan) => {
            let plan = verified(verify(plan, &job, &boards))?;
            let up = glue_up(&plan, &job, &boards, &settings);
            let benches: Vec<_> = up.blanks.iter().map(|b| bench::drawn(b, job.units)).collect();
            if let Some(json) = json {
                json.write(&show::json::to_string(&plan, &job, &boards))?;
            }
            if let Some(cuts) = cuts {
                cuts.write(&show::cuts::csv(&plan, &job, &boards))?;
            }
            if let Some(page) = page {
                page.write(&sheet::html(&plan, &job, &boards, &benches))?;
            }
            if let Some(folder) = &arguments.svg {
                drawings(folder, sheet::svgs(&plan, &job, &boards, &benches))?;
            }
            if quiet {
                return Ok(Ending::Done);
            }
            let columns = width(arguments.width);
            if arguments.draw {
                say(&sheet::text(&plan, &job, &boards, columns));
            }
            say(&show::tables::plan(&plan, &job, &boards, columns));
            if arguments.bench {
                say("");
                say(&super::glue::text(&up, &job, columns));
            } else {
                say(&super::glue::summary(&up, &job, columns));
            }
            Ok(Ending::Done)
        }
        Err(short) => {
            if let Some(json) = json {
                json.write(&show::json::short_json(&short, &job))?;
            }
            if !quiet {
                say(&show::short::text(&short, &job, &boards, width(arguments.width)));
            }
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

/// Writes drawings into a folder, which is made if it isn't there.
fn drawings(folder: &Path, files: Vec<(String, String)>) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| {
        Failure::new(format!("{}: cannot be made: {error}; name another folder.", folder.display()))
    })?;
    let open = |(name, text): (String, String)| Ok((Output::open(&folder.join(name))?, text));
    let opened: Vec<(Output, String)> =
        files.into_iter().map(open).collect::<Result<_, Failure>>()?;
    opened.into_iter().try_for_each(|(output, text)| output.write(&text))
}
