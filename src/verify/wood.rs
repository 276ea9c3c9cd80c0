//! Sections, rips and leaves: that every cut can be made and every kerf has its place (MODEL 4).

use super::fault::{Place, Rule};
use super::faults::{Faults, wide};
use super::piece::Piece;
use super::strip;
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{CutBoard, Leaf, Plan, Rip};

/// Every size of the plan must be one that a file may hold, and reach forward.
pub(super) fn sizes(plan: &Plan, faults: &mut Faults) {
    for opened in &plan.boards {
        for section in &opened.sections {
            let rips = section.rips.iter();
            let strips = rips.clone().flat_map(|r| &r.leaves).flat_map(|l| &l.strips);
            let spans = std::iter::once((section.from, section.to, None))
                .chain(rips.clone().map(|r| (r.near, r.far, None)))
                .chain(rips.flat_map(|r| &r.leaves).map(|l| (Length::ZERO, l.thickness, None)))
                .chain(strips.map(|s| (s.from, s.to, Some(s.id.clone()))));
            for (from, to, strip) in spans {
                if from < Length::ZERO || to <= from || to > Length::LIMIT {
                    let place = Place {
                        board: Some((format!("number {}", opened.board), opened.copy)),
                        strip,
                        ..Place::default()
                    };
                    let figures =
                        format!("{} to {}", faults.show(wide(from)), faults.show(wide(to)));
                    faults.add(&place, Rule::Sizes, figures);
                }
            }
        }
    }
}

/// Checks every board opened.
pub(super) fn check(plan: &Plan, job: &Job, boards: &[Board], faults: &mut Faults) {
    let mut opened: Vec<(usize, u32)> = Vec::new();
    for cut in &plan.boards {
        let Some(board) = boards.get(cut.board) else {
            let figures = format!("board number {} of {}", cut.board, boards.len());
            faults.add(&Place::default(), Rule::Board, figures);
            continue;
        };
        let place = Place { board: Some((board.name.clone(), cut.copy)), ..Place::default() };
        if cut.copy == 0 || cut.copy > board.quantity {
            let figures = format!("copy {} of {}", cut.copy, board.quantity);
            faults.add(&place, Rule::Copy, figures);
        }
        if opened.contains(&(cut.board, cut.copy)) {
            faults.add(&place, Rule::Twice, "opened a second time".into());
        }
        opened.push((cut.board, cut.copy));
        check_board(cut, board, job, &place, faults);
    }
}

fn check_board(cut: &CutBoard, board: &Board, job: &Job, place: &Place, faults: &mut Faults) {
    let end = wide(board.board_end.unwrap_or(job.shop.board_end));
    let (first, last) = (end, wide(board.length) - end);
    let mut clear: Option<i128> = None;
    for (i, section) in cut.sections.iter().enumerate() {
        let place = Place { section: Some(i + 1), ..place.clone() };
        let (from, to) = (wide(section.from), wide(section.to));
        if from < first || to > last {
            let figures = format!(
                "the section runs from {} to {}, the board is usable from {} to {}",
                faults.show(from),
                faults.show(to),
                faults.show(first),
                faults.show(last)
            );
            faults.add(&place, Rule::BoardEnd, figures);
        }
        if let Some(clear) = clear.filter(|&c| from < c) {
            let figures = format!(
                "the section begins at {}, the cut before it ends at {}",
                faults.show(from),
                faults.show(clear)
            );
            faults.add(&place, Rule::SectionGap, figures);
        }
        clear = Some(to + wide(job.shop.crosscut_kerf));
        if !section.rips.is_empty() && to - from < wide(job.shop.min_rip) {
            let figures = format!(
                "the section is {} long, the shortest is {}",
                faults.show(to - from),
                faults.show(wide(job.shop.min_rip))
            );
            faults.add(&place, Rule::MinRip, figures);
        }
        let piece = Piece { job, board, section, square: wide(board.length).pow(2) };
        check_rips(&piece, &place, faults);
    }
}

