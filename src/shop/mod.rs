//! Facts of a plan that the saw and the bench need, as data: where things lie, which cuts come
//! when, what goes where. Nothing here is printed; `report` does that.

mod area;
mod below;
pub mod bench;
pub mod caution;
pub mod clamps;
pub mod clock;
pub mod code;
pub mod cut_strips;
pub mod defaults;
pub mod doubt;
pub(crate) mod fence;
pub mod hold;
pub mod kept;
pub(crate) mod layout;
mod leaves;
pub mod left;
mod machine;
pub mod measure;
pub(crate) mod offcuts;
pub(crate) mod part;
mod planing;
mod rips;
pub mod stack;
pub(crate) mod steep;
mod step;
pub mod steps;
pub mod tally;
pub mod totals;
pub(crate) mod words;
