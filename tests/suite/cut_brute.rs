//! Ways to cut one small board against every one of them, counted on a grid of whole
//! millimetres. Sizes, kerfs and zones are whole, so pushing every piece back as far as it goes
//! lands on the grid and nothing is missed by trying grid places only. Boards are invented.

use proptest::collection::vec;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write;
use stripwright::cut::BoardCuts;
use stripwright::cut::list::Floor;
use stripwright::cut::ranges::Places;
use stripwright::cut::value::{ChosenRip, Cut};
use stripwright::length::{Length, Units};
use stripwright::lumber::Board;
use stripwright::paddle::strip_kinds;
use stripwright::read::{List, boards_text, job_text};
use stripwright::stop::Stop;

/// A kind of strip in whole millimetres.
#[derive(Clone, Debug)]
struct Kind {
    thickness: i64,
    depth: i64,
    length: i64,
    /// It may contain sap.
    sap: bool,
    /// One strip on the centreline.
    centre: bool,
    wanted: u32,
}

/// A zone: sap or knot, from, to, near, far.
type Zone = (bool, i64, i64, i64, i64);

#[derive(Clone, Debug)]
struct Case {
    length: i64,
    width: i64,
    thickness: i64,
    bow: i64,
    zones: Vec<Zone>,
    kinds: Vec<Kind>,
    /// The longer kind is not counted where the shorter one is wanted.
    apart: bool,
    /// Vertical grain for upright strips only, flat for turned only, none for both.
    rings: Option<i64>,
    crosscut: i64,
    rip: i64,
    resaw: Option<i64>,
    edge: i64,
    end: i64,
    min_rip: i64,
}

/// Counts by kind, and within it: free, paired upright, paired turned.
type Counts = Vec<u32>;
const WAYS: usize = 3;

/// Depthwise bend of a strip that may go in alone, and that may go in flipped; greatest sidewise
/// bend. Whole millimetres over the whole board.
const STRAIGHT: i64 = 1;
const PAIR: i64 = 2;
const PULL: i64 = 3;

impl Case {
    fn toml(&self) -> String {
        let mut toml = format!(
            "units = \"mm\"\n[shop]\nrip_kerf = {}\ncrosscut_kerf = {}\nedge = {}\nfar_edge = 0\n\
             board_end = {}\ndress = 0\nplane = 0\nmin_rip = {}\nstraight = {STRAIGHT}\n\
             pair = {PAIR}\npull = {PULL}\n",
            self.rip, self.crosscut, self.edge, self.end, self.min_rip
        );
        if let Some(kerf) = self.resaw {
            writeln!(toml, "resaw_kerf = {kerf}").unwrap();
        }
        for (k, kind) in self.kinds.iter().enumerate() {
            write!(
                toml,
                "[[paddle]]\nname = \"p{k}\"\nlength = {}\nloom = \"0.5\"\nthickness = {}\n\
                 trim = 0\nrings = {}\n[[paddle.lamination]]\nname = \"strip\"\nthickness = {}\n\
                 runs = \"through\"\ncentre = {}\nallow = [{}]\n",
                kind.length,
                kind.depth,
                if self.rings.is_some() { 60 } else { 0 },
                kind.thickness,
                kind.centre,
                if kind.sap { "\"sap\"" } else { "" },
            )
            .unwrap();
        }
        toml
    }

    fn csv(&self) -> String {
        let rings = self.rings.map_or(String::new(), |r| r.to_string());
        let mut csv = format!(
            "board,species,length,width,thickness,rings,zone,from,to,near,far\n\
             b,fir,{},{},{},{rings},,,,,\n",
            self.length, self.width, self.thickness
        );
        for (sap, from, to, near, far) in &self.zones {
            let kind = if *sap { "sap" } else { "knot" };
            writeln!(csv, "b,,,,,,{kind},{from},{to},{near},{far}").unwrap();
        }
        csv
    }

    /// What the library lists, sorted.
    fn listed(&self) -> Vec<Counts> {
        let (cuts, _) = self.cuts();
        assert!(cuts.complete);
        let mut listed = cuts.list(&self.needed(), &[], u64::MAX).unwrap();
        listed.sort();
        listed
    }

    fn cuts(&self) -> (BoardCuts, Vec<u32>) {
        self.cuts_at(&Places::default())
    }

