//! How many unmarked boards to buy: a picture and sentences for the terminal.

use crate::lumber::{Board, Price, Species};
use crate::odds::beside::Beside;
use crate::odds::mix::{Choice, price};
use crate::odds::sample::grade_written;
use crate::odds::typical::{Quartiles, Typical};
use crate::odds::{Line, MOST, TIMES};
use crate::paddle::Job;
use crate::report::text::table::indented;
use crate::report::text::tables::size;
use crate::shop::words::{counted, listed_with};
use crate::text::plain;
use std::fmt::Write;

/// Fewer sample boards than this are called few, and fewer zones (a rule of thumb of our own).
const FEW: (usize, usize) = (8, 20);

/// Where the interval begins below what is wanted.
const LESS: &str = " It may be less: the interval begins below what is wanted.";

/// A chance in whole per cent; nothing short of it is called 100, nothing above none 0.
pub fn percent(chance: f64) -> String {
    let whole = (chance * 100.0).round();
    match whole {
        w if w >= 100.0 && chance < 1.0 => "> 99 %".to_owned(),
        w if w <= 0.0 && chance > 0.0 => "< 1 %".to_owned(),
        w => format!("{w:.0} %"),
    }
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
        plain(&grade_written(board)),
    );
    let mut out = indented(&head, "", width);
    out.push_str(&picture(line, sure, width));
    if !line.chances.is_empty() {
        out.push_str(&indented(&signs(sure), "  ", width));
    }
    for sentence in sentences(line, board, sure) {
        out.push_str(&indented(&sentence, "  ", width));
    }
    out
}

/// Numbers at the beginning that are never enough, but for the last of them: shown as one.
pub fn never(line: &Line) -> usize {
    line.chances.iter().take_while(|c| c.high <= 0.0).count().saturating_sub(1)
}

/// How a number of boards is shown: the first also for all below it.
pub fn numbers(line: &Line, boards: usize) -> String {
    if boards > 1 && boards == never(line) + 1 {
        format!("1 to {boards}")
    } else {
        boards.to_string()
    }
}

/// Chance against boards, a line for each number: `#` up to the chance, `-` between the ends of its
/// interval, `|` where it is sure enough.
fn picture(line: &Line, sure: f64, width: usize) -> String {
    let bar = width.saturating_sub(44).clamp(10, 50);
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let at = |chance: f64| (chance * bar as f64).round() as usize;
    let mut out = String::new();
    let never = never(line);
    let wide = line.chances.len().to_string().len().max(numbers(line, never + 1).len()).max(3);
    for (n, chance) in line.chances.iter().enumerate().skip(never) {
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
        let text = format!("  {:>wide$} {drawn} {said}{buy}", numbers(line, n + 1));
        let _ = writeln!(out, "{}", text.trim_end());
    }
    out
}

