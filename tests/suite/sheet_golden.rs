//! The page and the drawings, line for line. Set `BLESS=1` to write them anew, and look at them.

use crate::fixtures;

use std::path::Path;
use stripwright::report;

fn compare(name: &str, made: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, made).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let differ = kept.lines().zip(made.lines()).position(|(a, b)| a != b);
    assert!(
        kept == made,
        "{name} differs from line {}; look at both, then run again with BLESS=1",
        differ.unwrap_or_else(|| kept.lines().count().min(made.lines().count())) + 1
    );
}

#[test]
fn the_mixed_job() {
    let (job, boards, plan) = fixtures::mixed();
    let bench = [fixtures::bench()];
    compare(
        "mixed.html",
        &report::html(&fixtures::passed(&plan, &job, &boards), &job, &boards, &bench),
    );
    for (name, text) in report::svgs(&fixtures::passed(&plan, &job, &boards), &job, &boards, &bench)
    {
        compare(&format!("mixed-{name}"), &text);
    }
}

#[test]
fn the_metric_job() {
    let (job, boards, plan) = fixtures::metric();
    compare(
        "metric.html",
        &report::html(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]),
    );
}

#[test]
fn text_drawings() {
    let (job, boards, plan) = fixtures::mixed();
    compare(
        "mixed-80.txt",
        &report::text::sheet::text(&fixtures::passed(&plan, &job, &boards), &job, &boards, 80),
    );
    let (job, boards, plan) = fixtures::metric();
    compare(
        "metric-60.txt",
        &report::text::sheet::text(&fixtures::passed(&plan, &job, &boards), &job, &boards, 60),
    );
}
