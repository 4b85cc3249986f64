//! Readings as a network: weighted least squares, as surveyors adjust what they measured.
//!
//! Every reading is an equation: a sum of unknowns, each times a factor, is a value with its doubts. All are solved at
//! once, weighted by the inverse of their covariance, whatever they have in common; the unknowns are linear in the readings, so
//! that they remember every cause of doubt ([`adjust`]).
//!
//! What is left over of a reading tells whether it can be true beside the others. It is held against *its own* standard
//! uncertainty, which is less than the reading's: what a reading is off pulls the solution after it, and only the share
//! that is called redundancy shows (Baarda's test, 1968, from memory). [`Adjusted::suspects`] says which readings can't all be true,
//! with the limit that the largest of so many leftovers keeps, found by drawing.

use bobbinwright_elementary::Elementary;
use nalgebra::{DMatrix, DVector};

use crate::causes::Causes;
use crate::doubt::DoubtId;
use crate::doubts::Doubts;
use crate::draws::{next, scatter, score};
use crate::estimate::Estimate;
use crate::{Length, student};

/// A reading: Σ factor · unknown = value.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, network::{Equation, adjust}};
/// let mut doubts = Doubts::<()>::default();
/// let mut read = |mm| {
///     let doubt = Doubt::new(None, Origin::Resolution, f64::INFINITY);
///     doubts.enter(doubt, Length::from_mm(0.03)).moved_to(Length::from_mm(mm))
/// };
/// // A bar of two pieces, read piece by piece and whole: the 0.03 mm that are too much are shared by all three.
/// let bar = [
///     Equation { terms: vec![(0, 1.0)], value: read(10.0) },
///     Equation { terms: vec![(1, 1.0)], value: read(20.0) },
///     Equation { terms: vec![(0, 1.0), (1, 1.0)], value: read(30.03) },
/// ];
/// let adjusted = adjust(&bar, 2).unwrap();
/// assert!((adjusted.unknowns[0].value().as_mm() - 10.01).abs() < 1e-9);
/// // Closed form: u² of a piece is 2/3 of a reading's, and of each reading a third is redundant.
/// assert!((adjusted.unknowns[0].uncertainty().as_mm() - 0.03 * (2.0f64 / 3.0).sqrt()).abs() < 1e-9);
/// assert!(adjusted.leftovers.iter().all(|l| (l.redundancy - 1.0 / 3.0).abs() < 1e-9));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Equation {
    /// Unknowns by their number from 0, with their factors.
    pub terms: Vec<(usize, f64)>,
    /// What was read, with its doubts.
    pub value: Estimate,
}

/// An unknown that no reading ties to the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Loose(pub usize);

/// A network's solution.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjusted {
    /// The unknowns, with all that they have in common.
    pub unknowns: Vec<Estimate>,
    /// What is left over of each reading.
    pub leftovers: Vec<Leftover>,
    /// How much of errors of two readings shows together: weights times cofactors of what is left over times weights.
    shown: DMatrix<f64>,
}

/// What is told of an error that several readings have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InCommon {
    /// How far all of them are off, if all others are true.
    pub off: Length,
    /// The standard uncertainty of that.
    pub uncertainty: Length,
}

impl InCommon {
    /// The smallest error that is found, see [`Leftover::least_slip`].
    pub fn least_slip(&self) -> Length {
        self.uncertainty * FOUND
    }

    /// How many standard uncertainties it is off.
    pub fn ratio(&self) -> f64 {
        (self.off.as_mm() / self.uncertainty.as_mm()).abs()
    }
}

/// An error is found with a probability of 80 % where one honest reading in a thousand is suspected from so many standard
/// uncertainties of what it would be off: 3.2905 + 0.8416 (Baarda 1968).
const FOUND: f64 = 4.1321;

