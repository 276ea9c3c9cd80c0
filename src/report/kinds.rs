//! How kinds of zone are told apart: a hatch and a letter or two each, the same on every sheet
//! of a job.

use crate::lumber::{Board, ZoneKind};
use crate::report::draw::canvas::HATCHES;
use crate::text::plain;
use std::collections::BTreeMap;

/// Kinds that have a hatch of their own, in the order of the hatches.
const KNOWN: [&str; 9] = ["knot", "check", "split", "wane", "pitch", "sap", "stain", "rot", "pith"];

/// A kind with its hatch and letters.
#[derive(Clone, Debug)]
pub(crate) struct Sign {
    pub kind: ZoneKind,
    pub hatch: usize,
    pub code: String,
}

/// The signs of every kind found on these boards.
pub(crate) fn signs<'a>(boards: impl IntoIterator<Item = &'a Board>) -> Vec<Sign> {
    let mut kinds: Vec<&ZoneKind> =
        boards.into_iter().flat_map(|b| b.zones.iter().map(|z| &z.kind)).collect();
    kinds.sort();
    kinds.dedup();
    let place = |k: &ZoneKind| KNOWN.iter().position(|n| *n == k.as_str());
    kinds.sort_by_key(|k| place(k).unwrap_or(KNOWN.len()));
    // Other kinds take the hatches that are left, the last one first.
    let used: Vec<usize> = kinds.iter().filter_map(|k| place(k)).collect();
    let mut free = (0..HATCHES).rev().filter(|h| !used.contains(h)).cycle();
    let mut out: Vec<Sign> = Vec::new();
    for (i, kind) in kinds.into_iter().enumerate() {
        let hatch = place(kind).or_else(|| free.next()).unwrap_or(0);
        let code = code(kind, &out, i);
        out.push(Sign { kind: kind.clone(), hatch, code });
    }
    out
}

/// The shortest beginning of the word that no other kind has yet.
fn code(kind: &ZoneKind, taken: &[Sign], i: usize) -> String {
    let word: Vec<char> =
        plain(kind.as_str()).to_uppercase().chars().filter(|c| c.is_alphanumeric()).collect();
    (1..=word.len().min(4))
        .map(|n| word[..n].iter().collect::<String>())
        .find(|c| taken.iter().all(|s| s.code != *c))
        .unwrap_or_else(|| format!("Z{}-", i + 1))
}

/// The sign of a kind.
pub(crate) fn find<'a>(signs: &'a [Sign], kind: &ZoneKind) -> Option<&'a Sign> {
    signs.iter().find(|s| s.kind == *kind)
}

/// The label of each of a board's zones: letters and a number that counts its kind.
pub(crate) fn labels(board: &Board, signs: &[Sign]) -> Vec<String> {
    let mut counts: BTreeMap<&ZoneKind, usize> = BTreeMap::new();
    let labels = board.zones.iter().map(|z| {
        let count = counts.entry(&z.kind).or_default();
        *count += 1;
        let code = find(signs, &z.kind).map_or("", |s| &s.code);
        format!("{code}{count}")
    });
    labels.collect()
}

#[cfg(test)]
mod tests {
    use super::{labels, signs};
    use crate::length::Length;
    use crate::lumber::{Board, Species, Zone, ZoneKind};

    fn board(kinds: &[&str]) -> Board {
        let zone = |k: &&str| Zone {
            kind: ZoneKind::new(k),
            from: Length::ZERO,
            to: Length::INCH,
            near: Length::ZERO,
            far: Length::INCH,
        };
        let sizes = [Length::INCH * 40, Length::INCH * 4, Length::INCH];
        let zones = kinds.iter().map(zone).collect();
        Board { zones, ..Board::plain("one", Species::new("red alder"), sizes) }
    }

    #[test]
    fn no_two_kinds_share_letters_or_while_they_last_hatches() {
        let kinds = ["sap", "knot", "stain", "split", "bruise", "bark", "knot", "<b>", "7"];
        let board = board(&kinds);
        let signs = signs([&board]);
        assert_eq!(signs.len(), 8);
        for (i, a) in signs.iter().enumerate() {
            for b in &signs[..i] {
                assert_ne!(a.code, b.code);
                assert_ne!(a.hatch, b.hatch);
            }
        }
        let labels = labels(&board, &signs);
        assert_eq!((labels[1].as_str(), labels[6].as_str()), ("K1", "K2"));
    }
}
