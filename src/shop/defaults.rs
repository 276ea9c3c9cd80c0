//! What is taken where a job's files name nothing of what every saw, edge and zone may have of its
//! own: such a file may be older than those keys, and the plan is not the one that it once gave.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;

/// The line that says what was taken; `None` where the files name any of it.
pub fn defaults(job: &Job, boards: &[Board]) -> Option<String> {
    let own =
        |b: &Board| b.edge.is_some() || b.far_edge.is_some() || b.board_end.is_some() || b.offcut;
    if !job.shop.unsaid || boards.iter().any(own) {
        return None;
    }
    let (shop, show) = (&job.shop, |l: Length| l.with_unit(job.units));
    Some(format!(
        "The files name none of far_edge, curve_kerf, curve_dress, resaw_dress and [shop.margin], \
         and no board has allowances of its own. Taken for them: {} is kept off the far edge; no \
         saw follows a curve, so every crooked board is straightened first; {} is dressed off each \
         glue face, whichever saw left it; nothing more is kept clear around knots and other zones.",
        show(shop.far_edge),
        show(shop.dress)
    ))
}
