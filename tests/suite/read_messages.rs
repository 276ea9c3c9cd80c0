//! What is said of slips that people make: each message is true and its cure helps. Plans of a
//! yard's boards are read again with the yard's list.

use crate::jobs::shop;
use std::path::Path;
use std::process::{Command, Stdio};
use stripwright::length::Units;
use stripwright::read::{List, boards_text, job_text};

const HEAD: &str = "board,species,length,width,thickness\n";
fn paddles() -> String {
    shop("resaw_kerf = \"1/16\"")
        .paddle("p", ["30", "9", "1"], "rings = 0")
        .through("side", "1/4")
        .text()
}
const YARD: &str = "board,species,length,size,price_per_foot,foot\nY1,ash,36,2x6,3,running\n";

fn of_boards(text: &str) -> Vec<String> {
    let problems = boards_text("b.csv", text, Units::Inch, List::OnHand).expect_err(text);
    problems.0.iter().map(ToString::to_string).collect()
}

fn of_paddles(text: &str) -> String {
    job_text("p.toml", text).expect_err(text).to_string()
}

struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Self {
        let shop = Shop(tempfile::tempdir().unwrap());
        shop.put("p.toml", &paddles());
        shop.put("b.csv", &format!("{HEAD}B1,ash,36,3,1 1/4\n"));
        shop.put("y.csv", YARD);
        shop
    }

    fn put(&self, name: &str, text: &str) {
        std::fs::write(self.0.path().join(name), text).unwrap();
    }

    fn get(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    fn run(&self, line: &str) -> (i32, String, String) {
        self.run_with(line, "")
    }

    fn run_with(&self, line: &str, input: &str) -> (i32, String, String) {
        self.put("input", input);
        let input = std::fs::File::open(self.0.path().join("input")).unwrap();
        let output = Command::new(assert_cmd::cargo::cargo_bin("stripwright"))
            .current_dir(self.0.path())
            .args(line.split(' '))
            .stdin(Stdio::from(input))
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
    }

    /// What verify says of the plan with one text in it changed.
    fn verify(&self, from: &str, to: &str) -> (i32, String, String) {
        let plan = self.get("plan.json");
        assert!(plan.contains(from), "{from} in {plan}");
        self.put("changed.json", &plan.replacen(from, to, 1));
        self.run("verify --boards b.csv --paddles p.toml changed.json")
    }

    fn planned() -> Self {
        let shop = Shop::new();
        let (code, _, err) = shop.run("plan --boards b.csv --paddles p.toml --json plan.json");
        assert_eq!(code, 0, "{err}");
        shop
    }
}

#[test]
fn a_plan_that_buy_wrote_is_verified_and_glued_with_the_yards_list() {
    let shop = Shop::new();
    let (code, _, err) = shop.run("buy --yard y.csv --paddles p.toml --json plan.json");
    assert_eq!(code, 0, "{err}");
    for command in ["verify --prove", "glue"] {
        let (code, out, err) =
            shop.run(&format!("{command} --yard y.csv --paddles p.toml plan.json"));
        assert_eq!(code, 0, "{out}{err}");
    }
    let (code, _, err) = shop.run("verify --boards b.csv --paddles p.toml plan.json");
    assert_eq!(code, 2);
    assert!(err.contains("\"Y1\" is not in the boards given"), "{err}");
    // Boards in hand beside it cost nothing, as when the plan was made.
    shop.put("b.csv", &format!("{HEAD}B1,ash,36,1,1 1/4\n"));
    let both = "--boards b.csv --yard y.csv --paddles p.toml";
    assert_eq!(shop.run(&format!("buy {both} --json plan.json")).0, 0);
    assert!(shop.get("plan.json").contains("\"B1\""));
    for command in ["verify --prove", "glue"] {
        let (code, out, err) = shop.run(&format!("{command} {both} plan.json"));
        assert_eq!(code, 0, "{out}{err}");
    }
    let (code, _, err) = shop.run("verify --paddles p.toml plan.json");
    assert_eq!(code, 2);
    assert!(err.contains("--boards"), "{err}");
}

#[test]
fn a_plan_files_version_is_one_that_is_known() {
    let shop = Shop::planned();
    for other in ["2", "\"1\"", "0", "1.5", "null"] {
        let (code, _, err) = shop.verify("\"version\": 1", &format!("\"version\": {other}"));
        assert_eq!(code, 2);
        assert!(err.contains("is not a version that is known here; this program reads"), "{err}");
    }
    assert_eq!(shop.verify("\"version\": 1,", "").0, 0);
}

