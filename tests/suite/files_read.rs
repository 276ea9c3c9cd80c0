//! Inputs are read once and up to a size; a flood of problems is no report.

use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;
use stripwright::length::Units;
use stripwright::read::{List, Problems, boards_text, job_text};

const LOFT: &str = "examples/loft";

fn run(folder: &Path, words: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin("stripwright"));
    let output = command.current_dir(folder).args(words).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap_or(-1), text(output.stdout), text(output.stderr))
}

fn loft() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(LOFT)
}

/// As a report: the first fifty, how many others, and how many in all.
fn is_short(problems: &Problems, count: usize) {
    assert_eq!(problems.len(), count);
    let said = problems.to_string();
    assert_eq!(said.lines().count(), 52, "{said}");
    assert!(said.ends_with(&format!("and {} others.\n{count} problems.", count - 50)));
    assert!(said.len() < 100_000, "{}", said.len());
}

#[cfg(unix)]
#[test]
fn glue_and_species_are_not_lost_through_a_pipe() {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(loft().join("boards.csv"), folder.path().join("boards.csv")).unwrap();
    let mut job = fs::read_to_string(loft().join("paddles.toml")).unwrap();
    job = job.split("[glue]").next().unwrap().to_owned();
    job.push_str("\n[glue]\nfilm = \"0.5 mm\"\nmargin = 80\n");
    fs::write(folder.path().join("p.toml"), job).unwrap();
    let words = ["plan", "--bench", "--boards", "boards.csv", "--paddles"];
    let (code, plain, _) = run(folder.path(), &[&words[..], &["p.toml"]].concat());
    assert_eq!(code, 0);
    let line = format!("cat p.toml | \"$0\" {} /dev/stdin", words.join(" "));
    let program = assert_cmd::cargo::cargo_bin("stripwright");
    let mut shell = Command::new("sh");
    let piped = shell.current_dir(folder.path()).arg("-c").arg(line).arg(program).output().unwrap();
    assert_eq!(String::from_utf8(piped.stdout).unwrap(), plain);
    // Both inputs from one pipe can't be.
    let program = assert_cmd::cargo::cargo_bin("stripwright");
    let line = "cat p.toml | \"$0\" check --boards /dev/stdin --paddles /dev/stdin";
    let mut shell = Command::new("sh");
    let twice = shell.current_dir(folder.path()).arg("-c").arg(line).arg(program).output().unwrap();
    assert_eq!(twice.status.code(), Some(2));
    assert!(String::from_utf8(twice.stderr).unwrap().contains("are one pipe"));
}

#[test]
fn more_than_64_mb_is_refused_and_other_things_that_are_no_file_of_text() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    for name in ["boards.csv", "paddles.toml"] {
        fs::copy(loft().join(name), at(name)).unwrap();
    }
    let huge = fs::File::create(at("huge")).unwrap();
    huge.set_len((64 << 20) + 1).unwrap();
    fs::write(at("zero.csv"), "board,species\nx\0,oak\n").unwrap();
    fs::write(at("empty"), "").unwrap();
    fs::create_dir(at("folder")).unwrap();
    let mut cases = vec![
        ("huge", "huge: holds more than 64 MB, which is not read; "),
        ("zero.csv", "zero.csv, line 2: holds a zero byte, so it is not text; "),
        ("empty", "empty: is empty; begin with a line of column names"),
        ("folder", "folder: is a folder; name a file in it."),
        ("missing", "missing: cannot be read: "),
    ];
    if cfg!(target_os = "linux") {
        cases.push(("/dev/zero", "/dev/zero: holds more than 64 MB, which is not read; "));
    }
    for (name, said) in cases {
        let words = ["check", "--boards", name, "--paddles", "paddles.toml"];
        let (code, _, err) = run(folder.path(), &words);
        assert_eq!(code, 2, "{name}");
        assert!(err.starts_with(said), "{err}");
    }
    let (code, _, err) = run(folder.path(), &["look-for", "--paddles", "empty"]);
    assert_eq!(code, 2);
    assert!(err.starts_with("empty, paddle: is missing: no paddle is asked for"), "{err}");
}

#[test]
fn a_flood_of_wrong_lines_is_counted() {
    let mut text = "board,species,length,width,thickness\n".to_owned();
    for n in 0..100_000 {
        let _ = writeln!(text, "b{n},ash,long,3,1");
    }
    is_short(&boards_text("b.csv", &text, Units::Inch, List::OnHand).unwrap_err(), 100_000);
    let zones = "board,species,length,width,thickness\n".to_owned() + &"x\n".repeat(100_000);
    let problems = boards_text("b.csv", &zones, Units::Inch, List::OnHand).unwrap_err();
    assert_eq!(problems.len(), 100_000);
    let unsized_boards: String = (0..100_000).fold("board,zone\n".to_owned(), |mut t, n| {
        let _ = writeln!(t, "x{n},knot");
        t
    });
    assert!(
        boards_text("b.csv", &unsized_boards, Units::Inch, List::OnHand).unwrap_err().len()
            >= 100_000
    );
}

