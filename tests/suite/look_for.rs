//! What to look for at the rack, against planning boards of those sizes that are written out.

use crate::jobs::{JobText, shop};
use stripwright::choose::{Aim, Options, plan};
use stripwright::length::{Length, Units};
use stripwright::paddle::Job;
use stripwright::read::{List, boards_text, job_text};
use stripwright::report;
use stripwright::survey::look::{LONG, look};

fn text() -> JobText {
    shop(r#"far_edge = 0; curve_kerf = "1/8"; resaw_kerf = "1/16"; straight = "1/16"; pair = "3/4"; pull = 1"#)
        .paddle("short", ["72", "18", "1 1/4"], "trim = 0; rings = 45")
        .through("side", "1/2").with(r#"species = ["fir"]"#)
        .blade("edge", "3/8")
}

fn job() -> Job {
    text().job()
}

fn gives(job: &Job, size: &str, feet: u32, rings: &str) -> u32 {
    let text = format!("board,species,size,length,rings,price\nb,fir,{size},{feet}',{rings},1\n");
    let boards = boards_text("y.csv", &text, Units::Inch, List::Yard).unwrap();
    let options = Options { aim: Aim::Most, ..Options::default() };
    match plan(job, &boards, &options) {
        Ok(plan) => plan.paddles[0],
        Err(_) => 0,
    }
}

#[test]
fn clear_boards_give_what_planning_says() {
    let job = job();
    let looks = look(&job);
    // Fir serves both laminations, another wood only the edge.
    let woods: Vec<(Option<&str>, usize)> =
        looks.iter().map(|l| (l.species.as_ref().map(|s| s.name()), l.runs.len())).collect();
    assert_eq!(woods, [(Some("fir"), 2), (None, 1)]);
    for size in &looks[0].sizes {
        if !matches!(size.size.as_str(), "1x6" | "5/4x4" | "2x4" | "2x8") {
            continue;
        }
        for (&feet, &(flat, vertical)) in LONG.iter().zip(&size.counts) {
            for (count, rings) in [(flat, "flat"), (vertical, "vertical")] {
                assert_eq!(count.made, count.at_most, "proved");
                assert_eq!(
                    count.made,
                    gives(&job, &size.size, feet, rings),
                    "{} {feet}",
                    size.size
                );
            }
        }
    }
    assert!(
        looks[0].sizes.iter().any(|s| s.counts.iter().any(|c| c.0.made > 0 && c.1.made > c.0.made))
    );
}

/// A piece of a curved board has the square of its share of the bend: over 72 of 96 in, 9/16 of
/// it. So 3/4 in a strip are 1 1/3 in the board, on the tape 1 5/16.
#[test]
fn bends_are_those_of_the_longest_strip() {
    let looks = look(&job());
    let eight = looks[0].bends.iter().find(|b| b.length == Length::FOOT * 8).unwrap();
    assert_eq!(eight.pairs, Length::inch_fraction(21, 16));
    assert_eq!(eight.pull, Length::inch_fraction(28, 16));
    assert_eq!(eight.free, Length::inch_fraction(1, 16));
}

#[test]
fn the_page_fits_its_width_and_says_each_thing_once() {
    let job = job();
    let looks = look(&job);
    for width in [20, 30, 41, 42, 60, 100] {
        let page = report::text::survey::look(&looks, &job, width);
        let widest = page.lines().map(|l| l.chars().count()).max().unwrap_or(0);
        assert!(widest <= width, "{width}: {page}");
        assert_eq!(page.matches("End grain").count(), 1);
    }
    let page = report::text::survey::look(&looks, &job, 200);
    for said in [
        "FIR for short",
        "rings at 45° or more to the wide face serve strips cut upright, at 45° or less strips cut turned.",
        "Cut upright: stay at least 1.00 × its distance from the farther face away from the pith",
    ] {
        assert!(page.contains(said), "{page}");
    }
}

/// Ash is looked for by quarters, surfaced, with widths as measured; an unknown wood by softwood's
/// sizes, and the page says so.
#[test]
fn hardwood_is_looked_for_by_quarters() {
    let text = text().text().replace("\"fir\"", "\"white ash\", \"zebrano\"");
    let job = job_text("p.toml", &text).unwrap();
    let looks = look(&job);
    let sizes: Vec<&str> = looks[0].sizes.iter().map(|s| s.size.as_str()).collect();
    assert_eq!(sizes.len(), 20);
    assert!(sizes.contains(&"8/4, 6 in") && !sizes.iter().any(|s| s.contains('x')), "{sizes:?}");
    // 8/4 by 6 in is 1 3/4 by 6 in, by hand.
    let at = |size: &str| looks[0].sizes.iter().find(|s| s.size == size).unwrap();
    let text = "board,species,length,width,thickness,rings,price\nb,white ash,8',6,1 3/4,flat,1\n";
    let boards = boards_text("y.csv", text, Units::Inch, List::Yard).unwrap();
    let options = Options { aim: Aim::Most, ..Options::default() };
    let made = plan(&job, &boards, &options).map_or(0, |p| p.paddles[0]);
    assert_eq!(at("8/4, 6 in").counts[0].0.made, made);
    assert!(looks[1].sizes.iter().all(|s| s.size.contains('x')));
    let page = report::text::survey::look(&looks, &job, 400);
    for said in [
        "hardwood is not sold by PS 20",
        "8/4 1 3/4",
        "sizes of softwood are assumed, since it is not known whether zebrano is a hardwood",
        "sizes of softwood, since no wood is named",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
}
