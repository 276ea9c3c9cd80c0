//! What is printed as proved is proved; what a file claims is called a claim; what was cut short
//! is called found so far.

use crate::fixtures;
use crate::jobs::{JobText, shop};

use serde_json::{Value, json};
use std::path::Path;
use stripwright::choose::{NoPlan, Options, Shortage, plan_for};
use stripwright::claim::{Claim, FilePlan};
use stripwright::length::Units;
use stripwright::lumber::{Board, Price};
use stripwright::paddle::Job;
use stripwright::plan::{Cost, Measure, Most, Plan, Proof};
use stripwright::prove::{Verdict, work_out};
use stripwright::read::{List, boards_text};
use stripwright::report::text::{proof, survey, tables, what_if};
use stripwright::survey::buy::buy;
use stripwright::verify::verify;

fn text() -> JobText {
    shop(r#"board_end = "1/2"; far_edge = 0; curve_kerf = "1/8"; min_rip = 4"#)
        .paddle("small", ["24", "8", "1"], "trim = 0")
        .through("side", "1/2")
}

const HEAD: &str = "board,species,length,width,thickness,rings,price\n";
const DEAR: &str = "dear,fir,32,2,1 1/8,80,9\n";
const CHEAP: &str = "cheap,fir,32,2,1 1/8,80,3\n";

fn job(quantity: u32) -> Job {
    let mut job = text().job();
    job.paddles[0].quantity = quantity;
    job
}

fn boards(lines: &str) -> Vec<Board> {
    boards_text("b.csv", &format!("{HEAD}{lines}"), Units::Inch, List::OnHand).unwrap()
}

fn run(arguments: &[&str]) -> (Option<i32>, String, String) {
    let mut command = assert_cmd::Command::cargo_bin("stripwright").unwrap();
    let output = command.current_dir(env!("CARGO_MANIFEST_DIR")).args(arguments).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

/// A folder with the job, boards, and the plan of the dear board alone.
struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Shop {
        let shop = Shop(tempfile::tempdir().unwrap());
        shop.write("job.toml", &text().text());
        shop.write("dear.csv", &format!("{HEAD}{DEAR}"));
        shop.write("both.csv", &format!("{HEAD}{DEAR}{CHEAP}"));
        let (code, _, err) = run(&[
            "plan",
            "--boards",
            &shop.path("dear.csv"),
            "--paddles",
            &shop.path("job.toml"),
            "--json",
            &shop.path("plan.json"),
        ]);
        assert_eq!(code, Some(0), "{err}");
        shop
    }

    fn path(&self, name: &str) -> String {
        self.0.path().join(name).to_str().unwrap().to_owned()
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.0.path().join(name), text).unwrap();
    }

    fn plan(&self) -> Value {
        let text = std::fs::read_to_string(Path::new(&self.path("plan.json"))).unwrap();
        serde_json::from_str(&text).unwrap()
    }

    /// What verify says of a plan: both outputs together.
    fn verify(&self, boards: &str, plan: &Value, more: &[&str]) -> (Option<i32>, String) {
        self.write("changed.json", &plan.to_string());
        let (boards, job) = (self.path(boards), self.path("job.toml"));
        let file = self.path("changed.json");
        let mut arguments = vec!["verify", "--boards", &boards, "--paddles", &job, &file];
        arguments.extend(more);
        let (code, out, err) = run(&arguments);
        (code, out + &err)
    }
}

fn priced(parts: i128, proof: Proof, most: Option<Most>, kinds: usize) -> Plan {
    let cost = Cost { measure: Measure::Price, parts };
    Plan { cost, proof, most, paddles: vec![1; kinds], boards: vec![], in_hand: vec![] }
}

#[test]
fn one_sentence_says_what_is_proved_of_number_and_cost() {
    let said = |bound: i128, most: Option<(u32, u32)>, kinds| {
        let most = most.map(|(made, at_most)| Most { made, at_most });
        let proof = if bound == 102 { Proof::Optimal } else { Proof::AtLeast(bound * 10_000) };
        proof::proved(&priced(1_020_000, proof, most, kinds))
    };
    assert_eq!(said(102, None, 1), "Proved: no choice of these boards costs less.");
    assert_eq!(
        said(100, None, 1),
        "Proved: no choice costs less than 100.00, so this one is at most 2.00 % above the least."
    );
    assert_eq!(
        said(102, Some((2, 2)), 1),
        "Proved: no more can be made of these boards, and no choice that makes as many costs less."
    );
    assert_eq!(
        said(100, Some((2, 2)), 2),
        "Proved: no more of the paddles wanted can be made of these boards, and no choice that \
         makes as many costs less than 100.00, so this one is at most 2.00 % above the least."
    );
    assert_eq!(
        said(0, Some((2, 2)), 1),
        "Proved: no more can be made of these boards. Nothing is proved of the cost: no bound \
         was worked out."
    );
    assert_eq!(
        said(102, Some((2, 6)), 1),
        "The search was stopped: 2 paddles made, at most 6 could be. Proved: no choice that \
         makes 2 costs less."
    );
    for bound in [0, -5] {
        for most in [None, Some((2, 6))] {
            let text = said(bound, most, 1);
            assert!(!text.contains("Proved") && text.contains("Nothing is proved"), "{text}");
        }
    }
}

