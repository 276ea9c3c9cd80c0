//! Strips in hand in tables and sentences.

use crate::glue::{GlueUp, Help, Misfit};
use crate::length::{Length, Units};
use crate::lumber::{Board, StripInHand};
use crate::paddle::fits::{Fit, Unfit, fit, partners};
use crate::paddle::{Job, Lamination, Paddle};
use crate::plan::{Cost, Measure};
use crate::report::text::table::{indented, table};
use crate::report::text::whom::lamination;
use crate::shop::measure::{COLUMNS, HOW, rows};
use crate::shop::words::{counted, near};
use crate::text::plain;
use crate::verify::VerifiedPlan;
use std::cmp::Reverse;

/// Every line of a job, as (paddle, lamination).
fn lines(job: &Job) -> impl Iterator<Item = (usize, usize)> {
    let of = |(p, paddle): (usize, &Paddle)| (0..paddle.laminations.len()).map(move |l| (p, l));
    job.paddles.iter().enumerate().flat_map(of)
}

/// `86 3/4 x 9/16 x 1 7/16`.
fn size(strip: &StripInHand, units: Units) -> String {
    let shown = [strip.length, strip.thickness, strip.depth].map(|l| l.show(units));
    shown.join(" x ")
}

fn bend(gap: Length, units: Units) -> String {
    if gap == Length::ZERO { String::new() } else { near(gap, units) }
}

/// What each strip in hand may serve, or why it serves nothing; empty where there is none.
pub fn table_of(job: &Job, width: usize) -> String {
    if job.strips.is_empty() {
        return String::new();
    }
    let units = job.units;
    let row = |(s, strip): (usize, &StripInHand)| {
        let name =
            |line: (usize, usize), how: &str| format!("{}{how}", lamination(job, line.0, line.1));
        let serves: Vec<String> = lines(job)
            .filter_map(|line| match fit(job, strip, line).ok()? {
                Fit::Free => Some(name(line, "")),
                Fit::Paired if mate(job, s, line).is_some() => Some(name(line, " (flipped pair)")),
                Fit::Paired => None,
            })
            .collect();
        vec![
            plain(&strip.name),
            plain(strip.species.name()),
            size(strip, units),
            strip.rings.map(|r| r.to_string()).unwrap_or_default(),
            bend(strip.sidewise, units),
            bend(strip.depthwise, units),
            match why_useless(job, s) {
                Some(why) => format!("nothing: {why}"),
                None => serves.join(", "),
            },
        ]
    };
    let rows: Vec<Vec<String>> = job.strips.iter().enumerate().map(row).collect();
    let mut out = indented("Strips in hand, and what each may serve", "", width);
    let sizes = format!("size, {units}");
    let header = ["strip", "wood", &sizes, "rings", "sidewise", "depthwise", "serves"];
    out.push_str(&table(&header, &rows, width));
    out.push_str("\n\n");
    out
}

/// Another strip in hand that may be the partner of one in a flipped pair.
fn mate(job: &Job, s: usize, line: (usize, usize)) -> Option<usize> {
    let strip = job.strips.get(s)?;
    (0..job.strips.len()).find(|&o| {
        let other = &job.strips[o];
        o != s && fit(job, other, line).is_ok() && partners(job, [strip, other], line)
    })
}

/// How near a strip comes to a line: what bars it, and how long the line's strips are.
type Near = (Unfit, Reverse<Length>);

/// Why a strip in hand serves nothing in a job; `None` if it may serve something.
pub fn why_useless(job: &Job, s: usize) -> Option<String> {
    let strip = job.strips.get(s)?;
    let mut nearest: Option<(Near, (usize, usize))> = None;
    let mut bent: Option<(usize, usize)> = None;
    for line in lines(job) {
        match fit(job, strip, line) {
            Ok(Fit::Free) => return None,
            Ok(Fit::Paired) if mate(job, s, line).is_some() => return None,
            Ok(Fit::Paired) => bent = bent.or(Some(line)),
            // What is asked last was come to last: that line is the nearest; of several the one
            // with the shortest strips.
            Err(why) => {
                let (paddle, l) = (&job.paddles[line.0], line.1);
                let near = (why, Reverse(paddle.rough_length(&paddle.laminations[l])));
                if nearest.is_none_or(|n| near > n.0) {
                    nearest = Some((near, line));
                }
            }
        }
    }
    if let Some((p, l)) = bent {
        let (paddle, of) = (&job.paddles[p], &job.paddles[p].laminations[l]);
        return Some(format!(
            "over {} it bends {} depthwise, and no other strip in hand bends so nearly as much that they could be a flipped pair; no plan pairs it with a strip still to be cut, but one ripped from an offcut of the same board and written into the strips file could be its partner",
            lamination(job, p, l),
            over(strip.depthwise, strip, paddle.rough_length(of), job.units)
        ));
    }
    let ((why, _), (p, l)) = nearest?;
    Some(words(job, strip, why, (&job.paddles[p], &job.paddles[p].laminations[l])))
}