    fn cuts_at(&self, places: &Places) -> (BoardCuts, Vec<u32>) {
        let job = job_text("p.toml", &self.toml()).unwrap();
        let boards = boards_text("b.csv", &self.csv(), Units::Mm, List::OnHand);
        // Steeper than a file may say, so that short strips are bent.
        let board = Board { bow: Length::MM * self.bow, ..boards.unwrap().remove(0) };
        let mut kinds = strip_kinds(&job);
        kinds.iter_mut().for_each(|k| k.apart = self.apart);
        let mut wanted = vec![0; kinds.len()];
        for (k, kind) in kinds.iter().enumerate() {
            wanted[k] = kind.lines.iter().map(|&(p, _)| self.kinds[p].wanted).sum();
        }
        assert_eq!(kinds.len(), self.kinds.len());
        let stop = Stop::default();
        let cuts =
            BoardCuts::at_places_until_stopped(&board, &job.shop, &kinds, &wanted, places, &stop);
        (cuts, wanted)
    }

    /// Does a strip of the first kind serve for the second?
    fn serves(&self, of: usize, wanted: usize) -> bool {
        let told = |k: &Kind| (k.thickness, k.depth, k.sap, k.centre);
        let (one, other) = (&self.kinds[of], &self.kinds[wanted]);
        let longer = !self.apart && told(one) == told(other) && one.length > other.length;
        of == wanted || longer
    }

    /// What is wanted of each kind, those it serves for with it.
    fn needed(&self) -> Vec<u32> {
        let kinds = 0..self.kinds.len();
        let of = |k: usize| kinds.clone().filter(move |&l| self.serves(l, k));
        kinds.clone().map(|k| of(k).map(|l| self.kinds[l].wanted).sum()).collect()
    }

    /// How a strip may go in that is bent so much over its own length: bend·(ℓ/L)² against limits.
    fn way(&self, kind: &Kind, turned: bool, flattened: bool) -> Option<usize> {
        let bow = if flattened { 0 } else { self.bow.abs() };
        let bend = bow * kind.length * kind.length;
        let over = self.length * self.length;
        if turned {
            // Laid on its side it is bent sidewise.
            return (bend <= PULL * over).then_some(0);
        }
        if bend <= STRAIGHT * over {
            Some(0)
        } else if bend <= PAIR * over && !kind.centre {
            Some(1)
        } else {
            None
        }
    }

    fn grain(&self, turned: bool) -> bool {
        self.rings.is_none_or(|r| if turned { 90 - r >= 60 } else { r >= 60 })
    }

    fn clear(&self, kind: &Kind, (from, to): (i64, i64), (near, far): (i64, i64)) -> bool {
        self.zones.iter().all(|&(sap, x0, x1, y0, y1)| {
            (sap && kind.sap) || x1 <= from || to <= x0 || y1 <= near || far <= y0
        })
    }
}

/// Every count vector met that no other covers.
#[derive(Clone, Debug, Default)]
struct Met(Vec<Counts>);

impl Met {
    fn nothing(kinds: usize) -> Self {
        Met(vec![vec![0; kinds * WAYS]])
    }

    fn put(&mut self, new: Counts) {
        let covers = |a: &Counts, b: &Counts| a.iter().zip(b).all(|(x, y)| x >= y);
        if !self.0.iter().any(|old| covers(old, &new)) {
            self.0.retain(|old| !covers(&new, old));
            self.0.push(new);
        }
    }

    fn join(&mut self, other: &Met) {
        other.0.iter().for_each(|c| self.put(c.clone()));
    }

    /// One of these and one of those.
    fn with(&self, other: &Met) -> Met {
        let mut sums = Met::default();
        for a in &self.0 {
            for b in &other.0 {
                sums.put(a.iter().zip(b).map(|(x, y)| x + y).collect());
            }
        }
        sums
    }
}

/// All ways of one board.
struct Brute<'a> {
    case: &'a Case,
}

