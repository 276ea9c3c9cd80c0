//! On which line of a text a place is.

/// The beginnings of a text's lines, found once: a search through the text for each of a hundred
/// thousand problems would take minutes.
pub struct Lines(Vec<usize>);

impl Lines {
    /// The lines of a text.
    pub fn of(text: &str) -> Self {
        Lines(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(at, _)| at).collect())
    }

    /// The line, from 1, of the byte at a place.
    pub fn line(&self, at: usize) -> usize {
        self.0.partition_point(|&end| end < at) + 1
    }
}

#[cfg(test)]
mod tests {
    use super::Lines;

    #[test]
    fn a_line_is_the_ends_of_lines_before_it_and_one() {
        let text = "a\n\nbc\nd";
        let lines = Lines::of(text);
        for at in 0..=text.len() + 3 {
            let count = text.bytes().take(at).filter(|&b| b == b'\n').count() + 1;
            assert_eq!(lines.line(at), count, "{at}");
        }
    }
}
