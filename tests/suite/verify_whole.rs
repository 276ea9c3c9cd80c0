//! What `verify` says of a plan as a whole: what it costs, which file it came from, where a fault
//! lies, and that one fault hides no other.

use stripwright::claim::{Claim, FilePlan};
use stripwright::length::Length;
use stripwright::lumber::{Board, Price, Species, StripInHand};
use stripwright::paddle::Job;
use stripwright::plan::*;
use stripwright::read::job_text;
use stripwright::verify::{Fault, Rule, made, verify, verify_cut, verify_file};

fn inch(top: i64, bottom: i64) -> Length {
    Length::inch_fraction(top, bottom)
}

/// Two kinds of paddle, each of one pair of sides 1/4 by 1 by 24 in; nothing is dressed or planed.
fn job() -> Job {
    let shop = "[shop]\ndress = 0\nplane = 0\nedge = 0\nfar_edge = 0\nboard_end = 0\nmin_rip = 4\n\
        rip_kerf = \"1/8\"\ncrosscut_kerf = \"1/8\"\ncurve_kerf = \"1/8\"\nstraight = \"1/16\"\npair = 1\npull = 1\n";
    let paddle = |name: &str| {
        format!(
            "[[paddle]]\nname = \"{name}\"\nlength = 24\nloom = 10\ntrim = 0\nthickness = 1\nrings = 0\n\
             [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/4\"\nruns = \"through\"\n"
        )
    };
    let text = format!("{shop}{}{}", paddle("storm"), paddle("touring"));
    job_text("p", &text).unwrap_or_else(|p| panic!("{p}"))
}

fn board(name: &str) -> Board {
    Board::plain(name, Species::new("fir"), [inch(24, 1), inch(4, 1), inch(1, 1)])
}

/// A board cut into strips of these names, all for the side of one paddle.
fn cut(board: usize, copy: u32, names: &[&str], paddle: usize) -> CutBoard {
    let rip = |(n, name): (i64, &&str)| {
        let strip = Strip {
            id: (*name).to_owned(),
            paddle,
            lamination: 0,
            from: Length::ZERO,
            to: inch(24, 1),
            flipped_with: None,
        };
        let leaves = vec![Leaf { thickness: inch(1, 1), strips: vec![strip] }];
        Rip { near: inch(3 * n, 8), far: inch(3 * n + 2, 8), turned: false, leaves }
    };
    let rips = (0..).zip(names).map(rip).collect();
    let (edge, face) = (Edge::Kept, Face::Kept);
    let section = Section { from: Length::ZERO, to: inch(24, 1), edge, face, rips };
    CutBoard { board, copy, sections: vec![section] }
}

fn plan(boards: Vec<CutBoard>, paddles: [u32; 2], cost: Cost) -> Plan {
    let proof = Proof::AtLeast(0);
    Plan { in_hand: Vec::new(), cost, proof, most: None, paddles: paddles.to_vec(), boards }
}

fn feet(boards: &[Board]) -> Cost {
    Cost { measure: Measure::BoardFeet, parts: boards.iter().map(Board::volume).sum() }
}

fn faults(plan: Plan, job: &Job, boards: &[Board]) -> Vec<Fault> {
    verify(plan, job, boards).err().unwrap_or_default()
}

fn rules(plan: Plan, job: &Job, boards: &[Board]) -> Vec<Rule> {
    faults(plan, job, boards).iter().map(|f| f.rule).collect()
}

