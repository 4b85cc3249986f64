//! What is done to a printed part's outside before it is built in: sanded, primed, painted, clear-coated.
//!
//! A coat makes a part larger and sanding makes it smaller, so that it has to be drawn otherwise than it shall be. What is
//! wanted everywhere else is the part as it is when it is finished.

use bobbinwright_elementary::Elementary;

use crate::Length;
use crate::part::PartKind;

/// What sanding takes off each face of a print until it is smooth, give or take (common practice).
const SANDED: [Length; 2] = [Length::from_mm(0.05), Length::from_mm(0.04)];

/// How thick a coat from a can is when it is dry (common practice).
const PRIMER: Length = Length::from_mm(0.03);
const PAINT: Length = Length::from_mm(0.02);
const CLEAR: Length = Length::from_mm(0.025);

/// Coats of which nobody has read how thick they get are off by no more than this share of themselves (common practice), and
/// what was read on a scrap by no more than that, and by so much at least.
const USUAL: f64 = 0.5;
const READ: f64 = 0.2;
const LEAST: Length = Length::from_mm(0.02);

/// What is done to the faces of a part that are finished.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Finish {
    /// Coats of primer.
    pub primer: usize,
    /// Coats of paint.
    pub paint: usize,
    /// Coats of clear.
    pub clear: usize,
    /// What all of it adds to a face, sanding taken off, where somebody has read that.
    pub stated: Option<Length>,
}

/// What is done to the parts of a position; none for parts that stay as they are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Finishes {
    /// The cover's top, its sides, and its ears but for their undersides. Screw holes and seats of heads, holes in the roof,
    /// the lead's notch and the hollow are masked.
    pub cover: Option<Finish>,
    /// The baseplate's edge. Its faces and holes are masked.
    pub baseplate: Option<Finish>,
}

impl Finishes {
    /// That of a part.
    pub fn of(&self, part: PartKind) -> Option<Finish> {
        match part {
            PartKind::Cover => self.cover,
            PartKind::Baseplate => self.baseplate,
            PartKind::FlatworkBottom | PartKind::FlatworkTop => None,
        }
    }
}

impl Finish {
    /// How thick all coats are together when they are dry, as is usual.
    pub fn coats(&self) -> Length {
        PRIMER * self.primer as f64 + PAINT * self.paint as f64 + CLEAR * self.clear as f64
    }

    /// By how much a finished face stands out of the printed one; less than nought where it is only sanded.
    pub fn adds(&self) -> Length {
        self.stated.unwrap_or_else(|| self.coats() - SANDED[0])
    }

    /// It is so give or take this, the half-width of a rectangular distribution.
    pub fn within(&self) -> Length {
        match self.stated {
            Some(adds) => (adds.abs() * READ).max(LEAST),
            None => Length::from_mm((self.coats() * USUAL).as_mm().hypotenuse(SANDED[1].as_mm())),
        }
    }

    /// `sanded, 2 coats of primer, 3 of paint`.
    pub fn describe(&self) -> String {
        let coats = [(self.primer, "primer"), (self.paint, "paint"), (self.clear, "clear")];
        let mut said = vec!["sanded".to_owned()];
        for (count, what) in coats.into_iter().filter(|(count, _)| *count > 0) {
            let word = match (said.len(), count) {
                (1, 1) => "coat of ",
                (1, _) => "coats of ",
                _ => "of ",
            };
            said.push(format!("{count} {word}{what}"));
        }
        said.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, of the usual coats: 2 · 0.030 + 3 · 0.020 + 2 · 0.025 = 0.170, less 0.050.
    #[test]
    fn coats_add_up_and_sanding_takes_off() {
        let close = |a: Length, mm: f64| assert!((a.as_mm() - mm).abs() < 1e-12, "{a} {mm}");
        let all = Finish { primer: 2, paint: 3, clear: 2, stated: None };
        close(all.adds(), 0.12);
        close(all.within(), 0.085f64.hypotenuse(0.04));
        close(Finish::default().adds(), -0.05);
        assert_eq!(all.describe(), "sanded, 2 coats of primer, 3 of paint, 2 of clear");
        assert_eq!(Finish { clear: 1, ..Finish::default() }.describe(), "sanded, 1 coat of clear");
        let read = Finish { stated: Some(Length::from_mm(0.2)), ..all };
        close(read.adds(), 0.2);
        close(read.within(), 0.04);
    }
}
