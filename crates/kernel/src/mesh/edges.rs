//! Division of the solid's edges into points that all faces share.
//!
//! An **axis** is a vertical line that is the centre of arcs. The angles at which any arc about an
//! axis begins or ends are its stations; the gaps between them are divided evenly, finely enough
//! for the largest radius that spans the gap. Every arc about the axis takes the points of all
//! stations that it passes.

use super::Builder;
use crate::plane::SNAP;
use crate::solid::{Curve, Edge, Point3, Solid, Surface, Vector3};
use bobbinwright_elementary::Elementary;

/// A point on a divided edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stop {
    /// Index among the mesh's points.
    pub point: u32,
    /// For a point on an arc about a vertical axis: the angle's number on that axis.
    pub station: usize,
}

/// All edges, divided.
pub(super) struct Divided {
    /// For each edge, its points from start to end.
    pub edges: Vec<Vec<Stop>>,
    /// Steps of every quarter arc of the rounding.
    pub profile_steps: usize,
}

/// Angle of a chord whose sagitta on radius `r` is `sagitta`, radians; at most a quarter turn, or a circle would be no
/// more than a line.
fn chord_angle(r: f64, sagitta: f64) -> f64 {
    (2.0 * (1.0 - (sagitta / r).min(1.0)).arccosine()).min(std::f64::consts::FRAC_PI_2)
}

/// Divides every edge; the solid's vertices become the mesh's first points.
pub(super) fn divide(solid: &Solid, chord: f64, builder: &mut Builder) -> Divided {
    builder.points.extend(&solid.vertices);
    // A band bends both ways and the two sagittas add up: half the tolerance may go to the
    // profile, and what its whole number of steps leaves over goes to the turn round the axis.
    let rounding = rounding_radius(solid);
    let (profile_steps, along_bands) = rounding.map_or((0, chord), |r| {
        let steps = (std::f64::consts::FRAC_PI_2 / chord_angle(r, chord / 2.0)).ceil().max(1.0);
        let sagitta = r * (1.0 - (std::f64::consts::FRAC_PI_4 / steps).cosine());
        (steps as usize, chord - sagitta)
    });
    let axes = axes(solid, chord, along_bands);
    let edges = solid.edges.iter().map(|edge| {
        let end = |v: usize, station: usize| Stop { point: v as u32, station };
        match (edge.curve, axes.iter().find(|a| a.holds(edge))) {
            (Curve::Arc { center, radius, .. }, Some(found)) => {
                let (first, inner, last) = found.stations_between(solid, edge);
                let mut stops = vec![end(edge.start, first)];
                for (station, angle) in inner {
                    let (s, c) = angle.sine_cosine();
                    let p = center + Vector3::new(radius * c, radius * s, 0.0);
                    stops.push(Stop { point: builder.point(p), station });
                }
                stops.push(end(edge.end, last));
                stops
            }
            (Curve::Arc { center, axis, .. }, None) => {
                let mut stops = vec![end(edge.start, 0)];
                for i in 1..profile_steps {
                    let turn = edge.sweep(&solid.vertices) * i as f64 / profile_steps as f64;
                    let p = turned(solid.vertices[edge.start], center, axis, turn);
                    stops.push(Stop { point: builder.point(p), station: i });
                }
                stops.push(end(edge.end, profile_steps));
                stops
            }
            (Curve::Line, _) => vec![end(edge.start, 0), end(edge.end, 0)],
        }
    });
    Divided { edges: edges.collect(), profile_steps }
}

/// `p` turned about an axis through `center`.
fn turned(p: Point3, center: Point3, axis: Vector3, angle: f64) -> Point3 {
    let u = p - center;
    let (s, c) = angle.sine_cosine();
    center + u * c + axis.cross(&u) * s + axis * (axis.dot(&u) * (1.0 - c))
}

fn rounding_radius(solid: &Solid) -> Option<f64> {
    solid.faces.iter().find_map(|f| match f.surface {
        Surface::Cylinder { axis, radius, .. } if axis.z == 0.0 => Some(radius),
        Surface::Torus { minor, .. } => Some(minor),
        Surface::Sphere { radius, .. } => Some(radius),
        _ => None,
    })
}

/// A vertical axis with its stations.
struct Axis {
    x: f64,
    y: f64,
    /// Ascending angles in [0, 2π), each gap already divided.
    angles: Vec<f64>,
}

impl Axis {
    fn holds(&self, edge: &Edge) -> bool {
        matches!(edge.curve, Curve::Arc { center, axis, .. }
            if axis.z != 0.0 && (center.x - self.x).abs() < SNAP && (center.y - self.y).abs() < SNAP)
    }

