//! What each wish is, drawn small on the parts as they are now.

use bobbinwright_core::Prepared;
use bobbinwright_export::shown::ToRead;
use bobbinwright_export::shown::{self, Picture};
use bobbinwright_fit::Deciding;
use bobbinwright_paper::svg;
use bobbinwright_spec::{PartKind, part_name};
use serde_json::{Value, json};

use crate::desk::Desk;

/// Pictures of the wishes of every position; none before there are parts.
pub(crate) fn all(desk: &Desk) -> Value {
    let Some(built) = desk.built() else { return json!([]) };
    let positions = built.family.positions.iter().enumerate();
    let one = |picture: &Picture| json!({ "path": picture.path, "view": picture.view, "frame": picture.frame, "mark": picture.mark });
    let of = |(index, position): (usize, &bobbinwright_spec::Position)| {
        let shown = shown::of_wishes(built, index)?;
        let pictures: Vec<Value> = shown.pictures.iter().map(one).collect();
        Some(json!({ "position": position.name, "views": shown.views, "pictures": pictures }))
    };
    Value::Array(positions.filter_map(of).collect())
}

/// A drawing of each printed part with the sizes to be read on it, numbered as they are listed.
pub(crate) fn to_inspect(built: &Prepared, sizes: &[Deciding]) -> Vec<Value> {
    let numbered: Vec<(usize, &Deciding)> = (1..).zip(sizes).collect();
    let positions = built.family.positions.iter().enumerate();
    let parts =
        positions.flat_map(|(index, position)| PartKind::ALL.map(|kind| (index, &position.name, kind)));
    let one = |(index, position, kind): (usize, &String, PartKind)| {
        let own = numbered.iter().filter(|(_, d)| d.position == index && d.piece.size.part == kind);
        let own: Vec<ToRead> = own
            .map(|(number, d)| ToRead { number: *number, size: d.piece.size.size, wanted: d.piece.wanted })
            .collect();
        if own.is_empty() {
            return None;
        }
        let page = shown::numbered(built, index, kind, &own)?;
        let spots: Vec<Value> =
            page.spots().map(|(number, [x, y])| json!({ "number": number, "x": x, "y": y })).collect();
        Some(json!({ "part": part_name(position, kind), "svg": svg(&page), "spots": spots }))
    };
    parts.filter_map(one).collect()
}
