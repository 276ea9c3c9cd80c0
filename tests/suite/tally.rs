//! `stripwright tally` from files to files, and planning again from what it writes. Boards and
//! paddles are invented.

use crate::fixtures::{Dice, passed, plan_of};
use crate::jobs;
use std::collections::BTreeSet;
use std::fs;
use stripwright::length::{Length, Units};
use stripwright::lumber::{Board, Grain};
use stripwright::plan::{CutBoard, Edge, Face, Leaf, Plan, Rip, Section, Strip};
use stripwright::read::{List, boards_text, job_text, strips_text};
use stripwright::shop::left::offcuts;

pub(crate) const PADDLES: &str = r#"units = "in"
[shop]
curve_kerf = "1/16"
resaw_kerf = "1/16"
board_end = "1/2"
min_rip = 6
[shop.margin]
knot = { along = "1/4", across = "1/16" }
[[paddle]]
name = "small"
quantity = 4
length = 26
loom = 8
trim = "1/4"
thickness = 1
rings = 30
[[paddle.lamination]]
name = "spine"
thickness = "1/4"
runs = "through"
centre = true
[[paddle.lamination]]
name = "side"
thickness = "3/8"
runs = "through"
spares = 1
[[paddle.lamination]]
name = "edge"
thickness = "5/16"
runs = "blade"
allow = ["sap"]
"#;

/// Two equal boards, one with zones, a crooked one, and one that no plan needs.
pub(crate) const BOARDS: &str = "Board ;species;length;width;thickness;rings;crook;price;quantity;zone;from;to;near;far\n\
    H;fir;4' 2\";2;1 1/8;50;;5;2;;;;;\n\
    M;fir;41;3 1/2;1 1/8;60;-1/8;4;;knot;12;13;1;1 1/2\n\
    M;;;;;;;;;sap;;;3;\n\
    Z;oak;80;6;2;45;;900;;;;;;\n";

pub(crate) struct Shop(tempfile::TempDir);

impl Shop {
    pub(crate) fn with(boards: &str, paddles: &str) -> Shop {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("boards.csv"), boards).unwrap();
        fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
        Shop(folder)
    }

    /// The shop with a plan, if there is one.
    pub(crate) fn planned(boards: &str, paddles: &str) -> Option<Shop> {
        let shop = Shop::with(boards, paddles);
        let (code, _, err) = shop.plan("boards.csv", None, "plan.json");
        assert!(code == 0 || code == 1, "{err}");
        (code == 0).then_some(shop)
    }

    pub(crate) fn new() -> Shop {
        Shop::planned(BOARDS, PADDLES).unwrap()
    }

    pub(crate) fn run(&self, words: &[&str]) -> (i32, String, String) {
        let (code, out, err) = jobs::run(self.0.path(), words);
        (code.unwrap(), out, err)
    }

    pub(crate) fn plan(
        &self,
        boards: &str,
        strips: Option<&str>,
        json: &str,
    ) -> (i32, String, String) {
        let mut words =
            vec!["plan", "--boards", boards, "--paddles", "paddles.toml", "--json", json];
        words.extend(strips.iter().flat_map(|file| ["--strips", file]));
        self.run(&words)
    }

    /// A tally that must succeed.
    pub(crate) fn tally(&self, more: &[&str]) -> String {
        let (code, out, err) = self.try_tally(more);
        assert_eq!((code, err.as_str()), (0, ""), "{more:?}");
        out
    }

    pub(crate) fn try_tally(&self, more: &[&str]) -> (i32, String, String) {
        let files = ["tally", "plan.json", "--boards", "boards.csv", "--paddles", "paddles.toml"];
        self.run(&[&files, more].concat())
    }

    pub(crate) fn text(&self, name: &str) -> String {
        fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    pub(crate) fn boards(&self, name: &str) -> Vec<Board> {
        boards_text(name, &self.text(name), Units::Inch, List::OnHand).unwrap()
    }

    pub(crate) fn json(&self, name: &str) -> serde_json::Value {
        serde_json::from_str(&self.text(name)).unwrap()
    }

    pub(crate) fn cost(&self, name: &str) -> f64 {
        self.json(name)["cost"]["total"].as_f64().unwrap()
    }
}

