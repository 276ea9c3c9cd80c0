//! All that is wrong in a job's files is told in one run, each once, in the order of the lines.

use crate::jobs::{bay, ended as run, flat};
use stripwright::read::{List, boards_text, paddles_text};
use stripwright::{Units, strips_text};

const HEAD: &str = "board,species,length,width,thickness,rings,zone,from,to,near,far\n";

fn boards(text: &str, list: List) -> Vec<String> {
    let problems = boards_text("b.csv", text, Units::Inch, list).expect_err(text);
    problems.0.iter().map(ToString::to_string).collect()
}

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

/// Each begins as expected, and there are no others.
fn told(found: &[String], expected: &[&str]) {
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!(found.starts_with(expected), "{expected}\n{found}");
    }
}

#[test]
fn a_zone_is_looked_at_though_its_board_can_not_be_read() {
    let text = format!(
        "{HEAD}a,ash,long,6,1,90,knot,5,3,1,7\na,,,,,,check,-1,2 in 3,4,2\na,ash,90,6,1,90,,,,,\n"
    );
    told(
        &boards(&text, List::OnHand),
        &[
            "b.csv, line 2, column length: \"long\" is not a length",
            "b.csv, line 2, column to: \"3\" is not more than from, 5",
            "b.csv, line 2, column far: \"7\" lies off the board, which is 6\" wide",
            "b.csv, line 3, column from: \"-1\" is less than 0",
            "b.csv, line 3, column to: \"2 in 3\" is not a length",
            "b.csv, line 3, column far: \"2\" is not more than near, 4",
            "b.csv, line 4, column board: \"a\" was given its sizes on line 2 already",
        ],
    );
    // One side that lies off the board hides nothing of the other two, and is told once.
    let text = format!("{HEAD}a,ash,90,6,1,90,knot,95,3,4,2\n");
    told(
        &boards(&text, List::OnHand),
        &["b.csv, line 2, column from: \"95\" lies off", "b.csv, line 2, column far: \"2\" is not"],
    );
    // A zone's line with a size by mistake is not blamed for what it lacks.
    let text = format!("{HEAD}a,ash,90,6,1,90,,,,,\na,ash,,,,,knot,1,2,3,4\n");
    told(&boards(&text, List::OnHand), &["b.csv, line 3, column board: \"a\" was given"]);
}

#[test]
fn what_else_a_line_without_a_name_holds_is_told_too() {
    let text = format!("{HEAD},ash,x,6,0,90,,,,,\n,,,,,,knot,1,y,,\n");
    told(
        &boards(&text, List::OnHand),
        &[
            "b.csv, line 2, column board: is empty",
            "b.csv, line 2, column length: \"x\"",
            "b.csv, line 2, column thickness: \"0\"",
            "b.csv, line 3, column board: is empty",
            "b.csv, line 3, column to: \"y\"",
        ],
    );
}

#[test]
fn both_measures_of_the_pith_and_both_words_of_a_price_are_told() {
    let text = "board,species,length,width,thickness,pith_across,pith_depth,price_per_foot,foot\n\
                a,ash,90,6,1,far,deep,much,square\n";
    told(
        &boards(text, List::Yard),
        &[
            "b.csv, line 2, column pith_across: \"far\"",
            "b.csv, line 2, column pith_depth: \"deep\"",
            "b.csv, line 2, column price_per_foot: \"much\"",
            "b.csv, line 2, column foot: \"square\"",
        ],
    );
}

#[test]
fn a_decimal_comma_between_commas_is_one_problem_of_its_line() {
    let good = "a,ash,96,2.5,1,90,knot,1,2,1,1.5\na,,,,,,knot,1,2,1,2\n";
    let text = format!("{HEAD}{}", good.replace("2.5", "2,5"));
    assert_eq!(
        boards(&text, List::OnHand),
        [
            "b.csv, line 2, column width: \"2,5\" seems to hold a decimal comma, which parts cells: the line has 12 cells, the header 11 columns; write 2.5, or part the cells of the list by semicolons."
        ]
    );
    // The cures hold.
    assert!(boards_text("b.csv", &format!("{HEAD}{good}"), Units::Inch, List::OnHand).is_ok());
    let parted = format!("{HEAD}{good}").replace(',', ";").replace("2.5", "2,5");
    assert!(boards_text("b.csv", &parted, Units::Inch, List::OnHand).is_ok(), "{parted}");
    // Empty cells at the end of the line hide nothing, and do no harm by themselves.
    let text =
        format!("{HEAD}a,ash,96,5,5,1,5,90,,,,,\nb,ash,x,6,1,90,,,,,,\nc,ash,9,6,1,90,,,,,,,\n");
    told(
        &boards(&text, List::OnHand),
        &[
            "b.csv, line 2, column width: \"5,5\" seems to hold a decimal comma",
            "b.csv, line 3, column length: \"x\" is not a length",
        ],
    );
    // What is no decimal comma is told as before, once.
    let text = format!("{HEAD}a,ash, old,96,5,1,90,knot,1,2,3,4,9\n");
    told(
        &boards(&text, List::OnHand),
        &["b.csv, line 2, column 13: \"9\" stands beyond the last column: the line has 13 cells"],
    );
    let job = stripwright::job_text("p.toml", &bay(1).text()).unwrap();
    let strips = "strip,species,length,thickness,depth\nA,ash,86,0,5,1\n";
    let found = strips_text("s.csv", strips, &job).expect_err("wrong").to_string();
    assert!(found.contains("column thickness: \"0,5\" seems"), "{found}");
    assert!(found.ends_with("1 problem."), "{found}");
}

