//! `stripwright look-for`.

use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending};
use crate::read;
use crate::report::text as show;
use crate::survey::look::look_until;
use std::path::PathBuf;

/// Print a pocket page for the rack: sizes, clear runs, end grain and bends to look for
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The shop and the paddles wanted
    #[arg(long, value_name = "FILE")]
    paddles: PathBuf,
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
    Outputs::none(&[&arguments.paddles])?;
    let job = read::wanted(&arguments.paddles)?.job;
    let looks = {
        let _progress = Progress::start(&mut options);
        look_until(&job, &options.stop)
    };
    say(&show::survey::look(&looks, &job, width(arguments.width)));
    Ok(Ending::Done)
}
