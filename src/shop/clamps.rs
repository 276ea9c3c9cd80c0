//! Glue and clamps for one blank: how many, where, how hard.
//!
//! A clamp's force goes through every joint under it, so the pressed area of a stretch is its
//! length by the depth of the strips, once, however many joints there are.

use crate::glue::settings::{POUND, PSI};
use crate::glue::{Blank, GlueKind, GlueSettings, Laid, Reach, Side};
use crate::length::{Length, Units};

/// A US gallon, 231 cubic inches, in m³.
pub const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;

/// Strips of a blank that are pressed by clamps of their own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Which {
    /// Each of the two blades, with what runs through it.
    #[default]
    Blade,
    /// The loom between the blades' shoulders.
    Loom,
    /// A blank without blade strips, from tip to tip.
    Whole,
}

/// The bar clamps of one stretch of the blank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stretch {
    /// Which it is.
    pub which: Which,
    /// Its length.
    pub length: Length,
    /// Where the clamps go, from the tip (of the loom: from the shoulder of blade A).
    pub places: Vec<Length>,
    /// From one clamp to the next; nothing where there is one clamp.
    pub spacing: Length,
    /// Pressed area, m².
    pub area: f64,
    /// Force of each clamp, N.
    pub force: f64,
    /// Pressure that comes of it, Pa.
    pub pressure: f64,
    /// Do its clamps press hard enough?
    pub enough: bool,
    /// Clamps that it would have, if there were more of them.
    pub wanted: u32,
    /// Jaws must open at least so far: over strips, glue lines and both cauls.
    pub opening: Length,
    /// Cauls of this stretch: length, width, thickness. Two for each time it occurs.
    pub caul: [Length; 3],
    /// Where pairs of alignment blocks go, between clamps; measured as the places are.
    pub blocks: Vec<Length>,
}

impl Stretch {
    /// How often the blank has such a stretch.
    pub fn times(&self) -> u32 {
        if self.which == Which::Blade { 2 } else { 1 }
    }

    /// Bar clamps on all of them.
    pub fn clamps(&self) -> u32 {
        self.times() * u32::try_from(self.places.len()).unwrap_or(0)
    }

    /// Pairs of alignment blocks on all of them.
    pub fn pairs(&self) -> u32 {
        self.times() * u32::try_from(self.blocks.len()).unwrap_or(0)
    }
}

/// What gluing one blank takes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Clamping {
    /// Glue joints, counted blade by blade: a joint through the loom counts once.
    pub joints: u32,
    /// Their area, m².
    pub area: f64,
    /// Glue for the film and the margin, on every face that gets it, m³.
    pub glue: f64,
    /// Pressure asked for, psi.
    pub wanted: f64,
    /// Each stretch with its clamps.
    pub stretches: Vec<Stretch>,
    /// Across a blade, and across the loom: strips, joints, strips and glue lines together.
    pub across: Vec<Across>,
    /// Bar clamps that would be set, if the shop had more of them.
    pub more: Option<u32>,
}

/// A section of the blank as the tape shows it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Across {
    /// Of what stretch.
    pub which: Which,
    /// Finished thicknesses from left to right.
    pub strips: Vec<Length>,
    /// What the glue lines come to together, to a mark of the tape.
    pub lines: Length,
}

impl Across {
    /// Strips and glue lines.
    pub fn width(&self) -> Length {
        self.strips.iter().fold(self.lines, |sum, &t| sum + t)
    }
}

/// Area in m² that so much glue (m³) covers in a film (m) without margin.
///
/// ```
/// use stripwright::shop::clamps::{GALLON, coverage};
/// // Printed, with something for loss: a gallon covers 48 ft² at 1/32 in and 96 at 1/64. By
/// // 231 cubic inches it is 51.3 and 102.7.
/// let feet = |film: f64| coverage(GALLON, film * 0.0254) / (0.3048 * 0.3048);
/// assert!((feet(1.0 / 32.0) - 231.0 * 32.0 / 144.0).abs() < 1e-9);
/// for (film, printed) in [(1.0 / 32.0, 48.0), (1.0 / 64.0, 96.0)] {
///     assert!(feet(film) > printed && feet(film) < printed * 1.07);
/// }
/// ```
pub fn coverage(volume: f64, film: f64) -> f64 {
    if film > 0.0 { volume / film } else { 0.0 }
}

/// Is the joint on this strip's inner face counted with it? Of strips in mirrored places each has
/// one; the centre strip has none of its own, and without a centre strip two through strips
/// share one.
pub(super) fn has_joint(p: &Laid) -> bool {
    p.side != Side::Centre && !(p.side == Side::Left && p.right == Length::ZERO)
}