/// A bend over a piece of a strip.
fn over(gap: Length, strip: &StripInHand, piece: Length, units: Units) -> String {
    let bend = crate::lumber::Bend { gap, over: strip.length };
    bend.loss(piece).on_tape(units).with_unit(units)
}

/// Why a strip does not serve a lamination.
pub fn words(
    job: &Job,
    strip: &StripInHand,
    why: Unfit,
    (paddle, lamination): (&Paddle, &Lamination),
) -> String {
    let units = job.units;
    let show = |l: Length| l.with_unit(units);
    let whom = format!("{} {}", plain(&paddle.name), plain(&lamination.name));
    let rough = paddle.rough_length(lamination);
    match why {
        Unfit::Named => named(job, strip, &whom),
        Unfit::Species => {
            let woods: Vec<&str> = lamination.species.iter().map(|s| s.name()).collect();
            format!("{whom} is of {}, this is {}", woods.join(" or "), strip.species)
        }
        Unfit::Length => format!("it is {} long, {whom} needs {}", show(strip.length), show(rough)),
        Unfit::Thickness => format!(
            "it is {} thick, {whom} is {} when finished",
            show(strip.thickness),
            show(lamination.thickness)
        ),
        Unfit::Depth => format!(
            "it is {} deep, {whom} is {} when finished",
            show(strip.depth),
            show(paddle.thickness)
        ),
        Unfit::Rings => format!(
            "its rings lie at {} to the blade's face, {whom} asks {}",
            strip.rings.map(|r| r.to_string()).unwrap_or_default(),
            paddle.rings
        ),
        Unfit::Sidewise => format!(
            "over {whom} it bends {} sidewise, clamps may pull out {}",
            over(strip.sidewise, strip, rough, units),
            show(job.shop.pull)
        ),
        Unfit::Depthwise => format!(
            "over {whom} it bends {} depthwise, a flipped pair may cancel {}",
            over(strip.depthwise, strip, rough, units),
            show(job.shop.pair)
        ),
        Unfit::Centre => format!(
            "over {whom} it bends {} depthwise, on the centreline {} is the most",
            over(strip.depthwise, strip, rough, units),
            show(job.shop.straight)
        ),
    }
}

/// What a strip was cut for, where that is not the lamination asked for.
fn named(job: &Job, strip: &StripInHand, whom: &str) -> String {
    let is = |named: &Option<String>, name: &String| named.as_ref().is_none_or(|n| n == name);
    let there = job.paddles.iter().any(|p| {
        is(&strip.paddle, &p.name) && p.laminations.iter().any(|l| is(&strip.lamination, &l.name))
    });
    let names: Vec<String> =
        [&strip.paddle, &strip.lamination].into_iter().flatten().map(|n| plain(n)).collect();
    let names = names.join(" ");
    if there {
        format!("by its own line it was cut for {names}, not for {whom}")
    } else {
        format!("it was cut for {names}, which this job does not have")
    }
}

/// The strips in hand that a plan makes use of, with what they are for; empty where there is none.
pub fn used(plan: &VerifiedPlan, job: &Job, width: usize) -> String {
    if plan.in_hand.is_empty() {
        return String::new();
    }
    let units = job.units;
    let mut parts = 0_i128;
    let mut rows = Vec::new();
    for used in &plan.in_hand {
        let Some(strip) = job.strips.get(used.strip) else { continue };
        let sides = [strip.length, strip.thickness, strip.depth];
        parts += sides.iter().map(|l| i128::from(l.units())).product::<i128>();
        let mut whom = lamination(job, used.paddle, used.lamination);
        if let Some(other) = &used.flipped_with {
            whom.push_str(&format!(", flipped with {}", plain(other)));
        }
        rows.push(vec![
            plain(&strip.name),
            plain(strip.species.name()),
            size(strip, units),
            bend(strip.sidewise, units),
            bend(strip.depthwise, units),
            whom,
        ]);
    }
    let volume = match units {
        Units::Inch => Cost { measure: Measure::BoardFeet, parts }.to_string(),
        Units::Mm => format!("{} dm³", crate::report::text::proof::litres(parts)),
    };
    let title = format!(
        "On the rack: {}, {volume}, which cost nothing. Take them from the rack; dress them to the finished thickness if they are not.",
        counted(plan.in_hand.len(), "strip")
    );
    let mut out = String::from("\n");
    out.push_str(&indented(&title, "", width));
    let sizes = format!("size, {units}");
    out.push_str(&table(&["strip", "wood", &sizes, "sidewise", "depthwise", "for"], &rows, width));
    out.push('\n');
    out
}

