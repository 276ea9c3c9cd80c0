//! What stands between one board and one kind of strip, as data; `report` puts it in words.
//!
//! Whether the board gives such a strip is asked of [`BoardCuts`] and is exact; what is named as
//! standing in the way is the first thing on the way from the board to the strip that fails.

use crate::clear::Clear;
use crate::cut::BoardCuts;
use crate::cut::outlook::{Of, Sought};
use crate::cut::ranges::Places;
use crate::cut::serve::{FormSize, Mode, Obstacle, Standing, serve, standing};
use crate::length::Length;
use crate::lumber::grain::Band;
use crate::lumber::{Angle, Board, Grain};
use crate::paddle::{Shop, StripKind};
use crate::stop::Stop;
use std::cmp::Reverse;

/// Why a board gives no strip of a kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Hindrance {
    /// It is of a wood that the lamination doesn't take.
    Species,
    /// Its slope of grain is steeper than the paddle allows.
    Runout,
    /// It is too short between its unusable ends, which leave so much.
    Length(Length),
    /// Its grain was not measured, and the paddle asks for a ring angle.
    Unmeasured,
    /// What stands in the way of a strip cut upright, and of one cut turned.
    Ways(Bar, Bar),
}

/// What stands in the way of a strip cut one way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bar {
    /// The ring angle is too small, so much.
    Rings(Angle),
    /// The pith lies so that no part of the width serves.
    Pith,
    /// The board is not as thick as a leaf must be, so much.
    Thickness(Length),
    /// The board, less its edge allowance, is not as wide as the rip must be, so much.
    Width(Length),
    /// Strips are bent depthwise by so much: they must go in as flipped pairs, and there is
    /// room for one only.
    OddPair(Length),
    /// A strip would be bent by so much through the board's bow, more than it may be, and once the
    /// face is flattened too little thickness is left, so much.
    Flattened {
        /// Bend of the strip with the face kept.
        bend: Length,
        /// Thickness left with it flattened.
        left: Length,
    },
    /// The usable length is less than the shortest section that may be ripped.
    Section,
    /// The longest clear run of a rip's width, along the board's own edge.
    Run {
        /// Width of the rip, by the saw that follows the edge.
        width: Length,
        /// Length of the run.
        run: Length,
    },
    /// No rip can follow the board's crooked edge, and once that is straight-lined nothing long
    /// enough is clear, or too little width is left.
    Lined {
        /// Bend of the strip with the edge kept.
        bend: Length,
        /// Width of a rip along the curve, where that is what the board is too narrow for.
        curve: Option<Length>,
        /// Width left once the edge is straight, where that is less than a rip needs.
        left: Option<Length>,
    },
    /// No rip can follow the board's crooked edge, and once that is straight-lined there is room
    /// for one half of a flipped pair only.
    LinedOddPair {
        /// Bend of the strip along the edge, with the edge kept.
        bend: Length,
        /// Its bend depthwise, for which it needs a second strip to flip against.
        deep: Length,
    },
    /// Nothing by itself stands in the way, but no cut was found.
    NotFound,
}

/// How many strips of the kind the board gives at most, if it is cut for nothing else; `wanted`
/// is the most that is counted.
pub fn most_alone(board: &Board, shop: &Shop, kind: &StripKind, wanted: u32) -> u32 {
    most_alone_within(board, shop, kind, wanted, &Stop::default())
}

/// Strips of one kind are counted so far whatever is wanted: a board gives hardly more.
pub const PLENTY: u32 = 400;

/// The same, or fewer if it is stopped.
pub fn most_alone_within(
    board: &Board,
    shop: &Shop,
    kind: &StripKind,
    wanted: u32,
    stop: &Stop,
) -> u32 {
    let kinds = std::slice::from_ref(kind);
    let cuts = BoardCuts::until_stopped(board, shop, kinds, &[wanted.max(2)], stop);
    let valued = cuts.value(&[1]);
    let best = u32::try_from(valued.best).unwrap_or(u32::MAX).min(wanted);
    let counted = cuts.counts(&cuts.cut(&valued), 1).first().copied().unwrap_or(0).min(wanted);
    // Some of what is there may be odd halves of flipped pairs, which don't count.
    let whole = |&n: &u32| cuts.any_cut(&[n], &[], 1_000_000).is_some();
    let mut tried = (counted + 1..=best).rev().take_while(|_| !stop.asked());
    let listed = tried.find(whole).unwrap_or(counted);
    if cuts.may_give_more() { beside(board, shop, kinds, (listed, wanted), stop) } else { listed }
}

/// As many as the board gives if straight-lined sections may begin and end anywhere; `listed` are
/// known. One that no halving of ranges decides is not counted.
fn beside(
    board: &Board,
    shop: &Shop,
    kinds: &[StripKind],
    (listed, wanted): (u32, u32),
    stop: &Stop,
) -> u32 {
    let of = Of { board, shop, kinds, stop };
    let (low, high) = shop.usable(board);
    let mut marks = Places::parted(low, high, 8);
    let mut places = Places::default();
    let mut count = listed;
    while count < wanted {
        match of.seek(&[count + 1], &places, &mut marks, &|| stop.asked()) {
            Sought::Known => {}
            Sought::Found(more) => places = more,
            Sought::Refuted | Sought::Undecided => break,
        }
        count += 1;
    }
    count
}

