//! How much work the search takes: every limit of it, with its reason.
//!
//! All of them limit work, not time, so that runs repeat. None of them decides what is *proved*:
//! where one is reached, a bound or a plan is worse than it might be, never false. They were
//! tuned on the seeded jobs of `tests/bench` (12 to 200 paddles of 1 to 4 kinds, 30 to 1,000
//! boards, some bent), two cores, 30 s a job; where another measurement stands behind one, its
//! comment names it. Which sets are tried can change much with small changes here, so measure on
//! many seeds.

/// How much work a search may take.
#[derive(Clone, Copy)]
pub struct Effort<'a> {
    /// Comparisons of labels for listing a class outright.
    pub list: u64,
    /// Labels for adding up boards that are all listed; forty times as many where
    /// sets of boards were left undecided.
    pub sums: u64,
    /// Rounds of cutting planes.
    pub rounds: usize,
    /// Nodes of the search for sets of boards.
    pub nodes: usize,
    /// How far it goes.
    pub depth: Depth,
    /// Asks for an end from outside.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// How far a search goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// A choice, soon, without a bound.
    Any,
    /// Prices, the bound from them, and the first choice.
    Prices,
    /// As far as rows of prices give a better bound of sets of boards.
    Rows,
    /// As far as a few sets of boards that are decided give one.
    Bound,
    /// As far as a good choice is found in seconds.
    Soon,
    /// As far as is worth while for a part of a choice, of which there are many.
    Part,
    /// As far as good choices are found quickly.
    Quick,
    /// As far as good choices are found.
    Good,
    /// The same once more, with more work.
    More,
    /// What leads to a proof of a choice that is known.
    Proof,
    /// All that may lead to a proof.
    Full,
}

/// What a search may take by default: some ten seconds where nothing else ends it.
pub const EFFORT: Effort<'static> = Effort {
    list: 400_000,
    sums: 3_000_000,
    rounds: 60,
    nodes: 400_000,
    depth: Depth::Full,
    stop: &|| false,
};

/// Nodes where little is asked: whether there is any choice, or what is missing of one.
pub const LITTLE: usize = EFFORT.nodes / 20;

/// A job of more strips than this is one of many: the finest levels of lengths are left out, outlooks
/// are asked for sets of boards before the search, and a good choice is looked for before more than
/// a few sets are tried.
pub const MANY_STRIPS: u32 = 150;

/// Jobs of many lengths (`lengths.rs`).
pub mod lengths {
    /// A job of fewer kinds of strip than this is searched as it is.
    pub const MANY: u64 = 6;
    /// So is one where every family of strips has fewer lengths than this, and fewer than two on the
    /// average. Six paddles of three lengths, 40 boards, laminations alike: proved in 0.2 s by
    /// lengths that count for each other, a gap of 19 % after 60 s without; eight of two lengths:
    /// 1.1 s, and 9 % after 30 s.
    pub const FEW: usize = 3;
    /// So many groups more than families, level after level.
    pub const LEVELS: [usize; 6] = [0, 2, 5, 9, 14, 20];
    /// Levels with more groups than this are for jobs of few strips ([`super::MANY_STRIPS`]), whose
    /// boards are soon listed. Twelve builders, 40 boards: proved in 17 s with them, a gap of 3 %
    /// after 60 s without (of both far less since). 24 builders, 100 boards: the next level took
    /// 35 s, longer than the job itself.
    pub const FINE: usize = 9;
    /// A job of more kinds than this is not searched as it is at all: its boards have too many
    /// ways. With 84 kinds, working out those of 100 boards takes some 5 s.
    pub const KINDS: usize = 200;
    /// With more strips of a kind than this, on the average, lengths are kept apart.
    pub const PLENTY: u64 = 16;
    /// A level gets so small a part of the nodes.
    pub const NODES: usize = 40;
}

