//! `stripwright survey`.

use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, complain, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Files, rack};
use crate::odds::typical::typical;
use crate::read;
use crate::report::{survey_cards, text as show};
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
    let like = arguments.like.as_deref();
    let paths: Vec<&Path> = arguments.files.paths().into_iter().chain(like).collect();
    let files = [("--sheet", arguments.sheet.as_ref())];
    let mut outputs = Outputs::of(&paths, &files, None)?;
    let read::Inputs { job, boards, doubts, .. } = arguments.files.read()?;
    let margins = Some(&job.shop.margins);
    let read = |path| read::boards(path, job.units, read::List::OnHand, margins);
    let marked = like.map(read).transpose()?.unwrap_or_default();
    outputs.open()?;
    // What stands on standard output as a page stands there alone.
    let quiet = outputs.takes_standard_output();
    let say = |text: &str| {
        if !quiet {
            say(text)
        }
    };
    let columns = width(arguments.width);
    for warning in rack::warnings(&job, &doubts) {
        complain(&format!("Warning: {warning}"));
    }
    if !job.strips.is_empty() {
        say(&show::rack::table_of(&job, columns));
    }
    let progress = Progress::start(&mut options);
    // Boards are told of as they are done.
    let mut left: Vec<String> = Vec::new();
    let mut surveys = Vec::new();
    for (b, board) in boards.iter().enumerate() {
        match survey_board(&job, &boards, b, &options.stop) {
            Some(done) => {
                let text =
                    show::survey::survey(std::slice::from_ref(&done), &job, &boards, columns);
                progress.aside(|| say(&text));
                surveys.push(done);
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
    outputs.put("--sheet", || survey_cards(&surveys, &job, &boards));
    outputs.commit()?;
    Ok(Ending::Done)
}
