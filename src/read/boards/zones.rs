//! Zones of a board: a line each, below the board's own or on it.

use super::{BOARD_COLUMNS, Reader, Row};
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

    pub(super) fn zone(&mut self, row: &Row<'_>, index: usize) {
        let Some(kind) = row.get("zone") else { return };
        let (length, width) = (self.boards[index].length, self.boards[index].width);
        if self.boards[index].quantity > 1 {
            let rule = "marks a board whose quantity is more than 1";
            let cure = "give each board that has zones a line and a name of its own";
            self.problem(row.line, "zone", Some(kind), rule, cure);
            return;
        }
        let before = self.problems.len();
        self.fit(row.line, "zone", kind);
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
