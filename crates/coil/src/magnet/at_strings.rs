//! How strong the rods' field is where the strings lie.

use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::{Hardware, Length, Position, StringAt};

use super::alloy::Material;
use super::cylinder::{Rod, Tesla};

/// The field at a string.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtString {
    /// Which.
    pub number: usize,
    /// How far the string's middle is above the rods' ends.
    pub above: Length,
    /// The field upwards there.
    pub field: Tesla,
    /// The field upwards if the string lay half a millimetre further to the side.
    pub beside: Tesla,
}

/// A string may lie so far from where it was read (common practice), or be bent by it.
const ASIDE: Length = Length::from_mm(0.5);

/// The rods of a position, all with the same pole up, and where their upper ends are over the body's face.
struct Row {
    rod: Rod,
    /// Their places along the row, mm.
    places: Vec<f64>,
    top: Length,
}

impl Row {
    fn field(&self, along: f64, height: Length) -> Tesla {
        let up = height - self.top + self.rod.length / 2.0;
        let of = |place: &f64| self.rod.field(Length::from_mm((along - place).abs()), up)[1].0;
        Tesla(self.places.iter().map(of).sum())
    }
}

/// The field at every string over a position; none where the rods' material is not stated.
pub fn at_strings(position: &Position, layout: &Layout, hardware: &Hardware) -> Option<Vec<AtString>> {
    let alloy = position.wanted.magnets?;
    let (diameter, length) = (hardware.rod_diameter.value(), hardware.rod_length.value());
    let polarisation = Material::of(alloy).polarisation(diameter, length);
    let row = Row {
        rod: Rod { diameter, length, polarisation },
        places: layout.poles.iter().map(|p| p.x).collect(),
        top: rods_top(position, layout, length),
    };
    let of = |string: &StringAt| {
        let along = position.handed.x(string.place.value());
        let height = string.height.value() + string.gauge.value() / 2.0;
        AtString {
            number: string.number,
            above: height - row.top,
            field: row.field(along, height),
            beside: row.field(along + ASIDE.as_mm(), height),
        }
    };
    Some(position.strings.iter().map(of).collect())
}

/// Ears rest on their recesses, or on the body's face where there are none; bosses on the rout's floor. The
/// rods stand on the baseplate.
fn rods_top(position: &Position, layout: &Layout, length: Length) -> Length {
    let rout = &position.rout;
    let depth = match (&layout.ears, &rout.ears) {
        (Some(_), Some(recess)) => recess.depth.value(),
        (Some(_), None) => Length::ZERO,
        (None, _) => rout.depth.value(),
    };
    position.wanted.seat.lift - depth + position.wanted.baseplate.thickness + length
}
