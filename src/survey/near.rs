//! Boards that just miss: the smallest changes that would make one cover a paddle, each found by
//! planning again.

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Job, Runs};
use crate::stop::Stop;
use crate::survey::alone::covers_one;

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
            job.shop.curve_kerf = job.shop.curve_kerf.map(|k| k.min(kerf));
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

/// Changes that make the board cover one paddle of a job with one kind, best first; those found
/// so far if it is stopped.
pub fn near_misses(job: &Job, board: &Board, stop: &Stop) -> Vec<NearMiss> {
    let mut found = Vec::new();
    let works = |change: &Change| {
        // Of thousands of changes even what is copied for each takes long.
        if stop.asked() {
            return false;
        }
        let (job, board) = apply(job, board, change);
        covers_one(&job, &board, stop)
    };
    let mut note = |change: Change, weight: i64| found.push(NearMiss { change, weight });
    if let Some((change, weight)) = longest(job, board, stop) {
        note(change, weight);
    }
    for zone in 0..board.zones.len() {
        let change = Change::Zone(zone);
        if works(&change) {
            let z = &board.zones[zone];
            note(change, share((z.to - z.from) * 2, board.length));
        }
    }
    let shop = &job.shop;
    let mut kerfs = kerfs(job.units).into_iter().filter(|&kerf| kerf < shop.rip_kerf);
    // A narrower one never works worse.
    if let Some(kerf) = kerfs.find(|&kerf| works(&Change::Kerf(kerf))) {
        note(Change::Kerf(kerf), 20 + share(shop.rip_kerf - kerf, shop.rip_kerf) / 10);
    }
    if shop.resaw_kerf.is_none() {
        let change = Change::Resaw(match job.units {
            Units::Inch => Length::inch_fraction(1, 16),
            Units::Mm => Length::from_units(Length::MM.units() * 3 / 2),
        });
        if works(&change) {
            note(change, 30);
        }
    }
    let mark = match job.units {
        Units::Inch => Length::inch_fraction(1, 16),
        Units::Mm => Length::MM,
    };
    let end = greatest(mark, Length::ZERO, shop.board_end, |l| works(&Change::BoardEnd(l)));
    if let Some(end) = end {
        note(Change::BoardEnd(end), 10 + share(shop.board_end - end, board.length));
    }
    if let Some(pair) = bends(job, board).into_iter().find(|&p| works(&Change::Pair(p))) {
        let whole = shop.pair.max(Length::from_units(1));
        note(Change::Pair(pair), 40 + share(pair - shop.pair, whole));
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

/// Kerfs of blades that are sold, the widest first: full, thin and the thinnest that rips (from
/// memory: table saws take 1/8 in, thin blades 3/32, those of small track and cordless saws 1/16).
fn kerfs(units: Units) -> [Length; 3] {
    match units {
        Units::Inch => [(1, 8), (3, 32), (1, 16)].map(|(n, d)| Length::inch_fraction(n, d)),
        Units::Mm => {
            [32, 24, 16].map(|tenths| Length::from_units(Length::MM.units() * tenths / 10))
        }
    }
}

/// Thousandths of a whole.
fn share(part: Length, whole: Length) -> i64 {
    part.units() * 1000 / whole.units().max(1)
}

/// The greatest whole number of marks from `least` on that is less than `now` and works; a smaller
/// figure never works worse.
fn greatest(
    mark: Length,
    least: Length,
    now: Length,
    works: impl Fn(Length) -> bool,
) -> Option<Length> {
    let marks = |l: Length, up: i64| (l.units() + up).div_euclid(mark.units());
    let mut good = marks(least, mark.units() - 1);
    let mut bad = marks(now, mark.units() - 1);
    if good >= bad || !works(mark * good) {
        return None;
    }
    while bad - good > 1 {
        let middle = good + (bad - good) / 2;
        if works(mark * middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Some(mark * good)
}

/// Bends that strips of the job keep from the board and flipped pairs may not cancel yet, rounded
/// up to the tape's marks, the least first.
fn bends(job: &Job, board: &Board) -> Vec<Length> {
    let paddle = &job.paddles[0];
    let mark = match job.units {
        Units::Inch => Length::inch_fraction(1, 32),
        Units::Mm => Length::from_units(Length::MM.units() / 2),
    };
    let mut all: Vec<Length> = paddle
        .laminations
        .iter()
        .filter(|l| !l.centre)
        .flat_map(|l| [board.crook(), board.bow()].map(|b| b.loss(paddle.rough_length(l))))
        .map(|bend| mark * ((bend.units() + mark.units() - 1).div_euclid(mark.units())))
        .filter(|&bend| bend > job.shop.pair)
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// The longest paddle of these proportions that the board covers, to a quarter inch or 5 mm.
fn longest(job: &Job, board: &Board, stop: &Stop) -> Option<(Change, i64)> {
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
        if stop.asked() {
            return false;
        }
        let (job, board) = apply(job, board, &change(length));
        covers_one(&job, &board, stop)
    };
    // Below half the length it is another paddle.
    let least = Length::from_units(paddle.length.units() / 2).max(mark);
    let length = greatest(mark, least, paddle.length, works)?;
    Some((change(length), share(paddle.length - length, paddle.length)))
}
