//! Everything that a run reads and writes: standard output, and files that are written whole or
//! not at all.

mod closed;
mod drawings;
mod outputs;
mod same;
mod step;
mod wrong;

pub use outputs::Outputs;

use crate::cli::{Failure, interrupt};
use crate::text::shown_lines;
use std::io::{ErrorKind, Write};
use std::sync::{Mutex, PoisonError};

/// Whether standard output takes text still.
#[derive(Clone)]
enum Said {
    /// So far.
    All,
    /// Its reader has gone away, which is the reader's choice.
    Enough,
    /// It can't be written to.
    Failed(String),
}

/// A failed write must not be forgotten by any of the many that print, so it is kept here.
static SAID: Mutex<Said> = Mutex::new(Said::All);

/// Prints to standard output, with nothing in it that a terminal would obey. A reader that has gone away (`| head`) is no failure; any other is
/// kept for [`said`].
pub fn say(text: &str) {
    let text = shown_lines(text);
    let end = if text.ends_with('\n') { "" } else { "\n" };
    print(|out| {
        out.write_all(text.as_bytes())?;
        out.write_all(end.as_bytes())
    });
}

/// As [`say`], of what `write` prints.
pub fn print(write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>) {
    let mut said = SAID.lock().unwrap_or_else(PoisonError::into_inner);
    if !matches!(*said, Said::All) {
        return;
    }
    if closed::is_closed() {
        *said = Said::Failed("standard output: cannot be written: it is closed.".to_owned());
        return;
    }
    let mut out = std::io::stdout().lock();
    if let Err(error) = interrupt::ends(|| write(&mut out).and_then(|()| out.flush())) {
        *said = match error.kind() {
            ErrorKind::BrokenPipe => Said::Enough,
            _ => {
                Said::Failed(format!("standard output: cannot be written: {}.", wrong::why(&error)))
            }
        };
    }
}

/// Has all been printed that was to be, as far as anyone reads it?
///
/// # Errors
/// [`Failure`] where standard output could not be written to.
pub fn said() -> Result<(), Failure> {
    match &*SAID.lock().unwrap_or_else(PoisonError::into_inner) {
        Said::Failed(why) => Err(Failure::new(why)),
        Said::All | Said::Enough => Ok(()),
    }
}

/// Prints to standard error, likewise; where that fails there is nobody left to tell.
pub fn complain(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = out.write_all(shown_lines(text.trim_end()).as_bytes());
    let _ = out.write_all(b"\n");
}

/// Columns that can be printed at.
const COLUMNS: std::ops::RangeInclusive<usize> = 20..=10_000;

/// Reads a number of columns.
///
/// # Errors
/// Why it is none.
pub fn columns(text: &str) -> Result<usize, String> {
    let (least, most) = (COLUMNS.start(), COLUMNS.end());
    text.parse()
        .ok()
        .filter(|n| COLUMNS.contains(n))
        .ok_or_else(|| format!("give a whole number of {least} to {most}"))
}

/// The width to print at: as asked, else the terminal's, else 100 columns where there is none.
pub fn width(asked: Option<usize>) -> usize {
    let terminal = || terminal_size::terminal_size().map(|(w, _)| usize::from(w.0));
    asked.or_else(terminal).unwrap_or(100).clamp(*COLUMNS.start(), *COLUMNS.end())
}
