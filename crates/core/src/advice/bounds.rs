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
        // A gap that is asked to be snug is found anew only where it may come out otherwise.
        if dimension.path == "cover.fit_gap" || !moves_the_gap(dimension.path) {
            with.positions.iter_mut().for_each(|position| position.wanted.cover.snug = None);
        }
        Change::Dimension(dimension.path, value).put_in(&mut with, index, Reach::WholeLine) && is_made(with)
    })
}

/// Does how a cover lies in its rout hang on it: its outline, its ears, its screws?
fn moves_the_gap(path: &str) -> bool {
    ["cover.corner_radius", "cover.screw_hole"].contains(&path) || path.starts_with("cover.mounting.")
}
