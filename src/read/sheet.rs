//! A spreadsheet's text as records with the lines they stand on.

use csv::StringRecord;
use std::ops::ControlFlow;

/// Takes records one after another with their lines, from 1, until it breaks off; records with
/// nothing in them are left out.
///
/// # Errors
/// Why the text is not CSV.
pub(super) fn each(
    text: &str,
    mut take: impl FnMut(usize, &StringRecord) -> ControlFlow<()>,
) -> Result<(), csv::Error> {
    let text = text.trim_start_matches('\u{FEFF}').replace("\r\n", "\n").replace('\r', "\n");
    // Spreadsheets may say in the first line which separator they mean; that line is no record.
    let said = text.lines().next().and_then(separator);
    let mut csv = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(said.unwrap_or_else(|| delimiter(&text)))
        .from_reader(text.as_bytes());
    // The reader's own count is off after blank lines: it gives where it began to look.
    let (mut line, mut counted) = (1, 0);
    let mut record = StringRecord::new();
    while csv.read_record(&mut record)? {
        let begun = record.position().map_or(counted, |p| usize::try_from(p.byte()).unwrap_or(0));
        let bytes = text.as_bytes();
        let blank = bytes.iter().skip(begun).take_while(|&&b| b == b'\n').count();
        let at = (begun + blank).min(bytes.len()).max(counted);
        line += bytes[counted..at].iter().filter(|&&b| b == b'\n').count();
        counted = at;
        if said.is_some() && line == 1 {
            continue;
        }
        if record.iter().any(|cell| cell.starts_with('\'')) {
            record = record.iter().map(bare).collect();
        }
        if record.iter().any(|cell| !cell.trim().is_empty()) && take(line, &record).is_break() {
            break;
        }
    }
    Ok(())
}

/// Are cells parted by commas, so that a comma in a number is one in quotes?
pub(super) fn parted_by_commas(text: &str) -> bool {
    let text = text.trim_start_matches('\u{FEFF}');
    let said = text.lines().next().and_then(separator);
    said.unwrap_or_else(|| delimiter(text)) == b','
}

/// What stands in a column, with the lines, as far as the list can be read at all.
pub fn names_in(text: &str, column: &str) -> Vec<(usize, String)> {
    let mut place = None;
    let mut found = Vec::new();
    // What is wrong with the list is told where it is read in earnest.
    let _ = each(text, |line, record| {
        let Some(at) = place else {
            place = record.iter().position(|cell| cell.trim().eq_ignore_ascii_case(column));
            return if place.is_some() {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            };
        };
        if let Some(name) = record.get(at).map(str::trim).filter(|name| !name.is_empty()) {
            found.push((line, name.to_owned()));
        }
        ControlFlow::Continue(())
    });
    found
}

/// A name so that no spreadsheet takes it for a formula: with an apostrophe before it, where it
/// begins as one. Read back it is as it was.
pub fn guarded(name: &str) -> String {
    if formula(name) { format!("'{name}") } else { name.to_owned() }
}

/// A cell without the apostrophe that keeps it from being a formula.
fn bare(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| formula(rest)).unwrap_or(cell)
}

/// Does a text begin as a formula does, apostrophes before it or not? The wide forms are taken for
/// the others by spreadsheets that expect them.
fn formula(text: &str) -> bool {
    let text = text.trim_start_matches('\'').trim_start();
    text.starts_with(['=', '+', '-', '@', '\u{FF1D}', '\u{FF0B}', '\u{FF0D}', '\u{FF20}'])
}

/// The separator of a line `sep=;`.
fn separator(line: &str) -> Option<u8> {
    let line = line.trim().trim_matches('"').to_ascii_lowercase();
    let rest = line.strip_prefix("sep=")?;
    match rest.as_bytes() {
        [] => Some(b'\t'),
        [one] if one.is_ascii_punctuation() => Some(*one),
        _ => None,
    }
}

/// The separator that the header uses most: comma, semicolon or tab.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().find(|l| !l.trim().is_empty()).unwrap_or_default();
    let count = |c: char| header.matches(c).count();
    [(b',', ','), (b';', ';'), (b'\t', '\t')]
        .into_iter()
        .max_by_key(|&(byte, c)| (count(c), byte == b','))
        .map_or(b',', |(byte, _)| byte)
}

#[cfg(test)]
mod tests {
    use super::{bare, guarded};

    #[test]
    fn a_name_that_begins_as_a_formula_reads_back_as_it_was() {
        for name in [
            "\u{FF1D}A1",
            "=A1",
            "-2",
            "+",
            "@x",
            " =A1",
            "'=A1",
            "''-",
            "' @",
            "oak",
            "'oak",
            "'",
            "",
        ] {
            let cell = guarded(name);
            assert_eq!(bare(&cell), name);
            assert!(!cell.starts_with(['=', '+', '-', '@', ' ']), "{cell}");
        }
        assert_eq!(guarded("=A1"), "'=A1");
        assert_eq!(bare("'oak"), "'oak");
    }
}
