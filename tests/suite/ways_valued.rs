//! The most that a board comes to at any prices, against all its ways listed. Boards are invented.

use proptest::collection::vec;
use proptest::prelude::*;
use std::collections::BTreeSet;
use stripwright::cut::BoardCuts;
use stripwright::cut::ranges::Places;
use stripwright::cut::serve::Standing;
use stripwright::length::{Length, Units};
use stripwright::lumber::Board;
use stripwright::paddle::{Job, strip_kinds};
use stripwright::read::{List, boards_text, job_text};
use stripwright::stop::Stop;

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

/// Paddles of fourteen lengths.
fn many_lengths() -> Job {
    let (shop, paddle) = JOB.split_once("[[paddle]]").unwrap();
    let one = |i: usize| {
        let length = format!("length = {}", 20.0 + 0.5 * i as f64);
        let name = format!("name = \"small {i}\"");
        format!("[[paddle]]{}", paddle.replace("length = 24", &length))
            .replace("name = \"small\"", &name)
            .replace("blade", "through")
    };
    let all: String = (0..14).map(one).collect();
    job_text("p.toml", &format!("{shop}{all}")).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// With many lengths not all sections of a bent board are tried; what it comes to over one
    /// range of all places is no less than with sections at many places and few of the lengths.
    #[test]
    fn over_all_places_a_bent_board_comes_to_no_less(
        board in board(),
        first in 0..20_usize,
        prices in vec(1..1_000_000_i64, 40),
    ) {
        let job = many_lengths();
        let kinds = strip_kinds(&job);
        let wanted = vec![250; kinds.len()];
        let prices = &prices[..kinds.len()];
        let at = |wanted: &[u32], places: &Places| {
            let stop = Stop::default();
            BoardCuts::at_places_until_stopped(&board, &job.shop, &kinds, wanted, places, &stop)
        };
        let thin = BoardCuts::new(&board, &job.shop, &kinds, &wanted);
        let hoped = at(&wanted, &Places::everywhere());
        prop_assert!(hoped.complete && !hoped.thinned);
        let most = hoped.value(prices).best;
        prop_assert!(thin.value(prices).best <= most);
        if board.crook != Length::ZERO {
            prop_assert!(thin.thinned && thin.may_give_more());
        }
        // Every inch and at every zone, but for two kinds only.
        let mut few = vec![0; kinds.len()];
        few[first] = 250;
        few[first + 7] = 250;
        let marks: BTreeSet<Length> = (1..60).map(|i| Length::INCH * i).collect();
        let fine = at(&few, &Places { starts: marks.clone(), ends: marks, ..Places::default() });
        prop_assert!(!fine.thinned && fine.value(prices).best <= most);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn the_most_at_any_prices_is_the_best_of_all_ways(
        board in board(),
        resaw: bool,
        prices in vec(vec(prop_oneof![Just(0), 0..1_000_000_i64], 2), 6),
    ) {
        // Several leaves through the thickness, or one.
        let shop = if resaw { "[shop]\nresaw_kerf = \"1/16\"" } else { "[shop]" };
        let job = job_text("p.toml", &JOB.replace("[shop]", shop)).unwrap();
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
