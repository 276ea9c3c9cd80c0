//! Plans damaged in every rule of MODEL 3 to 11, thousands of them: valid plans of jobs at random,
//! each spoiled in one way, and refused for that reason. What must stand is changed as little as
//! breaks the rule: often by one unit of length, 12.5 nm.

use crate::fixtures::Dice;
use crate::fuzz::planned;
use std::collections::BTreeMap;
use stripwright::claim::{Claim, FilePlan};
use stripwright::length::Length;
use stripwright::lumber::{Angle, Board, Grain, Slope, Species, StripInHand, Zone, ZoneKind};
use stripwright::paddle::{Job, Margin};
use stripwright::plan::*;
use stripwright::verify::{Rule, verify, verify_file};

const UNIT: Length = Length::from_units(1);

/// The greatest bend that a board may have.
fn quarter(length: Length) -> Length {
    Length::from_units(length.units() / 4)
}

/// A valid plan that is about to be spoiled.
#[derive(Clone)]
struct Case {
    job: Job,
    boards: Vec<Board>,
    plan: Plan,
    /// Where the damage is done: a cut board, a section of it, a rip, a leaf, a strip.
    at: [usize; 5],
}

impl Case {
    fn cut(&mut self) -> &mut CutBoard {
        &mut self.plan.boards[self.at[0]]
    }

    fn board(&mut self) -> &mut Board {
        &mut self.boards[self.plan.boards[self.at[0]].board]
    }

    fn section(&mut self) -> &mut Section {
        let n = self.at[1];
        &mut self.cut().sections[n]
    }

    fn rip(&mut self) -> &mut Rip {
        let n = self.at[2];
        &mut self.section().rips[n]
    }

    fn leaf(&mut self) -> &mut Leaf {
        let n = self.at[3];
        &mut self.rip().leaves[n]
    }

    fn strip(&mut self) -> &mut Strip {
        let n = self.at[4];
        &mut self.leaf().strips[n]
    }

    fn rough(&mut self) -> Length {
        let strip = self.strip().clone();
        let paddle = &self.job.paddles[strip.paddle];
        paddle.rough_length(&paddle.laminations[strip.lamination])
    }

    /// Does the section follow a curve?
    fn curved(&mut self) -> bool {
        self.section().edge == Edge::Kept && self.board().crook != Length::ZERO
    }

    /// The bends that a strip keeps: its board's crook where the edge is kept, its bow where the
    /// face is; `sidewise` of the two in the lamination's direction.
    fn bend(&mut self, sidewise: bool) -> Option<&mut Length> {
        let (edge, face, turned) = (self.section().edge, self.section().face, self.rip().turned);
        let by_crook = sidewise != turned;
        let kept = if by_crook { edge == Edge::Kept } else { face == Face::Kept };
        let board = self.board();
        kept.then_some(if by_crook { &mut board.crook } else { &mut board.bow })
    }

    fn in_hand(&mut self, dice: &mut Dice) -> Option<(&mut InHand, &mut StripInHand)> {
        let many = self.plan.in_hand.len() as u64;
        let used = (many > 0).then(|| dice.roll(many) as usize)?;
        let used = &mut self.plan.in_hand[used];
        let strip = &mut self.job.strips[used.strip];
        Some((used, strip))
    }
}

/// Spoils a case; nothing where it can't be spoiled so.
type Damage = fn(&mut Case, &mut Dice) -> Option<()>;

