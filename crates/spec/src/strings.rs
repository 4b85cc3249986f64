//! Where the strings run over a position.
//!
//! Unknown are the strings' places x along the row, from the rout's middle, treble positive. Every
//! reading is a linear equation: a pair gives a difference, a side reading ties an outer string to
//! the rout. Weighted least squares solves them all at once; what was read twice in different ways
//! is averaged by weight, and the uncertainties follow through the same matrix.

use bobbinwright_elementary::Elementary;
use nalgebra::{DMatrix, DVector};

use crate::Length;
use crate::measured::Measured;
use crate::median::median;
use crate::problem::Problem;
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};
use crate::reader::Noted;
use crate::{Doubt, Doubts, Estimate, Origin};
use bobbinwright_estimate::student;

/// How unevenly a nut or bridge may be slotted where single spacings were not read: half-width of
/// a rectangular distribution (common practice).
const UNEVEN: Length = Length::from_mm(0.3);

/// A spacing that differs more than this from what its neighbours make one expect is rather a slip
/// than a slot cut that far off (common practice).
const ODD: Length = Length::from_mm(0.6);

/// What saddles that are not equally far from the nut change the fan-out by (common practice: they are set a few
/// millimetres apart): standard uncertainty.
const COMPENSATION: Length = Length::from_mm(0.03);

/// One equation: coefficients of the strings' places, and the value.
struct Equation {
    quantity: Quantity,
    left: Vec<(usize, f64)>,
    right: Estimate,
}

/// The outer strings' distance by fan-out: w(x) = `w_bridge` + (`w_nut` - `w_bridge`) x / scale, where x
/// is the distance from the saddles. Strings are straight, so this is exact for equal distances of
/// all saddles (compensation of a few millimetres changes it by hundredths).
pub(crate) fn fan_out(measured: &Measured, position: &str) -> Option<Estimate> {
    let instrument = |q| measured.estimates.get(&Quantity::Instrument(q));
    let at = |q| measured.estimates.get(&Quantity::At(position.to_owned(), q));
    let inputs = [
        instrument(InstrumentQuantity::BridgeSpread)?,
        instrument(InstrumentQuantity::NutSpread)?,
        at(PositionQuantity::BridgeDistance)?,
        instrument(InstrumentQuantity::Scale)?,
    ];
    Some(Estimate::of(&inputs, |v| {
        let [bridge, nut, x, scale] = [v[0], v[1], v[2], v[3]];
        bridge + (nut - bridge) * (x.as_mm() / scale.as_mm())
    }))
}

/// The outer strings' distance in two independent ways, and whether they agree.
#[derive(Clone, Debug, PartialEq)]
pub struct FanOut {
    /// From nut, bridge, scale and distance.
    pub predicted: Estimate,
    /// From the readings over the position, where they tie all strings.
    pub read: Option<Estimate>,
}

impl FanOut {
    /// How far the two are apart, when their doubts do not explain that.
    pub fn contradiction(&self, doubts: &Doubts) -> Option<Length> {
        let apart = self.predicted.clone() - self.read.clone()?;
        let ratio = apart.value().as_mm() / apart.uncertainty().as_mm().hypotenuse(COMPENSATION.as_mm());
        (student::beyond(ratio, doubts.freedom(&apart)) < ACCUSED).then(|| apart.value().abs())
    }
}

/// All that the readings say about the strings' places.
struct Readings {
    equations: Vec<Equation>,
    linked: Links,
    /// What is needed to tie the strings to the rout and to each other.
    lacking: Vec<Quantity>,
}

