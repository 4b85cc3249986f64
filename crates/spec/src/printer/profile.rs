//! How a printer's parts differ from what was drawn, and what to draw so that they do not.
//!
//! A printed length is, with d the drawn one, s = 1 + stretch / 100 mm along its axis and s̄ the mean of
//! both axes:
//!
//! | what | comes out as |
//! |---|---|
//! | between outer faces | s d + 2 growth |
//! | between inner faces | s d - 2 growth |
//! | the same at the bed | s d ± 2 (growth + foot) |
//! | an upright hole | s̄ d - `hole_far` - `hole_near` · 3 mm / d |
//! | a height over the bed | s d + lift |
//! | a distance between middles, or between levels | s d |
//!
//! and every size scatters on its own besides. That small holes lose more than large ones is common
//! practice: a bead laid round a small circle is pulled inwards more.

use bobbinwright_elementary::Elementary;
use jiff::civil::Date;

use super::coupon::{Axis, CouponSize, Drawn};
use super::material::Material;
use crate::Length;
use crate::quantity::Quantity;
use crate::{Doubt, Doubts, Estimate, Origin};

/// The length that a stretch is stated for.
const SPAN: Length = Length::from_mm(100.0);

/// The hole at which [`Profile::hole_near`] is all of it.
const SMALL_HOLE: Length = Length::from_mm(3.0);

/// Where a profile comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// What is usual for the material (common practice).
    Usual(Material),
    /// A coupon that was printed and read.
    Coupon {
        /// How many sizes were read, those of other parts too.
        sizes: usize,
        /// The day of the last reading.
        last: Date,
    },
}

/// How large a printer makes what was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// The printer's name.
    pub name: String,
    /// Where it comes from.
    pub source: Source,
    /// What is added to a length of 100 mm along x, y and z; negative where the material shrinks.
    pub stretch: [Estimate; 3],
    /// How far a wall stands out beyond where it was drawn.
    pub growth: Estimate,
    /// What a hole's diameter lacks, however large it is.
    pub hole_far: Estimate,
    /// What the diameter of a hole of 3 mm lacks besides; of others in inverse proportion.
    pub hole_near: Estimate,
    /// How much further the first layer spreads, on each side.
    pub foot: Estimate,
    /// What is added to a height over the bed.
    pub lift: Estimate,
    /// Scatter of one printed size.
    pub scatter: Scatter,
}

/// By how much printed sizes differ for no reason.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Standard deviation.
    pub one: Length,
    /// Degrees of freedom of it.
    pub freedom: f64,
    /// All that is wrong about it together.
    pub pool: Option<usize>,
}

/// How a size comes to be; decides what a printer does to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// Between two outer faces.
    Outer(Axis),
    /// Between two inner faces.
    Inner(Axis),
    /// An upright hole's diameter.
    Hole,
    /// Over the bed.
    Height,
    /// Between two levels.
    Depth,
    /// Between middles.
    Between(Axis),
}

/// What a hole loses and walls gain where nothing was measured, with the half-widths of rectangular
/// distributions (common practice: holes print 0.1 to 0.3 mm small, a first layer spreads by 0.1 to
/// 0.3 mm).
const HOLE: (f64, f64) = (0.2, 0.1);
const GROWTH_WITHIN: f64 = 0.05;
const FOOT: (f64, f64) = (0.2, 0.1);
const LIFT_WITHIN: f64 = 0.05;
/// The same parts printed again differ by this (common practice).
const SCATTER: Length = Length::from_mm(0.03);

impl Profile {
    /// What is usual for a material.
    pub fn usual(name: &str, material: Material, doubts: &mut Doubts) -> Self {
        let mut within = |value: f64, half: f64| {
            let doubt = Doubt::new(None, Origin::Print, f64::INFINITY);
            let u = Length::from_mm(half / 3f64.sqrt());
            doubts.enter(doubt, u).moved_to(Length::from_mm(value))
        };
        let stretch = material.usual().scale_within * SPAN.as_mm();
        Self {
            name: name.to_owned(),
            source: Source::Usual(material),
            stretch: [within(0.0, stretch), within(0.0, stretch), within(0.0, stretch)],
            growth: within(0.0, GROWTH_WITHIN),
            hole_far: within(HOLE.0, HOLE.1),
            hole_near: Estimate::default(),
            foot: within(FOOT.0, FOOT.1),
            lift: within(0.0, LIFT_WITHIN),
            scatter: Scatter { one: SCATTER, freedom: f64::INFINITY, pool: None },
        }
    }

    /// Printed length over drawn length along x, y or z.
    pub fn scale(&self, axis: usize) -> f64 {
        1.0 + self.stretch[axis].value().as_mm() / SPAN.as_mm()
    }

    /// The mean of both axes on the bed, which holes go by.
    pub fn scale_of_holes(&self) -> f64 {
        f64::midpoint(self.scale(0), self.scale(1))
    }

    /// What a hole drawn with this diameter lacks.
    pub fn hole_loss(&self, drawn: Length) -> Length {
        self.hole_far.value() + self.hole_near.value() * (SMALL_HOLE.as_mm() / drawn.as_mm())
    }

    /// What to draw so that a size comes out as wanted. Zero or less when there is nothing to draw.
    pub fn drawn(&self, wanted: Length, made: Made) -> Length {
        let growth = self.growth.value() * 2.0;
        match made {
            Made::Outer(axis) => (wanted - growth) / self.scale(axis as usize),
            Made::Inner(axis) => (wanted + growth) / self.scale(axis as usize),
            Made::Hole => self.drawn_hole(wanted),
            Made::Height => (wanted - self.lift.value()) / self.scale(2),
            Made::Depth => wanted / self.scale(2),
            Made::Between(axis) => wanted / self.scale(axis as usize),
        }
    }