/// Boards count by price only if each has one, but for offcuts, which cost nothing either way.
#[test]
fn cost_is_by_price_only_where_every_board_has_one() {
    let job = job();
    let price = |parts| Some(Price::from_parts(parts));
    let of = |prices: [Option<Price>; 2], offcut: bool, cost: Cost| {
        let mut boards = vec![board("A"), board("B")];
        (boards[0].price, boards[1].price, boards[1].offcut) = (prices[0], prices[1], offcut);
        let cuts = vec![cut(0, 1, &["a", "b"], 0), cut(1, 1, &["c"], 0)];
        rules(plan(cuts, [1, 0], cost), &job, &boards)
    };
    let by_price = |parts| Cost { measure: Measure::Price, parts };
    let volume = board("A").volume();
    let by_feet = |boards: i128| Cost { measure: Measure::BoardFeet, parts: boards * volume };
    let both = [price(70_000), price(50_000)];
    let one = [price(70_000), None];
    assert_eq!(of(both, false, by_price(120_000)), []);
    assert_eq!(of(both, true, by_price(70_000)), []);
    assert_eq!(of(one, true, by_price(70_000)), []);
    assert_eq!(of(one, false, by_feet(2)), []);
    assert_eq!(of([None, None], false, by_feet(2)), []);
    assert_eq!(of([None, None], true, by_feet(1)), []);
    for wrong in [by_price(70_000), by_price(120_000), by_feet(1)] {
        assert_eq!(of(one, false, wrong), [Rule::Cost], "{wrong:?}");
    }
}

/// A fault says in which board and strip it lies.
#[test]
fn a_fault_names_its_board_and_strip() {
    let (job, boards) = (job(), [board("A"), board("B")]);
    let cuts = vec![cut(0, 1, &["a", "b"], 0), cut(1, 1, &["a"], 0)];
    let found = faults(plan(cuts, [1, 0], feet(&boards)), &job, &boards);
    assert_eq!(found.len(), 1, "{found:?}");
    let place = &found[0].place;
    assert_eq!(place.board, Some(("B".to_owned(), 1)));
    assert_eq!(place.strip.as_deref(), Some("a"));
    assert!(found[0].to_string().contains("\"a\" is used again"), "{}", found[0]);
}

type Change<'a> = dyn Fn(&mut Vec<CutBoard>, &mut Job, &mut Vec<Board>) + 'a;

/// What makes two strips no pair is said of each of them, each reason by itself.
#[test]
fn partners_that_do_not_match_say_why() {
    let mut job = job();
    job.paddles[0].laminations[0].spares = 0;
    let said = |change: &Change<'_>| {
        let (mut job, mut boards) = (job.clone(), vec![board("A"), board("A2")]);
        boards[0].quantity = 2;
        let mut cuts = vec![cut(0, 1, &["a", "b"], 0), cut(0, 2, &["c"], 0), cut(1, 1, &["d"], 0)];
        change(&mut cuts, &mut job, &mut boards);
        let cost = Cost {
            measure: Measure::BoardFeet,
            parts: cuts.iter().map(|c| boards[c.board].volume()).sum(),
        };
        let found = faults(plan(cuts, [0, 0], cost), &job, &boards);
        let words: Vec<String> =
            found.iter().map(|f| format!("{:?} {}", f.rule, f.figures)).collect();
        words
    };
    let strip = |cuts: &mut Vec<CutBoard>, cut: usize, rip: usize, mate: &str| {
        cuts[cut].sections[0].rips[rip].leaves[0].strips[0].flipped_with = Some(mate.to_owned());
    };
    // In one board they are a pair.
    let pair = |cuts: &mut Vec<CutBoard>| {
        strip(cuts, 0, 0, "b");
        strip(cuts, 0, 1, "a");
    };
    assert_eq!(said(&|c, _, _| pair(c)), [""; 0]);
    let both = |why: &str| ["b", "a"].map(|name| format!("Flip {}", why.replace('@', name)));
    assert_eq!(
        said(&|c, _, _| {
            pair(c);
            c[0].sections[0].rips[1].leaves[0].strips[0].paddle = 1;
        }),
        both("@ is for another lamination")
    );
    assert_eq!(
        said(&|c, j, _| {
            pair(c);
            j.paddles[0].laminations[0].centre = true;
        }),
        both("lies on the centreline")
    );
    // Another copy, or another board.
    for (other, name) in [(1, "c"), (2, "d")] {
        assert_eq!(
            said(&|c, _, _| {
                strip(c, 0, 0, name);
                strip(c, other, 0, "a");
            }),
            [name, "a"].map(|n| format!("Flip {n} comes from another board"))
        );
    }
    // One upright, one turned.
    assert_eq!(
        said(&|c, _, b| {
            pair(c);
            let rip = &mut c[0].sections[0].rips[1];
            (rip.turned, rip.far, rip.leaves[0].thickness) =
                (true, rip.near + inch(1, 1), inch(1, 4));
            b[0].width = inch(8, 1);
        }),
        both("@ is cut the other way up")
    );
    // In two sections of one board, of which one is flattened.
    assert_eq!(
        said(&|c, _, b| {
            (b[0].length, b[0].bow, b[0].thickness) = (inch(60, 1), inch(1, 4), inch(2, 1));
            let mut second = c[0].sections[0].clone();
            c[0].sections[0].rips.pop();
            second.rips.remove(0);
            second.face = Face::Flattened;
            (second.from, second.to) = (inch(30, 1), inch(54, 1));
            let strip = &mut second.rips[0].leaves[0].strips[0];
            (strip.from, strip.to) = (inch(30, 1), inch(54, 1));
            c[0].sections.push(second);
            c[0].sections[0].rips[0].leaves[0].strips[0].flipped_with = Some("b".into());
            c[0].sections[1].rips[0].leaves[0].strips[0].flipped_with = Some("a".into());
        }),
        both("@ has another bend: its section keeps what this one straightens")
    );
}

