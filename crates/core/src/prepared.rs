//! A family with its parts built and its fit checked.

use std::collections::BTreeMap;
use std::sync::Mutex;

use bobbinwright_fit::{self as fit, CheckKind, Fit, Tried};
use bobbinwright_geometry::parts::{Lie, Part, PartKind, PositionParts, build_family};
use bobbinwright_print::weigh::weigh;
use bobbinwright_spec::{BedSide, Family, Length, Problem, Problems};

use crate::advice::Advice;
use crate::{drawable, refused};

/// A family with its parts and checks.
pub struct Prepared {
    /// The family, its gaps made snug where that was asked for.
    pub family: Family,
    /// Its parts, position by position.
    pub positions: Vec<PositionParts>,
    /// What was tried of printed parts.
    pub tried: Vec<Tried>,
    /// Its checks.
    pub fit: Fit,
    /// What was found to help each check that does not fit, once that was asked.
    pub(crate) advice: Mutex<BTreeMap<(String, CheckKind), Advice>>,
}

impl Prepared {
    /// Builds and checks. Parts that can't be made as wanted come back as problems that point at
    /// the dimension to change.
    pub fn new(family: Family) -> Result<Self, Problems> {
        Self::with_tried(family, Vec::new())
    }

    /// The same with what was tried of printed parts, which tells of the body. It does not move what is drawn: a snug gap is
    /// that of the readings.
    pub fn with_tried(mut family: Family, tried: Vec<Tried>) -> Result<Self, Problems> {
        fit::make_snug(&mut family).map_err(|failed| refused::not_snug(&family, &failed))?;
        let positions = build_family(&family).map_err(|refusals| refused::not_made(&family, &refusals))?;
        let mut parts = family.positions.iter().zip(&positions);
        if parts.any(|(p, built)| built.parts.iter().any(|part| Self::part_id(&p.name, part) == family.slug))
        {
            let message = format!("the family's folder is called {}, as one of its parts is", family.slug);
            let problem =
                Problem::anywhere(message).hint("rename the folder: its name names the assembly's file");
            return Err(Problems { files: family.files, all: vec![problem] });
        }
        drawable::undrawable(&family, &positions)?;
        let fit = fit::check(&family, &positions, &tried);
        Ok(Self { family, positions, tried, fit, advice: Mutex::default() })
    }

    /// The same with the coils that are stated, for bobbins on which nothing is yet.
    ///
    /// # Errors
    ///
    /// Those of [`Prepared::new`].
    pub fn for_next_coils(&self) -> Result<Self, Problems> {
        Self::with_tried(self.family.clone().for_next_coils(), self.tried.clone())
    }

    /// The name of a part's files and of its product: `neck-cover`.
    pub fn part_id(position: &str, part: &Part) -> String {
        format!("{position}-{}", part.kind.name())
    }

    /// How a part is to lie on the bed: as the family says, or else as is best.
    pub fn lie(&self, position: usize, kind: PartKind) -> Lie {
        let layout = &self.positions[position].layout;
        let part = self.positions[position].parts.iter().find(|p| p.kind == kind);
        let weighed = part.and_then(|part| weigh(part, layout, &self.family.printer).ok());
        let stated = layout.wanted.on_bed.of(kind);
        let upright = Lie { side: BedSide::Underside, turned: false };
        weighed.map_or(upright, |w| stated.map_or(w.best(), |side| w.with(side)).lie)
    }

    /// Where a part's frame goes in the assembly: positions lie side by side in the strings'
    /// direction, clear of each other; the parts of a position one upon the other.
    pub fn place(&self, position: usize, part: &Part) -> [Length; 3] {
        let widest = self.positions.iter().map(|p| p.layout.width.as_mm()).fold(0.0, f64::max);
        let pitch = (widest * 1.5).ceil();
        [Length::ZERO, Length::from_mm(-pitch * position as f64), part.place]
    }
}
