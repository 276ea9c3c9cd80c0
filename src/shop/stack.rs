//! The stack of a blank as it lies on the bench: every strip in its place, and which way round.

use crate::glue::{Blank, Reach};
use crate::length::{Length, Units};
use crate::shop::words::near;

/// Where a strip lies along the blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// From end to end.
    Through,
    /// In the blade at end A, at the left as drawn.
    LeftBlade,
    /// In the blade at end B.
    RightBlade,
}

/// A strip as it lies in the stack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// Its name.
    pub name: String,
    /// Its lamination, in words.
    pub lamination: String,
    /// Where it lies along the blank.
    pub run: Run,
    /// Does its arrow (towards the board's marked end) point to end A, the left end as drawn?
    pub arrow_left: bool,
    /// Is the face with its name up?
    pub name_up: bool,
    /// Dressed thickness.
    pub thickness: Length,
    /// How it is laid, in words.
    pub how: String,
}

/// A blank's strips in rows across it; a row holds one through strip, or the strips of both
/// blades, that at end A first. Seen from end A, row 1 is at the left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stack {
    /// Rows from one side to the other.
    pub rows: Vec<Vec<Bar>>,
    /// Rough length of the blank.
    pub length: Length,
    /// Rough length of a blade strip.
    pub blade: Length,
    /// Thickness of the planed blank.
    pub thickness: Length,
}

impl Stack {
    /// The stack of a blank. The left end as drawn is end A.
    pub fn of(blank: &Blank, units: Units) -> Stack {
        let mut rows: Vec<(Length, Vec<Bar>)> = Vec::new();
        for p in &blank.places {
            let bar = Bar {
                name: p.strip.clone(),
                lamination: format!("{}, {}", p.lamination_name, near(p.thickness(), units)),
                run: match p.reach {
                    Reach::BladeA => Run::LeftBlade,
                    Reach::Through => Run::Through,
                    Reach::BladeB => Run::RightBlade,
                },
                arrow_left: p.placing.marked_end_at_a(),
                name_up: p.placing.name_up(),
                thickness: p.thickness(),
                how: format!("{}: {}", p.placing.word(), p.placing.how()),
            };
            match rows.last_mut() {
                Some((left, row)) if *left == p.left => row.push(bar),
                _ => rows.push((p.left, vec![bar])),
            }
        }
        Stack {
            rows: rows.into_iter().map(|(_, row)| row).collect(),
            length: blank.length,
            blade: blank.blade,
            thickness: blank.places.iter().map(|p| p.depth).max().unwrap_or_default(),
        }
    }
}
