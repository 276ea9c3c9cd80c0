//! How many unmarked boards to buy (MODEL 12): the draws against a second, plain reading of the
//! rule, samples whose answer is known, and what must grow with what.

use crate::files_lost::Shop;
use crate::jobs::{self, flat};
use stripwright::length::Length;
use stripwright::odds::draw::{self, Stream};
use stripwright::odds::sample::{Sample, unmarked};
use stripwright::odds::{Ask, Line, line};
use stripwright::{Angle, Board, Grain, Job, Species, Stop, Zone, ZoneKind};

fn inch(n: i64) -> Length {
    Length::inch_fraction(n, 1)
}

fn job() -> Job {
    jobs::bay(2).job()
}

fn graded(name: &str, long: i64, zones: &[[i64; 4]]) -> Board {
    let mut board = Board::plain(
        name,
        Species::new("fir"),
        [inch(long), Length::inch_fraction(11, 2), Length::inch_fraction(3, 2)],
    );
    board.grain = Some(Grain::Rings(Angle::VERTICAL));
    board.grade = Some("no. 2".to_owned());
    let zone = |z: &[i64; 4]| Zone {
        kind: ZoneKind::new("knot"),
        from: inch(z[0]),
        to: inch(z[1]),
        near: Length::inch_fraction(z[2], 4),
        far: Length::inch_fraction(z[3], 4),
    };
    board.zones = zones.iter().map(zone).collect();
    board
}

fn known(marked: &[Board], wanted: &Board, sure: f64, draws: u32) -> Line {
    let ask = Ask { sure, draws };
    let yard = std::slice::from_ref(wanted);
    line(&job(), (&[], marked, yard), 0, (&ask, &Stop::default()), &|_, _| {}).unwrap()
}

/// The rule read plainly: the four ways of one board whose length is the wanted one; every draw is
/// one of them.
#[test]
fn every_draw_of_a_board_as_long_is_one_of_its_four_turns() {
    let mut from = graded("m", 96, &[[10, 12, 1, 5], [90, 96, 18, 22]]);
    from.crook = Length::inch_fraction(1, 4);
    let mut wanted = graded("rack", 96, &[]);
    wanted.width = Length::inch_fraction(15, 2);
    let sample = Sample { boards: vec![from.clone()] };
    let mut seen = std::collections::BTreeSet::new();
    for n in 0..200 {
        let drawn = draw::board(&wanted, &sample, &mut Stream::of(n)).unwrap();
        let hollow = drawn.crook > Length::ZERO;
        assert_eq!(drawn.crook.abs(), Length::inch_fraction(1, 4));
        // A knot 1/4 in from its edge stays 1/4 in from an edge, the other at its edge.
        let quarter = |n| Length::inch_fraction(n, 4);
        let first = &drawn.zones[0];
        let ends = first.from == inch(84);
        assert!(ends && first.to == inch(86) || first.from == inch(10) && first.to == inch(12));
        let near = (first.near, first.far) == (quarter(1), quarter(5));
        assert!(near || (first.near, first.far) == (quarter(25), quarter(29)), "{first:?}");
        assert_eq!(hollow, near);
        let second = &drawn.zones[1];
        assert_eq!((second.near == Length::ZERO, second.far == wanted.width), (!near, near));
        assert_eq!(second.from == Length::ZERO, ends);
        seen.insert((ends, near));
    }
    assert_eq!(seen.len(), 4);
}

