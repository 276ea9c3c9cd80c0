//! Published figures gathered: what the tables and the cuts of this project must agree with. Each check
//! names its source. Further ones stand beside what they check: bars (`published_1d.rs`), nominal
//! sizes and board feet (`nominal.rs`), yields by grade (`odds_published.rs`), springback
//! (`src/glue/forecast.rs`), spread of glue (`src/shop/clamps.rs`).
//!
//! Published and in reach, but nothing of it is worked out here, so there is nothing to check: moisture
//! content and movement (Wood Handbook, eq. 4-5, Tables 4-2 and 13-5), grades by cutting units (NHLA).

use std::fmt::Write;
use stripwright::cut::BoardCuts;
use stripwright::glue::settings::GlueKind;
use stripwright::length::{Length, Units};
use stripwright::lumber::nominal::surfaced;
use stripwright::lumber::{Board, Slope, Species};
use stripwright::paddle::{Job, strip_kinds};
use stripwright::read::{List, boards_text, job_text};

/// Wood Handbook, FPL-GTR-190 (2010), Table 5-3a, at 12 % moisture content: specific gravity in
/// hundredths, modulus of elasticity in MPa.
const HANDBOOK: [(&str, i32, i32); 27] = [
    ("western redcedar", 32, 7_700),
    ("Port-Orford-cedar", 43, 11_700),
    ("yellow cedar", 44, 9_800),
    ("incense-cedar", 37, 7_200),
    ("northern white-cedar", 31, 5_500),
    ("Atlantic white-cedar", 32, 6_400),
    ("Sitka spruce", 40, 10_800),
    ("Engelmann spruce", 35, 8_900),
    ("white spruce", 36, 9_600),
    ("black spruce", 42, 11_100),
    ("red spruce", 40, 11_400),
    ("yellow-poplar", 42, 10_900),
    ("basswood", 37, 10_100),
    ("northern red oak", 63, 12_500),
    ("Douglas-fir, coast", 48, 13_400),
    ("western hemlock", 45, 11_300),
    ("eastern white pine", 35, 8_500),
    ("western white pine", 35, 10_100),
    ("sugar pine", 36, 8_200),
    ("ponderosa pine", 40, 8_900),
    ("old-growth redwood", 40, 9_200),
    ("young-growth redwood", 35, 7_600),
    ("white ash", 60, 12_000),
    ("sugar maple", 63, 12_600),
    ("black cherry", 50, 10_300),
    ("black walnut", 55, 11_600),
    ("red alder", 41, 9_500),
];

#[test]
fn woods_are_those_of_the_handbook() {
    for (name, gravity, modulus) in HANDBOOK {
        let wood = Species::new(name);
        let wood = wood.wood().unwrap_or_else(|| panic!("{name} is not in the table"));
        let found = ((wood.gravity * 100.0).round(), wood.modulus.round());
        assert_eq!(found, (f64::from(gravity), f64::from(modulus)), "{name}");
    }
}

/// Trade charts of hardwood by quarters, surfaced on two sides: 4/4 to 13/16, 5/4 to 1 1/16, 6/4 to
/// 1 5/16, 8/4 to 1 3/4.
#[test]
fn hardwood_by_quarters_surfaced_on_two_sides() {
    for (quarters, sixteenths) in [("4/4", 13), ("5/4", 17), ("6/4", 21), ("8/4", 28)] {
        assert_eq!(surfaced(quarters), Some(Length::inch_fraction(sixteenths, 16)), "{quarters}");
    }
}

/// ANC-19 §2.3022, table 2-11: slopes of grain on face and edge together; 1:20 with 1:25 make
/// 1:15.6, 1:18 with 1:22 make 1:13.9, 1:20 with 1:30 make 1:16 2/3.
#[test]
fn slopes_on_face_and_edge_together() {
    for (face, edge, both) in [(20, 25, 15.6), (18, 22, 13.9), (20, 30, 16.67)] {
        let slope = |run| Slope { rise: 1, run };
        let found = 1.0 / slope(face).combined(slope(edge));
        assert!((found - both).abs() < 0.06, "1:{face} with 1:{edge}: 1:{found}");
    }
}

