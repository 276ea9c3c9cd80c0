//! Nothing is lost: what outputs may not write over, and that they are written all or none.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::{FileTypeExt, MetadataExt, PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

pub(crate) const JOB: [&str; 4] = ["--boards", "boards.csv", "--paddles", "paddles.toml"];

/// A folder with a job that plans.
pub(crate) struct Shop(tempfile::TempDir);

impl Shop {
    pub(crate) fn new() -> Shop {
        let shop = Shop(tempfile::tempdir().unwrap());
        let loft = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft");
        for name in ["boards.csv", "paddles.toml", "yard.csv"] {
            fs::copy(loft.join(name), shop.at(name)).unwrap();
        }
        shop
    }

    /// The same with these files, by name and text, in the place of its own or beside them.
    pub(crate) fn with(files: &[(&str, &str)]) -> Shop {
        let shop = Shop::new();
        for (name, text) in files {
            fs::write(shop.at(name), text).unwrap();
        }
        shop
    }

    pub(crate) fn at(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn text(&self, name: &str) -> String {
        fs::read_to_string(self.at(name)).unwrap()
    }

    pub(crate) fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin("stripwright"));
        command.current_dir(self.0.path()).args(words).stdin(Stdio::null());
        command
    }

    pub(crate) fn run(&self, words: &[&str]) -> (i32, String, String) {
        told(self.command(words).output().unwrap())
    }

    /// `plan` of the job with more options.
    pub(crate) fn plan(&self, more: &[&str]) -> (i32, String, String) {
        self.run(&[&["plan"], &JOB[..], more].concat())
    }

    /// Through a shell, with the program as `$0`.
    pub(crate) fn shell(&self, line: &str) -> (i32, String, String) {
        let program = assert_cmd::cargo::cargo_bin("stripwright");
        let mut shell = Command::new("sh");
        shell.current_dir(self.0.path()).arg("-c").arg(line).arg(program).stdin(Stdio::null());
        told(shell.output().unwrap())
    }

    pub(crate) fn names(&self) -> Vec<String> {
        let entries = self.0.path().read_dir().unwrap();
        let mut names: Vec<_> =
            entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

pub(crate) fn told(output: Output) -> (i32, String, String) {
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap_or(-1), text(output.stdout), text(output.stderr))
}

#[test]
fn an_output_that_is_an_input_is_refused_by_any_path() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    symlink("boards.csv", shop.at("link.csv")).unwrap();
    symlink("link.csv", shop.at("link of link.csv")).unwrap();
    fs::hard_link(shop.at("paddles.toml"), shop.at("hard.toml")).unwrap();
    let before: Vec<_> = shop.names().iter().map(|n| shop.text(n)).collect();
    let glue = |out| [&["glue"], &JOB[..], &["plan.json", "--out", out]].concat();
    let buy = ["buy", "--yard", "yard.csv", JOB[0], JOB[1], JOB[2], JOB[3], "--json"];
    let plan = |option, file| [&["plan"], &JOB[..], &[option, file]].concat();
    let mut all = vec![
        (plan("--cuts", "boards.csv"), "boards.csv"),
        (plan("--cuts", "./boards.csv"), "boards.csv"),
        (plan("--json", "link.csv"), "boards.csv"),
        (plan("--sheet", "link of link.csv"), "boards.csv"),
        (plan("--json", "hard.toml"), "paddles.toml"),
        (glue("plan.json"), "plan.json"),
    ];
    for file in ["paddles.toml", "yard.csv", "link.csv"] {
        all.push((
            [&buy[..], &[file]].concat(),
            if file == "link.csv" { "boards.csv" } else { file },
        ));
    }
    for (words, input) in all {
        let (code, out, err) = shop.run(&words);
        assert_eq!((code, out.as_str()), (2, ""), "{words:?}");
        assert!(err.contains(&format!("is {input}, which this run reads")), "{words:?}: {err}");
    }
    assert_eq!(shop.names().iter().map(|n| shop.text(n)).collect::<Vec<_>>(), before);
}