#[test]
fn a_key_that_stands_twice_is_refused_with_its_place() {
    let shop = Shop::planned();
    let (code, _, err) = shop.verify("\"version\": 1,", "\"version\": 1,\n\"version\": 2,");
    assert_eq!(code, 2);
    assert!(
        err.starts_with("changed.json, line 3, column 12: names the key version twice;"),
        "{err}"
    );
    let (code, _, err) = shop.verify("\"copy\": 1,", "\"copy\": 1, \"copy\": 1,");
    assert_eq!((code, err.contains("names the key copy twice")), (2, true), "{err}");
}

#[test]
fn a_misspelt_key_is_refused_and_further_ones_are_welcome() {
    let shop = Shop::planned();
    let (code, _, err) = shop.verify("\"flipped_with\"", "\"fliped_with\"");
    assert_eq!(code, 2);
    assert!(
        err.contains("fliped_with: is not a key that is known here; did you mean flipped_with?"),
        "{err}"
    );
    assert_eq!(shop.verify("\"paddles\"", "\"padles\"").0, 2);
    let further = "\"version\": 1, \"note\": \"a\", \"id\": 4, \"colour\": null, \"plan\": [{}],";
    let (code, _, err) = shop.verify("\"version\": 1,", further);
    assert_eq!(code, 0, "{err}");
}

#[test]
fn a_label_that_names_another_strip_is_refused() {
    let shop = Shop::planned();
    let (code, _, err) = shop.verify("\"label\": \"B1.1 p side\"", "\"label\": \"B1.2 p side\"");
    assert_eq!(code, 2);
    assert!(
        err.contains(
            "label: \"B1.2 p side\" is not what id, paddle and lamination say; write B1.1 p side"
        ),
        "{err}"
    );
}

#[test]
fn an_empty_or_torn_plan_file_is_called_so() {
    let shop = Shop::planned();
    let plan = shop.get("plan.json");
    for (text, said) in [
        ("", "changed.json: is empty; give a file written by --json."),
        (" \n", "changed.json: is empty; give a file written by --json."),
        (&plan[..40], ": ends before the plan does; write the file anew, whole."),
        ("{\n  \"version\": x}", "changed.json, line 2, column 14: is not JSON from here on;"),
    ] {
        shop.put("changed.json", text);
        let (code, _, err) = shop.run("verify --boards b.csv --paddles p.toml changed.json");
        assert_eq!((code, err.contains(said)), (2, true), "{err}");
        assert!(!err.contains("the text"), "{err}");
    }
}

#[test]
fn values_of_a_plan_file_stand_in_one_pair_of_quotes_and_units_are_words() {
    let shop = Shop::planned();
    let (_, _, err) = shop.verify("\"board\": \"B1\"", "\"board\": \"R2\"");
    assert!(err.contains(": \"R2\" is not in the boards given") && !err.contains("\"\""), "{err}");
    let (_, _, err) = shop.verify("\"from\": 1.0", "\"from\": \"1\"");
    assert!(err.contains("is not a number; write a number of inches."), "{err}");
}

#[test]
fn tiny_and_long_numbers_are_not_called_large_or_nothing() {
    let tiny = "1/34028236692093846346337460743176821145";
    let said = of_boards(&format!("{HEAD}a,ash,{tiny},0.00000000001,0\n"));
    assert!(said[0].contains("has more than 12 digits above or below the line"), "{said:?}");
    assert!(said[1].contains("\"0.00000000001\" is finer than is counted, 1/80 µm"), "{said:?}");
    assert!(said[2].contains("\"0\" is not more than 0"), "{said:?}");
    let said = of_paddles(&paddles().replace("\"1/4\"", "\"0.00000000001\""));
    assert!(said.contains("is finer than is counted"), "{said}");
}

#[test]
fn a_comma_is_read_both_ways_where_both_can_be_meant() {
    let said = of_boards(&format!("{HEAD}a,ash,\"1,000\",\"5,5\",\"1,000 1/2\"\n"));
    let both = "write 1.000 if the comma stands for a point, 1000 if it parts the thousands";
    assert!(said[0].contains(both), "{said:?}");
    assert!(said[1].contains("write it with a point, 5.5"), "{said:?}");
    assert!(said[2].contains("write it without commas, 1000 1/2"), "{said:?}");
    let said = of_paddles(&paddles().replace("\"30\"", "\"1,000\""));
    assert!(said.contains(both), "{said}");
}

#[test]
fn a_zero_byte_in_toml_is_not_cured_as_csv() {
    let shop = Shop::new();
    shop.put("p.toml", "units = \"in\"\n\0");
    let (code, _, err) = shop.run("check --boards b.csv --paddles p.toml");
    assert_eq!(code, 2);
    assert!(
        err.starts_with(
            "p.toml, line 2: holds a zero byte, so it is not text; save it as plain text (UTF-8)."
        ),
        "{err}"
    );
}

