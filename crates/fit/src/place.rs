//! Where on a position's parts a check is decided.

use bobbinwright_geometry::parts::{Layout, PartKind, PositionParts};
use bobbinwright_spec::Position;

use crate::Check;

/// A place in the frame of the assembled position (mm; z = 0 at the baseplate's underside), with how far round it
/// there is something to see.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Along the row of strings, towards the neck, out of the body.
    pub at: [f64; 3],
    /// Radius, mm.
    pub around: f64,
}

impl Check {
    /// Where it is decided: the place that the title names, or one of several that are alike.
    pub fn place(&self, position: &Position, built: &PositionParts) -> Place {
        let layout = &built.layout;
        let (plan, part, up, around) = self.plan(position, layout);
        let part = built.parts.iter().find(|p| p.kind == part);
        let height = part.map_or(0.0, |p| p.place.as_mm() + p.solid.bounds().1.z * up);
        Place { at: [plan[0], plan[1], height], around }
    }

    /// In plan, on which part, at which share of its height, and how far round.
    fn plan(&self, position: &Position, layout: &Layout) -> ([f64; 2], PartKind, f64, f64) {
        use PartKind::{Baseplate, Cover, FlatworkBottom, FlatworkTop};
        let (half_length, half_width) = (layout.length.as_mm() / 2.0, layout.width.as_mm() / 2.0);
        let end = [half_length, 0.0];
        let screw = [layout.screw_x.as_mm(), 0.0];
        let ear = [half_length + layout.ears.map_or(0.0, |e| e.length.as_mm() / 2.0), 0.0];
        let lead = |b: &bobbinwright_geometry::parts::LeadBox| {
            let half = |lo: f64, hi: f64, most: f64| f64::midpoint(lo, hi).clamp(-most, most);
            [half(b.min.x, b.max.x, half_length), half(b.min.y, b.max.y, half_width)]
        };
        let pole = layout.poles.last().map_or(end, |p| [p.x, p.y]);
        let eyelet = [layout.eyelets[1].x, layout.eyelets[1].y];
        let plate_end = [layout.plate.length.as_mm() / 2.0, 0.0];
        let string = [self.string_place(position).unwrap_or(pole[0]), 0.0];
        // What is about a dimension alone is where that dimension is.
        let of_dimension = match self.parameter.unwrap_or_default() {
            "cover.wall" => (end, Cover, 0.5, 5.0),
            "cover.rounding" => (end, Cover, 1.0, 5.0),
            "baseplate.lip.wall" => (end, Baseplate, 0.9, 5.0),
            "cover.mounting.thickness" => (ear, Cover, 0.15, 6.0),
            "cover.mounting.recess_depth" | "cover.screw_hole" => (screw, Cover, 0.9, 6.0),
            "cover.pole_hole" => (pole, Cover, 1.0, 5.0),
            "flatwork.pole_hole" | "flatwork.top" => (pole, FlatworkTop, 0.5, 4.0),
            "flatwork.bottom" => (pole, FlatworkBottom, 0.5, 4.0),
            "flatwork.eyelets.hole" => (eyelet, FlatworkBottom, 0.5, 5.0),
            "baseplate.thickness" => ([0.0, 0.0], Baseplate, 0.5, 8.0),
            _ => ([0.0, 0.0], Cover, 1.0, 8.0),
        };
        match self.name {
            "walls-printable" | "holes-printable" => of_dimension,
            "cover-in-rout" if self.title.contains("sides") => ([0.0, half_width], Cover, 0.5, 6.0),
            "cover-in-rout" if self.title.contains("corner") => ([half_length, half_width], Cover, 0.5, 8.0),
            "cover-in-rout" => (end, Cover, 0.5, 6.0),
            "baseplate-in-rout" => (end, Baseplate, 0.5, 6.0),
            "ears-in-recesses" => (ear, Cover, 0.1, 8.0),
            "baseplate-ears-in-recesses" => (ear, Baseplate, 0.5, 8.0),
            "head-on-ear" => (screw, Cover, 0.15, 6.0),
            "cover-screw-holes" | "head-in-recess" | "head-sunk" => (screw, Cover, 0.95, 6.0),
            "baseplate-screw-holes" => (screw, Baseplate, 0.5, 6.0),
            "lead-out-at-channel" | "lead-through-lead-out" => (lead(&layout.lead), Cover, 0.1, 6.0),
            "lead-through-baseplate" => (layout.plate_lead.as_ref().map_or(end, lead), Baseplate, 0.5, 6.0),
            "lip-in-hollow" | "lip-under-roof" => (end, Baseplate, 0.9, 6.0),
            "rout-floor-under-baseplate" => ([0.0, 0.0], Baseplate, 0.0, 10.0),
            "height-under-strings" => (string, Cover, 1.0, 8.0),
            "rod-through-roof" => (pole, Cover, 1.0, 5.0),
            "string-between-poles" | "string-over-pole" => (string, FlatworkTop, 1.0, 6.0),
            "rod-through-flatwork" | "rod-held" | "flatwork-top-webs" => (pole, FlatworkTop, 0.5, 4.0),
            "flatwork-bottom-webs" => (pole, FlatworkBottom, 0.5, 4.0),
            "bobbin-under-roof" => (pole, FlatworkTop, 1.0, 6.0),
            "flatwork-in-hollow" => (plate_end, FlatworkTop, 0.5, 6.0),
            "coil-on-bobbin" => (plate_end, FlatworkBottom, 1.5, 8.0),
            "eyelet-through-hole" | "eyelets-clear" => (eyelet, FlatworkBottom, 0.5, 5.0),
            "baseplate-webs" => (screw, Baseplate, 0.5, 6.0),
            "cover-webs" => (screw, Cover, 0.95, 6.0),
            // The part as a whole, as for the printer's bed.
            _ => ([0.0, 0.0], Cover, 0.5, half_length),
        }
    }

    /// Where the string lies that the title names.
    fn string_place(&self, position: &Position) -> Option<f64> {
        let number: usize = self.title.rsplit("string ").next()?.trim().parse().ok()?;
        let string = position.strings.iter().find(|s| s.number == number)?;
        Some(position.handed.x(string.place.value()))
    }
}
