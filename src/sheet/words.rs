//! Names from files as they may be shown: no control characters, no longer than their place.

use crate::length::{Length, Units};
pub(crate) use crate::text::plain as clean;

/// How wide a text is at a type size, in the same measure. Generous: the widest of the usual
/// sans-serif faces, so that what fits here fits on any machine.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(|c| glyph(c) * size).sum()
}

fn glyph(c: char) -> f64 {
    match c {
        ' ' | '.' | ',' | ':' | ';' | '\'' | '|' | 'i' | 'j' | 'l' | '!' | '/' => 0.36,
        'f' | 't' | 'r' | 'I' | '(' | ')' | '[' | ']' | '"' | '-' | '·' => 0.43,
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '—' | '…' => 1.02,
        'A'..='Z' | '<' | '>' | '=' | '+' | '~' | '×' | '–' => 0.82,
        c if c.is_ascii() => 0.65,
        c if (c as u32) < 0x1100 => 0.8,
        _ => 1.1,
    }
}

/// The text if it fits, else shortened in the middle with an ellipsis; the end is kept, since
/// the end of a strip's name is what tells it from its neighbours. `None` when fewer than three
/// characters of it would be left.
pub(crate) fn fit(text: &str, size: f64, room: f64) -> Option<String> {
    if width(text, size) <= room {
        return Some(text.to_owned());
    }
    let all: Vec<char> = text.chars().collect();
    let mut kept = all.len().saturating_sub(1).min(400);
    while kept >= 3 {
        let tail = kept.div_ceil(2).max(kept.min(3));
        let head = kept - tail;
        let short: String =
            all[..head].iter().chain(&['…']).chain(&all[all.len() - tail..]).collect();
        if width(&short, size) <= room {
            return Some(short);
        }
        kept -= 1;
    }
    None
}

/// The text cut to so many characters, the middle left out.
pub(crate) fn clip(text: &str, most: usize) -> String {
    let all: Vec<char> = text.chars().collect();
    if all.len() <= most {
        return text.to_owned();
    }
    if most < 3 {
        return all[..most].iter().collect();
    }
    let tail = (most - 1).div_ceil(2);
    let head = most - 1 - tail;
    all[..head].iter().chain(&['…']).chain(&all[all.len() - tail..]).collect()
}

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
    use super::{bare, clean, clip, fit, letters, tape, width};
    use crate::length::{Length, Units};

    #[test]
    fn what_could_harm_a_page_or_a_terminal_becomes_a_mark() {
        assert_eq!(clean("a\u{1b}[31mb\u{202E}c\td"), "a\u{FFFD}[31mb\u{FFFD}c d");
        assert_eq!(clean("pin <oak> & \"ash\""), "pin <oak> & \"ash\"");
    }

    #[test]
    fn a_shortened_name_fits_and_keeps_its_end() {
        let name = "the board from behind the old boathouse.17";
        let short = fit(name, 9.0, 60.0).unwrap();
        assert!(width(&short, 9.0) <= 60.0 && short.ends_with(".17"), "{short}");
        assert_eq!(fit("B1.2", 9.0, 60.0).unwrap(), "B1.2");
        assert_eq!(fit(name, 9.0, 5.0), None);
        assert_eq!(clip(name, 7), "the….17");
        assert_eq!(clip("short", 7), "short");
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
