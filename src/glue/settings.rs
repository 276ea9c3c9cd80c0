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

use crate::length::Length;
use crate::lumber::{Species, species};

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
}
