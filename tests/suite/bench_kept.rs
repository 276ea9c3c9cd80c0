//! Strips that leave the saw too deep, as the bench is told of them.

use stripwright::choose::{Options, plan};
use stripwright::glue::glue_up;
use stripwright::length::{Length, Units};
use stripwright::read::{List, boards_text, paddles_text};
use stripwright::report;
use stripwright::report::text::bench::text_sheet;
use stripwright::shop::bench;
use stripwright::shop::kept::kept;
use stripwright::verify::verify;

/// Two paddles of unlike thickness from one board: the section goes to 1 7/16 in, and strips that
/// are wanted 1 1/4 in deep and stand on edge keep 3/16 in until their blank is planed.
fn sheets(bow: &str) -> (Vec<String>, String, Vec<(String, Length)>) {
    let paddle = |name: &str, thick: &str| {
        format!(
            "[[paddle]]\nname = \"{name}\"\nlength = 60\nloom = 20\ntrim = 0\nrings = 0\n\
             thickness = \"{thick}\"\n[[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2\"\n\
             runs = \"through\"\n"
        )
    };
    let text = format!(
        "[shop]\nfar_edge = 0\n[glue]\nclamp_load = 700\n{}{}",
        paddle("stout", "1 3/8"),
        paddle("slim", "1 3/16")
    );
    let read = paddles_text("p.toml", &text).unwrap();
    let csv =
        format!("board,species,length,width,thickness,bow\na,red alder,64,2 3/4,1 1/2,{bow}\n");
    let boards = boards_text("b.csv", &csv, Units::Inch, List::OnHand).unwrap();
    let made = plan(&read.job, &boards, &Options::default()).expect("one board is enough");
    let made = verify(made, &read.job, &boards).unwrap();
    let up = glue_up(&made, &read.job, &boards, &read.glue);
    let benches = bench::sheets(&up, &made, &read.job, &boards, &read.glue);
    let page = report::html(&made, &read.job, &boards, &benches);
    let over = kept(&made, &read.job, &boards);
    let text = benches.iter().map(|s| text_sheet(s, 1000)).collect();
    (text, page, over.into_iter().map(|k| (k.strip, k.over)).collect())
}

#[test]
fn strips_left_too_deep_are_told_at_the_bench() {
    let (sheets, page, kept) = sheets("0");
    assert_eq!(kept.len(), 2, "{kept:?}");
    assert!(kept.iter().all(|(_, over)| *over == Length::inch_fraction(3, 16)), "{kept:?}");
    let [stout, slim] = sheets.as_slice() else { panic!("{sheets:?}") };
    assert!(!stout.contains("too deep"), "{stout}");
    // As they lie their names are up, so what is over lies below.
    let names: Vec<&str> = kept.iter().map(|(name, _)| name.as_str()).collect();
    let (a, b) = (names.join(", "), [names[1], names[0]].join(", "));
    let said = |of: &str| {
        slim.contains(&format!("away from the name: {of} by 3/16\" on the lower face. Lay their"))
            && slim.contains(&format!(
                "First plane off what was left too deep, down to the neighbours: {of} (3/16\", \
                 lower face). Plane both faces, 1/32\" off each"
            ))
    };
    assert!(said(&a) || said(&b), "{slim}");
    let page = page.replace('\u{A0}', " ");
    assert_eq!(page.matches("stays 1 7/16&quot; deep until the blank is planed").count(), 2);
    assert!(page.contains("Left too deep at the saw"));
}

/// A strip that lies with its name down has what is over on its upper face.
#[test]
fn a_flipped_strip_stands_out_above() {
    let (sheets, _, kept) = sheets("1/4");
    assert_eq!(kept.len(), 2, "{kept:?}");
    let slim = &sheets[1];
    let warning = slim.lines().find(|l| l.contains("Left too deep")).expect(slim);
    for (name, _) in &kept {
        let is_row = |l: &&str| l.contains(&format!(" {name} ")) && l.contains("arrow to");
        let row = slim.lines().find(is_row).expect(slim);
        let face = if row.contains("name down") { "upper" } else { "lower" };
        assert!(
            warning.contains(&format!("{name} by 3/16\" on the {face} face")),
            "{row}\n{warning}"
        );
    }
    assert!(warning.contains("upper face") && warning.contains("lower face"), "{warning}");
}

/// What a turned strip has too much lies on a glue face: it is always planed off, were it higher
/// than wide.
#[test]
fn a_turned_strip_is_never_left_too_thick() {
    let text = "[[paddle]]\nname = \"p\"\nlength = 60\nloom = 20\ntrim = 0\nrings = 45\n\
                thickness = 1\n[[paddle.lamination]]\nname = \"side\"\nthickness = 1.25\n\
                runs = \"through\"\n";
    let read = paddles_text("p.toml", text).unwrap();
    let csv = "board,species,length,width,thickness,rings\na,red alder,64,4 3/4,1 1/2,0\n";
    let boards = boards_text("b.csv", csv, Units::Inch, List::OnHand).unwrap();
    let mut made = plan(&read.job, &boards, &Options::default()).expect("one board is enough");
    // Beside it something stouter, so that the section is not planed to this strip alone.
    let rips = &mut made.boards[0].sections[0].rips;
    assert!(rips.iter().all(|r| r.turned && r.far - r.near < r.leaves[0].thickness));
    let mut stout = rips[1].clone();
    let inch = Length::inch_fraction;
    (stout.near, stout.far) = (stout.far + inch(1, 8), stout.far + inch(1, 2));
    stout.leaves[0].thickness = Length::inch_fraction(3, 2);
    stout.leaves[0].strips.clear();
    rips.push(stout);
    let made = verify(made, &read.job, &boards).unwrap_or_else(|e| panic!("{e:?}"));
    assert_eq!(kept(&made, &read.job, &boards), []);
    let page = report::html(&made, &read.job, &boards, &[]).replace('\u{A0}', " ");
    assert!(page.contains("It stands on its narrow side: by hand"), "{page}");
}
