//! Which faces of a part are seen when it is installed.

use bobbinwright_geometry::parts::{Layout, Part};
use bobbinwright_kernel::plane::Point;
use bobbinwright_kernel::solid::{Face, Solid, Surface};
use bobbinwright_spec::PartKind;

/// A part of a cover that is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seen {
    /// The top under the strings.
    Top,
    /// The rounded edge round it.
    Rounding,
    /// The upright sides, as far as they stand out of the body.
    Sides,
    /// The ears' upper faces.
    Ears,
}

impl Seen {
    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Seen::Top => "top",
            Seen::Rounding => "rounded edge",
            Seen::Sides => "sides",
            Seen::Ears => "ears",
        }
    }
}

/// For each face of a part's solid, what of it is seen.
pub fn seen(part: &Part, layout: &Layout) -> Vec<Option<Seen>> {
    let look = Look { solid: &part.solid, layout, top: part.stack.height() };
    part.solid.faces.iter().map(|f| if part.kind == PartKind::Cover { look.at(f) } else { None }).collect()
}

struct Look<'a> {
    solid: &'a Solid,
    layout: &'a Layout,
    top: f64,
}

impl Look<'_> {
    fn at(&self, face: &Face) -> Option<Seen> {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
        match face.surface {
            Surface::Torus { .. } | Surface::Sphere { .. } => Some(Seen::Rounding),
            Surface::Cylinder { axis, .. } if axis.z == 0.0 => Some(Seen::Rounding),
            Surface::Plane { origin, normal } if normal.z > 0.0 && near(origin.z, self.top) => {
                Some(Seen::Top)
            }
            Surface::Plane { origin, normal } if normal.z > 0.0 => {
                let ears = self.layout.ears.map(|e| e.thickness.as_mm());
                ears.is_some_and(|thickness| near(origin.z, thickness)).then_some(Seen::Ears)
            }
            Surface::Plane { normal, .. } if normal.z < 0.0 => None,
            Surface::Plane { .. } | Surface::Cylinder { .. } => self.is_outside(face).then_some(Seen::Sides),
        }
    }

    /// Does an upright face stand on the cover's outline?
    fn is_outside(&self, face: &Face) -> bool {
        let steps = face.borders.iter().flatten();
        let mut corners = steps.map(|s| self.solid.vertices[self.solid.step_start(*s)]);
        corners.all(|v| {
            let p = Point::new(v.x, v.y);
            [&self.layout.body, &self.layout.outline].iter().any(|c| c.depth_of(p).abs() < 1e-6)
        })
    }
}
