//! The readers against any bytes, and against jobs written in every spelling.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use std::fmt::Write;
use stripwright::length::{Length, Units};
use stripwright::lumber::board::Rise;
use stripwright::lumber::{Angle, Board, Grain, Price, Slope, Species, Zone, ZoneKind};
use stripwright::paddle::{Job, Lamination, Paddle, Runs, Shop};
use stripwright::read::{List, boards_text, inputs, job_text};

/// Text that comes near to being one of the files.
fn nearly(words: &'static [&'static str]) -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        6 => prop::sample::select(words).prop_map(str::to_owned),
        2 => "[0-9./' \"-]{0,8}",
        1 => "\\PC{0,6}",
    ];
    vec(piece, 0..60).prop_map(|pieces| pieces.concat())
}

const CSV: &[&str] = &[
    "board,species,length,width,thickness,rings,pith_across,pith_depth,crook,bow,runout,price,quantity,zone,from,to,near,far\n",
    "board,species,length,size,price_per_foot,foot\n",
    "a,ash,90,6,1",
    "a,ash,90,2x6,999999999,board\n",
    "a,,,,",
    ",",
    ",,,,,,,,",
    "\n",
    "\r\n",
    "\"",
    "\"\"",
    ";",
    "\t",
    "knot",
    "1:20",
    "-",
    "100 m",
    "flat",
    "12.50",
    "999999999999",
    "10000",
    "\u{FEFF}",
    "\u{BD}",
];
const TOML: &[&str] = &[
    "units = \"mm\"\n",
    "[shop]\n",
    "edge = ",
    "pair = ",
    "resaw_kerf = ",
    "[[paddle]]\n",
    "name = \"p\"\n",
    "length = ",
    "loom = ",
    "thickness = ",
    "[[paddle.lamination]]\n",
    "runs = \"blade\"\n",
    "centre = true\n",
    "species = [",
    "allow = ",
    "\"ash\"",
    "]",
    "\n",
    "84",
    "1e308",
    "-0.0",
    "inf",
    "nan",
    "0x7fff_ffff_ffff_ffff",
    "{",
    "}",
    "'",
    "\"1/0\"\n",
    "\"1:0\"\n",
    "quantity = ",
    "spares = ",
    "rings = ",
    "runout = ",
    "1979-05-27",
    "true",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn no_sheet_makes_the_reader_panic(text in nearly(CSV), yard: bool, mm: bool) {
        let list = if yard { List::Yard } else { List::OnHand };
        let units = if mm { Units::Mm } else { Units::Inch };
        if let Err(problems) = boards_text("b.csv", &text, units, list) {
            prop_assert!(!problems.0.is_empty());
            prop_assert!(!problems.to_string().is_empty());
        }
    }

    #[test]
    fn no_toml_makes_the_reader_panic(text in nearly(TOML)) {
        if let Err(problems) = job_text("p.toml", &text) {
            prop_assert!(!problems.0.is_empty());
            prop_assert!(!problems.to_string().is_empty());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn no_bytes_make_the_readers_panic(boards: Vec<u8>, paddles: Vec<u8>, mark in 0..3_usize) {
        let folder = tempfile::tempdir().unwrap();
        let (b, p) = (folder.path().join("b.csv"), folder.path().join("p.toml"));
        let marks: [&[u8]; 3] = [b"", b"\xFF\xFE", b"\xFE\xFF"];
        std::fs::write(&b, [marks[mark], &boards].concat()).unwrap();
        std::fs::write(&p, [marks[mark], &paddles].concat()).unwrap();
        prop_assert!(inputs(&b, &p).is_err());
    }
}

/// A length that some spelling writes exactly, in 1/64 in or 0.01 mm.
fn length(range: std::ops::Range<i64>) -> impl Strategy<Value = Length> {
    range.prop_map(|n| Length::inch_fraction(n, 64))
}

fn sized(least: i64, most: i64) -> impl Strategy<Value = Length> {
    length(least * 64..most * 64)
}

fn slope() -> impl Strategy<Value = Slope> {
    (1..100_i64).prop_map(|run| Slope { rise: 1_000_000, run: run * 1_000_000 })
}

fn angle() -> impl Strategy<Value = Angle> {
    (0..=90_000_000_i64).prop_map(|m| Angle::from_millionths(m).unwrap())
}

fn grain() -> impl Strategy<Value = Option<Grain>> {
    option::of(prop_oneof![
        angle().prop_map(Grain::Rings),
        (sized(-5, 12), sized(-5, 5)).prop_map(|(across, depth)| Grain::Pith { across, depth }),
    ])
}

fn wood() -> impl Strategy<Value = Species> {
    prop::sample::select(&["white ash", "Red Cedar", "s\u{F6}tvedel", "a, \"b\"; c"][..])
        .prop_map(Species::new)
}

fn zone(length: Length, width: Length) -> impl Strategy<Value = Zone> {
    let span = |over: Length| {
        let parts = over.units() / (Length::INCH.units() / 64);
        (0..parts).prop_flat_map(move |low| (Just(low), low + 1..=parts)).prop_map(|(low, high)| {
            (Length::inch_fraction(low, 64), Length::inch_fraction(high, 64))
        })
    };
    let kind = prop::sample::select(&["knot", "sap", "pitch pocket"][..]);
    (kind, span(length), span(width)).prop_map(|(kind, (from, to), (near, far))| Zone {
        kind: ZoneKind::new(kind),
        from,
        to,
        near,
        far,
    })
}

fn board() -> impl Strategy<Value = Board> {
    let sizes = (sized(10, 200), sized(1, 12), sized(1, 4));
    sizes
        .prop_flat_map(|(length, width, thickness)| {
            let zones = vec(zone(length, width), 0..4);
            let rise = option::of(prop::sample::select(&[Rise::Far, Rise::Marked][..]));
            let rest = (wood(), grain(), sized(-2, 2), sized(-2, 2), option::of(slope()), rise);
            let price = option::of((0..10_000_000_i64).prop_map(Price::from_parts));
            (Just((length, width, thickness)), rest, price, 1..20_u32, zones)
        })
        .prop_map(|((length, width, thickness), rest, price, quantity, zones)| {
            let (species, grain, crook, bow, runout, rise) = rest;
            let quantity = if zones.is_empty() { quantity } else { 1 };
            Board {
                name: String::new(),
                species,
                length,
                width,
                thickness,
                grain,
                crook,
                bow,
                runout,
                rise,
                price,
                quantity,
                edge: None,
                far_edge: None,
                board_end: None,
                offcut: false,
                grade: None,
                zones,
            }
        })
}

fn boards() -> impl Strategy<Value = Vec<Board>> {
    vec(board(), 1..6).prop_map(|mut boards| {
        for (n, board) in boards.iter_mut().enumerate() {
            board.name = format!("board \"{n}\"");
        }
        boards
    })
}

/// How a sheet is spelled.
#[derive(Clone, Debug)]
struct Spelling {
    units: Units,
    order: Vec<usize>,
    separator: char,
    crlf: bool,
    mark: bool,
    capitals: bool,
    blanks: bool,
    trailing: bool,
}

const COLUMNS: [&str; 19] = [
    "board",
    "species",
    "length",
    "width",
    "thickness",
    "rings",
    "pith_across",
    "pith_depth",
    "crook",
    "bow",
    "runout",
    "rises",
    "price",
    "quantity",
    "zone",
    "from",
    "to",
    "near",
    "far",
];

fn spelling() -> impl Strategy<Value = Spelling> {
    let order = Just((0..COLUMNS.len()).collect::<Vec<_>>()).prop_shuffle();
    let separator = prop::sample::select(&[',', ';', '\t'][..]);
    (any::<bool>(), order, separator, any::<[bool; 5]>()).prop_map(
        |(mm, order, separator, more)| {
            let [crlf, mark, capitals, blanks, trailing] = more;
            let units = if mm { Units::Mm } else { Units::Inch };
            Spelling { units, order, separator, crlf, mark, capitals, blanks, trailing }
        },
    )
}

/// A length in one of the spellings, chosen by a number.
fn spelled(length: Length, units: Units, choice: usize) -> String {
    let inches = length.show(Units::Inch);
    // 1/64 in is 0.396875 mm, which three places don't hold: write mm with all six.
    let micro = length.units() * 1_000_000 / 80_000;
    let mm = format!(
        "{}{}.{:06}",
        if micro < 0 { "-" } else { "" },
        micro.abs() / 1_000_000,
        micro.abs() % 1_000_000
    );
    match (choice % 5, units) {
        (0, Units::Inch) => inches,
        (0, Units::Mm) => mm,
        (1, _) => format!("{inches}\""),
        (2, _) => format!("{inches} in"),
        (3, _) => format!("{mm} mm"),
        (_, _) => inches.replace(' ', "-") + "\"",
    }
}

fn degrees(angle: Angle) -> String {
    format!("{}.{:06}", angle.millionths() / 1_000_000, angle.millionths() % 1_000_000)
}

fn money(price: Price) -> String {
    format!("{}.{:04}", price.parts() / Price::SCALE, price.parts() % Price::SCALE)
}

/// A board's lines, as (column, cell).
fn lines(board: &Board, units: Units) -> Vec<Vec<(&'static str, String)>> {
    let show = |l: Length, n: usize| spelled(l, units, n + board.zones.len());
    let mut first = vec![
        ("board", board.name.clone()),
        ("species", board.species.name().to_owned()),
        ("length", show(board.length, 0)),
        ("width", show(board.width, 1)),
        ("thickness", show(board.thickness, 2)),
        ("crook", show(board.crook, 3)),
        ("bow", show(board.bow, 4)),
        ("quantity", board.quantity.to_string()),
    ];
    match board.grain {
        Some(Grain::Rings(angle)) => first.push(("rings", degrees(angle))),
        Some(Grain::Pith { across, depth }) => {
            first.push(("pith_across", show(across, 1)));
            first.push(("pith_depth", show(depth, 2)));
        }
        None => {}
    }
    if let Some(slope) = board.runout {
        first.push(("runout", slope.to_string()));
    }
    if let Some(rise) = board.rise {
        first.push(("rises", if rise == Rise::Far { "far" } else { "Marked" }.to_owned()));
    }
    if let Some(price) = board.price {
        first.push(("price", money(price)));
    }
    let mut lines = vec![first];
    for (n, zone) in board.zones.iter().enumerate() {
        // A side at the board's end or edge may be left blank.
        let side = |at: Length, end: Length| if at == end { String::new() } else { show(at, n) };
        let cells = vec![
            ("zone", zone.kind.as_str().to_owned()),
            ("from", side(zone.from, Length::ZERO)),
            ("to", side(zone.to, board.length)),
            ("near", side(zone.near, Length::ZERO)),
            ("far", side(zone.far, board.width)),
        ];
        // The first zone may stand on the first line.
        if n == 0 && board.quantity == 1 && board.zones.len() % 2 == 1 {
            lines[0].extend(cells);
        } else {
            lines.push([vec![("board", board.name.clone())], cells].concat());
        }
    }
    lines
}

fn sheet(boards: &[Board], how: &Spelling) -> String {
    let quoted = |cell: &str| {
        if cell.contains([how.separator, '"', '\n']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.to_owned()
        }
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    let title = |c: &str| {
        if how.capitals {
            format!(" {} ", c.to_uppercase().replace('_', " "))
        } else {
            c.to_owned()
        }
    };
    rows.push(how.order.iter().map(|&c| title(COLUMNS[c])).collect());
    for line in boards.iter().flat_map(|b| lines(b, how.units)) {
        let cell = |&c: &usize| {
            line.iter()
                .find(|(column, _)| *column == COLUMNS[c])
                .map_or(String::new(), |(_, v)| quoted(v))
        };
        rows.push(how.order.iter().map(cell).collect());
    }
    let end = if how.crlf { "\r\n" } else { "\n" };
    let mut text = if how.mark { "\u{FEFF}".to_owned() } else { String::new() };
    for mut row in rows {
        if how.trailing {
            row.extend([String::new(), String::new()]);
        }
        text.push_str(&row.join(&how.separator.to_string()));
        text.push_str(end);
        if how.blanks {
            text.push_str(end);
        }
    }
    text
}

fn shop() -> impl Strategy<Value = Shop> {
    let small = || length(0..64);
    let kerfs = (small(), small(), option::of(small()), small());
    (kerfs, (small(), small(), small()), (small(), small(), small(), sized(0, 30))).prop_map(
        |((rip_kerf, crosscut_kerf, resaw_kerf, edge), (board_end, dress, plane), rest)| {
            let (straight, pair, pull, min_rip) = rest;
            Shop {
                rip_kerf,
                crosscut_kerf,
                resaw_kerf,
                edge,
                far_edge: Shop::default().far_edge,
                curve_kerf: None,
                curve_dress: dress,
                resaw_dress: dress,
                margins: Default::default(),
                board_end,
                dress,
                plane,
                straight,
                pair,
                pull,
                min_rip,
                planer: Default::default(),
                unsaid: true,
            }
        },
    )
}

fn lamination() -> impl Strategy<Value = Lamination> {
    let allow =
        vec(prop::sample::select(&["sap", "stain", "pin knot"][..]).prop_map(ZoneKind::new), 0..3);
    (length(1..100), any::<bool>(), vec(wood(), 0..3), allow, 0..5_u32).prop_map(
        |(thickness, blade, species, allow, spares)| Lamination {
            name: String::new(),
            thickness,
            runs: if blade { Runs::Blade } else { Runs::Through },
            centre: false,
            species,
            allow,
            spares,
        },
    )
}

fn paddle() -> impl Strategy<Value = Paddle> {
    let sizes = (sized(60, 100), sized(10, 40), length(1..200), length(0..64));
    let laminations = (vec(lamination(), 1..5), any::<bool>());
    (sizes, 1..30_u32, angle(), option::of(slope()), laminations).prop_map(
        |((length, loom, thickness, trim), quantity, rings, runout, (mut laminations, centre))| {
            laminations.sort_by_key(|l| l.runs == Runs::Blade);
            laminations[0].centre = centre && laminations[0].runs == Runs::Through;
            for (n, lamination) in laminations.iter_mut().enumerate() {
                lamination.name = format!("lamination \"{n}\"");
            }
            Paddle {
                name: String::new(),
                quantity,
                length,
                loom,
                thickness,
                trim,
                rings,
                runout,
                laminations,
            }
        },
    )
}

fn job() -> impl Strategy<Value = Job> {
    (any::<bool>(), shop(), vec(paddle(), 1..4)).prop_map(|(mm, shop, mut paddles)| {
        for (n, paddle) in paddles.iter_mut().enumerate() {
            paddle.name = format!("paddle {n}");
        }
        Job { units: if mm { Units::Mm } else { Units::Inch }, shop, paddles, strips: Vec::new() }
    })
}

fn list<'a>(words: impl Iterator<Item = &'a str>) -> String {
    format!("[{}]", words.map(|w| format!("{w:?}")).collect::<Vec<_>>().join(", "))
}

fn toml(job: &Job) -> String {
    let mut text = format!("units = \"{}\" # of bare numbers\n[shop]\n", job.units);
    let shown = |l: Length, n: usize| format!("{:?}", spelled(l, job.units, n));
    let shop = &job.shop;
    let lengths = [
        ("rip_kerf", shop.rip_kerf),
        ("crosscut_kerf", shop.crosscut_kerf),
        ("edge", shop.edge),
        ("board_end", shop.board_end),
        ("dress", shop.dress),
        ("plane", shop.plane),
        ("straight", shop.straight),
        ("pair", shop.pair),
        ("pull", shop.pull),
        ("min_rip", shop.min_rip),
    ];
    for (n, (key, length)) in lengths.into_iter().enumerate() {
        writeln!(text, "{key} = {}", shown(length, n)).unwrap();
    }
    if let Some(kerf) = shop.resaw_kerf {
        writeln!(text, "resaw_kerf = {}", shown(kerf, 3)).unwrap();
    }
    for paddle in &job.paddles {
        writeln!(text, "[[paddle]]\nname = {:?}\nquantity = {}", paddle.name, paddle.quantity)
            .unwrap();
        writeln!(text, "length = {}\nloom = {}", shown(paddle.length, 0), shown(paddle.loom, 1))
            .unwrap();
        writeln!(
            text,
            "thickness = {}\ntrim = {}",
            shown(paddle.thickness, 2),
            shown(paddle.trim, 3)
        )
        .unwrap();
        writeln!(text, "rings = {}", degrees(paddle.rings)).unwrap();
        if let Some(slope) = paddle.runout {
            writeln!(text, "runout = \"{slope}\"").unwrap();
        }
        for l in &paddle.laminations {
            let runs = if l.runs == Runs::Blade { "blade" } else { "through" };
            writeln!(text, "[[paddle.lamination]]\nname = {:?}\nruns = {runs:?}", l.name).unwrap();
            writeln!(text, "thickness = {}\ncentre = {}", shown(l.thickness, 4), l.centre).unwrap();
            writeln!(text, "species = {}", list(l.species.iter().map(Species::name))).unwrap();
            writeln!(text, "allow = {}", list(l.allow.iter().map(ZoneKind::as_str))).unwrap();
            writeln!(text, "spares = {}", l.spares).unwrap();
        }
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn boards_read_back_as_they_were_written(boards in boards(), how in spelling()) {
        let text = sheet(&boards, &how);
        let read = boards_text("b.csv", &text, how.units, List::OnHand);
        prop_assert_eq!(read, Ok(boards), "{}", text);
    }

    #[test]
    fn a_job_reads_back_as_it_was_written(job in job(), crlf: bool) {
        let text = toml(&job);
        let text = if crlf { text.replace('\n', "\r\n") } else { text };
        let read = job_text("p.toml", &text);
        prop_assert_eq!(read, Ok(job), "{}", text);
    }
}

/// The text with one stretch of it put in place of another, or bytes of another kind put in.
fn spoilt(text: &str, from: usize, to: usize, with: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let (from, to) = (from % (chars.len() + 1), to % 12);
    let to = (from + to).min(chars.len());
    chars[..from].iter().chain(&with.chars().collect::<Vec<_>>()).chain(&chars[to..]).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn a_spoilt_sheet_is_read_or_named(
        boards in boards(), how in spelling(), from: usize, to: usize, with in "\\PC{0,4}",
    ) {
        let text = spoilt(&sheet(&boards, &how), from, to, &with);
        if let Err(problems) = boards_text("b.csv", &text, how.units, List::OnHand) {
            let lines = text.replace("\r\n", "\n").split(['\r', '\n']).count();
            prop_assert!(problems.0.iter().all(|p| p.line.is_none_or(|l| (1..=lines).contains(&l))));
        }
    }

    #[test]
    fn a_spoilt_job_is_read_or_named(job in job(), from: usize, to: usize, with in "\\PC{0,4}") {
        let text = spoilt(&toml(&job), from, to, &with);
        if let Err(problems) = job_text("p.toml", &text) {
            let lines = text.split('\n').count();
            prop_assert!(problems.0.iter().all(|p| p.line.is_none_or(|l| (1..=lines).contains(&l))));
        }
    }
}
