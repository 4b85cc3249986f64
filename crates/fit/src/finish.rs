//! What the finish adds to printed parts.

use bobbinwright_geometry::parts::{Layout, PartKind};
use bobbinwright_spec::{Family, Finish, Length, PieceSize, Position};

/// The finish that a part has, or will have: that of its own build where it is put on already, or else what is wanted now.
pub(crate) fn of(family: &Family, position: &Position, layout: &Layout, part: PartKind) -> Option<Finish> {
    let is_on = family.finished.parts.contains(&(position.name.clone(), part));
    let now = position.wanted.finish.of(part);
    // What was drawn without a finish may have got today's all the same.
    if is_on { layout.wanted.finish.of(part).or(now) } else { now }
}

/// What it adds to a size as it is read; nothing where that was read since.
pub(crate) fn adds(family: &Family, position: &Position, layout: &Layout, size: PieceSize) -> Length {
    if family.finished.read.contains(&(position.name.clone(), size)) {
        return Length::ZERO;
    }
    let finish = of(family, position, layout, size.part);
    finish.map_or(Length::ZERO, |finish| finish.adds() * size.finished_faces() as f64)
}
