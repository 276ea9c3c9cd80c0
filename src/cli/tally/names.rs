//! The names of what is done: boards that are cut, strips that are spoiled.

use crate::glue::GlueUp;
use crate::lumber::{Board, StripInHand, copy_name, look};
use crate::plan::{CutBoard, Plan};
use crate::read::{Problem, Problems, nearest};
use crate::shop::tally::Done;
use crate::text::plain;
use std::collections::{BTreeMap, HashMap};

/// What is done by the names given, and every name that is none.
pub(super) fn done(
    plan: &Plan,
    boards: &[Board],
    rack: &[StripInHand],
    (cut, spoiled): (Option<&[String]>, &[String]),
) -> (Done, Problems) {
    let mut problems = Problems::default();
    let opened = Opened::of(plan, boards);
    let cut = match cut {
        None => (0..plan.boards.len()).collect(),
        Some(given) => opened.cut(given, &mut problems),
    };
    let spoiled = strips(plan, rack, &opened, &cut, spoiled, &mut problems);
    (Done { cut, spoiled, glued: Vec::new() }, problems)
}

/// The blanks named, as their sheets name them, and every name that is none or whose strips are not
/// all there.
pub(super) fn glued(
    plan: &Plan,
    boards: &[Board],
    up: &GlueUp,
    done: &mut Done,
    given: &[String],
) -> Problems {
    let mut problems = Problems::default();
    let opened = Opened::of(plan, boards);
    let titles: Vec<String> = (0..up.blanks.len()).filter_map(|b| up.title(b)).collect();
    let places = |name: &str| -> Vec<usize> {
        let of = |b: &usize| look(&titles[*b]) == look(name);
        (0..titles.len()).filter(of).collect()
    };
    for name in parted(given, |name| !places(name.trim()).is_empty()) {
        let known: Vec<&str> = titles.iter().map(String::as_str).collect();
        match places(&name).as_slice() {
            [] => {
                let several: Vec<&str> = (0..titles.len())
                    .filter(|&b| look(&up.blanks[b].name) == look(&name))
                    .map(|b| titles[b].as_str())
                    .collect();
                let (rule, cure) = match (several.as_slice(), nearest(&name, &known)) {
                    ([], Some(near)) => {
                        ("is not a blank of this plan", format!("did you mean {near}?"))
                    }
                    ([], None) => {
                        ("is not a blank of this plan", format!("its blanks are {}", some(&known)))
                    }
                    (several, _) => (
                        "is several blanks",
                        format!("name those that are glued: {}", some(several)),
                    ),
                };
                problem(&mut problems, "--glued", &name, rule, &cure);
            }
            // Of two of one name the first that isn't taken.
            of => done.glued.extend(of.iter().find(|b| !done.glued.contains(b))),
        }
    }
    for &blank in &done.glued {
        for laid in &up.blanks[blank].places {
            let from = (plan.boards.iter().enumerate()).find(|(_, cut)| holds(cut, &laid.strip));
            let rule = match from {
                _ if done.spoiled.iter().any(|s| look(s) == look(&laid.strip)) => {
                    format!("takes strip {}, which --spoiled names", laid.strip)
                }
                Some((index, _)) if !done.cut.contains(&index) => {
                    let board = opened.names.get(index).map_or("", String::as_str);
                    format!("takes strip {} of {board}, which is not cut", laid.strip)
                }
                _ => continue,
            };
            let cure = "take the blank out of --glued, or correct the other list";
            problem(&mut problems, "--glued", &titles[blank], &rule, cure);
            break;
        }
    }
    problems
}

/// Does a strip of this name come from a board that is cut?
fn holds(cut: &CutBoard, strip: &str) -> bool {
    let leaves = cut.sections.iter().flat_map(|s| &s.rips).flat_map(|r| &r.leaves);
    leaves.flat_map(|l| &l.strips).any(|s| s.id == strip)
}

/// The boards that a plan opens, by name.
struct Opened<'a> {
    /// As they are named on the wood, in the order of the plan.
    names: Vec<String>,
    /// Their places in the plan, by the looks of each name that they may be called by.
    places: HashMap<String, Vec<usize>>,
    /// All boards of the list.
    boards: &'a [Board],
}

impl<'a> Opened<'a> {
    fn of(plan: &Plan, boards: &'a [Board]) -> Self {
        let mut opened = Opened { names: Vec::new(), places: HashMap::new(), boards };
        for (index, cut) in plan.boards.iter().enumerate() {
            let name = plain(&copy_name(boards, cut.board, cut.copy));
            let mut calls = vec![look(&name)];
            if let Some(board) = boards.get(cut.board) {
                let title = format!("{} (no. {} of {})", board.name, cut.copy, board.quantity);
                calls.extend([look(&board.name), look(&title)]);
            }
            calls.sort_unstable();
            calls.dedup();
            for call in calls {
                opened.places.entry(call).or_default().push(index);
            }
            opened.names.push(name);
        }
        opened
    }

