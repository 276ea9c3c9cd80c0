//! The folder of drawings: which files in it are this program's.

use crate::cli::Failure;
use std::path::{Path, PathBuf};

/// What drawings are of, as their names begin.
const OF: [&str; 3] = ["blank", "board", "stack"];
/// How the last line of a drawing begins; a sum over all before it follows.
const MARK: &str = "<!-- drawn by stripwright, ";

/// A drawing's text with a last line by which it is known again.
pub(super) fn marked(text: &str) -> String {
    let text = text.trim_end();
    format!("{text}\n{MARK}{:016x} -->\n", sum(text))
}

/// Is this a drawing of this program as it was written? One that somebody has worked on is not.
fn is_marked(text: &str) -> bool {
    text.rsplit_once(&format!("\n{MARK}"))
        .is_some_and(|(drawing, rest)| rest == format!("{:016x} -->\n", sum(drawing)))
}

/// FNV-1a, which is the same in every version and on every machine.
fn sum(text: &str) -> u64 {
    text.bytes().fold(0xCBF2_9CE4_8422_2325, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    })
}

/// What the name of a drawing says: which kind, and its number.
pub(super) fn number(name: &str) -> Option<(usize, u64)> {
    let (of, rest) = name.strip_suffix(".svg")?.split_once('-')?;
    let kind = OF.iter().position(|known| *known == of)?;
    let digits = !rest.starts_with(['0', '+']) && !rest.is_empty();
    rest.parse().ok().filter(|_| digits).map(|number| (kind, number))
}

/// Everything in a folder that has the name of a drawing.
pub(super) fn named(folder: &Path) -> Vec<(usize, u64, PathBuf)> {
    let Ok(entries) = folder.read_dir() else { return Vec::new() };
    let of = |entry: std::fs::DirEntry| {
        let (kind, number) = number(entry.file_name().to_str()?)?;
        Some((kind, number, entry.path()))
    };
    let mut named: Vec<_> = entries.flatten().filter_map(of).collect();
    named.sort();
    named
}

/// Is a file there that this program drew?
pub(super) fn is_ours(path: &Path) -> bool {
    path.is_file() && crate::read::text(path).is_ok_and(|text| is_marked(&text))
}

/// Refuses to write over what this program didn't draw.
pub(super) fn refuse_others(path: &Path) -> Result<(), Failure> {
    if path.symlink_metadata().is_err() || !path.exists() || is_ours(path) {
        return Ok(());
    }
    Err(Failure::new(format!(
        "{}: is not a drawing as this program left it, so it is not written over; move it or name another folder.",
        path.display()
    )))
}

#[cfg(test)]
mod tests {
    use super::{is_marked, marked, number};

    #[test]
    fn a_drawing_is_known_again_until_it_is_changed() {
        let drawing = marked("<svg>\n</svg>\n");
        assert!(is_marked(&drawing));
        assert!(!is_marked("<svg>\n</svg>\n"));
        assert!(!is_marked(&drawing.replace("<svg>", "<svg id='mine'>")));
        assert!(!is_marked(&format!("{drawing}more")));
    }

    #[test]
    fn only_names_that_are_given_are_names_of_drawings() {
        assert_eq!(number("blank-1.svg"), Some((0, 1)));
        assert_eq!(number("stack-20.svg"), Some((2, 20)));
        for other in
            ["board-.svg", "board-01.svg", "board-+1.svg", "board-1.SVG", "my-1.svg", "-1.svg"]
        {
            assert_eq!(number(other), None, "{other}");
        }
    }
}
