//! The paddles wanted, the strips they need, and which strips in hand serve.

pub mod fits;
pub mod job;
pub mod strips;

pub use job::{Job, Lamination, Margin, Margins, Paddle, Planer, Runs, Shop};
pub use strips::{StripKind, Tally, strip_kinds};
