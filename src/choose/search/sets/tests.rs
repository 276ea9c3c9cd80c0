//! Searches for sets beside every choice of small covers.

use super::{Limits, Master, Memory};
use crate::choose::kernel::cover::Fate;
use crate::choose::kernel::trial::{least, priced};
use crate::choose::search::greedy;
use proptest::prelude::*;

fn limits() -> Limits<'static> {
    Limits::new(10_000, 100, &|| false)
}

proptest! {
    #[test]
    fn the_cheapest_of_all_choices_is_found_and_proved((cover, prices) in priced(), start: bool) {
        prop_assume!(cover.need.iter().any(|&n| n > 0));
        let none = vec![None; cover.stock.len()];
        let known = greedy::complete(&cover, &prices, none).ok().filter(|_| start);
        let fates = vec![Fate::Open; cover.stock.len()];
        let scales = vec![1.0; prices.len()];
        let trail = [cover.whole_prices(&prices)];
        let before = (&trail[..], Memory::default());
        let master = Master::new(&cover, fates, known, before, (&prices, &scales));
        let found = master.run(0, limits(), &mut |_, _| {});
        if let Some(choice) = &found.choice {
            prop_assert!(cover.meets(choice));
        }
        prop_assert_eq!(found.choice.as_ref().map(|c| cover.cost(c)), least(&cover));
        prop_assert_eq!(found.bound, least(&cover).unwrap_or(cover.everything() + 1));
    }

    #[test]
    fn sets_with_slack_teach_nothing_false(
        (cover, prices) in priced(), more in 0.01..0.5_f64, passed in 0..3_usize
    ) {
        prop_assume!(cover.need.iter().any(|&n| n > 0));
        let fates = vec![Fate::Open; cover.stock.len()];
        let scales = vec![1.0; prices.len()];
        let trail = [cover.whole_prices(&prices)];
        let new = |choice, memory| {
            let before = (&trail[..], memory);
            Master::new(&cover, fates.clone(), choice, before, (&prices, &scales))
        };
        // Sets that are passed over once may be enough all the same.
        let boards: Vec<usize> = (0..cover.stock.len()).collect();
        let tried = [boards[..boards.len().div_ceil(2)].to_vec(), boards];
        let master = new(None, Memory::default()).with_slack(more, &tried[..passed]);
        let first = master.run(0, limits(), &mut |_, _| {});
        prop_assert_eq!(first.bound, 0);
        if let Some(choice) = &first.choice {
            prop_assert!(cover.meets(choice));
        }
        let found = new(first.choice, first.memory).run(0, limits(), &mut |_, _| {});
        prop_assert_eq!(found.choice.map(|c| cover.cost(&c)), least(&cover));
        prop_assert_eq!(found.bound, least(&cover).unwrap_or(cover.everything() + 1));
    }
}
