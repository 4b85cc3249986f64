//! All files of a build.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use bobbinwright_geometry::parts::Part;
use bobbinwright_kernel::threads;
use bobbinwright_print::plates::Place;
use bobbinwright_print::{Laid, LayError, Lying, lay_part};
use bobbinwright_spec::{Length, Survey};

use crate::earlier;
use crate::lie;
use crate::manifest::{
    Bounds, CheckEntry, FORMAT, InputEntry, Manifest, PartEntry, PartFiles, PlateEntry, PrintedEntry,
    ProfileEntry, Program,
};
use crate::report::{Files, html};
use crate::scene::{SceneError, scene};
use crate::stand::stands;
use crate::stl::CHORD;
use crate::{
    cut, dimensions, drawing, manifest, picture, printing, report, sheet, step, stl, threemf, whose, winding,
};
use bobbinwright_core::Prepared;
use bobbinwright_install::{HashedFile, sha256};
use bobbinwright_install::{InstallError, Installed, Sink, install_after};

/// What can go wrong while files are made.
#[derive(Debug, thiserror::Error)]
pub enum BuildError {
    /// A part can't be printed.
    #[error(transparent)]
    Lay(#[from] LayError),
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
    /// Another family's build stands where the files would come.
    #[error(
        "{folder} holds the build of another family, {title:?}{of}: build into another folder, or give one of the two families' folders another name",
        folder = folder.display()
    )]
    Theirs {
        /// The folder.
        folder: PathBuf,
        /// The other family's title.
        title: String,
        /// Where it is, ` in ../other/tidewick`; empty where nobody knows.
        of: String,
    },
    /// The parts could not be made to look at.
    #[error(transparent)]
    Scene(#[from] SceneError),
    /// The manifest could not be composed.
    #[error("manifest.json: {0}")]
    Manifest(serde_json::Error),
}

/// Something to be made, independent of everything else.
enum Job<'p> {
    Sheet,
    /// The coil of a position.
    Winding(usize),
    Assembly,
    Scene,
    Part(usize, &'p Part),
}

/// What came of a job.
enum Done<'p> {
    /// The measuring sheet's text and pages.
    Sheet((String, Vec<(String, String)>)),
    /// A coil with its drawings, where one is stated.
    Winding(Option<Box<winding::Drawn<'p>>>),
    /// The parts for the report's 3D view.
    Scene(Vec<u8>),
    File(HashedFile),
    /// A part, as it lies on the bed where it is printed.
    Part(Box<(Option<Lying>, PartEntry)>, Vec<HashedFile>),
}

/// Chord tolerance of the report's 3D view, mm: finer than the eye sees, and a third of the bytes.
const REPORT_CHORD: f64 = 0.03;

/// Width of a plate's thumbnail, pixels.
const THUMBNAIL: usize = 256;

/// Makes all files of the build in a folder hold, or none where another family's build stands there. `survey` is
/// what the family comes from; `step_done` is called after each part.
pub fn build(
    prepared: &Prepared,
    survey: &Survey,
    folder: &Path,
    step_done: impl Fn() + Sync,
) -> Result<Installed, BuildError> {
    if let Some(other) = whose::standing(folder, &prepared.family).filter(|s| !s.is_own) {
        let of = other.family.map_or(String::new(), |f| format!(" in {}", f.display()));
        return Err(BuildError::Theirs { folder: folder.to_owned(), title: other.title, of });
    }
    let make = |sink: &Sink| write(prepared, survey, Some(folder), sink, step_done);
    // Somebody may have printed from what stands there, and say so later.
    install_after(folder, manifest::FILE, make, |stands, comes| {
        // Both marks as they are read back: a number may have lost its last digit on the way.
        let [before, now] = [stands, comes].map(|folder| whose::standing(folder, &prepared.family));
        match before.filter(|before| now.is_none_or(|now| now.mark != before.mark)) {
            Some(before) => earlier::keep(
                comes,
                &before.mark,
                &bobbinwright_install::read_file(&stands.join(manifest::FILE))?,
            ),
            None => Ok(()),
        }
    })
}

