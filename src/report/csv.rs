//! The cut list as CSV: one line a strip.

mod boards;
mod strips;

pub use boards::boards;
pub use strips::strips;

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Edge, Face};
use crate::read::guarded;
use crate::shop::part::sawn;
use crate::shop::words::{letters, upward};
use crate::text::plain;
use crate::verify::VerifiedPlan;

const COLUMNS: [&str; 22] = [
    "board",
    "copy",
    "section",
    "section_from",
    "section_to",
    "edge",
    "face",
    "rip",
    "near",
    "far",
    "lies",
    "leaf",
    "leaf_thickness",
    "strip",
    "from",
    "to",
    "paddle",
    "lamination",
    "flipped_with",
    "rough_length",
    "rough_thickness",
    "rough_depth",
];

/// One line for each strip, lengths in the job's units as in the tables. Sections are as they are
/// crosscut; in the plan file they reach as far as they may. Places are exact or to
/// four decimals; sizes that a piece is sawn to are rounded up to what can be set, never down.
pub fn cuts(plan: &VerifiedPlan, job: &Job, boards: &[Board]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(COLUMNS);
    for cut in &plan.boards {
        for (s, section) in cut.sections.iter().enumerate() {
            let (from, to) = boards.get(cut.board).map_or((section.from, section.to), |board| {
                sawn(section, board, &job.shop.at(board))
            });
            for (r, rip) in section.rips.iter().enumerate() {
                for (l, leaf) in rip.leaves.iter().enumerate() {
                    for strip in &leaf.strips {
                        let show = |length: Length| length.show(job.units);
                        let rough = |length: Length| upward(length, job.units).show(job.units);
                        let (thick, deep) = rip.strip_size(leaf);
                        // What another job or other boards don't have is left empty.
                        let (paddle, lamination) = job.names(strip.paddle, strip.lamination);
                        let _ = writer.write_record([
                            text(boards.get(cut.board).map_or("", |b| &b.name)),
                            cut.copy.to_string(),
                            letters(s),
                            show(from),
                            show(to),
                            match section.edge {
                                Edge::Kept => "kept".to_owned(),
                                Edge::Lined => "straight-lined".to_owned(),
                            },
                            match section.face {
                                Face::Kept => "kept".to_owned(),
                                Face::Flattened => "flattened".to_owned(),
                            },
                            format!("{}{}", letters(s), r + 1),
                            show(rip.near),
                            show(rip.far),
                            if rip.turned { "turned" } else { "upright" }.to_owned(),
                            (l + 1).to_string(),
                            rough(leaf.thickness),
                            text(&strip.id),
                            show(strip.from),
                            show(strip.to),
                            text(paddle),
                            text(lamination),
                            text(strip.flipped_with.as_deref().unwrap_or_default()),
                            rough(strip.to - strip.from),
                            rough(thick),
                            rough(deep),
                        ]);
                    }
                }
            }
        }
    }
    in_hand(&mut writer, plan, job);
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// Strips in hand stand below, without a board: they lie on the rack.
fn in_hand(writer: &mut csv::Writer<Vec<u8>>, plan: &VerifiedPlan, job: &Job) {
    for used in &plan.in_hand {
        let Some(strip) = job.strips.get(used.strip) else { continue };
        let (paddle, lamination) = job.names(used.paddle, used.lamination);
        let mut record = vec![String::new(); COLUMNS.len()];
        for (column, value) in [
            ("lies", "on the rack".to_owned()),
            ("leaf_thickness", strip.thickness.show(job.units)),
            ("strip", text(&strip.name)),
            ("from", crate::length::Length::ZERO.show(job.units)),
            ("to", strip.length.show(job.units)),
            ("paddle", text(paddle)),
            ("lamination", text(lamination)),
            ("flipped_with", text(used.flipped_with.as_deref().unwrap_or_default())),
        ] {
            if let Some(at) = COLUMNS.iter().position(|c| *c == column) {
                record[at] = value;
            }
        }
        let _ = writer.write_record(record);
    }
}

/// A name that no spreadsheet takes for a formula; without its apostrophe it is as it was.
fn text(name: &str) -> String {
    guarded(&plain(name))
}
