//! Where the strings run over a position.
//!
//! Unknown are the strings' places x along the row, from the rout's middle, treble positive. Every
//! reading is a linear equation: a pair gives a difference, a side reading ties an outer string to
//! the rout. Weighted least squares solves them all at once; what was read twice in different ways
//! is averaged by weight, and the uncertainties follow through the same matrix.

use nalgebra::{DMatrix, DVector};

use crate::Length;
use crate::estimate::{Doubt, Estimate, Origin};
use crate::measured::Measured;
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};

/// How unevenly a nut or bridge may be slotted where single spacings were not read: half-width of
/// a rectangular distribution (common practice).
const UNEVEN: Length = Length::from_mm(0.3);

/// Two independent ways to the outer strings' distance at a position.
#[derive(Clone, Debug, PartialEq)]
pub struct FanOut {
    /// From nut, bridge, scale and distance.
    pub predicted: Estimate,
    /// From readings over the position, when there are any.
    pub read: Option<Estimate>,
}

/// One equation: coefficients of the strings' places, and the value.
struct Equation {
    left: Vec<(usize, f64)>,
    right: Estimate,
}

/// The outer strings' distance by fan-out: w(x) = `w_bridge` + (`w_nut` - `w_bridge`) x / scale, where x
/// is the distance from the saddles. Strings are straight, so this is exact for equal distances of
/// all saddles (compensation of a few millimetres changes it by hundredths).
pub(crate) fn fan_out(measured: &Measured, position: &str, strings: usize) -> Option<FanOut> {
    let instrument = |q| measured.estimates.get(&Quantity::Instrument(q));
    let at = |q| measured.estimates.get(&Quantity::At(position.to_owned(), q));
    let inputs = [
        instrument(InstrumentQuantity::BridgeSpread)?,
        instrument(InstrumentQuantity::NutSpread)?,
        at(PositionQuantity::BridgeDistance)?,
        instrument(InstrumentQuantity::Scale)?,
    ];
    let predicted = Estimate::of(&inputs, |v| {
        let [bridge, nut, x, scale] = [v[0], v[1], v[2], v[3]];
        bridge + (nut - bridge) * (x.as_mm() / scale.as_mm())
    });
    Some(FanOut { predicted, read: at(PositionQuantity::StringPair(1, strings)).cloned() })
}

/// Places of strings 1 to n, or the quantities of which at least one is missing.
pub(crate) fn places(
    measured: &mut Measured,
    position: &str,
    strings: usize,
) -> Result<Vec<Estimate>, Vec<Quantity>> {
    let at = |q| Quantity::At(position.to_owned(), q);
    let mut equations = Vec::new();
    let mut linked = Links::new(strings);
    for (quantity, estimate) in &measured.estimates {
        let Quantity::At(p, PositionQuantity::StringPair(a, b)) = quantity else { continue };
        if p == position {
            // The lower number lies on the treble side.
            equations.push(Equation { left: vec![(a - 1, 1.0), (b - 1, -1.0)], right: estimate.clone() });
            linked.join(a - 1, b - 1);
        }
    }
    let half = measured.estimates.get(&at(PositionQuantity::RoutLength)).map(|l| l.clone() * 0.5);
    let bass = measured.estimates.get(&at(PositionQuantity::BassSide));
    let treble = measured.estimates.get(&at(PositionQuantity::TrebleSide));
    let Some(half) = half else { return Err(vec![at(PositionQuantity::RoutLength)]) };
    if let Some(bass) = bass {
        equations.push(Equation { left: vec![(strings - 1, 1.0)], right: bass.clone() - half.clone() });
    }
    if let Some(treble) = treble {
        equations.push(Equation { left: vec![(0, 1.0)], right: half - treble.clone() });
    }
    if bass.is_none() && treble.is_none() {
        return Err(vec![at(PositionQuantity::BassSide), at(PositionQuantity::TrebleSide)]);
    }
    if bass.is_some() && treble.is_some() {
        linked.join(0, strings - 1);
    }
    if !linked.all() {
        let Some(fan) = fan_out(measured, position, strings) else {
            return Err((1..strings)
                .map(|n| at(PositionQuantity::StringPair(n, n + 1)))
                .filter(|q| !measured.estimates.contains_key(q))
                .collect());
        };
        equations.extend(even_pitch(measured, &fan.predicted, position, strings));
    }
    Ok(solve(&equations, strings))
}

/// Equal distances between neighbours, each with the doubt that it is not.
fn even_pitch(measured: &mut Measured, span: &Estimate, position: &str, strings: usize) -> Vec<Equation> {
    let pitch = span.clone() * (1.0 / (strings - 1) as f64);
    (0..strings - 1)
        .map(|i| {
            let quantity =
                Some(Quantity::At(position.to_owned(), PositionQuantity::StringPair(i + 1, i + 2)));
            let doubt = Doubt { quantity, origin: Origin::Assumed, freedom: f64::INFINITY };
            let uneven = measured.doubts.enter(doubt, UNEVEN / 3f64.sqrt());
            Equation { left: vec![(i, 1.0), (i + 1, -1.0)], right: pitch.clone() + uneven }
        })
        .collect()
}

/// Weighted least squares: x = (AᵀWA)⁻¹ `AᵀW` b, applied to the estimates themselves so that their
/// common causes stay common.
fn solve(equations: &[Equation], strings: usize) -> Vec<Estimate> {
    let mut a = DMatrix::<f64>::zeros(equations.len(), strings);
    for (row, equation) in equations.iter().enumerate() {
        for (column, factor) in &equation.left {
            a[(row, *column)] = *factor;
        }
    }
    let weights = equations.iter().map(|e| 1.0 / e.right.uncertainty().as_mm().max(1e-6).powi(2));
    let weights = DVector::from_iterator(equations.len(), weights);
    let atw = a.transpose() * DMatrix::from_diagonal(&weights);
    // The equations tie every string to every other and one of them to the rout, so the normal
    // matrix has full rank; a pseudo-inverse would only hide a mistake in that reasoning.
    let Some(inverse) = (&atw * &a).try_inverse() else { return Vec::new() };
    let map = inverse * atw;
    (0..strings)
        .map(|s| {
            let terms = equations.iter().enumerate().map(|(row, e)| e.right.clone() * map[(s, row)]);
            terms.fold(Estimate::default(), |sum, e| sum + e)
        })
        .collect()
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

    fn all(&self) -> bool {
        self.group.iter().all(|g| *g == self.group[0])
    }
}
