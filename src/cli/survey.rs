//! `stripwright survey`.

use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Files, doubts};
use crate::odds::typical::typical;
use crate::read;
use crate::report::text as show;
use crate::survey::survey_board;
use std::path::{Path, PathBuf};

/// Say of every board by itself what it gives, and what it would take where it just misses
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// Marked boards with a grade: say what a typical board of each wood and grade gives
    #[arg(long, value_name = "FILE")]
    like: Option<PathBuf>,
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
    let like = arguments.like.as_deref();
    let files = arguments.files.found()?;
    let paths: Vec<&Path> = files.paths().into_iter().chain(like).collect();
    Outputs::none(&paths)?;
    let read::Inputs { job, boards, doubts: read_so, .. } = files.read()?;
    let read = |path| read::boards(path, &job, read::List::OnHand).map(|l| l.boards);
    let marked = like.map(read).transpose()?.unwrap_or_default();
    let columns = width(arguments.width);
    doubts::tell(&job, &boards, &read_so);
    if !job.strips.is_empty() {
        say(&show::rack::table_of(&job, columns));
    }
    let progress = Progress::start(&mut options);
    // Boards are told of as they are done.
    let mut left: Vec<String> = Vec::new();
    for (b, board) in boards.iter().enumerate() {
        match survey_board(&job, &boards, b, &options.stop) {
            Some(done) => {
                let text = show::survey::survey(&[done], &job, &boards, columns);
                progress.aside(|| say(&text));
            }
            None => left.push(crate::text::plain(&board.name)),
        }
    }
    let typical = typical(&job, &marked, &options.stop);
    drop(progress);
    if !typical.is_empty() {
        say(&show::odds::typical(&typical, &job, columns));
    }
    if !left.is_empty() {
        let text = format!("Not looked at before the search was stopped: {}.", left.join(", "));
        say(&show::table::indented(&text, "", columns));
    }
    Ok(Ending::Done)
}
