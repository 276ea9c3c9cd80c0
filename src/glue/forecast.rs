//! How a glued blank bends (MODEL 8): beam theory over three lengths, each of one section.
//!
//! A blade holds the through strips and its own blade strips; the loom holds the through strips
//! alone. In each, the clamps press strips of curvatures κᵢ to one shape, and when they come off
//! the section takes the curvature at which its bending moments cancel:
//!
//! * sidewise κ = ΣEᵢIᵢκᵢ / Σ(EᵢIᵢ + EᵢAᵢ(yᵢ−ȳ)²), Iᵢ = D·tᵢ³/12, Aᵢ = D·tᵢ, ȳ the centre of EA;
//! * depthwise κ = ΣEᵢIᵢκᵢ / ΣEᵢIᵢ, Iᵢ = tᵢ·D³/12.
//!
//! The blank's own bend is the greatest gap between its curve and the string from end to end.

/// A strip as a beam: metres, 1/m; the modulus in any one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Left edge from the centreline.
    pub left: f64,
    /// Right edge from the centreline.
    pub right: f64,
    /// Depth.
    pub depth: f64,
    /// Modulus of elasticity.
    pub modulus: f64,
    /// Own sidewise curvature, + middle to the right.
    pub sidewise: f64,
    /// Own depthwise curvature, + upper face hollow.
    pub depthwise: f64,
}

impl Member {
    /// E·I about its own middle, for bending sidewise.
    pub fn stiff_sidewise(&self) -> f64 {
        self.modulus * self.depth * (self.right - self.left).powi(3) / 12.0
    }

    /// E·I for bending depthwise.
    pub fn stiff_depthwise(&self) -> f64 {
        self.modulus * (self.right - self.left) * self.depth.powi(3) / 12.0
    }

    /// E·A.
    fn pull(&self) -> f64 {
        self.modulus * (self.right - self.left) * self.depth
    }

    fn middle(&self) -> f64 {
        f64::midpoint(self.left, self.right)
    }
}

/// E·I of a glued section sidewise, by the parallel-axis rule, in the members' unit × m⁴.
pub fn stiff_sidewise(members: &[Member]) -> f64 {
    let pull: f64 = members.iter().map(Member::pull).sum();
    if pull <= 0.0 {
        return 0.0;
    }
    let centre = members.iter().map(|m| m.pull() * m.middle()).sum::<f64>() / pull;
    members.iter().map(|m| m.stiff_sidewise() + m.pull() * (m.middle() - centre).powi(2)).sum()
}

/// E·I of a glued section depthwise.
pub fn stiff_depthwise(members: &[Member]) -> f64 {
    members.iter().map(Member::stiff_depthwise).sum()
}

fn share(top: f64, bottom: f64) -> f64 {
    if bottom > 0.0 { top / bottom } else { 0.0 }
}

/// The sidewise curvature a glued section springs back to, 1/m.
pub fn sidewise(members: &[Member]) -> f64 {
    let moment: f64 = members.iter().map(|m| m.stiff_sidewise() * m.sidewise).sum();
    share(moment, stiff_sidewise(members))
}

/// The depthwise curvature of a glued section, 1/m.
pub fn depthwise(members: &[Member]) -> f64 {
    let moment: f64 = members.iter().map(|m| m.stiff_depthwise() * m.depthwise).sum();
    share(moment, stiff_depthwise(members))
}

/// The greatest gap, with its sign, between a curve of constant curvatures over three lengths and
/// the string from end to end; metres. Of two equal gaps the one nearer to end A.
pub fn gap(curvature: [f64; 3], lengths: [f64; 3]) -> f64 {
    let total: f64 = lengths.iter().sum();
    if total <= 0.0 {
        return 0.0;
    }
    // g'' = −κ with g = 0 at both ends.
    let mut start = 0.0;
    let mut turn = 0.0;
    for (k, l) in curvature.iter().zip(lengths) {
        turn += k * l * (total - start - l / 2.0);
        start += l;
    }
    let (mut slope, mut at, mut most) = (turn / total, 0.0_f64, 0.0_f64);
    for (k, l) in curvature.iter().zip(lengths) {
        let along = |x: f64| at + slope * x - k * x * x / 2.0;
        let summit = slope / k;
        for x in [summit, l] {
            if x > 0.0 && x <= l && along(x).abs() > most.abs() {
                most = along(x);
            }
        }
        (at, slope) = (along(l), slope - k * l);
    }
    most
}

