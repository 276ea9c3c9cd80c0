//! Lengths are read exactly, names on the wood are unique, and one thread is enough.

use crate::jobs::shop;
use proptest::prelude::*;
use std::collections::HashSet;
use std::path::Path;
use std::process::Command;
use stripwright::length::{Length, LengthError, Units};
use stripwright::read::{List, boards_text};

/// A number as it is spelt, and as a fraction: up to 12 digits before the point, 9 behind.
fn number() -> impl Strategy<Value = (String, i128, i128)> {
    let decimal = ("[0-9]{1,12}", "[0-9]{1,9}").prop_map(|(whole, part)| {
        let bottom = 10_i128.pow(u32::try_from(part.len()).unwrap());
        let top = whole.parse::<i128>().unwrap() * bottom + part.parse::<i128>().unwrap();
        (format!("{whole}.{part}"), top, bottom)
    });
    let small = (0..5000_i128, 0..1000_i128, 1..1000_i128);
    let large = (0..1_000_000_000_000_i128, 0..1_000_000_000_i128, 1..1_000_000_000_i128);
    let mixed = prop_oneof![small, large].prop_map(|(whole, top, bottom)| {
        (format!("{whole} {top}/{bottom}"), whole * bottom + top, bottom)
    });
    let whole = (0..10_000_000_000_i128).prop_map(|n| (n.to_string(), n, 1));
    prop_oneof![decimal, mixed, whole]
}

/// The plain reading: one fraction, rounded once to the nearest unit, half away from nothing.
/// All products stay below 10^38, half of what the type holds.
fn plain(parts: &[(i128, i128, i128)]) -> Result<i128, LengthError> {
    let (mut top, mut bottom) = (0_i128, 1_i128);
    for &(t, b, one) in parts {
        top = top
            .checked_mul(b)
            .unwrap()
            .checked_add(t.checked_mul(one).unwrap().checked_mul(bottom).unwrap())
            .unwrap();
        bottom = bottom.checked_mul(b).unwrap();
    }
    let units = top / bottom + i128::from(top % bottom * 2 >= bottom);
    if units > i128::from(Length::LIMIT.units()) { Err(LengthError::TooLong) } else { Ok(units) }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn a_length_is_the_nearest_to_its_text(
        (text, top, bottom) in number(),
        minus in any::<bool>(),
        (unit, one) in prop::sample::select(vec![
            (" in", 2_032_000_i128), ("\"", 2_032_000), (" ft", 24_384_000), ("'", 24_384_000),
            (" mm", 80_000), (" cm", 800_000), (" m", 80_000_000),
        ]),
    ) {
        let sign = if minus { -1 } else { 1 };
        let spelt = format!("{}{text}{unit}", if minus { "-" } else { "" });
        let read = Length::parse(&spelt, Units::Inch).map(|l| i128::from(l.units()));
        prop_assert_eq!(read, plain(&[(top, bottom, one)]).map(|u| u * sign), "{}", spelt);
    }

    #[test]
    fn feet_and_inches_are_added_before_they_are_rounded(
        (feet, a, b) in number(),
        // Twelve inches and more behind feet are refused.
        inches in 0..12_i128,
        (part, whole) in prop::sample::select(vec![(0_i128, 1_i128), (1, 3), (7, 16), (63, 64)]),
    ) {
        let (c, d) = (inches * whole + part, whole);
        let spelt = format!("{feet}' {inches} {part}/{whole}\"");
        let past = Length::parse(&format!("3' {} {part}/{whole}\"", inches + 12), Units::Mm);
        prop_assert_eq!(past, Err(LengthError::InchesPastFoot));
        let read = Length::parse(&spelt, Units::Mm).map(|l| i128::from(l.units()));
        // What is far too long needs no sum, which might not fit.
        let far = i128::from(Length::LIMIT.units());
        let wanted = if a / b > far {
            Err(LengthError::TooLong)
        } else {
            plain(&[(a, b, 24_384_000), (c, d, 2_032_000)])
        };
        prop_assert_eq!(read, wanted, "{}", spelt);
    }

    #[test]
    fn no_text_of_signs_and_digits_reads_as_more_than_the_limit(text in "[-+]?[0-9. '/\"-]{0,40}") {
        if let Ok(length) = Length::parse(&text, Units::Mm) {
            prop_assert!(length.abs() <= Length::LIMIT, "{}", text);
        }
    }
}

#[test]
fn a_product_that_would_wrap_is_too_long_or_no_length() {
    for text in [
        "-6977574773.02 0/1000000000",
        "-6977574773.02' 0/1000000000",
        "-697757477302' 0/1000000000",
        "999999999999 m",
        "999999999999.999999999999999999 m",
        "999999999999 999999999999/1 m",
        "999999999999.999999999999999999' 999999999999.999999999999999999\"",
    ] {
        assert!(Length::parse(text, Units::Inch).is_err(), "{text}");
    }
    let tie = "0.00000000625 m";
    assert_eq!(Length::parse(tie, Units::Mm), Ok(Length::from_units(1)));
    assert_eq!(Length::parse("0.006249999999999999999 mm", Units::Mm), Ok(Length::from_units(500)));
    assert_eq!(
        Length::parse("0.5000000000000000000000000 in", Units::Mm),
        Ok(Length::inch_fraction(1, 2))
    );
}