/// Steps on the way to a proof (`search/mod.rs`).
pub mod stages {
    /// Before there is a good choice sets get so small a part of the nodes: where boards cost nearly alike
    /// very many sets cost as much as each other (36 paddles: no other step came in a minute).
    pub const EARLY: usize = 40;
    /// Turns of looking for a better choice; a fourth hardly ever found one.
    pub const TURNS: usize = 3;
    /// Nodes of one search for a set with slack.
    pub const SLACK_NODES: usize = 6_000;
    /// Sets with so much slack that are tried with little work, before one is worked on longer.
    pub const SLACK_SETS: usize = 4;
    /// How near the slack that a set needs is found, as a part of the cost.
    pub const CLOSE_ENOUGH: f64 = 1e-3;
    /// The same for a part of a choice.
    pub const CLOSE_PART: f64 = 5e-3;
    /// With more boards than this, copies counted, sets of boards are not searched: the best plan is
    /// what swaps found, and the bound that of prices. Measured with 10,000 copies of each board.
    pub const MANY_BOARDS: usize = 2_000;
    /// With more boards than this some choice comes before all else (`planner.rs`): of 1,000 boards
    /// prices take 6 s, and such a choice 1.7.
    pub const SOME_BOARDS: usize = 300;
    /// So it does with more bent boards times kinds of strip than this: what 133 boards of 15 kinds
    /// give took 10 s to work out.
    pub const BENT: usize = 100;
    /// Rounds towards prices that this waits for.
    pub const ANY_ROUNDS: usize = 3;
    /// Sets that may stay undecided before a better choice is looked for otherwise.
    pub const FEW_SETS: usize = 6;
    /// Sets that may stay undecided in jobs of few strips, with one round of halving each, before boards are
    /// exchanged. Without that, six sets that stay open for ten seconds each left twelve paddles of four
    /// kinds with the first plan: 28 % above the bound after a minute, and 1.4 % with it.
    pub const SOME_SETS: usize = 3;
    /// Sets that may stay undecided where a good choice will do.
    pub const QUICK_SETS: usize = 2;
    /// Sets that may stay undecided after that.
    pub const SETS: usize = 120;
    /// Boards that can be cut into more sorts of strip than this have too many ways to be listed
    /// outright.
    pub const SOON: usize = 24;
    /// Ways met of one board that a search hands on to the next one.
    pub const MET: usize = 20;
    /// Ways of one board that are kept when only promising ones are listed.
    pub const MANY_WAYS: usize = 5_000;
    /// More ways than this for one board are not kept: asking for the best one is quicker.
    pub const WAYS: usize = 3_000;
}

/// Prices from the dual (`search/prices.rs`).
pub mod prices {
    /// The last prices that are kept as rows for sets of boards.
    pub const TRAIL: usize = 25;
    /// Ways known before that are rows from the beginning, about.
    pub const ROWS: usize = 600;
    /// Of one lot at least and at most so many.
    pub const ROWS_EACH: (usize, usize) = (3, 20);
}

/// The first choice (`search/greedy.rs`).
pub mod greedy {
    /// Boards that are tried without, the dearest: each try cuts all others anew.
    pub const DROPS: usize = 300;
    /// Boards that a swap looks at.
    pub const BUYS: usize = 40;
}

/// Sums of counts, board after board (`search/sums.rs`).
pub mod sums {
    /// Additions between two questions whether to stop.
    pub const SLICE: usize = 1 << 16;
    /// Sums of two halves that are looked at together at most.
    pub const PAIRS: usize = 500_000_000;
}

/// Sets of boards (`search/sets.rs`).
pub mod sets {
    /// Nodes worked on side by side.
    pub const BATCH: usize = 8;
    /// So many times as much work for so many of the cheapest sets that are left undecided in the
    /// end.
    pub const LONGER: [(u32, usize); 2] = [(10, 40), (100, 8)];
    /// Undecided sets that get it where other searches are to follow.
    pub const FIRST: usize = 2;
    /// Numbers in the programs of all nodes in waiting; nodes beyond are solved anew when their
    /// turn comes.
    pub const NUMBERS: usize = 6_000_000;
}

/// The linear program of a node (`search/node.rs`).
pub mod node {
    /// Closer than this to a whole number is whole; a row met so closely is just met.
    pub const CLOSE: f64 = 1e-7;
    /// What a row lacking everything costs, in costs of all boards: rows are met wherever they can be.
    pub const LACKING: f64 = 300.0;
}

