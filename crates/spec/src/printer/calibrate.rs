//! A printer's profile from readings of what it printed, by weighted least squares.
//!
//! Each reading m of a size drawn as d is a linear equation in the profile's eight figures (see
//! [`Profile`]). A reading's variance is that of the caliper and hand, plus the printer's own
//! scatter σ², which nobody knows beforehand: it is chosen by the weighted squares of what is left over, as
//! Paule and Mandel do (J. Res. Natl. Bur. Stand. 87 (1982) 377, for a mean; here for a fit). They make
//! the squares come to the degrees of freedom ν; here they come to ν - 2, since a σ² that comes out as none by
//! chance would make the rest look surer than it is: with ν 93 of 100 truths of simulated coupons lie in
//! intervals stated for 95, with ν - 2 96 to 97. The figures are linear in the readings, so their
//! uncertainties and correlations follow from the readings' own.

use std::collections::BTreeMap;

use bobbinwright_elementary::Elementary;
use jiff::civil::Date;
use nalgebra::{DMatrix, DVector};

use super::coupon::CouponSize;
use super::profile::{FIGURES, Profile, Scatter, Source};
use crate::Length;
use crate::measured::Measured;
use crate::problem::Problem;
use crate::quantity::{Jaws, Quantity};
use crate::reader::Noted;
use crate::{Doubt, Estimate, Origin};
use bobbinwright_estimate::student;

/// An odd size among so many is pointed out when chance alone would bring one as odd in fewer than one
/// coupon in a hundred.
const ODD: f64 = 0.01;

/// A size and its reading.
struct Observation {
    size: CouponSize,
    read: Estimate,
    /// Place of the last reading, for what is to be said of it.
    entry: (usize, crate::problem::Span),
}

/// One fit.
struct Solution {
    figures: DVector<f64>,
    /// Figures from readings: figures = `gain` · (readings - drawn sizes).
    gain: DMatrix<f64>,
    covariance: DMatrix<f64>,
    /// The printer's own variance, mm².
    scatter: f64,
}

/// A profile from everything that was read on a printer's coupons and parts; none when the readings do
/// not determine it.
pub(crate) fn profile(name: &str, measured: &mut Measured, noted: &mut Noted) -> Option<Profile> {
    let all = observations(measured);
    let freedom = all.len() as f64 - FIGURES as f64;
    if freedom < 1.0 {
        return None;
    }
    let solution = solve(&all.iter().collect::<Vec<_>>())?;
    note_odd(&all, &solution, noted);
    let pool = Some(measured.doubts.next_pool());
    let one = Length::from_mm(solution.scatter.sqrt());
    // What is less than the readings could show is not known to be none.
    let unseen =
        all.iter().map(|o| o.read.uncertainty().as_mm()).sum::<f64>() / all.len() as f64 / 2f64.sqrt();
    let scatter = Scatter { one: one.max(Length::from_mm(unseen)), freedom, pool };
    let prints: Vec<Estimate> = all
        .iter()
        .map(|_| measured.doubts.enter(Doubt { pool, ..Doubt::new(None, Origin::Print, freedom) }, one))
        .collect();
    let common = CommonError::of(&all, measured);
    let figures: [Estimate; FIGURES] = std::array::from_fn(|j| {
        let shares = all.iter().zip(&prints).enumerate().map(|(i, (o, print))| {
            let off = o.read.clone() - Estimate::exact(o.size.drawn()) + print.clone() + common.of_one(o);
            off * solution.gain[(j, i)]
        });
        shares.fold(Estimate::default(), |sum, e| sum + e)
    });
    let last = measured.taken.values().map(|t| t.last).max().unwrap_or(Date::default());
    Some(Profile::from_fit(name, Source::Coupon { sizes: all.len(), last }, figures, scatter))
}

/// The readings take half of the variance of the caliper's error to be the same for all that is read with the same jaws. All of it
/// may as well be, and a printer's figures are but a few of many sizes (JCGM 100 F.1.2.3): the other half counts as the same, too.
struct CommonError {
    /// Of a caliper's error of a millimetre, what each of its jaws have.
    by_jaws: [(Jaws, Estimate); 3],
    /// What each size has of the caliper's error that is its own, as a standard uncertainty, mm.
    own: BTreeMap<CouponSize, f64>,
}

impl CommonError {
    fn of(all: &[Observation], measured: &mut Measured) -> Self {
        let is_own =
            |d: &Doubt| d.origin == Origin::ToolError && matches!(d.quantity, Some(Quantity::Coupon(_)));
        let own = |o: &Observation| {
            let errors =
                o.read.contributions().filter(|(id, _)| measured.doubts.get(*id).is_some_and(is_own));
            (o.size, errors.map(|(_, u)| u.as_mm().power(2)).sum::<f64>().sqrt())
        };
        let own = all.iter().map(own).collect();
        let by_jaws = [Jaws::Outside, Jaws::Inside, Jaws::Depth].map(|jaws| {
            let doubt = Doubt::new(None, Origin::ToolError, f64::INFINITY);
            (jaws, measured.doubts.enter(doubt, Length::from_mm(1.0)))
        });
        Self { by_jaws, own }
    }

    fn of_one(&self, o: &Observation) -> Estimate {
        let jaws = Quantity::Coupon(o.size).usual_jaws();
        let error = self.by_jaws.iter().find(|(of, _)| *of == jaws).map(|(_, error)| error.clone());
        let own = self.own.get(&o.size).copied().unwrap_or_default();
        error.unwrap_or_default() * own
    }
}

