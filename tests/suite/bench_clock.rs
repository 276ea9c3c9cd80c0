//! The clock and the clamps of a bench sheet against sums by hand.

use stripwright::choose::{Options, plan};
use stripwright::glue::{Blank, GlueSettings, glue_up};
use stripwright::length::{Length, Units};
use stripwright::read::{List, boards_text, paddles_text};
use stripwright::shop::clamps::{Clamping, Which};
use stripwright::shop::clock::Clock;
use stripwright::verify::verify;

const PADDLE: &str = r#"
[[paddle]]
name = "p"
length = 84
loom = 20
thickness = "1 3/8"
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
[[paddle.lamination]]
name = "blade"
thickness = "7/8"
runs = "blade"
"#;

/// The blank of seven strips of one wood, with what the shop says of its glue.
fn blank(glue: &str, wood: &str) -> (Blank, GlueSettings) {
    let read = paddles_text("p.toml", &format!("{glue}{PADDLE}")).unwrap();
    let text =
        format!("board,species,length,width,thickness,quantity\na,{wood},96,5 1/2,1 3/4,4\n");
    let boards = boards_text("b.csv", &text, Units::Inch, List::OnHand).unwrap();
    let made = plan(&read.job, &boards, &Options::default()).unwrap();
    let made = verify(made, &read.job, &boards).unwrap();
    (glue_up(&made, &read.job, &boards, &read.glue).blanks.remove(0), read.glue)
}

fn clock(blank: &Blank, s: &GlueSettings) -> Clock {
    let c = Clamping::of(blank, s, &s.glue, Units::Inch);
    Clock::of(blank, &c, s, Units::Inch)
}

/// Joints: 2 of 84 3/4 and 4 of 32 3/8 in, 24.92 ft: 125 s. Seven strips: 70 s. Two pairs of
/// blocks on each blade and on the loom, 12 small clamps: 96 s. 7 + 7 + 5 bar clamps: 380 s.
#[test]
fn the_clock_by_hand_and_what_makes_it_fit() {
    let (b, s) = blank("", "western redcedar");
    let c = clock(&b, &s);
    let parts = [c.stage.spread, c.stage.close, c.stage.blocks, c.stage.clamps];
    assert_eq!((parts, c.stage.total(), c.allowed), ([125, 70, 96, 380], 671, 600));
    assert!(!c.fits());
    let cures: Vec<(&str, u64, bool)> =
        c.cures.iter().map(|c| (c.what.as_str(), c.counted, c.fits())).collect();
    assert_eq!(
        cures,
        [
            // 63 + 70 + 6 · 8 + 10 · 20
            ("with one helper more", 381, true),
            // The loom's three strips: 71 + 30 + 96 + 380; the blades' four: 54 + 40 + 64 + 280.
            ("in two stages, first spine, side, the rest on another day", 577, true),
            // Either alone makes it fit: both together are not told.
        ]
    );
    // With the helper there it fits, and nothing more is asked.
    let (b, s) = blank("[glue]\nhelpers = 1\n", "western redcedar");
    let c = clock(&b, &s);
    assert_eq!((c.counted, c.cures.len()), (381, 0));
}

/// A slower glue on both faces: 250 + 70 + 96 + 380 s, of which the last 476 are closed and count
/// half: 558 of 20 min. It fits where the fast one does not.
#[test]
fn a_slower_glue_is_weighed_by_its_own_sheet() {
    let glue = "[[glue.kind]]\nname = \"fast\"\nfaces = 1\nopen_time = 10\npressure = 100\n\
                [[glue.kind]]\nname = \"slow\"\nfaces = \"both\"\nopen_time = 20\nclosed_time = 40\npressure = 100\n";
    let (b, s) = blank(glue, "western redcedar");
    let c = clock(&b, &s);
    let last = c.cures.last().unwrap();
    assert_eq!((last.what.as_str(), last.counted, last.allowed), ("with slow", 558, 1200));
    assert!(last.fits());
    let (b, s) = blank(&format!("[glue]\nuse = \"slow\"\n{glue}"), "western redcedar");
    assert!(clock(&b, &s).fits());
}