/// Is a set of boards enough? (`search/enough.rs`)
pub mod enough {
    /// Rounds towards the tightest prices.
    pub const ROUNDS: usize = 40;
    /// More rounds with floors of shares.
    pub const FLOORED: usize = 20;
    /// Floors of shares, as parts of typical prices' shares.
    pub const FLOORS: f64 = 0.4;
    /// Ways of one board that are looked at.
    pub const LOOKS: usize = 6;
    /// Of those that are gone on with.
    pub const TRIES: usize = 3;
    /// Where all that fails, so many times as many.
    pub const WIDTHS: [usize; 2] = [1, 3];
    /// A way that leaves so much of the slack is good enough.
    pub const CHEAP: f64 = 0.92;
    /// A board of which one way makes up so much is cut in it.
    pub const NEARLY: f64 = 0.999;
    /// With more boards than this, some that are settled are set free again where all cut does not
    /// do; with fewer, boards are cut one by one then.
    pub const MANY: usize = 30;
    /// So many are set free, try after try.
    pub const FREED: [usize; 3] = [0, 8, 20];
    /// So many boards are the last few: their ways are listed and put together.
    pub const LAST: usize = 3;
    /// With so few boards left, ways of the next board beyond those met are listed as candidates.
    pub const FEW: usize = 10;
    /// Ways are listed that take the whole slack, or where those are too many a part of it.
    pub const NEAR: [i64; 4] = [1, 2, 6, 25];
    /// Comparisons of labels for listing the ways of a board as candidates.
    pub const LIST: u64 = 60_000;
    /// Ways of one board as candidates.
    pub const WAYS: usize = 1_500;
    /// About so many valuations of a board are as much work as listing its ways.
    pub const LISTING: u64 = 40;
    /// Labels of a place that go on where even those are too many.
    pub const BEAM: usize = 100;
    /// Sums that go on where the ways of boards are put together.
    pub const BEAMS: [usize; 3] = [300, 4_000, 20_000];
    /// Rounds of dropping ways from lists.
    pub const SQUEEZES: usize = 6;
    /// Floors of shares there.
    pub const FLOORINGS: [f64; 3] = [0.0, 0.15, 0.5];
    /// Prices that are kept there.
    pub const PRICES: usize = 14;
}

/// Lists of boards that are halved (`search/halved.rs`).
pub mod halved {
    /// Round after round, so many times the usual work for listing a board that has too many ways, and
    /// so many halves. Listing eight boards took a second where three of them were not listed with
    /// little work, and 164 halves decided what sums had left open after 20 s.
    pub const HALVES: [(u64, usize); 4] = [(1, 60), (20, 100), (200, 200), (1_000, 1_000)];
    /// With more boards that are not listed there is no such round.
    pub const OTHERS: [usize; 4] = [usize::MAX, 6, 4, 2];
    /// No board is listed with more work than this.
    pub const LIST: u64 = 1_000_000_000;
    /// So many times as much work is worth asking whether the last board gives all that is left.
    pub const MORE: u64 = 10;
    /// And so many times as many ways of a board.
    pub const MORE_WAYS: usize = 4;
    /// Candidate sections of boards valued for each half, on the average.
    pub const SECTIONS: u64 = 10_000;
    /// Ways met of a board that is not listed, on the average, that the next half begins with.
    pub const MET: usize = 60;
    /// Boards are listed again once there is so much less slack.
    pub const AGAIN: f64 = 0.7;
    /// Prices that are kept.
    pub const POOL: usize = 8;
    /// Tries at finding what little a board can't give.
    pub const WEAKER: usize = 200;
}

/// Boards asked for some kinds of strip only (`search/some_kinds.rs`). Where four or five of fourteen
/// kinds were at odds, a minute proved the plan to within 2 %; with it to within 0.34 %.
pub mod some_kinds {
    /// Choices of kinds that are asked for.
    pub const TRIES: usize = 5;
    /// Sets one after another of which nothing is known then, after which no more are drawn.
    pub const IN_VAIN: usize = 1;
    /// Choices that were too much for some boards and are known, at most.
    pub const KNOWN: usize = 4;
    /// Halves of lists for each.
    pub const HALVES: usize = 60;
    /// Comparisons of labels for listing a board's ways.
    pub const LIST: u64 = 300_000;
    /// Ways of a board at most.
    pub const WAYS: usize = 3_000;
}

