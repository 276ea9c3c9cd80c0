//! One draw of an unmarked board from its sample (MODEL 12).
//!
//! Each draw has a stream of random numbers of its own, so that none depends on which thread made
//! the one before; and a board takes the same numbers whatever is marked on the sample, so that a
//! zone more in the sample is a zone more in the draws and nothing else.

use crate::length::Length;
use crate::lumber::board::Rise;
use crate::lumber::{Board, Grain, Zone};
use crate::odds::sample::Sample;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Every run draws the same.
const SEED: u64 = 0x5712_9e0d_d5b0_a2d5;

/// The random numbers of one draw.
pub struct Stream(ChaCha8Rng);

impl Stream {
    /// Those of draw `n`.
    pub fn of(n: u64) -> Stream {
        let mut numbers = ChaCha8Rng::seed_from_u64(SEED);
        numbers.set_stream(n);
        Stream(numbers)
    }

    /// A whole number below `n`, each alike likely; 0 where there is none.
    pub fn below(&mut self, n: u64) -> u64 {
        if n < 2 {
            return 0;
        }
        // Numbers of the last, broken run of n are thrown again.
        let whole = u64::MAX - u64::MAX % n;
        loop {
            let number = self.0.next_u64();
            if number < whole {
                return number % n;
            }
        }
    }

    /// Heads or tails.
    fn coin(&mut self) -> bool {
        self.below(2) == 1
    }
}

/// A sample with resampled boards, by their places in the whole: how far would another sample of
/// as many boards have led?
pub fn resampled(sample: &Sample, stream: &mut Stream) -> Sample {
    let n = sample.boards.len() as u64;
    let pick = |_| sample.boards.get(usize::try_from(stream.below(n)).unwrap_or(0)).cloned();
    Sample { boards: (0..n).filter_map(pick).collect() }
}

/// Draws one board like `wanted`: its sizes, price and allowances, the sample's marks and grain.
/// `None` where the sample has no board.
pub fn board(wanted: &Board, sample: &Sample, stream: &mut Stream) -> Option<Board> {
    let mut drawn = Board { quantity: 1, zones: Vec::new(), ..wanted.clone() };
    let mut at = Length::ZERO;
    while at < wanted.length || at == Length::ZERO {
        let pick = stream.below(sample.boards.len() as u64);
        let from = sample.boards.get(usize::try_from(pick).unwrap_or(0))?;
        let turned = (stream.coin(), stream.coin());
        let left = wanted.length - at;
        let room = u64::try_from((from.length - left).units()).unwrap_or(0);
        let start = Length::from_units(i64::try_from(stream.below(room + 1)).unwrap_or(0));
        let piece = left.min(from.length);
        if at == Length::ZERO {
            first(&mut drawn, from, turned);
        }
        for zone in &from.zones {
            let zone = Sample::turned(zone, from, turned);
            if let Some((near, far)) = across(&zone, from.width, wanted.width)
                && let Some((x, y)) = along(&zone, start, piece)
            {
                let zone = Zone { from: x + at, to: y + at, near, far, kind: zone.kind };
                drawn.zones.push(zone);
            }
        }
        if piece <= Length::ZERO {
            return None;
        }
        at += piece;
    }
    Some(drawn)
}

/// What the first board settles: grain, slope, bends.
fn first(drawn: &mut Board, from: &Board, (ends, edges): (bool, bool)) {
    let own = drawn.grain;
    drawn.grain = from.grain.map(|grain| match grain {
        Grain::Rings(_) => grain,
        Grain::Pith { across, depth } => {
            let across = if edges { from.width - across } else { across };
            let far = from.width - across;
            let across = if across <= far { across } else { drawn.width - far };
            Grain::Pith { across, depth }
        }
    });
    // What the sample did not measure, the yard's list may have.
    drawn.grain = drawn.grain.or(own);
    drawn.runout = from.runout.or(drawn.runout);
    drawn.rise = match (from.rise, ends) {
        (Some(Rise::Far), true) => Some(Rise::Marked),
        (Some(Rise::Marked), true) => Some(Rise::Far),
        (rise, _) => rise,
    };
    let bend = |gap: Length| scaled(gap, drawn.length, from.length);
    drawn.crook = bend(if edges { Length::ZERO - from.crook } else { from.crook });
    drawn.bow = bend(from.bow);
}

/// A bend times (length wanted / its length)², to the nearest unit, and no more than a quarter of
/// the length, as of any board.
fn scaled(gap: Length, wanted: Length, own: Length) -> Length {
    let wide = |l: Length| i128::from(l.units());
    let over = wide(own).pow(2).max(1);
    let top = wide(gap) * wide(wanted).pow(2);
    let nearest = (2 * top + over).div_euclid(2 * over);
    let most = wide(wanted) / 4;
    Length::from_units(i64::try_from(nearest.clamp(-most, most)).unwrap_or(0))
}

/// The part of a zone within a window, from its beginning. A mark without length is kept where it
/// lies within.
fn along(zone: &Zone, start: Length, piece: Length) -> Option<(Length, Length)> {
    let (from, to) = (zone.from.max(start), zone.to.min(start + piece));
    let mark = zone.from == zone.to;
    (from < to || mark && from == to).then_some((from - start, to - start))
}

/// A zone on a board of another width: as far from the nearer edge as it was, cut off at the board.
/// One that goes over the whole width still does.
fn across(zone: &Zone, own: Length, wanted: Length) -> Option<(Length, Length)> {
    let rest = own - zone.far;
    if zone.near <= Length::ZERO && rest <= Length::ZERO {
        return Some((Length::ZERO, wanted));
    }
    let wide = zone.far - zone.near;
    let (near, far) = if zone.near <= rest {
        (zone.near, zone.far)
    } else {
        (wanted - rest - wide, wanted - rest)
    };
    let (cut_near, cut_far) = (near.max(Length::ZERO), far.min(wanted));
    let mark = wide == Length::ZERO;
    (cut_near < cut_far || mark && cut_near == cut_far).then_some((cut_near, cut_far))
}