fn readings(measured: &Measured, position: &str, strings: usize) -> Readings {
    let at = |q| Quantity::At(position.to_owned(), q);
    let mut found = Readings { equations: Vec::new(), linked: Links::new(strings), lacking: Vec::new() };
    for (quantity, estimate) in &measured.estimates {
        let Quantity::At(p, PositionQuantity::StringPair(a, b)) = quantity else { continue };
        if p == position {
            // The lower number lies on the treble side.
            let left = vec![(a - 1, 1.0), (b - 1, -1.0)];
            found.equations.push(Equation { quantity: quantity.clone(), left, right: estimate.clone() });
            found.linked.join(a - 1, b - 1);
        }
    }
    let get = |q| measured.estimates.get(&at(q)).cloned();
    let half = get(PositionQuantity::RoutLength).map(|l| l * 0.5);
    let (bass, treble) = (get(PositionQuantity::BassSide), get(PositionQuantity::TrebleSide));
    if half.is_none() {
        found.lacking.push(at(PositionQuantity::RoutLength));
    }
    match (&bass, &treble) {
        (None, None) => found.lacking.push(at(PositionQuantity::BassSide)),
        (Some(_), Some(_)) => found.linked.join(0, strings - 1),
        _ => {}
    }
    if let Some(half) = half {
        let bass = bass.map(|b| Equation {
            quantity: at(PositionQuantity::BassSide),
            left: vec![(strings - 1, 1.0)],
            right: b - half.clone(),
        });
        let treble = treble.map(|t| Equation {
            quantity: at(PositionQuantity::TrebleSide),
            left: vec![(0, 1.0)],
            right: half - t,
        });
        found.equations.extend(bass.into_iter().chain(treble));
    }
    if !found.linked.all() && fan_out(measured, position).is_none() {
        let open = (1..strings).filter(|n| !found.linked.tied(n - 1, *n));
        found.lacking.extend(open.map(|n| at(PositionQuantity::StringPair(n, n + 1))));
    }
    found
}

/// The readings without which the strings' places are unknown.
pub(crate) fn lacking(measured: &Measured, position: &str, strings: usize) -> Vec<Quantity> {
    readings(measured, position, strings).lacking
}

/// Places of strings 1 to n; none when a reading is lacking. Where neighbours are not tied by
/// readings they are taken to stand as the fan-out says, evenly, with the doubt that they do not.
pub(crate) fn places(measured: &mut Measured, position: &str, strings: usize) -> Option<Places> {
    let Readings { mut equations, mut linked, lacking } = readings(measured, position, strings);
    if !lacking.is_empty() {
        return None;
    }
    let all_read = linked.all();
    if !all_read {
        let span = fan_out(measured, position)?;
        equations.push(Equation {
            quantity: Quantity::Instrument(InstrumentQuantity::BridgeSpread),
            left: vec![(0, 1.0), (strings - 1, -1.0)],
            right: span.clone(),
        });
        let pitch = span * (1.0 / (strings - 1) as f64);
        for i in 0..strings - 1 {
            if linked.tied(i, i + 1) {
                continue;
            }
            let quantity = Quantity::At(position.to_owned(), PositionQuantity::StringPair(i + 1, i + 2));
            let doubt = Doubt::new(Some(quantity.clone()), Origin::Assumed, f64::INFINITY);
            let uneven = measured.doubts.enter(doubt, UNEVEN / 3f64.sqrt());
            let left = vec![(i, 1.0), (i + 1, -1.0)];
            equations.push(Equation { quantity, left, right: pitch.clone() + uneven });
            linked.join(i, i + 1);
        }
    }
    let count = strings;
    let strings = solve(&equations, strings)?;
    let contradiction = contradiction(&equations, &strings, &measured.doubts, position);
    // Round a closed chain every reading is off alike; the neighbours tell which of them it is.
    let odd = odd_spacing(measured, position, count).map(|(quantity, _)| quantity);
    let doubt = contradiction.as_ref().map(|Contradiction { among, apart }| {
        let blamed = odd.clone().or_else(|| among.first().cloned());
        let doubt = Doubt::new(blamed, Origin::Contradiction, f64::INFINITY);
        // Which of them is wrong nobody knows: the strings are anywhere between.
        measured.doubts.enter(doubt, *apart / 12f64.sqrt())
    });
    let strings: Vec<Estimate> = strings.into_iter().map(|s| s + doubt.clone().unwrap_or_default()).collect();
    let spread = all_read.then(|| strings[0].clone() - strings[count - 1].clone());
    // An odd spacing has been pointed out already.
    let is_odd = odd.is_some();
    Some(Places { strings, spread, contradiction: contradiction.filter(|_| !is_odd), is_odd })
}

