//! The one rule for names in files: of boards, paddles, laminations, woods, kinds of zone,
//! grades and strips. A name that does something to a terminal or a page is refused, so nothing
//! that prints names need ask again.

use crate::lumber::look;
use crate::text::misleads;

/// What is wrong with a name and what to do, if anything is.
pub(super) fn name_fault(name: &str) -> Option<(String, &'static str)> {
    if let Some(c) = name.chars().find(|&c| misleads(c)) {
        let what = if c.is_control() { "control" } else { "unseen" };
        let rule = format!("holds the {what} character U+{:04X}", u32::from(c));
        return Some((rule, "type it again without that character"));
    }
    let blank = !name.is_empty() && look(name).is_empty();
    blank.then(|| ("shows nothing that can be seen".to_owned(), "give a name that can be written"))
}

#[cfg(test)]
mod tests {
    use super::name_fault;

    #[test]
    fn ordinary_names_in_any_script_are_names() {
        for name in ["oak 1", "Ahorn #2", "esche/hell", "=A1", "سدر", "می\u{200C}خ", "白蝋", "é"]
        {
            assert_eq!(name_fault(name), None, "{name}");
        }
    }

    #[test]
    fn what_would_move_the_cursor_or_turn_the_writing_is_no_name() {
        let turned = ('\u{202A}'..='\u{202E}').chain('\u{2066}'..='\u{2069}');
        for c in turned.chain("\u{0}\u{1b}\u{7f}\u{9b}\t\u{200E}\u{200F}\u{61C}\u{2028}".chars()) {
            let (rule, _) = name_fault(&format!("o{c}k")).unwrap();
            assert!(rule.ends_with(&format!("U+{:04X}", u32::from(c))), "{rule}");
        }
        assert!(name_fault("\u{200B}\u{AD}").is_some());
    }
}