/// A sheet to write measurements on: of every strip that is cut what is foretold, and below it room
/// for what it measures.
pub fn measures(plan: &VerifiedPlan, job: &Job, boards: &[Board], width: usize) -> String {
    let rows = rows(plan, job, boards);
    if rows.is_empty() {
        return indented("The plan cuts no strip: there is nothing to measure.", "", width);
    }
    let mut out = indented(
        "Measured strips: what is foretold of each, and below it room for what you find.",
        "",
        width,
    );
    for line in HOW {
        out.push_str(&indented(line, "  ", width));
    }
    out.push('\n');
    let mut header = vec!["strip", "for"];
    header.extend(COLUMNS);
    header.push("weight");
    let mut lines = Vec::new();
    for row in &rows {
        let whom = row.whom.iter().map(|n| plain(n)).collect::<Vec<_>>().join(" ");
        let mut line = vec![plain(&row.strip), whom];
        line.extend(row.foretold.iter().cloned());
        line.push(String::new());
        lines.push(line);
        let mut room = vec![String::new(); 2];
        room.extend(std::iter::repeat_n("_____".to_owned(), COLUMNS.len() + 1));
        lines.push(room);
    }
    out.push_str(&table(&header, &lines, width));
    out.push('\n');
    out
}

/// Other places of a strip that are named.
const PLACES: usize = 2;

/// What is said of strips that were measured and no longer fit; empty where all do.
pub fn misfits(up: &GlueUp, plan: &VerifiedPlan, job: &Job, width: usize) -> String {
    let mut out = String::new();
    for misfit in &up.misfits {
        out.push_str(&indented(&format!("! {}", told(misfit, up, job)), "", width));
    }
    if up.misfits.is_empty() {
        return out;
    }
    for (p, (paddle, &wanted)) in job.paddles.iter().zip(&plan.paddles).enumerate() {
        let made = up.blanks.iter().filter(|b| b.paddle == p).count();
        if made < wanted as usize {
            let text = format!(
                "! The strips that fit make {made} of {wanted} {}. Cut what is missing: name the strips that do not fit as spoiled, and plan again with what is left.",
                plain(&paddle.name)
            );
            out.push_str(&indented(&text, "", width));
        }
    }
    out.push('\n');
    out
}

fn told(misfit: &Misfit, up: &GlueUp, job: &Job) -> String {
    let (p, l) = (misfit.paddle, misfit.lamination);
    let whom = lamination(job, p, l);
    let (strip, name) = (&misfit.measured, plain(&misfit.strip));
    let Some((paddle, of)) = job.paddles.get(p).and_then(|q| Some((q, q.laminations.get(l)?)))
    else {
        return name;
    };
    let why = match misfit.why {
        Some(why) => words(job, strip, why, (paddle, of)),
        None => format!(
            "over {whom} it bends {} depthwise, {} is the most for a strip by itself, and no strip is there that it could be flipped with",
            over(strip.depthwise, strip, paddle.rough_length(of), job.units),
            job.shop.straight.with_unit(job.units)
        ),
    };
    let mut helps: Vec<String> = Vec::new();
    let stands_in = up.spares.iter().any(|s| (s.paddle, s.lamination) == (p, l));
    let places = misfit.helps.iter().filter(|help| matches!(help, Help::Place(..))).count();
    for help in &misfit.helps {
        helps.push(match help {
            Help::Partner(other) => format!("flip it with {}, from the rack", plain(other)),
            Help::Spare(other) => format!("take {} from the rack in its place", plain(other)),
            Help::Place(p, l) => format!("it fits as {}", lamination(job, *p, *l)),
        });
    }
    // In a class a strip fits in many places, one of which is enough to know.
    if places > PLACES {
        helps.truncate(helps.len() - (places - PLACES));
        if let Some(last) = helps.last_mut() {
            *last = format!("{last}, and in {}", counted(places - PLACES, "more place"));
        }
    }
    if helps.is_empty() && !stands_in {
        let bent = matches!(misfit.why, None | Some(Unfit::Depthwise | Unfit::Centre));
        let help = if bent { "another that bends as much, or a straight one" } else { "another" };
        helps.push(format!("cut {help} in its place"));
    }
    let help = match helps.as_slice() {
        [] => "a spare takes its place".to_owned(),
        some => some.join("; or "),
    };
    format!("{name} no longer fits as {whom}: {why}. What helps: {help}.")
}
