//! `stripwright odds`.

use crate::cli::folder::Folder;
use crate::cli::limit::TimeLimit;
use crate::cli::output::{Outputs, columns, say, width};
use crate::cli::progress::Progress;
use crate::cli::sizes::named;
use crate::cli::{Ended, Ending, Failure, doubts, warn};
use crate::lumber::Board;
use crate::odds::mix::cheapest;
use crate::odds::pile::Source;
use crate::odds::sample::{Sample, grade_of, grade_written, unmarked};
use crate::odds::{Ask, Line, line};
use crate::paddle::Job;
use crate::read;
use crate::report::text::odds as show;
use crate::report::text::table::indented;
use crate::report::{odds_html, odds_json};
use crate::text::plain;
use std::path::{Path, PathBuf};

/// Say how many boards that nobody has marked to buy so that they are likely enough, by a sample of
/// their grade that you marked
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  stripwright odds                 yard.csv, marked.csv and paddles.toml where you stand\n  stripwright odds --yard yard.csv --like marked.csv --paddles paddles.toml --sure 90\n\n\
    Mark some boards of a grade as in boards.csv, with the column grade, and keep them as \
    marked.csv. A line of the yard's list with the same wood and grade and no zones is then \
    foretold from them: turned, cut and joined at random to its length, and tried by the planner."
)]
pub struct Arguments {
    /// The job's folder, with yard.csv, marked.csv and paddles.toml [if left out: where you stand]
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
    /// The yard's list, if not yard.csv in the folder, with a grade for boards that are not
    /// marked; prices may be left out
    #[arg(long, value_name = "FILE")]
    yard: Option<PathBuf>,
    /// The sample: boards you marked, with the same woods and grades, if not marked.csv in the
    /// folder
    #[arg(long, value_name = "FILE")]
    like: Option<PathBuf>,
    /// The shop and the paddles wanted, if not paddles.toml in the folder
    #[arg(long, value_name = "FILE")]
    paddles: Option<PathBuf>,
    /// Boards in hand, which are used as they are, if not boards.csv in the folder; there may be
    /// none
    #[arg(long, value_name = "FILE")]
    boards: Option<PathBuf>,
    /// Strips that are cut already, as measured
    #[arg(long, value_name = "FILE")]
    strips: Option<PathBuf>,
    /// How sure it is to be that the boards are enough, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "90", value_parser = sure)]
    sure: f64,
    /// Piles to draw for each line
    #[arg(long, value_name = "NUMBER", default_value_t = 400,
        value_parser = draws)]
    draws: u32,
    /// Write the chances as JSON; - for standard output
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Write a page with a picture for each line, as HTML; - for standard output
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    #[command(flatten)]
    limit: TimeLimit,
    /// Columns to print at, if not the terminal's
    #[arg(long, value_name = "COLUMNS", value_parser = columns)]
    width: Option<usize>,
}

/// A part of one, from per cent.
pub(super) fn sure(text: &str) -> Result<f64, String> {
    let percent: f64 = text.trim_end_matches('%').trim().parse().map_err(|_| "not a number")?;
    if (1.0..=100.0).contains(&percent) {
        Ok(percent / 100.0)
    } else if percent > 0.0 && percent < 1.0 {
        let percent = format!("{:.3}", percent * 100.0);
        let percent = percent.trim_end_matches('0').trim_end_matches('.');
        Err(format!("give per cent, from 1 to 100: {percent} if that part of one is meant"))
    } else {
        Err("give per cent, from 1 to 100".to_owned())
    }
}

/// How many piles to draw.
fn draws(text: &str) -> Result<u32, String> {
    let number = text.trim().parse().ok().filter(|n| (10..=100_000).contains(n));
    number.ok_or_else(|| "give a whole number of 10 to 100000; 400 is usual".to_owned())
}

/// Where the files are.
struct Paths {
    yard: PathBuf,
    like: PathBuf,
    paddles: PathBuf,
    boards: Option<PathBuf>,
    strips: Option<PathBuf>,
}

impl Paths {
    fn of(arguments: &Arguments) -> Result<Paths, Failure> {
        let mut folder = Folder::of(arguments.folder.as_deref())?;
        let paddles = folder.paddles(arguments.paddles.as_ref());
        let yard = folder.yard(arguments.yard.as_ref());
        let like = folder.marked(arguments.like.as_ref());
        let boards = folder.boards(arguments.boards.as_ref(), arguments.paddles.as_ref(), true);
        folder.tell(arguments.strips.is_none())?;
        Ok(Paths { yard, like, paddles, boards, strips: arguments.strips.clone() })
    }
}

/// What the files say.
struct Files {
    job: Job,
    in_hand: Vec<Board>,
    marked: Vec<Board>,
    yard: Vec<Board>,
    doubts: Vec<read::Problem>,
}

impl Files {
    fn read(paths: &Paths) -> Result<Files, Failure> {
        let asked = read::Asked {
            boards: paths.boards.as_deref(),
            yard: Some(&paths.yard),
            like: Some(&paths.like),
            strips: paths.strips.as_deref(),
            ..Default::default()
        };
        let read::All { job, boards, yard, like, doubts, .. } =
            read::Files::read(&paths.paddles, asked).settle()?;
        let doubts = [boards.doubts, like.doubts, yard.doubts, doubts].concat();
        let (in_hand, marked, yard) = (boards.boards, like.boards, yard.boards);
        Ok(Files { job, in_hand, marked, yard, doubts })
    }
}

