//! Likely boards on the card of what to buy: how many of which line, beside the list's marked ones.

use super::card::Item;
use crate::lumber::{Board, Price};
use crate::odds::Line;
use crate::odds::beside::Beside;
use crate::odds::mix::price;
use crate::odds::sample::grade_of;
use crate::paddle::Job;
use crate::report::text::odds::{ALONE, percent, sentences};
use crate::shop::words::by;
use crate::text::plain;

/// What a card shows of boards that nobody has marked.
#[derive(Clone, Copy, Debug)]
pub struct LikelyShown<'a> {
    /// Together with marked boards of the list, where that was found to be best.
    pub beside: Option<&'a Beside>,
    /// Else line by line, beside all boards of the list that are marked.
    pub lines: &'a [Line],
    /// The list's marked boards.
    pub yard: &'a [Board],
    /// Those that nobody has marked.
    pub unmarked: &'a [Board],
    /// How sure it is to be.
    pub sure: f64,
    /// What the marked boards cost by themselves, where they are enough.
    pub alone: Option<Price>,
    /// All that is meant to be tried was.
    pub all: bool,
}

impl LikelyShown<'_> {
    /// What stands on the card; nothing where nothing was found.
    pub(super) fn items(&self, job: &Job) -> Vec<Item> {
        let mut items = match self.beside {
            Some(found) => self.together(found, job),
            None => self.by_line(job),
        };
        if !self.all && !items.is_empty() {
            let text = "The work was stopped before all was tried.";
            items.push(Item::Line(text.to_owned()));
        }
        items
    }

    /// A row: how many of a board, its wood and grade, its size, what they cost.
    fn row(board: &Board, count: usize, job: &Job) -> Vec<String> {
        let wood = plain(board.species.name());
        let grade = grade_of(board).map(|g| format!(", {}", plain(&g))).unwrap_or_default();
        vec![
            format!("{count} × {}", plain(&board.name)),
            format!("{wood}{grade}"),
            by(&[board.length, board.width, board.thickness], job.units),
            price(board, count).map(|p| p.to_string()).unwrap_or_default(),
        ]
    }

    fn table(rows: Vec<Vec<String>>) -> Item {
        let head = ["boards", "wood", "size", "price"].map(str::to_owned).to_vec();
        Item::Table { head, rows, tick: true }
    }

    fn together(&self, found: &Beside, job: &Job) -> Vec<Item> {
        let Some(likely) = self.unmarked.get(found.line.board) else { return Vec::new() };
        let mut items = Vec::new();
        let marked = found.marked.iter();
        let rows: Vec<Vec<String>> = marked
            .filter_map(|&(b, n)| Some(Self::row(self.yard.get(b)?, n as usize, job)))
            .collect();
        if !rows.is_empty() {
            items.push(Item::Head("Marked, as they are".to_owned()));
            items.push(Self::table(rows));
        }
        items.push(Item::Head("Marked by nobody".to_owned()));
        items.push(Self::table(vec![Self::row(likely, found.line.buy.unwrap_or(0), job)]));
        let alone = self.alone.map(|p| format!(", where {ALONE} {p}")).unwrap_or_default();
        items.push(Item::Line(format!("{} in all{alone}.", found.cost)));
        items.extend(self.said(&found.line, likely));
        items
    }

    fn by_line(&self, job: &Job) -> Vec<Item> {
        let mut items = Vec::new();
        for line in self.lines {
            let Some(board) = self.unmarked.get(line.board) else { continue };
            if let Some(n) = line.buy.filter(|&n| n > 0) {
                items.push(Self::table(vec![Self::row(board, n, job)]));
            } else {
                items.push(Item::Head(plain(&board.name)));
            }
            items.extend(self.said(line, board));
        }
        if !items.is_empty() {
            let text = "With all boards of the list that are marked or clear, and for each wood by itself:";
            items.insert(0, Item::Line(text.to_owned()));
        }
        items
    }

    /// How likely it is, and what is doubtful of it.
    fn said(&self, line: &Line, board: &Board) -> Vec<Item> {
        let mut all = sentences(line, board, self.sure);
        if let (Some(1..), false, Some(c)) = (line.buy, line.certain, line.chances.last()) {
            let (low, high) = (percent(c.low), percent(c.high));
            all.push(format!("As far as the sample tells, the true chance is {low} to {high}."));
        }
        all.into_iter().map(Item::Line).collect()
    }
}
