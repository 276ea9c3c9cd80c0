//! `[glue]` and `[[species]]` of paddles.toml: all of it optional.

use crate::glue::settings::{POUND, PSI};
use crate::glue::{GlueKind, GlueSettings, OwnWood};
use crate::length::{Length, Units};
use crate::lumber::{Species, species};
use crate::read::problem::cut_off;
use crate::read::table::{Place, TableReader, written};
use std::collections::HashSet;
use toml_edit::{Item, TableLike};

/// What a data sheet says of a glue.
const KIND_KEYS: [&str; 9] = [
    "name",
    "faces",
    "moisture",
    "open_time",
    "closed_time",
    "pressure",
    "least_temperature",
    "clamp_time",
    "bent_clamp_time",
];
const GLUE_KEYS: [&str; 18] = [
    "clamp_load",
    "clamps",
    "clamp_spacing",
    "hold",
    "helpers",
    "spread_pace",
    "close_pace",
    "clamp_pace",
    "small_clamp_pace",
    "film",
    "line",
    "margin",
    "blade_tip",
    "blade_edge",
    "reference_species",
    "reference_width",
    "reference_thickness",
    "use",
];
const SPECIES_KEYS: [&str; 4] = ["name", "density", "specific_gravity", "modulus"];
/// Units that a figure may carry, each as so many of the first, which bare numbers are in.
type Marks = &'static [(&'static str, f64)];
const PRESSURE: Marks = &[("psi", 1.0), ("kpa", 1000.0 / PSI), ("mpa", 1e6 / PSI)];
const FORCE: Marks =
    &[("lb", 1.0), ("lbf", 1.0), ("n", 1.0 / POUND), ("kn", 1000.0 / POUND), ("kg", 2.204_623)];

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
                    let value = item.is_value().then(|| written(item));
                    self.problem(&place, value.as_deref(), "is not a table", cure);
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
        let mut known = GLUE_KEYS.to_vec();
        known.extend(&KIND_KEYS[1..]);
        known.push("kind");
        self.unknown(table, at, &known);
        let some = Length::from_units(1);
        for (key, into, least) in [
            ("film", &mut settings.film, some),
            ("line", &mut settings.line, Length::ZERO),
            ("blade_tip", &mut settings.blade_tip, some),
            ("blade_edge", &mut settings.blade_edge, Length::ZERO),
            ("reference_width", &mut settings.reference_width, some),
            ("reference_thickness", &mut settings.reference_thickness, some),
        ] {
            if let Some(length) = self.length(table, at, key, least) {
                *into = length;
            }
        }
        let least = Length::INCH * 2;
        settings.clamp_spacing = self.length(table, at, "clamp_spacing", least);
        let feet = if self.units == Units::Inch { 0.3048 } else { 1.0 };
        for (key, into, range, by) in [
            ("margin", &mut settings.margin, (0.0, 1000.0), 1.0),
            ("spread_pace", &mut settings.pace.spread, (0.1, 600.0), feet),
            ("close_pace", &mut settings.pace.close, (0.1, 600.0), 1.0),
            ("clamp_pace", &mut settings.pace.clamp, (0.1, 600.0), 1.0),
            ("small_clamp_pace", &mut settings.pace.small_clamp, (0.1, 600.0), 1.0),
        ] {
            if let Some(number) = self.number(table, at, key, range) {
                *into = number / by;
            }
        }
        for (key, into) in [("clamp_load", &mut settings.clamp_load), ("hold", &mut settings.hold)]
        {
            if let Some(item) = table.get(key) {
                let place = self.place(table, at, key);
                if let Some(pounds) = self.quantity(&place, &written(item), FORCE, (1.0, 1e5)) {
                    *into = pounds * POUND;
                }
            }
        }
        settings.helpers = self.count(table, at, "helpers", 0, 0).min(20);
        settings.clamps = table.get("clamps").map(|_| self.count(table, at, "clamps", 1, 1));
        self.kinds(table, at, settings);
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

    /// The kinds of glue, and which of them is used.
    fn kinds(&mut self, table: &dyn TableLike, at: &Place, settings: &mut GlueSettings) {
        let place = self.place(table, at, "kind");
        let tables = self.tables(table.get("kind"), &place, "[[glue.kind]] and its keys below it");
        let used = self.place(table, at, "use");
        let wanted = table.get("use").map(written);
        if tables.is_empty() {
            settings.glue = self.kind(table, at, None);
            if let Some(wanted) = wanted {
                let cure = "describe it as [[glue.kind]] from its data sheet";
                self.problem(&used, Some(&wanted), "is no kind of glue that is described", cure);
            }
            return;
        }
        for key in KIND_KEYS[1..].iter().filter(|key| table.get(key).is_some()) {
            let place = self.place(table, at, key);
            let cure = "write it below the kind that it is of";
            self.problem(&place, None, "stands beside [[glue.kind]]", cure);
        }
        let mut kinds: Vec<GlueKind> = Vec::new();
        for (number, (of, span)) in tables.into_iter().enumerate() {
            let span = span.or_else(|| place.span.clone());
            let named = of.get("name").and_then(Item::as_str).map(str::trim);
            let path = match named {
                Some(name) if !name.is_empty() => format!("glue, kind \"{}\"", cut_off(name, 60)),
                _ => format!("glue, kind {}", number + 1),
            };
            let at = Place { span, path };
            self.unknown(of, &at, &KIND_KEYS);
            let name = self.name(of, &at, "glue");
            for key in ["faces", "open_time", "pressure"].iter().filter(|k| of.get(k).is_none()) {
                let place = self.place(of, &at, key);
                self.missing(&place, "take it from the data sheet of the glue");
            }
            if let Some(name) = &name
                && kinds.iter().any(|k| k.name.as_ref() == Some(name))
            {
                let place = self.place(of, &at, "name");
                self.problem(&place, Some(name), "is described twice", "describe each glue once");
            }
            let moisture = of.get("moisture").is_some();
            let kind = self.kind(of, &at, name);
            kinds.push(GlueKind { moisture: kind.moisture && moisture, ..kind });
        }
        let at = match &wanted {
            None => Some(0),
            Some(wanted) => kinds.iter().position(|k| k.name.as_deref() == Some(wanted.trim())),
        };
        match at {
            Some(at) if at < kinds.len() => {
                settings.glue = kinds.remove(at);
                settings.others = kinds;
            }
            _ => {
                let names: Vec<&str> = kinds.iter().filter_map(|k| k.name.as_deref()).collect();
                let cure = format!("write one of: {}", cut_off(&names.join(", "), 200));
                let rule = "is no kind of glue that is described";
                self.problem(&used, wanted.as_deref(), rule, &cure);
            }
        }
    }

    fn kind(&mut self, table: &dyn TableLike, at: &Place, name: Option<String>) -> GlueKind {
        let mut kind = GlueKind { name, ..GlueKind::default() };
        if let Some(item) = table.get("faces") {
            match written(item).trim() {
                "one" | "1" => kind.both_faces = false,
                "both" | "2" | "two" => kind.both_faces = true,
                other => {
                    let place = self.place(table, at, "faces");
                    let cure = "write \"one\" or \"both\": the faces of a joint that get glue";
                    self.problem(&place, Some(other), "is neither one face nor both", cure);
                }
            }
        }
        if let Some(item) = table.get("moisture") {
            match item.as_bool() {
                Some(moisture) => kind.moisture = moisture,
                None => {
                    let place = self.place(table, at, "moisture");
                    let cure = "write true or false";
                    self.problem(&place, Some(&written(item)), "is neither true nor false", cure);
                }
            }
        }
        let minutes = (0.5, 1440.0);
        let hours = (0.05, 1000.0);
        if let Some(open) = self.number(table, at, "open_time", minutes) {
            kind.open_time = open;
        }
        kind.closed_time = self.number(table, at, "closed_time", minutes);
        kind.clamp_time = self.number(table, at, "clamp_time", hours);
        match self.number(table, at, "bent_clamp_time", hours) {
            Some(bent) => kind.bent_clamp_time = bent,
            None => {
                let long = kind.clamp_time.unwrap_or_default();
                kind.bent_clamp_time = kind.bent_clamp_time.max(long);
            }
        }
        if let Some(item) = table.get("least_temperature") {
            let place = self.place(table, at, "least_temperature");
            kind.least_temperature = self.temperature(&place, &written(item));
        }
        if let Some(item) = table.get("pressure") {
            let place = self.place(table, at, "pressure");
            self.pressures(&place, item, &mut kind.pressure);
        }
        kind
    }

    /// One pressure for all woods, or those for light, medium and dense ones.
    fn pressures(&mut self, place: &Place, item: &Item, into: &mut [f64; 3]) {
        let range = (0.1, 10_000.0);
        let Some(array) = item.as_array() else {
            if let Some(all) = self.quantity(place, &written(item), PRESSURE, range) {
                *into = [all; 3];
            }
            return;
        };
        if array.len() != 3 {
            let cure = "write one pressure, or three: for light, medium and dense wood";
            self.problem(place, Some(&written(item)), "is not one pressure and not three", cure);
            return;
        }
        for (value, into) in array.iter().zip(into) {
            let text = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
            if let Some(one) = self.quantity(place, text.trim(), PRESSURE, range) {
                *into = one;
            }
        }
    }

    /// A figure with one of these units, or with none for the first of them.
    fn quantity(
        &mut self,
        place: &Place,
        text: &str,
        marks: Marks,
        (least, most): (f64, f64),
    ) -> Option<f64> {
        let text = text.trim();
        let end = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
        let (figure, mark) = (text[..end].trim(), text[end..].trim().to_lowercase());
        let by = if mark.is_empty() {
            Some(1.0)
        } else {
            marks.iter().find(|(name, _)| *name == mark).map(|(_, by)| *by)
        };
        let number = figure.parse::<f64>().ok().zip(by).map(|(n, by)| n * by);
        let number = number.filter(|n| n.is_finite() && (least..=most).contains(n));
        if number.is_none() {
            let usual = marks.first().map_or("", |m| m.0);
            let rule = format!("is not a figure of {least} to {most} {usual}");
            let names: Vec<&str> = marks.iter().map(|m| m.0).collect();
            let cure = format!("check the figure; its unit may be {}", names.join(", "));
            self.problem(place, Some(text), &rule, &cure);
        }
        number
    }

    /// A temperature in °C; a bare number is in °F in an inch job, else in °C.
    fn temperature(&mut self, place: &Place, text: &str) -> Option<f64> {
        let tidy = text.trim().to_uppercase().replace('°', "");
        let (figure, fahrenheit) = match (tidy.strip_suffix('F'), tidy.strip_suffix('C')) {
            (Some(figure), _) => (figure, true),
            (_, Some(figure)) => (figure, false),
            _ => (tidy.as_str(), self.units == Units::Inch),
        };
        let number = figure.trim().parse::<f64>().ok();
        let celsius = number.map(|n| if fahrenheit { (n - 32.0) / 1.8 } else { n });
        let celsius = celsius.filter(|c| (-40.0..=100.0).contains(c));
        if celsius.is_none() {
            let cure = "write it as \"50 F\" or \"10 C\"";
            self.problem(place, Some(text), "is not a temperature of -40 to 100 °C", cure);
        }
        celsius
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
        assert!((s.glue.open_time - 8.0).abs() < 1e-12 && (s.margin - 10.5).abs() < 1e-12);
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
             p.toml, line 5, species 1, name: is missing; give the wood a name.\n\
             p.toml, line 6, species 1, density: \"5\" is not a number of 50 to 1500; check the figure.\n\
             p.toml, line 7, species \"x\": has no figures; give density (kg/m³) or specific_gravity, modulus (MPa), or both.\n\
             6 problems."
        );
    }

    /// A glue as its data sheet describes it, with units of either system, and one beside it.
    #[test]
    fn kinds_of_glue_are_read() {
        let text = "[glue]\nuse = \"slow\"\nclamp_load = \"1.5 kN\"\n\
                    [[glue.kind]]\nname = \"fast\"\nfaces = \"one\"\nmoisture = true\nopen_time = 10\npressure = 100\n\
                    [[glue.kind]]\nname = \"slow\"\nfaces = \"both\"\nopen_time = 20\nclosed_time = 40\n\
                    pressure = [\"0.7 MPa\", 150, \"200 psi\"]\nleast_temperature = \"50 F\"\nclamp_time = 30\n";
        let s = read(text).unwrap();
        assert!((s.clamp_load - 1500.0).abs() < 1e-6);
        let slow = &s.glue;
        assert_eq!(slow.name.as_deref(), Some("slow"));
        assert!(slow.both_faces && !slow.moisture);
        // ANC-19 §5.24: with twice the open time closed, one minute open counts as two closed.
        assert!((slow.closed_share() - 0.5).abs() < 1e-12);
        // 1 MPa is 145.04 psi.
        assert!((slow.pressure[0] - 0.7 * 145.037_7).abs() < 1e-3);
        assert!((slow.pressure[2] - 200.0).abs() < 1e-12);
        assert!((slow.least_temperature.unwrap() - 10.0).abs() < 1e-9);
        // Bends pulled straight never get less time than straight strips.
        assert!((slow.bent_clamp_time - 30.0).abs() < 1e-12);
        assert_eq!(s.others.len(), 1);
        assert!(s.others[0].moisture && !s.others[0].both_faces);
        // Light cedar, dense ash, and nothing known of the wood.
        let ash = s.density(&Species::new("white ash"));
        assert!((slow.pressure_for(ash) - 200.0).abs() < 1e-12);
        assert!(slow.pressure_for(None) < 110.0);
    }

    #[test]
    fn wrong_kinds_of_glue_are_told() {
        let text = "[glue]\nuse = \"quick\"\nopen_time = 3\nclamp_load = \"5 stone\"\n\
                    [[glue.kind]]\nname = \"a\"\nfaces = 3\nopen_time = 0\npressure = [1, 2]\nleast_temperature = \"cold\"\nmoisture = 1\n";
        let said = read(text).unwrap_err();
        for line in [
            "line 4, glue, clamp_load: \"5 stone\" is not a figure of 1 to 100000 lb; check the figure; its unit may be lb, lbf, n, kn, kg.",
            "line 3, glue, open_time: stands beside [[glue.kind]]; write it below the kind that it is of.",
            "line 7, glue, kind \"a\", faces: \"3\" is neither one face nor both; write \"one\" or \"both\": the faces of a joint that get glue.",
            "line 8, glue, kind \"a\", open_time: \"0\" is not a number of 0.5 to 1440; check the figure.",
            "line 9, glue, kind \"a\", pressure: \"[1, 2]\" is not one pressure and not three; write one pressure, or three: for light, medium and dense wood.",
            "line 10, glue, kind \"a\", least_temperature: \"cold\" is not a temperature of -40 to 100 °C; write it as \"50 F\" or \"10 C\".",
            "line 11, glue, kind \"a\", moisture: \"1\" is neither true nor false; write true or false.",
            "line 2, glue, use: \"quick\" is no kind of glue that is described; write one of: a.",
        ] {
            assert!(said.contains(line), "{line}\n{said}");
        }
        assert!(said.ends_with("8 problems."), "{said}");
        assert!(read("[glue]\nuse = \"x\"\n").unwrap_err().contains("is no kind of glue"));
        let twice = "[[glue.kind]]\nname = \"a\"\nfaces = 1\nopen_time = 5\npressure = 9\n";
        assert!(read(&twice.repeat(2)).unwrap_err().contains("is described twice"));
    }

    /// The starter job explains every key, and what it says is what is meant without it.
    #[test]
    fn the_starter_job_explains_every_key() {
        let text = include_str!("../cli/start/paddles.toml");
        for key in super::GLUE_KEYS.iter().chain(&super::KIND_KEYS).chain(&super::SPECIES_KEYS) {
            assert!(text.contains(&format!("{key} = ")), "{key}");
        }
        let made = crate::read::paddles_text("p.toml", text).unwrap().glue;
        let usual = GlueSettings::default();
        assert_eq!(made.glue.name.as_deref(), Some("fast"));
        let unnamed = crate::glue::GlueKind { name: None, ..made.glue.clone() };
        let made = GlueSettings { glue: unnamed, ..made };
        assert_eq!(format!("{made:?}"), format!("{usual:?}"));
        // With the lines that are only shown, too.
        let lines: Vec<String> = text
            .lines()
            .map(|l| {
                let key = l.trim_start().strip_prefix("# ").unwrap_or_default();
                let known = key.split(" = ").next().unwrap_or_default();
                let shown = super::KIND_KEYS.contains(&known) || super::GLUE_KEYS.contains(&known);
                let wood = super::SPECIES_KEYS.contains(&known) || key == "[[species]]";
                if shown || wood { key.to_owned() } else { l.to_owned() }
            })
            .collect();
        let all = crate::read::paddles_text("p.toml", &lines.join("\n")).unwrap().glue;
        assert_eq!(all.glue.closed_time, Some(20.0));
        assert_eq!(all.woods.len(), 1);
        assert!(all.clamp_spacing.is_some());
    }
}
