//! Very many drawings, and what is left where a run is ended or killed between many files.
#![cfg(unix)]

use crate::files_lost::{Shop, wait_for};
use crate::jobs::shop;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// A job of so many paddles, and boards alike that are more than enough.
fn many(paddles: u32) -> Shop {
    let job = shop("")
        .paddle("small", ["84", "20", "1"], &format!("quantity = {paddles}; rings = 0"))
        .through("side", "1/2")
        .text();
    let made = Shop::new();
    fs::write(made.at("paddles.toml"), job).unwrap();
    let head = "board,species,length,width,thickness,quantity";
    let boards = format!("{head}\nb,fir,96,5 1/2,1 1/2,{paddles}\n");
    fs::write(made.at("boards.csv"), boards).unwrap();
    made
}

fn temporaries(shop: &Shop, folder: &str) -> Vec<String> {
    let names = shop.at(folder).read_dir().unwrap();
    let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name.starts_with(".stripwright-")).collect()
}

/// Every drawing was kept open until all got their names: beyond what may be open at once there
/// was no plan.
#[test]
fn there_may_be_more_drawings_than_files_that_may_be_open() {
    let shop = many(60);
    for _ in 0..2 {
        let (code, _, err) = shop.shell(
            "ulimit -n 40 && exec \"$0\" plan --boards boards.csv --paddles paddles.toml --svg d",
        );
        assert_eq!((code, err.as_str()), (0, ""));
        let names: Vec<_> = shop.at("d").read_dir().unwrap().collect();
        assert!(names.len() > 64, "{}", names.len());
        assert_eq!(temporaries(&shop, "d"), [""; 0]);
        for name in ["blank-1.svg", "board-1.svg", "stack-60.svg"] {
            let drawing = shop.text(&format!("d/{name}"));
            assert!(drawing.starts_with("<svg") && drawing.contains("<!-- drawn by "), "{name}");
        }
    }
}

/// A request to end that comes while pages are written is heard soon, and what an earlier run
/// wrote stays as it was.
#[test]
fn a_stop_while_pages_are_written_leaves_an_earlier_run_as_it_was() {
    let shop = many(1);
    let outputs = ["--json", "plan.json", "--sheet", "page.html", "--svg", "d"];
    assert_eq!(shop.plan(&outputs).0, 0);
    let earlier = ["plan.json", "page.html", "d/board-1.svg", "d/stack-1.svg"];
    let before = earlier.map(|name| shop.text(name));
    let more = many(6000);
    for name in ["boards.csv", "paddles.toml"] {
        fs::copy(more.at(name), shop.at(name)).unwrap();
    }
    let words = [&["plan"], &crate::files_lost::JOB[..], &outputs].concat();
    let mut child =
        shop.command(&words).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    // The page is the first that is written before all is worked out.
    let begun = |name: &String| fs::metadata(shop.at(name)).is_ok_and(|meta| meta.len() > 0);
    wait_for(|| temporaries(&shop, ".").iter().any(begun));
    let asked = Instant::now();
    let line = format!("kill -TERM {}", child.id());
    assert!(Command::new("sh").arg("-c").arg(line).status().unwrap().success());
    assert_eq!(child.wait().unwrap().code(), Some(130));
    // Within a second; a busy machine gets some more.
    assert!(asked.elapsed() < Duration::from_secs(10), "{:?}", asked.elapsed());
    assert_eq!(earlier.map(|name| shop.text(name)), before);
    assert_eq!(temporaries(&shop, "."), [""; 0]);
    assert_eq!(temporaries(&shop, "d"), [""; 0]);
    assert_eq!(shop.at("d").read_dir().unwrap().count(), 3);
}

/// Where a run is killed outright between its files it can leave files of two plans. What it had
/// set aside shows that, is swept, and it is said.
#[test]
fn that_a_run_was_killed_between_its_files_is_said_by_the_next() {
    if !Path::new("/proc/self/comm").exists() {
        return;
    }
    let shop = Shop::new();
    assert!(Command::new("mkfifo").arg(shop.at("held")).status().unwrap().success());
    let words =
        [&["plan"], &crate::files_lost::JOB[..], &["--json", "plan.json", "--cuts", "held"]]
            .concat();
    let mut child =
        shop.command(&words).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    wait_for(|| !temporaries(&shop, ".").is_empty());
    child.kill().unwrap();
    child.wait().unwrap();
    let left = temporaries(&shop, ".").remove(0);
    fs::write(shop.at("page.html"), "of another plan").unwrap();
    // As it stands between two files: one has its name, what stood there is still kept.
    fs::rename(shop.at(&left), shop.at(&left.replace(".tmp", ".old"))).unwrap();
    let (code, _, err) = shop.plan(&["--json", "plan.json"]);
    assert_eq!(code, 0);
    assert!(err.contains("an earlier run was killed while it put its files in place"), "{err}");
    assert_eq!(temporaries(&shop, "."), [""; 0]);
    assert_eq!(shop.text("page.html"), "of another plan");
    assert_eq!(shop.plan(&["--json", "plan.json"]).2, "");
}

/// `-` is standard output for every other output; a folder of that name was made.
#[test]
fn no_folder_is_named_by_the_sign_of_standard_output() {
    let shop = Shop::new();
    for (code, out, err) in [shop.plan(&["--svg", "-"]), shop.run(&["start", "-"])] {
        assert_eq!((code, out.as_str()), (2, ""));
        assert!(err.starts_with("-: stands for standard output"), "{err}");
    }
    assert!(!shop.at("-").exists());
    assert_eq!(shop.plan(&["--svg", "./-"]).0, 0);
    assert!(shop.at("-/board-1.svg").exists());
}
