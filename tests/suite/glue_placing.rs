//! The best places and placings against every one of them, for few strips.

use crate::fixtures::Dice;
use stripwright::glue::forecast::{Member, forecast};
use stripwright::glue::placing::{Merit, Piece, Row, Seat, place, steps};

const LENGTHS: [f64; 3] = [0.81, 0.53, 0.81];

impl Dice {
    /// A curvature: a bend of up to 3/4 in over 8 ft, in 1/32 in.
    #[allow(clippy::cast_precision_loss)]
    fn curve(&mut self, most: u64) -> f64 {
        let parts = self.roll(2 * most + 1) as f64 - most as f64;
        8.0 * parts / 32.0 * 0.0254 / (96.0 * 0.0254_f64).powi(2)
    }

    fn piece(&mut self, woods: u64) -> Piece {
        let wood = self.roll(woods);
        Piece {
            depthwise: self.curve(6),
            sidewise: self.curve(24),
            rise: [0, 0, 1, -1][usize::try_from(self.roll(4)).unwrap()],
            modulus: [7700.0, 12000.0, 10800.0][usize::try_from(wood).unwrap()],
            weight: [0.31, 0.52, 0.37][usize::try_from(wood).unwrap()],
        }
    }
}

fn row(dice: &mut Dice, strips: usize, thickness: f64, inner: f64, woods: u64) -> Row {
    let pieces = (0..strips).map(|_| dice.piece(woods)).collect();
    Row { thickness, depth: 0.0365, inner, pieces, pairs: Vec::new() }
}

/// Which way rise is told apart here: the merit of an arrangement, worked out from the members
/// alone.
fn merit(rows: &[Row], seats: &[Vec<Seat>]) -> Merit {
    let mut sections: [Vec<Member>; 3] = [vec![], vec![], vec![]];
    let (mut up, mut down, mut lean, mut ends) = (0_u32, 0_u32, 0.0, 0.0);
    for (row, seats) in rows.iter().zip(seats) {
        for (at, seat) in seats.iter().enumerate() {
            let p = row.pieces[seat.piece];
            let sign = |kept: bool| if kept { 1.0 } else { -1.0 };
            let left = match (row.pieces.len(), at % 2) {
                (1, _) => -row.thickness / 2.0,
                (_, 0) => -row.inner - row.thickness,
                _ => row.inner,
            };
            let m = Member {
                left,
                right: left + row.thickness,
                depth: row.depth,
                modulus: p.modulus,
                sidewise: p.sidewise * sign(seat.sidewise_kept),
                depthwise: p.depthwise * sign(seat.depthwise_kept),
            };
            for (s, section) in sections.iter_mut().enumerate() {
                if row.pieces.len() < 4 || (s == 0 && at < 2) || (s == 2 && at > 1) {
                    section.push(m);
                }
            }
            match (p.rise != 0, (p.rise > 0) == seat.sidewise_kept) {
                (true, true) => up += 1,
                (true, false) => down += 1,
                _ => {}
            }
            if row.pieces.len() > 1 {
                lean += if at % 2 == 0 { -p.weight } else { p.weight };
            }
            if row.pieces.len() == 4 {
                ends += if at < 2 { -p.weight } else { p.weight };
            }
        }
    }
    let f = forecast(sections.each_ref().map(Vec::as_slice), LENGTHS);
    #[allow(clippy::cast_possible_truncation)]
    let tenths = |w: f64| (w.abs() * 1e4).round() as i64;
    Merit {
        depthwise: steps(f.depthwise),
        against: up.min(down),
        sidewise: steps(f.sidewise),
        balance: tenths(lean),
        ends: tenths(ends),
    }
}

fn orders(n: usize) -> Vec<Vec<usize>> {
    if n == 0 {
        return vec![vec![]];
    }
    let mut all = Vec::new();
    for order in orders(n - 1) {
        for at in 0..n {
            let mut order = order.clone();
            order.insert(at, n - 1);
            all.push(order);
        }
    }
    all
}

/// Every order and all four placings of each strip of a row that its flipped pairs allow: a pair
/// lies in mirrored places, depthwise opposite.
fn ways(row: &Row) -> Vec<Vec<Seat>> {
    let n = row.pieces.len();
    let mut all = Vec::new();
    for order in orders(n) {
        for bits in 0..1_u32 << (2 * n) {
            let bit = |i: usize| (bits >> i) & 1 == 0;
            let seats: Vec<Seat> = order
                .iter()
                .enumerate()
                .map(|(i, &piece)| Seat {
                    piece,
                    depthwise_kept: bit(2 * i),
                    sidewise_kept: bit(2 * i + 1),
                })
                .collect();
            let good = row.pairs.iter().all(|&(x, y)| {
                let at = |p| seats.iter().position(|s| s.piece == p).unwrap();
                let (i, j) = (at(x), at(y));
                i / 2 == j / 2 && seats[i].depthwise_kept != seats[j].depthwise_kept
            });
            if good {
                all.push(seats);
            }
        }
    }
    all
}