/// Where the strings run, and what is doubtful about it.
pub(crate) struct Places {
    /// Strings 1 to n.
    pub strings: Vec<Estimate>,
    /// The outer strings' distance by the readings over the position, where they tie all strings.
    pub spread: Option<Estimate>,
    /// Readings that can't all be true.
    pub contradiction: Option<Contradiction>,
    /// One spacing has been pointed out already.
    pub is_odd: bool,
}

/// String readings that contradict each other. The places then carry that much more doubt.
pub(crate) struct Contradiction {
    /// Those that it may be, alike likely; in one closed chain that is all of them.
    pub among: Vec<Quantity>,
    /// How far off one of them would be, were all others true.
    pub apart: Length,
}

/// So seldom may an honest sheet of readings be accused.
const ACCUSED: f64 = 0.01;

/// An equation's residual has its own standard uncertainty, which is less than the reading's: what a reading is
/// off pulls the solution after it. Of a reading that nothing else bears on nothing is left over, however wrong it
/// is. (Baarda's test, as surveyors adjust networks; from memory.)
fn contradiction(
    equations: &[Equation],
    places: &[Estimate],
    doubts: &Doubts,
    position: &str,
) -> Option<Contradiction> {
    let rated = equations.iter().filter_map(|e| {
        let terms = e.left.iter().map(|(s, factor)| places[*s].clone() * *factor);
        let left_over = terms.fold(-e.right.clone(), |sum, term| sum + term);
        let (own, u) = (e.right.uncertainty().as_mm(), left_over.uncertainty().as_mm());
        let off = left_over.value().as_mm();
        // Below that it is rounding noise of a reading without a second way to it.
        (u > 0.01 * own && u > 1e-6).then(|| {
            let chance = student::beyond(off / u, doubts.freedom(&left_over));
            (off.abs() / u, chance, Length::from_mm(off.abs() * (own / u).power(2)), e)
        })
    });
    let rated: Vec<_> = rated.collect();
    // The least likely, and among those too unlikely to tell apart the furthest off.
    let (ratio, chance, apart, _) =
        rated.iter().min_by(|a, b| a.1.total_cmp(&b.1).then(b.0.total_cmp(&a.0)))?;
    if chance * rated.len() as f64 > ACCUSED {
        return None;
    }
    // In one closed chain all are alike; and nobody is blamed alone whom another is not ten times likelier than.
    let is_alike =
        |r: &&(f64, f64, Length, &Equation)| r.0.power(2) + 2.0 * 10f64.logarithm() > ratio.power(2);
    let mut among: Vec<Quantity> = rated.iter().filter(is_alike).map(|r| r.3.quantity.clone()).collect();
    // The rout's length stands in the readings from both its ends.
    let at = |q| Quantity::At(position.to_owned(), q);
    if [PositionQuantity::BassSide, PositionQuantity::TrebleSide].iter().all(|q| among.contains(&at(*q))) {
        among.push(at(PositionQuantity::RoutLength));
    }
    Some(Contradiction { among, apart: *apart })
}

/// Points out, position by position, the spacing that the others do not bear out.
pub(crate) fn note_odd_spacings(
    measured: &Measured,
    positions: &[String],
    strings: usize,
    noted: &mut Noted,
) {
    for position in positions {
        let Some((quantity, expected)) = odd_spacing(measured, position, strings) else { continue };
        let read = measured.estimates.get(&quantity).map(Estimate::value).unwrap_or_default();
        // A spacing is read, never on a packet.
        let Some(taken) = measured.taken.get(&quantity) else { continue };
        let message = format!(
            "{quantity} is {read}; the spacings beside it make one expect about {expected} (last in entry {})",
            taken.entry
        );
        let hint = "it counts as it is; read it again. Over both strings it is strings_outer, between them strings_inner";
        noted.problems.push(Problem::notice(taken.span, message).hint(hint));
    }
}

