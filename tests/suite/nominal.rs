//! Nominal sizes and board feet against published figures.

use stripwright::length::{Length, Units};
use stripwright::lumber::nominal::{actual, board_feet, surfaced};
use stripwright::read::{List, boards_text};

fn quarters(n: i64) -> Length {
    Length::inch_fraction(n, 4)
}

/// American Softwood Lumber Standard PS 20, dressed dry, in quarters of an inch: boards 1 to 3/4
/// and 1-1/4 to 1; dimension 2 to 1-1/2, 3 to 2-1/2, 4 to 3-1/2.
const THICK: [(&str, i64); 5] = [("1", 3), ("5/4", 4), ("2", 6), ("3", 10), ("4", 14)];
/// The same standard, widths.
const WIDE: [(i64, i64); 8] =
    [(2, 6), (3, 10), (4, 14), (5, 18), (6, 22), (8, 29), (10, 37), (12, 45)];

#[test]
fn dressed_sizes_are_those_of_ps_20() {
    for (thick, thickness) in THICK {
        for (wide, width) in WIDE {
            let size = format!("{thick}x{wide}");
            assert_eq!(actual(&size), Some((quarters(width), quarters(thickness))), "{size}");
        }
    }
}

#[test]
fn a_size_is_read_however_it_is_spelled() {
    let size = Some((quarters(22), quarters(6)));
    for text in ["2x6", "2X6", "2 x 6", "2×6", "2*6", " 2 x6 "] {
        assert_eq!(actual(text), size, "{text}");
    }
    assert_eq!(actual("1-1/4x4"), actual("5/4x4"));
    for text in ["", "x", "2", "2x", "x6", "2x7", "2x6x8", "0x4", "2x-6", "2x99999999999999999999"]
    {
        assert_eq!(actual(text), None, "{text}");
    }
}

/// Worked examples of the board foot, 1 ft × 1 ft × 1 in nominal: 4×6×10 ft = 20, 2×6×72 in = 6,
/// 1×6×120 in = 5.
#[test]
fn board_feet_of_the_worked_examples() {
    for (size, length, feet) in [("4x6", "10'", 20), ("2x6", "72", 6), ("1x6", "120", 5)] {
        let text = format!("board,species,size,length,price\nb,fir,{size},{length},1\n");
        let board = boards_text("y.csv", &text, Units::Inch, List::Yard).unwrap().remove(0);
        let (top, bottom) = board_feet(&board, Some(size));
        assert_eq!(top, feet * bottom, "{size}");
    }
}

/// Noyes, Handwork in Wood: 14 ft × 11 in × 1 in = 12 10/12. And 2 × 16 × 8 ft = 21.3, a worked
/// example of the board foot; both by the sizes given, as no nominal width is so.
#[test]
fn board_feet_by_actual_size() {
    for (length, width, thickness, twelfths) in
        [("14'", "11", "1", 154), ("8'", "16", "2", 256), ("12", "12", "3/4", 12)]
    {
        let text = format!(
            "board,species,length,width,thickness,price\nb,fir,{length},{width},{thickness},1\n"
        );
        let board = boards_text("y.csv", &text, Units::Inch, List::Yard).unwrap().remove(0);
        let (top, bottom) = board_feet(&board, None);
        // The last is thinner than 1 in, which counts as 1 in.
        assert_eq!(top * 12, twelfths * bottom, "{length} {width} {thickness}");
    }
}

/// Prices by the foot, from the board feet above and the running foot.
#[test]
fn prices_by_the_foot() {
    let price = |size: &str, length: &str, foot: &str, units: Units| {
        let text = format!(
            "board,species,size,length,price_per_foot,foot\nb,fir,{size},{length},3.10,{foot}\n"
        );
        let board = boards_text("y.csv", &text, units, List::Yard).unwrap().remove(0);
        board.price.unwrap().to_string()
    };
    assert_eq!(price("4x6", "10'", "board", Units::Inch), "62.00");
    assert_eq!(price("2x6", "72", "board", Units::Inch), "18.60");
    assert_eq!(price("1x6", "120", "board", Units::Inch), "15.50");
    assert_eq!(price("1x6", "120", "running", Units::Inch), "31.00");
    // 3048 mm are 10 ft exactly.
    assert_eq!(price("4x6", "3048", "board", Units::Mm), "62.00");
    assert_eq!(price("1x6", "3048", "running", Units::Mm), "31.00");
}

/// Trade charts: surfaced on two sides 4/4 is 13/16 in, 5/4 1 1/16, 6/4 1 5/16, 8/4 1 3/4.
#[test]
fn hardwood_by_quarters_is_not_softwood() {
    for (size, sixteenths) in [("4/4", 13), ("5/4", 17), (" 6/4 ", 21), ("8/4", 28)] {
        assert_eq!(surfaced(size), Some(Length::inch_fraction(sixteenths, 16)), "{size}");
    }
    assert_eq!((surfaced("10/4"), surfaced("5/4x4"), surfaced("2x6")), (None, None, None));
    let read = |line: &str| {
        let head = "board,species,size,length,width,thickness,price_per_foot,foot";
        boards_text("y.csv", &format!("{head}\n{line}\n"), Units::Inch, List::Yard)
    };
    let board = read("b,white ash,8/4,8',5 3/8,,6.00,board").unwrap().remove(0);
    assert_eq!(board.width, Length::inch_fraction(43, 8));
    assert_eq!(board.thickness, Length::inch_fraction(7, 4));
    // 2 in by 5 3/8 in by 8 ft are 7 1/6 board feet, at 6.00 43.00.
    assert_eq!(board.price.unwrap().to_string(), "43.00");
    // A wood that isn't known may be a hardwood; a softwood is none.
    assert!(read("b,zebrano,4/4,8',6,,1,board").is_ok());
    for (line, said) in [
        (
            "b,Sitka spruce,8/4,8',6,,1,board",
            "size: \"8/4\" is a size of hardwood, and this wood is a softwood",
        ),
        ("b,white ash,8/4,8',,,1,board", "width: is missing"),
        ("b,white ash,8/4,8',6,1 3/4,1,board", "thickness: \"1 3/4\" stands beside a nominal size"),
        ("b,white ash,10/4,8',6,,1,board", "hardwood as 4/4, 5/4, 6/4 or 8/4"),
    ] {
        let problems = read(line).unwrap_err().to_string();
        assert!(problems.contains(said), "{line}: {problems}");
    }
}

/// What `buy` says of the rule that it used.
#[test]
fn the_rule_of_sizes_is_said() {
    let notes = |lines: &str| {
        stripwright::read::yard_notes(&format!("board,species,size,length,width\n{lines}"))
            .join(" ")
    };
    let soft = notes("a,fir,2x6,8',\n");
    assert!(soft.contains("PS 20") && !soft.contains("hardwood") && !soft.contains("assumed"));
    let hard = notes("a,white ash,5/4x4,8',\n");
    assert!(hard.contains("PS 20 is for softwood"), "{hard}");
    let quarters = notes("a,white ash,5/4,8',6\n");
    assert!(quarters.contains("5/4 1 1/16") && !quarters.contains("PS 20"), "{quarters}");
    assert!(notes("a,zebrano,2x6,8',\n").contains("softwood sizes are assumed"));
}
