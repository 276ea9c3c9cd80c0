//! Weight, balance and stiffness of a blank and of the paddle shaped from it.
//!
//! The paddle is taken as: a loom as wide and thick as planed, its corners rounded to a quarter of
//! its thickness; blades whose width grows evenly from the loom's to the full width at the tip and
//! whose thickness falls evenly from the loom's to `blade_tip`; across the blade the thickness
//! falls from the middle to `blade_edge` at both edges as a parabola. Wood at 12 % moisture;
//! without glue and finish.

use crate::glue::forecast::{Member, stiff_depthwise, stiff_sidewise};
use crate::glue::laid::{Laid, Reach};
use crate::glue::settings::GlueSettings;
use crate::glue::signs::Placing;
use crate::length::Length;
use crate::lumber::Species;
use crate::paddle::{Paddle, Shop};

/// Above this density a solid loom is heavier than common practice: 28 lb/ft³, in kg/m³.
pub const HEAVY_LOOM: f64 = 28.0 * 0.453_592_37 / 0.028_316_846_592;

/// What a blank and its paddle weigh, and how stiff its loom is. Figures that need a wood's
/// missing density or modulus are left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Figures {
    /// Weight of the blank as glued, kg.
    pub glued: Option<f64>,
    /// Weight when planed and cut to length, kg.
    pub planed: Option<f64>,
    /// Weight of the shaped paddle, kg.
    pub paddle: Option<f64>,
    /// Its balance point, metres from the middle, + towards end B.
    pub balance: Option<f64>,
    /// Right half less left half of the planed blank, kg.
    pub right_less_left: Option<f64>,
    /// Density of the loom, kg/m³.
    pub loom_density: Option<f64>,
    /// E·I of the planed loom depthwise, N·m²: against the push of the stroke.
    pub loom_depthwise: Option<f64>,
    /// E·I of the planed loom sidewise, N·m².
    pub loom_sidewise: Option<f64>,
    /// The solid loom to compare with.
    pub reference: Option<Reference>,
    /// Woods whose density or modulus isn't known.
    pub unknown: Vec<Species>,
}

/// A solid loom of one wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference {
    /// Its wood.
    pub species: Species,
    /// Its width.
    pub width: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Its E·I depthwise, N·m².
    pub depthwise: f64,
    /// Its E·I sidewise, N·m².
    pub sidewise: f64,
}

/// A strip's own density where it was weighed, else its wood's.
fn density(p: &Laid, settings: &GlueSettings) -> Option<f64> {
    p.density.or_else(|| settings.density(&p.species))
}

impl Figures {
    /// Is the loom heavier than common practice?
    pub fn heavy_loom(&self) -> bool {
        self.loom_density.is_some_and(|d| d > HEAVY_LOOM)
    }

    /// Works them out for the strips of one blank.
    pub fn of(paddle: &Paddle, shop: &Shop, places: &[Laid], settings: &GlueSettings) -> Self {
        let mut unknown: Vec<Species> = Vec::new();
        for p in places {
            let known = density(p, settings).is_some() && settings.modulus(&p.species).is_some();
            if !known && !unknown.iter().any(|s| s.matches(&p.species)) {
                unknown.push(p.species.clone());
            }
        }
        let mut figures = Figures { unknown, ..Figures::default() };
        let densities: Option<Vec<f64>> = places.iter().map(|p| density(p, settings)).collect();
        if let Some(densities) = densities {
            figures.weigh(paddle, shop, places, &densities, settings);
        }
        figures.stiffen(paddle, places, settings);
        figures
    }

    fn weigh(
        &mut self,
        paddle: &Paddle,
        shop: &Shop,
        places: &[Laid],
        densities: &[f64],
        settings: &GlueSettings,
    ) {
        let depth = paddle.thickness.metres();
        let planing = 2.0 * shop.plane.metres();
        let trim = paddle.trim.metres();
        let (mut glued, mut planed, mut lean) = (0.0, 0.0, 0.0);
        for (p, density) in places.iter().zip(densities) {
            let long = p.length.metres();
            let ends = if p.reach == Reach::Through { 2.0 } else { 1.0 };
            let wide = p.thickness().metres();
            let cut = density * wide * depth * (long - ends * trim);
            glued += density * wide * (depth + planing) * long;
            planed += cut;
            // A strip on the centreline lies half on each side.
            let (left, right) = (p.left.metres().min(0.0), p.right.metres().max(0.0));
            let over = (p.right.metres().min(0.0) - left, right - p.left.metres().max(0.0));
            lean += cut * (over.1 - over.0) / wide.max(f64::MIN_POSITIVE);
        }
        self.glued = Some(glued);
        self.planed = Some(planed);
        self.right_less_left = Some(lean);
        let loom: Vec<(f64, f64)> = places
            .iter()
            .zip(densities)
            .filter(|(p, _)| p.reach == Reach::Through)
            .map(|(p, d)| (p.thickness().metres(), *d))
            .collect();
        let width: f64 = loom.iter().map(|l| l.0).sum();
        if width > 0.0 {
            self.loom_density = Some(loom.iter().map(|l| l.0 * l.1).sum::<f64>() / width);
        }
        let shape = Shape::of(paddle, settings);
        let (mut weight, mut moment) = (0.0, 0.0);
        for (p, density) in places.iter().zip(densities) {
            let (volume, first) = shape.carve(p);
            weight += density * volume;
            moment += density * first;
        }
        self.paddle = Some(weight);
        self.balance = (weight > 0.0).then_some(moment / weight);
    }

