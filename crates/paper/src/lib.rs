//! Pages to look at and to print: lines, arcs and text in millimetres, written as SVG, PDF or PNG.
//!
//! A page's y axis points up and its origin is wherever its box says, so that a drawing can be made in
//! the frame of what it shows.
//!
//! A [`Page`] is filled in order, what is drawn later lies over what was drawn before, and then written by [`svg()`],
//! [`pdf()`] or [`png()`]. SVG has the arcs as arcs; PDF has them as cubic curves, to 5e-6 of their radius; PNG has a
//! number of pixels for each millimetre.
//!
//! ```
//! use bobbinwright_kernel::plane::{Bounds, Contour, Point};
//! use bobbinwright_paper::{BLACK, Look, Page, Pen, svg};
//! let mut page = Page::new(Bounds::of(Point::new(-20.0, -10.0), Point::new(20.0, 30.0)), "A disc");
//! page.outline(&Contour::circle(Point::new(5.0, 12.0), 3.0), Look::line(Pen::new(BLACK, 0.2)));
//! let text = svg(&page);
//! // Its box begins above: y points up here and down in SVG.
//! assert!(text.contains("width=\"40.00mm\"") && text.contains("viewBox=\"-20.00 -30.00 40.00 40.00\""));
//! // From the right end, 5 + 3, counter-clockwise to the left one, 5 - 3, which is sweep 0 there.
//! assert!(text.contains("M8.000000 -12.000000A3.000000 3.000000 0 0 0 2.000000 -12.000000"));
//! ```

mod hatch;
mod helvetica;
mod pdf;
mod pixels;
pub mod png_file;
mod shrink;
mod svg;
mod text;

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Segment};

pub use pdf::pdf;
pub use pixels::{PixelsError, png};
pub use svg::{escaped, inside, svg};
pub use text::{spelt, width, wrapped};

/// A colour: red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ink(pub u8, pub u8, pub u8);

/// Nearly black.
pub const BLACK: Ink = Ink(0x11, 0x11, 0x11);
/// For what stands back.
pub const GREY: Ink = Ink(0x77, 0x77, 0x77);
/// Paper.
pub const WHITE: Ink = Ink(0xff, 0xff, 0xff);

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Its colour.
    pub ink: Ink,
    /// Its width, mm.
    pub width: f64,
    /// Length of dashes and of the gaps between them, mm.
    pub dash: Option<(f64, f64)>,
}

impl Pen {
    /// An unbroken line.
    pub const fn new(ink: Ink, width: f64) -> Self {
        Self { ink, width, dash: None }
    }

    /// The same, dashed.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// # use bobbinwright_paper::{GREY, Page, Pen, svg};
    /// # let mut page = Page::new(Bounds::of(Point::origin(), Point::new(9.0, 9.0)), "");
    /// // 2 mm of line, 0.5 mm of gap.
    /// page.line(Point::new(1.0, 1.0), Point::new(1.0, 8.0), Pen::new(GREY, 0.3).dashed(2.0, 0.5));
    /// assert!(svg(&page).contains("stroke-width=\"0.30\" stroke-dasharray=\"2 0.5\""));
    /// ```
    #[must_use]
    pub const fn dashed(self, dash: f64, gap: f64) -> Self {
        Self { dash: Some((dash, gap)), ..self }
    }
}

/// How a closed outline is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Its border.
    pub pen: Option<Pen>,
    /// Its inside.
    pub fill: Option<Ink>,
}

impl Look {
    /// Only the border.
    pub const fn line(pen: Pen) -> Self {
        Self { pen: Some(pen), fill: None }
    }

    /// Only the inside.
    pub const fn solid(ink: Ink) -> Self {
        Self { pen: None, fill: Some(ink) }
    }
}

/// Which end of a text is at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Size, mm.
    pub size: f64,
    /// Heavy.
    pub bold: bool,
    /// Colour.
    pub ink: Ink,
    /// Which end is at its place.
    pub align: Align,
}

impl Type {
    /// Black text that begins at its place.
    pub const fn new(size: f64) -> Self {
        Self { size, bold: false, ink: BLACK, align: Align::Start }
    }

    /// Heavy.
    #[must_use]
    pub const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// In another colour.
    #[must_use]
    pub const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// With another end at its place.
    #[must_use]
    pub const fn align(self, align: Align) -> Self {
        Self { align, ..self }
    }

    /// From the middle of the capitals to the baseline, mm.
    fn drop(&self) -> f64 {
        0.36 * self.size
    }
}