#[test]
fn a_misspelt_column_with_its_unit_is_known() {
    let text = HEAD.replace("length", "lenght (in)").replace("width", "widht_in");
    told(
        &boards(&format!("{text}a,ash,90,6,1,90,,,,,\n"), List::OnHand),
        &[
            "b.csv, line 1, column lenght_(in): \"lenght (in)\" is not a column; did you mean length?",
            "b.csv, line 1, column widht_in: \"widht_in\" is not a column; did you mean width?",
        ],
    );
}

#[test]
fn names_of_strips_are_told_beside_their_sizes() {
    let job = bay(1);
    let read = stripwright::job_text("p.toml", &job.text()).unwrap();
    let paddle = &read.paddles[0].name;
    let text = format!(
        "strip,species,length,thickness,depth,paddle,lamination\n\
         A,ash,86,thin,1 7/16,{paddle},spne\nB,ash,86,1/64,thick,{paddle},spine\n\
         C,ash,x,1,2,nobody,\n,ash,86,1,z,,\n"
    );
    let problems = strips_text("s.csv", &text, &read).expect_err("wrong");
    let found: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
    told(
        &found,
        &[
            "s.csv, line 2, column thickness: \"thin\"",
            "s.csv, line 3, column depth: \"thick\"",
            "s.csv, line 3, column thickness: \"1/64\" is less than spine of",
            "s.csv, line 4, column length: \"x\"",
            "s.csv, line 5, column strip: is empty",
            "s.csv, line 5, column depth: \"z\"",
        ],
    );
    let doubts: Vec<String> = problems.doubts().iter().map(ToString::to_string).collect();
    told(
        &doubts,
        &[
            "s.csv, line 2, column lamination: \"spne\" is not a lamination of",
            "s.csv, line 4, column paddle: \"nobody\" is not a paddle",
        ],
    );
    assert!(problems.to_string().contains("6 problems.\nWarning: s.csv, line 2"), "{problems}");
}

#[test]
fn a_second_paddle_of_a_name_is_told_beside_its_quantity_and_all_by_lines() {
    let paddle = "[[paddle]]\nname = \"a\"\nquantity = 0\nlength = 84\nloom = 20\nthickness = 1\n\
                  [[paddle.lamination]]\nname = \"s\"\nthickness = \"1/2\"\nruns = \"through\"\n";
    let text = format!("{paddle}{paddle}[shop]\nedge = -1\n[glue]\nclamps = 0\n");
    let problems = paddles_text("p.toml", &text).expect_err("wrong");
    let found: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
    told(
        &found,
        &[
            "p.toml, line 3, paddle \"a\", quantity: \"0\"",
            "p.toml, line 12, paddle \"a\", name: \"a\" is the name of two kinds",
            "p.toml, line 13, paddle \"a\", quantity: \"0\"",
            "p.toml, line 22, shop, edge: \"-1\"",
            "p.toml, line 24, glue, clamps: \"0\"",
        ],
    );
}

#[test]
fn what_is_no_toml_is_shown() {
    for (text, said) in [
        ("[shop\nedge = 0\n", "p.toml, line 1: \"[shop\" names a table whose"),
        ("[shop]\nrip_kerf 1/8\n", "p.toml, line 2: \"rip_kerf 1/8\" is not TOML: "),
        ("[shop]\nedge = \"1/8\n", "p.toml, line 2, edge: \"\"1/8\" is not TOML: "),
    ] {
        let found = paddles_text("p.toml", text).expect_err(text).to_string();
        assert!(found.starts_with(said), "{found}");
    }
    let found = paddles_text("p.toml", "paddle = 3\n").expect_err("wrong").to_string();
    assert!(found.contains("paddle: \"3\" is not a list of tables"), "{found}");
}

