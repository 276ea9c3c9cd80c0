//! Cards for the pocket say what the terminal says: likely boards, wider sizes, boards that were
//! not looked at, metric sizes. All by the real binary.

use crate::files_lost::Shop;
use crate::jobs::{bay, flat};
use std::fmt::Write as _;

const HEAD: &str =
    "board,species,length,width,thickness,rings,price,quantity,grade,zone,from,to,near,far\n";
const MARKED: &str = "board,species,length,width,thickness,rings,grade,zone,from,to,near,far\n\
    m1,fir,96,5.5,1.5,90,No. 2,,,,,\nm1,,,,,,,knot,30,32,1,2\nm2,fir,96,5.5,1.5,90,No. 2,,,,,\n\
    m3,fir,96,5.5,1.5,90,No. 2,,,,,\nm3,,,,,,,knot,60,63,3,4\n";

fn shop(yard: &str, paddles: &str) -> Shop {
    let yard = format!("{HEAD}{yard}");
    Shop::with(&[("paddles.toml", paddles), ("yard.csv", &yard), ("marked.csv", MARKED)])
}

const BUY: [&str; 9] = [
    "buy",
    "--yard",
    "yard.csv",
    "--paddles",
    "paddles.toml",
    "--like",
    "marked.csv",
    "--sheet",
    "card.html",
];

/// A page without its tags, in one line.
fn words(page: &str) -> String {
    let body = page.split("<body>").nth(1).unwrap_or(page).split("<script>").next().unwrap();
    let mut out = String::new();
    let mut tag = false;
    for c in body.chars() {
        match c {
            '<' => tag = true,
            '>' => {
                tag = false;
                out.push(' ');
            }
            c if !tag => out.push(c),
            _ => {}
        }
    }
    flat(
        &out.replace("&quot;", "\"")
            .replace("&gt;", ">")
            .replace("&lt;", "<")
            .replace('\u{A0}', " "),
    )
}

/// How many of which line to buy for the surety stands on the card, beside the marked ones.
#[test]
fn the_card_of_buy_has_the_likely_boards() {
    let yard = "sound,fir,96,5.5,1.5,90,90,9,clear,,,,,\nrack,fir,96,5.5,1.5,90,10,20,No. 2,,,,,\n";
    let shop = shop(yard, &bay(2).text());
    let (status, out, err) = shop.run(&BUY);
    assert_eq!(status, 0, "{err}");
    let said = flat(&out);
    let count = said.split(" of rack, which nobody has marked").next().unwrap();
    let count = count.rsplit(' ').nth(1).unwrap();
    let card = words(&shop.text("card.html"));
    for said in [
        "Buy for 2 × bay",
        "Or, likely: buy for 2 × bay",
        &format!("{count} × rack fir, no. 2"),
        "likely to be enough, 90 % wanted",
        "where boards of the list that are marked cost by themselves",
        "The sample, the boards you marked, is small",
    ] {
        assert!(card.contains(said), "{said}: {card}");
    }
}

/// Where the marked boards are too few there is no plan, but what is likely to do is on a card.
#[test]
fn a_card_of_likely_boards_where_marked_ones_fall_short() {
    let yard = "sound,fir,96,5.5,1.5,90,1,1,clear,,,,,\nrack,fir,96,5.5,1.5,90,10,20,No. 2,,,,,\n";
    let shop = shop(yard, &bay(4).text());
    let (status, _, err) = shop.run(&BUY);
    assert_eq!(status, 1, "{err}");
    let card = words(&shop.text("card.html"));
    for said in ["Likely: buy for 4 × bay", "Marked, as they are", "1 × sound", "× rack fir, no. 2"]
    {
        assert!(card.contains(said), "{said}: {card}");
    }
    assert!(!card.contains("Proved"), "nothing is proved of it: {card}");
}

/// A wider size seems to give nothing where the card names the narrowest alone.
#[test]
fn the_card_of_look_for_says_what_wider_ones_give() {
    let shop = shop("", &bay(1).text());
    let words_of = ["look-for", "--paddles", "paddles.toml", "--sheet", "card.html"];
    let (status, out, err) = shop.run(&words_of);
    assert_eq!(status, 0, "{err}");
    let wider = "Wider ones give no fewer; sizes that are not here give none.";
    assert!(flat(&out).contains(wider), "{out}");
    assert!(words(&shop.text("card.html")).contains(wider));
}

/// In a job in millimetres the card has its lengths in metres, and its bends.
#[test]
fn the_card_of_a_metric_job_is_metric() {
    let metric = "units = \"mm\"\n[shop]\nresaw_kerf = 1.5\n[[paddle]]\nname = \"bay\"\nlength = 2134\nloom = 500\nthickness = 35\n\
        [[paddle.lamination]]\nname = \"side\"\nthickness = 12\nruns = \"through\"\n";
    let shop = shop("", metric);
    let words_of = ["look-for", "--paddles", "paddles.toml", "--sheet", "card.html"];
    let (status, _, err) = shop.run(&words_of);
    assert_eq!(status, 0, "{err}");
    let card = words(&shop.text("card.html"));
    assert!(!card.contains(" ft"), "{card}");
    for said in ["2.4 m", "Bend at most, mm, of the whole board", "4.8 m"] {
        assert!(card.contains(said), "{said}: {card}");
    }
}

/// What a search that was stopped does not know it does not call none.
#[test]
fn a_card_of_look_for_that_was_stopped_claims_nothing() {
    let shop = shop("", &bay(1).text());
    let words_of = [
        "look-for",
        "--paddles",
        "paddles.toml",
        "--sheet",
        "card.html",
        "--time-limit",
        "0.000001",
    ];
    let (status, _, err) = shop.run(&words_of);
    assert_eq!(status, 0, "{err}");
    let card = words(&shop.text("card.html"));
    assert!(card.contains("?: not known, the search was stopped before."), "{card}");
    assert!(!card.contains("No clear board of a common size"), "{card}");
}

/// Boards that a stopped survey did not come to are named: a card without them would say that they
/// give nothing.
#[test]
fn the_cards_of_a_stopped_survey_name_the_boards_it_did_not_look_at() {
    let shop = shop("", &bay(1).text());
    let mut boards = "board,species,length,width,thickness,rings\n".to_owned();
    for n in 0..12 {
        let _ = writeln!(boards, "plank {n},fir,96,5.5,1.5,90");
    }
    std::fs::write(shop.at("boards.csv"), boards).unwrap();
    let words_of = ["survey", "--sheet", "card.html", "--time-limit", "0.000001"];
    let (status, out, err) = shop.run(&words_of);
    assert_eq!(status, 0, "{err}");
    let card = words(&shop.text("card.html"));
    assert!(flat(&out).contains("Not looked at before the search was stopped: plank 0"), "{out}");
    assert!(card.contains("Not looked at before the search was stopped: "), "{card}");
    for n in 0..12 {
        assert!(card.contains(&format!("plank {n}")), "{n}: {card}");
    }
}
