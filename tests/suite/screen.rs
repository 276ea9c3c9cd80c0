//! What is printed on the screen, by the real binary: tables first, why there is no plan, litres.

use crate::jobs::{ended as run, flat};

const HEAD: &str = "board,species,length,width,thickness";

fn paddles(quantity: u32) -> String {
    format!(
        "[[paddle]]\nname = \"touring\"\nquantity = {quantity}\nlength = 84\nloom = 20\n\
         thickness = \"1 3/8\"\nrings = 0\n\
         [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\nruns = \"through\"\n"
    )
}

const METRIC: &str = "\
units = \"mm\"
[[paddle]]
name = \"touring\"
length = 2134
loom = 500
thickness = 35
rings = 0
[[paddle.lamination]]
name = \"side\"
thickness = 12
runs = \"through\"
species = [\"western redcedar\"]
";

fn job(paddles: &str, boards: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    std::fs::write(folder.path().join("boards.csv"), boards).unwrap();
    folder
}

/// Forty boards: every fourth too short, every fifth with a knot in the middle.
fn forty() -> String {
    let mut list = format!("{HEAD},zone,from,to,near,far\n");
    for n in 1..=40 {
        let length = if n % 4 == 0 { 80 } else { 96 };
        list.push_str(&format!("b{n},western redcedar,{length},3 1/2,1 1/2,,,,,\n"));
        if n % 5 == 0 {
            list.push_str(&format!("b{n},,,,,knot,40,42,0,3 1/2\n"));
        }
    }
    list
}

#[test]
fn a_survey_of_forty_boards_is_a_table_and_details_are_for_those_asked_for() {
    let job = job(&paddles(1), &forty());
    let (code, out, _) = run(job.path(), &["survey", "--width", "100"]);
    assert_eq!(code, 0);
    assert!(out.lines().count() < 60, "{} lines", out.lines().count());
    for head in ["board", "covers", "short of", "nearest change"] {
        assert!(out.contains(head), "{head}: {out}");
    }
    let row = |board: &str| {
        let begins = format!("│ {board} ");
        out.lines().find(|l| l.starts_with(&begins)).unwrap_or_else(|| panic!("{board}: {out}"))
    };
    // A board of 3 1/2 in gives four strips of 1/2 in, dressed and with their kerfs: two paddles.
    assert!(row("b1").contains("│ 2"), "{}", row("b1"));
    assert!(row("b4").contains("none") && row("b4").contains("2 side"), "{}", row("b4"));
    // What is to be shorter is the paddle, not the board whose row it is.
    assert!(row("b4").contains("│ paddle "), "{}", row("b4"));
    assert!(row("b5").contains("no knot at 40\""), "{}", row("b5"));
    assert!(!out.contains("Board b1 ("), "{out}");
    let (code, more, _) = run(job.path(), &["survey", "--detail", "b5", "--detail", " b4 "]);
    assert_eq!(code, 0);
    assert_eq!(more.matches("Board b").count(), 2);
    assert!(more.contains("Board b5 (") && more.contains("Board b4 ("), "{more}");
    let (_, all, _) = run(job.path(), &["survey", "--all"]);
    assert_eq!(all.matches("Board b").count(), 40);
    let (code, out, err) = run(job.path(), &["survey", "--detail", "b55"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("--detail: \"b55\" is not a board of this job"), "{err}");
}

#[test]
fn no_plan_says_how_many_there_are_and_what_the_next_one_lacks() {
    // Two strips a paddle, five from the board: it makes two of five.
    let job = job(&paddles(5), &format!("{HEAD}\nA,western redcedar,96,3 1/2,1 1/2\n"));
    let (code, out, _) = run(job.path(), &["plan"]);
    assert_eq!(code, 1);
    let said = flat(&out);
    for text in [
        "No plan: these boards don't give every strip (proved). They make 2 of 5 × touring.",
        "For the third the best cut found leaves these short:",
        "1 strip short: touring side",
        "it gives 5 of 6.",
        "plan --most plans what they make. What to buy beside these boards, from a yard's list: stripwright buy --yard YARD.csv",
    ] {
        assert!(said.contains(text), "{text}: {out}");
    }
    // What it says holds: --most makes as many.
    let (code, out, _) = run(job.path(), &["plan", "--most"]);
    assert_eq!(code, 0);
    assert!(out.starts_with("2 × touring from 1 board."), "{out}");
}

#[test]
fn no_plan_for_any_of_several_says_so() {
    let job = job(&paddles(3), &format!("{HEAD}\nA,western redcedar,60,3 1/2,1 1/2\n"));
    let (code, out, _) = run(job.path(), &["plan"]);
    assert_eq!(code, 1);
    let said = flat(&out);
    assert!(said.contains("They make none of 3 × touring. For the first"), "{out}");
    assert!(!said.contains("--most"), "{out}");
}

#[test]
fn check_counts_the_strips_of_a_board_beyond_what_is_wanted() {
    let list = format!("{HEAD}\nA,western redcedar,96,5 1/2,1 1/2\n");
    let one = run(job(&paddles(1), &list).path(), &["check"]).1;
    let many = run(job(&paddles(9), &list).path(), &["check"]).1;
    let gives = |out: &str| {
        let row = out.lines().find(|l| l.starts_with("│ A ")).unwrap().to_owned();
        row.split('│').rev().nth(1).unwrap().trim().to_owned()
    };
    assert_eq!(gives(&one), gives(&many));
    let n: u32 = gives(&one).split(' ').next().unwrap().parse().unwrap();
    assert!(n > 2, "{one}");
}

#[test]
fn a_metric_job_counts_wood_in_cubic_decimetres() {
    // 2400 x 140 x 38 mm are 12.768 dm³.
    let job = job(METRIC, &format!("{HEAD}\nA,western redcedar,2400,140,38\n"));
    let (code, out, _) = run(job.path(), &["plan"]);
    assert_eq!(code, 0);
    assert!(out.contains("dm³") && out.contains("12.77"), "{out}");
    // A board foot is 144 cubic inches, an inch 25.4 mm: 12.768 dm³ are 5.41 of them.
    assert!(flat(&out).contains("Wood opened 5.41 board feet (12.77 dm³)"), "{out}");
    let inch = run(
        self::job(&paddles(1), &format!("{HEAD}\nA,western redcedar,96,3 1/2,1 1/2\n")).path(),
        &["plan"],
    );
    assert!(!inch.1.contains("dm³"));
}

#[test]
fn a_metric_job_is_told_metric_sizes_to_look_for() {
    let job = job(METRIC, "");
    let (code, out, _) = run(job.path(), &["look-for"]);
    assert_eq!(code, 0);
    for text in ["25 x 125", "2.4 m", "3.6 m", "EN 1313-1"] {
        assert!(out.contains(text), "{text}: {out}");
    }
    assert!(!out.contains(" ft") && !out.contains("5/4"), "{out}");
}

#[test]
fn an_inch_job_with_a_metric_paddle_shows_both() {
    let metric = paddles(1).replace("length = 84", "length = \"2200 mm\"");
    let job = job(&metric, &format!("{HEAD}\nA,western redcedar,96,3 1/2,1 1/2\n"));
    let (_, out, _) = run(job.path(), &["check"]);
    assert!(flat(&out).contains("\" (2200 mm) long"), "{out}");
    assert!(!flat(&out).contains("20\" ("), "{out}");
}

#[test]
fn the_drawing_comes_after_the_heading() {
    let job = job(&paddles(1), &format!("{HEAD}\nA,western redcedar,96,3 1/2,1 1/2\n"));
    let (_, plain, _) = run(job.path(), &["plan"]);
    let (code, out, _) = run(job.path(), &["plan", "--draw"]);
    assert_eq!(code, 0);
    let head = out.find("1 × touring from 1 board.").unwrap();
    let drawing = out.find("ref. edge+").unwrap();
    let below = out.find("Measure along a board").unwrap();
    assert!(head == 0 && head < drawing && drawing < below, "{out}");
    // Nothing is lost by drawing.
    for line in plain.lines().filter(|l| !l.is_empty()) {
        assert!(out.contains(line), "{line}");
    }
}

#[test]
fn figures_of_a_drawing_are_never_cut_short() {
    let odd = "A long board with a name,western redcedar,96.0173,3.47291,1.50031\n";
    let job = job(&paddles(1), &format!("{HEAD}\n{odd}"));
    for width in ["40", "50", "60", "80", "120"] {
        let (code, out, _) = run(job.path(), &["plan", "--draw", "--width", width]);
        assert_eq!(code, 0);
        let drawn = &out[..out.find("Measure along").unwrap()];
        for line in drawn.lines() {
            let parted = line.contains('…')
                && line.split_whitespace().any(|w| {
                    w.contains('…')
                        && w.chars().any(|c| c.is_ascii_digit() || c == '.')
                        && !w.contains("name")
                });
            assert!(!parted, "{width}: {line}");
        }
        let most = width.parse().unwrap();
        assert!(drawn.lines().all(|l| l.chars().count() <= most), "{drawn}");
    }
}

/// To prove of every change that it doesn't make a bent board serve took 20 s; what would help is
/// a hint, and is told soon.
#[test]
fn a_bent_board_that_serves_nothing_is_told_of_soon() {
    let paddles = "units = \"in\"\n[shop]\nrip_kerf = \"1/8\"\nresaw_kerf = \"1/16\"\n\
        straight = \"1/16\"\npair = \"3/4\"\npull = 1\n\
        [shop.margin]\nknot = { along = \"1/2\", across = \"1/8\" }\n\
        [[paddle]]\nname = \"Ana\"\nlength = 80\nloom = 18\nthickness = \"1 1/4\"\ntrim = \"3/8\"\n\
        rings = 45\n\
        [[paddle.lamination]]\nname = \"middle\"\nthickness = \"1/2\"\nruns = \"through\"\n\
        centre = true\n\
        [[paddle.lamination]]\nname = \"loom\"\nthickness = \"3/8\"\nruns = \"through\"\n\
        [[paddle.lamination]]\nname = \"blade\"\nthickness = \"3/4\"\nruns = \"blade\"\n";
    let boards = format!(
        "{HEAD},rings,crook,bow,runout,rises,zone,from,to,near,far\n\
         H,western redcedar,96,5 1/2,1 1/2,75,1/8,5/8,1:20,far,,,,,\n\
         H,,,,,,,,,,knot,31 1/4,32 1/2,2,3 1/8\n"
    );
    let job = job(paddles, &boards);
    let began = std::time::Instant::now();
    let (code, out, _) = run(job.path(), &["survey"]);
    assert_eq!(code, 0);
    assert!(out.contains("none") && out.contains("long"), "{out}");
    assert!(began.elapsed().as_secs() < 10, "{:?}", began.elapsed());
}

/// A size with two figures, as a tape shows it and exactly, is explained once where one stands.
#[test]
fn what_a_size_with_two_figures_is_stands_once_before_the_first() {
    let folder = tempfile::tempdir().unwrap();
    let paddles = |thick: &str| {
        format!(
            "[[paddle]]\nname = \"p\"\nlength = 36\nloom = 12\nthickness = \"1 1/4\"\n\
             [[paddle.lamination]]\nname = \"side\"\nthickness = \"{thick}\"\nruns = \"through\"\n"
        )
    };
    let boards = "board,species,length,width,thickness,rings\nA,red alder,80,5 1/2,1 1/2,75\n";
    std::fs::write(folder.path().join("boards.csv"), boards).unwrap();
    for (thick, times) in [("5/8", 0), ("16 mm", 1)] {
        std::fs::write(folder.path().join("paddles.toml"), paddles(thick)).unwrap();
        let (code, out, err) = crate::jobs::run(folder.path(), &["plan", "--steps"]);
        assert_eq!(code, Some(0), "{err}");
        let told = "A size with two figures is one size";
        assert_eq!(out.matches(told).count(), times, "{out}");
        if let Some(at) = out.find(told) {
            assert!(at < out.find('~').unwrap(), "{out}");
        }
    }
}
