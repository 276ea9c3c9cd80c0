//! Drawings: boards, blanks and stacks, as SVG.

pub(crate) mod axis;
pub(crate) mod bare;
pub(crate) mod blank;
pub(crate) mod board;
pub(crate) mod canvas;
mod end;
mod labels;
mod marks;
mod numbers;
pub(crate) mod stack;