/// Something on a page.
#[derive(Clone, Debug, PartialEq)]
enum Item {
    Region(Vec<Contour>, Look),
    Line(Point, Point, Pen),
    Text(Point, Type, String),
    Layer(&'static str, Vec<Item>),
}

/// A page.
///
/// ```
/// # use bobbinwright_kernel::plane::{Bounds, Point};
/// # use bobbinwright_paper::{BLACK, Page, Pen, svg};
/// let mut page = Page::new(Bounds::of(Point::new(0.0, 0.0), Point::new(50.0, 20.0)), "Rod & string");
/// page.line(Point::new(10.0, 5.0), Point::new(10.0, 15.0), Pen::new(BLACK, 0.25));
/// let text = svg(&page);
/// // Drawn upwards from 5 to 15 mm: in SVG, whose y axis points down, towards -15.
/// assert!(text.contains("x1=\"10.0000\" y1=\"-5.0000\" x2=\"10.0000\" y2=\"-15.0000\""));
/// assert!(text.contains("<title>Rod &amp; string</title>"));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    title: String,
    /// Its paper, mm.
    sheet: Bounds,
    items: Vec<Item>,
    /// What lies over everything else.
    upon: Vec<Item>,
    /// Places that have a number, for those who put something there.
    spots: Vec<(usize, Point)>,
}

impl Page {
    /// An empty page; `title` is for those who can't see it.
    pub fn new(sheet: Bounds, title: impl Into<String>) -> Self {
        Self { title: title.into(), sheet, items: Vec::new(), upon: Vec::new(), spots: Vec::new() }
    }

    /// Its paper, mm.
    pub fn sheet(&self) -> Bounds {
        self.sheet
    }

    /// Gives it other paper, when it turns out how much is needed.
    pub fn crop(&mut self, sheet: Bounds) {
        self.sheet = sheet;
    }

    /// Draws a closed outline.
    pub fn outline(&mut self, contour: &Contour, look: Look) {
        self.region(std::slice::from_ref(contour), look);
    }

    /// Draws a region with several borders; a place belongs to it when an odd number of them go round it.
    pub fn region(&mut self, borders: &[Contour], look: Look) {
        self.items.push(Item::Region(borders.to_vec(), look));
    }

    /// Draws lines across a region, `apart` mm from each other, rising at `angle` radians, counter-clockwise from the x
    /// axis.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Contour, Point};
    /// # use bobbinwright_paper::{BLACK, Page, Pen, svg};
    /// let square = Contour::rectangle(Point::new(0.0, 0.0), Point::new(10.0, 10.0));
    /// let mut page = Page::new(square.bounds(), "Level lines");
    /// page.hatching(&[square], 0.0, 2.0, Pen::new(BLACK, 0.1));
    /// // Half a step from the edge and then one apart: 1, 3, 5, 7 and 9 mm up.
    /// let text = svg(&page);
    /// assert_eq!(text.matches("<line ").count(), 5);
    /// assert!(text.contains("y1=\"-1.0000\"") && text.contains("y1=\"-9.0000\""));
    /// ```
    pub fn hatching(&mut self, borders: &[Contour], angle: f64, apart: f64, pen: Pen) {
        for (from, to) in hatch::lines(borders, angle, apart) {
            self.line(from, to, pen);
        }
    }

    /// Draws a straight line.
    pub fn line(&mut self, from: Point, to: Point, pen: Pen) {
        self.items.push(Item::Line(from, to, pen));
    }

    /// Sets a line of text; `at` is level with the middle of its capitals.
    pub fn text(&mut self, at: Point, kind: Type, text: impl Into<String>) {
        self.items.push(Item::Text(at, kind, text.into()));
    }

    /// Draws over everything, whatever is drawn later.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// # use bobbinwright_paper::{Page, Type, svg};
    /// # let mut page = Page::new(Bounds::of(Point::origin(), Point::new(9.0, 9.0)), "");
    /// page.upon(|page| page.text(Point::new(1.0, 1.0), Type::new(2.0), "first"));
    /// page.text(Point::new(1.0, 1.0), Type::new(2.0), "second");
    /// // What stands last in the file is on top.
    /// let text = svg(&page);
    /// assert!(text.find("second") < text.find("first"));
    /// ```
    pub fn upon(&mut self, draw: impl FnOnce(&mut Self)) {
        let under = std::mem::take(&mut self.items);
        draw(self);
        self.upon.append(&mut self.items);
        self.items = under;
    }