/// No more strips of the kind than this come from the board, odd halves of flipped pairs counted;
/// `wanted` where nothing is proved of it.
pub fn at_most(board: &Board, shop: &Shop, kind: &StripKind, wanted: u32) -> u32 {
    let kinds = std::slice::from_ref(kind);
    let mut cuts = BoardCuts::new(board, shop, kinds, &[wanted.max(2)]);
    if cuts.may_give_more() {
        // Wherever straight-lined sections begin and end.
        let stop = Stop::default();
        let (low, high) = shop.usable(board);
        let marks = Places::parted(low, high, 8);
        cuts = Of { board, shop, kinds, stop: &stop }.cuts(&[wanted.max(2)], &marks);
    }
    if !cuts.complete {
        return wanted;
    }
    u32::try_from(cuts.value(&[1]).best).unwrap_or(u32::MAX).min(wanted)
}

/// Why the board gives no strip of the kind; `None` if it gives one.
pub fn hindrance(board: &Board, shop: &Shop, kind: &StripKind) -> Option<Hindrance> {
    hindrance_within(board, shop, kind, &Stop::default()).unwrap_or(None)
}

/// The same, or `None` where it was stopped before that was known.
pub fn hindrance_within(
    board: &Board,
    shop: &Shop,
    kind: &StripKind,
    stop: &Stop,
) -> Option<Option<Hindrance>> {
    if let Some(why) = at_once(board, shop, kind) {
        return Some(Some(why));
    }
    if most_alone_within(board, shop, kind, 2, stop) > 0 {
        return Some(None);
    }
    if stop.asked() {
        return None;
    }
    let shop = &shop.at(board);
    let of = |turned| bar(board, shop, kind, turned, stop);
    let ways = Hindrance::Ways(of(false), of(true));
    // Runs take long where zones are very many.
    (!stop.asked()).then_some(Some(ways))
}

/// What stands in the way whatever way the board is cut.
fn at_once(board: &Board, shop: &Shop, kind: &StripKind) -> Option<Hindrance> {
    if !kind.takes_species(board) {
        return Some(Hindrance::Species);
    }
    if !kind.takes_runout(board) {
        return Some(Hindrance::Runout);
    }
    let shop = &shop.at(board);
    let (low, high) = shop.usable(board);
    let usable = high - low;
    if usable < kind.length {
        return Some(Hindrance::Length(usable.max(Length::ZERO)));
    }
    if board.grain.is_none() && kind.rings != Angle::FLAT {
        return Some(Hindrance::Unmeasured);
    }
    None
}

/// What bars strips cut this way, given that no strip can be cut.
fn bar(board: &Board, shop: &Shop, kind: &StripKind, turned: bool, stop: &Stop) -> Bar {
    let leaf = FormSize::of(kind, turned).thickness;
    let width = narrowest(board, shop, kind, turned);
    match board.grain {
        Some(Grain::Rings(rings)) => {
            let angle = if turned { rings.turned() } else { rings };
            if angle < kind.rings {
                return Bar::Rings(angle);
            }
        }
        Some(grain @ Grain::Pith { .. }) => {
            let room = match grain.serves(kind.rings, turned, board.thickness) {
                Band::Everywhere => board.width,
                Band::Nowhere => Length::ZERO,
                Band::Within(low, high) => high.min(board.width) - low.max(Length::ZERO),
                Band::Outside(low, high) => low.max(board.width - high),
            };
            if room < width {
                return Bar::Pith;
            }
        }
        None => {}
    }
    if board.thickness < leaf {
        return Bar::Thickness(leaf);
    }
    if board.width - shop.edge - shop.far_edge < width {
        return Bar::Width(width);
    }
    let (low, high) = shop.usable(board);
    if high - low < shop.min_rip {
        return Bar::Section;
    }
    bent(board, shop, kind, turned, stop)
}

/// Can rips lie along the board's own edge? A shop that follows no curve straightens every
/// crooked board.
fn follows(board: &Board, shop: &Shop) -> bool {
    board.crook == Length::ZERO || shop.curve_kerf.is_some()
}

/// The least width of a rip by any saw that can cut it from this board.
fn narrowest(board: &Board, shop: &Shop, kind: &StripKind, turned: bool) -> Length {
    let size = FormSize::of(kind, turned);
    match (board.crook == Length::ZERO, follows(board, shop)) {
        (false, true) => size.width.min(size.curve_width),
        _ => size.width,
    }
}

