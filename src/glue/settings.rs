//! `[glue]` and `[[species]]` of paddles.toml: all of it optional.
//!
//! ```toml
//! [glue]
//! clamp_load = "700 lb"         # what one bar clamp presses with
//! clamps = 18                   # bar clamps in the shop; left out: as many as are wanted
//! clamp_spacing = "6"           # most from clamp to clamp; left out: 5 to 8 in by the outer strip
//! hold = "50 lb"                # what blocks and hands hold of a depthwise bend
//! helpers = 0                   # hands beside your own
//! spread_pace = 5               # seconds to spread a foot (mm jobs: a metre) of one face
//! close_pace = 10               # seconds to tip a strip back into the stack
//! clamp_pace = 20               # seconds to set a bar clamp
//! small_clamp_pace = 8          # seconds to set a small clamp of an alignment block
//! film = "0.15 mm"              # thickness of the wet glue
//! line = "0.1 mm"               # thickness of the line that stays in the joint
//! margin = 25                   # per cent more, for squeeze-out and what stays in the pot
//! blade_tip = "1/2"             # thickness of the shaped blade at its tip
//! blade_edge = "3/16"           # thickness of its edges
//! reference_species = "western redcedar"   # a solid loom to compare the loom with
//! reference_width = "1 1/2"
//! reference_thickness = "1 1/4"
//! use = "slow"                  # which of the kinds below; left out: the first
//!
//! [[glue.kind]]                 # from the glue's own data sheet; with no kinds, these keys may
//! name = "slow"                 # stand in [glue] itself
//! faces = "both"                # faces of a joint that get glue: "one" or "both"
//! moisture = false              # is the other face misted with water?
//! open_time = 20                # minutes from the first glue until the faces are together
//! closed_time = 40              # minutes from then until the last clamp is tight; left out, the
//!                               # open time counts until the last clamp is tight
//! pressure = [100, 150, 200]    # psi for light, medium and dense wood, or one for all
//! least_temperature = "60 F"
//! clamp_time = 5                # hours in the clamps
//! bent_clamp_time = 24          # hours where bends are pulled straight
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
    /// The glue that is used.
    pub glue: GlueKind,
    /// Other glues that the shop has.
    pub others: Vec<GlueKind>,
    /// What one bar clamp presses with, N.
    pub clamp_load: f64,
    /// Bar clamps in the shop; `None` where there are as many as are wanted.
    pub clamps: Option<u32>,
    /// What blocks and hands hold of a depthwise bend, N.
    pub hold: f64,
    /// Hands beside the builder's own.
    pub helpers: u32,
    /// How long each thing takes.
    pub pace: Pace,
    /// Thickness of the wet glue on a joint.
    pub film: Length,
    /// Thickness of the line that stays in a pressed joint.
    pub line: Length,
    /// Per cent more glue than the film holds.
    pub margin: f64,
    /// Most from bar clamp to bar clamp; `None` leaves it to the outer strip.
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

/// A kind of glue, from its data sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct GlueKind {
    /// What the shop calls it; `None` where `[glue]` itself describes it.
    pub name: Option<String>,
    /// Does glue go on both faces of a joint?
    pub both_faces: bool,
    /// Does it cure by moisture, so that the other face is misted?
    pub moisture: bool,
    /// Minutes from the first glue until the faces are together; until the last clamp is tight
    /// where there is no `closed_time`.
    pub open_time: f64,
    /// Minutes from then until the last clamp is tight.
    pub closed_time: Option<f64>,
    /// Pressure on the joints of light, medium and dense wood, psi.
    pub pressure: [f64; 3],
    /// Coldest room and wood, °C.
    pub least_temperature: Option<f64>,
    /// Hours in the clamps.
    pub clamp_time: Option<f64>,
    /// Hours in the clamps where bends are pulled straight.
    pub bent_clamp_time: f64,
}

/// Seconds that each thing takes one pair of hands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// To spread a metre of one face.
    pub spread: f64,
    /// To tip a strip back into the stack.
    pub close: f64,
    /// To set a bar clamp.
    pub clamp: f64,
    /// To set a small clamp.
    pub small_clamp: f64,
}

impl Default for GlueKind {
    /// A fast moisture-cured glue: clamped 10 minutes after the first glue (common practice);
    /// the low ends of 100 to 150, 150 to 200 and 200 to 300 psi (a glue maker's guide), and from
    /// it too a day in the clamps for a lamination under stress.
    fn default() -> Self {
        GlueKind {
            name: None,
            both_faces: false,
            moisture: true,
            open_time: 10.0,
            closed_time: None,
            pressure: [100.0, 150.0, 200.0],
            least_temperature: None,
            clamp_time: None,
            bent_clamp_time: 24.0,
        }
    }
}

impl GlueKind {
    /// Open minutes that a closed minute counts as: with 10 open and 20 closed minutes, a half
    /// (ANC-19 §5.24: one minute open counts as two closed).
    pub fn closed_share(&self) -> f64 {
        self.closed_time.map_or(1.0, |closed| self.open_time / closed)
    }

    /// Pressure for a wood of this density (kg/m³ at 12 %), psi. Light is a specific gravity
    /// below 0.45, dense one above 0.55 (from memory); an unknown wood counts as light.
    pub fn pressure_for(&self, density: Option<f64>) -> f64 {
        let of = |gravity: f64| species::density(gravity, 12.0);
        let [light, medium, dense] = self.pressure;
        match density {
            Some(d) if d > of(0.55) => dense,
            Some(d) if d >= of(0.45) => medium,
            _ => light,
        }
    }
}

/// A pound of force, N.
pub const POUND: f64 = 4.448_221_615_260_5;
/// A pound a square inch, Pa.
pub const PSI: f64 = 6_894.757_293_168;

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
    /// Paces, line and what hands hold are from memory. 700 lb a clamp lies midway between what
    /// parallel jaws press, 370 lb, and what a clamp on a pipe does, 1,050 lb (a magazine's test);
    /// with it, a softwood blade at 100 psi needs no more clamps than their spacing asks for.
    fn default() -> Self {
        GlueSettings {
            glue: GlueKind::default(),
            others: Vec::new(),
            clamp_load: 700.0 * POUND,
            clamps: None,
            hold: 50.0 * POUND,
            helpers: 0,
            pace: Pace { spread: 5.0 / 0.3048, close: 10.0, clamp: 20.0, small_clamp: 8.0 },
            film: Length::from_units(12_000),
            line: Length::from_units(8_000),
            margin: 25.0,
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
