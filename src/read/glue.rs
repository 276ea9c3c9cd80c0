//! `[glue]` and `[[species]]` of paddles.toml: all of it optional.

use crate::glue::{GlueSettings, OwnWood};
use crate::length::Length;
use crate::lumber::{Species, species};
use crate::read::problem::cut_off;
use crate::read::table::{Place, TableReader, written};
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

impl TableReader<'_> {
    /// How the shop glues and the woods it describes, or what is usual.
    pub(super) fn glue_settings(&mut self, top: &dyn TableLike) -> GlueSettings {
        let mut settings = GlueSettings::default();
        let at = Place::default();
        if let Some(item) = top.get("glue") {
            let place = self.place(top, &at, "glue");
            match item.as_table_like() {
                Some(table) => {
                    let place = Place { span: item.span().or(place.span), ..place };
                    self.glue(table, &place, &mut settings);
                }
                None => {
                    let cure = "write [glue] and its keys below it";
                    self.problem(&place, None, "is not a table", cure);
                }
            }
        }
        let place = self.place(top, &at, "species");
        let tables = self.tables(top.get("species"), &place, "[[species]] and its keys below it");
        let mut names: HashSet<String> = HashSet::new();
        for (number, (table, span)) in tables.into_iter().enumerate() {
            let span = span.or_else(|| place.span.clone());
            let Some(wood) = self.wood(table, span, number + 1) else { continue };
            if !names.insert(wood.species.key().to_owned()) {
                let at = Place { path: "species".to_owned(), ..Place::default() };
                let place = self.place(table, &at, "name");
                let cure = "describe each wood once";
                self.problem(&place, Some(wood.species.name()), "is described twice", cure);
            }
            settings.woods.push(wood);
        }
        settings
    }

    fn glue(&mut self, table: &dyn TableLike, at: &Place, settings: &mut GlueSettings) {
        self.unknown(table, at, &GLUE_KEYS);
        let some = Length::from_units(1);
        for (key, into, least) in [
            ("film", &mut settings.film, some),
            ("blade_tip", &mut settings.blade_tip, some),
            ("blade_edge", &mut settings.blade_edge, Length::ZERO),
            ("reference_width", &mut settings.reference_width, some),
            ("reference_thickness", &mut settings.reference_thickness, some),
        ] {
            if let Some(length) = self.length(table, at, key, least) {
                *into = length;
            }
        }
        settings.clamp_spacing = self.length(table, at, "clamp_spacing", Length::INCH);
        for (key, into, range) in [
            ("open_time", &mut settings.open_time, (0.5, 1440.0)),
            ("margin", &mut settings.margin, (0.0, 1000.0)),
            ("pressure", &mut settings.pressure, (1.0, 10_000.0)),
        ] {
            if let Some(number) = self.number(table, at, key, range) {
                *into = number;
            }
        }
        if let Some(item) = table.get("reference_species") {
            let place = self.place(table, at, "reference_species");
            match item.as_str().filter(|s| !s.trim().is_empty()) {
                Some(name) => {
                    self.fit(&place, name);
                    settings.reference_species = Species::new(name);
                }
                None => {
                    let cure = "name a wood in quotes";
                    self.problem(&place, Some(&written(item)), "is not a name", cure);
                }
            }
        }
    }

    fn wood(
        &mut self,
        table: &dyn TableLike,
        span: Option<std::ops::Range<usize>>,
        number: usize,
    ) -> Option<OwnWood> {
        let named = table.get("name").and_then(Item::as_str).map(str::trim);
        let path = match named {
            Some(name) if name.chars().nth(60).is_some() => {
                format!("species {number} \"{}\"", cut_off(name, 60))
            }
            Some(name) if !name.is_empty() => format!("species \"{name}\""),
            _ => format!("species {number}"),
        };
        let at = Place { span, path };
        self.unknown(table, &at, &SPECIES_KEYS);
        let density = self.number(table, &at, "density", (50.0, 1500.0));
        let gravity = self.number(table, &at, "specific_gravity", (0.05, 1.4));
        let modulus = self.number(table, &at, "modulus", (100.0, 50_000.0));
        let name = self.name(table, &at, "wood")?;
        let says = |key: &str| table.get(key).is_some();
        if says("density") && says("specific_gravity") {
            let place = self.place(table, &at, "density");
            self.problem(&place, None, "stands beside specific_gravity", "give one of the two");
        }
        if !SPECIES_KEYS[1..].iter().any(|k| says(k)) {
            let cure = "give density (kg/m³) or specific_gravity, modulus (MPa), or both";
            self.problem(&at, None, "has no figures", cure);
        }
        let density = density.or_else(|| gravity.map(|g| species::density(g, 12.0)));
        Some(OwnWood { species: Species::new(&name), density, modulus })
    }
}

#[cfg(test)]
mod tests {
    use crate::glue::GlueSettings;
    use crate::length::{Length, Units};
    use crate::lumber::Species;

    const PADDLE: &str = "[[paddle]]\nname = \"p\"\nlength = 84\nloom = 20\nthickness = 1\n[[paddle.lamination]]\nname = \"a\"\nthickness = 1\nruns = \"through\"\n";

    fn read(text: &str) -> Result<GlueSettings, String> {
        let text = format!("{text}\n{PADDLE}");
        crate::read::paddles_text("p.toml", &text)
            .map(|wanted| wanted.glue)
            .map_err(|p| p.to_string())
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
             p.toml, line 3, glue, film: \"thin\" is not a length; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".\n\
             p.toml, line 4, glue, margin: \"-1\" is not a number of 0 to 1000; check the figure.\n\
             p.toml, line 6, species 1, density: \"5\" is not a number of 50 to 1500; check the figure.\n\
             p.toml, line 5, species 1, name: is missing; give the wood a name.\n\
             p.toml, line 7, species \"x\": has no figures; give density (kg/m³) or specific_gravity, modulus (MPa), or both.\n\
             6 problems."
        );
    }
}
