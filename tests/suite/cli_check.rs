//! `stripwright check` through the real binary.

use assert_cmd::Command;

const PADDLES: &str = r#"
[shop]
far_edge = 0
curve_kerf = "1/8"
resaw_kerf = "1/16"
[[paddle]]
name = "touring"
length = "84"
loom = "20"
thickness = "1 3/8"
runout = "1:15"
[[paddle.lamination]]
name = "spine"
thickness = "1/4"
runs = "through"
centre = true
species = ["white ash"]
[[paddle.lamination]]
name = "loom side"
thickness = "1/2"
runs = "through"
species = ["red cedar"]
[[paddle.lamination]]
name = "edge"
thickness = "1/4"
runs = "blade"
species = ["white ash", "red oak"]
"#;

const HEADER: &str = "board,species,length,width,thickness,rings,pith_across,pith_depth,crook,bow,runout,zone,from,to,near,far\n";

fn check(boards: &str, more: &[&str]) -> (i32, String, String) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("b.csv"), format!("{HEADER}{boards}")).unwrap();
    std::fs::write(folder.path().join("p.toml"), PADDLES).unwrap();
    let output = Command::cargo_bin("stripwright")
        .unwrap()
        .current_dir(folder.path())
        .args(["check", "--boards", "b.csv", "--paddles", "p.toml"])
        .args(more)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// The warnings, each on one line.
fn warnings(boards: &str) -> Vec<String> {
    let (code, out, err) = check(boards, &["--width", "2000"]);
    assert_eq!((code, err.as_str()), (0, ""));
    out.lines().filter_map(|l| l.strip_prefix("  - ")).map(str::to_owned).collect()
}

/// Boards that give every strip, so that only the board under test is warned of.
const GOOD: &str = "ok ash,white ash,90,6,1 1/2,80,,,,,1:20,,,,,\n\
                    ok oak,red oak,40,6,1 1/2,80,,,,,1:20,,,,,\n\
                    ok cedar,red cedar,90,6,1 1/2,80,,,,,1:20,,,,,\n";