/// Makes all files of the build and puts each into `sink` as soon as it is done, the manifest
/// last, which tells the way from `folder` to the family where they go into one.
pub fn write(
    prepared: &Prepared,
    survey: &Survey,
    folder: Option<&Path>,
    sink: &Sink,
    step_done: impl Fn() + Sync,
) -> Result<(), BuildError> {
    // The longest go first.
    let all = parts(prepared).map(|(position, part)| Job::Part(position, part));
    let windings = (0..prepared.positions.len()).map(Job::Winding);
    let jobs: Vec<Job> = windings.chain([Job::Scene, Job::Assembly, Job::Sheet]).chain(all).collect();
    let assembly_name = format!("{}.step", prepared.family.slug);
    let results = threads::map(&jobs, |job| match *job {
        Job::Sheet => Ok(Done::Sheet(sheet::for_report(survey, prepared))),
        Job::Winding(position) => Ok(Done::Winding(winding::Drawn::of(prepared, position).map(Box::new))),
        Job::Scene => Ok(Done::Scene(scene(prepared, &stands(prepared, &[]), REPORT_CHORD)?)),
        Job::Assembly => Ok(Done::File(sink.put(&assembly_name, assembly(prepared).into_bytes()))),
        Job::Part(position, part) => {
            let done = finish(prepared, position, part, sink);
            step_done();
            done
        }
    });
    let (mut outputs, mut lying, mut entries) = (Vec::new(), Vec::new(), Vec::new());
    let (mut sheets, mut windings, mut scene) = (None, Vec::new(), Vec::new());
    for result in results {
        match result? {
            Done::Sheet(pages) => sheets = Some(pages),
            Done::Winding(drawn) => windings.extend(drawn.map(|drawn| *drawn)),
            Done::Scene(bytes) => scene = bytes,
            Done::File(file) => outputs.push(file),
            Done::Part(both, files) => {
                lying.extend(both.0);
                entries.push(both.1);
                outputs.extend(files);
            }
        }
    }
    let laid = Laid::new(&prepared.family, lying)?;
    let printed: Vec<&PartEntry> = entries.iter().filter(|entry| entry.printed.is_some()).collect();
    let ids: Vec<&str> = printed.iter().map(|e| e.id.as_str()).collect();
    let numbered: Vec<(usize, &Vec<Place>)> = laid.plates.iter().enumerate().collect();
    let plates =
        threads::map(&numbered, |(number, places)| plate(prepared, *number, places, &laid, &ids, sink));
    let (plates, files): (Vec<_>, Vec<_>) =
        plates.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter().unzip();
    outputs.extend(files);
    let (sheets_of_plates, files) = cut::laid(prepared, sink);
    outputs.extend(files);
    let mut drawings = BTreeMap::new();
    for (position, parts) in prepared.family.positions.iter().zip(&prepared.positions) {
        let (name, plan) = (format!("{}-plan.svg", position.name), drawing::plan(position, &parts.layout));
        let lies = prepared
            .fit
            .lie(&position.name)
            .map(|lie| lie::drawing(position, &parts.layout, &lie, prepared.family.unit()));
        let lies = lies.map(|drawing| (format!("{}-lie.svg", position.name), drawing));
        for (name, drawing) in [(name, plan)].into_iter().chain(lies) {
            outputs.push(sink.put(&name, drawing.clone().into_bytes()));
            drawings.insert(name, drawing);
        }
    }
    let files = Files { parts: &entries, printed: &printed, plates: &plates, sheets: &sheets_of_plates };
    let report = report::markdown(prepared, &laid, &files);
    // The report, the winding sheets where coils are stated, the measuring sheet, all drawings, and the parts in 3D.
    let mut texts = vec![report.clone()];
    let winding = winding::for_report(prepared, windings);
    for (text, pages) in [winding, sheets].into_iter().flatten() {
        texts.push(text);
        drawings.extend(pages);
    }
    let ends = prepared.family.positions.first().map(|p| p.handed).unwrap_or_default().ends();
    let title = &prepared.family.title;
    let page = html::page(&html::Contents { title, texts, ends, drawings, scene: &scene });
    outputs.push(sink.put("report.html", page.into_bytes()));
    outputs.push(sink.put("report.md", report.into_bytes()));
    let family_folder = folder.and_then(|folder| whose::way(folder, &prepared.family));
    let manifest = Manifest {
        family_folder,
        sheets: sheets_of_plates,
        ..manifest_of(prepared, assembly_name, entries, plates, outputs)
    };
    let mut bytes = serde_json::to_vec_pretty(&manifest).map_err(BuildError::Manifest)?;
    bytes.push(b'\n');
    sink.put(manifest::FILE, bytes);
    Ok(())
}

/// All parts, with the index of their position.
fn parts(prepared: &Prepared) -> impl Iterator<Item = (usize, &Part)> {
    prepared.positions.iter().enumerate().flat_map(|(i, p)| p.parts.iter().map(move |part| (i, part)))
}

/// `tidewick.3mf`, and `tidewick-2.3mf` for a second plate.
fn plate(
    prepared: &Prepared,
    number: usize,
    places: &[Place],
    laid: &Laid,
    ids: &[&str],
    sink: &Sink,
) -> Result<(PlateEntry, HashedFile), BuildError> {
    let slug = &prepared.family.slug;
    let file = if number == 0 { format!("{slug}.3mf") } else { format!("{slug}-{}.3mf", number + 1) };
    let compose = |source| BuildError::Compose { file: file.clone(), source };
    let items = places.iter().map(|place| threemf::Item {
        name: ids[place.part],
        mesh: &laid.parts[place.part].mesh,
        at: [place.at[0].as_mm(), place.at[1].as_mm(), 0.0],
    });
    let description = format!("plate {} of {}", number + 1, laid.plates.len());
    let package =
        threemf::Package { title: &prepared.family.title, description: &description, items: items.collect() };
    // Each takes about as long as the other.
    let (thumbnail, packed) =
        threads::both(|| picture::plate(laid, places, THUMBNAIL), || threemf::write(&package));
    let thumbnail = thumbnail.map_err(|e| compose(std::io::Error::other(e)))?;
    let bytes = packed.and_then(|packed| packed.with(&thumbnail)).map_err(compose)?;
    let hashed = sink.put(&file, bytes);
    Ok((printing::plate(laid, places, file, ids, &prepared.family.printer), hashed))
}

