//! Nominal sizes of softwood, quarters of hardwood, and board feet as the trade counts them.
//!
//! Source: American Softwood Lumber Standard PS 20, dressed dry sizes; board foot: 1 ft × 1 ft ×
//! 1 in nominal, below 1 in counted as 1 in. Hardwood is sold by quarters of an inch, rough, in
//! random widths; what is left when it is surfaced on two sides is from trade charts.

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

/// Quarters of a hardwood, and sixteenths of an inch that it has when surfaced on two sides.
pub const QUARTERS: [(&str, i64, i64); 4] =
    [("4/4", 4, 13), ("5/4", 5, 17), ("6/4", 6, 21), ("8/4", 8, 28)];

fn quarters(size: &str) -> Option<&'static (&'static str, i64, i64)> {
    let tidy: String = size.split_whitespace().collect();
    QUARTERS.iter().find(|q| q.0 == tidy)
}

/// Thickness of a hardwood sold as `4/4`, `5/4`, `6/4` or `8/4`, surfaced on two sides.
pub fn surfaced(size: &str) -> Option<Length> {
    quarters(size).map(|q| Length::inch_fraction(q.2, 16))
}

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

/// Board feet of one board as a fraction: by its nominal size where it has one, by its quarters
/// and its width where it has those, else by actual size with a thickness below 1 in counted as 1 in.
pub fn board_feet(board: &Board, size: Option<&str>) -> (i128, i128) {
    let inch = i128::from(Length::INCH.units());
    let length = i128::from(board.length.units());
    if let Some((_, quarters, _)) = size.and_then(quarters) {
        let across = i128::from(board.width.units()) * i128::from(*quarters);
        return (across * length, 4 * 144 * inch * inch);
    }
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
