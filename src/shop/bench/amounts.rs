//! Amounts of the bench sheet in the units of the job.

use crate::glue::settings::PSI;
use crate::length::{Length, Units};
use crate::shop::clamps::GALLON;
use crate::shop::words::near;

/// A length (metres) with its sign in the job's units: to 1/64 in, to a tenth of a millimetre.
pub(super) fn bend(metres: f64, units: Units) -> String {
    let step = Length::fine_step(units);
    let number = metres / step.metres();
    #[allow(clippy::cast_possible_truncation)] // bounded
    let steps = number.round().clamp(-1e6, 1e6) as i64;
    (step * steps).with_unit(units)
}

/// A length of the job or its settings: a metric one among inches with its millimetres, any in
/// millimetres to a tenth.
pub(super) fn shown(length: Length, units: Units) -> String {
    match units {
        Units::Inch => near(length, units),
        Units::Mm => bend(length.metres(), units),
    }
}

/// A size of a strip or a blank, in millimetres as it is.
pub(super) fn sized(length: Length, units: Units) -> String {
    match units {
        Units::Inch => near(length, units),
        Units::Mm => length.with_unit(units),
    }
}

/// A film or a glue line, too thin for a tape.
pub(super) fn film(length: Length) -> String {
    Length::from_units((length.units() + 400) / 800 * 800).with_unit(Units::Mm)
}

/// A number with so many decimals, and no sign before nothing.
fn rounded(number: f64, places: usize) -> String {
    let text = format!("{number:.places$}");
    let zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if zero { "0".to_owned() } else { text }
}

/// A weight (kg): ounces and pounds, or grams.
pub(super) fn weight(kilograms: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{} oz", rounded(kilograms / 0.028_349_523_125, 1)),
        Units::Mm => format!("{} g", rounded(kilograms * 1000.0, 0)),
    }
}

/// A time in minutes and seconds.
pub(super) fn clock(seconds: u64) -> String {
    format!("{}:{:02} min", seconds / 60, seconds % 60)
}

/// A pressure (Pa).
pub(super) fn pressure(pascal: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} psi", pascal / PSI),
        Units::Mm => format!("{:.2} MPa", pascal / 1e6),
    }
}

/// The area under clamps.
pub(super) fn pressed(square_metres: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.1} in²", square_metres / (0.0254 * 0.0254)),
        Units::Mm => format!("{:.0} mm²", square_metres * 1e6),
    }
}

/// A temperature (°C).
pub(super) fn temperature(celsius: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.0} °F", celsius * 1.8 + 32.0),
        Units::Mm => format!("{celsius:.0} °C"),
    }
}

/// A slope of grain, never flatter than it is.
pub(super) fn slope(ratio: f64) -> String {
    if ratio > 0.0 { format!("1:{:.0}", (1.0 / ratio + 1e-6).floor()) } else { "none".to_owned() }
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
        Units::Mm => format!("{newtons:.0} N"),
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
