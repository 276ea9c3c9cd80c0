//! The paddles wanted, the strips they need, and which strips in hand serve.

pub mod families;
pub mod fits;
pub mod job;
pub mod strips;

pub use families::Families;
pub use job::{Job, Lamination, Margin, Margins, Paddle, Planer, Runs, Shop};
pub use strips::{StripKind, Tally, strip_kinds};