/// What is left over of a reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Leftover {
    /// The reading less what the solution makes of it.
    pub value: Estimate,
    /// The share, from 0 to 1, of an error of this reading that shows in what is left over; all of them add up to the number of readings
    /// that are too many.
    pub redundancy: f64,
    /// How far the reading is off if all others are true, with the doubt of that; none where nothing else tells.
    pub off: Option<Estimate>,
    /// How far each unknown moves for a millimetre that this reading is off.
    pub moves: Vec<f64>,
}

/// Readings of which less than this shows have no second way to them.
const SHOWS: f64 = 1e-6;

/// A doubt that is less is taken for this, mm: nothing is known better.
const EXACT: f64 = 1e-6;

impl Leftover {
    /// The smallest error of this reading that is found with a probability of 80 % where one honest reading in a thousand is
    /// suspected: 4.13 standard uncertainties of what it would be off (3.2905 + 0.8416; Baarda 1968).
    ///
    /// None where no error would ever show.
    pub fn least_slip(&self) -> Option<Length> {
        self.off.as_ref().map(|off| off.uncertainty() * FOUND)
    }
}

/// Solves a network. Orthogonal factors keep the digits that normal equations lose.
///
/// # Errors
///
/// When an unknown is tied to nothing, or two only to each other.
pub fn adjust(equations: &[Equation], unknowns: usize) -> Result<Adjusted, Loose> {
    let n = equations.len();
    let whitened = Whitened::of(equations, unknowns);
    let Solved { map, left } = whitened.solve()?;
    // P = L⁻ᵀ L⁻¹; P times what is left over tells of each reading by itself.
    let weights = whitened.unmix.transpose() * &whitened.unmix;
    let mut told = &weights * &left;
    let shown_together = told.clone();
    // (P Q_v P)ᵢᵢ, where Q_v P = I - A M.
    let shows = |i: usize| left[(i, i)] > SHOWS && told[(i, i)] > 0.0;
    let shown: Vec<bool> = (0..n).map(shows).collect();
    for (i, mut row) in told.row_iter_mut().enumerate() {
        if shown[i] {
            row /= row[i];
        }
    }
    let values: Vec<&Estimate> = equations.iter().map(|e| &e.value).collect();
    let sums = |shares: &DMatrix<f64>| whitened.causes.sums(&values, shares);
    let leftovers = sums(&left).into_iter().zip(sums(&told)).enumerate().map(|(i, (value, off))| Leftover {
        value,
        redundancy: left[(i, i)],
        off: shown[i].then_some(off),
        moves: map.column(i).iter().copied().collect(),
    });
    Ok(Adjusted { unknowns: sums(&map), leftovers: leftovers.collect(), shown: shown_together })
}

/// The unknowns' best values, mm, and of each reading what is left over, mm, with its redundancy: what [`adjust`] says
/// without the doubts.
///
/// # Errors
///
/// Those of [`adjust`].
pub fn best_values(equations: &[Equation], unknowns: usize) -> Result<(Vec<f64>, Vec<[f64; 2]>), Loose> {
    let Solved { map, left } = Whitened::of(equations, unknowns).solve()?;
    let values = DVector::from_iterator(equations.len(), equations.iter().map(|e| e.value.value));
    let leftovers = (&left * &values).iter().enumerate().map(|(i, v)| [*v, left[(i, i)]]).collect();
    Ok(((map * values).iter().copied().collect(), leftovers))
}

/// Equations made independent and of unit variance.
struct Whitened {
    causes: Causes,
    raw: DMatrix<f64>,
    /// L⁻¹, where the readings' covariance is L Lᵀ.
    unmix: DMatrix<f64>,
    slopes: DMatrix<f64>,
}

/// The unknowns by the readings, and what is left over of these by them.
struct Solved {
    map: DMatrix<f64>,
    left: DMatrix<f64>,
}

