//! Strips that were measured after they were cut: which still fit, which go together in flipped
//! pairs now, and what would help where one does not fit any more (MODEL 10).

use crate::glue::found::Found;
use crate::length::Length;
use crate::lumber::StripInHand;
use crate::paddle::fits::{Fit, Unfit, compare, curve, fit, partners};
use crate::paddle::{Job, Lamination, Runs};
use std::collections::BTreeSet;

/// A strip that no longer fits where the plan has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misfit {
    /// Its name.
    pub strip: String,
    /// As it was measured.
    pub measured: StripInHand,
    /// The kind of paddle that it was cut for, as an index into the job's.
    pub paddle: usize,
    /// The lamination that it was cut for, as an index into the paddle's.
    pub lamination: usize,
    /// What keeps it out; `None` where it could go in with a partner, and has none.
    pub why: Option<Unfit>,
    /// What would help, the nearest at hand first.
    pub helps: Vec<Help>,
}

/// What would help a strip that no longer fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Help {
    /// This strip of the list, which the plan does not use, could be its partner.
    Partner(String),
    /// This strip could take its place: one of the list that the plan does not use, or a spare of
    /// the lamination.
    Spare(String),
    /// It fits here by itself: (paddle, lamination).
    Place(usize, usize),
}

/// Pairs the strips of a lamination anew where any of them was measured, and takes out those that do
/// not fit any more. `names` are all strips of the plan.
pub(super) fn anew(
    job: &Job,
    line: (usize, usize),
    strips: &mut Vec<Found>,
    names: &BTreeSet<String>,
) -> Vec<Misfit> {
    if !strips.iter().any(|s| s.anew) && sound(job, line, strips) {
        return Vec::new();
    }
    let fits: Vec<Result<Fit, Unfit>> = strips.iter().map(|s| fit_of(job, s, line)).collect();
    let mut order: Vec<usize> = (0..strips.len()).filter(|&i| fits[i].is_ok()).collect();
    order.sort_by(|&a, &b| compare(curve(&strips[b].strip), curve(&strips[a].strip)));
    let mut mate: Vec<Option<usize>> = vec![None; strips.len()];
    for (at, &i) in order.iter().enumerate() {
        if fits[i] != Ok(Fit::Paired) || mate[i].is_some() {
            continue;
        }
        // The next less bent; a straight one only where no bent one is left.
        let found = order[at + 1..]
            .iter()
            .copied()
            .find(|&o| mate[o].is_none() && may_pair(job, [&strips[i], &strips[o]], line));
        if let Some(other) = found {
            (mate[i], mate[other]) = (Some(other), Some(i));
        }
    }
    let ids: Vec<String> = strips.iter().map(|s| s.id.clone()).collect();
    let mut misfits = Vec::new();
    let mut out = vec![false; strips.len()];
    for (i, strip) in strips.iter_mut().enumerate() {
        strip.flipped_with = mate[i].and_then(|o| ids.get(o)).cloned();
        let why = match fits[i] {
            Err(why) => Some(why),
            Ok(Fit::Paired) if mate[i].is_none() => None,
            Ok(_) => continue,
        };
        out[i] = true;
        misfits.push(Misfit {
            strip: strip.id.clone(),
            measured: strip.strip.clone(),
            paddle: line.0,
            lamination: line.1,
            why,
            helps: helps(job, &strip.strip, line, names),
        });
    }
    let mut gone = out.iter();
    strips.retain(|_| !gone.next().copied().unwrap_or(false));
    misfits
}

/// How a strip serves a lamination. One that this plan cuts was crosscut by a tape and measured by one, so
/// it is long enough if it measures what a tape shows of the length that is needed: half of the least part
/// of a tape is nothing to a blank whose ends are trimmed.
fn fit_of(job: &Job, found: &Found, line: (usize, usize)) -> Result<Fit, Unfit> {
    let of = job.paddles.get(line.0).and_then(|p| Some((p, p.laminations.get(line.1)?)));
    let needed = of.map_or(Length::ZERO, |(paddle, l)| paddle.rough_length(l));
    let short = found.strip.length < needed;
    if !(found.board.is_some() && short && found.strip.length >= needed.on_tape(job.units)) {
        return fit(job, &found.strip, line);
    }
    fit(job, &StripInHand { length: needed, ..found.strip.clone() }, line)
}

/// May these be a flipped pair? Of strips whose bends are only foretold both come from one board,
/// cut the same way up.
fn may_pair(job: &Job, [one, other]: [&Found; 2], line: (usize, usize)) -> bool {
    let known = |f: &Found| f.anew || f.board.is_none();
    let one_board = one.board.is_some()
        && (one.board, one.copy, one.turned) == (other.board, other.copy, other.turned);
    (one_board || (known(one) && known(other))) && partners(job, [&one.strip, &other.strip], line)
}

/// Does every strip fit as the plan has it?
fn sound(job: &Job, line: (usize, usize), strips: &[Found]) -> bool {
    strips.iter().filter(|s| s.board.is_none()).all(|s| match fit(job, &s.strip, line) {
        Ok(Fit::Free) => true,
        Ok(Fit::Paired) => {
            let mate = strips.iter().find(|o| Some(&o.id) == s.flipped_with.as_ref());
            mate.is_some_and(|o| partners(job, [&s.strip, &o.strip], line))
        }
        Err(_) => false,
    })
}

fn helps(
    job: &Job,
    strip: &StripInHand,
    line: (usize, usize),
    names: &BTreeSet<String>,
) -> Vec<Help> {
    let unused = || job.strips.iter().filter(|s| !names.contains(&s.name));
    let mut helps = Vec::new();
    if fit(job, strip, line) == Ok(Fit::Paired) {
        let partner =
            unused().find(|o| fit(job, o, line).is_ok() && partners(job, [strip, o], line));
        helps.extend(partner.map(|o| Help::Partner(o.name.clone())));
    }
    let spare = unused().find(|o| fit(job, o, line) == Ok(Fit::Free));
    helps.extend(spare.map(|o| Help::Spare(o.name.clone())));
    // What it was cut for is no bar to another place.
    let bare = StripInHand { paddle: None, lamination: None, ..strip.clone() };
    for (p, paddle) in job.paddles.iter().enumerate() {
        for l in 0..paddle.laminations.len() {
            if (p, l) != line && fit(job, &bare, (p, l)) == Ok(Fit::Free) {
                helps.push(Help::Place(p, l));
            }
        }
    }
    helps
}

/// How many blanks the strips of a lamination are enough for.
pub(super) fn enough_for(lamination: &Lamination, strips: &[Found]) -> usize {
    let paired = strips.iter().filter(|s| s.flipped_with.is_some()).count();
    let mirrored = (strips.len() - paired) / 2 + paired / 2;
    match (lamination.centre, lamination.runs) {
        (true, _) => strips.len() - paired,
        (false, Runs::Through) => mirrored,
        (false, Runs::Blade) => mirrored / 2,
    }
}
