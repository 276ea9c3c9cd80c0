//! Strips whose grain is steeper than their paddle takes once what straightening a bent board adds is
//! counted. The plan goes by the board's own runout; this is told before the first cut.

use crate::glue::signs::added_slope;
use crate::lumber::{Board, Slope};
use crate::paddle::Job;
use crate::plan::CutBoard;
use crate::shop::words::listed;
use crate::text::plain;

/// Is a strip's grain steeper than this, what was measured of its board and what straightening added
/// counted together?
pub(super) fn steeper(board: Option<&Board>, added: f64, limit: Slope) -> bool {
    let own = board.and_then(|b| b.runout).map_or(0.0, Slope::ratio);
    own.hypot(added) > limit.ratio() + 1e-9
}

/// What is to be said of the strips of one board, a sentence for each limit; nothing where all are
/// straight enough.
pub(crate) fn words(cut: &CutBoard, board: &Board, job: &Job) -> Vec<String> {
    let mut found: Vec<(Slope, Vec<String>)> = Vec::new();
    for section in &cut.sections {
        for strip in section.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips) {
            let Some(limit) = job.paddles.get(strip.paddle).and_then(|p| p.runout) else {
                continue;
            };
            let added = added_slope(board, section, [strip.from, strip.to]);
            // A board that is too steep by itself is passed over when strips are planned.
            if added <= 0.0 || !steeper(Some(board), added, limit) {
                continue;
            }
            match found.iter_mut().find(|(known, _)| *known == limit) {
                Some((_, names)) => names.push(plain(&strip.id)),
                None => found.push((limit, vec![plain(&strip.id)])),
            }
        }
    }
    let say = |(limit, names): (Slope, Vec<String>)| {
        format!(
            "Sawn straight out of its bend, the grain is steeper than {limit} in {}. A straighter \
             board or a shorter section has straighter grain; once cut, lay the fibres beside a \
             straightedge.",
            listed(&names)
        )
    };
    found.into_iter().map(say).collect()
}