/// ANC-19 Table 5-12, cold setting at 70 to 90 °F: open 10 minutes, closed 20 at most; §5.24: one
/// minute open counts as two closed.
#[test]
fn a_minute_open_counts_as_two_closed() {
    let glue = GlueKind { open_time: 10.0, closed_time: Some(20.0), ..GlueKind::default() };
    assert!((glue.closed_share() - 0.5).abs() < 1e-12);
}

/// Pieces of a plate as strips of a job: along the board, across it, and what each is worth. Every
/// piece is a lamination, upright, so that its width is a rip's; the plate is deeper than wide, so
/// that nothing can be laid on its side. In tenths of a millimetre, no kerf and no allowance.
fn plate(length: i64, width: i64, pieces: &[(i64, i64, i64)], shortest: i64) -> (Job, Board) {
    let tenths = |n: i64| format!("\"{}.{} mm\"", n / 10, n % 10);
    let deep = tenths(width + 1);
    let mut toml = format!(
        "[shop]\nrip_kerf = 0\ncrosscut_kerf = 0\nedge = 0\nfar_edge = 0\nboard_end = 0\ndress = 0\n\
         plane = 0\nmin_rip = {}\n",
        tenths(shortest)
    );
    for (n, (long, wide, _)) in pieces.iter().enumerate() {
        write!(
            toml,
            "[[paddle]]\nname = \"{n}\"\nquantity = 200\nlength = {}\nloom = \"0.05 mm\"\n\
             thickness = {deep}\ntrim = 0\nrings = 0\n[[paddle.lamination]]\nname = \"piece\"\n\
             thickness = {}\nruns = \"through\"\ncentre = true\n",
            tenths(*long),
            tenths(*wide)
        )
        .unwrap();
    }
    let csv = format!(
        "board,species,length,width,thickness\nplate,fir,{},{},{}\n",
        tenths(length),
        tenths(width),
        deep
    );
    let boards = boards_text("b.csv", &csv.replace('"', ""), Units::Mm, List::OnHand).unwrap();
    (job_text("p.toml", &toml).unwrap(), boards[0].clone())
}

/// The greatest worth that a plate gives; `shortest` is the shortest section that may be ripped.
fn worth(
    (length, width): (i64, i64),
    pieces: &[(i64, i64, i64)],
    shortest: i64,
    defects: &[[i64; 4]],
) -> i64 {
    let (job, mut board) = plate(length, width, pieces, shortest);
    let mm = |n: i64| Length::parse(&format!("{}.{} mm", n / 10, n % 10), Units::Mm).unwrap();
    for &[from, near, to, far] in defects {
        board.zones.push(stripwright::lumber::Zone {
            kind: stripwright::lumber::ZoneKind::new("rot"),
            from: mm(from),
            to: mm(to),
            near: mm(near),
            far: mm(far),
        });
    }
    let mut kinds = strip_kinds(&job);
    kinds.iter_mut().for_each(|k| k.apart = true);
    let wanted = vec![200; kinds.len()];
    let prices: Vec<i64> = kinds.iter().map(|k| pieces[k.lines[0].0].2).collect();
    BoardCuts::new(&board, &job.shop, &kinds, &wanted).value(&prices).best
}

/// The plate turned by a quarter.
fn turned(pieces: &[(i64, i64, i64)]) -> Vec<(i64, i64, i64)> {
    pieces.iter().map(|&(l, w, v)| (w, l, v)).collect()
}

/// Pieces of gcut1, a published instance of guillotine cutting (plate 250 × 250, copies without
/// limit, worth is area, no turning). The published optimum of any guillotine cuts is 56,460.
const GCUT1: [(i64, i64); 10] = [
    (167, 184),
    (114, 118),
    (167, 152),
    (83, 140),
    (70, 86),
    (143, 166),
    (120, 160),
    (66, 148),
    (87, 141),
    (69, 165),
];