    /// The page without the layers of a name.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// # use bobbinwright_paper::{Page, Type, svg};
    /// # let mut page = Page::new(Bounds::of(Point::origin(), Point::new(9.0, 9.0)), "");
    /// page.layer("notes", |page| page.text(Point::new(1.0, 1.0), Type::new(2.0), "cut here"));
    /// assert!(svg(&page).contains("<g id=\"notes\">"));
    /// let bare = svg(&page.without("notes"));
    /// assert!(!bare.contains("cut here") && !bare.contains("<g"));
    /// ```
    #[must_use]
    pub fn without(mut self, name: &str) -> Self {
        for items in [&mut self.items, &mut self.upon] {
            items.retain(|item| !matches!(item, Item::Layer(own, _) if *own == name));
        }
        self
    }

    /// Remembers where the thing of a number stands; nothing is drawn.
    pub fn spot(&mut self, number: usize, at: Point) {
        self.spots.push((number, at));
    }

    /// All numbers with their places, as parts of the paper's width from the left and of its height from above.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// # use bobbinwright_paper::Page;
    /// let mut page = Page::new(Bounds::of(Point::new(-10.0, 0.0), Point::new(30.0, 20.0)), "");
    /// // 10 mm of 40 from the left, and 5 mm of 20 below the upper edge.
    /// page.spot(7, Point::new(0.0, 15.0));
    /// assert_eq!(page.spots().collect::<Vec<_>>(), [(7, [0.25, 0.25])]);
    /// ```
    pub fn spots(&self) -> impl Iterator<Item = (usize, [f64; 2])> {
        let (min, max) = (self.sheet.min, self.sheet.max);
        let part = move |p: Point| [(p.x - min.x) / (max.x - min.x), (max.y - p.y) / (max.y - min.y)];
        self.spots.iter().map(move |(number, at)| (*number, part(*at)))
    }

    /// Draws what belongs together under one name, for those who take the file apart.
    pub fn layer(&mut self, name: &'static str, draw: impl FnOnce(&mut Self)) {
        let outer = std::mem::take(&mut self.items);
        draw(self);
        let inner = std::mem::replace(&mut self.items, outer);
        self.items.push(Item::Layer(name, inner));
    }
}

/// An arc cut into pieces of at most an eighth of a turn, each as the two inner control points of a
/// cubic curve and its end. They leave the arc by less than 5e-6 of its radius.
fn curves(segment: &Segment) -> Vec<[Point; 3]> {
    let Some(bend) = segment.bend else { return Vec::new() };
    let angle = |p: Point| (p.y - bend.center.y).direction_with(p.x - bend.center.x);
    let turn = std::f64::consts::TAU;
    let (from, to) = (angle(segment.from), angle(segment.to));
    let sweep = if bend.ccw { (to - from).rem_euclid(turn) } else { -(from - to).rem_euclid(turn) };
    let pieces = (sweep.abs() / (turn / 8.0) - 1e-9).ceil().max(1.0) as u32;
    let step = sweep / f64::from(pieces);
    // Tangents of this length give a cubic the arc's middle.
    let handle = 4.0 / 3.0 * (step / 4.0).tangent() * bend.radius;
    let at =
        |a: f64| Point::new(bend.center.x + bend.radius * a.cosine(), bend.center.y + bend.radius * a.sine());
    let along = |a: f64| Point::new(-a.sine() * handle, a.cosine() * handle);
    (0..pieces)
        .map(|i| {
            let (a, b) = (from + step * f64::from(i), from + step * f64::from(i + 1));
            let end = if i + 1 == pieces { segment.to } else { at(b) };
            [at(a) + along(a).coords, at(b) - along(b).coords, end]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Points of the curves lie on the circle they stand for.
    #[test]
    fn curves_follow_their_arc() {
        let circle = Contour::circle(Point::new(3.0, -2.0), 40.0);
        for segment in circle.segments() {
            let mut from = segment.from;
            for [a, b, to] in curves(segment) {
                for i in 1..8 {
                    let t = f64::from(i) / 8.0;
                    let weight = |k: i32| (1.0 - t).power(3 - k) * t.power(k);
                    let on = from.coords * weight(0)
                        + a.coords * (3.0 * weight(1))
                        + b.coords * (3.0 * weight(2))
                        + to.coords * weight(3);
                    let off = (on - Point::new(3.0, -2.0).coords).norm() - 40.0;
                    assert!(off.abs() < 40.0 * 5e-6, "{off}");
                }
                from = to;
            }
            assert!((from - segment.to).norm() < 1e-12);
        }
    }
}
