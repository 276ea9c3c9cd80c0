//! The command line: one file a command.
//!
//! Exit status: 0 done, 1 the input is good but there is no plan, 2 bad input or use.

mod buy;
mod check;
mod completions;
mod doubts;
mod folder;
mod glue;
mod interrupt;
mod limit;
mod lists;
mod look_for;
mod man;
mod odds;
mod output;
mod plan;
mod progress;
mod rack;
mod sizes;
mod start;
mod survey;
mod tally;
mod temps;
mod threads;
mod verify;
mod whose;
mod woods;
mod zones;

use crate::read::{Asked, Inputs, inputs_in_hand};
use crate::report::text::tally::quoted;
use clap::{Parser, Subcommand};
use folder::Folder;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// How a command ends when it does not fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Done.
    Done,
    /// The input is good but there is no plan, or a claim could not be decided.
    NoPlan,
}

/// Why a command fails: text for the user, exit status 2.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Failure(String);

impl Failure {
    /// A failure with this text.
    pub fn new(text: impl std::fmt::Display) -> Self {
        Failure(text.to_string())
    }
}

impl From<crate::read::Problems> for Failure {
    fn from(problems: crate::read::Problems) -> Self {
        Failure::new(problems)
    }
}

/// The faults of a plan, a line each; of a flood the first.
pub fn fault_list(faults: &[crate::verify::Fault]) -> String {
    let most = crate::read::Problems::SHOWN;
    let mut lines: Vec<String> = faults.iter().take(most).map(ToString::to_string).collect();
    if faults.len() > most {
        lines.push(format!("and {} others.", faults.len() - most));
    }
    lines.join("\n")
}

/// What commands return.
pub type Ended = Result<Ending, Failure>;

/// Plans how to cut boards into the strips of laminated Greenland-type paddles, proves it, and
/// prints it for the saw and the bench.
#[derive(Debug, Parser)]
#[command(name = "stripwright", version = VERSION, arg_required_else_help = true, after_help = EXAMPLES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

/// What a beginner types first.
const EXAMPLES: &str = "\
Examples:
  stripwright start my-job     a job to begin with, in a folder of its own
  stripwright check my-job     what was understood of its files
  stripwright plan my-job --sheet sheet.html
                               the plan, and a page to print

A folder is a job: it holds boards.csv and paddles.toml. Where you stand in it, its name may be
left out; files with other names are named by options. A file named - is read from standard
input, which one file of a run can be.";

#[derive(Debug, Subcommand)]
enum Command {
    Start(start::Arguments),
    Check(check::Arguments),
    Plan(Box<plan::Arguments>),
    Verify(verify::Arguments),
    Glue(glue::Arguments),
    Survey(survey::Arguments),
    Buy(buy::Arguments),
    Odds(odds::Arguments),
    LookFor(look_for::Arguments),
    Tally(tally::Arguments),
    Completions(completions::Arguments),
    Man(man::Arguments),
}

/// The version, with the commit that it was built from where that was known.
const VERSION: &str = if env!("STRIPWRIGHT_BUILT_FROM").is_empty() {
    env!("CARGO_PKG_VERSION")
} else {
    concat!(env!("CARGO_PKG_VERSION"), " (", env!("STRIPWRIGHT_BUILT_FROM"), ")")
};

/// The files of a job.
#[derive(Debug, clap::Args)]
pub struct Files {
    /// The job's folder, with boards.csv and paddles.toml [if left out: where you stand]
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,
    /// The boards on hand, one line a board and one a zone, if not boards.csv in the folder; none
    /// are needed beside --strips
    #[arg(long, value_name = "FILE")]
    boards: Option<PathBuf>,
    /// The shop and the paddles wanted, if not paddles.toml in the folder
    #[arg(long, value_name = "FILE")]
    paddles: Option<PathBuf>,
    /// Strips that are cut already, as measured, one line a strip: they cost nothing
    #[arg(long, value_name = "FILE")]
    strips: Option<PathBuf>,
}

impl Files {
    /// The files, those that were not named from the job's folder.
    ///
    /// # Errors
    /// [`Failure`] where one is missing.
    pub fn found(&self) -> Result<Found, Failure> {
        Ok(self.with(|_| ())?.0)
    }

    /// The same with a yard's list: that which was named, or the one in the folder, if there is
    /// one.
    ///
    /// # Errors
    /// As [`Files::found`].
    pub fn found_beside(
        &self,
        yard: Option<&PathBuf>,
    ) -> Result<(Found, Option<PathBuf>), Failure> {
        self.with(|folder| folder.yard_beside(yard))
    }