/// The page divided the gap by the cost, the terminal by the bound.
#[test]
fn page_and_terminal_say_the_same() {
    let (job, boards, mut plan) = fixtures::mixed();
    for bound in [0, plan.cost.parts * 2 / 3, plan.cost.parts] {
        plan.proof = Proof::AtLeast(bound);
        let page =
            stripwright::report::html(&fixtures::passed(&plan, &job, &boards), &job, &boards, &[]);
        let sentence = proof::proved(&plan);
        assert!(page.contains(&sentence), "{sentence}");
        assert!(tables::proved(&plan).ends_with(&sentence));
        assert_eq!(page.contains("Proved"), bound > 0, "{bound}");
    }
}

#[test]
fn a_bound_is_never_shown_greater_than_it_is() {
    let feet = Measure::BoardFeet.one();
    let mut plan = priced(feet * 2, Proof::AtLeast(feet * 1_999 / 1_000), None, 1);
    plan.cost.measure = Measure::BoardFeet;
    assert!(proof::proved(&plan).contains("less than 1.99 board feet"), "{}", proof::proved(&plan));
    // A share that no number holds is left out, not wrapped.
    assert_eq!(proof::above(i128::MAX, 1), None);
    assert_eq!(proof::above(1_020_001, 1_000_000), Some(201));
}

/// `verify` and `glue` passed a file's claim on as if it were proved.
#[test]
fn a_files_claim_is_called_a_claim() {
    let shop = Shop::new();
    let (code, said) = shop.verify("dear.csv", &shop.plan(), &[]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("It makes 1 of 1 small."), "{said}");
    assert!(said.contains("The file claims: no choice of these boards costs less."), "{said}");
    assert!(!said.to_lowercase().contains("proved"), "{said}");
    let (code, glued, _) = run(&[
        "glue",
        "--boards",
        &shop.path("dear.csv"),
        "--paddles",
        &shop.path("job.toml"),
        &shop.path("plan.json"),
    ]);
    assert_eq!(code, Some(0));
    assert!(!glued.contains("Proved"), "{glued}");
    // Nothing printed from such a plan can say more than the file may.
    let (job, boards) = (job(1), boards(DEAR));
    let text = std::fs::read_to_string(shop.path("plan.json")).unwrap();
    let file = stripwright::read::plan_json::plan_text("p", &text, &job, &boards).unwrap();
    let plan = stripwright::verify::verify_file(&file, &job, &boards).unwrap();
    assert!(tables::proved(&plan).contains("Nothing is proved"));
    assert!(!stripwright::report::html(&plan, &job, &boards, &[]).contains("Proved"));
}

/// A plan of no boards at all "held: 0 strips".
#[test]
fn a_plan_of_nothing_does_not_hold() {
    let shop = Shop::new();
    let mut plan = shop.plan();
    plan["boards"] = json!([]);
    plan["paddles"] = json!([{"paddle": "small", "made": 0}]);
    plan["cost"]["total"] = json!(0.0);
    plan["proof"] = json!({"status": "optimal", "bound": 0.0, "gap": 0.0});
    let (code, said) = shop.verify("dear.csv", &plan, &[]);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("makes 0 of 1 small"), "{said}");
    // Where the most is asked for it may be none; then it is no plan, and is not said to hold.
    plan["most"] = json!({"made": 0, "at_most": 0});
    let (code, said) = shop.verify("dear.csv", &plan, &[]);
    assert_eq!(code, Some(1), "{said}");
    assert!(!said.contains("holds") && said.contains("the plan makes no paddle"), "{said}");
    // And that none can be made is false here.
    let (code, said) = shop.verify("dear.csv", &plan, &["--prove"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("a plan makes 1 paddle"), "{said}");
}

type Change = fn(&mut Value);

