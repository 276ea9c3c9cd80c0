//! What can hardly be meant is told of, by the real binary, and nothing ends with an error for it.

use crate::jobs::{ended as run, flat};

const PADDLES: &str = "\
[[paddle]]
name = \"touring\"
length = 84
loom = 20
thickness = \"1 3/8\"
rings = 0
[[paddle.lamination]]
name = \"side\"
thickness = \"1/2\"
runs = \"through\"
";
const METRIC: &str = "\
units = \"mm\"
[[paddle]]
name = \"touring\"
length = 2134
loom = 500
thickness = 35
rings = 0
[[paddle.lamination]]
name = \"side\"
thickness = 12
runs = \"through\"
";
const HEAD: &str = "board,species,length,width,thickness";
const GOOD: &str = "good,western redcedar,96,5 1/2,1 1/2";

/// A job's folder with these files.
fn job(paddles: &str, files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

/// Both `plan` and `check` warn so, and neither fails for it; a job that differs in what is
/// doubtful alone is planned without a word.
fn warned(paddles: &str, boards: &str, said: &str) {
    let job = job(paddles, &[("boards.csv", boards)]);
    let (code, _, err) = run(job.path(), &["plan"]);
    assert_eq!(code, 0, "{err}");
    assert!(flat(&err).contains("Warning: ") && flat(&err).contains(said), "{said}: {err}");
    let (code, out, _) = run(job.path(), &["check"]);
    assert_eq!(code, 0);
    assert!(flat(&out).contains(said), "{said}: {out}");
}

fn boards(line: &str) -> String {
    format!("{HEAD}\n{GOOD}\n{line}\n")
}

#[test]
fn a_plausible_job_is_planned_without_a_word() {
    let job = job(PADDLES, &[("boards.csv", &format!("{HEAD}\n{GOOD}\n"))]);
    let (code, _, err) = run(job.path(), &["plan"]);
    assert_eq!((code, err.as_str()), (0, "Reading boards.csv and paddles.toml here.\n"));
    assert!(run(job.path(), &["check"]).1.contains("No warnings."));
}

#[test]
fn millimetres_in_an_inch_job_187_ft_long() {
    let said = "board M is 2250\" (187 ft) long; bare numbers are in inches: were they measured in millimetres?";
    warned(PADDLES, &boards("M,ash wood,2250,140,38"), said);
}

#[test]
fn feet_typed_as_inches_8_in_long() {
    let said = "board F is 8\" long, less than any strip wanted; bare numbers are in inches: were they measured in feet?";
    warned(PADDLES, &boards("F,ash wood,8,6,1 1/2"), said);
}

#[test]
fn a_kerf_of_8_in() {
    let kerf = format!("[shop]\nrip_kerf = 8\n{PADDLES}");
    let job =
        job(&kerf, &[("boards.csv", &format!("{HEAD}\nwide,western redcedar,96,30,1 1/2\n"))]);
    let (code, _, err) = run(job.path(), &["plan"]);
    assert!(code < 2);
    assert!(err.contains("rip_kerf is 8\", more than any saw takes: was 1/8 meant?"), "{err}");
    let mm = format!("{METRIC}[shop]\nresaw_kerf = 0.125\n");
    let said = "resaw_kerf is 0.125 mm, less than any saw takes";
    warned(&mm, &format!("{HEAD}\ngood,western redcedar,2400,140,38\n"), said);
}

#[test]
fn an_edge_allowance_in_the_wrong_unit() {
    let edge = format!("[shop]\nboard_end = 25.4\n{PADDLES}");
    let long = format!("{HEAD}\nlong,western redcedar,192,5 1/2,1 1/2\n");
    warned(&edge, &long, "board_end is 25.4\", which is more than shops have use for");
}

#[test]
fn a_bow_greater_than_the_thickness_allows() {
    let bent = format!("{HEAD},bow\n{GOOD},\nbent,western redcedar,96,5 1/2,1 1/2,11 1/4\n");
    let said = "board bent is 1 1/2\" thick and has a bow of 11 1/4\" over its length";
    warned(PADDLES, &bent, said);
    let job = job(PADDLES, &[("boards.csv", &bent)]);
    let (_, out, _) = run(job.path(), &["check"]);
    // Once "-9 3/4 thick" was printed.
    assert!(!out.contains(" -") || !flat(&out).contains("about -"), "{out}");
    assert!(flat(&out).contains("nothing is left of its thickness"), "{out}");
}

#[test]
fn a_zone_as_large_as_the_board() {
    let zone = format!(
        "{HEAD},zone,from,to,near,far\n{GOOD},,,,,\nfull,western redcedar,96,5 1/2,1 1/2,knot,,,,\n"
    );
    warned(PADDLES, &zone, "board full is covered whole by its knot, and gives nothing");
    // Of a kind that is allowed there is nothing to say.
    let allowed = PADDLES.replace("runs =", "allow = [\"sap\"]\nruns =");
    let job = job(&allowed, &[("boards.csv", &zone.replace("knot", "sap"))]);
    assert!(!run(job.path(), &["plan"]).2.contains("Warning"));
}

#[test]
fn runout_of_one_in_one() {
    let steep = format!("{HEAD},runout\n{GOOD},\nsteep,western redcedar,96,5 1/2,1 1/2,1:1\n");
    warned(PADDLES, &steep, "board steep has grain that runs out at 1:1, steeper than 1:5");
    let limit = PADDLES.replace("rings = 0", "rings = 0\nrunout = \"2:1\"");
    let said = "paddle touring allows grain that runs out at";
    warned(&limit, &format!("{HEAD},runout\n{GOOD},1:20\n"), said);
}

#[test]
fn a_price_per_foot_that_looks_like_a_price() {
    let yard = format!(
        "{HEAD},price_per_foot,foot\n{GOOD},84.50,board\nother,western redcedar,96,5 1/2,1 1/2,9,board\n"
    );
    let job = job(PADDLES, &[("yard.csv", &yard)]);
    let (code, _, err) = run(job.path(), &["buy"]);
    assert_eq!(code, 0);
    let said = "yard.csv, line 2, column price_per_foot: \"84.50\" looks like the price of a board";
    assert!(err.contains(said), "{err}");
    assert!(!err.contains("line 3"), "{err}");
}

#[test]
fn swapped_files_are_named() {
    let folder = job(PADDLES, &[("boards.csv", &format!("{HEAD}\n{GOOD}\n"))]);
    let strips = "strip,species,length,thickness,depth\nold,western redcedar,86,9/16,1 1/2\n";
    std::fs::write(folder.path().join("strips.csv"), strips).unwrap();
    assert_eq!(run(folder.path(), &["plan", "--json", "plan.json"]).0, 0);
    for (words, said) in [
        (
            &["plan", "--boards", "paddles.toml", "--paddles", "boards.csv"][..],
            &[
                "paddles.toml: looks like a paddles file, and is named as a list of boards; such a file is named with --paddles",
                "boards.csv: looks like a list of boards, and is named as a paddles file",
            ][..],
        ),
        (&["plan", "--boards", "strips.csv"], &["strips.csv: looks like a list of strips"]),
        (&["plan", "--strips", "boards.csv"], &["boards.csv: looks like a list of boards"]),
        (&["plan", "--boards", "plan.json"], &["plan.json: looks like a plan"]),
        (&["verify", "paddles.toml"], &["paddles.toml: looks like a paddles file"]),
    ] {
        let (code, out, err) = run(folder.path(), words);
        assert_eq!((code, out.as_str()), (2, ""), "{words:?}");
        for text in said {
            assert!(err.contains(text), "{words:?}: {err}");
        }
        // Each such file is one problem, not one for each of its lines.
        assert!(err.contains(&format!("{} problem", said.len())), "{err}");
    }
}

#[test]
fn a_species_that_may_be_several_woods_says_which_ones() {
    let cedar = PADDLES.replace("runs =", "species = [\"western redcedar\"]\nruns =");
    let said = "white cedar may be several woods, Port-Orford-cedar, northern white-cedar and Atlantic white-cedar, and is not taken for";
    let wanted =
        cedar.replace("\"western redcedar\"", "\"northern white-cedar\", \"western redcedar\"");
    let list = boards("W,white cedar,96,5 1/2,1 1/2");
    let folder = job(&wanted, &[("boards.csv", &list)]);
    let (code, _, err) = run(folder.path(), &["plan"]);
    assert_eq!(code, 0);
    assert!(flat(&err).contains(said), "{err}");
    let (_, out, _) = run(folder.path(), &["check"]);
    assert!(flat(&out).contains("white cedar may be several woods: Port-Orford-cedar"), "{out}");
    // A wood that is one, known or not, is not doubted.
    for wood in ["western redcedar", "bog oak", "spanish cedar", "red maple"] {
        let folder = job(PADDLES, &[("boards.csv", &boards(&format!("B,{wood},96,5 1/2,1 1/2")))]);
        assert!(!run(folder.path(), &["check"]).1.contains("several"), "{wood}");
    }
}

#[test]
fn decimal_commas_are_read_in_a_file_with_semicolons_prices_too() {
    let points = format!("{HEAD},price,bow\ngood,western redcedar,96,5.5,1.5,12.50,0.125\n");
    let commas = "board;species;length;width;thickness;price;bow\ngood;western redcedar;96;5,5;1,5;12,50;0,125\n";
    let with = |list: &str| {
        let folder = job(PADDLES, &[("boards.csv", list)]);
        run(folder.path(), &["plan"])
    };
    let (plain, read) = (with(&points), with(commas));
    assert_eq!((plain.0, read.0), (0, 0), "{}", read.2);
    assert_eq!(plain.1, read.1);
    let said = "boards.csv, line 2, column width: \"5,5\" is read as 5.5";
    // Told of once; which column is first is that of the list of columns.
    assert_eq!(read.2.matches("is read as").count(), 1, "{}", read.2);
    assert!(read.2.contains("and so is every decimal comma of this file"), "{said}: {}", read.2);
    // What may be thousands is not guessed at.
    let (code, _, err) = with(&commas.replace(";96;", ";1,096;"));
    assert_eq!(code, 2);
    assert!(err.contains("write 1.096 if the comma stands for a point"), "{err}");
    // Where commas part the cells one in quotes is as wrong as it was.
    let quoted = format!("{HEAD}\ngood,western redcedar,96,\"5,5\",1.5\n");
    assert_eq!(with(&quoted).0, 2);
    let yard = "board;species;length;width;thickness;price_per_foot;foot\ny;western redcedar;96;5,5;1,5;7,25;board\n";
    let folder = job(PADDLES, &[("yard.csv", yard)]);
    assert_eq!(run(folder.path(), &["buy"]).0, 0);
}

#[test]
fn a_name_with_a_comma_stays_a_name_beside_semicolons() {
    let list = "board;species;length;width;thickness\n1,5;western redcedar;96;5,5;1,5\n";
    let folder = job(PADDLES, &[("boards.csv", list)]);
    let (code, out, _) = run(folder.path(), &["check"]);
    assert_eq!(code, 0);
    assert!(out.contains("1,5"), "{out}");
}

#[test]
fn decimal_commas_are_written_back_as_points() {
    let list = "board;species;length;width;thickness\nA;western redcedar;96;5,5;1,5\nspare;western redcedar;96;5,5;1,5\n";
    let folder = job(PADDLES, &[("boards.csv", list)]);
    assert_eq!(run(folder.path(), &["plan", "--json", "plan.json"]).0, 0);
    let (code, _, err) = run(folder.path(), &["tally", "plan.json", "--left", "left.csv"]);
    assert_eq!(code, 0, "{err}");
    let left = std::fs::read_to_string(folder.path().join("left.csv")).unwrap();
    assert!(left.contains("5.5") && !left.contains("5,5"), "{left}");
    assert_eq!(run(folder.path(), &["check", "--boards", "left.csv"]).0, 0);
}

#[test]
fn a_strip_of_2160_by_13_by_36_in() {
    let list = "strip,species,length,thickness,depth\nS,western redcedar,2160,13,36\n";
    let folder = job(PADDLES, &[("boards.csv", &boards("")), ("strips.csv", list)]);
    let said =
        "strip S is 2160 x 13 x 36 in; bare numbers are in inches: was it measured in millimetres?";
    let (code, _, err) = run(folder.path(), &["plan", "--strips", "strips.csv"]);
    assert_eq!(code, 0);
    assert!(err.contains(said), "{err}");
    let (_, out, _) = run(folder.path(), &["check", "--strips", "strips.csv"]);
    assert!(flat(&out).contains(said), "{out}");
}

#[test]
fn inches_in_a_metric_list_of_strips() {
    let list = "strip,species,length,thickness,depth\nS,western redcedar,86,0.5625,1.4375\n";
    let board = format!("{HEAD}\ngood,western redcedar,2400,140,38\n");
    let folder = job(METRIC, &[("boards.csv", &board), ("strips.csv", list)]);
    let (code, _, err) = run(folder.path(), &["plan", "--strips", "strips.csv"]);
    assert_eq!(code, 0);
    assert!(err.contains("was it measured in inches, centimetres or metres?"), "{err}");
}

#[test]
fn names_that_mislead_are_refused_alike_in_every_file() {
    for c in ['\u{1b}', '\u{202E}', '\u{2066}', '\u{7}', '\u{9b}'] {
        let name = format!("o{c}k");
        let rule = format!("U+{:04X}", u32::from(c));
        let zone = format!("{HEAD},grade,zone,from,to\n{GOOD},,,,\n");
        let lists = [
            ("boards.csv", format!("{HEAD}\n{name},ash wood,96,5,1\n"), "--boards"),
            ("boards.csv", format!("{HEAD}\na,{name},96,5,1\n"), "--boards"),
            ("boards.csv", format!("{zone}a,ash wood,96,5,1,{name},,,\n"), "--boards"),
            ("boards.csv", format!("{zone}a,ash wood,96,5,1,,{name},1,2\n"), "--boards"),
            (
                "s.csv",
                format!("strip,species,length,thickness,depth\n{name},ash,80,1,1\n"),
                "--strips",
            ),
            (
                "s.csv",
                format!("strip,species,length,thickness,depth\na,{name},80,1,1\n"),
                "--strips",
            ),
            (
                "s.csv",
                format!("strip,species,length,thickness,depth,paddle\na,ash,80,1,1,{name}\n"),
                "--strips",
            ),
        ];
        for (file, text, option) in lists {
            let folder = job(PADDLES, &[("boards.csv", &format!("{HEAD}\n{GOOD}\n"))]);
            std::fs::write(folder.path().join(file), &text).unwrap();
            let (code, out, err) = run(folder.path(), &["check", option, file]);
            assert_eq!((code, out.as_str()), (2, ""), "{text:?}");
            assert!(err.contains(&rule) && !err.contains(c), "{text:?}: {err:?}");
        }
        let escaped = format!("o\\u{:04X}k", u32::from(c));
        for (from, to) in [
            ("\"touring\"", format!("\"{escaped}\"")),
            ("\"side\"", format!("\"{escaped}\"")),
            ("runs =", format!("species = [\"{escaped}\"]\nruns =")),
            ("runs =", format!("allow = [\"{escaped}\"]\nruns =")),
        ] {
            let folder =
                job(&PADDLES.replace(from, &to), &[("boards.csv", &format!("{HEAD}\n{GOOD}\n"))]);
            let (code, out, err) = run(folder.path(), &["check"]);
            assert_eq!((code, out.as_str()), (2, ""), "{from} {to}");
            assert!(err.contains(&rule) && !err.contains(c), "{from}: {err:?}");
        }
    }
}

#[test]
fn a_zero_byte_and_misleading_file_names_are_refused_or_shown_safely() {
    let folder = job(PADDLES, &[("boards.csv", "board,species\0,length,width,thickness\n")]);
    let (code, _, err) = run(folder.path(), &["check"]);
    assert_eq!(code, 2);
    assert!(err.contains("holds a zero byte") && !err.contains('\0'), "{err:?}");
    for words in [
        &["plan", "no\u{202E}where"][..],
        &["check", "--boards", "o\u{1b}k.csv"],
        &["man", "\u{202E}x"],
    ] {
        let (code, out, err) = run(folder.path(), words);
        assert_eq!(code, 2);
        assert!(!(out + &err).contains(['\u{202E}', '\u{1b}']), "{err:?}");
    }
}

#[test]
fn a_cell_that_looks_like_a_formula_is_written_so_that_it_is_none_and_reads_back() {
    let names = ["=1+1", "+x", "-x", "@x", "\u{FF1D}x", "'=x"];
    let lines: Vec<String> =
        names.iter().map(|n| format!("{n},western redcedar,96,5 1/2,1 1/2\n")).collect();
    let paddles =
        PADDLES.replace("loom = 20", "loom = 20\nquantity = 60").replace("\"side\"", "\"=side\"");
    // In the list the apostrophe before a formula is the spreadsheet's own.
    let list = format!("{HEAD}\n{}", lines.concat()).replace("'=x", "''=x");
    let folder = job(&paddles, &[("boards.csv", &list)]);
    let words = ["plan", "--most", "--cuts", "cuts.csv", "--json", "plan.json"];
    let (code, _, err) = run(folder.path(), &words);
    assert_eq!(code, 0, "{err}");
    let words = ["tally", "plan.json", "--cut", "", "--left", "left.csv"];
    assert_eq!(run(folder.path(), &words).0, 0);
    let words = ["tally", "plan.json", "--strips", "made.csv"];
    assert_eq!(run(folder.path(), &words).0, 0);
    for (file, column) in [("cuts.csv", "board"), ("left.csv", "board"), ("made.csv", "strip")] {
        let text = std::fs::read_to_string(folder.path().join(file)).unwrap();
        let mut csv = csv::Reader::from_reader(text.as_bytes());
        let at = csv.headers().unwrap().iter().position(|c| c == column).unwrap();
        let mut found = std::collections::BTreeSet::new();
        for record in csv.records() {
            let record = record.unwrap();
            for cell in &record {
                // A number may be below nothing; a name may not look so.
                let number = cell.trim_start_matches('-').starts_with(|c: char| c.is_ascii_digit());
                let begins = cell.trim_start().starts_with(['=', '+', '-', '@', '\u{FF1D}']);
                assert!(number || !begins, "{file}: {cell}");
            }
            found.insert(record[at].to_owned());
        }
        // The apostrophe off, each name is there as it was.
        for name in names {
            let shown = format!("'{name}");
            assert!(found.iter().any(|f| f.starts_with(&shown)), "{file}: {name} in {found:?}");
        }
    }
    let words = ["check", "--boards", "left.csv"];
    let (code, out, err) = run(folder.path(), &words);
    assert_eq!(code, 0, "{err}");
    for name in names {
        assert!(out.contains(&format!(" {name} ")), "{name}: {out}");
    }
}

#[test]
fn names_that_differ_in_blanks_or_capitals_fare_alike_for_boards_and_strips() {
    let board = |a: &str, b: &str| {
        let list = format!("{HEAD}\n{a},ash wood,96,5,1 1/2\n{b},ash wood,96,5,1 1/2\n");
        let folder = job(PADDLES, &[("boards.csv", &list)]);
        run(folder.path(), &["check"])
    };
    let strip = |a: &str, b: &str| {
        let strips = format!(
            "strip,species,length,thickness,depth\n{a},ash wood,86,9/16,1 1/2\n{b},ash wood,86,9/16,1 1/2\n"
        );
        let list = format!("{HEAD}\n{GOOD}\n");
        let folder = job(PADDLES, &[("boards.csv", &list), ("strips.csv", &strips)]);
        run(folder.path(), &["check", "--strips", "strips.csv"])
    };
    for (code, out, err) in [board("x", "X "), strip("x", "X ")] {
        assert_eq!(code, 0, "{err}");
        assert!(flat(&out).contains("x and X differ only by capitals"), "{out}");
    }
    for (code, _, err) in [board("x 1", "x  1"), strip("x 1", "x  1")] {
        assert_eq!(code, 2);
        assert!(err.contains("only spaces or characters that can't be seen differ"), "{err}");
    }
    for (code, _, err) in [board("x", " x "), strip("x", " x ")] {
        assert_eq!(code, 2);
        assert!(err.contains("line 2 already"), "{err}");
    }
}