/// A through lamination off the centreline wants two strips a paddle, one on it one, a blade four;
/// and each its spares. Of a paddle that is not made nothing is wanted.
#[test]
fn each_paddle_made_wants_its_strips_and_spares() {
    let of = |runs, centre, spares, quantity: u32, strips: usize| {
        let (mut job, boards) = (job(), vec![Board { width: inch(40, 1), ..board("A") }]);
        let lamination = &mut job.paddles[0].laminations[0];
        (lamination.runs, lamination.centre, lamination.spares) = (runs, centre, spares);
        job.paddles[1].laminations[0].spares = 9;
        let names: Vec<String> = (0..strips).map(|n| n.to_string()).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let cuts = vec![cut(0, 1, &names, 0)];
        rules(plan(cuts, [quantity, 0], feet(&boards)), &job, &boards)
    };
    use stripwright::paddle::Runs::{Blade, Through};
    for (runs, centre, spares, quantity, strips) in [
        (Through, false, 0, 2, 4),
        (Through, true, 0, 2, 2),
        (Blade, false, 0, 2, 8),
        (Through, false, 3, 2, 7),
        (Blade, false, 1, 1, 5),
    ] {
        assert_eq!(of(runs, centre, spares, quantity, strips), [], "{runs:?} {centre} {spares}");
        assert_eq!(of(runs, centre, spares, quantity, strips - 1), [Rule::Demand]);
    }
    assert_eq!(of(Through, false, 5, 0, 1), []);
}

#[test]
fn as_many_kinds_are_counted_as_the_job_has() {
    let (job, boards) = (job(), [board("A")]);
    let mut plan = plan(vec![cut(0, 1, &["a", "b"], 0)], [1, 0], feet(&boards));
    assert_eq!(rules(plan.clone(), &job, &boards), []);
    plan.paddles.push(0);
    assert_eq!(rules(plan.clone(), &job, &boards), [Rule::Demand]);
    plan.paddles.truncate(1);
    assert_eq!(rules(plan, &job, &boards), [Rule::Demand]);
}

#[test]
fn a_bound_and_a_most_may_be_reached() {
    let (job, boards) = (job(), [board("A")]);
    let of = |bound: i128, most: Option<(u32, u32)>| {
        let mut plan = plan(vec![cut(0, 1, &["a", "b"], 0)], [1, 0], feet(&boards));
        plan.proof = Proof::AtLeast(plan.cost.parts + bound);
        plan.most = most.map(|(made, at_most)| Most { made, at_most });
        rules(plan, &job, &boards)
    };
    assert_eq!(of(0, None), []);
    assert_eq!(of(1, None), [Rule::Proof]);
    assert_eq!(of(-1, Some((1, 1))), []);
    assert_eq!(of(0, Some((1, 2))), []);
    assert_eq!(of(0, Some((1, 0))), [Rule::Most]);
    assert_eq!(of(0, Some((0, 1))), [Rule::Most]);
    assert_eq!(of(0, Some((2, 2))), [Rule::Most]);
}

fn file(plan: Plan, claim: Claim) -> FilePlan {
    FilePlan { plan, claim }
}

