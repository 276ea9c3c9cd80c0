//! What is done since a plan was made: strips spoiled, boards bought and cut, blanks glued, strips
//! measured. Boards and paddles are invented.

use crate::jobs::flat;
use crate::tally::{BOARDS, FILES, PADDLES, Shop, opened, strip_names};
use std::collections::BTreeSet;
use stripwright::length::Length;
use stripwright::read::{job_text, strips_text};

/// Glue by the strips that the tally wrote.
const GLUE: [&str; 8] = [
    "glue",
    "plan.json",
    "--boards",
    "boards.csv",
    "--paddles",
    "paddles.toml",
    "--strips",
    "strips.csv",
];

/// The plan of `buy` is tallied with its yard: what it opens is bought, the rest of the list is not.
#[test]
fn a_plan_that_buy_wrote_is_tallied_with_its_yard() {
    let shop = Shop::with(BOARDS, PADDLES);
    shop.write(
        "yard.csv",
        "board,species,length,width,thickness,rings,price,quantity\nY,fir,60,3 1/2,1 1/8,60,7,9\n",
    );
    let buy = ["buy", "--yard", "yard.csv", "--paddles", "paddles.toml", "--json", "plan.json"];
    let (code, out, err) = shop.run(&buy);
    assert_eq!(code, 0, "{out}{err}");
    let bought = shop.json("plan.json")["boards"].as_array().unwrap().len();
    assert!(bought > 1, "{out}");
    let tally = ["tally", "plan.json", "--yard", "yard.csv", "--paddles", "paddles.toml"];
    let (code, out, err) = shop.run(&[&tally[..], &["--cut", "Y/1"], &FILES].concat());
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let whole: u32 =
        shop.boards("left.csv").iter().filter(|b| b.name == "Y").map(|b| b.quantity).sum();
    assert_eq!(whole as usize, bought - 1, "{out}");
    assert!(!strip_names(&shop, "strips.csv").is_empty());
    let (code, out, err) = shop.plan("left.csv", Some("strips.csv"), "again.json");
    assert_eq!(code, 0, "{out}{err}");
    // All cut: the way on is to the bench, with the yard's list.
    let (_, out, _) = shop.run(&[&tally[..], &["--left", "l2.csv", "--strips", "s2.csv"]].concat());
    assert!(out.contains("glue plan.json --yard yard.csv --paddles"), "{out}");
    // What was in hand beside it stays as it is spelled.
    let (code, _, err) = shop.run(&[&buy[..5], &["--boards", "boards.csv"], &buy[5..]].concat());
    assert_eq!(code, 0, "{err}");
    let words = [&tally[..], &["--boards", "boards.csv", "--cut", "", "--left", "l3.csv"]].concat();
    let (code, out, err) = shop.run(&words);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let own = shop.boards("boards.csv");
    let kept = shop.boards("l3.csv");
    assert!(own.iter().all(|b| kept.contains(b)), "{kept:?}");
}

/// Strips of blanks that are glued leave the list, and the others make the rest for nothing.
#[test]
fn strips_of_glued_blanks_leave_the_list() {
    let shop = Shop::new();
    shop.tally(&["--strips", "all.csv"]);
    let all: BTreeSet<String> = strip_names(&shop, "all.csv").into_iter().collect();
    let out = shop.tally(&[&FILES[..], &["--glued", "small 2,small 3"]].concat());
    let left: BTreeSet<String> = strip_names(&shop, "strips.csv").into_iter().collect();
    // A spine, two sides, four blade strips each.
    assert_eq!(all.len() - left.len(), 14, "{out}");
    assert!(left.is_subset(&all));
    assert!(out.contains("Glued: 2 of 4 small; 14 strips went in"), "{out}");
    assert!(out.contains("Glue the others up as their sheets say"), "{out}");
    // By the sheets it is those strips.
    let glue = ["glue", "plan.json", "--boards", "boards.csv", "--paddles", "paddles.toml"];
    let (_, sheets, _) = shop.run(&glue);
    assert!(sheets.contains("small 2"), "{sheets}");
    shop.write("rest.toml", &PADDLES.replace("quantity = 4", "quantity = 2"));
    let words = [
        "plan",
        "--boards",
        "left.csv",
        "--paddles",
        "rest.toml",
        "--strips",
        "strips.csv",
        "--json",
        "rest.json",
    ];
    let (code, out, err) = shop.run(&words);
    assert_eq!(code, 0, "{out}{err}");
    assert!(shop.cost("rest.json").abs() < 1e-9);
    // All of them.
    let names = "small 1,small 2,small 3,small 4";
    let out = shop.tally(&["--glued", names]);
    assert!(out.contains("Every paddle of the plan is glued"), "{out}");
}

