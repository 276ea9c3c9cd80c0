//! Pages for one builder of a class (`--for`): what is his alone, from which boards his strips come,
//! and names that are none. Through the real binary; builders and boards are invented.

use crate::jobs::{run, shop};
use std::fs;

const BOARDS: &str = "board,species,length,width,thickness,rings\n\
    east,red alder,80,5 1/2,1 1/2,75\nwest,red alder,80,5 1/2,1 1/2,75\n";

/// A class of three, each with a size of his own.
fn class() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mut text = shop("min_rip = 6");
    for (name, length) in [("Aster", "36"), ("Bryony", "35"), ("Clover, the younger", "34")] {
        text = text.paddle(name, [length, "10", "1 1/4"], "trim = \"1/4\"").through("side", "3/4");
    }
    fs::write(folder.path().join("boards.csv"), BOARDS).unwrap();
    fs::write(folder.path().join("paddles.toml"), text.text()).unwrap();
    folder
}

/// Names of strips that a paddle's lines of the cut list have.
fn strips(cuts: &str, paddle: &str) -> Vec<String> {
    let lines = cuts.lines().filter(|line| line.contains(paddle));
    let name = |line: &str| {
        line.split(',').find(|cell| cell.contains('.') && !cell.contains(' ')).map(str::to_owned)
    };
    lines.filter_map(name).collect()
}

#[test]
fn a_packet_holds_one_builders_strips_and_where_they_come_from() {
    let folder = class();
    let (code, _, err) = run(
        folder.path(),
        &["plan", "--json", "plan.json", "--cuts", "cuts.csv", "--sheet", "all.html"],
    );
    assert_eq!(code, Some(0), "{err}");
    let cuts = fs::read_to_string(folder.path().join("cuts.csv")).unwrap();
    let mine = strips(&cuts, "Bryony");
    assert_eq!(mine.len(), 2, "{cuts}");
    let others: Vec<String> =
        ["Aster", "Clover"].iter().flat_map(|name| strips(&cuts, name)).collect();
    assert_eq!(others.len(), 4, "{cuts}");
    for command in [
        &["plan", "--sheet", "b.html", "--for", "Bryony"][..],
        &["glue", "plan.json", "--sheet", "b.html", "--for", "Bryony"],
    ] {
        let (code, _, err) = run(folder.path(), command);
        assert_eq!(code, Some(0), "{err}");
        let page = fs::read_to_string(folder.path().join("b.html")).unwrap();
        assert!(page.contains("<title>Sheets for Bryony</title>"));
        assert!(page.contains("id=\"bench1\"") && !page.contains("id=\"bench2\""));
        assert!(!page.contains("Aster") && !page.contains("Clover"));
        // The boards are cut for all, on sheets of their own.
        assert!(!page.contains("id=\"board1\"") && page.contains("id=\"labels\""));
        for strip in &mine {
            let board = strip.split('.').next().unwrap();
            let row = format!("<tr><td><b>{strip}</b></td><td>side</td><td>{board}</td>");
            assert!(page.contains(&row), "{row}");
            assert!(page.contains(&format!("◂ {strip}</b>")), "no label {strip}");
            // Its label names the board beside the piece: a board may be called A1 as well.
            let label = page.split(&format!("◂ {strip}</b>")).nth(1).unwrap_or_default();
            let label = label.split("</div>").next().unwrap_or_default();
            assert!(label.contains("from piece A") && label.contains(&format!(" of {board}, ")));
        }
        for strip in &others {
            assert!(!page.contains(&format!("{strip}<")), "{strip}");
        }
    }
    // Its boards too where they are asked for; a name may hold a comma.
    let asked = ["--pages", "job,boards", "--for", "Clover, the younger,Aster"];
    let (code, _, err) =
        run(folder.path(), &[&["plan", "--sheet", "c.html"][..], &asked[..]].concat());
    assert_eq!(code, Some(0), "{err}");
    let page = fs::read_to_string(folder.path().join("c.html")).unwrap();
    assert!(page.contains("<title>Sheets for Aster, Clover, the younger</title>"));
    assert!(page.contains("id=\"board1\"") && page.contains("Before the saw"));
    assert!(!page.contains("id=\"bench1\"") && !page.contains("id=\"labels\""));
}

