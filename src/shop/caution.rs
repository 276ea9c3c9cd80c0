//! Cautions that stand beside a cut, and those that stand once on every sheet.
//!
//! The rules behind them: OSHA 29 CFR 1910.213 (guard, spreader, anti-kickback, locked fence,
//! push sticks); nothing under 12 in long through a machine and hands 3 in from guards (trade
//! magazines). Local rules and the makers' sheets come first, and every sheet says so.

use crate::length::{Length, Units};
use crate::shop::words::about;

/// No hand comes nearer to a blade than this: 3 in.
const HAND: Length = Length::inch_fraction(3, 1);
/// A piece shorter than this gets its caution: 24 in.
const SHORT: Length = Length::inch_fraction(24, 1);
/// Nothing shorter goes through a machine: 12 in.
const LEAST: Length = Length::inch_fraction(12, 1);

/// The cautions on every sheet.
pub const ALWAYS: [&str; 8] = [
    "Local rules, the machines' manuals and the makers' sheets for glue and finish come first; \
     then these. A machine that you were not trained or are not allowed to run is not for you.",
    "Before the first cut look for cup and twist, which no plan here knows of: a straightedge \
     across the faces, winding sticks at the ends. Wood that rocks on the table is flattened first.",
    "Table saw: guard, riving knife or spreader, and anti-kickback in place; fence locked \
     parallel to the blade; stand beside the line of the cut, not in it.",
    "Nothing narrower than 3/4 in (19 mm) is pushed between blade and fence: it is sawn with a \
     thin-rip jig outside the blade, or on the bandsaw where the sheet says so.",
    "Push sticks or push blocks whenever a hand would come within 3 in (75 mm) of the blade. \
     Nothing under 12 in (300 mm) long goes through a saw or planer.",
    "Only an edge that is straight runs on the fence. A curved edge goes to the bandsaw. Stop if \
     the kerf closes on the blade.",
    "Wood dust harms the lungs; western redcedar dust can bring on asthma. Collect it at the \
     saw, and wear a respirator and eye and ear protection.",
    "Measure the wood before each cut: if a size differs from the sheet, stop and plan again.",
];

/// How a rip is made, for its caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rip {
    /// On the bandsaw, along a curve.
    Curve,
    /// Outside the blade of a table saw; so much is left between blade and fence.
    Jig(Length),
    /// Clamped on a sled.
    Sled,
    /// Between blade and fence, so wide.
    Fence(Length),
}

/// The caution for a rip.
pub(crate) fn rip(how: Rip, length: Length, units: Units) -> Option<String> {
    let narrow = match how {
        Rip::Curve => {
            Some("Bandsaw: push block; keep fingers off the line of the blade.".to_owned())
        }
        Rip::Jig(left) if left > Length::ZERO && left < HAND => Some(
            "What is left is narrow: stick it to a straight carrier board, wide enough for the \
             hand, that runs on the fence."
                .to_owned(),
        ),
        Rip::Jig(_) => Some("Narrow strip: the push stick moves the wide piece.".to_owned()),
        Rip::Sled => Some("Clamped on the sled: hands stay off the piece.".to_owned()),
        Rip::Fence(fence) if fence < HAND => Some(
            "Push stick: the hand does not fit beside the fence. The guard stays on.".to_owned(),
        ),
        Rip::Fence(_) => None,
    };
    join(narrow, short_section(length, units))
}

/// The caution for a resaw.
pub(crate) fn resaw(fence: Length, length: Length, units: Units) -> Option<String> {
    let thin =
        (fence < HAND).then(|| "Push block; keep fingers off the line of the blade.".to_owned());
    join(thin, short_section(length, units))
}

/// The caution for a section that is fed through a machine.
pub(crate) fn short_section(length: Length, units: Units) -> Option<String> {
    if length < LEAST {
        Some(format!(
            "Only {} long: too short for a machine. Saw and plane it by hand.",
            about(length, units)
        ))
    } else if length < SHORT {
        Some(format!("Short ({}): push it all the way past the blade.", about(length, units)))
    } else {
        None
    }
}

/// The caution for a short piece that is cut to length.
pub(crate) fn short_piece(length: Length, units: Units) -> Option<String> {
    (length > Length::ZERO && length < LEAST)
        .then(|| format!("Clamp it: the piece is only {} long.", about(length, units)))
}

/// The caution for a short offcut that falls off a crosscut saw.
pub(crate) fn short_offcut(length: Length) -> Option<String> {
    (length > Length::ZERO && length < LEAST).then(|| {
        "Hold the long side; let the short offcut fall free, never against a stop.".to_owned()
    })
}

fn join(a: Option<String>, b: Option<String>) -> Option<String> {
    match (a, b) {
        (Some(a), Some(b)) => Some(format!("{a} {b}")),
        (a, b) => a.or(b),
    }
}
