//! What boards give at most.
//!
//! Of a crooked board no list of sections says all that it gives, since straight-lined ones may begin and
//! end anywhere; of a board that gives very many strips of many lengths a leaf has too many ways to list
//! them all. An outlook of such a board gives no less than the board: over ranges of places
//! ([`crate::cut::ranges`]), or with lengths in groups ([`Of::cuts_as`]). What is proved with it holds.

use crate::choose::effort::crooked::{GROUPS, PAIRS, PARTS, WORK};
use crate::choose::lengths;
use crate::choose::problem::Problem;
use crate::cut::BoardCuts;
use crate::cut::outlook::Of;
use crate::cut::ranges::Places;
use crate::length::Length;

/// What a board gives at most, wherever straight-lined sections begin and end.
pub struct Outlook {
    pub marks: Places,
    pub cuts: BoardCuts,
    /// No choice cheaper than the plan cuts the board otherwise than is known.
    pub settled: bool,
    /// It gets no finer: it is over one range of all places, or of fewer lengths.
    pub fixed: bool,
    /// Too many of its ways matter to be listed, or it has too many.
    pub rich: bool,
    /// Pairs of marks worked through.
    work: usize,
}

/// The outlook of a class of boards.
pub fn outlook(problem: &Problem<'_>, class: usize) -> Outlook {
    let known = &problem.classes[class];
    let room = known.places.room;
    let made = |marks: &Places, cuts: BoardCuts, fixed: bool| {
        let marks = marks.clone();
        let rich = fixed || !known.cuts.complete;
        Outlook { marks, cuts, settled: false, fixed, rich, work: 0 }
    };
    let straight = !known.cuts.may_give_more();
    let marks = if straight {
        Places::default()
    } else {
        let (low, high) = usable(problem, class);
        Places::parted(low, high, PARTS)
    };
    let marks = Places { room, ..marks };
    if !straight {
        let own = cuts(problem, class, &problem.to_cut, &marks);
        if own.complete || problem.stop.asked() {
            return made(&marks, own, false);
        }
    }
    // Too many sections between the marks, or too many choices: fewer lengths, or one range, have far
    // fewer.
    let all_kinds = problem.to_cut.iter().filter(|&&n| n > 0).count();
    let in_groups = |marks: &Places, most: usize| {
        let groups = lengths::shortest_of_groups(&problem.kinds, &problem.to_cut, most);
        of(problem, class).cuts_as(&problem.to_cut, marks, &groups)
    };
    for most in GROUPS.into_iter().filter(|&most| most < all_kinds) {
        let few = in_groups(&marks, most);
        // At its own places a board may not be thinned, or it would give less.
        let enough = if straight { few.all_listed() } else { few.complete };
        if enough {
            return made(&marks, few, true);
        }
        if problem.stop.asked() {
            break;
        }
    }
    if straight {
        return made(&marks, known.cuts.clone(), true);
    }
    let all = Places { room, ..Places::everywhere() };
    let mut every = cuts(problem, class, &problem.to_cut, &all);
    for most in GROUPS.into_iter().chain([0]).filter(|&most| most < all_kinds) {
        if every.complete || problem.stop.asked() {
            break;
        }
        every = in_groups(&all, most);
    }
    made(&all, every, true)
}

/// Nothing that a board could give is left out of its outlook.
pub fn all_complete(outlooks: &[Option<Outlook>]) -> bool {
    outlooks.iter().flatten().all(|o| o.cuts.complete)
}

pub fn usable(problem: &Problem<'_>, class: usize) -> (Length, Length) {
    let Of { board, shop, .. } = of(problem, class);
    shop.usable(board)
}

pub fn of<'a>(problem: &'a Problem<'_>, class: usize) -> Of<'a> {
    let board = &problem.boards[problem.classes[class].boards[0].0];
    Of { board, shop: &problem.job.shop, kinds: &problem.kinds, stop: &problem.stop }
}

pub fn cuts(problem: &Problem<'_>, class: usize, wanted: &[u32], places: &Places) -> BoardCuts {
    of(problem, class).cuts(wanted, places)
}

impl Outlook {
    /// Halves all ranges, if that is not too much.
    pub fn halve_all(&mut self, problem: &Problem<'_>, class: usize) -> bool {
        if 4 * self.marks.pairs() > PAIRS {
            return false;
        }
        let (low, high) = usable(problem, class);
        self.marks.halve_all(low, high);
        self.renew(problem, class)
    }

    /// Works the ranges out between the marks that there are now; false if it is enough.
    pub fn renew(&mut self, problem: &Problem<'_>, class: usize) -> bool {
        let finer = cuts(problem, class, &problem.to_cut, &self.marks);
        self.work += self.marks.pairs();
        if !finer.complete {
            // Too many sections, or no time for them. What it tells holds as it is.
            (self.fixed, self.rich) = (true, true);
            return false;
        }
        self.cuts = finer;
        self.work <= WORK && self.marks.pairs() <= PAIRS
    }
}

