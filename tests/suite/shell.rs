//! The command in a shell: a folder is a job, completions, manual pages, help.

use assert_cmd::Command;
use std::path::Path;

/// The example's files in a folder of their own.
fn job() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let loft = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft");
    for name in ["boards.csv", "paddles.toml", "yard.csv"] {
        std::fs::copy(loft.join(name), folder.path().join(name)).unwrap();
    }
    folder
}

fn run(folder: &Path, words: &[&str], input: &str) -> (i32, String, String) {
    let mut command = Command::cargo_bin("stripwright").unwrap();
    let out =
        command.current_dir(folder).args(words).write_stdin(input.to_owned()).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (out.status.code().unwrap(), text(out.stdout), text(out.stderr))
}

#[test]
fn a_folder_is_a_job_for_plan_check_and_survey() {
    let job = job();
    let outside = job.path().parent().unwrap();
    let name = job.path().file_name().unwrap().to_str().unwrap();
    for command in ["plan", "check", "survey"] {
        let options = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
        let named = run(job.path(), &[&[command], &options[..]].concat(), "");
        assert_eq!((named.0, named.2.as_str()), (0, ""), "{command}");
        let inside = run(job.path(), &[command], "");
        // What a yard's list says is looked at as well before anyone goes there.
        let files = match command {
            "check" => "boards.csv, paddles.toml and yard.csv",
            _ => "boards.csv and paddles.toml",
        };
        assert_eq!(inside.2, format!("Reading {files} here.\n"));
        let by_name = run(outside, &[command, name], "");
        assert_eq!(by_name.2, format!("Reading {files} in {name}.\n"));
        for other in [inside, by_name] {
            assert_eq!((other.0, other.1), (0, named.1.clone()), "{command}");
        }
    }
}

#[test]
fn a_folder_is_a_job_for_look_for_and_buy() {
    let job = job();
    let (code, out, err) = run(job.path(), &["look-for"], "");
    assert_eq!((code, err.as_str()), (0, "Reading paddles.toml here.\n"));
    let named = run(job.path(), &["look-for", "--paddles", "paddles.toml"], "");
    assert_eq!(out, named.1);
    let words =
        ["buy", "--yard", "yard.csv", "--boards", "boards.csv", "--paddles", "paddles.toml"];
    let named = run(job.path(), &words, "");
    let (code, out, err) = run(job.path(), &["buy", "."], "");
    assert_eq!((code, out), (0, named.1));
    assert!(err.starts_with("Reading boards.csv, paddles.toml and yard.csv here.\n"), "{err}");
    // Where the boards on hand are gone all is bought.
    std::fs::remove_file(job.path().join("boards.csv")).unwrap();
    let (code, _, err) = run(job.path(), &["buy"], "");
    assert_eq!(code, 0);
    assert!(err.starts_with("Reading paddles.toml and yard.csv here.\n"), "{err}");
}

#[test]
fn odds_finds_its_files_in_a_folder() {
    let job = job();
    let (code, _, err) = run(job.path(), &["odds"], "");
    assert_eq!(code, 2);
    assert!(err.contains("marked.csv: is not in the folder where you stand"), "{err}");
    let marked = "board,species,length,width,thickness,grade\nm1,white ash,90,3 1/2,1,no 2\n";
    let yard = "board,species,length,width,thickness,grade\ny1,white ash,90,3 1/2,1,no 2\n";
    std::fs::write(job.path().join("marked.csv"), marked).unwrap();
    std::fs::write(job.path().join("yard.csv"), yard).unwrap();
    let (code, _, err) = run(job.path(), &["odds", "--draws", "10"], "");
    assert!(code < 2, "{err}");
    assert!(
        err.starts_with("Reading boards.csv, marked.csv, paddles.toml and yard.csv here.\n"),
        "{err}"
    );
}

#[test]
fn verify_glue_and_tally_find_boards_and_paddles_where_one_stands() {
    let job = job();
    assert_eq!(run(job.path(), &["plan", "--json", "plan.json"], "").0, 0);
    for command in ["verify", "glue", "tally"] {
        let (code, out, err) = run(job.path(), &[command, "plan.json"], "");
        assert_eq!((code, err.as_str()), (0, "Reading boards.csv and paddles.toml here.\n"));
        let options = ["--boards", "boards.csv", "--paddles", "paddles.toml"];
        let named = run(job.path(), &[&[command, "plan.json"], &options[..]].concat(), "");
        assert_eq!(out, named.1, "{command}");
    }
}

#[test]
fn strips_in_a_folder_are_not_taken_unasked_and_that_is_said() {
    let job = job();
    let plain = run(job.path(), &["plan"], "");
    let strips = "strip,species,length,thickness,depth\nold,white ash,86,5/16,1 1/2\n";
    std::fs::write(job.path().join("strips.csv"), strips).unwrap();
    let (code, out, err) = run(job.path(), &["plan"], "");
    assert_eq!((code, &out), (0, &plain.1));
    assert!(err.contains("strips.csv is not read") && err.contains("--strips strips.csv"), "{err}");
    let (code, with, err) = run(job.path(), &["check", "--strips", "strips.csv"], "");
    assert_eq!(code, 0);
    assert!(!err.contains("is not read") && with.contains("old"), "{err}{with}");
    // With all that is meant named, the folder is left alone: no boards are read.
    let words = ["check", "--strips", "strips.csv", "--paddles", "paddles.toml"];
    let (code, out, err) = run(job.path(), &words, "");
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("up to 0 boards"), "{out}");
}

