//! A choice of boards as it is laid out.

use crate::cut::layout::LaidSection;
use crate::cut::serve::Item;

/// A board that is opened and the strips it must give.
#[derive(Clone, Debug)]
pub struct Opened {
    /// Index of its class.
    pub class: usize,
    /// Index within the class's boards.
    pub member: usize,
    /// Strips that it can give, as sums, as chosen.
    pub gives: Vec<u32>,
}

/// A board that is opened, laid out.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The board.
    pub board: Opened,
    /// What its strips are.
    pub items: Vec<Item>,
    /// Where it is cut.
    pub sections: Vec<LaidSection>,
}
