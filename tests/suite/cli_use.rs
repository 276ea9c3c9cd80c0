//! How the command behaves in a shell: exit statuses, pipes, and files written whole or not at
//! all.

use assert_cmd::Command;
use std::path::Path;
use std::process::{Output, Stdio};

const JOB: [&str; 4] =
    ["--boards", "examples/loft/boards.csv", "--paddles", "examples/loft/paddles.toml"];

fn stripwright() -> Command {
    let mut command = Command::cargo_bin("stripwright").unwrap();
    command.current_dir(env!("CARGO_MANIFEST_DIR"));
    command
}

fn run(arguments: &[&str]) -> (Option<i32>, String, String) {
    let Output { status, stdout, stderr } = stripwright().args(arguments).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (status.code(), text(stdout), text(stderr))
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        folder.read_dir().unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn help_and_version_are_no_errors() {
    for arguments in [&["--help"][..], &["--version"], &["plan", "--help"], &["help", "check"]] {
        let (code, out, err) = run(arguments);
        assert_eq!((code, err.as_str()), (Some(0), ""), "{arguments:?}");
        assert!(!out.is_empty());
    }
}

#[test]
fn wrong_use_ends_with_2() {
    let wrong: [&[&str]; 7] = [
        &[],
        &["carve"],
        &["plan"],
        &["plan", "--boards", "examples/loft/boards.csv"],
        &["start"],
        &["check", "--width", "wide"],
        &["plan", JOB[0], JOB[1], JOB[2], JOB[3], "--time-limit", "0"],
    ];
    for arguments in wrong {
        let (code, out, err) = run(arguments);
        assert_eq!((code, out.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(!err.is_empty());
    }
}

#[test]
fn a_job_that_no_board_fits_ends_with_1_and_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    let boards = folder.path().join("boards.csv");
    std::fs::write(&boards, "board,species,length,width,thickness\na,white ash,40,3,1\n").unwrap();
    let boards = boards.to_str().unwrap();
    let (code, _, _) = run(&["plan", "--boards", boards, JOB[2], JOB[3]]);
    assert_eq!(code, Some(1));
    let (code, out, err) = run(&["check", "--boards", boards, JOB[2], JOB[3]]);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    assert!(out.contains("There is no plan without another board."), "{out}");
}

#[test]
fn piped_output_has_no_colour_and_no_progress() {
    for command in ["check", "plan", "survey"] {
        let (code, out, err) = run(&[command, JOB[0], JOB[1], JOB[2], JOB[3]]);
        assert_eq!((code, err.as_str()), (Some(0), ""), "{command}");
        assert!(!out.contains('\u{1B}'), "{command}");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    for command in ["check", "plan"] {
        let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("stripwright"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .arg(command)
            .args(JOB)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{command}");
        assert_eq!(output.status.code(), Some(0), "{command}");
    }
}

#[test]
fn one_run_is_like_another() {
    let arguments = ["plan", JOB[0], JOB[1], JOB[2], JOB[3], "--json", "-"];
    let (code, first, _) = run(&arguments);
    assert_eq!(code, Some(0));
    assert!(serde_json::from_str::<serde_json::Value>(&first).is_ok(), "{first}");
    assert_eq!(run(&arguments).1, first);
}

#[test]
fn files_are_written_whole_beside_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let (json, cuts) = (folder.path().join("plan.json"), folder.path().join("cuts.csv"));
    std::fs::write(&json, "old").unwrap();
    let mut arguments = vec!["plan"];
    arguments.extend(JOB);
    arguments.extend(["--json", json.to_str().unwrap(), "--cuts", cuts.to_str().unwrap()]);
    assert_eq!(run(&arguments).0, Some(0));
    assert_eq!(names(folder.path()), ["cuts.csv", "plan.json"]);
    let mut arguments = vec!["verify"];
    arguments.extend(JOB);
    arguments.push(json.to_str().unwrap());
    let (code, out, err) = run(&arguments);
    assert_eq!((code, err.as_str()), (Some(0), ""));
    assert!(out.starts_with("The plan holds: 22 strips from 3 boards"), "{out}");
    assert!(out.contains("It makes 2 of 2 estuary."), "{out}");
}

#[test]
fn a_place_that_cannot_be_written_is_named_before_the_work_and_nothing_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let good = folder.path().join("plan.json");
    std::fs::write(&good, "old").unwrap();
    let bad = folder.path().join("no/cuts.csv");
    let mut arguments = vec!["plan"];
    arguments.extend(JOB);
    arguments.extend(["--json", good.to_str().unwrap(), "--cuts", bad.to_str().unwrap()]);
    let (code, out, err) = run(&arguments);
    assert_eq!((code, out.as_str()), (Some(2), ""));
    assert!(err.starts_with(&format!("{}: cannot be written: ", bad.display())), "{err}");
    assert!(err.ends_with("; name another file.\n"), "{err}");
    assert_eq!(std::fs::read_to_string(&good).unwrap(), "old");
    assert_eq!(names(folder.path()), ["plan.json"]);
    let mut arguments = vec!["plan"];
    arguments.extend(JOB);
    arguments.extend(["--json", "-", "--cuts", "-"]);
    let (code, out, err) = run(&arguments);
    assert_eq!((code, out.as_str()), (Some(2), ""));
    assert_eq!(err, "-: two outputs would be written there; name another file for one.\n");
}
