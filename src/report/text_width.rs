//! Texts that fit their place: how wide they are, and how they are shortened.

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

#[cfg(test)]
mod tests {
    use super::{clip, fit, width};

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
}
