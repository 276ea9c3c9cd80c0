//! `stripwright survey`.

use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::{Ended, Ending, Files};
use crate::read;
use crate::show;
use crate::survey::survey;

/// Say of every board by itself what it gives, and what it would take where it just misses
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// Runs the command.
///
/// # Errors
/// [`crate::cli::Failure`] for bad input.
pub fn run(arguments: &Arguments) -> Ended {
    Outputs::none(&arguments.files.paths())?;
    let read::Inputs { job, boards } =
        read::inputs(&arguments.files.boards, &arguments.files.paddles)?;
    let surveys = survey(&job, &boards);
    say(&show::survey::survey(&surveys, &job, &boards, width(arguments.width)));
    Ok(Ending::Done)
}
