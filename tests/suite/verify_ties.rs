//! On the line and one unit of 12.5 nm beyond it: what `verify` lets through in sections that are
//! straight-lined or flattened, and at the limits of sizes and bends. Every figure is worked out by
//! hand from MODEL 3 to 6.

use stripwright::length::{Length, Units};
use stripwright::lumber::{Angle, Board, Slope, Species};
use stripwright::paddle::{Job, Lamination, Paddle, Runs, Shop};
use stripwright::plan::*;
use stripwright::verify::{Rule, verify};

pub const UNIT: Length = Length::from_units(1);
pub const NO: Length = Length::ZERO;

pub fn inch(top: i64, bottom: i64) -> Length {
    Length::inch_fraction(top, bottom)
}

/// One board of 32 in, cut in one section into one strip; paddles are counted as none, so nothing
/// is missing.
#[derive(Clone)]
pub struct Case {
    pub job: Job,
    pub boards: Vec<Board>,
    pub plan: Plan,
}

impl Case {
    /// The whole board is the section, and the strip as long: 1/4 by 1 in, upright or turned.
    pub fn new(turned: bool) -> Case {
        let lamination = Lamination {
            name: "side".into(),
            thickness: inch(1, 4),
            runs: Runs::Through,
            centre: false,
            species: Vec::new(),
            allow: Vec::new(),
            spares: 0,
        };
        let paddle = Paddle {
            name: "short".into(),
            quantity: 1,
            length: inch(32, 1),
            loom: inch(10, 1),
            thickness: inch(1, 1),
            trim: NO,
            rings: Angle::FLAT,
            runout: None,
            laminations: vec![lamination],
        };
        let shop = Shop {
            dress: NO,
            curve_dress: NO,
            resaw_dress: NO,
            plane: NO,
            board_end: NO,
            edge: NO,
            far_edge: NO,
            min_rip: inch(1, 1),
            curve_kerf: Some(inch(1, 8)),
            resaw_kerf: Some(inch(1, 16)),
            straight: inch(4, 1),
            pair: inch(4, 1),
            pull: inch(4, 1),
            ..Shop::default()
        };
        let job = Job { strips: Vec::new(), units: Units::Inch, shop, paddles: vec![paddle] };
        let board = Board::plain("B", Species::new("fir"), [inch(32, 1), inch(40, 1), inch(1, 1)]);
        let strip = Strip {
            id: "s".into(),
            paddle: 0,
            lamination: 0,
            from: NO,
            to: inch(32, 1),
            flipped_with: None,
        };
        let (width, thickness) =
            if turned { (inch(1, 1), inch(1, 4)) } else { (inch(1, 4), inch(1, 1)) };
        let leaves = vec![Leaf { thickness, strips: vec![strip] }];
        let rip = Rip { near: NO, far: width, turned, leaves };
        let section = Section {
            from: NO,
            to: inch(32, 1),
            edge: Edge::Kept,
            face: Face::Kept,
            rips: vec![rip],
        };
        let cut = CutBoard { board: 0, copy: 1, sections: vec![section] };
        let plan = Plan {
            in_hand: Vec::new(),
            cost: Cost { measure: Measure::BoardFeet, parts: board.volume() },
            proof: Proof::AtLeast(0),
            most: None,
            paddles: vec![0],
            boards: vec![cut],
        };
        Case { job, boards: vec![board], plan }
    }

    pub fn board(&mut self) -> &mut Board {
        &mut self.boards[0]
    }

    pub fn section(&mut self) -> &mut Section {
        &mut self.plan.boards[0].sections[0]
    }

    pub fn rip(&mut self) -> &mut Rip {
        &mut self.section().rips[0]
    }

    pub fn strip(&mut self) -> &mut Strip {
        &mut self.rip().leaves[0].strips[0]
    }

    /// A straight line along the whole board, whose crook this is.
    pub fn lined(mut self, crook: Length) -> Case {
        self.board().crook = crook;
        self.section().edge = Edge::Lined;
        self
    }

    pub fn rules(mut self) -> Vec<Rule> {
        self.plan.cost.parts = self.board().volume();
        match verify(self.plan, &self.job, &self.boards) {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(|f| f.rule).collect(),
        }
    }

