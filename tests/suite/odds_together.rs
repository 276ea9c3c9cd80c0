//! Lines of a yard together (MODEL 12): two lines of one wood against every pair of numbers, lines
//! that are clear, marked boards and likely ones, what if a line is sold out.

use crate::files_lost::Shop;
use crate::jobs::bay;
use crate::jobs::flat;
use stripwright::length::Length;
use stripwright::lumber::Price;
use stripwright::odds::draw::{self, Stream};
use stripwright::odds::mix::{Choice, cheapest};
use stripwright::odds::pile::Source;
use stripwright::odds::sample::Sample;
use stripwright::odds::{Ask, Line, line};
use stripwright::{Angle, Board, Grain, Job, Options, Species, Stop, Zone, ZoneKind};

fn inch(n: i64) -> Length {
    Length::inch_fraction(n, 1)
}

/// A board of a grade: its length and width in inches and quarters, knots over so many quarters.
fn graded(name: &str, [long, wide]: [i64; 2], knots: &[[i64; 4]]) -> Board {
    let sizes = [inch(long), Length::inch_fraction(wide, 4), Length::inch_fraction(3, 2)];
    let mut board = Board::plain(name, Species::new("fir"), sizes);
    board.grain = Some(Grain::Rings(Angle::VERTICAL));
    board.grade = Some("no. 2".to_owned());
    board.zones = knots
        .iter()
        .map(|&[from, to, near, far]| Zone {
            kind: ZoneKind::new("knot"),
            from: inch(from),
            to: inch(to),
            near: Length::inch_fraction(near, 4),
            far: Length::inch_fraction(far, 4),
        })
        .collect();
    board
}

fn priced(board: Board, price: i64, quantity: u32) -> Board {
    Board { price: Some(Price::from_parts(price * Price::SCALE)), quantity, ..board }
}

fn sample() -> Vec<Board> {
    vec![
        graded("m1", [96, 22], &[[30, 32, 2, 8]]),
        graded("m2", [96, 22], &[[50, 53, 10, 14], [70, 71, 0, 4]]),
        graded("m3", [96, 22], &[]),
        graded("m4", [96, 22], &[[12, 14, 4, 9]]),
    ]
}

fn of_lines(job: &Job, yard: &[Board], ask: &Ask) -> (Vec<Line>, Vec<Choice>) {
    let (marked, stop) = (sample(), Stop::default());
    let lists = (&[][..], &marked[..], yard);
    let lines: Vec<Line> =
        (0..yard.len()).map(|b| line(job, lists, b, (ask, &stop), &|_, _| {}).unwrap()).collect();
    let choices = cheapest(job, lists, &lines, (ask, &stop), &|_, _| {});
    (lines, choices)
}

/// Every pair of numbers tried, one after the other, on the same draws: the first of a draw goes
/// with the second of the draw half of all and one further on.
fn least_pair(job: &Job, yard: &[Board], ask: &Ask) -> Option<Price> {
    let marked = sample();
    let draws = u64::from(ask.draws);
    let sources = [0, 1].map(|l: usize| Source::of(&yard[l], &marked));
    let mut least: Option<Price> = None;
    for i in 1..=yard[0].quantity as usize {
        for j in 1..=yard[1].quantity as usize {
            let parts =
                |l: usize, n: usize| yard[l].price.unwrap().parts() * i64::try_from(n).unwrap();
            let cost = Price::from_parts(parts(0, i) + parts(1, j));
            let good = (0..draws)
                .filter(|&n| {
                    let other = (n + draws / 2 + 1) % draws;
                    let mut pile = sources[0].pile(i, &mut Stream::of(n));
                    pile.extend(sources[1].pile(j, &mut Stream::of(other)));
                    stripwright::plan(job, &pile, &Options::default()).is_ok()
                })
                .count();
            if good as f64 >= ask.sure * draws as f64 - 1e-9 {
                least = least.into_iter().chain([cost]).min();
            }
        }
    }
    least
}

