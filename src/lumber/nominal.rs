//! Nominal sizes of softwood lumber, and board feet as the trade counts them.
//!
//! Source: American Softwood Lumber Standard PS 20, dressed dry sizes; board foot: 1 ft × 1 ft ×
//! 1 in nominal, below 1 in counted as 1 in.

use crate::length::Length;
use crate::lumber::Board;

/// Nominal and dressed thickness, in eighths of an inch.
const THICKNESS: [(&str, i64, i64); 6] =
    [("1", 8, 6), ("5/4", 10, 8), ("1-1/4", 10, 8), ("2", 16, 12), ("3", 24, 20), ("4", 32, 28)];
/// Nominal and dressed width, in quarters of an inch.
const WIDTH: [(i64, i64, i64); 8] = [
    (2, 8, 6),
    (3, 12, 10),
    (4, 16, 14),
    (5, 20, 18),
    (6, 24, 22),
    (8, 32, 29),
    (10, 40, 37),
    (12, 48, 45),
];

/// Indices of a nominal size in the two tables.
fn find(size: &str) -> Option<(usize, usize)> {
    let tidy: String = size.to_lowercase().replace(['×', '*'], "x").split_whitespace().collect();
    let (thick, wide) = tidy.split_once('x')?;
    let thick = THICKNESS.iter().position(|t| t.0 == thick)?;
    let wide: i64 = wide.parse().ok()?;
    Some((thick, WIDTH.iter().position(|w| w.0 == wide)?))
}

/// Actual width and thickness of a nominal size such as `2x6` or `5/4x4`.
pub fn actual(size: &str) -> Option<(Length, Length)> {
    let (thick, wide) = find(size)?;
    Some((Length::inch_fraction(WIDTH[wide].2, 4), Length::inch_fraction(THICKNESS[thick].2, 8)))
}

/// Board feet of one board as a fraction: by its nominal size where it has one, else by actual
/// size with a thickness below 1 in counted as 1 in.
pub fn board_feet(board: &Board, size: Option<&str>) -> (i128, i128) {
    let inch = i128::from(Length::INCH.units());
    let length = i128::from(board.length.units());
    match size.and_then(find) {
        // width/4 in × thickness/8 in × length, over 144 cubic inches
        Some((thick, wide)) => {
            let across = i128::from(WIDTH[wide].1 * THICKNESS[thick].1);
            (across * length, 32 * 144 * inch)
        }
        None => {
            let thick = board.thickness.max(Length::INCH);
            let across = i128::from(board.width.units()) * i128::from(thick.units());
            (across * length, 144 * inch * inch * inch)
        }
    }
}