/// What comes through standard input from a file is that file.
#[test]
fn an_output_that_standard_input_comes_from_is_refused() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    let before: Vec<_> = shop.names().iter().map(|n| shop.text(n)).collect();
    let boards = "--boards boards.csv --paddles paddles.toml";
    for line in [
        "plan --boards - --paddles paddles.toml --json boards.csv < boards.csv".to_owned(),
        "buy --yard - --paddles paddles.toml --json yard.csv < yard.csv".to_owned(),
        format!("glue - {boards} --out plan.json < plan.json"),
        format!("tally - {boards} --left plan.json < plan.json"),
        "plan --boards - --paddles paddles.toml --json - < boards.csv >> boards.csv".to_owned(),
    ] {
        let (code, out, err) = shop.shell(&format!("\"$0\" {line}"));
        assert_eq!((code, out.as_str()), (2, ""), "{line}");
        assert!(err.contains("is standard input, which this run reads"), "{line}: {err}");
        assert_eq!(shop.names().iter().map(|n| shop.text(n)).collect::<Vec<_>>(), before);
    }
}

#[test]
fn standard_output_that_is_an_input_or_an_output_is_refused() {
    let shop = Shop::new();
    let before = shop.text("boards.csv");
    let job = JOB.join(" ");
    let (code, _, err) = shop.shell(&format!("\"$0\" plan {job} >> boards.csv"));
    assert_eq!(code, 2, "{err}");
    assert_eq!(shop.text("boards.csv"), before);
    let (code, _, err) = shop.shell(&format!("\"$0\" check {job} >> paddles.toml"));
    assert_eq!(code, 2, "{err}");
    let (code, _, err) = shop.shell(&format!("\"$0\" plan {job} --json out > out"));
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("two outputs would be written there"), "{err}");
    // The same by its name is what `-` is.
    let (code, _, err) = shop.shell(&format!("\"$0\" plan {job} --json /dev/stdout > out"));
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(serde_json::from_str::<serde_json::Value>(&shop.text("out")).is_ok());
}

#[test]
fn two_outputs_that_are_one_file_are_refused() {
    let shop = Shop::new();
    symlink("to come.json", shop.at("link.json")).unwrap();
    fs::create_dir(shop.at("sub")).unwrap();
    for [a, b] in [["x", "x"], ["x", "./x"], ["x", "sub/../x"], ["link.json", "to come.json"]] {
        let (code, out, err) = shop.plan(&["--json", a, "--sheet", b]);
        assert_eq!((code, out.as_str()), (2, ""), "{a} {b}");
        assert!(err.contains(a) && err.contains(b), "{err}");
    }
    // Any number of outputs may go nowhere.
    assert_eq!(shop.plan(&["--json", "/dev/null", "--cuts", "/dev/null"]).0, 0);
    assert!(fs::metadata("/dev/null").unwrap().file_type().is_char_device());
}

#[test]
fn a_link_stays_a_link_and_its_target_is_written() {
    let shop = Shop::new();
    fs::create_dir(shop.at("away")).unwrap();
    symlink("away/plan.json", shop.at("link.json")).unwrap();
    for _ in 0..2 {
        assert_eq!(shop.plan(&["--json", "link.json"]).0, 0);
        assert!(fs::symlink_metadata(shop.at("link.json")).unwrap().is_symlink());
        assert!(shop.text("away/plan.json").contains("\"proof\""));
        assert_eq!(shop.at("away").read_dir().unwrap().count(), 1);
    }
}

