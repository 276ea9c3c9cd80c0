//! paddles.toml as a whole, parsed once: units, shop, paddles wanted, glue and woods (MODEL 3).

use crate::glue::GlueSettings;
use crate::length::Length;
use crate::length::Units;
use crate::lumber::{Angle, look};
use crate::paddle::{Job, Paddle};
use crate::read::looks::{Looks, swapped};
use crate::read::number::{angle, slope};
use crate::read::problem::{Problems, cut_off, nearest};
use crate::read::table::{Place, TableReader, document, unit, units_of, written};
use std::collections::HashSet;
use toml_edit::{Item, Table, TableLike};

const TOP_KEYS: [&str; 5] = ["units", "shop", "paddle", "glue", "species"];
const PADDLE_KEYS: [&str; 10] = [
    "name",
    "like",
    "quantity",
    "length",
    "loom",
    "thickness",
    "trim",
    "rings",
    "runout",
    "lamination",
];
/// What a paddle that is like another has of its own in any case.
const ITS_OWN: [&str; 3] = ["name", "like", "quantity"];

/// All that paddles.toml says.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The shop and the paddles wanted.
    pub job: Job,
    /// How the shop glues, and woods of its own.
    pub glue: GlueSettings,
}

/// Reads paddles.toml from its text; `name` stands for the file in problems.
///
/// # Errors
/// Every [`Problem`](crate::read::Problem) found, in whatever table.
pub fn paddles_text(name: &str, text: &str) -> Result<Wanted, Problems> {
    wanted_and_units(name, text).0
}

/// As [`paddles_text`], for those who need the job alone.
///
/// # Errors
/// As [`paddles_text`].
pub fn job_text(name: &str, text: &str) -> Result<Job, Problems> {
    paddles_text(name, text).map(|wanted| wanted.job)
}

/// As [`paddles_text`], with the units that the text names even where it can't be read; none where
/// they can't be told.
pub(super) fn wanted_and_units(
    name: &str,
    text: &str,
) -> (Result<Wanted, Problems>, Option<Units>) {
    if let Some(problems) = swapped(name, text, Looks::Paddles) {
        return (Err(problems), None);
    }
    let document = match document(name, text) {
        Ok(document) => document,
        Err(problems) => return (Err(problems), units_of(text)),
    };
    let mut reader = TableReader::of(name, text);
    let job = reader.job(document.as_table());
    let glue = reader.glue_settings(document.as_table());
    // Named below another table, or wrong, they are a problem, and may be meant all the same.
    let meant = || units_of(text);
    let units = match document.get("units") {
        _ if reader.problems.is_empty() => Some(reader.units),
        Some(item) if item.as_str().and_then(unit).is_none() => meant(),
        Some(_) => Some(reader.units),
        None => meant().or(Some(reader.units)),
    };
    // Tables are read one after another, and a key of the first may stand on the last line.
    reader.problems.sort();
    let wanted = Wanted { job, glue };
    (if reader.problems.is_empty() { Ok(wanted) } else { Err(reader.problems) }, units)
}

