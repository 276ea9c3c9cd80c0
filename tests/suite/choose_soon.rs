//! A search that takes long has a plan soon, and tells of nothing that is not proved. Boards are
//! invented.

use crate::jobs::{JobText, bay, shop};
use std::fmt::Write as _;
use std::sync::{Arc, Mutex};
use stripwright::choose::{Listener, News, NoPlan, Options, plan};
use stripwright::cut::BoardCuts;
use stripwright::cut::ranges::Places;
use stripwright::length::Units;
use stripwright::lumber::Board;
use stripwright::paddle::strip_kinds;
use stripwright::plan::Plan;
use stripwright::read::{List, boards_text};
use stripwright::stop::Stop;
use stripwright::verify::verify;

const HEAD: &str =
    "board,species,length,width,thickness,rings,crook,bow,price,zone,from,to,near,far\n";

/// So many boards, each with a knot: every so many-th of them straight.
fn boards(count: usize, straight: usize) -> Vec<Board> {
    let mut csv = HEAD.to_owned();
    for i in 0..count {
        let (length, width) = (90 + 7 * (i % 9), 3 + i % 5);
        let bends = if i % straight > 0 {
            format!("{}/16,{}/16", i % 5 + 1, i % 3)
        } else {
            ",".to_owned()
        };
        let _ = writeln!(csv, "b{i},fir,{length},{width},1 1/2,80,{bends},{}", 10 + i * 7 % 23);
        let at = 12 + i * 11 % 60;
        let _ = writeln!(csv, "b{i},,,,,,,,,knot,{at},{},1,2", at + 3);
    }
    boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap()
}

/// Three kinds of paddle of four laminations each, no two of one thickness.
fn kinds(quantity: u32) -> JobText {
    let mut text = shop("resaw_kerf = \"1/16\"; min_rip = 12");
    for (name, length, more) in [("one", "82", 0), ("two", "80", 1), ("three", "76", 2)] {
        let thick = |n: u32| format!("{}/32", n + more);
        text = text
            .paddle(name, [length, "18", "1 1/4"], &format!("quantity = {quantity}"))
            .spine(&thick(5))
            .through("loom side", &thick(8))
            .blade("blade", &thick(16))
            .blade("edge", &thick(11));
    }
    text
}

/// What the search told, ended after so many news with a cost.
fn told(text: &JobText, boards: &[Board], ends_after: usize) -> (Result<Plan, NoPlan>, Vec<News>) {
    let news = Arc::new(Mutex::new(Vec::new()));
    let stop = Stop::default();
    let (keep, ask) = (Arc::clone(&news), stop.clone());
    let listener: Listener = Arc::new(move |new: News| {
        let mut news = keep.lock().unwrap();
        news.push(new);
        if news.iter().filter(|n: &&News| n.cost.is_some()).count() >= ends_after {
            ask.ask();
        }
    });
    let options = Options { stop, listener: Some(listener), ..Options::default() };
    let outcome = plan(&text.job(), boards, &options);
    let news = news.lock().unwrap().clone();
    (outcome, news)
}

/// Stopped at the very first cost that it tells of, it has a plan of that cost.
fn first_is_a_plan(text: &JobText, boards: &[Board]) {
    let (outcome, news) = told(text, boards, 1);
    let plan = verify(outcome.expect("a plan"), &text.job(), boards).expect("a right one");
    let plan = plan.into_plan();
    let first = news.first().expect("news");
    assert_eq!(first.stage, "prices", "before anything that takes long");
    let cost = first.cost.expect("a cost");
    let of_plan = plan.cost.value();
    assert!(of_plan <= cost + 1e-6, "{of_plan} where {cost} was told");
}

#[test]
fn many_bent_boards_have_a_plan_before_all_of_their_sections_are_worked_out() {
    first_is_a_plan(&kinds(2), &boards(40, 2));
}

