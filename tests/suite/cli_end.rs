//! How a run ends that is asked to, or that can't say what it has to say.
#![cfg(unix)]

use crate::files_lost::{JOB, Shop, told, wait_for};
use std::fs;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

fn pipe(shop: &Shop) {
    assert!(Command::new("mkfifo").arg(shop.at("pipe")).status().unwrap().success());
}

fn started(shop: &Shop, words: &[&str]) -> Child {
    let mut command = shop.command(words);
    command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
}

fn send(signal: &str, child: &Child) {
    let line = format!("kill -{signal} {}", child.id());
    assert!(Command::new("sh").arg("-c").arg(line).status().unwrap().success());
}

/// How long a run takes to end.
fn ending(child: &mut Child) -> Duration {
    let begun = Instant::now();
    wait_for(|| child.try_wait().unwrap().is_some());
    begun.elapsed()
}

/// Waiting at a pipe, a run did not hear the first request to end.
#[test]
fn a_run_that_waits_at_a_pipe_ends_at_the_first_request() {
    let job = |more: &[&'static str]| [&JOB[..], more].concat();
    let jobs = [
        [&["plan"], &job(&["--cuts", "pipe"])[..]].concat(),
        vec!["plan", "--boards", "pipe", JOB[2], JOB[3]],
        [&["verify"], &job(&["pipe"])[..]].concat(),
        [&["glue"], &job(&["pipe"])[..]].concat(),
        [&["glue"], &job(&["plan.json", "--out", "pipe"])[..]].concat(),
        vec!["buy", "--yard", "yard.csv", JOB[2], JOB[3], "--json", "pipe"],
    ];
    for (n, words) in jobs.iter().enumerate() {
        let signal = ["INT", "TERM", "HUP"][n % 3];
        let shop = Shop::new();
        assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
        pipe(&shop);
        let mut child = started(&shop, words);
        // The job is small: by then it waits.
        std::thread::sleep(Duration::from_secs(3));
        assert!(child.try_wait().unwrap().is_none(), "{words:?}");
        send(signal, &child);
        // A second is what it should take; machines may be busy.
        let took = ending(&mut child);
        assert!(took < Duration::from_secs(5), "{words:?}: {took:?}");
        assert!(!child.wait().unwrap().success(), "{words:?}");
        assert!(!shop.names().iter().any(|n| n.starts_with(".stripwright-")), "{words:?}");
    }
}

/// `nohup` and the like start a program so that it outlives its terminal.
#[test]
fn a_hang_up_that_is_ignored_at_the_start_stays_so() {
    let shop = Shop::new();
    pipe(&shop);
    let line = format!("trap '' HUP; exec \"$0\" plan {} --cuts pipe", JOB.join(" "));
    let program = assert_cmd::cargo::cargo_bin("stripwright");
    let mut shell = Command::new("sh");
    shell.current_dir(shop.at("")).arg("-c").arg(line).arg(program);
    let mut child = shell.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    std::thread::sleep(Duration::from_secs(3));
    for _ in 0..2 {
        send("HUP", &child);
        std::thread::sleep(Duration::from_secs(1));
        assert!(child.try_wait().unwrap().is_none());
    }
    // It waits still, and does its work.
    assert!(fs::read_to_string(shop.at("pipe")).unwrap().starts_with("board,"));
    assert!(child.wait().unwrap().success());
}

#[test]
fn a_closed_standard_output_is_an_error_for_every_command() {
    let shop = Shop::new();
    assert_eq!(shop.plan(&["--json", "plan.json"]).0, 0);
    let job = JOB.join(" ");
    for line in [
        format!("check {job}"),
        format!("plan {job}"),
        format!("plan {job} --json new.json"),
        format!("plan {job} --json -"),
        format!("survey {job}"),
        format!("verify {job} plan.json"),
        format!("glue {job} plan.json"),
        "look-for --paddles paddles.toml".to_owned(),
        "start new".to_owned(),
        "--help".to_owned(),
        "--version".to_owned(),
    ] {
        let (code, _, err) = shop.shell(&format!("\"$0\" {line} >&-"));
        let said = "standard output: cannot be written: it is closed.\n";
        assert_eq!((code, err.as_str()), (2, said), "{line}");
    }
    assert!(!shop.at("new.json").exists());
    // What prints nothing misses nothing, and nowhere is somewhere.
    let (code, ..) = shop.shell(&format!("\"$0\" glue {job} plan.json --out sheets.txt >&-"));
    assert_eq!(code, 0);
    assert_eq!(shop.shell(&format!("\"$0\" plan {job} >/dev/null")).0, 0);
    let both = fs::OpenOptions::new().read(true).write(true).open("/dev/null").unwrap();
    let words = [&["plan"], &JOB[..]].concat();
    assert_eq!(told(shop.command(&words).stdout(both).output().unwrap()).0, 0);
}

/// Runs of many thousand zones were looked for with the square of their number.
#[test]
fn a_board_of_very_many_zones_is_checked() {
    let shop = Shop::new();
    let head = "board,species,length,width,thickness,rings,zone,from,to,near,far\n";
    let mut boards = format!("{head}b,western redcedar,96,7,1 1/2,75,,,,,\n");
    for zone in 0_u64..20_000 {
        // Anywhere on the board, the same in every run.
        let (along, across) = (zone * 7919 % 9500, zone * 104_729 % 670);
        let [from, to, near, far] = [along, along + 20, across, across + 20]
            .map(|hundredths| format!("{}.{:02}", hundredths / 100, hundredths % 100));
        boards.push_str(&format!("b,,,,,,knot,{from},{to},{near},{far}\n"));
    }
    fs::write(shop.at("boards.csv"), boards).unwrap();
    let mut child = started(&shop, &[&["check"], &JOB[..]].concat());
    // Seconds; it was minutes, and nothing else tells the two apart.
    let out = std::io::read_to_string(child.stdout.take().unwrap()).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0));
    assert!(out.contains("20000 knot"), "{out}");
}

/// Below 40 columns drawings were wider than the terminal, and broken by it.
#[test]
fn no_line_of_a_drawing_is_wider_than_the_terminal() {
    let shop = Shop::new();
    for width in [20, 25, 33, 39, 40, 41, 60] {
        let (code, out, err) = shop.plan(&["--draw", "--width", &width.to_string()]);
        assert_eq!((code, err.as_str()), (0, ""));
        let drawn: Vec<&str> = out.lines().take_while(|l| !l.contains("Measure")).collect();
        assert!(drawn.iter().any(|l| l.contains("section A")), "{width}: {out}");
        assert_eq!(drawn.iter().any(|l| l.contains("+---")), width >= 40, "{width}: {out}");
        for line in drawn {
            assert!(line.chars().count() <= width, "{width}: {line}");
        }
    }
}
