//! Lengths to the last unit of 12.5 nm: what is written reads back the same, and limits hold on
//! both sides of nothing.

use proptest::prelude::*;
use stripwright::length::{Length, LengthError, Units};

const UNIT: Length = Length::from_units(1);

fn inch(top: i64, bottom: i64) -> Length {
    Length::inch_fraction(top, bottom)
}

#[test]
fn exact_is_as_shown_else_in_128ths_else_in_millimetres_with_all_digits() {
    for (length, inches, mm) in [
        (Length::ZERO, "0", "0"),
        (inch(7, 64), "7/64", "2.778125 mm"),
        (inch(-7, 128), "-7/128", "-1.3890625 mm"),
        (inch(259, 128), "2 3/128", "51.3953125 mm"),
        (inch(1, 1000), "0.001", "0.0254 mm"),
        (Length::MM * 3, "3 mm", "3"),
        (Length::MM * 3 + UNIT, "3.0000125 mm", "3.0000125 mm"),
        (Length::MM * -12 - UNIT * 800, "-12.01 mm", "-12.01"),
        (UNIT, "0.0000125 mm", "0.0000125 mm"),
        (-UNIT, "-0.0000125 mm", "-0.0000125 mm"),
    ] {
        assert_eq!(length.exact(Units::Inch), inches);
        assert_eq!(length.exact(Units::Mm), mm);
    }
}

#[test]
fn decimals_are_rounded_and_bear_a_sign_only_where_a_digit_is_left() {
    for (units, inches, mm) in [
        (1, "0", "0"),
        (-1, "0", "0"),
        // 0.00005 in is 101.6 units; 0.0005 mm is 40.
        (101, "0", "0.001"),
        (102, "0.0001", "0.001"),
        (-102, "-0.0001", "-0.001"),
        (39, "0", "0"),
        (40, "0", "0.001"),
        (-40, "0", "-0.001"),
        (2_032_000 * 3 + 2_032, "3.001", "76.225"),
        (-2_032_000 * 3 - 2_032, "-3.001", "-76.225"),
    ] {
        let length = Length::from_units(units);
        assert_eq!(length.show(Units::Inch), inches, "{units}");
        assert_eq!(length.show(Units::Mm), mm, "{units}");
    }
}

#[test]
fn numbers_of_json_become_the_nearest_length_within_the_limit() {
    let mm = |value| Length::from_f64(value, Units::Mm);
    assert_eq!(mm(100_000.0), Some(Length::LIMIT));
    assert_eq!(mm(-100_000.0), Some(-Length::LIMIT));
    assert_eq!(mm(100_000.000_02), None);
    assert_eq!(mm(-100_000.000_02), None);
    assert_eq!(mm(1e300), None);
    assert_eq!(mm(f64::NAN), None);
    assert_eq!(mm(f64::INFINITY), None);
    assert_eq!(mm(0.000_018), Some(UNIT));
    assert_eq!(mm(-0.000_019), Some(UNIT * -2));
    assert_eq!(Length::from_f64(1.5, Units::Inch), Some(inch(3, 2)));
}

#[test]
fn mechanics_reckon_in_metres_and_in_the_jobs_units() {
    let near = |found: f64, right: f64| assert!((found - right).abs() < 1e-15, "{found} {right}");
    near((Length::MM * 2_500).metres(), 2.5);
    near((-Length::INCH).metres(), -0.0254);
    near(inch(3, 2).to_f64(Units::Inch), 1.5);
    near((Length::MM * -7).to_f64(Units::Mm), -7.0);
}

#[test]
fn lengths_are_added_up_in_place_and_units_are_named() {
    let mut length = inch(3, 1);
    length += inch(1, 2);
    assert_eq!(length, inch(7, 2));
    length -= inch(3, 4);
    assert_eq!(length, inch(11, 4));
    assert_eq!([inch(1, 4), inch(1, 2), -UNIT].into_iter().sum::<Length>(), inch(3, 4) - UNIT);
    assert_eq!(format!("{} {}", Units::Inch, Units::Mm), "in mm");
}

