//! What a board can serve: kinds of strip, ways to lay them, and obstacles (MODEL 4 to 6).

use crate::length::Length;
use crate::lumber::grain::Band;
use crate::lumber::{Angle, Board};
use crate::paddle::{Margin, Shop, StripKind};
use crate::plan::{Edge, Face};
use rustc_hash::FxHashMap;

/// How a section is prepared before it is ripped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Mode {
    /// The edge is straight-lined rather than kept.
    pub lined: bool,
    /// The face is flattened rather than kept.
    pub flattened: bool,
}

impl Mode {
    /// As the plan says it.
    pub fn edge(self) -> Edge {
        if self.lined { Edge::Lined } else { Edge::Kept }
    }

    /// As the plan says it.
    pub fn face(self) -> Face {
        if self.flattened { Face::Flattened } else { Face::Kept }
    }
}

/// How a strip may go into a blank, by its own bends (MODEL 6).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Standing {
    /// Anywhere.
    Free,
    /// Only flipped against another such strip of this board, cut upright.
    PairUpright,
    /// Only flipped against another such strip of this board, cut turned.
    PairTurned,
}

/// Something that can be counted on a board: a kind of strip with its standing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Item {
    /// Index of the kind of strip.
    pub kind: usize,
    /// How it may go in.
    pub standing: Standing,
}

/// A rip of one width and way of lying, with the leaves it may hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RipForm {
    /// Strips are laid on their side.
    pub turned: bool,
    /// Width of the rip.
    pub width: Length,
    /// Width of the rip where it follows a curve.
    pub curve_width: Length,
    /// Leaves it may hold.
    pub leaves: Vec<LeafForm>,
}

/// A leaf of one thickness and the kinds of strip that may be crosscut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeafForm {
    /// Thickness as the only leaf of its rip.
    pub thickness: Length,
    /// Thickness beside other leaves.
    pub resawn: Length,
    /// Indices of kinds of strip.
    pub kinds: Vec<usize>,
}

/// A rectangle that some strips must not touch: a zone, or a band where grain doesn't serve.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Obstacle {
    /// Along the board.
    pub from: Length,
    /// Along the board.
    pub to: Length,
    /// Across the board.
    pub near: Length,
    /// Across the board.
    pub far: Length,
    /// It bars these kinds of strip when they are cut upright.
    pub upright: Vec<usize>,
    /// It bars these kinds of strip when they are cut turned.
    pub turned: Vec<usize>,
}

impl RipForm {
    /// Width of the rip in a section that follows a curve, or doesn't.
    pub fn width_in(&self, follows: bool) -> Length {
        if follows { self.curve_width } else { self.width }
    }
}

impl Obstacle {
    /// The kinds it bars, cut this way.
    pub fn bars(&self, turned: bool) -> &[usize] {
        if turned { &self.turned } else { &self.upright }
    }

    /// Does it bar any of the rip's strips?
    pub fn concerns(&self, form: &RipForm) -> bool {
        let bars = self.bars(form.turned);
        form.leaves.iter().any(|l| l.kinds.iter().any(|k| bars.contains(k)))
    }
}

/// What a board can serve.
#[derive(Clone, Debug)]
pub struct Served {
    /// The ways of preparing a section that are worth trying.
    pub modes: Vec<Mode>,
    /// Rips of every width that could hold a strip.
    pub forms: Vec<RipForm>,
    /// Zones and bands of grain, those that bar nothing left out.
    pub obstacles: Vec<Obstacle>,
    /// What can be counted on the board.
    pub items: Vec<Item>,
}

/// The standing of a strip by its own bends; `None` if it is unusable.
pub fn standing(
    board: &Board,
    shop: &Shop,
    kind: &StripKind,
    mode: Mode,
    turned: bool,
) -> Option<Standing> {
    let straight = crate::lumber::Bend { gap: Length::ZERO, over: board.length };
    let crook = if mode.lined { straight } else { board.crook() };
    let bow = if mode.flattened { straight } else { board.bow() };
    let (side, depth) = if turned { (bow, crook) } else { (crook, bow) };
    if !side.within(kind.length, shop.pull) {
        None
    } else if depth.within(kind.length, shop.straight) {
        Some(Standing::Free)
    } else if !kind.centre && depth.within(kind.length, shop.pair) {
        Some(if turned { Standing::PairTurned } else { Standing::PairUpright })
    } else {
        None
    }
}

/// Does the board's grain serve this kind of strip, cut this way, and where across the board?
fn band(board: &Board, kind: &StripKind, turned: bool) -> Band {
    match board.grain {
        Some(grain) => grain.serves(kind.rings, turned, board.thickness),
        None if kind.rings == Angle::FLAT => Band::Everywhere,
        None => Band::Nowhere,
    }
}

/// Works out what a board can serve of the kinds of strip that are wanted.
pub fn serve(board: &Board, shop: &Shop, kinds: &[StripKind], wanted: &[u32]) -> Served {
    let modes = modes(board, shop, kinds);
    let mut forms: Vec<RipForm> = Vec::new();
    let mut items: Vec<Item> = Vec::new();
    let mut bands: Vec<(usize, bool, Band)> = Vec::new();
    let (low, high) = shop.usable(board);
    for (k, kind) in kinds.iter().enumerate() {
        if wanted[k] == 0
            || !kind.takes_species(board)
            || !kind.takes_runout(board)
            || kind.length > high - low
        {
            continue;
        }
        for turned in [false, true] {
            let size = FormSize::of(kind, turned);
            let band = band(board, kind, turned);
            if band == Band::Nowhere
                || size.thickness.min(size.resawn) > board.thickness
                || size.width.min(size.curve_width) > board.width
            {
                continue;
            }
            let standings = modes.iter().filter_map(|&m| standing(board, shop, kind, m, turned));
            let mut serves = false;
            for standing in standings {
                serves = true;
                let item = Item { kind: k, standing };
                if !items.contains(&item) {
                    items.push(item);
                }
            }
            if serves {
                add_form(&mut forms, turned, size, k);
                bands.push((k, turned, band));
            }
        }
    }
    let obstacles = obstacles(board, shop, kinds, &bands);
    Served { modes, forms, obstacles, items }
}