/// Bend of one length of the blank.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stretch {
    /// Sidewise bend over this length when the clamps come off, metres, + middle to the right.
    pub sidewise: f64,
    /// Depthwise bend over this length, metres, + upper face hollow.
    pub depthwise: f64,
    /// The greatest sidewise bend that the clamps pull out of one of its strips, over this
    /// length, metres, without sign.
    pub pulled: f64,
    /// How many strips it holds.
    pub strips: usize,
}

/// Bends foretold of a blank.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Forecast {
    /// Greatest sidewise gap to the string from end to end, metres, + to the right.
    pub sidewise: f64,
    /// Greatest depthwise gap, metres, + upper face hollow.
    pub depthwise: f64,
    /// The blade at A, the loom, the blade at B.
    pub stretches: [Stretch; 3],
}

/// Foretells the bends of a blank from the strips of the blade at A, the loom and the blade at B,
/// and those three lengths in metres.
pub fn forecast(sections: [&[Member]; 3], lengths: [f64; 3]) -> Forecast {
    let side = sections.map(sidewise);
    let deep = sections.map(depthwise);
    let stretch = |i: usize| {
        let over = lengths[i].powi(2) / 8.0;
        let most = sections[i].iter().map(|m| m.sidewise.abs()).fold(0.0, f64::max);
        Stretch {
            sidewise: side[i] * over,
            depthwise: deep[i] * over,
            pulled: most * over,
            strips: sections[i].len(),
        }
    };
    Forecast {
        sidewise: gap(side, lengths),
        depthwise: gap(deep, lengths),
        stretches: [stretch(0), stretch(1), stretch(2)],
    }
}

#[cfg(test)]
mod tests {
    use super::{Member, depthwise, forecast, gap, sidewise, stiff_sidewise};

    fn plies(n: u32, thick: f64, curvature: f64) -> Vec<Member> {
        (0..n)
            .map(|i| Member {
                left: f64::from(i) * thick,
                right: f64::from(i + 1) * thick,
                depth: 0.035,
                modulus: 10.0,
                sidewise: curvature,
                depthwise: curvature,
            })
            .collect()
    }

    /// Springback of n equal plies is x/n²: 3 in and 4 plies 3/16, 8 plies 3/64 (boatbuilders'
    /// rule, and beam theory).
    #[test]
    fn equal_plies_spring_back_one_in_n_squared() {
        for (n, inches) in [(4, 3.0 / 16.0), (8, 3.0 / 64.0)] {
            let (length, bend) = (2.0, 3.0 * 0.0254);
            let section = plies(n, 0.006, 8.0 * bend / (length * length));
            let back = sidewise(&section) * length * length / 8.0;
            assert!((back / 0.0254 - inches).abs() < 1e-9, "{n}: {back}");
            // Depthwise nothing is pulled straight: the bend stays whole.
            let deep = depthwise(&section) * length * length / 8.0;
            assert!((deep - bend).abs() < 1e-12);
        }
    }

