//! Names on the wood: of boards, of their copies, and when two names look alike.

use crate::lumber::Board;
use std::collections::{BTreeMap, BTreeSet};

/// What goes between the name of a board that there are several of and the number of the copy.
const BETWEEN: [&str; 2] = ["/", "#"];

/// A name as the eye takes it: without characters that can't be seen, with single spaces. Names
/// with one look are one name.
///
/// ```
/// use stripwright::lumber::look;
/// assert_eq!(look(" B\u{200B}  1 "), "B 1");
/// assert_ne!(look("b 1"), look("B 1"));
/// ```
pub fn look(name: &str) -> String {
    let seen: String = name.chars().filter(|&c| !unseen(c)).collect();
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Characters that take no room and show nothing: zero-width ones, marks of direction, soft
/// hyphens, selectors of variants, tags (Unicode's default ignorable code points).
fn unseen(c: char) -> bool {
    (c.is_control() && !c.is_whitespace())
        || matches!(c,
            '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}'
            | '\u{180B}'..='\u{180F}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}' | '\u{3164}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}'
            | '\u{FFA0}' | '\u{E0000}'..='\u{E0FFF}')
}

/// The name that one copy of a board bears: the board's own, with the number of the copy where
/// there are several. No two copies of any boards of a list bear the same: `B/2` is the second
/// board of `B`, but `B#2` where another board is called `B/2` already.
pub fn copy_name(boards: &[Board], index: usize, copy: u32) -> String {
    let Some(board) = boards.get(index) else { return format!("{copy}") };
    if board.quantity <= 1 {
        return board.name.clone();
    }
    let stem = stem(boards, index).unwrap_or_else(|| format!("{}{}", board.name, BETWEEN[0]));
    format!("{stem}{copy}")
}

/// A name's end of digits, where they are the number of a copy: no 0 before them.
fn numbered(name: &str) -> Option<(&str, u32)> {
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = name.strip_prefix(stem).filter(|d| !d.starts_with('0'))?;
    Some((stem, digits.parse().ok()?))
}

/// What stands before the number of a copy, where that isn't just the name and a stroke.
///
/// Every stem ends in a sign that is no digit, so names of copies are the same only where stems
/// and numbers are. Stems of different boards differ, and no board without copies has a name made
/// of a stem and one of its numbers.
fn stem(boards: &[Board], index: usize) -> Option<String> {
    let first = |board: &Board| format!("{}{}", board.name, BETWEEN[0]);
    let meets = |board: &Board, stem: &str| {
        boards.iter().filter(|b| b.quantity <= 1).any(|b| {
            let number = b.name.strip_prefix(stem).map(|_| numbered(&b.name));
            matches!(number, Some(Some((s, n))) if s == stem && n <= board.quantity)
        })
    };
    // Nearly always this is all.
    if !meets(&boards[index], &first(&boards[index])) {
        return None;
    }
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let mut clashing: BTreeMap<usize, &Board> = BTreeMap::new();
    for (b, board) in boards.iter().enumerate().filter(|(_, b)| b.quantity > 1) {
        if meets(board, &first(board)) {
            clashing.insert(b, board);
        } else {
            taken.insert(first(board));
        }
    }
    for (b, board) in clashing {
        let free = (1_usize..)
            .flat_map(|times| BETWEEN.iter().map(move |sign| sign.repeat(times)))
            .map(|between| format!("{}{between}", board.name))
            .find(|stem| !taken.contains(stem) && !meets(board, stem))?;
        if b == index {
            return Some(free);
        }
        taken.insert(free);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{copy_name, look};
    use crate::length::Length;
    use crate::lumber::{Board, Species};

    fn board(name: &str, quantity: u32) -> Board {
        let sizes = [Length::FOOT, Length::INCH, Length::INCH];
        Board { quantity, ..Board::plain(name, Species::new("ash"), sizes) }
    }

    fn names(boards: &[Board]) -> Vec<String> {
        let of = |b: usize| (1..=boards[b].quantity).map(move |copy| (b, copy));
        (0..boards.len()).flat_map(of).map(|(b, copy)| copy_name(boards, b, copy)).collect()
    }

    #[test]
    fn copies_bear_names_of_their_own() {
        assert_eq!(names(&[board("B", 2), board("C", 1)]), ["B/1", "B/2", "C"]);
        // Only a name that is really borne changes anything.
        assert_eq!(names(&[board("B", 2), board("B/3", 1)]), ["B/1", "B/2", "B/3"]);
        assert_eq!(names(&[board("B", 2), board("B/02", 1)]), ["B/1", "B/2", "B/02"]);
        assert_eq!(names(&[board("B", 2), board("B/2", 1)]), ["B#1", "B#2", "B/2"]);
        assert_eq!(
            names(&[board("B", 2), board("B/2", 1), board("B#1", 1)]),
            ["B//1", "B//2", "B/2", "B#1"]
        );
    }

    #[test]
    fn no_list_of_crossed_names_gives_one_name_twice() {
        let parts = ["B", "B/", "B#", "B/2", "B#2", "B/1", "B//", "B//2", "B1", "B1/1", "B/2/1"];
        for chosen in 0..1_u32 << parts.len() {
            let boards: Vec<Board> = parts
                .iter()
                .enumerate()
                .map(|(i, name)| board(name, 1 + (chosen >> i & 1)))
                .collect();
            let mut all = names(&boards);
            let count = all.len();
            all.sort();
            all.dedup();
            assert_eq!(all.len(), count, "{chosen:b}");
        }
    }

    #[test]
    fn what_looks_alike_is_one() {
        for like in ["oak 1", " oak  1", "oak\u{A0}1", "o\u{AD}ak 1\u{200D}", "\u{202E}oak\t1"] {
            assert_eq!(look(like), "oak 1");
        }
    }
}
