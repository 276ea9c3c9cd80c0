//! One strip: its size, its wood, the zones and the grain it meets, and its bends (MODEL 4 to 6).

use super::fault::{Place, Rule};
use super::faults::{Faults, wide};
use super::piece::Piece;
use super::tangent;
use crate::length::Length;
use crate::lumber::{Angle, Grain, Zone};
use crate::paddle::{Lamination, Paddle, Runs};
use crate::plan::{Edge, Face, Leaf, Rip, Strip};

pub(super) fn check(
    piece: &Piece,
    rip: &Rip,
    leaf: &Leaf,
    strip: &Strip,
    place: &Place,
    faults: &mut Faults,
) {
    let paddle = piece.job.paddles.get(strip.paddle);
    let lamination = paddle.and_then(|p| p.laminations.get(strip.lamination));
    let (Some(paddle), Some(lamination)) = (paddle, lamination) else {
        let figures =
            format!("paddle number {}, lamination number {}", strip.paddle, strip.lamination);
        faults.add(place, Rule::Lamination, figures);
        return;
    };
    size(piece, rip, leaf, strip, (paddle, lamination), place, faults);
    wood(piece, paddle, lamination, place, faults);
    zones(piece, rip, strip, lamination, place, faults);
    rings(piece, rip, paddle, place, faults);
    bends(piece, rip, strip, lamination, place, faults);
}

fn size(
    piece: &Piece,
    rip: &Rip,
    leaf: &Leaf,
    strip: &Strip,
    (paddle, lamination): (&Paddle, &Lamination),
    place: &Place,
    faults: &mut Faults,
) {
    // By the saw that leaves its glue faces: the rip's for an upright strip, the resaw's for a
    // turned one beside other leaves; a turned leaf that is alone is only planed.
    let shop = &piece.job.shop;
    let dressing = match (rip.turned, rip.leaves.len()) {
        (true, 2..) => shop.resaw_dress,
        (false, _) if piece.curved() => shop.curve_dress,
        _ => shop.dress,
    };
    let thickness = wide(lamination.thickness) + 2 * wide(dressing);
    let depth = wide(paddle.thickness) + 2 * wide(piece.job.shop.plane);
    let (width, through) = if rip.turned { (depth, thickness) } else { (thickness, depth) };
    // Twice the length, since a blade is half of what the loom leaves; where that is odd, the
    // half unit goes to the strip.
    let double = match lamination.runs {
        Runs::Through => 2 * wide(paddle.length) + 4 * wide(paddle.trim),
        Runs::Blade => wide(paddle.length) - wide(paddle.loom) + 2 * wide(paddle.trim),
    };
    let length = (double + 1).div_euclid(2);
    // A strip may be longer than it must be (MODEL 9), not thicker or wider.
    for (what, rule, found, asked, longer) in [
        ("the rip", Rule::Width, wide(rip.far) - wide(rip.near), width, false),
        ("the leaf", Rule::Leaf, wide(leaf.thickness), through, false),
        ("the strip", Rule::Length, wide(strip.to) - wide(strip.from), length, true),
    ] {
        if found < asked || (found > asked && !longer) {
            let figures = format!(
                "{what} is {}, {} of {} needs {}",
                faults.show(found),
                lamination.name,
                paddle.name,
                faults.show(asked)
            );
            faults.add(place, rule, figures);
        }
    }
}

fn wood(
    piece: &Piece,
    paddle: &Paddle,
    lamination: &Lamination,
    place: &Place,
    faults: &mut Faults,
) {
    let takes = &lamination.species;
    if !takes.is_empty() && takes.iter().all(|s| s.key() != piece.board.species.key()) {
        let names: Vec<_> = takes.iter().map(|s| s.name()).collect();
        let figures = format!("{} where {} is asked", piece.board.species, names.join(" or "));
        faults.add(place, Rule::Species, figures);
    }
    if let (Some(most), Some(slope)) = (paddle.runout, piece.board.runout)
        && i128::from(slope.rise) * i128::from(most.run)
            > i128::from(most.rise) * i128::from(slope.run)
    {
        faults.add(place, Rule::Runout, format!("{slope} where {most} is the steepest"));
    }
}

/// The least and the greatest lift over a stretch of the section, times the board's length
/// squared. Nothing is lifted where the edge is kept.
fn lift(piece: &Piece, from: i128, to: i128) -> (i128, i128) {
    if piece.section.edge == Edge::Kept {
        return (0, 0);
    }
    // In half units, so that the middle of the section is a whole number.
    let (x0, x1) = (2 * wide(piece.section.from), 2 * wide(piece.section.to));
    let (from, to) = ((2 * from).max(x0), (2 * to).min(x1));
    let stand = |x: i128| (x - x0) * (x1 - x);
    let summit = stand(((x0 + x1) / 2).max(from).min(to));
    let foot = stand(from).min(stand(to));
    let crook = wide(piece.board.crook);
    ((crook * foot).min(crook * summit), (crook * foot).max(crook * summit))
}

fn zones(
    piece: &Piece,
    rip: &Rip,
    strip: &Strip,
    lamination: &Lamination,
    place: &Place,
    faults: &mut Faults,
) {
    for zone in &piece.board.zones {
        if lamination.allow.contains(&zone.kind) || !meets(piece, rip, strip, zone) {
            continue;
        }
        let figures = format!(
            "touches {} from {} to {} along, {} to {} across",
            zone.kind,
            faults.show(wide(zone.from)),
            faults.show(wide(zone.to)),
            faults.show(wide(zone.near)),
            faults.show(wide(zone.far))
        );
        faults.add(place, Rule::Zone, figures);
    }
}

