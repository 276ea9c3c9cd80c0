//! Boards that just miss: the smallest changes that would make one cover a paddle, each found by
//! planning again.

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Job, Runs};
use crate::survey::covers_one;

/// A change that makes a board cover one paddle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// The longest paddle of these proportions that it covers: length and loom.
    Shorter {
        /// Finished length.
        length: Length,
        /// Finished length of the loom.
        loom: Length,
    },
    /// It would if this zone were not there: its place among the board's zones.
    Zone(usize),
    /// A saw with this kerf, for rips and, if the shop resaws, for resaws too where theirs is
    /// wider.
    Kerf(Length),
    /// Resawing with this kerf.
    Resaw(Length),
    /// So much unusable at each end.
    BoardEnd(Length),
    /// Flipped pairs that cancel this much depthwise bend.
    Pair(Length),
    /// Two laminations trade places: the one that ran through runs in the blades, and the other
    /// way about.
    Trade(usize, usize),
}

/// A change, and how much of a change it is: thousandths, for the order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NearMiss {
    /// What to change.
    pub change: Change,
    /// How much of what there is it gives up, in thousandths.
    pub weight: i64,
}

/// The job and the board with the change made.
pub fn apply(job: &Job, board: &Board, change: &Change) -> (Job, Board) {
    let (mut job, mut board) = (job.clone(), board.clone());
    match *change {
        Change::Shorter { length, loom } => {
            job.paddles[0].length = length;
            job.paddles[0].loom = loom;
        }
        Change::Zone(zone) => {
            if zone < board.zones.len() {
                board.zones.remove(zone);
            }
        }
        Change::Kerf(kerf) => {
            job.shop.rip_kerf = job.shop.rip_kerf.min(kerf);
            job.shop.resaw_kerf = job.shop.resaw_kerf.map(|k| k.min(kerf));
        }
        Change::Resaw(kerf) => job.shop.resaw_kerf = Some(kerf),
        Change::BoardEnd(end) => job.shop.board_end = end,
        Change::Pair(pair) => job.shop.pair = job.shop.pair.max(pair),
        Change::Trade(a, b) => {
            let laminations = &mut job.paddles[0].laminations;
            laminations.swap(a, b);
            let runs = laminations[a].runs;
            laminations[a].runs = laminations[b].runs;
            laminations[b].runs = runs;
        }
    }
    (job, board)
}

/// Changes that make the board cover one paddle of a job with one kind, best first.
pub fn near_misses(job: &Job, board: &Board) -> Vec<NearMiss> {
    let mut found = Vec::new();
    let works = |change: &Change| {
        let (job, board) = apply(job, board, change);
        covers_one(&job, &board)
    };
    let mut note = |change: Change, weight: i64| found.push(NearMiss { change, weight });
    if let Some((change, weight)) = longest(job, board) {
        note(change, weight);
    }
    for zone in 0..board.zones.len() {
        let change = Change::Zone(zone);
        if works(&change) {
            let z = &board.zones[zone];
            note(change, share((z.to - z.from) * 2, board.length));
        }
    }
    let thinner = steps(job.units, job.shop.rip_kerf).into_iter().map(Change::Kerf);
    if let Some(change) = thinner.into_iter().find(|c| works(c)) {
        let kerf = if let Change::Kerf(kerf) = change { kerf } else { Length::ZERO };
        note(change, 20 + share(job.shop.rip_kerf - kerf, job.shop.rip_kerf) / 10);
    }
    if job.shop.resaw_kerf.is_none() {
        let change = Change::Resaw(match job.units {
            Units::Inch => Length::inch_fraction(1, 16),
            Units::Mm => Length::from_units(Length::MM.units() * 3 / 2),
        });
        if works(&change) {
            note(change, 30);
        }
    }
    let ends = steps(job.units, job.shop.board_end).into_iter().map(Change::BoardEnd);
    if let Some(change) = ends.into_iter().find(|c| works(c)) {
        let end = if let Change::BoardEnd(end) = change { end } else { Length::ZERO };
        note(change, 10 + share(job.shop.board_end - end, board.length));
    }
    for bend in [board.crook(), board.bow()] {
        let over = bend.loss(job.paddles[0].blank_length());
        let change = Change::Pair(over);
        if over > job.shop.pair && works(&change) {
            note(
                change,
                40 + share(over - job.shop.pair, job.shop.pair.max(Length::from_units(1))),
            );
        }
    }
    let laminations = &job.paddles[0].laminations;
    for a in 0..laminations.len() {
        for b in a + 1..laminations.len() {
            let apart = laminations[a].runs == Runs::Through && laminations[b].runs == Runs::Blade;
            let change = Change::Trade(a, b);
            if apart && !laminations[a].centre && works(&change) {
                note(change, 60);
            }
        }
    }
    found.sort_by_key(|n| n.weight);
    found
}

/// Thousandths of a whole.
fn share(part: Length, whole: Length) -> i64 {
    part.units() * 1000 / whole.units().max(1)
}

/// Smaller figures down to nothing, a few tape marks apart: the nearest first.
fn steps(units: Units, from: Length) -> Vec<Length> {
    let mark = match units {
        Units::Inch => Length::inch_fraction(1, 64),
        Units::Mm => Length::from_units(Length::MM.units() / 4),
    };
    let step = Length::from_units((from.units() / 12 / mark.units()).max(1) * mark.units());
    let mut steps = Vec::new();
    let mut at = Length::from_units(from.units() / step.units() * step.units());
    while at >= Length::ZERO {
        if at < from {
            steps.push(at);
        }
        at -= step;
    }
    steps
}

/// The longest paddle of these proportions that the board covers, to a quarter inch or 5 mm.
fn longest(job: &Job, board: &Board) -> Option<(Change, i64)> {
    let mark = match job.units {
        Units::Inch => Length::inch_fraction(1, 4),
        Units::Mm => Length::MM * 5,
    };
    let paddle = &job.paddles[0];
    let change = |length: Length| {
        // The loom in proportion, to whole units.
        let loom = i128::from(paddle.loom.units()) * i128::from(length.units())
            / i128::from(paddle.length.units());
        let loom = Length::from_units(i64::try_from(loom).unwrap_or(0));
        Change::Shorter { length, loom: loom.on_tape(job.units) }
    };
    let works = |length: Length| {
        let (job, board) = apply(job, board, &change(length));
        covers_one(&job, &board)
    };
    // Below half the length it is another paddle.
    let (mut bad, least) = (paddle.length, paddle.length.units() / 2);
    let coarse = mark * 16;
    let mut good = None;
    let mut at = paddle.length - coarse;
    while at.units() >= least && good.is_none() {
        if works(at) {
            good = Some(at);
        } else {
            bad = at;
            at -= coarse;
        }
    }
    let mut good = good?;
    while (bad - good) > mark {
        let steps = (bad - good).units() / mark.units();
        let middle = good + mark * (steps / 2).max(1);
        if works(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Some((change(good), share(paddle.length - good, paddle.length)))
}