#[test]
fn a_budget_too_large_is_called_too_large() {
    let shop = Shop::new();
    for (budget, said) in [
        ("1000000001", "\"1000000001\" is more than 1000000000; check the figure."),
        ("99999999999999999999.5", "is more than 1000000000"),
        ("1,5", "\"1,5\" is not a price; write it with a point, 1.5."),
    ] {
        let (code, _, err) =
            shop.run(&format!("buy --yard y.csv --paddles p.toml --budget {budget}"));
        assert_eq!((code, err.contains(said)), (2, true), "{err}");
    }
}

#[test]
fn boards_in_millimetres_under_inches_are_warned_of() {
    let shop = Shop::new();
    shop.put("b.csv", &format!("{HEAD}B1,ash,2400,140,38\n"));
    let said = "board B1 is 2400\" (200 ft) long; bare numbers are in inches: were they measured in millimetres?";
    let (code, out, _) = shop.run("check --boards b.csv --paddles p.toml --width 500");
    assert_eq!((code, out.contains(said)), (0, true), "{out}");
    let (code, out, err) = shop.run("plan --boards b.csv --paddles p.toml --json -");
    assert_eq!((code, err.contains(said)), (0, true), "{err}");
    assert!(out.starts_with('{'), "{out}");
    // Nothing is said of ordinary boards.
    let loft = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/loft");
    for file in ["boards.csv", "paddles.toml"] {
        std::fs::copy(loft.join(file), shop.0.path().join(file)).unwrap();
    }
    let (_, _, err) = shop.run("plan --boards boards.csv --paddles paddles.toml --json -");
    assert!(!err.contains("Warning"), "{err}");
}

const UNSEEN: [char; 7] =
    ['\u{1b}', '\u{202E}', '\u{2066}', '\u{200E}', '\u{61C}', '\u{9b}', '\u{7f}'];

#[test]
fn names_in_boards_csv_hold_nothing_that_moves_a_cursor_or_turns_writing() {
    let head = "board,species,length,width,thickness,grade,zone,from,to\n";
    for c in UNSEEN {
        let said = of_boards(&format!(
            "{head}a{c}a,ash,90,3,1,,,,\nb,as{c}h,90,3,1,,,,\nd,ash,90,3,1,x{c}y,,,\ne,ash,90,3,1,,kn{c}ot,4,5\n"
        ));
        let code = format!("U+{:04X}; type it again without that character.", u32::from(c));
        let places = ["2, column board", "3, column species", "4, column grade", "5, column zone"];
        assert_eq!(said.len(), 4, "{said:?}");
        for (said, place) in said.iter().zip(places) {
            assert!(said.starts_with(&format!("b.csv, line {place}: ")), "{said}");
            assert!(said.ends_with(&code) && !said.contains(c), "{said}");
        }
    }
}

#[test]
fn names_in_paddles_toml_hold_nothing_that_moves_a_cursor_or_turns_writing() {
    for c in UNSEEN {
        let code = format!("\\u{:04X}", u32::from(c));
        let text = format!(
            "[shop.margin]\n\"kn{code}ot\" = {{ along = 1 }}\n[glue]\nreference_species = \"r{code}\"\n\
             [[species]]\nname = \"s{code}\"\ndensity = 400\n\
             [[paddle]]\nname = \"p{code}\"\nlength = 84\nloom = 20\nthickness = 1\n\
             [[paddle.lamination]]\nname = \"l{code}\"\nthickness = 1\nruns = \"through\"\n\
             species = [\"w{code}\"]\nallow = [\"z{code}\"]\n"
        );
        let said = of_paddles(&text);
        let hits = said.matches(&format!("U+{:04X}", u32::from(c))).count();
        assert_eq!(hits, 7, "{said}");
        assert!(!said.contains(c), "{said}");
    }
}

