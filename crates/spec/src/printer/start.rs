//! The first two files of a printer's folder.

use jiff::civil::Date;

use super::coupon::{Coupon, Drawn};
use super::material::Material;
use crate::{Length, NewTool};

/// What is known of a printer before anything was printed.
#[derive(Clone, Debug, PartialEq)]
pub struct PrinterStart {
    /// For people.
    pub title: String,
    /// What it prints with.
    pub material: Material,
    /// Sizes of the coupon's holes.
    pub holes: Vec<Length>,
    /// What its prints are read with, where that is known from a family.
    pub caliper: Option<NewTool>,
    /// The day of the first entry.
    pub on: Date,
}

impl PrinterStart {
    /// Hole sizes for a coupon: those that are asked for, and usual ones until there are enough, as many
    /// as find room.
    pub fn holes(wanted: &[Length]) -> Vec<Length> {
        let usual = Coupon::USUAL_HOLES.map(Length::from_mm);
        let mut holes: Vec<Length> = Vec::new();
        // A family in inches has odd figures; a coupon need not.
        let round = |hole: &Length| Length::from_mm((hole.as_mm() * 20.0).round() / 20.0);
        let wanted: Vec<Length> = wanted.iter().map(round).collect();
        for hole in wanted.iter().chain(&usual).copied() {
            let near = |other: &Length| (*other - hole).abs() < Length::from_mm(0.1);
            let enough = holes.len() >= 4 && !wanted.contains(&hole);
            let more: Vec<Length> = holes.iter().copied().chain([hole]).collect();
            let room = Coupon::new(super::LAYER, &more).row() <= Coupon::ROOM;
            let fits = (1.0..=12.0).contains(&hole.as_mm());
            if !holes.iter().any(near) && !enough && room && fits {
                holes.push(hole);
            }
        }
        holes.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
        holes
    }

    /// `printer.ron`: usual figures, each to be changed to what this printer can do.
    pub fn printer(&self) -> String {
        let holes: Vec<String> = self.holes.iter().map(|d| Drawn::new(*d).to_string()).collect();
        format!(
            "// A printer with one filament, and what it can do. For another filament make another folder.
(
    title: {:?},
    bed: mm([220, 220, 240]),       // length, width, height
    least_wall: mm(0.8),
    least_hole: mm(2.0),
    layer: mm(0.2),
    overhang: degrees(45),          // the flattest slope that holds itself, from the vertical
    bridge: mm(10.0),               // the longest flat underside that spans freely
    spacing: mm(6.0),               // between two parts on the bed
    material: {},                  // pla, petg, abs, asa or nylon
    coupon: (holes: mm([{}])),
)
",
            self.title,
            self.material.name(),
            holes.join(", ")
        )
    }

    /// `readings.ron`: a caliper, and how to go on.
    pub fn readings(&self) -> String {
        let usual = || {
            format!(
                "tool(on: \"{}\", name: \"caliper\", resolution: mm(0.01), mpe_outside: mm(0.03))",
                self.on
            )
        };
        let caliper = self.caliper.as_ref().map_or_else(usual, ToString::to_string);
        format!(
            "// What was read of this printer's prints. Entries are only ever added, at the end; a wrong one is
// withdrawn by a later entry. A size is called by what it is and how large it was drawn.

// The step of the caliper's display, and the largest error that its maker permits.
{caliper}
"
        )
    }
}
