//! What a text seems to be, whatever it was named as: files are easily swapped.

use crate::read::problem::{Problem, Problems};

/// What a text seems to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Looks {
    Boards,
    Strips,
    Paddles,
    Plan,
}

impl Looks {
    /// What it is called, and the option that names such a file.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Looks::Boards => ("a list of boards", "--boards (a yard's list with --yard)"),
            Looks::Strips => ("a list of strips", "--strips"),
            Looks::Paddles => ("a paddles file", "--paddles"),
            Looks::Plan => {
                ("a plan", "no option: verify, glue and tally take it by its name alone")
            }
        }
    }

    /// What a text seems to be, if it is plainly one of these.
    fn of(text: &str) -> Option<Looks> {
        let text = text.trim_start_matches('\u{FEFF}');
        let mut lines = text.lines().map(str::trim).filter(|l| !l.is_empty());
        let first = lines.clone().next()?;
        if first.starts_with('{') {
            return text.contains("\"proof\"").then_some(Looks::Plan);
        }
        let words: Vec<String> = first
            .split([',', ';', '\t'])
            .map(|c| c.trim().trim_matches('"').trim().to_lowercase())
            .collect();
        let has = |word: &str| words.iter().any(|w| w == word);
        if has("species") && has("length") {
            return match (has("board"), has("strip")) {
                (true, false) => Some(Looks::Boards),
                (false, true) => Some(Looks::Strips),
                _ => None,
            };
        }
        let table = |l: &str| {
            let l = l.split('#').next().unwrap_or_default();
            let bare: String = l.chars().filter(|c| !c.is_whitespace()).collect();
            ["[[paddle]]", "[shop]", "[[paddle.lamination]]"].contains(&bare.as_str())
        };
        lines.any(table).then_some(Looks::Paddles)
    }
}

/// The one problem of a file that seems to be another than it was named as.
pub(super) fn swapped(file: &str, text: &str, named: Looks) -> Option<Problems> {
    let looks = Looks::of(text).filter(|&looks| looks != named)?;
    let (what, option) = looks.words();
    let rule = format!("looks like {what}, and is named as {}", named.words().0);
    Some(Problem::of_file(file, &rule, &format!("such a file is named with {option}")).into())
}