#[test]
fn a_blank_that_cannot_be_glued_yet_is_refused() {
    let shop = Shop::new();
    let refused = |more: &[&str]| {
        let (code, _, err) = shop.try_tally(more);
        assert_eq!(code, 2, "{more:?}");
        err
    };
    let told = refused(&["--glued", "small"]);
    assert!(
        told.contains("\"small\" is several blanks; name those that are glued: small 1,"),
        "{told}"
    );
    let told = refused(&["--glued", "smal 2"]);
    assert!(told.contains("is not a blank of this plan; did you mean small 2?"), "{told}");
    let told = refused(&["--glued", "small 1", "--cut", ""]);
    assert!(told.contains("which is not cut; take the blank out of --glued"), "{told}");
    shop.tally(&["--strips", "all.csv"]);
    let all = strip_names(&shop, "all.csv").join(",");
    let told = refused(&["--glued", "small 1", "--spoiled", &all]);
    assert!(told.contains("which --spoiled names"), "{told}");
}

/// A strip of tally's own list, measured thinner than finished: every command refuses it with the
/// cure, and so cured it is told of with what helps.
#[test]
fn a_strip_measured_too_thin_is_bad_input_and_the_cure_serves() {
    let shop = Shop::new();
    shop.tally(&FILES);
    let text = shop.text("strips.csv");
    let job = job_text("p", PADDLES).unwrap();
    let strips = strips_text("s", &text, &job).unwrap().strips;
    let of = strips.iter().find(|s| s.lamination.as_deref() == Some("spine")).unwrap();
    let line = text.lines().find(|l| l.starts_with(&format!("{},", of.name))).unwrap();
    let head: Vec<&str> = text.lines().next().unwrap().split(',').collect();
    let at = |column: &str| head.iter().position(|c| *c == column).unwrap();
    let mut cells: Vec<&str> = line.split(',').collect();
    cells[at("thickness")] = "15/64";
    shop.write("strips.csv", &text.replace(line, &cells.join(",")));
    let rule = "column thickness: \"15/64\" is less than spine of small is when finished, 1/4\"; measure it again; if it is so, leave its paddle and lamination empty";
    for (code, _, err) in [
        shop.run(&GLUE),
        shop.plan("left.csv", Some("strips.csv"), "again.json"),
        shop.try_tally(&["--rack", "strips.csv"]),
    ] {
        assert_eq!(code, 2, "{err}");
        assert!(err.contains(rule), "{err}");
    }
    cells[at("paddle")] = "";
    cells[at("lamination")] = "";
    shop.write("strips.csv", &text.replace(line, &cells.join(",")));
    let (code, out, err) = shop.run(&GLUE);
    let out = flat(&out);
    assert_eq!(code, 1, "{err}");
    assert!(
        out.contains(&format!("! {} no longer fits as small spine: it is 15/64", of.name)),
        "{out}"
    );
    assert!(out.contains("What helps: "), "{out}");
    let (code, out, err) = shop.try_tally(&["--rack", "strips.csv", "--spoiled", &of.name]);
    assert_eq!(code, 0, "{out}{err}");
}

/// Given to another paddle by its own line, a strip is told of with the names of both.
#[test]
fn a_strip_given_to_another_paddle_is_told_by_name() {
    let other = PADDLES
        .split_once("[[paddle]]")
        .unwrap()
        .1
        .replace("\"small\"", "\"storm\"")
        .replace("quantity = 4", "quantity = 1");
    let shop = Shop::planned(
        &format!("{BOARDS}N;fir;60;3;1 1/8;60;;3;;;;;;\n"),
        &format!("{PADDLES}[[paddle]]{other}"),
    )
    .unwrap();
    shop.tally(&FILES);
    let text = shop.text("strips.csv");
    let line = text.lines().find(|l| l.ends_with(",small,spine")).unwrap();
    shop.write("strips.csv", &text.replace(line, &line.replace(",small,spine", ",storm,spine")));
    let (code, out, err) = shop.run(&GLUE);
    let out = flat(&out);
    assert_eq!(code, 1, "{err}");
    assert!(
        out.contains("by its own line it was cut for storm spine, not for small spine"),
        "{out}"
    );
}