pub(crate) const FILES: [&str; 4] = ["--left", "left.csv", "--strips", "strips.csv"];

pub(crate) fn strip_names(shop: &Shop, name: &str) -> Vec<String> {
    let job = job_text("p.toml", PADDLES).unwrap();
    let rack = strips_text(name, &shop.text(name), &job).unwrap();
    assert!(rack.doubts.is_empty());
    rack.strips.into_iter().map(|s| s.name).collect()
}

/// The cost of each opened board of a plan, by its name and copy.
pub(crate) fn opened(shop: &Shop, plan: &str, boards: &str) -> Vec<(String, f64)> {
    let list = shop.boards(boards);
    let priced = list.iter().all(|b| b.offcut || b.price.is_some());
    let plan = shop.json(plan);
    let name = |b: &serde_json::Value| {
        let board = list.iter().find(|l| l.name == b["board"].as_str().unwrap()).unwrap();
        let cost = match board.price {
            _ if board.offcut => 0.0,
            Some(price) if priced => price.parts() as f64 / 10_000.0,
            _ => {
                let inches = |l: Length| l.to_f64(Units::Inch);
                inches(board.length) * inches(board.width) * inches(board.thickness) / 144.0
            }
        };
        let copy = b["copy"].as_u64().unwrap();
        let many = board.quantity > 1;
        (if many { format!("{}/{copy}", board.name) } else { board.name.clone() }, cost)
    };
    plan["boards"].as_array().unwrap().iter().map(name).collect()
}

#[test]
fn with_nothing_cut_the_boards_come_back() {
    let shop = Shop::new();
    let out = shop.tally(&[&FILES[..], &["--cut", ""]].concat());
    assert!(out.starts_with("Cut: none of the 3 boards of the plan.\n"), "{out}");
    assert_eq!(shop.boards("left.csv"), shop.boards("boards.csv"));
    // As they were spelled, too.
    assert!(shop.text("left.csv").contains("H,fir,\"4' 2\"\"\",2,1 1/8,50"));
    assert!(strip_names(&shop, "strips.csv").is_empty());
    assert!(out.contains("still to cut H/1, H/2, M"), "{out}");
    assert!(out.ends_with(
        "  stripwright plan --boards left.csv --paddles paddles.toml --strips strips.csv\n"
    ));
    // Cut one of two: the other keeps its line, and is one.
    shop.tally(&["--cut", "H (no. 2 of 2)", "--left", "one.csv"]);
    let left = shop.boards("one.csv");
    assert_eq!(left[0].quantity, 1);
    assert_eq!(left[1..3], shop.boards("boards.csv")[1..3]);
    assert!(left[3..].iter().all(|b| b.offcut && b.name.ends_with(" off H/2")), "{left:?}");
}