impl Brute<'_> {
    fn nothing(&self) -> Met {
        Met::nothing(self.case.kinds.len())
    }

    /// A leaf from `at` to `to`.
    fn leaf(
        &self,
        leaf: i64,
        (at, to): (i64, i64),
        (near, far): (i64, i64),
        (turned, flattened): (bool, bool),
    ) -> Met {
        let mut from: BTreeMap<i64, Met> = BTreeMap::new();
        for x in (at..=to).rev() {
            let mut met = from.get(&(x + 1)).cloned().unwrap_or_else(|| self.nothing());
            for (k, kind) in self.case.kinds.iter().enumerate() {
                let (across, through) = if turned {
                    (kind.depth, kind.thickness)
                } else {
                    (kind.thickness, kind.depth)
                };
                if across != far - near
                    || through != leaf
                    || x + kind.length > to
                    || !self.case.grain(turned)
                    || !self.case.clear(kind, (x, x + kind.length), (near, far))
                {
                    continue;
                }
                let Some(way) = self.case.way(kind, turned, flattened) else { continue };
                let mut one = vec![0; self.case.kinds.len() * WAYS];
                one[k * WAYS + way] = 1;
                let after = x + kind.length + self.case.crosscut;
                let rest = from.get(&after).cloned().unwrap_or_else(|| self.nothing());
                met.join(&Met(vec![one]).with(&rest));
            }
            from.insert(x, met);
        }
        from.remove(&at).unwrap()
    }

    /// Leaves through `room` of thickness; one only where the shop can't resaw.
    fn leaves(&self, room: i64, each: &BTreeMap<i64, Met>) -> Met {
        let mut met = self.nothing();
        for (&leaf, gives) in each.range(..=room) {
            match self.case.resaw {
                Some(kerf) => {
                    met.join(&gives.with(&self.leaves(room - leaf - kerf, each)));
                }
                None => met.join(gives),
            }
        }
        met
    }

    fn rip(&self, along: (i64, i64), across: (i64, i64), turned: bool, flattened: bool) -> Met {
        let case = self.case;
        // Flattened: the loss of bow·(section/board)² is more than a whole number or it isn't.
        let (ell, over) = (along.1 - along.0, case.length * case.length);
        let lost = if flattened { case.bow.abs() * ell * ell } else { 0 };
        let room = (case.thickness * over - lost).div_euclid(over);
        let through = |k: &Kind| if turned { k.thickness } else { k.depth };
        let each: BTreeMap<i64, Met> = case
            .kinds
            .iter()
            .map(through)
            .map(|leaf| (leaf, self.leaf(leaf, along, across, (turned, flattened))))
            .collect();
        self.leaves(room, &each)
    }

    fn section(&self, from: i64, to: i64, flattened: bool) -> Met {
        let case = self.case;
        let mut met: BTreeMap<i64, Met> = BTreeMap::new();
        for y in (case.edge..=case.width).rev() {
            let mut here = met.get(&(y + 1)).cloned().unwrap_or_else(|| self.nothing());
            for turned in [false, true] {
                for width in 1..=case.width - y {
                    let across = |k: &Kind| if turned { k.depth } else { k.thickness };
                    if case.kinds.iter().any(|k| across(k) == width) {
                        let rip = self.rip((from, to), (y, y + width), turned, flattened);
                        let after = met.get(&(y + width + case.rip)).cloned();
                        here.join(&rip.with(&after.unwrap_or_else(|| self.nothing())));
                    }
                }
            }
            met.insert(y, here);
        }
        met.remove(&case.edge).unwrap_or_else(|| self.nothing())
    }

    fn board(&self) -> Met {
        let case = self.case;
        let mut met: BTreeMap<i64, Met> = BTreeMap::new();
        let (low, high) = (case.end, case.length - case.end);
        for x in (low..=high).rev() {
            let mut here = met.get(&(x + 1)).cloned().unwrap_or_else(|| self.nothing());
            for to in x + case.min_rip.max(1)..=high {
                let after = met.get(&(to + case.crosscut)).cloned();
                let after = after.unwrap_or_else(|| self.nothing());
                for flattened in [false, true] {
                    if !flattened || case.bow != 0 {
                        here.join(&self.section(x, to, flattened).with(&after));
                    }
                }
            }
            met.insert(x, here);
        }
        met.remove(&low).unwrap_or_else(|| self.nothing())
    }

    /// By kind, an odd half of a flipped pair left out, cut off at what is wanted.
    fn ways(&self) -> Vec<Counts> {
        let mut ways = Met::default();
        for counts in self.board().0 {
            let even = |n: u32| n - n % 2;
            let all = |k: usize, way: usize| -> u32 {
                let serving = (0..self.case.kinds.len()).filter(|&l| self.case.serves(l, k));
                serving.map(|l| counts[WAYS * l + way]).sum()
            };
            let of =
                |(k, n): (usize, &u32)| (all(k, 0) + even(all(k, 1)) + even(all(k, 2))).min(*n);
            ways.put(self.case.needed().iter().enumerate().map(of).collect());
        }
        ways.0.retain(|w| w.iter().any(|&n| n > 0));
        ways.0.sort();
        ways.0
    }
}

fn kind(wanted: u32) -> impl Strategy<Value = Kind> {
    let sizes = (1..=3_i64, 1..=3_i64, 2..=7_i64);
    (sizes, any::<bool>(), any::<bool>()).prop_map(
        move |((thickness, depth, length), sap, centre)| Kind {
            thickness,
            depth,
            length,
            sap,
            centre,
            wanted,
        },
    )
}

