//! strips.csv: strips that are cut already (MODEL 10).

mod cells;

use crate::length::{Length, Units};
use crate::lumber::{Species, StripInHand, look};
use crate::paddle::{Job, Lamination, Paddle};
use crate::read::boards::{bare, of_words, word};
use crate::read::looks::{Looks, swapped};
use crate::read::names::name_fault;
use crate::read::problem::{Problem, Problems, nearest, suggestion};
use crate::read::row::{Row, commas, too_many, torn};
use crate::read::sheet;
use std::collections::HashMap;
use std::ops::ControlFlow;

/// Columns of strips.csv.
pub const STRIP_COLUMNS: [&str; 12] = [
    "strip",
    "species",
    "length",
    "thickness",
    "depth",
    "rings",
    "sidewise",
    "depthwise",
    "rises",
    "weight",
    "paddle",
    "lamination",
];

/// Columns that every line fills.
const NEEDED: [&str; 5] = ["strip", "species", "length", "thickness", "depth"];

/// Words that people write above columns for those that are known.
const OTHER_WORDS: [(&str, &[&str]); 7] = [
    ("strip", &["name", "id", "no", "number", "label"]),
    ("species", &["wood", "timber", "material"]),
    ("length", &["len", "l", "long"]),
    ("thickness", &["thick", "thk", "t", "width"]),
    ("depth", &["d", "deep", "height"]),
    ("sidewise", &["side", "sideways", "crook"]),
    ("depthwise", &["bow"]),
];

/// What strips.csv says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rack {
    /// The strips, in the order of the file.
    pub strips: Vec<StripInHand>,
    /// What deserves a second look though the strips can be read: those that were cut for a paddle
    /// or lamination which the job doesn't have, so that they serve nothing in it.
    pub doubts: Vec<Problem>,
}

/// Reads strips.csv from its text for a job; `name` stands for the file in problems.
///
/// A list without a strip is an empty rack.
///
/// # Errors
/// Every [`Problem`] found: a strip twice, a value that can't be read, a strip thinner than what
/// it was cut for is when finished.
///
/// ```
/// use stripwright::{job_text, strips_text};
/// let job = job_text("paddles.toml", r#"
/// [[paddle]]
/// name = "short"
/// length = 40
/// loom = 12
/// thickness = 1
/// [[paddle.lamination]]
/// name = "side"
/// thickness = "1/2"
/// runs = "through"
/// "#).unwrap_or_else(|problems| panic!("{problems}"));
/// let text = "strip,species,length,thickness,depth,sidewise\nA.1,spruce,41,9/16,1 1/16,-1/8\n";
/// let rack = strips_text("strips.csv", text, &job).unwrap_or_else(|problems| panic!("{problems}"));
/// assert_eq!(rack.strips[0].name, "A.1");
/// ```
pub fn strips_text(name: &str, text: &str, job: &Job) -> Result<Rack, Problems> {
    strips_for(name, text, job.units, Some(job))
}

/// The same where the job may not be known, since its own file is wrong.
pub(super) fn strips_for(
    name: &str,
    text: &str,
    units: Units,
    job: Option<&Job>,
) -> Result<Rack, Problems> {
    let mut reader = Reader {
        file: name,
        units,
        job,
        problems: Problems::default(),
        rack: Rack::default(),
        lines: HashMap::new(),
        absent: Vec::new(),
        commas: !sheet::parted_by_commas(text),
        pointed: false,
    };
    reader.read(text);
    if reader.problems.is_empty() {
        Ok(reader.rack)
    } else {
        Err(reader.problems.beside(reader.rack.doubts))
    }
}

struct Reader<'a> {
    file: &'a str,
    units: Units,
    job: Option<&'a Job>,
    problems: Problems,
    rack: Rack,
    /// The line of each strip and its name as written, by the looks of the name.
    lines: HashMap<String, (usize, String)>,
    /// Needed columns that the header lacks, which lines are not blamed for.
    absent: Vec<&'static str>,
    /// Are commas in numbers decimal ones? Where something else parts the cells.
    commas: bool,
    /// Has one been told of?
    pointed: bool,
}

