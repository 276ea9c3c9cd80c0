//! The force that holds a strip straight against its depthwise bend.
//!
//! A strip of length L bent by δ in its middle is held flat by a load W spread evenly along it,
//! as a beam on two supports is bent by it: δ = 5·W·L³ / (384·E·I), so W = 384·E·I·δ / (5·L³), with
//! I = t·D³/12 (Wood Handbook, chapter 9, eq. 9–1 with k_b = 5/384, from memory; shear left out).

use crate::glue::{Blank, GlueSettings};
use crate::length::Length;

/// A strip that must be held.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Index of the strip among the blank's places.
    pub place: usize,
    /// Force, N; `None` where the wood's modulus is not known.
    pub force: Option<f64>,
}

/// Force in N for a beam of modulus (Pa), thickness, depth, length and bend (m).
///
/// ```
/// use stripwright::shop::hold::force;
/// // 1 in × 1 in × 10 in at 1,000,000 psi bends 0.0156 in under 100 lb spread along it:
/// // 5 · 100 · 10³ / (384 · 10⁶ · 1/12).
/// let (psi, inch, pound) = (6_894.757, 0.0254, 4.448_222);
/// let held = force(1e6 * psi, inch, inch, 10.0 * inch, 0.015_625 * inch);
/// assert!((held / pound - 100.0).abs() < 0.01);
/// ```
pub fn force(modulus: f64, thickness: f64, depth: f64, length: f64, bend: f64) -> f64 {
    if length <= 0.0 {
        return 0.0;
    }
    let inertia = thickness * depth.powi(3) / 12.0;
    384.0 * modulus * inertia * bend.abs() / (5.0 * length.powi(3))
}

/// The strips that bend depthwise by more than may go in alone.
pub fn holds(blank: &Blank, straight: Length, settings: &GlueSettings) -> Vec<Hold> {
    let bent = |(_, p): &(usize, &crate::glue::Laid)| {
        p.depthwise.abs() > straight.metres() + crate::glue::placing::STEP
    };
    blank
        .places
        .iter()
        .enumerate()
        .filter(bent)
        .map(|(place, p)| {
            let force = settings.modulus(&p.species).map(|modulus| {
                let (t, d) = (p.thickness().metres(), p.depth.metres());
                force(modulus * 1e6, t, d, p.length.metres(), p.depthwise)
            });
            Hold { place, force }
        })
        .collect()
}
