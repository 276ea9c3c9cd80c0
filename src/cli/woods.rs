//! Woods that boards are of and no lamination may be of: a line for each wood, not one for each
//! board, with the wood that was probably meant.

use crate::cli::sizes::named;
use crate::lumber::Species;
use crate::paddle::{Job, strip_kinds};
use crate::read::nearest;
use crate::shop::words::{counted, listed};
use crate::text::plain;

/// A wood that nothing is made of.
pub struct NotWanted<'a> {
    /// What is to be said, a sentence without its end.
    pub text: String,
    /// The wood that laminations may be of and that is spelled nearly so.
    pub near: Option<&'a Species>,
}

/// The woods of boards and strips in hand that no lamination may be of, in the order of the lists.
/// Where some laminations may be of any wood, those that no other may be of and that are spelled nearly
/// as a wood that is asked for.
pub fn not_wanted<'a>(job: &'a Job, boards: &'a [crate::lumber::Board]) -> Vec<NotWanted<'a>> {
    let any = strip_kinds(job).iter().any(|kind| kind.species.is_empty());
    let no_lamination = if any { "no lamination that names its wood" } else { "no lamination" };
    let laminations = || job.paddles.iter().flat_map(|p| &p.laminations);
    let wanted: Vec<&Species> = laminations().flat_map(|l| &l.species).collect();
    let boards = boards.iter().map(|b| (&b.species, &b.name, u64::from(b.quantity)));
    let strips = job.strips.iter().map(|s| (&s.species, &s.name, 1));
    let mut out = Vec::new();
    for (what, are) in [("board", boards.collect()), ("strip", strips.collect::<Vec<_>>())] {
        let mut seen: Vec<&Species> = Vec::new();
        for &(wood, ..) in &are {
            if wanted.iter().any(|w| w.matches(wood)) || seen.iter().any(|s| s.matches(wood)) {
                continue;
            }
            seen.push(wood);
            let same: Vec<_> = are.iter().filter(|(s, ..)| s.matches(wood)).collect();
            let names: Vec<String> = same.iter().map(|(_, name, _)| plain(name)).collect();
            let count = same.iter().map(|(.., n)| n).sum::<u64>();
            let near = near(wood, &wanted);
            if any && near.is_none() {
                continue;
            }
            let who = match (&names[..], count) {
                ([name], 1) => format!("{what} {name} is"),
                _ => format!("{} ({}) are", counted(count, what), named(&names)),
            };
            let mut text =
                format!("{who} of {}, which {no_lamination} may be of", plain(wood.name()));
            if let Some(meant) = near {
                let of: Vec<String> = laminations()
                    .filter(|l| l.species.iter().any(|s| s.matches(meant)))
                    .map(|l| plain(&l.name))
                    .fold(Vec::new(), |mut all, name| {
                        if !all.contains(&name) {
                            all.push(name);
                        }
                        all
                    });
                let (wood, meant) = (plain(wood.name()), plain(meant.name()));
                let of = listed(&of);
                text = match misspelt(same[0].0, near) {
                    Side::Wanted => format!(
                        "{text}: did you mean {wood} where paddles.toml has {meant} for {of}?"
                    ),
                    Side::Had => format!("{text}: did you mean {meant}, which {of} may be of?"),
                };
            }
            out.push(NotWanted { text, near });
        }
    }
    out
}

/// The wanted wood that is spelled most nearly as this one.
fn near<'a>(wood: &Species, wanted: &[&'a Species]) -> Option<&'a Species> {
    let names: Vec<String> = wanted.iter().map(|w| w.name().to_lowercase()).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let found = nearest(wood.name(), &names)?;
    // Two woods that the table knows are two woods, however alike their names are.
    let at = names.iter().position(|n| *n == found)?;
    let meant = wanted.get(at).copied()?;
    (wood.wood().is_none() || meant.wood().is_none()).then_some(meant)
}

/// Where a name is misspelt.
enum Side {
    /// In the list of boards or strips.
    Had,
    /// In paddles.toml.
    Wanted,
}

/// Which of two names is the slip: the one that no table knows, in doubt that of the list.
fn misspelt(had: &Species, wanted: Option<&Species>) -> Side {
    let known = |s: &Species| s.wood().is_some() || s.may_be().len() > 1;
    match wanted {
        Some(wanted) if known(had) && !known(wanted) => Side::Wanted,
        _ => Side::Had,
    }
}

#[cfg(test)]
mod tests {
    use super::near;
    use crate::lumber::Species;

    #[test]
    fn two_woods_that_are_known_are_not_one_misspelt() {
        let [red, white] = ["red oak", "white oak"].map(Species::new);
        assert!(near(&red, &[&white]).is_none());
        let [slip, meant] = ["sitka spurce", "Sitka spruce"].map(Species::new);
        assert_eq!(near(&slip, &[&white, &meant]), Some(&meant));
        assert_eq!(near(&meant, &[&slip]), Some(&slip));
    }
}
