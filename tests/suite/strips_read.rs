//! strips.csv: what is read, what is refused, and that what is written reads back (MODEL 10).

use proptest::prelude::*;
use stripwright::{
    Angle, End, Job, Length, Species, StripInHand, Units, Weight, job_text, strips_csv, strips_text,
};

fn job(units: &str) -> Job {
    let text = format!(
        "units = \"{units}\"\n[[paddle]]\nname = \"touring\"\nlength = \"84 in\"\nloom = \"20 in\"\nthickness = \"1 3/8 in\"\n\
         [[paddle.lamination]]\nname = \"side\"\nthickness = \"1/2 in\"\nruns = \"through\"\n\
         [[paddle.lamination]]\nname = \"blade\"\nthickness = \"5/8 in\"\nruns = \"blade\"\n"
    );
    job_text("paddles.toml", &text).unwrap_or_else(|p| panic!("{p}"))
}

fn problems(text: &str) -> String {
    strips_text("strips.csv", text, &job("in")).expect_err("wrong").to_string()
}

#[test]
fn every_column_is_read() {
    let text = "Strip;Species;Length;Thickness;Depth;Rings;Sidewise;Depthwise;Rises;Weight;Paddle;Lamination\n\
                B.4;White Ash;86 3/4;9/16;1 7/16;rift;-1/8;0.05;a;12 oz;touring;side\n\n\
                B.5;sitka;900 mm;16 mm;37 mm;;;;;;;\n";
    let rack = strips_text("strips.csv", text, &job("in")).unwrap_or_else(|p| panic!("{p}"));
    let full = StripInHand {
        rings: Some(Angle::RIFT),
        sidewise: Length::inch_fraction(-1, 8),
        depthwise: Length::inch_fraction(1, 20),
        rises: Some(End::A),
        weight: Some(Weight::from_parts(12 * Weight::OUNCE.parts())),
        paddle: Some("touring".to_owned()),
        lamination: Some("side".to_owned()),
        ..StripInHand::plain(
            "B.4",
            Species::new("White Ash"),
            [
                Length::inch_fraction(347, 4),
                Length::inch_fraction(9, 16),
                Length::inch_fraction(23, 16),
            ],
        )
    };
    let plain = StripInHand::plain(
        "B.5",
        Species::new("sitka"),
        [900, 16, 37].map(|n| Length::from_units(n * 80_000)),
    );
    assert_eq!(rack.strips, [full, plain]);
    assert!(rack.doubts.is_empty());
}

#[test]
fn every_problem_is_told_in_one_run_with_line_column_value_rule_and_cure() {
    let text = "strip,species,length,thickness,depth,rings,sidewise,rises,weight,colour\n\
                A,ash,86 3/4,9/16,1 7/16,flatt,,up,,\n\
                A,ash,long,9/16,1 7/16,,,,heavy,\n\
                C,,86,0,1 7/16,,50,,,\n\
                ,ash,86,1/2,1,,,,,\n\
                D,ash,86,1/2,1,,,,,red,9\n";
    let told = problems(text);
    for line in [
        "strips.csv, line 1, column colour: \"colour\" is not a column; known are strip, species,",
        "strips.csv, line 2, column rings: \"flatt\" is not an angle of 0 to 90 degrees; give 0",
        "strips.csv, line 2, column rises: \"up\" is not an end; write A if",
        "strips.csv, line 3, column strip: \"A\" stands on line 2 already; a strip is one",
        "strips.csv, line 3, column length: \"long\" is not a length; write it as",
        "strips.csv, line 3, column weight: \"heavy\" is not a weight above 0; write it as 12.5",
        "strips.csv, line 4, column species: is missing; name the wood",
        "strips.csv, line 4, column thickness: \"0\" is not more than 0; measure",
        "strips.csv, line 4, column sidewise: \"50\" is more than a quarter of the length; measure",
        "strips.csv, line 5, column strip: is empty; give every strip a name",
        "strips.csv, line 6, column 11: \"9\" stands beyond the last column: the line has 11 cells",
        "11 problems.",
    ] {
        assert!(told.contains(line), "{line}\n{told}");
    }
}

