//! `stripwright look-for`.

use crate::cli::doubts::doubts;
use crate::cli::folder::Folder;
use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, warn};
use crate::read;
use crate::report::{look_cards, text as show};
use crate::survey::look::look_until;
use std::path::PathBuf;

/// Print a pocket page for the rack: sizes, clear runs, end grain and bends to look for
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright look-for                   for the paddles of the job where you stand
  stripwright look-for my-job --sheet card.html
  stripwright look-for --paddles paddles.toml --width 60")]
pub struct Arguments {
    /// The job's folder, with paddles.toml [if left out: where you stand]
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
    /// The shop and the paddles wanted, if not paddles.toml in the folder
    #[arg(long, value_name = "FILE")]
    paddles: Option<PathBuf>,
    /// Write cards for the pocket, 3 1/2 by 5 in, as an HTML page; - for standard output
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    #[command(flatten)]
    limit: TimeLimit,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`crate::cli::Failure`] for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    let mut options = arguments.limit.options();
    let mut folder = Folder::of(arguments.folder.as_deref())?;
    let paddles = folder.paddles(arguments.paddles.as_ref());
    folder.tell(false)?;
    let files = [("--sheet", arguments.sheet.as_ref())];
    let mut outputs = Outputs::of(&[&paddles], &files, None)?;
    let job = read::wanted(&paddles)?.job;
    outputs.open()?;
    for text in doubts(&job, &[]) {
        warn(&text);
    }
    let looks = {
        let _progress = Progress::start(&mut options);
        look_until(&job, &options.stop)
    };
    if !outputs.takes_standard_output() {
        say(&show::survey::look(&looks, &job, width(arguments.width)));
    }
    outputs.put("--sheet", || look_cards(&looks, &job));
    outputs.commit()?;
    Ok(Ending::Done)
}