/// Keeping the edge is tried wherever the shop can follow it. Straight-lining is tried on any crooked board, since a straight
/// rip can pass between zones where a curved one can't. Flattening only takes thickness, so it
/// is tried only where some strip's bow stands in its way.
fn modes(board: &Board, shop: &Shop, kinds: &[StripKind]) -> Vec<Mode> {
    let bow_matters = kinds.iter().any(|k| {
        !board.bow().within(k.length, shop.straight) || !board.bow().within(k.length, shop.pull)
    });
    let mut modes = Vec::new();
    for lined in [false, true] {
        for flattened in [false, true] {
            let crooked = board.crook != Length::ZERO;
            let can = if lined { crooked } else { !crooked || shop.curve_kerf.is_some() };
            if can && (!flattened || bow_matters) {
                modes.push(Mode { lined, flattened });
            }
        }
    }
    modes
}

/// The sizes of a rip and its leaf for one kind of strip, by the saws that leave its faces.
#[derive(Clone, Copy)]
pub(crate) struct FormSize {
    /// Width of the rip.
    pub(crate) width: Length,
    /// Width of the rip where it follows a curve.
    pub(crate) curve_width: Length,
    /// Thickness of the leaf as the only one of its rip.
    pub(crate) thickness: Length,
    /// Thickness of the leaf beside others.
    pub(crate) resawn: Length,
}

impl FormSize {
    pub(crate) fn of(kind: &StripKind, turned: bool) -> Self {
        if turned {
            FormSize {
                width: kind.depth,
                curve_width: kind.depth,
                thickness: kind.thickness,
                resawn: kind.resaw_thickness,
            }
        } else {
            FormSize {
                width: kind.thickness,
                curve_width: kind.curve_thickness,
                thickness: kind.depth,
                resawn: kind.depth,
            }
        }
    }
}

fn add_form(forms: &mut Vec<RipForm>, turned: bool, size: FormSize, kind: usize) {
    let FormSize { width, curve_width, thickness, resawn } = size;
    let same = |f: &RipForm| (f.turned, f.width, f.curve_width) == (turned, width, curve_width);
    let at = forms.iter().position(same);
    let at = at.unwrap_or_else(|| {
        forms.push(RipForm { turned, width, curve_width, leaves: Vec::new() });
        forms.len() - 1
    });
    let leaves = &mut forms[at].leaves;
    match leaves.iter_mut().find(|l| (l.thickness, l.resawn) == (thickness, resawn)) {
        Some(form) => form.kinds.push(kind),
        None => leaves.push(LeafForm { thickness, resawn, kinds: vec![kind] }),
    }
}

/// Zones with their margins, and bands of grain.
fn obstacles(
    board: &Board,
    shop: &Shop,
    kinds: &[StripKind],
    bands: &[(usize, bool, Band)],
) -> Vec<Obstacle> {
    let mut obstacles: Vec<Obstacle> = Vec::new();
    let mut by_place: FxHashMap<(Length, Length, Length, Length), usize> = FxHashMap::default();
    let mut add = |from, to, near, far, kind: usize, turned: bool| {
        // A mark that has no length or width, with its margin, is no zone.
        if near >= far || from >= to {
            return;
        }
        let known = by_place.get(&(from, to, near, far)).copied();
        let obstacle = match known.and_then(|at: usize| obstacles.get_mut(at)) {
            Some(obstacle) => obstacle,
            None => {
                by_place.insert((from, to, near, far), obstacles.len());
                let (upright, turned) = (Vec::new(), Vec::new());
                obstacles.push(Obstacle { from, to, near, far, upright, turned });
                match obstacles.last_mut() {
                    Some(obstacle) => obstacle,
                    None => return,
                }
            }
        };
        let bars = if turned { &mut obstacle.turned } else { &mut obstacle.upright };
        if !bars.contains(&kind) {
            bars.push(kind);
        }
    };
    for zone in &board.zones {
        let Margin { along, across } = shop.margin(&zone.kind);
        for &(k, turned, _) in bands {
            if !kinds[k].allows(&zone.kind) {
                let (from, to) = (zone.from - along, zone.to + along);
                add(from, to, zone.near - across, zone.far + across, k, turned);
            }
        }
    }
    // Far beyond any lift of a bent board.
    let beyond = Length::LIMIT * 8;
    for &(k, turned, band) in bands {
        match band {
            Band::Outside(low, high) => add(Length::ZERO, board.length, low, high, k, turned),
            Band::Within(low, high) => {
                add(Length::ZERO, board.length, -beyond, low, k, turned);
                add(Length::ZERO, board.length, high, beyond, k, turned);
            }
            Band::Everywhere | Band::Nowhere => {}
        }
    }
    // In the order in which they are met along the board: what lies under a rip is then sorted
    // already, and there may be very many.
    obstacles.sort_by_key(|o| (o.from, o.to));
    obstacles
}
