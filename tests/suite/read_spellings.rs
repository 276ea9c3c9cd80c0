//! What spreadsheets make of boards.csv, and files that are no text, all read or named.

use stripwright::length::{Length, Units};
use stripwright::lumber::{Angle, Board, Grain};
use stripwright::read::{List, boards_text, inputs, job_text};

const PLAIN: &str = "board,species,length,width,thickness,rings,crook,runout,price,zone,from,to,near,far\n\
    A,red cedar,86 3/4,5 1/2,1 7/16,45,-1/8,1:20,12.50,knot,3,4 1/2,,1\n\
    A,,,,,,,,,sap,,,5,\n\
    B,white ash,36 mm,0.9 m,3.5 cm,90,,,,,,,,\n";

fn read(text: &str) -> Vec<Board> {
    boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

#[test]
fn the_plain_sheet_says_what_it_says() {
    let boards = read(PLAIN);
    let inch = Length::inch_fraction;
    assert_eq!(boards.len(), 2);
    let a = &boards[0];
    assert_eq!((a.length, a.width, a.thickness), (inch(347, 4), inch(11, 2), inch(23, 16)));
    assert_eq!((a.grain, a.crook), (Some(Grain::Rings(Angle::RIFT)), inch(-1, 8)));
    assert_eq!(a.runout.unwrap().to_string(), "1:20");
    assert_eq!(a.price.unwrap().parts(), 125_000);
    let zones: Vec<_> =
        a.zones.iter().map(|z| (z.kind.as_str(), z.from, z.to, z.near, z.far)).collect();
    assert_eq!(
        zones,
        [
            ("knot", inch(3, 1), inch(9, 2), Length::ZERO, inch(1, 1)),
            ("sap", Length::ZERO, a.length, inch(5, 1), a.width),
        ]
    );
    let b = &boards[1];
    assert_eq!(
        (b.length, b.width, b.thickness),
        (Length::MM * 36, Length::MM * 900, Length::MM * 35)
    );
    assert_eq!((b.price, b.quantity, b.runout), (None, 1, None));
}

#[test]
fn spreadsheets_spell_it_in_many_ways() {
    let plain = read(PLAIN);
    let same = |what: &str, text: &str| assert_eq!(read(text), plain, "{what}\n{text}");
    same("byte order mark", &format!("\u{FEFF}{PLAIN}"));
    same("line ends", &PLAIN.replace('\n', "\r\n"));
    same("line ends of old", &PLAIN.replace('\n', "\r"));
    same("no last line end", PLAIN.trim_end());
    same("blank lines", &PLAIN.replace('\n', "\n\n,,,\n"));
    same("trailing empty columns", &PLAIN.replace('\n', ",,,\n"));
    same("spaces", &PLAIN.replace(',', " , "));
    same("semicolons", &PLAIN.replace(',', ";"));
    same("tabs", &PLAIN.replace(',', "\t"));
    same("capitals", &PLAIN.replacen("board,species,length", "BOARD,Species,Length", 1));
    same("quoted inch marks", &PLAIN.replace("1 7/16", "\"1 7/16\"\"\""));
    same("bare inch marks", &PLAIN.replace("1 7/16", "1 7/16\""));
    same("feet", &PLAIN.replace("86 3/4", "7' 2 3/4\""));
    same("decimals", &PLAIN.replace("5 1/2", "5.50").replace("1 7/16", "1.4375"));
    same("the word", &PLAIN.replace(",45,", ",rift,"));
    same("degrees", &PLAIN.replace(",45,", ",45.000\u{B0},"));
    same("slope", &PLAIN.replace("1:20", "1 / 20"));
    same("money", &PLAIN.replace("12.50", "$12.5"));
    same("zone's case", &PLAIN.replace("knot", " Knot "));
    same(
        "a zone on a line of its own",
        &PLAIN.replace("knot,3,4 1/2,,1\n", ",,,,\nA,,,,,,,,,knot,3,4 1/2,,1\n"),
    );
}

#[test]
fn a_paddle_in_other_spellings_is_the_same_paddle() {
    let plain = "[shop]\nedge = \"1/8\"\n[[paddle]]\nname = \"p\"\nlength = 84\nloom = 20\n\
        thickness = \"1 3/8\"\n[[paddle.lamination]]\nname = \"s\"\nthickness = 0.5\nruns = \"through\"\n";
    let job = job_text("p.toml", plain).unwrap();
    let same = |text: &str| assert_eq!(job_text("p.toml", text).as_ref(), Ok(&job), "{text}");
    same(&format!("\u{FEFF}{plain}"));
    same(&plain.replace('\n', "\r\n"));
    same(&plain.replace("84", "\"7'\""));
    same(&plain.replace("84", "84.0 # tip to tip"));
    same(&plain.replace("0.5", "'1/2\"'"));
    same(&plain.replace("0.5", "5e-1"));
    same(&plain.replace("[shop]\nedge = \"1/8\"", "units = \"in\"\nshop.edge = 0.125"));
    same(&plain.replace("[shop]\nedge = \"1/8\"", "shop = { edge = '3.175 mm' }"));
    same(
        "paddle = [{ name = \"p\", length = 84, loom = 20, thickness = \"1 3/8\", \
         lamination = [{ name = \"s\", thickness = \"1/2\", runs = \"Through\" }] }]\n",
    );
    same(&format!("{plain}[glue]\nmargin = 10\n[[species]]\nname = \"x\"\nmodulus = 9000\n"));
    // 41 lengths of 0.1 in are 4.1 in exactly: floats are read as they are written.
    let tenth = job_text("p.toml", &plain.replace("0.5", "0.1")).unwrap();
    assert_eq!(tenth.paddles[0].laminations[0].thickness, Length::from_units(203_200));
}

fn folder(boards: &[u8], paddles: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let (b, p) = (folder.path().join("b.csv"), folder.path().join("p.toml"));
    std::fs::write(&b, boards).unwrap();
    std::fs::write(&p, paddles).unwrap();
    let found = inputs(&b, &p).map_or_else(|e| e.to_string(), |i| format!("{:?}", i.boards));
    found.replace(&format!("{}/", folder.path().display()), "")
}

#[test]
fn both_files_are_checked_in_one_run() {
    let found = folder(
        b"board,species,length,width,thickness\na,ash,x,6,1\n",
        b"units = \"in\"\nlength = 3\n",
    );
    insta::assert_snapshot!(found, @r#"
    p.toml, line 2, length: is not a key that is known here; it belongs under [[paddle]].
    p.toml, paddle: is missing: no paddle is asked for; add a [[paddle]] with name, length, loom, thickness and laminations.
    b.csv, line 2, column length: "x" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m.
    3 problems.
    "#);
}

#[test]
fn a_broken_job_still_gives_its_units_to_the_boards() {
    let sheet = b"board,species,length,width,thickness,zone,from,to,near,far\na,ash,2000,90,25,knot,1,2001,,\n";
    insta::assert_snapshot!(folder(sheet, b"units = \"mm\"\n[[paddle]\n"), @r#"
    p.toml, line 2: "[[paddle]" names a table whose brackets do not close; write [[paddle]].
    b.csv, line 2, column to: "2001" lies off the board, which is 2000 mm long; measure from the marked end and the reference edge.
    2 problems.
    "#);
}

#[test]
fn files_that_are_no_text_are_named() {
    let good = b"[[paddle]]\nname = \"p\"\nlength = 84\nloom = 20\nthickness = 1\n\
        [[paddle.lamination]]\nname = \"s\"\nthickness = 1\nruns = \"through\"\n";
    let latin = b"board,species,length,width,thickness\na,ash,90,6,1\nb,ash,90\xBD,6,1\n";
    insta::assert_snapshot!(folder(latin, good), @r#"
    b.csv, line 3: holds bytes that are not UTF-8 text; save it as UTF-8 (CSV UTF-8).
    1 problem.
    "#);
    let wide: Vec<u8> = std::iter::once(0xFEFF)
        .chain(PLAIN.encode_utf16())
        .flat_map(|u: u16| u.to_le_bytes())
        .collect();
    assert_eq!(folder(&wide, good), format!("{:?}", read(PLAIN)));
    let missing = inputs("no/b.csv".as_ref(), "no/p.toml".as_ref()).unwrap_err().to_string();
    let starts: Vec<&str> = missing.lines().filter_map(|l| l.split(" (").next()).collect();
    assert_eq!(
        starts,
        [
            "no/p.toml: cannot be read: No such file or directory",
            "no/b.csv: cannot be read: No such file or directory",
            "2 problems."
        ]
    );
}
