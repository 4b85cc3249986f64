//! What names in a log may refer to.

use crate::printer::coupon::CouponSize;
use crate::quantity::Quantity;

/// What the log's names may refer to.
pub(crate) enum Names<'a> {
    /// Of a family with these positions and so many strings.
    Family { positions: &'a [String], strings: usize },
    /// Of what a printer printed.
    Printer,
}

impl Names<'_> {
    /// What a name means, or why it means nothing.
    pub fn quantity(&self, name: &str) -> Result<Quantity, String> {
        match self {
            Names::Family { positions, strings } => Quantity::parse(name, positions, *strings),
            Names::Printer => CouponSize::parse(name).map(Quantity::Coupon),
        }
    }
}
