//! Where the wood of a plan goes, in exact volumes.

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::Job;
use crate::plan::{CutBoard, Plan, Section};
use std::collections::BTreeSet;

/// Volumes in cubed units of length; the four parts add up to the wood that goes in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// The boards opened.
    pub wood: i128,
    /// Rough strips, with what is dressed and planed off them later.
    pub strips: i128,
    /// Saw kerfs: both ends of a section, beside rips, between leaves and at the ends of strips.
    pub kerf: i128,
    /// Zones, unusable ends and the straightened edge, as far as they are not in a strip.
    pub defect: i128,
    /// Everything else: offcuts, and thickness that is planed away.
    pub offcut: i128,
    /// Strips cut.
    pub count: usize,
}

/// A clear piece left over, worth keeping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offcut {
    /// Index of the opened board in the plan.
    pub board: usize,
    /// Along the grain.
    pub length: Length,
    /// Across.
    pub width: Length,
}

/// Adds up a plan.
pub fn totals(plan: &Plan, job: &Job, boards: &[Board]) -> Totals {
    let mut sum = Totals { count: plan.strips().count(), ..Totals::default() };
    for cut in &plan.boards {
        let board = &boards[cut.board];
        let wood = board.volume();
        let strips = strip_volume(cut);
        let kerf = kerf_volume(cut, board, job).min(wood - strips);
        let defect = defect_volume(cut, board, job).min(wood - strips - kerf);
        sum.wood += wood;
        sum.strips += strips;
        sum.kerf += kerf;
        sum.defect += defect;
        sum.offcut += wood - strips - kerf - defect;
    }
    sum
}

fn wide(l: Length) -> i128 {
    i128::from(l.units())
}

fn strip_volume(cut: &CutBoard) -> i128 {
    let mut volume = 0;
    for rip in cut.sections.iter().flat_map(|s| &s.rips) {
        for leaf in &rip.leaves {
            let along: i128 = leaf.strips.iter().map(|s| wide(s.to - s.from)).sum();
            volume += along * wide(rip.far - rip.near) * wide(leaf.thickness);
        }
    }
    volume
}

fn kerf_volume(cut: &CutBoard, board: &Board, job: &Job) -> i128 {
    let shop = &job.shop;
    let mut volume = 0;
    let mut crosscuts: BTreeSet<Length> = BTreeSet::new();
    for section in &cut.sections {
        crosscuts.extend([section.from - shop.crosscut_kerf, section.to]);
    }
    let real = crosscuts.iter().filter(|&&at| at >= Length::ZERO && at < board.length).count();
    let real = i128::try_from(real).unwrap_or(0);
    volume += real * wide(shop.crosscut_kerf) * wide(board.width) * wide(board.thickness);
    for section in &cut.sections {
        volume += section_kerf(section, board, job);
    }
    volume
}

fn section_kerf(section: &Section, board: &Board, job: &Job) -> i128 {
    let shop = &job.shop;
    let long = wide(section.to - section.from);
    let (mut rips, mut volume) = (0, 0);
    let mut after = shop.edge;
    for rip in &section.rips {
        // A second cut where the rip does not begin at its neighbour's kerf.
        rips += i128::from(rip.near > after) + i128::from(rip.far < board.width);
        after = rip.far + shop.rip_kerf;
        let wide_rip = wide(rip.far - rip.near);
        let resaws = i128::try_from(rip.leaves.len()).unwrap_or(1) - 1;
        volume += resaws * wide(shop.resaw_kerf.unwrap_or_default()) * wide_rip * long;
        for leaf in &rip.leaves {
            let ends = leaf
                .strips
                .iter()
                .map(|s| i128::from(s.to < section.to) + i128::from(s.from > section.from));
            let ends: i128 = ends.sum();
            volume += ends * wide(shop.crosscut_kerf) * wide_rip * wide(leaf.thickness);
        }
    }
    volume + rips * wide(shop.rip_kerf) * long * wide(board.thickness)
}