const BARE: Claim =
    Claim { optimal: true, bound: None, bound_parts: None, gap: None, most: None, budget: None };

/// Strips in hand for both sides of one paddle; the plan costs nothing.
fn in_hand() -> (Job, Plan) {
    let mut job = job();
    for name in ["x", "y"] {
        let size = [inch(24, 1), inch(1, 4), inch(1, 1)];
        job.strips.push(StripInHand::plain(name, Species::new("fir"), size));
    }
    let used = |strip| InHand { strip, paddle: 0, lamination: 0, flipped_with: None };
    let none = Cost { measure: Measure::BoardFeet, parts: 0 };
    let plan = Plan { in_hand: vec![used(0), used(1)], ..plan(Vec::new(), [1, 0], none) };
    (job, plan)
}

fn claimed(claim: Claim) -> Vec<Rule> {
    let (mut job, plan) = in_hand();
    job.paddles[1].quantity = 0;
    let found = verify_file(&file(plan, claim), &job, &[]);
    found.err().unwrap_or_default().iter().map(|f| f.rule).collect()
}

/// Of a plan that costs nothing the gap is nothing, not a division by it.
#[test]
fn a_plan_that_costs_nothing_has_no_gap() {
    let most = Some(Most { made: 1, at_most: 2 });
    let open = |gap| Claim { optimal: false, bound: Some(0), gap: Some(gap), most, ..BARE };
    assert_eq!(claimed(open(0.0)), []);
    assert_eq!(claimed(open(0.4)), [Rule::Gap]);
    assert_eq!(claimed(Claim { gap: Some(0.0), ..BARE }), []);
    assert_eq!(claimed(Claim { gap: Some(f64::NAN), ..BARE }), [Rule::Gap]);
}

/// Three decimals do for the gap of a bound; the gap of what is optimal is nothing at all.
#[test]
fn a_gap_is_as_exact_as_its_figures() {
    let (job, boards) = (job(), [board("A")]);
    let of = |claim: Claim| {
        let plan = plan(vec![cut(0, 1, &["a", "b"], 0)], [1, 0], feet(&boards));
        let most = Some(Most { made: 1, at_most: 1 });
        let found = verify_file(&file(plan, Claim { most, ..claim }), &job, &boards);
        found.err().unwrap_or_default().iter().map(|f| f.rule).collect::<Vec<_>>()
    };
    let cost = feet(&boards).parts;
    let optimal = |gap| Claim { bound: Some(cost), gap: Some(gap), ..BARE };
    assert_eq!(of(optimal(0.0)), []);
    assert_eq!(of(optimal(1e-9)), []);
    assert_eq!(of(optimal(0.0004)), [Rule::Gap]);
    assert_eq!(of(Claim { gap: Some(0.0004), ..BARE }), [Rule::Gap]);
    // A quarter off: 0.25 to three decimals.
    let bounded = |gap| Claim { optimal: false, bound: Some(cost * 3 / 4), gap: Some(gap), ..BARE };
    assert_eq!(of(bounded(0.2504)), []);
    assert_eq!(of(bounded(0.2496)), []);
    assert_eq!(of(bounded(0.251)), [Rule::Gap]);
    assert_eq!(of(bounded(0.249)), [Rule::Gap]);
}

/// A budget is money, and may be spent to the last part.
#[test]
fn a_budget_may_be_spent_to_the_last_part() {
    let job = job();
    let boards = [Board { price: Some(Price::from_parts(70_000)), ..board("A") }];
    let of = |measure, budget: i128| {
        let mut boards = boards.clone();
        let mut cost = Cost { measure, parts: 70_000 };
        if measure == Measure::BoardFeet {
            boards[0].price = None;
            cost = feet(&boards);
        }
        let plan = plan(vec![cut(0, 1, &["a", "b"], 0)], [1, 0], cost);
        let found = verify_file(&file(plan, Claim { budget: Some(budget), ..BARE }), &job, &boards);
        found.err().unwrap_or_default().iter().map(|f| f.rule).collect::<Vec<_>>()
    };
    assert_eq!(of(Measure::Price, 70_000), []);
    assert_eq!(of(Measure::Price, 69_999), [Rule::Budget]);
    assert_eq!(of(Measure::BoardFeet, i128::MAX), [Rule::Budget]);
}

