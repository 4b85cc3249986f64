//! How true what is cut from sheet comes out.

use crate::cut_sheet::CutSheet;
use crate::printer::profile::Made;
use crate::quantity::Quantity;
use crate::{Doubt, Doubts, Estimate, Length, Origin};

impl CutSheet {
    /// A wanted size as it will come out: the value is the wanted one. Half-widths of rectangular distributions; each
    /// size errs on its own.
    pub fn made(&self, wanted: Length, made: Made, of: Option<Quantity>, doubts: &mut Doubts) -> Estimate {
        let within = match made {
            Made::Height | Made::Depth => self.thickness_tolerance,
            Made::Hole | Made::Outer(_) | Made::Inner(_) | Made::Between(_) => self.tolerance,
        };
        doubts.enter(Doubt::new(of, Origin::Cut, f64::INFINITY), within / 3f64.sqrt()).moved_to(wanted)
    }
}