#[test]
fn many_boards_have_a_plan_before_good_prices() {
    first_is_a_plan(&bay(40), &boards(310, 1));
}

/// Stopped at any later one, its plan costs no more than what it told last: boards of dozens of strips
/// are laid out as they were chosen, stop or no stop.
#[test]
fn a_plan_costs_what_was_told_last() {
    for (quantity, boards) in [(5, boards(60, 60)), (3, boards(40, 8))] {
        for ends_after in [3, 6, 9, 14] {
            let text = kinds(quantity);
            let (outcome, news) = told(&text, &boards, ends_after);
            let plan = verify(outcome.expect("a plan"), &text.job(), &boards).expect("a right one");
            let told = news.iter().rev().find_map(|n| n.cost).expect("a cost");
            let of_plan = plan.into_plan().cost.value();
            assert!(of_plan <= told + 1e-6, "{of_plan} where {told} was told");
        }
    }
}

/// No board but the bent ones of one wood gives what is wanted, and nothing of it is wanted twice:
/// the prices of the first rounds are nothing for it.
#[test]
fn a_first_plan_has_the_kind_that_few_boards_give() {
    let mut csv = HEAD.to_owned();
    for i in 0..320 {
        let wood = if i < 6 { "ash" } else { "fir" };
        let _ = writeln!(csv, "b{i},{wood},96,4,1 1/2,80,,,{}", 10 + i % 7);
    }
    let boards = boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap();
    let text = shop("resaw_kerf = \"1/16\"")
        .paddle("bay", ["84", "20", "1 3/8"], "quantity = 30")
        .spine("1/4")
        .with("species = [\"ash\"]")
        .through("side", "1/2")
        .with("species = [\"fir\"]")
        .blade("blade", "1/2")
        .with("species = [\"fir\"]");
    first_is_a_plan(&text, &boards);
}

/// Without straight-lined sections a board gives nothing that it does not give with them, at any
/// prices of one kind alone.
#[test]
fn what_is_soon_known_of_a_bent_board_can_be_cut() {
    let job = kinds(2).job();
    let kinds = strip_kinds(&job);
    let wanted = vec![20; kinds.len()];
    let mut less = 0;
    for board in boards(5, 5) {
        let at = |places: &Places| {
            let stop = Stop::default();
            BoardCuts::at_places_until_stopped(&board, &job.shop, &kinds, &wanted, places, &stop)
        };
        let (soon, all) = (at(&Places::none()), at(&Places::default()));
        assert!(soon.sections.iter().all(|s| !s.mode.lined));
        for k in 0..kinds.len() {
            let mut prices = vec![0; kinds.len()];
            prices[k] = 1;
            let (soon, all) = (soon.value(&prices).best, all.value(&prices).best);
            assert!(soon <= all, "{soon} of {all}");
            less += usize::from(soon < all);
        }
    }
    assert!(less > 0, "straight-lined sections make no difference here");
}

/// Whatever the search tells of in between: the cost never rises, the bound never falls, and at no
/// time is it above what the plan costs in the end.
#[test]
fn news_of_bent_boards_is_proved_when_it_is_told() {
    let boards = boards(14, 14);
    for quantity in [1, 6] {
        let (outcome, news) = told(&bay(quantity), &boards, usize::MAX);
        let cost = outcome.expect("a plan").cost.value();
        let mut costs: Vec<f64> = news.iter().filter_map(|n| n.cost).collect();
        costs.push(cost);
        assert!(costs.is_sorted_by(|a, b| *b <= a + 1e-9), "{costs:?}");
        let bounds: Vec<f64> = news.iter().map(|n| n.bound).collect();
        assert!(bounds.is_sorted_by(|a, b| *b >= a - 1e-9), "{bounds:?}");
        assert!(bounds.iter().all(|b| *b <= cost + 1e-6), "{cost} and {bounds:?}");
        assert!(quantity == 1 || bounds.iter().any(|b| *b > 0.0), "a bound is told: {news:?}");
    }
}