    /// The rules broken with the rip moved so that its near side lies there.
    pub fn near(&self, near: Length) -> Vec<Rule> {
        let mut case = self.clone();
        let width = case.rip().far - case.rip().near;
        (case.rip().near, case.rip().far) = (near, near + width);
        case.rules()
    }

    /// The same by its far side.
    pub fn far(&self, far: Length) -> Vec<Rule> {
        let rip = &self.plan.boards[0].sections[0].rips[0];
        self.near(far - (rip.far - rip.near))
    }

    /// The rip may begin there, but not a unit before.
    pub fn begins(&self, near: Length, rule: Rule) {
        assert_eq!(self.near(near), [], "at {near:?}");
        assert_eq!(self.near(near - UNIT), [rule], "before {near:?}");
    }

    /// The rip may end there, but not a unit beyond.
    pub fn ends(&self, far: Length, rule: Rule) {
        assert_eq!(self.far(far), [], "at {far:?}");
        assert_eq!(self.far(far + UNIT), [rule], "beyond {far:?}");
    }
}

pub const HOLLOW: Length = Length::inch_fraction(1, 4);
pub const CROWNED: Length = Length::inch_fraction(-1, 4);

/// Over the whole board the line takes all of the crook; over half of it a quarter.
#[test]
fn a_straight_line_takes_its_share_of_one_side_of_the_width() {
    let hollow = Case::new(false).lined(HOLLOW);
    hollow.begins(inch(1, 4), Rule::Edge);
    hollow.ends(inch(40, 1), Rule::FarEdge);
    let crowned = Case::new(false).lined(CROWNED);
    assert_eq!(crowned.near(NO), []);
    crowned.ends(inch(40, 1) - inch(1, 4), Rule::FarEdge);
    let half = |crook| {
        let mut case = Case::new(false).lined(crook);
        case.job.paddles[0].length = inch(16, 1);
        case.section().from = inch(8, 1);
        case.section().to = inch(24, 1);
        (case.strip().from, case.strip().to) = (inch(8, 1), inch(24, 1));
        (case.job.shop.edge, case.job.shop.far_edge) = (inch(1, 2), inch(3, 4));
        case
    };
    half(HOLLOW).begins(inch(1, 2) + inch(1, 16), Rule::Edge);
    half(HOLLOW).ends(inch(40, 1) - inch(3, 4), Rule::FarEdge);
    half(CROWNED).begins(inch(1, 2), Rule::Edge);
    half(CROWNED).ends(inch(40, 1) - inch(3, 4) - inch(1, 16), Rule::FarEdge);
    // A board's own allowances stand instead of the shop's.
    let mut own = half(HOLLOW);
    (own.board().edge, own.board().far_edge) = (Some(inch(1, 8)), Some(inch(3, 8)));
    own.begins(inch(1, 8) + inch(1, 16), Rule::Edge);
    own.ends(inch(40, 1) - inch(3, 8), Rule::FarEdge);
    // Where the share is no whole number of units, what is left of one is lost.
    let said = |crook, near| {
        let mut case = half(crook);
        (case.rip().near, case.rip().far) = (near, near + inch(1, 4));
        verify(case.plan, &case.job, &case.boards).unwrap_err()[0].figures.clone()
    };
    let words = "the rip begins at 1/2\", the edge is straight from ";
    assert_eq!(said(HOLLOW, inch(1, 2)), format!("{words}9/16\""));
    assert_eq!(said(HOLLOW + UNIT, inch(1, 2)), format!("{words}0.5625\""));
    let odd = half(HOLLOW + UNIT);
    odd.begins(inch(1, 2) + inch(1, 16) + UNIT, Rule::Edge);
    let odd = half(CROWNED - UNIT);
    odd.ends(inch(40, 1) - inch(3, 4) - inch(1, 16) - UNIT, Rule::FarEdge);
}

