//! Calipers, rules and tapes.

use crate::Length;
use crate::quantity::Jaws;
use crate::reader::{Noted, Record, length, text};

/// A caliper, rule or tape.
#[derive(Clone, Debug, PartialEq)]
pub struct Tool {
    /// The name that readings use.
    pub name: String,
    /// Step of its display or scale.
    pub resolution: Length,
    /// Maximum permissible error of the outside jaws (ISO 13385-1: partial surface contact).
    pub outside: Length,
    /// The same for the inside jaws.
    pub inside: Length,
    /// The same for the depth rod.
    pub depth: Length,
}

impl Tool {
    /// A tool of which the outside jaws' limit is known.
    pub fn new(name: String, resolution: Length, outside: Length) -> Self {
        // To a tenth of a micrometre, so that the sum is written as short as its parts.
        let inner = Length::from_mm(((outside + INSIDE_AND_DEPTH_EXTRA).as_mm() * 1e4).round() / 1e4);
        Self { name, resolution, outside, inside: inner, depth: inner }
    }

    /// Maximum permissible error with a part of the tool.
    pub fn limit(&self, jaws: Jaws) -> Length {
        match jaws {
            Jaws::Outside => self.outside,
            Jaws::Inside => self.inside,
            Jaws::Depth => self.depth,
        }
    }
}

/// DIN 862 allows inside jaws and depth rods this much more than outside jaws.
const INSIDE_AND_DEPTH_EXTRA: Length = Length::from_mm(0.02);

/// Reads `tool(…)`.
pub(crate) fn read(record: &mut Record, noted: &mut Noted) -> Option<Tool> {
    let name = record.need("name", "\"caliper\"", noted).and_then(|n| text(n, "tool.name", noted));
    let bounds = (Length::from_mm(0.0005), Length::from_mm(5.0));
    let mut optional = |field: &'static str, noted: &mut Noted| {
        record.get(field).and_then(|n| length(n, &format!("tool.{field}"), bounds, noted))
    };
    let inside = optional("mpe_inside", noted);
    let depth = optional("mpe_depth", noted);
    let mut needed = |field: &'static str, noted: &mut Noted| {
        let node = record.need(field, "mm(0.02)", noted)?;
        length(node, &format!("tool.{field}"), bounds, noted)
    };
    let resolution = needed("resolution", noted);
    let outside = needed("mpe_outside", noted)?;
    Some(Tool {
        name: name?,
        resolution: resolution?,
        outside,
        inside: inside.unwrap_or(outside + INSIDE_AND_DEPTH_EXTRA),
        depth: depth.unwrap_or(outside + INSIDE_AND_DEPTH_EXTRA),
    })
}
