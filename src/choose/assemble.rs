//! From chosen counts to a plan: a layout with few saw cuts for each board, names for strips, and
//! flipped pairs.

use crate::choose::effort::layout::{BEAM, EFFORT, ROUNDS, SOON};
use crate::choose::kernel::cover::{Cover, Lot};
use crate::choose::laid::{Laid, Opened};
use crate::choose::problem::Problem;
use crate::choose::rack::Use;
use crate::choose::search::tight::{Asked, Tightened, Tightest};
use crate::cut::BoardCuts;
use crate::cut::layout::LaidSection;
use crate::cut::list::Floor;
use crate::cut::serve::{Item, Standing};
use crate::cut::shorten::shorten;
use crate::cut::value::{Cut, Valued};
use crate::length::Length;
use crate::lumber::look;
use crate::plan::{Cost, CutBoard, Face, InHand, Leaf, Plan, Proof, Rip, Section, Strip};
use crate::stop::Stop;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};

/// Builds the plan for so many paddles of each kind.
/// `None` only if a board's chosen counts could not be laid out, which would be a bug.
pub fn assemble(
    problem: &Problem<'_>,
    paddles: &[u32],
    (opened, mut uses): (Vec<Opened>, Vec<Use>),
    proof: Proof,
) -> Option<Plan> {
    let mut laid = laid(problem, (opened, &uses), Pains::FewCuts)?;
    let mut picks = pick(problem, &laid, &mut uses);
    let (lines, in_hand) = Lines::new(problem, paddles).share(&picks, &uses);
    let boards = laid.par_iter_mut().zip(&mut picks).zip(&lines);
    boards.for_each(|((laid, picked), lines)| as_made(problem, laid, picked, lines));
    let mut boards = Vec::new();
    for ((laid, picked), lines) in laid.iter().zip(&picks).zip(&lines) {
        if picked.is_empty() {
            continue;
        }
        boards.push(name(problem, &laid.board, &laid.sections, picked, lines));
    }
    let in_hand = from_rack(problem, &uses, &in_hand);
    let parts = boards.iter().map(|b: &CutBoard| problem.measure.parts(&problem.boards[b.board]));
    let cost = Cost { measure: problem.measure, parts: parts.sum() };
    Some(Plan { cost, proof, most: None, paddles: paddles.to_vec(), boards, in_hand })
}

/// How boards are laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pains {
    /// With few saw cuts.
    FewCuts,
    /// As is quick; where none is quick, not at all if it must be soon.
    Quick {
        /// It must be soon.
        soon: bool,
    },
}

/// Lays the boards out that are opened.
pub fn laid(
    problem: &Problem<'_>,
    (mut opened, uses): (Vec<Opened>, &[Use]),
    pains: Pains,
) -> Option<Vec<Laid>> {
    trim(problem, &mut opened, uses);
    opened.retain(|o| o.gives.iter().any(|&n| n > 0));
    opened.sort_by_key(|o| problem.classes[o.class].boards[o.member]);
    let few = pains == Pains::FewCuts;
    let steps = if pains == (Pains::Quick { soon: true }) { SOON } else { u64::MAX };
    let lay = |board: Opened| {
        let known = || known(problem, &board);
        let sought = || laid_as(&board, lay(problem, &board, few)?);
        let found = if few { sought().or_else(known) } else { known().or_else(sought) };
        found.or_else(|| laid_as(&board, at_length(problem, &board, steps)?))
    };
    opened.into_par_iter().map(lay).collect()
}

/// The board laid out by one of its cuts.
fn laid_as(board: &Opened, (cuts, cut): (BoardCuts, Cut)) -> Option<Laid> {
    let sections = cuts.lay(&cut);
    Some(Laid { board: board.clone(), items: cuts.served.items, sections })
}