#[test]
fn all_cut_and_nothing_spoiled_the_strips_alone_make_the_paddles_for_nothing() {
    let shop = Shop::new();
    let out = shop.tally(&FILES);
    assert!(out.contains("Missing: nothing."), "{out}");
    assert!(out.contains("stripwright glue plan.json --boards boards.csv"), "{out}");
    let names = strip_names(&shop, "strips.csv");
    let plan = shop.json("plan.json");
    assert_eq!(names.len(), plan.to_string().matches("\"id\"").count());
    // No board at all is needed.
    shop.write("none.csv", shop.text("left.csv").lines().next().unwrap());
    for boards in ["left.csv", "none.csv"] {
        let (code, out, err) = shop.plan(boards, Some("strips.csv"), "again.json");
        assert_eq!(code, 0, "{out}{err}");
        assert!(shop.cost("again.json").abs() < 1e-9);
        let again = shop.json("again.json");
        assert_eq!(again["boards"].as_array().unwrap().len(), 0);
        let used: BTreeSet<&str> = again["strips"]
            .as_array()
            .unwrap()
            .iter()
            .map(|s| s["strip"].as_str().unwrap())
            .collect();
        assert_eq!(used.len(), names.len());
        // It makes the same paddles, and can be glued.
        let glue = ["glue", "again.json", "--strips", "strips.csv", "--paddles", "paddles.toml"];
        let (code, out, err) = shop.run(&[&glue[..], &["--boards", boards]].concat());
        assert_eq!((code, err.as_str()), (0, ""), "{out}");
    }
    // The command that was printed works.
    let glue = ["glue", "plan.json", "--boards", "boards.csv", "--paddles", "paddles.toml"];
    let (code, out, err) = shop.run(&[&glue[..], &["--strips", "strips.csv"]].concat());
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
}

/// Every command takes the files as they are.
#[test]
fn what_is_left_is_input_for_every_command() {
    let shop = Shop::new();
    shop.tally(&[&FILES[..], &["--cut", "M"]].concat());
    let files = ["--boards", "left.csv", "--paddles", "paddles.toml", "--strips", "strips.csv"];
    for command in ["check", "plan", "survey"] {
        let (code, out, err) = shop.run(&[&[command], &files[..]].concat());
        assert_eq!(code, 0, "{command}: {out}{err}");
        assert!(!err.contains("left.csv"), "{command}: {err}");
    }
    let (code, out, err) = shop.plan("left.csv", Some("strips.csv"), "next.json");
    assert_eq!(code, 0, "{out}{err}");
    for command in ["verify", "glue"] {
        let (code, out, err) = shop.run(&[&[command, "next.json"], &files[..]].concat());
        assert_eq!(code, 0, "{command}: {out}{err}");
    }
    // And the next tally, whose strips in hand come in as the rack.
    shop.write("boards.csv", &shop.text("left.csv"));
    shop.write("plan.json", &shop.text("next.json"));
    let before = strip_names(&shop, "strips.csv");
    let out = shop.tally(&["--rack", "strips.csv", "--left", "l2.csv", "--strips", "s2.csv"]);
    assert!(out.contains("that were in hand before"), "{out}");
    let after = strip_names(&shop, "s2.csv");
    assert_eq!(after[..before.len()], before);
    let different: BTreeSet<&String> = after.iter().collect();
    assert_eq!(different.len(), after.len());
    assert!(out.contains("Missing: nothing."), "{out}");
}

fn random(dice: &mut Dice) -> String {
    let mut csv =
        "board,species,length,width,thickness,rings,crook,bow,runout,zone,from,to,near,far\n"
            .to_owned();
    for b in 0..6 {
        let (length, width) = (30 + dice.roll(36), 16 + dice.roll(20));
        let thick = [9, 10, 18, 22][dice.roll(4) as usize];
        let rings = [10, 45, 75][dice.roll(3) as usize];
        let bend = |dice: &mut Dice| ["", "1/8", "-1/8", "3/16"][dice.roll(4) as usize];
        let (crook, bow) = (bend(dice), bend(dice));
        csv += &format!("b{b},fir,{length},{width}/8,{thick}/8,{rings},{crook},{bow},1:20,,,,,\n");
        for _ in 0..dice.roll(3) {
            let kind = ["knot", "sap", "check"][dice.roll(3) as usize];
            let (from, near) = (dice.roll(length - 4), dice.roll(width - 4));
            let (to, far) = (from + 1 + dice.roll(2), near + 2 + dice.roll(2));
            csv += &format!("b{b},,,,,,,,,{kind},{from},{to},{near}/8,{far}/8\n");
        }
    }
    csv
}