/// Boards cut near their mixtures (`search/rounded.rs`).
pub mod rounded {
    /// So many boards are cut so: what fewer give is soon listed in full, and more are put together
    /// board after board (three kinds of paddle from 1,000 boards: gap 0.4 % after 60 s, 0.8 % with them).
    pub const MANY: std::ops::RangeInclusive<usize> = 6..=30;
    /// So many strips of each kind more than the mixture rounded up.
    pub const MORE: [u32; 3] = [0, 1, 2];
    /// Rounds around the cut that lacks least.
    pub const AROUND: usize = 10;
    /// Of those that find nothing better, one after another.
    pub const FAILED: usize = 1;
    /// A cheap strip that lacks counts for such a part of the dearest at least.
    pub const CHEAPEST: f64 = 0.01;
}

/// A few boards of a set that lacks little cut afresh (`search/afresh.rs`). Five kinds, 25 paddles: the
/// plan that a minute did not find is there after 12 to 28 s, and proved.
pub mod afresh {
    /// So many boards at once at least.
    pub const FEW: usize = 4;
    /// And at most.
    pub const MOST: usize = 7;
    /// Tries at most.
    pub const TRIES: usize = 12;
    /// So many tries that do no better, one after another, are the end.
    pub const FAILED: usize = 3;
}

/// Sets that lack little cut near other mixtures (`search/varied.rs`).
pub mod varied {
    /// So many times as much each kind of strip counts for.
    pub const TIMES: [f64; 3] = [0.5, 1.0, 2.0];
    /// And so many times as much again what lacked.
    pub const LACKED: f64 = 2.0;
    /// But no more often than this.
    pub const OFTEN: i32 = 1;
    /// Slack that is not known is taken to be such a part of what is needed.
    pub const USUAL: f64 = 0.01;
    /// No slack counts for less.
    pub const LEAST: f64 = 0.001;
}

/// Boards that are cut anew one after another (`search/recut.rs`).
pub mod recut {
    /// Steps at most. What is found is mostly found in the first few hundred.
    pub const STEPS: usize = 20_000;
    /// Ways looked at in them, about.
    pub const LOOKS: usize = 2_000_000;
    /// Steps between two questions whether to stop.
    pub const ASKED: usize = 64;
    /// The weight of the dearest kind at first.
    pub const FINEST: f64 = 4_096.0;
    /// The least weight.
    pub const LEAST: i32 = 40;
    /// What lacks counts for so small a part more.
    pub const RAISED: i32 = 4;
    /// No weight grows much beyond this.
    pub const HEAVIEST: i32 = 1 << 18;
}

/// Boards that are exchanged (`search/exchange.rs`). What a minute of other searches found in jobs of 25
/// paddles of four or five kinds is found in 2 to 8 s.
pub mod exchange {
    /// Walks side by side.
    pub const WALKS: usize = 2;
    /// Rounds at most.
    pub const ROUNDS: usize = 100;
    /// So many rounds that find nothing are the end, the first time and later. The last time comes after
    /// a proof: with twenty before it a minute proved nothing of five kinds, 25 paddles.
    pub const FAILED: [usize; 4] = [6, 5, 8, 20];
    /// And no more than this in jobs of few strips, where sets are soon decided: twelve builders, 60
    /// boards came to 1.3 % in a minute, and to 2.5 % with twenty.
    pub const FAILED_OF_FEW: usize = 8;
    /// After so many in which boards asked for were not enough no more are cut afresh, the first time and
    /// later. Where few boards give many strips each, that takes seconds a round: with four the first
    /// time took 45 of 60 s for a fifth of a percent, and left 2.6 % where one leaves 0.9 %.
    pub const IN_VAIN: [usize; 4] = [1, 4, 4, 4];
    /// Sets asked for side by side, such as were asked for before among them.
    pub const AT_ONCE: usize = 2;
    /// So many times a set is asked for again at most, the first time and later.
    pub const AGAIN: [usize; 4] = [0, 8, 16, 32];
    /// Lots whose ways walks know, at most.
    pub const LOTS: usize = 150;
    /// Comparisons of labels for listing a board's ways at first, the first time and later.
    pub const LIST: [u64; 4] = [30_000, 300_000, 300_000, 300_000];
    /// And for what others leave.
    pub const AROUND: u64 = 20_000;
    /// Ways of a board that are listed at once, at most.
    pub const WAYS: usize = 500;
    /// With more ways than this no more are listed; in a hundred rounds there were 40,000.
    pub const ALL_WAYS: usize = 60_000;
    /// Ways are listed that take no more than such a part of the gap.
    pub const PARTS: [i64; 6] = [1, 2, 4, 8, 16, 32];
    /// Steps of a walk in one round.
    pub const STEPS: usize = 3_000;
    /// Ways looked at in them, about.
    pub const WORK: usize = 100_000_000;
}

