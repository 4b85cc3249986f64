//! All rods of a position together.

use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::magnets::North;
use bobbinwright_spec::{Hardware, Length, Position};

use super::cylinder::{Rod, Tesla};
use super::in_row::Kept;

/// A row of equal rods with the same pole up.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Each of them.
    pub rod: Rod,
    /// Where each stands.
    pub places: Vec<Place>,
}

/// Where a rod stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Along the row from the middle.
    pub along: Length,
    /// Its upper end over the body's face.
    pub top: Length,
}

impl Row {
    /// The rods of a position; none where their material is not stated.
    pub fn of(position: &Position, layout: &Layout, hardware: &Hardware) -> Option<Self> {
        let kept = Kept::of_position(position, layout, hardware)?;
        let (diameter, length) = (hardware.rod_diameter.value(), hardware.rod_length.value());
        let Tesla(strength) = kept.best;
        let polarisation = Tesla(if position.wanted.north == North::Up { strength } else { -strength });
        let top = top(position, layout, length);
        let places = layout.poles.iter().map(|p| Place { along: Length::from_mm(p.x), top }).collect();
        Some(Self { rod: Rod { diameter, length, polarisation }, places })
    }

    /// The field upwards, over the line through the rods' axes: so far along the row and above the body's face.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::{cylinder::{Rod, Tesla}, row::{Place, Row}};
    /// # use bobbinwright_spec::Length;
    /// # let mm = Length::from_mm;
    /// let rod = Rod { diameter: mm(5.0), length: mm(16.0), polarisation: Tesla(1.0) };
    /// // Tops level with the face, 10 mm apart. A string 3 mm over it is 11 mm over the rods' middles.
    /// let places = [-5.0, 5.0].map(|x| Place { along: mm(x), top: Length::ZERO }).to_vec();
    /// let row = Row { rod, places };
    /// // Midway both count alike.
    /// let one = rod.field(mm(5.0), mm(11.0))[1].0;
    /// assert!((row.upwards(Length::ZERO, mm(3.0)).0 - 2.0 * one).abs() < 1e-12);
    /// ```
    pub fn upwards(&self, along: Length, height: Length) -> Tesla {
        let (x, z) = (along.as_mm(), height.as_mm());
        let of = |place: &Place| self.rod.along_mm((x - place.along.as_mm()).abs(), self.up(place, z));
        Tesla(self.places.iter().map(of).sum())
    }

    /// Along the row, along the strings and upwards, T, at a place in mm: along the row, along the strings from
    /// the rods' axes, and above the body's face. What is heard is worked out together with what the rods pass on
    /// ([`super::sees`]); this is the reference for it.
    #[cfg(test)]
    pub(super) fn field_mm(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for place in &self.places {
            let beside = x - place.along.as_mm();
            let away = (beside * beside + y * y).sqrt();
            let [radial, axial] = self.rod.field_mm(away, self.up(place, z));
            // On the axis there is nothing away from it.
            let share = if away > 0.0 { radial / away } else { 0.0 };
            sum = [sum[0] + share * beside, sum[1] + share * y, sum[2] + axial];
        }
        sum
    }

    /// Above a rod's middle, mm.
    fn up(&self, place: &Place, height: f64) -> f64 {
        height - place.top.as_mm() + self.rod.length.as_mm() / 2.0
    }

    /// The field upwards on a grid over the line through the rods' axes, height by height.
    pub fn map(&self, along: &[Length], heights: &[Length]) -> Vec<Tesla> {
        heights.iter().flat_map(|z| along.iter().map(|x| self.upwards(*x, *z))).collect()
    }
}

impl Kept {
    /// By the rods of a position; none where their material is not stated.
    pub fn of_position(position: &Position, layout: &Layout, hardware: &Hardware) -> Option<Self> {
        let places: Vec<Length> = layout.poles.iter().map(|p| Length::from_mm(p.x)).collect();
        let (diameter, length) = (hardware.rod_diameter.value(), hardware.rod_length.value());
        Some(Self::of(position.wanted.magnets?, diameter, length, &places))
    }
}

/// Ears rest on their recesses, or on the body's face where there are none; bosses on the rout's floor. The
/// rods stand on the baseplate.
fn top(position: &Position, layout: &Layout, length: Length) -> Length {
    let rout = &position.rout;
    let depth = match (&layout.ears, &rout.ears) {
        (Some(_), Some(recess)) => recess.depth.value(),
        (Some(_), None) => Length::ZERO,
        (None, _) => rout.depth.value(),
    };
    position.wanted.seat.lift - depth + position.wanted.baseplate.thickness + length
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rods 10.5 mm apart, 1 T, 5 by 16 mm, origin between their middles: along the row and upwards, mT, at
    /// places in the plane of both axes, by magpylib 6.3.
    #[test]
    fn two_rods_agree_with_magpylib() {
        let mm = Length::from_mm;
        let rod = Rod { diameter: mm(5.0), length: mm(16.0), polarisation: Tesla(1.0) };
        let places = [-5.25, 5.25].map(|x| Place { along: mm(x), top: mm(8.0) }).to_vec();
        let row = Row { rod, places };
        for (x, z, expected) in [
            (0.0, 8.0, [0.0, -10.3414]),
            (0.0, 10.0, [0.0, 33.8090]),
            (0.0, 11.0, [0.0, 39.6319]),
            (3.0, 11.0, [-27.0247, 81.8597]),
            (5.25, 11.0, [11.1718, 112.5198]),
        ] {
            let found = row.field_mm([x, 0.0, z]);
            for (found, expected) in [found[0], found[2]].iter().zip(expected) {
                assert!((found * 1000.0 - expected).abs() < 1e-4, "{x} {z} {found}");
            }
            assert_eq!(found[1], 0.0);
            assert!((row.upwards(mm(x), mm(z)).0 - found[2]).abs() < 1e-14);
        }
    }
}
