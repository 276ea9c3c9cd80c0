//! `[[paddle.lamination]]` of paddles.toml (MODEL 3).

use crate::lumber::{Species, ZoneKind, look};
use crate::paddle::{Lamination, Runs};
use crate::read::problem::cut_off;
use crate::read::table::{Place, TableReader, written};
use std::collections::HashSet;
use toml_edit::{Item, TableLike};

const LAMINATION_KEYS: [&str; 7] =
    ["name", "thickness", "runs", "centre", "species", "allow", "spares"];

/// What the laminations before one were.
#[derive(Default)]
struct Before {
    /// The looks of their names.
    names: HashSet<String>,
    /// The first blade lamination.
    blade: Option<String>,
    /// Was one on the centreline?
    centre: bool,
}

impl TableReader<'_> {
    pub(super) fn laminations(&mut self, table: &dyn TableLike, at: &Place) -> Vec<Lamination> {
        let place = self.place(table, at, "lamination");
        let before = self.problems.len();
        let tables = self.tables(table.get("lamination"), &place, "[[paddle.lamination]]");
        if tables.is_empty() && self.problems.len() == before {
            let cure = "add a [[paddle.lamination]] with name, thickness and runs";
            self.problem(&place, None, "is missing: the paddle has no strips", cure);
        }
        let mut laminations: Vec<Lamination> = Vec::new();
        let mut before = Before::default();
        for (number, (table, span)) in tables.into_iter().enumerate() {
            let named = table.get("name").and_then(Item::as_str).map(str::trim);
            let path = match named {
                Some(name) if name.chars().nth(60).is_some() => {
                    format!("{}, lamination {} \"{}\"", at.path, number + 1, cut_off(name, 60))
                }
                Some(name) if !name.is_empty() => format!("{}, lamination \"{name}\"", at.path),
                _ => format!("{}, lamination {}", at.path, number + 1),
            };
            let at = Place { span: span.or_else(|| at.span.clone()), path };
            let lamination = self.lamination(table, &at);
            self.order(table, &at, &mut before, &lamination);
            laminations.push(lamination);
        }
        laminations
    }

    /// What one lamination forbids those before it.
    fn order(&mut self, table: &dyn TableLike, at: &Place, before: &mut Before, new: &Lamination) {
        let first = before.names.is_empty();
        if !before.names.insert(look(&new.name)) && !new.name.is_empty() {
            let place = self.place(table, at, "name");
            let cure = "give each lamination of a paddle a name of its own";
            self.problem(&place, Some(&new.name), "is the name of two laminations", cure);
        }
        if new.runs == Runs::Through
            && let Some(blade) = &before.blade
        {
            let place = self.place(table, at, "runs");
            let rule = format!("comes after the blade lamination \"{blade}\"");
            let cure =
                "write laminations from the centreline outwards: through ones before blade ones";
            self.problem(&place, Some("through"), &rule, cure);
        }
        if new.centre && !first {
            let place = self.place(table, at, "centre");
            let (rule, cure) = if before.centre {
                (
                    "is a second strip on the centreline",
                    "only the first lamination may be the centre",
                )
            } else {
                ("is not on the first lamination", "write the centre lamination first")
            };
            self.problem(&place, Some("true"), rule, cure);
        }
        if new.centre && new.runs == Runs::Blade {
            let place = self.place(table, at, "centre");
            let cure =
                "write runs = \"through\": the strip on the centreline runs through the loom";
            self.problem(&place, Some("true"), "stands on a blade lamination", cure);
        }
        before.centre |= new.centre;
        if new.runs == Runs::Blade && before.blade.is_none() {
            before.blade = Some(cut_off(&new.name, 60));
        }
    }

    fn lamination(&mut self, table: &dyn TableLike, at: &Place) -> Lamination {
        self.unknown(table, at, &LAMINATION_KEYS);
        let name = self.name(table, at, "lamination");
        let thickness = self.size(table, at, "thickness", "the dressed thickness of the strip");
        let runs = match table.get("runs") {
            None => {
                let place = self.place(table, at, "runs");
                self.missing(&place, "write \"through\" or \"blade\"");
                Runs::Through
            }
            Some(item) => match item.as_str().map(|r| r.trim().to_lowercase()).as_deref() {
                Some("through") => Runs::Through,
                Some("blade") => Runs::Blade,
                _ => {
                    let place = self.place(table, at, "runs");
                    let value = written(item);
                    let cure = "write \"through\" (loom and both blades) or \"blade\"";
                    self.problem(&place, Some(&value), "is not how a lamination can run", cure);
                    Runs::Through
                }
            },
        };
        let centre = match table.get("centre").map(|i| (i.as_bool(), written(i))) {
            None => false,
            Some((Some(centre), _)) => centre,
            Some((None, written)) => {
                let place = self.place(table, at, "centre");
                self.problem(&place, Some(&written), "is not true or false", "write true or false");
                false
            }
        };
        let species = self.words(table, at, "species").iter().map(|s| Species::new(s)).collect();
        let allow = self.words(table, at, "allow").iter().map(|s| ZoneKind::new(s)).collect();
        Lamination {
            name: name.unwrap_or_default(),
            thickness: thickness.unwrap_or_default(),
            runs,
            centre,
            species,
            allow,
            spares: self.count(table, at, "spares", 0, 0),
        }
    }
}