#[test]
fn two_lines_together_are_the_cheapest_of_all_pairs_of_numbers() {
    let job = bay(4).job();
    let ask = Ask { sure: 0.8, draws: 15 };
    let mut pairs = 0;
    for (one, other) in [(10, 6), (9, 8), (14, 6)] {
        let yard = [
            priced(graded("wide", [96, 22], &[]), one, 3),
            priced(graded("narrow", [96, 14], &[]), other, 3),
        ];
        let (lines, choices) = of_lines(&job, &yard, &ask);
        let alone = |l: usize| {
            let n = lines[l].buy.filter(|&n| n <= yard[l].quantity as usize)?;
            let parts = yard[l].price.unwrap().parts() * i64::try_from(n).unwrap();
            Some(Price::from_parts(parts))
        };
        let single = [0, 1].into_iter().filter_map(alone).min();
        let pair = least_pair(&job, &yard, &ask);
        let choice = &choices[0];
        assert!(choice.listed && choice.mixed);
        assert_eq!(Some(choice.cost), single.into_iter().chain(pair).min(), "{one} {other}");
        if choice.boards.len() == 2 {
            pairs += 1;
            assert!(single.is_none_or(|single| choice.cost < single));
            let chance = choice.chance.unwrap();
            assert!(chance.chance >= 0.8 && chance.low <= chance.chance);
            assert!(chance.high >= chance.chance);
        }
    }
    assert!(pairs > 0, "none of the lists wants two lines");
}

/// Where neither line has enough boards, both together may have.
#[test]
fn what_the_list_has_too_few_of_is_made_up_from_another_line() {
    let job = bay(3).job();
    let ask = Ask { sure: 0.8, draws: 15 };
    let (lines, _) = of_lines(&job, &[priced(graded("wide", [96, 22], &[]), 10, 9)], &ask);
    let few = u32::try_from(lines[0].buy.unwrap() - 1).unwrap();
    assert!(few > 0);
    let yard = [
        priced(graded("wide", [96, 22], &[]), 10, few),
        priced(graded("clear", [96, 22], &[]), 30, 1),
    ];
    let mut yard = yard;
    yard[1].grade = Some("Clear".to_owned());
    let (_, choices) = of_lines(&job, &yard, &ask);
    assert!(choices[0].listed, "{choices:?}");
    assert_eq!(choices[0].boards.len(), 2, "{choices:?}");
}

/// The rule read point by point: which boards of the sample lie where, turned how, and what of
/// them covers each place along the drawn board.
#[test]
fn draws_are_what_a_plain_reading_of_the_rule_gives() {
    let sample = Sample {
        boards: vec![
            graded("a", [40, 20], &[[3, 5, 2, 7], [30, 36, 12, 19]]),
            graded("b", [150, 24], &[[20, 29, 0, 6], [80, 84, 20, 24], [100, 130, 3, 21]]),
            graded("c", [70, 16], &[[0, 70, 0, 16]]),
        ],
    };
    for wide in [12, 22, 30] {
        let wanted = graded("w", [100, wide], &[]);
        for n in 0..120 {
            let drawn = draw::board(&wanted, &sample, &mut Stream::of(n)).unwrap();
            let mut numbers = Stream::of(n);
            let mut covered: Vec<Vec<(i64, i64)>> = Vec::new();
            let width = wanted.width.units();
            let step = inch(1).units() / 2;
            let mut at = 0;
            while at < wanted.length.units() {
                let from = &sample.boards[usize::try_from(numbers.below(3)).unwrap()];
                let (ends, edges) = (numbers.below(2) == 1, numbers.below(2) == 1);
                let (long, own) = (from.length.units(), from.width.units());
                let rest = wanted.length.units() - at;
                let free = u64::try_from((long - rest).max(0)).unwrap();
                let start = i64::try_from(numbers.below(free + 1)).unwrap();
                let here = rest.min(long);
                // Half-inch places of this board, each in the middle.
                while i64::try_from(covered.len()).unwrap() * step + step / 2 < at + here {
                    let x = i64::try_from(covered.len()).unwrap() * step + step / 2 - at + start;
                    let x = if ends { long - x } else { x };
                    let mut over = Vec::new();
                    for zone in from.zones.iter().filter(|z| z.from.units() < x && x < z.to.units())
                    {
                        let (mut low, mut high) = (zone.near.units(), own - zone.far.units());
                        if edges {
                            (low, high) = (high, low);
                        }
                        let across = zone.far.units() - zone.near.units();
                        // From the nearer edge as far as it was; over the whole width it stays.
                        let (near, far) = match () {
                            () if low == 0 && high == 0 => (0, width),
                            () if low <= high => (low, (low + across).min(width)),
                            () => ((width - high - across).max(0), width - high),
                        };
                        if near < far {
                            over.push((near, far));
                        }
                    }
                    over.sort_unstable();
                    covered.push(over);
                }
                at += here;
            }
            for (place, over) in covered.iter().enumerate() {
                let x = i64::try_from(place).unwrap() * step + step / 2;
                let mut found: Vec<(i64, i64)> = drawn
                    .zones
                    .iter()
                    .filter(|z| z.from.units() < x && x < z.to.units())
                    .map(|z| (z.near.units(), z.far.units()))
                    .collect();
                found.sort_unstable();
                assert_eq!(&found, over, "draw {n}, {wide} quarters wide, place {place}");
            }
        }
    }
}