/// Puts outlooks in the place of what boards that are not listed in full are known to give: what is
/// worked out at prices then holds, wherever sections begin and end.
pub fn look_out(problem: &mut Problem<'_>) {
    for class in 0..problem.classes.len() {
        if !problem.classes[class].cuts.all_listed() {
            problem.classes[class].cuts = outlook(problem, class).cuts;
        }
    }
    problem.count();
}

/// The problem with outlooks for the boards that are not settled.
pub fn hopeful<'a>(problem: &Problem<'a>, outlooks: &[Option<Outlook>]) -> Problem<'a> {
    let mut hopeful = problem.clone();
    for (class, outlook) in hopeful.classes.iter_mut().zip(outlooks) {
        if let Some(outlook) = outlook.as_ref().filter(|o| !o.settled) {
            class.cuts = outlook.cuts.clone();
        }
    }
    // They may give more strips, which prices must allow for.
    hopeful.count();
    hopeful
}

#[cfg(test)]
mod tests {
    use super::{PARTS, Places, all_complete, cuts, outlook, usable};
    use crate::choose::effort::EFFORT;
    use crate::choose::lengths::tests::job;
    use crate::choose::problem::Problem;
    use crate::choose::{crooked, solve::Proved};
    use crate::length::Units;
    use crate::paddle::strip_kinds;
    use crate::paddle::strips::needed;
    use crate::plan::Measure;
    use crate::read::{List, boards_text};

    /// A crooked board with a knot.
    const CROOKED: &str = "board,species,length,width,thickness,crook,price,zone,from,to,near,far\n\
        a,fir,1500,60,40,9,40,,,,,\na,,,,,,,knot,700,720,30,40";

    /// With finer ranges an outlook may take more room than there is: then it tells what it told, where all
    /// that was proved with it was lost.
    #[test]
    fn an_outlook_that_can_get_no_finer_still_holds() {
        let job = job(&[(60, 10), (64, 11)]);
        let boards = boards_text("b.csv", CROOKED, Units::Mm, List::OnHand).unwrap();
        let kinds = strip_kinds(&job);
        let wanted = needed(&job, &kinds, &[1; 2]);
        let measure = Measure::of(&boards);
        let mut problem = Problem::new(&job, &boards, kinds, wanted, measure);
        // The least room, by doubling, that the first ranges fit into.
        let (low, high) = usable(&problem, 0);
        let fits = |room: &usize| {
            let marks = Places { room: Some(*room), ..Places::parted(low, high, PARTS) };
            cuts(&problem, 0, &problem.to_cut, &marks).complete
        };
        let room = (12..30).map(|n| 1 << n).find(fits).expect("some room is enough");
        problem.classes[0].places.room = Some(room);
        let mut of = outlook(&problem, 0);
        let known = problem.classes[0].cuts.clone();
        while of.halve_all(&problem, 0) {}
        assert!(of.fixed && of.cuts.complete);
        for k in 0..problem.need.len() {
            let mut prices = vec![3; problem.need.len()];
            prices[k] += 7;
            assert!(of.cuts.value(&prices).best >= known.value(&prices).best);
        }
    }

    /// Eight strips of a dozen lengths lie in a leaf of 7 m: more ways than there is room for.
    const BOARDS: &str = "board,species,length,width,thickness,price\n\
        a,fir,7000,120,40,40\nb,fir,7000,120,40,41\nc,fir,7000,120,40,50";

    #[test]
    fn a_straight_board_of_very_many_ways_has_an_outlook_and_the_least_cost_is_proved() {
        let sizes: Vec<(u32, u32)> = (0..12).map(|n| (210 + 2 * n, 40)).collect();
        let job = job(&sizes);
        let boards = boards_text("b.csv", BOARDS, Units::Mm, List::OnHand).unwrap();
        let kinds = strip_kinds(&job);
        let wanted = needed(&job, &kinds, &[1; 12]);
        let measure = Measure::of(&boards);
        let mut problem = Problem::new(&job, &boards, kinds, wanted, measure);
        let class = &problem.classes[0];
        assert!(!class.cuts.complete && !class.cuts.may_give_more() && !problem.holds());
        let of = outlook(&problem, 0);
        assert!(of.fixed && of.rich && of.cuts.complete);
        for k in 0..problem.need.len() {
            let mut prices = vec![3; problem.need.len()];
            prices[k] += 7;
            assert!(of.cuts.value(&prices).best >= class.cuts.value(&prices).best);
        }
        assert!(all_complete(&[Some(of), None]));
        let solved = crooked::solve(&mut problem, EFFORT, &mut |_, _, _| {});
        let cost = problem.cost(solved.chosen.as_ref().unwrap());
        assert_eq!(solved.proved, Proved::AtLeast(cost));
    }
}