#[test]
fn what_is_no_job_is_told_how_to_name_it() {
    let job = job();
    let empty = tempfile::tempdir().unwrap();
    for (folder, words, said) in [
        (
            empty.path(),
            &["plan"][..],
            "boards.csv and paddles.toml: are not in the folder where you stand; name the files with --boards and --paddles",
        ),
        (
            job.path(),
            &["plan", "boards.csv"],
            "boards.csv: is a file, not a folder; name it with --boards.",
        ),
        (
            job.path(),
            &["check", "paddles.toml"],
            "paddles.toml: is a file, not a folder; name it with --paddles.",
        ),
        (job.path(), &["plan", "attic"], "attic: is not there"),
        (job.path(), &["plan", "-"], "--boards -"),
        (empty.path(), &["look-for"], "paddles.toml: is not in the folder"),
    ] {
        let (code, out, err) = run(folder, words, "");
        assert_eq!((code, out.as_str()), (2, ""), "{words:?}");
        assert!(err.contains(said), "{words:?}: {err}");
    }
}

#[test]
fn one_file_comes_from_standard_input_and_two_are_refused() {
    let job = job();
    let boards = std::fs::read_to_string(job.path().join("boards.csv")).unwrap();
    let paddles = std::fs::read_to_string(job.path().join("paddles.toml")).unwrap();
    let plain = run(job.path(), &["plan"], "");
    for (option, text) in [("--boards", &boards), ("--paddles", &paddles)] {
        let (code, out, _) = run(job.path(), &["plan", option, "-"], text);
        assert_eq!((code, &out), (0, &plain.1), "{option}");
    }
    let (code, _, err) = run(job.path(), &["plan", "--boards", "-", "--paddles", "-"], &boards);
    assert_eq!(code, 2);
    assert!(err.contains("-: is named twice, and standard input can be read only once"), "{err}");
    assert_eq!(run(job.path(), &["plan", "--json", "plan.json"], "").0, 0);
    let plan = std::fs::read_to_string(job.path().join("plan.json")).unwrap();
    assert_eq!(run(job.path(), &["verify", "-"], &plan).0, 0);
}

/// Commands, as the help lists them.
fn commands() -> Vec<String> {
    let (_, help, _) = run(Path::new("."), &["--help"], "");
    let list = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    let first = |l: &str| l.strip_prefix("  ")?.split(' ').next().map(str::to_owned);
    list.lines().filter_map(first).filter(|c| !c.is_empty() && c != "help").collect()
}

#[test]
fn every_help_page_has_an_example_that_reads() {
    let commands = commands();
    assert_eq!(commands.len(), 12, "{commands:?}");
    for command in commands {
        let (code, help, _) = run(Path::new("."), &[&command, "--help"], "");
        assert_eq!(code, 0);
        let begins = format!("  stripwright {command}");
        let example = help.lines().find(|l| l.starts_with(&begins));
        assert!(example.is_some() && help.contains("Example"), "{command}: {help}");
    }
}

#[test]
fn completions_name_every_command_for_every_shell() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let (code, out, err) = run(Path::new("."), &["completions", shell], "");
        assert_eq!((code, err.as_str()), (0, ""), "{shell}");
        for word in ["look-for", "tally", "time-limit"] {
            assert!(out.contains(word), "{shell} {word}");
        }
    }
    assert_eq!(run(Path::new("."), &["completions", "abacus"], "").0, 2);
}

/// What bash makes of the script, where there is one: it is loaded and asked.
#[cfg(unix)]
#[test]
fn the_completions_for_bash_complete_an_option() {
    let folder = tempfile::tempdir().unwrap();
    let (_, script, _) = run(folder.path(), &["completions", "bash"], "");
    let ask = "\nCOMP_WORDS=(stripwright plan --pad); COMP_CWORD=2\n\
        _stripwright stripwright --pad plan\necho \"${COMPREPLY[@]}\"\n";
    let file = folder.path().join("ask.sh");
    std::fs::write(&file, format!("{script}{ask}")).unwrap();
    let Ok(out) = std::process::Command::new("bash").arg(&file).output() else { return };
    assert_eq!(String::from_utf8_lossy(&out.stdout).trim(), "--paddles");
}

#[test]
fn manual_pages_are_printed_and_written_for_every_command() {
    let folder = tempfile::tempdir().unwrap();
    let (code, page, _) = run(folder.path(), &["man", "plan"], "");
    assert_eq!(code, 0);
    assert!(page.contains(".SH SYNOPSIS") && page.contains("time\\-limit"), "{page}");
    for again in 0..2 {
        let (code, out, _) = run(folder.path(), &["man", "--into", "."], "");
        assert_eq!((code, out.contains("13 pages")), (0, true), "{again}");
    }
    for command in commands() {
        let file = folder.path().join(format!("stripwright-{command}.1"));
        assert!(std::fs::read_to_string(file).unwrap().contains(&command.replace('-', "\\-")));
    }
    let (code, _, err) = run(folder.path(), &["man", "carve"], "");
    assert_eq!(code, 2);
    assert!(err.contains("\"carve\" is not a command"), "{err}");
}

#[test]
fn the_version_is_that_of_the_package_and_perhaps_a_commit() {
    let (code, out, _) = run(Path::new("."), &["--version"], "");
    assert_eq!(code, 0);
    let version = format!("stripwright {}", env!("CARGO_PKG_VERSION"));
    let rest = out.trim_end().strip_prefix(&version).unwrap();
    assert!(rest.is_empty() || (rest.starts_with(" (") && rest.ends_with(')')), "{out}");
}