    /// The command that finds what to buy beside these files.
    pub fn to_buy(&self, found: &Found) -> String {
        let mut words = vec!["stripwright".to_owned(), "buy".to_owned()];
        words.extend(self.folder.as_deref().map(quoted));
        let named = self.paddles.is_some() || self.strips.is_some();
        // Beside other wood no list of boards is looked for where paddles.toml is named.
        let boards = self.boards.as_deref().or(found.boards.as_deref().filter(|_| named));
        let boards = boards.filter(|_| self.boards.is_some() || self.folder.is_none());
        let given = [
            ("--boards", boards),
            ("--paddles", self.paddles.as_deref()),
            ("--strips", self.strips.as_deref()),
        ];
        for (option, given) in given {
            words.extend(given.into_iter().flat_map(|given| [option.to_owned(), quoted(given)]));
        }
        if !self.folder.as_deref().unwrap_or(Path::new(".")).join("yard.csv").is_file() {
            words.extend(["--yard".to_owned(), "YARD.csv".to_owned()]);
        }
        words.join(" ")
    }

    fn with<T>(&self, more: impl FnOnce(&mut Folder<'_>) -> T) -> Result<(Found, T), Failure> {
        let mut folder = Folder::of(self.folder.as_deref())?;
        let other = self.strips.is_some();
        let boards = folder.boards(self.boards.as_ref(), self.paddles.as_ref(), other);
        let paddles = folder.paddles(self.paddles.as_ref());
        let more = more(&mut folder);
        folder.tell(!other)?;
        Ok((Found { boards, paddles, strips: self.strips.clone() }, more))
    }
}

/// The files of a job, found.
pub struct Found {
    boards: Option<PathBuf>,
    paddles: PathBuf,
    strips: Option<PathBuf>,
}

impl Found {
    /// Every path.
    pub fn paths(&self) -> Vec<&Path> {
        let files = [self.boards.as_ref(), Some(&self.paddles), self.strips.as_ref()];
        files.into_iter().flatten().map(PathBuf::as_path).collect()
    }

    /// Reads them.
    ///
    /// # Errors
    /// Every problem of the files.
    pub fn read(&self) -> Result<Inputs, Failure> {
        Ok(inputs_in_hand(self.boards.as_deref(), &self.paddles, self.strips.as_deref())?)
    }

    /// The same files, to be read beside others.
    pub(crate) fn asked(&self) -> (&Path, Asked<'_>) {
        let (boards, strips) = (self.boards.as_deref(), self.strips.as_deref());
        (&self.paddles, Asked { boards, strips, ..Asked::default() })
    }
}

/// Tells of what deserves a second look, on standard error.
fn warn(text: &str) {
    output::complain(&format!("Warning: {text}"));
}

/// Runs the command line.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            if error.use_stderr() {
                let misleads =
                    |word: OsString| word.to_string_lossy().contains(crate::text::misleads);
                if std::env::args_os().any(misleads) {
                    // The message repeats an argument, which a terminal might obey.
                    output::complain(&error.render().to_string());
                } else {
                    let _ = error.print();
                }
                return ExitCode::from(2);
            }
            output::print(|_| error.print());
            return status(Ok(Ending::Done));
        }
    };
    interrupt::outlive_file_limits();
    threads::start();
    status(match arguments.command {
        Command::Start(arguments) => start::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Plan(arguments) => plan::run(&arguments),
        Command::Verify(arguments) => verify::run(&arguments),
        Command::Glue(arguments) => glue::run(&arguments),
        Command::Survey(arguments) => survey::run(&arguments),
        Command::Buy(arguments) => buy::run(&arguments),
        Command::Odds(arguments) => odds::run(&arguments),
        Command::LookFor(arguments) => look_for::run(&arguments),
        Command::Tally(arguments) => tally::run(&arguments),
        Command::Completions(arguments) => completions::run(&arguments),
        Command::Man(arguments) => man::run(&arguments),
    })
}

/// The exit status, once all that was printed has gone where it should.
fn status(ended: Ended) -> ExitCode {
    match ended.and_then(|ending| output::said().map(|()| ending)) {
        Ok(Ending::Done) => ExitCode::SUCCESS,
        Ok(Ending::NoPlan) => ExitCode::from(1),
        Err(failure) => {
            output::complain(&failure.to_string());
            ExitCode::from(2)
        }
    }
}