#[test]
fn values_and_file_names_are_shown_without_what_a_terminal_would_obey() {
    let said = of_boards(&format!("{HEAD}a,ash,\u{1b}[2J\u{202E}x,3,1\n"));
    assert!(said[0].contains("\"\\u{1b}[2J\\u{202e}x\" is not a length"), "{said:?}");
    let shop = Shop::new();
    for line in [
        "check --boards n\u{1b}[31m\u{202E}.csv --paddles p.toml",
        "plan --boards b.csv --paddles p.toml --json n\u{1b}[31m/\u{202E}.json",
        "buy --yard y.csv --paddles p.toml --budget \u{1b}[31m",
    ] {
        let (code, out, err) = shop.run(line);
        assert_eq!(code, 2, "{err}");
        let bad = |c: char| c != '\n' && stripwright::text::misleads(c);
        assert!(!out.contains(bad) && !err.contains(bad), "{err:?}");
        assert!(err.contains("\\u{1b}[31m"), "{err:?}");
    }
    for line in ["plan --boards b.csv --paddles p.toml --time-limit \u{202E}5", "\u{202E}plan"] {
        let (code, _, err) = shop.run(line);
        assert_eq!((code, err.contains("\\u{202e}")), (2, true), "{err:?}");
        assert!(!err.contains('\u{202E}'), "{err:?}");
    }
    // The id of a strip in a plan file is a name too.
    let shop = Shop::planned();
    let (code, _, err) = shop.verify("\"id\": \"B1.1\"", "\"id\": \"B\\u001b[1\"");
    assert_eq!((code, err.contains("holds the control character U+001B")), (2, true), "{err}");
}

#[test]
fn a_name_that_a_spreadsheet_takes_for_a_formula_is_written_as_text() {
    let shop = Shop::new();
    for name in ["=1+1", "+1", "-1", "@a"] {
        shop.put("b.csv", &format!("{HEAD}{name},ash,36,3,1 1/4\n"));
        let (code, out, err) = shop.run("plan --boards b.csv --paddles p.toml --cuts -");
        assert_eq!(code, 0, "{err}");
        assert!(out.lines().skip(1).all(|l| l.starts_with(&format!("'{name},"))), "{out}");
    }
}

#[test]
fn columns_by_other_names_or_with_units_get_a_hint() {
    let said = of_boards("name,wood,Length (in),width_mm,thk\na,ash,90,6,1\n");
    for (said, cure) in said.iter().zip([
        "did you mean board?",
        "did you mean species?",
        "write length alone: bare numbers are in inches, others carry their unit.",
        "write width alone: bare numbers are in inches, others carry their unit.",
        "did you mean thickness?",
    ]) {
        assert!(said.ends_with(cure), "{said}");
    }
    assert_eq!(said.len(), 5, "{said:?}");
    assert!(
        of_boards("board,species,len,width,thickness\na,ash,90,6,1\n")[0].ends_with("mean length?")
    );
}

#[test]
fn a_list_without_column_names_and_one_that_repeats_them_get_one_problem() {
    let said = of_boards("A1,ash,96,6,1\nA2,ash,96,6,1\n");
    assert_eq!(
        said,
        [
            "b.csv, line 1: begins with a board, not with the names of columns; write above it: board,species,length,width,thickness."
        ]
    );
    let lines = "a,ash,90,6,1\n";
    let said = of_boards(&format!("{HEAD}{lines}{HEAD}{}", lines.replace('a', "b")));
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].starts_with("b.csv, line 3, column board: \"board\" repeats the names of"),
        "{said:?}"
    );
}

#[test]
fn a_spreadsheets_line_of_its_separator_is_passed_over() {
    for (line, between) in
        [("sep=;\r\n", ";"), ("SEP=,\n", ","), ("\u{FEFF}sep=\t\n", "\t"), ("\"sep=;\"\n", ";")]
    {
        let text =
            format!("{line}{HEAD}a,ash,90,6,x\n").replacen(HEAD, &HEAD.replace(',', between), 1);
        let text = text.replace("a,ash,90,6,x", &"a,ash,90,6,x".replace(',', between));
        let said = of_boards(&text);
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].starts_with("b.csv, line 3, column thickness"), "{said:?}");
    }
}

#[test]
fn standard_input_can_be_one_list() {
    let shop = Shop::new();
    let boards = shop.get("b.csv");
    let (code, out, err) = shop.run_with("check --boards - --paddles p.toml", &boards);
    assert_eq!((code, out.contains("B1")), (0, true), "{err}");
    let (code, _, err) = shop.run_with("check --boards - --paddles -", &boards);
    assert_eq!(code, 2);
    assert!(err.contains("-: is named twice, and standard input can be read only once"), "{err}");
    assert_eq!(shop.run_with("plan --boards - --paddles p.toml --json -", &boards).0, 0);
}

#[test]
fn check_reports_wrong_glue_and_woods() {
    let shop = Shop::new();
    shop.put("p.toml", &format!("{}[glue]\nopen_tim = 3\n[[species]]\nname = \"x\"\n", paddles()));
    let (code, _, err) = shop.run("check --boards b.csv --paddles p.toml");
    assert_eq!(code, 2);
    assert!(
        err.contains("glue, open_tim: is not a key that is known here; did you mean open_time?"),
        "{err}"
    );
    assert!(err.contains("species \"x\": has no figures;"), "{err}");
    assert_eq!(err.lines().count(), 3, "{err}");
}
