//! Labels to cut out: one for each strip, with its name as it is written on the wood.

use super::{rack, running};
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::Strip;
use crate::report::Pages;
use crate::shop::kept::{Kept, kept};
use crate::shop::layout::{Layout, strips};
use crate::shop::words::{rough, size};
use crate::text::plain;
use crate::verify::VerifiedPlan;
use maud::{Markup, html};

/// Labels of all strips, board by board as they come off the saw.
pub(super) fn labels(
    (plan, job, boards): (&VerifiedPlan, &Job, &[Board]),
    layouts: &[Layout<'_>],
    pages: &Pages,
    code: &str,
) -> Markup {
    let kept = kept(plan, job, boards);
    let cut = layouts.iter().flat_map(|layout| {
        let own = strips(layout).filter(|(.., strip)| pages.serves(strip.paddle));
        own.filter_map(|(s, r, l, _, strip)| label(layout, &kept, (s, r, l, strip)))
    });
    let all: Vec<Markup> = rack::labels(plan, job, pages).into_iter().chain(cut).collect();
    if all.is_empty() {
        return Markup::default();
    }
    // The last rows stay together, so that no page bears one alone; three labels are a row on paper.
    let together = if all.len() > 12 { 6 + all.len() % 3 } else { 0 };
    let (first, last) = all.split_at(all.len() - together);
    let body = html! {
            h2 { "Labels to cut out, one for each strip" }
            p {
                "Write the name on the wood as it stands here, near the end that was toward the \
                 board's marked end, with an arrow to that end; cut along the broken lines and fix the \
                 label beside it, on no glue face. Upright strips bear the name on the marked face, strips turned on \
                 their side on the edge that was toward the reference edge: so no name is glued \
                 over. Which face is which of a turned strip: lay it name up with the arrow \
                 pointing left, and the face toward you was toward the marked face (the one away \
                 from you, where your board is the drawing's mirror image). A flipped pair is glued in as mirror images: keep the two together."
            }
            @for sheet in [first, last] {
                @if !sheet.is_empty() { div class="labels" { @for label in sheet { (label) } } }
            }
    };
    html! { section class="sheet" id="labels" { (running("Labels", code, &body)) } }
}

/// The label of the strip at a place of its board.
fn label(
    layout: &Layout<'_>,
    kept: &[Kept],
    (s, r, l, strip): (usize, usize, usize, &Strip),
) -> Option<Markup> {
    let (job, units) = (layout.job, layout.units());
    let rip = layout.cut.sections.get(s)?.rips.get(r)?;
    let leaf = rip.leaves.get(l)?;
    let (thick, deep) = rip.strip_size(leaf);
    Some(html! {
        div class="label" {
            b { "◂ " (plain(&strip.id)) }
            (super::whom::whom(job, strip.paddle, strip.lamination))
            (rough(&[strip.to - strip.from, thick, deep], units)) br;
            "from piece " (layout.sections.get(s).map_or_else(String::new, |p| p.leaf_name(r, l)))
            " of " (layout.title) ", " @if rip.turned { "turned; name on the edge. Name up, arrow left: the marked side is toward you" } @else { "upright; name on the face" }
            @if let Some(over) = kept.iter().find(|k| k.strip == strip.id) {
                br; "stays " (size(leaf.thickness + over.over, units)) " deep until the blank is planed"
            }
            @if let Some(mate) = &strip.flipped_with {
                br; "flipped pair with " (plain(mate))
            }
        }
    })
}