/// The same of the thickness, whichever way the board is bowed.
#[test]
fn flattening_takes_its_share_of_the_thickness() {
    for bow in [inch(1, 4), inch(-1, 4)] {
        let thick = |from: Length, to: Length, thickness| {
            let mut case = Case::new(false);
            case.job.paddles[0].length = to - from;
            case.section().face = Face::Flattened;
            (case.section().from, case.section().to) = (from, to);
            (case.strip().from, case.strip().to) = (from, to);
            case.board().bow = bow;
            case.board().thickness = thickness;
            case.rules()
        };
        let (whole, half) = (inch(5, 4), inch(17, 16));
        assert_eq!(thick(NO, inch(32, 1), whole), []);
        assert_eq!(thick(NO, inch(32, 1), whole - UNIT), [Rule::Thickness]);
        assert_eq!(thick(inch(8, 1), inch(24, 1), half), []);
        assert_eq!(thick(inch(8, 1), inch(24, 1), half - UNIT), [Rule::Thickness]);
    }
}

/// Three leaves: two kerfs.
#[test]
fn leaves_and_the_kerfs_between_them_fit() {
    let stack = |leaves: usize, thickness| {
        let mut case = Case::new(true);
        let one = Leaf { strips: Vec::new(), ..case.rip().leaves[0].clone() };
        case.rip().leaves.resize(leaves, one);
        case.board().thickness = thickness;
        case.rules()
    };
    assert_eq!(stack(1, inch(1, 4)), []);
    assert_eq!(stack(1, inch(1, 4) - UNIT), [Rule::Thickness]);
    assert_eq!(stack(3, inch(3, 4) + inch(2, 16)), []);
    assert_eq!(stack(3, inch(3, 4) + inch(2, 16) - UNIT), [Rule::Thickness]);
}

/// A strip of half the board keeps a quarter of its bend: the crook sidewise and the bow depthwise,
/// turned the other way round.
#[test]
fn bends_are_kept_up_to_the_limit() {
    let quarter = inch(1, 16);
    for (turned, sign) in [(false, 1), (false, -1), (true, 1), (true, -1)] {
        let of = |side: Length, deep: Length, mate: bool, centre: bool| {
            let mut case = Case::new(turned);
            case.job.paddles[0].length = inch(16, 1);
            (case.strip().from, case.strip().to) = (inch(4, 1), inch(20, 1));
            (case.job.shop.pull, case.job.shop.straight) = (quarter, quarter);
            case.job.shop.pair = quarter * 2;
            let (crook, bow) = if turned { (deep, side) } else { (side, deep) };
            (case.board().crook, case.board().bow) = (crook * sign, bow * sign);
            case.job.paddles[0].laminations[0].centre = centre;
            if mate {
                // Beside it lies its partner, with the same bend.
                let mut other = case.rip().clone();
                let width = other.far - other.near;
                (other.near, other.far) = (other.far + inch(1, 8), other.far + inch(1, 8) + width);
                other.leaves[0].strips[0].id = "t".into();
                other.leaves[0].strips[0].flipped_with = Some("s".into());
                case.strip().flipped_with = Some("t".into());
                case.section().rips.push(other);
            }
            case
        };
        let bend = inch(1, 4);
        assert_eq!(of(bend, bend, false, false).rules(), []);
        assert_eq!(of(bend + UNIT, NO, false, false).rules(), [Rule::Sidewise]);
        assert_eq!(of(NO, bend + UNIT, false, false).rules(), [Rule::Depthwise]);
        assert_eq!(of(NO, bend, false, true).rules(), []);
        assert_eq!(of(NO, bend + UNIT, false, true).rules(), [Rule::Depthwise]);
        assert_eq!(of(NO, bend * 2, true, false).rules(), []);
        let both = [Rule::Depthwise, Rule::Depthwise];
        assert_eq!(of(NO, bend * 2 + UNIT, true, false).rules(), both);
        // What is straightened or flattened keeps nothing of it.
        let straight = |mut case: Case, edge, face| {
            (case.section().edge, case.section().face) = (edge, face);
            case.board().thickness = inch(8, 1);
            case.near(inch(2, 1)).contains(&Rule::Sidewise)
        };
        let bent = of(bend + UNIT, NO, false, false);
        assert_eq!(straight(bent.clone(), Edge::Lined, Face::Kept), turned);
        assert_eq!(straight(bent, Edge::Kept, Face::Flattened), !turned);
    }
}

