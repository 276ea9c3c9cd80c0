//! Words that rooms share: letters of sections, counts, lengths as a tape shows them.

use crate::length::{Length, Units};
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

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn listed<T: AsRef<str>>(all: &[T]) -> String {
    listed_with(all, "and")
}

/// The same with another word before the last.
pub(crate) fn listed_with<T: AsRef<str>>(all: &[T], word: &str) -> String {
    match all {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} {word} {}", first.join(", "), last.as_ref())
        }
    }
}

/// The finest parts that are marked: 1/64 in, or 0.5 mm.
fn parts(units: Units) -> Length {
    match units {
        Units::Inch => Length::inch_fraction(1, 64),
        Units::Mm => Length::from_units(Length::MM.units() / 2),
    }
}

/// The nearest length that can be marked.
pub(crate) fn marked(length: Length, units: Units) -> Length {
    length.nearest(parts(units))
}

/// The figure behind one that was rounded; beside inches in millimetres too, since a size that no
/// fraction holds is mostly a metric one.
fn exact(length: Length, units: Units) -> String {
    match units {
        Units::Inch => {
            format!("(exact {}\", {})", length.show(units), length.with_unit(Units::Mm))
        }
        Units::Mm => format!("(exact {})", length.show(units)),
    }
}

/// A place as a tape shows it, with its unit, and the exact figure behind it where they differ.
pub(crate) fn tape(length: Length, units: Units) -> String {
    let shown = marked(length, units);
    if shown == length {
        return length.with_unit(units);
    }
    if shown == Length::ZERO {
        return format!("{} (exact)", length.with_unit(units));
    }
    format!("{} {}", shown.with_unit(units), exact(length, units))
}

/// A size to set or to saw to: never rounded down, since a piece that is too thin is lost. Up to
/// 1/64 in or 0.1 mm, and the exact figure behind it where they differ.
pub(crate) fn size(length: Length, units: Units) -> String {
    let shown = upward(length, units);
    if shown == length {
        return length.with_unit(units);
    }
    format!("{} {}", shown.with_unit(units), exact(length, units))
}

/// A setting that is not rounded, since there is no wood for it: as exact as it is told, beside inches
/// in millimetres first, which are what holds it.
pub(crate) fn precise(length: Length, units: Units) -> String {
    if upward(length, units) == length {
        return length.with_unit(units);
    }
    match units {
        Units::Inch => format!("{}, exact {}\"", length.with_unit(Units::Mm), length.show(units)),
        Units::Mm => format!("{} exactly", length.with_unit(units)),
    }
}

/// What is said where a setting is told as [`precise`].
pub(crate) const NO_WOOD: &str =
    " Not rounded: rounded up it would take wood that another piece needs.";

/// Rounded up to what can be set: 1/64 in, or 0.1 mm.
pub(crate) fn upward(length: Length, units: Units) -> Length {
    let part = Length::fine_step(units).units();
    Length::from_units(-(-length.units()).div_euclid(part) * part)
}

/// A length as a tape shows it, with its unit; where the exact figure differs a `~` stands before it
/// and that figure behind it. Beside inches it is in millimetres, since a size that no fraction
/// holds is mostly a metric one.
pub(crate) fn near(length: Length, units: Units) -> String {
    told(length, units, |shown| shown.with_unit(units))
}

/// As [`near`], without the unit.
pub(crate) fn bare(length: Length, units: Units) -> String {
    told(length, units, |shown| shown.show(units))
}

/// A size that a piece is sawn to, without its unit: as [`bare`], but never rounded down, and to 0.1 mm.
pub(crate) fn sawn(length: Length, units: Units) -> String {
    beside(upward(length, units), length, units, |shown| shown.show(units))
}

fn told(length: Length, units: Units, show: impl Fn(Length) -> String) -> String {
    beside(marked(length, units), length, units, show)
}

/// What is shown of a length, and the length where it differs.
fn beside(shown: Length, length: Length, units: Units, show: impl Fn(Length) -> String) -> String {
    if shown == length {
        return show(length);
    }
    let behind = match units {
        Units::Inch => length.with_unit(Units::Mm),
        Units::Mm => length.show(units),
    };
    format!("~{} ({behind})", show(shown))
}

/// About how much: what nothing is marked or cut by. `~` where the exact figure differs.
pub(crate) fn about(length: Length, units: Units) -> String {
    let shown = marked(length, units);
    if shown == length { length.with_unit(units) } else { format!("~{}", shown.with_unit(units)) }
}

