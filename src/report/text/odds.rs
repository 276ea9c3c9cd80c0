//! How many unmarked boards to buy: a picture and sentences for the terminal.

use crate::lumber::{Board, Price};
use crate::odds::Line;
use crate::odds::sample::grade_of;
use crate::odds::typical::{Quartiles, Typical};
use crate::paddle::Job;
use crate::report::text::table::indented;
use crate::report::text::tables::size;
use crate::shop::words::counted;
use crate::text::plain;
use std::fmt::Write;

/// Fewer sample boards than this are called few, and fewer zones (a rule of thumb of our own).
const FEW: (usize, usize) = (8, 20);

/// A chance in whole per cent; nothing short of it is called 100, nothing above none 0.
pub fn percent(chance: f64) -> String {
    let whole = (chance * 100.0).round();
    match whole {
        w if w >= 100.0 && chance < 1.0 => "> 99 %".to_owned(),
        w if w <= 0.0 && chance > 0.0 => "< 1 %".to_owned(),
        w => format!("{w:.0} %"),
    }
}

/// What so many of a board cost, if it has a price.
pub fn price(board: &Board, boards: usize) -> Option<Price> {
    let parts = board.price?.parts().checked_mul(i64::try_from(boards).ok()?)?;
    Some(Price::from_parts(parts))
}

/// All that is said of one line, the picture in it.
pub fn line(line: &Line, job: &Job, yard: &[Board], sure: f64, width: usize) -> String {
    let board = &yard[line.board];
    let head = format!(
        "{} ({}, {} {}, grade {})",
        plain(&board.name),
        plain(board.species.name()),
        size(board, job.units),
        job.units,
        plain(&grade_of(board).unwrap_or_default()),
    );
    let mut out = indented(&head, "", width);
    out.push_str(&picture(line, sure, width));
    for sentence in sentences(line, board, sure) {
        out.push_str(&indented(&sentence, "  ", width));
    }
    out
}

/// Chance against boards, a line for each number: `#` up to the chance, `-` between the ends of its
/// interval, `|` where it is sure enough.
fn picture(line: &Line, sure: f64, width: usize) -> String {
    let bar = width.saturating_sub(38).clamp(10, 50);
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let at = |chance: f64| (chance * bar as f64).round() as usize;
    let mut out = String::new();
    for (n, chance) in line.chances.iter().enumerate() {
        let mark = |i: usize| {
            if i < at(chance.chance) {
                '#'
            } else if i + 1 == at(sure) {
                '|'
            } else if i >= at(chance.low) && i < at(chance.high) {
                '-'
            } else {
                ' '
            }
        };
        let drawn: String = (0..bar).map(mark).collect();
        let buy = if line.buy == Some(n + 1) { "  buy" } else { "" };
        let said = format!(
            "{} ({} to {})",
            percent(chance.chance),
            percent(chance.low),
            percent(chance.high)
        );
        let text = format!("  {:>3} {drawn} {said}{buy}", n + 1);
        let _ = writeln!(out, "{}", text.trim_end());
    }
    out
}

/// What is to be said of one line beside the picture.
pub fn sentences(line: &Line, board: &Board, sure: f64) -> Vec<String> {
    let mut all = Vec::new();
    let wood = plain(board.species.name());
    if !line.serves {
        all.push(format!("No lamination may be of {wood}."));
        return all;
    }
    all.push(match line.buy {
        Some(0) => format!("What is in hand is enough for what may be of {wood}: buy none."),
        Some(n) => buying(line, board, n, sure),
        None if line.draws.0 == 0 && line.stopped => {
            "The work was stopped before anything was known of it.".to_owned()
        }
        None if line.clear.is_none() => format!(
            "No number of them that was tried would be enough for what may be of {wood}, even if all were clear."
        ),
        None => format!(
            "No number drawn, up to {}, is enough with {}.",
            counted(line.chances.len(), "board"),
            percent(sure)
        ),
    });
    if line.stopped && line.draws.0 > 0 {
        all.push(format!(
            "The work was stopped: this is what {} say so far.",
            counted(line.draws.0 as usize, "draw")
        ));
    }
    let (boards, zones) = line.sample;
    if boards < FEW.0 || zones < FEW.1 {
        all.push(format!(
            "The sample is small: {}, {}. Mark more boards of this grade before you rely on it.",
            counted(boards, "board"),
            counted(zones, "zone")
        ));
    }
    let beyond: Vec<&str> = ["longer", "wider", "thicker"]
        .into_iter()
        .zip(line.beyond)
        .filter_map(|(word, is)| is.then_some(word))
        .collect();
    if !beyond.is_empty() {
        all.push(format!("It is {} than any board of the sample.", beyond.join(" and ")));
    }
    all
}