/// Sections, rips and leaves are counted from 1 in a fault's place.
#[test]
fn places_are_counted_from_one() {
    let mut case = Case::new(true);
    case.board().thickness = inch(2, 1);
    case.strip().to -= UNIT;
    let leaf = case.rip().leaves[0].clone();
    case.rip().leaves = vec![Leaf { strips: Vec::new(), ..leaf.clone() }, leaf];
    let faults = verify(case.plan.clone(), &case.job, &case.boards).unwrap_err();
    let place = &faults.iter().find(|f| f.rule == Rule::Length).unwrap().place;
    assert_eq!((place.section, place.rip, place.leaf), (Some(1), Some(1), Some(2)));
    case.job.shop.resaw_kerf = None;
    let faults = verify(case.plan, &case.job, &case.boards).unwrap_err();
    let resaw = faults.iter().find(|f| f.rule == Rule::Resaw).unwrap();
    assert!(resaw.figures.starts_with("2 leaves"), "{resaw}");
}

/// A fault says how much a strip bends, rounded up to a unit: a quarter of 1/2 in, and a little more.
#[test]
fn a_bend_is_told_over_the_strip_rounded_up() {
    let said = |bow: Length| {
        let mut case = Case::new(false);
        case.job.paddles[0].length = inch(16, 1);
        (case.strip().from, case.strip().to) = (inch(4, 1), inch(20, 1));
        case.job.shop.straight = inch(1, 16);
        case.board().bow = bow;
        let faults = verify(case.plan, &case.job, &case.boards).unwrap_err();
        faults[0].figures.clone()
    };
    let words =
        |bend: &str| format!("bends {bend}\" over its length, the limit unpaired is 1/16\"");
    assert_eq!(said(inch(1, 2)), words("1/8"));
    assert_eq!(said(inch(-1, 2)), words("1/8"));
    // A unit more is a decimal with four places.
    assert_eq!(said(inch(1, 2) + UNIT), words("0.125"));
    assert_eq!(said(inch(-1, 2) - UNIT), words("0.125"));
}

/// One of the woods asked is enough, in capitals or not.
#[test]
fn any_of_the_woods_asked_serves() {
    let of = |names: &[&str]| {
        let mut case = Case::new(false);
        case.job.paddles[0].laminations[0].species =
            names.iter().map(|n| Species::new(n)).collect();
        case.rules()
    };
    assert_eq!(of(&["ash", "Fir"]), []);
    assert_eq!(of(&["fir", "ash"]), []);
    assert_eq!(of(&["ash", "oak"]), [Rule::Species]);
    assert_eq!(of(&[]), []);
}

/// 2 in 30 is 1 in 15, and no steeper.
#[test]
fn slopes_of_grain_are_compared_as_fractions() {
    let at = |rise, run| {
        let mut case = Case::new(false);
        case.job.paddles[0].runout = Some(Slope { rise: 1, run: 15 });
        case.board().runout = Some(Slope { rise, run });
        case.rules()
    };
    assert_eq!(at(2, 30), []);
    assert_eq!(at(2, 31), []);
    assert_eq!(at(2, 29), [Rule::Runout]);
    assert_eq!(at(3, 44), [Rule::Runout]);
}

/// A blade is half of what the loom leaves, and trim at its end; where that is odd, the half unit
/// goes to the strip. A through strip has trim at both ends.
#[test]
fn rough_lengths_are_rounded_up() {
    let long = |runs, loom: Length, trim: Length, to: Length| {
        let mut case = Case::new(false);
        let paddle = &mut case.job.paddles[0];
        (paddle.length, paddle.loom, paddle.trim) = (inch(24, 1), loom, trim);
        paddle.laminations[0].runs = runs;
        case.strip().to = to;
        case.rules()
    };
    let through = inch(26, 1);
    assert_eq!(long(Runs::Through, inch(10, 1), inch(1, 1), through), []);
    assert_eq!(long(Runs::Through, inch(10, 1), inch(1, 1), through - UNIT), [Rule::Length]);
    assert_eq!(long(Runs::Through, inch(10, 1), inch(1, 1), through + UNIT), []);
    let blade = inch(8, 1);
    assert_eq!(long(Runs::Blade, inch(10, 1), inch(1, 1), blade), []);
    assert_eq!(long(Runs::Blade, inch(10, 1), inch(1, 1), blade - UNIT), [Rule::Length]);
    assert_eq!(long(Runs::Blade, inch(10, 1) - UNIT, inch(1, 1), blade), [Rule::Length]);
    assert_eq!(long(Runs::Blade, inch(10, 1) - UNIT, inch(1, 1), blade + UNIT), []);
}

