//! Words that rooms share: names from files as they may be shown, letters of sections, counts,
//! lengths as a tape shows them.

use crate::length::{Length, Units};
pub(crate) use crate::text::plain as clean;
use std::fmt::Display;

/// `A`, `B` … `Z`, `AA`, `AB` …
pub(crate) fn letters(mut n: usize) -> String {
    let mut out = Vec::new();
    loop {
        out.push(char::from(b'A' + u8::try_from(n % 26).unwrap_or(0)));
        if n < 26 {
            break;
        }
        n = n / 26 - 1;
    }
    out.iter().rev().collect()
}

/// `1 board`, `2 boards`.
pub(crate) fn counted<N: Display + PartialEq + From<u8>>(n: N, one: &str) -> String {
    let several = if n == N::from(1) { "" } else { "s" };
    format!("{n} {one}{several}")
}

/// A length as a tape shows it, with its unit, and the exact figure behind it where they differ.
pub(crate) fn tape(length: Length, units: Units) -> String {
    let shown = length.on_tape(units);
    if shown == length {
        return length.with_unit(units);
    }
    if shown == Length::ZERO {
        return format!("{} (exact)", length.with_unit(units));
    }
    format!("{} (exact {})", shown.with_unit(units), length.show(units))
}

/// A length as a tape shows it, with its unit; `~` before it where the exact figure differs.
pub(crate) fn near(length: Length, units: Units) -> String {
    let shown = length.on_tape(units);
    if shown == length { length.with_unit(units) } else { format!("~{}", shown.with_unit(units)) }
}

/// As [`near`], without the unit.
pub(crate) fn bare(length: Length, units: Units) -> String {
    let shown = length.on_tape(units);
    if shown == length { length.show(units) } else { format!("~{}", shown.show(units)) }
}

/// `a × b` in the job's units, as a tape shows them.
pub(crate) fn by(sizes: &[Length], units: Units) -> String {
    let sizes: Vec<String> = sizes.iter().map(|&l| bare(l, units)).collect();
    match units {
        Units::Inch => format!("{} in", sizes.join(" × ")),
        Units::Mm => format!("{} mm", sizes.join(" × ")),
    }
}

#[cfg(test)]
mod tests {
    use super::{bare, clean, counted, letters, tape};
    use crate::length::{Length, Units};

    #[test]
    fn what_could_harm_a_page_or_a_terminal_becomes_a_mark() {
        assert_eq!(clean("a\u{1b}[31mb\u{202E}c\td"), "a\u{FFFD}[31mb\u{FFFD}c d");
        assert_eq!(clean("pin <oak> & \"ash\""), "pin <oak> & \"ash\"");
    }

    #[test]
    fn one_board_is_no_boards() {
        assert_eq!([0_u32, 1, 2].map(|n| counted(n, "board")), ["0 boards", "1 board", "2 boards"]);
    }

    #[test]
    fn letters_run_on_after_z() {
        let names: Vec<String> = [0, 25, 26, 27, 51, 52, 701, 702].map(letters).into();
        assert_eq!(names, ["A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"]);
    }

    #[test]
    fn a_tape_shows_thirty_seconds_and_half_millimetres() {
        let inch = Length::inch_fraction;
        assert_eq!(tape(inch(9, 32), Units::Inch), "9/32\"");
        assert_eq!(tape(inch(17, 64), Units::Inch), "9/32\" (exact 17/64)");
        assert_eq!(tape(inch(1, 1000), Units::Inch), "0.001\" (exact)");
        assert_eq!(tape(Length::MM * 22, Units::Mm), "22 mm");
        assert_eq!(tape(inch(1, 4), Units::Mm), "6.5 mm (exact 6.35)");
        assert_eq!(bare(inch(17, 64), Units::Inch), "~9/32");
    }
}
