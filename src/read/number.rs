//! Numbers as people write them, the same for every file: decimals, angles, slopes, prices, and
//! why a text is none of them.

use crate::length::{Length, LengthError, Units};
use crate::lumber::{Angle, Price, Slope};

/// What to write instead of a text that is no length; `usual` where nothing more is known.
pub(super) fn length_cure(text: &str, units: Units, error: &LengthError, usual: &str) -> String {
    match error {
        LengthError::TooLong => "check the figure and its unit".to_owned(),
        LengthError::LongFraction => "write it as a decimal, or as a plain fraction".to_owned(),
        LengthError::InchesPastFoot => {
            "write fewer than 12 inches behind the feet, as 9' 2\", or inches alone, as 110\""
                .to_owned()
        }
        _ => comma(text, |t| Length::parse(t, units).is_ok()).unwrap_or_else(|| usual.to_owned()),
    }
}

/// What a number with commas may stand for: a decimal point, thousands, or either.
fn comma(text: &str, reads: impl Fn(&str) -> bool) -> Option<String> {
    if !text.contains(',') {
        return None;
    }
    let (pointed, whole) = (text.replace(',', "."), text.replace(',', ""));
    let mut parts = text.split(',');
    let first = parts.next().unwrap_or_default().trim_start_matches(['-', '+', '$', '€', '£', ' ']);
    let digits = |t: &str| t.bytes().take_while(u8::is_ascii_digit).count();
    let thousands = (1..=3).contains(&first.len())
        && digits(first) == first.len()
        && !first.starts_with('0')
        && parts.all(|part| digits(part) == 3);
    match (reads(&pointed), thousands && reads(&whole)) {
        (true, true) => Some(format!(
            "write {pointed} if the comma stands for a point, {whole} if it parts the thousands"
        )),
        (true, false) => Some(format!("write it with a point, {pointed}")),
        (false, true) => Some(format!("write it without commas, {whole}")),
        (false, false) => None,
    }
}

/// A number with a decimal comma as one with a point, for files whose cells no comma parts. Three
/// digits behind a comma may be thousands and are left as they are.
pub(super) fn decimal_comma(text: &str) -> Option<String> {
    let (before, after) = text.split_once(',')?;
    if after.contains(',') || text.contains('.') {
        return None;
    }
    let digit = |c: &char| c.is_ascii_digit();
    let whole: Vec<char> = before.chars().rev().take_while(digit).collect();
    let part = after.chars().take_while(digit).count();
    let thousands = part == 3 && whole.len() <= 3 && whole.last() != Some(&'0');
    (!whole.is_empty() && part > 0 && !thousands).then(|| format!("{before}.{after}"))
}

/// Why a length that has to be more than nothing, and isn't, is refused.
pub(super) fn not_above_zero(text: &str, length: Length) -> &'static str {
    let some = text.bytes().any(|b| (b'1'..=b'9').contains(&b));
    // Of a fraction only the part above the line counts.
    let above =
        text.split('/').next().is_some_and(|t| t.bytes().any(|b| (b'1'..=b'9').contains(&b)));
    if length == Length::ZERO && some && above {
        "is finer than is counted, 1/80 µm"
    } else {
        "is not more than 0"
    }
}

/// An angle of 0 to 90 degrees, or a trade word for one.
pub(super) fn angle(text: &str) -> Option<Angle> {
    match text.trim().to_lowercase().as_str() {
        "flat" => Some(Angle::FLAT),
        "rift" => Some(Angle::RIFT),
        "vertical" => Some(Angle::VERTICAL),
        other => {
            let bare = other.trim_end_matches('°').trim_end();
            Angle::from_millionths(i64::try_from(decimal(bare, 6)?).ok()?)
        }
    }
}

