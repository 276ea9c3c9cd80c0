//! The choice of boards in small piles against every choice there is: each board left whole or
//! cut in one of its listed ways. Boards are invented.

use crate::jobs::shop;
use proptest::collection::vec;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write;
use stripwright::choose::kernel::cover::{Cover, Fate, Lot};
use stripwright::choose::problem::Problem;
use stripwright::choose::search::sets::{Limits, Master, Memory};
use stripwright::choose::{Aim, NoPlan, Options, plan, plan_for};
use stripwright::cut::BoardCuts;
use stripwright::length::Units;
use stripwright::lumber::Board;
use stripwright::lumber::species::Species;
use stripwright::paddle::strips::needed;
use stripwright::paddle::{Job, strip_kinds};
use stripwright::plan::{Measure, Proof};
use stripwright::read::{List, boards_text, job_text};
use stripwright::verify::verify;

/// A short paddle of three kinds of strip; spares of the side if asked for.
pub fn job(quantity: u32, spares: u32, resaw: bool) -> Job {
    let resaw = if resaw { "resaw_kerf = \"1/16\"" } else { "" };
    let toml = format!(
        r#"
[shop]
far_edge = 0
curve_kerf = "1/8"
board_end = "1/2"
min_rip = 6
{resaw}
[[paddle]]
name = "small"
quantity = {quantity}
length = 24
loom = 8
trim = 0
thickness = 1
rings = 0
[[paddle.lamination]]
name = "spine"
thickness = "1/4"
runs = "through"
centre = true
[[paddle.lamination]]
name = "side"
thickness = "1/2"
runs = "through"
spares = {spares}
[[paddle.lamination]]
name = "edge"
thickness = "3/8"
runs = "blade"
allow = ["sap"]
"#
    );
    job_text("p.toml", &toml).unwrap()
}

/// Whether it is sap, from and to, near and far.
type Mark = (bool, (u32, u32), (u32, u32));

/// A board in a pile; what it costs is settled by the pile.
#[derive(Clone, Debug)]
pub struct Wood {
    /// Length in inches, width and thickness in quarters and eighths.
    sizes: (u32, u32, u32),
    /// In sixteenths over the whole length.
    bow: i32,
    quantity: u32,
    /// Sap or knot, and its place in hundredths of the board.
    zones: Vec<Mark>,
    pub price: u32,
}

pub fn wood() -> impl Strategy<Value = Wood> {
    let sizes = (20..60_u32, 3..14_u32, 8..20_u32);
    let bow = prop::sample::select(vec![0, 0, 0, 4, -6, 12]);
    let span = || (0..95_u32, 5..30_u32).prop_map(|(from, long)| (from, (from + long).min(100)));
    let zones = vec((any::<bool>(), span(), span()), 0..3);
    (sizes, bow, 1..=3_u32, zones, 1..12_u32).prop_map(|(sizes, bow, quantity, zones, price)| {
        Wood { sizes, bow, quantity, zones, price }
    })
}

fn pile(woods: &[Wood], priced: bool) -> Vec<Board> {
    let price = |w: &Wood| w.price.to_string();
    pile_as(woods, priced.then_some(&price), &|long, wide, thick| {
        [long.to_string(), format!("{wide}/4"), format!("{thick}/8")]
    })
}

/// Spells a board's length, width and thickness, given in inches, quarters and eighths.
pub type Spell<'a> = &'a dyn Fn(u32, u32, u32) -> [String; 3];

/// A pile with sizes spelled in a way of one's own, and priced or not.
pub fn pile_as(
    woods: &[Wood],
    price_of: Option<&dyn Fn(&Wood) -> String>,
    spell: Spell<'_>,
) -> Vec<Board> {
    let mut csv = String::from(
        "board,species,length,width,thickness,bow,price,quantity,zone,from,to,near,far\n",
    );
    for (i, w) in woods.iter().enumerate() {
        let (long, wide, thick) = w.sizes;
        let price = price_of.map(|price| price(w)).unwrap_or_default();
        let [length, width, thickness] = spell(long, wide, thick);
        let quantity = if w.zones.is_empty() { w.quantity } else { 1 };
        writeln!(csv, "b{i},fir,{length},{width},{thickness},{}/16,{price},{quantity},,,,,", w.bow)
            .unwrap();
        for (sap, (from, to), (near, far)) in &w.zones {
            let kind = if *sap { "sap" } else { "knot" };
            let at = |hundredths: u32, of: f64| f64::from(hundredths) * of / 100.0;
            let (l, b) = (f64::from(long), f64::from(wide) / 4.0);
            writeln!(
                csv,
                "b{i},,,,,,,,{kind},{},{},{},{}",
                at(*from, l),
                at(*to, l),
                at(*near, b),
                at(*far, b)
            )
            .unwrap();
        }
    }
    boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap()
}

