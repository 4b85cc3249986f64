//! A family built and checked, and all its files in memory.

use bobbinwright_fit::{self as fit, Fit};
use bobbinwright_geometry::mesh::{MeshError, mesh};
use bobbinwright_geometry::parts::{Part, PositionParts, Refusal, build_family};
use bobbinwright_geometry::threads;
use bobbinwright_spec::{Family, Length, Problem, Problems, Span};

use crate::manifest::{
    Bounds, CheckEntry, FORMAT, HashedFile, Manifest, PartEntry, PartFiles, Program, sha256,
};
use crate::output::{InstallError, Sink};
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

impl<'a> Prepared<'a> {
    /// Builds and checks. Parts that can't be made as wanted come back as problems that point at
    /// the dimension to change.
    pub fn new(family: &'a Family) -> Result<Self, Problems> {
        let positions = build_family(family).map_err(|refusals| problems(family, &refusals))?;
        let mut parts = family.positions.iter().zip(&positions);
        if parts.any(|(p, built)| built.parts.iter().any(|part| Self::part_id(&p.name, part) == family.slug))
        {
            let message = format!("the family's folder is called {}, as one of its parts is", family.slug);
            let problem =
                Problem::anywhere(message).hint("rename the folder: its name names the assembly's file");
            return Err(Problems { files: family.files.clone(), all: vec![problem] });
        }
        let fit = fit::check(family, &positions);
        Ok(Self { family, positions, fit })
    }

    /// The name of a part's files and of its product: `neck-cover`.
    pub fn part_id(position: &str, part: &Part) -> String {
        format!("{position}-{}", part.kind.name())
    }

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

    /// Where a part's frame goes in the assembly: positions lie side by side in the strings'
    /// direction, clear of each other; the parts of a position one upon the other.
    fn place(&self, position: usize, part: &Part) -> [Length; 3] {
        let widest = self.positions.iter().map(|p| p.layout.width.as_mm()).fold(0.0, f64::max);
        let pitch = (widest * 1.5).ceil();
        [Length::ZERO, Length::from_mm(-pitch * position as f64), part.place]
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
            program: Program { name: "bobbinwright".into(), version: env!("CARGO_PKG_VERSION").into() },
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

/// Refusals as problems at the lines that state the dimensions, one for each line: where several parts
/// or positions refuse the same stated value, the value is offered that suits all of them.
fn problems(family: &Family, refusals: &[Refusal]) -> Problems {
    let mut groups: Vec<(Option<Span>, Vec<&Refusal>)> = Vec::new();
    for refusal in refusals {
        let position = family.positions.iter().position(|p| p.name == refusal.position);
        let span = position.and_then(|p| family.origin(p, refusal.parameter));
        let same =
            |g: &&mut (Option<Span>, Vec<&Refusal>)| g.0 == span && g.1[0].parameter == refusal.parameter;
        match groups.iter_mut().find(same) {
            Some(group) => group.1.push(refusal),
            None => groups.push((span, vec![refusal])),
        }
    }
    let all = groups.into_iter().map(|(span, group)| problem(span, &group)).collect();
    Problems { files: family.files.clone(), all }
}

fn problem(span: Option<Span>, group: &[&Refusal]) -> Problem {
    let first = group[0];
    let path = first.parameter;
    let place = format!("{} {}", first.position, first.part.name());
    let message = match first.value {
        Some(value) => format!("{place}: {path} is {value}, but {}", first.why),
        None => format!("{place}: {path} is missing: {}", first.why),
    };
    let values: Option<Vec<Length>> = group.iter().map(|r| r.works).collect();
    let hint = match (values, first.value) {
        (Some(values), Some(wanted)) => {
            // Below the wanted value the smallest suits all, above it the largest.
            let below = values.iter().all(|v| *v < wanted);
            let pick = |a: Length, b: Length| if below { a.min(b) } else { a.max(b) };
            let value = values.into_iter().reduce(pick).unwrap_or(wanted);
            format!(
                "with {path} {value} it can be made, everything else left as it is; check then says whether it fits"
            )
        }
        (_, Some(_)) => format!("no value of {path} alone helps: change what it runs into"),
        (_, None) => {
            format!("state {path} in family.ron, or say rout: (ear_recesses: true) where the body has them")
        }
    };
    let severity = bobbinwright_spec::Severity::Error;
    Problem { severity, span, message, hint: Some(hint) }
}