fn observations(measured: &Measured) -> Vec<Observation> {
    let known = measured.estimates.iter().filter_map(|(quantity, read)| {
        let Quantity::Coupon(size) = quantity else { return None };
        let entry = measured.taken.get(quantity).map(|t| (t.entry, t.span)).unwrap_or_default();
        Some(Observation { size: *size, read: read.clone(), entry })
    });
    known.collect()
}

/// The fit with the scatter that explains what is left over; none when the readings do not determine
/// all figures.
fn solve(all: &[&Observation]) -> Option<Solution> {
    let freedom = all.len() as f64 - FIGURES as f64;
    let at = |scatter: f64| solve_with(all, scatter);
    let excess = |solution: &Solution| weighted_squares(all, solution) - (freedom - 2.0).max(0.5);
    let least = at(0.0).filter(Solution::is_determined)?;
    if freedom < 1.0 || excess(&least) <= 0.0 {
        return Some(least);
    }
    // In standard deviations from none to 10 mm, by halves.
    let (mut low, mut high) = (0.0, 10.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if excess(&at(middle * middle)?) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    at(high * high)
}

impl Solution {
    /// With nearly the same sizes only, what is solved for is noise.
    fn is_determined(&self) -> bool {
        (0..FIGURES).all(|j| (0.0..LOOSEST * LOOSEST).contains(&self.covariance[(j, j)]))
    }
}

/// A figure that is less sure than this, mm, is not determined.
const LOOSEST: f64 = 1.0;

/// The least variance of a reading, mm²: a micrometre's.
const FLOOR: f64 = 1e-6;

fn variance(o: &Observation, scatter: f64) -> f64 {
    (o.read.uncertainty().as_mm().power(2) + scatter).max(FLOOR)
}

fn solve_with(all: &[&Observation], scatter: f64) -> Option<Solution> {
    let n = all.len();
    let rows = DMatrix::from_fn(n, FIGURES, |i, j| Profile::coefficients(all[i].size)[j]);
    let off = DVector::from_fn(n, |i, _| (all[i].read.value() - all[i].size.drawn()).as_mm());
    let weights = DMatrix::from_diagonal(&DVector::from_fn(n, |i, _| 1.0 / variance(all[i], scatter)));
    let weighted = rows.transpose() * weights;
    let covariance = (&weighted * &rows).try_inverse()?;
    let gain = &covariance * weighted;
    Some(Solution { figures: &gain * off, gain, covariance, scatter })
}

fn left_over(o: &Observation, figures: &DVector<f64>) -> f64 {
    let row = Profile::coefficients(o.size);
    let expected: f64 = row.iter().zip(figures.iter()).map(|(a, b)| a * b).sum();
    (o.read.value() - o.size.drawn()).as_mm() - expected
}

fn weighted_squares(all: &[&Observation], solution: &Solution) -> f64 {
    let square = |o: &&Observation| left_over(o, &solution.figures).power(2) / variance(o, solution.scatter);
    all.iter().map(square).sum()
}

/// Points out each size that the others do not make one expect: its reading against a fit without it,
/// in standard uncertainties of the two, judged by Student's t and by how many sizes there are.
fn note_odd(all: &[Observation], whole: &Solution, noted: &mut Noted) {
    let freedom = all.len() as f64 - 1.0 - FIGURES as f64;
    if freedom < 1.0 {
        return;
    }
    let mut odd: Vec<(f64, &Observation, f64)> = Vec::new();
    for (i, o) in all.iter().enumerate() {
        // What is this near to a fit that it is part of itself is never that odd.
        if left_over(o, &whole.figures).power(2) < variance(o, whole.scatter) {
            continue;
        }
        let others: Vec<&Observation> =
            all.iter().enumerate().filter(|(k, _)| *k != i).map(|(_, o)| o).collect();
        let Some(solution) = solve(&others) else { continue };
        let row = DVector::from_row_slice(&Profile::coefficients(o.size));
        let expected = (row.transpose() * &solution.covariance * &row)[(0, 0)];
        let off = left_over(o, &solution.figures);
        let t = off / (variance(o, solution.scatter) + expected).sqrt();
        let chance = student::beyond(t, freedom);
        if chance * (all.len() as f64) < ODD {
            odd.push((t.abs(), o, off));
        }
    }
    // One wrong size makes its neighbours look odd too: the worst of them is the one to look at, and any
    // that could be meant as well.
    odd.sort_by(|a, b| b.0.total_cmp(&a.0));
    let Some((worst, o, off)) = odd.first() else { return };
    let others: Vec<String> = odd[1..]
        .iter()
        .filter(|(t, ..)| *t > 0.9 * worst)
        .map(|(_, o, _)| format!("{} (entry {})", o.size, o.entry.0))
        .collect();
    let (entry, span) = o.entry;
    let off = Length::from_mm(*off);
    let side = if off < Length::ZERO { "smaller" } else { "larger" };
    let or = if others.is_empty() {
        String::new()
    } else {
        format!("; or the slip is in {}", others.join(" or "))
    };
    let message = format!(
        "entry {entry}: {} came out {} {side} than all other sizes make one expect{or}",
        o.size,
        off.abs()
    );
    let hint = "read it again, and withdraw the wrong reading; until then the whole profile counts as that much less sure";
    noted.problems.push(Problem::notice(span, message).hint(hint));
}
