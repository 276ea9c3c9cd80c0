//! Texts that fit their place: how wide they are, on how many lines they go.

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

/// The text on as many lines as it needs: parted at spaces, and within a word that is wider than a
/// line. Nothing of it is left out.
pub(crate) fn lines(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut out: Vec<String> = vec![String::new()];
    for word in text.split(' ') {
        let space = if out.last().is_none_or(String::is_empty) { "" } else { " " };
        let here = out.last().map_or(0.0, |line| width(line, size));
        if here > 0.0 && here + width(space, size) + width(word, size) > room {
            out.push(String::new());
        } else if let Some(line) = out.last_mut() {
            line.push_str(space);
        }
        for c in word.chars() {
            let Some(line) = out.last_mut() else { continue };
            if !line.is_empty() && width(line, size) + glyph(c) * size > room {
                out.push(c.to_string());
            } else {
                line.push(c);
            }
        }
    }
    out
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
    use super::{clip, lines, width};

    #[test]
    fn a_long_name_goes_on_and_loses_nothing() {
        let name = "the board from behind the old boathouse.17";
        let parted = lines(name, 9.0, 60.0);
        assert!(parted.len() > 3 && parted.iter().all(|l| width(l, 9.0) <= 60.0), "{parted:?}");
        assert_eq!(parted.concat().replace(' ', ""), name.replace(' ', ""));
        assert_eq!(lines(name, 9.0, 600.0), [name]);
        let word = "x".repeat(50);
        let parted = lines(&word, 9.0, 60.0);
        assert!(parted.len() > 1 && parted.iter().all(|l| width(l, 9.0) <= 60.0), "{parted:?}");
        assert_eq!(parted.concat(), word);
    }

    #[test]
    fn a_clipped_text_keeps_its_end() {
        assert_eq!(clip("the board from behind the old boathouse.17", 7), "the….17");
        assert_eq!(clip("short", 7), "short");
    }
}
