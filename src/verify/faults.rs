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

#[cfg(test)]
mod tests {
    use super::Faults;
    use crate::length::Units;

    /// A figure that no board comes near is shown as four times the greatest size.
    #[test]
    fn figures_are_shown_up_to_four_times_the_greatest() {
        let faults = Faults::new(Units::Mm);
        assert_eq!(faults.show(80_000), "1 mm");
        assert_eq!(faults.show(32_000_000_000), "400000 mm");
        assert_eq!(faults.show(i128::MAX), "400000 mm");
        assert_eq!(faults.show(-i128::MAX), "-400000 mm");
    }
}
