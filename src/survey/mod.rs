//! Before the saw: what each board gives, and what to buy.

mod alone;
pub mod buy;
pub mod hindrance;
pub mod look;
pub mod near;
pub mod nothing;
pub mod rest;

use crate::choose::{most_count, plan_for};
use crate::cut::BoardCuts;
use crate::lumber::Board;
use crate::paddle::{Families, Job, strip_kinds};
use crate::stop::Stop;
use alone::{only, single, until};
use hindrance::{PLENTY, most_alone_within};
use near::NearMiss;

/// What one board gives by itself.
#[derive(Clone, Debug)]
pub struct BoardSurvey {
    /// Index of the board.
    pub board: usize,
    /// What it gives towards each kind of paddle.
    pub parts: Vec<Part>,
    /// Strip volume that it gives at most, and its own volume, in cubed units of length.
    pub usable: (i128, i128),
}

/// What one board gives towards one kind of paddle: towards the laminations that may be of its
/// wood.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// Laminations that may be of its wood.
    pub laminations: Vec<usize>,
    /// Whole paddles that it covers; where some laminations need another wood, paddles' worth of
    /// the others.
    pub covers: u32,
    /// It is proved that it covers no more.
    pub proved: bool,
    /// If it covers none: strips missing, as (lamination, count).
    pub missing: Vec<(usize, u32)>,
    /// Strips of each of these laminations that it gives at most, cut for nothing else.
    pub most: Vec<u32>,
    /// If it covers none: changes that would make it cover one, best first.
    pub near: Vec<NearMiss>,
}

/// Surveys every board by itself.
pub fn survey(job: &Job, boards: &[Board]) -> Vec<BoardSurvey> {
    let never = Stop::default();
    (0..boards.len()).filter_map(|b| survey_board(job, boards, b, &never)).collect()
}

/// Surveys one board by itself; `None` if it was stopped before that was done.
pub fn survey_board(job: &Job, boards: &[Board], index: usize, stop: &Stop) -> Option<BoardSurvey> {
    if stop.asked() {
        return None;
    }
    let board = single(&boards[index]);
    let parts = (0..job.paddles.len())
        .take_while(|_| !stop.asked())
        .map(|p| part(job, p, &board, stop))
        .collect();
    if stop.asked() {
        return None;
    }
    let survey =
        BoardSurvey { board: index, parts, usable: (usable(job, &board, stop), board.volume()) };
    (!stop.asked()).then_some(survey)
}

/// A job for those laminations of one kind of paddle that may be of the board's wood, and which
/// they are.
pub fn part_job(job: &Job, paddle: usize, board: &Board) -> (Job, Vec<usize>) {
    let mut part = only(job, paddle);
    let all = std::mem::take(&mut part.paddles[0].laminations);
    let takes = |l: &crate::paddle::Lamination| {
        l.species.is_empty() || l.species.iter().any(|s| s.matches(&board.species))
    };
    let of: Vec<usize> = (0..all.len()).filter(|&l| takes(&all[l])).collect();
    part.paddles[0].laminations = all.into_iter().filter(|l| takes(l)).collect();
    (part, of)
}

fn part(job: &Job, p: usize, board: &Board, stop: &Stop) -> Part {
    let (alone, laminations) = part_job(job, p, board);
    if laminations.is_empty() {
        return Part::default();
    }
    let kinds = strip_kinds(&alone);
    let mut part = Part { most: vec![0; laminations.len()], ..Part::default() };
    let count = most_count(&alone, std::slice::from_ref(board), &until(stop));
    part.covers = count.made;
    part.proved = count.made == count.at_most;
    if stop.asked() {
        return part;
    }
    if count.made == 0
        && let Err(short) = plan_for(&alone, std::slice::from_ref(board), &[1], &until(stop))
    {
        let lines = kinds.iter().zip(&short.shortage().missing).filter(|(_, n)| **n > 0);
        part.missing = lines.map(|(k, &n)| (laminations[k.lines[0].1], n)).collect();
        part.near = near::near_misses(&alone, board, stop);
    }
    for kind in &kinds {
        if stop.asked() {
            return part;
        }
        let count = most_alone_within(board, &alone.shop, kind, PLENTY, stop);
        for &(_, l) in &kind.lines {
            part.most[l] = count;
        }
    }
    part.laminations = laminations;
    part
}

/// The greatest volume of strips of any kinds that the board gives.
fn usable(job: &Job, board: &Board, stop: &Stop) -> i128 {
    let kinds = strip_kinds(job);
    // Prices in whole parts of volume that a 64-bit sum holds.
    let part = kinds.iter().map(|k| k.volume()).max().unwrap_or(1) / (1 << 30) + 1;
    // Rounded up: it is the most that there can be.
    let prices: Vec<i64> = kinds
        .iter()
        .map(|k| i64::try_from((k.volume() + part - 1) / part).unwrap_or(i64::MAX))
        .collect();
    let cuts = BoardCuts::until_stopped(board, &job.shop, &kinds, &vec![PLENTY; kinds.len()], stop);
    if !cuts.complete {
        return board.volume();
    }
    // Odd halves of flipped pairs count too.
    let prices = Families::of(&kinds).prices(&prices);
    (i128::from(cuts.value(&prices).best) * part).min(board.volume())
}