/// The name, the fault it must give, and the damage. MODEL's numbers stand beside them.
const DAMAGES: &[(&str, Rule, Damage)] = &[
    // 3: sizes that a job asks.
    ("a rip wider", Rule::Width, |c, _| {
        c.rip().far += UNIT;
        Some(())
    }),
    ("a rip narrower", Rule::Width, |c, _| {
        c.rip().far -= UNIT;
        Some(())
    }),
    ("a leaf thicker", Rule::Leaf, |c, _| {
        c.leaf().thickness += UNIT;
        Some(())
    }),
    ("a leaf thinner", Rule::Leaf, |c, _| {
        c.leaf().thickness -= UNIT;
        Some(())
    }),
    ("a strip short", Rule::Length, |c, _| {
        let rough = c.rough();
        c.strip().to = c.strip().from + rough - UNIT;
        Some(())
    }),
    ("more planed off each face", Rule::Leaf, |c, _| {
        c.job.shop.plane += UNIT;
        (!c.rip().turned).then_some(())
    }),
    ("more planed off each face of turned strips", Rule::Width, |c, _| {
        c.job.shop.plane += UNIT;
        c.rip().turned.then_some(())
    }),
    ("the dressing of its saw", Rule::Width, |c, _| {
        let curved = c.curved();
        let dress = if curved { &mut c.job.shop.curve_dress } else { &mut c.job.shop.dress };
        *dress += UNIT;
        (!c.rip().turned).then_some(())
    }),
    ("the resaw's dressing", Rule::Leaf, |c, _| {
        c.job.shop.resaw_dress += UNIT;
        (c.rip().turned && c.rip().leaves.len() > 1).then_some(())
    }),
    ("no such paddle", Rule::Lamination, |c, _| {
        c.strip().paddle = c.job.paddles.len();
        Some(())
    }),
    ("no such lamination", Rule::Lamination, |c, d| {
        let paddle = c.strip().paddle;
        c.strip().lamination = c.job.paddles[paddle].laminations.len() + d.roll(3) as usize;
        Some(())
    }),
    ("more paddles than made", Rule::Demand, |c, d| {
        let many = c.plan.paddles.len() as u64;
        c.plan.paddles[d.roll(many) as usize] += 1000;
        Some(())
    }),
    ("more spares than cut", Rule::Demand, |c, _| {
        let paddle = c.plan.paddles.iter().position(|&n| n > 0)?;
        c.job.paddles[paddle].laminations[0].spares += 1000;
        Some(())
    }),
    ("a kind of paddle uncounted", Rule::Demand, |c, _| c.plan.paddles.pop().map(|_| ())),
    // 4: how a board is cut.
    ("a size beyond all bounds", Rule::Sizes, |c, d| {
        match d.roll(6) {
            0 => c.section().to = Length::LIMIT + UNIT,
            1 => c.section().from = -UNIT,
            2 => c.rip().far = c.rip().near,
            3 => c.leaf().thickness = Length::ZERO,
            4 => c.strip().to = c.strip().from,
            _ => c.strip().to = Length::from_units(i64::MAX),
        }
        Some(())
    }),
    ("no such board", Rule::Board, |c, d| {
        c.cut().board = c.boards.len() + d.roll(3) as usize;
        Some(())
    }),
    ("no such copy", Rule::Copy, |c, d| {
        let quantity = c.board().quantity;
        c.cut().copy = if d.roll(2) == 0 { 0 } else { quantity + 1 };
        Some(())
    }),
    ("a board twice", Rule::Twice, |c, _| {
        let again = c.cut().clone();
        c.plan.boards.push(again);
        Some(())
    }),
    ("into the board's end", Rule::BoardEnd, |c, _| {
        let section = c.section().clone();
        let left = c.board().length - section.to;
        c.board().board_end = Some(section.from.min(left) + UNIT);
        Some(())
    }),
    ("no kerf between sections", Rule::SectionGap, |c, _| {
        let kerf = c.job.shop.crosscut_kerf;
        let last = c.cut().sections.last()?.clone();
        let from = last.to + kerf - UNIT;
        c.cut().sections.push(Section { from, to: from + UNIT * 5, rips: Vec::new(), ..last });
        Some(())
    }),
    ("too short to feed", Rule::MinRip, |c, _| {
        c.job.shop.min_rip = c.section().to - c.section().from + UNIT;
        Some(())
    }),
    ("into the edge that is straightened", Rule::Edge, |c, _| {
        let near = c.section().rips[0].near;
        c.board().edge = Some(near + UNIT);
        Some(())
    }),
    ("into the far edge", Rule::FarEdge, |c, _| {
        let far = c.section().rips.last()?.far;
        c.board().far_edge = Some(c.board().width - far + UNIT);
        Some(())
    }),
    ("a kerf too wide for the rips", Rule::RipGap, |c, _| {
        let rips = &c.section().rips;
        let gap = rips.windows(2).map(|w| w[1].near - w[0].far).min()?;
        let curved = c.curved();
        let shop = &mut c.job.shop;
        if curved {
            shop.curve_kerf = Some(gap + UNIT)
        } else {
            shop.rip_kerf = gap + UNIT
        }
        Some(())
    }),
    ("rips out of order", Rule::RipGap, |c, _| {
        let many = c.section().rips.len();
        c.section().rips.reverse();
        (many > 1).then_some(())
    }),
    ("no saw for the curve", Rule::Curve, |c, _| {
        c.job.shop.curve_kerf = None;
        if c.board().crook == Length::ZERO {
            c.board().crook = UNIT;
        }
        c.curved().then_some(())
    }),
    ("a board too thin", Rule::Thickness, |c, _| {
        let leaves = &c.rip().leaves;
        let (sum, cuts) = (leaves.iter().map(|l| l.thickness).sum::<Length>(), leaves.len() - 1);
        let kerf = c.job.shop.resaw_kerf.unwrap_or(Length::ZERO);
        let kerfs: Length = std::iter::repeat_n(kerf, cuts).sum();
        c.board().thickness = sum + kerfs - UNIT;
        Some(())
    }),
    ("the resaw's kerf forgotten", Rule::Thickness, |c, _| {
        let leaves = c.rip().leaves.clone();
        let sum: Length = leaves.iter().map(|l| l.thickness).sum();
        c.board().thickness = sum;
        let kerf = c.job.shop.resaw_kerf?;
        (leaves.len() > 1 && kerf > Length::ZERO).then_some(())
    }),
    ("no resaw", Rule::Resaw, |c, _| {
        let more = c.leaf().clone();
        c.job.shop.resaw_kerf = None;
        c.rip().leaves.push(Leaf { strips: Vec::new(), ..more });
        Some(())
    }),
    ("a strip out of its section", Rule::Inside, |c, d| {
        let strip = c.strip().clone();
        if d.roll(2) == 0 {
            c.section().from = strip.from + UNIT;
        } else {
            c.section().to = strip.to - UNIT;
        }
        Some(())
    }),
    ("strips without a kerf", Rule::StripGap, |c, _| {
        let last = c.leaf().strips.last()?.clone();
        let from = last.to + c.job.shop.crosscut_kerf - UNIT;
        let next = Strip { id: "next".into(), from, to: from + (last.to - last.from), ..last };
        c.leaf().strips.push(next);
        Some(())
    }),
    ("rot in a strip", Rule::Zone, |c, d| {
        let (rip, strip, lined) =
            (c.rip().clone(), c.strip().clone(), c.section().edge == Edge::Lined);
        let mut within = |low: Length, high: Length| {
            let room = (high - low).units() as u64;
            let from = d.roll(room);
            let long = 1 + d.roll(room - from);
            [from, from + long].map(|n| low + Length::from_units(n as i64))
        };
        let [from, to] = within(strip.from, strip.to);
        let [near, far] =
            if lined { [Length::ZERO, c.board().width] } else { within(rip.near, rip.far) };
        c.board().zones.push(Zone { kind: ZoneKind::new("rot"), from, to, near, far });
        Some(())
    }),
    ("rot beside a strip, within its margin", Rule::Zone, |c, d| {
        let (rip, strip) = (c.rip().clone(), c.strip().clone());
        let margin = Length::from_units(1 + d.roll(20_000) as i64);
        c.job.shop.margins.insert(ZoneKind::new("rot"), Margin { along: margin, across: margin });
        // A mark of no size, a unit less away than the margin.
        let (from, near) = match d.roll(2) {
            0 => (strip.to + margin - UNIT, rip.near),
            _ => (strip.from, rip.far + margin - UNIT),
        };
        let kind = ZoneKind::new("rot");
        c.board().zones.push(Zone { kind, from, to: from, near, far: near });
        (c.section().edge == Edge::Kept).then_some(())
    }),
    // 5: wood and grain.
    ("another wood", Rule::Species, |c, _| {
        let strip = c.strip().clone();
        let lamination = &mut c.job.paddles[strip.paddle].laminations[strip.lamination];
        lamination.species = vec![Species::new("bog oak")];
        Some(())
    }),
    ("a slope too steep", Rule::Runout, |c, _| {
        let paddle = c.strip().paddle;
        c.job.paddles[paddle].runout = Some(Slope { rise: 1_000_000, run: 15_000_000 });
        c.board().runout = Some(Slope { rise: 1_000_000, run: 14_999_999 });
        Some(())
    }),
    ("grain not measured", Rule::Rings, |c, _| {
        let paddle = c.strip().paddle;
        c.job.paddles[paddle].rings = Angle::from_millionths(1)?;
        c.board().grain = None;
        Some(())
    }),
    ("rings a millionth of a degree too flat", Rule::Rings, |c, _| {
        let (paddle, turned) = (c.strip().paddle, c.rip().turned);
        c.job.paddles[paddle].rings = Angle::from_millionths(50_000_000)?;
        let board = if turned { 40_000_001 } else { 49_999_999 };
        c.board().grain = Some(Grain::Rings(Angle::from_millionths(board)?));
        Some(())
    }),
    ("the pith in a rip", Rule::Rings, |c, _| {
        // Upright, the rings lie flat over the pith.
        let (paddle, rip) = (c.strip().paddle, c.rip().clone());
        c.job.paddles[paddle].rings = Angle::from_millionths(30_000_000)?;
        let grain = Grain::Pith { across: rip.near, depth: -Length::INCH };
        c.board().grain = Some(grain);
        (!rip.turned).then_some(())
    }),
    ("the pith far from a turned rip", Rule::Rings, |c, _| {
        let (paddle, rip) = (c.strip().paddle, c.rip().clone());
        c.job.paddles[paddle].rings = Angle::from_millionths(45_000_000)?;
        // As far aside as up at 45°, and a unit more.
        let across = rip.near - Length::INCH - UNIT;
        c.board().grain = Some(Grain::Pith { across, depth: -Length::INCH });
        rip.turned.then_some(())
    }),
    // 6: bends.
    ("bent sidewise", Rule::Sidewise, |c, _| {
        *c.bend(true)? += Length::inch_fraction(1, 2);
        c.job.shop.pull = Length::ZERO;
        (c.bend(true)?.units() != 0).then_some(())
    }),
    ("bent depthwise", Rule::Depthwise, |c, _| {
        let bend = c.bend(false)?;
        if *bend == Length::ZERO {
            *bend = Length::INCH;
        }
        (c.job.shop.straight, c.job.shop.pair) = (Length::ZERO, Length::ZERO);
        Some(())
    }),
    ("half of a pair alone", Rule::Depthwise, |c, _| {
        c.job.shop.straight = Length::ZERO;
        c.strip().flipped_with.take().map(|_| ())
    }),
    ("no partner of that name", Rule::Flip, |c, _| {
        c.strip().flipped_with = Some("nobody".into());
        Some(())
    }),
    ("its own partner", Rule::Flip, |c, _| {
        c.strip().flipped_with = Some(c.strip().id.clone());
        Some(())
    }),
    ("a partner that doesn't name it", Rule::Flip, |c, _| {
        let own = c.strip().id.clone();
        let one = |s: &&Strip| s.id != own && s.flipped_with.as_ref() != Some(&own);
        let other = c.plan.strips().map(|s| s.4).find(one)?.id.clone();
        c.strip().flipped_with = Some(other);
        Some(())
    }),
    ("a flattened face that takes more than there is", Rule::Thickness, |c, _| {
        let (long, length) = (c.section().to - c.section().from, c.board().length);
        let leaves: Length = c.rip().leaves.iter().map(|l| l.thickness).sum();
        // The whole bow is at least what is lost over the section.
        c.section().face = Face::Flattened;
        c.board().bow = quarter(length);
        let lost = i128::from(quarter(length).units()) * i128::from(long.units()).pow(2)
            / i128::from(length.units()).pow(2);
        let left = i128::from((c.board().thickness - leaves).units());
        (lost > left).then_some(())
    }),
    ("a straight line that takes more than there is", Rule::FarEdge, |c, _| {
        // Crowned: the far side loses.
        c.section().edge = Edge::Lined;
        c.board().crook = -quarter(c.board().length);
        let (long, length) = (c.section().to - c.section().from, c.board().length);
        let lost = i128::from(quarter(length).units()) * i128::from(long.units()).pow(2)
            / i128::from(length.units()).pow(2);
        (lost > i128::from(c.board().width.units())).then_some(())
    }),
    // 7: what it costs.
    ("a cost that is off", Rule::Cost, |c, d| {
        c.plan.cost.parts += if d.roll(2) == 0 { 1 } else { -1 };
        Some(())
    }),
    ("a cost by another measure", Rule::Cost, |c, _| {
        let measure = &mut c.plan.cost.measure;
        *measure = if *measure == Measure::Price { Measure::BoardFeet } else { Measure::Price };
        Some(())
    }),
    ("a bound above the cost", Rule::Proof, |c, _| {
        c.plan.proof = Proof::AtLeast(c.plan.cost.parts + 1);
        Some(())
    }),
    ("more made than counted", Rule::Most, |c, _| {
        let made = c.plan.paddles.iter().sum::<u32>();
        c.plan.most = Some(Most { made: made + 1, at_most: made + 1 });
        Some(())
    }),
    ("fewer at most than made", Rule::Most, |c, _| {
        let made = c.plan.paddles.iter().sum::<u32>();
        c.plan.most = Some(Most { made, at_most: made.checked_sub(1)? });
        Some(())
    }),
    // 9: names.
    ("two of one name", Rule::Id, |c, _| {
        let own = c.strip().id.clone();
        let other = c.plan.strips().map(|s| s.4.id.clone()).find(|id| *id != own)?;
        c.strip().id = other;
        Some(())
    }),
    // 10: strips in hand.
    ("a strip in hand that isn't", Rule::InHand, |c, d| {
        let many = c.job.strips.len();
        c.in_hand(d)?.0.strip = many;
        Some(())
    }),
    ("a strip in hand twice", Rule::UsedTwice, |c, d| {
        let again = c.in_hand(d)?.0.clone();
        c.plan.in_hand.push(again);
        Some(())
    }),
    ("a strip in hand too thin", Rule::TooThin, |c, d| {
        let used = c.in_hand(d)?.0.clone();
        let thick = c.job.paddles[used.paddle].laminations[used.lamination].thickness;
        c.job.strips[used.strip].thickness = thick - UNIT;
        Some(())
    }),
    ("a strip in hand not deep enough", Rule::TooThin, |c, d| {
        let used = c.in_hand(d)?.0.clone();
        c.job.strips[used.strip].depth = c.job.paddles[used.paddle].thickness - UNIT;
        Some(())
    }),
    ("a strip in hand too short", Rule::Length, |c, d| {
        let used = c.in_hand(d)?.0.clone();
        let paddle = &c.job.paddles[used.paddle];
        let rough = paddle.rough_length(&paddle.laminations[used.lamination]);
        c.job.strips[used.strip].length = rough - UNIT;
        Some(())
    }),
    ("a strip in hand cut for another paddle", Rule::CutFor, |c, d| {
        c.in_hand(d)?.1.paddle = Some("another".into());
        Some(())
    }),
    ("a strip in hand cut for another lamination", Rule::CutFor, |c, d| {
        c.in_hand(d)?.1.lamination = Some("another".into());
        Some(())
    }),
    ("a strip in hand of another wood", Rule::Species, |c, d| {
        let used = c.in_hand(d)?.0.clone();
        let lamination = &mut c.job.paddles[used.paddle].laminations[used.lamination];
        lamination.species = vec![Species::new("bog oak")];
        c.plan.boards.clear();
        Some(())
    }),
    ("a strip in hand with rings too flat", Rule::Rings, |c, d| {
        let used = c.in_hand(d)?.0.clone();
        c.job.paddles[used.paddle].rings = Angle::from_millionths(50_000_000)?;
        c.job.strips[used.strip].rings = Angle::from_millionths(49_999_999);
        c.plan.boards.clear();
        Some(())
    }),
    ("a strip in hand bent sidewise", Rule::Sidewise, |c, d| {
        c.in_hand(d)?.1.sidewise = -UNIT;
        c.job.shop.pull = Length::ZERO;
        c.plan.boards.clear();
        Some(())
    }),
    ("a strip in hand bent depthwise", Rule::Depthwise, |c, d| {
        c.in_hand(d)?.1.depthwise = UNIT;
        (c.job.shop.straight, c.job.shop.pair) = (Length::ZERO, Length::ZERO);
        c.plan.boards.clear();
        Some(())
    }),
    ("a strip in hand paired with nobody", Rule::FlipInHand, |c, d| {
        c.in_hand(d)?.0.flipped_with = Some("nobody".into());
        Some(())
    }),
    ("a strip in hand by the name of one that is cut", Rule::Id, |c, d| {
        let cut = c.plan.strips().map(|s| s.4.id.clone()).next()?;
        c.in_hand(d)?.1.name = cut;
        Some(())
    }),
    ("a strip in hand for no lamination", Rule::Lamination, |c, d| {
        c.in_hand(d)?.0.lamination = 99;
        Some(())
    }),
    ("a strip in hand of no size", Rule::Sizes, |c, d| {
        c.in_hand(d)?.1.thickness = Length::ZERO;
        Some(())
    }),
];

