//! What was found amiss by trying: runs that didn't hear their end, files left behind, messages that
//! didn't help.
#![cfg(unix)]

use crate::files_lost::{JOB, Shop};
use serde_json::Value;
use std::fs;
use std::time::{Duration, Instant};

/// A board so full of knots that looking at what each of them costs takes minutes.
fn knotty(zones: usize) -> String {
    let mut text = "board,species,length,width,thickness,rings,price,zone,from,to,near,far\n\
                    A,western redcedar,96,11,1 1/2,75,11,,,,,\n"
        .to_owned();
    for n in 0..zones {
        // Spread without order, the same in every run.
        let (x, y) = (n * 7919 % 9400 + 100, n * 104_729 % 1000 + 50);
        let hundredths = |n: usize| format!("{}.{:02}", n / 100, n % 100);
        let (from, to) = (hundredths(x), hundredths(x + 2));
        let (near, far) = (hundredths(y), hundredths(y + 2));
        text.push_str(&format!("A,,,,,,,knot,{from},{to},{near},{far}\n"));
    }
    text
}

/// A survey of a board with thousands of zones heard neither its limit nor a request to end: once
/// stopped it still copied the board once for each zone.
#[test]
fn a_survey_of_thousands_of_zones_ends_at_its_limit_and_when_asked() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["start", "job"]).0, 0);
    fs::write(shop.at("many.csv"), knotty(5000)).unwrap();
    let words = ["survey", "--boards", "many.csv", "--paddles", "job/paddles.toml"];
    let begun = Instant::now();
    let (code, out, err) = shop.run(&[&words[..], &["--time-limit", "2"]].concat());
    let took = begun.elapsed();
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("Not looked at before the search was stopped: A."), "{out}");
    // Machines may be busy; it was more than a minute.
    assert!(took < Duration::from_secs(15), "{took:?}");
    let mut child = shop.command(&words).stdout(std::process::Stdio::piped()).spawn().unwrap();
    std::thread::sleep(Duration::from_secs(3));
    let begun = Instant::now();
    let line = format!("kill -TERM {}", child.id());
    assert!(std::process::Command::new("sh").arg("-c").arg(line).status().unwrap().success());
    child.wait().unwrap();
    assert!(begun.elapsed() < Duration::from_secs(13), "{:?}", begun.elapsed());
}

/// A limit on the size of files ended the run by a signal, and its temporary files stayed.
#[test]
fn a_file_larger_than_is_allowed_is_a_failed_write_and_nothing_stays() {
    let shop = Shop::new();
    let before = shop.names();
    let job = JOB.join(" ");
    let line = format!(
        "ulimit -f 8; \"$0\" plan {job} --json p.json --cuts c.csv --sheet s.html --svg d | cat >/dev/null; exec \"$0\" plan {job} --json - --sheet s.html 2>&1 | cat"
    );
    let (_, out, err) = shop.shell(&line);
    assert!(err.contains("cannot be written: it would be larger than a file may be here"), "{err}");
    assert!(out.contains("s.html: cannot be written: it would be larger"), "{out}");
    assert_eq!(shop.names(), before);
}

/// One name for a file and for the folder of drawings was found out only after the search.
#[test]
fn one_name_for_a_file_and_for_the_folder_of_drawings_is_refused_before_any_work() {
    let shop = Shop::new();
    let before = shop.names();
    // No board is read: there is no such file.
    let job = ["plan", "--boards", "none.csv", "--paddles", "paddles.toml"];
    for (file, folder) in [("d7", "d7"), ("./d7", "d7/"), ("d7", "d7/drawings")] {
        let (code, _, err) = shop.run(&[&job[..], &["--json", file, "--svg", folder]].concat());
        let said = "would be a file, for --json, and a folder, for --svg; name another folder";
        assert!(code == 2 && err.contains(said), "{file} {folder}: {err}");
    }
    assert_eq!(shop.names(), before);
    // A file within the folder is as good as any.
    assert_eq!(shop.plan(&["--json", "d7/plan.json", "--svg", "d7"]).0, 0);
}

/// What is said of a paddles.toml in which one line is replaced.
fn said(shop: &Shop, line: &str, by: &str) -> String {
    let text = shop.text("paddles.toml");
    let found = text.lines().find(|l| l.trim_start().starts_with(line)).unwrap().to_owned();
    fs::write(shop.at("p.toml"), text.replacen(&found, by, 1)).unwrap();
    let (code, out, err) = shop.run(&["check", "--boards", "boards.csv", "--paddles", "p.toml"]);
    assert_eq!(code, 2, "{by}: {out}");
    err
}

