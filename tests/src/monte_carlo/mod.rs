//! Propagation of distributions (JCGM 101) beside the program's propagation of uncertainty (JCGM 100).
//!
//! Every cause of doubt is drawn from its distribution: scatter from Student's t of its degrees of
//! freedom (JCGM 101 6.4.9), pooled scatter with one χ² for the pool, all else from a rectangle (6.4.2). The derived quantities are worked out
//! again from the draws, by formulas written here and not by the program's, without linearising. The
//! generator is `ChaCha8` (D. J. Bernstein, 2008).

mod formulas;

use std::collections::HashMap;
use std::fmt;

use bobbinwright_core::Prepared;
use bobbinwright_estimate::expanded;
use bobbinwright_kernel::threads;
use bobbinwright_spec::{DoubtId, Doubts, Estimate, Folder, Origin, Survey, When};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use rand_distr::{ChiSquared, Distribution, StandardNormal};

use crate::{FITTING, folder};

/// Coverage that both ways are compared at.
const COVERAGE: f64 = 0.95;

/// A derived quantity by both ways, mm.
#[derive(Clone, Debug)]
pub struct Row {
    /// Demo and quantity.
    pub name: String,
    /// Best value, standard uncertainty and expanded uncertainty for 95 % by the program.
    pub stated: [f64; 3],
    /// Mean, standard deviation and half the shortest 95 % interval of the draws.
    pub drawn: [f64; 3],
    /// The fewest degrees of freedom of a scatter that has a fiftieth of the variance or more.
    pub least_freedom: f64,
    /// How much wider than its standard uncertainty Student's t is, each cause with its degrees of freedom ν by
    /// √(ν / (ν - 2)): what the draws must come to.
    pub wider: f64,
}

impl Row {
    /// The heads of the table's columns.
    pub const HEAD: &'static str = "derived quantity, mm                           value      u    U95 |   drawn      u    U95 | ratio u  U95 to spare  from few repeats";

    /// How much wider than the drawn interval the stated one is, mm; negative when it claims too much.
    pub fn to_spare(&self) -> f64 {
        self.stated[2] - self.drawn[2]
    }

    /// It rests on a scatter known from fewer than ten repeats.
    pub fn from_few(&self) -> bool {
        self.least_freedom < 10.0
    }

    /// Stated standard uncertainty, as wide as Student's t is, over the drawn one.
    pub fn ratio(&self) -> f64 {
        self.stated[1] * self.wider / self.drawn[1]
    }
}

impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ([v, u, w], [vd, ud, wd]) = (self.stated, self.drawn);
        let (ratio, spare) = (self.ratio(), self.to_spare());
        let few = if self.least_freedom < 30.0 {
            format!("       ν = {:.0}", self.least_freedom)
        } else {
            String::new()
        };
        write!(
            f,
            "{:43} {v:8.3} {u:.4} {w:.4} | {vd:7.3} {ud:.4} {wd:.4} | {ratio:.3}  {spare:+.4}{few}",
            self.name
        )
    }
}

/// One draw of every cause.
struct Draw<'a> {
    doubts: &'a Doubts,
    rng: &'a mut ChaCha8Rng,
    known: HashMap<DoubtId, f64>,
    /// How far each pool's scatter is from what is thought of it: √(ν/χ²).
    pools: HashMap<usize, f64>,
}

impl Draw<'_> {
    /// A value of an estimate; causes that were drawn before stay as they are.
    fn of(&mut self, estimate: &Estimate) -> f64 {
        let mut value = estimate.value().as_mm();
        for (id, u) in estimate.contributions() {
            let z = match self.known.get(&id) {
                Some(z) => *z,
                None => self.standard(id),
            };
            self.known.insert(id, z);
            value += u.as_mm() * z;
        }
        value
    }

    /// One draw of a cause with standard uncertainty one. Causes of one pool share its χ²: whoever is
    /// wrong about one of them is wrong about all.
    fn standard(&mut self, id: DoubtId) -> f64 {
        let Some(doubt) = self.doubts.get(id) else { return 0.0 };
        if !is_scatter(doubt.origin) || doubt.freedom.is_infinite() {
            return match doubt.origin {
                Origin::Scatter { .. } | Origin::OfOnePiece => StandardNormal.sample(self.rng),
                _ => self.rectangle(3f64.sqrt()),
            };
        }
        let normal: f64 = StandardNormal.sample(self.rng);
        let known = doubt.pool.and_then(|pool| self.pools.get(&pool)).copied();
        let off = known.unwrap_or_else(|| {
            let chi = ChiSquared::new(doubt.freedom).map_or(doubt.freedom, |chi| chi.sample(self.rng));
            (doubt.freedom / chi).sqrt()
        });
        if let Some(pool) = doubt.pool {
            self.pools.insert(pool, off);
        }
        normal * off
    }

    fn rectangle(&mut self, half: f64) -> f64 {
        self.rng.random_range(-half..=half)
    }

    /// A size as the printer makes it.
    fn print(&mut self, size: f64, tolerance: f64) -> f64 {
        size + self.rectangle(tolerance)
    }
}