/// A file with a bound of 0.01 beside a cost of 18.75 and a gap of 0.99 held as optimal.
#[test]
fn a_claim_must_agree_with_itself() {
    let shop = Shop::new();
    let wrong: [(&str, Change); 12] = [
        ("optimal with bound 0.01 price and cost 9", |p| p["proof"]["bound"] = json!(0.01)),
        ("gap 0.99, cost and bound give 0.0000", |p| p["proof"]["gap"] = json!(0.99)),
        ("gap 0.1, cost and bound give 0.3333", |p| {
            p["proof"] = json!({"status": "bounded", "bound": 6.0, "gap": 0.1});
        }),
        ("bound 9.5 price, cost 9", |p| {
            p["proof"] = json!({"status": "bounded", "bound": 9.5});
        }),
        // Nothing is left open, by the cost or by the number.
        ("bounded with bound and cost 9 price", |p| {
            p["proof"] = json!({"status": "bounded", "bound": 9.0, "gap": 0.0});
        }),
        ("bounded with bound and cost 9 price", |p| {
            p["proof"] = json!({"status": "bounded", "bound": 9.0, "bound_parts": "90000"});
            p["most"] = json!({"made": 1, "at_most": 1});
        }),
        ("bound 9 price, bound_parts 8 price", |p| p["proof"]["bound_parts"] = json!("80000")),
        ("2 made by `most`, 1 by `paddles`", |p| p["most"] = json!({"made": 2, "at_most": 2})),
        ("1 made, at most 0", |p| p["most"] = json!({"made": 1, "at_most": 0})),
        ("optimal with 1 made and at most 6", |p| p["most"] = json!({"made": 1, "at_most": 6})),
        ("is counted twice", |p| {
            p["paddles"] = json!([{"paddle": "small", "made": 1}, {"paddle": "small", "made": 1}]);
        }),
        ("is not a whole number", |p| p["proof"]["bound_parts"] = json!("nine")),
    ];
    for (said, change) in wrong {
        let mut plan = shop.plan();
        change(&mut plan);
        let (code, text) = shop.verify("dear.csv", &plan, &[]);
        assert_eq!(code, Some(2), "{said}: {text}");
        assert!(text.contains(said), "{said}: {text}");
    }
    let right: [Change; 4] = [
        |p| p["proof"] = json!({"status": "bounded", "bound": 6.0, "gap": 0.333}),
        |p| p["proof"] = json!({"status": "optimal"}),
        |p| p["most"] = json!({"made": 1, "at_most": 1}),
        |p| {
            p["proof"] = json!({"status": "bounded", "bound": 9.0, "gap": 0.0});
            p["most"] = json!({"made": 1, "at_most": 6});
        },
    ];
    for (case, change) in right.iter().enumerate() {
        let mut plan = shop.plan();
        change(&mut plan);
        let (code, text) = shop.verify("dear.csv", &plan, &[]);
        assert_eq!(code, Some(0), "{case}: {text}");
    }
}

#[test]
fn prove_says_whether_the_claim_is_true() {
    let shop = Shop::new();
    let (code, said) = shop.verify("dear.csv", &shop.plan(), &["--prove", "--time-limit", "60"]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("the claim is true. Proved: no choice of these boards"), "{said}");
    // Beside a cheaper board the same plan holds and its claim doesn't.
    let (code, said) = shop.verify("both.csv", &shop.plan(), &[]);
    assert_eq!(code, Some(0), "{said}");
    let (code, said) = shop.verify("both.csv", &shop.plan(), &["--prove"]);
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("The claim is false") && said.contains("costs 3.00"), "{said}");
    // A bound that no plan goes below is true of the dear plan, too.
    let mut plan = shop.plan();
    plan["proof"] = json!({"status": "bounded", "bound": 2.5});
    let (code, said) = shop.verify("both.csv", &plan, &["--prove"]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("less than 3.00"), "{said}");
    // A budget is no part of a plan file.
    plan["budget"] = json!(12.0);
    let (code, said) = shop.verify("both.csv", &plan, &["--prove"]);
    assert_eq!(code, Some(1), "{said}");
    let (code, said) = shop.verify("both.csv", &plan, &["--time-limit", "1"]);
    assert_eq!(code, Some(2), "{said}");
}

fn file(job: &Job, boards: &[Board], paddles: &[u32], most: Option<Most>) -> FilePlan {
    let plan = plan_for(job, boards, paddles, &Options::default()).unwrap();
    let plan = Plan { proof: Proof::AtLeast(0), most: None, ..plan };
    let (bound, bound_parts) = (None, None);
    FilePlan {
        plan,
        claim: Claim { optimal: true, bound, bound_parts, gap: None, most, budget: None },
    }
}

#[test]
fn prove_looks_at_the_number_too() {
    let (job, boards) = (job(1), boards(&format!("{DEAR}{CHEAP}")));
    let can = (1..)
        .take_while(|&n| plan_for(&job, &boards, &[n], &Options::default()).is_ok())
        .last()
        .unwrap();
    assert!(can > 1);
    let few = file(&job, &boards, &[1], Some(Most { made: 1, at_most: 1 }));
    match work_out(&few, &job, &boards, &Options::default()) {
        Ok(Verdict::More(plan)) => assert_eq!(plan.paddles, [can]),
        other => panic!("{other:?}"),
    }
}

