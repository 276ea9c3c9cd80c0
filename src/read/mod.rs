//! From files to boards and a job, with every problem reported in one run.

mod boards;
mod lines;
mod paddles;
pub mod plan_json;
mod problem;
mod sheet;

pub use boards::{BOARD_COLUMNS, List, boards_text, price};
pub(crate) use lines::Lines;
pub use paddles::{document, job_text};
pub use problem::{Problem, Problems, nearest};
pub(crate) use problem::{cut_off, suggestion};

use crate::claim::FilePlan;
use crate::length::Units;
use crate::lumber::Board;
use crate::paddle::{Job, Margins};
use std::io::Read;
use std::path::Path;

/// Both files of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inputs {
    /// What paddles.toml says.
    pub job: Job,
    /// What boards.csv says.
    pub boards: Vec<Board>,
}

/// The most bytes of a file that are read.
pub const MOST_BYTES: u64 = 64 << 20;

/// Reads both files of a job; the problems of both are reported together.
///
/// # Errors
/// Every [`Problem`] of either file.
pub fn inputs(boards: &Path, paddles: &Path) -> Result<Inputs, Problems> {
    inputs_and_text(boards, paddles).map(|(inputs, _)| inputs)
}

/// Reads both files of a job, each once, and gives the text of paddles.toml for what else it
/// says: what came through a pipe can't be read again.
///
/// # Errors
/// Every [`Problem`] of either file.
pub fn inputs_and_text(boards: &Path, paddles: &Path) -> Result<(Inputs, String), Problems> {
    let text = text(paddles);
    let (job, units) = match &text {
        Ok(text) => paddles::job_and_units(&paddles.display().to_string(), text),
        Err(problems) => (Err(problems.clone()), Units::Inch),
    };
    // Lengths of the other file are checked in any case, in the units meant if they can be told.
    let margins = job.as_ref().ok().map(|j| &j.shop.margins);
    let boards = self::boards(boards, units, List::OnHand, margins);
    match (job, text, boards) {
        (Ok(job), Ok(text), Ok(boards)) => Ok((Inputs { job, boards }, text)),
        (job, _, boards) => {
            let mut problems = job.err().unwrap_or_default();
            problems.extend(boards.err().unwrap_or_default());
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

/// Reads a list of boards; bare numbers are in `units`. `margins` are those of the shop, where
/// they are known.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn boards(
    path: &Path,
    units: Units,
    list: List,
    margins: Option<&Margins>,
) -> Result<Vec<Board>, Problems> {
    boards::boards_marked(&path.display().to_string(), &text(path)?, units, list, margins)
}

/// What to say beside prices from a yard's list: how its nominal sizes and its prices by the foot
/// were taken, where its text has such.
pub fn yard_notes(text: &str) -> Vec<&'static str> {
    boards::yard_notes(text)
}

/// Reads a plan file.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn plan(path: &Path, job: &Job, boards: &[Board]) -> Result<FilePlan, Problems> {
    let name = path.display().to_string();
    plan_json::counted(&name, &text(path)?, job, boards).map_err(|(problems, others)| {
        let problem = |p: plan_json::PlanProblem| Problem {
            file: p.file,
            line: None,
            column: Some(p.path),
            value: Some(p.value),
            rule: p.rule,
            cure: p.cure,
        };
        let mut all = Problems::default();
        problems.into_iter().map(problem).for_each(|p| all.push(p));
        all.count(others);
        all
    })
}

/// A file's text: UTF-8, with or without a byte order mark, or UTF-16 as some spreadsheets write.
/// Of more than [`MOST_BYTES`] nothing is taken.
///
/// # Errors
/// A [`Problem`] where the file can't be read, is too large or isn't text.
pub fn text(path: &Path) -> Result<String, Problems> {
    let file = path.display().to_string();
    let of_file = |rule: &str, cure: &str| Problems::from(Problem::of_file(&file, rule, cure));
    let bytes = bytes(path).map_err(|why| match why {
        Unread::Folder => of_file("is a folder", "name a file in it"),
        Unread::Huge => {
            let rule = format!("holds more than {} MB, which is not read", MOST_BYTES >> 20);
            of_file(&rule, "check the name; a list this long needs splitting")
        }
        Unread::Error(error) => {
            let rule = format!("cannot be read: {error}");
            of_file(&rule, "check the name and where you stand")
        }
    })?;
    decode(&bytes).map_err(|(line, rule)| {
        let mut problem = Problem::of_file(&file, rule, "save it as UTF-8 (CSV UTF-8)");
        problem.line = Some(line);
        Problems::from(problem)
    })
}

/// Why a file's bytes could not be had.
enum Unread {
    Folder,
    Huge,
    Error(std::io::Error),
}

/// The bytes of a file, a device or a pipe.
fn bytes(path: &Path) -> Result<Vec<u8>, Unread> {
    let meta = std::fs::metadata(path).map_err(Unread::Error)?;
    if meta.is_dir() {
        return Err(Unread::Folder);
    }
    if meta.is_file() && meta.len() > MOST_BYTES {
        return Err(Unread::Huge);
    }
    let file = std::fs::File::open(path).map_err(Unread::Error)?;
    let mut bytes = Vec::new();
    // A device or a pipe doesn't say how much is to come.
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(Unread::Error)?;
    if bytes.len() as u64 > MOST_BYTES { Err(Unread::Huge) } else { Ok(bytes) }
}

/// Text from bytes, or the line of the first that are none and what they are.
fn decode(bytes: &[u8]) -> Result<String, (usize, &'static str)> {
    let line = |end: usize| bytes[..end].iter().filter(|&&b| b == b'\n').count() + 1;
    let wide = |order: fn([u8; 2]) -> u16| {
        let units = bytes[2..].chunks_exact(2).map(|c| order([c[0], c[1]]));
        let text = char::decode_utf16(units).collect::<Result<String, _>>();
        text.map_err(|_| (1, "holds bytes that are not UTF-16 text"))
    };
    let text = match bytes {
        [0xFF, 0xFE, ..] => wide(u16::from_le_bytes)?,
        [0xFE, 0xFF, ..] => wide(u16::from_be_bytes)?,
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.trim_start_matches('\u{FEFF}').to_owned(),
            Err(error) => {
                return Err((line(error.valid_up_to()), "holds bytes that are not UTF-8 text"));
            }
        },
    };
    match text.find('\0') {
        Some(at) => {
            let line = text[..at].bytes().filter(|&b| b == b'\n').count() + 1;
            Err((line, "holds a zero byte, so it is not text"))
        }
        None => Ok(text),
    }
}