#[test]
fn a_good_job_has_no_warnings() {
    let (code, out, err) = check(GOOD, &["--width", "100"]);
    assert_eq!((code, err.as_str()), (0, ""));
    insta::assert_snapshot!(out, @r#"
    Shop
      Kerfs: rip 1/8", crosscut 1/8", resaw 1/16", along a curve 1/8". Taken off: edge 1/8", far edge
        0", board end 1", glue face 1/64" (1/64" along a curve, 1/64" resawn), blank's face 1/32". Kept
        clear around zones: none. Bends: alone up to 1/16", flipped pair up to 3/4", pulled out up to
        1". Shortest section to rip 12". Planer: shortest piece 14", thinnest 1/4", widest 12", snipe 3"
        at each end. Bare numbers are in inches.

    Paddles
      1 touring: 84" long, loom 20" long and 1 1/4" wide, blades 1 3/4" wide, 1 3/8" thick, 3/8" of trim
        at each end; rings 45° or steeper to the blade's face, runout 1:15 or flatter.

    Strips to cut, rough sizes
    ┌───────────┬───────────┬─────────┬─────────┬────────┬──────────────────────┬────────────────┐
    │ strip     │ thickness │ depth   │ length  │ strips │ wood                 │ may contain    │
    ├───────────┼───────────┼─────────┼─────────┼────────┼──────────────────────┼────────────────┤
    │ spine     │ 9/32"     │ 1 7/16" │ 84 3/4" │ 1      │ white ash            │ nothing marked │
    │ loom side │ 17/32"    │ 1 7/16" │ 84 3/4" │ 2      │ red cedar            │ nothing marked │
    │ edge      │ 9/32"     │ 1 7/16" │ 32 3/8" │ 4      │ red oak or white ash │ nothing marked │
    └───────────┴───────────┴─────────┴─────────┴────────┴──────────────────────┴────────────────┘

    Boards, with how many strips each gives at most if it is cut for one kind alone
    ┌──────────┬───────────┬────────────┬──────────────────┬──────────┬───────┬──────────────┐
    │ board    │ wood      │ size       │ grain            │ bend     │ zones │ gives        │
    ├──────────┼───────────┼────────────┼──────────────────┼──────────┼───────┼──────────────┤
    │ ok ash   │ white ash │ 90" x 6" x │ rings 80°;       │ straight │ none  │ 14 spine, 28 │
    │          │           │ 1 1/2"     │ upright          │          │       │ edge         │
    │          │           │            │ anywhere; runout │          │       │              │
    │          │           │            │ 1:20             │          │       │              │
    │ ok oak   │ red oak   │ 40" x 6" x │ rings 80°;       │ straight │ none  │ 14 edge      │
    │          │           │ 1 1/2"     │ upright          │          │       │              │
    │          │           │            │ anywhere; runout │          │       │              │
    │          │           │            │ 1:20             │          │       │              │
    │ ok cedar │ red cedar │ 90" x 6" x │ rings 80°;       │ straight │ none  │ 9 loom side  │
    │          │           │ 1 1/2"     │ upright          │          │       │              │
    │          │           │            │ anywhere; runout │          │       │              │
    │          │           │            │ 1:20             │          │       │              │
    └──────────┴───────────┴────────────┴──────────────────┴──────────┴───────┴──────────────┘

    7 strips to cut from up to 3 boards. Not every board has a price: a plan opens the least wood.

    No warnings.
    "#);
}

#[test]
fn a_narrow_terminal_gets_a_list() {
    let (_, out, _) = check(GOOD, &["--width", "40"]);
    assert!(out.lines().all(|l| l.chars().count() <= 40), "{out}");
    assert!(out.contains("\nok oak\n  wood: red oak\n  size: 40\" x 6\" x 1 1/2\"\n"), "{out}");
}

#[test]
fn a_board_that_gives_nothing_says_why() {
    let cases = [
        "x,basswood,90,6,1 1/2,80,,,,,1:20,,,,,\n",
        "x,red cedar,86,6,1 1/2,80,,,,,1:20,,,,,\n",
        "x,red cedar,90,6,1 1/2,80,,,,,1:12,,,,,\n",
        "x,red cedar,90,6,1 1/2,,,,,,1:20,,,,,\n",
        "x,red cedar,90,6,1,80,,,,,1:20,,,,,\n",
        "x,red cedar,90,1 1/2,1,10,,,,,1:20,,,,,\n",
        "x,red cedar,90,1 1/2,1 1/2,80,,,1 1/4,,1:20,,,,,\n",
        "x,red cedar,90,6,1 1/2,80,,,,1,1:20,,,,,\n",
        "x,red cedar,90,1,1 1/2,80,,,,1/8,1:20,,,,,\n",
        "x,red cedar,90,2,1 1/2,,1,-1/2,,,1:20,,,,,\n",
        "x,red cedar,90,6,1 1/2,80,,,,,1:20,,,,,\nx,,,,,,,,,,,knot,44,45,,\n",
        "x,white ash,90,6,1 1/2,80,,,,,1:20,,,,,\nx,,,,,,,,,,,rot,20,,,\n",
    ];
    let found: Vec<String> =
        cases.iter().map(|board| warnings(&format!("{GOOD}{board}")).join("\n")).collect();
    insta::assert_snapshot!(found.join("\n"), @r#"
    board x is of basswood, which no lamination may be of.
    board x gives no strip. For loom side: 84" usable of its length; needs 84 3/4".
    board x gives no strip. For loom side: its grain runs out at 1:12; 1:15 is the steepest allowed.
    board x gives no strip. For loom side: its grain is not given; measure rings, or pith_across and pith_depth.
    board x gives no strip. For loom side: upright, 1" thick, needs 1 7/16"; turned, rings at 10° to the blade's face, needs 45°.
    board x gives no strip. For loom side: upright, rings at 10° to the blade's face, needs 45°; turned, 1 1/2" wide with 1/8" kept off its edges, needs a rip of 1 7/16".
    board x gives no strip. For loom side: upright, bent about 1 3/32" along the edge, and about 9/32" wide, less than a rip takes, once that is straight-lined; turned, rings at 10° to the blade's face, needs 45°.
    board x gives no strip. For loom side: upright, bent about 7/8" on the face, and about 5/8" thick once that is planed flat; turned, rings at 10° to the blade's face, needs 45°.
    board x gives no strip. For loom side: upright, bent about 1/8" depthwise it needs a second strip to flip against, but there is room for one only; turned, rings at 10° to the blade's face, needs 45°.
    board x gives no strip. For loom side: upright, the pith leaves no width with steep enough rings; turned, the pith leaves no width with steep enough rings.
    board x gives no strip. For loom side: upright, longest clear run 17/32" wide is 44", needs 84 3/4"; turned, rings at 10° to the blade's face, needs 45°.
    board x gives no strip. For spine: upright, longest clear run 9/32" wide is 19", needs 84 3/4"; turned, rings at 10° to the blade's face, needs 45°. For edge: upright, longest clear run 9/32" wide is 19", needs 32 3/8"; turned, rings at 10° to the blade's face, needs 45°.
    "#);
}

#[test]
fn other_warnings() {
    let few = "a,white ash,90,6,1 1/2,80,,,,,,,,,,\nb,red cedr,90,1,1 1/2,80,,,,,1:20,,,,,\n";
    insta::assert_snapshot!(warnings(few).join("\n"), @r#"
    board b is of red cedr, which no lamination may be of: did you mean red cedar, which loom side may be of?
    loom side: 2 wanted, no board gives a strip of it. There is no plan without another board.
    no board is of red oak, which edge may be of.
    board a has no runout given and is planned with as if it were straight enough; see that its grain slopes no steeper than 1:15
    "#);
}

#[test]
fn bad_input_ends_with_2_and_names_the_place() {
    let (code, out, err) = check("a,white ash,12x,6,1 1/2,80,,,,,,,,,,\n", &[]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert_eq!(
        err,
        "b.csv, line 2, column length: \"12x\" is not a length; write it as 86 3/4, 7' 2 1/2\", \
         0.125, 36 mm or 0.9 m.\n1 problem.\n"
    );
}

/// An offcut costs nothing and needs no price: prices count beside it.
#[test]
fn offcuts_without_a_price_do_not_keep_prices_from_counting() {
    let folder = tempfile::tempdir().unwrap();
    let said = |kept: &str| {
        let boards = format!(
            "board,species,length,width,thickness,rings,runout,price,offcut\n\
             a,white ash,90,6,1 1/2,80,1:20,9.00,\nb,white ash,90,6,1 1/2,80,1:20,,{kept}\n"
        );
        std::fs::write(folder.path().join("b.csv"), boards).unwrap();
        std::fs::write(folder.path().join("p.toml"), PADDLES).unwrap();
        let mut command = Command::cargo_bin("stripwright").unwrap();
        command.current_dir(folder.path());
        let output = command
            .args(["check", "--boards", "b.csv", "--paddles", "p.toml", "--width", "2000"])
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    let (bare, kept) = (said(""), said("yes"));
    assert!(bare.contains("prices don't count, since these boards have none: b."), "{bare}");
    assert!(!kept.contains("prices don't count"), "{kept}");
    assert!(kept.contains("Every board has a price"), "{kept}");
}

/// A class has a paddle for each builder: a board's cell told of every length of every builder, and
/// was thirty lines long.
#[test]
fn a_class_of_builders_is_told_by_lamination() {
    let folder = tempfile::tempdir().unwrap();
    let (shop, paddle) = PADDLES.split_at(PADDLES.find("[[paddle]]").unwrap());
    let mut paddles = shop.to_owned();
    for (n, name) in ["Ada", "Bert", "Cleo", "Dirk", "Edda"].iter().enumerate() {
        let one = paddle.replacen("touring", name, 1);
        paddles += &one.replacen("length = \"84\"", &format!("length = \"{}\"", 80 + 2 * n), 1);
    }
    let boards = format!(
        "{HEADER}C,red cedar,86,5,1 1/2,80,,,,,1:25,,,,,\n\
         A,white ash,40,5,1 1/2,80,,,,,1:25,,,,,\nF,white ash,96,3,1/4,0,,,,,1:25,,,,,\n"
    );
    std::fs::write(folder.path().join("boards.csv"), boards).unwrap();
    std::fs::write(folder.path().join("paddles.toml"), paddles).unwrap();
    let output = Command::cargo_bin("stripwright")
        .unwrap()
        .current_dir(folder.path())
        .args(["check", "--width", "400"])
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    let row = |name: &str| {
        let line = out.lines().find(|l| l.starts_with(&format!("│ {name} ")));
        line.unwrap_or_else(|| panic!("{out}")).to_owned()
    };
    // 86" hold the strips of the two or three shortest paddles, not of the others.
    assert!(row("C").contains(" 0 to ") && row("C").contains("loom side"), "{out}");
    assert!(row("A").contains("edge") && !row("A").contains("Ada"), "{out}");
    assert!(out.contains("if it is cut for one kind alone, fewest to most by the paddle"), "{out}");
    assert!(out.contains("For every spine, every edge: "), "{out}");
}
