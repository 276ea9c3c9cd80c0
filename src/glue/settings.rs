//! `[glue]` and `[[species]]` of paddles.toml: all of it optional.
//!
//! ```toml
//! [glue]
//! open_time = 10                # minutes from the first glue until the clamps must be on
//! film = "0.15 mm"              # thickness of the wet glue
//! margin = 25                   # per cent more, for squeeze-out and what stays in the pot
//! pressure = 100                # psi on the joints
//! clamp_spacing = "6"           # left out: 5 to 8 in by the thinnest blade strip
//! blade_tip = "1/2"             # thickness of the shaped blade at its tip
//! blade_edge = "3/16"           # thickness of its edges
//! reference_species = "western redcedar"   # a solid loom to compare the loom with
//! reference_width = "1 1/2"
//! reference_thickness = "1 1/4"
//!
//! [[species]]
//! name = "bog oak"
//! density = 800                 # kg/m³ as it is; or specific_gravity, taken at 12 % moisture
//! modulus = 11000               # MPa, in bending
//! ```

use crate::length::{Length, Units};
use crate::lumber::{Species, species};
use crate::read::{Lines, Problem, Problems, cut_off, document, suggestion};
use std::collections::HashSet;
use toml_edit::{Item, TableLike};

const GLUE_KEYS: [&str; 10] = [
    "open_time",
    "film",
    "margin",
    "pressure",
    "clamp_spacing",
    "blade_tip",
    "blade_edge",
    "reference_species",
    "reference_width",
    "reference_thickness",
];
const SPECIES_KEYS: [&str; 4] = ["name", "density", "specific_gravity", "modulus"];

/// How this shop glues, and the woods it knows beyond the table.
#[derive(Clone, Debug, PartialEq)]
pub struct GlueSettings {
    /// Minutes from the first glue until the clamps must be on. 10 is common practice for a fast
    /// moisture-cured glue.
    pub open_time: f64,
    /// Thickness of the wet glue on a joint.
    pub film: Length,
    /// Per cent more glue than the film holds.
    pub margin: f64,
    /// Pressure on the joints, psi. 100 is about right for light woods (Wood Handbook, chapter
    /// 10, from memory).
    pub pressure: f64,
    /// Spacing of the bar clamps; `None` leaves it to the thinnest blade strip.
    pub clamp_spacing: Option<Length>,
    /// Thickness of the shaped blade at its tip.
    pub blade_tip: Length,
    /// Thickness of the shaped blade's edges.
    pub blade_edge: Length,
    /// The wood of the solid loom to compare with.
    pub reference_species: Species,
    /// Its width.
    pub reference_width: Length,
    /// Its thickness.
    pub reference_thickness: Length,
    /// Woods of the shop's own.
    pub woods: Vec<OwnWood>,
}

/// A wood that the user describes.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnWood {
    /// Its name.
    pub species: Species,
    /// kg/m³.
    pub density: Option<f64>,
    /// MPa.
    pub modulus: Option<f64>,
}

impl Default for GlueSettings {
    fn default() -> Self {
        GlueSettings {
            open_time: 10.0,
            film: Length::from_units(12_000),
            margin: 25.0,
            pressure: 100.0,
            clamp_spacing: None,
            blade_tip: Length::inch_fraction(1, 2),
            blade_edge: Length::inch_fraction(3, 16),
            reference_species: Species::new("western redcedar"),
            reference_width: Length::inch_fraction(3, 2),
            reference_thickness: Length::inch_fraction(5, 4),
            woods: Vec::new(),
        }
    }
}

impl GlueSettings {
    /// Density of a wood in kg/m³ at 12 % moisture: the user's, else the table's.
    pub fn density(&self, species: &Species) -> Option<f64> {
        let own = self.woods.iter().find(|w| w.species.matches(species)).and_then(|w| w.density);
        own.or_else(|| species.wood().map(species::Wood::density))
    }

