//! The coupon's files: what to print, and the sheet to fill in.

use bobbinwright_geometry::mesh::{MeshError, mesh};
use bobbinwright_geometry::plane::{Contour, Point};
use bobbinwright_geometry::solid::build;
use bobbinwright_geometry::{Kind, Role, Stack, StackError};
use bobbinwright_print::coupon::{holes, stack};
use bobbinwright_spec::printer::coupon::{ARM, CouponSize, LONG, POSTS, SHORT};
use bobbinwright_spec::{PrinterSurvey, Quantity};

use super::{EDGE, Paper, Row, dims, list, number_pages, put, rows};
use crate::output::Sink;
use crate::paper::{BLACK, GREY, Look, Page, Pen, Type};
use crate::{CHORD, picture, stl, threemf};

const FOOT: [&str; 3] = [
    "Print the coupon as you print your parts: same filament, layers and speed; not turned on the bed, x along the bed's x. Let it cool before you take it off.",
    "To enter: bobbinwright read PRINTER NAME FIGURE FIGURE FIGURE. Read and enter all of it: the profile is worked out from all sizes together.",
    "Cut strings and blobs off with a knife, away from your fingers; do not sand what is measured.",
];

/// Why there is no coupon.
#[derive(Debug, thiserror::Error)]
pub enum CouponError {
    /// It can't be built.
    #[error("the coupon can't be built: {0}")]
    Stack(#[from] StackError),
    /// It can't be meshed.
    #[error("the coupon can't be meshed: {0}")]
    Mesh(#[from] MeshError),
    /// A file can't be composed.
    #[error("the coupon's files can't be composed: {0}")]
    Compose(#[from] std::io::Error),
    /// A picture can't be drawn.
    #[error("the coupon can't be drawn: {0}")]
    Picture(#[from] picture::PictureError),
    /// A file can't be put in place.
    #[error(transparent)]
    Install(#[from] crate::output::InstallError),
}

/// Makes the coupon's 3MF and STL files, at nominal sizes, and its sheet.
pub fn write(survey: &PrinterSurvey, paper: Paper, sink: &Sink) -> Result<(), CouponError> {
    let slug = format!("{}-coupon", survey.slug);
    let stack = stack(&survey.coupon);
    let solid = build(&stack)?;
    let mesh = mesh(&solid, CHORD)?;
    let thumbnail = picture::single(&solid, &mesh, 256)?;
    let title = format!("Coupon for {}", survey.title);
    let package = threemf::Package {
        title: &title,
        description: "test piece at nominal sizes; x along the bed's x",
        items: vec![threemf::Item { name: &slug, mesh: &mesh, at: [20.0, 20.0, 0.0] }],
        thumbnail: &thumbnail,
    };
    let mut outputs = vec![
        sink.put(&format!("{slug}.3mf"), threemf::write(&package)?),
        sink.put(&format!("{slug}.stl"), stl::write(&mesh)?),
    ];
    let pages = pages(survey, &stack, paper);
    outputs.extend(put(&slug, &title, &pages, sink));
    list(&slug, outputs, sink);
    Ok(())
}

/// The sheet's pages.
pub fn pages(survey: &PrinterSurvey, stack: &Stack, paper: Paper) -> Vec<Page> {
    let of_coupon = survey.coupon.sizes().len();
    let known = survey.sizes.iter().take(of_coupon);
    let rows: Vec<Row> =
        known.enumerate().map(|(i, known)| Row { number: i + 1, known, again: None, wanted: None }).collect();
    let rows: Vec<&Row> = rows.iter().collect();
    let about = rows::About { title: &survey.title, strings: 0, positions: &[], foot: FOOT };
    let mut pages = Vec::new();
    let top = |page: &mut Page, y: f64| drawing(page, y, stack, survey, &rows);
    rows::paged(&mut pages, &about, paper, "Coupon", &rows, top);
    number_pages(&mut pages, survey.entries, survey.last_entry);
    pages
}

const OUTLINE: Look = Look::line(Pen::new(BLACK, 0.35));
const AIR: Look = Look::line(Pen::new(GREY, 0.3));

/// The coupon from above at 1:1, with numbers. Gives the height below.
fn drawing(page: &mut Page, y: f64, stack: &Stack, survey: &PrinterSurvey, rows: &[&Row]) -> f64 {
    let mm = |d: bobbinwright_spec::printer::coupon::Drawn| d.length().as_mm();
    let origin = Point::new(EDGE + 22.0, y - mm(SHORT) - 14.0);
    let at = |x: f64, up: f64| Point::new(origin.x + x, origin.y + up);
    for feature in &stack.features {
        let look = if feature.kind == Kind::Add { OUTLINE } else { AIR };
        page.outline(&feature.contour.moved(origin.coords), look);
        if feature.role == Role::Step {
            page.outline(&feature.contour.moved(origin.coords), Look::line(Pen::new(BLACK, 0.2)));
        }
    }
    let row = |size: &dyn Fn(&CouponSize) -> bool| {
        rows.iter().find(|r| matches!(&r.known.quantity, Quantity::Coupon(s) if size(s))).copied()
    };
    let (long, short, arm) = (mm(LONG), mm(SHORT), mm(ARM));
    use bobbinwright_spec::printer::coupon::Axis::{X, Y};
    if let Some(r) = row(&|s| matches!(s, CouponSize::Outer(X, d) if *d == LONG)) {
        dims::across(
            page,
            (at(0.0, 0.0).x, at(long, 0.0).x),
            at(0.0, -7.0).y,
            (at(0.0, -1.0).y, at(0.0, -1.0).y),
            r,
        );
    }
    if let Some(r) = row(&|s| matches!(s, CouponSize::Foot(X, _))) {
        dims::leader(page, at(long - 8.0, 0.2), at(long - 2.0, -7.0), r);
    }
    if let Some(r) = row(&|s| matches!(s, CouponSize::Outer(X, d) if *d == ARM)) {
        dims::across(
            page,
            (at(0.0, 0.0).x, at(arm, 0.0).x),
            at(0.0, short + 6.0).y,
            (at(0.0, short + 1.0).y, at(0.0, short + 1.0).y),
            r,
        );
    }
    if let Some(r) = row(&|s| matches!(s, CouponSize::Outer(Y, d) if *d == SHORT)) {
        dims::upright(
            page,
            (at(0.0, 0.0).y, at(0.0, short).y),
            at(-8.0, 0.0).x,
            (at(-1.0, 0.0).x, at(-1.0, 0.0).x),
            r,
        );
    }
    if let Some(r) = row(&|s| matches!(s, CouponSize::Foot(Y, _))) {
        dims::leader(page, at(0.2, short - 8.0), at(-8.0, short - 2.0), r);
    }
    if let Some(r) = row(&|s| matches!(s, CouponSize::Outer(Y, d) if *d == ARM)) {
        dims::upright(
            page,
            (at(0.0, 0.0).y, at(0.0, arm).y),
            at(long + 7.0, 0.0).x,
            (at(long + 1.0, 0.0).x, at(long + 1.0, 0.0).x),
            r,
        );
    }
    for (axis, up) in [(X, 6.0), (Y, 1.2)] {
        if let Some(r) = row(&|s| matches!(s, CouponSize::Slot(a, _) if *a == axis)) {
            dims::leader(page, at(arm / 2.0 + 4.0, 24.0 + up * 0.4), at(arm + 7.0, 24.0 + up), r);
        }
    }
    for (post, up) in POSTS.into_iter().zip([35.0, 48.0]) {
        if let Some(r) = row(&|s| matches!(s, CouponSize::Post(d) if *d == post)) {
            dims::leader(page, at(arm / 2.0 + mm(post) / 2.0, up), at(arm + 7.0, up + 1.0), r);
        }
    }
    for (center, hole) in holes(&survey.coupon) {
        if let Some(r) = row(&|s| matches!(s, CouponSize::Hole(d) if *d == hole)) {
            dims::leader(page, at(center.x, center.y + mm(hole) / 2.0), at(center.x, arm + 5.0), r);
        }
    }
    heights(page, at(long - 44.0, 36.0), survey, &row);
    let small = Type::new(2.6);
    page.text(at(long + 12.0, 0.5), small, "x");
    page.text(at(-3.5, short + 3.0), small, "y");
    origin.y - 12.0
}

/// Plate, step and tower from the side.
fn heights<'r>(
    page: &mut Page,
    at: Point,
    survey: &PrinterSurvey,
    row: &dyn Fn(&dyn Fn(&CouponSize) -> bool) -> Option<&'r Row<'r>>,
) {
    let [plate, step, tower] = survey.coupon.heights.map(|h| h.length().as_mm());
    let p = |x: f64, y: f64| Point::new(at.x + x, at.y + y);
    let side = [
        p(0.0, 0.0),
        p(30.0, 0.0),
        p(30.0, plate),
        p(15.0, plate),
        p(15.0, step),
        p(8.0, step),
        p(8.0, tower),
        p(1.0, tower),
        p(1.0, plate),
        p(0.0, plate),
    ];
    page.outline(&Contour::polygon(&side), OUTLINE);
    let x = [36.0, 22.0, -6.0];
    let from = [30.5, 15.5, 0.5];
    for (i, height) in [plate, step, tower].into_iter().enumerate() {
        let is_it =
            |s: &CouponSize| matches!(s, CouponSize::Height(d) if (d.length().as_mm() - height).abs() < 1e-9);
        if let Some(r) = row(&is_it) {
            let start = at.x + from[i];
            dims::upright(page, (at.y, at.y + height), at.x + x[i], (start, start), r);
        }
    }
    page.text(Point::new(at.x, at.y - 4.0), Type::new(2.6), "the corner from the side");
}
