//! A table of wrong files (tests/data/wrong-files.txt): each is refused with status 2 by the program
//! itself, in the words that stand there and no others.

use std::fs;
use stripwright::length::Units;
use stripwright::read::{List, boards_text, job_text, strips_text};

const TABLE: &str = include_str!("../data/wrong-files.txt");
const BOARDS: &str = "board,species,length,width,thickness,rings\na,ash,90,6,1 1/2,90\n";
const STRIPS: &str = "strip,species,length,thickness,depth\nA,ash,85,1/4,1 7/16\n";
const PADDLES: &str = r#"[shop]
edge = "1/8"
resaw_kerf = "1/16"
[[paddle]]
name = "p"
quantity = 1
length = "84"
loom = "20"
thickness = "1 3/8"
trim = "3/8"
rings = 45
runout = "1:15"
  [[paddle.lamination]]
  name = "spine"
  thickness = "1/4"
  runs = "through"
  centre = true
  [[paddle.lamination]]
  name = "blade"
  thickness = "1/2"
  runs = "blade"
  allow = ["sap"]
"#;

/// A block of the table: the kind of file, the file, what is said of it.
struct Wrong {
    kind: &'static str,
    text: String,
    said: String,
}

/// `\u{1b}` is the character itself.
fn characters(text: &str) -> String {
    let mut parts = text.split("\\u{");
    let mut all = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (number, rest) = part.split_once('}').unwrap();
        all.push(char::from_u32(u32::from_str_radix(number, 16).unwrap()).unwrap());
        all.push_str(rest);
    }
    all
}

fn table() -> Vec<Wrong> {
    let blocks = TABLE.split("=== ").skip(1);
    let wrong = |block: &'static str| {
        let (kind, rest) = block.split_once('\n').unwrap();
        // Nothing may stand before the line of dashes: an empty file.
        let (text, said) = match rest.strip_prefix("---\n") {
            Some(said) => ("", said),
            None => rest.split_once("\n---\n").unwrap(),
        };
        let mut text = characters(text);
        if !text.is_empty() {
            text.push('\n');
        }
        if kind == "paddles" {
            let (from, to) = text.split_once("=>\n").unwrap();
            assert!(PADDLES.contains(from), "{from}");
            text = PADDLES.replacen(from, to, 1);
        }
        Wrong { kind, text, said: said.to_owned() }
    };
    blocks.map(wrong).collect()
}

#[test]
fn the_files_that_are_made_wrong_are_good() {
    let job = job_text("p.toml", PADDLES).unwrap();
    assert!(boards_text("b.csv", BOARDS, Units::Inch, List::OnHand).is_ok());
    assert!(strips_text("s.csv", STRIPS, &job).is_ok());
}

#[test]
fn a_hundred_wrong_files_are_each_refused_in_the_words_expected() {
    let (table, mut differ) = (table(), Vec::new());
    assert!(table.len() >= 100, "{}", table.len());
    for wrong in &table {
        let folder = tempfile::tempdir().unwrap();
        let job = ["check", "--boards", "b.csv", "--paddles", "p.toml"];
        let (file, words) = match wrong.kind {
            "boards" => ("b.csv", job.to_vec()),
            "paddles" => ("p.toml", job.to_vec()),
            "strips" => ("s.csv", [&job[..], &["--strips", "s.csv"]].concat()),
            "yard" => ("y.csv", vec!["buy", "--yard", "y.csv", "--paddles", "p.toml"]),
            other => panic!("{other}"),
        };
        for (name, text) in [("b.csv", BOARDS), ("p.toml", PADDLES), ("s.csv", STRIPS)] {
            fs::write(folder.path().join(name), text).unwrap();
        }
        fs::write(folder.path().join(file), &wrong.text).unwrap();
        let (code, out, err) = crate::jobs::run(folder.path(), &words);
        // How many there are is said last.
        let number = wrong.said.lines().count();
        let last = format!("{number} problem{}.\n", if number == 1 { "" } else { "s" });
        if (code, out.as_str(), err.as_str()) != (Some(2), "", &(wrong.said.clone() + &last)) {
            differ.push(format!("{}\n{:?}: {err}instead of\n{}", wrong.text, code, wrong.said));
        }
        // Where it is, and a cure behind the rule.
        for line in wrong.said.lines() {
            assert!(line.starts_with(file), "{line}");
            assert!(line.contains("; ") || line.contains("did you mean"), "{line}");
        }
    }
    assert!(differ.is_empty(), "{} of {}:\n{}", differ.len(), table.len(), differ.join("\n\n"));
}
