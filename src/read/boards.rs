//! boards.csv, and a yard's list in the same columns (MODEL 2).

mod yard;

pub(super) use yard::notes as yard_notes;

use crate::length::{Length, LengthError, Units};
use crate::lumber::board::Rise;
use crate::lumber::{Angle, Board, Grain, Price, Slope, Species, Zone, ZoneKind, look};
use crate::paddle::Margins;
use crate::read::problem::{Problem, Problems, nearest, suggestion};
use crate::read::sheet;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::ops::ControlFlow;

/// What a list of boards is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// Boards on hand.
    OnHand,
    /// Boards on offer: sizes may be nominal, and prices by the foot.
    Yard,
}

/// Columns of boards.csv.
pub const BOARD_COLUMNS: [&str; 24] = [
    "board",
    "species",
    "length",
    "width",
    "thickness",
    "rings",
    "pith_across",
    "pith_depth",
    "crook",
    "bow",
    "runout",
    "rises",
    "price",
    "quantity",
    "edge",
    "far_edge",
    "board_end",
    "offcut",
    "grade",
    "zone",
    "from",
    "to",
    "near",
    "far",
];
/// Further columns of a yard's list.
const YARD_COLUMNS: [&str; 3] = ["size", "price_per_foot", "foot"];

/// The most copies of one board that are read.
const MOST_COPIES: u32 = 10_000;

/// Columns that are looked at for a misspelt one.
const MOST_MEANT: usize = 1000;

const LENGTHS: &str = "write it as 86 3/4, 7' 2 1/2\", 0.125, 36 mm or 0.9 m";

/// Reads a list of boards from its text; `name` stands for the file in problems.
///
/// # Errors
/// Every [`Problem`] found.
pub fn boards_text(
    name: &str,
    text: &str,
    units: Units,
    list: List,
) -> Result<Vec<Board>, Problems> {
    boards_marked(name, text, units, list, Some(&Margins::new()))
}

/// The same in a shop that keeps `margins` clear around zones, where a mark without length or
/// width is a zone too; `None` where the margins aren't known.
///
/// # Errors
/// Every [`Problem`] found.
pub(super) fn boards_marked(
    name: &str,
    text: &str,
    units: Units,
    list: List,
    margins: Option<&Margins>,
) -> Result<Vec<Board>, Problems> {
    let mut reader = Reader {
        file: name,
        units,
        list,
        margins,
        problems: Problems::default(),
        boards: Vec::new(),
        by_name: HashMap::new(),
        broken: HashSet::new(),
        absent: Vec::new(),
    };
    reader.read(text);
    if reader.problems.is_empty() { Ok(reader.boards) } else { Err(reader.problems) }
}

struct Reader<'a> {
    file: &'a str,
    units: Units,
    list: List,
    /// What is kept clear around zones, where that is known.
    margins: Option<&'a Margins>,
    problems: Problems,
    boards: Vec<Board>,
    /// Index and line of each board read, by the looks of its name.
    by_name: HashMap<String, (usize, usize)>,
    /// Looks of the names of boards whose first line could not be read; their zones are passed
    /// over.
    broken: HashSet<String>,
    /// Needed columns that the header lacks, which lines are not blamed for.
    absent: Vec<&'static str>,
}

/// A line's cells by column.
struct Row<'r> {
    line: usize,
    cells: BTreeMap<&'static str, &'r str>,
}

impl<'r> Row<'r> {
    /// The cell, if there is anything in it.
    fn get(&self, column: &str) -> Option<&'r str> {
        self.cells.get(column).copied().map(str::trim).filter(|c| !c.is_empty())
    }
}

