//! The words of a printed page, read from its HTML, and jobs to print: for tests that follow a
//! sheet as a reader would.

use std::fmt::Write as _;

/// A group of steps as printed.
#[derive(Clone, Debug)]
pub struct Group {
    pub heading: String,
    pub lines: Vec<Line>,
}

/// A step as printed: its words, and what is left with whether that is only about so.
#[derive(Clone, Debug)]
pub struct Line {
    pub text: String,
    pub left: Option<(i64, bool)>,
}

/// The groups of steps of the board with this number.
pub fn groups(page: &str, number: usize) -> Vec<Group> {
    let start = page.find(&format!("id=\"board{number}\"")).expect("no such board");
    let sheet = &page[start..];
    let sheet = &sheet[..sheet.find("</section>").unwrap()];
    let mut out = Vec::new();
    for group in sheet.split("<div class=\"group").skip(1) {
        let heading = between(group, "<p class=\"set\">", "</p>").expect("a group has a heading");
        let lines = group.split("<label class=\"step\">").skip(1).map(|step| {
            let step = &step[..step.find("</label>").unwrap()];
            let text = between(step, "<span>", "</span>").expect("a step has words");
            let left = between(step, "<span class=\"left\">", "</span>").unwrap_or_default();
            let left = left.strip_prefix("left ").map(|figure| {
                (lengths(figure).first().copied().expect("no length"), figure.starts_with('~'))
            });
            Line { text, left }
        });
        out.push(Group { heading, lines: lines.collect() });
    }
    out
}

fn between(text: &str, open: &str, close: &str) -> Option<String> {
    let start = text.find(open)? + open.len();
    let end = text[start..].find(close)? + start;
    let mut out = String::new();
    let mut tag = false;
    for c in text[start..end].chars() {
        match c {
            '<' => tag = true,
            '>' => tag = false,
            '\u{A0}' => out.push(' '),
            c if !tag => out.push(c),
            _ => {}
        }
    }
    let plain = out.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">");
    Some(plain.replace("&amp;", "&").trim().to_owned())
}

/// The lengths in a text, those in brackets behind `exact` instead of the figure before them, in
/// units of 1/80 µm.
pub fn lengths(text: &str) -> Vec<i64> {
    let mut out = Vec::new();
    let chars: Vec<char> = text.chars().collect();
    let mut i = 0;
    while i < chars.len() {
        let fresh =
            i == 0 || !(chars[i - 1].is_alphanumeric() || matches!(chars[i - 1], '.' | '/'));
        if !(fresh && chars[i].is_ascii_digit()) {
            i += 1;
            continue;
        }
        let mut end = i;
        while end < chars.len()
            && (chars[end].is_ascii_digit()
                || matches!(chars[end], '.' | '/')
                || chars[end] == ' ' && fraction(&chars[end + 1..]))
        {
            end += 1;
        }
        let figure: String = chars[i..end].iter().collect();
        let tail: String = chars[end..].iter().take(4).collect();
        i = end;
        let figure = figure.trim_end_matches('.');
        let one = if tail.starts_with('"') {
            2_032_000
        } else if tail.starts_with(" mm") {
            80_000
        } else {
            continue;
        };
        out.push(number(figure, one));
        // An exact figure follows: it counts, and what is in its brackets is passed over.
        let rest: String = chars[end..].iter().collect();
        let after = rest.trim_start_matches(['"', ' ', 'm']);
        if let Some(exact) = after.strip_prefix("(exact ") {
            let digits: String =
                exact.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
            *out.last_mut().unwrap() = number(&digits, one);
            let close = chars[end..].iter().position(|c| *c == ')').unwrap();
            i = end + close;
        }
    }
    out
}

fn fraction(rest: &[char]) -> bool {
    let digits = rest.iter().take_while(|c| c.is_ascii_digit()).count();
    digits > 0 && rest.get(digits) == Some(&'/')
}

fn number(figure: &str, one: i64) -> i64 {
    let (whole, part) = match figure.split_once(' ') {
        Some((whole, part)) => (whole, part),
        None if figure.contains('/') => ("0", figure),
        None => (figure, "0/1"),
    };
    let whole = match whole.split_once('.') {
        None => whole.parse::<i64>().unwrap() * one,
        Some((full, parts)) => {
            let ten = 10_i64.pow(u32::try_from(parts.len()).unwrap());
            let all: i64 = format!("{full}{parts}").parse().unwrap();
            (all * one + ten / 2).div_euclid(ten)
        }
    };
    let (top, bottom) = part.split_once('/').unwrap();
    whole + top.parse::<i64>().unwrap() * one / bottom.parse::<i64>().unwrap()
}

