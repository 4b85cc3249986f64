//! A family built and checked, and all its files in memory.

use bobbinwright_fit::{self as fit, Fit};
use bobbinwright_geometry::mesh::{Mesh, MeshError, mesh};
use bobbinwright_geometry::parts::{Part, PositionParts, Refusal, build_family};
use bobbinwright_geometry::threads;
use bobbinwright_spec::{Family, Length, Problem, Problems};

use crate::manifest::{Bounds, CheckEntry, FORMAT, Input, Manifest, PartEntry, PartFiles, Program, sha256};
use crate::{dimensions, drawing, manifest, report, step, stl};

/// Chord tolerance of the STL files, mm: a tenth of what a good printer resolves.
pub const CHORD: f64 = 0.01;

/// A family with its parts and checks.
pub struct Prepared<'a> {
    /// The family.
    pub family: &'a Family,
    /// Its parts, position by position.
    pub positions: Vec<PositionParts>,
    /// Its checks.
    pub fit: Fit,
}

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutputFile {
    /// Name without a folder.
    pub name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

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
    /// The manifest could not be composed.
    #[error("manifest.json: {0}")]
    Manifest(serde_json::Error),
}

/// A part with its mesh and files.
struct Finished<'p> {
    id: String,
    position: &'p str,
    layout: &'p PositionParts,
    part: &'p Part,
    place: [Length; 3],
    mesh: Mesh,
    stl: Vec<u8>,
    step: Vec<u8>,
}

impl<'a> Prepared<'a> {
    /// Builds and checks. Parts that can't be made as wanted come back as problems that point at
    /// the dimension to change.
    pub fn new(family: &'a Family) -> Result<Self, Problems> {
        let positions = build_family(family).map_err(|refusals| problems(family, &refusals))?;
        let fit = fit::check(family, &positions);
        Ok(Self { family, positions, fit })
    }

    /// The name of a part's files and of its product: `neck-cover`.
    pub fn part_id(position: &str, part: &Part) -> String {
        format!("{position}-{}", part.kind.name())
    }

    /// All files of the build, the manifest last. `step_done` is called after each part.
    pub fn files(&self, step_done: impl Fn() + Sync) -> Result<Vec<OutputFile>, BuildError> {
        let jobs: Vec<(usize, &Part)> = self
            .positions
            .iter()
            .enumerate()
            .flat_map(|(i, p)| p.parts.iter().map(move |part| (i, part)))
            .collect();
        let finished = threads::map(&jobs, |&(position, part)| {
            let finished = self.finish(position, part);
            step_done();
            finished
        });
        let finished = finished.into_iter().collect::<Result<Vec<_>, _>>()?;
        let assembly_name = format!("{}.step", self.family.slug);
        let assembly = self.assembly(&finished);
        let entries: Vec<PartEntry> = finished.iter().map(entry).collect();
        let mut files = Vec::with_capacity(finished.len() * 2 + 4);
        for part in finished {
            files.push(OutputFile { name: format!("{}.stl", part.id), bytes: part.stl });
            files.push(OutputFile { name: format!("{}.step", part.id), bytes: part.step });
        }
        files.push(OutputFile { name: assembly_name.clone(), bytes: assembly.into_bytes() });
        for (position, parts) in self.family.positions.iter().zip(&self.positions) {
            let name = format!("{}-plan.svg", position.name);
            files.push(OutputFile { name, bytes: drawing::plan(position, &parts.layout).into_bytes() });
        }
        let report = report::markdown(self, &entries);
        files.push(OutputFile { name: "report.md".into(), bytes: report.into_bytes() });
        let manifest = self.manifest(assembly_name, entries, &files);
        let mut bytes = serde_json::to_vec_pretty(&manifest).map_err(BuildError::Manifest)?;
        bytes.push(b'\n');
        files.push(OutputFile { name: manifest::FILE.into(), bytes });
        Ok(files)
    }

