//! What a run that has no plan, or must not write, leaves as it was, and what it says of that.
#![cfg(unix)]

use crate::files_lost::{JOB, Shop};
use std::fs;
use std::os::unix::fs::PermissionsExt;

/// A board that gives none of the strips wanted.
const NONE: &str = "board,species,length,width,thickness\na,oak,40,3,1\n";

/// A shop without wood, as [`Shop::new`] else.
fn without_wood() -> Shop {
    let shop = Shop::new();
    fs::write(shop.at("boards.csv"), NONE).unwrap();
    shop
}

#[test]
fn where_standard_output_is_an_outputs_why_there_is_no_plan_is_on_standard_error() {
    let shop = without_wood();
    for option in ["--json", "--cuts", "--sheet"] {
        for name in ["-", "/dev/stdout"] {
            let (code, out, err) = shop.plan(&[option, name]);
            assert_eq!(code, 1, "{option} {name}");
            assert!(err.starts_with("No plan: these boards don't give every strip"), "{err}");
            assert!(err.contains("is oak; takes"), "{err}");
            // Standard output is the output's alone.
            assert_eq!(out.contains("infeasible"), option == "--json", "{out}");
            assert!(!out.contains("No plan"), "{out}");
        }
    }
    // Without such an output it is what the command prints.
    let (code, out, err) = shop.plan(&[]);
    assert_eq!((code, err.as_str()), (1, ""));
    assert!(out.starts_with("No plan: "), "{out}");
    fs::write(
        shop.at("few.csv"),
        format!("{},price\na,oak,40,3,1,9\n", NONE.lines().next().unwrap()),
    )
    .unwrap();
    for (yard, more) in [("few.csv", &[][..]), ("yard.csv", &["--budget", "0.01"])] {
        let words = ["buy", "--yard", yard, "--paddles", "paddles.toml", "--json", "-"];
        let (code, out, err) = shop.run(&[&words, more].concat());
        assert_eq!(code, 1, "{yard}: {err}");
        assert!(!err.is_empty(), "{yard}");
        assert!(serde_json::from_str::<serde_json::Value>(&out).is_ok(), "{yard}: {out}");
    }
}

/// An earlier plan's JSON was replaced by "infeasible" without a word, beside the cut list, page
/// and drawings of that plan. That there is no plan is the answer and is written; what is of the
/// earlier run stays, and both are said.
#[test]
fn without_a_plan_it_is_said_which_files_are_of_an_earlier_run() {
    let shop = Shop::new();
    let all = ["--json", "plan.json", "--cuts", "cuts.csv", "--sheet", "page.html", "--svg", "d"];
    assert_eq!(shop.plan(&all).0, 0);
    let plan = shop.text("plan.json");
    let files = ["cuts.csv", "page.html", "d/board-1.svg"];
    let before = files.map(|name| shop.text(name));
    fs::write(shop.at("boards.csv"), NONE).unwrap();
    let (code, out, err) = shop.plan(&all);
    assert_eq!(code, 1);
    assert!(out.starts_with("No plan: "), "{out}");
    assert_eq!(files.map(|name| shop.text(name)), before);
    let json: serde_json::Value = serde_json::from_str(&shop.text("plan.json")).unwrap();
    assert_eq!(json["proof"]["status"], "infeasible");
    let now = "plan.json: says now that there is no plan to write.\n";
    let why = "left as it was, since there is no plan to write: it is not of this run.\n";
    let folder = "d: drawings left as they were, since there is no plan to write: they are not of this run.\n";
    let kept = files[..2].iter().map(|name| format!("{name}: {why}"));
    let said: String =
        [now.to_owned()].into_iter().chain(kept).chain([folder.to_owned()]).collect();
    assert_eq!(err, said);

    // With too little money too.
    fs::write(shop.at("plan.json"), plan).unwrap();
    let words = ["buy", "--yard", "yard.csv", "--paddles", "paddles.toml", "--json", "plan.json"];
    let (code, _, err) = shop.run(&[&words[..], &["--budget", "0.01"]].concat());
    assert_eq!((code, err.as_str()), (1, now));
    assert!(shop.text("plan.json").contains("over budget"));
}