/// A window of a longer board keeps what lies in it at its distance from the start, which may be
/// anywhere; of a shorter one the next is joined on where it ends; bends go by the square.
#[test]
fn windows_and_joins_are_as_the_rule_says() {
    let mut long = graded("m", 192, &[[96, 97, 4, 8]]);
    long.bow = inch(1);
    let wanted = graded("rack", 96, &[]);
    let sample = Sample { boards: vec![long] };
    let mut starts = Vec::new();
    for n in 0..300 {
        let drawn = draw::board(&wanted, &sample, &mut Stream::of(n)).unwrap();
        assert_eq!(drawn.bow, Length::inch_fraction(1, 4));
        assert_eq!(drawn.length, inch(96));
        for zone in &drawn.zones {
            assert!(zone.to - zone.from <= inch(1) && zone.to <= inch(96));
            starts.push(zone.from.units() / inch(1).units());
        }
    }
    // The knot lies anywhere, each quarter of the board about as often (75 of 300).
    let quarter = |q: i64| starts.iter().filter(|&&s| s / 24 == q).count();
    for q in 0..4 {
        assert!((45..=105).contains(&quarter(q)), "{q}: {}", quarter(q));
    }
    // Three short ones and a part: a knot at every joint's distance.
    let short = graded("s", 30, &[[14, 16, 0, 22]]);
    let drawn = draw::board(&wanted, &Sample { boards: vec![short] }, &mut Stream::of(7)).unwrap();
    let found: Vec<Length> = drawn.zones.iter().map(|z| z.from).collect();
    assert_eq!(found[..3], [inch(14), inch(44), inch(74)]);
    // It went over the whole width and still does.
    assert!(drawn.zones.iter().all(|z| z.near == Length::ZERO && z.far == wanted.width));
}

#[test]
fn a_clear_sample_is_certain_and_a_rotten_one_hopeless() {
    let wanted = graded("rack", 96, &[]);
    let clear: Vec<Board> = (0..12).map(|n| graded(&format!("m{n}"), 96, &[])).collect();
    let known_clear = known(&clear, &wanted, 1.0, 40);
    let last = known_clear.chances.last().unwrap();
    assert!((last.chance - 1.0).abs() < 1e-12 && (last.high - 1.0).abs() < 1e-12);
    assert_eq!(known_clear.buy, known_clear.clear);
    let rotten = vec![graded("m", 96, &[[0, 96, 0, 22]])];
    let known_rotten = known(&rotten, &wanted, 0.5, 20);
    assert_eq!(known_rotten.buy, None);
    assert!(known_rotten.chances.iter().all(|c| c.chance <= 0.0));
    // One board tells little: its interval says so.
    assert!(known_rotten.chances.last().unwrap().high > 0.5);
}

#[test]
fn more_boards_more_sureness_and_more_zones_each_go_one_way() {
    let wanted = graded("rack", 96, &[]);
    let few = |n: i64| graded(&format!("m{n}"), 96, &[[8 * n, 8 * n + 2, 4, 12]]);
    let sample: Vec<Board> = (0..6).map(few).collect();
    let before = known(&sample, &wanted, 1.0, 40);
    assert!(before.chances.windows(2).all(|w| w[0].chance <= w[1].chance));
    let buys = [0.1, 0.5, 0.8, 1.0].map(|sure| known(&sample, &wanted, sure, 40).buy);
    assert!(buys.is_sorted_by_key(|b| b.unwrap_or(usize::MAX)), "{buys:?}");
    // A zone more in every board.
    let mut worse = sample.clone();
    for board in &mut worse {
        board.zones.extend(graded("z", 96, &[[60, 64, 0, 14]]).zones);
    }
    let after = known(&worse, &wanted, 1.0, 40);
    for (a, b) in after.chances.iter().zip(&before.chances) {
        assert!(a.chance <= b.chance);
    }
    assert!(after.buy.unwrap_or(usize::MAX) >= before.buy.unwrap());
}

#[test]
fn only_what_is_graded_and_not_marked_is_foretold() {
    let mut board = graded("a", 96, &[]);
    assert!(unmarked(&board));
    board.grade = Some("Clear".to_owned());
    assert!(!unmarked(&board));
    assert!(!unmarked(&graded("b", 96, &[[1, 2, 0, 4]])));
    board.grade = None;
    assert!(!unmarked(&board));
}