impl Whitened {
    fn of(equations: &[Equation], unknowns: usize) -> Self {
        let n = equations.len();
        let mut raw = DMatrix::<f64>::zeros(n, unknowns);
        for (i, equation) in equations.iter().enumerate() {
            for (unknown, factor) in &equation.terms {
                raw[(i, *unknown)] += factor;
            }
        }
        let causes = Causes::of(&equations.iter().map(|e| &e.value).collect::<Vec<_>>());
        let mut covariance = causes.covariances();
        for i in 0..n {
            covariance[(i, i)] += EXACT * EXACT;
        }
        let identity = DMatrix::<f64>::identity(n, n);
        // With what was added to the diagonal a covariance has a root.
        let root = covariance.cholesky().map_or_else(|| identity.clone(), |c| c.l());
        let unmix = root.solve_lower_triangular(&identity).unwrap_or(identity);
        let slopes = &unmix * &raw;
        Self { causes, raw, unmix, slopes }
    }

    fn solve(&self) -> Result<Solved, Loose> {
        let (n, unknowns) = self.raw.shape();
        if n < unknowns {
            return Err(self.loose());
        }
        let qr = self.slopes.clone().qr();
        let (q, r) = (qr.q(), qr.r());
        let scale = r.diagonal().iter().fold(0.0f64, |most, v| most.max(v.abs()));
        if r.diagonal().iter().any(|v| v.abs() <= 1e-12 * scale) {
            return Err(self.loose());
        }
        // x = R⁻¹ Qᵀ L⁻¹ b.
        let Some(solved) = r.solve_upper_triangular(&q.transpose()) else { return Err(self.loose()) };
        let map = solved * &self.unmix;
        // What is left over is (I - A M) b.
        let mut left = DMatrix::<f64>::identity(n, n);
        left -= &self.raw * &map;
        Ok(Solved { map, left })
    }

    /// An unknown that can be moved without any reading noticing: what has the largest share of such a motion.
    fn loose(&self) -> Loose {
        let unknowns = self.raw.ncols();
        let normal = self.slopes.transpose() * &self.slopes;
        let eigen = normal.symmetric_eigen();
        let least = (0..unknowns).min_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        let column: DVector<f64> =
            least.map_or(DVector::zeros(unknowns), |i| eigen.eigenvectors.column(i).into());
        let most = (0..unknowns).max_by(|a, b| column[*a].abs().total_cmp(&column[*b].abs()));
        Loose(most.unwrap_or_default())
    }
}

/// Readings of which one at least is wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspects {
    /// Which they may be, the likeliest first: those that another is not ten times likelier than. Round a single loop they
    /// are all alike, and only a reading across it would tell.
    pub among: Vec<usize>,
    /// How far the first is off if it is the one.
    pub off: Length,
}

impl Adjusted {
    /// What is told of an error of which some readings have a share each, as by a hand that holds a tool wrongly in all of them, or
    /// by a diameter that was added to one and taken off another; none where nothing else tells.
    pub fn in_common(&self, readings: &[(usize, f64)]) -> Option<InCommon> {
        // With errors along a, weights P and cofactors Q of what is left over v: aᵀ P v over aᵀ P Q P a.
        let pairs = readings.iter().flat_map(|one| readings.iter().map(move |other| (one, other)));
        let shows: f64 = pairs.map(|((i, a), (j, b))| a * b * self.shown[(*i, *j)]).sum();
        let own = readings.iter().filter_map(|(i, a)| {
            Some(a * self.leftovers[*i].off.as_ref()?.value().as_mm() * self.shown[(*i, *i)])
        });
        let told: f64 = own.sum();
        (shows > SHOWS).then(|| InCommon {
            off: Length::from_mm(told / shows),
            uncertainty: Length::from_mm(1.0 / shows.sqrt()),
        })
    }

