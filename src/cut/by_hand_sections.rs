//! Where sections of bent boards begin and end, on boards so small that what they give can be
//! reasoned out: a beginning or an end that is left out loses strips, and a bound with them.
//!
//! All boards are 40 mm long and 5 mm thick, nearly all with a bow of 16 mm: flattened, a section of length ℓ
//! loses ℓ²/100 mm of the thickness. No strip may be bent through its depth, so none comes from a
//! section that keeps its face. Kerfs are 1 mm.

use crate::cut::BoardCuts;
use crate::cut::ranges::Places;
use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Job, strip_kinds};
use crate::read::{List, boards_text, job_text};
use crate::stop::Stop;
use std::fmt::Write;

/// A strip's thickness (across the board), depth and length in millimetres; whether it takes sap.
pub(super) type Strip = (&'static str, &'static str, &'static str, bool);

#[derive(Clone, Copy)]
pub(super) struct Bent {
    pub(super) width: &'static str,
    pub(super) crook: Length,
    pub(super) bow: Length,
    /// Lines of zones: kind, from, to, near, far.
    pub(super) zones: &'static [&'static str],
    pub(super) strips: &'static [Strip],
    /// As many of each strip, those that a longer one serves for counted in.
    pub(super) wanted: &'static [u32],
    /// More of the shop.
    pub(super) shop: &'static str,
    pub(super) rip_kerf: u32,
    /// The steepest depthwise bend of a strip in a flipped pair.
    pub(super) pair: u32,
    /// The least ring angle of all strips, and where the board's pith lies: across, depth.
    pub(super) rings: u32,
    pub(super) pith: &'static str,
}

pub(super) const BENT: Bent = Bent {
    width: "1",
    crook: Length::ZERO,
    bow: Length::from_units(16 * Length::MM.units()),
    zones: &[],
    strips: &[],
    wanted: &[9, 9],
    shop: "",
    rip_kerf: 1,
    pair: 0,
    rings: 0,
    pith: ",",
};

impl Bent {
    pub(super) fn job(&self) -> Job {
        let mut toml = format!(
            "units = \"mm\"\n[shop]\nrip_kerf = {}\ncrosscut_kerf = 1\nedge = 0\n\
             board_end = 0\ndress = 0\nplane = 0\nstraight = 0\npair = {}\n{}",
            self.rip_kerf, self.pair, self.shop
        );
        for (n, (thickness, depth, length, sap)) in self.strips.iter().enumerate() {
            let allow = if *sap { "\"sap\"" } else { "" };
            write!(
                toml,
                "[[paddle]]\nname = \"p{n}\"\nlength = {length}\nloom = \"0.5\"\n\
                 thickness = {depth}\ntrim = 0\nrings = {}\n[[paddle.lamination]]\n\
                 name = \"strip\"\nthickness = {thickness}\nruns = \"through\"\nallow = [{allow}]\n",
                self.rings
            )
            .unwrap();
        }
        job_text("p", &toml).unwrap()
    }

    pub(super) fn board(&self) -> Board {
        let mut csv = format!(
            "board,species,length,width,thickness,pith_across,pith_depth,zone,from,to,near,far\n\
             b,fir,40,{},5,{},,,,,\n",
            self.width, self.pith
        );
        self.zones.iter().for_each(|zone| writeln!(csv, "b,,,,,,,{zone}").unwrap());
        let board = boards_text("b", &csv, Units::Mm, List::OnHand).unwrap().remove(0);
        Board { crook: self.crook, bow: self.bow, ..board }
    }

    pub(super) fn cuts(&self, places: &Places) -> (BoardCuts, Vec<u32>, Vec<usize>) {
        let (job, board) = (self.job(), self.board());
        let kinds = strip_kinds(&job);
        // For each kind the strip that it comes from.
        let of: Vec<usize> = kinds.iter().map(|kind| kind.lines[0].0).collect();
        let wanted: Vec<u32> = of.iter().map(|&strip| self.wanted[strip]).collect();
        let stop = Stop::default();
        let cuts =
            BoardCuts::at_places_until_stopped(&board, &job.shop, &kinds, &wanted, places, &stop);
        (cuts, wanted, of)
    }

