//! Faults as they are found, and lengths as the checks reckon with them.

use super::fault::{Fault, Place, Rule};
use crate::length::{Length, Units};

/// Faults found so far.
pub(super) struct Faults {
    units: Units,
    pub(super) found: Vec<Fault>,
}

impl Faults {
    /// None found yet; figures are shown in these units.
    pub(super) fn new(units: Units) -> Faults {
        Faults { units, found: Vec::new() }
    }

    pub(super) fn add(&mut self, place: &Place, rule: Rule, figures: String) {
        self.found.push(Fault { place: place.clone(), rule, figures });
    }

    /// Shows a number of units of length.
    pub(super) fn show(&self, units: i128) -> String {
        let most = i128::from(Length::LIMIT.units()) * 4;
        let units = units.clamp(-most, most);
        Length::from_units(i64::try_from(units).unwrap_or(0)).with_unit(self.units)
    }
}

/// A length as a wide whole number.
pub(super) fn wide(length: Length) -> i128 {
    i128::from(length.units())
}