/// A walk from choice to choice (`search/walk.rs`).
pub mod walk {
    /// Steps between two questions whether to stop.
    pub const ASKED: usize = 16;
    /// What a choice costs counts for so much beside what it lacks.
    pub const COST: f32 = 0.5;
    /// A cheap strip that lacks counts for so small a part of the dearest at least.
    pub const FINEST: f64 = 100.0;
    /// After so many steps for each opened board that did no better what lacks counts for more.
    pub const STUCK: usize = 2;
    /// For so small a part more.
    pub const RAISED: f32 = 4.0;
    /// No weight grows beyond so many times what it was at first.
    pub const HEAVIEST: f32 = 64.0;
}

/// The prices at which a set comes nearest to falling short (`search/tight.rs`).
pub mod tight {
    /// Prices that are kept beside the tightest.
    pub const NEAR: usize = 6;
    /// Ways of a board that are rows from the beginning.
    pub const FIRST: usize = 12;
    /// Ways of all boards that are, about.
    pub const FIRST_OF_ALL: usize = 300;
    /// Ends closer than this meet.
    pub const MEET: f64 = 1e-6;
}

/// A few opened boards freed (`search/freed.rs`).
pub mod freed {
    use std::ops::RangeInclusive;
    /// Boards that are freed at once: as many as are planned in full.
    pub const FREED: RangeInclusive<usize> = 2..=14;
    /// Tries at most.
    pub const TRIES: usize = 300;
    /// So many that find nothing, one after another, are the end.
    pub const AGAIN: usize = 10;
    /// So many choices that could not be mended, one after another, are the end of mending. Each takes
    /// up to five seconds.
    pub const MENDS_FAILED: usize = 2;
    /// Tries, two at a time, to mend a choice that lacks little.
    pub const MENDS: usize = 3;
    /// Tries that find nothing, one after another, that are the end of improving such a one.
    pub const MENDED_AGAIN: usize = 3;
    /// Boards freed in the first of them.
    pub const MENDED: [usize; 2] = [3, 3];
    /// And at most.
    pub const MENDED_MOST: usize = 4;
    /// A choice that costs more than the bound by less than one in so many is not worked on.
    pub const WORTH: i64 = 200;
    /// Comparisons of labels for listing a class outright.
    pub const LIST: u64 = 20_000;
    /// Labels for adding up boards.
    pub const LABELS: u64 = 300_000;
    /// Nodes of the search for sets of boards.
    pub const NODES: usize = 3_000;
}

/// Better choices around the best one (`search/near.rs`).
pub mod near {
    /// Boards that are freed at once.
    pub const FREED: [usize; 4] = [3, 5, 7, 4];
    /// Batches of neighbourhoods at most.
    pub const ROUNDS: usize = 400;
    /// Other boards that may take their place.
    pub const OTHERS: usize = 16;
    /// Neighbourhoods looked at side by side.
    pub const BATCH: usize = 8;
    /// Ways are listed that lose no more than these parts of what may be lost.
    pub const LOST: [i128; 4] = [1, 3, 10, 40];
    /// Ways of a board.
    pub const WAYS: usize = 250;
    /// Comparisons of labels for listing them.
    pub const LIST: u64 = 40_000;
    /// Sums that go on from board to board.
    pub const SUMS: usize = 600;
    /// Additions in all.
    pub const ADDED: u64 = 10_000_000;
}

