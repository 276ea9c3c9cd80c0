//! Zones of a board: a line each, below the board's own or on it.

use super::{BOARD_COLUMNS, Reader, Row, Seen};
use crate::length::Length;
use crate::lumber::{Zone, ZoneKind};

impl Reader<'_> {
    /// A further line marks a zone and nothing else.
    pub(super) fn only_zone(&mut self, row: &Row<'_>) {
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

    /// A zone of a board, as far as that is known; it is marked on one that could be read.
    pub(super) fn zone(&mut self, row: &Row<'_>, of: Seen) {
        let Some(kind) = row.get("zone") else { return };
        let before = self.problems.len();
        if of.several {
            let rule = "marks a board whose quantity is more than 1";
            let cure = "give each board that has zones a line and a name of its own";
            self.problem(row.line, "zone", Some(kind), rule, cure);
        }
        self.fit(row.line, "zone", kind);
        let kind = ZoneKind::new(kind);
        let [from, to] = self.sides(row, ["from", "to"], of.length, "length", &kind);
        let [near, far] = self.sides(row, ["near", "far"], of.width, "width", &kind);
        let sides = from.zip(to).zip(near.zip(far));
        if let (Some(index), Some(((from, to), (near, far)))) = (of.index, sides)
            && self.problems.len() == before
        {
            self.boards[index].zones.push(Zone { kind, from, to, near, far });
        }
    }

    /// Two sides of a zone, each if it could be read and lies on the board; `limit` is the board's
    /// size, if that is known.
    fn sides(
        &mut self,
        row: &Row<'_>,
        columns: [&'static str; 2],
        limit: Option<Length>,
        what: &str,
        kind: &ZoneKind,
    ) -> [Option<Length>; 2] {
        let blanks = [Some(Length::ZERO), limit];
        let mut found = [None, None];
        for ((column, blank), found) in columns.into_iter().zip(blanks).zip(&mut found) {
            let Some(text) = row.get(column) else {
                *found = blank;
                continue;
            };
            let Some(at) = self.length(row.line, column, text) else { continue };
            let beyond = limit.filter(|&limit| at > limit || at < Length::ZERO);
            if let Some(limit) = beyond {
                let long = if what == "length" { "long" } else { "wide" };
                let rule =
                    format!("lies off the board, which is {} {long}", limit.with_unit(self.units));
                let cure = "measure from the marked end and the reference edge";
                self.problem(row.line, column, Some(text), &rule, cure);
            } else if at < Length::ZERO {
                let cure = "measure from the marked end and the reference edge";
                self.problem(row.line, column, Some(text), "is less than 0", cure);
            } else {
                *found = Some(at);
            }
        }
        let ([Some(low), Some(high)], [first, last]) = (found, columns) else { return found };
        let margin = self.margins.map(|m| m.get(kind).copied().unwrap_or_default());
        let margin = margin.map(|m| if what == "length" { m.along } else { m.across });
        let shown = row.get(last).map_or_else(|| high.show(self.units), str::to_owned);
        // A mark is as wide as its margin.
        if low == high && margin.is_some_and(|m| m == Length::ZERO) {
            let rule = format!("leaves the zone no {what}, and no margin is kept around {kind}");
            let side = if what == "length" { "along" } else { "across" };
            let cure = format!(
                "measure where it ends, or give {side} for {kind} under [shop.margin] in paddles.toml"
            );
            self.problem(row.line, last, Some(&shown), &rule, &cure);
        } else if low > high {
            let rule = format!("is not more than {first}, {}", low.show(self.units));
            let cure = format!("give the smaller figure as {first}");
            self.problem(row.line, last, Some(&shown), &rule, &cure);
        }
        found
    }
}
