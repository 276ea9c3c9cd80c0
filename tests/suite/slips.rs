//! Slips of the pen that are told of where they are made, once each, by the real binary.

use crate::jobs::{bay, ended as run, flat, shop};
use std::fmt::Write as _;
use stripwright::{Length, LengthError, Units};

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

const HEAD: &str = "board,species,length,width,thickness,rings\n";
const FIR: &str = "A,fir,96,5.5,1.5,90\n";

/// Warnings of `check`, each in one line.
fn warnings(out: &str) -> Vec<String> {
    let list = out.split(" warning").nth(1).unwrap_or_default();
    list.split("\n  - ").skip(1).map(flat).collect()
}

/// A line for the wood, first of all, with the boards counted and the wood that was meant.
#[test]
fn a_misspelt_wood_is_told_once_with_the_wood_that_was_meant() {
    let mut boards = HEAD.to_owned();
    for n in 0..29 {
        let _ = writeln!(boards, "B{n},Sitka spurce,96,5.5,1.5,90");
    }
    let wood =
        bay(1).text().replace("thickness = \"1/", "species = [\"Sitka spruce\"]\nthickness = \"1/");
    let wood = wood
        .replace("species = [\"Sitka spruce\"]\nthickness = \"1 3/8\"", "thickness = \"1 3/8\"");
    let job = folder(&[("boards.csv", &boards), ("paddles.toml", &wood)]);
    let (code, out, _) = run(job.path(), &["check", "--width", "2000"]);
    assert_eq!(code, 0);
    let said = "29 boards (B0, B1, B2, B3, B4, B5, B6, B7 and 21 others) are of Sitka spurce, which no lamination may be of: did you mean Sitka spruce, which spine, side and blade may be of?";
    let found = warnings(&out);
    assert_eq!(found[0], said, "{out}");
    assert!(found.len() <= 4 && out.matches("spurce, which").count() == 1, "{found:#?}");
    assert!(!out.contains("mean Sitka spurce") && !out.contains("mean sitka spurce"), "{out}");
    // Before a search too.
    let (code, _, err) = run(job.path(), &["plan"]);
    assert_eq!(code, 1);
    assert!(flat(&err).contains(said), "{err}");
}

/// Where paddles.toml has the slip the hint is the other way about.
#[test]
fn a_wood_misspelt_in_the_paddles_is_told_of_them() {
    let paddles = bay(1).with("species = [\"wite ash\"]").text();
    let job = folder(&[
        ("boards.csv", &format!("{HEAD}A,white ash,96,5.5,1.5,90\n")),
        ("paddles.toml", &paddles),
    ]);
    let (code, out, _) = run(job.path(), &["check", "--width", "2000"]);
    assert_eq!(code, 0);
    // The other laminations take any wood: the board is not useless.
    let said = "board A is of white ash, which no lamination that names its wood may be of: did you mean white ash where paddles.toml has wite ash for blade?";
    assert_eq!(warnings(&out)[0], said, "{out}");
    // And so where a board has the slip.
    std::fs::write(job.path().join("boards.csv"), format!("{HEAD}A,wihte ash,96,5.5,1.5,90\n"))
        .unwrap();
    std::fs::write(job.path().join("paddles.toml"), paddles.replace("wite", "white")).unwrap();
    let (_, out, _) = run(job.path(), &["check", "--width", "2000"]);
    let said = "board A is of wihte ash, which no lamination that names its wood may be of: did you mean white ash, which blade may be of?";
    assert_eq!(warnings(&out)[0], said, "{out}");
    // A wood that is like none is a wood that will do.
    std::fs::write(job.path().join("boards.csv"), format!("{HEAD}A,alder,96,5.5,1.5,90\n"))
        .unwrap();
    let (_, out, _) = run(job.path(), &["check", "--width", "2000"]);
    assert!(!out.contains("alder, which") && out.contains("no board is of white ash"), "{out}");
    std::fs::write(job.path().join("boards.csv"), format!("{HEAD}A,white ash,96,5.5,1.5,90\n"))
        .unwrap();
    let only = shop("")
        .paddle("p", ["84", "20", "1 3/8"], "")
        .through("side", "1/2")
        .with("species = [\"wite ash\"]");
    std::fs::write(job.path().join("paddles.toml"), only.text()).unwrap();
    let (_, out, _) = run(job.path(), &["check", "--width", "2000"]);
    let said = "board A is of white ash, which no lamination may be of: did you mean white ash where paddles.toml has wite ash for side?";
    assert_eq!(warnings(&out)[0], said, "{out}");
}

