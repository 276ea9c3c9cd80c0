//! What is amiss with a paddles.toml that is not TOML, in words of its own: a parser's are for those
//! who know its grammar.

use crate::length::{Length, Units};
use crate::read::problem::{Problem, cut_off};
use toml_edit::{Document, TomlError};

/// What to do where nothing better is known.
const COMPARE: &str = "compare with the file that `stripwright start` writes";

/// The problem that an error of the parser is.
pub(super) fn problem(file: &str, text: &str, error: &TomlError) -> Problem {
    let span = error.span().unwrap_or_default();
    let message = error.message().trim();
    let at = span.start.min(text.len());
    let before = text.get(..at).unwrap_or_default();
    let begin = before.rfind('\n').map_or(0, |n| n + 1);
    let line = text.get(begin..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    let mut problem = Problem::of_file(file, "", COMPARE);
    problem.line = error.span().map(|_| before.matches('\n').count() + 1);
    if message.contains("duplicate key") {
        twice(&mut problem, text.get(span).unwrap_or_default(), line);
    } else if let Some((key, value)) = pair(line)
        && !reads(value)
        && !value.starts_with(['"', '\'', '[', '{'])
    {
        problem.column = Some(key.to_owned());
        if value.is_empty() {
            problem.rule = "a value is missing after =".to_owned();
            problem.cure = format!("write it there, as {}", example(key, ""));
        } else {
            problem.value = Some(value.to_owned());
            problem.rule = "is neither a number nor text in quotes".to_owned();
            problem.cure = cure(key, value);
            let digits = value.trim_start_matches(['+', '-']);
            if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit() || b == b'_') {
                problem.rule = "is a number of more digits than are read".to_owned();
                problem.cure = format!("write it shorter, as {}", example(key, ""));
            }
        }
    } else if let Some((key, value)) = pair(line)
        && let Some(inner) = value.strip_suffix("\"\"").and_then(|v| v.strip_prefix('"'))
        && !inner.contains('"')
    {
        // An inch mark, as one writes it on wood.
        problem.column = Some(key.to_owned());
        problem.value = Some(value.to_owned());
        problem.rule = "has a quote too many; an inch mark ends the text".to_owned();
        problem.cure = format!("leave it out: {}", example(key, inner));
    } else if let Some((rule, cure)) = bracket(line) {
        problem.value = Some(line.trim().to_owned());
        problem.rule = rule.to_owned();
        problem.cure = cure;
    } else {
        let (key, value) = pair(line).map_or((None, line.trim()), |(key, v)| (Some(key), v));
        problem.column = key.map(str::to_owned);
        problem.value = Some(value.to_owned()).filter(|value| !value.is_empty());
        problem.rule = format!("is not TOML: {}", cut_off(message, 200).replace('\n', ", "));
    }
    problem
}

/// A key or a table that stands twice.
fn twice(problem: &mut Problem, named: &str, line: &str) {
    let line = line.trim();
    let name = if named.trim().is_empty() {
        line.split(['=', ']']).next().unwrap_or_default().trim_matches(['[', ' '])
    } else {
        named.trim()
    };
    problem.column = Some(name.to_owned());
    if line.starts_with('[') {
        problem.rule = "is a table that stands twice".to_owned();
        problem.cure = "put all its keys under one of the two".to_owned();
    } else {
        problem.rule = "is a key that stands twice in its table".to_owned();
        problem.cure = "keep one of the two".to_owned();
    }
}

/// A table's name whose brackets don't agree, and how to write it.
fn bracket(line: &str) -> Option<(&'static str, String)> {
    let line = line.split('#').next().unwrap_or_default().trim();
    if !line.starts_with('[') || line.contains(['=', ',', '"']) {
        return None;
    }
    let name = line.trim_matches(['[', ']', ' ']);
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.');
    let ends = ["[", "]"].map(|end| line.matches(end).count());
    if name.is_empty() || !name.chars().all(plain) || ends[0] == ends[1] && ends[0] <= 2 {
        return None;
    }
    // Of these there may be several, each in two brackets.
    let several = ["paddle", "species"].contains(&name)
        || ["paddle.", "glue."].iter().any(|t| name.starts_with(t));
    let name = cut_off(name, 60);
    let right = if several { format!("[[{name}]]") } else { format!("[{name}]") };
    Some(("names a table whose brackets do not close", format!("write {right}")))
}