#[test]
fn a_pipe_is_written_to_and_not_replaced() {
    let shop = Shop::new();
    let job = JOB.join(" ");
    let line = format!(
        "mkfifo p && {{ cat p > got & }} && \"$0\" plan {job} --json p; c=$?; wait; exit $c"
    );
    let (code, _, err) = shop.shell(&line);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(fs::symlink_metadata(shop.at("p")).unwrap().file_type().is_fifo());
    assert!(serde_json::from_str::<serde_json::Value>(&shop.text("got")).is_ok());
}

#[test]
fn rights_follow_the_umask_or_the_file_that_stood_there() {
    let shop = Shop::new();
    let mode = |name: &str| fs::metadata(shop.at(name)).unwrap().mode() & 0o777;
    let job = JOB.join(" ");
    for (umask, mode_then) in [("027", 0o640), ("002", 0o664), ("077", 0o600)] {
        let line = format!("umask {umask}; \"$0\" plan {job} --json new{umask} --svg d{umask}");
        assert_eq!(shop.shell(&line).0, 0);
        assert_eq!(mode(&format!("new{umask}")), mode_then);
        assert_eq!(mode(&format!("d{umask}/board-1.svg")), mode_then);
        assert_eq!(shop.shell(&format!("umask {umask}; \"$0\" start s{umask}")).0, 0);
        assert_eq!(mode(&format!("s{umask}/boards.csv")), mode_then);
    }
    fs::write(shop.at("old"), "").unwrap();
    fs::set_permissions(shop.at("old"), fs::Permissions::from_mode(0o606)).unwrap();
    assert_eq!(shop.plan(&["--json", "old"]).0, 0);
    assert_eq!(mode("old"), 0o606);
}

#[test]
fn a_run_that_is_stopped_leaves_an_earlier_plan_and_says_so() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json", "--cuts", "cuts.csv"]).0, 0);
    let before = (shop.text("plan.json"), shop.text("cuts.csv"));
    let limit = ["--time-limit", "0.000001", "--json", "plan.json", "--cuts", "cuts.csv"];
    let (code, out, err) = shop.plan(&limit);
    // A search may have a plan before it looks at the clock; that is a result like any.
    if code == 1 && !out.contains("proved") {
        assert!(err.contains("plan.json: left as it was, since the search was stopped"), "{err}");
        assert!(err.contains("cuts.csv: left as it was"), "{err}");
        assert_eq!((shop.text("plan.json"), shop.text("cuts.csv")), before);
    } else {
        assert_eq!(code, 0, "{out}{err}");
    }
}

#[test]
fn a_full_disk_ends_every_command_with_2_and_a_message() {
    if !Path::new("/dev/full").exists() {
        return;
    }
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    let job = JOB.join(" ");
    let lines = [
        format!("check {job}"),
        format!("plan {job}"),
        format!("plan {job} --draw --bench"),
        format!("plan {job} --json -"),
        format!("plan {job} --cuts -"),
        format!("plan {job} --sheet -"),
        format!("survey {job}"),
        format!("verify {job} plan.json"),
        format!("glue {job} plan.json"),
        "look-for --paddles paddles.toml".to_owned(),
        "start new".to_owned(),
        "--help".to_owned(),
        "--version".to_owned(),
        "help plan".to_owned(),
        "plan --help".to_owned(),
    ];
    for line in lines {
        let (code, _, err) = shop.shell(&format!("\"$0\" {line} > /dev/full"));
        assert_eq!(code, 2, "{line}");
        assert!(err.starts_with("standard output: cannot be written: "), "{line}: {err}");
    }
    for option in ["--json", "--cuts", "--sheet"] {
        let (code, _, err) = shop.plan(&[option, "/dev/full"]);
        assert_eq!(code, 2, "{option}");
        assert!(err.starts_with("/dev/full: cannot be written: "), "{option}: {err}");
    }
}

