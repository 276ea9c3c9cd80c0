//! What paddles.toml says: the shop and the paddles (MODEL 3); and what of them is cut already.

use crate::length::{Length, Units};
use crate::lumber::{Angle, Board, Slope, Species, StripInHand, ZoneKind};
use std::collections::BTreeMap;

/// A job: the units of its files, the shop's settings, the paddles wanted and the strips that are
/// cut already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// The units of bare numbers and of all output.
    pub units: Units,
    /// Kerfs, allowances and limits.
    pub shop: Shop,
    /// The kinds of paddle, in file order.
    pub paddles: Vec<Paddle>,
    /// Strips in hand, which cost nothing: those of strips.csv (MODEL 10), none where there is no
    /// such file.
    pub strips: Vec<StripInHand>,
}

/// The shop's kerfs, allowances and limits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shop {
    /// Lost between two rips.
    pub rip_kerf: Length,
    /// Lost between two pieces along the grain.
    pub crosscut_kerf: Length,
    /// Lost between two leaves; `None` where the shop can't resaw.
    pub resaw_kerf: Option<Length>,
    /// Taken off the reference edge to straighten it.
    pub edge: Length,
    /// Kept off the far edge: store lumber has eased corners.
    pub far_edge: Length,
    /// Lost between two rips that follow a curved edge; `None` where the shop follows no curve.
    pub curve_kerf: Option<Length>,
    /// Cleaned off each glue face that the saw leaves which follows a curve.
    pub curve_dress: Length,
    /// Cleaned off each glue face that resawing leaves.
    pub resaw_dress: Length,
    /// Unusable at each end of a board.
    pub board_end: Length,
    /// Cleaned off each glue face of a strip.
    pub dress: Length,
    /// Planed off each face of the glued blank.
    pub plane: Length,
    /// Depthwise bend with which a strip may go in unpaired.
    pub straight: Length,
    /// Greatest depthwise bend that a flipped pair may cancel.
    pub pair: Length,
    /// Greatest sidewise bend that the clamps may pull out.
    pub pull: Length,
    /// Shortest section to feed through the saw.
    pub min_rip: Length,
    /// Kept clear around zones of a kind.
    pub margins: Margins,
    /// What the planer takes; it changes nothing of what is planned.
    pub planer: Planer,
    /// The file named none of `far_edge`, `curve_kerf`, `curve_dress`, `resaw_dress` and `margin`:
    /// what is taken for them is said.
    pub unsaid: bool,
}

/// What the thickness planer takes. No plan depends on it: it decides how a sheet says that a
/// piece is planed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Planer {
    /// The shortest piece that its rollers hold.
    pub shortest: Length,
    /// The thinnest piece that goes through without a carrier board.
    pub thinnest: Length,
    /// How much of each end may come out too thin.
    pub snipe: Length,
    /// The widest piece that goes through.
    pub widest: Length,
}

impl Default for Planer {
    /// Common practice for small planers: 14 in, 1/4 in and 3 in; 12 in wide, since their tables
    /// take 12 to 13 in (from memory), and boards come no wider than 11 1/4 in (PS 20).
    fn default() -> Self {
        let inch = Length::inch_fraction;
        Planer {
            shortest: inch(14, 1),
            thinnest: inch(1, 4),
            snipe: inch(3, 1),
            widest: inch(12, 1),
        }
    }
}

/// What is kept clear around zones, by their kind.
pub type Margins = BTreeMap<ZoneKind, Margin>;

/// What is kept clear around a zone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Margin {
    /// At both ends of the zone.
    pub along: Length,
    /// At both sides of the zone.
    pub across: Length,
}

impl Default for Shop {
    /// The defaults of MODEL 3; no resawing.
    fn default() -> Self {
        let inch = Length::inch_fraction;
        Shop {
            rip_kerf: inch(1, 8),
            crosscut_kerf: inch(1, 8),
            resaw_kerf: None,
            edge: inch(1, 8),
            far_edge: inch(1, 8),
            curve_kerf: None,
            curve_dress: inch(1, 64),
            resaw_dress: inch(1, 64),
            board_end: inch(1, 1),
            dress: inch(1, 64),
            plane: inch(1, 32),
            straight: inch(1, 16),
            pair: inch(3, 4),
            pull: inch(1, 1),
            min_rip: inch(12, 1),
            margins: BTreeMap::new(),
            planer: Planer::default(),
            unsaid: false,
        }
    }
}

impl Job {
    /// The names of a paddle and of one of its laminations; what the job doesn't have is empty.
    pub fn names(&self, paddle: usize, lamination: usize) -> (&str, &str) {
        let paddle = self.paddles.get(paddle);
        let lamination = paddle.and_then(|p| p.laminations.get(lamination));
        (paddle.map_or("", |p| &p.name), lamination.map_or("", |l| &l.name))
    }
}

