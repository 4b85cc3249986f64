//! A picture of all parts, taken apart along z, drawn from the exact solids: meshes shaded by
//! their slope to the light, edges drawn over them where they are in sight.

mod canvas;

use bobbinwright_geometry::parts::{PartKind, PositionParts};
use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::mesh::{Mesh, MeshError, mesh};
use bobbinwright_kernel::plane::Contour;
use bobbinwright_kernel::solid::{Solid, Vector3, build};
use bobbinwright_print::Laid;
use bobbinwright_print::plates::Place;
use bobbinwright_spec::Family;

use canvas::{Actor, Canvas, OVERSAMPLING, View};

/// Chord tolerance of the picture's meshes, mm: a tenth of a pixel at the usual scale.
const CHORD: f64 = 0.03;

/// An arc's edge is drawn in so many pieces.
const STEPS: usize = 24;

/// What can go wrong with a picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// A solid could not be meshed.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// A rod could not be built.
    #[error(transparent)]
    Rod(#[from] bobbinwright_kernel::StackError),
    /// The image could not be packed.
    #[error(transparent)]
    Png(#[from] png::EncodingError),
}

/// A solid moved to a place.
fn actor(solid: &Solid, mesh: &Mesh, shift: Vector3, color: [f64; 3]) -> Actor {
    let mut mesh = mesh.clone();
    mesh.points.iter_mut().for_each(|p| *p += shift);
    let lines = solid.edges.iter().map(|e| e.polyline(&solid.vertices, STEPS));
    let lines = lines.map(|line| line.into_iter().map(|p| p + shift).collect()).collect();
    Actor { mesh, lines, color }
}

/// Renders all positions side by side as a PNG, `width` pixels wide.
pub fn exploded(family: &Family, positions: &[PositionParts], width: usize) -> Result<Vec<u8>, PictureError> {
    let mut actors = Vec::new();
    let mut x = 0.0;
    for parts in positions {
        let half = parts.layout.length.as_mm() / 2.0;
        x += half;
        add_position(&mut actors, family, parts, x)?;
        x += half + 16.0;
    }
    Ok(render(&actors, width)?)
}

/// Renders parts as they lie on a plate, `width` pixels wide.
pub fn plate(laid: &Laid, places: &[Place], width: usize) -> Result<Vec<u8>, PictureError> {
    let on_bed = |place: &Place| {
        let part = &laid.parts[place.part];
        let shift = Vector3::new(place.at[0].as_mm(), place.at[1].as_mm(), 0.0);
        let mut mesh = part.mesh.clone();
        mesh.points.iter_mut().for_each(|p| *p += shift);
        Actor { mesh, lines: Vec::new(), color: color(part.kind) }
    };
    let actors: Vec<Actor> = places.iter().map(on_bed).collect();
    Ok(render(&actors, width)?)
}

/// Renders one solid, `width` pixels wide.
pub fn single(solid: &Solid, mesh: &Mesh, width: usize) -> Result<Vec<u8>, PictureError> {
    Ok(render(&[actor(solid, mesh, Vector3::zeros(), color(PartKind::Cover))], width)?)
}

fn render(actors: &[Actor], width: usize) -> Result<Vec<u8>, png::EncodingError> {
    let view = View::looking_at(actors, width * OVERSAMPLING);
    let mut canvas = Canvas::new(view.width, view.height);
    for actor in actors {
        canvas.fill(actor, &view);
    }
    for actor in actors {
        canvas.draw_edges(actor, &view);
    }
    canvas.png()
}

fn color(part: PartKind) -> [f64; 3] {
    match part {
        PartKind::Baseplate => [0.55, 0.60, 0.64],
        PartKind::FlatworkBottom | PartKind::FlatworkTop => [0.80, 0.70, 0.52],
        PartKind::Cover => [0.86, 0.87, 0.84],
    }
}

fn add_position(
    actors: &mut Vec<Actor>,
    family: &Family,
    parts: &PositionParts,
    x: f64,
) -> Result<(), PictureError> {
    // Gaps between the parts as they are lifted off each other.
    let gap = 11.0;
    let layout = &parts.layout;
    let rod_length = family.hardware.rod_length.value().as_mm();
    for part in &parts.parts {
        let steps = match part.kind {
            PartKind::Baseplate => 0.0,
            PartKind::FlatworkBottom => 1.0,
            PartKind::FlatworkTop => 2.3,
            PartKind::Cover => 4.6,
        };
        let shift = Vector3::new(x, 0.0, part.place.as_mm() + gap * steps);
        let mesh = mesh(&part.solid, CHORD)?;
        actors.push(actor(&part.solid, &mesh, shift, color(part.kind)));
    }
    let mut stack = Stack::default();
    let radius = family.hardware.rod_diameter.value().as_mm() / 2.0;
    stack.add(
        Role::PoleHole,
        Contour::circle(bobbinwright_kernel::plane::Point::origin(), radius),
        0.0,
        rod_length,
    );
    let rod = build(&stack)?;
    let rod_mesh = mesh(&rod, CHORD)?;
    let floor = layout.wanted.baseplate.thickness.as_mm();
    for pole in &layout.poles {
        let shift = Vector3::new(x + pole.x, pole.y, floor + gap * 1.65);
        actors.push(actor(&rod, &rod_mesh, shift, [0.62, 0.62, 0.66]));
    }
    Ok(())
}