/// Ash wants 200 psi: on a blade 9,308 lb, for which clamps of 370 lb find no room; of 1,050 lb
/// nine do. On the loom between the shoulders cauls are shorter than the loom.
#[test]
fn clamps_that_find_no_room_are_told() {
    let of = |glue: &str| {
        let (b, s) = blank(glue, "white ash");
        Clamping::of(&b, &s, &s.glue, Units::Inch)
    };
    let weak = of("[glue]\nclamp_load = 370\n");
    assert!(weak.stretches.iter().all(|s| !s.enough && s.spacing >= Length::INCH * 2));
    let strong = of("[glue]\nclamp_load = 1050\n");
    let blade = &strong.stretches[0];
    assert!(blade.enough);
    assert_eq!((blade.which, blade.places.len()), (Which::Blade, 9));
    let loom = &strong.stretches[1];
    assert_eq!((loom.which, loom.length), (Which::Loom, Length::INCH * 20));
    assert!(loom.caul[0] <= Length::inch_fraction(39, 2));
    // A glue that wants little pressure needs no more clamps than the spacing asks for.
    let little = of("[glue]\npressure = 5\n");
    assert_eq!(little.stretches[0].places.len(), 5);
}

/// A shop with fewer clamps than are wanted. Of redcedar's 7 + 7 + 5, each of 32 3/8 · 1 7/16 · 100
/// / 7 = 665 lb and 575 lb, a shop with 16 sets 6 + 6 + 4: 776 lb are wanted on a blade, more than
/// 700; the loom's 719 lb too. With clamps on pipes (1,050 lb) the spacing alone asks for 5 + 5 + 4,
/// and 11 of them press as hard as need be, at 931 lb and 958 lb; what is wanted is still said.
#[test]
fn a_shop_with_few_clamps_is_told_what_they_do() {
    let of = |glue: &str| {
        let (b, s) = blank(glue, "western redcedar");
        let c = Clamping::of(&b, &s, &s.glue, Units::Inch);
        let counts: Vec<usize> = c.stretches.iter().map(|st| st.places.len()).collect();
        let pounds: Vec<f64> =
            c.stretches.iter().map(|st| (st.force / 4.448_221_615).round()).collect();
        let enough = c.stretches.iter().all(|st| st.enough);
        (counts, c.bar_clamps(), c.more, pounds, enough)
    };
    assert_eq!(of(""), (vec![7, 5], 19, None, vec![665.0, 575.0], true));
    assert_eq!(of("[glue]\nclamps = 19\n"), of(""));
    let few = of("[glue]\nclamps = 16\n");
    assert_eq!(few, (vec![6, 4], 16, Some(19), vec![700.0, 700.0], false));
    let pipes = of("[glue]\nclamps = 13\nclamp_load = 1050\n");
    assert_eq!(pipes, (vec![5, 3], 13, Some(14), vec![931.0, 958.0], true));
    // Two on each stretch stay, whatever the shop has.
    assert_eq!(of("[glue]\nclamps = 1\n").0, [2, 2]);
}

/// What the sheet says of them, and of a shop that has enough.
#[test]
fn few_clamps_are_said_on_the_sheet() {
    let said = |glue: &str| {
        let (b, s) = blank(glue, "western redcedar");
        let read = paddles_text("p.toml", &format!("{glue}{PADDLE}")).unwrap();
        let text =
            "board,species,length,width,thickness,quantity\na,western redcedar,96,5 1/2,1 3/4,4\n";
        let boards = boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap();
        let sheet = stripwright::shop::bench::sheet(&b, &[], &read.job, &boards, &s);
        stripwright::report::text::bench::text_sheet(&sheet, 400)
    };
    assert!(!said("").contains("The shop has"));
    let few = said("[glue]\nclamps = 16\n");
    for words in [
        "The shop has 16 bar clamps, 19 are wanted. 16 lie farther apart, under thicker cauls. They do not press hard enough: see below.",
        "6 bar clamps, all that there are, press 90 psi where 100 psi is wanted: borrow clamps, take stronger clamps",
    ] {
        assert!(few.contains(words), "{words}\n{few}");
    }
    let none = said("[glue]\nclamps = 3\n");
    let zero = paddles_text("p.toml", &format!("[glue]\nclamps = 0\n{PADDLE}"));
    assert!(zero.unwrap_err().to_string().contains("glue, clamps"));
    assert!(none.contains("with fewer than 6 no blank is pressed from end to end"), "{none}");
}
