//! Faults from outside: pipes closed at any byte, requests to end at any instant, memory that is
//! bounded, boards of very many zones. A run ends with 0, 1 or 2, or at once when
//! asked to, in time; it never panics, leaves no temporary file, and no files of two plans.
#![cfg(unix)]

use crate::files_lost::{JOB, Shop, told};
use crate::fixtures::Dice;
use crate::jobs::bay;
use std::fs;
use std::io::Read;
use std::os::unix::process::ExitStatusExt;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

fn no_temporaries(shop: &Shop, what: &str) {
    let names = shop.names();
    assert!(!names.iter().any(|n| n.starts_with(".stripwright-")), "{what}: {names:?}");
}

/// Waits for the end, and says what was not in time.
fn ended(mut child: Child, what: &str) -> Output {
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        // It should take a second or two; machines may be busy.
        assert!(begun.elapsed() < Duration::from_secs(60), "{what}: it hangs");
        std::thread::sleep(Duration::from_millis(2));
    }
    child.wait_with_output().unwrap()
}

/// The reader of a pipe goes away after any number of bytes.
#[test]
fn a_pipe_closed_at_any_byte_ends_the_run_and_files_are_whole() {
    let shop = Shop::new();
    let mut dice = Dice(3);
    let job = JOB.to_vec();
    for words in [
        [&["plan"], &job[..], &["--sheet", "-"]].concat(),
        [&["plan"], &job[..], &["--draw", "--bench", "--json", "plan.json"]].concat(),
        [&["plan"], &job[..], &["--json", "-"]].concat(),
        [&["survey"], &job[..]].concat(),
        vec!["help", "plan"],
    ] {
        let whole = shop.command(&words).output().unwrap();
        assert!(whole.status.success(), "{words:?}");
        let plan = fs::read_to_string(shop.at("plan.json")).unwrap_or_default();
        let long = whole.stdout.len() as u64;
        for n in 0..8 {
            // The ends too: nothing read, and all but one byte.
            let bytes = [0, 1, long - 1].get(n).copied().unwrap_or_else(|| dice.roll(long));
            let mut command = shop.command(&words);
            let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
            let mut out = child.stdout.take().unwrap();
            let mut read = vec![0; bytes as usize];
            out.read_exact(&mut read).unwrap();
            drop(out);
            assert_eq!(read, whole.stdout[..bytes as usize], "{words:?}");
            let what = format!("{words:?}, {bytes} of {long} bytes");
            let (code, _, err) = told(ended(child, &what));
            assert!(!err.contains("panicked"), "{what}: {err}");
            // A reader that has had enough is no fault; files are written all the same.
            assert_eq!((code, err.as_str()), (0, ""), "{what}");
            if words.contains(&"plan.json") {
                assert_eq!(shop.text("plan.json"), plan, "{what}");
                fs::remove_file(shop.at("plan.json")).unwrap();
            }
            no_temporaries(&shop, &what);
        }
    }
}

/// Requests to end at any instant, one or two of them: files are all of the earlier run or all of
/// this one.
#[test]
fn a_signal_at_any_instant_leaves_files_of_one_plan() {
    let shop = Shop::new();
    let files = ["plan.json", "cuts.csv", "page.html"];
    let words =
        [&["plan"], &JOB[..], &["--json", files[0], "--cuts", files[1], "--sheet", files[2]]]
            .concat();
    let begun = Instant::now();
    assert_eq!(shop.run(&words).0, 0);
    let took = u64::try_from(begun.elapsed().as_micros()).unwrap();
    let new = files.map(|f| shop.text(f));
    let (mut dice, mut stopped) = (Dice(5), 0);
    for n in 0..45 {
        for file in files {
            fs::write(shop.at(file), "of an earlier run").unwrap();
        }
        let child = shop.command(&words).stdout(Stdio::null()).stderr(Stdio::piped()).spawn();
        let child = child.unwrap();
        let wait = dice.roll(took * 5 / 4);
        std::thread::sleep(Duration::from_micros(wait));
        let signal = ["INT", "TERM", "HUP"][n % 3];
        let what = format!("{signal} after {wait} of {took} µs");
        for _ in 0..=dice.roll(2) {
            let line = format!("kill -{signal} {} 2>/dev/null", child.id());
            let _ = Command::new("sh").arg("-c").arg(line).status().unwrap();
        }
        let output = ended(child, &what);
        // Before the program has begun to listen, a signal ends it as it ends any.
        let killed = output.status.signal().is_some();
        let (code, _, err) = told(output);
        assert!(!err.contains("panicked"), "{what}: {err}");
        // 130 where it ended at once.
        assert!(killed || code == 130 || [0, 1, 2].contains(&code), "{what}: {code} {err}");
        let now = files.map(|f| shop.text(f));
        let kept = now.iter().all(|t| t == "of an earlier run");
        // A search that was asked to end may have another plan, but then a whole one.
        let written = now.iter().zip(&new).all(|(t, w)| t == w || t.len() > 200);
        assert!(kept || written, "{what}: {:?}", now.map(|t| t.len()));
        stopped += u32::from(kept);
        no_temporaries(&shop, &what);
    }
    assert!(stopped > 0);
}