/// Boards up to 12 by 6, two kinds of strip that differ.
fn case(wanted: u32) -> impl Strategy<Value = Case> {
    let sizes = (3..=12_i64, 1..=6_i64, 1..=4_i64);
    let kinds = (kind(wanted), kind(wanted)).prop_filter("two kinds", |(a, b)| {
        (a.thickness, a.depth, a.length) != (b.thickness, b.depth, b.length)
    });
    let shop = (0..=1_i64, 0..=1_i64, 0..=1_i64, 0..=1_i64, 0..=5_i64);
    let rings = prop::sample::select(vec![None, None, Some(0), Some(90)]);
    (sizes, kinds, shop, rings).prop_flat_map(|((length, width, thickness), kinds, shop, rings)| {
        let span = |over: i64| (0..over).prop_flat_map(move |a| (Just(a), a + 1..=over));
        let zone = (any::<bool>(), span(length), span(width))
            .prop_map(|(sap, (from, to), (near, far))| (sap, from, to, near, far));
        let (crosscut, rip, edge, end, min_rip) = shop;
        vec(zone, 0..=3).prop_map(move |zones| Case {
            length,
            width,
            thickness,
            bow: 0,
            zones,
            kinds: vec![kinds.0.clone(), kinds.1.clone()],
            apart: true,
            rings,
            crosscut,
            rip,
            resaw: None,
            edge,
            end: end.min((length - 1) / 2),
            min_rip,
        })
    })
}

/// Saw cuts of a cut: two crosscuts for a section, one for a rip, one between two leaves, and one
/// for each strip.
fn saw_cuts(cuts: &BoardCuts, cut: &Cut) -> usize {
    let strips = |&(_, profile, entry): &(usize, u32, u32)| {
        cuts.profiles[profile as usize].entries[entry as usize].strips.len()
    };
    let rip = |r: &ChosenRip| r.leaves.len() + r.leaves.iter().map(strips).sum::<usize>();
    cut.iter().map(|s| 2 + s.rips.iter().map(rip).sum::<usize>()).sum()
}

