//! What is told of a position in plan: equations between the unknowns that the [plan](crate::plan) solves.

use bobbinwright_estimate::network::Equation;

use crate::measured::{Measured, usual_unevenness};
use crate::quantity::Quantity;
use crate::{Doubt, Estimate, Origin};

/// Numbers of the unknowns.
pub(crate) const LENGTH: usize = 0;
pub(crate) const WIDTH: usize = 1;

/// The unknown of a string's place, by the string's number from 0.
pub(crate) fn string(index: usize) -> usize {
    WIDTH + 1 + index
}

/// An equation, and what was read or is believed.
pub(crate) struct Told {
    pub of: Quantity,
    /// It was read; what is believed is no suspect.
    pub is_read: bool,
    pub equation: Equation,
}

impl Told {
    pub fn read(of: Quantity, terms: Vec<(usize, f64)>, value: Estimate) -> Self {
        Self { of, is_read: true, equation: Equation { terms, value } }
    }

    pub fn believed(of: Quantity, terms: Vec<(usize, f64)>, value: Estimate) -> Self {
        Self { is_read: false, ..Self::read(of, terms, value) }
    }
}

/// How much a side may be out of line between where something was read beside it and where its size was.
pub(crate) fn straight(measured: &mut Measured, of: Quantity) -> Estimate {
    let half = usual_unevenness(&of) / 2.0;
    measured.doubts.enter(Doubt::new(Some(of), Origin::Straightness, f64::INFINITY), half / 3f64.sqrt())
}