/// What the signs of the picture say.
fn signs(sure: f64) -> String {
    format!(
        "Boards on the left. #: how often so many were enough; -: as far as the true chance may lie; |: the {} wanted.",
        percent(sure)
    )
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
        Some(0) => format!("What is there besides is enough for what may be of {wood}: buy none of these."),
        Some(n) => buying(line, board, n, sure),
        None if line.unknown() => {
            "The work was stopped before anything was known of it.".to_owned()
        }
        None if line.clear.is_none() => format!(
            "Even {MOST} of them would not be enough for what may be of {wood} if all were clear; more in one pile are not tried."
        ),
        None if line.most >= MOST => format!(
            "Not even {} are enough with {}. Piles of more than {MOST} are not drawn: plan for fewer paddles.",
            counted(line.chances.len(), "board"),
            percent(sure)
        ),
        None => format!(
            "Not even {} are enough with {}, {} times as many as clear ones would be and some more; piles of more are not drawn.",
            counted(line.chances.len(), "board"),
            percent(sure),
            TIMES
        ),
    });
    if line.stopped && line.draws.0 > 0 {
        all.push(format!(
            "The work was stopped: this is what {} say so far.",
            counted(line.draws.0 as usize, "draw")
        ));
    }
    let (boards, zones) = line.sample;
    if !line.certain && !line.unknown() && (boards < FEW.0 || zones < FEW.1) {
        all.push(format!(
            "The sample, the boards you marked, is small: {}, {}. Mark more boards of this grade before you rely on it.",
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
    let is = chance.map_or_else(String::new, |c| match line.certain {
        true => "; certain, since their grade is clear".to_owned(),
        false => format!("; {} likely to be enough, {} wanted", percent(c.chance), percent(sure)),
    });
    let mut text = format!("Buy {}{cost}{is}.", counted(n, "board"));
    if chance.is_some_and(|c| c.low < sure) {
        text.push_str(LESS);
    }
    if !line.certain {
        let _ = write!(text, " Likely left whole: {:.1} of them.", line.spare);
    }
    if n > board.quantity as usize {
        let _ = write!(text, " The list has {} only.", board.quantity);
    }
    text
}

/// How many lines nothing is known of, since the work was stopped before; `None` if there are none.
pub fn not_looked_at(lines: usize) -> Option<String> {
    let text = "Not looked at before the work was stopped:";
    (lines > 0).then(|| format!("{text} {}.", counted(lines, "line")))
}

/// Which of the lines of one wood, or which two together, are cheapest at the same sureness.
pub fn cheapest(choices: &[Choice], lines: &[Line], yard: &[Board], sure: f64) -> Vec<String> {
    let said = |choice: &Choice| {
        let boards = |&(line, n): &(usize, usize)| {
            let line: &Line = lines.get(line)?;
            let board = yard.get(line.board)?;
            Some((format!("{n} × {}", plain(&board.name)), plain(board.species.name())))
        };
        let all: Vec<(String, String)> = choice.boards.iter().filter_map(boards).collect();
        let wood = all.first().map_or("", |(_, wood)| wood);
        let names: Vec<&str> = all.iter().map(|(name, _)| name.as_str()).collect();
        let mut text = format!("Cheapest of {wood}: {} for {}", names.join(" and "), choice.cost);
        if let (2.., Some(c)) = (names.len(), choice.chance) {
            let _ = write!(
                text,
                ", {} likely to be enough ({} to {})",
                percent(c.chance),
                percent(c.low),
                percent(c.high)
            );
        }
        text.push('.');
        if choice.chance.is_some_and(|c| names.len() > 1 && c.low < sure) {
            text.push_str(LESS);
        }
        match choice {
            Choice { listed: false, .. } => {
                text.push_str(" The list has fewer of them; no other is sure enough.");
            }
            Choice { mixed: false, .. } => {
                text.push_str(
                    " Not every two lines together were tried before the work was stopped.",
                );
            }
            _ if names.len() == 1 => text.push_str(" No two lines together were cheaper."),
            _ => {}
        }
        text
    };
    choices.iter().map(said).collect()
}

/// Boards of the list that are marked and likely ones together, beside what the former cost alone.
pub fn beside(
    found: &Beside,
    (yard, unmarked): (&[Board], &[Board]),
    job: &Job,
    (sure, alone): (f64, Option<Price>),
    width: usize,
) -> String {
    let marked: Vec<String> = found
        .marked
        .iter()
        .map(|&(b, n)| format!("{n} × {}", yard.get(b).map_or(String::new(), |y| plain(&y.name))))
        .collect();
    let likely = unmarked.get(found.line.board).map_or(String::new(), |b| plain(&b.name));
    let boards = counted(found.line.buy.unwrap_or(0), "board");
    let mut text = match marked.as_slice() {
        [] => format!(
            "Beside what is in hand: {boards} of {likely}, which nobody has marked, for {}",
            found.cost
        ),
        some => format!(
            "Boards of the list that are marked, and likely ones: {} for {}, as they are, and {boards} of {likely}, which nobody has marked: {} in all",
            some.join(", "),
            found.paid,
            found.cost
        ),
    };
    text.push_str(&match alone {
        Some(alone) => format!(", where {ALONE} {alone}. It is likely, not sure:"),
        None => ". It is the cheapest of what was tried: none of the list's marked boards, those for a quarter, half and three quarters of the paddles, and all.".to_owned(),
    });
    let mut out = indented(&text, "", width);
    out.push_str(&line(&found.line, job, unmarked, sure, width));
    out
}

/// What plan a dearer cost is that of.
pub(in crate::report) const ALONE: &str = "boards of the list that are marked cost by themselves";

/// What is first to be known of every wood: the cheapest that is sure enough, or that none is, and
/// the woods that are not to be had at all.
pub fn headlines(
    (lines, choices): (&[Line], &[Choice]),
    job: &Job,
    (in_hand, yard): (&[Board], &[Board]),
    sure: f64,
) -> Vec<String> {
    let mut out = cheapest(choices, lines, yard, sure);
    let wood = |line: &Line| yard.get(line.board).map(|b| &b.species);
    let chosen = |of: &Species| {
        let at = |c: &Choice| lines.get(c.boards.first()?.0).and_then(wood);
        choices.iter().filter_map(at).any(|w| w.matches(of))
    };
    for (n, first) in lines.iter().enumerate() {
        let Some(of) = wood(first) else { continue };
        let same = |l: &&Line| wood(l).is_some_and(|w| w.matches(of));
        let before = lines.iter().take(n).any(|l| same(&l));
        let all: Vec<&Line> = lines.iter().filter(same).collect();
        if before || chosen(of) || !first.serves {
            continue;
        }
        out.push(of_wood(&plain(of.name()), &all, yard, sure));
    }
    out.extend(nowhere(job, in_hand, yard));
    out
}

/// What is first to be known of one wood whose lines are not compared.
fn of_wood(wood: &str, all: &[&Line], yard: &[Board], sure: f64) -> String {
    let name = |l: &Line| yard.get(l.board).map_or(String::new(), |b| plain(&b.name));
    if all.iter().any(|l| l.buy == Some(0)) {
        return format!("{wood}: what is in hand is enough, buy none.");
    }
    let enough = all.iter().filter_map(|l| Some((*l, l.buy?)));
    let least = enough.min_by_key(|(l, n)| {
        let cost = yard.get(l.board).and_then(|b| price(b, *n));
        (cost.is_none(), cost, *n)
    });
    if let Some((line, n)) = least {
        let board = yard.get(line.board);
        let cost = board.and_then(|b| price(b, n)).map(|p| format!(" for {p}")).unwrap_or_default();
        let few = board.map_or(0, |b| b.quantity as usize);
        let few = if few < n { format!(" The list has {few} only.") } else { String::new() };
        return format!("{wood}: {n} × {}{cost}.{few}", name(line));
    }
    if all.iter().all(|l| l.unknown()) {
        return format!("{wood}: not known, the work was stopped before.");
    }
    let names: Vec<String> = all.iter().map(|l| name(l)).collect();
    let stopped = if all.iter().any(|l| l.stopped) { " and was tried" } else { "" };
    format!(
        "{wood} can't be had here with {}, as far as the sample tells{stopped}: no number of {} that was drawn is enough.",
        percent(sure),
        listed_with(&names, "or")
    )
}

/// Woods of which laminations must be and that no line, board or strip is of.
fn nowhere(job: &Job, in_hand: &[Board], yard: &[Board]) -> Vec<String> {
    let had = |wood: &Species| {
        in_hand.iter().chain(yard).any(|b| b.species.matches(wood))
            || job.strips.iter().any(|s| s.species.matches(wood))
    };
    let mut out: Vec<String> = Vec::new();
    for paddle in job.paddles.iter().filter(|p| p.quantity > 0) {
        for lamination in &paddle.laminations {
            if lamination.species.is_empty() || lamination.species.iter().any(had) {
                continue;
            }
            let woods: Vec<String> = lamination.species.iter().map(|s| plain(s.name())).collect();
            let text = format!(
                "{} can't be had here: no line is of it, and none is in hand; {} of {} must be of it.",
                listed_with(&woods, "or"),
                plain(&lamination.name),
                plain(&paddle.name)
            );
            if !out.contains(&text) {
                out.push(text);
            }
        }
    }
    out
}

/// What typical boards of each wood and grade give.
pub fn typical(all: &[Typical], job: &Job, width: usize) -> String {
    let mut out = String::new();
    let said = |[low, middle, high]: Quartiles| format!("{middle} (half of them {low} to {high})");
    for of in all {
        let head = format!(
            "A typical board of {}, grade {} ({} {})",
            plain(of.board.species.name()),
            plain(&grade_written(&of.board)),
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
            "Drawn from the sample: {} that you marked, with {}.",
            counted(of.sample.0, "board"),
            counted(of.sample.1, "zone")
        );
        out.push_str(&indented(&sample, "  ", width));
        out.push('\n');
    }
    out
}