/// What a tape shows: sixteenths of an inch, or millimetres.
fn mark(units: Units) -> Length {
    match units {
        Units::Inch => Length::inch_fraction(1, 16),
        Units::Mm => Length::MM,
    }
}

fn down(length: Length, step: Length) -> Length {
    step * length.units().div_euclid(step.units())
}

fn up(length: Length, step: Length) -> Length {
    down(length + step - Length::from_units(1), step)
}

/// The first clamp lies 1 1/2 to 2 in from the end (a glue maker's guide).
fn first(units: Units) -> (Length, Length) {
    match units {
        Units::Inch => (Length::inch_fraction(3, 2), Length::INCH * 2),
        Units::Mm => (Length::MM * 39, Length::MM * 50),
    }
}

/// The most clamps on a stretch; more says that a figure is wrong.
const MOST: i64 = 200;

/// Places of at least `wanted` clamps, if they find room, and no farther apart than `spacing`; or
/// of just so many as there are. Bar clamps find room 2 in apart (from memory).
fn places(
    length: Length,
    spacing: Length,
    wanted: f64,
    just: Option<u32>,
    units: Units,
) -> (Vec<Length>, Length) {
    let ((near, far), step) = (first(units), mark(units));
    let between = length - near * 2;
    let close = Length::INCH * 2;
    if between < close {
        return (vec![down(Length::from_units(length.units() / 2), step)], Length::ZERO);
    }
    let gaps = |by: Length| between.units() / by.units().max(1);
    let by_spacing = (between.units() + spacing.units() - 1) / spacing.units().max(1);
    #[allow(clippy::cast_possible_truncation)] // bounded just before
    let by_force = wanted.ceil().clamp(0.0, 1e6) as i64 - 1;
    let by_need = by_spacing.max(by_force).min(gaps(up(close, step)));
    let gaps = just.map_or(by_need, |n| i64::from(n) - 1).clamp(1, MOST);
    let apart = down(Length::from_units(between.units() / gaps), step);
    let slack = length - apart * gaps;
    let start = down(Length::from_units(slack.units() / 2), step).clamp(near, far);
    ((0..=gaps).map(|n| start + apart * n).collect(), apart)
}

impl Clamping {
    /// Works it out for one blank and a kind of glue.
    pub fn of(blank: &Blank, settings: &GlueSettings, kind: &GlueKind, units: Units) -> Self {
        let mut clamping = Clamping::default();
        for p in blank.places.iter().filter(|p| has_joint(p)) {
            clamping.joints += 1;
            clamping.area += p.length.metres() * p.depth.metres();
        }
        let faces = if kind.both_faces { 2.0 } else { 1.0 };
        clamping.glue =
            clamping.area * faces * settings.film.metres() * (1.0 + settings.margin / 100.0);
        // The lightest wood is crushed first.
        let densities = blank.places.iter().filter_map(|p| settings.density(&p.species));
        clamping.wanted = kind.pressure_for(densities.min_by(f64::total_cmp));
        let blades = blank.places.iter().any(|p| p.reach != Reach::Through);
        let mut pressed = Vec::new();
        let parts = if blades {
            vec![(Which::Blade, blank.blade), (Which::Loom, blank.loom)]
        } else {
            vec![(Which::Whole, blank.length)]
        };
        for (which, length) in parts {
            let in_it = |p: &&Laid| match which {
                Which::Blade => p.reach != Reach::BladeB,
                Which::Loom | Which::Whole => p.reach == Reach::Through,
            };
            let strips: Vec<Length> =
                blank.places.iter().filter(in_it).map(Laid::thickness).collect();
            // One strip alone has no joint, and needs no clamps.
            let lines =
                settings.line * i64::try_from(strips.len()).unwrap_or(1).max(1) - settings.line;
            let across = Across { which, lines: on_tape(lines, units), strips };
            if across.strips.len() > 1 {
                let depth = blank.places.iter().map(|p| p.depth).max().unwrap_or_default();
                pressed.push(Pressed { length, depth, across: across.clone(), units });
            }
            clamping.across.push(across);
        }
        let stretch = |p: &Pressed, just| p.stretch(clamping.wanted, settings, just);
        let mut stretches: Vec<Stretch> = pressed.iter().map(|p| stretch(p, None)).collect();
        let wanted = stretches.iter().map(Stretch::clamps).sum();
        if let Some(counts) = settings.clamps.and_then(|have| shared(&stretches, have)) {
            clamping.more = Some(wanted);
            for ((st, p), count) in stretches.iter_mut().zip(&pressed).zip(counts) {
                *st = Stretch { wanted: st.wanted, ..stretch(p, Some(count)) };
            }
        }
        clamping.stretches = stretches;
        clamping
    }

    /// Bar clamps in all.
    pub fn bar_clamps(&self) -> u32 {
        self.stretches.iter().map(Stretch::clamps).sum()
    }

