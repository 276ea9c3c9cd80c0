//! The steps are made on paper wood: every cut must be possible when its turn comes, and the
//! pieces at the end must be the plan's strips, no more and no fewer.

use crate::fixtures;

use std::collections::BTreeMap;
use stripwright::choose;
use stripwright::length::Length;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::{Edge, Plan};
use stripwright::shop::steps::{self, Action, BoardSteps, Stage};

/// What is left of a section on the table saw: its true edge, `None` until there is one.
#[derive(Default)]
struct Slab {
    edge: Option<Length>,
    /// Rips that came off: (near, far).
    rips: BTreeMap<usize, (Length, Length)>,
    /// What is left in the thickness of each rip, and the leaves taken off it.
    thick: BTreeMap<usize, Length>,
    leaves: BTreeMap<(usize, usize), Length>,
}

/// Where the strips of a section begin and end.
fn ends(s: &stripwright::plan::Section) -> (Length, Length) {
    let strips = || s.rips.iter().flat_map(|r| &r.leaves).flat_map(|l| &l.strips);
    let first = strips().map(|s| s.from).min().unwrap_or(s.from);
    (first, strips().map(|s| s.to).max().unwrap_or(s.to))
}

/// Makes the cuts of one board; gives the strips by rip and leaf as (section, rip, leaf, strip).
fn make(steps: &BoardSteps, plan: &Plan, job: &Job, boards: &[Board]) {
    let cut = plan.boards.iter().find(|c| (c.board, c.copy) == (steps.board, steps.copy)).unwrap();
    let (board, shop) = (&boards[cut.board], &job.shop);
    let kerf_of = |section: usize| shop.kerf(cut.sections[section].follows(board));
    // Whole sections are planed before they are ripped.
    let mut planed = vec![board.thickness; cut.sections.len()];
    let mut slabs: Vec<Slab> = cut.sections.iter().map(|_| Slab::default()).collect();
    let mut lines: Vec<(Length, bool)> = Vec::new();
    let mut strips = 0;
    let mut stage = Stage::Look;
    for group in &steps.groups {
        assert!(group.stage >= stage, "{:?} after {stage:?}", group.stage);
        stage = group.stage;
        for step in &group.steps {
            match step.action.clone() {
                Action::Crosscut { at, after } => {
                    // From the marked end on, so that each line is still on the long piece.
                    assert!(lines.last().is_none_or(|&(last, _)| at > last));
                    lines.push((at, after));
                }
                Action::Look => assert_eq!(group.stage, Stage::Look),
                Action::End { at, after } => lines.push((at, after)),
                Action::Plane { section, from, to } => {
                    assert!(from == board.thickness && to < from);
                    assert!(slabs[section].edge.is_none(), "planed too late");
                    planed[section] = to;
                }
                Action::Far { section, edge, fence } => {
                    let s = &cut.sections[section];
                    assert_eq!(s.edge, Edge::Lined);
                    assert_eq!(slabs[section].edge, Some(edge));
                    assert_eq!(edge + fence, s.rips.last().unwrap().far);
                }
                Action::Keep { section, rip, leaf, over } => {
                    let s = &cut.sections[section].rips[rip];
                    assert!(s.far - s.near < s.leaves[leaf].thickness, "it could lie flat");
                    let slab = &mut slabs[section];
                    let thick = *slab.thick.entry(rip).or_insert(planed[section]);
                    slab.leaves.insert((rip, leaf), thick - over);
                }
                Action::Dress { section, rip, leaf, strip, from, to } => {
                    let r = &cut.sections[section].rips[rip];
                    let sawn = if r.turned { r.leaves[leaf].thickness } else { r.far - r.near };
                    let strip = &r.leaves[leaf].strips[strip];
                    let lamination = &job.paddles[strip.paddle].laminations[strip.lamination];
                    assert_eq!((from, to), (sawn, lamination.thickness));
                }
                Action::Flatten { section, loss } => {
                    let length = cut.sections[section].to - cut.sections[section].from;
                    assert_eq!(loss, board.bow().loss(length));
                }
                Action::Edge { section, line } => {
                    let s = &cut.sections[section];
                    let gap = board.crook().loss(s.to - s.from);
                    let hollow = s.edge == Edge::Lined && board.crook > Length::ZERO;
                    let least = if hollow { shop.edge + gap } else { shop.edge };
                    assert!(line >= least, "the edge is not clean at {line:?}");
                    slabs[section].edge = Some(line);
                }
                Action::Rip { section, edge, fence, rip } => {
                    let slab = &mut slabs[section];
                    assert_eq!(slab.edge, Some(edge), "no such edge to run on the fence");
                    // By a line the setting holds the kerf, which falls short of it.
                    let line = fence + kerf_of(section);
                    assert!(group.setting == Some(fence) || group.setting == Some(line));
                    assert!(fence > Length::ZERO);
                    if let Some(r) = rip {
                        slab.rips.insert(r, (edge, edge + fence));
                    }
                    let kerf = kerf_of(section);
                    slab.edge = Some(edge + fence + kerf);
                    let left = (board.width - edge - fence - kerf).max(Length::ZERO);
                    // What is left never comes out greater than the wood there is.
                    assert!(step.left.unwrap() <= left);
                }
                Action::Pare { section, rip, fence } => {
                    assert_eq!(group.setting, Some(fence));
                    let piece = slabs[section].rips.get_mut(&rip).expect("not sawn off yet");
                    assert!(piece.1 - piece.0 > fence);
                    piece.0 = piece.1 - fence;
                }
                Action::Shave { section, line } => {
                    let slab = &mut slabs[section];
                    let from = slab.edge.unwrap();
                    assert!(line > from && line - from <= kerf_of(section));
                    slab.edge = Some(line);
                }
                Action::Rest { section, rip } => {
                    let slab = &mut slabs[section];
                    let far = cut.sections[section].rips[rip].far;
                    slab.rips.insert(rip, (slab.edge.unwrap(), far));
                    slab.edge = None;
                }
                Action::Resaw { section, rip, leaf, fence } => {
                    assert_eq!(group.setting, Some(fence));
                    let slab = &mut slabs[section];
                    assert!(slab.rips.contains_key(&rip));
                    let thick = slab.thick.entry(rip).or_insert(planed[section]);
                    assert!(*thick >= fence);
                    *thick = *thick - fence - shop.resaw_kerf.expect("this shop can't resaw");
                    slab.leaves.insert((rip, leaf), fence);
                }
                Action::Thickness { section, rip, leaf, from, to } => {
                    let slab = &mut slabs[section];
                    assert!(slab.rips.contains_key(&rip));
                    let thick = slab.thick.entry(rip).or_insert(planed[section]);
                    // A leaf alone is sawn with some over first.
                    let sawn = slab.leaves.get(&(rip, leaf)).copied();
                    assert!(from <= sawn.unwrap_or(*thick) && to <= from);
                    *thick = Length::ZERO;
                    slab.leaves.insert((rip, leaf), to);
                }
                Action::Last { section, rip, leaf } => {
                    let slab = &mut slabs[section];
                    let thick = slab.thick[&rip];
                    slab.leaves.insert((rip, leaf), thick);
                }
                Action::Trim { section, rip, leaf, strips: marks } => {
                    let s = &cut.sections[section];
                    let planned = &s.rips[rip].leaves[leaf].strips;
                    let begins = |start: Length| {
                        planned
                            .iter()
                            .map(|p| (p.from - start, p.to - start))
                            .eq(marks.iter().copied())
                    };
                    assert!(begins(s.from) || begins(ends(s).0));
                    strips += planned.len();
                }
            }
        }
    }
    // Sections end where the plan says, and each end was cut or is the board's.
    for s in &cut.sections {
        let (from, to) = ends(s);
        let cut_at = |from: Length, to: Length| {
            let begun = from == Length::ZERO
                || lines.contains(&(from, false))
                || lines.iter().any(|&(at, after)| after && at + shop.crosscut_kerf == from);
            begun && (to == board.length || lines.contains(&(to, true)))
        };
        let all = [(s.from, s.to), (from, to), (from, s.to), (s.from, to)];
        assert!(all.into_iter().any(|(from, to)| cut_at(from, to)), "{lines:?}");
    }
    for (i, (section, slab)) in cut.sections.iter().zip(&slabs).enumerate() {
        for (r, rip) in section.rips.iter().enumerate() {
            assert_eq!(slab.rips.get(&r), Some(&(rip.near, rip.far)), "rip {r}");
            for (l, leaf) in rip.leaves.iter().enumerate() {
                let made = slab.leaves.get(&(r, l)).copied();
                // A rip whose leaf is as thick as the section needs no cut.
                assert_eq!(made.unwrap_or(planed[i]), leaf.thickness, "leaf {r}.{l}");
            }
        }
    }
    let planned = cut.sections.iter().flat_map(|s| &s.rips).flat_map(|r| &r.leaves);
    assert_eq!(strips, planned.map(|l| l.strips.len()).sum::<usize>());
}

