//! Whose strip it is, in the tables of the terminal.

use crate::paddle::Job;
use crate::text::plain;

/// Which lamination a strip is for: `touring spine`.
pub fn lamination(job: &Job, paddle: usize, lamination: usize) -> String {
    // What another job doesn't have has no name in it.
    let paddle = job.paddles.get(paddle);
    let lamination = paddle.and_then(|p| p.laminations.get(lamination));
    let names = [paddle.map(|p| &p.name), lamination.map(|l| &l.name)];
    names.map(|name| plain(name.map_or("?", String::as_str))).join(" ")
}
