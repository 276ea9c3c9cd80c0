//! What stands between a board and a kind of strip, in words a builder can act on.

use crate::length::{Length, Units};
use crate::lumber::Board;
use crate::paddle::{Shop, StripKind};
use crate::survey::hindrance::{Bar, Hindrance};

/// What stands in the way, as words that follow the board's name and "…:".
pub fn words(
    why: &Hindrance,
    board: &Board,
    shop: &Shop,
    kind: &StripKind,
    units: Units,
) -> String {
    let show = |l: Length| l.with_unit(units);
    // With the board's own allowances, as it was looked at.
    let shop = &shop.at(board);
    match why {
        Hindrance::Species => {
            let takes: Vec<&str> = kind.species.iter().map(|s| s.name()).collect();
            format!("is {}; takes {}", board.species, takes.join(" or "))
        }
        Hindrance::Runout => match (board.runout, kind.runout) {
            (Some(has), Some(limit)) => {
                format!("its grain runs out at {has}; {limit} is the steepest allowed")
            }
            _ => "its grain runs out too steeply".to_owned(),
        },
        Hindrance::Length(usable) => {
            format!("{} usable of its length; needs {}", show(*usable), show(kind.length))
        }
        Hindrance::Unmeasured => {
            "its grain is not given; measure rings, or pith_across and pith_depth".to_owned()
        }
        Hindrance::Ways(upright, turned) => format!(
            "upright, {}; turned, {}",
            bar(*upright, board, shop, kind, units),
            bar(*turned, board, shop, kind, units)
        ),
    }
}

fn bar(why: Bar, board: &Board, shop: &Shop, kind: &StripKind, units: Units) -> String {
    let show = |l: Length| l.with_unit(units);
    let tape = |l: Length| l.on_tape(units).with_unit(units);
    match why {
        Bar::Rings(angle) => {
            format!("rings at {angle} to the blade's face, needs {}", kind.rings)
        }
        Bar::Pith => "the pith leaves no width with steep enough rings".to_owned(),
        Bar::Thickness(needed) => {
            format!("{} thick, needs {}", show(board.thickness), show(needed))
        }
        Bar::Width(needed) => format!(
            "{} wide with {} kept off its edges, needs a rip of {}",
            show(board.width),
            show(shop.edge + shop.far_edge),
            show(needed)
        ),
        Bar::OddPair(bend) => format!(
            "bent about {} depthwise it needs a second strip to flip against, but there is room for one only",
            tape(bend)
        ),
        Bar::Flattened { bend, left } if left <= Length::ZERO => format!(
            "bent about {} on the face, and nothing is left of its thickness once that is planed flat",
            tape(bend)
        ),
        Bar::Flattened { bend, left } => format!(
            "bent about {} on the face, and about {} thick once that is planed flat",
            tape(bend),
            tape(left)
        ),
        Bar::Section => {
            format!("shorter than a section to rip, {}", show(shop.min_rip))
        }
        Bar::Run { width, run } => format!(
            "longest clear run {} wide is {}, needs {}",
            show(width),
            show(run),
            show(kind.length)
        ),
        Bar::Lined { bend, curve, left } => {
            let curve = curve.map_or_else(String::new, |width| {
                format!(" and too narrow for a rip of {} along it", show(width))
            });
            let lined = left.map_or_else(
                || "nothing long enough is clear".to_owned(),
                |left| match left > Length::ZERO {
                    true => format!("about {} wide, less than a rip takes,", tape(left)),
                    false => "no width is left".to_owned(),
                },
            );
            format!(
                "bent about {} along the edge{curve}, and {lined} once that is straight-lined",
                tape(bend)
            )
        }
        Bar::LinedOddPair { bend, deep } => format!(
            "bent about {} along the edge, and once that is straight-lined still about {} depthwise: it needs a second strip to flip against, but there is room for one only",
            tape(bend),
            tape(deep)
        ),
        Bar::NotFound => "no cut was found, though nothing by itself stands in the way".to_owned(),
    }
}
