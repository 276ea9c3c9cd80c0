//! Bounds of a tangent times a length, by a continued fraction in whole numbers.

use crate::lumber::Angle;

/// Binary places.
const BITS: u32 = 60;
/// π times 2^124, rounded down.
const PI: i128 = 0x3243_F6A8_885A_308D_3131_98A2_E037_0734;
/// Steps of the continued fraction; up to 45° what is left after 16 is far below 2^-60.
const STEPS: i128 = 16;
/// Every step divides by more than 1/2 and loses less than one part in 2^60.
const SLACK: i128 = 64;
/// Beyond any board: greater products count as this.
const FAR: i128 = 1 << 40;

/// Whole numbers of units at most and at least `tan(angle)·reach`, less than two apart; capped
/// far beyond any board. Exact at 0° and 45°.
pub(super) fn times(angle: Angle, reach: i128) -> (i128, i128) {
    let a = i128::from(angle.millionths());
    if a == 0 || reach == 0 {
        return (0, 0);
    }
    if a == 45_000_000 {
        return (reach, reach);
    }
    if a >= 90_000_000 {
        return (FAR, FAR);
    }
    // From 45° on: reach / tan of the complement.
    let one = 1_i128 << BITS;
    let (low, high) = if a < 45_000_000 {
        let t = tangent(a);
        (reach * (t - SLACK).max(0) / one, (reach * (t + SLACK)) / one + 1)
    } else {
        let t = tangent(90_000_000 - a);
        (reach * one / (t + SLACK), reach * one / (t - SLACK).max(1) + 1)
    };
    (low.min(FAR), high.min(FAR))
}

/// tan of up to 45°, times 2^60: x/(1 − x²/(3 − x²/(5 − …))).
fn tangent(millionths: i128) -> i128 {
    let x = ((PI >> 30) * millionths / 180_000_000) >> (94 - BITS);
    let square = (x * x) >> BITS;
    let mut below = (2 * STEPS + 1) << BITS;
    for step in (0..STEPS).rev() {
        below = ((2 * step + 1) << BITS) - (square << BITS) / below;
    }
    (x << BITS) / below
}

#[cfg(test)]
mod tests {
    use super::{BITS, tangent, times};
    use crate::lumber::Angle;

    #[test]
    fn agrees_with_the_library_and_with_exact_values() {
        for degrees in 1..45_i32 {
            let t = tangent(i128::from(degrees) * 1_000_000) as f64 / (1_i128 << BITS) as f64;
            assert!((t - f64::from(degrees).to_radians().tan()).abs() < 1e-14, "{degrees}");
        }
        // tan 45° is 1; tan 30° and tan 60° are 1/√3 and √3.
        assert!((tangent(45_000_000) - (1 << BITS)).abs() < 8);
        let reach = 10_i128.pow(9);
        let angle = |d: i64| Angle::from_millionths(d * 1_000_000).unwrap();
        assert_eq!(times(angle(30), reach), (577_350_269, 577_350_270));
        assert_eq!(times(angle(60), reach), (1_732_050_807, 1_732_050_808));
        assert_eq!(times(angle(45), reach), (reach, reach));
    }
}
