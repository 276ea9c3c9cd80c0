//! The sample: marked boards of one wood and grade (MODEL 12).

use crate::lumber::{Board, Zone};

/// The grade whose boards are taken for what they look like without marks: clear.
pub const CLEAR: &str = "clear";

/// A grade as it is compared: case and spare spaces don't count.
pub fn grade_of(board: &Board) -> Option<String> {
    let words = |g: &String| g.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    board.grade.as_ref().map(words).filter(|g| !g.is_empty())
}

/// A grade as it is printed: as it was written.
pub fn grade_written(board: &Board) -> String {
    let words = |g: &String| g.split_whitespace().collect::<Vec<_>>().join(" ");
    board.grade.as_ref().map(words).unwrap_or_default()
}

/// Is this a board of a yard whose marks are not known: it has a grade, the grade is not clear,
/// and nothing is marked on it?
pub fn unmarked(board: &Board) -> bool {
    board.zones.is_empty() && grade_of(board).is_some_and(|g| g != CLEAR)
}

/// The marked boards that unmarked ones of a wood and grade are drawn from, each copy by itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sample {
    /// The boards, each alike likely; quantities say nothing here.
    pub boards: Vec<Board>,
}

/// No more copies of one board are told apart: beyond that the others hardly count.
const COPIES: u32 = 1_000;

impl Sample {
    /// Those of the marked boards that are of the wood and grade of an unmarked one.
    pub fn of(marked: &[Board], unmarked: &Board) -> Sample {
        let grade = grade_of(unmarked);
        let same = |b: &&Board| {
            grade.is_some() && b.species.matches(&unmarked.species) && grade_of(b) == grade
        };
        let copies = |b: &Board| (0..b.quantity.min(COPIES)).map(|_| b.clone()).collect::<Vec<_>>();
        Sample { boards: marked.iter().filter(same).flat_map(copies).collect() }
    }

    /// Is any of the marked boards of the wood and grade of an unmarked one?
    pub fn knows(marked: &[Board], unmarked: &Board) -> bool {
        let grade = grade_of(unmarked);
        let same = |b: &Board| b.species.matches(&unmarked.species) && grade_of(b) == grade;
        grade.is_some() && marked.iter().any(|b| b.quantity > 0 && same(b))
    }

    /// Zones in all of it.
    pub fn zones(&self) -> usize {
        self.boards.iter().map(|b| b.zones.len()).sum()
    }

    /// How many boards of this length the sample comes to, its own lengths one after another.
    #[allow(clippy::cast_precision_loss)] // for an interval
    pub fn worth(&self, board: &Board) -> f64 {
        let all: i128 = self.boards.iter().map(|b| i128::from(b.length.units())).sum();
        all as f64 / board.length.units().max(1) as f64
    }

    /// Where the boards wanted go beyond the sample's: longer, wider, thicker than any.
    pub fn beyond(&self, board: &Board) -> [bool; 3] {
        let most = |size: fn(&Board) -> crate::Length| self.boards.iter().map(size).max();
        [
            most(|b| b.length).is_some_and(|l| board.length > l),
            most(|b| b.width).is_some_and(|w| board.width > w),
            most(|b| b.thickness).is_some_and(|t| board.thickness > t),
        ]
    }

    /// The same zones seen from the other end, and from the other edge.
    pub(super) fn turned(zone: &Zone, board: &Board, (ends, edges): (bool, bool)) -> Zone {
        let mut zone = zone.clone();
        if ends {
            (zone.from, zone.to) = (board.length - zone.to, board.length - zone.from);
        }
        if edges {
            (zone.near, zone.far) = (board.width - zone.far, board.width - zone.near);
        }
        zone
    }
}