/// The board as it is laid out in the choice that the search began with, if it gives as much there.
fn known(problem: &Problem<'_>, board: &Opened) -> Option<Laid> {
    let enough = |l: &&Laid| {
        l.board.class == board.class && l.board.gives.iter().zip(&board.gives).all(|(n, w)| n >= w)
    };
    let known = problem.known.iter().find(enough)?;
    Some(Laid { board: board.clone(), ..known.clone() })
}

/// The strips in hand as a plan has them, in the order of the job's list.
fn from_rack(problem: &Problem<'_>, uses: &[Use], lines: &[(usize, usize)]) -> Vec<InHand> {
    let strips = &problem.job.strips;
    let of = |(u, &(paddle, lamination)): (&Use, &(usize, usize))| InHand {
        strip: u.strip,
        paddle,
        lamination,
        flipped_with: u.partner.and_then(|s| strips.get(s)).map(|s| s.name.clone()),
    };
    let mut in_hand: Vec<InHand> = uses.iter().zip(lines).map(of).collect();
    in_hand.sort_by_key(|i| i.strip);
    in_hand
}

/// Takes back what is given beyond need, from boards that then give least first. What is in hand
/// goes in first, since it costs nothing and is cut already.
fn trim(problem: &Problem<'_>, opened: &mut [Opened], uses: &[Use]) {
    let wanted = problem.wanted();
    let in_hand = |k: usize| uses.iter().filter(|u| u.kind == k).count();
    let to_cut: Vec<u32> = (0..wanted.len())
        .map(|k| wanted[k].saturating_sub(u32::try_from(in_hand(k)).unwrap_or(u32::MAX)))
        .collect();
    let sums = problem.families.sums(&to_cut);
    // The longest of each family first: no sum falls below that of the longer ones.
    for &k in problem.families.longest_first() {
        let need = sums[k];
        let given = |o: &Opened| problem.families.beyond(&o.gives, k);
        let mut surplus = opened.iter().map(|o| o.gives[k]).sum::<u32>().saturating_sub(need);
        let mut order: Vec<usize> = (0..opened.len()).filter(|&o| given(&opened[o]) > 0).collect();
        order.sort_by_key(|&o| (given(&opened[o]), std::cmp::Reverse(o)));
        for o in order {
            let less = surplus.min(given(&opened[o]));
            opened[o].gives[k] -= less;
            surplus -= less;
        }
    }
}

/// The board's ways again, for the strips that it gives and no others, and a cut that gives them
/// with few saw cuts. Where there is no time for that, a cut as it was met, if it was.
fn lay(problem: &Problem<'_>, board: &Opened, few: bool) -> Option<(BoardCuts, Cut)> {
    let (index, _) = problem.classes[board.class].boards[board.member];
    let source = &problem.boards[index];
    let (shop, kinds) = (&problem.job.shop, &problem.kinds);
    let class = &problem.classes[board.class];
    let known = &class.cuts;
    let as_met = || Some((known.clone(), known.met(&board.gives)?));
    if (!few || problem.stop.asked())
        && let Some(met) = as_met()
    {
        return Some(met);
    }
    let cuts = BoardCuts::at_places_until_stopped(
        source,
        shop,
        kinds,
        &problem.families.counts(&board.gives),
        &class.places,
        &problem.stop,
    );
    if let Some(cut) = few_cuts(&cuts, board) {
        return Some((cuts, cut));
    }
    as_met()
}

/// A way that was chosen can be cut: it is found however long it takes, which is no longer than it
/// took before. Strips that were taken back may have been what a straight-lined section ended
/// with, so it is looked for among all that the board gives. Few strips are soon found without
/// prices; of many, the tightest prices leave few other counts that are worth as much.
fn at_length(problem: &Problem<'_>, board: &Opened, steps: u64) -> Option<(BoardCuts, Cut)> {
    let gives = &board.gives;
    let cuts = BoardCuts { stop: Stop::default(), ..problem.classes[board.class].cuts.clone() };
    if let Some(cut) = cuts.any_cut(gives, &[], EFFORT / 10) {
        return Some((cuts, cut));
    }
    let near = tightest(&cuts, gives);
    if let Some(cut) = cuts.met(gives) {
        return Some((cuts, cut));
    }
    let valued: Vec<Valued> = near.iter().rev().map(|p| cuts.value(p)).collect();
    let floors: Vec<Floor<'_>> = valued.iter().map(|v| cuts.floor(v, gives)).collect();
    let cut = cuts.some_cut(gives, &floors, BEAM, steps);
    let cut = cut.or_else(|| cuts.any_cut(gives, &floors, steps))?;
    Some((cuts, cut))
}

