//! Sections that are no longer than what they hold needs (MODEL 6).
//!
//! A straight-lined section loses the more of a board's width the longer it is. Layouts are chosen
//! for few saw cuts, and for strips that may be longer than what is made of them in the end, so a
//! section may reach beyond its first or its last strip. Places in a straight-lined one are from its
//! chord: with another end everything in it lies elsewhere, and zones are lifted otherwise. So its
//! strips are laid anew, in the order in which they lie: rips keep their sizes and leaves, leaves
//! their strips. For a given beginning and end that is exact: each rip as near to the reference
//! edge, and each strip as near to the marked end, as what comes before it lets it be.
//!
//! Beginnings are those that flattened sections have (`sections.rs`, `starts.rs`): after the
//! neighbour, beside zones, and where a row of strips ends at a zone's near side or level with
//! another row. Since lifts change with every step another place might do still better.

use crate::cut::across::Across;
use crate::cut::layout::{LaidLeaf, LaidRip, LaidSection};
use crate::cut::serve::{Item, Obstacle, serve};
use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Shop, StripKind};
use crate::plan::Edge;
use std::collections::BTreeSet;

/// Looks at an obstacle under a strip or rip that laying one section anew may take: some
/// milliseconds. A section of twenty strips among a few zones takes a hundredth of that.
const LOOKS: u64 = 1_000_000;
/// Beginnings beyond those after the neighbour and beside zones, at most.
const BEGINNINGS: usize = 200;

/// Makes the straight-lined sections of a board that is laid out as short as what they hold lets
/// them be, and moves what follows up to them. Whatever can't be made better stays as it is.
pub fn shorten(
    (board, shop, kinds): (&Board, &Shop, &[StripKind]),
    items: &[Item],
    sections: &mut [LaidSection],
) {
    if board.crook == Length::ZERO || sections.iter().all(|s| s.edge == Edge::Kept) {
        return;
    }
    let shop = shop.at(board);
    let mut wanted = vec![0; kinds.len()];
    items.iter().for_each(|i| wanted[i.kind] = 1);
    let obstacles = serve(board, &shop, kinds, &wanted).obstacles;
    let mut again = Again { board, shop: &shop, items, obstacles: &obstacles, looks: 0 };
    let (mut free, mut moved) = (shop.usable(board).0, false);
    for section in sections {
        if strips(section).next().is_none() {
            continue;
        }
        again.looks = LOOKS;
        let better = match section.edge {
            Edge::Lined => again.shortest(section, free),
            Edge::Kept if moved => again.moved_up(section, free),
            Edge::Kept => None,
        };
        if let Some(better) = better {
            (*section, moved) = (better, true);
        }
        free = section.to + shop.crosscut_kerf;
    }
}

/// The leaves of a section that hold strips.
fn leaves(section: &LaidSection) -> impl Iterator<Item = &LaidLeaf> {
    section.rips.iter().flat_map(|r| &r.leaves).filter(|l| !l.strips.is_empty())
}

fn strips(section: &LaidSection) -> impl Iterator<Item = &(usize, Length, Length)> {
    leaves(section).flat_map(|l| &l.strips)
}

/// Lays sections anew.
struct Again<'a> {
    board: &'a Board,
    /// With the board's own allowances.
    shop: &'a Shop,
    items: &'a [Item],
    obstacles: &'a [Obstacle],
    /// Looks left.
    looks: u64,
}

/// An obstacle as a section meets it, across.
struct Met<'a> {
    obstacle: &'a Obstacle,
    near: Length,
    far: Length,
}

