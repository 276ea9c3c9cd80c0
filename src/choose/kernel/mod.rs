//! The trusted part of the choice: whole-number costs, covers, and bounds that hold for any
//! prices. Nothing here rests on floats, and no sum in it wraps; what the search finds is
//! believed only as far as this part bears it out.

pub mod bound;
#[cfg(test)]
mod by_hand;
pub mod cover;
pub mod rows;
#[cfg(test)]
pub mod trial;