/// All derived quantities of the demos, from so many draws each.
///
/// # Panics
///
/// When a demo does not build.
pub fn table(trials: u32) -> Vec<Row> {
    // The formulas are those of rectangles.
    let square = FITTING.into_iter().filter(|name| *name != "transom");
    square.flat_map(|name| of_demo(name, trials)).collect()
}

fn of_demo(name: &str, trials: u32) -> Vec<Row> {
    let survey =
        Survey::load_at(&Folder::on_disk(folder(name)), When::default()).unwrap_or_else(|e| panic!("{e}"));
    let family = survey.clone().family().unwrap_or_else(|e| panic!("{e}"));
    let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
    let formulas: Vec<formulas::Derived> =
        (0..prepared.positions.len()).flat_map(|i| formulas::all(&survey, &prepared, i)).collect();
    threads::map(&formulas, |derived| {
        let doubts = &prepared.fit.doubts;
        let mut rng = ChaCha8Rng::seed_from_u64(20_261_125);
        let draws = (0..trials).map(|_| {
            let mut draw = Draw { doubts, rng: &mut rng, known: HashMap::new(), pools: HashMap::new() };
            (derived.formula)(&mut draw)
        });
        let drawn = summary(draws.collect());
        let stated = &derived.stated;
        let half = expanded(stated, doubts, COVERAGE).as_mm();
        Row {
            name: format!("{name}: {}", derived.name),
            stated: [stated.value().as_mm(), stated.uncertainty().as_mm(), half],
            drawn,
            least_freedom: least_freedom(stated, doubts),
            wider: wider(stated, doubts),
        }
    })
}

fn wider(stated: &Estimate, doubts: &Doubts) -> f64 {
    let each = stated.contributions().map(|(id, u)| {
        // A belief is drawn from a rectangle, whatever its scale is known by.
        let scatters = doubts.get(id).filter(|d| is_scatter(d.origin));
        let freedom = scatters.map_or(f64::INFINITY, |d| d.freedom);
        let variance = u.as_mm().powi(2);
        (variance, if freedom.is_finite() { variance * freedom / (freedom - 2.0) } else { variance })
    });
    let (stated, drawn) = each.fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    (drawn / stated).sqrt()
}

/// Is a cause drawn from Student's t?
fn is_scatter(origin: Origin) -> bool {
    matches!(origin, Origin::Scatter { .. } | Origin::OfOnePiece | Origin::Contradiction)
}

fn least_freedom(stated: &Estimate, doubts: &Doubts) -> f64 {
    let freedom = |id| doubts.get(id).map_or(f64::INFINITY, |d| d.freedom);
    let counts = |u: f64| u * u > 0.02 * stated.uncertainty().as_mm().powi(2);
    let all = stated.contributions().filter(|(_, u)| counts(u.as_mm()));
    all.map(|(id, _)| freedom(id)).fold(f64::INFINITY, f64::min)
}

/// Mean, standard deviation, and half the width of the shortest interval with 95 % of all draws
/// (JCGM 101 7.7).
fn summary(mut draws: Vec<f64>) -> [f64; 3] {
    draws.sort_by(f64::total_cmp);
    let n = draws.len() as f64;
    let mean = draws.iter().sum::<f64>() / n;
    let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
    let inside = (COVERAGE * n).ceil() as usize;
    let widths = draws.windows(inside).map(|w| w[inside - 1] - w[0]);
    let shortest = widths.fold(f64::INFINITY, f64::min);
    [mean, variance.sqrt(), shortest / 2.0]
}