#[test]
fn several_outputs_are_all_written_or_none() {
    let shop = Shop::new();
    let job = JOB.join(" ");
    fs::write(shop.at("plan.json"), "old plan").unwrap();
    if Path::new("/dev/full").exists() {
        let more = ["--json", "plan.json", "--svg", "new/d", "--sheet", "/dev/full"];
        assert_eq!(shop.plan(&more).0, 2);
        assert_eq!(shop.text("plan.json"), "old plan");
        assert!(!shop.at("new").exists());
        // What is printed counts too.
        let line = format!("\"$0\" plan {job} --json plan.json > /dev/full");
        assert_eq!(shop.shell(&line).0, 2);
        assert_eq!(shop.text("plan.json"), "old plan");
    }
    // A disk with room for the small files and not for the page.
    let line = format!(
        "trap '' XFSZ; ulimit -f 40; \"$0\" plan {job} --json plan.json --cuts cuts.csv --sheet page.html > said"
    );
    let (code, _, err) = shop.shell(&line);
    assert_eq!(code, 2, "{err}");
    assert!(err.starts_with("page.html: cannot be written: "), "{err}");
    assert_eq!(shop.text("plan.json"), "old plan");
    assert_eq!(shop.names(), ["boards.csv", "paddles.toml", "plan.json", "said", "yard.csv"]);
}

#[test]
fn drawings_of_an_older_plan_go_and_files_of_a_person_stay() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--svg", "d"]).0, 0);
    // A plan with more boards had been drawn there; one of its drawings was worked on since.
    let drawn = shop.text("d/board-1.svg");
    fs::write(shop.at("d/board-77.svg"), &drawn).unwrap();
    fs::write(shop.at("d/stack-78.svg"), drawn.replace("</svg>", "<g/></svg>")).unwrap();
    fs::write(shop.at("d/board-79.svg"), "<svg>mine</svg>").unwrap();
    fs::write(shop.at("d/copy of board-1.svg"), &drawn).unwrap();
    assert_eq!(shop.plan(&["--svg", "d"]).0, 0);
    assert!(!shop.at("d/board-77.svg").exists());
    for kept in ["stack-78.svg", "board-79.svg", "copy of board-1.svg", "board-1.svg"] {
        assert!(shop.at("d").join(kept).exists(), "{kept}");
    }
    assert!(roxmltree::Document::parse(&drawn).is_ok());
    // What is not a drawing is not written over either, nor an input through a link.
    fs::write(shop.at("d/board-1.svg"), "<svg>mine</svg>").unwrap();
    let (code, _, err) = shop.plan(&["--svg", "d", "--json", "plan.json"]);
    assert_eq!(code, 2);
    assert!(err.starts_with("d/board-1.svg: is not a drawing as this program left it"), "{err}");
    assert_eq!(shop.text("d/board-1.svg"), "<svg>mine</svg>");
    assert!(!shop.at("plan.json").exists());
    fs::create_dir(shop.at("e")).unwrap();
    symlink("../boards.csv", shop.at("e/board-2.svg")).unwrap();
    let (code, _, err) = shop.plan(&["--svg", "e"]);
    assert_eq!(code, 2);
    assert!(err.contains("e/board-2.svg") && err.contains("boards.csv"), "{err}");
    let (code, _, err) = shop.plan(&["--svg", "f", "--json", "e/../board-1.svg"]);
    assert_eq!((code, err.as_str()), (0, ""));
    let (code, _, _) = shop.plan(&["--svg", ".", "--json", "board-1.svg"]);
    assert_eq!(code, 2);
}

#[test]
fn what_a_killed_run_left_is_swept_by_the_next() {
    if !Path::new("/proc/self/comm").exists() {
        return;
    }
    let shop = Shop::new();
    let mut child = slow(&shop, &["--json", "plan.json"]);
    wait_for(|| shop.names().iter().any(|n| n.starts_with(".stripwright-")));
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(shop.names().iter().any(|n| n.starts_with(".stripwright-")));
    fs::write(shop.at(".stripwright-notes"), "mine").unwrap();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    let left: Vec<_> =
        shop.names().into_iter().filter(|n| n.starts_with(".stripwright-")).collect();
    assert_eq!(left, [".stripwright-notes"]);
}

