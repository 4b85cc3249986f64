//! Between which values a wanted dimension can be chosen, everything else left as it is.

use bobbinwright_spec::{Hardware, Length, Parameter, Position};

use super::remedy::limit;
use super::{PartKind, try_part};

/// The least and the most that a dimension can be so that all parts of its position can be made; none where the
/// position has no such dimension or the parts can't be made as it is. What works need not be one range: these are
/// the ends of the one round the wanted value, as far as a search by halves finds them.
pub fn room_for(position: &Position, hardware: &Hardware, dimension: &Parameter) -> Option<[Length; 2]> {
    let mut trial = position.clone();
    let wanted = (dimension.field)(&mut trial.wanted).copied()?.as_mm();
    let mut works = |mm: f64| {
        if let Some(field) = (dimension.field)(&mut trial.wanted) {
            *field = Length::from_mm(mm);
        }
        PartKind::ALL.iter().all(|kind| try_part(&trial, hardware, *kind).is_ok())
    };
    works(wanted)
        .then(|| [dimension.low, dimension.high].map(|end| Length::from_mm(last(wanted, end, &mut works))))
}

/// The last value between one that works and the end of what makes sense that still does.
fn last(wanted: f64, end: f64, works: &mut impl FnMut(f64) -> bool) -> f64 {
    if works(end) {
        return end;
    }
    limit(wanted, end, works)
}