    /// All ways, by strip, the best for the first strips first.
    pub(super) fn ways(&self) -> Vec<Vec<u32>> {
        self.ways_at(&Places::default())
    }

    pub(super) fn ways_at(&self, places: &Places) -> Vec<Vec<u32>> {
        let (cuts, wanted, of) = self.cuts(places);
        assert!(cuts.complete);
        Self::by_strip(cuts.list(&wanted, &[], u64::MAX).unwrap(), &of)
    }

    /// Ways by strip, the best for the first strips first.
    pub(super) fn by_strip(listed: Vec<Vec<u32>>, of: &[usize]) -> Vec<Vec<u32>> {
        let by_strip = |way: Vec<u32>| {
            let mut counts = vec![0; of.len()];
            of.iter().zip(way).for_each(|(&strip, n)| counts[strip] = n);
            counts
        };
        let mut ways: Vec<Vec<u32>> = listed.into_iter().map(by_strip).collect();
        ways.sort_unstable_by(|a, b| b.cmp(a));
        ways
    }
}

/// 5 − 8²/100 = 4.36: a strip as deep as that takes a section of at most 8. One strip is to lie from
/// 9 to 13 in the far rip; one in the near rip between 4.9 and 9.5, too near it to lie in a section
/// of its own. The section of both ends at 13, so it begins from 5 on, and at 5.5 at the latest: there
/// the near strip just ends at the knot. Only 5.5 is where strips pushed to the far end begin.
#[test]
fn a_flattened_section_begins_where_a_strip_just_ends_at_a_knot() {
    let both = Bent {
        width: "3",
        zones: &["knot,0,4.9,0,1.5", "knot,9.5,39.7,0,1.5", "knot,0,9,1.5,3", "knot,13,39.7,1.5,3"],
        strips: &[("1", "\"4.36\"", "4", false)],
        shop: "far_edge = 0\nmin_rip = 4\n",
        ..BENT
    };
    assert_eq!(both.ways(), [[2]]);
    // Deeper ones take one of at most 7.42: from 5.58 on.
    let deeper = Bent { strips: &[("1", "\"4.45\"", "4", false)], ..both };
    assert_eq!(deeper.ways(), [[1]]);
}

/// No section is shorter than 8, and none of deep strips longer. One strip can only lie from 24 to 28,
/// another from 36 to 40. The section of the latter is from 32 to 40; so that of the former ends at
/// 31 at the latest, and begins from 20 to 23.
#[test]
fn a_flattened_section_begins_where_it_is_just_long_enough_before_its_neighbour() {
    let two = Bent {
        zones: &["knot,0,24,0,1", "knot,28,36,0,1"],
        strips: &[("1", "\"4.36\"", "4", false)],
        shop: "far_edge = 0\nmin_rip = 8\n",
        ..BENT
    };
    assert_eq!(two.ways(), [[2]]);
    // No room for it where the former lies from 33 − 8 on.
    let near = Bent { zones: &["knot,0,28,0,1", "knot,32,36,0,1"], ..two };
    assert_eq!(near.ways(), [[1]]);
}

/// 5 − 10²/100 = 4: a section of 10 just has a deep strip, one of 14 of shallow ones doesn't. Deep
/// strips find room without sap from 0 to 10 and from 20 to 30 only. Nothing that follows tells
/// ends at 10 and at 14 apart.
#[test]
fn ends_of_flattened_sections_are_told_apart_where_the_thickness_changes() {
    let deep = Bent {
        zones: &["sap,10,20,0,1", "sap,30,40,0,1"],
        strips: &[("1", "4", "10", false), ("1", "1", "14", true)],
        shop: "far_edge = 0\nmin_rip = 4\n",
        ..BENT
    };
    // Beside two deep ones there is no room for a shallow one; beside the first there is for two,
    // from 11 to 25 and from 26 to 40.
    assert_eq!(deep.ways(), [[2, 0], [1, 2]]);
}