#[test]
fn a_tape_shows_32nds_and_half_millimetres() {
    let tape = |length: Length, units| length.on_tape(units);
    assert_eq!(tape(inch(3, 64) - UNIT, Units::Inch), inch(1, 32));
    assert_eq!(tape(inch(3, 64), Units::Inch), inch(1, 16));
    assert_eq!(tape(inch(-3, 64), Units::Inch), inch(-1, 32));
    assert_eq!(tape(inch(-3, 64) - UNIT, Units::Inch), inch(-1, 16));
    let half = Length::from_units(40_000);
    assert_eq!(tape(half + half, Units::Mm), Length::MM);
    assert_eq!(tape(Length::from_units(59_999), Units::Mm), half);
    assert_eq!(tape(Length::from_units(60_000), Units::Mm), Length::MM);
}

#[test]
fn signs_and_primes_are_read_as_they_are_typed() {
    let read = |text| Length::parse(text, Units::Inch);
    for (text, length) in [
        ("+3/4", inch(3, 4)),
        ("+ 3/4", inch(3, 4)),
        ("-3/4", inch(-3, 4)),
        ("5''", inch(5, 1)),
        ("5'6", inch(66, 1)),
        ("5'6''", inch(66, 1)),
        ("5' 6\"", inch(66, 1)),
        ("5'-6 1/2", inch(133, 2)),
        ("5'", inch(60, 1)),
        ("1\t7/16", inch(23, 16)),
        ("1 \u{A0} -  7/16  in", inch(23, 16)),
        ("5'   6", inch(66, 1)),
        ("2 feet", inch(24, 1)),
        ("3 inches", inch(3, 1)),
        ("1 inch", inch(1, 1)),
        ("0.00000003", Length::ZERO),
        ("0.0000002461", UNIT),
    ] {
        assert_eq!(read(text), Ok(length), "{text}");
    }
    for text in
        ["5'' 6", "5''6", "''", "5' 6' 7", "+", "-", "+-3", "1/2/3", ".", "1..2", "1.+5", "1.5x"]
    {
        assert!(read(text).is_err(), "{text}");
    }
}

#[test]
fn the_greatest_length_is_read_and_a_unit_more_is_not() {
    let mm = |text: &str| Length::parse(text, Units::Mm);
    assert_eq!(mm("100 m"), Ok(Length::LIMIT));
    assert_eq!(mm("-100 m"), Ok(-Length::LIMIT));
    assert_eq!(mm("100000.0000125"), Err(LengthError::TooLong));
    assert_eq!(mm("-100000.0000125"), Err(LengthError::TooLong));
    // Half a unit is rounded upwards.
    assert_eq!(mm("100000.00000624"), Ok(Length::LIMIT));
    assert_eq!(mm("100000.00000625"), Err(LengthError::TooLong));
    // Twelve digits are read, leading noughts not counted.
    assert_eq!(mm("999999999999/999999999999"), Ok(Length::MM));
    assert_eq!(mm("0000000000000001"), Ok(Length::MM));
    assert_eq!(mm("9999999999999/9999999999999"), Err(LengthError::LongFraction));
    assert_eq!(mm("1/0"), Err(LengthError::ZeroDenominator));
    assert_eq!(mm("1 0/5"), Ok(Length::MM));
    // What stands beyond the eighteenth place is nothing.
    assert_eq!(mm("0.00000624999999999999"), Ok(Length::ZERO));
    assert_eq!(mm("0.00000625"), Ok(UNIT));
}

proptest! {
    #[test]
    fn what_is_written_exactly_reads_back(units in -8_000_000_000_i64..=8_000_000_000, mm: bool) {
        let length = Length::from_units(units);
        let units = if mm { Units::Mm } else { Units::Inch };
        prop_assert_eq!(Length::parse(&length.exact(units), units), Ok(length));
        let coarse = inch(length.units() / 1_000_000, 128);
        prop_assert_eq!(Length::parse(&coarse.exact(units), units), Ok(coarse));
    }
}