/// What is kept clear around knots is not around a "knott", and that is told before all else.
#[test]
fn misspelt_kinds_of_zone_are_told_with_what_does_not_hold_for_them() {
    let head = "board,species,length,width,thickness,rings,zone,from,to,near,far\n";
    let marks = "A,,,,,,knott,30,31,1/2,3/4\nA,,,,,,Sapp,0,96,5,5.5\nA,,,,,,bark,40,41,1,2\nB,,,,,,knott,30,31,1,2\n";
    let sizes = "A,fir,96,5.5,1.5,90,,,,,\nB,fir,96,5.5,1.5,90,,,,,\n";
    let boards = format!("{head}{sizes}");
    let margins = "[shop.margin]\nknot = { along = \"1/2\", across = \"1/4\" }\nchekc = { along = 1, across = 0 }\n";
    let paddles = bay(1).with("allow = [\"sap\", \"starin\"]").text();
    let (first, rest) = paddles.split_once("[[paddle]]").unwrap();
    let paddles = format!("{first}{margins}[[paddle]]{rest}");
    let job = folder(&[("boards.csv", &format!("{boards}{marks}")), ("paddles.toml", &paddles)]);
    let said = [
        "boards A and B: a zone is of kind knott, of which nothing is said; did you mean knot? Its margin, 1/2\" along and 1/4\" across, is not kept clear",
        "board A: a zone is of kind sapp, of which nothing is said; did you mean sap? Strips are cut around it that may contain it",
        "[shop.margin] names zones of kind chekc, and no board has any; did you mean check?",
        "bay blade names zones of kind starin, and no board has any; did you mean stain?",
    ];
    for command in ["check", "plan"] {
        let (_, out, err) = run(job.path(), &[command, "--width", "2000"]);
        let out = flat(&format!("{out}{err}"));
        for said in said {
            assert!(out.contains(said), "{command}: {said}\n{out}");
        }
        // A word of one's own is a word, and so is a kind that no board has.
        assert!(!out.contains("kind bark") && !out.contains("kind sap,"), "{out}");
    }
}

/// What is said of several boards alike is said once.
#[test]
fn boards_of_one_fault_share_a_line() {
    let mut boards = format!("{HEAD}{FIR}");
    for n in 0..12 {
        let _ = writeln!(boards, "S{n},fir,20,5.5,1.5,90");
    }
    let paddles = bay(1).text().replace("quantity = 1", "quantity = 1\nrunout = \"1:15\"");
    let job = folder(&[("boards.csv", &boards), ("paddles.toml", &paddles)]);
    let (_, out, _) = run(job.path(), &["check", "--width", "2000"]);
    let found = warnings(&out);
    let none: Vec<&String> = found.iter().filter(|w| w.contains("no strip")).collect();
    assert_eq!(none.len(), 1, "{found:#?}");
    assert!(
        none[0]
            .starts_with("boards S0, S1, S2, S3, S4, S5, S6, S7 and 4 others give no strip. For "),
        "{none:?}"
    );
}