    /// Modulus of elasticity of a wood in MPa: the user's, else the table's.
    pub fn modulus(&self, species: &Species) -> Option<f64> {
        let own = self.woods.iter().find(|w| w.species.matches(species)).and_then(|w| w.modulus);
        own.or_else(|| species.wood().map(|w| w.modulus))
    }

    /// Reads the settings from the text of paddles.toml; `name` stands for the file in problems.
    ///
    /// # Errors
    /// Every [`Problem`] of `[glue]` and `[[species]]`; those of other tables are not looked for.
    pub fn read(name: &str, text: &str, units: Units) -> Result<Self, Problems> {
        let document = document(name, text)?;
        let problems = Problems::default();
        let mut reader = Reader { file: name, lines: Lines::of(text), units, problems };
        let mut settings = GlueSettings::default();
        if let Some(item) = document.get("glue") {
            match item.as_table_like() {
                Some(table) => reader.glue(table, &mut settings),
                None => {
                    let cure = "write [glue] and its keys below it";
                    reader.problem(item, "glue", None, "is not a table", cure);
                }
            }
        }
        if let Some(item) = document.get("species") {
            settings.woods = reader.woods(item);
        }
        if reader.problems.is_empty() { Ok(settings) } else { Err(reader.problems) }
    }
}

struct Reader<'a> {
    file: &'a str,
    lines: Lines,
    units: Units,
    problems: Problems,
}

/// A value as it was written.
fn written(item: &Item) -> String {
    item.as_str().map_or_else(|| item.to_string().trim().to_owned(), str::to_owned)
}