fn check_rips(piece: &Piece, place: &Place, faults: &mut Faults) {
    let (shop, square, s) = (&piece.job.shop, piece.square, piece.lining());
    let hollow = piece.board.crook > Length::ZERO;
    // A board's own allowances stand instead of the shop's.
    let edge = wide(piece.board.edge.unwrap_or(shop.edge));
    let far_edge = wide(piece.board.far_edge.unwrap_or(shop.far_edge));
    let near = edge * square + if hollow { s } else { 0 };
    let far = (wide(piece.board.width) - far_edge) * square - if hollow { 0 } else { s };
    let kerf = if piece.curved() { shop.curve_kerf } else { Some(shop.rip_kerf) };
    if kerf.is_none() && !piece.section.rips.is_empty() {
        let figures = format!(
            "the board's edge has a crook of {} and is kept; the shop has no curve_kerf",
            faults.show(wide(piece.board.crook))
        );
        faults.add(place, Rule::Curve, figures);
    }
    let mut clear: Option<i128> = None;
    for (i, rip) in piece.section.rips.iter().enumerate() {
        let place = Place { rip: Some(i + 1), ..place.clone() };
        if wide(rip.near) * square < near {
            let figures = format!(
                "the rip begins at {}, the edge is straight from {}",
                faults.show(wide(rip.near)),
                faults.show(up(near, square))
            );
            faults.add(&place, Rule::Edge, figures);
        }
        if wide(rip.far) * square > far {
            let figures = format!(
                "the rip ends at {}, the usable width at {}",
                faults.show(wide(rip.far)),
                faults.show(far.div_euclid(square.max(1)))
            );
            faults.add(&place, Rule::FarEdge, figures);
        }
        if let Some(clear) = clear.filter(|&c| wide(rip.near) < c) {
            let figures = format!(
                "the rip begins at {}, the cut before it ends at {}",
                faults.show(wide(rip.near)),
                faults.show(clear)
            );
            faults.add(&place, Rule::RipGap, figures);
        }
        clear = Some(wide(rip.far) + wide(kerf.unwrap_or(shop.rip_kerf)));
        check_thickness(piece, rip, &place, faults);
        for (j, leaf) in rip.leaves.iter().enumerate() {
            let place = Place { leaf: Some(j + 1), ..place.clone() };
            check_strips(piece, rip, leaf, &place, faults);
        }
    }
}

fn check_thickness(piece: &Piece, rip: &Rip, place: &Place, faults: &mut Faults) {
    let square = piece.square;
    let cuts = rip.leaves.len().saturating_sub(1);
    let kerf = piece.job.shop.resaw_kerf;
    if cuts > 0 && kerf.is_none() {
        let figures = format!("{} leaves in a shop without resaw_kerf", cuts + 1);
        faults.add(place, Rule::Resaw, figures);
    }
    let kerfs = i128::try_from(cuts).unwrap_or(0) * wide(kerf.unwrap_or_default());
    let leaves: i128 = rip.leaves.iter().map(|l| wide(l.thickness)).sum();
    let left = wide(piece.board.thickness) * square - piece.flattening();
    if (leaves + kerfs) * square > left {
        let figures = format!(
            "leaves and kerfs come to {}, the thickness left is {}",
            faults.show(leaves + kerfs),
            faults.show(left.div_euclid(square.max(1)))
        );
        faults.add(place, Rule::Thickness, figures);
    }
}

fn check_strips(piece: &Piece, rip: &Rip, leaf: &Leaf, place: &Place, faults: &mut Faults) {
    let (from, to) = (wide(piece.section.from), wide(piece.section.to));
    let mut clear: Option<i128> = None;
    for cut in &leaf.strips {
        let place = Place { strip: Some(cut.id.clone()), ..place.clone() };
        if wide(cut.from) < from || wide(cut.to) > to {
            let figures = format!(
                "the strip runs from {} to {}, the section from {} to {}",
                faults.show(wide(cut.from)),
                faults.show(wide(cut.to)),
                faults.show(from),
                faults.show(to)
            );
            faults.add(&place, Rule::Inside, figures);
        }
        if let Some(clear) = clear.filter(|&c| wide(cut.from) < c) {
            let figures = format!(
                "the strip begins at {}, the cut before it ends at {}",
                faults.show(wide(cut.from)),
                faults.show(clear)
            );
            faults.add(&place, Rule::StripGap, figures);
        }
        clear = Some(wide(cut.to) + wide(piece.job.shop.crosscut_kerf));
        strip::check(piece, rip, leaf, cut, &place, faults);
    }
}

/// A quotient rounded up, for figures.
fn up(top: i128, bottom: i128) -> i128 {
    -(-top).div_euclid(bottom.max(1))
}
