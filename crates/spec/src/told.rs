//! What is told of a position in plan: equations between the unknowns that the [plan](crate::plan) solves.

use bobbinwright_estimate::network::Equation;

use crate::Estimate;
use crate::quantity::Quantity;

/// Numbers of the unknowns: length and width.
pub(crate) const LENGTH: usize = 0;
pub(crate) const WIDTH: usize = 1;
/// How much wider the rout is at its treble end than at its middle, how
/// much longer at its neck side, its skew, and the four bows.
pub(crate) const WIDENS: usize = 2;
pub(crate) const LENGTHENS: usize = 3;
pub(crate) const SKEW: usize = 4;
pub(crate) const BOWS: usize = 5;
/// By how much each end, and each long side, is further in at the floor than at the top edge.
pub(crate) const LEANS: [usize; 2] = [9, 10];
/// So many unknowns the form has, with length and width.
pub(crate) const OF_FORM: usize = 11;

/// The unknown of a string's place, by the string's number from 0.
pub(crate) fn string(index: usize) -> usize {
    OF_FORM + index
}

/// An equation, and what was read or is believed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Told {
    pub of: Quantity,
    /// In which of its spots, where it was read in spots.
    pub spot: Option<String>,
    /// It was read; what is believed is no suspect.
    pub is_read: bool,
    pub equation: Equation,
}

impl Told {
    pub fn read(of: Quantity, terms: Vec<(usize, f64)>, value: Estimate) -> Self {
        Self { of, spot: None, is_read: true, equation: Equation { terms, value } }
    }

    /// The same in one of its spots.
    pub fn in_spot(self, spot: Option<String>) -> Self {
        Self { spot, ..self }
    }

    /// What it is called: `neck.rout.width at "bass end"`.
    pub fn name(&self) -> String {
        self.of.named(self.spot.as_deref())
    }

    pub fn believed(of: Quantity, terms: Vec<(usize, f64)>, value: Estimate) -> Self {
        Self { is_read: false, ..Self::read(of, terms, value) }
    }
}
