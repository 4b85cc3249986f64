//! The sizes that can be measured on each part, and how each comes to be on the printer.

use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{BedSide, Length, PartKind, PieceSize, SizeOf};

use super::{Layout, Lie};

/// A size of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Which.
    pub size: PieceSize,
    /// What it shall be as it comes off the printer.
    pub wanted: Length,
    /// What it shall be when the part is finished: the same where nothing is put on it.
    pub finished: Length,
    /// How it comes to be.
    pub made: Made,
}

/// All sizes of a part that can be measured on the printed piece, in the order of a sheet.
pub fn pieces(layout: &Layout, part: PartKind, lie: Lie) -> Vec<Piece> {
    let mut list = List { part, lie, coat: layout.coat(part), all: Vec::new() };
    match part {
        PartKind::Cover => list.cover(layout),
        PartKind::Baseplate => list.baseplate(layout),
        PartKind::FlatworkBottom | PartKind::FlatworkTop => list.flatwork(layout),
    }
    list.all
}

struct List {
    part: PartKind,
    lie: Lie,
    coat: Length,
    all: Vec<Piece>,
}

impl List {
    fn add(&mut self, size: SizeOf, finished: Length, made: Made) {
        let size = PieceSize { part: self.part, size };
        let wanted = finished - self.coat * size.finished_faces() as f64;
        self.all.push(Piece { size, wanted, finished, made });
    }

    fn axes(&self) -> (Axis, Axis) {
        if self.lie.turned { (Axis::Y, Axis::X) } else { (Axis::X, Axis::Y) }
    }

    /// Through the whole part: over the bed on whichever side it lies.
    fn through(&self) -> Made {
        if self.lie.side.is_flat() { Made::Height } else { Made::Depth }
    }

    /// Between a part's underside, or its top, and another level: over the bed when that side lies on it.
    fn from(&self, side: BedSide) -> Made {
        if self.lie.side == side { Made::Height } else { Made::Depth }
    }

    fn outline(&mut self, layout: &Layout) {
        let (x, y) = self.axes();
        let [length, width] = layout.square_size();
        self.add(SizeOf::Length, length, Made::Outer(x));
        self.add(SizeOf::Width, width, Made::Outer(y));
        if let Some(ear) = layout.ears {
            if let Some(reach) = layout.ear_to_ear() {
                self.add(SizeOf::EarToEar, reach, Made::Outer(x));
            }
            let across = if layout.tabs.iter().any(|tab| tab.side.is_end()) { y } else { x };
            self.add(SizeOf::EarWidth, ear.width, Made::Outer(across));
        }
        self.add(SizeOf::ScrewHole, layout.wanted.cover.screw_hole, Made::Hole);
        if let Some(apart) = layout.two_screws().map(|[a, b]| b - a) {
            let along = if apart.x.abs() >= apart.y.abs() { x } else { y };
            self.add(SizeOf::ScrewPitch, layout.screw_pitch(), Made::Between(along));
        }
    }

    fn cover(&mut self, layout: &Layout) {
        let (x, y) = self.axes();
        let cover = &layout.wanted.cover;
        self.outline(layout);
        self.add(SizeOf::Height, cover.height, self.through());
        if let Some(ear) = layout.ears {
            self.add(SizeOf::EarThickness, ear.thickness, self.from(BedSide::Underside));
        }
        let [length, width] = layout.square_size();
        self.add(SizeOf::HollowLength, length - cover.wall * 2.0, Made::Inner(x));
        self.add(SizeOf::HollowWidth, width - cover.wall * 2.0, Made::Inner(y));
        self.add(SizeOf::HollowDepth, layout.hollow_height(), self.from(BedSide::Underside));
        if let Some(boss) = layout.boss {
            self.add(SizeOf::Recess, boss.recess_diameter, Made::Hole);
            self.add(SizeOf::RecessDepth, boss.recess_depth, self.from(BedSide::Top));
        }
        if let Some(hole) = cover.pole_hole {
            self.add(SizeOf::PoleHole, hole, Made::Hole);
            self.add(SizeOf::PoleSpan, pole_span(layout), Made::Between(x));
        }
    }

    fn baseplate(&mut self, layout: &Layout) {
        let (x, y) = self.axes();
        let plate = &layout.wanted.baseplate;
        self.outline(layout);
        let thickness = if plate.lip.is_some() { self.from(BedSide::Underside) } else { self.through() };
        self.add(SizeOf::Height, plate.thickness, thickness);
        if let Some(lip) = plate.lip {
            let inset = (layout.wanted.cover.wall + lip.gap) * 2.0;
            let [length, width] = layout.square_size();
            self.add(SizeOf::LipLength, length - inset, Made::Outer(x));
            self.add(SizeOf::LipWidth, width - inset, Made::Outer(y));
            self.add(SizeOf::LipHeight, lip.height, self.from(BedSide::Top));
        }
    }

    fn flatwork(&mut self, layout: &Layout) {
        let (x, y) = self.axes();
        let wanted = &layout.wanted.flatwork;
        self.add(SizeOf::Length, layout.plate.length, Made::Outer(x));
        self.add(SizeOf::Width, layout.plate.width, Made::Outer(y));
        let thickness = if self.part == PartKind::FlatworkBottom { wanted.bottom } else { wanted.top };
        self.add(SizeOf::Height, thickness, self.through());
        self.add(SizeOf::PoleHole, wanted.pole_hole, Made::Hole);
        self.add(SizeOf::PoleSpan, pole_span(layout), Made::Between(x));
        if self.part == PartKind::FlatworkBottom {
            self.add(SizeOf::EyeletHole, wanted.eyelet_hole, Made::Hole);
        }
    }
}

/// Centre distance of the outermost poles.
fn pole_span(layout: &Layout) -> Length {
    let x = || layout.poles.iter().map(|p| p.x);
    Length::from_mm(x().fold(f64::NEG_INFINITY, f64::max) - x().fold(f64::INFINITY, f64::min))
}