#[test]
fn a_flood_of_unknown_columns_or_one_of_10_mb_is_counted_and_cut() {
    let columns: String = (0..100_000).fold("board".to_owned(), |mut t, n| {
        let _ = write!(t, ",colum{n}");
        t
    });
    let problems = boards_text("b.csv", &columns, Units::Inch, List::OnHand).unwrap_err();
    assert!(problems.len() >= 100_000 && problems.to_string().lines().count() == 52);
    let heading = format!("board,{}\n", "lengt".repeat(2_000_000));
    let problems = boards_text("b.csv", &heading, Units::Inch, List::OnHand).unwrap_err();
    assert!(problems.to_string().len() < 5_000, "{}", problems.to_string().len());
}

#[test]
fn a_flood_of_unknown_keys_or_one_of_10_mb_is_counted_and_cut() {
    let keys = |head: &str| {
        (0..100_000).fold(head.to_owned(), |mut t, n| {
            let _ = writeln!(t, "key{n} = 1");
            t
        })
    };
    let paddle = "[[paddle]]\nname = \"p\"\n";
    for head in ["", "[shop]\n", paddle] {
        let problems = job_text("p.toml", &keys(head)).unwrap_err();
        assert!(problems.len() >= 100_000);
        assert_eq!(problems.to_string().lines().count(), 52);
        assert!(problems.to_string().contains(&format!("line {}", head.lines().count() + 50)));
    }
    // No paddle is asked for either.
    is_short(&job_text("p.toml", &keys("[glue]\n")).unwrap_err(), 100_001);
    let long = "k".repeat(10_000_000);
    for text in [
        format!("{long} = 1\n"),
        format!("[[paddle]]\nname = \"{long}\"\nlength = \"x\"\n"),
        format!("units = \"{long}\"\n"),
        format!("[{long}]\n"),
        long.clone(),
        // Keys of keys without end.
        format!("a{} = 1\n", ".a".repeat(1_000_000)),
        format!("a = {}\n", "[".repeat(1_000_000)),
    ] {
        let said = job_text("p.toml", &text).unwrap_err().to_string();
        assert!(said.len() < 10_000, "{}", said.len());
    }
}

#[test]
fn a_flood_in_a_plan_file_is_counted() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["boards.csv", "paddles.toml"] {
        fs::copy(loft().join(name), folder.path().join(name)).unwrap();
    }
    let boards = vec!["{\"board\":1}"; 50_000].join(",");
    let plan = format!("{{\"units\":\"in\",\"boards\":[{boards}]}}");
    fs::write(folder.path().join("plan.json"), plan).unwrap();
    let words = ["verify", "--boards", "boards.csv", "--paddles", "paddles.toml", "plan.json"];
    let (code, _, err) = run(folder.path(), &words);
    assert_eq!(code, 2);
    assert_eq!(err.lines().count(), 52, "{err}");
    assert!(err.contains("others.\n"), "{err}");
    fs::write(folder.path().join("plan.json"), "[".repeat(1_000_000)).unwrap();
    assert_eq!(run(folder.path(), &words).0, 2);
}

#[test]
fn names_of_any_length_and_a_board_of_very_many_zones_are_read() {
    let name = "n".repeat(10_000);
    let mut text = "board,species,length,width,thickness,zone,from,to\n".to_owned();
    let _ = writeln!(text, "{name},ash,90,3,1,knot,4,5");
    let _ = writeln!(text, "z,ash,90 m,3,1,,,");
    for n in 0..60_000 {
        let _ = writeln!(text, "z,,,,,knot,{n}/100,{}/100", n + 1);
    }
    let boards = boards_text("b.csv", &text, Units::Inch, List::OnHand).unwrap();
    assert_eq!(boards[0].name, name);
    assert_eq!(boards[1].zones.len(), 60_000);
}

#[test]
fn a_width_that_can_not_be_is_refused() {
    for width in ["100000000", "19", "0", "-1", "18446744073709551616"] {
        for command in ["check", "plan", "survey"] {
            let job = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
            let width = format!("--width={width}");
            let words = [&[command], &job[..], &[width.as_str()]].concat();
            let (code, out, err) = run(&loft(), &words);
            assert_eq!((code, out.as_str()), (2, ""), "{words:?}");
            assert!(err.contains("give a whole number of 20 to 10000"), "{err}");
        }
    }
}