/// Planning again from what is left costs no more than the boards that were not yet cut.
#[test]
fn planning_again_costs_no_more_than_the_boards_not_yet_cut() {
    let mut seen = 0;
    for seed in 0..8 {
        let mut dice = Dice(seed);
        let few = PADDLES.replace("quantity = 4", "quantity = 2");
        let Some(shop) = Shop::planned(&random(&mut dice), &few) else { continue };
        let boards = opened(&shop, "plan.json", "boards.csv");
        let cut: Vec<bool> = boards.iter().map(|_| dice.roll(2) == 0).collect();
        let of = |wanted: bool| boards.iter().zip(&cut).filter(move |(_, c)| **c == wanted);
        let names: Vec<&str> = of(true).map(|(b, _)| b.0.as_str()).collect();
        shop.tally(&[&FILES[..], &["--cut", &names.join(",")]].concat());
        let (code, out, err) = shop.plan("left.csv", Some("strips.csv"), "again.json");
        assert_eq!(code, 0, "{seed}: {out}{err}");
        let uncut: f64 = of(false).map(|(b, _)| b.1).sum();
        let again = shop.cost("again.json");
        assert!(again <= uncut + 1e-6, "{seed}: {again} {uncut}");
        let (code, out, err) = shop.run(&[
            "verify",
            "again.json",
            "--boards",
            "left.csv",
            "--paddles",
            "paddles.toml",
            "--strips",
            "strips.csv",
        ]);
        assert_eq!(code, 0, "{seed}: {out}{err}");
        seen += 1;
    }
    assert!(seen >= 5, "{seen}");
}

/// The sheet's name of an offcut is the tally's.
#[test]
fn the_sheet_and_the_tally_name_offcuts_alike() {
    let shop = Shop::new();
    let plan = ["plan", "--boards", "boards.csv", "--paddles", "paddles.toml", "--sheet", "s.html"];
    assert_eq!(shop.run(&plan).0, 0);
    shop.tally(&FILES);
    let page = shop.text("s.html");
    let offcuts: Vec<Board> = shop.boards("left.csv").into_iter().filter(|b| b.offcut).collect();
    assert!(!offcuts.is_empty());
    for offcut in &offcuts {
        assert!(page.contains(&format!("<b>{}</b>", offcut.name)), "{}", offcut.name);
        // Its number stands in the drawing and in the steps.
        let number = offcut.name.split(" off ").next().unwrap();
        assert!(page.matches(number).count() > 1, "{number}");
    }
}

/// Over years: boards and offcuts may bear names that were used before.
#[test]
fn an_offcut_is_told_apart_from_an_older_one_of_that_name() {
    let older = "keep 1 off H/2;fir;20;2;1/8;50;;;;;;;;\n";
    let boards = BOARDS.replace("price;quantity", "price;quantity;offcut");
    // The offcut column stands behind quantity.
    let boards: String = boards
        .lines()
        .map(|line| if line.starts_with("Board") { format!("{line}\n") } else { insert(line, "") })
        .collect::<String>()
        + &insert(older.trim_end(), "yes");
    let shop = Shop::planned(&boards, PADDLES).unwrap();
    shop.tally(&FILES);
    let names: Vec<String> = shop.boards("left.csv").into_iter().map(|b| b.name).collect();
    let different: BTreeSet<&String> = names.iter().collect();
    assert_eq!(different.len(), names.len(), "{names:?}");
    assert!(names.contains(&"keep 1 off H/2".to_owned()), "{names:?}");
    assert!(names.contains(&"keep 1 off H/2 (2)".to_owned()), "{names:?}");
}

/// A line with a value for the column behind `quantity`.
fn insert(line: &str, value: &str) -> String {
    let mut cells: Vec<&str> = line.split(';').collect();
    cells.insert(9, value);
    cells.join(";") + "\n"
}

