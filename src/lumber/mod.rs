//! The wood on hand: boards, their zones, grain, bends and species, and strips cut already.

pub mod bend;
pub mod board;
pub mod grain;
pub mod names;
pub mod nominal;
pub mod species;
pub mod strip;
pub mod weight;

pub(crate) use bend::BENT;
pub use bend::Bend;
pub use board::{Board, Price, Zone, ZoneKind};
pub use grain::{Angle, Grain, Slope};
pub use names::{copy_name, look};
pub use species::Species;
pub use strip::{End, StripInHand};
pub use weight::Weight;
