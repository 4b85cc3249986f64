//! The changes as files: `changes.md` with a picture of every part that changed.

use std::fmt::Write;

use bobbinwright_geometry::Role;
use bobbinwright_kernel::{TooManyContours, threads};
use bobbinwright_spec::capitalised;
use serde_json::{Value, json};

use super::{Changes, PartChange, SizeChange, view};
use crate::listing;
use crate::output::{InstallError, Sink};
use crate::paper::{PixelsError, png, svg};

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

impl Changes {
    /// Puts `changes.md`, a picture of every part that changed as SVG and PNG, and the list of it all into a
    /// folder.
    pub fn write(&self, sink: &Sink) -> Result<(), WriteError> {
        let parts: Vec<&PartChange> = self.changed_parts().collect();
        let pictures = threads::map(&parts, |part| {
            let page = view::page(part, &part.what())?;
            let vector = sink.put(&format!("{}.svg", part.id), svg(&page).into_bytes());
            let pixels = sink.put(&format!("{}.png", part.id), png(&page, PER_MM)?);
            Ok::<_, WriteError>([vector, pixels])
        });
        let mut outputs = vec![sink.put("changes.md", self.markdown().into_bytes())];
        for files in pictures {
            outputs.extend(files?);
        }
        listing::put(LIST, &self.slug, Some(self.json()), outputs, sink);
        Ok(())
    }

    /// Parts that changed by more than can be seen.
    pub fn changed_parts(&self) -> impl Iterator<Item = &PartChange> {
        self.positions.iter().flat_map(|p| &p.parts).filter(|p| !p.is_small())
    }

    fn markdown(&self) -> String {
        let [earlier, later] = &self.between;
        let mut out = format!("# What changed: {}\n\nFrom {earlier} to {later}.\n", self.title);
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
        list("What to print", self.what_to_do());
        list("Readings", self.readings.clone());
        list("Wanted", self.wanted.clone());
        list("Sizes that follow", self.sizes.iter().map(SizeChange::line).collect());
        for part in self.positions.iter().flat_map(|p| &p.parts) {
            let _ =
                writeln!(out, "\n## {}\n\n{}; {}.", part.id, capitalised(&part.what()), part.still_good());
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
    pub fn json(&self) -> Value {
        let parts: Vec<Value> = self.positions.iter().flat_map(|p| &p.parts).map(part).collect();
        let sizes: Vec<String> = self.sizes.iter().map(SizeChange::line).collect();
        let positions: Vec<Value> = self
            .positions
            .iter()
            .map(|p| json!({ "name": p.name, "verdict": p.verdict.word(), "chance": p.chance }))
            .collect();
        json!({
            "between": self.between,
            "readings": self.readings,
            "wanted": self.wanted,
            "sizes": sizes,
            "new_positions": self.new,
            "gone_positions": self.gone,
            "positions": positions,
            "parts": parts,
        })
    }
}

fn part(part: &PartChange) -> Value {
    let moved = part.found.moved.first();
    json!({
        "id": part.id,
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
