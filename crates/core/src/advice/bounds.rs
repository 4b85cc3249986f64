//! Between which values a wanted dimension can be chosen so that the whole family can be made, everything else left as it is.

use bobbinwright_geometry::parts::{Ranges, room_for};
use bobbinwright_spec::Parameter;

use super::change::{Change, Reach, on_same_line};
use crate::Prepared;
use crate::drawable::is_made;

/// The ranges of a dimension at a position, and at those for which the same line of the file speaks, with which all parts can be made and
/// drawn for their printer, bare of their coats and with the gaps that are asked for; none where it has no such dimension.
pub fn bounds(prepared: &Prepared, index: usize, dimension: &'static Parameter) -> Option<Ranges> {
    let family = &prepared.family;
    let wanted = (dimension.field)(&mut family.positions[index].wanted.clone()).copied()?;
    let of = |index: usize| room_for(&family.positions[index], &family.hardware, dimension);
    let others = on_same_line(family, index, dimension.path).into_iter().filter_map(of);
    let parts = others.fold(of(index), |all, other| all?.and(&other))?;
    parts.that_work(wanted, |value| {
        let mut with = family.clone();
        if dimension.path == "cover.fit_gap" {
            with.positions[index].wanted.cover.snug = None;
        }
        Change::Dimension(dimension.path, value).put_in(&mut with, index, Reach::WholeLine) && is_made(with)
    })
}