/// A yard's list in the folder is looked at by `check`, before anyone stands at the yard.
#[test]
fn check_tells_of_a_price_by_the_foot_that_looks_like_that_of_a_board() {
    let yard = "board,species,length,width,thickness,rings,price_per_foot,foot\ny,fir,96,5.5,1.5,90,84.50,board\n";
    let job = folder(&[
        ("boards.csv", &format!("{HEAD}{FIR}")),
        ("paddles.toml", &bay(1).text()),
        ("yard.csv", yard),
    ]);
    let said = "column price_per_foot: \"84.50\" looks like the price of a board";
    let (code, out, err) = run(job.path(), &["check"]);
    assert_eq!(code, 0);
    assert!(err.contains("Reading boards.csv, paddles.toml and yard.csv here."), "{err}");
    assert!(flat(&out).contains(said), "{out}");
    let named = ["check", "--boards", "boards.csv", "--paddles", "paddles.toml"];
    let (_, out, _) = run(job.path(), &named);
    assert!(!flat(&out).contains(said), "what was not named was read: {out}");
    let with = [&named[..], &["--yard", "yard.csv"]].concat();
    let (_, out, _) = run(job.path(), &with);
    assert!(flat(&out).contains(said), "{out}");
    // One that only lies there and is wrong keeps no one from looking at the boards; one that is
    // named does.
    std::fs::write(job.path().join("yard.csv"), yard.replace("board\n", "square\n")).unwrap();
    let (code, out, err) = run(job.path(), &["check"]);
    assert_eq!(code, 0, "{err}");
    let said = "buy and odds can't read the yard's list; check --yard lists all. yard.csv, line 2, column foot: \"square\"";
    assert!(flat(&out).contains(said), "{out}");
    let (code, _, err) = run(job.path(), &with);
    assert_eq!(code, 2);
    assert!(err.contains("yard.csv, line 2, column foot: \"square\""), "{err}");
}

/// What is doubtful of a sample is told by every command that reads one.
#[test]
fn doubts_of_a_sample_are_told() {
    let marked = "board;species;length;width;thickness;rings;grade\nm;fir;96;5,5;1,5;90;no 2\n";
    let yard =
        "board,species,length,width,thickness,rings,price,grade\ny,fir,96,5.5,1.5,90,10,clear\n";
    let job = folder(&[
        ("boards.csv", &format!("{HEAD}{FIR}")),
        ("paddles.toml", &bay(1).text()),
        ("yard.csv", yard),
        ("marked.csv", marked),
    ]);
    for command in ["survey", "buy", "odds"] {
        let (code, _, err) = run(job.path(), &[command, "--like", "marked.csv"]);
        assert_eq!(code, 0, "{command}: {err}");
        assert!(err.contains("marked.csv, line 2"), "{command}: {err}");
    }
}

#[test]
fn a_price_and_a_price_by_the_foot_on_one_line_are_refused() {
    let head = "board,species,length,width,thickness,price,price_per_foot,foot\n";
    for (line, said) in [
        (
            "y,fir,96,5.5,1.5,10,3.10,board\n",
            "yard.csv, line 2, column price_per_foot: \"3.10\" stands beside a price; keep one of the two",
        ),
        (
            "y,fir,96,5.5,1.5,3.10,,board\n",
            "yard.csv, line 2, column foot: \"board\" says which foot a price is for, and there is no price_per_foot; write the price under price_per_foot",
        ),
    ] {
        let yard = format!("{head}{line}");
        let job = folder(&[("paddles.toml", &bay(1).text()), ("yard.csv", &yard)]);
        let (code, _, err) = run(job.path(), &["buy"]);
        assert_eq!(code, 2, "{err}");
        assert!(flat(&err).contains(said), "{said}: {err}");
    }
}

/// A knot that was only ticked off is a zone where the shop keeps a margin, in a yard's list as in
/// that of the boards in hand (MODEL 2, 3).
#[test]
fn a_mark_without_width_is_one_in_a_yards_list_too() {
    let paddles = format!(
        "{}[shop.margin]\nknot = {{ along = \"1/2\", across = \"1/4\" }}\n",
        shop("resaw_kerf = \"1/16\"").text()
    );
    let paddles = bay(1).text().replace("[shop]\nresaw_kerf = \"1/16\"\n", &paddles);
    let yard = "board,species,length,width,thickness,rings,price,zone,from,to,near,far\n\
        y,fir,96,5.5,1.5,90,10,knot,40,40,2,2\n";
    let job = folder(&[("paddles.toml", &paddles), ("yard.csv", yard)]);
    let (code, _, err) = run(job.path(), &["buy"]);
    assert_eq!(code, 0, "{err}");
}