/// A small job: boards and paddles as files, every kind of board and shop among them.
pub fn job(seed: u64) -> (String, String) {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut next = move |below: u64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 33) % below
    };
    let mut boards = String::from(
        "board,species,length,width,thickness,rings,crook,bow,edge,far_edge,board_end,zone,from,to,near,far\n",
    );
    for b in 0..4 + next(3) {
        let length = 44 + next(30);
        let width = format!("{}/8", 20 + next(26));
        let thick = ["3/4", "13/16", "1", "1 1/2", "1 3/4"][usize::try_from(next(5)).unwrap()];
        let rings = ["flat", "vertical", "45"][usize::try_from(next(3)).unwrap()];
        let bend = |n: u64, parts: u64| {
            let sign = if n & 1 == 0 { "" } else { "-" };
            format!("{sign}{}/{parts}", n / 2)
        };
        let crook = if next(2) == 0 { "0".to_owned() } else { bend(next(10), 16) };
        let bow = if next(2) == 0 { "0".to_owned() } else { bend(next(12), 32) };
        let own = if next(3) == 0 {
            format!("{}/16,{}/16,{}/16", next(4), next(4), next(20))
        } else {
            ",,".to_owned()
        };
        writeln!(boards, "N{b},alder,{length},{width},{thick},{rings},{crook},{bow},{own},,,,,")
            .unwrap();
        for _ in 0..next(3) {
            let from = next(length - 4);
            let near = next(14);
            let kind = ["knot", "check", "sap"][usize::try_from(next(3)).unwrap()];
            let to = from + 1 + next(3);
            let far = near + 2 + next(5);
            writeln!(boards, "N{b},,,,,,,,,,,{kind},{from},{to},{near}/8,{far}/8").unwrap();
        }
    }
    let pick = |n: u64, of: &[&str]| of[usize::try_from(n).unwrap() % of.len()].to_owned();
    let mut text = String::from("units = \"in\"\n[shop]\n");
    writeln!(text, "rip_kerf = \"{}\"", pick(next(3), &["1/8", "3/32", "7/64"])).unwrap();
    writeln!(text, "crosscut_kerf = \"{}\"", pick(next(2), &["1/8", "3/32"])).unwrap();
    if next(3) > 0 {
        writeln!(text, "resaw_kerf = \"{}\"", pick(next(2), &["1/16", "3/64"])).unwrap();
    }
    if next(3) > 0 {
        writeln!(text, "curve_kerf = \"{}\"", pick(next(3), &["1/16", "1/32", "5/64"])).unwrap();
    }
    writeln!(
        text,
        "curve_dress = \"1/32\"\nresaw_dress = \"{}\"",
        pick(next(2), &["1/64", "1/32"])
    )
    .unwrap();
    writeln!(text, "board_end = \"{}\"", pick(next(3), &["1", "1/2", "1/16"])).unwrap();
    writeln!(text, "min_rip = 10").unwrap();
    // Some shops take hardly any bend: there boards are flattened and straightened.
    if next(2) == 0 {
        writeln!(text, "straight = \"1/32\"\npair = \"1/32\"\npull = \"1/32\"").unwrap();
    }
    writeln!(text, "[shop.margin]\nknot = {{ along = \"1/2\", across = \"1/8\" }}").unwrap();
    let rings = [0, 45][usize::try_from(next(2)).unwrap()];
    let thick = pick(next(3), &["5/8", "7/8", "1 1/4"]);
    writeln!(
        text,
        "[[paddle]]\nname = \"short\"\nlength = {}\nloom = 12\nthickness = \"{thick}\"\ntrim = \
         \"1/4\"\nrings = {rings}",
        36 + next(8)
    )
    .unwrap();
    let sides = pick(next(3), &["3/8", "1/2", "7/8"]);
    let edges = pick(next(3), &["1/4", "5/16", "9 mm"]);
    writeln!(
        text,
        "[[paddle.lamination]]\nname = \"spine\"\nthickness = \"1/4\"\nruns = \"through\"\ncentre = \
         true\n[[paddle.lamination]]\nname = \"side\"\nthickness = \"{sides}\"\nruns = \
         \"through\"\n[[paddle.lamination]]\nname = \"edge\"\nthickness = \"{edges}\"\nruns = \
         \"blade\"\nallow = [\"sap\"]"
    )
    .unwrap();
    (boards, text)
}

/// A step done, or why it can't be.
pub type Done = Result<(), String>;

/// What must be so.
pub fn need(ok: bool, what: impl Fn() -> String) -> Done {
    if ok { Ok(()) } else { Err(what()) }
}

pub fn first(text: &str) -> Result<i64, String> {
    lengths(text).first().copied().ok_or_else(|| format!("no length in {text:?}"))
}

/// The first length behind a word.
pub fn behind(text: &str, word: &str) -> Result<i64, String> {
    let at = text.find(word).ok_or_else(|| format!("no {word:?} in {text:?}"))?;
    first(&text[at + word.len()..])
}

pub fn letters(name: &str) -> String {
    name.chars().take_while(char::is_ascii_uppercase).collect()
}

/// The figure behind the `to` that follows `from`.
pub fn last_to(text: &str) -> Result<i64, String> {
    let at = text.find("from ").ok_or("no from")?;
    behind(&text[at..], " to ")
}

/// What comes off each face.
pub fn each(text: &str) -> Result<i64, String> {
    let at = text.find(" off each").ok_or("no face")?;
    lengths(&text[..at]).last().copied().ok_or_else(|| text.to_owned())
}

/// The pieces before the colon, with the strips that each becomes.
pub fn named(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let head = text.split(": ").next().unwrap_or("");
    let (mut pieces, mut strips) = (Vec::new(), Vec::<Vec<String>>::new());
    for word in head.split(", ") {
        if let Some((piece, strip)) = word.split_once(" \u{2192} ") {
            pieces.push(piece.trim().to_owned());
            strips.push(vec![strip.trim().to_owned()]);
        } else if let Some(last) = strips.last_mut().filter(|_| head.contains('\u{2192}')) {
            last.push(word.trim().to_owned());
        } else if let Some((a, z)) = word.split_once(" to ") {
            let cut = |t: &str| {
                let at = t.rfind(|c: char| !c.is_ascii_digit()).map_or(0, |i| i + 1);
                (t[..at].to_owned(), t[at..].parse::<u32>().unwrap())
            };
            let ((stem, first), (_, last)) = (cut(a.trim()), cut(z.trim()));
            pieces.extend((first..=last).map(|n| format!("{stem}{n}")));
        } else {
            pieces.push(word.trim().to_owned());
        }
    }
    (pieces, strips)
}
