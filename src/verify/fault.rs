//! What a plan breaks, where, and by how much.

use std::fmt;

/// A rule of cutting that a plan broke.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// Sizes are within what can be read, and reach forward.
    Sizes,
    /// The board is on the list.
    Board,
    /// The copy is one of the board's quantity.
    Copy,
    /// No copy of a board is opened twice.
    Twice,
    /// Sections keep clear of the board's ends.
    BoardEnd,
    /// A crosscut kerf lies between sections, which come in order.
    SectionGap,
    /// A section that is ripped is long enough to feed.
    MinRip,
    /// The first rip begins at or beyond what straightening the edge takes.
    Edge,
    /// Rips end within the usable width.
    FarEdge,
    /// A rip kerf lies between rips, which come in order; the kerf of the saw that follows a curve
    /// in a section that does.
    RipGap,
    /// A section follows a curve only where the shop has a saw for it.
    Curve,
    /// Leaves and resaw kerfs fit in the thickness.
    Thickness,
    /// More than one leaf needs a shop that resaws.
    Resaw,
    /// The rip is as wide as the strip needs.
    Width,
    /// The leaf is as thick as the strip needs.
    Leaf,
    /// A strip lies within its section.
    Inside,
    /// A crosscut kerf lies between strips, which come in order.
    StripGap,
    /// A strip has the rough length of its lamination.
    Length,
    /// The paddle and lamination are in the job.
    Lamination,
    /// A strip touches no zone that its lamination doesn't allow.
    Zone,
    /// The wood is one that the lamination takes.
    Species,
    /// The slope of grain is no steeper than the paddle takes.
    Runout,
    /// The ring angle to the blade's face is at least the paddle's.
    Rings,
    /// The sidewise bend is no more than clamps pull out.
    Sidewise,
    /// The depthwise bend is one the strip may go in with.
    Depthwise,
    /// The partners of a flipped pair match.
    Flip,
    /// A strip in hand is on the list of them.
    InHand,
    /// A strip in hand goes in once.
    UsedTwice,
    /// A strip in hand serves what it was cut for.
    CutFor,
    /// A strip in hand is no thinner than its lamination when finished, and no less deep than its
    /// paddle.
    TooThin,
    /// The strips in hand of a flipped pair match.
    FlipInHand,
    /// Every strip has a name of its own.
    Id,
    /// Every paddle counted has all its strips, and spares.
    Demand,
    /// The cost is that of the boards opened.
    Cost,
    /// The proved bound is no more than the cost.
    Proof,
    /// A file's bound and its whole parts are one figure.
    Bound,
    /// A file's status is what its figures bear out.
    Status,
    /// A file's gap is what its cost and its bound give.
    Gap,
    /// The number made is the number counted, and no more than can be made.
    Most,
    /// A file's plan costs no more than its budget.
    Budget,
    /// A file's plan makes every paddle wanted, or says what is known of the most.
    Wanted,
}

impl Rule {
    /// The rule in plain words.
    pub const fn text(self) -> &'static str {
        match self {
            Rule::Sizes => "a size must be from 0 to 100 m, and a piece must end beyond its start",
            Rule::Board => "a board must be on the list of boards",
            Rule::Copy => "a copy is numbered from 1 to the board's quantity",
            Rule::Twice => "a board is opened once",
            Rule::BoardEnd => "the ends of a board are unusable",
            Rule::SectionGap => "sections come in order with a crosscut kerf between",
            Rule::MinRip => "a section to be ripped must be long enough to feed through the saw",
            Rule::Edge => "the first rip begins beyond what straightening the edge takes off",
            Rule::FarEdge => "a rip ends within the usable width",
            Rule::RipGap => "rips come in order with the kerf of their saw between",
            Rule::Curve => "a section follows a curve only in a shop with a curve kerf",
            Rule::Thickness => "leaves and the kerfs between them fit in the board's thickness",
            Rule::Resaw => "a rip is resawn only where the shop has a resaw kerf",
            Rule::Width => "a rip is as wide as each of its strips needs",
            Rule::Leaf => "a leaf is as thick as each of its strips needs",
            Rule::Inside => "a strip lies within its section",
            Rule::StripGap => "strips of a leaf come in order with a crosscut kerf between",
            Rule::Length => "a strip has the rough length of its lamination",
            Rule::Lamination => "a strip is for a paddle and lamination of the job",
            Rule::Zone => "a strip touches no zone that its lamination doesn't allow",
            Rule::Species => "a strip is of a wood that its lamination takes",
            Rule::Runout => "the slope of grain is no steeper than the paddle takes",
            Rule::Rings => "the ring angle to the blade's face is at least the paddle's",
            Rule::Sidewise => "a sidewise bend is no more than the clamps may pull out",
            Rule::Depthwise => {
                "a depthwise bend is no more than `straight`, or than `pair` in a flipped pair"
            }
            Rule::Flip => {
                "a flipped pair is two strips of one lamination off the centreline, from one \
                 board, cut the same way up, with the same bend, each naming the other"
            }
            Rule::InHand => "a strip in hand must be on the list of strips in hand",
            Rule::UsedTwice => "a strip in hand goes in once",
            Rule::CutFor => "a strip in hand serves what it was cut for, if that was said",
            Rule::TooThin => {
                "a strip in hand is at least as thick as its lamination is when finished, and as deep \
                 as its paddle"
            }
            Rule::FlipInHand => {
                "a flipped pair of strips in hand is two of one lamination off the centreline, whose \
                 bends differ by no more than `straight`, each naming the other"
            }
            Rule::Id => "every strip has a name of its own",
            Rule::Demand => "every paddle counted has all its strips and spares",
            Rule::Cost => "the cost is that of the boards opened",
            Rule::Proof => "the proved bound is no more than the cost",
            Rule::Bound => "`bound` and `bound_parts` are one figure",
            Rule::Status => "`optimal` says that the cost is the bound, and the number the most",
            Rule::Gap => "the gap is cost less bound as a share of the cost, and 0 when optimal",
            Rule::Most => "`most` counts the paddles that the plan makes, and at least those",
            Rule::Budget => "a plan within a budget is priced, and costs no more than that",
            Rule::Wanted => {
                "a plan makes every paddle wanted, or says in `most` what is known of it"
            }
        }
    }
}

/// Where in a plan; numbers count from 1.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The board's name and copy.
    pub board: Option<(String, u32)>,
    /// Which section of the board.
    pub section: Option<usize>,
    /// Which rip of the section.
    pub rip: Option<usize>,
    /// Which leaf of the rip.
    pub leaf: Option<usize>,
    /// The strip's name.
    pub strip: Option<String>,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some((board, copy)) = &self.board else {
            return match &self.strip {
                Some(strip) => write!(f, "strip {strip} in hand"),
                None => f.write_str("the plan"),
            };
        };
        write!(f, "board {board}, copy {copy}")?;
        for (word, number) in [("section", self.section), ("rip", self.rip), ("leaf", self.leaf)] {
            if let Some(number) = number {
                write!(f, ", {word} {number}")?;
            }
        }
        self.strip.iter().try_for_each(|strip| write!(f, ", strip {strip}"))
    }
}

/// One fault of a plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {figures}; {}", rule.text())]
pub struct Fault {
    /// Where.
    pub place: Place,
    /// The rule broken.
    pub rule: Rule,
    /// What was found against what the rule asks.
    pub figures: String,
}
