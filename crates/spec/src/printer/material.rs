//! What the common materials are like before anything was measured.

/// A filament's material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Polylactide.
    Pla,
    /// Glycol-modified polyethylene terephthalate.
    Petg,
    /// Acrylonitrile butadiene styrene.
    Abs,
    /// Acrylonitrile styrene acrylate.
    Asa,
    /// Polyamide.
    Nylon,
}

/// Density and usual behaviour of a material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// Density, g/cm³ (makers' data sheets, from memory; grades differ by some hundredths).
    pub density: f64,
    /// The printed length over the drawn one is 1 within plus or minus this. Sources on shrinkage
    /// disagree, and slicers and machines make up for part of it, so that the middle is 0 (common
    /// practice: to be measured).
    pub scale_within: f64,
    /// From about this temperature on it softens, °C (glass transition, handbooks, from memory).
    pub softens: f64,
}

impl Material {
    /// The words used in files.
    pub const ALL: [(&'static str, Material); 5] = [
        ("pla", Material::Pla),
        ("petg", Material::Petg),
        ("abs", Material::Abs),
        ("asa", Material::Asa),
        ("nylon", Material::Nylon),
    ];

    /// The word used in files.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, m)| *m == self).map_or("", |(n, _)| n)
    }

    /// The name that people write.
    pub fn title(self) -> &'static str {
        match self {
            Material::Pla => "PLA",
            Material::Petg => "PETG",
            Material::Abs => "ABS",
            Material::Asa => "ASA",
            Material::Nylon => "nylon",
        }
    }

    /// What it is like before anything was measured.
    pub fn usual(self) -> Usual {
        let (density, scale_within, softens) = match self {
            Material::Pla => (1.24, 0.0015, 55.0),
            Material::Petg => (1.27, 0.0025, 75.0),
            Material::Abs => (1.04, 0.005, 95.0),
            Material::Asa => (1.07, 0.005, 95.0),
            Material::Nylon => (1.14, 0.01, 60.0),
        };
        Usual { density, scale_within, softens }
    }
}
