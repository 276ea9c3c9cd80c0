//! The most that a board comes to at any prices, against all its ways listed. Boards are invented.

use proptest::collection::vec;
use proptest::prelude::*;
use stripwright::cut::BoardCuts;
use stripwright::cut::serve::Standing;
use stripwright::length::Units;
use stripwright::lumber::Board;
use stripwright::paddle::strip_kinds;
use stripwright::read::{List, boards_text, job_text};

/// Short strips, tight limits of bend: many that could only go in as half of a flipped pair.
const JOB: &str = r#"
[shop]
far_edge = 0
curve_kerf = "1/8"
board_end = "1/2"
min_rip = 6
straight = "1/32"
pair = 1
pull = 2
[[paddle]]
name = "small"
quantity = 20
length = 24
loom = 8
trim = 0
thickness = 1
rings = 0
[[paddle.lamination]]
name = "side"
thickness = "1/2"
runs = "through"
[[paddle.lamination]]
name = "edge"
thickness = "3/8"
runs = "blade"
"#;

fn board() -> impl Strategy<Value = Board> {
    let zones = vec((0..50_i64, 1..6_i64, 0..3_i64), 0..4);
    ((28..60_i64, 30..80_i64, 12..30_i64), (0..14_i64, -10..=10_i64), zones).prop_map(
        |((long, wide, thick), (crook, bow), zones)| {
            let mut csv = String::from(
                "board,species,length,width,thickness,crook,bow,zone,from,to,near,far\n",
            );
            csv += &format!("b,fir,{long},{wide}/16,{thick}/16,{crook}/16,{bow}/16,,,,,\n");
            for (from, run, near) in zones {
                if from + run < long {
                    csv += &format!("b,,,,,,,knot,{from},{},{near}/2,{}/2\n", from + run, near + 1);
                }
            }
            boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap().remove(0)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn the_most_at_any_prices_is_the_best_of_all_ways(
        board in board(),
        prices in vec(vec(0..1_000_000_i64, 2), 6),
    ) {
        let job = job_text("p.toml", JOB).unwrap();
        let kinds = strip_kinds(&job);
        let wanted = vec![250; kinds.len()];
        let cuts = BoardCuts::new(&board, &job.shop, &kinds, &wanted);
        let Some(ways) = cuts.list(&wanted, &[], 3_000_000) else { return Ok(()) };
        let worth = |way: &[u32], prices: &[i64]| -> i64 {
            way.iter().zip(prices).map(|(&n, &p)| i64::from(n) * p).sum()
        };
        let pairs = cuts.served.items.iter().filter(|i| i.standing != Standing::Free).count();
        // One after another, so that what is remembered of earlier prices is used.
        for prices in &prices {
            let valued = cuts.value(prices);
            prop_assert_eq!(valued.best, cuts.clone().value(prices).best);
            let (best, cut) = cuts.best(&valued);
            let truth = ways.iter().map(|w| worth(w, prices)).max().unwrap_or(0);
            prop_assert!(best >= truth);
            if pairs <= 3 {
                prop_assert_eq!(best, truth);
                prop_assert_eq!(worth(&cuts.counts(&cut, kinds.len()), prices), truth);
            }
        }
    }
}