/// Inches for feet: asked about. Inches past a foot behind feet: refused (MODEL 1 has 7' 2 1/2").
#[test]
fn feet_and_inches_that_can_hardly_be_meant() {
    let job = folder(&[
        ("boards.csv", &format!("{HEAD}{FIR}B,fir,\"10\"\"\",5.5,1.5,90\n")),
        ("paddles.toml", &bay(1).text()),
    ]);
    for (command, out) in [("check", true), ("plan", false)] {
        let (code, told, err) = run(job.path(), &[command]);
        assert_eq!(code, 0, "{err}");
        let told = flat(if out { &told } else { &err });
        assert!(told.contains("board B is 10\" long, less than any strip wanted"), "{told}");
        assert!(told.contains("were they measured in feet?"), "{told}");
    }
    let foot = |text: &str| Length::parse(text, Units::Inch);
    assert_eq!(foot("8' 14\""), Err(LengthError::InchesPastFoot));
    assert_eq!(foot("8' 12"), Err(LengthError::InchesPastFoot));
    assert_eq!(
        foot("7' 11 63/64\"").map(Length::units),
        Ok(Length::INCH.units() / 64 * (96 * 64 - 1))
    );
    let boards = format!("{HEAD}{FIR}B,fir,\"8' 14\"\"\",5.5,1.5,90\n");
    std::fs::write(job.path().join("boards.csv"), boards).unwrap();
    let (code, _, err) = run(job.path(), &["check"]);
    assert_eq!(code, 2);
    assert!(
        flat(&err)
            .contains("\"8' 14\\\"\" has 12 inches or more behind the feet; write fewer than 12")
            || flat(&err)
                .contains("\"8' 14\"\" has 12 inches or more behind the feet; write fewer than 12"),
        "{err}"
    );
}

#[test]
fn settings_that_leave_nothing_or_contradict_one_another() {
    let boards = format!("{HEAD}{FIR}B,fir,96,3.5,1.5,90\n");
    for (set, said) in [
        (
            "pair = \"1/32\"",
            "pair is 1/32\", less than straight, 1/16\": strips that bend so little go in by themselves, so no flipped pair is ever made; are the two exchanged?",
        ),
        (
            "far_edge = \"3 1/2\"",
            "board B is 3 1/2\" wide, and edge takes 1/8\" of that and far_edge 3 1/2\": nothing is left to rip; check the figures and their unit.",
        ),
        (
            "far_edge = 140",
            "and far_edge 140\": nothing is left to rip; check the figures and their unit. Likewise B.",
        ),
        (
            "board_end = 48",
            "board A is 96\" long, and board_end takes 48\" off at each end: nothing is left; check the figures and their unit. Likewise B.",
        ),
    ] {
        let paddles = bay(1).text().replace("[shop]\n", &format!("[shop]\n{set}\n"));
        let job = folder(&[("boards.csv", &boards), ("paddles.toml", &paddles)]);
        let (code, out, err) = run(job.path(), &["check", "--width", "2000"]);
        assert_eq!(code, 0, "{err}");
        assert!(flat(&out).contains(said), "{said}: {out}");
        let (_, _, err) = run(job.path(), &["plan"]);
        assert!(flat(&err).contains(said), "{said}: {err}");
    }
    // As they are by default nothing is doubtful.
    let job = folder(&[("boards.csv", &boards), ("paddles.toml", &bay(1).text())]);
    let (_, out, _) = run(job.path(), &["check", "--width", "2000"]);
    assert!(!out.contains("pair is") && !out.contains("nothing is left"), "{out}");
}