    /// Pairs of alignment blocks in all.
    pub fn pairs(&self) -> u32 {
        self.stretches.iter().map(Stretch::pairs).sum()
    }

    /// Small clamps: each pair of blocks is held at both its ends.
    pub fn small_clamps(&self) -> u32 {
        2 * self.pairs()
    }
}

/// A length as sixty-fourths of an inch, or tenths of a millimetre.
fn on_tape(length: Length, units: Units) -> Length {
    let step = Length::fine_step(units);
    down(length + Length::from_units(step.units() / 2), step)
}

/// A stretch before its clamps are counted.
struct Pressed {
    length: Length,
    depth: Length,
    across: Across,
    units: Units,
}

impl Pressed {
    /// With as many clamps as it takes, or with just so many.
    fn stretch(&self, wanted: f64, settings: &GlueSettings, just: Option<u32>) -> Stretch {
        let (which, length, units) = (self.across.which, self.length, self.units);
        let strips = &self.across.strips;
        let outer = strips.first().copied().unwrap_or_default();
        let outer = outer.min(strips.last().copied().unwrap_or_default());
        let most = settings.clamp_spacing.unwrap_or_else(|| spacing(outer));
        let area = length.metres() * self.depth.metres();
        let needed = wanted * PSI * area;
        let by_force = needed / settings.clamp_load;
        let (places, spacing) = places(length, most, by_force, just, units);
        #[allow(clippy::cast_precision_loss)]
        let many = places.len() as f64;
        let force = (needed / many).min(settings.clamp_load);
        // A hair below the load is rounding.
        let enough = needed <= settings.clamp_load * many * 1.000_001;
        // Pressure spreads at about 45°, so caul and outer strip together reach half the spacing.
        let quarter = match units {
            Units::Inch => Length::inch_fraction(1, 4),
            Units::Mm => Length::MM * 5,
        };
        let apart = if spacing > Length::ZERO { spacing } else { length.min(most) };
        let reach = Length::from_units(apart.units() / 2) - outer;
        let thick = up(reach, quarter).max(quarter * 3);
        // Cauls of the loom stay clear of the shoulders, a quarter inch at each.
        let clear = if which == Which::Loom { quarter * 2 } else { Length::ZERO };
        let long = down(length - clear, mark(units)).max(mark(units));
        Stretch {
            which,
            length,
            blocks: blocks(&places, spacing, units),
            wanted: u32::try_from(places.len()).unwrap_or(u32::MAX),
            places,
            spacing,
            area,
            force,
            pressure: if area > 0.0 { force * many / area } else { 0.0 },
            enough,
            opening: up(self.across.width() + thick * 2, quarter),
            caul: [long, up(self.depth, quarter), thick],
        }
    }
}

/// Clamps for each stretch where the shop has fewer than are wanted: again and again one less
/// where those that stay would press the least. Two stay on each stretch, one where one is
/// wanted; `None` where there are enough.
fn shared(stretches: &[Stretch], have: u32) -> Option<Vec<u32>> {
    let mut counts: Vec<u32> = stretches.iter().map(|st| st.wanted).collect();
    let total = |counts: &[u32]| -> u32 {
        counts.iter().zip(stretches).map(|(n, st)| n * st.times()).sum()
    };
    if total(&counts) <= have {
        return None;
    }
    while total(&counts) > have {
        let force = |i: usize| stretches[i].area / f64::from(counts[i] - 1);
        let least = (0..counts.len()).filter(|&i| counts[i] > 2);
        match least.min_by(|&a, &b| force(a).total_cmp(&force(b))) {
            Some(i) => counts[i] -= 1,
            None => break,
        }
    }
    Some(counts)
}

/// Pairs of blocks lie midway between the first two clamps and between the last two.
fn blocks(places: &[Length], spacing: Length, units: Units) -> Vec<Length> {
    let half = down(Length::from_units(spacing.units() / 2), mark(units));
    let gaps = places.len().saturating_sub(1);
    let of = |gap: usize| places.get(gap).map(|&at| at + half);
    match gaps {
        0 => Vec::new(),
        1 => of(0).into_iter().collect(),
        _ => [of(0), of(gaps - 1)].into_iter().flatten().collect(),
    }
}

/// Most from clamp to clamp for an outer strip so thick: 5 in up to 1/4 in, 8 in from 3/4 in on
/// (common practice: 5 to 8 in along a blade, closer for thinner strips), evenly between.
pub fn spacing(thin: Length) -> Length {
    let inch = Length::INCH;
    let over = (thin - Length::inch_fraction(1, 4)).max(Length::ZERO);
    (inch * 5 + over * 6).min(inch * 8)
}

/// Pounds, as the clamps' makers count.
pub fn pounds(newtons: f64) -> f64 {
    newtons / POUND
}