impl Reader<'_> {
    fn problem(&mut self, line: usize, column: &str, value: Option<&str>, rule: &str, cure: &str) {
        if self.problems.is_full() {
            self.problems.count(1);
            return;
        }
        self.problems.push(Problem {
            file: self.file.to_owned(),
            line: Some(line),
            column: Some(format!("column {column}")),
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    fn columns(&self) -> Vec<&'static str> {
        let mut columns = BOARD_COLUMNS.to_vec();
        if self.list == List::Yard {
            columns.extend(YARD_COLUMNS);
        }
        columns
    }

    fn read(&mut self, text: &str) {
        let mut header: Option<Vec<Option<&'static str>>> = None;
        let read = sheet::each(text, |line, record| {
            if let Some((place, torn)) = record.iter().enumerate().find(|(_, c)| c.contains('\n')) {
                let named = header.as_ref().and_then(|h| h.get(place).copied().flatten());
                let column = named.map_or_else(|| (place + 1).to_string(), str::to_owned);
                let cure =
                    "close the quotes, or write an inch mark inside quotes twice: \"1 7/16\"\"\"";
                self.problem(line, &column, Some(torn), "runs over the end of the line", cure);
                return ControlFlow::Break(());
            }
            match &header {
                None => {
                    let Some(columns) = self.header(line, record) else {
                        return ControlFlow::Break(());
                    };
                    header = Some(columns);
                }
                Some(columns) => self.row(line, record, columns),
            }
            ControlFlow::Continue(())
        });
        if let Err(error) = read {
            let rule = format!("is not CSV: {error}");
            self.problems.push(Problem::of_file(self.file, &rule, "save it as CSV (UTF-8)"));
        } else if header.is_none() && self.problems.is_empty() {
            let cure = "begin with a line of column names: board,species,length,width,thickness";
            self.problems.push(Problem::of_file(self.file, "is empty", cure));
        } else if self.boards.is_empty() && self.problems.is_empty() {
            let rule = "lists no board";
            let cure = "add a line with a board's name, species, length, width and thickness";
            self.problems.push(Problem::of_file(self.file, rule, cure));
        }
    }

    fn header(
        &mut self,
        line: usize,
        record: &csv::StringRecord,
    ) -> Option<Vec<Option<&'static str>>> {
        let known = self.columns();
        let mut columns: Vec<Option<&'static str>> = Vec::new();
        for cell in record {
            let word = word(cell);
            let found = known.iter().copied().find(|k| *k == word);
            match found {
                Some(column) if columns.contains(&Some(column)) => {
                    let cure = "keep one of the two";
                    self.problem(
                        line,
                        column,
                        Some(cell.trim()),
                        "stands twice in the header",
                        cure,
                    );
                }
                None if !word.is_empty() => {
                    // What is only counted needs no cure.
                    let full = self.problems.is_full();
                    let cure = if full { String::new() } else { suggestion(&word, &known) };
                    self.problem(line, &word, Some(cell.trim()), "is not a column", &cure);
                }
                _ => {}
            }
            columns.push(found);
        }
        if columns.contains(&Some("board")) {
            self.absent(line, &columns, record);
            return Some(columns);
        }
        let cure = "begin with a line of column names: board,species,length,width,thickness";
        self.problem(line, "board", None, "is missing from the header", cure);
        None
    }

    /// Blames the header once for each needed column that it lacks, unless it misspells it.
    fn absent(&mut self, line: usize, columns: &[Option<&str>], record: &csv::StringRecord) {
        let known = self.columns();
        for needed in ["species", "length", "width", "thickness"] {
            let nominal =
                columns.contains(&Some("size")) && matches!(needed, "width" | "thickness");
            if columns.contains(&Some(needed)) || nominal {
                continue;
            }
            self.absent.push(needed);
            let meant = |cell: &str| {
                let word = word(cell);
                !known.contains(&word.as_str()) && nearest(&word, &known) == Some(needed)
            };
            if !record.iter().take(MOST_MEANT).any(meant) {
                let cure = format!("add a column {needed}");
                self.problem(line, needed, None, "is missing from the header", &cure);
            }
        }
    }

    fn row(&mut self, line: usize, record: &csv::StringRecord, columns: &[Option<&'static str>]) {
        let mut row = Row { line, cells: BTreeMap::new() };
        for (place, cell) in record.iter().enumerate() {
            match columns.get(place).copied().flatten() {
                Some(column) => {
                    row.cells.insert(column, cell);
                }
                // Columns with an unknown name were reported with the header.
                None if !cell.trim().is_empty() && columns.get(place).is_none() => {
                    let column = format!("{}", place + 1);
                    let cure = "put quotes around values that hold the separator";
                    self.problem(line, &column, Some(cell), "stands beyond the last column", cure);
                }
                None => {}
            }
        }
        let Some(name) = row.get("board") else {
            self.problem(line, "board", None, "is empty", "repeat the board's name on every line");
            return;
        };
        let sized = ["species", "length", "width", "thickness", "size"]
            .iter()
            .any(|c| row.get(c).is_some());
        let marks = ["from", "to", "near", "far"].iter().any(|c| row.get(c).is_some());
        let zoned = row.get("zone").is_some();
        let kinds =
            "say what it is: knot, check, split, wane, pitch, sap, stain, rot, pith or any word";
        if sized {
            self.first_line(&row, name);
            if marks && !zoned {
                self.problem(line, "zone", None, "is empty beside its measures", kinds);
            }
        } else if !self.by_name.contains_key(&look(name)) && !self.broken.contains(&look(name)) {
            if zoned {
                let cure = "first give its species, length, width and thickness";
                self.problem(line, "board", Some(name), "has a zone before its sizes", cure);
            } else {
                let cure = "give its species, length, width and thickness";
                self.problem(line, "board", Some(name), "has no sizes", cure);
            }
            self.broken.insert(look(name));
        } else if zoned {
            self.only_zone(&row);
        } else {
            self.problem(line, "zone", None, "is empty on a board's further line", kinds);
        }
        if zoned {
            match self.by_name.get(&look(name)) {
                Some(&(index, _)) => self.zone(&row, index),
                // Of a board that could not be read, what can be is still checked.
                None => {
                    for column in ["from", "to", "near", "far"] {
                        let _ = self.signed(&row, column);
                    }
                }
            }
        }
    }

    /// A further line marks a zone and nothing else.
    fn only_zone(&mut self, row: &Row<'_>) {
        // The columns of the board itself, but those that say how many there are and what it is.
        let own = &BOARD_COLUMNS[5..19];
        for &column in own.iter().filter(|c| **c != "quantity") {
            if let Some(value) = row.get(column) {
                let cure = "write it on the board's first line";
                self.problem(row.line, column, Some(value), "stands on a zone's line", cure);
            }
        }
        if let Some(value) = row.get("quantity").filter(|q| *q != "1") {
            let cure = "a board with zones is one of its kind: write 1 or nothing";
            self.problem(row.line, "quantity", Some(value), "stands on a zone's line", cure);
        }
    }

    fn first_line(&mut self, row: &Row<'_>, name: &str) {
        if let Some(&(index, before)) = self.by_name.get(&look(name)) {
            let (rule, cure) = if self.boards[index].name == name {
                (
                    format!("was given its sizes on line {before} already"),
                    "leave the sizes empty on a zone's line, or give the board another name",
                )
            } else {
                (
                    format!(
                        "looks like the board on line {before}: only spaces or characters that can't be seen differ"
                    ),
                    "give the board a name that can be told apart on the wood",
                )
            };
            self.problem(row.line, "board", Some(name), &rule, cure);
            return;
        }
        let before = self.problems.len();
        let species = row.get("species");
        if species.is_none() && !self.absent.contains(&"species") {
            self.problem(row.line, "species", None, "is missing", "name the wood, as white ash");
        }
        let nominal = self.nominal(row);
        let length = self.size(row, "length");
        let (width, thickness) = match nominal {
            Some((width, thickness)) => (Some(width), Some(thickness)),
            None if row.get("size").is_some() => (None, None),
            None => (self.size(row, "width"), self.size(row, "thickness")),
        };
        let grain = self.grain(row);
        let crook = self.signed(row, "crook").unwrap_or_default();
        let bow = self.signed(row, "bow").unwrap_or_default();
        let runout = row.get("runout").and_then(|t| self.slope(row.line, "runout", t));
        let rise = self.rise(row);
        let quantity = self.quantity(row);
        let price = self.price(row, "price");
        let mut board = Board {
            name: name.to_owned(),
            species: Species::new(species.unwrap_or_default()),
            length: length.unwrap_or_default(),
            width: width.unwrap_or_default(),
            thickness: thickness.unwrap_or_default(),
            grain,
            crook,
            bow,
            runout,
            rise,
            price,
            quantity: quantity.unwrap_or(1),
            edge: self.allowance(row, "edge"),
            far_edge: self.allowance(row, "far_edge"),
            board_end: self.allowance(row, "board_end"),
            offcut: self.yes(row, "offcut"),
            grade: row.get("grade").map(str::to_lowercase),
            zones: Vec::new(),
        };
        self.bends(row, &board);
        if self.list == List::Yard && price.is_none() {
            board.price = self.by_the_foot(row, &board, nominal.is_some());
        }
        if self.problems.len() > before || !self.absent.is_empty() {
            self.broken.insert(look(name));
            return;
        }
        self.by_name.insert(look(name), (self.boards.len(), row.line));
        self.boards.push(board);
    }

    /// A bend that is more than the board could have is a slip of the pen.
    fn bends(&mut self, row: &Row<'_>, board: &Board) {
        for (column, bend) in [("crook", board.crook), ("bow", board.bow)] {
            if board.length > Length::ZERO && bend.abs() * 4 > board.length {
                let cure = "measure the greatest gap to a straight line from end to end";
                let value = row.get(column);
                self.problem(row.line, column, value, "is more than a quarter of the length", cure);
            }
        }
    }

    fn length(&mut self, line: usize, column: &str, text: &str) -> Option<Length> {
        match Length::parse(text, self.units) {
            Ok(length) => Some(length),
            Err(error) => {
                let pointed = text.replace(',', ".");
                let cure = match error {
                    LengthError::TooLong => "check the figure and its unit".to_owned(),
                    _ if pointed != text && Length::parse(&pointed, self.units).is_ok() => {
                        format!("write it with a point, {pointed}")
                    }
                    _ => LENGTHS.to_owned(),
                };
                self.problem(line, column, Some(text), &error.to_string(), &cure);
                None
            }
        }
    }

    /// A size that must be there and be more than nothing.
    fn size(&mut self, row: &Row<'_>, column: &str) -> Option<Length> {
        let Some(text) = row.get(column) else {
            let cure = format!("give the actual {column}, not the nominal one");
            if !self.absent.contains(&column) {
                self.problem(row.line, column, None, "is missing", &cure);
            }
            return None;
        };
        let length = self.length(row.line, column, text)?;
        if length <= Length::ZERO {
            self.problem(
                row.line,
                column,
                Some(text),
                "is not more than 0",
                "give the actual size",
            );
            return None;
        }
        Some(length)
    }

    fn signed(&mut self, row: &Row<'_>, column: &str) -> Option<Length> {
        let text = row.get(column)?;
        self.length(row.line, column, text)
    }

    /// An allowance of the board's own, instead of the shop's.
    fn allowance(&mut self, row: &Row<'_>, column: &str) -> Option<Length> {
        let text = row.get(column)?;
        let length = self.length(row.line, column, text)?;
        if length < Length::ZERO {
            let cure = "give 0 or more; leave it empty for the shop's own";
            self.problem(row.line, column, Some(text), "is less than 0", cure);
            return None;
        }
        Some(length)
    }

    /// A column that says yes, or nothing.
    fn yes(&mut self, row: &Row<'_>, column: &str) -> bool {
        match row.get(column).map(str::to_lowercase).as_deref() {
            None | Some("no") => false,
            Some("yes") => true,
            Some(value) => {
                self.problem(
                    row.line,
                    column,
                    Some(value),
                    "is neither yes nor no",
                    "write yes, or leave it empty",
                );
                false
            }
        }
    }

    fn grain(&mut self, row: &Row<'_>) -> Option<Grain> {
        let rings = row.get("rings").map(|t| (t, self.rings(row.line, t)));
        let pith = [row.get("pith_across"), row.get("pith_depth")];
        match (rings, pith) {
            (Some((text, _)), [Some(_), _] | [_, Some(_)]) => {
                let cure = "keep the ring angle, or the two measures of the pith";
                self.problem(row.line, "rings", Some(text), "is given beside the pith", cure);
                None
            }
            (Some((_, angle)), _) => angle.map(Grain::Rings),
            (None, [Some(across), Some(depth)]) => {
                let across = self.length(row.line, "pith_across", across)?;
                let depth = self.length(row.line, "pith_depth", depth)?;
                Some(Grain::Pith { across, depth })
            }
            (None, [Some(_), None]) => {
                let cure = "give how far down from the marked face the pith lies";
                self.problem(row.line, "pith_depth", None, "is missing beside pith_across", cure);
                None
            }
            (None, [None, Some(_)]) => {
                let cure = "give how far across from the reference edge the pith lies";
                self.problem(row.line, "pith_across", None, "is missing beside pith_depth", cure);
                None
            }
            (None, [None, None]) => None,
        }
    }

    fn rings(&mut self, line: usize, text: &str) -> Option<Angle> {
        let found = super::paddles::angle(text);
        if found.is_none() {
            let cure = "give 0 (flat) to 90 (vertical), or the word flat, rift or vertical";
            self.problem(line, "rings", Some(text), "is not an angle of 0 to 90 degrees", cure);
        }
        found
    }

    fn slope(&mut self, line: usize, column: &str, text: &str) -> Option<Slope> {
        let found = super::paddles::slope(text);
        if found.is_none() {
            self.problem(
                line,
                column,
                Some(text),
                "is not a slope of grain",
                "write it as 1:20 or 1/20",
            );
        }
        found
    }

    fn rise(&mut self, row: &Row<'_>) -> Option<Rise> {
        let text = row.get("rises")?;
        match text.to_lowercase().as_str() {
            "far" => Some(Rise::Far),
            "marked" => Some(Rise::Marked),
            _ => {
                let cure = "write far if the grain comes up to the marked face towards the far end, marked if towards the marked end";
                self.problem(row.line, "rises", Some(text), "is not a direction", cure);
                None
            }
        }
    }

    fn quantity(&mut self, row: &Row<'_>) -> Option<u32> {
        let text = row.get("quantity")?;
        match text.parse::<u32>() {
            Ok(n) if (1..=MOST_COPIES).contains(&n) => Some(n),
            _ => {
                let rule = format!("is not a whole number of 1 to {MOST_COPIES}");
                self.problem(row.line, "quantity", Some(text), &rule, "count the boards");
                None
            }
        }
    }

    fn price(&mut self, row: &Row<'_>, column: &str) -> Option<Price> {
        let text = row.get(column)?;
        match price(text) {
            Some(price) => Some(price),
            None if text.bytes().all(|b| b.is_ascii_digit()) => {
                let rule = "is more than 1000000000";
                self.problem(row.line, column, Some(text), rule, "check the figure");
                None
            }
            None => {
                let cure = "write it as 12.50: digits, a point, at most four places, no sign";
                self.problem(row.line, column, Some(text), "is not a price", cure);
                None
            }
        }
    }

    fn zone(&mut self, row: &Row<'_>, index: usize) {
        let Some(kind) = row.get("zone") else { return };
        let (length, width) = (self.boards[index].length, self.boards[index].width);
        if self.boards[index].quantity > 1 {
            let rule = "marks a board whose quantity is more than 1";
            let cure = "give each board that has zones a line and a name of its own";
            self.problem(row.line, "zone", Some(kind), rule, cure);
            return;
        }
        let before = self.problems.len();
        let side = |reader: &mut Self, column: &str, blank: Length, limit: Length, what: &str| {
            let Some(text) = row.get(column) else { return blank };
            let Some(at) = reader.length(row.line, column, text) else { return blank };
            if at < Length::ZERO || at > limit {
                let rule = format!(
                    "lies off the board, which is {} {what}",
                    limit.with_unit(reader.units)
                );
                let cure = "measure from the marked end and the reference edge";
                reader.problem(row.line, column, Some(text), &rule, cure);
            }
            at
        };
        let from = side(self, "from", Length::ZERO, length, "long");
        let to = side(self, "to", length, length, "long");
        let near = side(self, "near", Length::ZERO, width, "wide");
        let far = side(self, "far", width, width, "wide");
        if self.problems.len() > before {
            return;
        }
        let kind = ZoneKind::new(kind);
        let margin = self.margins.map(|m| m.get(&kind).copied().unwrap_or_default());
        for (low, high, first, last, what, margin) in [
            (from, to, "from", "to", "length", margin.map(|m| m.along)),
            (near, far, "near", "far", "width", margin.map(|m| m.across)),
        ] {
            if low == high && margin.is_none_or(|m| m > Length::ZERO) {
                // A mark is as wide as its margin.
                continue;
            }
            if low == high {
                let rule =
                    format!("leaves the zone no {what}, and no margin is kept around {kind}");
                let side = if what == "length" { "along" } else { "across" };
                let cure = format!(
                    "measure where it ends, or give {side} for {kind} under [shop.margin] in paddles.toml"
                );
                let shown = row.get(last).map_or_else(|| high.show(self.units), str::to_owned);
                self.problem(row.line, last, Some(&shown), &rule, &cure);
            } else if low > high {
                let rule = format!("is not more than {first}, {}", low.show(self.units));
                let cure = format!("give the smaller figure as {first}");
                let shown = row.get(last).map_or_else(|| high.show(self.units), str::to_owned);
                self.problem(row.line, last, Some(&shown), &rule, &cure);
            }
        }
        if self.problems.len() == before {
            self.boards[index].zones.push(Zone { kind, from, to, near, far });
        }
    }
}

/// A column's name as it is known, from a cell of the header.
fn word(cell: &str) -> String {
    cell.trim().to_lowercase().replace([' ', '-'], "_")
}

/// A price, with or without the sign of a currency before it.
pub fn price(text: &str) -> Option<Price> {
    let bare = text.trim().trim_start_matches(['$', '€', '£']).trim();
    let parts = decimal(bare, 4).and_then(|p| i64::try_from(p).ok())?;
    (parts <= Price::LIMIT).then_some(Price::from_parts(parts))
}

/// A decimal of digits, times ten to `places`; `None` if it is none or has more places.
pub(super) fn decimal(text: &str, places: usize) -> Option<i128> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let part = part.trim_end_matches('0');
    let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    if (whole.is_empty() && !text.contains('.')) || text == "." || part.len() > places {
        return None;
    }
    if !digits(whole) || !digits(part) || whole.len() > 15 {
        return None;
    }
    format!("{whole}{part:0<places$}").parse().ok()
}