/// One marked board is a sample, and one that tells next to nothing.
#[test]
fn a_grade_with_one_board_has_a_wide_interval() {
    let job = bay(2).job();
    let one = [graded("m", [96, 22], &[[40, 42, 4, 12]])];
    let yard = [graded("rack", [96, 22], &[])];
    let ask = Ask { sure: 0.9, draws: 40 };
    let lists = (&[][..], &one[..], &yard[..]);
    let known = line(&job, lists, 0, (&ask, &Stop::default()), &|_, _| {}).unwrap();
    assert_eq!(known.sample, (1, 1));
    let last = known.chances.last().unwrap();
    assert!(last.high - last.low > 0.5, "{last:?}");
}

/// A job for more than forty boards: so many are drawn.
#[test]
fn piles_go_beyond_forty_boards() {
    let job = bay(24).job();
    let clear: Vec<Board> = (0..3).map(|n| graded(&format!("m{n}"), [96, 6], &[])).collect();
    let yard = [graded("rack", [96, 6], &[])];
    let ask = Ask { sure: 0.9, draws: 10 };
    let lists = (&[][..], &clear[..], &yard[..]);
    let known = line(&job, lists, 0, (&ask, &Stop::default()), &|_, _| {}).unwrap();
    assert!(known.buy > Some(40), "{:?}", known.buy);
    assert_eq!(known.buy, known.clear);
}

const HEAD: &str =
    "board,species,length,width,thickness,rings,price,quantity,grade,zone,from,to,near,far\n";
const MARKED: &str = "board,species,length,width,thickness,rings,grade,zone,from,to,near,far\n\
    m1,fir,96,5.5,1.5,90,No. 2,,,,,\nm1,,,,,,,knot,30,32,1,2\nm2,fir,96,5.5,1.5,90,No. 2,,,,,\n\
    m3,fir,96,5.5,1.5,90,No. 2,,,,,\nm3,,,,,,,knot,60,63,3,4\n";

fn shop(yard: &str, quantity: u32) -> Shop {
    let (paddles, yard) = (bay(quantity).text(), format!("{HEAD}{yard}"));
    Shop::with(&[("paddles.toml", &paddles), ("yard.csv", &yard), ("marked.csv", MARKED)])
}

const FILES: [&str; 6] =
    ["--yard", "yard.csv", "--like", "marked.csv", "--paddles", "paddles.toml"];
const BUY: [&str; 5] = ["buy", "--yard", "yard.csv", "--paddles", "paddles.toml"];

#[test]
fn a_line_of_grade_clear_is_certain_and_stands_beside_the_others() {
    let shop =
        shop("a,fir,96,5.5,1.5,90,10,9,No. 2,,,,,\nb,fir,96,5.5,1.5,90,30,9,Clear,,,,,\n", 2);
    let words = [&["odds"][..], &FILES, &["--draws", "20", "--json", "odds.json"]].concat();
    let (status, out, err) = shop.run(&words);
    assert_eq!(status, 0, "{err}");
    let json: serde_json::Value = serde_json::from_str(&shop.text("odds.json")).unwrap();
    let [a, b] = [0, 1].map(|l: usize| json["lines"][l].clone());
    assert_eq!((&a["certain"], &b["certain"]), (&false.into(), &true.into()));
    let chances = b["chances"].as_array().unwrap();
    let buy = b["buy"].as_u64().unwrap();
    assert_eq!(chances.len() as u64, buy);
    for chance in chances {
        let sure = if chance["boards"].as_u64() == Some(buy) { 1.0 } else { 0.0 };
        assert_eq!([&chance["chance"], &chance["low"], &chance["high"]], [sure; 3]);
    }
    assert!(out.contains("certain, since their grade is clear"), "{out}");
    assert!(out.contains("Cheapest of fir: "), "{out}");
    assert!(json["cheapest"][0]["boards"][0]["buy"].as_u64() > Some(0));
}

