//! A part as it comes off the printer, before it is sanded and coated.
//!
//! The finished outline is what fits the rout, so the printed one lies within it by what the finish adds to a face, c: the
//! body is shorter and narrower by 2 c, outer corners are rounder by c less and inner ones by c more, which is the outline's
//! exact inset; finished tops lie c lower, with a rounding of c less. What is masked stays where it is: hollow, lip, holes
//! and seats, the lead's notch, undersides. Where a finish only takes off, c is less than nought, and all of that the other
//! way.

use std::borrow::Cow;

use bobbinwright_kernel::solid::build;
use bobbinwright_spec::{Length, Mounting, PartKind, sentence};

use super::fault::Fault;
use super::rounded;
use super::tabs::{self, Tab};
use super::{Boss, EarShape, Layout, Part, PositionParts, Undrawable, stack_of};

/// Less than this is no wall, and no printer would make anything of it.
const LEAST: Length = Length::from_mm(0.2);

/// A part as it is to come off a printer that makes no error; the nominal one where nothing is done to it afterwards.
///
/// # Errors
/// See [`Undrawable`].
pub fn bare_part(layout: &Layout, kind: PartKind) -> Result<Part, Undrawable> {
    let refuse = |f: Fault| Undrawable { part: kind, why: f.why.to_string() };
    let bare = layout.bare(kind).map_err(refuse)?;
    let stack = stack_of(&bare, kind).map_err(refuse)?;
    let solid = build(&stack).map_err(|e| refuse(Fault::of_stack(&stack, kind, &bare, &e)))?;
    Ok(Part { kind, stack, solid, place: layout.place_of(kind) })
}

impl PositionParts {
    /// A part as it is to come off a printer that makes no error; none where there is no such part, or it can't be printed.
    pub fn bare(&self, kind: PartKind) -> Option<Cow<'_, Part>> {
        if self.layout.coat(kind) == Length::ZERO {
            return self.parts.iter().find(|part| part.kind == kind).map(Cow::Borrowed);
        }
        bare_part(&self.layout, kind).ok().map(Cow::Owned)
    }
}

impl Layout {
    /// What a part's finish adds to a face; nought where it has none.
    pub fn coat(&self, kind: PartKind) -> Length {
        self.wanted.finish.of(kind).map_or(Length::ZERO, |finish| finish.adds())
    }

    /// The sizes from which a part is printed; those of the others are as they were.
    pub(super) fn bare(&self, kind: PartKind) -> Result<Self, Fault> {
        let coat = self.coat(kind);
        if coat == Length::ZERO {
            return Ok(self.clone());
        }
        let mut bare = self.clone();
        let less = |radius: Length| (radius - coat).max(Length::ZERO);
        bare.slanted = self.slanted.map(|sides| sides.inset(coat.as_mm()));
        [bare.length, bare.width] = bare
            .slanted
            .map_or([self.length - coat * 2.0, self.width - coat * 2.0], |slanted| slanted.size());
        let cover = &mut bare.wanted.cover;
        // In a baseplate it only says where the lip stands.
        cover.wall =
            if kind == PartKind::Cover { left(cover.wall - coat, "wall", coat)? } else { cover.wall - coat };
        bare.corners = self.corners.map(|radius| less(*radius));
        if kind == PartKind::Cover {
            cover.roof = left(cover.roof - coat, "roof", coat)?;
            cover.height = cover.height - coat;
            let sharpest = bare.corners.iter().map(|(_, radius)| *radius).fold(bare.length, Length::min);
            cover.rounding = less(self.rounding()).min(sharpest);
            // The seats' floors stay where they are.
            if let Mounting::Bosses { recess_depth, .. } = &mut cover.mounting {
                *recess_depth = left(*recess_depth - coat, "seat of a screw's head", coat)?;
            }
            bare.boss = self.boss.map(|boss| Boss { recess_depth: boss.recess_depth - coat, ..boss });
        }
        let size = [bare.length, bare.width];
        bare.body = rounded::outline(self.handed, size, bare.slanted.as_ref(), &bare.corners)?;
        bare.tabs = self
            .tabs
            .iter()
            .map(|tab| Tab { reach: tab.reach - coat, width: tab.width - coat * 2.0, ..*tab })
            .collect();
        bare.ears = self.ears.map(|ear| EarShape {
            width: ear.width - coat * 2.0,
            thickness: if kind == PartKind::Cover { ear.thickness - coat } else { ear.thickness },
            corner_radius: less(ear.corner_radius).min(ear.width / 2.0 - coat).min(ear.length),
            blend: (ear.blend + coat).max(Length::ZERO),
            ..ear
        });
        bare.outline = match &bare.ears {
            Some(ear) => tabs::outline(&bare.body, ear, &bare.tabs, self.handed)?,
            None => bare.body.clone(),
        };
        Ok(bare)
    }
}

fn left(wall: Length, what: &str, coat: Length) -> Result<Length, Fault> {
    if wall < LEAST {
        let why = sentence!("under a finish of {} the cover's {} would be printed as {}", coat, what, wall);
        return Err(Fault::new("finish.cover.adds", why));
    }
    Ok(wall)
}
