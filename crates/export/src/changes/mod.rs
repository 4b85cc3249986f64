//! The changes as files: `changes.md` with a picture of every part that changed; and what was last built, to compare
//! with.

mod built;
mod view;

use std::fmt::Write;

use bobbinwright_geometry::Role;
use bobbinwright_kernel::{TooManyContours, threads};
use bobbinwright_spec::capitalised;
use serde_json::{Value, json};

use crate::listing;
use crate::plain::plain;
use bobbinwright_core::changes::{Changes, PartChange};
use bobbinwright_install::{InstallError, Sink};
use bobbinwright_paper::{PixelsError, png, svg};

pub use built::{Built, NotRead};

/// The file that lists what belongs to the folder.
pub const LIST: &str = "changes.json";

/// Pixels of a picture for a millimetre.
const PER_MM: f64 = 6.0;

/// Why the files can't be made.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// A part has too many contours.
    #[error(transparent)]
    Contours(#[from] TooManyContours),
    /// A picture can't be drawn.
    #[error(transparent)]
    Pixels(#[from] PixelsError),
    /// A file can't be put in place.
    #[error(transparent)]
    Install(#[from] InstallError),
}

/// Puts `changes.md`, a picture of every part that changed as SVG and PNG, and the list of it all into a
/// folder.
pub fn write(changes: &Changes, sink: &Sink) -> Result<(), WriteError> {
    let parts: Vec<&PartChange> = changes.changed_parts().collect();
    let pictures = threads::map(&parts, |part| {
        let page = view::page(part, &part.what(changes.unit), changes.unit)?;
        let vector = sink.put(&format!("{}.svg", part.id), svg(&page).into_bytes());
        let pixels = sink.put(&format!("{}.png", part.id), png(&page, PER_MM)?);
        Ok::<_, WriteError>([vector, pixels])
    });
    let mut outputs = vec![sink.put("changes.md", markdown(changes).into_bytes())];
    for files in pictures {
        outputs.extend(files?);
    }
    listing::put(LIST, &changes.slug, Some(json(changes)), outputs, sink);
    Ok(())
}

fn markdown(changes: &Changes) -> String {
    let [earlier, later] = &changes.between;
    let mut out = format!("# What changed: {}\n\nFrom {earlier} to {later}.\n", plain(&changes.title));
    // Writing to a String does not fail.
    let mut list = |title: &str, lines: Vec<String>| {
        let _ = writeln!(out, "\n## {title}\n");
        if lines.is_empty() {
            let _ = writeln!(out, "Nothing.");
        }
        for line in lines {
            let _ = writeln!(out, "- {line}");
        }
    };
    list(changes.what(), changes.what_to_do());
    list("Readings", changes.readings.clone());
    list("Wanted", changes.wanted.clone());
    list("Sizes that follow", changes.sizes.iter().map(|size| size.line(changes.unit)).collect());
    for part in changes.positions.iter().flat_map(|p| &p.parts) {
        let _ = writeln!(
            out,
            "\n## {}\n\n{}; {}.",
            part.id,
            capitalised(&part.what(changes.unit)),
            part.still_good(changes.unit)
        );
        if !part.is_small() {
            let _ = writeln!(
                out,
                "\n![{0}: what comes off and on]({0}.svg)\n\n[The same as PNG]({0}.png)",
                part.id
            );
        }
    }
    out
}

/// The changes for other programs.
pub fn json(changes: &Changes) -> Value {
    let parts: Vec<Value> = changes.positions.iter().flat_map(|p| &p.parts).map(part).collect();
    let sizes: Vec<String> = changes.sizes.iter().map(|size| size.line(changes.unit)).collect();
    let positions: Vec<Value> = changes
        .positions
        .iter()
        .map(|p| json!({ "name": p.name, "verdict": p.verdict.word(), "chance": p.chance }))
        .collect();
    json!({
        "between": changes.between,
        "readings": changes.readings,
        "wanted": changes.wanted,
        "sizes": sizes,
        "new_positions": changes.new,
        "gone_positions": changes.gone,
        "positions": positions,
        "parts": parts,
    })
}

fn part(part: &PartChange) -> Value {
    let moved = part.found.moved.first();
    let copy = part.copy.as_ref();
    json!({
        "id": part.id,
        "printed": part.is_there,
        "copy": copy.map(|c| json!({ "number": c.number, "on": c.on.to_string(), "build": c.build })),
        "same": part.found.is_none(),
        "removed_mm3": part.found.removed,
        "added_mm3": part.found.added,
        "moved_mm": moved.map_or(0.0, |m| m.distance),
        "moved": moved.map(|m| m.role.name()),
        "new": names(&part.found.new),
        "gone": names(&part.found.gone),
        "stays": part.choice.stays,
        "printed_one": part.choice.worst.as_ref().map(|c| c.verdict.word()),
        "margin_mm": part.choice.worst.as_ref().map(|c| c.margin.value().as_mm()),
        "check": part.choice.worst.as_ref().map(|c| c.kind.name()),
    })
}

/// Features by name, as often as there are.
fn names(roles: &[Role]) -> Vec<&'static str> {
    roles.iter().map(|role| role.name()).collect()
}
