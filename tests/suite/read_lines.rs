//! boards.csv: problems name the line that an editor shows.

use stripwright::length::Units;
use stripwright::read::{List, boards_text};

fn lines(text: &str) -> Vec<usize> {
    let problems = boards_text("b.csv", text, Units::Inch, List::OnHand).unwrap_err();
    problems.0.iter().map(|p| p.line.unwrap()).collect()
}

#[test]
fn lines_are_counted_as_an_editor_does() {
    let header = "board,species,length,width,thickness";
    assert_eq!(lines(&format!("{header}\na,ash,x,1,1\nb,ash,x,1,1\n")), [2, 3]);
    assert_eq!(lines(&format!("{header}\r\na,ash,x,1,1\r\nb,ash,x,1,1\r\n")), [2, 3]);
    assert_eq!(lines(&format!("\n\n{header}\n\n\na,ash,x,1,1\n,,\n\nb,ash,x,1,1")), [6, 9]);
    assert_eq!(lines(&format!("\r\n{header}\r\n\r\na,ash,x,1,1\r\n\r\nb,ash,x,1,1")), [4, 6]);
}