/// Claims of a plan file (MODEL 9), each false in one way.
type False = fn(&mut FilePlan) -> Option<()>;
const CLAIMS: &[(&str, Rule, False)] = &[
    ("two bounds", Rule::Bound, |f| {
        f.claim.bound_parts = Some(f.claim.bound? - 1);
        Some(())
    }),
    ("a bound above the cost", Rule::Proof, |f| {
        (f.claim.bound, f.claim.optimal) = (Some(f.plan.cost.parts + 1), false);
        Some(())
    }),
    ("optimal, and a bound below", Rule::Status, |f| {
        f.claim.bound = Some(f.plan.cost.parts - 1);
        Some(())
    }),
    ("bounded, and nothing open", Rule::Status, |f| {
        f.claim.optimal = false;
        Some(())
    }),
    ("optimal, and more can be made", Rule::Status, |f| {
        let made = f.plan.paddles.iter().sum();
        f.claim.most = Some(Most { made, at_most: made + 1 });
        Some(())
    }),
    ("optimal with a gap", Rule::Gap, |f| {
        f.claim.gap = Some(0.01);
        Some(())
    }),
    ("a gap that is off", Rule::Gap, |f| {
        (f.claim.optimal, f.claim.bound) = (false, Some(f.plan.cost.parts / 2));
        (f.claim.bound_parts, f.claim.gap) = (None, Some(0.25));
        (f.plan.cost.parts > 0).then_some(())
    }),
    ("most, and another number", Rule::Most, |f| {
        let made = f.plan.paddles.iter().sum::<u32>() + 1;
        f.claim.most = Some(Most { made, at_most: made });
        Some(())
    }),
    ("most, and fewer at most", Rule::Most, |f| {
        let made = f.plan.paddles.iter().sum::<u32>();
        f.claim.most = Some(Most { made, at_most: made.checked_sub(1)? });
        Some(())
    }),
    ("dearer than its budget", Rule::Budget, |f| {
        f.claim.budget = Some(f.plan.cost.parts - 1);
        Some(())
    }),
    ("fewer than are wanted", Rule::Wanted, |f| {
        f.plan.paddles[0] = f.plan.paddles[0].checked_sub(1)?;
        Some(())
    }),
];