fn check((job, boards, plan): (Job, Vec<Board>, Plan)) {
    let steps = steps::steps(&fixtures::passed(&plan, &job, &boards), &job, &boards);
    assert_eq!(steps.len(), plan.boards.len());
    for one in &steps {
        make(one, &plan, &job, &boards);
    }
}

#[test]
fn the_cuts_can_be_made_in_order_and_give_the_plan() {
    check(fixtures::mixed());
    check(fixtures::metric());
    check(fixtures::forty_rips());
    check(fixtures::two_hundred());
    check(fixtures::hostile());
}

#[test]
fn gaps_of_every_width_between_rips_can_be_cut() {
    // From no gap beyond the kerf to one that is worth keeping, in 1/64 in; the last rip flush
    // with the far edge or not.
    for gap in 0..80 {
        for flush in [false, true] {
            let (job, mut boards, mut plan) = fixtures::mixed();
            let kerf = job.shop.rip_kerf;
            let rips = &mut plan.boards[0].sections[0].rips;
            let wide = rips[3].far - rips[3].near;
            rips[3].near = rips[2].far + kerf + Length::inch_fraction(gap, 64);
            rips[3].far = rips[3].near + wide;
            boards[0].width = if flush { rips[3].far } else { rips[3].far + Length::INCH };
            boards[0].zones.clear();
            check((job, boards, plan));
        }
    }
}