/// A slope of grain: `1:20`, `1/20`, `1:16.5` or `1:16 2/3`.
pub(super) fn slope(text: &str) -> Option<Slope> {
    let (rise, run) = text.trim().split_once([':', '/'])?;
    let number = |t: &str| -> Option<i64> {
        let t = t.trim();
        if let Some(millionths) = decimal(t, 6) {
            return i64::try_from(millionths).ok();
        }
        let (whole, fraction) = t.split_once([' ', '-'])?;
        let (top, bottom) = fraction.split_once('/')?;
        let whole = decimal(whole.trim(), 0)?;
        let (top, bottom) = (decimal(top.trim(), 0)?, decimal(bottom.trim(), 0)?);
        if bottom == 0 {
            return None;
        }
        i64::try_from((whole * bottom + top) * 1_000_000 / bottom).ok()
    };
    let slope = Slope { rise: number(rise)?, run: number(run)? };
    (slope.rise > 0 && slope.run > 0).then_some(slope)
}

/// A price, with or without the sign of a currency before it.
///
/// # Errors
/// What is wrong with it, and what to write instead.
pub fn price(text: &str) -> Result<Price, (&'static str, String)> {
    let bare = bare_price(text);
    if let Some(parts) = decimal(bare, 4).and_then(|p| i64::try_from(p).ok())
        && parts <= Price::LIMIT
    {
        return Ok(Price::from_parts(parts));
    }
    if is_decimal(bare, 4) {
        return Err(("is more than 1000000000", "check the figure".to_owned()));
    }
    let cure = comma(text, |t| decimal(bare_price(t), 4).is_some());
    let usual = "write it as 12.50: digits, a point, at most four places, no sign";
    Err(("is not a price", cure.unwrap_or_else(|| usual.to_owned())))
}

fn bare_price(text: &str) -> &str {
    text.trim().trim_start_matches(['$', '€', '£']).trim()
}

/// Digits, with at most so many places behind a point.
fn is_decimal(text: &str, places: usize) -> bool {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let part = part.trim_end_matches('0');
    let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    let some = !whole.is_empty() || (text.contains('.') && text != ".");
    some && part.len() <= places && digits(whole) && digits(part)
}

/// A decimal of digits, times ten to `places`; `None` if it is none, has more places or more than
/// fifteen digits before the point.
pub(super) fn decimal(text: &str, places: usize) -> Option<i128> {
    if !is_decimal(text, places) {
        return None;
    }
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    if whole.len() > 15 {
        return None;
    }
    format!("{whole}{part:0<places$}", part = part.trim_end_matches('0')).parse().ok()
}

#[cfg(test)]
mod tests {
    use super::{Length, Units, length_cure, price};

    #[test]
    fn a_comma_may_be_a_point_or_part_thousands() {
        let cure = |text: &str| {
            let error = Length::parse(text, Units::Inch).unwrap_err();
            length_cure(text, Units::Inch, &error, "usual")
        };
        let both = "write 1.000 if the comma stands for a point, 1000 if it parts the thousands";
        assert_eq!(cure("1,000"), both);
        assert_eq!(cure("86,75"), "write it with a point, 86.75");
        assert_eq!(cure("0,125"), "write it with a point, 0.125");
        assert_eq!(cure("1,000.5 mm"), "write it without commas, 1000.5 mm");
        assert_eq!(cure("1,2,3"), "usual");
    }

    #[test]
    fn a_decimal_comma_is_one_unless_it_may_part_thousands() {
        for (text, read) in [
            ("5,5", Some("5.5")),
            ("-0,125", Some("-0.125")),
            ("$ 12,50", Some("$ 12.50")),
            ("1:16,5", Some("1:16.5")),
            ("7' 2,25\"", Some("7' 2.25\"")),
            ("1,000", None),
            ("86,375", None),
            ("1.250,50", None),
            ("1,2,3", None),
            (",5", None),
            ("5,", None),
        ] {
            assert_eq!(super::decimal_comma(text).as_deref(), read, "{text}");
        }
    }

    #[test]
    fn a_price_too_high_is_called_so() {
        for text in ["1000000000.01", "99999999999999999999", "$ 2000000000", "1e9", "-1", "1,5"] {
            let high = !text.contains([',', 'e', '-']);
            assert_eq!(price(text).unwrap_err().0 == "is more than 1000000000", high, "{text}");
        }
        assert!(price("1000000000").is_ok());
    }
}