impl Again<'_> {
    /// The shortest section that begins at `free` or beyond, and ends no later than this one; of
    /// equal ones the first.
    fn shortest(&mut self, section: &LaidSection, free: Length) -> Option<LaidSection> {
        let length = section.to - section.from;
        let mut best: Option<LaidSection> = None;
        for start in self.beginnings(section, free) {
            let than = best.as_ref().map_or(length, |b| b.to - b.from);
            let as_short = best.is_none() && start < section.from;
            let last = if as_short { start + than } else { start + than - Length::from_units(1) };
            best = self.first(section, start, last.min(section.to)).or(best);
        }
        best
    }

    /// The section from `free` on, if it ends earlier than this one and is no longer.
    fn moved_up(&mut self, section: &LaidSection, free: Length) -> Option<LaidSection> {
        let last = free + (section.to - section.from);
        self.first(section, free, last).filter(|s| s.to < section.to)
    }

    /// Where it may begin, ascending.
    fn beginnings(&self, section: &LaidSection, free: Length) -> Vec<Length> {
        let within = |&at: &Length| at > free && at < section.to;
        let behind: BTreeSet<Length> = self.obstacles.iter().map(|o| o.to).filter(within).collect();
        // Its own end is that of a row, mostly.
        let ended = |&at: &Length| at > free && at <= section.to;
        let before = self.obstacles.iter().map(|o| o.from).filter(ended);
        let mut ends: BTreeSet<Length> = before.collect();
        let rows: BTreeSet<Vec<Length>> = leaves(section).map(lengths).collect();
        let kerf = self.shop.crosscut_kerf;
        // What the last strips of a row take, and the first ones.
        let row = |strips: &[Length]| strips.iter().map(|&l| l + kerf).sum::<Length>() - kerf;
        for strips in &rows {
            for from in 0..strips.len() {
                ends.extend(behind.iter().map(|&at| at + row(&strips[from..])).filter(ended));
            }
        }
        let mut beginnings: BTreeSet<Length> = behind;
        beginnings.extend([free, section.from]);
        let mut firsts: BTreeSet<Length> =
            rows.iter().flat_map(|r| (1..=r.len()).map(|n| row(&r[..n]))).collect();
        firsts.insert(self.shop.min_rip);
        let level = ends.iter().flat_map(|&end| firsts.iter().map(move |&first| end - first));
        beginnings.extend(level.filter(within).take(BEGINNINGS));
        beginnings.into_iter().collect()
    }

    /// The shortest section from `start` on that ends no later than `last`.
    fn first(&mut self, section: &LaidSection, start: Length, last: Length) -> Option<LaidSection> {
        let mut least = start + self.shop.min_rip;
        let mut ends = BTreeSet::from([least]);
        for row in leaves(section).map(lengths).collect::<BTreeSet<_>>() {
            let of_row = self.ends(&row, start, last);
            least = least.max(*of_row.first()?);
            ends.extend(of_row);
        }
        ends.range(least..).take_while(|&&e| e <= last).find_map(|&e| self.lay(section, start, e))
    }

    /// Where a row of strips can end, as far as `last`.
    fn ends(&self, row: &[Length], start: Length, last: Length) -> BTreeSet<Length> {
        let kerf = self.shop.crosscut_kerf;
        let mut begins = BTreeSet::from([start]);
        let mut ends = BTreeSet::new();
        for &length in row {
            let Some(&first) = begins.first() else { return BTreeSet::new() };
            begins.extend(self.obstacles.iter().map(|o| o.to).filter(|&to| to > first));
            ends = begins.iter().map(|&b| b + length).filter(|&e| e <= last).collect();
            begins = ends.iter().map(|&e| e + kerf).collect();
        }
        ends
    }

    /// What the section holds laid from `start` to `end`, if it fits.
    fn lay(&mut self, section: &LaidSection, start: Length, end: Length) -> Option<LaidSection> {
        let crook = self.board.crook();
        let lined = section.edge == Edge::Lined;
        let Across { mut near, far, kerf, .. } = match lined {
            true => Across::lined(self.board, self.shop, end - start),
            false => Across::kept(self.board, self.shop),
        };
        let met: Vec<Met<'_>> = self
            .obstacles
            .iter()
            .filter_map(|obstacle| {
                let (from, to) = (obstacle.from.max(start), obstacle.to.min(end));
                let lifts = match lined {
                    _ if from >= to => return None,
                    true => crook.lifts(from, to, start, end),
                    false => (Length::ZERO, Length::ZERO),
                };
                let (near, far) = (obstacle.near + lifts.0, obstacle.far + lifts.1);
                (near < far).then_some(Met { obstacle, near, far })
            })
            .collect();
        let mut laid = LaidSection { from: start, to: end, ..section.clone() };
        for rip in &mut laid.rips {
            if rip.leaves.iter().all(|l| l.strips.is_empty()) {
                continue;
            }
            self.lay_rip(rip, (near, far), (start, end), &met)?;
            near = rip.far + kerf;
        }
        Some(laid)
    }

    /// Lays a rip as near as it can lie within `near..far`.
    fn lay_rip(
        &mut self,
        rip: &mut LaidRip,
        (mut near, far): (Length, Length),
        ends: (Length, Length),
        met: &[Met<'_>],
    ) -> Option<()> {
        let width = rip.far - rip.near;
        while near + width <= far {
            let under: Vec<&Met<'_>> =
                met.iter().filter(|m| m.near < near + width && m.far > near).collect();
            self.looks = self.looks.checked_sub(1 + met.len() as u64)?;
            let turned = rip.turned;
            let mut rows = Vec::with_capacity(rip.leaves.len());
            for leaf in &rip.leaves {
                rows.push(self.lay_leaf(leaf, turned, ends, &under));
            }
            if let Some(rows) = rows.into_iter().collect::<Option<Vec<_>>>() {
                (rip.near, rip.far) = (near, near + width);
                for (leaf, row) in rip.leaves.iter_mut().zip(rows) {
                    leaf.strips = row;
                }
                return Some(());
            }
            // Nearer than that the same would lie under it, or more.
            near = under.iter().map(|m| m.far).min()?;
        }
        None
    }

    /// Lays a leaf's strips as near to the marked end as they can lie.
    fn lay_leaf(
        &mut self,
        leaf: &LaidLeaf,
        turned: bool,
        (start, end): (Length, Length),
        under: &[&Met<'_>],
    ) -> Option<Vec<(usize, Length, Length)>> {
        let mut row = Vec::with_capacity(leaf.strips.len());
        let mut at = start;
        for &(item, from, to) in &leaf.strips {
            let (length, kind) = (to - from, self.items[item].kind);
            loop {
                self.looks = self.looks.checked_sub(1 + under.len() as u64)?;
                let bars = |o: &Obstacle| {
                    o.from < at + length && o.to > at && o.bars(turned).contains(&kind)
                };
                let beyond = under.iter().map(|m| m.obstacle).filter(|o| bars(o)).map(|o| o.to);
                let Some(beyond) = beyond.max() else { break };
                at = beyond;
            }
            if at + length > end {
                return None;
            }
            row.push((item, at, at + length));
            at = at + length + self.shop.crosscut_kerf;
        }
        Some(row)
    }
}

/// How long a leaf's strips are, one after another.
fn lengths(leaf: &LaidLeaf) -> Vec<Length> {
    leaf.strips.iter().map(|&(_, from, to)| to - from).collect()
}

#[cfg(test)]
mod tests {
    use crate::cut::layout::{LaidLeaf, LaidRip, LaidSection};
    use crate::cut::serve::{Item, Standing};
    use crate::cut::shorten::shorten;
    use crate::length::{Length, Units};
    use crate::lumber::Board;
    use crate::paddle::strip_kinds;
    use crate::plan::{Edge, Face};
    use crate::read::{List, boards_text, job_text};

    /// 100 mm with a hollow edge of 10 mm, so that a straight-lined section of ℓ loses ℓ²/1000 mm.
    fn board(zones: &str) -> Board {
        let csv = format!(
            "board,species,length,width,thickness,crook,zone,from,to,near,far\n\
             b,fir,100,20,5,10,,,,,\n{zones}"
        );
        boards_text("b", &csv, Units::Mm, List::OnHand).unwrap().remove(0)
    }

    /// A section with one rip of 4 mm and one leaf that holds a strip from each of these places to
    /// its end.
    fn section((from, to): (i64, i64), edge: Edge, strips: &[(i64, i64)]) -> LaidSection {
        let mm = |n: i64| Length::MM * n;
        let strips = strips.iter().map(|&(from, to)| (0, mm(from), mm(to))).collect();
        let leaf = LaidLeaf { alone: mm(5), resawn: mm(5), strips };
        let rip = LaidRip { near: mm(10), far: mm(14), turned: false, leaves: vec![leaf] };
        LaidSection { from: mm(from), to: mm(to), edge, face: Face::Kept, rips: vec![rip] }
    }

    /// Beginning and end of each section, where its rip begins, and where its strips do, in tenths
    /// of a millimetre.
    fn shortened(board: &Board, sections: Vec<LaidSection>) -> Vec<(i64, i64, i64, Vec<i64>)> {
        shortened_of(board, sections, "rings = 0", "")
    }

    /// The same of a paddle and a lamination with these lines. Item 1 is of a lamination without.
    fn shortened_of(
        board: &Board,
        mut sections: Vec<LaidSection>,
        paddle: &str,
        lamination: &str,
    ) -> Vec<(i64, i64, i64, Vec<i64>)> {
        let job = format!(
            "units = \"mm\"\n[shop]\ncrosscut_kerf = 1\nrip_kerf = 1\ncurve_kerf = 1\nedge = 0\n\
             far_edge = 0\nboard_end = 2\nmin_rip = 10\ndress = 0\nplane = 0\n[[paddle]]\n\
             name = \"p\"\nlength = 30\nloom = 1\nthickness = 5\ntrim = 0\n{paddle}\n\
             [[paddle.lamination]]\nname = \"side\"\nthickness = 4\nruns = \"through\"\n{lamination}\n\
             [[paddle.lamination]]\nname = \"other\"\nthickness = 3\nruns = \"through\"\n"
        );
        let job = job_text("p", &job).unwrap();
        let kinds = strip_kinds(&job);
        let of = |thickness: i64| {
            let kind = kinds.iter().position(|k| k.thickness == Length::MM * thickness).unwrap();
            Item { kind, standing: Standing::Free }
        };
        let items = [of(4), of(3)];
        shorten((board, &job.shop, &kinds), &items, &mut sections);
        let tenths = |l: Length| l.units() * 10 / Length::MM.units();
        let row = |s: &LaidSection| {
            s.rips[0].leaves[0].strips.iter().map(|&(_, from, _)| tenths(from)).collect()
        };
        let of = |s: &LaidSection| (tenths(s.from), tenths(s.to), tenths(s.rips[0].near), row(s));
        sections.iter().map(of).collect()
    }

    #[test]
    fn a_section_ends_with_its_last_strip_and_what_follows_moves_up() {
        let sections = vec![
            section((2, 50), Edge::Lined, &[(2, 32)]),
            section((51, 91), Edge::Lined, &[(51, 91)]),
        ];
        // 30² and 40² over 1000.
        let short = vec![(20, 320, 9, vec![20]), (330, 730, 16, vec![330])];
        assert_eq!(shortened(&board(""), sections), short);
        let kept = vec![
            section((2, 50), Edge::Lined, &[(2, 32)]),
            section((51, 91), Edge::Kept, &[(51, 81)]),
        ];
        let short = vec![(20, 320, 9, vec![20]), (330, 630, 0, vec![330])];
        assert_eq!(shortened(&board(""), kept), short);
    }

    #[test]
    fn a_board_without_a_straight_lined_section_stays_as_it_is() {
        let sections = vec![section((12, 50), Edge::Kept, &[(14, 44)])];
        assert_eq!(shortened(&board(""), sections), [(120, 500, 100, vec![140])]);
    }

    #[test]
    fn strips_stay_clear_of_zones_lifted_by_the_shorter_section() {
        // Behind the first zone; the other bars the rip from its first place. Its greatest lift is
        // midway, 10·4/100²·15·15 = 0.9 mm, so that it reaches to 2.9 mm.
        let board = board("b,,,,,,knot,4,9,0,20\nb,,,,,,knot,20,30,0,2\n");
        let sections = vec![section((2, 50), Edge::Lined, &[(9, 39)])];
        assert_eq!(shortened(&board, sections), [(90, 390, 29, vec![90])]);
    }

    #[test]
    fn the_shortest_section_is_as_long_as_the_saw_takes() {
        let sections = vec![section((2, 50), Edge::Lined, &[(40, 45)])];
        assert_eq!(shortened(&board(""), sections), [(20, 120, 1, vec![20])]);
    }

    #[test]
    fn a_section_begins_where_a_row_that_ends_at_a_zone_does() {
        // The first rip's strip ends before one knot, the second's begins behind the other.
        let board = board("b,,,,,,knot,45,98,0,11\nb,,,,,,knot,2,50,9,20\n");
        let mut lined = section((2, 90), Edge::Lined, &[(2, 32)]);
        lined.rips.extend(section((2, 90), Edge::Lined, &[(50, 80)]).rips);
        // 65² over 1000.
        assert_eq!(shortened(&board, vec![lined]), [(150, 800, 42, vec![150])]);
    }

    #[test]
    fn strips_of_a_leaf_stay_a_kerf_apart() {
        let sections = vec![section((2, 70), Edge::Lined, &[(2, 32), (40, 70)])];
        // 61² over 1000.
        assert_eq!(shortened(&board(""), sections), [(20, 630, 37, vec![20, 330])]);
    }

    /// What is as short as it can be, or without strips, or keeps the edge and has nothing before it
    /// that moved, stays where it is laid.
    #[test]
    fn what_can_not_be_better_stays_as_it_is() {
        let sections = vec![
            section((2, 32), Edge::Lined, &[(2, 32)]),
            section((40, 80), Edge::Kept, &[(45, 75)]),
        ];
        let as_it_is = [(20, 320, 100, vec![20]), (400, 800, 100, vec![450])];
        assert_eq!(shortened(&board(""), sections), as_it_is);
        let sections = vec![
            section((12, 50), Edge::Kept, &[(14, 44)]),
            section((51, 81), Edge::Lined, &[(51, 81)]),
        ];
        let as_it_is = [(120, 500, 100, vec![140]), (510, 810, 100, vec![510])];
        assert_eq!(shortened(&board(""), sections), as_it_is);
        let sections = vec![section((2, 50), Edge::Lined, &[])];
        assert_eq!(shortened(&board(""), sections), [(20, 500, 100, vec![])]);
    }

    /// A section that keeps the edge moves up only where it ends earlier and is no longer: its face
    /// may be flattened, and a longer one loses more.
    #[test]
    fn what_follows_moves_up_no_longer_than_it_was() {
        let knot = board("b,,,,,,knot,40,50,0,20\n");
        let sections = vec![
            section((2, 39), Edge::Lined, &[(2, 32)]),
            section((51, 81), Edge::Kept, &[(51, 81)]),
        ];
        let short = [(20, 320, 9, vec![20]), (510, 810, 100, vec![510])];
        assert_eq!(shortened(&knot, sections), short);
        // Shorter by its beginning alone: what follows can't end earlier.
        let knot = board("b,,,,,,knot,2,11,0,20\n");
        let sections = vec![
            section((2, 41), Edge::Lined, &[(11, 41)]),
            section((42, 72), Edge::Kept, &[(42, 72)]),
        ];
        let short = [(110, 410, 9, vec![110]), (420, 720, 100, vec![420])];
        assert_eq!(shortened(&knot, sections), short);
    }

    #[test]
    fn no_section_ends_later_than_it_did() {
        // The shortest that the saw takes would end at 51 behind the knot, which is in no one's way.
        let knot = board("b,,,,,,knot,39,41,19,20\n");
        let sections = vec![section((2, 50), Edge::Lined, &[(40, 45)])];
        assert_eq!(shortened(&knot, sections), [(20, 120, 1, vec![20])]);
        // Behind the knot the shortest would end at 70.
        let knot = board("b,,,,,,knot,2,60,0,20\n");
        let sections = vec![section((2, 66), Edge::Lined, &[(60, 65)])];
        assert_eq!(shortened(&knot, sections), [(550, 650, 1, vec![600])]);
    }

    #[test]
    fn a_section_begins_level_with_a_row_that_begins_behind_a_zone() {
        // 20 mm behind the knot end at 70; 30 mm beside it may then begin at 40, not behind it.
        let knot = board("b,,,,,,knot,2,50,9,20\n");
        let mut lined = section((2, 70), Edge::Lined, &[(2, 32)]);
        lined.rips.extend(section((2, 70), Edge::Lined, &[(50, 70)]).rips);
        assert_eq!(shortened(&knot, vec![lined]), [(400, 700, 9, vec![400])]);
    }

    #[test]
    fn each_strip_keeps_clear_of_what_its_own_lamination_does_not_allow() {
        let sap = board("b,,,,,,sap,2,12,0,20\n");
        let allowed = |item: usize| {
            let mut lined = section((2, 50), Edge::Lined, &[(12, 42)]);
            lined.rips[0].leaves[0].strips[0].0 = item;
            // The other one counts as wanted too.
            shortened_of(&sap, vec![lined], "rings = 0", "allow = [\"sap\"]")
        };
        assert_eq!(allowed(0), [(20, 320, 9, vec![20])]);
        assert_eq!(allowed(1), [(120, 420, 9, vec![120])]);
    }

    /// With the pith 1 mm above a face of 5 mm, upright strips stay 6 mm off it, turned ones within
    /// 1 mm (MODEL 5). Over 30 mm the bands rise by 0.9 mm at most.
    #[test]
    fn upright_strips_keep_clear_of_what_bars_upright_ones() {
        let csv = "board,species,length,width,thickness,crook,pith_across,pith_depth\n\
                   b,fir,100,30,5,10,10,-1\n";
        let board = boards_text("b", csv, Units::Mm, List::OnHand).unwrap().remove(0);
        let sections = vec![section((2, 50), Edge::Lined, &[(9, 39)])];
        let short = shortened_of(&board, sections, "rings = 45", "");
        assert_eq!(short, [(20, 320, 169, vec![20])]);
    }
}
