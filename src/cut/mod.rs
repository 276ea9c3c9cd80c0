//! Every best way to cut one board (MODEL 4 to 6).
//!
//! A board is crosscut into sections, a section is ripped, a rip may be resawn into leaves, and a
//! leaf is crosscut into strips. [`BoardCuts`] holds all candidate sections of one board with
//! everything about them that prices and demand can't change:
//!
//! * [`serve`]: which kinds of strip the board can give, cut which way, and what stands in
//!   their way (zones, and bands of grain as zones);
//! * [`leaf`]: what a leaf gives, from where it begins, for each set of obstacles under it;
//! * [`stack`]: which leaves fit into a thickness;
//! * [`across`]: where rips can lie in a section;
//! * [`sections`]: where sections can lie along the board, [`board`]: what is kept of them;
//! * [`ranges`]: where straight-lined ones may begin and end, and how a range of places is judged;
//!   [`outlook`]: ways that are looked for over ranges.
//!
//! Three questions are answered over that: the most that strips at given prices can come to
//! ([`value`]), all count vectors that no other dominates, and a cut with given counts and the
//! fewest saw cuts ([`list`]).

pub mod across;
pub mod board;
#[cfg(test)]
mod by_hand;
#[cfg(test)]
mod by_hand_asked;
#[cfg(test)]
mod by_hand_both;
#[cfg(test)]
mod by_hand_sections;
#[cfg(test)]
mod by_hand_served;
mod labels;
pub mod lanes;
pub mod layout;
pub mod leaf;
mod leaves;
mod lined;
pub mod list;
pub mod met;
pub mod needless;
pub mod outlook;
pub mod parity;
pub mod ranges;
pub mod recent;
mod room;
pub mod sections;
pub mod serve;
pub mod shorten;
pub mod stack;
mod starts;
mod steps;
pub mod value;

pub use board::BoardCuts;