#[test]
fn a_strip_thinner_than_finished_for_what_it_names_is_refused() {
    let head = "strip,species,length,thickness,depth,paddle,lamination\n";
    let told = problems(&format!("{head}A,ash,86 3/4,31/64,1 3/8,touring,side\n"));
    assert!(
        told.starts_with(
            "strips.csv, line 2, column thickness: \"31/64\" is less than side of touring is when finished, 1/2\"; measure it again; if it is so, leave its paddle and lamination empty"
        ),
        "{told}"
    );
    let told = problems(&format!("{head}A,ash,86 3/4,1/2,1 23/64,,side\n"));
    assert!(
        told.contains(
            "column depth: \"1 23/64\" is less than side of touring is when finished, 1 3/8\""
        ),
        "{told}"
    );
    // Naming nothing, it serves what it fits, if anything.
    let text = format!("{head}A,ash,86 3/4,31/64,1 3/8,,\n");
    assert!(strips_text("strips.csv", &text, &job("in")).is_ok());
}

#[test]
fn a_paddle_or_lamination_of_another_job_is_told_of() {
    let head = "strip,species,length,thickness,depth,paddle,lamination\n";
    let text = format!(
        "{head}A,ash,86 3/4,1/2,1 3/8,tourin,side\nB,ash,86,1/2,1 3/8,touring,spine\nC,ash,86,1/2,1 3/8,storm,blade\n"
    );
    let rack = strips_text("strips.csv", &text, &job("in")).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(rack.strips.len(), 3);
    let told: Vec<String> = rack.doubts.iter().map(ToString::to_string).collect();
    assert!(told[0].contains("line 2, column paddle: \"tourin\" is not a paddle of this job; it serves nothing; did you mean touring?"), "{told:?}");
    assert!(
        told[1].contains(
            "line 3, column lamination: \"spine\" is not a lamination of touring; it serves nothing"
        ),
        "{told:?}"
    );
    assert!(told[2].contains("\"storm\" is not a paddle of this job"), "{told:?}");
}

#[test]
fn a_header_alone_is_an_empty_rack_and_nothing_is_none() {
    let head = "strip,species,length,thickness,depth\n";
    assert_eq!(strips_text("s", head, &job("in")).map(|r| r.strips.len()), Ok(0));
    assert!(problems("").contains("is empty; begin with a line of column names"));
    assert!(problems("A.1,ash,86,1/2,1\n").contains("does not begin with the names of columns"));
    let told = problems("name,wood,length (in),thick,depth\nA,ash,86,1/2,1\n");
    assert!(told.contains("did you mean strip?") && told.contains("write length alone"), "{told}");
    assert!(
        problems("strip,species,length,depth\nA,ash,9,1\n")
            .contains("column thickness: is missing from the header")
    );
}

proptest! {
    #[test]
    fn what_is_written_reads_back(
        sizes in prop::collection::vec([1_i64..=8_000_000_000, 1..=90_000_000, 1..=90_000_000], 0..6),
        bends in prop::collection::vec((-1000_i64..=1000, -1000_i64..=1000), 6),
        rest in prop::collection::vec((prop::option::of(0_i64..=90_000_000), 0..3_u8, prop::option::of(1_i64..=1_000_000_000_000_000)), 6),
        mm in any::<bool>(),
    ) {
        let job = job(if mm { "mm" } else { "in" });
        let strips: Vec<StripInHand> = sizes.iter().enumerate().map(|(i, &size)| StripInHand {
            rings: rest[i].0.and_then(Angle::from_millionths),
            sidewise: Length::from_units(bends[i].0 * size[0] / 4000),
            depthwise: Length::from_units(bends[i].1 * size[0] / 4000),
            rises: [None, Some(End::A), Some(End::B)][usize::from(rest[i].1)],
            weight: rest[i].2.map(Weight::from_parts),
            ..StripInHand::plain(&format!("=\"B, {i}"), Species::new("white, ash"), size.map(Length::from_units))
        }).collect();
        let text = strips_csv(&strips, job.units);
        let read = strips_text("s", &text, &job).unwrap_or_else(|p| panic!("{p}\n{text}"));
        prop_assert_eq!(read.strips, strips);
    }

    #[test]
    fn an_exact_length_reads_back(units in -8_000_000_000_i64..=8_000_000_000) {
        let length = Length::from_units(units);
        for unit in [Units::Inch, Units::Mm] {
            prop_assert_eq!(Length::parse(&length.exact(unit), unit), Ok(length));
        }
    }
}