impl Reader<'_> {
    fn problem(&mut self, item: &Item, key: &str, value: Option<&str>, rule: &str, cure: &str) {
        if self.problems.is_full() {
            self.problems.count(1);
            return;
        }
        let line = item.span().map(|s| self.lines.line(s.start));
        self.problems.push(Problem {
            file: self.file.to_owned(),
            line,
            column: Some(key.to_owned()),
            value: value.map(str::to_owned),
            rule: rule.to_owned(),
            cure: cure.to_owned(),
        });
    }

    fn unknown(&mut self, table: &dyn TableLike, at: &str, known: &[&str]) {
        let strange: Vec<(String, Item)> = table
            .iter()
            .filter(|(k, _)| !known.contains(k))
            .map(|(k, i)| (k.to_owned(), i.clone()))
            .collect();
        for (key, item) in strange {
            let full = self.problems.is_full();
            let cure = if full { String::new() } else { suggestion(&key, known) };
            let path = format!("{at}, {key}");
            self.problem(&item, &path, None, "is not a key that is known here", &cure);
        }
    }

    fn glue(&mut self, table: &dyn TableLike, settings: &mut GlueSettings) {
        self.unknown(table, "glue", &GLUE_KEYS);
        let some = Length::from_units(1);
        for (key, into, least) in [
            ("film", &mut settings.film, some),
            ("blade_tip", &mut settings.blade_tip, some),
            ("blade_edge", &mut settings.blade_edge, Length::ZERO),
            ("reference_width", &mut settings.reference_width, some),
            ("reference_thickness", &mut settings.reference_thickness, some),
        ] {
            if let Some(length) = self.length(table, key, least) {
                *into = length;
            }
        }
        settings.clamp_spacing = self.length(table, "clamp_spacing", Length::INCH);
        for (key, into, range) in [
            ("open_time", &mut settings.open_time, (0.5, 1440.0)),
            ("margin", &mut settings.margin, (0.0, 1000.0)),
            ("pressure", &mut settings.pressure, (1.0, 10_000.0)),
        ] {
            if let Some(number) = self.number(table, "glue", key, range) {
                *into = number;
            }
        }
        if let Some(item) = table.get("reference_species") {
            match item.as_str().filter(|s| !s.trim().is_empty()) {
                Some(name) => settings.reference_species = Species::new(name),
                None => {
                    let value = written(item);
                    let cure = "name a wood in quotes";
                    self.problem(
                        item,
                        "glue, reference_species",
                        Some(&value),
                        "is not a name",
                        cure,
                    );
                }
            }
        }
    }

    fn length(&mut self, table: &dyn TableLike, key: &str, least: Length) -> Option<Length> {
        let item = table.get(key)?;
        let text = written(item);
        let path = format!("glue, {key}");
        let bare = item.is_str() || item.is_integer() || item.is_float();
        match Length::parse(&text, self.units) {
            Ok(length) if bare && length >= least => Some(length),
            Ok(_) if bare => {
                let rule = format!("is less than {}", least.with_unit(self.units));
                let rule = if least.units() <= 1 { "is not more than 0".to_owned() } else { rule };
                let cure = "check the figure and its unit";
                self.problem(item, &path, Some(&text), &rule, cure);
                None
            }
            Err(error) if bare => {
                let cure = "write it as \"1/4\", \"0.15 mm\" or \"0.006\"";
                self.problem(item, &path, Some(&text), &error.to_string(), cure);
                None
            }
            _ => {
                let cure = "write it as \"1/4\", \"0.15 mm\" or \"0.006\"";
                self.problem(item, &path, Some(&text), "is not a length", cure);
                None
            }
        }
    }

    fn number(
        &mut self,
        table: &dyn TableLike,
        at: &str,
        key: &str,
        (least, most): (f64, f64),
    ) -> Option<f64> {
        let item = table.get(key)?;
        #[allow(clippy::cast_precision_loss)] // far below 2^53, or refused
        let number = item
            .as_float()
            .or_else(|| item.as_integer().map(|n| n as f64))
            .or_else(|| item.as_str().and_then(|s| s.trim().parse().ok()))
            .filter(|n| n.is_finite() && (least..=most).contains(n));
        if number.is_none() {
            let value = written(item);
            let rule = format!("is not a number of {least} to {most}");
            self.problem(item, &format!("{at}, {key}"), Some(&value), &rule, "check the figure");
        }
        number
    }

    fn woods(&mut self, item: &Item) -> Vec<OwnWood> {
        let tables: Vec<&dyn TableLike> = if let Some(array) = item.as_array_of_tables() {
            array.iter().map(|t| t as &dyn TableLike).collect()
        } else if let Some(array) = item.as_array() {
            array.iter().filter_map(|v| v.as_inline_table()).map(|t| t as &dyn TableLike).collect()
        } else {
            let cure = "write [[species]] and its keys below it";
            self.problem(item, "species", None, "is not a list of tables", cure);
            return Vec::new();
        };
        let mut woods: Vec<OwnWood> = Vec::new();
        let mut keys: HashSet<String> = HashSet::new();
        for (number, table) in tables.into_iter().enumerate() {
            if let Some(wood) = self.wood(item, table, number + 1) {
                if !keys.insert(wood.species.key().to_owned()) {
                    let name = wood.species.name().to_owned();
                    let cure = "describe each wood once";
                    let place = table.get("name").unwrap_or(item);
                    self.problem(place, "species, name", Some(&name), "is described twice", cure);
                }
                woods.push(wood);
            }
        }
        woods
    }

    fn wood(&mut self, list: &Item, table: &dyn TableLike, number: usize) -> Option<OwnWood> {
        let name =
            table.get("name").and_then(Item::as_str).map(str::trim).filter(|n| !n.is_empty());
        let at = match name {
            Some(name) if name.chars().nth(60).is_some() => {
                format!("species {number} \"{}\"", cut_off(name, 60))
            }
            Some(name) => format!("species \"{name}\""),
            None => format!("species {number}"),
        };
        self.unknown(table, &at, &SPECIES_KEYS);
        let density = self.number(table, &at, "density", (50.0, 1500.0));
        let gravity = self.number(table, &at, "specific_gravity", (0.05, 1.4));
        let modulus = self.number(table, &at, "modulus", (100.0, 50_000.0));
        let place =
            table.get("name").or_else(|| table.iter().next().map(|(_, i)| i)).unwrap_or(list);
        let Some(name) = name else {
            let cure = "name the wood in quotes, as in boards.csv";
            self.problem(place, &format!("{at}, name"), None, "is missing", cure);
            return None;
        };
        let says = |key: &str| table.get(key).is_some();
        if says("density") && says("specific_gravity") {
            let rule = "stands beside specific_gravity";
            self.problem(place, &format!("{at}, density"), None, rule, "give one of the two");
        }
        if !SPECIES_KEYS[1..].iter().any(|k| says(k)) {
            let cure = "give density (kg/m³) or specific_gravity, modulus (MPa), or both";
            self.problem(place, &at, None, "has no figures", cure);
        }
        let density = density.or_else(|| gravity.map(|g| species::density(g, 12.0)));
        Some(OwnWood { species: Species::new(name), density, modulus })
    }
}

