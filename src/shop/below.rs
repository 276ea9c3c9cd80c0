//! What lies below the leaves of a rip.

use crate::length::Length;
use crate::plan::Rip;
use crate::shop::part::{Part, THIN};

/// Left on for the planer, where its face was to be planed anyway: 1/32 in.
const OVER: Length = Length::inch_fraction(1, 32);

/// What is resawn off below the last leaf of a rip: how far it lies below the face of the planed
/// section that is toward the marked face, and how thick it is. `None` where what a rip has too
/// much is planed off, or stays.
pub(super) fn below(part: &Part<'_>, rip: &Rip, resaw: Option<Length>) -> Option<(Length, Length)> {
    let leaves = part.stack(rip, resaw);
    let spare = part.planed(resaw) - leaves;
    let kerf = resaw.filter(|_| !rip.leaves.is_empty())?;
    let over = over(rip);
    (spare > kerf.max(THIN) + over).then(|| (leaves + over + kerf, spare - over - kerf))
}

/// How much too deep the last leaf of a rip stays, until the blank is planed: what would be planed
/// off standing on edge, and is too little to be resawn off.
pub(super) fn stays(part: &Part<'_>, rip: &Rip, resaw: Option<Length>) -> Length {
    let Some(last) = rip.leaves.last() else { return Length::ZERO };
    // On its wide face, or standing on edge? What a turned one has over lies on a glue face, where
    // no planing of the blank would find it.
    let flat = rip.turned || rip.far - rip.near >= last.thickness;
    if flat || below(part, rip, resaw).is_some() {
        return Length::ZERO;
    }
    (part.planed(resaw) - part.stack(rip, resaw)).max(Length::ZERO)
}

/// What the last leaf of a rip is resawn thicker by. One leaf alone is dressed for a planed face
/// (MODEL 3), so where it lies flat it is sawn with some over.
pub(super) fn over(rip: &Rip) -> Length {
    let alone = match rip.leaves.as_slice() {
        [leaf] => rip.turned || rip.far - rip.near >= leaf.thickness,
        _ => false,
    };
    if alone { OVER } else { Length::ZERO }
}