impl TableReader<'_> {
    fn job(&mut self, top: &dyn TableLike) -> Job {
        let at = Place { span: None, path: String::new() };
        self.unknown(top, &at, &TOP_KEYS);
        if let Some(item) = top.get("units") {
            let place = self.place(top, &at, "units");
            match item.as_str().and_then(unit) {
                Some(units) => self.units = units,
                None => {
                    let value = written(item);
                    self.problem(&place, Some(&value), "is not a unit", "write \"in\" or \"mm\"");
                }
            }
        }
        let shop = self.shop(top, &at);
        let mut paddles: Vec<Paddle> = Vec::new();
        let mut names: HashSet<String> = HashSet::new();
        let place = self.place(top, &at, "paddle");
        let tables = self.tables(top.get("paddle"), &place, "[[paddle]]");
        if top.get("paddle").is_none() || (tables.is_empty() && self.problems.is_empty()) {
            let cure = "add a [[paddle]] with name, length, loom, thickness and laminations";
            self.problem(
                &Place { span: None, path: "paddle".to_owned() },
                None,
                "is missing: no paddle is asked for",
                cure,
            );
        }
        let all: Vec<&dyn TableLike> = tables.iter().map(|(table, _)| *table).collect();
        for (table, span) in tables {
            let place = Place { span, path: String::new() };
            let paddle = self.like_or_not(table, &all, &place, paddles.len() + 1);
            if !paddle.name.is_empty() && !names.insert(look(&paddle.name)) {
                let name = cut_off(&paddle.name, 60);
                let named = Place { path: format!("paddle \"{name}\""), ..place };
                let place = self.place(table, &named, "name");
                let cure = "give each kind of paddle a name of its own";
                self.problem(
                    &place,
                    Some(&paddle.name),
                    "is the name of two kinds of paddle",
                    cure,
                );
            }
            paddles.push(paddle);
        }
        Job { units: self.units, shop, paddles, strips: Vec::new() }
    }

    /// Reads a paddle; where it is `like` another, what it doesn't say itself is as the other one says.
    fn like_or_not(
        &mut self,
        table: &dyn TableLike,
        all: &[&dyn TableLike],
        at: &Place,
        number: usize,
    ) -> Paddle {
        let Some(item) = table.get("like") else { return self.paddle(table, at, number) };
        let named = Place { path: format!("paddle {number}"), ..at.clone() };
        let place = self.place(table, &named, "like");
        let same =
            |name: &str| item.as_str().is_some_and(|like| look(like.trim()) == look(name.trim()));
        let whole: Vec<&dyn TableLike> =
            all.iter().copied().filter(|other| other.get("like").is_none()).collect();
        let found = whole.iter().find(|other| named_in(**other).is_some_and(same));
        let Some(base) = found else {
            let names: Vec<&str> = whole.iter().filter_map(|other| named_in(*other)).collect();
            let near = item.as_str().and_then(|like| nearest(like.trim(), &names));
            let cure = match near {
                Some(near) => format!("did you mean {near}?"),
                None => "name a paddle of this file that is not like another one itself".to_owned(),
            };
            self.problem(
                &place,
                Some(&written(item)),
                "is not a paddle that others can be like",
                &cure,
            );
            // What it does say is looked at; what it lacks the other one may have.
            let before = std::mem::take(&mut self.problems);
            let paddle = self.paddle(table, at, number);
            let mut new = std::mem::replace(&mut self.problems, before);
            new.0.retain(|problem| {
                let name = problem.column.as_ref().is_some_and(|key| key.ends_with(", name"));
                name || !problem.rule.starts_with("is missing")
            });
            self.problems.extend(new);
            return paddle;
        };
        let mut merged = Table::new();
        let inherited = |key: &str| table.get(key).is_none() && !ITS_OWN.contains(&key);
        let keys = base.iter().map(|(key, _)| key).filter(|key| inherited(key));
        let own = table.iter().map(|(key, _)| key).filter_map(|key| table.get_key_value(key));
        for (key, item) in keys.filter_map(|key| base.get_key_value(key)).chain(own) {
            merged.insert_formatted(key, item.clone());
        }
        // What is wrong with the other one is told there.
        let before = std::mem::take(&mut self.problems);
        let paddle = self.paddle(&merged, at, number);
        let new = std::mem::replace(&mut self.problems, before);
        self.problems.extend_unlike(new);
        paddle
    }

    fn paddle(&mut self, table: &dyn TableLike, at: &Place, number: usize) -> Paddle {
        let named = table.get("name").and_then(Item::as_str).map(str::trim);
        let path = match named {
            Some(name) if name.chars().nth(60).is_some() => {
                format!("paddle {number} \"{}\"", cut_off(name, 60))
            }
            Some(name) if !name.is_empty() => format!("paddle \"{name}\""),
            _ => format!("paddle {number}"),
        };
        let at = Place { span: at.span.clone(), path };
        self.unknown(table, &at, &PADDLE_KEYS);
        let name = self.name(table, &at, "paddle");
        let quantity = self.count(table, &at, "quantity", 1, 1);
        let length = self.size(table, &at, "length", "the finished length");
        let loom = self.size(table, &at, "loom", "the finished length of the loom");
        let thickness = self.size(table, &at, "thickness", "the thickness of the planed blank");
        let trim = self.length(table, &at, "trim", Length::ZERO);
        if let (Some(length), Some(loom)) = (length, loom)
            && loom >= length
        {
            let place = self.place(table, &at, "loom");
            let rule = format!("is not less than the paddle's length, {}", length.show(self.units));
            let value = loom.show(self.units);
            self.problem(&place, Some(&value), &rule, "the loom is about a quarter of the length");
        }
        let rings = match table.get("rings") {
            None => Angle::RIFT,
            Some(item) => {
                let text = written(item);
                angle(&text).unwrap_or_else(|| {
                    let place = self.place(table, &at, "rings");
                    let cure = "give 0 (any grain) to 90 (vertical); 45 is common practice";
                    self.problem(&place, Some(&text), "is not an angle of 0 to 90 degrees", cure);
                    Angle::RIFT
                })
            }
        };
        let runout = table.get("runout").and_then(|item| {
            let text = written(item);
            let found = slope(&text);
            if found.is_none() {
                let place = self.place(table, &at, "runout");
                self.problem(
                    &place,
                    Some(&text),
                    "is not a slope of grain",
                    "write it as \"1:15\"",
                );
            }
            found
        });
        let laminations = self.laminations(table, &at);
        Paddle {
            name: name.unwrap_or_default(),
            quantity,
            length: length.unwrap_or_default(),
            loom: loom.unwrap_or_default(),
            thickness: thickness.unwrap_or_default(),
            trim: trim.unwrap_or(Length::inch_fraction(3, 8)),
            rings,
            runout,
            laminations,
        }
    }
}

/// The name that a paddle's table gives it.
fn named_in(table: &dyn TableLike) -> Option<&str> {
    table.get("name").and_then(Item::as_str)
}