/// Of a bare word the parser said "invalid boolean, expected `false`".
#[test]
fn of_a_value_that_is_none_the_value_and_a_cure_that_reads_are_said() {
    let shop = Shop::new();
    for (line, by, rule) in [
        (
            "thickness",
            "trim = flat",
            "trim: \"flat\" is neither a number nor text in quotes; write text in quotes: trim = \"3/8\".",
        ),
        (
            "thickness",
            "thickness = 1 3/8",
            "thickness: \"1 3/8\" is neither a number nor text in quotes; write text in quotes: thickness = \"1 3/8\".",
        ),
        (
            "thickness",
            "thickness =",
            "thickness: a value is missing after =; write it there, as thickness = \"3/8\".",
        ),
        // An inch mark inside the quotes.
        (
            "thickness",
            "thickness = \"1 3/8\"\"",
            "thickness: \"\"1 3/8\"\"\" has a quote too many; an inch mark ends the text; leave it out: thickness = \"1 3/8\".",
        ),
        ("thickness", "thickness = # later", "thickness: a value is missing after =;"),
        (
            "runs",
            "runs = --",
            "runs: \"--\" is neither a number nor text in quotes; write text in quotes: runs = \"through\".",
        ),
        ("runs", "runs = blade", "write text in quotes: runs = \"blade\"."),
        (
            "thickness",
            "rip = NaN",
            "rip: \"NaN\" is neither a number nor text in quotes; write text in quotes: rip = \"3/8\".",
        ),
        (
            "thickness",
            "rings = flat",
            "rings: \"flat\" is neither a number nor text in quotes; write rings = 45, without quotes.",
        ),
        ("thickness", "species = oak", "write text in quotes: species = [\"oak\"]."),
    ] {
        let err = said(&shop, line, by);
        assert!(err.contains(rule), "{by}: {err}");
    }
}

#[test]
fn a_key_or_table_that_stands_twice_is_named() {
    let shop = Shop::new();
    let err = said(&shop, "runs", "runs = \"blade\"\nruns = \"blade\"");
    assert!(err.contains(", runs: is a key that stands twice in its table; keep one"), "{err}");
    let err = said(&shop, "[shop]", "[shop]\n[shop]");
    assert!(err.contains(", shop: is a table that stands twice; put all its keys"), "{err}");
}

/// A number of too many digits was called no number.
#[test]
fn a_number_that_is_too_long_is_called_a_number() {
    let shop = Shop::new();
    for digits in ["99999999999999999999", "-99999999999999999999", "9_999_999_999_999_999_999"] {
        let err = said(&shop, "thickness", &format!("quantity = {digits}"));
        let rule = "is a number of more digits than are read; write it shorter, as quantity = 2";
        assert!(err.contains(&format!("quantity: \"{digits}\" {rule}")), "{err}");
    }
}

/// A file that is all one cell took fourteen seconds and five copies of it in memory.
#[test]
fn a_cell_of_any_length_is_told_at_once() {
    let shop = Shop::new();
    let head = "board,species,length,width,thickness\n";
    for text in ["x".repeat(1_000_000), format!("{head}{},oak,90,3,1\n", "x".repeat(10_001))] {
        fs::write(shop.at("b.csv"), &text).unwrap();
        let words = ["check", "--boards", "b.csv", "--paddles", "paddles.toml"];
        let (code, out, err) = shop.run(&words);
        assert_eq!((code, out.as_str()), (2, ""));
        assert!(
            err.contains("bytes long, and no cell is longer than 10000; save the list"),
            "{err}"
        );
        assert!(err.len() < 400, "{err}");
    }
    let name = "x".repeat(10_000);
    fs::write(shop.at("b.csv"), format!("{head}{name},oak,90,3,1\n")).unwrap();
    let (_, _, err) = shop.run(&["check", "--boards", "b.csv", "--paddles", "paddles.toml"]);
    assert!(!err.contains("bytes long"), "{err}");
}