/// Flags of a cell of the board's face.
fn defect_volume(cut: &CutBoard, board: &Board, job: &Job) -> i128 {
    let shop = &job.shop;
    let whole = (Length::ZERO, board.length, Length::ZERO, board.width);
    let mut bad = vec![
        (Length::ZERO, shop.board_end, whole.2, whole.3),
        (board.length - shop.board_end, board.length, whole.2, whole.3),
        (Length::ZERO, board.length, Length::ZERO, shop.edge),
    ];
    bad.extend(board.zones.iter().map(|z| (z.from, z.to, z.near, z.far)));
    let mut good = Vec::new();
    for section in &cut.sections {
        for rip in &section.rips {
            for strip in rip.leaves.iter().flat_map(|l| &l.strips) {
                good.push((strip.from, strip.to, rip.near, rip.far));
            }
        }
    }
    let cuts = |pick: fn(&(Length, Length, Length, Length)) -> [Length; 2], limit: Length| {
        let all: BTreeSet<Length> = bad.iter().chain(&good).flat_map(pick).collect();
        let inside = all.into_iter().filter(|&l| l >= Length::ZERO && l <= limit);
        inside.collect::<Vec<_>>()
    };
    let along = cuts(|r| [r.0, r.1], board.length);
    let across = cuts(|r| [r.2, r.3], board.width);
    let holds = |r: &(Length, Length, Length, Length), x: Length, y: Length| {
        r.0 <= x && x < r.1 && r.2 <= y && y < r.3
    };
    let mut area = 0;
    for x in along.windows(2) {
        let bad: Vec<_> = bad.iter().filter(|r| r.0 <= x[0] && x[0] < r.1).collect();
        if bad.is_empty() {
            continue;
        }
        let good: Vec<_> = good.iter().filter(|r| r.0 <= x[0] && x[0] < r.1).collect();
        for y in across.windows(2) {
            if bad.iter().any(|r| holds(r, x[0], y[0]))
                && !good.iter().any(|r| holds(r, x[0], y[0]))
            {
                area += wide(x[1] - x[0]) * wide(y[1] - y[0]);
            }
        }
    }
    area * wide(board.thickness)
}

/// Parts of a whole in tenths of a percent that add up to 1000: each rounded down, and the tenths
/// left over given to those that lost most.
pub fn shares(parts: &[i128]) -> Vec<u32> {
    let whole: i128 = parts.iter().sum();
    if whole <= 0 {
        return vec![0; parts.len()];
    }
    let mut shares: Vec<(i128, i128)> =
        parts.iter().map(|&p| (p * 1000 / whole, p * 1000 % whole)).collect();
    let given: i128 = shares.iter().map(|s| s.0).sum();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by_key(|&i| (std::cmp::Reverse(shares[i].1), i));
    for &i in order.iter().take(usize::try_from(1000 - given).unwrap_or(0)) {
        shares[i].0 += 1;
    }
    shares.into_iter().map(|s| u32::try_from(s.0).unwrap_or(0)).collect()
}

/// The longest clear piece of full width that a plan leaves on a board beyond its sections, at
/// least as long as `least`.
pub fn longest_offcut(plan: &Plan, job: &Job, boards: &[Board], least: Length) -> Option<Offcut> {
    let mut best: Option<Offcut> = None;
    for (index, cut) in plan.boards.iter().enumerate() {
        let board = &boards[cut.board];
        let mut from = job.shop.board_end;
        let mut gaps = Vec::new();
        for section in &cut.sections {
            gaps.push((from, section.from - job.shop.crosscut_kerf));
            from = section.to + job.shop.crosscut_kerf;
        }
        gaps.push((from, board.length - job.shop.board_end));
        for (from, to) in gaps {
            let mut edges = vec![from, to];
            for zone in &board.zones {
                edges.extend([zone.from, zone.to].iter().filter(|&&e| e > from && e < to));
            }
            edges.sort_unstable();
            let mut begin = from;
            for pair in edges.windows(2) {
                let marked = board.zones.iter().any(|z| z.from < pair[1] && z.to > pair[0]);
                if marked {
                    begin = pair[1];
                    continue;
                }
                let length = pair[1] - begin;
                if length >= least && best.as_ref().is_none_or(|b| length > b.length) {
                    best = Some(Offcut { board: index, length, width: board.width });
                }
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::shares;

    #[test]
    fn shares_add_up() {
        assert_eq!(shares(&[1, 1, 1]), vec![334, 333, 333]);
        assert_eq!(shares(&[2, 0, 1]), vec![667, 0, 333]);
        assert_eq!(shares(&[0, 0]), vec![0, 0]);
    }
}
