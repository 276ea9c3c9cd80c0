//! A line of a spreadsheet, its cells by the names of their columns: for boards and strips alike.

use crate::length::{Length, Units};
use crate::read::number::{angle, decimal_comma, price, slope};
use crate::read::problem::{Problem, cut_off};
use csv::StringRecord;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// A longer cell is none, and is not looked into: of a file that is no list it may be all.
const LONGEST_CELL: usize = 10_000;

/// Columns that hold words, in which a comma is a comma.
const WORDS: [&str; 13] = [
    "board",
    "strip",
    "species",
    "zone",
    "grade",
    "size",
    "foot",
    "rises",
    "offcut",
    "paddle",
    "lamination",
    "quantity",
    "",
];

/// A line's cells by column.
pub(super) struct Row<'r> {
    pub line: usize,
    cells: BTreeMap<&'static str, Cow<'r, str>>,
}

/// A line with more cells than the header has columns: a column or the place of a cell, what stands
/// there, what is wrong and what to do. Which cell belongs under which column can't be told for
/// certain, so nothing else is said of the line.
pub(super) struct TooMany {
    pub place: String,
    pub value: String,
    pub rule: String,
    pub cure: String,
}

/// A number whose comma was taken for a decimal point: its column, as written, and as read.
pub(super) type Pointed = (&'static str, String, String);

impl<'r> Row<'r> {
    /// The cells of a line below a header of `columns`, those of which that are not known are
    /// passed over. Columns with an unknown name were reported with the header.
    pub fn of(line: usize, record: &'r StringRecord, columns: &[Option<&'static str>]) -> Row<'r> {
        let known =
            columns.iter().zip(record).filter_map(|(column, cell)| Some(((*column)?, cell)));
        let cells = known.map(|(column, cell)| (column, Cow::Borrowed(cell))).collect();
        Row { line, cells }
    }

    /// The cell, if there is anything in it.
    pub fn get(&self, column: &str) -> Option<&str> {
        self.cells.get(column).map(|c| c.trim()).filter(|c| !c.is_empty())
    }

    /// Takes the commas of numbers for decimal points, in a file whose cells are parted by
    /// something else; the first that was so taken.
    pub fn point_commas(&mut self) -> Option<Pointed> {
        let mut first = None;
        for (column, cell) in &mut self.cells {
            if let Some(pointed) = number_of(column, cell) {
                first.get_or_insert_with(|| (*column, cell.trim().to_owned(), pointed.clone()));
                *cell = Cow::Owned(pointed);
            }
        }
        first
    }
}

/// Does a line have more cells than the header? Empty ones at its end do no harm, unless the line
/// reads only with a decimal comma in it: in a list whose cells commas part that makes two cells of
/// a number.
pub(super) fn too_many(
    record: &StringRecord,
    columns: &[Option<&'static str>],
    (by_commas, units): (bool, Units),
) -> Option<TooMany> {
    let known = columns.len();
    let cells: Vec<&str> = record.iter().map(str::trim).collect();
    let more = cells.len().checked_sub(known).filter(|&more| more > 0)?;
    let rule = |cells: usize| format!("the line has {cells} cells, the header {known} columns");
    let semicolons = "part the cells of the list by semicolons";
    let joins = if by_commas { 0..=more.min(MOST_JOINS) } else { 0..=0 };
    let sizes = |joins: usize| (joins > 0).then_some([None; 3]);
    let found = joins.into_iter().find_map(|n| joined(&cells, columns, n, (units, sizes(n))));
    if let Some((column, a, b)) = found.as_ref().and_then(|joined| joined.first()) {
        return Some(TooMany {
            place: (*column).to_owned(),
            value: format!("{a},{b}"),
            rule: format!(
                "seems to hold a decimal comma, which parts cells: {}",
                rule(cells.len())
            ),
            cure: format!("write {a}.{b}, or {semicolons}"),
        });
    }
    let last = cells.iter().rposition(|cell| !cell.is_empty()).filter(|&last| last >= known)? + 1;
    let rule = format!("stands beyond the last column: {}", rule(last));
    let quotes = "put quotes around words that hold the separator";
    let (rule, cure) = match by_commas {
        true => (
            format!("{rule}, and a decimal comma may be the cause"),
            format!("write decimals with a point, or {semicolons}; {quotes}"),
        ),
        false => (rule, quotes.to_owned()),
    };
    Some(TooMany { place: last.to_string(), value: cells[last - 1].to_owned(), rule, cure })
}

/// Decimal commas in a line that are looked for.
const MOST_JOINS: usize = 3;

/// A number that a comma parted: its column, and what stands before and behind.
type Parted<'c> = (&'static str, &'c str, &'c str);

/// The sizes of a board, as far as a line was read.
type Sizes = [Option<Length>; 3];
const SIZES: [&str; 3] = ["length", "width", "thickness"];