/// Prices where a board comes to hardly more than what it is to give, the tightest last.
fn tightest(cuts: &BoardCuts, gives: &[u32]) -> Vec<Vec<i64>> {
    let lot = Lot { cuts: Some(cuts), cost: 1 << 20, ways: Vec::new(), listed: false };
    let Some(cover) = Cover::new(gives.to_vec(), vec![lot], &[1]) else { return Vec::new() };
    let even = vec![1.0; gives.len()];
    let asked = Asked { need: gives, boards: &[0], scales: &even };
    match Tightest::new(&cover, asked, &even, &[]).find(&[], ROUNDS) {
        Tightened::Open(tight) => tight.near,
        Tightened::Short(prices) => vec![cover.whole_prices(&prices)],
        // Such a way was met just now.
        Tightened::Enough(_) => Vec::new(),
    }
}

/// A cut that gives a board's strips with few saw cuts, if it is found soon. Prices where few other
/// counts are as good make a floor for labels.
fn few_cuts(cuts: &BoardCuts, board: &Opened) -> Option<Cut> {
    let (met, valued) = cuts.seek(&board.gives);
    let floor = cuts.floor(&valued, &board.gives);
    cuts.fewest_cuts(&board.gives, &[floor], EFFORT)
        .or(met)
        .or_else(|| cuts.any_cut(&board.gives, &[floor], 10 * EFFORT))
}

/// A strip of a laid board: section, rip, leaf, place in the leaf.
type Place = (usize, usize, usize, usize);

/// A strip that is wanted, and its partner if it goes in as half of a flipped pair.
#[derive(Clone, Copy, Debug)]
struct Pick {
    kind: usize,
    place: Place,
    partner: Option<Place>,
}

/// Chooses which strips of each board are wanted: free ones first, then flipped pairs. A strip in hand
/// whose place a pair takes goes in for a shorter one.
fn pick(problem: &Problem<'_>, laid: &[Laid], uses: &mut [Use]) -> Vec<Vec<Pick>> {
    let shares: Vec<Vec<u32>> =
        laid.iter().map(|l| problem.families.counts(&l.board.gives)).collect();
    let mut picks: Vec<Vec<Pick>> = vec![Vec::new(); laid.len()];
    let mut free: Vec<Free> = laid.iter().map(Free::of).collect();
    // Of the next shorter kind so many are had from the rack beside what was counted.
    let mut moved = 0;
    for &kind in problem.families.longest_first() {
        // Where a family has several lengths, a flipped pair may give two of one though it was to
        // give one of each, so what is wanted is counted over all boards.
        let mut over = false;
        let shared: u32 = shares.iter().map(|s| s[kind]).sum();
        let mut wanted = shared.saturating_sub(std::mem::take(&mut moved));
        for share in [true, false] {
            for board in 0..laid.len() {
                let many = if share { shares[board][kind].min(wanted) } else { wanted };
                let new = free[board].take(problem, kind, many as usize);
                let given = u32::try_from(new.len()).unwrap_or(u32::MAX);
                over |= given > wanted;
                wanted = wanted.saturating_sub(given);
                picks[board].extend(new);
            }
            if problem.families.single() {
                break;
            }
        }
        // A pair too many by one frees a strip that goes in alone for shorter ones.
        let alone = |p: &Pick| p.kind == kind && p.partner.is_none();
        let at = |p: &Vec<Pick>| p.iter().rposition(alone);
        let Some(shorter) = problem.families.shorter(kind).filter(|_| over) else { continue };
        if let Some((board, at)) = (0..laid.len()).find_map(|b| Some((b, at(&picks[b])?))) {
            let pick = picks[board].remove(at);
            free[board].give_back(&laid[board], pick.place);
        } else if let Some(other) = uses.iter_mut().find(|u| u.kind == kind && u.partner.is_none())
        {
            // Strips in hand that serve a kind serve each shorter one of its family (`rack::nests`).
            (other.kind, moved) = (shorter, 1);
        }
    }
    picks.iter_mut().for_each(|p| p.sort_by_key(|p| p.place));
    picks
}