#[cfg(test)]
mod tests {
    use super::GlueSettings;
    use crate::length::{Length, Units};
    use crate::lumber::Species;

    fn read(text: &str) -> Result<GlueSettings, String> {
        GlueSettings::read("p.toml", text, Units::Inch).map_err(|p| p.to_string())
    }

    #[test]
    fn nothing_said_means_the_defaults() {
        assert_eq!(read("units = \"in\""), Ok(GlueSettings::default()));
        // 0.15 mm
        assert_eq!(Length::parse("0.15 mm", Units::Inch), Ok(GlueSettings::default().film));
    }

    #[test]
    fn what_is_said_is_read() {
        let text = "[glue]\nopen_time = 8\nfilm = \"0.2 mm\"\nmargin = 10.5\nclamp_spacing = \"5 1/2\"\n\
                    [[species]]\nname = \"Bog Oak\"\nspecific_gravity = 0.5\n\
                    [[species]]\nname = \"WRC\"\nmodulus = 8000\n";
        let s = read(text).unwrap();
        assert!((s.open_time - 8.0).abs() < 1e-12 && (s.margin - 10.5).abs() < 1e-12);
        assert_eq!(s.clamp_spacing, Some(Length::inch_fraction(11, 2)));
        assert!((s.density(&Species::new("bog oak")).unwrap() - 560.0).abs() < 1e-9);
        assert_eq!(s.modulus(&Species::new("bog oak")), None);
        // The user's figure wins, the table fills in the rest.
        let cedar = Species::new("western red cedar");
        assert!((s.modulus(&cedar).unwrap() - 8000.0).abs() < 1e-9);
        assert!((s.density(&cedar).unwrap() - 358.4).abs() < 1e-9);
    }

    #[test]
    fn every_problem_in_one_run() {
        let text = "[glue]\nopen_tim = 8\nfilm = \"thin\"\nmargin = -1\n[[species]]\ndensity = 5\n[[species]]\nname = \"x\"\n";
        let said = read(text).unwrap_err();
        assert_eq!(
            said,
            "p.toml, line 2, glue, open_tim: is not a key that is known here; did you mean open_time?\n\
             p.toml, line 3, glue, film: \"thin\" is not a length; write it as \"1/4\", \"0.15 mm\" or \"0.006\".\n\
             p.toml, line 4, glue, margin: \"-1\" is not a number of 0 to 1000; check the figure.\n\
             p.toml, line 6, species 1, density: \"5\" is not a number of 50 to 1500; check the figure.\n\
             p.toml, line 6, species 1, name: is missing; name the wood in quotes, as in boards.csv.\n\
             p.toml, line 8, species \"x\": has no figures; give density (kg/m³) or specific_gravity, modulus (MPa), or both.\n\
             6 problems."
        );
    }
}
