//! paddles.toml (MODEL 3).

use crate::length::{Length, Units};
use crate::lumber::{Angle, Slope, Species, ZoneKind, look};
use crate::paddle::{Job, Lamination, Margin, Paddle, Runs, Shop};
use crate::read::boards::decimal;
use crate::read::lines::Lines;
use crate::read::problem::{Problem, Problems, cut_off, nearest, suggestion};
use std::collections::{BTreeMap, HashSet};
use std::ops::Range;
use toml_edit::{Document, Item, TableLike};

const TOP_KEYS: [&str; 5] = ["units", "shop", "paddle", "glue", "species"];
const SHOP_KEYS: [&str; 16] = [
    "rip_kerf",
    "crosscut_kerf",
    "resaw_kerf",
    "curve_kerf",
    "edge",
    "far_edge",
    "board_end",
    "dress",
    "curve_dress",
    "resaw_dress",
    "plane",
    "straight",
    "pair",
    "pull",
    "min_rip",
    "margin",
];
const MARGIN_KEYS: [&str; 2] = ["along", "across"];
const PADDLE_KEYS: [&str; 9] =
    ["name", "quantity", "length", "loom", "thickness", "trim", "rings", "runout", "lamination"];
const LAMINATION_KEYS: [&str; 7] =
    ["name", "thickness", "runs", "centre", "species", "allow", "spares"];

/// The most paddles of a kind, or spare strips of a lamination, that are read.
const MOST: i64 = 10_000;

const LENGTHS: &str = "write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\"";

/// Parses a TOML document with the places of its keys.
///
/// # Errors
/// One [`Problem`] where the text is not TOML.
pub fn document(name: &str, text: &str) -> Result<Document<String>, Problems> {
    Document::parse(text.to_owned()).map_err(|error| {
        let line = error.span().map(|s| Lines::of(text).line(s.start));
        let message = cut_off(error.message().trim(), 200).replace('\n', ", ");
        let rule = format!("is not TOML: {message}");
        let mut problem =
            Problem::of_file(name, &rule, "compare with the file that `stripwright start` writes");
        problem.line = line;
        Problems::from(problem)
    })
}

/// The units that a text which is not TOML seems to name in a line of their own, else inches.
fn units_of(text: &str) -> Units {
    let says = text.lines().any(|l| l.replace([' ', '\''], "").starts_with("units=\"mm\""));
    if says { Units::Mm } else { Units::Inch }
}

/// Reads a job from its text; `name` stands for the file in problems.
///
/// # Errors
/// Every [`Problem`] found.
pub fn job_text(name: &str, text: &str) -> Result<Job, Problems> {
    job_and_units(name, text).0
}

/// As [`job_text`], with the units that the text names even where there is no job.
pub(super) fn job_and_units(name: &str, text: &str) -> (Result<Job, Problems>, Units) {
    let document = match document(name, text) {
        Ok(document) => document,
        Err(problems) => return (Err(problems), units_of(text)),
    };
    let mut reader = Reader {
        file: name,
        lines: Lines::of(text),
        units: Units::Inch,
        problems: Problems::default(),
        meant: HashSet::new(),
    };
    let job = reader.job(document.as_table());
    let units = reader.units;
    (if reader.problems.is_empty() { Ok(job) } else { Err(reader.problems) }, units)
}

/// An angle of 0 to 90 degrees, or a trade word for one.
pub(super) fn angle(text: &str) -> Option<Angle> {
    match text.trim().to_lowercase().as_str() {
        "flat" => Some(Angle::FLAT),
        "rift" => Some(Angle::RIFT),
        "vertical" => Some(Angle::VERTICAL),
        other => {
            let bare = other.trim_end_matches('°').trim_end();
            Angle::from_millionths(i64::try_from(decimal(bare, 6)?).ok()?)
        }
    }
}

