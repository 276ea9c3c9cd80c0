//! What deserves a second look before a plan is made.

use super::Checked;
use crate::cli::doubts::{doubts, several_woods};
use crate::cli::sizes::named;
use crate::cli::woods::not_wanted;
use crate::lumber::{Board, Species};
use crate::paddle::StripKind;
use crate::report::text::hindrance::words;
use crate::shop::words::listed;
use crate::survey::hindrance::{Hindrance, hindrance};
use crate::text::plain;

/// Every warning, the gravest first; of boards that are `offered` only what is doubtful as written.
pub(super) fn warnings(checked: &Checked<'_>, offered: &[Board]) -> Vec<String> {
    let mut out = doubts(checked.job, &[checked.boards, offered].concat());
    out.extend(short(checked));
    out.extend(unknown_woods(checked));
    out.extend(several_woods(checked.job, checked.boards));
    // Those that are nearly a wood that is wanted stand before all.
    let others = not_wanted(checked.job, checked.boards).into_iter().filter(|n| n.near.is_none());
    out.extend(others.map(|n| format!("{}.", n.text)));
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

/// Woods that a lamination asks for by a name that no board has, a line for each.
fn unknown_woods(checked: &Checked<'_>) -> Vec<String> {
    let (job, boards) = (checked.job, checked.boards);
    let misspelt = not_wanted(job, boards);
    let mut seen: Vec<&Species> = Vec::new();
    let mut out: Vec<String> = Vec::new();
    for wood in checked.kinds.iter().flat_map(|kind| &kind.species) {
        let had = boards.iter().any(|b| b.species.matches(wood))
            || job.strips.iter().any(|s| s.species.matches(wood));
        // Where boards are of nearly that wood it was said with them.
        let told = misspelt.iter().any(|n| n.near.is_some_and(|near| near.matches(wood)));
        if had || told || seen.iter().any(|s| s.matches(wood)) {
            continue;
        }
        seen.push(wood);
        let of: Vec<String> = checked
            .kinds
            .iter()
            .filter(|kind| kind.species.iter().any(|s| s.matches(wood)))
            .map(|kind| checked.name(kind))
            .collect();
        out.push(format!(
            "no board is of {}, which {} may be of.",
            plain(wood.name()),
            listed(&of)
        ));
    }
    out
}

/// Boards that no strip can come from, and why: those of one reason together.
fn useless(checked: &Checked<'_>) -> Vec<String> {
    let none = checked.boards.iter().zip(&checked.gives).filter(|(_, g)| g.iter().all(|&n| n == 0));
    let why = |(board, _)| Some((board, reasons(checked, board)?));
    together(none.filter_map(why))
        .into_iter()
        .map(|(why, boards)| {
            let give = if boards.len() == 1 { "gives" } else { "give" };
            format!("{} {give} no strip. {why}", names(&boards))
        })
        .collect()
}

/// Boards, or kinds of strip, of which the same is said, in the order of the first of each.
fn together<'a, T, K: PartialEq>(all: impl Iterator<Item = (&'a T, K)>) -> Vec<(K, Vec<&'a T>)> {
    let mut out: Vec<(K, Vec<&T>)> = Vec::new();
    for (thing, of) in all {
        match out.iter_mut().find(|(known, _)| *known == of) {
            Some((_, things)) => things.push(thing),
            None => out.push((of, vec![thing])),
        }
    }
    out
}

/// `board A`, `boards A, B and 4 others`.
fn names(boards: &[&Board]) -> String {
    let all: Vec<String> = boards.iter().map(|b| plain(&b.name)).collect();
    let s = if all.len() == 1 { "" } else { "s" };
    format!("board{s} {}", named(&all))
}

/// Why a board gives no strip: the reasons of the kinds of its wood; `None` where there are no such
/// kinds, which is said of the wood.
fn reasons(checked: &Checked<'_>, board: &Board) -> Option<String> {
    let shop = &checked.job.shop;
    let found: Vec<(&StripKind, Hindrance)> = checked
        .kinds
        .iter()
        .filter_map(|kind| hindrance(board, shop, kind).map(|h| (kind, h)))
        .collect();
    if found.iter().all(|(_, h)| *h == Hindrance::Species) {
        return None;
    }
    let of_size = found.iter().filter(|(_, h)| *h != Hindrance::Species);
    let said = |(kind, hindrance): &(&'_ StripKind, Hindrance)| {
        words(hindrance, board, shop, kind, checked.job.units)
    };
    let lines = together(of_size.map(|f| (f.0, said(f))));
    let line = |(words, kinds): &(String, Vec<&StripKind>)| {
        format!("For {}: {words}.", super::many::names(checked, kinds))
    };
    Some(lines.iter().map(line).collect::<Vec<_>>().join(" "))
}

/// Boards whose slope of grain was not measured though a paddle they could serve limits it.
fn unmeasured(checked: &Checked<'_>) -> Vec<String> {
    let mut out = Vec::new();
    let limits = |gives: &[u32]| {
        let kinds = checked.kinds.iter().zip(gives).filter(|(_, n)| **n > 0);
        kinds.filter_map(|(k, _)| k.runout).reduce(|a, b| if a.steeper_than(b) { b } else { a })
    };
    let not = checked.boards.iter().zip(&checked.gives).filter(|(b, _)| b.runout.is_none());
    for (limit, boards) in together(not.filter_map(|(b, gives)| Some((b, limits(gives)?)))) {
        let (has, is, it, its) = match boards.len() {
            1 => ("has", "is", "it were", "its"),
            _ => ("have", "are", "they were", "their"),
        };
        out.push(format!(
            "{} {has} no runout given and {is} planned with as if {it} straight enough; see that \
             {its} grain slopes no steeper than {limit}",
            names(&boards)
        ));
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