/// Two-staged, worked out again elsewhere: rips first 56,460, crosscuts first 53,808. Variant: there,
/// pieces may be narrower than their rip and are trimmed; our rips are of one width, which comes to
/// the same here. Our sections (crosscuts before the rips) are kept out by letting none be shorter
/// than the plate.
#[test]
fn a_plate_of_gcut1_in_two_stages() {
    let pieces = GCUT1.map(|(l, w)| (l, w, l * w));
    assert_eq!(worth((250, 250), &pieces, 250, &[]), 56_460);
    assert_eq!(worth((250, 250), &turned(&pieces), 250, &[]), 53_808);
    // With sections it is three-staged: no less than two, no more than any guillotine cuts.
    assert_eq!(worth((250, 250), &pieces, 0, &[]), 56_460);
    let three = worth((250, 250), &turned(&pieces), 0, &[]);
    assert!((53_808..=56_460).contains(&three), "{three}");
}

/// A published plate of 15 × 10 with a defect from (4,3) to (6,5), and one from (11,6) to (12,8)
/// besides.
const DEFECTS: [[i64; 4]; 2] = [[4, 3, 6, 5], [11, 6, 12, 8]];
const PIECES: [(i64, i64, i64); 7] =
    [(8, 4, 66), (3, 7, 35), (8, 2, 24), (3, 4, 17), (3, 3, 11), (3, 2, 8), (2, 1, 2)];

/// Rips of one width on whole places, tried one after another: the best of a rip is found place by
/// place along it, the best of the plate place by place across.
fn by_every_place(
    (length, width): (i64, i64),
    pieces: &[(i64, i64, i64)],
    defects: &[[i64; 4]],
) -> i64 {
    let rip = |near: i64, wide: i64| {
        let mut best = vec![0; usize::try_from(length).unwrap() + 1];
        for x in 1..=length {
            let at = usize::try_from(x).unwrap();
            best[at] = best[at - 1];
            for &(long, w, value) in pieces.iter().filter(|p| p.0 <= x) {
                let hit = |d: &&[i64; 4]| {
                    x - long < d[2] && d[0] < x && near < d[3] && d[1] < near + wide
                };
                if w == wide && !defects.iter().any(|d| hit(&d)) {
                    best[at] = best[at].max(best[usize::try_from(x - long).unwrap()] + value);
                }
            }
        }
        best[usize::try_from(length).unwrap()]
    };
    let mut all = vec![0; usize::try_from(width).unwrap() + 1];
    for y in 1..=width {
        let at = usize::try_from(y).unwrap();
        all[at] = all[at - 1];
        for wide in pieces.iter().map(|p| p.1).filter(|&w| w <= y) {
            let before = all[usize::try_from(y - wide).unwrap()];
            all[at] = all[at].max(before + rip(y - wide, wide));
        }
    }
    all[usize::try_from(width).unwrap()]
}

/// Two-staged with trimming, worked out again elsewhere over all whole cuts: with one defect rips first
/// 230, crosscuts first 234; with both 230 and 205. Variant: our rips are of one width and aren't
/// trimmed, so those are bounds; the figure itself is that of every whole place tried.
#[test]
fn a_plate_with_defects_in_two_stages() {
    let quarter = |d: &[i64; 4]| [d[1], d[0], d[3], d[2]];
    for (many, rips, crosscuts) in [(1, 230, 234), (2, 230, 205)] {
        let defects = &DEFECTS[..many];
        let found = worth((15, 10), &PIECES, 15, defects);
        assert_eq!(found, by_every_place((15, 10), &PIECES, defects), "{many} defects");
        assert!(found <= rips, "{found} of {rips}");
        let (pieces, defects) = (turned(&PIECES), defects.iter().map(quarter).collect::<Vec<_>>());
        let found = worth((10, 15), &pieces, 10, &defects);
        assert_eq!(found, by_every_place((10, 15), &pieces, &defects), "{many} defects, turned");
        assert!(found <= crosscuts, "{found} of {crosscuts}");
    }
    // Without a defect nothing is worth less, and more stages give no less.
    assert!(worth((15, 10), &PIECES, 15, &[]) >= worth((15, 10), &PIECES, 15, &DEFECTS[..1]));
    assert!(
        worth((15, 10), &PIECES, 0, &DEFECTS[..1]) >= worth((15, 10), &PIECES, 15, &DEFECTS[..1])
    );
}
