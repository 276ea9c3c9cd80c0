//! boards.csv, and a yard's list in the same columns (MODEL 2).

mod cells;
mod header;
mod raw;
mod yard;
mod zones;

pub(super) use yard::notes as yard_notes;

pub(super) use cells::MOST_COPIES;
pub(super) use header::{bare, of_words, word};
pub use raw::RawBoards;

use crate::length::{Length, Units};
use crate::lumber::{Board, Price, Species, look, nominal};
use crate::paddle::Margins;
use crate::read::looks::{Looks, swapped};
use crate::read::names::name_fault;
use crate::read::problem::{Problem, Problems, cut_off};
use crate::read::row::{Row, commas, too_many, torn};
use crate::read::sheet;
use std::collections::HashMap;
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
    boards_marked(name, text, units, list, (Some(&Margins::new()), false)).map(|l| l.boards)
}

/// A list of boards, and what deserves a second look in it.
#[derive(Clone, Debug, Default)]
pub struct Listed {
    /// The boards.
    pub boards: Vec<Board>,
    /// The lines that gave their sizes.
    pub lines: Vec<usize>,
    /// What was read in a way that may not be meant.
    pub doubts: Vec<Problem>,
}

/// The same in a shop that keeps `margins` clear around zones, where a mark without length or
/// width is a zone too; `None` where the margins aren't known. A list without a board is one where
/// that `will_do`.
///
/// # Errors
/// Every [`Problem`] found.
pub(super) fn boards_marked(
    name: &str,
    text: &str,
    units: Units,
    list: List,
    (margins, none_will_do): (Option<&Margins>, bool),
) -> Result<Listed, Problems> {
    let mut reader = Reader { none_will_do, ..Reader::of(name, units, list, margins) };
    reader.read(text);
    reader.listed()
}

/// As [`boards_text`] of a yard's list whose boards must all have a price, in a shop that keeps
/// `margins` clear around zones.
///
/// # Errors
/// Every [`Problem`] found, every board without a price among them.
pub(super) fn priced(
    name: &str,
    text: &str,
    units: Units,
    margins: Option<&Margins>,
) -> Result<Listed, Problems> {
    let mut reader = Reader { must_price: true, ..Reader::of(name, units, List::Yard, margins) };
    reader.read(text);
    reader.listed()
}

/// What is known of a board where a zone or its sizes follow.
#[derive(Clone, Default)]
struct Seen {
    /// Its place among the boards, if it could be read.
    index: Option<usize>,
    /// The line that gave its sizes, and its name there; none where no line did.
    line: Option<usize>,
    name: String,
    /// Its sizes, those that could be read.
    length: Option<Length>,
    width: Option<Length>,
    /// Are there several of it?
    several: bool,
}

struct Reader<'a> {
    file: &'a str,
    units: Units,
    list: List,
    /// What is kept clear around zones, where that is known.
    margins: Option<&'a Margins>,
    /// Is a list without a board one?
    none_will_do: bool,
    problems: Problems,
    boards: Vec<Board>,
    /// Index and line of each board read, by the looks of its name.
    by_name: HashMap<String, (usize, usize)>,
    /// Boards whose first line could not be read, or is not there, by the looks of their names: of
    /// their zones what can be is still checked.
    broken: HashMap<String, Seen>,
    /// Must every board have a price?
    must_price: bool,
    /// Needed columns that the header lacks, which lines are not blamed for.
    absent: Vec<&'static str>,
    /// Are commas in numbers decimal ones? Where something else parts the cells.
    commas: bool,
    /// What was read in a way that may not be meant.
    doubts: Vec<Problem>,
    /// Lines with a price by the foot that looks like that of a board: line, as written, and what
    /// the board comes to.
    dear: Vec<(usize, String, Price)>,
    /// Lines whose thickness is written as a yard calls it: line, as written, as read.
    quarters: Vec<(usize, String, Length)>,
}

impl<'a> Reader<'a> {
    fn of(file: &'a str, units: Units, list: List, margins: Option<&'a Margins>) -> Self {
        Reader {
            file,
            units,
            list,
            margins,
            none_will_do: false,
            problems: Problems::default(),
            boards: Vec::new(),
            by_name: HashMap::new(),
            broken: HashMap::new(),
            must_price: false,
            absent: Vec::new(),
            commas: false,
            doubts: Vec::new(),
            dear: Vec::new(),
            quarters: Vec::new(),
        }
    }

