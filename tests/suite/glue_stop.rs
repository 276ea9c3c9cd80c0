//! Placing strips in blanks hears a request to end: every blank is there, its sheet says that it is
//! not the best, and without a request nothing changes.

use crate::jobs::shop;
use stripwright::glue::{GlueSettings, GlueUp, glue_up, glue_up_until};
use stripwright::shop::bench::{self, CUT_SHORT};
use stripwright::{Board, Job, Options, Stop, VerifiedPlan, plan, verify};

/// Three paddles of strips that are on the rack, each bent a little otherwise, so that no sharing
/// of them is quite straight.
fn job() -> (Job, VerifiedPlan) {
    let text = shop("straight = \"1/8\"")
        .paddle("bay", ["84", "20", "1 3/8"], "quantity = 3; rings = 0")
        .spine("1/4")
        .through("side", "1/2");
    let mut job = text.job();
    let mut strips = "strip,species,length,thickness,depth,depthwise\n".to_owned();
    for n in 0..3 {
        strips.push_str(&format!("c{n},fir,84 3/4,9/32,1 7/16,0.0{}\n", 31 + 17 * n));
    }
    for n in 0..6 {
        strips.push_str(&format!("s{n},fir,84 3/4,17/32,1 7/16,0.0{}\n", 13 + 11 * n));
    }
    let rack = stripwright::strips_text("s.csv", &strips, &job).unwrap();
    job.strips = rack.strips;
    let made = plan(&job, &[], &Options::default()).unwrap_or_else(|_| panic!("no plan"));
    let plan = verify(made, &job, &[]).unwrap_or_else(|faults| panic!("{faults:?}"));
    (job, plan)
}

fn worst(up: &GlueUp) -> f64 {
    up.blanks.iter().map(|b| b.after.depthwise.abs()).fold(0.0, f64::max)
}

#[test]
fn a_stopped_glue_up_has_every_blank_and_says_that_it_is_not_the_best() {
    let (job, plan) = job();
    let settings = GlueSettings::default();
    let whole = glue_up(&plan, &job, &[], &settings);
    let stop = Stop::default();
    stop.ask();
    let stopped = glue_up_until(&plan, &job, &[], &settings, &stop);
    assert_eq!((whole.blanks.len(), stopped.blanks.len()), (3, 3));
    assert!(worst(&whole) <= worst(&stopped));
    let all = |up: &GlueUp| {
        let places = up.blanks.iter().flat_map(|b| &b.places);
        let mut names: Vec<String> = places.map(|p| p.strip.clone()).collect();
        names.sort();
        names
    };
    assert_eq!(all(&whole), all(&stopped));
    let boards: [Board; 0] = [];
    for (up, cut_short) in [(&whole, false), (&stopped, true)] {
        for blank in &up.blanks {
            assert_eq!(blank.cut_short, cut_short);
            let sheet = bench::sheet(blank, &[], &job, &boards, &settings);
            assert_eq!(sheet.warnings.iter().any(|w| w == CUT_SHORT), cut_short);
        }
        let summary = stripwright::report::text::bench::summary(up, &job, 2000);
        assert_eq!(summary.contains(CUT_SHORT), cut_short, "{summary}");
    }
    // Left to itself it comes out the same, on any number of threads.
    let again = glue_up_until(&plan, &job, &[], &settings, &Stop::default());
    assert_eq!(again, whole);
}