/// Strips of a laid board that nothing is made of yet.
struct Free {
    /// Kind, standing and place of each, as they lie.
    strips: Vec<(usize, Standing, Place)>,
}

impl Free {
    fn of(laid: &Laid) -> Self {
        let strip = |(item, place): (usize, Place)| {
            let Item { kind, standing } = laid.items[item];
            (kind, standing, place)
        };
        Free { strips: places(&laid.sections).map(strip).collect() }
    }

    /// Takes a strip back.
    fn give_back(&mut self, laid: &Laid, place: Place) {
        self.strips.extend(Free::of(laid).strips.into_iter().filter(|s| s.2 == place));
        self.strips.sort_by_key(|s| s.2);
    }

    /// Takes strips for so many of a kind, or one more where pairs don't come out even; fewer if
    /// there are no more. Those of the kind itself go before longer ones.
    fn take(&mut self, problem: &Problem<'_>, kind: usize, wanted: usize) -> Vec<Pick> {
        let of = |standing| -> Vec<Place> {
            let kinds = problem.families.served_by(kind);
            kinds
                .flat_map(|k| {
                    let here = self.strips.iter().filter(move |s| s.0 == k && s.1 == standing);
                    here.map(|s| s.2)
                })
                .collect()
        };
        let free = of(Standing::Free);
        let pairs: Vec<(Place, Place)> = [Standing::PairUpright, Standing::PairTurned]
            .into_iter()
            .flat_map(|s| of(s).chunks_exact(2).map(|p| (p[0], p[1])).collect::<Vec<_>>())
            .collect();
        let mut alone = wanted.min(free.len());
        // Pairs fill in twos: give back a free strip where that makes it even.
        if (wanted - alone) % 2 == 1 && alone > 0 && (wanted - alone).div_ceil(2) <= pairs.len() {
            alone -= 1;
        }
        let mut picks: Vec<Pick> =
            free[..alone].iter().map(|&place| Pick { kind, place, partner: None }).collect();
        for &(a, b) in pairs.iter().take((wanted - alone).div_ceil(2)) {
            picks.push(Pick { kind, place: a, partner: Some(b) });
            picks.push(Pick { kind, place: b, partner: Some(a) });
        }
        self.strips.retain(|s| picks.iter().all(|p| p.place != s.2));
        picks
    }
}

fn places(sections: &[LaidSection]) -> impl Iterator<Item = (usize, Place)> {
    sections.iter().enumerate().flat_map(|(s, section)| {
        section.rips.iter().enumerate().flat_map(move |(r, rip)| {
            rip.leaves.iter().enumerate().flat_map(move |(l, leaf)| {
                leaf.strips.iter().enumerate().map(move |(t, strip)| (strip.0, (s, r, l, t)))
            })
        })
    })
}

/// A paddle and one of its laminations.
type Line = (usize, usize);

/// Strips still wanted by each lamination: pairs of places in blanks, and strips in all.
struct Lines {
    /// For each kind of strip: (paddle, lamination, strips left).
    left: Vec<Vec<(usize, usize, u32)>>,
}