    fn listed(mut self) -> Result<Listed, Problems> {
        self.doubts.extend(yard::too_dear(self.file, &self.dear));
        self.doubts.extend(yard::by_quarters(self.file, &self.quarters, self.units));
        // Boards stand in the order of their lines.
        let mut lines: Vec<usize> = self.by_name.values().map(|&(_, line)| line).collect();
        lines.sort_unstable();
        match self.problems.is_empty() {
            true => Ok(Listed { boards: self.boards, lines, doubts: self.doubts }),
            false => Err(self.problems.beside(self.doubts)),
        }
    }
}

impl Reader<'_> {
    fn problem(&mut self, line: usize, column: &str, value: Option<&str>, rule: &str, cure: &str) {
        self.problem_at(line, format!("column {column}"), value, (rule, cure));
    }

    fn problem_at(
        &mut self,
        line: usize,
        place: String,
        value: Option<&str>,
        (rule, cure): (&str, &str),
    ) {
        if self.problems.is_full() {
            self.problems.count(1);
            return;
        }
        self.problems.push(Problem {
            file: self.file.to_owned(),
            line: Some(line),
            column: Some(place),
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    /// Refuses a name that holds what no name may.
    fn fit(&mut self, line: usize, column: &str, name: &str) {
        if let Some((rule, cure)) = name_fault(name) {
            self.problem(line, column, Some(name), &rule, cure);
        }
    }

    fn columns(&self) -> Vec<&'static str> {
        let mut columns = BOARD_COLUMNS.to_vec();
        if self.list == List::Yard {
            columns.extend(YARD_COLUMNS);
        }
        columns
    }

    fn read(&mut self, text: &str) {
        if let Some(problems) = swapped(self.file, text, Looks::Boards) {
            self.problems.extend(problems);
            return;
        }
        self.commas = !sheet::parted_by_commas(text);
        let mut header: Option<Vec<Option<&'static str>>> = None;
        let read = sheet::each(text, |line, record| {
            let list = "save the list as CSV, a line for each board and zone";
            if let Some(torn) = torn(record, header.as_deref(), list) {
                self.problem(line, &torn.column, Some(&torn.value), &torn.rule, torn.cure);
                return ControlFlow::Break(());
            }
            match &header {
                None => {
                    let Some(columns) = self.header(line, record) else {
                        return ControlFlow::Break(());
                    };
                    header = Some(columns);
                    // A column that isn't known may be that of prices.
                    self.must_price &= self.problems.is_empty();
                }
                Some(columns) if is_header(record, columns) => {
                    let cure = "delete the line";
                    self.problem(
                        line,
                        "board",
                        Some("board"),
                        "repeats the names of columns",
                        cure,
                    );
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
        } else if self.boards.is_empty() && self.problems.is_empty() && !self.none_will_do {
            let rule = "lists no board";
            let cure = "add a line with a board's name, species, length, width and thickness";
            self.problems.push(Problem::of_file(self.file, rule, cure));
        }
    }

    fn row(&mut self, line: usize, record: &csv::StringRecord, columns: &[Option<&'static str>]) {
        let mut row = Row::of(line, record, columns);
        // What is only counted needs no cure.
        let by_commas = !self.commas && !self.problems.is_full();
        if let Some(found) = too_many(record, columns, (by_commas, self.units)) {
            self.problem(line, &found.place, Some(&found.value), &found.rule, &found.cure);
            if let Some(name) = row.get("board") {
                self.broken.entry(look(name)).or_default();
            }
            return;
        }
        if let Some(pointed) = Some(()).filter(|()| self.commas).and_then(|()| row.point_commas()) {
            self.doubts.extend(commas(self.file, line, &pointed, self.doubts.is_empty()));
        }
        let name = row.get("board").unwrap_or_default();
        if name.is_empty() {
            self.problem(line, "board", None, "is empty", "repeat the board's name on every line");
        }
        let sized = ["species", "length", "width", "thickness", "size"]
            .iter()
            .any(|c| row.get(c).is_some());
        let marks = ["from", "to", "near", "far"].iter().any(|c| row.get(c).is_some());
        let zoned = row.get("zone").is_some();
        let kinds =
            "say what it is: knot, check, split, wane, pitch, sap, stain, rot, pith or any word";
        let of = if sized {
            let of = self.first_line(&row, name);
            if marks && !zoned {
                self.problem(line, "zone", None, "is empty beside its measures", kinds);
            }
            of
        } else {
            let of = self.of_before(name);
            if name.is_empty() {
                // Whose line it is can't be told, nor what it should hold.
            } else if of.is_none() {
                if zoned {
                    let cure = "first give its species, length, width and thickness";
                    self.problem(line, "board", Some(name), "has a zone before its sizes", cure);
                } else {
                    let cure = "give its species, length, width and thickness";
                    self.problem(line, "board", Some(name), "has no sizes", cure);
                }
                self.broken.insert(look(name), Seen::default());
            } else if zoned {
                self.only_zone(&row);
            } else {
                self.problem(line, "zone", None, "is empty on a board's further line", kinds);
            }
            of
        };
        if zoned {
            self.zone(&row, of.unwrap_or_default());
        }
    }

    /// What is known of a board by its name, if a line gave its sizes, read or not.
    fn of_before(&self, name: &str) -> Option<Seen> {
        if let Some(&(index, line)) = self.by_name.get(&look(name)) {
            let board = &self.boards[index];
            return Some(Seen {
                index: Some(index),
                line: Some(line),
                name: board.name.clone(),
                length: Some(board.length),
                width: Some(board.width),
                several: board.quantity > 1,
            });
        }
        self.broken.get(&look(name)).cloned()
    }

    /// Refuses the first line of a board whose name was given before.
    fn named_before(&mut self, row: &Row<'_>, name: &str, seen: &Seen) {
        let Some(before) = seen.line else { return };
        let (rule, cure) = if seen.name == name {
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
    }

    /// Takes the line with a board's sizes; what is known of the board that the line is of.
    fn first_line(&mut self, row: &Row<'_>, name: &str) -> Option<Seen> {
        let seen = self.of_before(name).filter(|seen| seen.line.is_some());
        if let Some(seen) = &seen {
            self.named_before(row, name, seen);
        }
        // Where a zone's line has a size by mistake, nothing is missing on it.
        let whole = ["species", "length"].iter().all(|c| row.get(c).is_some());
        if seen.is_some() && (!whole || row.get("zone").is_some()) {
            return seen;
        }
        let before = self.problems.len();
        let (board, sizes) = self.board(row, name);
        if seen.is_some() {
            return seen;
        }
        if self.problems.len() > before || !self.absent.is_empty() || name.is_empty() {
            let seen = Seen {
                index: None,
                line: Some(row.line),
                name: name.to_owned(),
                length: sizes[0],
                width: sizes[1],
                several: board.quantity > 1,
            };
            if !name.is_empty() {
                self.broken.insert(look(name), seen.clone());
            }
            return Some(seen);
        }
        self.by_name.insert(look(name), (self.boards.len(), row.line));
        self.boards.push(board);
        self.of_before(name)
    }

    /// The board of a line, as far as it can be read, with its length and width where they could
    /// be.
    fn board(&mut self, row: &Row<'_>, name: &str) -> (Board, [Option<Length>; 2]) {
        for (column, named) in
            [("board", Some(name)), ("species", row.get("species")), ("grade", row.get("grade"))]
        {
            self.fit(row.line, column, named.unwrap_or_default());
        }
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
        if let (None, Some(text), Some(read)) = (nominal, row.get("thickness"), thickness)
            && nominal::surfaced(text).is_some()
        {
            self.quarters.push((row.line, text.to_owned(), read));
        }
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
            grade: row.get("grade").map(str::to_owned),
            zones: Vec::new(),
        };
        self.bends(row, &board);
        if self.list == List::Yard && self.one_price(row) {
            board.price = board.price.or_else(|| self.by_the_foot(row, &board, nominal.is_some()));
            if self.must_price && ["price", "price_per_foot"].iter().all(|c| row.get(c).is_none()) {
                self.unpriced(row.line, name);
            }
        }
        (board, [length, width])
    }

    /// Says of a board to buy that it has no price.
    fn unpriced(&mut self, line: usize, name: &str) {
        let cure = "give price for the board, or price_per_foot with foot = board or running";
        let place = format!("board \"{}\"", cut_off(name, 60));
        self.problem_at(line, place, None, ("has no price", cure));
    }
}

/// Does a line name the columns once more?
fn is_header(record: &csv::StringRecord, columns: &[Option<&str>]) -> bool {
    let named = columns.iter().filter(|c| c.is_some()).count();
    let again =
        |(cell, column): (&str, &Option<&str>)| column.is_some_and(|c| header::word(cell) == c);
    named > 1 && record.iter().zip(columns).filter(|&pair| again(pair)).count() == named
}
