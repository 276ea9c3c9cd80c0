//! Plans, proves and draws how to cut boards into the strips of laminated Greenland-type paddles.
//!
//! Data flows one way: files ([`inputs`]) → [`Board`]s and a [`Job`] → [`plan()`] → a [`Plan`] →
//! [`verify()`] → a [`VerifiedPlan`], the only thing that can be printed, drawn, written or glued.
//! Lengths are whole numbers ([`Length`]); nothing that is called proved rests on a float. The
//! numbered rules that plans obey, and the mathematics, stand in DEVELOPERS.md.
//!
//! Two files, a plan, its strips and its sheet:
//!
//! ```
//! use std::path::Path;
//! use stripwright::{bench_sheets, glue_up, inputs, plan, sheet_page, verify, Options};
//!
//! let boards = Path::new("examples/loft/boards.csv");
//! let paddles = Path::new("examples/loft/paddles.toml");
//! let read = inputs(boards, paddles).unwrap_or_else(|problems| panic!("{problems}"));
//! let (job, boards) = (&read.job, &read.boards[..]);
//!
//! let found = plan(job, boards, &Options::default()).expect("the boards are enough");
//! let plan = verify(found, job, boards).expect("a plan that is found obeys the rules");
//! for (cut, _, _, leaf, strip) in plan.strips() {
//!     let thick = leaf.thickness.with_unit(job.units);
//!     println!("{} from {}, {thick} thick", strip.id, boards[cut.board].name);
//! }
//!
//! let up = glue_up(&plan, job, boards, &read.glue);
//! let page = sheet_page(&plan, job, boards, &bench_sheets(&up, &plan, job, boards, &read.glue));
//! assert!(page.starts_with("<!DOCTYPE html>"));
//! ```
//!
//! Boards made in code keep to the rules of a file ([`check_boards`] tells where they don't); and why
//! there is no plan:
//!
//! ```
//! use stripwright::{check_boards, job_text, plan};
//! use stripwright::{Angle, Board, Grain, Length, NoPlan, Options, Species};
//!
//! let job = job_text("paddles.toml", r#"
//! [[paddle]]
//! name = "short"
//! length = 40
//! loom = 12
//! thickness = 1
//! [[paddle.lamination]]
//! name = "side"
//! thickness = "1/2"
//! runs = "through"
//! "#).unwrap_or_else(|problems| panic!("{problems}"));
//!
//! let inch = |n, of| Length::inch_fraction(n, of);
//! let mut board = Board::plain("A", Species::new("spruce"), [inch(48, 1), inch(7, 2), inch(3, 2)]);
//! board.grain = Some(Grain::Rings(Angle::VERTICAL));
//! check_boards(&[board.clone()]).expect("sizes above 0 and nothing off the board");
//! let one = plan(&job, &[board.clone()], &Options::default());
//! assert!(one.is_ok());
//!
//! board.length = inch(39, 1);
//! match plan(&job, &[board], &Options::default()) {
//!     Ok(_) => unreachable!("a board cannot give a strip longer than itself"),
//!     Err(NoPlan::Infeasible(short)) => assert_eq!(short.missing, [2]),
//!     Err(NoPlan::Stopped(_)) => unreachable!("no limit was given"),
//! }
//! ```
//!
//! | to | use |
//! |---|---|
//! | read | [`inputs`], [`boards_text`], [`job_text`], [`paddles_text`], [`plan_text`], [`strips_text`], [`check_boards`] |
//! | plan | [`plan()`], [`plan_for`], [`most_for`], [`most_count`]; [`strip_kinds`], [`needed`] |
//! | check | [`verify()`], [`verify_file`] |
//! | look before buying | [`survey()`], [`buy()`], [`within_budget`], [`without`], [`look()`] |
//! | glue | [`glue_up`], [`bench_sheets`] |
//! | write | [`plan_json`], [`plan_json_within_budget`], [`cut_list`], [`strips_csv`], [`sheet_page`], [`drawings`], [`plan_tables`] |
//!
//! Modules that are not shown are workings: the command and the tests reach them, and they may
//! change from one version to the next.

#[doc(hidden)]
pub mod choose;
#[doc(hidden)]
pub mod claim;
mod clear;
#[doc(hidden)]
pub mod cli;
#[doc(hidden)]
pub mod cut;
#[doc(hidden)]
pub mod glue;
#[doc(hidden)]
pub mod length;
#[doc(hidden)]
pub mod lumber;
#[doc(hidden)]
pub mod odds;
#[doc(hidden)]
pub mod paddle;
#[doc(hidden)]
pub mod plan;
#[doc(hidden)]
pub mod prove;
#[doc(hidden)]
pub mod read;
#[doc(hidden)]
pub mod report;
#[doc(hidden)]
pub mod shop;
#[doc(hidden)]
pub mod stop;
#[doc(hidden)]
pub mod survey;
#[doc(hidden)]
pub mod text;
#[doc(hidden)]
pub mod verify;

pub use length::{Length, LengthError, Units};
pub use lumber::board::Rise;
pub use lumber::{Angle, Bend, Board, Grain, Price, Slope, Species, Zone, ZoneKind, copy_name};
pub use lumber::{End, StripInHand, Weight};
pub use paddle::strips::needed;
pub use paddle::{
    Job, Lamination, Margin, Margins, Paddle, Runs, Shop, StripKind, Tally, fits::Unfit,
    strip_kinds,
};

pub use claim::{Claim, FilePlan};
pub use read::plan_json::plan_text;
pub use read::{
    Inputs, List, Problem, Problems, Rack, Wanted, boards_text, check_boards, inputs, job_text,
    paddles_text, strips_text,
};

pub use choose::{
    Aim, Listener, News, NoPlan, Options, Outcome, Shortage, most_count, most_for, plan, plan_for,
};
pub use plan::{
    Cost, CutBoard, Edge, Face, InHand, Leaf, Measure, Most, Plan, Proof, Rip, Section, Strip,
};
pub use stop::Stop;
pub use verify::{Fault, Place, Rule, VerifiedPlan, verify, verify_file};

pub use survey::buy::{Purchase, buy, within_budget, without};
pub use survey::look::{BendAllowed, Look, RunWanted, SizeGives, look};
pub use survey::near::{Change, NearMiss};
pub use survey::{BoardSurvey, Part, survey};

pub use glue::figures::Reference;
pub use glue::forecast::Stretch;
pub use glue::signs::OwnBend;
pub use glue::{
    Blank, Figures, Forecast, GlueSettings, GlueUp, Help, Laid, Misfit, OwnWood, Placing, Reach,
    Side, Spare, glue_up,
};
pub use report::csv::{cuts as cut_list, strips as strips_csv};
pub use report::json::{to_string as plan_json, within_budget as plan_json_within_budget};
pub use report::text::tables::plan as plan_tables;
pub use report::{html as sheet_page, svgs as drawings};
pub use shop::bench::{BenchSheet, Step, Table, sheets as bench_sheets};
pub use shop::stack::{Bar, Run, Stack};
