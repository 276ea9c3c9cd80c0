//! From laminations to the kinds of strip that must be cut.

use crate::length::Length;
use crate::lumber::{Angle, Board, Slope, Species, ZoneKind};
use crate::paddle::fits::fit;
use crate::paddle::{Job, Lamination, Paddle};

/// How many strips of each kind, in the order of [`strip_kinds`].
pub type Tally = Vec<u32>;

/// A kind of strip: all laminations of the job whose strips can't be told apart at the saw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StripKind {
    /// Rough strip thickness off a straight rip, or as the only leaf of a rip: dressed thickness
    /// and two dressings.
    pub thickness: Length,
    /// Rough strip thickness off a rip that follows a curve.
    pub curve_thickness: Length,
    /// Rough strip thickness as one of two or more leaves of a rip.
    pub resaw_thickness: Length,
    /// Rough depth: the blank's thickness and two planings.
    pub depth: Length,
    /// Rough length.
    pub length: Length,
    /// On the centreline, where no flipped pair may lie.
    pub centre: bool,
    /// The woods it may be of; empty for any.
    pub species: Vec<Species>,
    /// The kinds of zone it may contain.
    pub allow: Vec<ZoneKind>,
    /// Least ring angle to the blade's face.
    pub rings: Angle,
    /// Steepest slope of grain, if limited.
    pub runout: Option<Slope>,
    /// The lamination, if its strips must not be mixed with others': with an odd number of spares
    /// a flipped pair could be split between two laminations.
    pub alone: Option<(usize, usize)>,
    /// Its length tells it apart: it is not counted where a shorter one is wanted.
    pub apart: bool,
    /// The laminations that are of this kind, as (paddle, lamination).
    pub lines: Vec<(usize, usize)>,
}

impl StripKind {
    fn of(job: &Job, p: usize, l: usize) -> Self {
        let paddle: &Paddle = &job.paddles[p];
        let lamination: &Lamination = &paddle.laminations[l];
        let mut allow = lamination.allow.clone();
        allow.sort_unstable();
        allow.dedup();
        let mut species = lamination.species.clone();
        species.sort_unstable_by(|a, b| a.key().cmp(b.key()));
        species.dedup_by(|a, b| a.key() == b.key());
        StripKind {
            thickness: lamination.rough_thickness(job.shop.dress),
            curve_thickness: lamination.rough_thickness(job.shop.curve_dress),
            resaw_thickness: lamination.rough_thickness(job.shop.resaw_dress),
            depth: paddle.rough_depth(&job.shop),
            length: paddle.rough_length(lamination),
            centre: lamination.centre,
            species,
            allow,
            rings: paddle.rings,
            runout: paddle.runout,
            alone: (lamination.spares % 2 == 1).then_some((p, l)),
            apart: false,
            lines: Vec::new(),
        }
    }

    /// Is the board of a wood that this strip may be of?
    pub fn takes_species(&self, board: &Board) -> bool {
        self.species.is_empty() || self.species.iter().any(|s| s.matches(&board.species))
    }

    /// Is the board's grain straight enough along it? A board whose slope of grain was not
    /// measured is not refused; it is warned of.
    pub fn takes_runout(&self, board: &Board) -> bool {
        match (self.runout, board.runout) {
            (Some(limit), Some(slope)) => !slope.steeper_than(limit),
            _ => true,
        }
    }

    /// May a strip of this kind contain a zone of that kind?
    pub fn allows(&self, zone: &ZoneKind) -> bool {
        self.allow.contains(zone)
    }

    /// Volume of one rough strip off a straight rip, in cubed units of length.
    pub fn volume(&self) -> i128 {
        [self.thickness, self.depth, self.length].iter().map(|l| i128::from(l.units())).product()
    }

    /// Volume of one rough strip at least, whichever saw leaves its faces, in cubed units of
    /// length.
    pub fn least_volume(&self) -> i128 {
        let thin = self.thickness.min(self.curve_thickness).min(self.resaw_thickness);
        [thin, self.depth, self.length].iter().map(|l| i128::from(l.units())).product()
    }

    /// Does a longer one of these two serve where the shorter one is wanted?
    pub fn alike_but_for_length(&self, other: &StripKind) -> bool {
        let bare =
            |k: &StripKind| StripKind { lines: Vec::new(), length: Length::ZERO, ..k.clone() };
        // Told apart at a glance, mostly.
        self.thickness == other.thickness
            && self.depth == other.depth
            && self.alone.is_none()
            && !self.apart
            && bare(self) == bare(other)
    }

    fn same(&self, other: &StripKind) -> bool {
        let bare = |k: &StripKind| StripKind { lines: Vec::new(), ..k.clone() };
        bare(self) == bare(other)
    }
}

/// Does every strip in hand serve a line if it serves those of a kind that is the same but for
/// that? A strip may have been cut for one of them.
fn served_alike(job: &Job, kind: &StripKind, line: (usize, usize)) -> bool {
    let serves = |strip, line| fit(job, strip, line).is_ok();
    let first =
        |strip| kind.lines.first().is_none_or(|&of| serves(strip, of) == serves(strip, line));
    job.strips.iter().all(first)
}

/// The kinds of strip in a job, in the order that its laminations first need them. Laminations
/// whose strips can't be told apart at the saw are of two kinds where a strip in hand was cut for
/// one of them alone.
pub fn strip_kinds(job: &Job) -> Vec<StripKind> {
    let mut kinds: Vec<StripKind> = Vec::new();
    for (p, paddle) in job.paddles.iter().enumerate() {
        for l in 0..paddle.laminations.len() {
            let kind = StripKind::of(job, p, l);
            let one = |k: &StripKind| k.same(&kind) && served_alike(job, k, (p, l));
            let at = kinds.iter().position(one).unwrap_or_else(|| {
                kinds.push(kind);
                kinds.len() - 1
            });
            kinds[at].lines.push((p, l));
        }
    }
    kinds
}

/// Strips needed of each kind to make so many paddles of each kind of paddle. Spares are cut
/// once for a kind of paddle that is made at all. Kinds of paddle beyond the end of `paddles` are
/// not made, and lines of `kinds` that the job doesn't have need nothing.
pub fn needed(job: &Job, kinds: &[StripKind], paddles: &[u32]) -> Tally {
    let need = |&(p, l): &(usize, usize)| {
        let lamination = job.paddles.get(p).and_then(|paddle| paddle.laminations.get(l));
        match (lamination, paddles.get(p)) {
            (None, _) | (_, None | Some(0)) => 0,
            (Some(lamination), Some(n)) => {
                n.saturating_mul(lamination.strips()).saturating_add(lamination.spares)
            }
        }
    };
    kinds.iter().map(|k| k.lines.iter().map(need).fold(0, u32::saturating_add)).collect()
}
