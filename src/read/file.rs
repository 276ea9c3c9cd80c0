//! Bytes of files, and text from them.

use crate::read::problem::{Problem, Problems};
use std::io::Read;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

/// The most bytes of a file that are read.
pub const MOST_BYTES: u64 = 64 << 20;

/// Books of spreadsheet programs are packed files, which begin so.
const SPREADSHEET: &[u8] = b"PK\x03\x04";

/// A file's text, or that of standard input where the path is `-`: UTF-8, with or without a byte order mark, or UTF-16 as some spreadsheets write.
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
        Unread::Twice => {
            of_file("is standard input, which was read already", "give the other list as a file")
        }
        Unread::Error(error) => {
            let rule = format!("cannot be read: {error}");
            of_file(&rule, "check the name and where you stand")
        }
    })?;
    if bytes.starts_with(SPREADSHEET) {
        let cure = "open it there and save it as CSV (UTF-8)";
        return Err(of_file("is a spreadsheet program's own file, not text", cure));
    }
    decode(&bytes).map_err(|(line, rule)| {
        let sheet = path.extension().is_some_and(|end| end.eq_ignore_ascii_case("csv"));
        let cure =
            if sheet { "save it as UTF-8 (CSV UTF-8)" } else { "save it as plain text (UTF-8)" };
        let mut problem = Problem::of_file(&file, rule, cure);
        problem.line = Some(line);
        Problems::from(problem)
    })
}

/// Standard input, as commands name it.
const STANDARD_INPUT: &str = "-";

/// Why a file's bytes could not be had.
enum Unread {
    Folder,
    Huge,
    Twice,
    Error(std::io::Error),
}

/// The bytes of a file, a device or a pipe.
fn bytes(path: &Path) -> Result<Vec<u8>, Unread> {
    if path == Path::new(STANDARD_INPUT) {
        // What comes through it comes once.
        static READ: AtomicBool = AtomicBool::new(false);
        if READ.swap(true, Ordering::Relaxed) {
            return Err(Unread::Twice);
        }
        return all(std::io::stdin().lock());
    }
    let meta = std::fs::metadata(path).map_err(Unread::Error)?;
    if meta.is_dir() {
        return Err(Unread::Folder);
    }
    if meta.is_file() && meta.len() > MOST_BYTES {
        return Err(Unread::Huge);
    }
    all(std::fs::File::open(path).map_err(Unread::Error)?)
}

/// All bytes, unless they are too many.
fn all(from: impl Read) -> Result<Vec<u8>, Unread> {
    let mut bytes = Vec::new();
    // A device or a pipe doesn't say how much is to come.
    from.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(Unread::Error)?;
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
