//! The reader of TOML tables, the same for every part of paddles.toml: keys that are known,
//! places of problems, and values of every sort.

use crate::length::{Length, Units};
use crate::read::amiss;
use crate::read::lines::Lines;
use crate::read::names::name_fault;
use crate::read::number::{length_cure, not_above_zero};
use crate::read::problem::{Problem, Problems, nearest, suggestion};
use std::collections::HashSet;
use std::ops::Range;
use toml_edit::{Document, Item, TableLike};

/// The most paddles of a kind, or spare strips of a lamination, that are read.
const MOST: i64 = 10_000;

const LENGTHS: &str = "write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\"";

/// Parses a TOML document with the places of its keys.
///
/// # Errors
/// One [`Problem`] where the text is not TOML.
pub(super) fn document(name: &str, text: &str) -> Result<Document<String>, Problems> {
    Document::parse(text.to_owned())
        .map_err(|error| Problems::from(amiss::problem(name, text, &error)))
}

/// The units that a text which is not TOML seems to name in a line of their own; none where it
/// doesn't.
pub(super) fn units_of(text: &str) -> Option<Units> {
    let bare = |line: &str| line.replace([' ', '\t', '\'', '"', '\u{FEFF}'], "").to_lowercase();
    let said = text.lines().map(bare).find_map(|line| {
        let value = line.strip_prefix("units")?.strip_prefix(['=', ':'])?;
        Some(value.split('#').next()?.to_owned())
    })?;
    unit(&said)
}

/// The units that a word names.
pub(super) fn unit(word: &str) -> Option<Units> {
    match word.trim().to_lowercase().as_str() {
        "in" => Some(Units::Inch),
        "mm" => Some(Units::Mm),
        _ => None,
    }
}

/// What is read of one text, with every problem of it.
pub(super) struct TableReader<'a> {
    file: &'a str,
    lines: Lines,
    /// The units of bare numbers.
    pub(super) units: Units,
    /// All that was found wrong.
    pub(super) problems: Problems,
    /// Keys that a misspelt one seems to stand for; they are not said to be missing as well.
    meant: HashSet<String>,
}

/// Where a value stands, for problems.
#[derive(Clone, Default)]
pub(super) struct Place {
    /// Its bytes in the text.
    pub(super) span: Option<Range<usize>>,
    /// The whole path of keys, as `paddle "touring", lamination "spine", thickness`.
    pub(super) path: String,
}

/// The value as it was written.
pub(super) fn written(item: &Item) -> String {
    match item.as_str() {
        Some(text) => text.to_owned(),
        None => item.to_string().trim().to_owned(),
    }
}

impl<'a> TableReader<'a> {
    pub(super) fn of(file: &'a str, text: &str) -> Self {
        TableReader {
            file,
            lines: Lines::of(text),
            units: Units::Inch,
            problems: Problems::default(),
            meant: HashSet::new(),
        }
    }