#[test]
fn a_run_keeps_its_files_by_whatever_name_while_others_run_beside_it() {
    let shop = Shop::new();
    symlink(assert_cmd::cargo::cargo_bin("stripwright"), shop.at("paddlesmith")).unwrap();
    assert!(Command::new("mkfifo").arg(shop.at("held")).status().unwrap().success());
    let mut run = Command::new(shop.at("paddlesmith"));
    run.current_dir(shop.at("")).arg("plan").args(JOB);
    run.args(["--json", "plan.json", "--cuts", "held"]).stdout(Stdio::null());
    let mut child = run.spawn().unwrap();
    wait_for(|| shop.names().iter().any(|n| n.starts_with(".stripwright-")));
    assert_eq!(shop.plan(&["--json", "other.json"]).0, 0);
    assert!(!shop.at("plan.json").exists());
    let cuts = fs::read_to_string(shop.at("held")).unwrap();
    assert!(cuts.starts_with("board"), "{cuts}");
    assert_eq!(child.wait().unwrap().code(), Some(0));
    assert_eq!(shop.text("plan.json"), shop.text("other.json"));
}

#[test]
fn temporary_files_are_gone_after_a_second_request_to_end() {
    for signal in ["INT", "TERM"] {
        let shop = Shop::new();
        let mut child = slow(&shop, &["--json", "plan.json", "--svg", "new/d"]);
        wait_for(|| shop.names().iter().any(|n| n.starts_with(".stripwright-")));
        wait_for(|| shop.at("new/d").exists());
        // Reading is over by now, so both requests come while it searches, or it has ended.
        for _ in 0..2 {
            std::thread::sleep(Duration::from_millis(300));
            let line = format!("kill -{signal} {} 2>/dev/null", child.id());
            let _ = Command::new("sh").arg("-c").arg(line).status().unwrap();
        }
        child.wait().unwrap();
        let names = shop.names();
        assert!(!names.iter().any(|n| n.starts_with(".stripwright-")), "{signal}: {names:?}");
    }
}

/// A run that takes its time: a pipe that nobody reads keeps it from ending.
fn slow(shop: &Shop, more: &[&str]) -> std::process::Child {
    assert!(Command::new("mkfifo").arg(shop.at("held")).status().unwrap().success());
    let words = [&["plan"], &JOB[..], more, &["--cuts", "held"]].concat();
    shop.command(&words).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

pub(crate) fn wait_for(mut come: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !come() {
        assert!(begun.elapsed() < Duration::from_secs(60), "it never came");
        std::thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn an_output_folder_that_vanishes_is_said_and_nothing_else_is_changed() {
    let shop = Shop::new();
    fs::create_dir(shop.at("gone")).unwrap();
    fs::write(shop.at("cuts.csv"), "old cuts").unwrap();
    assert!(Command::new("mkfifo").arg(shop.at("held")).status().unwrap().success());
    let words = [
        &["plan"],
        &JOB[..],
        &["--json", "gone/plan.json", "--cuts", "cuts.csv", "--sheet", "held"],
    ]
    .concat();
    let child = shop.command(&words).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
    wait_for(|| shop.at("gone").read_dir().unwrap().next().is_some());
    fs::remove_dir_all(shop.at("gone")).unwrap();
    let page = fs::read_to_string(shop.at("held")).unwrap();
    assert!(page.trim_end().ends_with("</html>"));
    let (code, _, err) = told(child.wait_with_output().unwrap());
    assert_eq!(code, 2);
    assert!(err.starts_with("gone/plan.json: cannot be written: "), "{err}");
    assert_eq!(shop.text("cuts.csv"), "old cuts");
    assert!(!shop.names().iter().any(|n| n.starts_with(".stripwright-")));
}
