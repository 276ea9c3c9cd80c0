//! Cards for the pocket, 3 1/2 by 5 in: what to have in hand at the rack.

use super::ticks::Ticked;
use crate::report::draw::canvas::STYLE;
use crate::report::text_width::width;
use crate::text::{plain, together};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::fmt::Write as _;

/// Points of a card between its margins, as page.css has it.
const WIDE: f64 = 234.0;
/// Lines that it holds.
const LINES: f64 = 35.0;
/// Size of its letters, points, and what a cell of a table takes beside its text.
const TYPE: f64 = 8.0;
const CELL: f64 = 5.0;

/// A part of what stands on cards.
#[derive(Clone, Debug)]
pub(super) enum Item {
    /// A heading.
    Head(String),
    /// A sentence.
    Line(String),
    /// A table, with a box to tick for each row or without.
    Table { head: Vec<String>, rows: Vec<Vec<String>>, tick: bool },
}

/// Cards of one title: as many as its items need.
#[derive(Clone, Debug)]
pub(super) struct Cards {
    pub title: String,
    pub items: Vec<Item>,
}

/// The page of all cards.
pub(super) fn page(title: &str, cards: &[Cards]) -> String {
    let mut page = String::new();
    let mut out = Ticked::new(&mut page);
    let markup = html! {
        (DOCTYPE)
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { (title) }
            style { (PreEscaped(super::CSS)) (PreEscaped(STYLE)) }
        }
    };
    let body = html! {
        div class="cards" {
            @for of in cards {
                @let parted = parted(&of.items);
                @for (n, items) in parted.iter().enumerate() {
                    section class="card" {
                        h2 { (plain(&of.title)) @if parted.len() > 1 { " " span class="n" { (n + 1) "/" (parted.len()) } } }
                        @for item in items { (item_markup(item)) }
                    }
                }
            }
        }
    };
    let markup = together(&markup.into_string()).replacen("<head>", "<html lang=\"en\"><head>", 1);
    // Writing to memory does not fail.
    let _ = out.write_str(&markup);
    let _ = write!(out, "<body>{}", together(&body.into_string()));
    let _ = out.finish();
    page
}

fn item_markup(item: &Item) -> Markup {
    html! {
        @match item {
            Item::Head(text) => h3 { (plain(text)) },
            Item::Line(text) => p { (plain(text)) },
            Item::Table { head, rows, tick } => table {
                @if !head.is_empty() {
                    thead { tr { @if *tick { th {} } @for cell in head { th { (plain(cell)) } } } }
                }
                tbody {
                    @for row in rows {
                        tr {
                            @if *tick { td class="tick" { input type="checkbox" aria-label="done"; } }
                            @for cell in row { td { (plain(cell)) } }
                        }
                    }
                }
            },
        }
    }
}

/// What the usual faces take of the widest, by which texts are measured, once a line is full.
const FACE: f64 = 0.88;

/// Lines that a text takes.
fn lines(text: &str, size: f64, room: f64) -> f64 {
    (width(text, size) * FACE / room).ceil().max(1.0) * size / TYPE
}

fn row_lines(row: &[String], tick: bool) -> f64 {
    let box_room = if tick { 16.0 } else { 0.0 };
    let all: f64 = row.iter().map(|cell| width(cell, TYPE * 0.93) + CELL).sum();
    (all / (WIDE - box_room)).ceil().max(1.0) + 0.06
}

/// Items on as many cards as they need: an estimate that rather leaves room than runs over. A
/// heading is never the last of a card.
fn parted(items: &[Item]) -> Vec<Vec<Item>> {
    let mut out: Vec<Vec<Item>> = vec![Vec::new()];
    let mut room = LINES - 2.0;
    let mut put = |item: Item, needs: f64, with: f64, more: bool| {
        if needs + with > room && !out.last().is_none_or(Vec::is_empty) {
            out.push(Vec::new());
            room = LINES - 2.0;
        }
        room -= needs;
        let card = out.last_mut();
        let Some(card) = card else { return };
        match (card.last_mut(), item) {
            (Some(Item::Table { rows, .. }), Item::Table { rows: next, .. }) if more => {
                rows.extend(next);
            }
            (_, item) => {
                // The head of a table that runs on is there again.
                room -= if more { 1.3 } else { 0.0 };
                card.push(item);
            }
        }
    };
    for item in items {
        match item {
            Item::Head(text) => put(item.clone(), lines(text, 9.0, WIDE) + 0.5, 2.5, false),
            Item::Line(text) => put(item.clone(), lines(text, TYPE, WIDE) + 0.2, 0.0, false),
            Item::Table { head, rows, tick } => {
                for (n, row) in rows.iter().enumerate() {
                    let needs = row_lines(row, *tick) + if n == 0 { 1.08 } else { 0.0 };
                    let one =
                        Item::Table { head: head.clone(), rows: vec![row.clone()], tick: *tick };
                    put(one, needs, 0.0, n > 0);
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Item, parted};

    /// Nothing is lost, no card is empty, and a long table goes on with its head.
    #[test]
    fn a_long_table_goes_on_to_the_next_card() {
        let rows: Vec<Vec<String>> =
            (0..80).map(|n| vec![format!("board {n}"), "9".into()]).collect();
        let table = Item::Table { head: vec!["board".into(), "n".into()], rows, tick: true };
        let cards = parted(&[Item::Head("Boards".into()), table, Item::Line("The end.".into())]);
        assert!((3..6).contains(&cards.len()), "{}", cards.len());
        let count = |items: &Vec<Item>| -> usize {
            let rows = items.iter().map(|item| match item {
                Item::Table { rows, head, .. } => {
                    assert_eq!(head.len(), 2);
                    rows.len()
                }
                _ => 0,
            });
            rows.sum()
        };
        assert_eq!(cards.iter().map(count).sum::<usize>(), 80);
        assert!(cards.iter().all(|card| count(card) <= 31 && !card.is_empty()));
    }
}