/// A slope of grain: `1:20`, `1/20`, `1:16.5` or `1:16 2/3`.
pub(super) fn slope(text: &str) -> Option<Slope> {
    let (rise, run) = text.trim().split_once([':', '/'])?;
    let number = |t: &str| -> Option<i64> {
        let t = t.trim();
        if let Some(millionths) = decimal(t, 6) {
            return i64::try_from(millionths).ok();
        }
        let (whole, fraction) = t.split_once([' ', '-'])?;
        let (top, bottom) = fraction.split_once('/')?;
        let whole = decimal(whole.trim(), 0)?;
        let (top, bottom) = (decimal(top.trim(), 0)?, decimal(bottom.trim(), 0)?);
        if bottom == 0 {
            return None;
        }
        i64::try_from((whole * bottom + top) * 1_000_000 / bottom).ok()
    };
    let slope = Slope { rise: number(rise)?, run: number(run)? };
    (slope.rise > 0 && slope.run > 0).then_some(slope)
}

struct Reader<'a> {
    file: &'a str,
    lines: Lines,
    units: Units,
    problems: Problems,
    /// Keys that a misspelt one seems to stand for; they are not said to be missing as well.
    meant: HashSet<String>,
}

/// What the laminations before one were.
#[derive(Default)]
struct Before {
    /// The looks of their names.
    names: HashSet<String>,
    /// The first blade lamination.
    blade: Option<String>,
    /// Was one on the centreline?
    centre: bool,
}

/// Where a value stands, for problems.
#[derive(Clone)]
struct Place {
    span: Option<Range<usize>>,
    /// The whole path of keys, as `paddle "touring", lamination "spine", thickness`.
    path: String,
}