    fn finish<'p>(&'p self, position: usize, part: &'p Part) -> Result<Finished<'p>, BuildError> {
        let name = &self.family.positions[position].name;
        let id = Self::part_id(name, part);
        let mesh =
            mesh(&part.solid, CHORD).map_err(|source| BuildError::Mesh { part: id.clone(), source })?;
        let stl =
            stl::write(&mesh).map_err(|source| BuildError::Compose { file: format!("{id}.stl"), source })?;
        let step = step::part(&id, &part.solid).into_bytes();
        let place = self.place(position, part);
        Ok(Finished { id, position: name, layout: &self.positions[position], part, place, mesh, stl, step })
    }

    /// Where a part's frame goes in the assembly: positions lie side by side in the strings'
    /// direction, clear of each other; the parts of a position one upon the other.
    fn place(&self, position: usize, part: &Part) -> [Length; 3] {
        let widest = self.positions.iter().map(|p| p.layout.width.as_mm()).fold(0.0, f64::max);
        let pitch = (widest * 1.5).ceil();
        [Length::ZERO, Length::from_mm(-pitch * position as f64), part.place]
    }

    fn assembly(&self, finished: &[Finished]) -> String {
        let placed: Vec<step::Placed> = finished
            .iter()
            .map(|f| step::Placed { name: &f.id, solid: &f.part.solid, at: f.place })
            .collect();
        step::assembly(&self.family.slug, &placed)
    }

    fn manifest(&self, assembly: String, parts: Vec<PartEntry>, files: &[OutputFile]) -> Manifest {
        let inputs = self.family.files.iter().map(|f| {
            let file = f.name.rsplit(['/', '\\']).next().unwrap_or(&f.name).to_owned();
            Input { file, sha256: sha256(f.text.as_bytes()) }
        });
        let outputs = files.iter().map(|f| Input { file: f.name.clone(), sha256: sha256(&f.bytes) });
        Manifest {
            format: FORMAT,
            program: Program { name: "bobbinwright".into(), version: env!("CARGO_PKG_VERSION").into() },
            family: self.family.slug.clone(),
            title: self.family.title.clone(),
            inputs: inputs.collect(),
            chord_tolerance_mm: CHORD,
            assembly,
            parts,
            checks: self.fit.checks.iter().map(CheckEntry::of).collect(),
            outputs: outputs.collect(),
        }
    }
}

fn entry(finished: &Finished) -> PartEntry {
    let solid = &finished.part.solid;
    let (min, max) = solid.bounds();
    PartEntry {
        id: finished.id.clone(),
        position: finished.position.to_owned(),
        part: finished.part.kind.name().to_owned(),
        files: PartFiles { stl: format!("{}.stl", finished.id), step: format!("{}.step", finished.id) },
        volume_mm3: solid.volume,
        area_mm2: solid.area,
        bounds_mm: Bounds { min: min.into(), max: max.into() },
        triangles: finished.mesh.triangles.len(),
        genus: solid.through_holes,
        place_mm: finished.place.map(Length::as_mm),
        dimensions: dimensions::of(finished.part.kind, &finished.layout.layout),
    }
}

/// Refusals as problems at the lines that state the dimensions.
fn problems(family: &Family, refusals: &[Refusal]) -> Problems {
    let mut problems = Problems { files: family.files.clone(), all: Vec::new() };
    for refusal in refusals {
        let position = family.positions.iter().position(|p| p.name == refusal.position);
        let span = position.and_then(|p| family.origin(p, refusal.parameter));
        let value = refusal.value.map_or(String::new(), |v| format!(" is {v}, but"));
        let message = format!(
            "{refusal_place}: {parameter}{value} {why}",
            refusal_place = format_args!("{} {}", refusal.position, refusal.part.name()),
            parameter = refusal.parameter,
            why = refusal.why
        );
        let hint = match (refusal.works, refusal.value) {
            (Some(works), _) => format!("{} {works} works, everything else left as it is", refusal.parameter),
            (None, Some(_)) => {
                format!("no value of {} alone helps: change what it runs into", refusal.parameter)
            }
            (None, None) => format!("state {} in family.ron", refusal.parameter),
        };
        let severity = bobbinwright_spec::Severity::Error;
        let problem = Problem { severity, span, message, hint: Some(hint) };
        if !problems.all.contains(&problem) {
            problems.all.push(problem);
        }
    }
    problems
}