    /// The places of the boards named.
    fn cut(&self, given: &[String], problems: &mut Problems) -> Vec<usize> {
        let mut out = Vec::new();
        for name in parted(given, |name| self.places.contains_key(&look(name))) {
            match self.places.get(&look(&name)).map(Vec::as_slice) {
                Some([index]) => out.push(*index),
                Some(several) => {
                    // A copy may bear the very name of a board.
                    let own = several.iter().find(|&&i| look(&self.names[i]) == look(&name));
                    match own {
                        Some(&index) => out.push(index),
                        None => self.several(&name, several, problems),
                    }
                }
                None => self.unknown(&name, problems),
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    fn several(&self, name: &str, places: &[usize], problems: &mut Problems) {
        let names: Vec<&str> = places.iter().map(|&i| self.names[i].as_str()).collect();
        let rule = format!("is {} boards of the plan", names.len());
        let cure = format!("name those that are cut: {}", names.join(", "));
        problem(problems, "--cut", name, &rule, &cure);
    }

    fn unknown(&self, name: &str, problems: &mut Problems) {
        let known: Vec<&str> = self.names.iter().map(String::as_str).collect();
        let there = self.boards.iter().any(|b| look(&b.name) == look(name));
        let rule = if there {
            "is a board that this plan does not cut"
        } else {
            "is not a board of this plan"
        };
        // One letter is as near to any other.
        let near = nearest(name, &known).filter(|_| !there && name.chars().count() > 2);
        let cure = match near {
            Some(near) => format!("did you mean {near}?"),
            None => format!("the plan cuts {}", some(&known)),
        };
        problem(problems, "--cut", name, rule, &cure);
    }
}

/// The strips named, as the plan or the rack names them.
fn strips(
    plan: &Plan,
    rack: &[StripInHand],
    opened: &Opened<'_>,
    cut: &[usize],
    given: &[String],
    problems: &mut Problems,
) -> Vec<String> {
    // Of each strip its name and, of one that a board gives, that board's place in the plan.
    let mut known: BTreeMap<String, (String, Option<usize>)> = BTreeMap::new();
    for strip in rack {
        known.insert(look(&strip.name), (strip.name.clone(), None));
    }
    for (index, board) in plan.boards.iter().enumerate() {
        let leaves = board.sections.iter().flat_map(|s| &s.rips).flat_map(|r| &r.leaves);
        for strip in leaves.flat_map(|l| &l.strips) {
            known.insert(look(&strip.id), (strip.id.clone(), Some(index)));
        }
    }
    let mut out: Vec<String> = Vec::new();
    for name in parted(given, |name| known.contains_key(&look(name))) {
        match known.get(&look(&name)) {
            Some((strip, board)) => {
                if let Some(index) = board.filter(|index| !cut.contains(index)) {
                    let board = opened.names.get(index).map_or("", String::as_str);
                    let rule = format!("comes from {board}, which is not cut");
                    let cure = format!("add {board} to --cut, or leave the strip out");
                    problem(problems, "--spoiled", strip, &rule, &cure);
                } else if !out.contains(strip) {
                    out.push(strip.clone());
                }
            }
            None => {
                let names: Vec<&str> = known.values().map(|(name, _)| name.as_str()).collect();
                let cure = match nearest(&name, &names) {
                    Some(near) => format!("did you mean {near}?"),
                    None => format!("its strips are {}", some(&names)),
                };
                let rule = "is not a strip of this plan";
                problem(problems, "--spoiled", &name, rule, &cure);
            }
        }
    }
    out
}

pub(in crate::cli) fn problem(
    problems: &mut Problems,
    option: &str,
    value: &str,
    rule: &str,
    cure: &str,
) {
    problems.push(Problem {
        file: option.to_owned(),
        line: None,
        column: None,
        value: Some(value.to_owned()),
        rule: rule.to_owned(),
        cure: cure.to_owned(),
    });
}

/// The first few names of a list.
pub(in crate::cli) fn some(names: &[&str]) -> String {
    const MOST: usize = 12;
    let shown: Vec<&str> = names.iter().copied().take(MOST).collect();
    let others = names.len().saturating_sub(MOST);
    match (shown.is_empty(), others) {
        (true, _) => "none".to_owned(),
        (_, 0) => shown.join(", "),
        _ => format!("{} and {others} others", shown.join(", ")),
    }
}

/// Names parted by commas. A name may hold commas itself, so of the known ones the longest is
/// taken.
pub(in crate::cli) fn parted(given: &[String], known: impl Fn(&str) -> bool) -> Vec<String> {
    let mut out = Vec::new();
    for text in given {
        let parts: Vec<&str> = text.split(',').collect();
        let mut at = 0;
        while at < parts.len() {
            // A name of more commas than this isn't looked for.
            let ends = (at + 1..=parts.len().min(at + 20)).rev();
            let mut joined = ends.map(|end| (parts[at..end].join(","), end));
            let (name, end) = joined
                .find(|(name, _)| known(name))
                .unwrap_or_else(|| (parts[at].to_owned(), at + 1));
            if !name.trim().is_empty() {
                out.push(name.trim().to_owned());
            }
            at = end;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::parted;

    #[test]
    fn names_may_hold_commas() {
        let known = ["H", "ash, long", "ash", "B/2"];
        let part = |text: &str| parted(&[text.to_owned()], |n| known.contains(&n.trim()));
        assert_eq!(part("H, ash, long,B/2"), ["H", "ash, long", "B/2"]);
        assert_eq!(part("ash,H"), ["ash", "H"]);
        assert_eq!(part("none,ash,"), ["none", "ash"]);
        assert_eq!(part(""), Vec::<String>::new());
    }
}