    pub(super) fn problem(&mut self, place: &Place, value: Option<&str>, rule: &str, cure: &str) {
        if self.problems.is_full() {
            self.problems.count(1);
            return;
        }
        self.problems.push(Problem {
            file: self.file.to_owned(),
            line: place.span.as_ref().map(|s| self.lines.line(s.start)),
            column: Some(place.path.clone()),
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    /// The place of a key of a table, or of the table where the key is missing.
    pub(super) fn place(&self, table: &dyn TableLike, at: &Place, key: &str) -> Place {
        let (name, item) =
            table.get_key_value(key).map_or((None, None), |(k, i)| (Some(k), Some(i)));
        let span = name.and_then(toml_edit::Key::span).or_else(|| item.and_then(Item::span));
        let path = if at.path.is_empty() { key.to_owned() } else { format!("{}, {key}", at.path) };
        Place { span: span.or_else(|| at.span.clone()), path }
    }

    pub(super) fn unknown(&mut self, table: &dyn TableLike, at: &Place, known: &[&str]) {
        let strange: Vec<String> = table
            .iter()
            .map(|(k, _)| k.to_owned())
            .filter(|k| !known.contains(&k.as_str()))
            .collect();
        for key in strange {
            let place = self.place(table, at, &key);
            // What is only counted needs no cure.
            let full = self.problems.is_full();
            let elsewhere = if full { None } else { amiss::belongs(&key, known) };
            let at_home = elsewhere.is_none();
            let near = || if full { String::new() } else { suggestion(&key, known) };
            let cure = elsewhere.unwrap_or_else(near);
            self.problem(&place, None, "is not a key that is known here", &cure);
            if !full
                && at_home
                && let Some(meant) = nearest(&key, known)
            {
                self.meant.insert(format!("{}, {meant}", at.path));
            }
        }
    }

    /// The tables of an array of tables, with their places.
    pub(super) fn tables<'t>(
        &mut self,
        item: Option<&'t Item>,
        place: &Place,
        cure: &str,
    ) -> Vec<(&'t dyn TableLike, Option<Range<usize>>)> {
        let Some(item) = item else { return Vec::new() };
        if let Some(array) = item.as_array_of_tables() {
            return array.iter().map(|t| (t as &dyn TableLike, t.span())).collect();
        }
        if let Some(array) = item.as_array() {
            let inline: Vec<_> = array.iter().filter_map(|v| v.as_inline_table()).collect();
            if inline.len() == array.len() {
                return inline.into_iter().map(|t| (t as &dyn TableLike, t.span())).collect();
            }
        }
        let cure = format!("write {cure}");
        let value = item.is_value().then(|| written(item));
        self.problem(place, value.as_deref(), "is not a list of tables", &cure);
        Vec::new()
    }

    /// A length of at least `least`, if the key is there and can be read.
    pub(super) fn length(
        &mut self,
        table: &dyn TableLike,
        at: &Place,
        key: &str,
        least: Length,
    ) -> Option<Length> {
        let item = table.get(key)?;
        let place = self.place(table, at, key);
        let text = written(item);
        if item.as_str().is_none() && item.as_integer().is_none() && item.as_float().is_none() {
            self.problem(&place, Some(&text), "is not a length", LENGTHS);
            return None;
        }
        match Length::parse(&text, self.units) {
            Err(error) => {
                let cure = length_cure(&text, self.units, &error, LENGTHS);
                self.problem(&place, Some(&text), &error.to_string(), &cure);
                None
            }
            Ok(length) if length < least => {
                let (rule, cure) = if least > Length::from_units(1) {
                    (
                        format!("is less than {}", least.with_unit(self.units)),
                        "check the figure and its unit",
                    )
                } else if least > Length::ZERO {
                    (not_above_zero(&text, length).to_owned(), "give the size in the job's units")
                } else {
                    ("is less than 0".to_owned(), "give 0 or more")
                };
                self.problem(&place, Some(&text), &rule, cure);
                None
            }
            Ok(length) => Some(length),
        }
    }

    /// A key that must be there is not, unless it was misspelt.
    pub(super) fn missing(&mut self, place: &Place, cure: &str) {
        if !self.meant.contains(&place.path) {
            self.problem(place, None, "is missing", cure);
        }
    }

    /// A length that must be there and be more than nothing.
    pub(super) fn size(
        &mut self,
        table: &dyn TableLike,
        at: &Place,
        key: &str,
        what: &str,
    ) -> Option<Length> {
        if table.get(key).is_none() {
            let place = self.place(table, at, key);
            self.missing(&place, &format!("give {what}"));
            return None;
        }
        self.length(table, at, key, Length::from_units(1))
    }

    pub(super) fn name(&mut self, table: &dyn TableLike, at: &Place, what: &str) -> Option<String> {
        let place = self.place(table, at, "name");
        match table.get("name").map(|i| (i.as_str(), written(i))) {
            None => {
                self.missing(&place, &format!("give the {what} a name"));
                None
            }
            Some((Some(name), _)) if !name.trim().is_empty() => {
                self.fit(&place, name.trim());
                Some(name.trim().to_owned())
            }
            Some((_, written)) => {
                let cure = format!("give the {what} a name in quotes");
                self.problem(&place, Some(&written), "is not a name", &cure);
                None
            }
        }
    }

    pub(super) fn count(
        &mut self,
        table: &dyn TableLike,
        at: &Place,
        key: &str,
        least: i64,
        default: u32,
    ) -> u32 {
        let Some(item) = table.get(key) else { return default };
        let number =
            item.as_integer().or_else(|| item.as_str().and_then(|s| s.trim().parse().ok()));
        match number.filter(|n| (least..=MOST).contains(n)).and_then(|n| u32::try_from(n).ok()) {
            Some(number) => number,
            None => {
                let place = self.place(table, at, key);
                let rule = format!("is not a whole number of {least} to {MOST}");
                let value = written(item);
                self.problem(&place, Some(&value), &rule, "count them");
                default
            }
        }
    }

    /// A list of words, or one word.
    pub(super) fn words(&mut self, table: &dyn TableLike, at: &Place, key: &str) -> Vec<String> {
        let Some(item) = table.get(key) else { return Vec::new() };
        let place = self.place(table, at, key);
        let cure = format!("write {key} = [\"…\", \"…\"]");
        if let Some(word) = item.as_str().filter(|w| !w.trim().is_empty()) {
            self.fit(&place, word);
            return vec![word.to_owned()];
        }
        let Some(array) = item.as_array() else {
            let value = written(item);
            self.problem(&place, Some(&value), "is not a list of words", &cure);
            return Vec::new();
        };
        let mut words = Vec::new();
        for value in array {
            match value.as_str().filter(|w| !w.trim().is_empty()) {
                Some(word) => {
                    self.fit(&place, word);
                    words.push(word.to_owned());
                }
                None => {
                    let shown = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
                    self.problem(&place, Some(shown.trim()), "is not a word", &cure);
                }
            }
        }
        words
    }

    /// Refuses a name that holds what no name may.
    pub(super) fn fit(&mut self, place: &Place, name: &str) {
        if let Some((rule, cure)) = name_fault(name) {
            self.problem(place, Some(name), &rule, cure);
        }
    }

    /// A number from one figure to another, if the key is there and can be read.
    pub(super) fn number(
        &mut self,
        table: &dyn TableLike,
        at: &Place,
        key: &str,
        (least, most): (f64, f64),
    ) -> Option<f64> {
        let item = table.get(key)?;
        #[allow(clippy::cast_precision_loss)] // far below 2^53, or refused
        let number = item
            .as_float()
            .or_else(|| item.as_integer().map(|n| n as f64))
            .or_else(|| item.as_str().and_then(|s| s.trim().parse().ok()))
            .filter(|n| n.is_finite() && (least..=most).contains(n));
        if number.is_none() {
            let place = self.place(table, at, key);
            let rule = format!("is not a number of {least} to {most}");
            self.problem(&place, Some(&written(item)), &rule, "check the figure");
        }
        number
    }
}
