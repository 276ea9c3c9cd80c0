//! Boards made in code, by the rules that boards.csv is read by (MODEL 2).

use crate::length::{Length, Units};
use crate::lumber::{Board, Grain, Price, Zone, look};
use crate::read::boards::MOST_COPIES;
use crate::read::names::name_fault;
use crate::read::problem::{Problem, Problems};
use std::collections::HashMap;

/// Checks boards that were made in code as [`boards_text`](crate::boards_text) checks a file: what
/// it refuses, planning and verifying may take amiss.
///
/// A zone without length or width is let pass: it counts where the shop keeps a margin around its
/// kind, and is nothing elsewhere.
///
/// ```
/// use stripwright::{Board, Length, Species, check_boards};
///
/// let inch = |n, of| Length::inch_fraction(n, of);
/// let mut board = Board::plain("A", Species::new("fir"), [inch(96, 1), inch(7, 2), inch(3, 2)]);
/// assert!(check_boards(&[board.clone()]).is_ok());
///
/// board.thickness = Length::ZERO;
/// let problems = check_boards(&[board.clone(), board]).expect_err("no thickness, and one name");
/// assert_eq!(problems.len(), 3);
/// ```
///
/// # Errors
/// Every [`Problem`] found. [`Problem::file`] tells the board: `board 1 "A"`, counted from 1; lengths
/// are shown in inches.
pub fn check_boards(boards: &[Board]) -> Result<(), Problems> {
    let mut check = Check { place: String::new(), problems: Problems::default() };
    let mut named: HashMap<String, usize> = HashMap::new();
    for (number, board) in (1..).zip(boards) {
        check.place = format!("board {number} \"{}\"", board.name);
        let before = named.entry(look(&board.name)).or_insert(number);
        if *before != number {
            let rule = format!("is the name of board {before}, or looks like it");
            check.add("name", &board.name, &rule, "give every board a name of its own");
        }
        check.board(board);
    }
    if check.problems.is_empty() { Ok(()) } else { Err(check.problems) }
}

/// A length without an inch mark, since values stand in quotes.
fn inches(length: Length) -> String {
    format!("{} in", length.show(Units::Inch))
}

struct Check {
    /// Which board it is.
    place: String,
    problems: Problems,
}

impl Check {
    fn add(&mut self, column: &str, value: &str, rule: &str, cure: &str) {
        self.problems.push(Problem {
            file: self.place.clone(),
            line: None,
            column: Some(column.to_owned()),
            value: Some(value.to_owned()),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    fn name(&mut self, column: &str, name: &str) {
        if name.trim().is_empty() {
            self.add(column, name, "is empty", "give it a name");
        } else if let Some((rule, cure)) = name_fault(name) {
            self.add(column, name, &rule, cure);
        }
    }

    /// A length that must lie between two others, both of them allowed.
    fn span(&mut self, column: &str, length: Length, (low, high): (Length, Length), cure: &str) {
        if length < low || length > high {
            let [value, low, high] = [length, low, high].map(inches);
            self.add(column, &value, &format!("is not within {low} to {high}"), cure);
        }
    }

    fn board(&mut self, board: &Board) {
        self.name("name", &board.name);
        self.name("species", board.species.name());
        if let Some(grade) = &board.grade {
            self.name("grade", grade);
        }
        self.sizes(board);
        if !(1..=MOST_COPIES).contains(&board.quantity) {
            let rule = format!("is not a whole number of 1 to {MOST_COPIES}");
            self.add("quantity", &board.quantity.to_string(), &rule, "count the boards");
        } else if board.quantity > 1 && !board.zones.is_empty() {
            let cure = "give each board that has zones a name of its own";
            let rule = "is more than 1 on a board with zones";
            self.add("quantity", &board.quantity.to_string(), rule, cure);
        }
        if let Some(slope) = board.runout.filter(|s| s.rise <= 0 || s.run <= 0) {
            let value = format!("{} in {}", slope.rise, slope.run);
            self.add("runout", &value, "is not a slope of grain", "make rise and run more than 0");
        }
        if let Some(price) = board.price.filter(|p| !(0..=Price::LIMIT).contains(&p.parts())) {
            let rule = format!("is not within 0 to {}", Price::from_parts(Price::LIMIT));
            self.add("price", &price.to_string(), &rule, "give what one such board costs");
        }
        for (number, zone) in (1..).zip(&board.zones) {
            self.zone(&format!("zone {number}"), zone, board);
        }
    }

    fn sizes(&mut self, board: &Board) {
        let (least, most) = (Length::from_units(1), Length::LIMIT);
        for (column, size) in
            [("length", board.length), ("width", board.width), ("thickness", board.thickness)]
        {
            self.span(column, size, (least, most), "give the actual size");
        }
        if let Some(Grain::Pith { across, depth }) = board.grain {
            for (column, at) in [("pith across", across), ("pith depth", depth)] {
                self.span(column, at, (-most, most), "measure from the reference edge and down");
            }
        }
        let quarter = Length::from_units(board.length.units().clamp(0, most.units()) / 4);
        for (column, bend) in [("crook", board.crook), ("bow", board.bow)] {
            let cure = "give the greatest gap to a straight line from end to end";
            self.span(column, bend, (-quarter, quarter), cure);
        }
        for (column, own) in
            [("edge", board.edge), ("far_edge", board.far_edge), ("board_end", board.board_end)]
        {
            let own = own.unwrap_or_default();
            self.span(column, own, (Length::ZERO, most), "leave it out for the shop's own");
        }
    }

    fn zone(&mut self, column: &str, zone: &Zone, board: &Board) {
        self.name(column, zone.kind.as_str());
        for (low, high, size) in
            [(zone.from, zone.to, board.length), (zone.near, zone.far, board.width)]
        {
            let cure = "measure from the marked end and the reference edge";
            for at in [low, high] {
                self.span(column, at, (Length::ZERO, size), cure);
            }
            if low > high {
                let value = inches(high);
                let rule = format!("is where it ends, before {}", inches(low));
                self.add(column, &value, &rule, "let it end where it begins or beyond");
            }
        }
    }
}
