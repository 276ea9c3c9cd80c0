//! What is wrong in a file, said so that it can be put right.

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

/// Every problem of a run, in the order of the files.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

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
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(column) = &self.column {
            write!(f, ", {column}")?;
        }
        f.write_str(": ")?;
        if let Some(value) = &self.value {
            let mut shown: String = value.chars().take(60).collect();
            if shown.len() < value.len() {
                shown.push('…');
            }
            write!(
                f,
                "\"{}\" ",
                shown.escape_debug().to_string().replace("\\\"", "\"").replace("\\'", "'")
            )?;
        }
        let end = if self.cure.ends_with('?') { "" } else { "." };
        write!(f, "{}; {}{end}", self.rule, self.cure)
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in &self.0 {
            writeln!(f, "{problem}")?;
        }
        match self.0.len() {
            1 => write!(f, "1 problem."),
            n => write!(f, "{n} problems."),
        }
    }
}

impl std::error::Error for Problems {}

/// The known word nearest to one that isn't known, if any is near.
pub fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .map(|k| (strsim::damerau_levenshtein(&word.to_lowercase(), k), *k))
        .filter(|&(distance, k)| distance <= 1 + k.len() / 3)
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
