//! One board and one kind of paddle by themselves.

use crate::choose::{Options, soon_given};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::stop::Stop;

/// A job for one kind of paddle alone, without the strips in hand.
pub(super) fn only(job: &Job, paddle: usize) -> Job {
    Job { paddles: vec![job.paddles[paddle].clone()], strips: Vec::new(), ..job.clone() }
}

/// One board without its copies.
pub(super) fn single(board: &Board) -> Board {
    Board { quantity: 1, ..board.clone() }
}

/// Does this board by itself give one paddle of a job with one kind, as far as that is soon found?
/// No, if it is stopped. A proof that a bent board doesn't give one may take a minute, and many
/// changes are asked after.
pub(super) fn covers_one(job: &Job, board: &Board, stop: &Stop) -> bool {
    soon_given(job, &[single(board)], &[1], &until(stop))
}

/// Ways to search that end with a stop.
pub(super) fn until(stop: &Stop) -> Options {
    Options { stop: stop.clone(), ..Options::default() }
}