/// The sheet to write measurements on, in the terminal: a line a strip with what is foretold, and
/// room below it.
#[test]
fn the_sheet_to_write_measurements_on_is_printed_as_text() {
    let shop = Shop::new();
    let glue = [
        "glue",
        "plan.json",
        "--boards",
        "boards.csv",
        "--paddles",
        "paddles.toml",
        "--measures",
        "--width",
        "140",
    ];
    let (code, out, err) = shop.run(&glue);
    assert_eq!((code, err.as_str()), (0, ""));
    let strips = strips_of(&shop.json("plan.json"));
    assert!(!strips.is_empty());
    for (id, of) in &strips {
        let at = out.lines().position(|l| l.starts_with(&format!("│ {id} "))).unwrap();
        let lines: Vec<&str> = out.lines().skip(at).take(2).collect();
        assert!(lines[0].contains(&format!("small {of}")), "{}", lines[0]);
        assert_eq!(lines[1].matches("_____").count(), 8, "{}", lines[1]);
    }
    for column in
        ["length", "thickness", "depth", "rings", "sidewise", "depthwise", "rises", "weight"]
    {
        assert!(out.contains(column), "{column}");
    }
}

/// A strip spoiled costs no more than cutting the longest strip of its lamination anew, by itself,
/// from what is left.
#[test]
fn spoiling_a_strip_costs_no_more_than_cutting_it_anew() {
    let more = format!("{BOARDS}N;fir;60;3;1 1/8;60;;3;;;;;;\n");
    let shop = Shop::planned(&more, PADDLES).unwrap();
    let opened = opened(&shop, "plan.json", "boards.csv");
    assert!(opened.iter().all(|(_, cost)| *cost > 0.0));
    shop.tally(&["--strips", "all.csv"]);
    let job = job_text("p", PADDLES).unwrap();
    let all = strips_text("all.csv", &shop.text("all.csv"), &job).unwrap().strips;
    let mut dear = 0;
    for strip in [&all[0], &all[all.len() / 2], &all[all.len() - 1]] {
        let name = strip.name.as_str();
        let out = shop.tally(&[&FILES[..], &["--spoiled", name]].concat());
        assert!(out.contains(&format!("; 1 spoiled ({name}).")), "{out}");
        assert!(out.contains("to be cut anew") || out.contains("a spare stands in"), "{out}");
        assert!(!strip_names(&shop, "strips.csv").contains(&name.to_owned()));
        let (code, out, err) = shop.plan("left.csv", Some("strips.csv"), "again.json");
        assert_eq!(code, 0, "{out}{err}");
        // One strip alone, as long as the longest of its lamination: a paddle of a single one.
        let of = strip.lamination.as_ref().map_or_else(|| lamination_of(&shop, name), Clone::clone);
        let (thick, long) = match of.as_str() {
            "spine" => ("1/4", "26 1/2"),
            "side" => ("3/8", "26 1/2"),
            // Half of what the loom leaves of the length, trimmed at its end.
            _ => ("5/16", "9 1/4"),
        };
        let (head, _) = PADDLES.split_once("[[paddle]]").unwrap();
        let alone = format!(
            "{head}[[paddle]]\nname = \"one\"\nlength = \"{long}\"\nloom = 1\ntrim = 0\nthickness = 1\nrings = 30\n[[paddle.lamination]]\nname = \"one\"\nthickness = \"{thick}\"\nruns = \"through\"\ncentre = true\nallow = [\"sap\"]\n"
        );
        let rough = |text: &str, l: usize| {
            let paddle = &job_text("p", text).unwrap().paddles[0];
            paddle.rough_length(&paddle.laminations[l])
        };
        let place = ["spine", "side", "edge"].iter().position(|l| *l == of).unwrap();
        assert_eq!(rough(&alone, 0), rough(PADDLES, place), "{of}");
        shop.write("one.toml", &alone);
        let words = ["plan", "--boards", "left.csv", "--paddles", "one.toml", "--json", "one.json"];
        let (code, out, err) = shop.run(&words);
        assert_eq!(code, 0, "{out}{err}");
        let anew = shop.cost("one.json");
        assert!(shop.cost("again.json") <= anew + 1e-9, "{name}: {anew}");
        dear += u32::from(anew > 0.0);
    }
    // Else the offcuts gave all of them, and nothing was shown.
    assert!(dear > 0);
}

/// The lamination that a strip of the plan is for.
fn lamination_of(shop: &Shop, strip: &str) -> String {
    let found = strips_of(&shop.json("plan.json")).into_iter().find(|(id, _)| id == strip);
    found.unwrap().1
}