fn least(rows: &[Row]) -> Merit {
    let ways: Vec<_> = rows.iter().map(ways).collect();
    let mut best: Option<Merit> = None;
    let mut digits = vec![0; rows.len()];
    loop {
        let seats: Vec<Vec<Seat>> = ways.iter().zip(&digits).map(|(w, &d)| w[d].clone()).collect();
        let found = merit(rows, &seats);
        best = Some(best.map_or(found, |b| b.min(found)));
        let Some(at) = (0..digits.len()).find(|&i| digits[i] + 1 < ways[i].len()) else {
            return best.unwrap();
        };
        digits[..at].fill(0);
        digits[at] += 1;
    }
}

fn check(rows: &[Row], name: &str) {
    let placed = place(rows, LENGTHS);
    assert!(placed.proved, "{name}");
    assert_eq!(placed.merit, merit(rows, &placed.seats), "{name}: its own merit {rows:?}");
    assert_eq!(placed.merit, least(rows), "{name}: {rows:?}");
    for (row, seats) in rows.iter().zip(&placed.seats) {
        let mut used: Vec<usize> = seats.iter().map(|s| s.piece).collect();
        used.sort_unstable();
        assert_eq!(used, (0..row.pieces.len()).collect::<Vec<_>>());
        for &(x, y) in &row.pairs {
            let at = |p| seats.iter().position(|s| s.piece == p).unwrap();
            assert_eq!(at(x) / 2, at(y) / 2, "{name}: a pair in mirrored places");
            assert_ne!(seats[at(x)].depthwise_kept, seats[at(y)].depthwise_kept);
        }
    }
}

#[test]
fn centre_and_two_through_pairs_against_all_placings() {
    let mut dice = Dice(7);
    for case in 0..4 {
        let woods = 1 + case % 3;
        let rows = [
            row(&mut dice, 1, 0.006, 0.0, woods),
            row(&mut dice, 2, 0.011, 0.003, woods),
            row(&mut dice, 2, 0.009, 0.014, woods),
        ];
        check(&rows, &format!("case {case}"));
    }
}

#[test]
fn through_pair_and_blades_against_all_placings() {
    let mut dice = Dice(11);
    for case in 0..6 {
        let woods = 1 + case % 3;
        let rows = [row(&mut dice, 2, 0.012, 0.0, woods), row(&mut dice, 4, 0.014, 0.012, woods)];
        check(&rows, &format!("case {case}"));
    }
}

#[test]
fn flipped_pairs_against_all_placings() {
    let mut dice = Dice(23);
    for case in 0..6 {
        let mut rows = [row(&mut dice, 2, 0.012, 0.0, 1), row(&mut dice, 4, 0.014, 0.012, 1)];
        // The two of a pair come from one board, so they bend alike and are of one wood.
        let (x, y) = [(0, 1), (0, 2), (1, 3)][case % 3];
        rows[1].pieces[y] = rows[1].pieces[x];
        rows[1].pieces[x].depthwise *= 8.0;
        rows[1].pieces[y].depthwise *= 8.0;
        rows[1].pairs = vec![(x, y)];
        check(&rows, &format!("case {case}"));
    }
}

/// Pairs with equal and opposite bends cancel (MODEL 8); grain that is known rises one way.
#[test]
fn equal_pairs_come_to_nothing() {
    let piece = |rise| Piece { depthwise: 0.03, sidewise: 0.05, rise, modulus: 8.0, weight: 0.3 };
    let mut r = Row {
        thickness: 0.012,
        depth: 0.036,
        inner: 0.0,
        pieces: vec![piece(0), piece(0)],
        pairs: vec![(0, 1)],
    };
    let placed = place(&[r.clone()], LENGTHS);
    assert_eq!((placed.merit.depthwise, placed.merit.sidewise), (0, 0));
    // With the same grain in both, tumbling keeps it rising one way and the sidewise bend stays:
    // 0.05·ℓ²/8 over two plies of one thickness springs back to a quarter.
    r.pieces = vec![piece(1), piece(1)];
    let placed = place(&[r], LENGTHS);
    let whole = 0.05 * (2.15_f64).powi(2) / 8.0;
    assert_eq!((placed.merit.depthwise, placed.merit.against), (0, 0));
    assert_eq!(placed.merit.sidewise, steps(whole / 4.0));
}

/// More strips than most paddles have are weighed in full, and soon.
#[test]
fn nine_through_and_three_blade_laminations_are_proved() {
    let mut dice = Dice(5);
    let mut rows = vec![row(&mut dice, 1, 0.006, 0.0, 1)];
    let mut inner = 0.003;
    for n in 0..7 {
        rows.push(row(&mut dice, if n < 4 { 2 } else { 4 }, 0.007, inner, 1));
        inner += 0.007;
    }
    let start = std::time::Instant::now();
    let placed = place(&rows, LENGTHS);
    assert!(placed.proved);
    assert_eq!(placed.merit, merit(&rows, &placed.seats));
    // Generous: a test build on a busy machine.
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
    println!("{:?} {:?}", start.elapsed(), placed.merit);
}