/// Where so many numbers of a line must have been parted by their commas for every cell to be what
/// its column takes; `None` where it can't be. Where sizes are followed, a board that would be
/// thicker than wide or wider than long was read amiss.
fn joined<'c>(
    cells: &[&'c str],
    columns: &[Option<&'static str>],
    joins: usize,
    (units, sizes): (Units, Option<Sizes>),
) -> Option<Vec<Parted<'c>>> {
    let Some((column, columns)) = columns.split_first() else {
        let none = joins == 0 && cells.iter().all(|cell| cell.is_empty());
        return (none && sizes.is_none_or(plausible)).then(Vec::new);
    };
    let (cell, rest) = cells.split_first().unwrap_or((&"", &[]));
    let with = |text: &str| {
        let at = SIZES.iter().position(|size| Some(*size) == *column);
        let mut sizes = sizes;
        if let (Some(at), Some(sizes)) = (at, &mut sizes) {
            sizes[at] = Length::parse(text, units).ok();
        }
        (units, sizes)
    };
    if takes(*column, cell, units)
        && let Some(found) = joined(rest, columns, joins, with(cell))
    {
        return Some(found);
    }
    let (column, (next, rest)) = ((*column)?, rest.split_first()?);
    let digits = |c: char| c.is_ascii_digit();
    let whole = cell.ends_with(digits) && next.starts_with(digits) && !WORDS.contains(&column);
    let number = format!("{cell}.{next}");
    if joins == 0 || !whole || !takes(Some(column), &number, units) {
        return None;
    }
    let mut found = joined(rest, columns, joins - 1, with(&number))?;
    found.insert(0, (column, cell, next));
    Some(found)
}

/// Is no board thicker than wide, or wider than long, and no size nothing?
fn plausible(sizes: Sizes) -> bool {
    let [length, width, thickness] = sizes;
    if sizes.contains(&Some(Length::ZERO)) {
        return false;
    }
    let more = |a: Option<Length>, b: Option<Length>| a.zip(b).is_some_and(|(a, b)| a > b);
    !more(width, length) && !more(thickness, width)
}

/// Does a cell hold what its column takes, as far as that tells it from its neighbours?
fn takes(column: Option<&str>, cell: &str, units: Units) -> bool {
    let Some(column) = column.filter(|_| !cell.is_empty()) else { return true };
    match column {
        "board" | "strip" | "size" | "weight" => true,
        "rings" => angle(cell).is_some(),
        "runout" => slope(cell).is_some(),
        "price" | "price_per_foot" => price(cell).is_ok(),
        "quantity" => cell.parse::<u32>().is_ok(),
        _ if WORDS.contains(&column) => cell.contains(char::is_alphabetic),
        _ => Length::parse(cell, units).is_ok(),
    }
}

/// That commas of a file were taken for decimal points: said of the first only.
pub(super) fn commas(
    file: &str,
    line: usize,
    (column, written, read): &Pointed,
    first: bool,
) -> Option<Problem> {
    first.then(|| Problem {
        file: file.to_owned(),
        line: Some(line),
        column: Some(format!("column {column}")),
        value: Some(written.clone()),
        rule: format!("is read as {read}, and so is every decimal comma of this file"),
        cure: "where that is not meant write points".to_owned(),
    })
}

/// A cell with its decimal comma as a point, if its column holds numbers and it has one.
pub(super) fn number_of(column: &str, cell: &str) -> Option<String> {
    if WORDS.contains(&column) { None } else { decimal_comma(cell.trim()) }
}

/// A cell that makes a line none: its column or its place, what is shown of it, the rule that it
/// breaks and the cure.
pub(super) struct Torn {
    pub column: String,
    pub value: String,
    pub rule: String,
    pub cure: &'static str,
}

/// The first cell of a line that runs over the end of the line, or that is too long to be one.
pub(super) fn torn(
    record: &StringRecord,
    header: Option<&[Option<&'static str>]>,
    list: &'static str,
) -> Option<Torn> {
    if let Some((place, cell)) = record.iter().enumerate().find(|(_, c)| c.contains('\n')) {
        let named = header.and_then(|h| h.get(place).copied().flatten());
        return Some(Torn {
            column: named.map_or_else(|| (place + 1).to_string(), str::to_owned),
            value: cell.to_owned(),
            rule: "runs over the end of the line".to_owned(),
            cure: "close the quotes, or write an inch mark inside quotes twice: \"1 7/16\"\"\"",
        });
    }
    let (place, long) = record.iter().enumerate().find(|(_, c)| c.len() > LONGEST_CELL)?;
    Some(Torn {
        column: (place + 1).to_string(),
        value: cut_off(long, 60),
        rule: format!("is {} bytes long, and no cell is longer than {LONGEST_CELL}", long.len()),
        cure: list,
    })
}