    fn angle_of(&self, p: Point3) -> f64 {
        (p.y - self.y).direction_with(p.x - self.x).rem_euclid(std::f64::consts::TAU)
    }

    /// The station nearest to a point.
    fn station_of(&self, p: Point3) -> usize {
        let a = self.angle_of(p);
        let away = |b: f64| {
            let d = (a - b).abs();
            d.min(std::f64::consts::TAU - d)
        };
        (0..self.angles.len())
            .min_by(|&i, &j| away(self.angles[i]).total_cmp(&away(self.angles[j])))
            .unwrap_or(0)
    }

    /// First station, those passed on the way with their angles, and the last, of an arc.
    fn stations_between(&self, solid: &Solid, edge: &Edge) -> (usize, Vec<(usize, f64)>, usize) {
        let first = self.station_of(solid.vertices[edge.start]);
        let last = self.station_of(solid.vertices[edge.end]);
        let n = self.angles.len();
        let ccw = matches!(edge.curve, Curve::Arc { axis, .. } if axis.z > 0.0);
        let step = if ccw { 1 } else { n - 1 };
        let mut inner = Vec::new();
        let mut at = (first + step) % n;
        while at != last {
            inner.push((at, self.angles[at]));
            at = (at + step) % n;
        }
        (first, inner, last)
    }
}

/// An arc about an axis as an interval of angles: start in [0, 2π), turn, allowed chord angle.
struct Span {
    start: f64,
    turn: f64,
    step: f64,
}

/// All axes of the solid, their stations divided.
fn axes(solid: &Solid, chord: f64, along_bands: f64) -> Vec<Axis> {
    let on_band = edges_of_bands(solid);
    let mut axes: Vec<(Axis, Vec<Span>)> = Vec::new();
    for (i, edge) in solid.edges.iter().enumerate() {
        let Curve::Arc { center, axis, radius } = edge.curve else { continue };
        if axis.z == 0.0 {
            continue;
        }
        let at = axes.iter().position(|(a, _)| a.holds(edge)).unwrap_or_else(|| {
            axes.push((Axis { x: center.x, y: center.y, angles: Vec::new() }, Vec::new()));
            axes.len() - 1
        });
        let low = if axis.z > 0.0 { edge.start } else { edge.end };
        let start = axes[at].0.angle_of(solid.vertices[low]);
        let tolerance = if on_band[i] { along_bands } else { chord };
        let step = chord_angle(radius, tolerance);
        axes[at].1.push(Span { start, turn: edge.sweep(&solid.vertices), step });
    }
    axes.into_iter().map(|(axis, spans)| divided_axis(axis, &spans)).collect()
}

fn edges_of_bands(solid: &Solid) -> Vec<bool> {
    let mut on = vec![false; solid.edges.len()];
    for face in &solid.faces {
        if matches!(face.surface, Surface::Torus { .. } | Surface::Sphere { .. }) {
            for step in face.borders.iter().flatten() {
                on[step.edge] = true;
            }
        }
    }
    on
}

fn divided_axis(mut axis: Axis, spans: &[Span]) -> Axis {
    use std::f64::consts::TAU;
    // Two stations nearer than this angle are one; the smallest radius anybody prints is larger
    // than SNAP / 1e-5 = 0.1 mm.
    const SAME: f64 = 1e-5;
    let ends = spans.iter().flat_map(|s| [s.start, (s.start + s.turn).rem_euclid(TAU)]);
    let mut stations: Vec<f64> = ends.collect();
    stations.sort_by(f64::total_cmp);
    stations.dedup_by(|a, b| (*a - *b).abs() < SAME);
    if stations.len() > 1 && stations[0] + TAU - stations[stations.len() - 1] < SAME {
        stations.pop();
    }
    let n = stations.len();
    for i in 0..n {
        let from = stations[i];
        let to = if i + 1 < n { stations[i + 1] } else { stations[0] + TAU };
        let middle = f64::midpoint(from, to);
        let covers = |s: &&Span| (middle - s.start).rem_euclid(TAU) < s.turn;
        let finest = spans.iter().filter(covers).map(|s| s.step).fold(f64::INFINITY, f64::min);
        axis.angles.push(from);
        let steps = if finest.is_finite() { ((to - from) / finest - 1e-9).ceil().max(1.0) } else { 1.0 };
        axis.angles.extend((1..steps as usize).map(|k| from + (to - from) * k as f64 / steps));
    }
    for a in &mut axis.angles {
        *a = a.rem_euclid(TAU);
    }
    axis.angles.sort_by(f64::total_cmp);
    axis
}