impl Shop {
    /// The shop with a board's own allowances, where it has such.
    pub fn at(&self, board: &Board) -> Shop {
        Shop {
            edge: board.edge.unwrap_or(self.edge),
            far_edge: board.far_edge.unwrap_or(self.far_edge),
            board_end: board.board_end.unwrap_or(self.board_end),
            ..self.clone()
        }
    }

    /// The stretch of a board that is usable, between its unusable ends. The second is less than
    /// the first where nothing is.
    pub fn usable(&self, board: &Board) -> (Length, Length) {
        let end = board.board_end.unwrap_or(self.board_end);
        (end, board.length - end)
    }

    /// What is lost between two rips, where they follow a curve or don't; what the table saw takes
    /// where the shop has no saw for curves.
    pub fn kerf(&self, follows: bool) -> Length {
        self.curve_kerf.filter(|_| follows).unwrap_or(self.rip_kerf)
    }

    /// What is kept clear around zones of a kind.
    pub fn margin(&self, kind: &ZoneKind) -> Margin {
        self.margins.get(kind).copied().unwrap_or_default()
    }
}

/// A kind of paddle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paddle {
    /// Its name in the files.
    pub name: String,
    /// How many are wanted.
    pub quantity: u32,
    /// Finished length.
    pub length: Length,
    /// Finished length of the loom.
    pub loom: Length,
    /// Thickness of the planed blank.
    pub thickness: Length,
    /// Extra at each end of the blank, cut off square after gluing.
    pub trim: Length,
    /// Least ring angle to the blade's face.
    pub rings: Angle,
    /// Steepest slope of grain, if limited.
    pub runout: Option<Slope>,
    /// Laminations from the centreline outwards.
    pub laminations: Vec<Lamination>,
}

/// One lamination of a paddle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lamination {
    /// Its name.
    pub name: String,
    /// Dressed thickness.
    pub thickness: Length,
    /// Through the loom and both blades, or in the blades only.
    pub runs: Runs,
    /// One strip on the centreline rather than mirrored pairs.
    pub centre: bool,
    /// The woods it may be of; empty for any.
    pub species: Vec<Species>,
    /// The kinds of zone it may contain.
    pub allow: Vec<ZoneKind>,
    /// Extra strips to cut in all, since a hidden flaw shows only after ripping.
    pub spares: u32,
}

/// How far a lamination runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Runs {
    /// Loom and both blades.
    Through,
    /// One blade.
    Blade,
}

impl Paddle {
    /// Rough length of a strip of this lamination.
    pub fn rough_length(&self, lamination: &Lamination) -> Length {
        match lamination.runs {
            Runs::Through => self.length + self.trim * 2,
            Runs::Blade => self.rough_blade(),
        }
    }

    /// Rough length of a blade, from the loom to the end of the blank.
    pub fn rough_blade(&self) -> Length {
        // Rounded up to a whole unit of 1/80 µm where the halves are odd.
        let both = (self.length - self.loom).units();
        Length::from_units(both.div_euclid(2) + both.rem_euclid(2)) + self.trim
    }

    /// Rough depth of its strips: the blank's thickness and two planings.
    pub fn rough_depth(&self, shop: &Shop) -> Length {
        self.thickness + shop.plane * 2
    }

    /// Rough length of the glued blank.
    pub fn blank_length(&self) -> Length {
        self.length + self.trim * 2
    }

    /// Finished width of the loom: every through strip.
    pub fn loom_width(&self) -> Length {
        self.width_of(|l| l.runs == Runs::Through)
    }

    /// Finished width of the blade: every strip.
    pub fn blade_width(&self) -> Length {
        self.width_of(|_| true)
    }

    fn width_of(&self, counts: impl Fn(&Lamination) -> bool) -> Length {
        let across = |l: &Lamination| {
            if l.centre { l.thickness } else { l.thickness * 2 }
        };
        self.laminations.iter().filter(|l| counts(l)).map(across).sum()
    }
}

impl Lamination {
    /// Rough thickness of its strips, where each glue face loses so much in dressing.
    pub fn rough_thickness(&self, dressing: Length) -> Length {
        self.thickness + dressing * 2
    }

    /// Strips of it in one paddle: 1 on the centreline, 2 through, 4 in the blades.
    pub fn strips(&self) -> u32 {
        match (self.centre, self.runs) {
            (true, _) => 1,
            (false, Runs::Through) => 2,
            (false, Runs::Blade) => 4,
        }
    }
}
