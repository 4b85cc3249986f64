//! All files of a build.

use bobbinwright_geometry::mesh::{MeshError, mesh};
use bobbinwright_geometry::parts::Part;
use bobbinwright_geometry::threads;
use bobbinwright_spec::Length;

use crate::hash::{HashedFile, sha256};
use crate::manifest::{Bounds, CheckEntry, FORMAT, Manifest, PartEntry, PartFiles, Program};
use crate::output::{InstallError, Sink};
use crate::prepared::Prepared;
use crate::stl::CHORD;
use crate::{dimensions, drawing, manifest, report, step, stl};

/// What can go wrong while files are made.
#[derive(Debug, thiserror::Error)]
pub enum BuildError {
    /// A solid could not be meshed.
    #[error("{part}: {source}")]
    Mesh {
        /// The part.
        part: String,
        /// Why.
        source: MeshError,
    },
    /// A file could not be composed in memory.
    #[error("{file}: {source}")]
    Compose {
        /// The file.
        file: String,
        /// Why.
        source: std::io::Error,
    },
    /// A file could not be put in place.
    #[error(transparent)]
    Install(#[from] InstallError),
    /// The manifest could not be composed.
    #[error("manifest.json: {0}")]
    Manifest(serde_json::Error),
}

/// Something to be made, independent of everything else.
enum Job<'p> {
    Assembly,
    Part(usize, &'p Part),
}

/// What came of a job.
enum Done {
    File(HashedFile),
    Part(Box<PartEntry>, [HashedFile; 2]),
}

impl Prepared {
    /// Makes all files of the build and puts each into `sink` as soon as it is done, the manifest
    /// last. `step_done` is called after each part.
    pub fn write(&self, sink: &Sink, step_done: impl Fn() + Sync) -> Result<(), BuildError> {
        // The assembly is the longest job, so it goes first.
        let parts = self.positions.iter().enumerate();
        let parts = parts.flat_map(|(i, p)| p.parts.iter().map(move |part| Job::Part(i, part)));
        let jobs: Vec<Job> = std::iter::once(Job::Assembly).chain(parts).collect();
        let assembly_name = format!("{}.step", self.family.slug);
        let results = threads::map(&jobs, |job| match *job {
            Job::Assembly => Ok(Done::File(sink.put(&assembly_name, self.assembly().into_bytes()))),
            Job::Part(position, part) => {
                let done = self.finish(position, part, sink);
                step_done();
                done
            }
        });
        let mut outputs = Vec::with_capacity(results.len() * 2 + 4);
        let mut entries = Vec::with_capacity(results.len());
        for result in results {
            match result? {
                Done::File(file) => outputs.push(file),
                Done::Part(entry, files) => {
                    entries.push(*entry);
                    outputs.extend(files);
                }
            }
        }
        for (position, parts) in self.family.positions.iter().zip(&self.positions) {
            let name = format!("{}-plan.svg", position.name);
            outputs.push(sink.put(&name, drawing::plan(position, &parts.layout).into_bytes()));
        }
        outputs.push(sink.put("report.md", report::markdown(self, &entries).into_bytes()));
        let manifest = self.manifest(assembly_name, entries, outputs);
        let mut bytes = serde_json::to_vec_pretty(&manifest).map_err(BuildError::Manifest)?;
        bytes.push(b'\n');
        sink.put(manifest::FILE, bytes);
        Ok(())
    }

    fn finish(&self, position: usize, part: &Part, sink: &Sink) -> Result<Done, BuildError> {
        let name = &self.family.positions[position].name;
        let id = Self::part_id(name, part);
        let mesh =
            mesh(&part.solid, CHORD).map_err(|source| BuildError::Mesh { part: id.clone(), source })?;
        let stl_name = format!("{id}.stl");
        let bytes =
            stl::write(&mesh).map_err(|source| BuildError::Compose { file: stl_name.clone(), source })?;
        let stl = sink.put(&stl_name, bytes);
        let step_name = format!("{id}.step");
        let step = sink.put(&step_name, step::part(&id, &part.solid).into_bytes());
        let (min, max) = part.solid.bounds();
        let entry = PartEntry {
            position: name.clone(),
            part: part.kind.name().to_owned(),
            files: PartFiles { stl: stl_name, step: step_name },
            volume_mm3: part.solid.volume,
            area_mm2: part.solid.area,
            bounds_mm: Bounds { min: min.into(), max: max.into() },
            triangles: mesh.triangles.len(),
            genus: part.solid.through_holes,
            place_mm: self.place(position, part).map(Length::as_mm),
            dimensions: dimensions::of(part.kind, &self.positions[position].layout),
            id,
        };
        Ok(Done::Part(Box::new(entry), [stl, step]))
    }

    fn assembly(&self) -> String {
        let mut names = Vec::new();
        for (position, parts) in self.family.positions.iter().zip(&self.positions) {
            names.extend(parts.parts.iter().map(|part| Self::part_id(&position.name, part)));
        }
        let parts = self.positions.iter().enumerate();
        let parts = parts.flat_map(|(i, p)| p.parts.iter().map(move |part| (i, part)));
        let placed: Vec<step::Placed> = parts
            .zip(&names)
            .map(|((i, part), name)| step::Placed { name, solid: &part.solid, at: self.place(i, part) })
            .collect();
        step::assembly(&self.family.slug, &placed)
    }

    fn manifest(&self, assembly: String, parts: Vec<PartEntry>, outputs: Vec<HashedFile>) -> Manifest {
        let inputs = self.family.files.iter().map(|f| {
            let file = f.name.rsplit(['/', '\\']).next().unwrap_or(&f.name).to_owned();
            HashedFile { file, sha256: sha256(f.text.as_bytes()) }
        });
        Manifest {
            format: FORMAT,
            program: Program::this(),
            family: self.family.slug.clone(),
            title: self.family.title.clone(),
            inputs: inputs.collect(),
            chord_tolerance_mm: CHORD,
            assembly,
            parts,
            checks: self.fit.checks.iter().map(CheckEntry::of).collect(),
            outputs,
        }
    }
}
