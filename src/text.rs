//! Text from files and from the command line, as it may be shown.

/// Does a character do something to a terminal or a page instead of being seen on it? Control
/// characters, ends of lines and characters that turn the direction of writing do. Names with
/// one are refused where they are read; other text is shown by [`shown`] or [`plain`].
///
/// ```
/// use stripwright::text::misleads;
/// assert!(misleads('\u{1b}') && misleads('\u{202E}') && misleads('\n'));
/// assert!(!misleads('é') && !misleads(' '));
/// ```
pub fn misleads(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{61C}' | '\u{200E}' | '\u{200F}' | '\u{2028}' | '\u{2029}'
            | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

/// Text on one line, with the codes of characters that [`misleads`] tells of. Nothing else is
/// changed, so what was shown once is the same when it is shown again.
///
/// ```
/// assert_eq!(stripwright::text::shown("a\u{1b}[31m"), "a\\u{1b}[31m");
/// ```
pub fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if misleads(c) { out.extend(c.escape_default()) } else { out.push(c) }
    }
    out
}

/// Is a character there without being seen, though it moves and turns nothing?
fn unseen(c: char) -> bool {
    matches!(c, '\u{AD}' | '\u{200B}'..='\u{200D}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
}

/// As [`shown`], and with the codes of characters that show nothing: of a value that is refused
/// they may be the reason. In scripts that join their letters two of them are spelling.
///
/// ```
/// assert_eq!(stripwright::text::spelled("\u{FEFF}84"), "\\u{feff}84");
/// assert_eq!(stripwright::text::spelled("می\u{200C}خ"), "می\u{200C}خ");
/// ```
pub fn spelled(text: &str) -> String {
    let joins = text.chars().any(|c| c.is_alphabetic() && !c.is_ascii());
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let spelling = joins && matches!(c, '\u{200C}' | '\u{200D}');
        if misleads(c) {
            out.extend(c.escape_default());
        } else if unseen(c) && !spelling {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// Lines of text, each as [`shown`].
pub fn shown_lines(text: &str) -> String {
    if !text.chars().any(|c| c != '\n' && misleads(c)) {
        return text.to_owned();
    }
    text.split('\n').map(shown).collect::<Vec<_>>().join("\n")
}

/// A name with a visible mark for each character that [`misleads`] tells of or that shows
/// nothing. Names from files hold none; those of boards made in code may.
pub fn plain(name: &str) -> String {
    let shown = |c: char| match c {
        '\t' | '\n' | '\r' => ' ',
        c if misleads(c) => '\u{FFFD}',
        '\u{200B}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFFE}' | '\u{FFFF}' => '\u{FFFD}',
        c => c,
    };
    name.chars().map(shown).collect()
}

/// Text in which a number and its fraction, or its unit, stay on one line: the space between
/// becomes one that does not break.
///
/// ```
/// assert_eq!(stripwright::text::together("at 84 3/4, 22 mm in"), "at 84\u{A0}3/4, 22\u{A0}mm in");
/// assert_eq!(stripwright::text::together("5 of 7"), "5 of 7");
/// ```
pub fn together(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    let digit = |at: usize| at > 0 && text.as_bytes()[at - 1].is_ascii_digit();
    for (at, _) in text.match_indices(' ').filter(|&(at, _)| digit(at)) {
        let next = &text[at + 1..];
        let digits = next.trim_start_matches(|d: char| d.is_ascii_digit());
        let fraction = digits.len() < next.len()
            && digits.starts_with('/')
            && digits[1..].starts_with(|d: char| d.is_ascii_digit());
        let unit = next
            .strip_prefix("mm")
            .is_some_and(|rest| !rest.starts_with(|l: char| l.is_alphanumeric()));
        if fraction || unit {
            out.push_str(&text[done..at]);
            out.push('\u{A0}');
            done = at + 1;
        }
    }
    out.push_str(&text[done..]);
    out
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn what_could_harm_a_page_or_a_terminal_becomes_a_mark() {
        assert_eq!(plain("a\u{1b}[31mb\u{202E}c\td"), "a\u{FFFD}[31mb\u{FFFD}c d");
        assert_eq!(plain("pin <oak> & \"ash\""), "pin <oak> & \"ash\"");
    }
}
