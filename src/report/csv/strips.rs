//! Strips in hand as CSV, in the columns that `--strips` reads (MODEL 10).

use crate::length::{Length, Units};
use crate::lumber::{Angle, StripInHand};
use crate::read::{STRIP_COLUMNS, guarded};

/// One line for each strip. Reading it for a job in these units gives the same strips: every
/// length, angle and weight keeps all its digits, and names stand as they are.
pub fn strips(strips: &[StripInHand], units: Units) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(STRIP_COLUMNS);
    // A bend of nothing is what an empty cell says.
    let bend =
        |length: Length| if length == Length::ZERO { String::new() } else { length.exact(units) };
    for strip in strips {
        let _ = writer.write_record([
            guarded(&strip.name),
            guarded(strip.species.name()),
            strip.length.exact(units),
            strip.thickness.exact(units),
            strip.depth.exact(units),
            strip.rings.map(degrees).unwrap_or_default(),
            bend(strip.sidewise),
            bend(strip.depthwise),
            strip.rises.map(|end| end.word().to_owned()).unwrap_or_default(),
            strip.weight.map(|w| w.to_string()).unwrap_or_default(),
            guarded(strip.paddle.as_deref().unwrap_or_default()),
            guarded(strip.lamination.as_deref().unwrap_or_default()),
        ]);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// An angle with all its digits.
pub(super) fn degrees(angle: Angle) -> String {
    let (whole, part) = (angle.millionths() / 1_000_000, angle.millionths() % 1_000_000);
    let digits = format!("{whole}.{part:06}");
    digits.trim_end_matches('0').trim_end_matches('.').to_owned()
}