impl Reader<'_> {
    fn problem(&mut self, place: &Place, value: Option<&str>, rule: &str, cure: &str) {
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
    fn place(&self, table: &dyn TableLike, at: &Place, key: &str) -> Place {
        let (name, item) =
            table.get_key_value(key).map_or((None, None), |(k, i)| (Some(k), Some(i)));
        let span = name.and_then(toml_edit::Key::span).or_else(|| item.and_then(Item::span));
        let path = if at.path.is_empty() { key.to_owned() } else { format!("{}, {key}", at.path) };
        Place { span: span.or_else(|| at.span.clone()), path }
    }

    /// The value as it was written.
    fn written(item: &Item) -> String {
        match item.as_str() {
            Some(text) => text.to_owned(),
            None => item.to_string().trim().to_owned(),
        }
    }

    fn unknown(&mut self, table: &dyn TableLike, at: &Place, known: &[&str]) {
        let strange: Vec<String> = table
            .iter()
            .map(|(k, _)| k.to_owned())
            .filter(|k| !known.contains(&k.as_str()))
            .collect();
        for key in strange {
            let place = self.place(table, at, &key);
            // What is only counted needs no cure.
            let full = self.problems.is_full();
            let cure = if full { String::new() } else { suggestion(&key, known) };
            self.problem(&place, None, "is not a key that is known here", &cure);
            if !full && let Some(meant) = nearest(&key, known) {
                self.meant.insert(format!("{}, {meant}", at.path));
            }
        }
    }

    fn job(&mut self, top: &dyn TableLike) -> Job {
        let at = Place { span: None, path: String::new() };
        self.unknown(top, &at, &TOP_KEYS);
        if let Some(item) = top.get("units") {
            let place = self.place(top, &at, "units");
            match item.as_str().map(|u| u.trim().to_lowercase()).as_deref() {
                Some("in") => {}
                Some("mm") => self.units = Units::Mm,
                _ => {
                    let value = Self::written(item);
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
        for (table, span) in tables {
            let place = Place { span, path: String::new() };
            let before = self.problems.len();
            let paddle = self.paddle(table, &place, paddles.len() + 1);
            if !names.insert(look(&paddle.name)) && self.problems.len() == before {
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
        Job { units: self.units, shop, paddles }
    }

    /// The tables of an array of tables, with their places.
    fn tables<'t>(
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
        self.problem(place, None, "is not a list of tables", &cure);
        Vec::new()
    }

    fn shop(&mut self, top: &dyn TableLike, at: &Place) -> Shop {
        let mut shop = Shop::default();
        let place = self.place(top, at, "shop");
        let Some(item) = top.get("shop") else { return shop };
        let Some(table) = item.as_table_like() else {
            self.problem(&place, None, "is not a table", "write [shop] and its keys below it");
            return shop;
        };
        let place = Place { span: item.span(), path: "shop".to_owned() };
        self.unknown(table, &place, &SHOP_KEYS);
        let read = |reader: &mut Self, key: &str, into: &mut Length| {
            if let Some(length) = reader.length(table, &place, key, Length::ZERO) {
                *into = length;
            }
        };
        read(self, "rip_kerf", &mut shop.rip_kerf);
        read(self, "crosscut_kerf", &mut shop.crosscut_kerf);
        read(self, "edge", &mut shop.edge);
        read(self, "far_edge", &mut shop.far_edge);
        read(self, "board_end", &mut shop.board_end);
        read(self, "dress", &mut shop.dress);
        // What the other saws leave is dressed alike unless they say otherwise.
        (shop.curve_dress, shop.resaw_dress) = (shop.dress, shop.dress);
        read(self, "curve_dress", &mut shop.curve_dress);
        read(self, "resaw_dress", &mut shop.resaw_dress);
        read(self, "plane", &mut shop.plane);
        read(self, "straight", &mut shop.straight);
        read(self, "pair", &mut shop.pair);
        read(self, "pull", &mut shop.pull);
        read(self, "min_rip", &mut shop.min_rip);
        shop.resaw_kerf = self.length(table, &place, "resaw_kerf", Length::ZERO);
        shop.curve_kerf = self.length(table, &place, "curve_kerf", Length::ZERO);
        shop.margins = self.margins(table, &place);
        shop
    }

    /// What is kept clear around zones, by their kind.
    fn margins(&mut self, shop: &dyn TableLike, at: &Place) -> BTreeMap<ZoneKind, Margin> {
        let mut margins = BTreeMap::new();
        let Some(item) = shop.get("margin") else { return margins };
        let place = self.place(shop, at, "margin");
        let cure = "write [shop.margin] and below it knot = { along = \"1/2\", across = \"1/8\" }";
        let Some(table) = item.as_table_like() else {
            self.problem(&place, Some(&Self::written(item)), "is not a table", cure);
            return margins;
        };
        for (kind, item) in table.iter() {
            let at =
                Place { path: format!("shop, margin, {kind}"), ..self.place(table, &place, kind) };
            let Some(of) = item.as_table_like() else {
                self.problem(&at, Some(&Self::written(item)), "is not a margin", cure);
                continue;
            };
            self.unknown(of, &at, &MARGIN_KEYS);
            let side = |reader: &mut Self, key: &str| reader.length(of, &at, key, Length::ZERO);
            let margin = Margin {
                along: side(self, "along").unwrap_or_default(),
                across: side(self, "across").unwrap_or_default(),
            };
            if margins.insert(ZoneKind::new(kind), margin).is_some() {
                let cure = "keep one of the two";
                self.problem(&at, None, "names a kind of zone for the second time", cure);
            }
        }
        margins
    }

    /// A length of at least `least`, if the key is there and can be read.
    fn length(
        &mut self,
        table: &dyn TableLike,
        at: &Place,
        key: &str,
        least: Length,
    ) -> Option<Length> {
        let item = table.get(key)?;
        let place = self.place(table, at, key);
        let text = Self::written(item);
        if item.as_str().is_none() && item.as_integer().is_none() && item.as_float().is_none() {
            self.problem(&place, Some(&text), "is not a length", LENGTHS);
            return None;
        }
        match Length::parse(&text, self.units) {
            Err(error) => {
                let cure = match error {
                    crate::length::LengthError::TooLong => "check the figure and its unit",
                    _ => LENGTHS,
                };
                self.problem(&place, Some(&text), &error.to_string(), cure);
                None
            }
            Ok(length) if length < least => {
                let (rule, cure) = if least > Length::ZERO {
                    ("is not more than 0", "give the size in the job's units")
                } else {
                    ("is less than 0", "give 0 or more")
                };
                self.problem(&place, Some(&text), rule, cure);
                None
            }
            Ok(length) => Some(length),
        }
    }

    /// A key that must be there is not, unless it was misspelt.
    fn missing(&mut self, place: &Place, cure: &str) {
        if !self.meant.contains(&place.path) {
            self.problem(place, None, "is missing", cure);
        }
    }

    /// A length that must be there and be more than nothing.
    fn size(&mut self, table: &dyn TableLike, at: &Place, key: &str, what: &str) -> Option<Length> {
        if table.get(key).is_none() {
            let place = self.place(table, at, key);
            self.missing(&place, &format!("give {what}"));
            return None;
        }
        self.length(table, at, key, Length::from_units(1))
    }

    fn name(&mut self, table: &dyn TableLike, at: &Place, what: &str) -> Option<String> {
        let place = self.place(table, at, "name");
        match table.get("name").map(|i| (i.as_str(), Self::written(i))) {
            None => {
                self.missing(&place, &format!("give the {what} a name"));
                None
            }
            Some((Some(name), _)) if !name.trim().is_empty() => Some(name.trim().to_owned()),
            Some((_, written)) => {
                let cure = format!("give the {what} a name in quotes");
                self.problem(&place, Some(&written), "is not a name", &cure);
                None
            }
        }
    }

    fn count(
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
                let value = Self::written(item);
                self.problem(&place, Some(&value), &rule, "count them");
                default
            }
        }
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
                let text = Self::written(item);
                angle(&text).unwrap_or_else(|| {
                    let place = self.place(table, &at, "rings");
                    let cure = "give 0 (any grain) to 90 (vertical); 45 is common practice";
                    self.problem(&place, Some(&text), "is not an angle of 0 to 90 degrees", cure);
                    Angle::RIFT
                })
            }
        };
        let runout = table.get("runout").and_then(|item| {
            let text = Self::written(item);
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

    fn laminations(&mut self, table: &dyn TableLike, at: &Place) -> Vec<Lamination> {
        let place = self.place(table, at, "lamination");
        let before = self.problems.len();
        let tables = self.tables(table.get("lamination"), &place, "[[paddle.lamination]]");
        if tables.is_empty() && self.problems.len() == before {
            let cure = "add a [[paddle.lamination]] with name, thickness and runs";
            self.problem(&place, None, "is missing: the paddle has no strips", cure);
        }
        let mut laminations: Vec<Lamination> = Vec::new();
        let mut before = Before::default();
        for (number, (table, span)) in tables.into_iter().enumerate() {
            let named = table.get("name").and_then(Item::as_str).map(str::trim);
            let path = match named {
                Some(name) if name.chars().nth(60).is_some() => {
                    format!("{}, lamination {} \"{}\"", at.path, number + 1, cut_off(name, 60))
                }
                Some(name) if !name.is_empty() => format!("{}, lamination \"{name}\"", at.path),
                _ => format!("{}, lamination {}", at.path, number + 1),
            };
            let at = Place { span: span.or_else(|| at.span.clone()), path };
            let lamination = self.lamination(table, &at);
            self.order(table, &at, &mut before, &lamination);
            laminations.push(lamination);
        }
        laminations
    }

    /// What one lamination forbids those before it.
    fn order(&mut self, table: &dyn TableLike, at: &Place, before: &mut Before, new: &Lamination) {
        let first = before.names.is_empty();
        if !before.names.insert(look(&new.name)) && !new.name.is_empty() {
            let place = self.place(table, at, "name");
            let cure = "give each lamination of a paddle a name of its own";
            self.problem(&place, Some(&new.name), "is the name of two laminations", cure);
        }
        if new.runs == Runs::Through
            && let Some(blade) = &before.blade
        {
            let place = self.place(table, at, "runs");
            let rule = format!("comes after the blade lamination \"{blade}\"");
            let cure =
                "write laminations from the centreline outwards: through ones before blade ones";
            self.problem(&place, Some("through"), &rule, cure);
        }
        if new.centre && !first {
            let place = self.place(table, at, "centre");
            let (rule, cure) = if before.centre {
                (
                    "is a second strip on the centreline",
                    "only the first lamination may be the centre",
                )
            } else {
                ("is not on the first lamination", "write the centre lamination first")
            };
            self.problem(&place, Some("true"), rule, cure);
        }
        if new.centre && new.runs == Runs::Blade {
            let place = self.place(table, at, "centre");
            let cure =
                "write runs = \"through\": the strip on the centreline runs through the loom";
            self.problem(&place, Some("true"), "stands on a blade lamination", cure);
        }
        before.centre |= new.centre;
        if new.runs == Runs::Blade && before.blade.is_none() {
            before.blade = Some(cut_off(&new.name, 60));
        }
    }

    fn lamination(&mut self, table: &dyn TableLike, at: &Place) -> Lamination {
        self.unknown(table, at, &LAMINATION_KEYS);
        let name = self.name(table, at, "lamination");
        let thickness = self.size(table, at, "thickness", "the dressed thickness of the strip");
        let runs = match table.get("runs") {
            None => {
                let place = self.place(table, at, "runs");
                self.missing(&place, "write \"through\" or \"blade\"");
                Runs::Through
            }
            Some(item) => match item.as_str().map(|r| r.trim().to_lowercase()).as_deref() {
                Some("through") => Runs::Through,
                Some("blade") => Runs::Blade,
                _ => {
                    let place = self.place(table, at, "runs");
                    let value = Self::written(item);
                    let cure = "write \"through\" (loom and both blades) or \"blade\"";
                    self.problem(&place, Some(&value), "is not how a lamination can run", cure);
                    Runs::Through
                }
            },
        };
        let centre = match table.get("centre").map(|i| (i.as_bool(), Self::written(i))) {
            None => false,
            Some((Some(centre), _)) => centre,
            Some((None, written)) => {
                let place = self.place(table, at, "centre");
                self.problem(&place, Some(&written), "is not true or false", "write true or false");
                false
            }
        };
        let species = self.words(table, at, "species").iter().map(|s| Species::new(s)).collect();
        let allow = self.words(table, at, "allow").iter().map(|s| ZoneKind::new(s)).collect();
        Lamination {
            name: name.unwrap_or_default(),
            thickness: thickness.unwrap_or_default(),
            runs,
            centre,
            species,
            allow,
            spares: self.count(table, at, "spares", 0, 0),
        }
    }

    /// A list of words, or one word.
    fn words(&mut self, table: &dyn TableLike, at: &Place, key: &str) -> Vec<String> {
        let Some(item) = table.get(key) else { return Vec::new() };
        let place = self.place(table, at, key);
        let cure = format!("write {key} = [\"…\", \"…\"]");
        if let Some(word) = item.as_str().filter(|w| !w.trim().is_empty()) {
            return vec![word.to_owned()];
        }
        let Some(array) = item.as_array() else {
            let value = Self::written(item);
            self.problem(&place, Some(&value), "is not a list of words", &cure);
            return Vec::new();
        };
        let mut words = Vec::new();
        for value in array {
            match value.as_str().filter(|w| !w.trim().is_empty()) {
                Some(word) => words.push(word.to_owned()),
                None => {
                    let shown = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
                    self.problem(&place, Some(shown.trim()), "is not a word", &cure);
                }
            }
        }
        words
    }
}