/// Measures written down since are kept, not overwritten by what was foretold.
#[test]
fn strips_measured_since_stay_as_they_were_measured() {
    let shop = Shop::new();
    shop.tally(&[&FILES[..], &["--cut", "M"]].concat());
    let text = shop.text("strips.csv");
    let line = text.lines().nth(1).unwrap();
    let name = line.split(',').next().unwrap();
    let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
    (cells[6], cells[8], cells[9]) = ("1/32".into(), "B".into(), "140 g".into());
    shop.write("measured.csv", &text.replace(line, &cells.join(",")));
    shop.tally(&["--rack", "measured.csv", "--strips", "now.csv", "--left", "l.csv"]);
    let job = job_text("p.toml", PADDLES).unwrap();
    let rack = strips_text("now.csv", &shop.text("now.csv"), &job).unwrap();
    let strip = rack.strips.iter().find(|s| s.name == name).unwrap();
    assert_eq!(strip.sidewise, Length::inch_fraction(1, 32));
    assert_eq!(strip.weight.unwrap().to_string(), "140 g");
    // No strip twice.
    let names: BTreeSet<&String> = rack.strips.iter().map(|s| &s.name).collect();
    assert_eq!(names.len(), rack.strips.len());
}

/// A strip that is bent beyond all help is missing, though it is there; and a blank bears the
/// number that stands on its sheet though one of the two only can be made.
#[test]
fn a_strip_that_fits_no_longer_is_missing() {
    let shop = Shop::new();
    shop.tally(&FILES);
    let text = shop.text("strips.csv");
    let bent = |line: &str| {
        let mut cells: Vec<&str> = line.split(',').collect();
        cells[7] = "3";
        cells.join(",") + "\n"
    };
    let spine = |line: &&str| line.contains(",small,spine");
    let mut spines = text.lines().filter(spine);
    let line = spines.next().unwrap();
    shop.write("measured.csv", &text.replace(&format!("{line}\n"), &bent(line)));
    let out = shop.tally(&["--rack", "measured.csv", "--left", "l.csv", "--strips", "now.csv"]);
    assert!(
        out.contains("Missing of small, spine: 1 strip to be cut anew; 1 strip no longer fits"),
        "{out}"
    );
    assert!(!out.contains("Every strip of the plan is there"), "{out}");
    let out = shop.tally(&["--rack", "measured.csv", "--glued", "small 1"]);
    assert!(out.contains("Glued: 1 of 4 small"), "{out}");
    assert!(out.contains("give --left left.csv and --strips strips.csv here first"), "{out}");
}

