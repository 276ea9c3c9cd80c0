//! A blank: its strips in their places, and what is foretold of it.

use crate::glue::figures::Figures;
use crate::glue::forecast::Forecast;
use crate::glue::laid::Laid;
use crate::length::Length;

/// One blank.
#[derive(Clone, Debug, PartialEq)]
pub struct Blank {
    /// Its kind of paddle, as an index into the job's.
    pub paddle: usize,
    /// The paddle's name.
    pub name: String,
    /// Which of the paddles of that kind, from 1.
    pub copy: u32,
    /// Rough length.
    pub length: Length,
    /// Rough length of each blade.
    pub blade: Length,
    /// Length of the loom.
    pub loom: Length,
    /// Strips from left to right; where two blade strips lie end to end, that of A first.
    pub places: Vec<Laid>,
    /// Bends with every strip as it lies in these places.
    pub before: Forecast,
    /// Bends with the strips placed as said.
    pub after: Forecast,
    /// Could every placing be weighed? Not where there are more strips than can be tried.
    pub proved: bool,
    /// Was the sharing of strips among the blanks of its kind stopped before it was done?
    pub cut_short: bool,
    /// Was one modulus used for all strips, because a wood's is not known?
    pub equal_modulus: bool,
    /// Weight, balance and stiffness.
    pub figures: Figures,
}
