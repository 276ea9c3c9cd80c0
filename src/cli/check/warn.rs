//! What deserves a second look before a plan is made.

use super::Checked;
use crate::cli::doubts::{doubts, several_woods};
use crate::lumber::{Board, Species};
use crate::paddle::StripKind;
use crate::report::text::hindrance::words;
use crate::survey::hindrance::{Hindrance, hindrance};

/// Every warning, the gravest first.
pub(super) fn warnings(checked: &Checked<'_>) -> Vec<String> {
    let mut out = doubts(checked.job, checked.boards);
    out.extend(short(checked));
    out.extend(unknown_woods(checked));
    out.extend(several_woods(checked.job, checked.boards));
    out.extend(useless(checked));
    out.extend(unmeasured(checked));
    out.extend(prices(checked));
    out
}

/// Kinds of strip that all boards together can't give enough of, whatever the plan.
fn short(checked: &Checked<'_>) -> Vec<String> {
    let mut out = Vec::new();
    for (k, kind) in checked.kinds.iter().enumerate() {
        let most = checked
            .boards
            .iter()
            .zip(&checked.gives)
            .map(|(b, g)| u64::from(b.quantity) * u64::from(g[k]))
            .fold(0, u64::saturating_add);
        let (need, in_hand) = (u64::from(checked.need[k]), checked.in_hand[k]);
        if most + in_hand < need {
            let gives = match most {
                0 => "no board gives a strip of it".to_owned(),
                n => format!("all boards together give {n}"),
            };
            let gives = match in_hand {
                0 => gives,
                n => format!("{gives}, and {n} are in hand"),
            };
            // What was counted is what was found; that there is no more has to be sure.
            let so = if checked.at_most[k] + in_hand < need {
                "There is no plan without another board."
            } else {
                "There may be no plan without another board."
            };
            out.push(format!("{}: {need} wanted, {gives}. {so}", checked.name(kind)));
        }
    }
    out
}

/// Woods that a lamination asks for by a name that no board has.
fn unknown_woods(checked: &Checked<'_>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for kind in &checked.kinds {
        for wood in &kind.species {
            let of_boards = checked.boards.iter().any(|b| b.species.matches(wood));
            if of_boards || checked.job.strips.iter().any(|s| s.species.matches(wood)) {
                continue;
            }
            let mean = nearest(wood, checked.boards)
                .map(|n| format!("; did you mean {n}?"))
                .unwrap_or_else(|| ".".to_owned());
            let warning =
                format!("no board is of {wood}, which {} may be of{mean}", checked.name(kind));
            if !out.contains(&warning) {
                out.push(warning);
            }
        }
    }
    out
}

fn nearest(wood: &Species, boards: &[Board]) -> Option<String> {
    let known: Vec<String> = boards.iter().map(|b| b.species.name().to_lowercase()).collect();
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    crate::read::nearest(wood.name(), &known).map(str::to_owned)
}

/// Boards that no strip can come from, and why.
fn useless(checked: &Checked<'_>) -> Vec<String> {
    let mut out = Vec::new();
    for (board, gives) in checked.boards.iter().zip(&checked.gives) {
        if gives.iter().any(|&n| n > 0) {
            continue;
        }
        out.push(format!("board {} gives no strip. {}", board.name, reasons(checked, board)));
    }
    out
}

/// Why a board gives no strip: the reasons of the kinds of its wood, if there are any.
fn reasons(checked: &Checked<'_>, board: &Board) -> String {
    let shop = &checked.job.shop;
    let found: Vec<(&StripKind, Hindrance)> = checked
        .kinds
        .iter()
        .filter_map(|kind| hindrance(board, shop, kind).map(|h| (kind, h)))
        .collect();
    if found.iter().all(|(_, h)| *h == Hindrance::Species) {
        return format!("No lamination takes {}.", board.species);
    }
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    for (kind, hindrance) in found.iter().filter(|(_, h)| *h != Hindrance::Species) {
        let words = words(hindrance, board, shop, kind, checked.job.units);
        match lines.iter_mut().find(|(w, _)| *w == words) {
            Some((_, names)) => names.push(checked.name(kind)),
            None => lines.push((words, vec![checked.name(kind)])),
        }
    }
    let line =
        |(words, names): &(String, Vec<String>)| format!("For {}: {words}.", names.join(", "));
    lines.iter().map(line).collect::<Vec<_>>().join(" ")
}

/// Boards whose slope of grain was not measured though a paddle they could serve limits it.
fn unmeasured(checked: &Checked<'_>) -> Vec<String> {
    let mut out = Vec::new();
    let limits = |gives: &[u32]| {
        let kinds = checked.kinds.iter().zip(gives).filter(|(_, n)| **n > 0);
        kinds.filter_map(|(k, _)| k.runout).reduce(|a, b| if a.steeper_than(b) { b } else { a })
    };
    for (board, gives) in checked.boards.iter().zip(&checked.gives) {
        if let (None, Some(limit)) = (board.runout, limits(gives)) {
            out.push(format!(
                "board {} has no runout given and is planned with as if it were straight enough; \
                 see that its grain slopes no steeper than {limit}",
                board.name
            ));
        }
    }
    out
}

/// Prices that don't count. An offcut needs none.
fn prices(checked: &Checked<'_>) -> Vec<String> {
    let without: Vec<&str> = checked
        .boards
        .iter()
        .filter(|b| b.price.is_none() && !b.offcut)
        .map(|b| b.name.as_str())
        .collect();
    if without.is_empty() || checked.boards.iter().all(|b| b.price.is_none()) {
        return Vec::new();
    }
    vec![format!(
        "prices don't count, since these boards have none: {}. Write 0 for a board that costs nothing.",
        without.join(", ")
    )]
}
