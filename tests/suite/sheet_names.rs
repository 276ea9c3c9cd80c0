//! Names from files are data, and odd jobs stay readable. The pages are left in the target's
//! folder for temporary files, where `.ci/page-check` can open them.

use crate::fixtures;

use roxmltree::Document;
use std::path::Path;
use stripwright::choose;
use stripwright::lumber::Board;
use stripwright::paddle::Job;
use stripwright::plan::Plan;
use stripwright::report;
use stripwright::shop::totals::totals;

fn page((job, boards, plan): &(Job, Vec<Board>, Plan), name: &str) -> String {
    let page = report::html(&fixtures::passed(plan, job, boards), job, boards, &[]);
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("sheet-{name}.html"));
    std::fs::write(path, &page).unwrap();
    page
}

#[test]
fn names_are_printed_not_run() {
    let job = fixtures::hostile();
    let page = page(&job, "hostile");
    // The page's one script is ours, whatever the job says.
    let script = page.rfind("<script>").unwrap();
    let low = page[..script].to_lowercase();
    assert!(!page[script..].contains("alert") && page[script..].matches("</script>").count() == 1);
    for tag in ["<script", "<img", "<b>ash", "onload=alert(4) ", "]]>"] {
        assert!(!low.contains(tag), "{tag} got into the page");
    }
    assert!(page.contains("&lt;script&gt;alert(3)&lt;/script&gt;"));
    assert!(!page.contains('\u{1b}') && !page.contains('\u{202E}') && !page.contains('\u{0}'));
    // No name sits in an attribute: every quote in a tag is one of ours.
    for tag in page.split('<').skip(1).filter_map(|t| t.split('>').next()) {
        assert_eq!(tag.matches('"').count() % 2, 0, "<{tag}>");
        assert!(!tag.contains("alert("), "<{tag}>");
    }
    let (job, boards, plan) = &job;
    for (name, svg) in report::svgs(&fixtures::passed(plan, job, boards), job, boards, &[]) {
        let doc = Document::parse(&svg).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(doc.descendants().all(|n| !n.has_tag_name("script") && !n.has_tag_name("img")));
        assert!(!name.contains(['/', '<', '\\']), "{name}");
    }
}

#[test]
fn a_terminal_is_never_sent_a_control_character() {
    let (job, boards, plan) = fixtures::hostile();
    for width in [0, 40, 57, 80, 200] {
        let text = report::text::sheet::text(
            &fixtures::passed(&plan, &job, &boards),
            &job,
            &boards,
            width,
        );
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
        let longest = text.lines().map(|l| l.chars().count()).max().unwrap();
        assert!(longest <= width.max(40), "{longest} columns at {width}");
    }
}

#[test]
fn text_drawings_show_every_section_and_short_name() {
    let (job, boards, plan) = fixtures::mixed();
    let text =
        report::text::sheet::text(&fixtures::passed(&plan, &job, &boards), &job, &boards, 100);
    for (_, _, _, _, strip) in plan.strips() {
        assert!(text.contains(&strip.id), "{}", strip.id);
    }
    for word in ["section A: 1\" to 85 3/4\"", "K1 knot", "keep 1", "hollow by 1/2\""] {
        assert!(text.contains(word), "{word}");
    }
}

/// The terminal said that a piece was worth keeping; the sheet did not keep it, since a knot lay
/// across the middle of its length. Now neither keeps what is a rip wide and shorter than a strip.
#[test]
fn the_sheet_keeps_what_the_terminal_calls_worth_keeping() {
    let (job, boards, mut plan) = fixtures::mixed();
    // The first board alone makes no paddle.
    plan.boards.truncate(1);
    plan.paddles = vec![0];
    assert_eq!(totals(&fixtures::passed(&plan, &job, &boards), &job, &boards).best, None);
    let page = report::html(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]);
    assert!(!page.contains("keep 1"), "54 1/4 × 11/32 in of it would be clear");
}

#[test]
fn forty_rips_are_all_named() {
    let job = fixtures::forty_rips();
    let page = page(&job, "forty");
    for n in 1..=40 {
        assert!(page.contains(&format!(">wide.{n}<")), "wide.{n}");
    }
}

#[test]
fn two_hundred_boards_have_a_sheet_each() {
    let job = fixtures::two_hundred();
    let page = page(&job, "two-hundred");
    assert_eq!(page.matches("\" id=\"board").count(), 200);
    assert!(page.len() < 8_000_000, "{} bytes", page.len());
    // Ids are the page's own: no two drawings share one.
    let mut ids: Vec<&str> =
        page.split(" id=\"").skip(1).filter_map(|t| t.split('"').next()).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
}

#[test]
fn very_long_names_are_given_in_full_once() {
    let (job, boards, plan) = fixtures::hostile();
    let page = report::html(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]);
    let name = &boards[1].name;
    assert!(page.contains(&format!("<h2>Board {name}</h2>")));
    assert!(page.contains(&format!("{name}.1")));
}

#[test]
fn boards_that_are_not_the_plans_are_no_reason_to_panic() {
    let (job, boards, plan) = fixtures::mixed();
    let plan = fixtures::passed(&plan, &job, &boards);
    for few in [&boards[..3], &[]] {
        assert!(report::html(&plan, &job, few, &[]).contains("</html>"));
        assert_eq!(stripwright::shop::steps::steps(&plan, &job, few).len(), few.len());
        assert_eq!(report::text::sheet::text(&plan, &job, few, 80).is_empty(), few.is_empty());
    }
}

#[test]
fn a_plan_as_it_comes_has_a_page() {
    let mut job = fixtures::touring();
    job.paddles[0].quantity = 2;
    let boards = fixtures::some_boards(3, 14);
    let Ok(plan) = choose::plan(&job, &boards, &Default::default()) else {
        panic!("no plan");
    };
    let open = plan.boards.len();
    let page = page(&(job, boards, plan), "planned");
    assert_eq!(page.matches("<h2>Board ").count(), open);
}
