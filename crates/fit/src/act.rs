//! What can be done at the bench for certainty.

use bobbinwright_spec::{PartKind, Quantity};

use crate::repeat::Again;

/// Something to do at the bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// To read what was not read at all.
    Read(Quantity),
    /// To read something in its other spots too: in these, or, where none is named, in whichever was not read yet.
    Elsewhere(Quantity, Vec<&'static str>),
    /// To read some quantities again.
    Again(Vec<Again>),
    /// Several of these.
    Together(Vec<Act>),
    /// To print the printer's coupon and read that.
    Coupon,
    /// To print one of the parts first and try it in the body, with its screws.
    Try(PartKind),
    /// To print some of the parts first and read their sizes.
    Print(Vec<PartKind>),
    /// The same of parts that are cut.
    Cut(Vec<PartKind>),
}

impl Act {
    /// The quantities that it has somebody read, each with its spot where it has one.
    pub fn readings(&self) -> Vec<(Quantity, Option<String>)> {
        match self {
            Act::Read(of) => vec![(of.clone(), None)],
            Act::Elsewhere(of, spots) if spots.is_empty() => vec![(of.clone(), None)],
            Act::Elsewhere(of, spots) => {
                spots.iter().map(|spot| (of.clone(), Some((*spot).to_owned()))).collect()
            }
            Act::Again(all) => all.iter().map(|again| (again.quantity.clone(), again.spot.clone())).collect(),
            Act::Together(acts) => acts.iter().flat_map(Act::readings).collect(),
            Act::Coupon | Act::Print(_) | Act::Cut(_) | Act::Try(_) => Vec::new(),
        }
    }

    /// Is there a coupon to print in it?
    pub fn has_coupon(&self) -> bool {
        match self {
            Act::Coupon => true,
            Act::Together(acts) => acts.iter().any(Act::has_coupon),
            _ => false,
        }
    }

    /// Are there parts to make in it?
    pub fn has_print(&self) -> bool {
        match self {
            Act::Print(_) | Act::Cut(_) => true,
            Act::Together(acts) => acts.iter().any(Act::has_print),
            _ => false,
        }
    }
}
