//! Names of woods, and what the handbook says of them.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

/// A wood by its name. Two names match when they are equal but for case and spaces, or when the
/// species table knows them as spellings of one wood.
///
/// ```
/// use stripwright::lumber::Species;
/// assert!(Species::new("WRC").matches(&Species::new("Western Red-Cedar")));
/// assert!(!Species::new("red cedar").matches(&Species::new("yellow cedar")));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Species {
    name: String,
    key: String,
}

/// What a wood is to the trade: it settles by which rule boards are sized.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trade {
    /// Sold by nominal sizes (PS 20).
    Softwood,
    /// Sold by quarters, in random widths.
    Hardwood,
}

/// Last words of names that are of one trade whatever stands before them (botany, from memory).
/// Cedar is not among them: Spanish cedar is a hardwood.
const HARD: [&str; 22] = [
    "ash",
    "maple",
    "oak",
    "cherry",
    "walnut",
    "birch",
    "beech",
    "hickory",
    "poplar",
    "alder",
    "basswood",
    "mahogany",
    "elm",
    "teak",
    "aspen",
    "willow",
    "chestnut",
    "pear",
    "locust",
    "sapele",
    "butternut",
    "sycamore",
];
const SOFT: [&str; 7] = ["spruce", "pine", "fir", "hemlock", "larch", "redwood", "redcedar"];

/// Woods that the table lacks and that are sold under one word with those that it has (names of the
/// Wood Handbook, Table 5-3a).
const SOLD_AS: [&str; 18] = [
    "black ash",
    "green ash",
    "balsam fir",
    "noble fir",
    "white fir",
    "eastern hemlock",
    "red maple",
    "silver maple",
    "white oak",
    "balsam poplar",
    "lodgepole pine",
    "red pine",
    "paper birch",
    "yellow birch",
    "American elm",
    "rock elm",
    "African mahogany",
    "true mahogany",
];

/// A wood of the species table (`data/species.csv`, with its source), at 12 % moisture content.
#[derive(Clone, Debug, PartialEq)]
pub struct Wood {
    /// The name it goes by here.
    pub name: &'static str,
    /// Ovendry weight over volume at 12 %, against water.
    pub gravity: f64,
    /// Modulus of elasticity in bending, in MPa.
    pub modulus: f64,
    /// Hardwood or softwood.
    pub trade: Trade,
    /// Other names and spellings of the same wood.
    pub aliases: Vec<&'static str>,
}

impl Wood {
    /// Density at 12 % moisture content, in kg/m³: specific gravity by the weight of water and
    /// 1.12 (Wood Handbook, chapter 4).
    pub fn density(&self) -> f64 {
        density(self.gravity, 12.0)
    }
}

/// Density in kg/m³ of a wood of this specific gravity at so many per cent of moisture (Wood
/// Handbook, chapter 4: ρ = ρw·G·(1 + M/100)).
///
/// ```
/// // The handbook's own example: white ash, 0.605 at 12 %, is 678 kg/m³.
/// assert_eq!(stripwright::lumber::species::density(0.605, 12.0).round(), 678.0);
/// ```
pub fn density(gravity: f64, moisture: f64) -> f64 {
    1000.0 * gravity * (1.0 + moisture / 100.0)
}

/// The species table.
pub fn table() -> &'static [Wood] {
    static TABLE: OnceLock<Vec<Wood>> = OnceLock::new();
    TABLE.get_or_init(|| {
        include_str!("../../data/species.csv")
            .lines()
            .filter(|line| !line.starts_with('#'))
            .skip(1)
            .filter_map(wood)
            .collect()
    })
}

/// The wood that each spelling stands for, worked out once: lists of boards name woods on every
/// line.
fn spellings() -> &'static BTreeMap<String, usize> {
    static SPELLINGS: OnceLock<BTreeMap<String, usize>> = OnceLock::new();
    SPELLINGS.get_or_init(|| {
        let of = |(index, wood): (usize, &Wood)| {
            let names: Vec<_> =
                std::iter::once(wood.name).chain(wood.aliases.iter().copied()).map(plain).collect();
            names.into_iter().map(move |name| (name, index))
        };
        // Where two woods shared a spelling the first would have it.
        table().iter().enumerate().rev().flat_map(of).collect()
    })
}

/// One line of the table. Names may hold commas, so only the first four are column ends.
fn wood(line: &'static str) -> Option<Wood> {
    let mut cells = line.splitn(5, ',');
    Some(Wood {
        name: cells.next()?,
        gravity: cells.next()?.parse().ok()?,
        modulus: cells.next()?.parse().ok()?,
        trade: match cells.next()? {
            "hardwood" => Trade::Hardwood,
            "softwood" => Trade::Softwood,
            _ => return None,
        },
        aliases: cells.next()?.split(';').collect(),
    })
}