fn finish<'p>(
    prepared: &'p Prepared,
    position: usize,
    part: &Part,
    sink: &Sink,
) -> Result<Done<'p>, BuildError> {
    let name = &prepared.family.positions[position].name;
    let id = Prepared::part_id(name, part);
    let step_name = format!("{id}.step");
    let mut hashed = vec![sink.put(&step_name, step::part(&id, &part.solid).into_bytes())];
    let mut entry = nominal(prepared, position, part, id.clone(), step_name);
    let layout = &prepared.positions[position].layout;
    if layout.wanted.sheet(part.kind).is_some() {
        let (sheet, lines) = cut::lines(prepared, position, part).ok_or_else(|| too_narrow(&id))?;
        let (cut, files) = cut::plate(&id, part.stack.height(), &sheet, &lines, sink);
        hashed.extend(files);
        entry.cut = Some(cut);
        return Ok(Done::Part(Box::new((None, entry)), hashed));
    }
    let lying = lay_part(&prepared.family, &prepared.positions, position, part, CHORD)?;
    let stl_name = format!("{id}.stl");
    let bytes =
        stl::write(&lying.mesh).map_err(|source| BuildError::Compose { file: stl_name.clone(), source })?;
    hashed.insert(0, sink.put(&stl_name, bytes));
    entry.files.stl = Some(stl_name);
    entry.printed = Some(PrintedEntry::of(&lying, layout, &prepared.family.printer));
    Ok(Done::Part(Box::new((Some(lying), entry)), hashed))
}

/// A plate that can't be followed by its cut: none that was built is one.
fn too_narrow(id: &str) -> BuildError {
    let source = std::io::Error::other("something is too narrow for the cut");
    BuildError::Compose { file: format!("{id}.dxf"), source }
}

/// A part's entry before it is said how it is made.
fn nominal(prepared: &Prepared, position: usize, part: &Part, id: String, step: String) -> PartEntry {
    let (min, max) = part.solid.bounds();
    PartEntry {
        position: prepared.family.positions[position].name.clone(),
        part: part.kind.name().to_owned(),
        handed: prepared.family.positions[position].handed.word(),
        files: PartFiles { stl: None, step },
        volume_mm3: part.solid.volume,
        area_mm2: part.solid.area,
        bounds_mm: Bounds { min: min.into(), max: max.into() },
        printed: None,
        cut: None,
        genus: part.solid.through_holes,
        place_mm: prepared.place(position, part).map(Length::as_mm),
        dimensions: dimensions::of(part.kind, &prepared.positions[position].layout),
        id,
    }
}

fn assembly(prepared: &Prepared) -> String {
    let name = |(i, part): (usize, &Part)| Prepared::part_id(&prepared.family.positions[i].name, part);
    let names: Vec<String> = parts(prepared).map(name).collect();
    let placed: Vec<step::Placed> = parts(prepared)
        .zip(&names)
        .map(|((i, part), name)| step::Placed { name, solid: &part.solid, at: prepared.place(i, part) })
        .collect();
    step::assembly(&prepared.family.slug, &placed)
}

fn manifest_of(
    prepared: &Prepared,
    assembly: String,
    parts: Vec<PartEntry>,
    plates: Vec<PlateEntry>,
    outputs: Vec<HashedFile>,
) -> Manifest {
    let inputs = prepared.family.files.iter().map(|f| InputEntry {
        file: manifest::short_name(&f.name),
        sha256: sha256(f.text.as_bytes()),
        text: f.text.clone(),
    });
    Manifest {
        format: FORMAT,
        program: Program::this(),
        family: prepared.family.slug.clone(),
        identity: prepared.family.identity.as_ref().map(ToString::to_string),
        title: prepared.family.title.clone(),
        family_folder: None,
        log_entries: prepared.family.entries,
        as_of: prepared.family.as_of.map(|day| day.to_string()),
        inputs: inputs.collect(),
        chord_tolerance_mm: CHORD,
        assembly,
        parts,
        profile: ProfileEntry::of(&prepared.family.printer),
        plates,
        sheets: Vec::new(),
        checks: prepared.fit.checks.iter().map(|check| CheckEntry::of(prepared, check)).collect(),
        outputs,
    }
}
