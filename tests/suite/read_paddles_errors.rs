//! Every problem of paddles.toml, word for word.

use stripwright::read::job_text;

const JOB: &str = r#"units = "in"
[shop]
edge = "1/8"
[[paddle]]
name = "p"
length = 84
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
species = ["ash"]
"#;

/// What is replaced in the job, by what, and the problems that it makes.
type Case = (&'static str, &'static str, &'static [&'static str]);

fn check(cases: &[Case]) {
    for (from, to, expected) in cases {
        assert!(JOB.contains(from), "{from}");
        let text = JOB.replacen(from, to, 1);
        let problems = job_text("p.toml", &text).expect_err(to);
        let found: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
        assert_eq!(found, *expected, "{from} -> {to}");
    }
}

/// The job from its first such line on.
fn from(line: &str) -> &'static str {
    &JOB[JOB.find(line).unwrap()..]
}

#[test]
fn the_job_itself_reads() {
    assert!(job_text("p.toml", JOB).is_ok());
}

#[test]
fn the_file() {
    check(&[
        (
            r#"units = "in""#,
            "units = ",
            &[
                "p.toml, line 1, units: a value is missing after =; write it there, as units = \"in\".",
            ],
        ),
        (
            r#"units = "in""#,
            r#"units = "inch""#,
            &[r#"p.toml, line 1, units: "inch" is not a unit; write "in" or "mm"."#],
        ),
        (
            r#"units = "in""#,
            "units = 3",
            &[r#"p.toml, line 1, units: "3" is not a unit; write "in" or "mm"."#],
        ),
        (
            r#"units = "in""#,
            r#"unit = "in""#,
            &["p.toml, line 1, unit: is not a key that is known here; did you mean units?"],
        ),
        (
            r#"units = "in""#,
            r#"colour = "in""#,
            &[
                "p.toml, line 1, colour: is not a key that is known here; known are units, shop, paddle, glue, species.",
            ],
        ),
        (
            "[shop]\nedge = \"1/8\"",
            "shop = 1",
            &["p.toml, line 2, shop: \"1\" is not a table; write [shop] and its keys below it."],
        ),
        (
            JOB,
            "",
            &[
                "p.toml, paddle: is missing: no paddle is asked for; add a [[paddle]] with name, length, loom, thickness and laminations.",
            ],
        ),
        (
            JOB,
            "units = \"mm\"\n",
            &[
                "p.toml, paddle: is missing: no paddle is asked for; add a [[paddle]] with name, length, loom, thickness and laminations.",
            ],
        ),
        (
            JOB,
            "paddle = 3\n",
            &["p.toml, line 1, paddle: \"3\" is not a list of tables; write [[paddle]]."],
        ),
        (
            JOB,
            "paddle = []\n",
            &[
                "p.toml, paddle: is missing: no paddle is asked for; add a [[paddle]] with name, length, loom, thickness and laminations.",
            ],
        ),
        (
            JOB,
            "paddle = [{ name = \"p\", length = 84, loom = 20, thickness = 1 }]\n",
            &[
                r#"p.toml, line 1, paddle "p", lamination: is missing: the paddle has no strips; add a [[paddle.lamination]] with name, thickness and runs."#,
            ],
        ),
    ]);
}

#[test]
fn the_shop() {
    check(&[
        (
            r#"edge = "1/8""#,
            r#"egde = "1/8""#,
            &["p.toml, line 3, shop, egde: is not a key that is known here; did you mean edge?"],
        ),
        (
            r#"edge = "1/8""#,
            r#"edge = "-1/8""#,
            &[r#"p.toml, line 3, shop, edge: "-1/8" is less than 0; give 0 or more."#],
        ),
        (
            r#"edge = "1/8""#,
            r#"edge = "thin""#,
            &[
                "p.toml, line 3, shop, edge: \"thin\" is not a length; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
        (
            r#"edge = "1/8""#,
            "edge = true",
            &[
                "p.toml, line 3, shop, edge: \"true\" is not a length; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
        (
            r#"edge = "1/8""#,
            r#"edge = """#,
            &[
                "p.toml, line 3, shop, edge: \"\" is empty; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
        (
            r#"edge = "1/8""#,
            "rip_kerf = -0.125",
            &[r#"p.toml, line 3, shop, rip_kerf: "-0.125" is less than 0; give 0 or more."#],
        ),
        (
            r#"edge = "1/8""#,
            r#"resaw_kerf = "1/0""#,
            &[
                "p.toml, line 3, shop, resaw_kerf: \"1/0\" has a fraction with 0 below the line; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
        (
            r#"edge = "1/8""#,
            r#"min_rip = "200 m""#,
            &[
                r#"p.toml, line 3, shop, min_rip: "200 m" is more than 100 m; check the figure and its unit."#,
            ],
        ),
        (
            r#"edge = "1/8""#,
            "edge = nan",
            &[
                "p.toml, line 3, shop, edge: \"nan\" is not a length; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
    ]);
}

#[test]
fn a_paddle() {
    check(&[
        (
            "name = \"p\"\n",
            "",
            &["p.toml, line 4, paddle 1, name: is missing; give the paddle a name."],
        ),
        (
            r#"name = "p""#,
            r#"name = " ""#,
            &[
                r#"p.toml, line 5, paddle 1, name: " " is not a name; give the paddle a name in quotes."#,
            ],
        ),
        (
            r#"name = "p""#,
            "name = 3",
            &[
                r#"p.toml, line 5, paddle 1, name: "3" is not a name; give the paddle a name in quotes."#,
            ],
        ),
        (
            r#"name = "p""#,
            "name = \"p\"\nquantity = 0",
            &[
                r#"p.toml, line 6, paddle "p", quantity: "0" is not a whole number of 1 to 10000; count them."#,
            ],
        ),
        (
            r#"name = "p""#,
            "name = \"p\"\nquantity = 10001",
            &[
                r#"p.toml, line 6, paddle "p", quantity: "10001" is not a whole number of 1 to 10000; count them."#,
            ],
        ),
        (
            r#"name = "p""#,
            "name = \"p\"\nquantity = \"two\"",
            &[
                r#"p.toml, line 6, paddle "p", quantity: "two" is not a whole number of 1 to 10000; count them."#,
            ],
        ),
        (
            "length = 84\n",
            "",
            &[r#"p.toml, line 4, paddle "p", length: is missing; give the finished length."#],
        ),
        (
            "length = 84",
            "length = 0",
            &[
                r#"p.toml, line 6, paddle "p", length: "0" is not more than 0; give the size in the job's units."#,
            ],
        ),
        (
            "length = 84",
            "lenght = 84",
            &[
                r#"p.toml, line 6, paddle "p", lenght: is not a key that is known here; did you mean length?"#,
            ],
        ),
        (
            "length = 84",
            "length = [84]",
            &[
                "p.toml, line 6, paddle \"p\", length: \"[84]\" is not a length; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
        (
            r#"loom = "20""#,
            r#"loom = "84""#,
            &[
                r#"p.toml, line 7, paddle "p", loom: "84" is not less than the paddle's length, 84; the loom is about a quarter of the length."#,
            ],
        ),
        (
            r#"loom = "20""#,
            r#"loom = "7 1""#,
            &[
                "p.toml, line 7, paddle \"p\", loom: \"7 1\" is not a length; write it as \"86 3/4\", \"7' 2 1/2\\\"\", \"0.125\", \"36 mm\" or \"0.9 m\".",
            ],
        ),
        (
            "loom = \"20\"\n",
            "",
            &[
                r#"p.toml, line 4, paddle "p", loom: is missing; give the finished length of the loom."#,
            ],
        ),
        (
            "thickness = \"1 3/8\"\n",
            "",
            &[
                r#"p.toml, line 4, paddle "p", thickness: is missing; give the thickness of the planed blank."#,
            ],
        ),
        (
            r#"thickness = "1 3/8""#,
            r#"thickness = "-1""#,
            &[
                r#"p.toml, line 8, paddle "p", thickness: "-1" is not more than 0; give the size in the job's units."#,
            ],
        ),
        (
            r#"trim = "3/8""#,
            r#"trim = "-1 mm""#,
            &[r#"p.toml, line 9, paddle "p", trim: "-1 mm" is less than 0; give 0 or more."#],
        ),
        (
            "rings = 45",
            "rings = 90.5",
            &[
                r#"p.toml, line 10, paddle "p", rings: "90.5" is not an angle of 0 to 90 degrees; give 0 (any grain) to 90 (vertical); 45 is common practice."#,
            ],
        ),
        (
            "rings = 45",
            r#"rings = "steep""#,
            &[
                r#"p.toml, line 10, paddle "p", rings: "steep" is not an angle of 0 to 90 degrees; give 0 (any grain) to 90 (vertical); 45 is common practice."#,
            ],
        ),
        (
            r#"runout = "1:15""#,
            "runout = 15",
            &[
                r#"p.toml, line 11, paddle "p", runout: "15" is not a slope of grain; write it as "1:15"."#,
            ],
        ),
        (
            r#"units = "in""#,
            "units = \"in\"\n[[paddle]]\nname = \"p\"\nlength = 80\nloom = 20\nthickness = 1\n[[paddle.lamination]]\nname = \"s\"\nthickness = 1\nruns = \"through\"",
            &[
                r#"p.toml, line 14, paddle "p", name: "p" is the name of two kinds of paddle; give each kind of paddle a name of its own."#,
            ],
        ),
    ]);
}

#[test]
fn laminations() {
    check(&[
        (
            from("[[paddle.lamination]]"),
            "",
            &[
                r#"p.toml, line 4, paddle "p", lamination: is missing: the paddle has no strips; add a [[paddle.lamination]] with name, thickness and runs."#,
            ],
        ),
        (
            from("[[paddle.lamination]]"),
            "lamination = \"two\"\n",
            &[
                r#"p.toml, line 12, paddle "p", lamination: "two" is not a list of tables; write [[paddle.lamination]]."#,
            ],
        ),
        (
            "name = \"spine\"\n",
            "",
            &[
                r#"p.toml, line 12, paddle "p", lamination 1, name: is missing; give the lamination a name."#,
            ],
        ),
        (
            r#"name = "blade""#,
            r#"name = "spine""#,
            &[
                r#"p.toml, line 18, paddle "p", lamination "spine", name: "spine" is the name of two laminations; give each lamination of a paddle a name of its own."#,
            ],
        ),
        (
            r#"name = "spine""#,
            r#"nmae = "spine""#,
            &[
                r#"p.toml, line 13, paddle "p", lamination 1, nmae: is not a key that is known here; did you mean name?"#,
            ],
        ),
        (
            "thickness = \"1/4\"\n",
            "",
            &[
                r#"p.toml, line 12, paddle "p", lamination "spine", thickness: is missing; give the dressed thickness of the strip."#,
            ],
        ),
        (
            r#"thickness = "1/4""#,
            "thickness = 0",
            &[
                r#"p.toml, line 14, paddle "p", lamination "spine", thickness: "0" is not more than 0; give the size in the job's units."#,
            ],
        ),
        (
            r#"thickness = "1/4""#,
            "thickness = 0.0",
            &[
                r#"p.toml, line 14, paddle "p", lamination "spine", thickness: "0.0" is not more than 0; give the size in the job's units."#,
            ],
        ),
        (
            r#"runs = "through""#,
            r#"runs = "both""#,
            &[
                r#"p.toml, line 15, paddle "p", lamination "spine", runs: "both" is not how a lamination can run; write "through" (loom and both blades) or "blade"."#,
            ],
        ),
        (
            "runs = \"through\"\n",
            "",
            &[
                r#"p.toml, line 12, paddle "p", lamination "spine", runs: is missing; write "through" or "blade"."#,
            ],
        ),
        (
            "centre = true",
            r#"centre = "yes""#,
            &[
                r#"p.toml, line 16, paddle "p", lamination "spine", centre: "yes" is not true or false; write true or false."#,
            ],
        ),
        (
            "centre = true",
            "centre = true\nspares = -1",
            &[
                r#"p.toml, line 17, paddle "p", lamination "spine", spares: "-1" is not a whole number of 0 to 10000; count them."#,
            ],
        ),
        (
            "centre = true",
            "spares = 10001",
            &[
                r#"p.toml, line 16, paddle "p", lamination "spine", spares: "10001" is not a whole number of 0 to 10000; count them."#,
            ],
        ),
        (
            "centre = true",
            "allow = 3",
            &[
                r#"p.toml, line 16, paddle "p", lamination "spine", allow: "3" is not a list of words; write allow = ["…", "…"]."#,
            ],
        ),
        (
            r#"species = ["ash"]"#,
            r#"species = ["ash", 3]"#,
            &[
                r#"p.toml, line 21, paddle "p", lamination "blade", species: "3" is not a word; write species = ["…", "…"]."#,
            ],
        ),
        (
            r#"species = ["ash"]"#,
            r#"species = ["", "ash"]"#,
            &[
                r#"p.toml, line 21, paddle "p", lamination "blade", species: "" is not a word; write species = ["…", "…"]."#,
            ],
        ),
        (
            r#"runs = "blade""#,
            "runs = \"blade\"\n[[paddle.lamination]]\nname = \"late\"\nthickness = \"1/2\"\nruns = \"through\"",
            &[
                r#"p.toml, line 24, paddle "p", lamination "late", runs: "through" comes after the blade lamination "blade"; write laminations from the centreline outwards: through ones before blade ones."#,
            ],
        ),
        (
            r#"runs = "blade""#,
            "runs = \"through\"\ncentre = true",
            &[
                r#"p.toml, line 21, paddle "p", lamination "blade", centre: "true" is a second strip on the centreline; only the first lamination may be the centre."#,
            ],
        ),
        (
            "centre = true\n[[paddle.lamination]]\nname = \"blade\"\nthickness = \"1/2\"\nruns = \"blade\"",
            "[[paddle.lamination]]\nname = \"late\"\nthickness = \"1/2\"\nruns = \"through\"\ncentre = true",
            &[
                r#"p.toml, line 20, paddle "p", lamination "late", centre: "true" is not on the first lamination; write the centre lamination first."#,
            ],
        ),
        (
            r#"runs = "through""#,
            r#"runs = "blade""#,
            &[
                r#"p.toml, line 16, paddle "p", lamination "spine", centre: "true" stands on a blade lamination; write runs = "through": the strip on the centreline runs through the loom."#,
            ],
        ),
    ]);
}

/// The second paddle of a class, below the job's own.
fn class_of_two(second: &str) -> String {
    format!("{JOB}[[paddle]]\n{second}")
}

#[test]
fn a_paddle_like_another_takes_what_it_does_not_say_itself() {
    let job =
        job_text("p.toml", &class_of_two("name = \"q\"\nlike = \" p \"\nlength = 80\n")).unwrap();
    let [p, q] = &job.paddles[..] else { panic!("{:?}", job.paddles) };
    let own = stripwright::paddle::Paddle {
        name: "q".to_owned(),
        length: stripwright::length::Length::INCH * 80,
        ..p.clone()
    };
    assert_eq!(*q, own);
    // How many of it are wanted is nothing that it takes, and the other one may stand below it.
    let text = JOB.replace(
        "name = \"p\"",
        "name = \"q\"\nlike = \"p\"\n[[paddle]]\nname = \"p\"\nquantity = 3",
    );
    let job = job_text("p.toml", &text).unwrap();
    assert_eq!((job.paddles[0].quantity, job.paddles[1].quantity), (1, 3));
    assert_eq!(job.paddles[0].laminations, job.paddles[1].laminations);
    // Laminations of its own are all that it has.
    let own = "name = \"q\"\nlike = \"p\"\n[[paddle.lamination]]\nname = \"all\"\nthickness = 1\nruns = \"through\"\n";
    let job = job_text("p.toml", &class_of_two(own)).unwrap();
    assert_eq!(job.paddles[1].laminations.len(), 1);
}

#[test]
fn a_paddle_like_none() {
    let cases: [(&str, &[&str]); 5] = [
        (
            "name = \"q\"\nlike = \"pp\"\n",
            &[
                "p.toml, line 24, paddle 2, like: \"pp\" is not a paddle that others can be like; did you mean p?",
            ],
        ),
        (
            "name = \"second\"\nlike = \"second\"\n",
            &[
                "p.toml, line 24, paddle 2, like: \"second\" is not a paddle that others can be like; name a paddle of this file that is not like another one itself.",
            ],
        ),
        (
            "name = \"q\"\nlike = 3\n",
            &[
                "p.toml, line 24, paddle 2, like: \"3\" is not a paddle that others can be like; name a paddle of this file that is not like another one itself.",
            ],
        ),
        (
            "like = \"p\"\n",
            &["p.toml, line 22, paddle 2, name: is missing; give the paddle a name."],
        ),
        (
            "name = \"q\"\nlike = \"p\"\nlength = 20\n",
            &[
                "p.toml, line 7, paddle \"q\", loom: \"20\" is not less than the paddle's length, 20; the loom is about a quarter of the length.",
            ],
        ),
    ];
    for (second, expected) in cases {
        let problems = job_text("p.toml", &class_of_two(second)).expect_err(second);
        let found: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
        assert_eq!(found, *expected, "{second}");
    }
    // Whatever else is wrong with it is told in the same run.
    let wrong = class_of_two("name = \"second\"\nlike = \"none\"\nlenght = 80\nrings = 100\n");
    let problems = job_text("p.toml", &wrong).unwrap_err();
    let keys: Vec<&str> = problems.0.iter().filter_map(|p| p.column.as_deref()).collect();
    assert_eq!(
        keys,
        ["paddle 2, like", "paddle \"second\", lenght", "paddle \"second\", rings"],
        "{problems}"
    );
    // What is wrong with the other one is told once.
    let wrong =
        class_of_two("name = \"q\"\nlike = \"p\"\n").replace("runs = \"blade\"", "runs = \"bald\"");
    let problems = job_text("p.toml", &wrong).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems}");
}
