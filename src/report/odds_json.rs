//! `odds --json` (MODEL 12).

use crate::lumber::Board;
use crate::odds::Line;
use crate::odds::mix::{Choice, price};
use crate::odds::sample::grade_of;
use serde::Serialize;

#[derive(Serialize)]
struct Document<'a> {
    sure: f64,
    lines: Vec<LineOut<'a>>,
    /// The cheapest of each wood, where several lines can serve.
    cheapest: Vec<ChoiceOut<'a>>,
    /// The work was stopped before all draws were made.
    stopped: bool,
}

#[derive(Serialize)]
struct ChoiceOut<'a> {
    boards: Vec<PartOut<'a>>,
    price: f64,
    chance: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Serialize)]
struct PartOut<'a> {
    board: &'a str,
    buy: usize,
}

#[derive(Serialize)]
struct LineOut<'a> {
    board: &'a str,
    chances: Vec<ChanceOut>,
    buy: Option<usize>,
    /// What that many cost, where the line has a price.
    price: Option<f64>,
    grade: String,
    sample: SampleOut,
    draws: u32,
    /// Its grade is clear: nothing is left to chance.
    certain: bool,
}

#[derive(Serialize)]
struct SampleOut {
    boards: usize,
    zones: usize,
}

#[derive(Serialize)]
struct ChanceOut {
    boards: usize,
    chance: f64,
    low: f64,
    high: f64,
}

/// To a ten-thousandth: no more is meant.
fn short(chance: f64) -> f64 {
    (chance * 10_000.0).round() / 10_000.0
}

/// The document's text.
pub fn text(
    (lines, choices): (&[Line], &[Choice]),
    yard: &[Board],
    sure: f64,
    stopped: bool,
) -> String {
    #[allow(clippy::cast_precision_loss)] // shown only
    let money = |p: crate::lumber::Price| p.parts() as f64 / crate::lumber::Price::SCALE as f64;
    let of = |line: &'_ Line| {
        let board = &yard[line.board];
        let chances = (1..).zip(&line.chances).map(|(boards, c)| ChanceOut {
            boards,
            chance: short(c.chance),
            low: short(c.low),
            high: short(c.high),
        });
        LineOut {
            board: &board.name,
            chances: chances.collect(),
            buy: line.buy,
            price: line.buy.and_then(|n| price(board, n)).map(money),
            grade: grade_of(board).unwrap_or_default(),
            sample: SampleOut { boards: line.sample.0, zones: line.sample.1 },
            draws: line.draws.0,
            certain: line.certain,
        }
    };
    let choice = |choice: &Choice| {
        let part = |&(line, buy): &(usize, usize)| {
            let board = &yard.get(lines.get(line)?.board)?.name;
            Some(PartOut { board, buy })
        };
        ChoiceOut {
            boards: choice.boards.iter().filter_map(part).collect(),
            price: money(choice.cost),
            chance: choice.chance.map(|c| short(c.chance)),
            low: choice.chance.map(|c| short(c.low)),
            high: choice.chance.map(|c| short(c.high)),
        }
    };
    let cheapest = choices.iter().map(choice).collect();
    let lines = lines.iter().map(of).collect();
    let document = Document { sure, lines, cheapest, stopped };
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}