/// What stands out and is planed off later: as every size, never told for less than it is.
pub(crate) fn excess(length: Length, units: Units) -> String {
    size(length, units)
}

/// `a × b` in the job's units, as a tape shows them.
pub(crate) fn by(sizes: &[Length], units: Units) -> String {
    joined(sizes, units, marked, |l| near(l, units), |l| bare(l, units))
}

/// `a × b`, none rounded down, in millimetres too where inches don't hold them.
pub(crate) fn rough(sizes: &[Length], units: Units) -> String {
    let one = |l: Length, unit: bool| {
        let shown = upward(l, units);
        let said = if unit { shown.with_unit(units) } else { shown.show(units) };
        match units {
            _ if shown == l => said,
            Units::Inch => format!("{said} ({})", l.with_unit(Units::Mm)),
            Units::Mm => format!("{said} (exact {})", l.show(units)),
        }
    };
    joined(sizes, units, upward, |l| one(l, true), |l| one(l, false))
}

/// Sizes with a unit behind the last; each has its own where one of them is told in inches and in
/// millimetres.
fn joined(
    sizes: &[Length],
    units: Units,
    shown: fn(Length, Units) -> Length,
    with_unit: impl Fn(Length) -> String,
    bare: impl Fn(Length) -> String,
) -> String {
    if units == Units::Inch && sizes.iter().any(|&l| shown(l, units) != l) {
        return sizes.iter().map(|&l| with_unit(l)).collect::<Vec<_>>().join(" × ");
    }
    let all: Vec<String> = sizes.iter().map(|&l| bare(l)).collect();
    format!("{} {units}", all.join(" × "))
}

#[cfg(test)]
mod tests {
    use super::{about, bare, by, counted, excess, letters, near, rough, size, tape};
    use crate::length::{Length, Units};

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
    fn a_tape_shows_sixty_fourths_and_half_millimetres() {
        let inch = Length::inch_fraction;
        assert_eq!(tape(inch(9, 32), Units::Inch), "9/32\"");
        assert_eq!(tape(inch(17, 64), Units::Inch), "17/64\"");
        assert_eq!(tape(inch(35, 128), Units::Inch), "9/32\" (exact 0.2734\", 6.945 mm)");
        assert_eq!(tape(inch(1, 1000), Units::Inch), "0.001\" (exact)");
        assert_eq!(tape(Length::MM * 22, Units::Mm), "22 mm");
        assert_eq!(tape(inch(1, 4), Units::Mm), "6.5 mm (exact 6.35)");
        assert_eq!(bare(inch(33, 128), Units::Inch), "~17/64 (6.548 mm)");
        assert_eq!(near(inch(33, 128), Units::Inch), "~17/64\" (6.548 mm)");
        assert_eq!(near(inch(1, 4), Units::Mm), "~6.5 mm (6.35)");
        assert_eq!(about(inch(33, 128), Units::Inch), "~17/64\"");
    }

    /// 0.5037 in sawn at 1/2 in would be undersize.
    #[test]
    fn a_rough_size_is_rounded_up_never_down() {
        let length = Length::inch_fraction(5037, 10_000);
        assert_eq!(size(length, Units::Inch), "33/64\" (exact 0.5037\", 12.794 mm)");
        assert_eq!(size(Length::inch_fraction(1, 2), Units::Inch), "1/2\"");
        assert_eq!(size(Length::MM * 81 - Length::from_units(1), Units::Mm), "81 mm (exact 81)");
        assert_eq!(rough(&[Length::INCH, length], Units::Inch), "1\" × 33/64\" (12.794 mm)");
        assert_eq!(rough(&[Length::INCH, Length::INCH * 2], Units::Inch), "1 × 2 in");
        assert_eq!(by(&[Length::INCH, Length::MM * 35], Units::Inch), "1\" × ~1 3/8\" (35 mm)");
        assert_eq!(by(&[Length::MM * 35, Length::INCH], Units::Mm), "35 × ~25.5 (25.4) mm");
        // What is planed off later as well: 0.0689 in is more than 1/16.
        let over = Length::inch_fraction(689, 10_000);
        assert_eq!(excess(over, Units::Inch), "5/64\" (exact 0.0689\", 1.75 mm)");
        assert_eq!(near(Length::MM * 35, Units::Inch), "~1 3/8\" (35 mm)");
        for n in 0..3000 {
            let length = Length::from_units(n * 677);
            assert!(super::upward(length, Units::Inch) >= length);
            assert!(super::upward(length, Units::Mm) >= length);
        }
    }
}