    /// The larger solution of s̄ d² - (wanted + far) d - 3 mm · near = 0; nothing where there is none.
    fn drawn_hole(&self, wanted: Length) -> Length {
        let (s, b) = (self.scale_of_holes(), (wanted + self.hole_far.value()).as_mm());
        let c = SMALL_HOLE.as_mm() * self.hole_near.value().as_mm();
        let under = b * b + 4.0 * s * c;
        if under < 0.0 { Length::ZERO } else { Length::from_mm((b + under.sqrt()) / (2.0 * s)) }
    }

    /// How a drawn size comes out by the profile, with the profile's doubts; a single print scatters
    /// round that.
    pub fn printed(&self, drawn: Length, made: Made) -> Estimate {
        let stretched = |axis: usize| {
            Estimate::exact(drawn) + self.stretch[axis].clone() * (drawn.as_mm() / SPAN.as_mm())
        };
        let growth = || self.growth.clone() * 2.0;
        match made {
            Made::Outer(axis) => stretched(axis as usize) + growth(),
            Made::Inner(axis) => stretched(axis as usize) - growth(),
            Made::Hole => {
                let mean = (stretched(0) + stretched(1)) * 0.5;
                let near = self.hole_near.clone() * (SMALL_HOLE.as_mm() / drawn.as_mm());
                mean - self.hole_far.clone() - near
            }
            Made::Height => stretched(2) + self.lift.clone(),
            Made::Depth => stretched(2),
            Made::Between(axis) => stretched(axis as usize),
        }
    }

    /// A size that is drawn so that it comes out as wanted, as it will be on the next print: its value is
    /// the wanted one, its doubts are those of the profile and of one print.
    pub fn made(&self, wanted: Length, made: Made, of: Option<Quantity>, doubts: &mut Doubts) -> Estimate {
        let drawn = self.drawn(wanted, made).max(Length::from_mm(0.01));
        (self.printed(drawn, made) + self.one_print(of, doubts)).moved_to(wanted)
    }

    /// Zero, with the scatter of one printed size.
    pub fn one_print(&self, of: Option<Quantity>, doubts: &mut Doubts) -> Estimate {
        let Scatter { one, freedom, pool } = self.scatter;
        // Whatever a fit says, no two prints are alike to less than a micrometre.
        let one = one.max(Length::from_mm(0.001));
        doubts.enter(Doubt { pool, ..Doubt::new(of, Origin::Print, freedom) }, one)
    }

    /// The name under which a size, drawn so that it comes out as wanted, is read for a printer's profile;
    /// none for distances that tell nothing of walls.
    pub fn as_coupon(drawn: Length, made: Made) -> Option<CouponSize> {
        let d = Drawn::new(drawn);
        match made {
            Made::Outer(axis) => Some(CouponSize::Outer(axis, d)),
            Made::Inner(axis) => Some(CouponSize::Slot(axis, d)),
            Made::Hole => Some(CouponSize::Hole(d)),
            Made::Height => Some(CouponSize::Height(d)),
            Made::Depth | Made::Between(_) => None,
        }
    }

    /// The coefficients of the eight figures in a size drawn as `d`, in the order of [`Profile::from_fit`].
    pub(crate) fn coefficients(size: CouponSize) -> [f64; FIGURES] {
        use CouponSize as C;
        let d = size.drawn().as_mm();
        let share = d / SPAN.as_mm();
        let mut row = [0.0; FIGURES];
        match size {
            C::Outer(a, _) => (row[a as usize], row[3]) = (share, 2.0),
            C::Slot(a, _) => (row[a as usize], row[3]) = (share, -2.0),
            C::Foot(a, _) => (row[a as usize], row[3], row[6]) = (share, 2.0, 2.0),
            C::Post(_) => (row[0], row[1], row[3]) = (share / 2.0, share / 2.0, 2.0),
            C::Hole(_) => {
                let near = -SMALL_HOLE.as_mm() / d;
                (row[0], row[1], row[4], row[5]) = (share / 2.0, share / 2.0, -1.0, near);
            }
            C::Height(_) => (row[2], row[7]) = (share, 1.0),
        }
        row
    }

    /// What a size that is drawn so comes out as by the profile, with its doubts and one print's scatter.
    pub fn expected(&self, size: CouponSize) -> (Length, Length) {
        let mean = self.comes_out(size);
        let u = mean.uncertainty().as_mm().hypotenuse(self.scatter.one.as_mm());
        (mean.value(), Length::from_mm(u))
    }

    /// The same with the profile's doubts alone: what many prints come out as in the mean.
    pub fn comes_out(&self, size: CouponSize) -> Estimate {
        let figures = [&self.stretch[0], &self.stretch[1], &self.stretch[2], &self.growth];
        let figures = figures.into_iter().chain([&self.hole_far, &self.hole_near, &self.foot, &self.lift]);
        let terms = figures.zip(Self::coefficients(size)).map(|(figure, c)| figure.clone() * c);
        terms.fold(Estimate::exact(size.drawn()), |sum, term| sum + term)
    }

    /// A profile from the eight fitted figures.
    pub(crate) fn from_fit(
        name: &str,
        source: Source,
        figures: [Estimate; FIGURES],
        scatter: Scatter,
    ) -> Self {
        let [x, y, z, growth, hole_far, hole_near, foot, lift] = figures;
        Self {
            name: name.to_owned(),
            source,
            stretch: [x, y, z],
            growth,
            hole_far,
            hole_near,
            foot,
            lift,
            scatter,
        }
    }
}

/// How many figures make a profile.
pub(crate) const FIGURES: usize = 8;