/// `knot` within a paddle was taken for a misspelt `runout`.
#[test]
fn only_near_spellings_are_suggested_and_keys_are_shown_where_they_belong() {
    let shop = Shop::new();
    let err = said(&shop, "[[paddle]]", "[[paddle]]\nknot = 1");
    assert!(
        !err.contains("did you mean") && err.contains("zones are marked in boards.csv"),
        "{err}"
    );
    let err = said(&shop, "[[paddle]]", "[[paddle]]\nrip_kerf = 1");
    assert!(
        err.contains("rip_kerf: is not a key that is known here; it belongs under [shop]."),
        "{err}"
    );
    let err = said(&shop, "[[paddle]]", "[[paddle]]\nlom = 1");
    assert!(err.contains("did you mean loom?"), "{err}");
}

/// Only the first board without a price was told of, and not its line.
#[test]
fn every_board_of_a_yard_without_a_price_is_told_of_with_its_line() {
    let shop = Shop::new();
    let yard = "board,species,length,width,thickness,price\na,oak,90,3,1,\nb,oak,90,3,1,4\n\nc,oak,90,3,1,\n";
    fs::write(shop.at("y.csv"), yard).unwrap();
    let (code, _, err) = shop.run(&["buy", "--yard", "y.csv", "--paddles", "paddles.toml"]);
    assert_eq!(code, 2);
    for (line, board) in [(2, "a"), (5, "c")] {
        let said = format!("y.csv, line {line}, board \"{board}\": has no price; give price");
        assert!(err.contains(&said), "{err}");
    }
    assert!(err.contains("2 problems."), "{err}");
}

/// A cell was printed as it stood, and the character that made it no length was not to be seen.
#[test]
fn characters_that_cannot_be_seen_are_spelled_out() {
    let shop = Shop::new();
    for (mark, spelled) in [("\u{FEFF}", "feff"), ("\u{200B}", "200b"), ("\u{200D}", "200d")] {
        let text = format!("board,species,length,width,thickness\na,oak,{mark}90,3,1\n");
        fs::write(shop.at("b.csv"), text).unwrap();
        let (code, _, err) = shop.run(&["check", "--boards", "b.csv", "--paddles", "paddles.toml"]);
        assert_eq!(code, 2, "{spelled}");
        assert!(err.contains(&format!("\"\\u{{{spelled}}}90\"")), "{err}");
        assert!(!err.contains(mark), "{err}");
    }
}

#[test]
fn a_plan_file_that_is_nested_too_deep_is_called_so() {
    let shop = Shop::new();
    fs::write(shop.at("deep.json"), "[".repeat(5000)).unwrap();
    let (code, _, err) = shop.run(&[&["verify"], &JOB[..], &["deep.json"]].concat());
    assert!(code == 2 && err.contains("is nested deeper than any plan is"), "{err}");
}

/// A plan of the shop's, changed.
fn changed(shop: &Shop, change: impl Fn(&mut Value)) -> (i32, String, String) {
    let mut plan: Value = serde_json::from_str(&shop.text("plan.json")).unwrap();
    change(&mut plan);
    fs::write(shop.at("changed.json"), plan.to_string()).unwrap();
    shop.run(&[&["verify"], &JOB[..], &["changed.json"]].concat())
}

/// A plan for a budget could cost any amount.
#[test]
fn a_plan_that_costs_more_than_its_budget_is_refused() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    let plan: Value = serde_json::from_str(&shop.text("plan.json")).unwrap();
    let total = plan["cost"]["total"].as_f64().unwrap();
    assert_eq!(plan["cost"]["measure"], "price");
    let (code, out, err) = changed(&shop, |plan| plan["budget"] = total.into());
    assert_eq!(code, 0, "{out}{err}");
    let (code, _, err) = changed(&shop, |plan| plan["budget"] = (total - 0.01).into());
    assert!(code == 2 && err.contains("costs no more than that"), "{err}");
    let (code, _, err) = changed(&shop, |plan| plan["budget"] = "lots".into());
    assert!(code == 2 && err.contains("budget: \"lots\" is not a cost"), "{err}");
}

/// Strips in hand were passed over, and the plan was said to hold.
#[test]
fn a_plan_with_strips_in_hand_is_not_said_to_hold_without_them() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    let strip = serde_json::json!([{ "strip": "B.4", "paddle": "touring", "lamination": "blade" }]);
    let (code, out, err) = changed(&shop, |plan| plan["strips"] = strip.clone());
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    let told = "strips[0].strip: \"B.4\" is not in any list of strips in hand; give the list of strips in hand with --strips.";
    assert!(err.contains(told), "{err}");
    let (code, out, _) = changed(&shop, |plan| plan["strips"] = serde_json::json!([]));
    assert!(code == 0 && out.contains("The plan holds"), "{out}");
}