#[test]
fn sold_out_is_asked_where_the_list_has_more_than_are_bought() {
    let many = "a,fir,96,5.5,1.5,90,10,10,,,,,,\nb,fir,96,7.5,1.5,90,30,1,,,,,,\n\
        c,fir,120,7.5,1.5,90,50,4,,,,,,\n";
    let shop = shop(many, 2);
    let (status, out, err) = shop.run(&BUY);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("If a is sold out, "), "{out}");
    assert!(!out.contains("If one a is gone") && !out.contains("If a is gone"), "{out}");
    // Sold out, none of it is bought instead.
    let line = out.lines().find(|l| l.starts_with("If a is sold out")).unwrap();
    assert!(!line.contains(" a.") && !line.contains(" a,"), "{line}");
}

#[test]
fn one_that_is_gone_is_asked_where_all_of_a_line_are_bought() {
    let shop = shop("a,fir,96,5.5,1.5,90,10,1,,,,,,\nb,fir,96,5.5,1.5,90,11,9,,,,,,\n", 2);
    let (status, out, err) = shop.run(&BUY);
    assert_eq!(status, 0, "{err}");
    assert!(out.contains("If a is gone, the next best costs "), "{out}");
}

#[test]
fn what_if_has_a_share_of_the_time_or_says_that_it_was_not_asked() {
    let shop = shop("a,fir,96,5.5,1.5,90,10,9,,,,,,\n", 2);
    let (status, out, _) = shop.run(&[&BUY[..], &["--time-limit", "60"]].concat());
    assert_eq!(status, 0);
    assert!(out.contains("If a is sold out") && out.contains("With one more bay"), "{out}");
    assert!(!out.contains("was stopped"), "{out}");
}

/// Marked boards, sure but dear, beside likely ones.
#[test]
fn likely_boards_take_the_place_of_dear_marked_ones() {
    let yard = "sound,fir,96,5.5,1.5,90,90,9,clear,,,,,\nrack,fir,96,5.5,1.5,90,10,20,No. 2,,,,,\n";
    let shop = shop(yard, 2);
    let (status, out, err) = shop.run(&[&BUY[..], &["--like", "marked.csv"]].concat());
    assert_eq!(status, 0, "{err}");
    let out = flat(&out);
    assert!(out.contains("of rack, which nobody has marked"), "{out}");
    assert!(out.contains("where boards of the list that are marked cost by themselves"), "{out}");
    // Dear ones that are not marked are no help.
    let dear = yard.replace(",10,20,", ",900,20,");
    std::fs::write(shop.at("yard.csv"), format!("{HEAD}{dear}")).unwrap();
    let (status, out, err) = shop.run(&[&BUY[..], &["--like", "marked.csv"]].concat());
    assert_eq!(status, 0, "{err}");
    assert!(flat(&out).contains("nothing was found that is cheaper"), "{out}");
}

/// Marked boards that fall short are bought as they are, where likely ones beside them cost less
/// than likely ones alone.
#[test]
fn marked_boards_that_fall_short_are_made_up_with_likely_ones() {
    let shop = shop(
        "sound,fir,96,5.5,1.5,90,1,1,clear,,,,,\nrack,fir,96,5.5,1.5,90,10,20,No. 2,,,,,\n",
        4,
    );
    let (status, out, err) = shop.run(&[&BUY[..], &["--like", "marked.csv"]].concat());
    assert_eq!(status, 1, "{err}");
    let out = flat(&out);
    assert!(
        out.contains("Boards of the list that are marked, and likely ones: 1 × sound for 1"),
        "{out}"
    );
    assert!(out.contains("of rack, which nobody has marked"), "{out}");
}