impl Reader<'_> {
    fn at(
        &self,
        line: usize,
        column: &str,
        value: Option<&str>,
        rule: &str,
        cure: &str,
    ) -> Problem {
        Problem {
            file: self.file.to_owned(),
            line: Some(line),
            column: Some(format!("column {column}")),
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        }
    }

    fn problem(&mut self, line: usize, column: &str, value: Option<&str>, rule: &str, cure: &str) {
        if self.problems.is_full() {
            self.problems.count(1);
            return;
        }
        let problem = self.at(line, column, value, rule, cure);
        self.problems.push(problem);
    }

    fn read(&mut self, text: &str) {
        if let Some(problems) = swapped(self.file, text, Looks::Strips) {
            self.problems.extend(problems);
            return;
        }
        let mut header: Option<Vec<Option<&'static str>>> = None;
        let read = sheet::each(text, |line, record| {
            let list = "save the list as CSV, a line for each strip";
            if let Some(torn) = torn(record, header.as_deref(), list) {
                self.problem(line, &torn.column, Some(&torn.value), &torn.rule, torn.cure);
                return ControlFlow::Break(());
            }
            match &header {
                None => match self.header(line, record) {
                    Some(columns) => header = Some(columns),
                    None => return ControlFlow::Break(()),
                },
                Some(columns) => self.row(line, record, columns),
            }
            ControlFlow::Continue(())
        });
        if let Err(error) = read {
            let rule = format!("is not CSV: {error}");
            self.problems.push(Problem::of_file(self.file, &rule, "save it as CSV (UTF-8)"));
        } else if header.is_none() && self.problems.is_empty() {
            let cure = format!("begin with a line of column names: {}", NEEDED.join(","));
            self.problems.push(Problem::of_file(self.file, "is empty", &cure));
        }
    }

    fn header(
        &mut self,
        line: usize,
        record: &csv::StringRecord,
    ) -> Option<Vec<Option<&'static str>>> {
        let words: Vec<String> = record.iter().map(word).collect();
        if !words.iter().any(|w| meant(w).is_some()) {
            let rule = "does not begin with the names of columns";
            let cure = format!("write above it: {}", NEEDED.join(","));
            let mut problem = Problem::of_file(self.file, rule, &cure);
            problem.line = Some(line);
            self.problems.push(problem);
            return None;
        }
        let mut columns: Vec<Option<&'static str>> = Vec::new();
        for (cell, word) in record.iter().zip(&words) {
            let found = STRIP_COLUMNS.iter().copied().find(|k| k == word);
            match found {
                Some(column) if columns.contains(&Some(column)) => {
                    let rule = "stands twice in the header";
                    self.problem(line, column, Some(cell.trim()), rule, "keep one of the two");
                }
                None if !word.is_empty() => {
                    let cure = match meant(word) {
                        Some(column) if bare(word) == column => format!(
                            "write {column} alone: bare numbers are in {}, others carry their unit",
                            self.units.word()
                        ),
                        Some(column) => format!("did you mean {column}?"),
                        None => suggestion(word, &STRIP_COLUMNS),
                    };
                    self.problem(line, word, Some(cell.trim()), "is not a column", &cure);
                }
                _ => {}
            }
            columns.push(found);
        }
        for needed in NEEDED {
            let misspelt =
                |w: &String| !STRIP_COLUMNS.contains(&w.as_str()) && meant(w) == Some(needed);
            if columns.contains(&Some(needed)) {
                continue;
            }
            self.absent.push(needed);
            if !words.iter().any(misspelt) {
                let cure = format!("add a column {needed}");
                self.problem(line, needed, None, "is missing from the header", &cure);
            }
        }
        columns.contains(&Some("strip")).then_some(columns)
    }

    fn row(&mut self, line: usize, record: &csv::StringRecord, columns: &[Option<&'static str>]) {
        let mut row = Row::of(line, record, columns);
        // What is only counted needs no cure.
        let by_commas = !self.commas && !self.problems.is_full();
        if let Some(found) = too_many(record, columns, (by_commas, self.units)) {
            self.problem(line, &found.place, Some(&found.value), &found.rule, &found.cure);
            return;
        }
        if let Some(pointed) = Some(()).filter(|()| self.commas).and_then(|()| row.point_commas()) {
            let first = !std::mem::replace(&mut self.pointed, true);
            self.rack.doubts.extend(commas(self.file, line, &pointed, first));
        }
        let before = self.problems.len();
        let name = row.get("strip").unwrap_or_default();
        if name.is_empty() {
            let cure = "give every strip a name, as written on the wood";
            self.problem(line, "strip", None, "is empty", cure);
        }
        for column in ["strip", "species", "paddle", "lamination"] {
            if let Some((rule, cure)) = name_fault(row.get(column).unwrap_or_default()) {
                self.problem(line, column, row.get(column), &rule, cure);
            }
        }
        if let Some((before, other)) = self.lines.get(&look(name)).cloned() {
            let (rule, cure) = if other == name {
                (
                    format!("stands on line {before} already"),
                    "a strip is one: keep one of the lines",
                )
            } else {
                (
                    format!(
                        "looks like the strip on line {before}: only spaces or characters that can't be seen differ"
                    ),
                    "give the strip a name that can be told apart on the wood",
                )
            };
            self.problem(line, "strip", Some(name), &rule, cure);
        } else if !name.is_empty() {
            self.lines.insert(look(name), (line, name.to_owned()));
        }
        let strip = self.strip(&row, name);
        self.served(&row, &strip);
        if self.problems.len() == before && self.absent.is_empty() {
            self.rack.strips.push(strip);
        }
    }

    /// The strip of a line, as far as it can be read.
    fn strip(&mut self, row: &Row<'_>, name: &str) -> StripInHand {
        let species = row.get("species");
        if species.is_none() && !self.absent.contains(&"species") {
            self.problem(row.line, "species", None, "is missing", "name the wood, as white ash");
        }
        let strip = StripInHand {
            name: name.to_owned(),
            species: Species::new(species.unwrap_or_default()),
            length: self.size(row, "length").unwrap_or_default(),
            thickness: self.size(row, "thickness").unwrap_or_default(),
            depth: self.size(row, "depth").unwrap_or_default(),
            rings: self.rings(row),
            sidewise: self.bend(row, "sidewise"),
            depthwise: self.bend(row, "depthwise"),
            rises: self.rises(row),
            weight: self.weight(row),
            paddle: row.get("paddle").map(str::to_owned),
            lamination: row.get("lamination").map(str::to_owned),
        };
        self.bends(row, &strip);
        strip
    }

    /// Looks at what a strip says that it was cut for.
    fn served(&mut self, row: &Row<'_>, strip: &StripInHand) {
        let Some(job) = self.job else { return };
        // Names that no name may be were told of.
        let named = [&strip.paddle, &strip.lamination].into_iter().flatten();
        if named.clone().any(|name| name_fault(name).is_some()) {
            return;
        }
        let known = |paddle: &str| job.paddles.iter().any(|p| p.name == paddle);
        let mean = |word: &str, names: Vec<&str>| match nearest(word, &names) {
            Some(near) => format!("it serves nothing; did you mean {near}?"),
            None => "it serves nothing in this job; leave the cell empty for whatever it fits"
                .to_owned(),
        };
        if let Some(paddle) = strip.paddle.as_deref().filter(|p| !known(p)) {
            let names = job.paddles.iter().map(|p| p.name.as_str()).collect();
            let rule = "is not a paddle of this job";
            let doubt = self.at(row.line, "paddle", Some(paddle), rule, &mean(paddle, names));
            self.rack.doubts.push(doubt);
            return;
        }
        let Some(lamination) = &strip.lamination else { return };
        let paddles = || {
            job.paddles.iter().filter(|p| strip.paddle.as_ref().is_none_or(|name| *name == p.name))
        };
        let laminations = || paddles().flat_map(|p| p.laminations.iter().map(move |l| (p, l)));
        let named: Vec<_> = laminations().filter(|(_, l)| l.name == *lamination).collect();
        if named.is_empty() {
            let names = laminations().map(|(_, l)| l.name.as_str()).collect();
            let rule = match &strip.paddle {
                Some(paddle) => format!("is not a lamination of {paddle}"),
                None => "is not a lamination of this job".to_owned(),
            };
            let cure = mean(lamination, names);
            let doubt = self.at(row.line, "lamination", Some(lamination), &rule, &cure);
            self.rack.doubts.push(doubt);
            return;
        }
        let least = |size: fn(&Paddle, &Lamination) -> Length| {
            named.iter().map(|(p, l)| (size(p, l), &p.name)).min_by_key(|(size, _)| *size)
        };
        // What can't be finished to size for anything that it was cut for is a slip of the pen, or
        // a strip that was spoiled.
        for (column, size, least) in [
            ("thickness", strip.thickness, least(|_, l| l.thickness)),
            ("depth", strip.depth, least(|p, _| p.thickness)),
        ] {
            // A size that could not be read is none, and was told of.
            let less = |&(least, _): &(Length, _)| size > Length::ZERO && size < least;
            if let Some((least, paddle)) = least.filter(less) {
                let rule = format!(
                    "is less than {lamination} of {} is when finished, {}",
                    paddle,
                    least.with_unit(self.units)
                );
                // So left, every command takes the line: tally too, where it is told as spoiled.
                let cure = "measure it again; if it is so, leave its paddle and lamination empty: it then serves what it fits, and glue says what helps where it no longer fits";
                self.problem(row.line, column, row.get(column), &rule, cure);
            }
        }
    }
}

/// The column that a word seems to stand for: itself, with a unit, by another word or misspelt.
fn meant(word: &str) -> Option<&'static str> {
    let column = |name: &str| STRIP_COLUMNS.iter().copied().find(|k| *k == name);
    let other = |w: &str| OTHER_WORDS.iter().find(|(_, words)| words.contains(&w)).map(|(c, _)| *c);
    let known = |w: &str| column(w).or_else(|| other(w));
    known(bare(word)).or_else(|| {
        of_words(word, known, || {
            nearest(bare(word), &STRIP_COLUMNS).or_else(|| nearest(word, &STRIP_COLUMNS))
        })
    })
}
