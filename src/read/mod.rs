//! From files to boards and a job, with every problem reported in one run.

mod amiss;
mod boards;
mod file;
mod files;
mod glue;
mod laminations;
mod lines;
mod looks;
mod made;
mod names;
mod number;
mod paddles;
pub mod plan_json;
mod problem;
mod row;
mod sheet;
mod shop;
mod strips;
mod table;

pub use boards::{BOARD_COLUMNS, List, Listed, RawBoards, boards_text};
pub use file::{MOST_BYTES, text};
pub(crate) use files::{All, Asked, Files};
pub use made::check_boards;
pub use number::price;
pub use paddles::{Wanted, job_text, paddles_text};
pub use problem::{Problem, Problems, nearest};
pub use sheet::{guarded, names_in};
pub use strips::{Rack, STRIP_COLUMNS, strips_text};

use crate::claim::FilePlan;
use crate::glue::GlueSettings;
use crate::length::Units;
use crate::lumber::Board;
use crate::paddle::Job;
use std::path::Path;

/// Both files of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Inputs {
    /// The shop and the paddles wanted, as paddles.toml says.
    pub job: Job,
    /// How the shop glues, as paddles.toml says.
    pub glue: GlueSettings,
    /// What boards.csv says.
    pub boards: Vec<Board>,
    /// What deserves a second look in the lists of boards, and of strips in hand, which
    /// [`Job::strips`] holds.
    pub doubts: Vec<Problem>,
}

/// Reads both files of a job, each once; the problems of both are reported together.
///
/// # Errors
/// Every [`Problem`] of either file.
pub fn inputs(boards: &Path, paddles: &Path) -> Result<Inputs, Problems> {
    inputs_in_hand(Some(boards), paddles, None)
}

/// The same with a file of strips in hand, where there is one; then there may be no board.
///
/// # Errors
/// Every [`Problem`] of any file.
pub fn inputs_in_hand(
    boards: Option<&Path>,
    paddles: &Path,
    strips: Option<&Path>,
) -> Result<Inputs, Problems> {
    inputs_and_text(boards, paddles, strips).map(|(inputs, _)| inputs)
}

/// As [`inputs_in_hand`], with the text of the boards.
///
/// # Errors
/// Every [`Problem`] of any file.
pub fn inputs_and_text(
    boards: Option<&Path>,
    paddles: &Path,
    strips: Option<&Path>,
) -> Result<(Inputs, String), Problems> {
    let asked = Asked { boards, strips, ..Asked::default() };
    let All { job, glue, boards, text, doubts: others, .. } =
        Files::read(paddles, asked).settle()?;
    let Listed { boards, mut doubts, .. } = boards;
    doubts.extend(others);
    Ok((Inputs { job, glue, boards, doubts }, text))
}

/// The strips in hand, none where there is no file of them. What can be checked without the job is
/// checked where that can't be read.
pub(crate) fn rack(path: Option<&Path>, units: Units, job: Option<&Job>) -> Result<Rack, Problems> {
    match path {
        None => Ok(Rack::default()),
        Some(path) => strips::strips_for(&path.display().to_string(), &text(path)?, units, job),
    }
}

/// Reads paddles.toml.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn wanted(path: &Path) -> Result<Wanted, Problems> {
    paddles_text(&path.display().to_string(), &text(path)?)
}

/// Reads a list of boards for a job: bare numbers are in its units, margins those of its shop.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn boards(path: &Path, job: &Job, list: List) -> Result<Listed, Problems> {
    let name = path.display().to_string();
    let margins = Some(&job.shop.margins);
    boards::boards_marked(&name, &text(path)?, job.units, list, (margins, false))
}

/// Reads the text of a yard's list to buy from: every board must have a price.
///
/// # Errors
/// Every [`Problem`] of the text.
pub fn priced_text(name: &str, text: &str, job: &Job) -> Result<Listed, Problems> {
    boards::priced(name, text, job.units, Some(&job.shop.margins))
}

/// What to say beside prices from a yard's list: how its nominal sizes and its prices by the foot
/// were taken, where its text has such.
pub fn yard_notes(text: &str) -> Vec<&'static str> {
    boards::yard_notes(text)
}

/// Reads strips in hand for a job.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn strips(path: &Path, job: &Job) -> Result<Rack, Problems> {
    strips_text(&path.display().to_string(), &text(path)?, job)
}

/// Reads a plan file.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn plan(path: &Path, job: &Job, boards: &[Board]) -> Result<FilePlan, Problems> {
    plan_json::plan_text(&path.display().to_string(), &text(path)?, job, boards)
}