/// Knots at random along boards, near Poisson as they were counted on sawn timber (mean 2.17 a tile,
/// 9.8 % of tiles empty where Poisson has 11.4 %; published counts as quoted): the interval of a
/// small sample holds what a large one gives, nearly always.
#[test]
fn the_interval_of_a_small_sample_holds_the_chance_of_a_large_one() {
    let knotty = |name: String, stream: &mut Stream| {
        let mut zones = Vec::new();
        // Each of 24 places bears a knot one time in ten: 2.4 a board, near Poisson.
        for place in 0..24 {
            if stream.below(10) == 0 {
                let near = i64::try_from(stream.below(18)).unwrap();
                zones.push([4 * place, 4 * place + 2, near, near + 4]);
            }
        }
        graded(&name, 96, &zones)
    };
    let mut stream = Stream::of(1 << 60);
    let boards = |n: usize, stream: &mut Stream| -> Vec<Board> {
        (0..n).map(|i| knotty(format!("m{i}"), stream)).collect()
    };
    let wanted = graded("rack", 96, &[]);
    let truth = known(&boards(300, &mut stream), &wanted, 1.0, 300);
    let (mut held, mut all) = (0, 0);
    for _ in 0..12 {
        let small = known(&boards(10, &mut stream), &wanted, 1.0, 60);
        for (found, truth) in small.chances.iter().zip(&truth.chances) {
            all += 1;
            held += usize::from(found.low <= truth.chance && truth.chance <= found.high);
        }
    }
    assert!(held * 10 >= all * 8, "{held} of {all}");
}

const YARD: &str = "board,species,length,width,thickness,rings,price,quantity,grade\n\
    rack 1,fir,96,5.5,1.5,90,10,20,No. 2\nrack 2,fir,120,5.5,1.5,90,14,20,no.  2\n";
const MARKED: &str = "board,species,length,width,thickness,rings,grade,zone,from,to,near,far\n\
    m1,fir,96,5.5,1.5,90,No. 2,,,,,\nm1,,,,,,,knot,30,32,1,2\nm2,fir,96,5.5,1.5,90,No. 2,,,,,\n";

fn shop() -> Shop {
    let paddles = jobs::bay(2).text();
    Shop::with(&[("paddles.toml", &paddles), ("yard.csv", YARD), ("marked.csv", MARKED)])
}

const ODDS: [&str; 7] =
    ["odds", "--yard", "yard.csv", "--like", "marked.csv", "--paddles", "paddles.toml"];

#[test]
fn the_command_prints_the_same_on_any_number_of_cores() {
    let shop = shop();
    let words =
        [&ODDS[..], &["--draws", "40", "--json", "odds.json", "--sheet", "odds.html"]].concat();
    let mut told = Vec::new();
    for cores in ["1", "3"] {
        let output = shop.command(&words).env("RAYON_NUM_THREADS", cores).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        told.push((output.stdout, shop.text("odds.json"), shop.text("odds.html")));
    }
    assert!(told[0] == told[1]);
    let text = String::from_utf8(told[0].0.clone()).unwrap();
    assert!(
        flat(&text).contains("The sample, the boards you marked, is small: 2 boards, 1 zone."),
        "{text}"
    );
    assert!(text.contains("It is longer than any board of the sample."), "{text}");
    assert!(text.contains("Cheapest of fir: "), "{text}");
    let json: serde_json::Value = serde_json::from_str(&told[0].1).unwrap();
    assert_eq!(json["sure"], 0.9);
    let line = &json["lines"][0];
    assert_eq!(line["board"], "rack 1");
    let buy = line["buy"].as_u64().unwrap();
    let last = line["chances"].as_array().unwrap().last().unwrap();
    assert_eq!(last["boards"].as_u64(), Some(buy));
    assert!(last["chance"].as_f64() >= Some(0.9));
    assert!(told[0].2.contains(&format!("{buy} buy")) && told[0].2.contains("<svg"));
}

#[test]
fn bad_use_is_told_and_where_no_sample_serves() {
    let shop = shop();
    for (more, said) in [
        (["--sure", "0.9"], "give per cent, from 1 to 100"),
        (["--sure", "NaN"], "give per cent, from 1 to 100"),
        (["--draws", "3"], "give a whole number of 10 to 100000"),
    ] {
        let (status, _, err) = shop.run(&[&ODDS[..], &more].concat());
        assert_eq!(status, 2, "{err}");
        assert!(err.contains(said), "{err}");
    }
    std::fs::write(shop.at("marked.csv"), MARKED.replace("No. 2", "select")).unwrap();
    let (status, _, err) = shop.run(&ODDS);
    assert_eq!(status, 2);
    assert!(
        flat(&err).contains("no board here is of the wood and grade of a line of yard.csv"),
        "{err}"
    );
}

