//! Faults of sheets that a sawyer would meet, each by name: what is planed and how, what is said
//! of bends, narrow strips and ends, and how figures are written.

use crate::fixtures::{self, inch, mm};
use crate::sheet_words::{Group, groups};

use stripwright::choose;
use stripwright::length::{Length, Units};
use stripwright::lumber::Board;
use stripwright::paddle::{Job, Planer, Shop};
use stripwright::plan::Plan;
use stripwright::read::job_text;
use stripwright::report;

fn page((job, boards, plan): &(Job, Vec<Board>, Plan)) -> String {
    report::html(&fixtures::passed(plan, job, boards), job, boards, &[])
}

fn texts(groups: &[Group], heading: &str) -> Vec<String> {
    let of = groups.iter().filter(|g| g.heading.contains(heading));
    of.flat_map(|g| g.lines.iter().map(|l| l.text.clone())).collect()
}

fn all(page: &str, boards: usize) -> Vec<Group> {
    (1..=boards).flat_map(|n| groups(page, n)).collect()
}

#[test]
fn every_heading_names_its_machine_and_its_kerf() {
    for job in [fixtures::mixed(), fixtures::metric(), fixtures::forty_rips()] {
        let page = page(&job);
        for group in all(&page, job.2.boards.len()) {
            let machine = [
                "Before the first cut: no machine",
                "No machine",
                "Crosscut saw",
                "Table saw",
                "Bandsaw",
                "Jointer or hand plane",
                "Thickness planer",
            ];
            assert!(machine.iter().any(|m| group.heading.starts_with(m)), "{}", group.heading);
            assert!(group.heading.contains("kerf"), "{}", group.heading);
        }
    }
}

/// A crowned marked face is not hollow; its other face is flattened, and then the two are made
/// parallel.
#[test]
fn a_crowned_face_is_left_and_the_other_flattened() {
    let mut job = fixtures::mixed();
    for (bow, said) in [("1/4", "the marked face is hollow"), ("-1/4", "crowned: leave it")] {
        job.1[3].bow = inch(bow);
        let groups = groups(&page(&job), 4);
        let flat = texts(&groups, "one face flat");
        assert!(flat.len() == 1 && flat[0].contains(said), "{flat:?}");
        let other = texts(&groups, "the whole section to");
        assert!(other[0].contains("the other comes out parallel"), "{other:?}");
        let look = texts(&groups, "Before the first cut").join(" ");
        let face = if bow.starts_with('-') {
            "face without marks is hollow"
        } else {
            "marked face is hollow"
        };
        assert!(look.contains(face) && look.contains("goes down on the saw table"), "{look}");
        assert!(look.contains("winding sticks") && look.contains("Long, 90\":"), "{look}");
    }
}

/// Limits of the planer say how a piece is planed; what is planned stays the same.
#[test]
fn the_planers_limits_change_words_and_no_plan() {
    let (mut job, boards) = (fixtures::touring(), fixtures::some_boards(3, 14));
    let plain = choose::plan(&job, &boards, &Default::default()).unwrap();
    job.shop.planer = Planer {
        shortest: inch("90"),
        thinnest: inch("3"),
        snipe: Length::ZERO,
        widest: inch("2"),
    };
    assert_eq!(choose::plan(&job, &boards, &Default::default()).unwrap(), plain);
    let mut job = fixtures::mixed();
    let said = |job: &(Job, Vec<Board>, Plan)| texts(&all(&page(job), 4), "dress to").join(" ");
    let heads = |job: &(Job, Vec<Board>, Plan)| {
        all(&page(job), 4).iter().map(|g| g.heading.clone()).collect::<String>()
    };
    assert!(!said(&job).contains("planer takes"), "{}", said(&job));
    assert!(heads(&job).contains("Snipe: butt scraps as thick, 3\" or longer"));
    job.0.shop.planer.thinnest = inch("3/8");
    assert!(said(&job).contains("Thinner than the planer takes (3/8\"): on its wide face"));
    job.0.shop.planer.shortest = inch("40");
    assert!(said(&job).contains("Shorter than the planer takes (40\"): plane it by hand."));
    job.0.shop.planer.snipe = Length::ZERO;
    assert!(!heads(&job).contains("Snipe"));
}

#[test]
fn the_planers_limits_are_read() {
    let paddles = |shop: &str| {
        let text = include_str!("../../examples/loft/paddles.toml")
            .replace("[shop]", &format!("[shop]\n{shop}"));
        job_text("p.toml", &text).map(|job| job.shop)
    };
    assert_eq!(paddles("").unwrap().planer, Shop::default().planer);
    let set = "planer_shortest = 12\nplaner_thinnest = \"1/8\"\nplaner_snipe = 0\n\
               planer_widest = 15";
    let wanted = Planer {
        shortest: inch("12"),
        thinnest: inch("1/8"),
        snipe: Length::ZERO,
        widest: inch("15"),
    };
    assert_eq!(paddles(set).unwrap().planer, wanted);
    assert!(paddles("planer_snipe = \"some\"").is_err());
}