/// A heading is read by whole words before letters are compared.
#[test]
fn headings_of_several_words_are_taken_by_their_words() {
    for (heading, meant) in [
        ("Board Name", "board"),
        ("Board ID", "board"),
        ("Wood Species", "species"),
        ("Board Length", "length"),
        ("Actual Width", "width"),
        ("Price per Board", "price"),
        ("Zone Kind", "zone"),
        ("bord_end", "board_end"),
        ("Far Edges", "far_edge"),
        ("Pith acros", "pith_across"),
    ] {
        let boards =
            format!("board,species,length,width,thickness,{heading}\nA,fir,96,5.5,1.5,1\n");
        let job = folder(&[("boards.csv", &boards), ("paddles.toml", &bay(1).text())]);
        let (code, _, err) = run(job.path(), &["check"]);
        assert_eq!(code, 2, "{err}");
        let said = format!("\"{heading}\" is not a column; did you mean {meant}?");
        assert!(flat(&err).contains(&said), "{said}: {err}");
    }
    let strips = "Strip Name,species,length,thickness,depth\ns,fir,86,9/16,1.5\n";
    let job = folder(&[("strips.csv", strips), ("paddles.toml", &bay(1).text())]);
    let (code, _, err) = run(job.path(), &["plan", "--strips", "strips.csv"]);
    assert_eq!(code, 2);
    assert!(err.contains("\"Strip Name\" is not a column; did you mean strip?"), "{err}");
    // A column of a yard's list in that of the boards in hand.
    let boards = "board,species,length,width,thickness,price_per_foot\nA,fir,96,5.5,1.5,3\n";
    let job = folder(&[("boards.csv", boards), ("paddles.toml", &bay(1).text())]);
    let (_, _, err) = run(job.path(), &["check"]);
    let said = "is not a column; only a yard's list has it (buy, odds); here give the price of the whole board under price";
    assert!(flat(&err).contains(said), "{err}");
}

/// All that a folder lacks is told at once.
#[test]
fn a_folder_without_files_names_all_of_them() {
    let empty = tempfile::tempdir().unwrap();
    for (words, said) in [
        (
            &["plan"][..],
            "boards.csv and paddles.toml: are not in the folder where you stand; name the files with --boards and --paddles, or the folder that holds them; `stripwright start` makes a folder with a job to begin with.",
        ),
        (&["check"], "boards.csv and paddles.toml: are not"),
        (&["buy"], "paddles.toml and yard.csv: are not"),
        (&["odds"], "marked.csv, paddles.toml and yard.csv: are not"),
        (&["verify", "plan.json"], "boards.csv and paddles.toml: are not"),
        (&["tally", "plan.json"], "boards.csv and paddles.toml: are not"),
        (
            &["look-for"],
            "paddles.toml: is not in the folder where you stand; name the file with --paddles, or the folder that holds it.",
        ),
    ] {
        let (code, _, err) = run(empty.path(), words);
        assert_eq!(code, 2, "{words:?}");
        assert!(flat(&err).contains(said), "{words:?}: {err}");
    }
}

/// One figure says how much bend is more than boards have: what is doubted is what look-for never
/// asks for.
#[test]
fn one_figure_of_bend_for_doubts_and_for_the_rack() {
    // 1 in 48 of 8 ft is 2 in.
    let paddles = shop("pull = 40; pair = 40; straight = 40")
        .paddle("p", ["60", "20", "1 3/8"], "rings = 0")
        .through("side", "1/2");
    let doubted = |bow: &str| {
        let boards = format!(
            "board,species,length,width,thickness,bow\nA,fir,96,5.5,1.5,0\nB,fir,96,5.5,1.5,{bow}\n"
        );
        let job = folder(&[("boards.csv", &boards), ("paddles.toml", &paddles.text())]);
        let (code, out, _) = run(job.path(), &["check", "--sheet", "s.html", "--width", "2000"]);
        assert_eq!(code, 0);
        let page = std::fs::read_to_string(job.path().join("s.html")).unwrap();
        let on_page = page.contains("more than 1 in 48 of its length");
        (out.contains("has a bow of"), on_page)
    };
    assert_eq!(doubted("2"), (false, false));
    assert_eq!(doubted("2 1/64"), (true, true));
    let looks = stripwright::survey::look::look(&paddles.job());
    let eight = looks[0].bends.iter().find(|b| b.length == Length::FOOT * 8).unwrap();
    assert_eq!(eight.pull, Length::INCH * 2);
}

