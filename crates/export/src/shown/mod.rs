//! Pictures of what a size is: the part as it is drawn now, cut or seen from above, and one length marked on it. Each wish
//! has one ([`of_wishes`]); the sizes of a printed part stand together on one drawing, numbered ([`numbered()`]).

mod ends;
mod mark;
mod numbered;
mod sizes;
mod views;
mod wishes;

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::{Layout, PositionParts};
use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_paper::{Page, inside};
use bobbinwright_spec::{Hardware, PartKind, Position, wishes as all_wishes};

pub use numbered::{ToRead, numbered};

/// What is looked at, and from where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum View {
    /// A part from above, neck up.
    Above(PartKind),
    /// A part cut along the row of strings.
    Cut(PartKind),
    /// Plates, rods and coil, cut along the row of strings.
    Bobbin,
    /// All of it in the rout, cut along the row of strings.
    Seat,
}

impl View {
    const ALL: [View; 8] = [
        View::Above(PartKind::Cover),
        View::Cut(PartKind::Cover),
        View::Above(PartKind::Baseplate),
        View::Cut(PartKind::Baseplate),
        View::Above(PartKind::FlatworkBottom),
        View::Above(PartKind::FlatworkTop),
        View::Bobbin,
        View::Seat,
    ];
}

/// A position as its parts are drawn now.
#[derive(Clone, Copy)]
pub(crate) struct Model<'a> {
    position: &'a Position,
    hardware: &'a Hardware,
    parts: &'a PositionParts,
}

impl<'a> Model<'a> {
    fn of(prepared: &'a Prepared, index: usize) -> Option<Self> {
        let (position, parts) = (prepared.family.positions.get(index)?, prepared.positions.get(index)?);
        Some(Self { position, hardware: &prepared.family.hardware, parts })
    }

    fn layout(&self) -> &'a Layout {
        &self.parts.layout
    }

    fn stack(&self, kind: PartKind) -> Option<&'a Stack> {
        self.parts.parts.iter().find(|part| part.kind == kind).map(|part| &part.stack)
    }

    /// The borders of a part's features of a role.
    fn borders(&self, kind: PartKind, role: Role) -> Vec<Contour> {
        let stack = self.stack(kind);
        stack.into_iter().flat_map(|s| s.with_role(role)).map(|f| f.contour.clone()).collect()
    }

    /// The rods' middles along the row, ascending.
    fn rods(&self) -> Vec<f64> {
        let mut all: Vec<f64> = self.layout().poles.iter().map(|pole| pole.x).collect();
        all.sort_by(f64::total_cmp);
        all
    }

    /// Where an upright cut along the row meets no rod, near its middle.
    fn beside_rods(&self) -> f64 {
        let rods = self.rods();
        let between = rods.windows(2).map(|two| f64::midpoint(two[0], two[1]));
        between.min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or_default()
    }
}

/// Pictures of a position's wishes.
pub struct Shown {
    /// What the pictures are drawn on, as the inside of an SVG, a user unit a millimetre.
    pub views: Vec<String>,
    /// One for each wish that is something to be seen.
    pub pictures: Vec<Picture>,
}

/// A picture of one wish.
pub struct Picture {
    /// The wish, by its path.
    pub path: &'static str,
    /// On which of the views it is drawn.
    pub view: usize,
    /// What is seen of that: left and upper edge, width and height, as an SVG's view box.
    pub frame: [f64; 4],
    /// What is marked, as the inside of an SVG.
    pub mark: String,
}

/// Pictures of what the wishes of a position are; none where there is no such position.
pub fn of_wishes(prepared: &Prepared, index: usize) -> Option<Shown> {
    let model = Model::of(prepared, index)?;
    let drawn: Vec<(String, Bounds)> = View::ALL.iter().map(|view| drawn(&model, *view)).collect();
    let picture = |path: &'static str| {
        let (view, mark) = wishes::mark(&model, path)?;
        let view = View::ALL.iter().position(|one| *one == view)?;
        let frame = mark.frame(drawn[view].1);
        let mut page = Page::new(frame, "");
        mark.draw(&mut page, frame.max.x - frame.min.x);
        let size = frame.max - frame.min;
        Some(Picture { path, view, frame: [frame.min.x, -frame.max.y, size.x, size.y], mark: inside(&page) })
    };
    let pictures =
        all_wishes().filter(|wish| !wish.of_family).filter_map(|wish| picture(wish.path)).collect();
    Some(Shown { views: drawn.into_iter().map(|(inside, _)| inside).collect(), pictures })
}

/// A view as the inside of an SVG, and the room that it takes.
fn drawn(model: &Model, view: View) -> (String, Bounds) {
    let mut page = Page::new(EMPTY, "");
    if let View::Above(kind) = view {
        views::beside(&mut page, model, kind);
    }
    let bounds = views::draw(&mut page, model, view, Vector::new(0.0, 0.0));
    (inside(&page), bounds)
}

const EMPTY: Bounds = Bounds { min: Point::new(0.0, 0.0), max: Point::new(0.0, 0.0) };