/// And a plan is written over it.
#[test]
fn a_plan_replaces_that_there_is_none() {
    let (shop, other) = (without_wood(), Shop::new());
    let (code, _, err) = shop.plan(&["--json", "new.json"]);
    assert_eq!((code, err.as_str()), (1, ""));
    assert!(shop.text("new.json").contains("infeasible"));
    fs::copy(other.at("boards.csv"), shop.at("boards.csv")).unwrap();
    assert_eq!(shop.plan(&["--json", "new.json"]).0, 0);
    assert!(!shop.text("new.json").contains("infeasible"));
}

#[test]
fn a_protected_file_is_refused_before_any_work() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json", "--svg", "d"]).0, 0);
    let protect = |name: &str, mode| {
        fs::set_permissions(shop.at(name), fs::Permissions::from_mode(mode)).unwrap();
    };
    let before = shop.text("plan.json");
    protect("plan.json", 0o444);
    let glue = [&["glue"], &JOB[..], &["plan.json", "--out", "kept.txt"]].concat();
    fs::write(shop.at("kept.txt"), "mine").unwrap();
    protect("kept.txt", 0o444);
    let cure = "is protected from being written; allow it (chmod u+w) or name another file.\n";
    for option in ["--json", "--cuts", "--sheet"] {
        let (code, out, err) = shop.plan(&[option, "plan.json"]);
        assert_eq!((code, out.as_str(), err), (2, "", format!("plan.json: {cure}")));
    }
    assert_eq!(shop.run(&glue), (2, String::new(), format!("kept.txt: {cure}")));
    assert_eq!((shop.text("plan.json"), shop.text("kept.txt")), (before, "mine".to_owned()));
    protect("d/board-1.svg", 0o444);
    let (code, out, err) = shop.plan(&["--svg", "d"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.starts_with("d/board-1.svg: is protected from being written; "), "{err}");
    assert!(!shop.names().iter().any(|n| n.starts_with(".stripwright-")));
}

#[test]
fn a_folder_that_is_missing_is_refused_before_any_work_by_the_name_that_was_given() {
    let shop = Shop::new();
    // Had anything been read, this would be what is complained of.
    fs::write(shop.at("boards.csv"), "nothing\n").unwrap();
    for (name, why) in [
        ("nn/", "it names a folder"),
        ("nn/.", "it names a folder"),
        ("paddles.toml/", "it names a folder"),
        (".", "it names a folder"),
        ("nn/plan.json", "its folder is not there"),
        ("nn/../plan.json", "its folder is not there"),
        ("paddles.toml/plan.json", "what should be its folder is a file"),
    ] {
        for option in ["--json", "--cuts", "--sheet"] {
            let said = shop.plan(&[option, name]);
            let err = format!("{name}: cannot be written: {why}; name another file.\n");
            assert_eq!(said, (2, String::new(), err), "{option}");
        }
    }
    // A folder that is made for drawings may take the others in.
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--svg", "d", "--json", "d/plan.json"]).0, 0);
}

#[test]
fn a_folder_that_takes_nothing_is_named_without_the_temporary_file() {
    let shop = Shop::new();
    fs::create_dir(shop.at("shut")).unwrap();
    fs::set_permissions(shop.at("shut"), fs::Permissions::from_mode(0o555)).unwrap();
    if fs::write(shop.at("shut/trial"), "").is_ok() {
        // Rights don't bind everyone; /proc takes no files from anybody.
        let (code, _, err) = shop.plan(&["--svg", "/proc"]);
        assert_eq!(code, 2);
        assert!(err.starts_with("/proc: cannot be written: "), "{err}");
        assert!(!err.contains(".stripwright-"), "{err}");
        return;
    }
    let (code, _, err) = shop.plan(&["--json", "shut/plan.json"]);
    let why = "you have no right to write there; name another file.\n";
    assert_eq!((code, err), (2, format!("shut/plan.json: cannot be written: {why}")));
}