/// Names of copies: where a board bears the usual name of one already, help and plan say so.
#[test]
fn the_other_name_of_a_copy_is_told() {
    let empty = tempfile::tempdir().unwrap();
    let (_, help, _) = run(empty.path(), &["tally", "--help"]);
    assert!(
        flat(&help).contains(
            "B/2 is the second board of B; B#2 where another board is called B/2 already."
        ),
        "{help}"
    );
    assert!(!help.contains('\\') || !help.contains("\\\""), "{help}");
    let readme = include_str!("../../README.md");
    assert!(readme.contains("`B#2` where another board of the list is called `B/2` already"));
    let boards = "board,species,length,width,thickness,rings,quantity\nB,fir,96,2,1.5,90,2\nB/2,fir,20,5.5,1.5,90,1\n";
    let job = folder(&[("boards.csv", boards), ("paddles.toml", &bay(1).text())]);
    let (code, out, err) = run(job.path(), &["plan", "--json", "plan.json"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("B#2"), "{out}");
    let (code, _, err) =
        run(job.path(), &["tally", "plan.json", "--cut", "B#2", "--left", "left.csv"]);
    assert_eq!(code, 0, "{err}");
}

/// A wrong file or number of each kind says what to do.
#[test]
fn what_is_wrong_is_told_with_what_to_do() {
    let job = folder(&[("boards.csv", &format!("{HEAD}{FIR}")), ("paddles.toml", &bay(1).text())]);
    for (name, text, said) in [
        (
            "book.xlsx",
            "PK\u{3}\u{4}...",
            "book.xlsx: is a spreadsheet program's own file, not text; open it there and save it as CSV (UTF-8).",
        ),
        (
            "commas.csv",
            &format!("{HEAD}A,fir,96,5,5,1,5,90\n"),
            "column width: \"5,5\" seems to hold a decimal comma, which parts cells: the line has 8 cells, the header 6 columns; write 5.5, or part the cells of the list by semicolons.",
        ),
    ] {
        std::fs::write(job.path().join(name), text).unwrap();
        let (code, _, err) = run(job.path(), &["check", "--boards", name]);
        assert_eq!(code, 2, "{err}");
        assert!(err.contains(said), "{said}: {err}");
    }
    for (text, said) in [
        ("[[paddle]\nname = \"x\"\n", "write [[paddle]]."),
        ("[shop\nedge = 0\n", "write [shop]."),
        ("[[paddle.lamination]\n", "write [[paddle.lamination]]."),
    ] {
        std::fs::write(job.path().join("broken.toml"), text).unwrap();
        let (code, _, err) = run(job.path(), &["check", "--paddles", "broken.toml"]);
        assert_eq!(code, 2, "{err}");
        let line = text.lines().next().unwrap_or_default();
        let said = format!(
            "broken.toml, line 1: \"{line}\" names a table whose brackets do not close; {said}"
        );
        assert!(err.contains(&said), "{said}: {err}");
    }
    for (words, said) in [
        (["--sure", "0.9"], "give per cent, from 1 to 100: 90 if that part of one is meant"),
        (["--sure", "101"], "give per cent, from 1 to 100"),
        (["--draws", "3"], "give a whole number of 10 to 100000; 400 is usual"),
    ] {
        let (code, _, err) = run(job.path(), &[&["odds"][..], &words].concat());
        assert_eq!(code, 2, "{err}");
        assert!(err.contains(said), "{said}: {err}");
    }
}

/// 6/4 is what a yard calls a board that is 1 1/2 in rough and 1 5/16 surfaced on two sides (trade
/// charts of hardwood). Read as a fraction and planned with, the strips would come out too shallow.
#[test]
fn a_thickness_by_quarters_is_told_of_once() {
    let with = |thick: &str| {
        let boards = format!("{HEAD}{FIR}B,fir,96,5.5,{thick},90\nC,fir,90,5.5,{thick},90\n");
        let job = folder(&[("boards.csv", &boards), ("paddles.toml", &bay(1).text())]);
        let (code, out, err) = run(job.path(), &["check"]);
        assert_eq!(code, 0, "{err}");
        flat(&out)
    };
    let out = with("6/4");
    let said = "boards.csv, line 3, column thickness: \"6/4\" is read as 1 1/2\", likewise on one line more, and hardwood sold as 6/4 is 1 5/16\" when surfaced (trade charts), softwood no more; measure the board, and write what it measures.";
    assert!(out.contains(said), "{out}");
    assert_eq!(out.matches("hardwood sold as").count(), 1, "{out}");
    for measured in ["1 1/2", "3/2", "3/4", "1.5"] {
        assert!(!with(measured).contains("hardwood sold as"), "{measured}");
    }
}