fn meets(piece: &Piece, rip: &Rip, strip: &Strip, zone: &Zone) -> bool {
    // Grown by what the shop keeps clear around such zones, before it is lifted.
    let margin = piece.job.shop.margins.get(&zone.kind).copied().unwrap_or_default();
    let (from, to) = (zone.from - margin.along, zone.to + margin.along);
    // A mark that has no length or width, with its margin, is no zone.
    let (first, last) =
        (wide(zone.near) - wide(margin.across), wide(zone.far) + wide(margin.across));
    if to <= from || last <= first {
        return false;
    }
    // A strip off its section is a fault of its own, whatever it meets there.
    if strip.to <= from || to <= strip.from {
        return false;
    }
    let (low, high) = lift(piece, wide(from), wide(to));
    let (near, far) = (first * piece.square + low, last * piece.square + high);
    wide(rip.near) * piece.square < far && near < wide(rip.far) * piece.square
}

fn rings(piece: &Piece, rip: &Rip, paddle: &Paddle, place: &Place, faults: &mut Faults) {
    let least = paddle.rings;
    if least == Angle::FLAT {
        return;
    }
    let figures = match piece.board.grain {
        None => format!("the board has neither rings nor pith, {least} is asked"),
        Some(Grain::Rings(found)) => {
            let millionths =
                if rip.turned { 90_000_000 - found.millionths() } else { found.millionths() };
            if millionths >= least.millionths() {
                return;
            }
            let way = if rip.turned { "turned" } else { "upright" };
            format!("rings at {found}, cut {way}, where {least} is asked")
        }
        Some(Grain::Pith { across, depth }) => {
            if grain_serves(piece, rip, least, wide(across), wide(depth)) {
                return;
            }
            format!(
                "the rip from {} to {}, with the pith at {} across and {} deep, does not keep {}",
                faults.show(wide(rip.near)),
                faults.show(wide(rip.far)),
                faults.show(wide(across)),
                faults.show(wide(depth)),
                least
            )
        }
    };
    faults.add(place, Rule::Rings, figures);
}

/// Does the rip keep clear of the band of grain that does not serve? Where the tangent is not
/// exact, the nearest whole unit in the plan's favour counts.
fn grain_serves(piece: &Piece, rip: &Rip, least: Angle, across: i128, depth: i128) -> bool {
    let (above, below) = (depth.abs(), (wide(piece.board.thickness) - depth).abs());
    let within = (0..=wide(piece.board.thickness)).contains(&depth);
    let (low, high) = lift(piece, wide(piece.section.from), wide(piece.section.to));
    let square = piece.square;
    let (near, far) = (wide(rip.near) * square, wide(rip.far) * square);
    if rip.turned {
        let nearest = if within { 0 } else { above.min(below) };
        let Some(rest) = Angle::from_millionths(90_000_000 - least.millionths()) else {
            return false;
        };
        let half = tangent::times(rest, nearest).1;
        // The bands that don't serve lie on both sides and are lifted towards the pith.
        near >= (across - half) * square + high && far <= (across + half) * square + low
    } else {
        let half = tangent::times(least, above.max(below)).0;
        near >= (across + half) * square + high || far <= (across - half) * square + low
    }
}

/// The strip's bends, as kept by its section: sidewise and depthwise.
pub(super) fn kept(piece: (Edge, Face), turned: bool, crook: Length, bow: Length) -> (i128, i128) {
    let crook = if piece.0 == Edge::Kept { wide(crook) } else { 0 };
    let bow = if piece.1 == Face::Kept { wide(bow) } else { 0 };
    if turned { (bow, crook) } else { (crook, bow) }
}

fn bends(
    piece: &Piece,
    rip: &Rip,
    strip: &Strip,
    lamination: &Lamination,
    place: &Place,
    faults: &mut Faults,
) {
    let (section, board, shop) = (piece.section, piece.board, &piece.job.shop);
    let (side, deep) = kept((section.edge, section.face), rip.turned, board.crook, board.bow);
    let own = (wide(strip.to) - wide(strip.from)).pow(2);
    let more = |bend: i128, limit: Length| bend.abs() * own > wide(limit) * piece.square;
    let mut fault = |bend: i128, rule: Rule, limit: Length, why: &str| {
        let over = -(-(bend.abs() * own)).div_euclid(piece.square.max(1));
        let figures = format!(
            "bends {} over its length, the limit {why} is {}",
            faults.show(over),
            faults.show(wide(limit))
        );
        faults.add(place, rule, figures);
    };
    if more(side, shop.pull) {
        fault(side, Rule::Sidewise, shop.pull, "for clamps");
    }
    if more(deep, shop.straight) {
        if lamination.centre {
            fault(deep, Rule::Depthwise, shop.straight, "on the centreline");
        } else if strip.flipped_with.is_none() {
            fault(deep, Rule::Depthwise, shop.straight, "unpaired");
        } else if more(deep, shop.pair) {
            fault(deep, Rule::Depthwise, shop.pair, "in a flipped pair");
        }
    }
}