/// Dressing by the saw: the rip's, that of the saw that follows a curve, the resaw's beside other
/// leaves, none but the plane's for a turned leaf alone. The blade's depth is planed both sides.
#[test]
fn sizes_are_dressed_by_the_saw_that_leaves_the_face() {
    let sizes = |turned: bool, crook: Length, leaves: usize, width: Length, thick: Length| {
        let mut case = Case::new(turned);
        let shop = &mut case.job.shop;
        (shop.dress, shop.plane) = (inch(1, 64), inch(1, 32));
        (shop.curve_dress, shop.resaw_dress) = (inch(3, 64), inch(5, 64));
        case.board().crook = crook;
        case.board().thickness = inch(4, 1);
        case.rip().far = width;
        let first = &mut case.rip().leaves[0];
        first.thickness = thick;
        let one = Leaf { strips: Vec::new(), ..first.clone() };
        case.rip().leaves.resize(leaves, one);
        case.rules()
    };
    let depth = inch(17, 16);
    for (turned, crook, leaves, thick) in [
        (false, NO, 1, inch(9, 32)),
        (false, NO, 2, inch(9, 32)),
        (false, UNIT, 1, inch(11, 32)),
        (true, NO, 1, inch(9, 32)),
        (true, UNIT, 1, inch(9, 32)),
        (true, UNIT, 2, inch(13, 32)),
    ] {
        let (width, leaf) = if turned { (depth, thick) } else { (thick, depth) };
        let case = format!("{turned} {crook:?} {leaves}");
        assert_eq!(sizes(turned, crook, leaves, width, leaf), [], "{case}");
        for by in [UNIT, -UNIT] {
            assert_eq!(sizes(turned, crook, leaves, width + by, leaf), [Rule::Width], "{case}");
            assert_eq!(sizes(turned, crook, leaves, width, leaf + by), [Rule::Leaf], "{case}");
        }
    }
}

/// Sizes reach forward, from 0 to the greatest that a file may hold.
#[test]
fn sizes_end_at_what_a_file_may_hold() {
    let section = |from: Length, to: Length| {
        let mut case = Case::new(false);
        case.board().length = Length::LIMIT * 2;
        (case.section().from, case.section().to) = (from, to);
        case.rules()
    };
    assert_eq!(section(NO, Length::LIMIT), []);
    assert_eq!(section(NO, Length::LIMIT + UNIT), [Rule::Sizes]);
    assert_eq!(section(-UNIT, inch(32, 1)), [Rule::Sizes]);
    let mut empty = Case::new(false);
    let rest =
        Section { from: inch(33, 1), to: inch(33, 1), rips: Vec::new(), ..empty.section().clone() };
    empty.board().length = inch(40, 1);
    empty.plan.boards[0].sections.push(rest);
    assert_eq!(empty.clone().rules(), [Rule::Sizes]);
    empty.plan.boards[0].sections[1].to += UNIT;
    assert_eq!(empty.rules(), []);
}

/// The ends of a board, its own instead of the shop's; kerfs between sections; what is fed.
#[test]
fn sections_keep_clear_of_ends_and_of_each_other() {
    let mut case = Case::new(false);
    case.job.paddles[0].length = inch(20, 1);
    case.job.shop.board_end = inch(2, 1);
    (case.section().from, case.section().to) = (inch(2, 1), inch(30, 1));
    (case.strip().from, case.strip().to) = (inch(2, 1), inch(22, 1));
    let with = |change: &dyn Fn(&mut Case)| {
        let mut case = case.clone();
        change(&mut case);
        case.rules()
    };
    assert_eq!(with(&|_| ()), []);
    assert_eq!(with(&|c| c.section().to += UNIT), [Rule::BoardEnd]);
    assert_eq!(with(&|c| c.section().from -= UNIT), [Rule::BoardEnd]);
    assert_eq!(with(&|c| c.board().board_end = Some(inch(2, 1) + UNIT)), [Rule::BoardEnd]);
    assert_eq!(
        with(&|c| {
            c.job.shop.board_end += inch(1, 1);
            c.board().board_end = Some(inch(2, 1));
        }),
        []
    );
    assert_eq!(with(&|c| c.job.shop.min_rip = inch(28, 1)), []);
    assert_eq!(with(&|c| c.job.shop.min_rip = inch(28, 1) + UNIT), [Rule::MinRip]);
    let next = |gap: Length| {
        with(&|c| {
            c.section().to = inch(22, 1);
            let from = inch(22, 1) + gap;
            let next = Section { from, to: inch(30, 1), rips: Vec::new(), ..c.section().clone() };
            c.plan.boards[0].sections.push(next);
        })
    };
    // A section that is not ripped may be as short as it likes.
    assert_eq!(next(inch(1, 8)), []);
    assert_eq!(next(inch(8, 1) - UNIT), []);
    assert_eq!(next(inch(1, 8) - UNIT), [Rule::SectionGap]);
}