/// A line's key and value, what is said behind them left out.
fn pair(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.split_once('=')?;
    let key = key.trim();
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '.');
    let value = value.split('#').next().unwrap_or_default().trim();
    (!key.is_empty() && key.chars().all(plain)).then_some((key, value))
}

/// Is it a value by itself?
fn reads(value: &str) -> bool {
    Document::parse(format!("x = {value}")).is_ok()
}

/// How to write a value that stands there bare.
fn cure(key: &str, value: &str) -> String {
    match kind(key) {
        Kind::Plain(_) => format!("write {}, without quotes", example(key, value)),
        Kind::Text(_) => format!("write text in quotes: {}", example(key, value)),
    }
}

/// What a key takes, with an example.
enum Kind {
    /// A number, or true or false.
    Plain(&'static str),
    /// Anything in quotes.
    Text(&'static str),
}

fn kind(key: &str) -> Kind {
    match key.rsplit('.').next().unwrap_or(key) {
        "centre" => Kind::Plain("true"),
        "quantity" => Kind::Plain("2"),
        "spares" => Kind::Plain("1"),
        "rings" => Kind::Plain("45"),
        "runs" => Kind::Text("\"through\""),
        "units" => Kind::Text("\"in\""),
        "runout" => Kind::Text("\"1:15\""),
        "species" => Kind::Text("[\"white ash\"]"),
        "allow" => Kind::Text("[\"sap\"]"),
        "name" => Kind::Text("\"touring\""),
        _ => Kind::Text("\"3/8\""),
    }
}

/// A line that reads: with the value that was given where that is one, else with another.
fn example(key: &str, value: &str) -> String {
    let clean = !value.is_empty() && !value.contains(['"', '\\', '\'']);
    let own = clean
        && match key.rsplit('.').next().unwrap_or(key) {
            "name" => true,
            "species" | "allow" => return with(key, clean, value),
            "runs" => matches!(value, "through" | "blade"),
            "units" => matches!(value, "in" | "mm"),
            "runout" => value.contains(':'),
            "centre" | "quantity" | "spares" | "rings" => false,
            _ => Length::parse(value, Units::Inch).is_ok(),
        };
    match kind(key) {
        _ if own => format!("{key} = \"{}\"", cut_off(value, 60)),
        Kind::Plain(example) | Kind::Text(example) => format!("{key} = {example}"),
    }
}

/// A list of one word.
fn with(key: &str, clean: bool, value: &str) -> String {
    match kind(key) {
        _ if clean => format!("{key} = [\"{}\"]", cut_off(value, 60)),
        Kind::Plain(example) | Kind::Text(example) => format!("{key} = {example}"),
    }
}

/// Where a key of paddles.toml belongs that is not known where it stands: in what table, for those
/// that are known in one place only, and for kinds of zone.
pub(super) fn belongs(key: &str, known: &[&str]) -> Option<String> {
    let within = |table: &str| Some(format!("it belongs under {table}"));
    match key.to_lowercase().as_str() {
        key if known.contains(&key) => None,
        "knot" | "check" | "split" | "wane" | "pitch" | "sap" | "stain" | "rot" | "pith" => Some(
            "zones are marked in boards.csv; what a lamination may contain is its allow, what is \
             kept clear around zones [shop.margin]"
                .to_owned(),
        ),
        "rip_kerf" | "crosscut_kerf" | "resaw_kerf" | "curve_kerf" | "edge" | "far_edge"
        | "board_end" | "dress" | "curve_dress" | "resaw_dress" | "plane" | "straight" | "pair"
        | "pull" | "min_rip" => within("[shop]"),
        "quantity" | "length" | "loom" | "trim" | "rings" | "runout" => within("[[paddle]]"),
        "runs" | "centre" | "allow" | "spares" => within("[[paddle.lamination]]"),
        "units" => Some("it belongs at the top of the file, above every table".to_owned()),
        _ => None,
    }
}