/// Each listed way can be cut, and the counts of the cut are at least those. No other cut that is
/// met takes fewer saw cuts than the one with the fewest.
fn can_be_cut(case: &Case, ways: &[Counts]) {
    let (cuts, wanted) = case.cuts();
    let enough = |cut: &Cut, way: &Counts| {
        cuts.counts(cut, wanted.len()).iter().zip(way).all(|(c, w)| c >= w)
    };
    for way in ways {
        let cut = cuts.fewest_cuts(way, &[], u64::MAX).unwrap();
        assert!(enough(&cut, way), "{:?} for {way:?}", cuts.counts(&cut, wanted.len()));
        let any = cuts.any_cut(way, &[], u64::MAX).unwrap();
        assert!(enough(&any, way));
        let prices: Vec<i64> = way.iter().map(|&n| i64::from(n) + 1).collect();
        let dear = cuts.best(&cuts.value(&prices)).1;
        for other in [any, dear].iter().filter(|c| enough(c, way)) {
            assert!(saw_cuts(&cuts, &cut) <= saw_cuts(&cuts, other), "{cut:?} and {other:?}");
        }
        let one_more = (0..way.len()).map(|k| {
            let mut more = way.clone();
            more[k] += 1;
            more
        });
        for needed in std::iter::once(way.clone()).chain(one_more) {
            let listed = ways.iter().any(|w| w.iter().zip(&needed).all(|(w, n)| w >= n));
            if !listed && needed.iter().zip(case.needed()).any(|(&n, w)| n > w) {
                // More than is wanted was not looked for.
                continue;
            }
            // With few steps it may stay open, but what is said holds.
            for effort in [1, 60, 1 << 40] {
                match cuts.decide(&needed, effort) {
                    Some(Some(cut)) => assert!(listed && enough(&cut, &needed), "{needed:?}"),
                    Some(None) => assert!(!listed, "{needed:?} of {ways:?}"),
                    None => assert!(effort < 100, "{needed:?}"),
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn without_resawing(case in case(200)) {
        let ways = Brute { case: &case }.ways();
        prop_assert_eq!(&case.listed(), &ways);
        can_be_cut(&case, &ways);
    }

    /// Few are wanted: what is beyond that must not hide another way.
    #[test]
    fn where_few_are_wanted(case in case(3)) {
        let ways = Brute { case: &case }.ways();
        prop_assert_eq!(&case.listed(), &ways);
        can_be_cut(&case, &ways);
    }

    #[test]
    fn with_leaves(case in case(200), kerf in 0..=1_i64) {
        let case = Case { resaw: Some(kerf), ..case };
        let ways = Brute { case: &case }.ways();
        prop_assert_eq!(&case.listed(), &ways);
        can_be_cut(&case, &ways);
    }

    /// The face kept or flattened, strips alone or in flipped pairs.
    #[test]
    fn with_bow(case in case(6), bow in -8..=8_i64, kerf in prop::option::of(0..=1_i64)) {
        let case = Case { bow, resaw: kerf, ..case };
        let ways = Brute { case: &case }.ways();
        prop_assert_eq!(&case.listed(), &ways);
        can_be_cut(&case, &ways);
        // Over one range of all places a board gives no less.
        let hoped = case.cuts_at(&Places::everywhere()).0.list(&case.needed(), &[], u64::MAX);
        let hoped = hoped.unwrap();
        for way in &ways {
            prop_assert!(hoped.iter().any(|h| h.iter().zip(way).all(|(h, w)| h >= w)), "{way:?}");
        }
    }

    /// Of two lengths the longer one is counted for the shorter one too.
    #[test]
    fn where_a_longer_one_serves(
        case in case(6),
        bow in -8..=8_i64,
        length in 2..=7_i64,
        wanted in [1..4_u32, 1..4_u32],
    ) {
        let mut case = Case { bow, apart: false, ..case };
        prop_assume!(length != case.kinds[0].length);
        case.kinds[1] = Kind { length, wanted: wanted[1], ..case.kinds[0].clone() };
        case.kinds[0].wanted = wanted[0];
        let ways = Brute { case: &case }.ways();
        let listed = case.listed();
        prop_assert_eq!(&listed, &ways);
        can_be_cut(&case, &ways);
    }

    /// Of less than everything that is wanted. Where no more are wanted of the shorter strip than of
    /// the longer one, it counts for no more than the longer ones that serve for it; what is worth
    /// less than a floor may be left out, nothing else.
    #[test]
    fn a_part_of_what_is_wanted(
        case in case(6),
        bow in -8..=8_i64,
        length in 2..=7_i64,
        kerf in prop::option::of(0..=1_i64),
        part in [0..5_u32, 0..5_u32],
        prices in [0..9_i64, 0..9_i64],
        least in 0..40_i64,
    ) {
        let mut case = Case { bow, resaw: kerf, apart: false, ..case };
        prop_assume!(length != case.kinds[0].length);
        case.kinds[1] = Kind { length, wanted: 4, ..case.kinds[0].clone() };
        case.kinds[0].wanted = 4;
        let [long, short] = if case.kinds[0].length > length { [0, 1] } else { [1, 0] };
        let implied = part[short] <= part[long];
        let cap = |w: &Counts| -> Counts {
            let mut w: Counts = w.iter().zip(part).map(|(&n, p)| n.min(p)).collect();
            if implied {
                w[short] = w[long].min(part[short]);
            }
            w
        };
        let worth = |w: &Counts| -> i64 {
            let [of_long, of_short] = [long, short].map(|k| i64::from(w[k]) * prices[k]);
            let for_both = i64::from(w[long]) * prices[short];
            of_long + if implied { for_both } else { of_short }
        };
        let ways = Brute { case: &case }.ways();
        let cuts = case.cuts().0;
        let valued = cuts.value(&prices);
        let floor = Floor { valued: &valued, least };
        let covers = |a: &Counts, b: &Counts| a.iter().zip(b).all(|(a, b)| a >= b);
        let none = |w: &Counts| w.iter().all(|&n| n == 0);
        for floors in [&[][..], &[floor][..]] {
            let listed = cuts.list(&part, floors, u64::MAX).unwrap();
            for way in ways.iter().map(cap).filter(|w| !none(w)) {
                if floors.is_empty() || worth(&way) >= least {
                    prop_assert!(listed.iter().any(|l| covers(l, &way)), "{way:?} of {listed:?}");
                }
            }
            for l in &listed {
                prop_assert!(ways.iter().any(|w| covers(w, l)), "{l:?} of {ways:?}");
            }
        }
    }

    /// The most that a board comes to at any prices is that of its best way.
    #[test]
    fn value_is_that_of_the_best_way(case in case(200), prices in [0..9_i64, 0..9_i64]) {
        let ways = Brute { case: &case }.ways();
        let worth = |w: &Counts| w.iter().zip(prices).map(|(&n, p)| i64::from(n) * p).sum::<i64>();
        let best = ways.iter().map(worth).max().unwrap_or(0);
        prop_assert_eq!(case.cuts().0.value(&prices).best, best);
    }
}