#[test]
fn buy_never_takes_an_unmarked_board_with_a_grade_for_clear() {
    let shop = shop();
    let buy = ["buy", "--yard", "yard.csv", "--paddles", "paddles.toml"];
    let (status, out, err) = shop.run(&buy);
    assert_eq!(status, 1, "{out}{err}");
    assert!(err.contains("rack 1 is left out: it is of grade No. 2"), "{err}");
    let (status, out, err) = shop.run(&[&buy[..], &["--like", "marked.csv"]].concat());
    assert_eq!(status, 1, "{out}{err}");
    assert!(!err.contains("left out") && out.contains("  buy\n"), "{out}{err}");
    std::fs::write(shop.at("yard.csv"), YARD.replace("No. 2", "Clear")).unwrap();
    let (status, out, err) = shop.run(&buy);
    assert_eq!(status, 0, "{out}{err}");
    assert!(out.contains("rack 1"), "{out}");
}

#[test]
fn a_stop_says_what_is_not_known() {
    let shop = shop();
    let more = ["--time-limit", "0.000000001", "--json", "odds.json"];
    let (status, out, err) = shop.run(&[&ODDS[..], &more].concat());
    assert_eq!(status, 1, "{err}");
    let lines = YARD.lines().count() - 1;
    let said = format!("Not looked at before the work was stopped: {lines} line");
    assert!(out.contains(&said), "{out}");
    let json: serde_json::Value = serde_json::from_str(&shop.text("odds.json")).unwrap();
    assert_eq!((&json["stopped"], &json["lines"][0]["buy"]), (&true.into(), &().into()));
}

/// A thousand lines and a sample of hundreds: after a limit of 2 s the samples of all other lines
/// were gathered still, for more than a minute.
#[test]
fn many_lines_end_with_the_limit() {
    let shop = shop();
    let row = |name: &str, n: usize, more: &str| format!("{name}{n},fir,{}{more}\n", 90 + n % 40);
    let mut marked = "board,species,length,width,thickness,rings,grade\n".to_owned();
    marked.extend((0..600).map(|n| row("m", n, ",5.5,1.5,90,No. 2")));
    let mut yard = "board,species,length,width,thickness,grade,price\n".to_owned();
    yard.extend((0..1_000).map(|n| row("y", n, ",5.5,1.5,No. 2,12")));
    std::fs::write(shop.at("marked.csv"), marked).unwrap();
    std::fs::write(shop.at("yard.csv"), yard).unwrap();
    let began = std::time::Instant::now();
    let (status, out, err) = shop.run(&[&ODDS[..], &["--time-limit", "1"]].concat());
    assert!(status < 2, "{err}");
    assert!(out.contains("stopped"), "{out}");
    assert!(began.elapsed().as_secs() < 15, "{:?}", began.elapsed());
}

/// Marked boards that are all clear and of one size give as much as one of them by itself.
#[test]
fn survey_tells_what_a_typical_board_of_the_grade_gives() {
    let shop = shop();
    let clear = "board,species,length,width,thickness,rings,grade\nm1,fir,96,5.5,1.5,90,No. 2\n";
    std::fs::write(shop.at("marked.csv"), clear).unwrap();
    let words =
        ["survey", "--boards", "marked.csv", "--paddles", "paddles.toml", "--like", "marked.csv"];
    // Standing for both files it is read twice, which a file may be.
    let (status, out, err) = shop.run(&words);
    assert_eq!(status, 0, "{err}");
    let count = |head: &str| {
        let (_, rest) = out.split_once(head).unwrap();
        rest.split_whitespace().next().unwrap().trim_end_matches('.').to_owned()
    };
    assert!(out.contains("A typical board of fir, grade No. 2"), "{out}");
    let whole = count("Covers bay: ");
    assert!(
        out.contains(&format!("Covers bay: {whole} (half of them {whole} to {whole})")),
        "{out}"
    );
}
