//! Whose strip it is, in the tables of the terminal.

use crate::paddle::Job;
use crate::text::plain;

/// Which lamination a strip is for: `touring spine`.
pub fn lamination(job: &Job, paddle: usize, lamination: usize) -> String {
    // What another job doesn't have has no name in it.
    let (paddle, lamination) = job.names(paddle, lamination);
    [paddle, lamination]
        .map(|name| if name.is_empty() { "?".to_owned() } else { plain(name) })
        .join(" ")
}
