//! The glue-up: places, placings, straightness (MODEL 8).
//!
//! ```text
//! plan, job, boards ─ found (signs, measured) ─ sharing ─ placing ─ forecast, figures ─ blank
//! ```

pub mod blank;
pub mod figures;
pub mod forecast;
mod found;
pub mod laid;
pub mod measured;
pub mod placing;
pub mod settings;
pub mod sharing;
pub mod signs;

pub use blank::Blank;
pub use figures::Figures;
pub use forecast::{Forecast, Member};
pub use laid::{Laid, Reach, Side};
pub use measured::{Help, Misfit};
pub use settings::{GlueKind, GlueSettings, OwnWood, Pace};
pub use signs::Placing;

use crate::length::Length;
use crate::lumber::Board;
use crate::paddle::{Job, Lamination, Paddle, Runs};
use crate::stop::Stop;
use crate::verify::VerifiedPlan;
use found::Found;
use placing::{Piece, Row};
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use sharing::{Pool, Shared, Stock};
use std::collections::BTreeSet;

/// Every blank of a plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GlueUp {
    /// The blanks, in the order of the job's paddles.
    pub blanks: Vec<Blank>,
    /// Strips that no blank needs, the worst ones of their lamination.
    pub spares: Vec<Spare>,
    /// Strips that were measured and no longer fit where the plan has them.
    pub misfits: Vec<Misfit>,
    /// Paddles of each kind that the job wants; the strips may make fewer.
    pub wanted: Vec<u32>,
}

/// A strip that stays over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spare {
    /// Its name in the plan.
    pub strip: String,
    /// Its kind of paddle, as an index into the job's.
    pub paddle: usize,
    /// Its lamination, as an index into the paddle's.
    pub lamination: usize,
}

/// Says how the strips of a plan go together. For another job than it was verified for, as many
/// whole blanks are shown as its strips make.
///
/// Strips in hand that bear the names of strips that the plan cuts are those strips, measured since:
/// they are paired anew by what was measured, and those that no longer fit are left out and told of.
pub fn glue_up(
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
    settings: &GlueSettings,
) -> GlueUp {
    glue_up_until(plan, job, boards, settings, &Stop::default())
}

/// The same until it is stopped: every blank is there, but strips are shared among blanks and
/// placed as well as was found till then, which their sheets say.
pub fn glue_up_until(
    plan: &VerifiedPlan,
    job: &Job,
    boards: &[Board],
    settings: &GlueSettings,
    stop: &Stop,
) -> GlueUp {
    let mut found = found::found(plan, job, boards);
    let names: BTreeSet<String> = found.values().flatten().map(|f| f.id.clone()).collect();
    let wanted = job.paddles.iter().map(|p| p.quantity).collect();
    let mut up = GlueUp { wanted, ..GlueUp::default() };
    for (line, strips) in &mut found {
        up.misfits.extend(measured::anew(job, *line, strips, &names));
    }
    for (p, paddle) in job.paddles.iter().enumerate() {
        let strips: Vec<Vec<Found>> = (0..paddle.laminations.len())
            .map(|l| found.remove(&(p, l)).unwrap_or_default())
            .collect();
        let wanted = plan.paddles.get(p).copied().unwrap_or(0) as usize;
        let whole = paddle
            .laminations
            .iter()
            .zip(&strips)
            .map(|(l, strips)| measured::enough_for(l, strips))
            .min()
            .unwrap_or(0);
        let maker = Maker { job, settings, p, paddle, strips, stop };
        maker.make(wanted.min(whole), &mut up);
    }
    up
}

impl GlueUp {
    /// The blank's name on its sheet: that of its paddle, with a number where several are wanted.
    pub fn title(&self, blank: usize) -> Option<String> {
        let blank = self.blanks.get(blank)?;
        let several = self.wanted.get(blank.paddle).is_some_and(|&n| n > 1);
        Some(if several { format!("{} {}", blank.name, blank.copy) } else { blank.name.clone() })
    }