impl Lines {
    fn new(problem: &Problem<'_>, paddles: &[u32]) -> Self {
        let left = |kind: &crate::paddle::StripKind| {
            kind.lines
                .iter()
                .map(|&(p, l)| {
                    let lamination = &problem.job.paddles[p].laminations[l];
                    let spares = if paddles[p] > 0 { lamination.spares } else { 0 };
                    (p, l, paddles[p] * lamination.strips() + spares)
                })
                .collect()
        };
        Lines { left: problem.kinds.iter().map(left).collect() }
    }

    /// A lamination that wants `strips` more of a kind; the last one for more than is wanted.
    fn take(&mut self, kind: usize, strips: u32) -> (usize, usize) {
        let lines = &mut self.left[kind];
        let at = lines.iter().position(|l| l.2 >= strips).or(lines.iter().position(|l| l.2 > 0));
        match at.and_then(|at| lines.get_mut(at)) {
            Some(line) => {
                line.2 = line.2.saturating_sub(strips);
                (line.0, line.1)
            }
            None => lines.last().map_or((0, 0), |l| (l.0, l.1)),
        }
    }

    /// Gives every picked strip, and every strip in hand, its lamination. Flipped pairs of the rack
    /// and of all boards come first: each needs two places of one lamination.
    fn share(mut self, picks: &[Vec<Pick>], uses: &[Use]) -> (Vec<Vec<Line>>, Vec<Line>) {
        let mut in_hand: Vec<Option<(usize, usize)>> = vec![None; uses.len()];
        for i in 0..uses.len() {
            let Some(partner) = uses[i].partner.filter(|_| in_hand[i].is_none()) else { continue };
            let line = self.take(uses[i].kind, 2);
            in_hand[i] = Some(line);
            if let Some(j) = uses.iter().position(|u| u.strip == partner) {
                in_hand[j] = Some(line);
            }
        }
        let mut shared: Vec<Vec<Option<(usize, usize)>>> =
            picks.iter().map(|p| vec![None; p.len()]).collect();
        for (of_board, picks) in shared.iter_mut().zip(picks) {
            for i in 0..picks.len() {
                let Some(partner) = picks[i].partner.filter(|_| of_board[i].is_none()) else {
                    continue;
                };
                let line = self.take(picks[i].kind, 2);
                of_board[i] = Some(line);
                if let Some(j) = picks.iter().position(|p| p.place == partner) {
                    of_board[j] = Some(line);
                }
            }
        }
        let mut rest =
            |line: Option<(usize, usize)>, kind| line.unwrap_or_else(|| self.take(kind, 1));
        let in_hand = in_hand.into_iter().zip(uses).map(|(line, u)| rest(line, u.kind)).collect();
        let shared = shared
            .into_iter()
            .zip(picks)
            .map(|(lines, picks)| {
                lines.into_iter().zip(picks).map(|(line, pick)| rest(line, pick.kind)).collect()
            })
            .collect();
        (shared, in_hand)
    }
}

/// Leaves strips out of which nothing is made, and gives the others the length of what is made of
/// them: a strip may have been cut for a longer one. Straight-lined sections are shorter then.
fn as_made(problem: &Problem<'_>, laid: &mut Laid, picks: &mut [Pick], lines: &[Line]) {
    let mut made: HashMap<Place, (Length, Place)> = HashMap::new();
    let mut before: HashMap<(usize, usize, usize), usize> = HashMap::new();
    for (pick, &(paddle, lamination)) in picks.iter().zip(lines) {
        let (s, r, l, _) = pick.place;
        let of = &problem.job.paddles[paddle];
        let t = before.entry((s, r, l)).or_default();
        let length = of.rough_length(&of.laminations[lamination]);
        made.insert(pick.place, (length, (s, r, l, *t)));
        *t += 1;
    }
    for (s, section) in laid.sections.iter_mut().enumerate() {
        for (r, rip) in section.rips.iter_mut().enumerate() {
            for (l, leaf) in rip.leaves.iter_mut().enumerate() {
                let strips = leaf.strips.iter().enumerate().filter_map(|(t, &(item, from, _))| {
                    made.get(&(s, r, l, t)).map(|&(length, _)| (item, from, from + length))
                });
                leaf.strips = strips.collect();
            }
        }
    }
    let now = |place: Place| made.get(&place).map_or(place, |m| m.1);
    for pick in picks {
        pick.place = now(pick.place);
        pick.partner = pick.partner.map(now);
    }
    let (index, _) = problem.classes[laid.board.class].boards[laid.board.member];
    let of = (&problem.boards[index], &problem.job.shop, &problem.kinds[..]);
    shorten(of, &laid.items, &mut laid.sections);
}

