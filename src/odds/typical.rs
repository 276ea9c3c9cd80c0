//! What a typical board of a grade gives by itself: quartiles over boards drawn from its sample.

use crate::choose::{Options, most_count};
use crate::lumber::Board;
use crate::odds::draw::{self, Stream};
use crate::odds::sample::{Sample, grade_of};
use crate::paddle::{Job, strip_kinds};
use crate::stop::Stop;
use crate::survey::hindrance::{PLENTY, most_alone_within};
use crate::survey::part_job;
use rayon::prelude::*;

/// Boards that are drawn.
const DRAWS: u32 = 60;

/// A quarter of the boards give no more than the first, half no more than the second, a quarter no
/// less than the third.
pub type Quartiles = [u32; 3];

/// What they give towards one kind of paddle: which it is, whole ones, and strips by lamination.
pub type PartGiven = (usize, Quartiles, Vec<(usize, Quartiles)>);

/// What boards of one wood and grade give.
#[derive(Clone, Debug)]
pub struct Typical {
    /// A board of the sample's middle sizes, with its grade.
    pub board: Board,
    /// Boards and zones of the sample.
    pub sample: (usize, usize),
    /// For each kind of paddle that its wood serves: which it is, whole paddles' worth, and strips
    /// of each lamination cut for nothing else.
    pub parts: Vec<PartGiven>,
}

/// One for every wood and grade of the marked boards, in their order, and of those that were not
/// worked out before it was stopped a board each.
pub fn typical<'a>(job: &Job, marked: &'a [Board], stop: &Stop) -> (Vec<Typical>, Vec<&'a Board>) {
    let mut all: Vec<Typical> = Vec::new();
    let mut kinds: Vec<&Board> = Vec::new();
    for board in marked.iter().filter(|b| grade_of(b).is_some()) {
        let same = |k: &&Board| k.species.matches(&board.species) && grade_of(k) == grade_of(board);
        if !kinds.iter().any(same) {
            kinds.push(board);
        }
    }
    for (n, &board) in kinds.iter().enumerate() {
        if stop.asked() {
            return (all, kinds[n..].to_vec());
        }
        let sample = Sample::of(marked, board);
        let middle = |size: fn(&Board) -> crate::Length| {
            let mut sizes: Vec<_> = sample.boards.iter().map(size).collect();
            sizes.sort_unstable();
            sizes.get(sizes.len() / 2).copied().unwrap_or(size(board))
        };
        let sizes = [middle(|b| b.length), middle(|b| b.width), middle(|b| b.thickness)];
        let mut wanted = Board::plain("typical", board.species.clone(), sizes);
        wanted.grade.clone_from(&board.grade);
        // Boards of very many zones take long to draw.
        let drawn = |n| {
            if stop.asked() { None } else { draw::board(&wanted, &sample, &mut Stream::of(n)) }
        };
        let drawn: Vec<Board> = (0..u64::from(DRAWS)).filter_map(drawn).collect();
        let parts = (0..job.paddles.len()).filter_map(|p| part(job, p, &drawn, stop)).collect();
        if stop.asked() {
            return (all, kinds[n..].to_vec());
        }
        let of = (sample.boards.len(), sample.zones());
        all.push(Typical { board: wanted, sample: of, parts });
    }
    (all, Vec::new())
}

fn part(job: &Job, p: usize, drawn: &[Board], stop: &Stop) -> Option<PartGiven> {
    let (alone, laminations) = part_job(job, p, drawn.first()?);
    if laminations.is_empty() {
        return None;
    }
    let kinds = strip_kinds(&alone);
    let options = Options { stop: stop.clone(), ..Options::default() };
    let whole = drawn
        .par_iter()
        .map(|b| {
            // What was stopped is not told.
            if stop.asked() {
                0
            } else {
                most_count(&alone, std::slice::from_ref(b), &options).made
            }
        })
        .collect();
    let mut strips = Vec::new();
    for kind in &kinds {
        let most: Vec<u32> = drawn
            .par_iter()
            .map(|b| {
                if stop.asked() { 0 } else { most_alone_within(b, &alone.shop, kind, PLENTY, stop) }
            })
            .collect();
        let of = quartiles(most);
        strips.extend(kind.lines.iter().map(|&(_, l)| (laminations[l], of)));
    }
    strips.sort_unstable();
    Some((p, quartiles(whole), strips))
}

fn quartiles(mut of: Vec<u32>) -> Quartiles {
    of.sort_unstable();
    let last = of.len().saturating_sub(1);
    [1, 2, 3].map(|q| of.get(last * q / 4).copied().unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::quartiles;

    #[test]
    fn quartiles_of_one_to_five() {
        assert_eq!(quartiles(vec![5, 3, 1, 2, 4]), [2, 3, 4]);
        assert_eq!(quartiles(vec![7]), [7, 7, 7]);
        assert_eq!(quartiles(Vec::new()), [0, 0, 0]);
    }
}