/// A search that is stopped at once says nothing against a claim.
#[test]
fn a_stopped_search_decides_nothing_false() {
    let (job, boards) = (job(1), boards(&format!("{DEAR}{CHEAP}")));
    let options = Options::default();
    options.stop.ask();
    let verdict = work_out(&file(&job, &boards, &[1], None), &job, &boards, &options);
    assert!(matches!(verdict, Ok(Verdict::Open(..) | Verdict::True(..))), "{verdict:?}");
}

fn short(stopped: bool) -> NoPlan {
    let short = Shortage { missing: vec![1], needed: vec![2] };
    if stopped { NoPlan::Stopped(short) } else { NoPlan::Infeasible(short) }
}

/// A what-if that was cut short said "nothing was found that is enough", as if none existed.
#[test]
fn a_what_if_that_was_cut_short_says_so() {
    let then = |plan: &Plan| plan.cost.to_string();
    let open = priced(90_000, Proof::AtLeast(10_000), None, 1);
    let least = priced(90_000, Proof::Optimal, None, 1);
    let says = |outcome: Result<&Plan, &NoPlan>| {
        let gone = what_if::gone(what_if::Gone::Only, "x", outcome, then);
        [gone, what_if::one_more("x", outcome, then)]
    };
    for n in [0, 1] {
        let stopped = &says(Err(&short(true)))[n];
        assert!(stopped.contains("the search was stopped"), "{stopped}");
        assert!(says(Err(&short(false)))[n].contains("(proved)"));
        assert!(says(Ok(&open))[n].contains("is not proved"));
        assert!(!says(Ok(&least))[n].contains("proved"));
    }
}

/// `buy --budget` interrupted said "the most for 300 is …" of what it had found so far.
#[test]
fn a_budgets_most_is_said_where_it_is_proved() {
    let (job, yard) = (job(2), boards(&format!("{DEAR}{CHEAP}")));
    let mut bought = buy(&job, &[], &yard, &[1], &Options::default()).unwrap();
    let mut said = |most| {
        bought.plan.most = most;
        let plan = verify(bought.plan.clone(), &job, &bought.boards).unwrap();
        survey::purchase(&plan, &bought, &job, Some(Price::from_parts(100_000)), 200)
    };
    let text = said(Some(Most { made: 1, at_most: 1 }));
    assert!(text.starts_with("The most for 10.00 is 1 × small."), "{text}");
    assert!(text.contains("Proved: no more can be had for 10.00"), "{text}");
    let text = said(Some(Most { made: 1, at_most: 4 }));
    assert!(
        text.starts_with("Found so far for 10.00: 1 × small. The search was stopped;"),
        "{text}"
    );
    assert!(!text.contains("The most"), "{text}");
    let text = said(None);
    assert!(
        text.starts_with("Found so far for 10.00: 1 × small; that it is the most is not"),
        "{text}"
    );
}

/// `buy --json -` mixed sentences into the JSON, and called a budget too small infeasible.
#[test]
fn buys_json_stands_alone_and_names_the_budget() {
    let shop = Shop::new();
    shop.write("none.csv", &format!("{HEAD}ash,fir,20,2,1 1/8,80,9\n"));
    let job = shop.path("job.toml");
    let buy = |yard: &str, more: &[&str]| {
        let yard = shop.path(yard);
        let mut arguments = vec!["buy", "--yard", &yard, "--paddles", &job, "--json", "-"];
        arguments.extend(more);
        let (code, out, err) = run(&arguments);
        // Why nothing is bought is said beside it.
        assert_eq!(err.is_empty(), code == Some(0), "{err}");
        let value: Value = serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {out}"));
        (code, value)
    };
    let (code, none) = buy("none.csv", &[]);
    assert_eq!((code, &none["proof"]["status"]), (Some(1), &json!("infeasible")));
    let (code, none) = buy("none.csv", &["--budget", "4"]);
    assert_eq!((code, &none["proof"]["status"]), (Some(1), &json!("infeasible")));
    assert_eq!(none["short"][0]["lamination"], json!("side"), "{none}");
    let (code, over) = buy("both.csv", &["--budget", "2.5"]);
    assert_eq!((code, &over["proof"]["status"]), (Some(1), &json!("over budget")));
    assert_eq!(over["cheapest"], json!({"paddle": "small", "price": 3.0, "proved": true}));
    assert_eq!((&over["budget"], &over["short"]), (&json!(2.5), &json!([])));
    let (code, bought) = buy("both.csv", &["--budget", "10"]);
    assert_eq!((code, &bought["budget"]), (Some(0), &json!(10.0)));
}