/// What stands in the way of strips cut this way, by what their bends ask for: along the board's
/// own edge, or straight-lined.
fn bent(board: &Board, shop: &Shop, kind: &StripKind, turned: bool, stop: &Stop) -> Bar {
    let size = FormSize::of(kind, turned);
    let crooked = board.crook != Length::ZERO;
    let kept_width = if crooked { size.curve_width } else { size.width };
    let room = board.width - shop.edge - shop.far_edge;
    let stands = |lined, flattened| {
        let mode = Mode { lined, flattened };
        let can = lined || (follows(board, shop) && kept_width <= room);
        can.then(|| standing(board, shop, kind, mode, turned)).flatten()
    };
    // No section is shorter than this.
    let section = kind.length.max(shop.min_rip);
    let (crook, bow) = (board.crook().loss(kind.length), board.bow().loss(kind.length));
    let left = board.thickness - board.bow().loss(section);
    let kept = [stands(false, false), stands(false, true).filter(|_| left >= size.thickness)];
    if kept.iter().any(Option::is_some) {
        // The way is free but for zones, or there is room for half of a flipped pair only.
        let run = clear_run(board, shop, kind, turned, kept_width);
        let pair = kept.iter().flatten().any(|&s| s != Standing::Free);
        return match (run >= kind.length, pair) {
            (false, _) => Bar::Run { width: kept_width, run },
            (true, true) => Bar::OddPair(if turned { crook } else { bow }),
            (true, false) => Bar::NotFound,
        };
    }
    // With edge and face both made straight no strip is bent.
    if stands(true, false).is_some() || left >= size.thickness {
        let narrowed = room - board.crook().loss(section);
        let pair = stands(true, false).is_some_and(|s| s != Standing::Free);
        if pair && narrowed >= size.width && lined_gives(board, shop, kind, turned, stop) {
            return Bar::LinedOddPair { bend: crook, deep: if turned { crook } else { bow } };
        }
        Bar::Lined {
            bend: crook,
            curve: (shop.curve_kerf.is_some() && kept_width > room).then_some(kept_width),
            left: (narrowed < size.width).then_some(narrowed.max(Length::ZERO)),
        }
    } else {
        Bar::Flattened { bend: bow, left }
    }
}

/// Does a straight-lined section give a strip cut this way, odd halves of flipped pairs counted?
fn lined_gives(board: &Board, shop: &Shop, kind: &StripKind, turned: bool, stop: &Stop) -> bool {
    let kinds = std::slice::from_ref(kind);
    let cuts = BoardCuts::until_stopped(board, shop, kinds, &[2], stop);
    cuts.sections.iter().filter(|s| s.mode.lined).any(|section| {
        let rows = cuts.graphs.get(section.graph as usize).map_or(&[][..], |g| &g.rows);
        let mut gives = rows.iter().zip(&section.offers).filter(|(_, offer)| offer.is_some());
        let this_way = |form: u16| cuts.served.forms.get(usize::from(form)).map(|f| f.turned);
        gives.any(|(row, _)| this_way(row.form) == Some(turned))
    })
}

/// The longest run along the board that is clear for a rip of the kind cut this way, where the
/// rip follows the board's own edge.
pub fn longest_clear(board: &Board, shop: &Shop, kind: &StripKind, turned: bool) -> Length {
    clear_run(board, shop, kind, turned, narrowest(board, shop, kind, turned))
}

/// The same for a rip of this width.
fn clear_run(board: &Board, shop: &Shop, kind: &StripKind, turned: bool, width: Length) -> Length {
    // The bends are left out so that zones and bands of grain are seen whatever they do.
    let shop = &shop.at(board);
    let straight = Board { crook: Length::ZERO, bow: Length::ZERO, ..board.clone() };
    let served = serve(&straight, shop, std::slice::from_ref(kind), &[1]);
    let (low, high) = shop.usable(board);
    let last = board.width - shop.far_edge - width;
    // Obstacles may be very many: no place is tried twice.
    let mut ahead: Vec<&Obstacle> =
        served.obstacles.iter().filter(|o| o.bars(turned).contains(&0)).collect();
    let starts = served.obstacles.iter().map(|o| o.far).filter(|&far| far > shop.edge);
    let mut starts: Vec<Length> =
        std::iter::once(shop.edge).chain(starts).filter(|&near| near <= last).collect();
    starts.sort_unstable();
    starts.dedup();
    let mut clear = Clear::new(low, high, ahead.iter().map(|o| (o.from, o.to)));
    let mut longest = Length::ZERO;
    // Each comes under the rip once and leaves it once as the rip moves across.
    ahead.sort_by_key(|o| Reverse(o.near));
    let mut met = ahead.clone();
    met.sort_by_key(|o| Reverse(o.far));
    for near in starts {
        let far = near + width;
        while let Some(bar) = ahead.pop_if(|o| o.near < far) {
            clear.cover(bar.from, bar.to);
        }
        // What is behind the rip's near side was under it, or would be now.
        while let Some(bar) = met.pop_if(|o| o.far <= near) {
            clear.uncover(bar.from, bar.to);
        }
        longest = longest.max(clear.longest());
    }
    longest
}
