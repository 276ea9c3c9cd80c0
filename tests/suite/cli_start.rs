//! `stripwright start` through the real binary.

use assert_cmd::Command;
use predicates::prelude::PredicateBooleanExt;

fn stripwright() -> Command {
    Command::cargo_bin("stripwright").unwrap()
}

#[test]
fn the_starter_job_plans_as_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("new/job");
    let ended = stripwright().arg("start").arg(&job).assert().success().stderr("");
    let said = String::from_utf8(ended.get_output().stdout.clone()).unwrap();
    assert!(said.starts_with("Wrote boards.csv, paddles.toml and README.txt to "), "{said}");
    let mut names: Vec<_> =
        job.read_dir().unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert_eq!(names, ["README.txt", "boards.csv", "paddles.toml"]);
    for command in ["check", "plan"] {
        stripwright()
            .current_dir(&job)
            .args([command, "--boards", "boards.csv", "--paddles", "paddles.toml"])
            .assert()
            .success()
            .stderr("");
    }
}

#[test]
fn nothing_is_overwritten_and_nothing_is_added() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("paddles.toml"), "mine").unwrap();
    stripwright()
        .current_dir(folder.path())
        .args(["start", "."])
        .assert()
        .code(2)
        .stdout("")
        .stderr("./paddles.toml: is there already; name another folder.\n");
    assert_eq!(std::fs::read_to_string(folder.path().join("paddles.toml")).unwrap(), "mine");
    assert_eq!(folder.path().read_dir().unwrap().count(), 1);
}

#[test]
fn a_file_in_place_of_the_folder_is_named() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("taken"), "").unwrap();
    let ended = stripwright()
        .current_dir(folder.path())
        .args(["start", "taken/below"])
        .assert()
        .code(2)
        .stdout("");
    let said = String::from_utf8(ended.get_output().stderr.clone()).unwrap();
    assert!(said.starts_with("taken/below: cannot be written: "), "{said}");
    assert!(said.ends_with("; name another folder.\n"), "{said}");
}

/// What is printed to be typed next is taken by a shell as it stands, whatever the folder's name.
#[cfg(unix)]
#[test]
fn the_command_that_is_printed_runs_in_a_shell() {
    for name in [
        "plain",
        "with space",
        "two\"quotes\"",
        "it's",
        "$HOME",
        "`id`",
        "a;b",
        "a&b",
        "star*",
        "q?",
        "(a)",
        "#a",
        "~",
        "back\\slash",
        "!x",
        "-x",
        ".",
    ] {
        let folder = tempfile::tempdir().unwrap();
        let ended =
            stripwright().current_dir(folder.path()).args(["start", "--", name]).assert().success();
        let said = String::from_utf8(ended.get_output().stdout.clone()).unwrap();
        let next = said.lines().last().unwrap().strip_prefix("Next: stripwright ").unwrap();
        let program = assert_cmd::cargo::cargo_bin("stripwright");
        Command::new("sh")
            .current_dir(folder.path())
            .arg("-c")
            .arg(format!("\"$0\" {next}"))
            .arg(program)
            .assert()
            .success()
            .stderr(predicates::str::starts_with("Reading boards.csv and paddles.toml "))
            .stderr(predicates::str::contains("Warning").not());
        assert_eq!(said.contains(" to this folder."), name == ".", "{said}");
    }
}

#[test]
fn a_file_of_the_folders_name_is_said_to_be_one() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("taken"), "").unwrap();
    let said =
        "taken: cannot be written: a file of that name is there already; name another folder.\n";
    let ended = stripwright().current_dir(folder.path()).args(["start", "taken"]).assert();
    ended.code(2).stdout("").stderr(said);
}
