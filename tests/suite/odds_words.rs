//! What is said of odds, in the terminal and on the page: every wood first, the wanted chance
//! named in the picture, plain words for the two kinds of marked boards, prices to the cent.

use crate::files_lost::Shop;
use crate::jobs::{bay, flat};

const HEAD: &str =
    "board,species,length,width,thickness,rings,price_per_foot,foot,quantity,grade\n";
const MARKED: &str = "board,species,length,width,thickness,rings,grade,zone,from,to,near,far\n\
    m1,fir,96,5.5,1.5,90,No. 2,,,,,\nm1,,,,,,,knot,30,32,1,2\nm2,fir,96,5.5,1.5,90,No. 2,,,,,\n\
    r1,ash,96,5.5,1.5,90,No. 3,,,,,\nr1,,,,,,,rot,0,96,0,5.5\n";
const ODDS: [&str; 9] = [
    "odds",
    "--yard",
    "yard.csv",
    "--like",
    "marked.csv",
    "--paddles",
    "paddles.toml",
    "--draws",
    "20",
];

fn shop(yard: &str, paddles: &str) -> Shop {
    let yard = format!("{HEAD}{yard}");
    Shop::with(&[("paddles.toml", paddles), ("yard.csv", &yard), ("marked.csv", MARKED)])
}

const YARD: &str = "rack 1,fir,95,5.5,1.5,90,3.17,board,20,No. 2\n\
    rack 2,fir,120,5.5,1.5,90,3.17,board,20,No. 2\nheap,ash,96,5.5,1.5,90,2,board,9,No. 3\n";

/// The headline says of every wood what to buy, or that it can't be had.
#[test]
fn the_headline_says_where_a_wood_cannot_be_had() {
    let paddles = bay(1).with("species = [\"teak\"]").text();
    let shop = shop(
        YARD,
        &paddles.replace("name = \"spine\"", "name = \"spine\"\nspecies = [\"fir\", \"ash\"]"),
    );
    let (status, out, err) = shop.run(&[&ODDS[..], &["--sheet", "odds.html"]].concat());
    assert_eq!(status, 0, "{err}");
    let page = flat(&shop.text("odds.html").replace('\u{A0}', " "));
    let heads = page.split("<h2>").next().unwrap();
    for said in [
        "Cheapest of fir: ",
        "ash can't be had here with 90 %, as far as the sample tells: no number of heap that was drawn is enough.",
        "teak can't be had here: no line is of it, and none is in hand; blade of bay must be of it.",
    ] {
        assert!(flat(&out).contains(said), "{said}: {out}");
        assert!(heads.contains(said), "{said}: {heads}");
    }
}

#[test]
fn the_picture_names_the_chance_that_is_wanted() {
    let shop = shop(YARD, &bay(1).text());
    let words = [&ODDS[..], &["--sure", "85", "--sheet", "odds.html"]].concat();
    let (status, out, err) = shop.run(&words);
    assert_eq!(status, 0, "{err}");
    assert!(flat(&out).contains("|: the 85 % wanted."), "{out}");
    let page = shop.text("odds.html").replace('\u{A0}', " ");
    let drawing = page.split("<svg").nth(1).unwrap().split("</svg>").next().unwrap();
    assert!(drawing.contains(">85 % wanted<"), "{drawing}");
    // On its line: no lower than the line, no higher than its letters.
    let at = |text: &str, key: &str| -> f64 {
        let from = text.split(key).nth(1).unwrap();
        from.split('"').nth(1).unwrap().parse().unwrap()
    };
    let line = drawing.split("class=\"keep\"").nth(1).unwrap();
    let label = drawing.split(">85 % wanted<").next().unwrap().rsplit("<text").next().unwrap();
    let above = at(line, "y1=") - at(label, " y=");
    assert!((0.0..14.0).contains(&above), "{above}");
}

/// The yard's marked boards and the sample's are never called by one name.
#[test]
fn the_sample_is_the_boards_you_marked() {
    let shop = shop(YARD, &bay(1).text());
    let (status, out, _) = shop.run(&[&ODDS[..], &["--sheet", "odds.html"]].concat());
    assert_eq!(status, 0);
    let page = flat(&shop.text("odds.html"));
    assert!(flat(&out).contains("The sample, the boards you marked, is small: 2 boards, 1 zone."));
    assert!(page.contains("from the sample: the boards you marked"), "{page}");
    for text in [&flat(&out), &page] {
        assert!(!text.contains("marked boards") && !text.contains("marked board "), "{text}");
    }
}

/// By the board foot 95 x 5.5 x 1.5 in come to 17.2534..: a till asks for 17.25, and so much is
/// told, added up and written.
#[test]
fn prices_by_the_foot_come_to_the_cent() {
    let shop = shop(YARD, &bay(2).text());
    let words = [&ODDS[..], &["--json", "odds.json", "--sheet", "odds.html"]].concat();
    let (status, out, err) = shop.run(&words);
    assert_eq!(status, 0, "{err}");
    let json: serde_json::Value = serde_json::from_str(&shop.text("odds.json")).unwrap();
    let (buy, price) = (&json["lines"][0]["buy"], &json["lines"][0]["price"]);
    assert!((price.as_f64().unwrap() - 17.25 * buy.as_f64().unwrap()).abs() < 1e-9, "{json}");
    for text in [out, shop.text("odds.html")] {
        let long = |part: &str| {
            let digits = part.chars().take_while(char::is_ascii_digit).count();
            digits > 2
        };
        let found: Vec<&str> = text.split(" for ").skip(1).collect();
        assert!(!found.is_empty());
        for part in found {
            let price = part.split_whitespace().next().unwrap();
            assert!(price.split_once('.').is_none_or(|(_, part)| !long(part)), "{price}");
        }
    }
}

/// No grade fits: what each list has, and what to do.
#[test]
fn where_no_grade_fits_both_lists_are_told_and_a_cure() {
    let shop = shop("rack,fir,96,5.5,1.5,90,3,board,9,Select\n", &bay(1).text());
    let (status, _, err) = shop.run(&ODDS);
    assert_eq!(status, 2);
    let err = flat(&err);
    for said in [
        "yard.csv has fir of grade select;",
        "marked.csv has fir of grade no. 2 and ash of grade no. 3.",
        "What to do: mark some fir of grade select, or write the same word as grade in both lists.",
    ] {
        assert!(err.contains(said), "{said}: {err}");
    }
}

/// Boards in hand may be the sample too; a board is not unlike itself.
#[test]
fn a_sample_that_is_the_boards_in_hand_has_no_names_that_differ_by_capitals() {
    let shop = shop(YARD, &bay(1).text());
    let both = [&ODDS[..], &["--boards", "marked.csv"]].concat();
    let (code, out, err) = shop.run(&both);
    assert_eq!(code, 0, "{out}{err}");
    assert!(!err.contains("differ only by capitals"), "{err}");
}
