//! Before the saw: what each board gives, and what to buy.

pub mod buy;
pub mod look;
pub mod near;

use crate::choose::{Aim, Options, Outcome, plan, plan_for};
use crate::cut::BoardCuts;
use crate::lumber::Board;
use crate::paddle::{Job, strip_kinds};
use near::NearMiss;

/// What one board gives by itself.
#[derive(Clone, Debug)]
pub struct BoardSurvey {
    /// Index of the board.
    pub board: usize,
    /// Whole paddles of each kind that one such board covers, proved; by kind of paddle.
    pub covers: Vec<u32>,
    /// For each kind of paddle that it doesn't cover: strips missing, as (lamination, count).
    pub missing: Vec<Vec<(usize, u32)>>,
    /// Strips of each lamination that it gives at most, cut for nothing else; by kind of paddle
    /// and lamination.
    pub most: Vec<Vec<u32>>,
    /// Strip volume that it gives at most, and its own volume, in cubed units of length.
    pub usable: (i128, i128),
    /// For each kind of paddle that it doesn't cover, changes that would make it, best first.
    pub near: Vec<Vec<NearMiss>>,
}

/// A job for one kind of paddle alone.
pub(crate) fn only(job: &Job, paddle: usize) -> Job {
    Job { paddles: vec![job.paddles[paddle].clone()], ..job.clone() }
}

/// One board without its copies.
pub(crate) fn single(board: &Board) -> Board {
    Board { quantity: 1, ..board.clone() }
}

/// Does this board by itself give one paddle of a job with one kind?
pub(crate) fn covers_one(job: &Job, board: &Board) -> bool {
    matches!(plan_for(job, &[single(board)], &[1], &Options::default()), Outcome::Planned(_))
}

/// Surveys every board by itself.
pub fn survey(job: &Job, boards: &[Board]) -> Vec<BoardSurvey> {
    (0..boards.len()).map(|b| survey_board(job, boards, b)).collect()
}

fn survey_board(job: &Job, boards: &[Board], index: usize) -> BoardSurvey {
    let board = single(&boards[index]);
    let mut survey = BoardSurvey {
        board: index,
        covers: Vec::new(),
        missing: Vec::new(),
        most: Vec::new(),
        usable: (usable(job, &board), board.volume()),
        near: Vec::new(),
    };
    for p in 0..job.paddles.len() {
        let alone = only(job, p);
        let options = Options { aim: Aim::Most, ..Options::default() };
        let (covers, missing) = match plan(&alone, std::slice::from_ref(&board), &options) {
            Outcome::Planned(plan) => (plan.paddles.first().copied().unwrap_or(0), Vec::new()),
            Outcome::Short(short) => {
                let kinds = strip_kinds(&alone);
                let lines = kinds.iter().zip(&short.missing).filter(|(_, n)| **n > 0);
                (0, lines.map(|(k, &n)| (k.lines[0].1, n)).collect())
            }
        };
        let near = if covers == 0 { near::near_misses(&alone, &board) } else { Vec::new() };
        survey.covers.push(covers);
        survey.missing.push(missing);
        survey.near.push(near);
        survey.most.push(most(&alone, &board));
    }
    survey
}

/// The most that can be asked of one board when counting what it gives.
const PLENTY: u32 = 400;

fn most(alone: &Job, board: &Board) -> Vec<u32> {
    let kinds = strip_kinds(alone);
    let mut most = vec![0; alone.paddles[0].laminations.len()];
    for kind in &kinds {
        let count = crate::cut::hindrance::most_alone(board, &alone.shop, kind, PLENTY);
        for &(_, l) in &kind.lines {
            most[l] = count;
        }
    }
    most
}

/// The greatest volume of strips of any kinds that the board gives.
fn usable(job: &Job, board: &Board) -> i128 {
    let kinds = strip_kinds(job);
    // Prices in whole parts of volume that a 64-bit sum holds.
    let part = kinds.iter().map(|k| k.volume()).max().unwrap_or(1) / (1 << 30) + 1;
    let prices: Vec<i64> =
        kinds.iter().map(|k| i64::try_from(k.volume() / part).unwrap_or(0)).collect();
    let cuts = BoardCuts::new(board, &job.shop, &kinds, &vec![PLENTY; kinds.len()]);
    let counts = cuts.counts(&cuts.cut(&cuts.value(&prices)), kinds.len());
    counts.iter().zip(&kinds).map(|(&n, k)| i128::from(n) * k.volume()).sum()
}