    /// The looks of the names of all strips in these blanks.
    pub fn glued_strips(&self, blanks: &[usize]) -> std::collections::HashSet<String> {
        let places = blanks.iter().filter_map(|&b| self.blanks.get(b)).flat_map(|b| &b.places);
        places.map(|laid| crate::lumber::look(&laid.strip)).collect()
    }
}

/// Makes the blanks of one kind of paddle.
struct Maker<'a> {
    job: &'a Job,
    settings: &'a GlueSettings,
    p: usize,
    paddle: &'a Paddle,
    strips: Vec<Vec<Found>>,
    stop: &'a Stop,
}

impl Maker<'_> {
    /// Is the modulus of every wood in these strips known?
    fn equal_modulus(&self, strips: &[&Found]) -> bool {
        strips.iter().any(|s| self.settings.modulus(&s.species).is_none())
    }

    fn make(&self, blanks: usize, up: &mut GlueUp) {
        if blanks > 0 {
            let all: Vec<&Found> = self.strips.iter().flatten().collect();
            let equal = self.equal_modulus(&all);
            let pools = self.pools(equal);
            let (blade, loom) = (self.paddle.rough_blade().metres(), self.paddle.loom.metres());
            let lengths = [blade, loom, blade];
            let (shared, spares, cut_short) = sharing::share(&pools, blanks, lengths, self.stop);
            let made = shared.par_iter().enumerate().map(|(at, shared)| {
                let copy = u32::try_from(at + 1).unwrap_or(u32::MAX);
                Blank { cut_short, ..self.blank(copy, shared, equal) }
            });
            up.blanks.extend(made.collect::<Vec<_>>());
            for (lamination, spares) in spares.iter().enumerate() {
                for &s in spares {
                    let strip = self.strips[lamination][s].id.clone();
                    up.spares.push(Spare { strip, paddle: self.p, lamination });
                }
            }
        }
    }

    fn pools(&self, equal: bool) -> Vec<Pool> {
        let mut inner = Length::ZERO;
        let mut pools = Vec::new();
        for (lamination, strips) in self.paddle.laminations.iter().zip(&self.strips) {
            let row = Row {
                thickness: lamination.thickness.metres(),
                depth: self.paddle.rough_depth(&self.job.shop).metres(),
                inner: inner.metres(),
                pieces: Vec::new(),
                pairs: Vec::new(),
            };
            inner += out(lamination);
            let length = self.paddle.rough_length(lamination);
            // Of equal names the first, as everywhere.
            let mut at: FxHashMap<&str, usize> = FxHashMap::default();
            for (i, s) in strips.iter().enumerate().rev() {
                at.insert(&s.id, i);
            }
            let stock = strips.iter().map(|s| {
                let species = &s.species;
                let modulus = if equal { None } else { self.settings.modulus(species) };
                let density = s.density.or_else(|| self.settings.density(species)).unwrap_or(0.0);
                let volume = lamination.thickness.metres()
                    * self.paddle.rough_depth(&self.job.shop).metres()
                    * length.metres();
                let partner = |name: &String| {
                    at.get(name.as_str())
                        .copied()
                        .filter(|&o| strips[o].flipped_with.as_ref() == Some(&s.id))
                        .filter(|&o| strips[o].id != s.id && !lamination.centre)
                };
                Stock {
                    piece: Piece {
                        depthwise: s.own.curvature(s.own.depthwise),
                        sidewise: s.own.curvature(s.own.sidewise),
                        rise: s.own.rise,
                        modulus: modulus.unwrap_or(1.0),
                        weight: density * volume,
                    },
                    wood: species.key().to_owned(),
                    partner: s.flipped_with.as_ref().and_then(partner),
                }
            });
            let stock: Vec<Stock> = stock.collect();
            pools.push(Pool { row, each: lamination.strips() as usize, stock });
        }
        pools
    }

    fn blank(&self, copy: u32, shared: &Shared, equal: bool) -> Blank {
        let mut places: Vec<Laid> = Vec::new();
        let mut inner = Length::ZERO;
        let rows = self.paddle.laminations.iter().zip(&shared.strips).zip(&shared.placed.seats);
        for (l, ((lamination, stock), seats)) in rows.enumerate() {
            for (at, seat) in seats.iter().enumerate() {
                let strip = stock.get(seat.piece).and_then(|&s| self.strips[l].get(s));
                let Some(strip) = strip else { continue };
                let placing = Placing::with(seat.depthwise_kept, seat.sidewise_kept);
                places.push(self.laid(l, lamination, at, inner, strip, placing));
            }
            inner += out(lamination);
        }
        places.sort_by_key(|p| (p.left, p.reach));
        let (before, after) = (
            self.forecast(&places, equal, |_| Placing::AsItLies),
            self.forecast(&places, equal, |p| p.placing),
        );
        let (blade, loom) = (self.paddle.rough_blade(), self.paddle.loom);
        Blank {
            paddle: self.p,
            name: self.paddle.name.clone(),
            copy,
            length: self.paddle.blank_length(),
            blade,
            loom,
            before,
            after,
            proved: shared.placed.proved,
            cut_short: false,
            equal_modulus: equal,
            figures: Figures::of(self.paddle, &self.job.shop, &places, self.settings),
            places,
        }
    }

    fn laid(
        &self,
        index: usize,
        lamination: &Lamination,
        at: usize,
        inner: Length,
        strip: &Found,
        placing: Placing,
    ) -> Laid {
        let t = lamination.thickness;
        let (side, left) = match (lamination.centre, at % 2) {
            // `out` gives the right half of an odd thickness the greater part.
            (true, _) => (Side::Centre, out(lamination) - t),
            (false, 0) => (Side::Left, -inner - t),
            (false, _) => (Side::Right, inner),
        };
        let reach = match (lamination.runs, at) {
            (Runs::Blade, 0 | 1) if !lamination.centre => Reach::BladeA,
            (Runs::Blade, _) if !lamination.centre => Reach::BladeB,
            _ => Reach::Through,
        };
        let length = self.paddle.rough_length(lamination);
        let own = strip.own;
        let placed = own.placed(placing);
        let over = length.metres().powi(2) / 8.0;
        Laid {
            strip: strip.id.clone(),
            board: strip.board,
            copy: strip.copy,
            turned: strip.turned,
            lamination: index,
            lamination_name: lamination.name.clone(),
            species: strip.species.clone(),
            density: strip.density,
            side,
            reach,
            placing,
            left,
            right: left + t,
            length,
            depth: self.paddle.rough_depth(&self.job.shop),
            own,
            sidewise: placed.curvature(placed.sidewise) * over,
            depthwise: placed.curvature(placed.depthwise) * over,
            rise: placed.rise,
            added_slope: strip.added_slope,
            flipped_with: strip.flipped_with.clone(),
        }
    }

    fn forecast(
        &self,
        places: &[Laid],
        equal: bool,
        placing: impl Fn(&Laid) -> Placing,
    ) -> Forecast {
        let of = |reach: Reach| -> Vec<Member> {
            places
                .iter()
                .filter(|p| p.reach == reach || p.reach == Reach::Through)
                .map(|p| {
                    let modulus = if equal { None } else { self.settings.modulus(&p.species) };
                    p.member(placing(p), modulus.unwrap_or(1.0))
                })
                .collect()
        };
        let (blade, loom) = (self.paddle.rough_blade().metres(), self.paddle.loom.metres());
        let sections = [of(Reach::BladeA), of(Reach::Through), of(Reach::BladeB)];
        forecast::forecast(sections.each_ref().map(Vec::as_slice), [blade, loom, blade])
    }
}

/// How far a lamination moves the next one out from the centreline.
fn out(lamination: &Lamination) -> Length {
    let t = lamination.thickness;
    if lamination.centre { t - Length::from_units(t.units() / 2) } else { t }
}
