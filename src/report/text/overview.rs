//! A survey at a glance: a row for each board.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Job, Paddle};
use crate::report::text::table::{indented, table};
use crate::survey::near::{Change, NearMiss};
use crate::survey::{BoardSurvey, Part};
use crate::text::plain;

/// All boards at a glance: a row for each, or for each kind of paddle of each.
pub fn overview(surveys: &[BoardSurvey], job: &Job, boards: &[Board], width: usize) -> String {
    let several = job.paddles.len() > 1;
    let mut rows = Vec::new();
    for survey in surveys {
        let board = &boards[survey.board];
        for (place, (paddle, part)) in job.paddles.iter().zip(&survey.parts).enumerate() {
            let mut row = vec![if place == 0 { plain(&board.name) } else { String::new() }];
            if several {
                row.push(plain(&paddle.name));
            }
            row.extend(glance(part, paddle, job, board));
            rows.push(row);
        }
    }
    let mut header = vec!["board", "paddle", "covers", "short of", "nearest change"];
    if !several {
        header.remove(1);
    }
    let mut out = indented(
        "What each board covers by itself, in whole paddles or in all strips of its wood that one has:",
        "",
        width,
    );
    out.push_str(&table(&header, &rows, width));
    out.push('\n');
    out
}

/// What a board covers of one kind of paddle, what it is short of and what would do, in few words.
fn glance(part: &Part, paddle: &Paddle, job: &Job, board: &Board) -> [String; 3] {
    let lamination = |l: usize| plain(&paddle.laminations[l].name);
    if part.laminations.is_empty() {
        return ["nothing is of its wood".to_owned(), String::new(), String::new()];
    }
    let whole = part.laminations.len() == paddle.laminations.len();
    let more = if part.proved { "" } else { " or more" };
    let covers = match part.covers {
        0 => format!("none{}", if part.proved { "" } else { " found" }),
        n if whole => format!("{n}{more}"),
        n => format!("{n}{more} of {}", plain(board.species.name())),
    };
    let missing: Vec<String> =
        part.missing.iter().map(|&(l, n)| format!("{n} {}", lamination(l))).collect();
    let change = part.near.first().map(|near| change_words(near, job, paddle, part, board));
    let none = if part.covers == 0 { "none found" } else { "" };
    [covers, missing.join(", "), change.unwrap_or_else(|| none.to_owned())]
}

/// A change by which a board would cover a paddle, in few words.
fn change_words(near: &NearMiss, job: &Job, paddle: &Paddle, part: &Part, board: &Board) -> String {
    let show = |l: Length| l.with_unit(job.units);
    let lamination = |l: usize| plain(&paddle.laminations[part.laminations[l]].name);
    match near.change {
        Change::Shorter { length, .. } => format!("paddle {} long", show(length)),
        Change::Zone(zone) => {
            let zone = &board.zones[zone];
            let kind = plain(zone.kind.as_str());
            format!("no {kind} at {}", zone.from.with_unit(job.units))
        }
        Change::Kerf(kerf) => format!("kerf {}", show(kerf)),
        Change::Resaw(kerf) => format!("resawn, kerf {}", show(kerf)),
        Change::BoardEnd(end) => format!("ends {}", show(end)),
        Change::Pair(pair) => format!("pairs up to {}", show(pair)),
        Change::Trade(a, b) => {
            format!("{} in the blades, {} through", lamination(a), lamination(b))
        }
    }
}