/// Finer units of cost (`solve.rs`).
pub mod units {
    /// Times that costs are rounded more finely at most.
    pub const REFINED: usize = 3;
}

/// How many boards a choice is made from (`problem.rs`).
pub mod boards {
    /// Bytes that the sections of all bent boards may take, about, and their outlooks as many
    /// again: in shares, one for each.
    pub const ROOM: usize = 256 << 20;
    /// Shares at least, so that one board is no worse off beside another, and at most: a board has
    /// room for a few hundred sections at any rate.
    pub const LEAST_BENT: usize = 4;
    /// The most shares.
    pub const MOST_BENT: usize = 128;
    /// Boards that a choice is made from at most, copies counted. More are left out, and then it is
    /// not proved that no choice is better.
    pub const BOARDS: usize = 100_000;
    /// Classes with more copies than this are asked how many of them can be of use.
    pub const FEW_COPIES: usize = 4;
    /// Costs that differ by no more than one in so many of a board foot are one cost, where they
    /// can't be told apart in units. A unit of money has fewer parts than this, so there the
    /// difference is nothing.
    pub const FINEST: i128 = 1_000_000;
}

/// Ranges of crooked boards (`crooked.rs`).
pub mod crooked {
    /// Ranges that a board's usable length is parted into at first.
    pub const PARTS: i64 = 8;
    /// Where a board has too many sections between those, lengths are put into so many groups.
    pub const GROUPS: [usize; 2] = [18, 10];
    /// Ranges of a board of which too many ways matter are halved all at once, down to this.
    pub const FINE: crate::length::Length = crate::length::Length::inch_fraction(7, 2);
    /// So many ways at once are too many.
    pub const MANY: usize = 12;
    /// So many are looked for before ranges are made anew.
    pub const AT_ONCE: usize = 4;
    /// Rounds of halving.
    pub const ROUNDS: usize = 64;
    /// Pairs of marks that may be worked through for one board, all rounds together.
    pub const WORK: usize = 60_000;
    /// Of those in one round.
    pub const PAIRS: usize = 5_000;
    /// Searches with outlooks or with new ways.
    pub const TURNS: usize = 16;
    /// Turns that come before boards are settled, in jobs of few strips.
    pub const QUICK: u32 = 6;
    /// So few strips.
    pub const FEW: u32 = 64;
}

/// As many paddles as possible (`most.rs`).
pub mod most {
    /// With one kind of paddle so many are made at most: no job may ask for more.
    pub const MOST_OF_ONE: u32 = 10_000;
    /// Mixes that are asked for at most.
    pub const ASKED: usize = 400;
    /// Mixes of the best total that are planned at least cost at most.
    pub const PLANNED: usize = 300;
    /// Mixes of a total that are weighed against each other.
    pub const WEIGHED: usize = 300;
    /// Mixes of the best total that are listed for the least cost.
    pub const LISTED: usize = 20_000;
    /// Steps in one look for mixes.
    pub const STEPS: u32 = 300_000;
    /// Lines kept: the first and the last ones.
    pub const LINES: usize = 200;
    /// Undecided mixes are asked again with more work, at most so many.
    pub const AGAIN: usize = 6;
}

/// What strips in hand give (`rack/list.rs`).
pub mod rack {
    /// Labels that are kept from one strip to the next, and so ways of one part of the rack: fewer
    /// than of a board, since a rack has often more strips. A rack of strips that name what they
    /// were cut for, or that serve one or two kinds each, has a few dozen.
    pub const LABELS: usize = 2_000;
}

/// Few saw cuts (`assemble.rs`).
pub mod layout {
    /// Steps that the search for few saw cuts may take on one board.
    pub const EFFORT: u64 = 2_000_000;
    /// Steps in looking for any cut where there is a plan already: about half a second. With a
    /// thirtieth of them the best choice of a job of 25 paddles was thrown away at a stop, since a board
    /// of 52 strips was not laid out.
    pub const SOON: u64 = 100_000_000;
    /// Rounds towards the prices where few other counts are worth as much as what a board gives.
    pub const ROUNDS: usize = 80;
    /// Labels of a place that go on in the first try at them.
    pub const BEAM: usize = 1_000;
}