#[test]
fn the_last_rip_of_a_straightened_section_is_sawn_free_of_the_curved_edge() {
    let (job, boards, mut plan) = fixtures::mixed();
    let width = boards[1].width;
    let last = plan.boards[1].sections[1].rips.last_mut().unwrap();
    let wide = last.far - last.near;
    (last.near, last.far) = (width - wide, width);
    let steps = steps::steps(&fixtures::passed(&plan, &job, &boards), &job, &boards);
    let all = || steps[1].groups.iter().flat_map(|g| &g.steps);
    // By a rip of its own, or because the far edge was straightened before.
    let trued = all().any(|s| matches!(s.action, Action::Far { .. }));
    assert!(trued || !all().any(|s| matches!(s.action, Action::Rest { .. })));
    make(&steps[1], &plan, &job, &boards);
}

#[test]
fn equal_rips_share_one_fence_setting() {
    let (job, boards, plan) = fixtures::forty_rips();
    let steps = steps::steps(&fixtures::passed(&plan, &job, &boards), &job, &boards);
    let rips: Vec<_> = steps[0].groups.iter().filter(|g| g.stage == Stage::Rip).collect();
    assert_eq!(rips.len(), 1);
    assert_eq!(rips[0].steps.len(), 40);
    // 11 1/2 wide, the edge at 1/8, forty rips of 5/32 and their kerfs of 1/8: 1/8 is left.
    assert_eq!(rips[0].steps[39].left, Some(fixtures::inch("1/8")));
    assert!(rips[0].steps.iter().all(|s| s.caution.is_some()));
}

#[test]
fn a_curved_edge_never_meets_a_table_saw_fence() {
    let (job, boards, plan) = fixtures::mixed();
    let steps = steps::steps(&fixtures::passed(&plan, &job, &boards), &job, &boards);
    for group in steps[1].groups.iter().filter(|g| g.stage == Stage::Rip) {
        let curved = group.steps.iter().any(|s| s.piece.starts_with('A'));
        assert_eq!(curved, group.heading.contains("single-point fence"));
        assert!(!(curved && group.steps.iter().any(|s| s.piece.starts_with('B'))));
    }
}

#[test]
fn short_sections_carry_their_caution() {
    let (job, boards, mut plan) = fixtures::mixed();
    let section = &mut plan.boards[1].sections[1];
    section.to = section.from + Length::INCH * 11;
    section.rips.iter_mut().for_each(|r| r.leaves[0].strips.clear());
    let steps = steps::steps(&fixtures::passed(&plan, &job, &boards), &job, &boards);
    let rips = steps[1].groups.iter().filter(|g| g.stage == Stage::Rip);
    let b: Vec<_> = rips.flat_map(|g| &g.steps).filter(|s| s.piece.starts_with('B')).collect();
    assert!(!b.is_empty());
    for step in b {
        if matches!(step.action, Action::Rest { .. }) {
            continue;
        }
        let caution = step.caution.as_deref().unwrap();
        assert!(caution.contains("too short for a machine"), "{caution}");
    }
}

#[test]
fn plans_as_they_come_can_be_cut_in_the_order_of_their_steps() {
    let mut planned = 0;
    for seed in 1..=25 {
        let job = fixtures::touring();
        let boards = fixtures::some_boards(seed, 8);
        if let Ok(plan) = choose::plan(&job, &boards, &Default::default()) {
            planned += 1;
            check((job, boards, plan));
        }
    }
    assert!(planned >= 10, "only {planned} of 25 jobs had a plan");
}
