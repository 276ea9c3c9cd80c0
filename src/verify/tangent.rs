//! Bounds of a tangent times a length, by a continued fraction in whole numbers.

use crate::lumber::Angle;

/// Binary places.
const BITS: u32 = 60;
/// π times 2^124, rounded down.
const PI: i128 = 0x3243_F6A8_885A_308D_3131_98A2_E037_0734;
/// Steps of the continued fraction; up to 45° what is left after 16 is far below 2^-60.
const STEPS: i128 = 16;
/// Every step divides by more than 1/2 and loses less than one part in 2^60. Far less than the
/// least tangent, that of a millionth of a degree.
const SLACK: i128 = 64;
/// Beyond any board: greater products count as this.
const FAR: i128 = 1 << 40;

/// Whole numbers of units at most and at least `tan(angle)·reach`: those next to it, or the next
/// ones where that is all but whole. Capped far beyond any board; exact at 0° and 45°.
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
        (reach * (t - SLACK) / one, reach * (t + SLACK) / one + 1)
    } else {
        let t = tangent(90_000_000 - a);
        (reach * one / (t + SLACK), reach * one / (t - SLACK) + 1)
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

    fn angle(millionths: i64) -> Angle {
        Angle::from_millionths(millionths).unwrap()
    }

    /// tan 30° and 60° are 1/√3 and √3, tan 15° and 75° are 2 ∓ √3, tan 22.5° and 67.5° are √2 ∓ 1.
    #[test]
    fn bounds_are_the_whole_numbers_beside_known_tangents() {
        for reach in [1_i128, 2, 3, 7, 1_000, 254_000, 999_999_937, 8_000_000_000, 32_000_000_001] {
            let root = |n: i128| (n * reach * reach).isqrt();
            let cases = [
                (30_000_000, (reach * reach / 3).isqrt()),
                (60_000_000, root(3)),
                (15_000_000, 2 * reach - root(3) - 1),
                (75_000_000, 2 * reach + root(3)),
                (22_500_000, root(2) - reach),
                (67_500_000, root(2) + reach),
            ];
            for (millionths, below) in cases {
                let found = times(angle(millionths), reach);
                assert_eq!(found, (below, below + 1), "{millionths} {reach}");
            }
        }
    }

    /// p² − 3q² is 1 or −2: p/√3 and q·√3 are whole numbers but for less than a billionth, from
    /// either side. A bound that leaves out what the fraction may be off by would be wrong there.
    #[test]
    fn bounds_hold_where_the_product_is_all_but_whole() {
        for (mut p, mut q) in [(1_i128, 0_i128), (1, 1)] {
            while p < 30_000_000_000 {
                let (low, high) = times(angle(60_000_000), q);
                assert!(low * low <= 3 * q * q && 3 * q * q <= high * high, "{q}: {low} {high}");
                let (low, high) = times(angle(30_000_000), p);
                assert!(3 * low * low <= p * p && p * p <= 3 * high * high, "{p}: {low} {high}");
                (p, q) = (2 * p + 3 * q, p + 2 * q);
            }
        }
    }

    #[test]
    fn bounds_agree_with_the_library_at_any_angle() {
        let reach = 1_000_000_000_i128;
        for n in 1..4_990_i64 {
            let millionths = n * 17_997;
            let real = (millionths as f64 / 1e6).to_radians().tan() * reach as f64;
            let (low, high) = times(angle(millionths), reach);
            let near = |bound: i128| (bound as f64 - real).abs() < 1.001;
            assert!(near(low) && near(high) && low < high, "{millionths}: {low} {high} {real}");
        }
    }

    #[test]
    fn flat_steep_and_next_to_45_degrees() {
        const FAR: i128 = 1 << 40;
        let reach = 8_000_000_000;
        assert_eq!(times(angle(0), reach), (0, 0));
        assert_eq!(times(angle(60_000_000), 0), (0, 0));
        assert_eq!(times(angle(90_000_000), 1), (FAR, FAR));
        assert_eq!(times(angle(89_999_999), reach), (FAR, FAR));
        // tan δ is 1.745329252e-8 at a millionth of a degree; tan (45° ± δ) is (1 ± tan δ)/(1 ∓ tan δ).
        assert_eq!(times(angle(1), reach), (139, 140));
        assert_eq!(times(angle(44_999_999), reach), (reach - 280, reach - 279));
        assert_eq!(times(angle(45_000_001), reach), (reach + 279, reach + 280));
    }
}
