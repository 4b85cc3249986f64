//! STL and STEP of a family and nothing else: what a reference kernel does too.

use std::path::Path;

use bobbinwright_core::Prepared;
use bobbinwright_export::{CHORD, step, stl};
use bobbinwright_geometry::parts::Part;
use bobbinwright_install::{InstallError, Sink, install};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_kernel::threads;

/// Puts STL and STEP of all parts and of the assembly into a folder.
///
/// # Panics
///
/// When a part can't be meshed, or the disk does not take it.
pub fn build(prepared: &Prepared, folder: &Path) {
    let made = install(folder, "none", |sink| {
        write(prepared, sink);
        Ok::<(), InstallError>(())
    });
    made.unwrap_or_else(|e| panic!("{e}"));
}

/// The assembly, or a part of a position.
type Job<'p> = Option<(usize, &'p Part)>;

fn write(prepared: &Prepared, sink: &Sink) {
    let parts = prepared.positions.iter().enumerate();
    let parts = parts.flat_map(|(i, p)| p.parts.iter().map(move |part| Some((i, part))));
    let jobs: Vec<Job> = std::iter::once(None).chain(parts).collect();
    let id = |i: usize, part: &Part| Prepared::part_id(&prepared.family.positions[i].name, part);
    threads::map(&jobs, |job| {
        if let Some((i, part)) = job {
            let mesh = mesh(&part.solid, CHORD).unwrap_or_else(|e| panic!("{e}"));
            let id = id(*i, part);
            sink.put(&format!("{id}.stl"), stl::write(&mesh).unwrap_or_else(|e| panic!("{e}")));
            sink.put(&format!("{id}.step"), step::part(&id, &part.solid).into_bytes());
        } else {
            let all: Vec<(usize, &Part, String)> =
                jobs.iter().flatten().map(|(i, part)| (*i, *part, id(*i, part))).collect();
            let placed: Vec<step::Placed> = all
                .iter()
                .map(|(i, part, name)| step::Placed {
                    name,
                    solid: &part.solid,
                    at: prepared.place(*i, part),
                })
                .collect();
            let text = step::assembly(&prepared.family.slug, &placed);
            sink.put(&format!("{}.step", prepared.family.slug), text.into_bytes());
        }
    });
}