    /// A two-material beam by hand: a stiff strip 10 wide between two of 20, 30 deep, E 12 and 8.
    /// Outer: 2·8·(30·20³/12 + 600·15²) = 2·8·(20 000 + 135 000) = 2 480 000; inner:
    /// 12·30·10³/12 = 30 000; together 2 510 000.
    #[test]
    fn composite_stiffness_by_hand() {
        let strip = |left: f64, right: f64, modulus: f64| Member {
            left,
            right,
            depth: 30.0,
            modulus,
            sidewise: 0.0,
            depthwise: 0.0,
        };
        let beam = [strip(-25.0, -5.0, 8.0), strip(-5.0, 5.0, 12.0), strip(5.0, 25.0, 8.0)];
        assert!((stiff_sidewise(&beam) - 2_510_000.0).abs() < 1e-6);
        // Depthwise: (2·8·20 + 12·10)·30³/12 = 440·2250 = 990 000.
        assert!((super::stiff_depthwise(&beam) - 990_000.0).abs() < 1e-6);
        // A lopsided pair, E 1 and 3, each 1 × 1: ȳ = 3/4·1.5 + 1/4·0.5 = 1.25;
        // (1 + 3)/12 + 1·0.75² + 3·0.25² = 1/3 + 3/4.
        let pair = [
            Member { depth: 1.0, ..strip(0.0, 1.0, 1.0) },
            Member { depth: 1.0, ..strip(1.0, 2.0, 3.0) },
        ];
        assert!((stiff_sidewise(&pair) - 13.0 / 12.0).abs() < 1e-12);
    }

    #[test]
    fn one_curvature_over_all_is_a_parabola() {
        let g = gap([0.08; 3], [0.9, 0.5, 0.9]);
        assert!((g - 0.08 * 2.3 * 2.3 / 8.0).abs() < 1e-12);
        assert!((gap([-0.08; 3], [0.9, 0.5, 0.9]) + g).abs() < 1e-15);
        // Blades that bend opposite ways leave an S. By hand: the string leaves A at a slope of
        // (0.08·2 − 0.08·0.5)/2.5 = 0.048, and the curve is highest 0.048/0.08 = 0.6 along.
        let s = gap([0.08, 0.0, -0.08], [1.0, 0.5, 1.0]);
        assert!((s - 0.048 * 0.6 / 2.0).abs() < 1e-12);
        assert!(gap([0.0; 3], [1.0; 3]).abs() < 1e-15);
    }

    /// The gap found by stepping along the curve agrees with the closed form.
    #[test]
    fn gap_against_stepping() {
        let (k, l) = ([0.05, -0.02, 0.08], [0.8, 0.5, 0.9]);
        let total: f64 = l.iter().sum();
        let n = 20_000_u32;
        let h = total / f64::from(n);
        let at = |x: f64| {
            if x < l[0] {
                k[0]
            } else if x < l[0] + l[1] {
                k[1]
            } else {
                k[2]
            }
        };
        let (mut y, mut slope, mut curve) = (0.0, 0.0, vec![0.0]);
        for i in 0..n {
            let bend = at((f64::from(i) + 0.5) * h);
            y += slope * h - bend * h * h / 2.0;
            slope -= bend * h;
            curve.push(y);
        }
        let most = (0..=n).zip(&curve).map(|(i, g)| g - y * f64::from(i) / f64::from(n));
        let most = most.fold(0.0_f64, |a, b| if b.abs() > a.abs() { b } else { a });
        assert!((most - gap(k, l)).abs() < 1e-5, "{most} {}", gap(k, l));
    }

    #[test]
    fn swapping_left_and_right_changes_only_the_sign() {
        let strip = |left, right, modulus, sidewise| Member {
            left,
            right,
            depth: 0.035,
            modulus,
            sidewise,
            depthwise: sidewise / 3.0,
        };
        let right = [
            strip(-0.02, -0.005, 8.0, 0.1),
            strip(-0.005, 0.005, 12.0, -0.03),
            strip(0.005, 0.02, 11.0, 0.02),
        ];
        let left =
            right.map(|m| Member { left: -m.right, right: -m.left, sidewise: -m.sidewise, ..m });
        let f = |m: &[Member]| forecast([m, m, m], [0.8, 0.5, 0.8]);
        assert!((f(&right).sidewise + f(&left).sidewise).abs() < 1e-15);
        assert!((f(&right).depthwise - f(&left).depthwise).abs() < 1e-15);
    }
}
