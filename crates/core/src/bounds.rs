//! Between which values a wanted dimension can be chosen so that the whole family can be made, everything else left as it is.

use bobbinwright_fit::make_snug;
use bobbinwright_geometry::parts::{Ranges, build_family, room_for};
use bobbinwright_spec::{Family, Length, Parameter};

use crate::Prepared;
use crate::advice::{Change, Reach, on_same_line};
use crate::refused;

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

/// Can all of it be made?
pub(crate) fn is_made(mut family: Family) -> bool {
    make_snug(&mut family).is_ok()
        && build_family(&family).is_ok_and(|positions| refused::undrawable(&family, &positions).is_ok())
}

/// A value that works, rounded to what is said of it: no nearer to one that does not.
pub(crate) fn said(value: Length, wanted: Length, unit: bobbinwright_spec::Unit) -> Length {
    let steps = value / unit.step();
    let whole = if value < wanted { (steps + 1e-6).floor() } else { (steps - 1e-6).ceil() };
    unit.rounded(unit.step() * whole)
}
