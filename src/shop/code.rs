//! The code of a plan: four signs that stand on each of its sheets, so that those of two plans are not
//! mixed at the saw or at the bench. Planned again with another limit or another board, builders may get
//! their strips from other boards.

use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{Edge, Face, Plan};
use std::fmt::Write;

/// Digits and letters that can't be taken for each other in handwriting, and no vowels, so that no code
/// is a word.
const SIGNS: &[u8; 26] = b"346789BCDFGHJKLMNPQRTVWXYZ";

/// The code of what is cut and of what it is for; the same wherever the plan is read, whatever else the
/// job and the list of boards have, and whatever was proved of it.
pub fn code(plan: &Plan, job: &Job, boards: &[Board]) -> String {
    let mut told = String::new();
    // Writing to memory does not fail.
    let _ = tell(&mut told, plan, job, boards);
    // CRC-32 (ISO/IEC 8802-3). Two plans have one code once in 456,976 times.
    let mut rest = crc32fast::hash(told.as_bytes());
    let mut signs = String::new();
    for _ in 0..4 {
        signs.push(char::from(SIGNS[rest as usize % SIGNS.len()]));
        rest /= 26;
    }
    signs
}

/// Every cut, one after another. Names are quoted, so that none runs into the next.
fn tell(out: &mut String, plan: &Plan, job: &Job, boards: &[Board]) -> std::fmt::Result {
    for cut in &plan.boards {
        let name = boards.get(cut.board).map_or("", |b| &b.name);
        writeln!(out, "board {name:?} {}", cut.copy)?;
        for section in &cut.sections {
            let (lined, flat) = (section.edge == Edge::Lined, section.face == Face::Flattened);
            writeln!(out, "{} {} {lined} {flat}", section.from.units(), section.to.units())?;
            for rip in &section.rips {
                writeln!(out, "rip {} {} {}", rip.near.units(), rip.far.units(), rip.turned)?;
                for leaf in &rip.leaves {
                    writeln!(out, "leaf {}", leaf.thickness.units())?;
                    for strip in &leaf.strips {
                        let whom = job.names(strip.paddle, strip.lamination);
                        let along = (strip.from.units(), strip.to.units());
                        writeln!(
                            out,
                            "{:?} {whom:?} {along:?} {:?}",
                            strip.id, strip.flipped_with
                        )?;
                    }
                }
            }
        }
    }
    for used in &plan.in_hand {
        let name = job.strips.get(used.strip).map_or("", |s| &s.name);
        let whom = job.names(used.paddle, used.lamination);
        writeln!(out, "in hand {name:?} {whom:?} {:?}", used.flipped_with)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{SIGNS, code};
    use crate::length::Units;
    use crate::lumber::Board;
    use crate::paddle::Job;
    use crate::plan::Plan;
    use std::collections::BTreeSet;

    fn planned() -> (Plan, Job, Vec<Board>) {
        let job =
            crate::read::job_text("paddles.toml", include_str!("../../examples/loft/paddles.toml"));
        let job = job.unwrap();
        let boards = crate::read::boards_text(
            "boards.csv",
            include_str!("../../examples/loft/boards.csv"),
            Units::Inch,
            crate::read::List::OnHand,
        );
        let boards = boards.unwrap();
        let plan = crate::choose::plan(&job, &boards, &crate::choose::Options::default()).unwrap();
        (plan, job, boards)
    }

    /// What is cut otherwise, or for somebody else, has another code; what is proved of it is nothing
    /// to the sheets.
    #[test]
    fn whatever_is_cut_otherwise_has_another_code() {
        let (plan, job, boards) = planned();
        let first = code(&plan, &job, &boards);
        assert!(first.len() == 4 && first.bytes().all(|sign| SIGNS.contains(&sign)));
        let mut seen = BTreeSet::from([first.clone()]);
        let mut differs = |change: &dyn Fn(&mut Plan, &mut Job)| {
            let (mut plan, mut job) = (plan.clone(), job.clone());
            change(&mut plan, &mut job);
            assert!(seen.insert(code(&plan, &job, &boards)));
        };
        let kerf = crate::length::Length::MM;
        differs(&|plan, _| plan.boards[0].copy += 1);
        differs(&|plan, _| plan.boards[0].sections[0].to -= kerf);
        differs(&|plan, _| plan.boards[0].sections[0].rips[0].far -= kerf);
        differs(&|plan, _| plan.boards[0].sections[0].rips[0].leaves[0].thickness -= kerf);
        differs(&|plan, _| plan.boards[0].sections[0].rips[0].leaves[0].strips[0].from += kerf);
        differs(&|plan, _| plan.boards[0].sections[0].rips[0].leaves[0].strips[0].id.push('x'));
        differs(&|_, job| job.paddles[0].name.push('x'));
        differs(&|plan, _| drop(plan.boards.pop()));
        let proof = crate::plan::Proof::AtLeast(0);
        assert_eq!(code(&Plan { proof, ..plan.clone() }, &job, &boards), first);
    }
}
