//! Glue, clamps and time for one blank.

use crate::glue::{Blank, GlueSettings, Laid, Reach, Side};
use crate::length::Length;

/// A US gallon, 231 cubic inches, in m³.
pub const GALLON: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254;

/// What gluing one blank takes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Clamping {
    /// Glue joints, counted blade by blade: a joint through the loom counts once.
    pub joints: u32,
    /// Their area, m².
    pub area: f64,
    /// Glue for the film and the margin, m³.
    pub glue: f64,
    /// From one bar clamp to the next.
    pub spacing: Length,
    /// Bar clamps on each blade.
    pub blade_clamps: u32,
    /// Small clamps along the loom.
    pub loom_clamps: u32,
    /// Force of each bar clamp for the pressure asked, N.
    pub force: f64,
    /// Cauls to cut: (how many, length, width, thickness).
    pub cauls: Vec<(u32, Length, Length, Length)>,
    /// Pairs of alignment blocks across the faces.
    pub blocks: u32,
    /// Minutes until the clamps must be on.
    pub open_time: f64,
    /// Seconds there are to spread each joint if half the open time goes to closing and clamping.
    pub seconds_a_joint: f64,
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

/// The most clamps that are counted; more says that a spacing is wrong.
const MOST: f64 = 1000.0;

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded just before
fn count(length: f64, spacing: f64) -> u32 {
    if spacing <= 0.0 {
        return 0;
    }
    (length / spacing).ceil().clamp(0.0, MOST) as u32 + 1
}

impl Clamping {
    /// Works it out for one blank.
    pub fn of(blank: &Blank, settings: &GlueSettings) -> Self {
        let (places, blade, loom) = (&blank.places, blank.blade, blank.loom);
        let mut clamping = Clamping { open_time: settings.open_time, ..Clamping::default() };
        for p in places {
            // Of strips in mirrored places each has a joint on its inner face; the centre strip
            // has none of its own, and without a centre strip two through strips share one.
            let shared = p.side == Side::Left && p.right == Length::ZERO;
            if p.side != Side::Centre && !shared {
                clamping.joints += 1;
                clamping.area += p.length.metres() * p.depth.metres();
            }
        }
        clamping.glue = clamping.area * settings.film.metres() * (1.0 + settings.margin / 100.0);
        let outer = |blades: bool| {
            let of = |p: &&Laid| !blades || p.reach != Reach::Through;
            places.iter().filter(of).map(Laid::thickness).min()
        };
        let thin = outer(true).or_else(|| outer(false)).unwrap_or_default();
        clamping.spacing = settings.clamp_spacing.unwrap_or_else(|| spacing(thin));
        // Common practice: at least ten bar clamps and a dozen small ones a paddle.
        clamping.blade_clamps = count(blade.metres(), clamping.spacing.metres()).max(5);
        clamping.loom_clamps = count(loom.metres(), clamping.spacing.metres() / 2.0).max(6) * 2;
        let depth = places.iter().map(|p| p.depth).max().unwrap_or_default();
        let pascal = settings.pressure * 6_894.757_293_168;
        clamping.force =
            pascal * depth.metres() * blade.metres() / f64::from(clamping.blade_clamps);
        // Pressure spreads at about 45°, so caul and outer strip together reach half the spacing.
        let reach = Length::from_units(clamping.spacing.units() / 2) - thin;
        let quarter = Length::inch_fraction(1, 4);
        let quarters = (reach.units() + quarter.units() - 1).div_euclid(quarter.units());
        let thick = (quarter * quarters).max(quarter * 3);
        clamping.cauls = vec![(4, blade, depth, thick), (2, loom, depth, thick)];
        clamping.blocks = 6;
        if clamping.joints > 0 {
            clamping.seconds_a_joint = settings.open_time * 30.0 / f64::from(clamping.joints);
        }
        clamping
    }
}

/// Spacing of bar clamps for strips so thick: 5 in up to 1/4 in, 8 in from 3/4 in on (common
/// practice: 5 to 8 in along a blade, closer for thinner strips), evenly between.
pub fn spacing(thin: Length) -> Length {
    let inch = Length::INCH;
    let over = (thin - Length::inch_fraction(1, 4)).max(Length::ZERO);
    (inch * 5 + over * 6).min(inch * 8)
}