/// A rack given as --strips by mistake would be lost.
#[test]
fn a_list_of_other_strips_is_not_overwritten() {
    let shop = Shop::new();
    let rack = "strip,species,length,thickness,depth\nold 7,fir,30,3/8,1 1/8\n";
    shop.write("rack.csv", rack);
    let (code, out, err) = shop.try_tally(&["--strips", "rack.csv", "--left", "left.csv"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        err.contains("rack.csv: \"old 7\" is a strip in that file, which would be lost"),
        "{err}"
    );
    assert!(err.contains("--rack"), "{err}");
    assert_eq!(shop.text("rack.csv"), rack);
    assert!(!shop.0.path().join("left.csv").exists());
    let (code, _, err) = shop.try_tally(&["--rack", "rack.csv", "--strips", "rack.csv"]);
    assert_eq!(code, 2);
    assert!(err.contains("which this run reads"), "{err}");
    // A tally's own file is replaced.
    shop.tally(&FILES);
    shop.tally(&FILES);
}

/// A list with one strip that the job can't take, or a slip of the pen, is a list of strips still.
#[test]
fn a_list_of_strips_that_cannot_be_read_is_not_overwritten() {
    let shop = Shop::new();
    let rack = "strip,species,length,thickness,depth\nold 7,fir,thirty,3/8,1 1/8\n";
    shop.write("rack.csv", rack);
    let (code, out, err) = shop.try_tally(&["--strips", "rack.csv", "--left", "left.csv"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("rack.csv: holds strips, not all of which can be read"), "{err}");
    assert_eq!(shop.text("rack.csv"), rack);
    assert!(!shop.0.path().join("left.csv").exists());
}

/// Tallied again without --rack, what was measured in the tally's own file would be lost.
#[test]
fn measures_in_the_tallys_own_file_are_not_overwritten() {
    let shop = Shop::new();
    shop.tally(&[&FILES[..], &["--cut", "M"]].concat());
    let text = shop.text("strips.csv");
    let line = text.lines().nth(1).unwrap();
    let name = line.split(',').next().unwrap();
    let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
    cells[6] = "1/32".into();
    let measured = text.replace(line, &cells.join(","));
    shop.write("strips.csv", &measured);
    let (code, out, err) = shop.try_tally(&FILES);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        err.contains(&format!("strips.csv: \"{name}\" has other figures in that file")),
        "{err}"
    );
    assert_eq!(shop.text("strips.csv"), measured);
    shop.tally(&["--rack", "strips.csv", "--strips", "now.csv", "--left", "left.csv"]);
    assert!(shop.text("now.csv").contains("1/32"));
    // With the measures given as --rack they are kept, and the old file may go.
    shop.tally(&["--rack", "now.csv", "--strips", "strips.csv", "--left", "left.csv"]);
}

#[test]
fn wrong_names_are_all_told_in_one_run() {
    let shop = Shop::new();
    let (code, out, err) =
        shop.try_tally(&[&FILES[..], &["--cut", "M,H,Q,Z", "--spoiled", "H/1.1,M.x"]].concat());
    assert_eq!((code, out.as_str()), (2, ""));
    let lines: Vec<&str> = err.lines().collect();
    let told = |text: &str| assert!(lines.iter().any(|l| l.starts_with(text)), "{text}\n{err}");
    told("--cut: \"H\" is 2 boards of the plan; name those that are cut: H/1, H/2.");
    told("--cut: \"Q\" is not a board of this plan; ");
    told("--cut: \"Z\" is a board that this plan does not cut; the plan cuts ");
    told("--spoiled: \"H/1.1\" comes from H/1, which is not cut; add H/1 to --cut, or leave ");
    told("--spoiled: \"M.x\" is not a strip of this plan; ");
    told("5 problems.");
    assert!(!shop.0.path().join("left.csv").exists());
}

#[test]
fn a_plan_of_other_boards_is_refused() {
    let shop = Shop::new();
    // Cut and tallied, and then tallied once more with the boards that are left.
    shop.tally(&FILES);
    let left = shop.text("left.csv");
    shop.write("boards.csv", &left);
    let (code, out, err) = shop.try_tally(&["--left", "next.csv"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("plan.json"), "{err}");
    // Of the same names and other sizes.
    shop.write("boards.csv", &BOARDS.replace("41;3 1/2", "30;3 1/2"));
    let (code, out, err) = shop.try_tally(&["--left", "next.csv", "--cut", "Q"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("--cut: \"Q\" is not a board"), "{err}");
    assert!(
        err.contains(
            "plan.json: is not a plan of these boards and paddles; give the files that it"
        ),
        "{err}"
    );
    assert!(!shop.0.path().join("next.csv").exists());
}

/// A spreadsheet must not take a name for a formula, and the name reads back as it was.
#[test]
fn names_that_begin_as_formulas_read_back_as_they_were() {
    let boards = BOARDS.replace("\nM;", "\n=M, 1;").replace("\nZ;", "\n@Z;");
    let shop = Shop::planned(&boards, PADDLES).unwrap();
    let out = shop.tally(&[&FILES[..], &["--cut", "=M, 1"]].concat());
    assert!(out.contains("(=M, 1)"), "{out}");
    for name in ["left.csv", "strips.csv"] {
        let text = shop.text(name);
        for line in text.lines() {
            let first = line.trim_start_matches('"');
            assert!(!first.starts_with(['=', '+', '-', '@']), "{line}");
        }
    }
    assert!(strip_names(&shop, "strips.csv").iter().all(|n| n.starts_with("=M, 1.")));
    let names: Vec<String> = shop.boards("left.csv").into_iter().map(|b| b.name).collect();
    assert!(names.contains(&"@Z".to_owned()), "{names:?}");
    let (code, out, err) = shop.plan("left.csv", Some("strips.csv"), "again.json");
    assert_eq!(code, 0, "{out}{err}");
}

/// What is resawn off below a rip's leaves is kept where it is thick enough, and the sheet says so.
#[test]
fn what_is_resawn_off_below_the_leaves_is_kept() {
    let paddles = r#"
[shop]
resaw_kerf = "1/16"
min_rip = 6
[[paddle]]
name = "one"
length = 30
loom = 8
trim = 0
thickness = 1
rings = 30
[[paddle.lamination]]
name = "side"
thickness = "1/4"
runs = "through"
"#;
    let job = job_text("p.toml", paddles).unwrap();
    let inch = |text: &str| Length::parse(text, Units::Inch).unwrap();
    let csv =
        "board,species,length,width,thickness,pith_across,pith_depth\nT,fir,36,3,1 1/2,1 1/2,-1\n";
    let boards = boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap();
    let (from, to) = (inch("1"), inch("31"));
    let leaf = |id: &str| Leaf {
        thickness: inch("9/32"),
        strips: vec![Strip {
            id: id.into(),
            paddle: 0,
            lamination: 0,
            from,
            to,
            flipped_with: None,
        }],
    };
    // A rip of three leaves, and beside it one of a single leaf.
    let rip = |near: &str, leaves| {
        let near = inch(near);
        Rip { near, far: near + inch("1 1/16"), turned: true, leaves }
    };
    let rips = vec![
        rip("1/8", vec![leaf("T.1"), leaf("T.2"), leaf("T.3")]),
        rip("1 3/4", vec![leaf("T.4")]),
    ];
    let section = Section { from, to, edge: Edge::Kept, face: Face::Kept, rips };
    let plan = Plan {
        paddles: vec![0],
        ..plan_of(&boards, vec![CutBoard { board: 0, copy: 1, sections: vec![section] }])
    };
    let plan = passed(&plan, &job, &boards);
    let left = offcuts(&plan, &job, &boards, |_| true);
    // All lie turned and the board is much too thick, so each rip is resawn as it is. Of the one
    // leaf with 1/32 in over and a kerf 1 1/8 in are left, 3/8 in below the marked face.
    let of_one = left.iter().find(|o| o.near == inch("1 3/4") && o.top > Length::ZERO);
    let Some(below) = of_one else { panic!("{left:#?}") };
    assert_eq!(below.top, inch("3/8"));
    let sizes = [below.board.length, below.board.width, below.board.thickness];
    assert_eq!(sizes, [inch("30"), inch("1 1/16"), inch("1 1/8")]);
    let name = &below.board.name;
    // Three leaves and three kerfs leave less of the other.
    let of_three = left.iter().find(|o| o.near == inch("1/8") && o.top > Length::ZERO);
    let of_three = of_three.map(|o| (o.top, o.board.thickness));
    assert_eq!(of_three, Some((inch("1 1/32"), inch("15/32"))));
    // The pith lies as far from it as it did.
    let grain = Grain::Pith { across: inch("-1/4"), depth: inch("-1 3/8") };
    assert_eq!(below.board.grain, Some(grain));
    let page = stripwright::sheet_page(&plan, &job, &boards, &[]).replace('\u{A0}', " ");
    let told = |text: &str| {
        let at = page.find("Offcuts worth keeping").unwrap_or(0);
        assert!(page.contains(text), "{text}: {:.4000}", &page[at..]);
    };
    told(&format!("<b>{name}</b>: 30 × 1 1/16 × 1 1/8 in, below the leaves of A2"));
    let short = name.trim_end_matches(" off T");
    told(&format!("off the marked-face side of A2. What is left is {short}: write that on it."));
}