/// Knotty boards at random, the same every time.
fn boards(count: u64) -> String {
    let mut dice = Dice(17);
    let mut text = "board,species,length,width,thickness,rings,zone,from,to,near,far\n".to_owned();
    for n in 0..count {
        let (long, wide) = (96 + dice.roll(60), 5 + dice.roll(6));
        text += &format!("b{n},fir,{long},{wide},1 3/4,{},,,,,\n", 50 + dice.roll(40));
        for _ in 0..3 {
            let (x, y) = (2 + dice.roll(long - 6), dice.roll(wide - 1));
            text += &format!("b{n},,,,,,knot,{x},{},{y},{}\n", x + 2, y + 1);
        }
    }
    text
}

/// A dozen paddles from forty boards, and a board of 60,000 zones, in 1 GiB of address space.
#[test]
fn a_gibibyte_is_enough() {
    let shop = Shop::new();
    fs::write(shop.at("paddles.toml"), bay(12).text()).unwrap();
    fs::write(shop.at("boards.csv"), boards(40)).unwrap();
    // Without the limit of other systems there is nothing to try.
    if shop.shell("ulimit -v 1048576").0 != 0 {
        return;
    }
    let limited = |words: &str| {
        shop.shell(&format!(
            "ulimit -v 1048576 && RAYON_NUM_THREADS=4 exec \"$0\" {words} {}",
            JOB.join(" ")
        ))
    };
    let (code, out, err) = limited("plan --time-limit 15 --json plan.json --sheet page.html");
    assert_eq!(code, 0, "{out}{err}");
    assert_eq!(limited("verify plan.json").0, 0);

    let mut text = "board,species,length,width,thickness,rings,zone,from,to,near,far\n".to_owned();
    text += "b,fir,200,11,1 3/4,80,,,,,\n";
    for n in 0_u64..60_000 {
        // All over the far half of the board, in hundredths.
        let (x, y) = (10_000 + n * 7919 % 9900, n * 104_729 % 1000);
        let shown = |n: u64| format!("{}.{:02}", n / 100, n % 100);
        let (to, far) = (shown(x + 5), shown(y + 5));
        text += &format!("b,,,,,,knot,{},{to},{},{far}\n", shown(x), shown(y));
    }
    fs::write(shop.at("boards.csv"), text).unwrap();
    fs::write(shop.at("paddles.toml"), bay(1).text()).unwrap();
    let (code, _, err) = limited("check");
    assert_eq!(code, 0, "{err}");
    let begun = Instant::now();
    let (code, out, err) = limited("plan --time-limit 5 --json plan.json");
    assert!(code == 0 || code == 1, "{code} {out}{err}");
    assert!(!err.contains("panicked") && !err.contains("memory"), "{err}");
    assert!(begun.elapsed() < Duration::from_secs(120), "{:?}", begun.elapsed());
}

/// Names of ten thousand characters, wherever a name may stand: read or refused, never a fall.
#[test]
fn names_of_ten_thousand_characters_are_read_or_refused() {
    let shop = Shop::new();
    let name = "long ".repeat(2000);
    let job = bay(1).text();
    let board = |b: &str, s: &str, zone: &str| {
        format!(
            "board,species,length,width,thickness,rings,grade,zone,from,to,near,far\n\
             {b},{s},96,6,1 3/4,90,{zone},{zone},1,2,1,2\n"
        )
    };
    for (boards, paddles) in [
        (board(&name, "fir", "knot"), job.clone()),
        (board("b", &name, "knot"), job.clone()),
        (board("b", "fir", &name), job.clone()),
        (board("b", "fir", "knot"), job.replace("\"bay\"", &format!("{name:?}"))),
        (board("b", "fir", "knot"), job.replace("\"side\"", &format!("{name:?}"))),
        (board("b", "fir", "knot"), job.replacen("name", &format!("{:?} = 1\nname", name), 1)),
    ] {
        fs::write(shop.at("boards.csv"), boards).unwrap();
        fs::write(shop.at("paddles.toml"), paddles).unwrap();
        for more in [&["--draw", "--bench"][..], &["--json", "-"], &["--svg", "drawings"]] {
            let (code, out, err) = shop.plan(more);
            assert!((0..=2).contains(&code), "{code}: {err}");
            assert!(!err.contains("panicked"), "{err}");
            assert!(!out.is_empty() || !err.is_empty());
            // A refusal shows so much of a name that it can be found, and no more.
            assert!(code != 2 || err.len() < 5_000, "{}", err.len());
        }
    }
}