/// Of two lengths of one depth the longer one is in the way of none: a section of 10 has its strip,
/// one of 14 has none.
#[test]
fn a_shorter_strip_is_not_left_out_for_a_longer_one_that_makes_the_section_too_thin() {
    let lengths = Bent {
        strips: &[("1", "4", "10", false), ("1", "4", "14", false)],
        wanted: &[18, 9],
        shop: "far_edge = 0\nmin_rip = 4\n",
        ..BENT
    };
    assert_eq!(lengths.ways(), [[3, 0]]);
}

/// Straight-lined sections may lie anywhere, so a crooked board with a zone may give more than is
/// listed; without one, no.
#[test]
fn a_board_may_give_more_where_a_zone_stands_in_the_way_of_straight_lined_sections() {
    let straight = Bent {
        width: "3",
        strips: &[("1", "4", "10", false)],
        shop: "far_edge = 0\nmin_rip = 4\ncurve_kerf = 1\npull = 3\n",
        ..BENT
    };
    let zone: &[&str] = &["knot,20,21,0,1"];
    let crook = Length::MM;
    let more = |bent: Bent| bent.cuts(&Places::default()).0.may_give_more();
    assert!(!more(Bent { crook, ..straight }));
    assert!(more(Bent { crook, zones: zone, ..straight }));
    assert!(!more(Bent { zones: zone, ..straight }));
    // No strip of it fits into the board.
    assert!(!more(Bent { crook, zones: zone, strips: &[("1", "4", "41", false)], ..straight }));
}

/// Three narrow strips fit side by side into 5, or two wide ones, or one of each: no prices make the
/// latter the best, so that it is not met by prices. The third kind doesn't fit at all.
#[test]
fn a_way_that_no_prices_find_is_never_called_impossible() {
    let strips: &[Strip] =
        &[("1", "5", "30", false), ("2", "5", "30", false), ("1", "5", "41", true)];
    let bow = Length::ZERO;
    let flat = Bent {
        width: "5",
        bow,
        strips,
        wanted: &[9, 9, 9],
        shop: "far_edge = 0\nmin_rip = 4\n",
        ..BENT
    };
    assert_eq!(flat.ways(), [[3, 0, 0], [1, 1, 0], [0, 2, 0]]);
    let (cuts, _, of) = flat.cuts(&Places::default());
    let decide = |strips: [u32; 3], effort| {
        let needed: Vec<u32> = of.iter().map(|&strip| strips[strip]).collect();
        cuts.decide(&needed, effort).map(|cut| cut.is_some())
    };
    for effort in 0..1_000 {
        assert_ne!(decide([1, 1, 0], effort), Some(false), "{effort}");
        assert_ne!(decide([2, 1, 0], effort), Some(true), "{effort}");
        // A kind that no section has needs no search.
        assert_eq!(decide([1, 1, 1], effort), Some(false), "{effort}");
    }
    assert_eq!(decide([1, 1, 0], 1 << 40), Some(true));
    assert_eq!(decide([2, 1, 0], 1 << 40), Some(false));
}

/// Of a width of 5 the far edge takes 2: room for two narrow strips beside each other, not for three.
#[test]
fn no_rip_lies_in_the_far_edge() {
    let flat = Bent { width: "5", bow: Length::ZERO, strips: &[("1", "5", "30", false)], ..BENT };
    let ways = |shop| Bent { shop, ..flat }.ways();
    assert_eq!(ways("far_edge = 0\nmin_rip = 4\n"), [[3]]);
    assert_eq!(ways("far_edge = 2\nmin_rip = 4\n"), [[2]]);
}

/// A crooked board 4 wide: straight-lined, a section of 30 loses 30²/40² · 0.4 = 0.225 of it and has
/// two strips with 1 between them. Where rips follow the curve, 3 lie between two.
#[test]
fn rips_of_straight_lined_sections_follow_no_curve() {
    let crooked = Bent {
        width: "4",
        crook: Length::from_units(2 * Length::MM.units() / 5),
        bow: Length::ZERO,
        strips: &[("1", "5", "30", false)],
        shop: "far_edge = 0\nmin_rip = 4\ncurve_kerf = 3\npull = 3\n",
        ..BENT
    };
    assert_eq!(crooked.ways(), [[2]]);
    assert_eq!(crooked.ways_at(&Places::everywhere()), [[2]]);
}