/// A plan's file with a true claim.
fn file(plan: &Plan) -> FilePlan {
    let parts = plan.cost.parts;
    let (bound, bound_parts) = (Some(parts), Some(parts));
    let claim =
        Claim { optimal: true, bound, bound_parts, gap: Some(0.0), most: None, budget: None };
    FilePlan { plan: Plan { proof: Proof::AtLeast(0), most: None, ..plan.clone() }, claim }
}

/// A place at random in a plan that opens a board.
fn somewhere(plan: &Plan, dice: &mut Dice) -> Option<[usize; 5]> {
    let mut all = Vec::new();
    for (b, cut) in plan.boards.iter().enumerate() {
        for (s, section) in cut.sections.iter().enumerate() {
            for (r, rip) in section.rips.iter().enumerate() {
                for (l, leaf) in rip.leaves.iter().enumerate() {
                    all.extend((0..leaf.strips.len()).map(|n| [b, s, r, l, n]));
                }
            }
        }
    }
    (!all.is_empty()).then(|| all[dice.roll(all.len() as u64) as usize])
}

#[test]
fn thousands_of_damaged_plans_are_each_refused_for_their_reason() {
    let mut dice = Dice(11);
    let mut counts: BTreeMap<(usize, &str), u32> = BTreeMap::new();
    let mut plans = 0;
    for (n, (name, ..)) in DAMAGES.iter().enumerate() {
        counts.insert((n, name), 0);
    }
    while plans < 150 {
        let Some((job, boards, plan)) = planned(&mut dice) else { continue };
        plans += 1;
        for (n, (name, rule, damage)) in DAMAGES.iter().enumerate() {
            // Damage to boards needs a board; damage to strips in hand needs one.
            let Some(at) =
                somewhere(&plan, &mut dice).or((!plan.in_hand.is_empty()).then_some([0; 5]))
            else {
                continue;
            };
            let of_hand = name.contains("in hand");
            if plan.boards.is_empty() && !of_hand {
                continue;
            }
            let mut case =
                Case { job: job.clone(), boards: boards.clone(), plan: plan.clone(), at };
            if damage(&mut case, &mut dice).is_none() {
                continue;
            }
            let found = match verify(case.plan.clone(), &case.job, &case.boards) {
                Ok(_) => Vec::new(),
                Err(faults) => faults,
            };
            let right = found.iter().any(|f| f.rule == *rule);
            assert!(right, "{name}: {rule:?} is not in {found:#?}\n{:#?}", case.plan);
            // In words, with a place and figures.
            assert!(found.iter().all(|f| f.to_string().len() > 20), "{found:?}");
            *counts.get_mut(&(n, name)).unwrap() += 1;
        }
        for (n, (name, rule, damage)) in CLAIMS.iter().enumerate() {
            let mut file = file(&plan);
            assert!(verify_file(&file, &job, &boards).is_ok());
            let made = plan.paddles.iter().sum();
            file.claim.most = Some(Most { made, at_most: made });
            assert!(verify_file(&file, &job, &boards).is_ok());
            file.claim.most = None;
            if damage(&mut file).is_none() {
                continue;
            }
            let found = verify_file(&file, &job, &boards).expect_err(name);
            assert!(found.iter().any(|f| f.rule == *rule), "{name}: {found:?}");
            *counts.entry((DAMAGES.len() + n, name)).or_default() += 1;
        }
    }
    let all: u32 = counts.values().sum();
    println!("{plans} plans, {all} damaged ones, all refused: {counts:?}");
    assert!(all >= 4_000, "{all}: {counts:?}");
    // Every damage was done to some plan.
    assert!(counts.values().all(|&n| n > 0), "{counts:?}");
}
