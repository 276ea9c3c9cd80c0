//! How much memory the sections of one board may take.
//!
//! Of a long bent board and odd lengths there is no end of places where sections begin and end.
//! Where they would take more than there is room for, fewer are tried: what is cut so can be cut, and
//! what is proved comes from one range of all places, or nothing is. Bytes are counted as sections
//! are added, so what is tried does not depend on the machine.

use crate::cut::across::Graph;
use crate::cut::board::SectionCuts;
use crate::cut::leaf::Profile;
use crate::cut::sections::Builder;
use crate::cut::serve::Obstacle;
use std::rc::Rc;

/// Bytes that the sections of a board may take, about, with what they are made of. A board of 12 m
/// and a dozen odd lengths would take gigabytes.
const ROOM: usize = 48 << 20;

/// Which sections are tried.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Tried {
    All,
    /// As many as where there are many lengths.
    Fewer,
    /// None that is straight-lined; and of the others the first, as many as there is room for.
    Fewest,
}

impl Builder<'_> {
    /// Works out the sections; where they would fill the memory, fewer of them.
    pub(super) fn sections(&mut self) {
        if self.served.items.is_empty() || self.low + self.shortest > self.high {
            return;
        }
        let of_form = |f| self.served.obstacles.iter().map(move |o: &Obstacle| o.concerns(f));
        self.concerned = Rc::new(self.served.forms.iter().flat_map(of_form).collect());
        let complete = self.complete;
        for tried in [Tried::All, Tried::Fewer, Tried::Fewest] {
            self.sections_of(tried);
            if !self.full() || self.stopped() {
                return;
            }
            // Over ranges, and on a straight board, there are no fewer that tell as much.
            let last = !self.thinned && !self.bent() || self.places.ranges;
            if last || tried == Tried::Fewest {
                // What is proved of a thinned board comes from elsewhere.
                self.complete &= self.thinned;
                return;
            }
            self.complete = complete;
            self.clear();
        }
    }

    /// Could sections of the board be straight-lined or flattened?
    fn bent(&self) -> bool {
        self.served.modes.iter().any(|m| m.flattened || m.lined)
    }

    /// Do the sections take as much memory as they may? Over ranges most are needless, so that there
    /// is more room while they are worked out.
    pub(super) fn full(&self) -> bool {
        let room = self.places.room.unwrap_or(ROOM);
        self.used > if self.places.ranges { room.max(ROOM) } else { room }
    }

    /// Over ranges, do those that are needed take more than they may? Then nothing is proved with them.
    pub(super) fn too_many(&self) -> bool {
        let used: usize = self.sections.iter().map(SectionCuts::size).sum::<usize>()
            + self.graphs.iter().map(Graph::size).sum::<usize>()
            + self.profiles.iter().map(Profile::size).sum::<usize>();
        self.places.ranges && used > self.places.room.unwrap_or(ROOM)
    }

    /// Forgets all sections, and what they are made of.
    pub(super) fn clear(&mut self) {
        self.sections.clear();
        self.graphs.clear();
        self.profiles.clear();
        self.by_profile.clear();
        self.by_row.clear();
        self.by_leaf.clear();
        self.used = 0;
    }
}

/// Keeps the graphs that sections are of.
pub(super) fn keep_used(sections: &mut [SectionCuts], graphs: &mut Vec<Graph>) {
    let mut used = vec![false; graphs.len()];
    sections.iter().for_each(|s| used[s.graph as usize] = true);
    let places: Vec<u32> = used
        .iter()
        .scan(0, |next, &used| {
            let place = *next;
            *next += u32::from(used);
            Some(place)
        })
        .collect();
    sections.iter_mut().for_each(|s| s.graph = places[s.graph as usize]);
    let mut used = used.into_iter();
    graphs.retain(|_| used.next().unwrap_or(true));
}

#[cfg(test)]
mod tests {
    use crate::cut::BoardCuts;
    use crate::cut::ranges::Places;
    use crate::length::{Length, Units};
    use crate::paddle::strip_kinds;
    use crate::read::{List, boards_text, job_text};
    use crate::stop::Stop;

    const SHOP: &str = r#"
units = "mm"
[shop]
far_edge = 0
curve_kerf = 3
"#;

    /// Two laminations, in mm.
    fn paddle(name: &str, length: &str, loom: &str) -> String {
        format!(
            "[[paddle]]\nname = \"{name}\"\nlength = {length}\nloom = {loom}\nthickness = 35\n\
             rings = 0\n\
             [[paddle.lamination]]\nname = \"spine\"\nthickness = 9\nruns = \"through\"\n\
             centre = true\n\
             [[paddle.lamination]]\nname = \"blade\"\nthickness = 12\nruns = \"blade\"\n"
        )
    }

    #[test]
    fn with_little_room_a_board_gives_less_and_that_is_told() {
        let paddles = paddle("long", "1511.3", "503.7") + &paddle("short", "1303.1", "401.9");
        let text = format!("{SHOP}{paddles}");
        let job = job_text("p.toml", &text).unwrap();
        let kinds = strip_kinds(&job);
        let wanted = vec![20; kinds.len()];
        for (crook, bow) in [(25, 0), (-25, 0), (0, 40), (25, 40), (0, 0)] {
            let csv = format!(
                "board,species,length,width,thickness,crook,bow,zone,from,to,near,far\n\
                 b,fir,2400,80,40,{crook},{bow}\nb,,,,,,,knot,900,950,30,45\n\
                 b,,,,,,,knot,1710,1750,60,70"
            );
            let board = boards_text("b.csv", &csv, Units::Mm, List::OnHand).unwrap().remove(0);
            let stop = &Stop::default();
            let at = |places: &Places| {
                BoardCuts::at_places_until_stopped(&board, &job.shop, &kinds, &wanted, places, stop)
            };
            let within = |room, places: Places| at(&Places { room, ..places });
            let (all, most) = (at(&Places::default()), at(&Places::everywhere()));
            assert!(all.complete && !all.thinned && most.complete, "{crook} {bow}");
            let parted = || Places::parted(Length::ZERO, board.length, 4);
            let bent = board.bent();
            let mut fewest = usize::MAX;
            for room in [None, Some(1 << 20), Some(200_000), Some(40_000), Some(4_000), Some(1)] {
                let few = within(room, Places::default());
                // Either nothing is proved with it, or all of it is there, or one range of all
                // places is asked.
                let told = few.thinned && few.may_give_more() || !few.complete;
                assert!(told || few.sections.len() == all.sections.len(), "{room:?}");
                assert!(few.complete || !bent);
                assert!(few.sections.len() <= fewest || few.thinned);
                fewest = fewest.min(few.sections.len());
                for prices in [[9, 7, 5, 3], [1, 1, 1, 1], [3, 9, 0, 4]] {
                    let best = few.value(&prices).best;
                    assert!(best <= most.value(&prices).best);
                    assert!(few.thinned || best <= all.value(&prices).best);
                    assert!(bent && all.may_give_more() || best <= all.value(&prices).best);
                }
                // Ranges are all there, or nothing is proved with them.
                let ranges = within(room, parted());
                let full = at(&parted());
                assert!(!ranges.thinned);
                assert!(!ranges.complete || ranges.sections.len() == full.sections.len());
            }
            let least = within(Some(1), Places::default());
            assert!(!least.complete || least.thinned, "{crook} {bow}");
            assert!(!within(Some(1), parted()).complete);
            assert!(!within(Some(1), Places::everywhere()).complete);
            assert!(least.sections.len() < all.sections.len());
        }
    }
}
