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
/// blocks on each blade and on the loom, 12 small clamps: 96 s. 13 + 13 + 8 bar clamps: 680 s.
#[test]
fn the_clock_by_hand_and_what_makes_it_fit() {
    let (b, s) = blank("", "western redcedar");
    let c = clock(&b, &s);
    let parts = [c.stage.spread, c.stage.close, c.stage.blocks, c.stage.clamps];
    assert_eq!((parts, c.stage.total(), c.allowed), ([125, 70, 96, 680], 971, 600));
    assert!(!c.fits());
    let cures: Vec<(&str, u64, bool)> =
        c.cures.iter().map(|c| (c.what.as_str(), c.counted, c.fits())).collect();
    assert_eq!(
        cures,
        [
            // 63 + 70 + 6 · 8 + 17 · 20
            ("with one helper more", 521, true),
            // The loom's three strips: 71 + 30 + 96 + 680; the blades' four: 54 + 40 + 64 + 520.
            ("in two stages, first spine, side, the rest on another day", 877, false),
            // 36 + 30 + 48 + 340
            (
                "in two stages and with one helper more, first spine, side, the rest on another day",
                454,
                true
            ),
        ]
    );
    // With the helper there it fits, and nothing more is asked.
    let (b, s) = blank("[glue]\nhelpers = 1\n", "western redcedar");
    let c = clock(&b, &s);
    assert_eq!((c.counted, c.cures.len()), (521, 0));
}

/// A slower glue on both faces: 250 + 70 + 96 + 680 s, of which the last 776 are closed and count
/// half: 708 of 20 min. It fits where the fast one does not.
#[test]
fn a_slower_glue_is_weighed_by_its_own_sheet() {
    let glue = "[[glue.kind]]\nname = \"fast\"\nfaces = 1\nopen_time = 10\npressure = 100\n\
                [[glue.kind]]\nname = \"slow\"\nfaces = \"both\"\nopen_time = 20\nclosed_time = 40\npressure = 100\n";
    let (b, s) = blank(glue, "western redcedar");
    let c = clock(&b, &s);
    let last = c.cures.last().unwrap();
    assert_eq!((last.what.as_str(), last.counted, last.allowed), ("with slow", 708, 1200));
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
    let weak = of("");
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
