//! The paddles wanted, and the strips they need.

pub mod families;
pub mod job;
pub mod strips;

pub use families::Families;
pub use job::{Job, Lamination, Margin, Margins, Paddle, Planer, Runs, Shop};
pub use strips::{StripKind, Tally, strip_kinds};