    fn stiffen(&mut self, paddle: &Paddle, places: &[Laid], settings: &GlueSettings) {
        let loom: Option<Vec<Member>> = places
            .iter()
            .filter(|p| p.reach == Reach::Through)
            .map(|p| {
                let modulus = settings.modulus(&p.species)? * 1e6;
                let member = p.member(Placing::AsItLies, modulus);
                Some(Member { depth: paddle.thickness.metres(), ..member })
            })
            .collect();
        if let Some(loom) = loom.filter(|l| !l.is_empty()) {
            self.loom_depthwise = Some(stiff_depthwise(&loom));
            self.loom_sidewise = Some(stiff_sidewise(&loom));
        }
        let species = &settings.reference_species;
        self.reference = settings.modulus(species).map(|modulus| {
            let (w, t) = (settings.reference_width, settings.reference_thickness);
            let (wide, thick) = (w.metres(), t.metres());
            Reference {
                species: species.clone(),
                width: w,
                thickness: t,
                depthwise: modulus * 1e6 * wide * thick.powi(3) / 12.0,
                sidewise: modulus * 1e6 * thick * wide.powi(3) / 12.0,
            }
        });
    }
}

/// The finished paddle's shape, metres.
struct Shape {
    half: f64,
    loom_half: f64,
    loom_width: f64,
    blade_width: f64,
    thickness: f64,
    tip: f64,
    edge: f64,
}

/// Steps along a blade or the loom, and across a strip.
const ALONG: u32 = 64;
const ACROSS: u32 = 16;

impl Shape {
    fn of(paddle: &Paddle, settings: &GlueSettings) -> Self {
        let thickness = paddle.thickness.metres();
        Shape {
            half: paddle.length.metres() / 2.0,
            loom_half: paddle.loom.metres() / 2.0,
            loom_width: paddle.loom_width().metres(),
            blade_width: paddle.blade_width().metres(),
            thickness,
            tip: settings.blade_tip.metres().min(thickness),
            edge: settings.blade_edge.metres(),
        }
    }

    /// Thickness of the loom at `y` from the centreline.
    fn loom(&self, y: f64) -> f64 {
        let radius = (self.thickness / 4.0).min(self.loom_width / 2.0);
        let into = y.abs() - (self.loom_width / 2.0 - radius);
        match into {
            i if i <= 0.0 => self.thickness,
            i if i >= radius => 0.0,
            i => self.thickness - 2.0 * (radius - (radius * radius - i * i).sqrt()),
        }
    }

    /// Thickness of a blade at `y` from the centreline, `u` (0 to 1) of the way to the tip.
    fn blade(&self, u: f64, y: f64) -> f64 {
        let half = (self.loom_width + u * (self.blade_width - self.loom_width)) / 2.0;
        if y.abs() >= half || half <= 0.0 {
            return 0.0;
        }
        let middle = self.thickness + u * (self.tip - self.thickness);
        let edge = self.edge.min(middle);
        edge + (middle - edge) * (1.0 - (y / half).powi(2))
    }

    /// Volume that is left of a strip, and its first moment along, + towards B.
    fn carve(&self, strip: &Laid) -> (f64, f64) {
        let (left, right) = (strip.left.metres(), strip.right.metres());
        let across = (right - left) / f64::from(ACROSS);
        let middle = |n: u32, of: u32| (f64::from(n) + 0.5) / f64::from(of);
        let mut sum = (0.0, 0.0);
        let mut blade = |way: f64| {
            let long = self.half - self.loom_half;
            for i in 0..ALONG {
                let u = middle(i, ALONG);
                let area: f64 = (0..ACROSS)
                    .map(|j| self.blade(u, left + (right - left) * middle(j, ACROSS)) * across)
                    .sum();
                let volume = area * long / f64::from(ALONG);
                sum.0 += volume;
                sum.1 += volume * way * (self.loom_half + u * long);
            }
        };
        match strip.reach {
            Reach::BladeA => blade(-1.0),
            Reach::BladeB => blade(1.0),
            Reach::Through => {
                blade(-1.0);
                blade(1.0);
                let area: f64 = (0..ACROSS)
                    .map(|j| self.loom(left + (right - left) * middle(j, ACROSS)) * across)
                    .sum();
                sum.0 += area * 2.0 * self.loom_half;
            }
        }
        sum
    }
}