/// Names and laminations of all strips that a plan file cuts.
fn strips_of(json: &serde_json::Value) -> Vec<(String, String)> {
    let mut out = Vec::new();
    let mut todo = vec![json];
    while let Some(value) = todo.pop() {
        if let (Some(id), Some(of)) = (value["id"].as_str(), value["lamination"].as_str()) {
            out.push((id.to_owned(), of.to_owned()));
        }
        todo.extend(value.as_array().into_iter().flatten());
        todo.extend(value.as_object().into_iter().flat_map(|o| o.values()));
    }
    out
}

/// Two paddles of unlike depth from one board: the section is planed to the deeper one, and what is
/// left of a rip of the other is as deep as its strips are then. Kept at the planned depth it would
/// be good for nothing here, and the wood lost.
#[test]
fn what_is_left_of_a_rip_that_stays_too_deep_is_as_deep_as_its_strips() {
    let paddles = "units = \"in\"\n[shop]\nboard_end = 0\nmin_rip = 6\n[[paddle]]\nname = \"deep\"\nlength = 42\n\
        loom = 16\ntrim = 0\nthickness = \"1 3/8\"\nrings = 0\n[[paddle.lamination]]\nname = \"spine\"\n\
        thickness = \"1/4\"\nruns = \"through\"\ncentre = true\n[[paddle.lamination]]\nname = \"edge\"\n\
        thickness = \"1/4\"\nruns = \"blade\"\n[[paddle]]\nname = \"low\"\nlength = 26\nloom = 8\ntrim = 0\n\
        thickness = \"1 1/4\"\nrings = 0\n[[paddle.lamination]]\nname = \"spine\"\nthickness = \"1/4\"\n\
        runs = \"through\"\ncentre = true\n";
    let boards = "board,species,length,width,thickness\nH,fir,42,2,1 1/2\n";
    let shop = Shop::planned(boards, paddles).unwrap();
    shop.tally(&FILES);
    let job = job_text("p.toml", paddles).unwrap();
    let rack = strips_text("strips.csv", &shop.text("strips.csv"), &job).unwrap().strips;
    let inch = Length::inch_fraction;
    // Rough depths: 1 3/8 and 1 1/4 with twice the 1/32 that planing takes.
    let low = rack.iter().find(|s| s.paddle.as_deref() == Some("low")).unwrap();
    assert_eq!((low.length, low.depth), (inch(26, 1), inch(23, 16)));
    let left = shop.boards("left.csv");
    // Beside it, a crosscut kerf on, up to the section's end.
    let rest = inch(42 * 8 - 26 * 8 - 1, 8);
    let kept = left.iter().find(|b| b.width == low.thickness && b.length == rest);
    assert_eq!(kept.map(|b| b.thickness), Some(low.depth), "{}", shop.text("left.csv"));
    // The cut list and the page tell the same piece.
    let (_, page, _) = shop.run(&["plan", "--sheet", "-"]);
    let page = page.replace('\u{a0}', " ");
    assert!(page.contains("15 7/8 × 9/32 × 1 7/16 in"), "{page}");
}

/// After a plan of fewer paddles than are wanted, going on without `--most` would ask for all.
#[test]
fn after_a_plan_of_fewer_paddles_the_others_are_named_and_the_command_makes_the_most() {
    let boards: String =
        BOARDS.lines().filter(|l| !l.starts_with('Z')).map(|l| format!("{l}\n")).collect();
    let shop = Shop::with(&boards, &PADDLES.replace("quantity = 4", "quantity = 9"));
    let (code, out, _) = shop.run(&["plan", "--most", "--json", "plan.json"]);
    assert_eq!(code, 0, "{out}");
    let made = shop.json("plan.json")["paddles"][0]["made"].as_u64().unwrap();
    let out = shop.tally(&[&FILES[..], &["--cut", ""]].concat());
    let said = format!("Wanted, and not made by this plan: {} of 9 small.\n", 9 - made);
    assert!(out.contains(&said), "{out}");
    let command = "plan --most --boards left.csv --paddles paddles.toml --strips strips.csv";
    assert!(out.ends_with(&format!("  stripwright {command}\n")), "{out}");
    let words: Vec<&str> = command.split(' ').chain(["--json", "again.json"]).collect();
    let (code, out, err) = shop.run(&words);
    assert_eq!(code, 0, "{out}{err}");
    assert_eq!(shop.json("again.json")["paddles"][0]["made"], made);
}