/// The spacing of neighbours that fits least among the others: strings fan out evenly, or widen
/// steadily towards the thick ones. Its quantity, and what the others make one expect; none where all
/// are within [`ODD`] and their doubt, or where too few were read to tell.
fn odd_spacing(measured: &Measured, position: &str, strings: usize) -> Option<(Quantity, Length)> {
    let read = (1..strings).filter_map(|n| {
        let quantity = Quantity::At(position.to_owned(), PositionQuantity::StringPair(n, n + 1));
        let estimate = measured.estimates.get(&quantity)?;
        Some((n as f64, estimate.value().as_mm(), estimate.uncertainty().as_mm(), quantity))
    });
    let read: Vec<_> = read.collect();
    if read.len() < 3 {
        return None;
    }
    // The line through the medians (Theil and Sen): one odd spacing does not bend it. Of four
    // points or fewer an end one has a hand in half of all slopes.
    let mut slopes = Vec::new();
    for (i, a) in read.iter().enumerate() {
        slopes.extend(read[i + 1..].iter().map(|b| (b.1 - a.1) / (b.0 - a.0)));
    }
    let slope = if read.len() > 4 { median(slopes) } else { 0.0 };
    let level = median(read.iter().map(|r| r.1 - slope * r.0).collect());
    let off = |r: &(f64, f64, f64, Quantity)| r.1 - level - slope * r.0;
    let worst = read.iter().max_by(|a, b| off(a).abs().total_cmp(&off(b).abs()))?;
    let odd = off(worst).abs() > ODD.as_mm() + 4.0 * worst.2;
    odd.then(|| (worst.3.clone(), Length::from_mm(level + slope * worst.0)))
}

/// Weighted least squares: x = (AᵀWA)⁻¹ `AᵀW` b, applied to the estimates themselves so that their
/// common causes stay common.
fn solve(equations: &[Equation], strings: usize) -> Option<Vec<Estimate>> {
    let mut a = DMatrix::<f64>::zeros(equations.len(), strings);
    for (row, equation) in equations.iter().enumerate() {
        for (column, factor) in &equation.left {
            a[(row, *column)] = *factor;
        }
    }
    let weights = equations.iter().map(|e| 1.0 / e.right.uncertainty().as_mm().max(1e-6).power(2));
    let weights = DVector::from_iterator(equations.len(), weights);
    let atw = a.transpose() * DMatrix::from_diagonal(&weights);
    // The equations tie every string to every other and one of them to the rout, so the normal
    // matrix has full rank; a pseudo-inverse would only hide a mistake in that reasoning.
    let inverse = (&atw * &a).try_inverse()?;
    let map = inverse * atw;
    let place = |s: usize| {
        let terms = equations.iter().enumerate().map(|(row, e)| e.right.clone() * map[(s, row)]);
        terms.fold(Estimate::default(), |sum, e| sum + e)
    };
    Some((0..strings).map(place).collect())
}

/// Which strings are tied together by readings.
struct Links {
    group: Vec<usize>,
}

impl Links {
    fn new(strings: usize) -> Self {
        Self { group: (0..strings).collect() }
    }

    fn join(&mut self, a: usize, b: usize) {
        let (from, to) = (self.group[a], self.group[b]);
        for g in &mut self.group {
            if *g == from {
                *g = to;
            }
        }
    }

    fn tied(&self, a: usize, b: usize) -> bool {
        self.group[a] == self.group[b]
    }

    fn all(&self) -> bool {
        self.group.iter().all(|g| *g == self.group[0])
    }
}
