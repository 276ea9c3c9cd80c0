//! Amounts of the bench sheet in the units of the job.

use crate::length::{Length, Units};
use crate::shop::clamps::GALLON;

/// A bend (metres) in the job's units: thousandths of an inch, hundredths of a millimetre.
pub(super) fn bend(metres: f64, units: Units) -> String {
    let (number, places, mark) = match units {
        Units::Inch => (metres / 0.0254, 3, "\""),
        Units::Mm => (metres * 1000.0, 2, " mm"),
    };
    let text = format!("{number:.places$}");
    let zero = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    if zero { format!("0{mark}") } else { format!("{text}{mark}") }
}

/// A weight (kg): ounces and pounds, or grams.
pub(super) fn weight(kilograms: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} oz", kilograms / 0.028_349_523_125),
        Units::Mm => format!("{:.0} g", kilograms * 1000.0),
    }
}

pub(super) fn area(square_metres: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} ft²", square_metres / (0.3048 * 0.3048)),
        Units::Mm => format!("{square_metres:.2} m²"),
    }
}

pub(super) fn volume(cubic_metres: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} fl oz", cubic_metres / (GALLON / 128.0)),
        Units::Mm => format!("{:.0} ml", cubic_metres * 1e6),
    }
}

pub(super) fn force(newtons: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lb", newtons / 4.448_221_615),
        Units::Mm => format!("{:.1} kN", newtons / 1000.0),
    }
}

pub(super) fn stiffness(ei: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} lb·in²", ei / 4.448_221_615 / (0.0254 * 0.0254)),
        Units::Mm => format!("{ei:.0} N·m²"),
    }
}

pub(super) fn density(kilograms: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} lb/ft³", kilograms * 0.028_316_846_592 / 0.453_592_37),
        Units::Mm => format!("{kilograms:.0} kg/m³"),
    }
}

/// The nearest 1/4 in or 5 mm, for spacings and cauls.
pub(super) fn rough(length: Length, units: Units) -> String {
    let step = match units {
        Units::Inch => Length::inch_fraction(1, 4),
        Units::Mm => Length::MM * 5,
    };
    let steps = (length.units() + step.units() / 2).div_euclid(step.units());
    (step * steps).with_unit(units)
}
