//! What may help a check that does not hold. What it does is found by trying it on the whole family, which the core does.

use bobbinwright_spec::{Estimate, Hardware, InstrumentQuantity, Length, Side};

/// Something to change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Help {
    /// Another value of a dimension.
    Dimension(&'static str),
    /// The lead-out on this side, at this place on it.
    LeadOut(Side, Length),
    /// A bought piece of another size.
    Bought(Bought),
    /// One rod under each string, where there are two.
    OneRod,
    /// A coil of fewer turns.
    FewerTurns,
    /// A thinner wire.
    ThinnerWire,
    /// Parts printed anew, as they are wanted now.
    PrintAgain,
    /// A printer with a larger bed.
    LargerBed,
}

/// A size of a bought piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bought {
    /// Diameter of the magnet rods.
    RodDiameter,
    /// Their length.
    RodLength,
    /// Diameter of the eyelets' barrels.
    EyeletBarrel,
    /// Diameter of their flanges.
    EyeletFlange,
    /// Diameter of the screws' heads.
    ScrewHead,
    /// Height of the screws' heads.
    ScrewHeadHeight,
    /// Diameter of the lead.
    Lead,
}

impl Bought {
    /// By which name it is read.
    pub fn quantity(self) -> InstrumentQuantity {
        match self {
            Bought::RodDiameter => InstrumentQuantity::RodDiameter,
            Bought::RodLength => InstrumentQuantity::RodLength,
            Bought::EyeletBarrel => InstrumentQuantity::EyeletBarrel,
            Bought::EyeletFlange => InstrumentQuantity::EyeletFlange,
            Bought::ScrewHead => InstrumentQuantity::ScrewHead,
            Bought::ScrewHeadHeight => InstrumentQuantity::ScrewHeadHeight,
            Bought::Lead => InstrumentQuantity::LeadDiameter,
        }
    }

    /// The size among what was bought.
    pub fn of(self, hardware: &mut Hardware) -> &mut Estimate {
        match self {
            Bought::RodDiameter => &mut hardware.rod_diameter,
            Bought::RodLength => &mut hardware.rod_length,
            Bought::EyeletBarrel => &mut hardware.eyelet_barrel,
            Bought::EyeletFlange => &mut hardware.eyelet_flange,
            Bought::ScrewHead => &mut hardware.screw_head,
            Bought::ScrewHeadHeight => &mut hardware.screw_head_height,
            Bought::Lead => &mut hardware.lead_diameter,
        }
    }
}
