//! `stripwright survey`.

use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::{Ended, Ending, Failure, Files, doubts};
use crate::lumber::{Board, look};
use crate::odds::sample::grade_of;
use crate::odds::typical::typical;
use crate::read::{self, Problem, Problems, nearest};
use crate::report::{survey_cards, text as show};
use crate::survey::{BoardSurvey, survey_board};
use crate::text::plain;
use std::path::{Path, PathBuf};

/// Say of every board by itself what it gives, and what it would take where it just misses
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  stripwright survey                     a line for each board of the job where you stand
  stripwright survey my-job --detail B --detail E
  stripwright survey my-job --like marked.csv --sheet card.html
  stripwright survey --boards boards.csv --paddles paddles.toml --all")]
pub struct Arguments {
    #[command(flatten)]
    files: Files,
    /// A sample: boards you marked, with a grade. Say what a typical board of each wood and grade
    /// gives
    #[arg(long, value_name = "FILE")]
    like: Option<PathBuf>,
    /// Say more of this board; may be given several times
    #[arg(long, value_name = "BOARD", conflicts_with = "all")]
    detail: Vec<String>,
    /// Say more of every board
    #[arg(long)]
    all: bool,
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
    let files = arguments.files.found()?;
    let paths: Vec<&Path> = files.paths().into_iter().chain(like).collect();
    let sheet = [("--sheet", arguments.sheet.as_ref())];
    let mut outputs = Outputs::of(&paths, &sheet, None)?;
    let (paddles, of_job) = files.asked();
    let read::All { job, boards, like: marked, doubts: read_so, .. } =
        read::Files::read(paddles, read::Asked { like, ..of_job }).settle()?;
    let read_so = [boards.doubts, read_so, marked.doubts].concat();
    let (boards, marked) = (boards.boards, marked.boards);
    outputs.open()?;
    // What stands on standard output as a page stands there alone.
    let quiet = outputs.takes_standard_output();
    let say = |text: &str| {
        if !quiet {
            say(text)
        }
    };
    let columns = width(arguments.width);
    doubts::tell(&job, &boards, &read_so);
    if !job.strips.is_empty() {
        say(&show::rack::table_of(&job, columns));
    }
    let asked = asked(arguments, &boards)?;
    let progress = Progress::start(&mut options);
    let mut done: Vec<BoardSurvey> = Vec::new();
    let mut left: Vec<String> = Vec::new();
    for (b, board) in boards.iter().enumerate() {
        progress.about(&format!("board {} of {}, {}", b + 1, boards.len(), board.name));
        // What time there is is shared among the boards that are left.
        #[allow(clippy::cast_precision_loss)] // some thousands
        let stop = options.stop.part(1.0 / (boards.len() - b) as f64);
        match survey_board(&job, &boards, b, &stop) {
            Some(survey) => done.push(survey),
            None => left.push(plain(&board.name)),
        }
    }
    let details: Vec<BoardSurvey> =
        done.iter().filter(|s| asked.contains(&s.board)).cloned().collect();
    progress.aside(|| {
        if !done.is_empty() {
            say(&show::overview::overview(&done, &job, &boards, columns));
        }
        if details.is_empty() && !done.is_empty() {
            let text = "More of one board: --detail NAME; of all: --all.";
            say(&show::table::indented(text, "", columns));
        }
        say(&show::survey::survey(&details, &job, &boards, columns));
    });
    let (typical, grades) = typical(&job, &marked, &options.stop);
    drop(progress);
    if !typical.is_empty() {
        say(&show::odds::typical(&typical, &job, columns));
    }
    let grade = |b: &&Board| {
        let (wood, grade) = (b.species.name(), grade_of(b).unwrap_or_default());
        plain(&format!("typical boards of {wood}, grade {grade}"))
    };
    let grades = grades.iter().map(grade).collect::<Vec<_>>();
    if let Some(text) = show::survey::not_looked_at(&[&left[..], &grades].concat()) {
        say(&show::table::indented(&text, "", columns));
    }
    outputs.put("--sheet", || survey_cards((&done, &left), &job, &boards));
    outputs.commit()?;
    Ok(Ending::Done)
}

/// The boards that more is asked of.
///
/// # Errors
/// [`Failure`] for names that no board has.
fn asked(arguments: &Arguments, boards: &[Board]) -> Result<Vec<usize>, Failure> {
    if arguments.all {
        return Ok((0..boards.len()).collect());
    }
    let names: Vec<&str> = boards.iter().map(|b| b.name.as_str()).collect();
    let mut out = Vec::new();
    let mut problems = Problems::default();
    for name in &arguments.detail {
        match boards.iter().position(|b| look(&b.name) == look(name)) {
            Some(b) => out.push(b),
            None => problems.push(Problem {
                value: Some(name.clone()),
                ..Problem::of_file(
                    "--detail",
                    "is not a board of this job",
                    &match nearest(name, &names) {
                        Some(near) => format!("did you mean {near}?"),
                        None => "give a name as it stands in the list of boards".to_owned(),
                    },
                )
            }),
        }
    }
    if problems.is_empty() { Ok(out) } else { Err(problems.into()) }
}