/// Least cost and the fewest boards at that cost for every count that some choice gives, counts
/// cut off at what is needed. Every subset of boards and every way of each is tried.
pub fn choices(job: &Job, boards: &[Board], need: &[u32]) -> BTreeMap<Vec<u32>, (i128, u32)> {
    let mut kinds = strip_kinds(job);
    // Counts of each kind are counted here, whatever a longer strip may serve for.
    kinds.iter_mut().for_each(|k| k.apart = true);
    let measure = Measure::of(boards);
    let mut met = BTreeMap::from([(vec![0; need.len()], (0_i128, 0_u32))]);
    for board in boards {
        let cuts = BoardCuts::new(board, &job.shop, &kinds, need);
        assert!(cuts.complete);
        let ways = cuts.list(need, &[], u64::MAX).unwrap();
        for _ in 0..board.quantity {
            let before = met.clone();
            for (counts, (cost, opened)) in &before {
                for way in &ways {
                    let sum = counts.iter().zip(way).zip(need).map(|((a, b), n)| (a + b).min(*n));
                    let more = (cost + measure.parts(board), opened + 1);
                    met.entry(sum.collect()).and_modify(|c| *c = (*c).min(more)).or_insert(more);
                }
            }
        }
    }
    met
}

/// The same paddle with a spine of ash and the rest of fir, and every other board of a pile of ash:
/// no board gives every kind of strip.
fn two_woods(quantity: u32, woods: &[Wood]) -> (Job, Vec<Board>) {
    let mut job = job(quantity, 0, false);
    for (l, lamination) in job.paddles[0].laminations.iter_mut().enumerate() {
        lamination.species = vec![Species::new(if l == 0 { "ash" } else { "fir" })];
    }
    let mut boards = pile(woods, true);
    boards.iter_mut().step_by(2).for_each(|b| b.species = Species::new("ash"));
    (job, boards)
}

/// The plan of a job costs the least of all choices, proved, and passes the verifier; where there is
/// none that is proved too, and no choice gives all that is needed.
pub fn planned_as_every_choice(
    job: &Job,
    boards: &[Board],
    need: &Vec<u32>,
    all: &BTreeMap<Vec<u32>, (i128, u32)>,
) -> Result<Option<NoPlan>, TestCaseError> {
    match plan(job, boards, &Options::default()) {
        Ok(plan) => {
            let least = all.get(need).map(|c| c.0);
            prop_assert_eq!(Some(plan.cost.parts), least);
            prop_assert_eq!(plan.proof, Proof::Optimal);
            let verified = verify(plan, job, boards);
            prop_assert!(verified.is_ok(), "{:?}", verified.err());
            Ok(None)
        }
        Err(short) => {
            prop_assert!(short.proved());
            prop_assert!(!all.contains_key(need), "a plan costs {:?}", all.get(need));
            Ok(Some(short))
        }
    }
}