/// Builds a board's part of the plan with its strips named.
fn name(
    problem: &Problem<'_>,
    board: &Opened,
    sections: &[LaidSection],
    picks: &[Pick],
    lines: &[(usize, usize)],
) -> CutBoard {
    let (index, copy) = problem.classes[board.class].boards[board.member];
    let prefix = crate::lumber::copy_name(problem.boards, index, copy);
    // A strip in hand may bear such a name already: an earlier job cut it from this board.
    let taken: HashSet<String> = problem.job.strips.iter().map(|s| look(&s.name)).collect();
    let free = (1_usize..).map(|n| format!("{prefix}.{n}")).filter(|n| !taken.contains(&look(n)));
    let names: Vec<String> = free.take(picks.len()).collect();
    let id = |place: Place| {
        let at = picks.iter().position(|p| p.place == place);
        at.and_then(|at| names.get(at)).cloned().unwrap_or_default()
    };
    let strip = |i: usize| {
        let (s, r, l, t) = picks[i].place;
        let (_, from, to) = sections[s].rips[r].leaves[l].strips[t];
        let (paddle, lamination) = lines[i];
        let flipped_with = picks[i].partner.map(id);
        Strip { id: id(picks[i].place), paddle, lamination, from, to, flipped_with }
    };
    let mut cut = Vec::new();
    let source = &problem.boards[index];
    for (s, section) in sections.iter().enumerate() {
        let planed = match section.face {
            Face::Flattened => source.bow().loss(section.to - section.from),
            Face::Kept => Length::ZERO,
        };
        let left = source.thickness - planed;
        let mut rips = Vec::new();
        for (r, rip) in section.rips.iter().enumerate() {
            let mut leaves = Vec::new();
            for (l, leaf) in rip.leaves.iter().enumerate() {
                let strips: Vec<Strip> = (0..picks.len())
                    .filter(|&i| {
                        let p = picks[i].place;
                        (p.0, p.1, p.2) == (s, r, l)
                    })
                    .map(strip)
                    .collect();
                leaves.push((leaf, strips));
            }
            // Leaves of which nothing is wanted are not resawn, and a leaf that stays alone is
            // dressed as a rip is. Where it would be too thick for the board then, it is resawn
            // from the rest after all.
            leaves.retain(|leaf| !leaf.1.is_empty());
            let rest = match &leaves[..] {
                [(leaf, _)] if leaf.alone > left => {
                    let rest = left - leaf.resawn - problem.job.shop.resaw_kerf.unwrap_or_default();
                    Some(Leaf { thickness: rest.min(leaf.resawn), strips: Vec::new() })
                }
                _ => None,
            };
            let alone = leaves.len() == 1 && rest.is_none();
            let leaves: Vec<Leaf> = leaves
                .into_iter()
                .map(|(leaf, strips)| {
                    let thickness = if alone { leaf.alone } else { leaf.resawn };
                    Leaf { thickness, strips }
                })
                .chain(rest)
                .collect();
            if !leaves.is_empty() {
                rips.push(Rip { near: rip.near, far: rip.far, turned: rip.turned, leaves });
            }
        }
        if !rips.is_empty() {
            let (from, to) = (section.from, section.to);
            cut.push(Section { from, to, edge: section.edge, face: section.face, rips });
        }
    }
    CutBoard { board: index, copy, sections: cut }
}