/// Every file of a run, whichever of them is wrong, for every command that reads several.
#[test]
fn the_problems_of_all_files_are_told_together() {
    let paddles = bay(1).text().replace("[shop]\n", "[shop]\nedge = -1\n");
    let yard =
        "board,species,length,width,thickness,price,grade\nY,fir,96,wide,1,3,\nZ,fir,96,3,1,,\n";
    let marked = "board,species,length,width,thickness,grade\nM,fir,96,3,thin,\n";
    let job = folder(&[
        ("boards.csv", &format!("{HEAD}A,fir,96,5.5,high,90,,,,,\n")),
        ("paddles.toml", &paddles),
        ("yard.csv", yard),
        ("marked.csv", marked),
        ("s.csv", "strip,species,length,thickness,depth\nR,fir,x,1,1\n"),
    ]);
    let all = ["--strips", "s.csv"];
    let like = ["--like", "marked.csv"];
    let mut asked: Vec<(Vec<&str>, [bool; 3])> = vec![
        (vec!["plan"], [false, false, false]),
        (vec!["survey", "--like", "marked.csv"], [false, false, true]),
        (vec!["check", "--yard", "yard.csv"], [true, false, false]),
    ];
    asked.push(([&["buy"], &like[..]].concat(), [true, true, true]));
    asked.push((vec!["odds"], [true, false, true]));
    for (words, [of_yard, price, of_sample]) in asked {
        let (code, _, err) = run(job.path(), &[&words[..], &all[..]].concat());
        assert_eq!(code, 2, "{err}");
        let mut count = 3;
        for (told, said) in [
            (true, "paddles.toml, line 2, shop, edge: \"-1\""),
            (true, "boards.csv, line 2, column thickness: \"high\""),
            (of_yard, "yard.csv, line 2, column width: \"wide\""),
            (price, "yard.csv, line 3, board \"Z\": has no price"),
            (of_sample, "marked.csv, line 2, column thickness: \"thin\""),
            (true, "s.csv, line 2, column length: \"x\""),
        ] {
            assert_eq!(err.contains(said), told, "{words:?}: {said}\n{err}");
        }
        count += [of_yard, price, of_sample].iter().filter(|told| **told).count();
        assert!(err.contains(&format!("{count} problems.")), "{words:?}: {err}");
    }
}

/// Boards of the yard that have names of boards in hand are told of, each with its line.
#[test]
fn names_that_boards_in_hand_have_are_told_all() {
    let job = folder(&[
        ("boards.csv", &format!("{HEAD}A,fir,96,5.5,1.5,90,,,,,\nB,fir,96,5.5,1.5,90,,,,,\n")),
        ("paddles.toml", &bay(1).text()),
        (
            "yard.csv",
            "board,species,length,width,thickness,price\nB,fir,96,5.5,1.5,3\nC,fir,96,5.5,1.5,3\nA,fir,96,5.5,1.5,3\n",
        ),
    ]);
    let (code, _, err) = run(job.path(), &["buy"]);
    assert_eq!(code, 2, "{err}");
    let err = flat(&err);
    let said = "yard.csv, line 2, column board: \"B\" is the name of a board in hand too; give one of the two another name.";
    assert!(err.contains(said) && err.contains("line 4, column board: \"A\" is"), "{err}");
}

/// A board of 4200 mm is not too long where nothing says inches.
#[test]
fn sizes_are_not_blamed_for_units_that_can_not_be_told() {
    let boards = "board,species,length,width,thickness,rings\na,fir,4200,140,38,x\n";
    let wrong = |paddles: &[u8]| {
        let folder = folder(&[("boards.csv", boards)]);
        std::fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
        let (status, _, err) = run(folder.path(), &["check"]);
        assert_eq!(status, 2);
        assert!(err.contains("\"x\" is not"), "{err}");
        err.contains("4200")
    };
    for paddles in [
        &b"units = mm\n"[..],
        b"units: \"mm\"\n",
        b"units = 'mm' # here\n[shop\n",
        b"units = \"milli\"\n",
        b"[[paddle]]\nunits = \"mm\"\n",
        b"units = \"mm\"\nname = \"gr\xfcn\"\n",
        b"\xef\xbb\xbfunits = \"mm\"\n[shop\n",
        b"board,species\n",
    ] {
        assert!(!wrong(paddles), "{}", String::from_utf8_lossy(paddles));
    }
    for paddles in [&b"units = \"in\"\n[shop\n"[..], b"[shop]\n", b""] {
        assert!(wrong(paddles), "{}", String::from_utf8_lossy(paddles));
    }
}
