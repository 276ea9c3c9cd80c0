//! Which parts of the sheet are printed.

/// A part of the sheet to print and take to the saw and the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The job: paddles, cost, what to mind before the saw, boards to open.
    Job,
    /// A sheet for each board: how it is cut.
    Boards,
    /// Labels to cut out, one for each strip.
    Labels,
    /// The sheet to write measurements on.
    Measures,
    /// How blanks are glued up: what is the same for all of them.
    Gluing,
    /// A sheet for each blank.
    Bench,
}

impl Part {
    /// All of them, in the order in which they are printed.
    pub const ALL: [Part; 6] =
        [Part::Job, Part::Boards, Part::Labels, Part::Measures, Part::Gluing, Part::Bench];

    /// What it is asked for by.
    pub fn name(self) -> &'static str {
        match self {
            Part::Job => "job",
            Part::Boards => "boards",
            Part::Labels => "labels",
            Part::Measures => "measures",
            Part::Gluing => "gluing",
            Part::Bench => "bench",
        }
    }

    /// Reads a name.
    ///
    /// # Errors
    /// All names there are.
    ///
    /// ```
    /// use stripwright::report::Part;
    /// assert_eq!(Part::parse(" Boards"), Ok(Part::Boards));
    /// assert!(Part::parse("board").is_err_and(|all| all.contains("boards, labels")));
    /// ```
    pub fn parse(text: &str) -> Result<Part, String> {
        let word = text.trim().to_lowercase();
        let names = || Part::ALL.map(Part::name).join(", ");
        let found = Part::ALL.into_iter().find(|part| part.name() == word);
        found.ok_or_else(|| format!("no part of the sheet has that name; there are {}", names()))
    }
}

/// The parts that are printed, and for whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pages {
    parts: Vec<Part>,
    /// Kinds of paddle that they are for; all where it is not said.
    only: Option<Vec<usize>>,
}

impl Pages {
    /// These, each once, in the order in which sheets are printed; all where none is named.
    pub fn of(parts: &[Part]) -> Pages {
        let named = |part: &Part| parts.is_empty() || parts.contains(part);
        Pages { parts: Part::ALL.into_iter().filter(named).collect(), only: None }
    }

    /// What is of these kinds of paddle alone, by their places in the job, as for one builder of a
    /// class: all parts but the boards where none is named, since a board is cut for everyone at once.
    pub fn only(parts: &[Part], paddles: Vec<usize>) -> Pages {
        let own: Vec<Part> = Part::ALL.into_iter().filter(|&part| part != Part::Boards).collect();
        let pages = Pages::of(if parts.is_empty() { &own } else { parts });
        Pages { only: Some(paddles), ..pages }
    }

    /// Is this one printed?
    pub fn has(&self, part: Part) -> bool {
        self.parts.contains(&part)
    }

    /// Are they for this kind of paddle?
    pub fn serves(&self, paddle: usize) -> bool {
        self.only.as_ref().is_none_or(|only| only.contains(&paddle))
    }

    /// The kinds of paddle that they are for, where not for all.
    pub(crate) fn whose(&self) -> Option<&[usize]> {
        self.only.as_deref()
    }
}

impl Default for Pages {
    fn default() -> Self {
        Pages::of(&[])
    }
}
