//! Whose strip it is, as the page has it.

use crate::paddle::Job;
use crate::text::plain;
use maud::{Markup, html};

/// Whose strip it is: of several paddles the name stands out, since each may have its builder.
pub(super) fn whom(job: &Job, paddle: usize, lamination: usize) -> Markup {
    let (paddle, lamination) = job.names(paddle, lamination);
    html! {
        @if !lamination.is_empty() {
            span class="whom" {
                @if job.paddles.len() > 1 { strong { (plain(paddle)) } } @else { (plain(paddle)) }
                ", " (plain(lamination))
            }
        }
    }
}
