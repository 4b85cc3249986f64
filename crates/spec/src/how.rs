//! The ways in which a reading can be taken.

use crate::Length;
use crate::node::{Node, NodeKind};
use crate::quantity::{InstrumentQuantity, Jaws, PositionQuantity, Quantity};
use crate::reader::{Noted, length};

/// The way a reading was taken; decides what has to be added or taken off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum How {
    /// The reading is the quantity.
    Direct(Jaws),
    /// Across two strings, outside to outside: takes off half of both diameters.
    StringsOuter,
    /// Between two strings, inside to inside: adds half of both diameters.
    StringsInner,
    /// Across two holes, far edge to far edge: takes off half of both diameters.
    HolesFar,
    /// Between two holes, near edge to near edge: adds half of both diameters.
    HolesNear,
    /// From the rout's side to the near edge of a hole: adds half its diameter.
    HoleNear,
    /// From the rout's side to the far edge of a hole: takes off half its diameter.
    HoleFar,
    /// From the rout's side to the near face of the string: adds half its diameter.
    StringNear,
    /// From the rout's side to the far face of the string: takes off half its diameter.
    StringFar,
    /// Not measured but stated on the packet, within a tolerance.
    Packet(Length),
    /// Nothing is there yet: what it is to be, and within what it will come out so.
    Planned(Length),
}

/// Within so much a body comes out as it was planned: routed with a guided cutter along a template that was cut by hand, and
/// drilled through it (common practice).
pub const ROUTED: Length = Length::from_mm(0.3);

/// What a tolerance may be.
const WITHIN: (Length, Length) = (Length::ZERO, Length::from_mm(5.0));

impl How {
    /// The part of the caliper that is used.
    pub fn jaws(self) -> Jaws {
        match self {
            How::Direct(jaws) => jaws,
            How::StringsOuter | How::HolesNear => Jaws::Outside,
            How::StringsInner | How::HolesFar | How::StringNear | How::StringFar => Jaws::Inside,
            How::HoleNear | How::HoleFar => Jaws::Inside,
            How::Packet(_) | How::Planned(_) => Jaws::Outside,
        }
    }

    /// The way a reading was taken; by default directly, with the jaws that suit the quantity.
    pub(crate) fn read(
        how: Option<&Node>,
        within: Option<&Node>,
        quantity: &Quantity,
        noted: &mut Noted,
    ) -> Option<Self> {
        let is = |word: &str| how.is_some_and(|n| n.kind == NodeKind::Word(word.into()));
        if let Some(within) = within.filter(|_| !is("packet") && !is("planned")) {
            noted.error(
                within.span,
                "within is for figures from a packet, and for planned ones",
                "add how: packet, or leave within out",
            );
        }
        let Some(node) = how else { return Some(How::Direct(quantity.usual_jaws())) };
        let word = match &node.kind {
            NodeKind::Word(word) => word.as_str(),
            _ => "",
        };
        let pair = matches!(
            quantity,
            Quantity::At(_, PositionQuantity::StringPair(..))
                | Quantity::Instrument(InstrumentQuantity::NutSpread | InstrumentQuantity::BridgeSpread)
        );
        let pitch = quantity.holes().is_some();
        let side =
            matches!(quantity, Quantity::At(_, PositionQuantity::BassSide | PositionQuantity::TrebleSide));
        let one_hole = matches!(
            quantity,
            Quantity::At(_, PositionQuantity::ScrewSide(..) | PositionQuantity::EarSide(..))
        );
        let mut only = |fits: bool, how: How, what: &str| {
            if !fits {
                noted.error(
                    node.span,
                    format!("{word} is for {what}, not for {quantity}"),
                    "leave how: out, or use outside, inside or depth",
                );
            }
            fits.then_some(how)
        };
        match word {
            "outside" => Some(How::Direct(Jaws::Outside)),
            "inside" => Some(How::Direct(Jaws::Inside)),
            "depth" => Some(How::Direct(Jaws::Depth)),
            "strings_outer" => only(pair, How::StringsOuter, "two strings"),
            "strings_inner" => only(pair, How::StringsInner, "two strings"),
            "holes_far" => only(pitch, How::HolesFar, "two holes"),
            "holes_near" => only(pitch, How::HolesNear, "two holes"),
            "hole_near" => only(one_hole, How::HoleNear, "a screw hole and a side of its rout or recess"),
            "hole_far" => only(one_hole, How::HoleFar, "a screw hole and a side of its rout or recess"),
            "string_near" => only(side, How::StringNear, "an outer string and the rout's side"),
            "string_far" => only(side, How::StringFar, "an outer string and the rout's side"),
            "packet" | "planned" => Self::stated(word == "planned", node, within, quantity, noted),
            _ => {
                noted.error(
                node.span,
                "this is no way to take a reading",
                "write one of outside, inside, depth, strings_outer, strings_inner, holes_far, holes_near, hole_near, hole_far, string_near, string_far, packet, planned",
            );
                None
            }
        }
    }
    /// What is not read but stated, by a packet or a plan.
    fn stated(
        is_planned: bool,
        node: &Node,
        within: Option<&Node>,
        quantity: &Quantity,
        noted: &mut Noted,
    ) -> Option<Self> {
        if is_planned && !matches!(quantity, Quantity::At(..)) {
            let hint = "read it, or state it with how: packet";
            noted.error(node.span, format!("only what a body is to have is planned, not {quantity}"), hint);
            return None;
        }
        match within {
            Some(within) => {
                let within = length(within, "within", WITHIN, noted)?;
                Some(if is_planned { How::Planned(within) } else { How::Packet(within) })
            }
            None if is_planned => Some(How::Planned(ROUTED)),
            None => {
                let hint = "add within: mm(0.05)";
                noted.error(node.span, "a figure from the packet needs its tolerance", hint);
                None
            }
        }
    }
}