pub fn need_of(job: &Job, paddles: &[u32]) -> Vec<u32> {
    needed(job, &strip_kinds(job), paddles)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn least_cost_of_every_choice(
        woods in vec(wood(), 3..=6),
        quantity in 1..=2_u32,
        spares in 0..=1_u32,
        priced: bool,
        resaw: bool,
    ) {
        let (job, boards) = (job(quantity, spares, resaw), pile(&woods, priced));
        let need = need_of(&job, &[quantity]);
        let all = choices(&job, &boards, &need);
        if let Some(short) = planned_as_every_choice(&job, &boards, &need, &all)? {
            let lacking =
                |c: &Vec<u32>| c.iter().zip(&need).map(|(c, n)| n - c).sum::<u32>();
            let least = all.keys().map(lacking).min();
            prop_assert_eq!(Some(short.shortage().missing.iter().sum::<u32>()), least);
        }
    }

    /// The search for sets of boards by itself, boards being asked for ways as it goes on: what it
    /// proves, every choice confirms.
    #[test]
    fn sets_of_boards_that_are_not_listed(woods in vec(wood(), 3..=6), quantity in 1..=3_u32) {
        let (job, boards) = two_woods(quantity, &woods);
        let need = need_of(&job, &[quantity]);
        let measure = Measure::of(&boards);
        let problem = Problem::new(&job, &boards, strip_kinds(&job), need.clone(), measure);
        let lots: Vec<Lot<'_>> = problem
            .classes
            .iter()
            .map(|c| Lot { cuts: Some(&c.cuts), cost: c.cost, ways: Vec::new(), listed: false })
            .collect();
        prop_assume!(!lots.is_empty());
        let copies: Vec<usize> = problem.classes.iter().map(|c| c.boards.len()).collect();
        let cover = Cover::new(need.clone(), lots, &copies).expect("small numbers");
        let prices = vec![1.0; need.len()];
        let trail = [vec![1_i64 << 16; need.len()]];
        let fates = vec![Fate::Open; cover.stock.len()];
        let before = (&trail[..], Memory::default());
        let limits = Limits::new(20_000, 200, &|| false);
        let master = Master::new(&cover, fates, None, before, (&prices, &prices));
        let found = master.run(0, limits, &mut |_, _| {});
        let all = choices(&job, &boards, &need);
        let least = all.get(&need).map(|c| i64::try_from(c.0 / problem.unit).unwrap());
        if let Some(choice) = &found.choice {
            prop_assert!(cover.meets(choice));
        }
        prop_assert_eq!(found.choice.map(|c| cover.cost(&c)), least);
        prop_assert_eq!(found.bound, least.unwrap_or(cover.everything() + 1));
    }

    /// At equal cost fewer boards are opened (MODEL 7). Prices of 1 and 2 make many ties.
    #[test]
    fn fewest_boards_at_the_least_cost(woods in vec(wood(), 3..=6), quantity in 1..=2_u32) {
        let woods: Vec<Wood> =
            woods.into_iter().map(|w| Wood { price: w.price % 2 + 1, ..w }).collect();
        let (job, boards) = (job(quantity, 0, false), pile(&woods, true));
        let need = need_of(&job, &[quantity]);
        if let Ok(plan) = plan(&job, &boards, &Options::default()) {
            let (cost, opened) = choices(&job, &boards, &need)[&need];
            prop_assert_eq!(plan.cost.parts, cost);
            prop_assert_eq!(u32::try_from(plan.boards.len()).unwrap(), opened);
        }
    }

    /// As many as possible: one more can't be had, and these cost the least.
    #[test]
    fn most_paddles(woods in vec(wood(), 3..=5), priced: bool) {
        let (job, boards) = (job(1, 0, false), pile(&woods, priced));
        let options = Options { aim: Aim::Most, ..Options::default() };
        let can = |n: u32| choices(&job, &boards, &need_of(&job, &[n])).contains_key(&need_of(&job, &[n]));
        match plan(&job, &boards, &options) {
            Ok(plan) => {
                let made = plan.paddles[0];
                let need = need_of(&job, &[made]);
                prop_assert_eq!(plan.cost.parts, choices(&job, &boards, &need)[&need].0);
                prop_assert!(!can(made + 1), "{made} made");
                let verified = verify(plan.clone(), &job, &boards);
                prop_assert!(verified.is_ok(), "{:?}", verified.err());
                // Asked for outright it is the same.
                let Ok(again) = plan_for(&job, &boards, &[made], &Options::default())
                else {
                    return Err(TestCaseError::fail("planned before"));
                };
                prop_assert_eq!(plan.cost, again.cost);
            }
            Err(_) => prop_assert!(!can(1)),
        }
    }
}

/// Two laminations that can't be told apart at the saw, one spare of each: 3 + 3 strips. From a
/// bowed board strips come in flipped pairs, and a pair belongs to one lamination, so three pairs
/// are not enough and the plan must say so or cut four.
#[test]
fn flipped_pairs_are_not_split_between_laminations_for_their_spares() {
    let job = shop(r#"far_edge = 0; curve_kerf = "1/8"; board_end = 0; edge = 0; min_rip = 6"#)
        .paddle("small", ["24", "8", "1"], "trim = 0")
        .through("inner", "1/2")
        .with("spares = 1")
        .through("outer", "1/2")
        .with("spares = 1")
        .job();
    let csv = "board,species,length,width,thickness,rings,bow\nb,fir,24,6,1 1/16,vertical,1/4\n";
    let boards = boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap();
    match plan(&job, &boards, &Options::default()) {
        Ok(plan) => {
            let verified = verify(plan, &job, &boards);
            assert!(verified.is_ok(), "{:?}", verified.err());
        }
        Err(_) => panic!("the board gives four pairs"),
    }
}