#[test]
fn names_that_are_none_are_all_told_and_nothing_is_written() {
    let folder = class();
    let (code, out, err) = run(
        folder.path(),
        &["plan", "--sheet", "b.html", "--for", "Astre", "--for", "Briony,Zinnia"],
    );
    assert_eq!(code, Some(2), "{out}");
    for said in [
        "--for: \"Astre\" is not a paddle of this job; did you mean Aster?",
        "--for: \"Briony\" is not a paddle of this job; did you mean Bryony?",
        "--for: \"Zinnia\" is not a paddle of this job; its paddles are Aster, Bryony, Clover, the younger.",
    ] {
        assert!(err.contains(said), "{said}\n{err}");
    }
    assert!(out.is_empty() && !folder.path().join("b.html").exists());
    let (code, _, err) = run(folder.path(), &["plan", "--sheet", "b.html", "--for", " ,"]);
    assert!(code == Some(2) && err.contains("names no paddle"), "{err}");
    // Pages of one builder are of the page.
    let (code, _, err) = run(folder.path(), &["plan", "--for", "Aster"]);
    assert!(code == Some(2) && err.contains("--sheet"), "{err}");
    for input in ["boards.csv", "paddles.toml"] {
        let before = fs::read_to_string(folder.path().join(input)).unwrap();
        let (code, _, err) = run(folder.path(), &["plan", "--sheet", input, "--for", "Aster"]);
        assert_eq!(code, Some(2), "{err}");
        assert_eq!(fs::read_to_string(folder.path().join(input)).unwrap(), before);
    }
}

/// With too few boards for all, the packet of one who gets none says so, and has no empty sheets.
#[test]
fn a_packet_of_a_paddle_that_is_not_made_says_so() {
    let folder = class();
    let board = "board,species,length,width,thickness,rings\neast,red alder,80,2,1 1/2,75\n";
    fs::write(folder.path().join("boards.csv"), board).unwrap();
    let mut made = 0;
    for name in ["Aster", "Bryony", "Clover, the younger"] {
        let words = ["plan", "--most", "--sheet", "one.html", "--for", name];
        let (code, _, err) = run(folder.path(), &words);
        assert_eq!(code, Some(0), "{err}");
        let page = fs::read_to_string(folder.path().join("one.html")).unwrap();
        let none = page.contains("The plan makes none");
        assert_eq!(none, page.contains(": 0 of 1 to make"));
        assert_eq!(none, !page.contains("id=\"labels\""));
        assert_eq!(none, !page.contains("Where the strips come from"));
        made += usize::from(!none);
    }
    assert!((1..3).contains(&made));
}

/// A plan's code as a text has it after these words.
fn code_after(text: &str, words: &str) -> String {
    let rest = text.split(words).nth(1).unwrap_or_else(|| panic!("no {words:?} in {text}"));
    rest.chars().take(4).collect()
}

/// Sheets of two plans are not mixed: each sheet bears the code of its plan, whoever it is for and
/// whichever command wrote it.
#[test]
fn every_sheet_bears_the_code_of_its_plan() {
    let folder = class();
    let words = ["plan", "--json", "plan.json", "--sheet", "all.html"];
    let (code, out, err) = run(folder.path(), &words);
    assert_eq!(code, Some(0), "{err}");
    let of_plan = code_after(&out, "This is plan ");
    assert!(of_plan.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit()), "{of_plan}");
    let (_, glued, _) = run(folder.path(), &["glue", "plan.json", "--for", "Bryony"]);
    assert_eq!(code_after(&glued, "Bench sheets of plan "), of_plan);
    assert!(glued.contains("Bryony") && !glued.contains("Aster") && !glued.contains("Clover"));
    let words = ["glue", "plan.json", "--sheet", "b.html", "--for", "Bryony"];
    assert_eq!(run(folder.path(), &words).0, Some(0));
    for page in ["all.html", "b.html"] {
        let page = fs::read_to_string(folder.path().join(page)).unwrap();
        let sheets: Vec<&str> = page.split("<section ").skip(1).collect();
        assert!(sheets.len() >= 3, "{page}");
        for sheet in sheets {
            assert_eq!(code_after(sheet, "<p class=\"code\">plan "), of_plan);
            // And so does the head of each further page of it on paper.
            assert_eq!(
                code_after(sheet, "<div class=\"again\" aria-hidden=\"true\"><div><div>plan "),
                of_plan
            );
        }
    }
    // The same boards in another order are the same plan; other names on the wood are another.
    let turned: Vec<&str> = BOARDS.lines().collect();
    let turned = format!("{}\n{}\n{}\n", turned[0], turned[2], turned[1]);
    fs::write(folder.path().join("boards.csv"), turned).unwrap();
    let (_, glued, _) = run(folder.path(), &["glue", "plan.json"]);
    assert_eq!(code_after(&glued, "Bench sheets of plan "), of_plan);
    let (code, out, err) = run(folder.path(), &["plan", "--json", "other.json"]);
    assert_eq!(code, Some(0), "{err}");
    let other = code_after(&out, "This is plan ");
    let [one, two] = ["plan.json", "other.json"]
        .map(|file| fs::read_to_string(folder.path().join(file)).unwrap());
    assert_eq!(other == of_plan, one == two, "{other} {of_plan}");
}
