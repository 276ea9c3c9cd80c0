//! The cuts in shop order in the terminal, the same as on the page; what is said where a job's
//! files are older than half of their keys; sections wider than the planer.

use crate::fixtures::{self, inch, passed};
use crate::jobs::{ended, shop};
use crate::sheet_sawyer::follow;
use crate::sheet_words::groups;

use stripwright::choose;
use stripwright::length::Units;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::Plan;
use stripwright::read::{List, boards_text, job_text};
use stripwright::report::{self, text::steps, text::tables};

fn loft() -> (Job, Vec<Board>, Plan) {
    let job = job_text("p.toml", include_str!("../../examples/loft/paddles.toml")).unwrap();
    let text = include_str!("../../examples/loft/boards.csv");
    let boards = boards_text("b.csv", text, job.units, List::OnHand).unwrap();
    let plan = choose::plan(&job, &boards, &Default::default()).unwrap();
    (job, boards, plan)
}

/// Words with one space between them, none behind a hyphen, and no boxes and signs.
fn flat(text: &str) -> String {
    let text = text.replace("[ ]", " ").replace("(!)", " ").replace('\u{25B3}', " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ").replace("- ", "-")
}

/// Every heading and every step of the page stands in the terminal, in the same order, at every
/// width; and no line is wider.
#[test]
fn the_steps_in_the_terminal_are_those_of_the_page() {
    for (job, boards, plan) in [loft(), fixtures::mixed(), fixtures::metric()] {
        let plan = passed(&plan, &job, &boards);
        let page = report::html(&plan, &job, &boards, &[]);
        for width in [44, 80, 120] {
            let text = steps::text(&plan, &job, &boards, width);
            for line in text.lines() {
                assert!(textwrap::core::display_width(line) <= width, "{width}: {line}");
            }
            let text = flat(&text);
            let mut rest = text.as_str();
            let mut find = |words: &str| {
                let words = flat(words);
                let at = rest.find(&words).unwrap_or_else(|| panic!("no {words:?} in {rest}"));
                rest = &rest[at + words.len()..];
            };
            for number in 1..=plan.boards.len() {
                for group in groups(&page, number) {
                    find(&group.heading);
                    for line in &group.lines {
                        find(&line.text);
                        if line.left.is_some() {
                            find("Left: ");
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn plan_prints_the_steps_where_they_are_asked_for() {
    let run = |more: &[&str]| {
        let mut command = assert_cmd::Command::cargo_bin("stripwright").unwrap();
        command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["plan", "--boards"]);
        command.args(["examples/loft/boards.csv", "--paddles", "examples/loft/paddles.toml"]);
        String::from_utf8(command.args(more).output().unwrap().stdout).unwrap()
    };
    let told = run(&["--steps"]);
    assert!(told.contains("Bandsaw along the curve, kerf 1/16\""), "{told}");
    assert!(!told.contains("add --steps"));
    let plain = run(&[]);
    assert!(plain.contains("add --steps") && !plain.contains("single-point fence"), "{plain}");
}

/// A file that is older than the second edition's keys: what was taken for them is said once, on
/// page and in the terminal; it is not where any of them is named, or a board has its own.
#[test]
fn a_job_that_names_none_of_the_new_keys_is_told_what_was_taken() {
    let paddles = include_str!("../../examples/loft/paddles.toml");
    let kept = |line: &&str| !line.starts_with("curve_kerf") && !line.starts_with("far_edge");
    let old: Vec<&str> = paddles.lines().filter(kept).collect();
    let boards_csv = include_str!("../../examples/loft/boards.csv");
    let said = |shop: &str, own: bool| {
        let text = old.join("\n").replace("[shop]", &format!("[shop]\n{shop}"));
        let job = job_text("p.toml", &text).unwrap();
        let mut boards = boards_text("b.csv", boards_csv, Units::Inch, List::OnHand).unwrap();
        if own {
            boards[2].far_edge = Some(inch("0"));
        }
        let plan = choose::plan(&job, &boards, &Default::default()).unwrap();
        let plan = passed(&plan, &job, &boards);
        let page = report::html(&plan, &job, &boards, &[]).replace('\u{A0}', " ");
        let page = page.replace("&quot;", "\"");
        let text = flat(&tables::plan(&plan, &job, &boards, 90));
        let line = "Taken for them: 1/8\" is kept off the far edge; no saw follows a curve, so \
                    every crooked board is straightened first; 1/64\" is dressed off each glue face";
        assert_eq!(page.matches(line).count(), text.matches(line).count(), "{shop}");
        text.matches(line).count()
    };
    assert_eq!(said("", false), 1);
    assert_eq!(said("", true), 0);
    for named in [
        "far_edge = \"1/8\"",
        "curve_kerf = \"1/16\"",
        "curve_dress = \"1/64\"",
        "resaw_dress = \"1/64\"",
        "margin = { knot = { along = \"0\", across = \"0\" } }",
    ] {
        assert_eq!(said(named, false), 0, "{named}");
    }
}

/// A board wider than the planer is ripped first; what its upright strips then have too much stays
/// for the blank. The sawyer ends with the plan's strips all the same.
#[test]
fn a_section_wider_than_the_planer_is_ripped_first() {
    let (mut job, boards, plan) = loft();
    job.shop.planer.widest = inch("5");
    assert_eq!(choose::plan(&job, &boards, &Default::default()).unwrap(), plan);
    let page = report::html(&passed(&plan, &job, &boards), &job, &boards, &[]);
    for (i, cut) in plan.boards.iter().enumerate() {
        let groups = groups(&page, i + 1);
        let board = &boards[cut.board];
        let has = |words: &str| groups.iter().any(|g| g.heading.contains(words));
        // The cedar alone is 5 1/2 in wide.
        let wide = board.width > inch("5");
        assert_eq!(has("left for the blank"), wide, "{}", board.name);
        assert_eq!(has("the whole section to"), !wide, "{}", board.name);
        let look: Vec<&str> = groups[0].lines.iter().map(|l| l.text.as_str()).collect();
        let told = "Wide, 5 1/2\": the planer takes 5\" at most, so the board is ripped before";
        assert_eq!(look.iter().any(|l| l.starts_with(told)), wide, "{look:?}");
        follow(&groups, cut, &job, board).map(|_| ()).unwrap();
    }
    // One that is flattened must come out parallel: by hand.
    let mut job = fixtures::mixed();
    job.0.shop.planer.widest = inch("2");
    let page = report::html(&passed(&job.2, &job.0, &job.1), &job.0, &job.1, &[]);
    let flattened = groups(&page, 4);
    let plane = flattened.iter().find(|g| g.heading.contains("the whole section to")).unwrap();
    assert!(
        plane.lines[0].text.contains("Wider than the planer takes (2\"): by hand"),
        "{plane:?}"
    );
}

/// One turned strip from a thick flat board: planing all of it to 9/32 in would make shavings of
/// what is worth keeping. It is ripped first, the rip resawn, and the offcut keeps its thickness;
/// beside upright strips an offcut is planed with its section.
#[test]
fn a_thick_board_of_turned_strips_is_not_planed_away() {
    let text = "[shop]\nfar_edge = 0\nresaw_kerf = \"1/16\"\n[[paddle]]\nname = \"p\"\nlength = 60\n\
                loom = 20\ntrim = 0\nrings = 45\nthickness = \"1 3/8\"\n[[paddle.lamination]]\n\
                name = \"spine\"\nthickness = \"1/4\"\nruns = \"through\"\ncentre = true\n";
    let job = job_text("p.toml", text).unwrap();
    for (rings, thick, planed, offcut) in
        [("0", "1 1/16", None, "1 1/16"), ("90", "1 1/2", Some("1 7/16"), "1 7/16")]
    {
        let csv =
            format!("board,species,length,width,thickness,rings\na,ash,64,4,{thick},{rings}\n");
        let boards = boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap();
        let plan = choose::plan(&job, &boards, &Default::default()).unwrap();
        let page = report::html(&passed(&plan, &job, &boards), &job, &boards, &[]);
        let groups = groups(&page, 1);
        let whole = groups.iter().find(|g| g.heading.contains("the whole section to"));
        assert_eq!(whole.is_some(), planed.is_some(), "{groups:#?}");
        let resawn = groups.iter().any(|g| g.heading.contains("Bandsaw for resawing"));
        assert_eq!(resawn, planed.is_none());
        let page = page.replace('\u{A0}', " ");
        assert!(page.contains(&format!("× {offcut} in, beside the rips of A")), "{page}");
        follow(&groups, &plan.boards[0], &job, &boards[0]).map(|_| ()).unwrap();
    }
}

/// A slope that straightening adds is told with the plan and before the first cut, while another board
/// can still be had. A parabola with a gap c over L has a slope of 4c/L at its ends against the chord;
/// across the grain and along it combine as √(s₁² + s₂²) (ANC-19 §2.3022).
#[test]
fn strips_that_straightening_makes_too_steep_are_told_before_the_first_cut() {
    let head = "board,species,length,width,thickness,rings,crook,runout\n";
    let paddles = shop("pair = 0\nstraight = \"1/64\"")
        .paddle("p", ["68", "20", "1 3/8"], "runout = \"1:15\"\nquantity = 1")
        .through("side", "1/2")
        .text();
    // The strips take 69 of 74 in: 4 · 1 in · 69/74² = 1:19.8 from end to end, beside 1:18 that is
    // 1:13.3; half as much crook leaves 1:16.4.
    for (crook, told) in [("1", true), ("1/2", false)] {
        let folder = tempfile::tempdir().unwrap();
        let boards = format!("{head}A,fir,74,5.5,1.5,90,{crook},1:18\n");
        std::fs::write(folder.path().join("boards.csv"), boards).unwrap();
        std::fs::write(folder.path().join("paddles.toml"), &paddles).unwrap();
        let words = ["plan", "--steps", "--width", "2000"];
        let (code, out, err) = ended(folder.path(), &words);
        assert_eq!(code, 0, "{err}");
        let said = "Sawn straight out of its bend, the grain is steeper than 1:15 in A.1 and A.2.";
        // In the summary, and in the first group of steps.
        assert_eq!(out.matches(said).count(), if told { 2 } else { 0 }, "{out}");
        if told {
            assert!(out.contains(&format!("Board A. {said}")), "{out}");
            let before = out.find("Before the first cut").unwrap();
            let first = out.find("Crosscut saw").unwrap();
            assert!(out[before..first].contains(said), "{out}");
        }
    }
}
