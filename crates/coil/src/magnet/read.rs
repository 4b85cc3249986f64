//! What a field that was read over a rod's end says of how the rods are magnetised: fully, in part, or weaker since.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;

use super::cylinder::Tesla;
use super::in_row::Kept;
use super::row::{Place, Row};

/// A teslameter for the hand errs so much of what it shows (common practice), and the spot in its probe that feels is known
/// to this (Zollner: about 0.4 mm from its tip).
const METER: f64 = 0.05;
const SPOT: Length = Length::from_mm(0.2);
/// Rods of one lot differ by so much from each other (common practice).
const OF_ONE: f64 = 0.05;

/// A field over a rod in the middle of the row, and what that makes of all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    /// The rods as they are then.
    pub row: Row,
    /// What they are magnetised to then.
    pub kept: Kept,
    /// What was expected there before: least, middle, most.
    pub expected: [Tesla; 3],
}

impl Read {
    /// By a field over the end of the rod that is nearest to the row's middle, and how far over it; only its strength counts.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::{cylinder::{Rod, Tesla}, in_row::Kept, read::Read, row::{Place, Row}};
    /// # use bobbinwright_spec::Length;
    /// # let mm = Length::from_mm;
    /// let rod = Rod { diameter: mm(5.0), length: mm(16.0), polarisation: Tesla(0.6) };
    /// let places = [-10.0, 0.0, 10.0].map(|x| Place { along: mm(x), top: Length::ZERO }).to_vec();
    /// let row = Row { rod, places };
    /// let kept = Kept { least: Tesla(0.5), best: Tesla(0.6), most: Tesla(0.7) };
    /// // Half of what was expected is what rods give that are magnetised half as much.
    /// let half = Tesla(row.upwards(mm(0.0), mm(1.0)).0 / 2.0);
    /// let found = Read::of(&row, kept, half, mm(1.0));
    /// assert!((found.kept.best.0 - 0.3).abs() < 1e-12 && (found.row.rod.polarisation.0 - 0.3).abs() < 1e-12);
    /// assert!(found.kept.most.0 < 0.36 && found.kept.least.0 > 0.24);
    /// assert!((found.expected[1].0 / half.0 - 2.0).abs() < 1e-12);
    /// ```
    pub fn of(row: &Row, kept: Kept, read: Tesla, over: Length) -> Self {
        let nearest = |a: &&Place, b: &&Place| a.along.as_mm().abs().total_cmp(&b.along.as_mm().abs());
        let place = row
            .places
            .iter()
            .min_by(nearest)
            .copied()
            .unwrap_or(Place { along: Length::ZERO, top: Length::ZERO });
        let at = |over: Length| row.upwards(place.along, place.top + over).0.abs();
        let middle = at(over);
        let expected =
            [kept.least, kept.best, kept.most].map(|kept_to| Tesla(middle * kept_to.0 / kept.best.0));
        let part = read.0.abs() / middle;
        let spot = (at((over - SPOT).max(Length::ZERO)) - at(over + SPOT)) / (2.0 * middle);
        let off = METER.hypotenuse(OF_ONE).hypotenuse(spot);
        let of = |times: f64| Tesla(kept.best.0 * part * times);
        let kept = Kept { least: of(1.0 - off), best: of(1.0), most: of(1.0 + off) };
        let mut row = row.clone();
        row.rod.polarisation = Tesla(row.rod.polarisation.0 * part);
        Self { row, kept, expected }
    }
}
