//! What is named as standing in a strip's way, against the planner's own answer.

use proptest::collection::vec;
use proptest::prelude::*;
use stripwright::length::{Length, Units};
use stripwright::lumber::{Angle, Board, Grain};
use stripwright::paddle::{Job, StripKind, strip_kinds};
use stripwright::read::{List, boards_text, job_text};
use stripwright::survey::hindrance::{Bar, Hindrance, hindrance, longest_clear, most_alone};

const JOB: &str = r#"
[shop]
far_edge = 0
curve_kerf = "1/8"
board_end = 0
min_rip = 4
[[paddle]]
name = "small"
length = 24
loom = 8
trim = 0
thickness = 1
[[paddle.lamination]]
name = "side"
thickness = "1/2"
runs = "through"
[[paddle.lamination]]
name = "edge"
thickness = "1/4"
runs = "blade"
allow = ["sap"]
"#;

fn job() -> (Job, Vec<StripKind>) {
    let job = job_text("p.toml", JOB).unwrap();
    let kinds = strip_kinds(&job);
    (job, kinds)
}

/// A straight board of whole inches across and along, its zones with it.
fn board() -> impl Strategy<Value = Board> {
    let sizes = (6..40_i64, 1..5_i64, 1..4_i64);
    sizes.prop_flat_map(|(long, wide, halves)| {
        let span = |over: i64| {
            (0..over).prop_flat_map(move |low| (Just(low), low + 1..=over))
        };
        let kind = prop::sample::select(&["knot", "sap"][..]);
        let grain = prop_oneof![
            (0..=90_i64).prop_map(|d| Grain::Rings(Angle::from_millionths(d * 1_000_000).unwrap())),
            (-3..8_i64, -3..4_i64).prop_map(|(across, depth)| Grain::Pith {
                across: Length::INCH * across,
                depth: Length::INCH * depth,
            }),
        ];
        (Just((long, wide, halves)), grain, vec((kind, span(long), span(wide)), 0..4))
    })
    .prop_map(|((long, wide, halves), grain, zones)| {
        let mut text = format!(
            "board,species,length,width,thickness,zone,from,to,near,far\nb,fir,{long},{wide},{halves}/2,,,,,\n"
        );
        for (kind, (from, to), (near, far)) in zones {
            text.push_str(&format!("b,,,,,{kind},{from},{to},{near},{far}\n"));
        }
        let board = boards_text("b.csv", &text, Units::Inch, List::OnHand).unwrap().remove(0);
        Board { grain: Some(grain), ..board }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    /// On a straight board a strip can be cut exactly where the grain serves, the board is thick
    /// and wide enough, and a clear run is as long as the strip.
    #[test]
    fn what_is_named_does_stand_in_the_way(board in board()) {
        let (job, kinds) = job();
        for kind in &kinds {
            let found = hindrance(&board, &job.shop, kind);
            prop_assert_eq!(found.is_none(), most_alone(&board, &job.shop, kind, 9) > 0);
            match found {
                None => {
                    let clear = |turned| longest_clear(&board, &job.shop, kind, turned);
                    let long = clear(false).max(clear(true)) >= kind.length;
                    prop_assert!(long);
                }
                Some(Hindrance::Length(usable)) => prop_assert!(usable < kind.length),
                Some(Hindrance::Ways(upright, turned)) => {
                    for bar in [upright, turned] {
                        match bar {
                            Bar::Run { run, .. } => prop_assert!(run < kind.length, "{run:?}"),
                            Bar::Rings(angle) => prop_assert!(angle < Angle::RIFT),
                            Bar::Thickness(needed) => prop_assert!(needed > board.thickness),
                            Bar::Width(needed) => prop_assert!(needed > board.width - job.shop.edge),
                            Bar::Pith => {}
                            other => prop_assert!(false, "{other:?} on a straight board"),
                        }
                    }
                }
                Some(other) => prop_assert!(false, "{other:?}"),
            }
        }
    }
}