fn stripwright(folder: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin("stripwright"));
    command.current_dir(folder).args(words);
    command
}

fn paddles() -> String {
    shop("resaw_kerf = \"1/16\"")
        .paddle("p", ["30", "9", "1"], "rings = 0; quantity = 3")
        .through("side", "1/4")
        .text()
}

#[test]
fn strips_of_b_and_of_b_2_bear_names_of_their_own() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("p.toml"), paddles()).unwrap();
    let boards =
        "board,species,length,width,thickness,quantity\nB,ash,36,1,1 1/4,2\nB/2,ash,36,1,1 1/4,1\n";
    std::fs::write(folder.path().join("b.csv"), boards).unwrap();
    let words = ["plan", "--boards", "b.csv", "--paddles", "p.toml", "--json", "-"];
    let output = stripwright(folder.path(), &words).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let ids: Vec<&str> = text.split("\"id\"").skip(1).filter_map(|t| t.split('"').nth(1)).collect();
    assert_eq!(ids.len(), 6, "{text}");
    assert_eq!(ids.iter().collect::<HashSet<_>>().len(), 6, "{ids:?}");
    assert!(ids.contains(&"B#2.1") && ids.contains(&"B/2.1"), "{ids:?}");
    // Without a clash nothing is called anything else.
    std::fs::write(folder.path().join("b.csv"), boards.replace("B/2", "C")).unwrap();
    let output = stripwright(folder.path(), &words).output().unwrap();
    assert!(String::from_utf8(output.stdout).unwrap().contains("\"B/2.1\""));
}

#[test]
fn names_that_look_alike_are_one_name_but_for_capitals_which_are_warned_of() {
    let read = |names: [&str; 2]| {
        let text = format!(
            "board,species,length,width,thickness\n{},ash,90,3,1\n{},ash,90,3,1\n",
            names[0], names[1]
        );
        boards_text("b.csv", &text, Units::Inch, List::OnHand)
    };
    for other in ["oak  1", "oak\u{A0}1", "oak\u{200B} 1", "o\u{AD}ak 1"] {
        let said = read(["oak 1", other]).unwrap_err().to_string();
        assert!(said.contains("looks like the board on line 2"), "{said}");
    }
    assert_eq!(read(["oak 1", "Oak 1"]).unwrap().len(), 2);
    // A zone finds its board by the looks of the name.
    let zone = "board,species,length,width,thickness,zone,from,to\noak 1,ash,90,3,1,,,\noak  1,,,,,knot,4,5\n";
    assert_eq!(boards_text("b.csv", zone, Units::Inch, List::OnHand).unwrap()[0].zones.len(), 1);
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("p.toml"), paddles()).unwrap();
    let boards = "board,species,length,width,thickness\nc 1,ash,90,3,2\nC 1,ash,90,3,2\n";
    std::fs::write(folder.path().join("b.csv"), boards).unwrap();
    let words = ["check", "--boards", "b.csv", "--paddles", "p.toml", "--width", "500"];
    let output = stripwright(folder.path(), &words).output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("boards c 1 and C 1 differ only by capitals"), "{said}");
}

#[test]
fn one_thread_gives_the_same_plan() {
    let loft = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft");
    let words = ["plan", "--boards", "boards.csv", "--paddles", "paddles.toml", "--json", "-"];
    let plan = |threads: &str| {
        let output = stripwright(&loft, &words).env("RAYON_NUM_THREADS", threads).output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        output.stdout
    };
    let one = plan("1");
    for threads in ["2", "5", "0", "many"] {
        assert_eq!(plan(threads), one, "{threads}");
    }
}

/// The limit counts a user's processes and threads; the program as copied may be run by anybody.
#[cfg(target_os = "linux")]
#[test]
fn a_machine_that_gives_no_threads_plans_all_the_same() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o755)).unwrap();
    std::fs::copy(assert_cmd::cargo::cargo_bin("stripwright"), at("program")).unwrap();
    let loft = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft");
    for name in ["boards.csv", "paddles.toml"] {
        std::fs::copy(loft.join(name), at(name)).unwrap();
    }
    let mut shell = Command::new("sh");
    let line = "{ ulimit -u 1 2>/dev/null || ulimit -p 1; } && exec ./program plan --boards boards.csv --paddles paddles.toml";
    shell.current_dir(folder.path()).arg("-c").arg(line);
    if std::fs::metadata(at("program")).unwrap().uid() == 0 {
        // No limit holds for the superuser: a user that has no other process.
        shell.uid(64_123).gid(64_123);
    }
    let output = shell.output().unwrap();
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{err}");
    assert!(!output.stdout.is_empty());
}
