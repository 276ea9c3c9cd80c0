//! Every problem of boards.csv, word for word.

use stripwright::length::Units;
use stripwright::read::{List, boards_text};

type Case = (&'static str, &'static [&'static str]);

fn check(list: List, cases: &[Case]) {
    for (text, expected) in cases {
        let problems = boards_text("b.csv", text, Units::Inch, list).expect_err(text);
        let found: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
        assert_eq!(found, *expected, "{text}");
    }
}

#[test]
fn problems_are_counted() {
    let text = "board,species,length,width,thickness\na,ash,x,6,1\n";
    let one = boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap_err().to_string();
    assert!(one.ends_with(".\n1 problem."), "{one}");
    let two = boards_text("b.csv", &text.replace('6', "y"), Units::Inch, List::OnHand);
    let two = two.unwrap_err().to_string();
    assert!(two.ends_with(".\n2 problems."), "{two}");
}

#[test]
fn the_file() {
    check(
        List::OnHand,
        &[
            (
                "",
                &[
                    "b.csv: is empty; begin with a line of column names: board,species,length,width,thickness.",
                ],
            ),
            (
                "\n \n",
                &[
                    "b.csv: is empty; begin with a line of column names: board,species,length,width,thickness.",
                ],
            ),
            (
                "board,species,length,width,thickness\n",
                &[
                    "b.csv: lists no board; add a line with a board's name, species, length, width and thickness.",
                ],
            ),
            (
                "name,species,length,width,thickness\na,ash,90,6,1\n",
                &[r#"b.csv, line 1, column name: "name" is not a column; did you mean board?"#],
            ),
            (
                "length\n90\n",
                &[
                    "b.csv, line 1, column board: is missing from the header; begin with a line of column names: board,species,length,width,thickness.",
                ],
            ),
        ],
    );
}

#[test]
fn columns() {
    check(
        List::OnHand,
        &[
            (
                "board,species,lenght,width,thickness\na,ash,90,6,1\n",
                &[
                    r#"b.csv, line 1, column lenght: "lenght" is not a column; did you mean length?"#,
                ],
            ),
            (
                "board,species,length,width,thickness,Pith-Acros\na,ash,90,6,1,1\n",
                &[
                    r#"b.csv, line 1, column pith_acros: "Pith-Acros" is not a column; did you mean pith_across?"#,
                ],
            ),
            (
                "board,species,length,width,thickness,colour\na,ash,90,6,1,red\n",
                &[
                    r#"b.csv, line 1, column colour: "colour" is not a column; known are board, species, length, width, thickness, rings, pith_across, pith_depth, crook, bow, runout, rises, price, quantity, edge, far_edge, board_end, offcut, grade, zone, from, to, near, far."#,
                ],
            ),
            (
                "board,species,width,thickness\na,ash,6,1\nb,ash,6,1\n",
                &["b.csv, line 1, column length: is missing from the header; add a column length."],
            ),
            (
                "board,species,length,width,thickness,Length\na,ash,90,6,1,90\n",
                &[
                    r#"b.csv, line 1, column length: "Length" stands twice in the header; keep one of the two."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,1,,,3\n",
                &[
                    r#"b.csv, line 2, column 8: "3" stands beyond the last column: the line has 8 cells, the header 5 columns, and a decimal comma may be the cause; write decimals with a point, or part the cells of the list by semicolons; put quotes around words that hold the separator."#,
                ],
            ),
            (
                "board,species,length,width,thickness,size\na,ash,90,6,1,2x6\n",
                &[
                    r#"b.csv, line 1, column size: "size" is not a column; only a yard's list has it (buy, odds); here give width and thickness as measured."#,
                ],
            ),
        ],
    );
}

#[test]
fn sizes() {
    check(
        List::OnHand,
        &[
            (
                "board,species,length,width,thickness\na,,90,6,1\n",
                &["b.csv, line 2, column species: is missing; name the wood, as white ash."],
            ),
            (
                "board,species,length,width,thickness\na,ash,,6,1\n",
                &[
                    "b.csv, line 2, column length: is missing; give the actual length, not the nominal one.",
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,,1\n",
                &[
                    "b.csv, line 2, column width: is missing; give the actual width, not the nominal one.",
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,\n",
                &[
                    "b.csv, line 2, column thickness: is missing; give the actual thickness, not the nominal one.",
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,12x,6,1\n",
                &[
                    r#"b.csv, line 2, column length: "12x" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,1/0\n",
                &[
                    r#"b.csv, line 2, column thickness: "1/0" has a fraction with 0 below the line; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,-90,6,1\n",
                &[
                    r#"b.csv, line 2, column length: "-90" is not more than 0; give the actual size."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,0,1\n",
                &[r#"b.csv, line 2, column width: "0" is not more than 0; give the actual size."#],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,0 mm\n",
                &[
                    r#"b.csv, line 2, column thickness: "0 mm" is not more than 0; give the actual size."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,101 m,6,1\n",
                &[
                    r#"b.csv, line 2, column length: "101 m" is more than 100 m; check the figure and its unit."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,99999999999999999999,6,1\n",
                &[
                    r#"b.csv, line 2, column length: "99999999999999999999" is more than 100 m; check the figure and its unit."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,1e9\n",
                &[
                    r#"b.csv, line 2, column thickness: "1e9" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,\"5,5\",1\n",
                &[
                    r#"b.csv, line 2, column width: "5,5" is not a length; write it with a point, 5.5."#,
                ],
            ),
            (
                "board,species,length,width,thickness\n,ash,90,6,1\n",
                &["b.csv, line 2, column board: is empty; repeat the board's name on every line."],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,1\na,ash,90,6,1\n",
                &[
                    r#"b.csv, line 3, column board: "a" was given its sizes on line 2 already; leave the sizes empty on a zone's line, or give the board another name."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,,,,\n",
                &[
                    r#"b.csv, line 2, column board: "a" has no sizes; give its species, length, width and thickness."#,
                ],
            ),
            (
                "board,species,length,width,thickness\na,ash,90,6,\"1 7/16\"\"\nb,ash,90,6,1\n",
                &[
                    "b.csv, line 2, column thickness: \"1 7/16\"\\nb,ash,90,6,1\\n\" runs over the end of the line; close the quotes, or write an inch mark inside quotes twice: \"1 7/16\"\"\".",
                ],
            ),
        ],
    );
}

#[test]
fn grain_bends_and_the_rest() {
    check(
        List::OnHand,
        &[
            (
                "board,species,length,width,thickness,rings\na,ash,90,6,1,91\n",
                &[
                    r#"b.csv, line 2, column rings: "91" is not an angle of 0 to 90 degrees; give 0 (flat) to 90 (vertical), or the word flat, rift or vertical."#,
                ],
            ),
            (
                "board,species,length,width,thickness,rings\na,ash,90,6,1,-1\n",
                &[
                    r#"b.csv, line 2, column rings: "-1" is not an angle of 0 to 90 degrees; give 0 (flat) to 90 (vertical), or the word flat, rift or vertical."#,
                ],
            ),
            (
                "board,species,length,width,thickness,rings\na,ash,90,6,1,steep\n",
                &[
                    r#"b.csv, line 2, column rings: "steep" is not an angle of 0 to 90 degrees; give 0 (flat) to 90 (vertical), or the word flat, rift or vertical."#,
                ],
            ),
            (
                "board,species,length,width,thickness,rings,pith_across,pith_depth\na,ash,90,6,1,45,3,1\n",
                &[
                    r#"b.csv, line 2, column rings: "45" is given beside the pith; keep the ring angle, or the two measures of the pith."#,
                ],
            ),
            (
                "board,species,length,width,thickness,rings,pith_across\na,ash,90,6,1,45,3\n",
                &[
                    r#"b.csv, line 2, column rings: "45" is given beside the pith; keep the ring angle, or the two measures of the pith."#,
                ],
            ),
            (
                "board,species,length,width,thickness,pith_across,pith_depth\na,ash,90,6,1,3,\n",
                &[
                    "b.csv, line 2, column pith_depth: is missing beside pith_across; give how far down from the marked face the pith lies.",
                ],
            ),
            (
                "board,species,length,width,thickness,pith_across,pith_depth\na,ash,90,6,1,,3\n",
                &[
                    "b.csv, line 2, column pith_across: is missing beside pith_depth; give how far across from the reference edge the pith lies.",
                ],
            ),
            (
                "board,species,length,width,thickness,pith_across,pith_depth\na,ash,90,6,1,3,deep\n",
                &[
                    r#"b.csv, line 2, column pith_depth: "deep" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
            (
                "board,species,length,width,thickness,crook\na,ash,90,6,1,30\n",
                &[
                    r#"b.csv, line 2, column crook: "30" is more than a quarter of the length; measure the greatest gap to a straight line from end to end."#,
                ],
            ),
            (
                "board,species,length,width,thickness,bow\na,ash,90,6,1,-23\n",
                &[
                    r#"b.csv, line 2, column bow: "-23" is more than a quarter of the length; measure the greatest gap to a straight line from end to end."#,
                ],
            ),
            (
                "board,species,length,width,thickness,bow\na,ash,90,6,1,some\n",
                &[
                    r#"b.csv, line 2, column bow: "some" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
            (
                "board,species,length,width,thickness,runout\na,ash,90,6,1,20\n",
                &[
                    r#"b.csv, line 2, column runout: "20" is not a slope of grain; write it as 1:20 or 1/20."#,
                ],
            ),
            (
                "board,species,length,width,thickness,runout\na,ash,90,6,1,1:0\n",
                &[
                    r#"b.csv, line 2, column runout: "1:0" is not a slope of grain; write it as 1:20 or 1/20."#,
                ],
            ),
            (
                "board,species,length,width,thickness,rises\na,ash,90,6,1,up\n",
                &[
                    r#"b.csv, line 2, column rises: "up" is not a direction; write far if the grain comes up to the marked face towards the far end, marked if towards the marked end."#,
                ],
            ),
            (
                "board,species,length,width,thickness,price\na,ash,90,6,1,-3\n",
                &[
                    r#"b.csv, line 2, column price: "-3" is not a price; write it as 12.50: digits, a point, at most four places, no sign."#,
                ],
            ),
            (
                "board,species,length,width,thickness,price\na,ash,90,6,1,\"12,50\"\n",
                &[
                    r#"b.csv, line 2, column price: "12,50" is not a price; write it with a point, 12.50."#,
                ],
            ),
            (
                "board,species,length,width,thickness,price\na,ash,90,6,1,1.23456\n",
                &[
                    r#"b.csv, line 2, column price: "1.23456" is not a price; write it as 12.50: digits, a point, at most four places, no sign."#,
                ],
            ),
            (
                "board,species,length,width,thickness,price\na,ash,90,6,1,9999999999\n",
                &[
                    r#"b.csv, line 2, column price: "9999999999" is more than 1000000000; check the figure."#,
                ],
            ),
            (
                "board,species,length,width,thickness,quantity\na,ash,90,6,1,0\n",
                &[
                    r#"b.csv, line 2, column quantity: "0" is not a whole number of 1 to 10000; count the boards."#,
                ],
            ),
            (
                "board,species,length,width,thickness,quantity\na,ash,90,6,1,2.5\n",
                &[
                    r#"b.csv, line 2, column quantity: "2.5" is not a whole number of 1 to 10000; count the boards."#,
                ],
            ),
            (
                "board,species,length,width,thickness,quantity\na,ash,90,6,1,10001\n",
                &[
                    r#"b.csv, line 2, column quantity: "10001" is not a whole number of 1 to 10000; count the boards."#,
                ],
            ),
        ],
    );
}

#[test]
fn zones() {
    check(
        List::OnHand,
        &[
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,,,,,knot,1,2,1,2\na,ash,90,6,1,,,,,\n",
                &[
                    r#"b.csv, line 2, column board: "a" has a zone before its sizes; first give its species, length, width and thickness."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,,,,,\nb,,,,,knot,1,2,1,2\n",
                &[
                    r#"b.csv, line 3, column board: "b" has a zone before its sizes; first give its species, length, width and thickness."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,5,4,,\n",
                &[
                    r#"b.csv, line 2, column to: "4" is not more than from, 5; give the smaller figure as from."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,,,,,\na,,,,,knot,,,3,2\n",
                &[
                    r#"b.csv, line 3, column far: "2" is not more than near, 3; give the smaller figure as near."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,5,5,,\n",
                &[
                    r#"b.csv, line 2, column to: "5" leaves the zone no length, and no margin is kept around knot; measure where it ends, or give along for knot under [shop.margin] in paddles.toml."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,,,6,\n",
                &[
                    r#"b.csv, line 2, column far: "6" leaves the zone no width, and no margin is kept around knot; measure where it ends, or give across for knot under [shop.margin] in paddles.toml."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,5,91,,\n",
                &[
                    r#"b.csv, line 2, column to: "91" lies off the board, which is 90" long; measure from the marked end and the reference edge."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,-1,5,,\n",
                &[
                    r#"b.csv, line 2, column from: "-1" lies off the board, which is 90" long; measure from the marked end and the reference edge."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,,,1,6 1/16\n",
                &[
                    r#"b.csv, line 2, column far: "6 1/16" lies off the board, which is 6" wide; measure from the marked end and the reference edge."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,knot,here,there,,\n",
                &[
                    r#"b.csv, line 2, column from: "here" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                    r#"b.csv, line 2, column to: "there" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,,1,2,,\n",
                &[
                    "b.csv, line 2, column zone: is empty beside its measures; say what it is: knot, check, split, wane, pitch, sap, stain, rot, pith or any word.",
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,,,,,\na,,,,,,1,2,,\n",
                &[
                    "b.csv, line 3, column zone: is empty on a board's further line; say what it is: knot, check, split, wane, pitch, sap, stain, rot, pith or any word.",
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,,,,,\na,,,,,,,,,\n",
                &[
                    "b.csv, line 3, column zone: is empty on a board's further line; say what it is: knot, check, split, wane, pitch, sap, stain, rot, pith or any word.",
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far,quantity\na,ash,90,6,1,,,,,,2\na,,,,,knot,1,2,,,\n",
                &[
                    r#"b.csv, line 3, column zone: "knot" marks a board whose quantity is more than 1; give each board that has zones a line and a name of its own."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far,quantity\na,ash,90,6,1,knot,1,2,,,2\n",
                &[
                    r#"b.csv, line 2, column zone: "knot" marks a board whose quantity is more than 1; give each board that has zones a line and a name of its own."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far,quantity\na,ash,90,6,1,,,,,,\na,,,,,knot,1,2,,,2\n",
                &[
                    r#"b.csv, line 3, column quantity: "2" stands on a zone's line; a board with zones is one of its kind: write 1 or nothing."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far,rings\na,ash,90,6,1,,,,,,\na,,,,,knot,1,2,,,45\n",
                &[
                    r#"b.csv, line 3, column rings: "45" stands on a zone's line; write it on the board's first line."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,6,1,,,,,\na,ash,90,6,1,knot,1,2,,\n",
                &[
                    r#"b.csv, line 3, column board: "a" was given its sizes on line 2 already; leave the sizes empty on a zone's line, or give the board another name."#,
                ],
            ),
            (
                "board,species,length,width,thickness,zone,from,to,near,far\na,ash,90,wide,1,knot,1,2,,\na,,,,,knot,x,2,,\n",
                &[
                    r#"b.csv, line 2, column width: "wide" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                    r#"b.csv, line 3, column from: "x" is not a length; write it as 86 3/4, 7' 2 1/2", 0.125, 36 mm or 0.9 m."#,
                ],
            ),
        ],
    );
}

#[test]
fn lists_of_a_yard() {
    check(
        List::Yard,
        &[
            (
                "board,species,length,width,thickness,size\na,ash,90,6,,2x6\n",
                &[
                    r#"b.csv, line 2, column width: "6" stands beside a nominal size; give the nominal size or the actual one."#,
                ],
            ),
            (
                "board,species,length,size\na,ash,90,2x7\n",
                &[
                    r#"b.csv, line 2, column size: "2x7" is not a nominal size of PS 20; write it as 1x6, 5/4x4 or 2x8; hardwood as 4/4, 5/4, 6/4 or 8/4 with its width as measured."#,
                ],
            ),
            (
                "board,species,length,width,thickness,price_per_foot\na,ash,90,6,1,4\n",
                &[
                    "b.csv, line 2, column foot: does not say which foot the price is for; write board for a price by the board foot, running for one by the running foot.",
                ],
            ),
            (
                "board,species,length,width,thickness,price_per_foot,foot\na,ash,90,6,1,4,square\n",
                &[
                    r#"b.csv, line 2, column foot: "square" does not say which foot the price is for; write board for a price by the board foot, running for one by the running foot."#,
                ],
            ),
            (
                "board,species,length,width,thickness,price_per_foot,foot\na,ash,100 m,100 m,100 m,999999999,board\n",
                &[
                    r#"b.csv, line 2, column price_per_foot: "999999999" comes to too much; check the figure, and the board's sizes."#,
                ],
            ),
        ],
    );
}
