//! The `stripwright` command.

fn main() {}
