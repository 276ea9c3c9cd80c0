//! From files to boards and a job, with every problem reported in one run.

mod boards;
mod paddles;
pub mod plan_json;
mod problem;
mod sheet;

pub use boards::{BOARD_COLUMNS, List, boards_text, price};
pub use paddles::{document, job_text};
pub(crate) use problem::suggestion;
pub use problem::{Problem, Problems, nearest};

use crate::claim::FilePlan;
use crate::length::Units;
use crate::lumber::Board;
use crate::paddle::Job;
use std::path::Path;

/// Both files of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inputs {
    /// What paddles.toml says.
    pub job: Job,
    /// What boards.csv says.
    pub boards: Vec<Board>,
}

/// Reads both files of a job; the problems of both are reported together.
///
/// # Errors
/// Every [`Problem`] of either file.
pub fn inputs(boards: &Path, paddles: &Path) -> Result<Inputs, Problems> {
    let job = job(paddles);
    let units = match &job {
        Ok(job) => job.units,
        // Lengths of the other file are still checked, in the units meant if they can be read.
        Err(_) => text(paddles).map_or(Units::Inch, |t| paddles::units_of(&t)),
    };
    match (job, self::boards(boards, units, List::OnHand)) {
        (Ok(job), Ok(boards)) => Ok(Inputs { job, boards }),
        (job, boards) => {
            let mut problems = job.err().unwrap_or_default();
            problems.0.extend(boards.err().unwrap_or_default().0);
            Err(problems)
        }
    }
}

/// Reads paddles.toml.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn job(path: &Path) -> Result<Job, Problems> {
    job_text(&path.display().to_string(), &text(path)?)
}

/// Reads a list of boards; bare numbers are in `units`.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn boards(path: &Path, units: Units, list: List) -> Result<Vec<Board>, Problems> {
    boards_text(&path.display().to_string(), &text(path)?, units, list)
}

/// What to say beside prices from a yard's list: how its nominal sizes and its prices by the foot
/// were taken, where it has such.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn yard_notes(path: &Path) -> Result<Vec<&'static str>, Problems> {
    Ok(boards::yard_notes(&text(path)?))
}

/// Reads a plan file.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn plan(path: &Path, job: &Job, boards: &[Board]) -> Result<FilePlan, Problems> {
    let name = path.display().to_string();
    plan_json::plan_text(&name, &text(path)?, job, boards).map_err(|problems| {
        let problem = |p: plan_json::PlanProblem| Problem {
            file: p.file,
            line: None,
            column: Some(p.path),
            value: Some(p.value),
            rule: p.rule,
            cure: p.cure,
        };
        Problems(problems.into_iter().map(problem).collect())
    })
}

/// A file's text: UTF-8, with or without a byte order mark, or UTF-16 as some spreadsheets write.
///
/// # Errors
/// A [`Problem`] where the file can't be read or isn't text.
pub fn text(path: &Path) -> Result<String, Problems> {
    let file = path.display().to_string();
    let bytes = std::fs::read(path).map_err(|error| {
        let rule = format!("cannot be read: {error}");
        Problems(vec![Problem::of_file(&file, &rule, "check the name and where you stand")])
    })?;
    decode(&bytes).map_err(|line| {
        let rule = "holds bytes that are not UTF-8 text";
        let mut problem = Problem::of_file(&file, rule, "save it as UTF-8 (CSV UTF-8)");
        problem.line = Some(line);
        Problems(vec![problem])
    })
}

/// Text from bytes, or the line of the first that are none.
fn decode(bytes: &[u8]) -> Result<String, usize> {
    let wide = |order: fn([u8; 2]) -> u16| {
        let units = bytes[2..].chunks_exact(2).map(|c| order([c[0], c[1]]));
        char::decode_utf16(units).collect::<Result<String, _>>().map_err(|_| 1)
    };
    match bytes {
        [0xFF, 0xFE, ..] => wide(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => wide(u16::from_be_bytes),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => Ok(text.trim_start_matches('\u{FEFF}').to_owned()),
            Err(error) => {
                Err(bytes[..error.valid_up_to()].iter().filter(|&&b| b == b'\n').count() + 1)
            }
        },
    }
}
