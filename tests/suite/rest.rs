//! What is said where not everybody gets a paddle: who does, what the others lack once that is cut,
//! and what finds it. By the real binary.

use crate::jobs::{ended as run, flat, shop};

/// Everybody wants one paddle of a size of their own, with a pair of strips and a spine.
fn class(lengths: &[(&str, &str)]) -> String {
    let mut job = shop("edge = 0; far_edge = 0; board_end = 0; dress = 0; plane = 0; min_rip = 4");
    for (name, length) in lengths {
        job = job
            .paddle(name, [length, "8", "1"], "trim = 0; rings = 0")
            .spine("1/4")
            .with("species = [\"ash\"]")
            .through("side", "1/2")
            .with("species = [\"fir\"]");
    }
    job.text()
}

const HEAD: &str = "board,species,length,width,thickness,rings,price\n";

fn folder(paddles: &str, boards: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("boards.csv"), format!("{HEAD}{boards}")).unwrap();
    std::fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    folder
}

const BUILDERS: [(&str, &str); 5] =
    [("Una", "24"), ("Bram", "25"), ("Cleo", "26 1/64"), ("Dov", "60 mm"), ("Eli", "70")];

/// Sides for two and a half, spines for three.
fn short() -> tempfile::TempDir {
    let builders = BUILDERS.map(|(name, l)| (name, if l == "60 mm" { "1500 mm" } else { l }));
    folder(&class(&builders), "F,fir,27,3,1,90,3\nA,ash,27,1,1,90,2\n")
}

#[test]
fn what_the_others_lack_agrees_with_who_gets_a_paddle() {
    let job = short();
    let (code, out, err) = run(job.path(), &["plan", "--width", "200"]);
    assert_eq!(code, 1, "{out}{err}");
    let out = flat(&out);
    for said in [
        "They make 2 of 5 paddles, for ",
        ", and none for ",
        "Once that is cut, what is left of the boards leaves the others short of these",
        // Inches don't hold a metric size: beside it stands the size in millimetres.
        "(1500 mm)",
        "of fir, the longest 70 in, together",
        "of ash, the longest 70 in, together",
        "plan --most plans what they make.",
        "What to buy beside these boards, from a yard's list: stripwright buy --yard YARD.csv",
    ] {
        assert!(out.contains(said), "{said}: {out}");
    }
    // Nobody who gets a paddle lacks a strip.
    let list = out.split("Once that is cut").nth(1).unwrap();
    let gets = out.split("for ").nth(1).unwrap().split(", and none").next().unwrap();
    for name in gets.split(" and ") {
        assert!(!list.contains(&format!("{name} side")), "{name}: {out}");
        assert!(!list.contains(&format!("{name} spine")), "{name}: {out}");
    }
    // The plan of those says the same of the others.
    let (code, most, _) = run(job.path(), &["plan", "--most", "--width", "200"]);
    assert_eq!(code, 0);
    let most = flat(&most);
    assert!(
        most.contains("Not made: ") && most.contains("give no more paddles (proved)"),
        "{most}"
    );
    let told = list.split("plan --most").next().unwrap();
    assert!(most.contains(told.trim()), "{told}\n{most}");
}

/// What the list says is enough: with boards that give it there is a plan.
#[test]
fn what_is_short_bought_the_job_can_be_made() {
    let job = short();
    let (_, out, _) = run(job.path(), &["plan", "--width", "200"]);
    let mut boards = "F,fir,27,3,1,90,3\nA,ash,27,1,1,90,2\n".to_owned();
    let list = out.split("Once that is cut").nth(1).unwrap();
    let mut strips = 0;
    for line in list.lines().filter(|l| l.contains(" rough).")) {
        let n: u32 = line.trim().split(' ').next().unwrap().parse().unwrap();
        let (wood, wide) = if line.contains("side") { ("fir", "1/2") } else { ("ash", "1/4") };
        for _ in 0..n {
            strips += 1;
            boards += &format!("N{strips},{wood},70,{wide},1,90,1\n");
        }
    }
    assert!(strips > 0, "{out}");
    std::fs::write(job.path().join("boards.csv"), format!("{HEAD}{boards}")).unwrap();
    let (code, out, err) = run(job.path(), &["plan"]);
    assert_eq!(code, 0, "{out}{err}");
}

#[test]
fn the_command_to_buy_names_the_files_that_were_read() {
    let job = short();
    let at = job.path();
    std::fs::write(at.join("yard.csv"), format!("{HEAD}Y,fir,96,5,1,90,9\n")).unwrap();
    let told = |words: &[&str]| {
        let (code, out, err) = run(at, words);
        assert_eq!(code, 1, "{err}");
        let out = flat(&out);
        out.split("yard's list: ").nth(1).unwrap().to_owned()
    };
    assert_eq!(told(&["plan", "--width", "400"]), "stripwright buy");
    std::fs::rename(at.join("boards.csv"), at.join("my boards.csv")).unwrap();
    let files = ["--boards", "my boards.csv", "--paddles", "paddles.toml", "--width", "400"];
    let command = told(&[&["plan"], &files[..]].concat());
    assert_eq!(command, "stripwright buy --boards 'my boards.csv' --paddles paddles.toml");
    let words: Vec<String> = shlex::split(&command).unwrap();
    let words: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
    let (code, out, err) = run(at, &words);
    // The yard has no ash: what is asked of it is answered.
    assert_eq!(code, 1, "{out}{err}");
}

#[test]
fn a_budget_lists_no_paddles_of_which_it_buys_none() {
    let job = short();
    let yard = "Y,fir,96,5,1,90,9\nZ,ash,96,5,1,90,50\n";
    std::fs::write(job.path().join("yard.csv"), format!("{HEAD}{yard}")).unwrap();
    let words = ["buy", "--budget", "9", "--sheet", "card.html"];
    let (code, out, err) = run(job.path(), &words);
    assert_eq!(code, 0, "{err}");
    let card = std::fs::read_to_string(job.path().join("card.html")).unwrap();
    for text in [&out, &card] {
        assert!(text.contains("1 × ") && !text.contains("0 × "), "{text}");
    }
}

/// Builders whose paddles differ in length alone share a card, with what each needs.
#[test]
fn builders_alike_share_a_card_of_look_for() {
    let job = folder(&class(&[("Una", "24"), ("Bram", "25"), ("Cleo", "26"), ("Dov", "60")]), "");
    let (code, _, err) = run(job.path(), &["look-for", "--sheet", "card.html"]);
    assert_eq!(code, 0, "{err}");
    let card = std::fs::read_to_string(job.path().join("card.html")).unwrap();
    assert!(card.contains("Look for: Una, Bram, Cleo"), "{card}");
    assert!(card.contains("All figures below are for Cleo, the longest"), "{card}");
    assert!(card.contains("Look for: Dov") && !card.contains("Look for: Bram"), "{card}");
}