    /// The readings of which one must be wrong; none where honest readings leave so much over more often than `seldom`.
    ///
    /// Asked only of those for which `is_read` holds: what is believed is no reading.
    pub fn suspects<Q: Clone + PartialEq>(
        &self,
        doubts: &Doubts<Q>,
        is_read: impl Fn(usize) -> bool,
        seldom: f64,
    ) -> Option<Suspects> {
        let told = self.leftovers.iter().enumerate().filter(|(i, _)| is_read(*i));
        let told: Vec<(usize, &Estimate)> = told.filter_map(|(i, l)| Some((i, l.off.as_ref()?))).collect();
        let ratio = |off: &Estimate| (off.value().as_mm() / off.uncertainty().as_mm()).abs();
        let chance = |off: &Estimate| student::beyond(ratio(off), doubts.freedom(off));
        let (first, most) = told.iter().max_by(|a, b| ratio(a.1).total_cmp(&ratio(b.1)))?;
        let alone = told.iter().map(|(_, off)| chance(off)).fold(1.0, f64::min);
        // If one alone is not seldom, none is; if all together would be, each of them is.
        let is_seldom = alone <= seldom
            && (alone * told.len() as f64 <= seldom || beyond(&told, ratio(most), doubts) <= seldom);
        if !is_seldom {
            return None;
        }
        // Likelihood falls with exp(-w²/2).
        let is_alike = |off: &Estimate| ratio(off).power(2) + 2.0 * 10f64.logarithm() > ratio(most).power(2);
        let mut among: Vec<(usize, f64)> =
            told.iter().filter(|(_, off)| is_alike(off)).map(|(i, off)| (*i, ratio(off))).collect();
        among.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let off = self.leftovers[*first].off.as_ref()?.value().abs();
        Some(Suspects { among: among.into_iter().map(|(i, _)| i).collect(), off })
    }
}

/// How often the largest standardised leftover of honest readings is beyond a limit: by drawing, always the same draws.
/// Where scatter itself was told by few readings it is drawn too.
fn beyond<Q: Clone + PartialEq>(told: &[(usize, &Estimate)], limit: f64, doubts: &Doubts<Q>) -> f64 {
    const DRAWS: u32 = 2000;
    let mut ids: Vec<DoubtId> = told.iter().flat_map(|(_, e)| e.parts.iter().map(|(id, _)| *id)).collect();
    ids.sort_unstable();
    ids.dedup();
    let place = |id: &DoubtId| ids.binary_search(id).unwrap_or_default();
    let rows: Vec<Vec<(usize, f64)>> = told
        .iter()
        .map(|(_, off)| {
            let u = off.uncertainty().as_mm();
            off.parts.iter().map(|(id, part)| (place(id), part / u)).collect()
        })
        .collect();
    // Causes of one pool are wrong about their scatter together.
    let mut pools: Vec<(Option<usize>, f64)> = Vec::new();
    let pool_of: Vec<Option<usize>> = ids
        .iter()
        .map(|id| {
            let doubt = doubts.get(*id).filter(|d| d.freedom.is_finite())?;
            let known = pools.iter().position(|p| p.0.is_some() && p.0 == doubt.pool);
            Some(known.unwrap_or_else(|| {
                pools.push((doubt.pool, doubt.freedom.max(1.0)));
                pools.len() - 1
            }))
        })
        .collect();
    let mut state = 1;
    let mut normal = || score((next(&mut state) >> 11) as f64 / (1u64 << 53) as f64);
    let mut beyond = 0;
    for _ in 0..DRAWS {
        let wider: Vec<f64> = pools.iter().map(|(_, freedom)| 1.0 / scatter(*freedom, normal())).collect();
        let causes: Vec<f64> =
            pool_of.iter().map(|pool| normal() * pool.map_or(1.0, |pool| wider[pool])).collect();
        let is_beyond = |row: &Vec<(usize, f64)>| {
            row.iter().map(|(i, share)| share * causes[*i]).sum::<f64>().abs() > limit
        };
        beyond += u32::from(rows.iter().any(is_beyond));
    }
    f64::from(beyond) / f64::from(DRAWS)
}