#[test]
fn paddles_made_are_listed_in_words() {
    let (mut job, plan) = in_hand();
    assert_eq!(made(&plan, &job), "1 of 1 storm and 0 of 1 touring");
    let one = Plan { paddles: vec![1], ..plan.clone() };
    job.paddles.push(job.paddles[0].clone());
    job.paddles[2].name = "third".into();
    let three = Plan { paddles: vec![1, 0, 2], ..plan };
    assert_eq!(made(&three, &job), "1 of 1 storm, 0 of 1 touring and 2 of 1 third");
    job.paddles.truncate(1);
    assert_eq!(made(&one, &job), "1 of 1 storm");
}

/// A plan that breaks a rule and a claim that breaks another: both are told.
#[test]
fn faults_of_the_plan_hide_none_of_the_claim() {
    let (job, mut plan) = in_hand();
    plan.cost.parts = 1;
    let found = verify_file(&file(plan, BARE), &job, &[]).unwrap_err();
    let rules: Vec<Rule> = found.iter().map(|f| f.rule).collect();
    assert_eq!(rules, [Rule::Cost, Rule::Wanted]);
}

/// Before glueing strips are measured anew: what measures alone have changed is no fault then, and
/// anything else still is.
#[test]
fn strips_measured_anew_are_no_fault_of_the_cut() {
    let (mut job, plan) = in_hand();
    job.paddles[1].quantity = 0;
    let made = file(plan, BARE);
    assert!(verify_cut(&made, &job, &[]).is_ok());
    job.strips[0].thickness -= Length::from_units(1);
    job.strips[1].sidewise = inch(2, 1);
    job.strips[1].depthwise = inch(2, 1);
    job.strips[1].length -= Length::from_units(1);
    assert_eq!(verify_file(&made, &job, &[]).unwrap_err().len(), 4);
    assert_eq!(verify_cut(&made, &job, &[]).map(|p| p.into_plan()), Ok(made.plan.clone()));
    job.paddles[0].laminations[0].species = vec![Species::new("ash")];
    let found = verify_cut(&made, &job, &[]).unwrap_err();
    assert_eq!(found.iter().map(|f| f.rule).collect::<Vec<_>>(), [Rule::Species, Rule::Species]);
    // What lies in a board was cut as it was measured.
    let boards = [Board { crook: inch(2, 1), ..board("A") }];
    let plan = self::plan(vec![cut(0, 1, &["a", "b"], 0)], [1, 0], feet(&boards));
    let cut = file(plan, BARE);
    let (mut job, _) = in_hand();
    job.paddles[1].quantity = 0;
    let found = verify_cut(&cut, &job, &boards).unwrap_err();
    assert_eq!(found.iter().map(|f| f.rule).collect::<Vec<_>>(), [Rule::Sidewise, Rule::Sidewise]);
}

/// Of strips in hand every size is above nothing, and none, nor a bend, beyond what a file holds.
#[test]
fn strips_in_hand_are_of_sizes_that_a_file_may_hold() {
    let unit = Length::from_units(1);
    let of = |change: &dyn Fn(&mut StripInHand)| {
        let (mut job, plan) = in_hand();
        change(&mut job.strips[1]);
        rules(plan, &job, &[])
    };
    assert_eq!(
        of(&|s| (s.length, s.thickness, s.depth) = (Length::LIMIT, Length::LIMIT, Length::LIMIT)),
        []
    );
    for many in 0..3 {
        for size in [Length::ZERO, -unit, Length::LIMIT + unit] {
            let found = of(&|s| *[&mut s.length, &mut s.thickness, &mut s.depth][many] = size);
            assert_eq!(found, [Rule::Sizes], "{many} {size:?}");
        }
    }
    for bend in [Length::LIMIT + unit, -Length::LIMIT - unit] {
        assert_eq!(of(&|s| s.sidewise = bend), [Rule::Sizes]);
        assert_eq!(of(&|s| s.depthwise = bend), [Rule::Sizes]);
    }
    assert_eq!(of(&|s| s.sidewise = -Length::LIMIT), [Rule::Sidewise]);
}