/// Why nothing can be foretold, with what each of the two lists has.
fn no_sample((yard, lines): (&Path, &[Board]), (like, marked): (&Path, &[Board])) -> String {
    let of = |boards: &[Board]| {
        let mut all: Vec<String> = Vec::new();
        for board in boards {
            let wood = plain(board.species.name());
            let text = match grade_of(board) {
                Some(grade) => format!("{wood} of grade {}", plain(&grade)),
                None => format!("{wood} without a grade"),
            };
            if !all.contains(&text) {
                all.push(text);
            }
        }
        match all.len() {
            0 => "nothing".to_owned(),
            _ => named(&all),
        }
    };
    let (yard, like) = (yard.display(), like.display());
    let cure = match lines.iter().find(|b| unmarked(b)) {
        Some(board) => format!(
            "mark some {} of grade {}, or write the same word as grade in both lists",
            plain(board.species.name()),
            plain(&grade_of(board).unwrap_or_default())
        ),
        None => format!(
            "give the boards of {yard} that nobody has marked a grade, and {like} marked boards of the same wood and grade"
        ),
    };
    format!(
        "{like}: no board here is of the wood and grade of a line of {yard} that nobody has marked. {yard} has {}; {like} has {}. What to do: {cure}.",
        of(lines),
        of(marked)
    )
}

/// Runs the command.
///
/// # Errors
/// [`Failure`] for bad input, and where no line of the yard has a sample.
pub fn run(arguments: &Arguments) -> Ended {
    let mut options = arguments.limit.options();
    let paths = Paths::of(arguments)?;
    let read: Vec<&Path> = [Some(&paths.yard), Some(&paths.like), Some(&paths.paddles)]
        .into_iter()
        .chain([paths.boards.as_ref(), paths.strips.as_ref()])
        .flatten()
        .map(PathBuf::as_path)
        .collect();
    let files = [("--json", arguments.json.as_ref()), ("--sheet", arguments.sheet.as_ref())];
    let mut outputs = Outputs::of(&read, &files, None)?;
    let Files { job, in_hand, marked, yard, doubts: read_so } = Files::read(&paths)?;
    let asked: Vec<usize> = (0..yard.len())
        .filter(|&b| {
            Source::is_clear(&yard[b]) || unmarked(&yard[b]) && Sample::knows(&marked, &yard[b])
        })
        .collect();
    if asked.is_empty() {
        return Err(Failure::new(no_sample((&paths.yard, &yard), (&paths.like, &marked))));
    }
    outputs.open()?;
    doubts::tell(&job, &[&in_hand[..], &marked, &yard].concat(), &read_so);
    for board in yard.iter().filter(|b| !Sample::knows(&marked, b)) {
        let (name, wood) = (plain(&board.name), plain(board.species.name()));
        match grade_of(board) {
            Some(_) if unmarked(board) => warn(&format!(
                "{name} is left out: no board of the sample is {wood} of grade {}; mark some of that grade and add them to {}.",
                plain(&grade_written(board)),
                paths.like.display()
            )),
            None if board.zones.is_empty() => warn(&format!(
                "{name} is left out: it has no grade; buy takes it for clear, as a board that is marked and has no zones."
            )),
            _ => {}
        }
    }
    let ask = Ask { sure: arguments.sure, draws: arguments.draws };
    let columns = width(arguments.width);
    // JSON or a page on standard output stands there alone.
    let quiet = outputs.takes_standard_output();
    let progress = Progress::start(&mut options);
    let mut lines: Vec<Line> = Vec::new();
    let mut unknown = 0;
    for (n, &b) in asked.iter().enumerate() {
        // What time there is is shared among the lines that are left and
        // what they come to together.
        #[allow(clippy::cast_precision_loss)] // some dozens
        let stop = options.stop.part(1.0 / (asked.len() + 1 - n) as f64);
        let name = plain(&yard[b].name);
        let heard = |done: usize, all: usize| {
            progress.part(&format!("piles of {name} (Ctrl-C for what is known so far)"), done, all);
        };
        let lists = (&in_hand[..], &marked[..], &yard[..]);
        let Some(known) = line(&job, lists, b, (&ask, &stop), &heard) else { continue };
        if options.stop.asked() && known.unknown() {
            unknown += 1;
        } else if !quiet {
            let text = show::line(&known, &job, &yard, ask.sure, columns);
            progress.aside(|| say(&text));
        }
        lines.push(known);
    }
    let heard = |done: usize, all: usize| {
        progress.part("two lines together (Ctrl-C for what is known so far)", done, all);
    };
    let lists = (&in_hand[..], &marked[..], &yard[..]);
    let choices = cheapest(&job, lists, &lines, (&ask, &options.stop), &heard);
    drop(progress);
    if !quiet {
        if let Some(text) = show::not_looked_at(unknown) {
            say(&indented(&text, "", columns));
        }
        let boards = (&in_hand[..], &yard[..]);
        for text in show::headlines((&lines, &choices), &job, boards, ask.sure) {
            say(&indented(&text, "", columns));
        }
    }
    let stopped = lines.iter().any(|l| l.stopped) || choices.iter().any(|c| !c.mixed);
    outputs.put("--json", || odds_json::text((&lines, &choices), &yard, ask.sure, stopped));
    outputs.put("--sheet", || odds_html((&lines, &choices), &job, (&in_hand, &yard), ask.sure));
    outputs.commit()?;
    let known = lines.iter().any(|l| l.buy.is_some());
    Ok(if known { Ending::Done } else { Ending::NoPlan })
}
