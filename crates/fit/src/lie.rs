//! Where a cover lies best in its rout, and what is left beside it there.

use bobbinwright_spec::{Estimate, PartKind};

use crate::Fit;
use crate::kind::CheckKind;
use crate::pose::Condition;

/// What is left round a cover that lies where it lies best. All with treble and neck positive, from the rout's middle.
#[derive(Clone, Debug, PartialEq)]
pub struct Lie {
    /// By how much it is moved from the rout's middle along and across, mm, and turned towards the neck at its treble end, rad.
    pub place: [f64; 3],
    /// Beside its straight sides.
    pub beside: Vec<Beside>,
    /// At its screws.
    pub screws: Vec<AtScrew>,
}

/// The room beside a place on the cover's outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// The place on the cover, mm.
    pub at: [f64; 2],
    /// The direction in which the side faces.
    pub towards: [f64; 2],
    /// What is left.
    pub room: Estimate,
}

/// A screw in its hole.
#[derive(Clone, Debug, PartialEq)]
pub struct AtScrew {
    /// The hole's middle on the cover, mm.
    pub hole: [f64; 2],
    /// Where the screw is from there.
    pub screw: [Estimate; 2],
    /// How far it may be from there.
    pub play: Estimate,
}

impl Fit {
    /// Where a part of a position lies best in its rout: by how much it is moved from the rout's middle along and across, mm,
    /// and turned from how it was drawn, rad. What is in the cover lies as it does. None where it can't be screwed down.
    pub fn place_of(&self, position: &str, part: PartKind) -> Option<[f64; 3]> {
        let kind = match part {
            PartKind::Baseplate => CheckKind::BaseplateScrewHoles,
            _ => CheckKind::CoverScrewHoles,
        };
        let pose = self.checks.iter().find(|c| c.position == position && c.kind == kind)?.pose.as_ref()?;
        let [dx, dy, turn] = pose.best_place()?;
        Some([dx, dy, pose.turned() + turn])
    }

    /// How the cover of a position lies; none where it can't be screwed down at all.
    pub fn lie(&self, position: &str) -> Option<Lie> {
        let is_it = |c: &&crate::Check| c.position == position && c.kind == CheckKind::CoverScrewHoles;
        let pose = self.checks.iter().find(is_it)?.pose.as_ref()?;
        let [dx, dy, turn] = pose.best_place()?;
        let exact = |mm: f64| Estimate::exact(bobbinwright_spec::Length::from_mm(mm));
        let moved = |[x, y]: [f64; 2]| [dx - turn * y, dy + turn * x];
        let place = [dx, dy, pose.turned() + turn];
        let mut lie = Lie { place, beside: Vec::new(), screws: Vec::new() };
        for condition in pose.conditions() {
            let beside = condition.beside([dx, dy, turn]).into_iter();
            lie.beside.extend(beside.map(|(at, towards, room)| Beside {
                at: pose.as_drawn(at),
                towards,
                room,
            }));
            if let Condition::Round { point, off: [x, y], room, corner: None } = condition {
                let [along, across] = moved(*point);
                // The hole is off the screw by this.
                let screw = [(x, along), (y, across)].map(|(off, by)| -(off.clone() + exact(by)));
                lie.screws.push(AtScrew { hole: pose.as_drawn(*point), screw, play: room.clone() });
            }
        }
        Some(lie)
    }
}