fn buying(line: &Line, board: &Board, n: usize, sure: f64) -> String {
    let cost = price(board, n).map(|p| format!(" for {p}")).unwrap_or_default();
    let chance = line.chances.last();
    let is = chance.map_or_else(String::new, |c| {
        format!("; {} likely to be enough, {} wanted", percent(c.chance), percent(sure))
    });
    let mut text = format!("Buy {}{cost}{is}.", counted(n, "board"));
    if chance.is_some_and(|c| c.low < sure) {
        text.push_str(" It may be less: the interval begins below what is wanted.");
    }
    let _ = write!(text, " Likely left whole: {:.1} of them.", line.spare);
    if n > board.quantity as usize {
        let _ = write!(text, " The list has {} only.", board.quantity);
    }
    text
}

/// Which of the lines of one wood is cheapest at the same sureness, where several can be.
pub fn cheapest(lines: &[Line], yard: &[Board]) -> Vec<String> {
    let mut all = Vec::new();
    for (n, first) in lines.iter().enumerate() {
        let wood = &yard[first.board].species;
        let same = |l: &&Line| yard[l.board].species.matches(wood);
        if lines[..n].iter().any(|l| same(&l)) {
            continue;
        }
        let priced: Vec<(Price, usize, &Line)> = lines
            .iter()
            .filter(same)
            .filter_map(|l| l.buy.and_then(|n| Some((price(&yard[l.board], n)?, n, l))))
            .collect();
        if priced.len() < 2 || priced.iter().all(|(_, n, _)| *n == 0) {
            continue;
        }
        if let Some((cost, boards, line)) = priced.iter().min_by_key(|(cost, ..)| *cost) {
            all.push(format!(
                "Cheapest of {}: {} × {} for {cost}.",
                plain(wood.name()),
                boards,
                plain(&yard[line.board].name)
            ));
        }
    }
    all
}

/// What typical boards of each wood and grade give.
pub fn typical(all: &[Typical], job: &Job, width: usize) -> String {
    let mut out = String::new();
    let said = |[low, middle, high]: Quartiles| format!("{middle} (half of them {low} to {high})");
    for of in all {
        let head = format!(
            "A typical board of {}, grade {} ({} {})",
            plain(of.board.species.name()),
            plain(&grade_of(&of.board).unwrap_or_default()),
            size(&of.board, job.units),
            job.units
        );
        out.push_str(&indented(&head, "", width));
        if of.parts.is_empty() {
            out.push_str(&indented("No lamination may be of its wood.", "  ", width));
        }
        for (p, whole, strips) in &of.parts {
            let paddle = &job.paddles[*p];
            let wood = strips.len() < paddle.laminations.len();
            let what = if wood { "its wood's part of " } else { "" };
            let text = format!("Covers {what}{}: {}.", plain(&paddle.name), said(*whole));
            out.push_str(&indented(&text, "  ", width));
            for (l, most) in strips {
                let name = plain(&paddle.laminations[*l].name);
                let text = format!("Strips of {name}, cut for nothing else: {}.", said(*most));
                out.push_str(&indented(&text, "  ", width));
            }
        }
        let sample = format!(
            "Drawn from {} with {}.",
            counted(of.sample.0, "marked board"),
            counted(of.sample.1, "zone")
        );
        out.push_str(&indented(&sample, "  ", width));
        out.push('\n');
    }
    out
}
