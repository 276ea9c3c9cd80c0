//! What is wrong in a file, said so that it can be put right.

use crate::text::{shown, spelled};
use std::fmt;

/// One problem: where it is, what was found, what it breaks and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: Option<usize>,
    /// The column's name, or the key.
    pub column: Option<String>,
    /// What was found there.
    pub value: Option<String>,
    /// The rule it breaks, in words that follow the value.
    pub rule: String,
    /// What to do about it.
    pub cure: String,
}

/// Every problem of a run, in the order of the files. A flood of them is counted, and only the
/// first [`Problems::KEPT`] are kept. Beside them stands what deserves a second look and would not
/// have been refused: who mends the one mends the other in the same go.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>, usize, Vec<Problem>);

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Problems(vec![problem], 0, Vec::new())
    }
}

impl Problems {
    /// The most problems that are kept. Readers may spare themselves the work on cures beyond.
    pub const KEPT: usize = 1000;
    /// The most problems that are shown.
    pub const SHOWN: usize = 50;

    /// Are further problems counted only?
    pub fn is_full(&self) -> bool {
        self.0.len() >= Self::KEPT
    }

    /// Adds a problem, or counts it. Of a value or key of any length the beginning is kept.
    pub fn push(&mut self, mut problem: Problem) {
        if self.is_full() {
            self.1 += 1;
            return;
        }
        for text in [&mut problem.column, &mut problem.value].into_iter().flatten() {
            if text.len() > 1000 {
                *text = cut_off(text, 1000);
            }
        }
        self.0.push(problem);
    }

    /// Counts problems that are not kept.
    pub fn count(&mut self, more: usize) {
        self.1 += more;
    }

    /// Adds the problems of another file.
    pub fn extend(&mut self, others: Problems) {
        others.0.into_iter().for_each(|p| self.push(p));
        self.count(others.1);
        self.2.extend(others.2);
    }

    /// Adds problems of the same file, but for those that are told already of the same line.
    pub(super) fn extend_unlike(&mut self, others: Problems) {
        let told = |new: &Problem, known: &Problem| {
            (new.line, &new.value, &new.rule) == (known.line, &known.value, &known.rule)
        };
        let (first, count) = (self.0.len(), others.1);
        for problem in others.0 {
            if !self.0[..first].iter().any(|known| told(&problem, known)) {
                self.push(problem);
            }
        }
        self.count(count);
        self.2.extend(others.2);
    }

    /// What deserves a second look besides.
    pub fn doubts(&self) -> &[Problem] {
        &self.2
    }

    /// The same with what deserves a second look besides.
    pub(crate) fn beside(mut self, doubts: impl IntoIterator<Item = Problem>) -> Self {
        self.2.extend(doubts);
        self
    }

    /// Puts them in the order of lines; those of no line come last, in the order they had.
    pub(super) fn sort(&mut self) {
        self.0.sort_by_key(|p| p.line.unwrap_or(usize::MAX));
    }

    /// How many there are, kept or not.
    pub fn len(&self) -> usize {
        self.0.len() + self.1
    }

    /// Is nothing wrong?
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// The beginning of a text that may be of any length, with a mark where it was cut off.
pub fn cut_off(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

impl Problem {
    /// A problem of a file as a whole.
    pub fn of_file(file: &str, rule: &str, cure: &str) -> Self {
        Problem {
            file: file.to_owned(),
            line: None,
            column: None,
            value: None,
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&shown(&self.file))?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(column) = &self.column {
            // A key may be as long as the file; its end names it as well as its beginning.
            write!(f, ", {}", shown(&cut_off(column, 240)))?;
        }
        f.write_str(": ")?;
        if let Some(value) = &self.value {
            write!(f, "\"{}\" ", spelled(&cut_off(value, 60)))?;
        }
        let end = if self.cure.ends_with('?') { "" } else { "." };
        // Rules and cures may quote a name.
        let (rule, cure) = (shown(&cut_off(&self.rule, 400)), shown(&cut_off(&self.cure, 600)));
        write!(f, "{rule}; {cure}{end}")
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in self.0.iter().take(Self::SHOWN) {
            writeln!(f, "{problem}")?;
        }
        let others = self.len().saturating_sub(Self::SHOWN);
        if others > 0 {
            writeln!(f, "and {others} others.")?;
        }
        match self.len() {
            1 => write!(f, "1 problem.")?,
            n => write!(f, "{n} problems.")?,
        }
        for doubt in self.2.iter().take(Self::SHOWN) {
            write!(f, "\nWarning: {doubt}")?;
        }
        match self.2.len().saturating_sub(Self::SHOWN) {
            0 => Ok(()),
            others => write!(f, "\nand {others} other warnings."),
        }
    }
}

impl std::error::Error for Problems {}

/// The known word nearest to one that isn't known, if any is near.
pub fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let far = |k: &str| 1 + k.len() / 3;
    // A word that is much longer is near to none, and must not be compared: that takes time and
    // room by the product of both lengths.
    let longest = known.iter().map(|k| k.len() + far(k)).max().unwrap_or(0);
    let letters = word.chars().take(longest + 1).count();
    if letters > longest {
        return None;
    }
    let word = word.to_lowercase();
    known
        .iter()
        .filter(|k| letters.abs_diff(k.chars().count()) <= far(k) + 2)
        .map(|k| (strsim::damerau_levenshtein(&word, k), *k))
        .filter(|&(distance, k)| distance <= far(k))
        // Of a short word half the letters may be changed, which makes it any other.
        .filter(|&(distance, k)| {
            let longer = letters.max(k.chars().count());
            distance < 2 || distance * 2 < longer || k.starts_with(&word)
        })
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, k)| k)
}

/// "did you mean …?", or the whole list where nothing is near.
pub fn suggestion(word: &str, known: &[&str]) -> String {
    match nearest(word, known) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("known are {}", known.join(", ")),
    }
}
