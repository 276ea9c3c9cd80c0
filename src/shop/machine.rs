//! Machines as the headings of steps name them, each with the kerf that it takes.

use crate::length::{Length, Units};
use crate::shop::words::size;

/// A machine with its kerf: `Table saw, kerf 1/8"`.
pub(super) fn saw(name: &str, kerf: Length, units: Units) -> String {
    format!("{name}, kerf {}", size(kerf, units))
}

/// A tool that takes no kerf.
pub(super) fn plane(name: &str) -> String {
    format!("{name}, no kerf")
}

/// What straightens boards and faces.
pub(super) const JOINTER: &str = "Jointer or hand plane";
/// What brings pieces to thickness.
pub(super) const PLANER: &str = "Thickness planer";
/// What crosscuts.
pub(super) const CROSSCUT: &str = "Crosscut saw";
/// What rips along a straight edge.
pub(super) const TABLE: &str = "Table saw";
/// What follows a curve.
pub(super) const CURVE: &str = "Bandsaw along the curve";
/// What resaws.
pub(super) const RESAW: &str = "Bandsaw for resawing";