/// A spelling without case, hyphens, apostrophes and spare spaces.
fn plain(name: &str) -> String {
    let bare: String = name
        .chars()
        .filter(|c| !matches!(c, '\'' | '\u{2019}' | '.'))
        .map(
            |c| if matches!(c, '-' | '_' | '\u{2010}' | '\u{2011}' | '\u{2013}') { ' ' } else { c },
        )
        .collect();
    bare.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

impl Species {
    /// A species from the name in a file.
    pub fn new(name: &str) -> Self {
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let spelt = plain(&name);
        let known = spellings().get(&spelt).map(|&wood| &table()[wood]);
        let key = known.map_or_else(|| name.to_lowercase(), |w| w.name.to_lowercase());
        Species { name, key }
    }

    /// The name as it was written.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The name that stands for the wood whatever its spelling.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// Are the two names for one wood?
    pub fn matches(&self, other: &Species) -> bool {
        self.key == other.key
    }

    /// Hardwood or softwood: by the species table, else by the last word of the name; `None` for
    /// a name that says neither.
    pub fn trade(&self) -> Option<Trade> {
        if let Some(wood) = self.wood() {
            return Some(wood.trade);
        }
        let spelt = plain(&self.name);
        let last = spelt.rsplit(' ').next().unwrap_or_default();
        let among = |words: &[&str]| words.contains(&last);
        match (among(&HARD), among(&SOFT)) {
            (true, _) => Some(Trade::Hardwood),
            (_, true) => Some(Trade::Softwood),
            _ => None,
        }
    }

    /// The woods that a name may mean that is no name of one alone: those of the species table that
    /// it is a part of, and others that are sold under it. None for the name of one wood, known or
    /// not.
    ///
    /// ```
    /// use stripwright::lumber::Species;
    /// assert_eq!(Species::new("white pine").may_be(), ["eastern white pine", "western white pine"]);
    /// assert!(Species::new("white ash").may_be().is_empty());
    /// assert!(Species::new("bog oak").may_be().is_empty());
    /// ```
    pub fn may_be(&self) -> Vec<&'static str> {
        if self.wood().is_some() {
            return Vec::new();
        }
        let spelt = plain(&self.name);
        let words: Vec<&str> = spelt.split(' ').collect();
        let Some((last, before)) = words.split_last().filter(|(last, _)| last.len() > 2) else {
            return Vec::new();
        };
        let means = |name: &str| {
            let name = plain(name);
            let known: Vec<&str> = name.split(' ').collect();
            // Redcedar is a cedar.
            known.last().is_some_and(|l| l.ends_with(last))
                && before.iter().all(|w| known[..known.len() - 1].contains(w))
        };
        let woods = table().iter().filter(|w| {
            means(w.name) || (!before.is_empty() && w.aliases.iter().any(|a| means(a)))
        });
        let mut all: Vec<&str> = woods.map(|w| w.name).collect();
        all.extend(SOLD_AS.iter().copied().filter(|name| means(name)));
        if all.len() > 1 { all } else { Vec::new() }
    }

    /// What the species table says of it; `None` for a wood that isn't there.
    pub fn wood(&self) -> Option<&'static Wood> {
        table().iter().find(|w| w.name.to_lowercase() == self.key)
    }
}

impl fmt::Display for Species {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

#[cfg(test)]
mod tests {
    use super::{Species, plain, table};

    #[test]
    fn every_line_of_the_table_is_read_and_no_name_stands_for_two_woods() {
        assert_eq!(table().len(), 27);
        let mut names: Vec<String> = table()
            .iter()
            .flat_map(|w| std::iter::once(w.name).chain(w.aliases.iter().copied()))
            .map(plain)
            .collect();
        names.sort_unstable();
        let mut once = names.clone();
        once.dedup();
        // The same wood may list two spellings that differ by a hyphen only.
        for name in &once {
            let woods = table().iter().filter(|w| {
                std::iter::once(&w.name).chain(&w.aliases).any(|known| &plain(known) == name)
            });
            assert_eq!(woods.count(), 1, "{name}");
        }
    }

    #[test]
    fn a_wood_is_hard_or_soft_by_botany() {
        use super::Trade::{Hardwood, Softwood};
        for (name, trade) in [
            ("white ash", Some(Hardwood)),
            ("ash", Some(Hardwood)),
            ("red maple", Some(Hardwood)),
            // Soft to the thumb, hardwoods all the same.
            ("basswood", Some(Hardwood)),
            ("yellow poplar", Some(Hardwood)),
            ("WRC", Some(Softwood)),
            ("douglas fir", Some(Softwood)),
            ("spruce", Some(Softwood)),
            ("white pine", Some(Softwood)),
            // Cedars are of both sorts.
            ("spanish cedar", None),
            ("any wood", None),
        ] {
            assert_eq!(Species::new(name).trade(), trade, "{name}");
        }
    }

    #[test]
    fn woods_that_sound_alike_stay_apart() {
        let names = [
            "red cedar",
            "yellow cedar",
            "white cedar",
            "white ash",
            "white pine",
            "ash",
            "eastern white pine",
            "sitka spruce",
            "spruce",
            "red oak",
            "redwood",
            "bog oak",
        ];
        for (i, a) in names.iter().enumerate() {
            for b in &names[i + 1..] {
                assert!(!Species::new(a).matches(&Species::new(b)), "{a}, {b}");
            }
        }
        assert!(Species::new("bog oak").wood().is_none());
        assert!(Species::new("Bog  OAK").matches(&Species::new("bog oak")));
        assert_eq!(Species::new(" Sitka  Spruce").wood().map(|w| w.name), Some("Sitka spruce"));
    }
}