/// Rips a kerf apart: the rip's, or that of the saw that follows the curve; strips of a leaf a
/// crosscut apart, within their section.
#[test]
fn rips_and_strips_are_a_kerf_apart() {
    let rips = |crook: Length, edge, gap: Length| {
        let mut case = Case::new(false);
        case.job.shop.curve_kerf = Some(inch(1, 4));
        case.board().crook = crook;
        case.section().edge = edge;
        (case.rip().near, case.rip().far) = (inch(1, 1), inch(5, 4));
        let rip = case.rip();
        let mut next = rip.clone();
        (next.near, next.far) = (rip.far + gap, rip.far + gap + inch(1, 4));
        next.leaves[0].strips[0].id = "t".into();
        case.section().rips.push(next);
        case.rules()
    };
    assert_eq!(rips(NO, Edge::Kept, inch(1, 8)), []);
    assert_eq!(rips(NO, Edge::Kept, inch(1, 8) - UNIT), [Rule::RipGap]);
    assert_eq!(rips(UNIT, Edge::Kept, inch(1, 4)), []);
    assert_eq!(rips(UNIT, Edge::Kept, inch(1, 4) - UNIT), [Rule::RipGap]);
    assert_eq!(rips(UNIT, Edge::Lined, inch(1, 8)), []);
    let strips = |gap: Length, to: Length| {
        let mut case = Case::new(false);
        case.job.paddles[0].length = inch(15, 1);
        case.strip().to = inch(15, 1);
        case.section().to = to;
        let from = inch(15, 1) + gap;
        let next = Strip { id: "t".into(), from, to: from + inch(15, 1), ..case.strip().clone() };
        case.rip().leaves[0].strips.push(next);
        case.rules()
    };
    let end = inch(30, 1) + inch(1, 8);
    assert_eq!(strips(inch(1, 8), end), []);
    assert_eq!(strips(inch(1, 8), end - UNIT), [Rule::Inside]);
    assert_eq!(strips(inch(1, 8) - UNIT, end), [Rule::StripGap]);
}

/// No rip in a section that follows a curve without a saw for it; a section without rips may.
#[test]
fn a_curve_needs_a_saw_only_where_there_are_rips() {
    let mut case = Case::new(false);
    case.job.shop.curve_kerf = None;
    assert_eq!(case.clone().rules(), []);
    case.board().crook = UNIT;
    assert_eq!(case.clone().rules(), [Rule::Curve]);
    case.section().rips.clear();
    assert_eq!(case.rules(), []);
}

/// Copies are numbered from 1 to the quantity; each is opened once, and counts in the cost.
#[test]
fn copies_of_a_board_are_opened_once_each() {
    let copies = |numbers: &[u32]| {
        let mut case = Case::new(false);
        case.board().quantity = 2;
        let one = case.plan.boards.remove(0);
        for (n, &copy) in numbers.iter().enumerate() {
            let mut cut = CutBoard { copy, ..one.clone() };
            cut.sections[0].rips[0].leaves[0].strips[0].id = format!("s{n}");
            case.plan.boards.push(cut);
        }
        case.plan.cost.parts = case.board().volume() * numbers.len() as i128;
        match verify(case.plan, &case.job, &case.boards) {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(|f| f.rule).collect::<Vec<_>>(),
        }
    };
    assert_eq!(copies(&[1, 2]), []);
    assert_eq!(copies(&[2]), []);
    assert_eq!(copies(&[2, 2]), [Rule::Twice]);
    assert_eq!(copies(&[0]), [Rule::Copy]);
    assert_eq!(copies(&[3]), [Rule::Copy]);
}