/// A check over the end of a board is crosscut away once; no strip is trimmed for it.
#[test]
fn a_check_at_the_end_is_cut_away_once() {
    let mut job = fixtures::metric();
    let cut = &mut job.2.boards[0];
    // Its section begins where the wood may be used, its strips beyond the check.
    cut.sections[0].from = mm("5");
    let first = cut.sections[0].rips[0].leaves[0].strips[0].from;
    let groups = groups(&page(&job), 1);
    let cuts = texts(&groups, "from the board's marked end");
    assert!(cuts[0].contains(&format!("Cut at {},", first.with_unit(Units::Mm))), "{cuts:?}");
    for line in texts(&groups, "strips to length") {
        assert!(!line.contains("marked-end side"), "{line}");
    }
}

/// A metric paddle in a job in inches shows both; a size that no tape holds is never rounded down.
#[test]
fn a_metric_paddle_in_inches_shows_both() {
    let mut job = fixtures::metric();
    job.0.units = Units::Inch;
    let page = page(&job).replace('\u{A0}', " ");
    assert!(page.contains("~1 11/32&quot; (34 mm)"));
    // 7.3 and twice 0.4 mm is 0.3189 in, between 20/64 and 21/64; 36 mm is 1.4173, above 90/64.
    assert!(page.contains("21/64&quot; (8.1 mm) × 1 27/64&quot; (36 mm)"));
    assert!(page.contains("from 21/64&quot; (exact 0.3189&quot;, 8.1 mm) to 19/64&quot; (exact"));
}

/// On the page every space within a number is one that does not break; in the terminal no line
/// ends between a number and its fraction, at any width.
#[test]
fn no_line_breaks_inside_a_fraction() {
    let torn = |a: &str, b: &str| {
        let fraction = b.trim_start().split([' ', '"', ',']).next().unwrap_or("");
        let parts: Option<(&str, &str)> = fraction.split_once('/');
        let digits = |t: &str| !t.is_empty() && t.chars().all(|c| c.is_ascii_digit());
        a.ends_with(|c: char| c.is_ascii_digit())
            && parts.is_some_and(|(t, b)| digits(t) && digits(b))
    };
    assert!(torn("it is 84", "3/4\" long") && !torn("it is", "3/4\" long"));
    for job in [fixtures::mixed(), fixtures::forty_rips()] {
        let whole = page(&job);
        assert!(whole.contains("1\u{A0}7/16"));
        for (at, _) in whole.match_indices(' ') {
            assert!(!torn(&whole[..at], &whole[at..]), "{}", &whole[at.saturating_sub(30)..at + 9]);
        }
        let plan = fixtures::passed(&job.2, &job.0, &job.1);
        for width in 20..120 {
            let text = report::text::sheet::text(&plan, &job.0, &job.1, width);
            let lines: Vec<&str> = text.lines().filter(|l| !l.contains('|')).collect();
            for pair in lines.windows(2) {
                assert!(!torn(pair[0], pair[1]), "{width}: {pair:?}");
            }
        }
    }
}

#[test]
fn a_turned_strip_says_which_face_is_which() {
    let page = page(&fixtures::mixed());
    let turned = page
        .matches("turned; name on the edge. Name up, arrow left: the marked side is toward you");
    assert_eq!(turned.count(), 8);
    assert!(page.contains("the face toward you was toward the marked face"));
}

/// Leaves lie over one another: no line along the board may part them like rips.
#[test]
fn leaves_of_a_rip_are_not_drawn_as_rips() {
    let page = page(&fixtures::mixed());
    assert_eq!(page.matches("class=\"leaf\"").count(), 8);
    assert!(!page.contains("class=\"lane\""));
    assert!(page.contains(".leaf { fill: #f3ead6; stroke: none; }"));
}

/// The guard stays on, so nothing narrow is pushed past it with a block.
#[test]
fn a_narrow_rip_goes_by_the_jig_and_not_by_a_push_block() {
    let page = page(&fixtures::forty_rips());
    let groups = groups(&page, 1);
    let narrow: Vec<&Group> = groups.iter().filter(|g| g.heading.contains("5/32\" from")).collect();
    assert_eq!(narrow.len(), 1);
    assert!(narrow[0].heading.contains("thin-rip jig") && narrow[0].heading.contains("Guard"));
    assert!(!page.contains("push block over"));
    // Local rules, manuals and training come first.
    assert!(page.contains("manuals") && page.contains("trained"));
}

/// Where the whole section goes to one thickness it is planed before it is ripped; no strip is
/// planed standing on edge.
#[test]
fn a_section_is_planed_before_it_is_ripped() {
    let groups = groups(&page(&fixtures::mixed()), 1);
    let at = |words: &str| groups.iter().position(|g| g.heading.contains(words));
    let (plane, rip) = (at("the whole section to 1 7/16\""), at("thin-rip jig"));
    assert!(plane.is_some() && plane < rip, "{plane:?} {rip:?}");
    assert_eq!(at("to thickness"), None);
    // From 9/32 to 1/4, half of it off each face, as the last thing before the glue.
    let last = groups.last().unwrap();
    assert!(last.heading.contains("dress to") && last.heading.contains("just before the glue"));
    assert!(last.lines[0].text.contains("1/64\" off each glue face"), "{last:?}");
}
