//! The coupon's files: what to print, and the sheet to fill in.

use bobbinwright_geometry::Stack;
use bobbinwright_kernel::StackError;
use bobbinwright_kernel::mesh::{MeshError, mesh};
use bobbinwright_kernel::solid::build;
use bobbinwright_print::coupon::stack;
use bobbinwright_spec::printer::coupon::{LONG, SHORT};
use bobbinwright_spec::{Length, PrinterSurvey, Unit};

use super::{LIST, Paper, Row, angle, number_pages, put, rows};
use crate::listing;
use crate::{CHORD, picture, stl, threemf};
use bobbinwright_install::Sink;
use bobbinwright_paper::Page;

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
    /// The bed is too small for it.
    #[error("the coupon is {} by {} and {} high; the bed of {}, {} and {} is too small for it", size[0], size[1], size[2], bed[0], bed[1], bed[2])]
    TooLarge {
        /// The coupon's.
        size: [Length; 3],
        /// The bed's.
        bed: [Length; 3],
    },
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
    Install(#[from] bobbinwright_install::InstallError),
}

/// Makes the coupon's 3MF and STL files, at nominal sizes, and its sheet.
pub fn write(survey: &PrinterSurvey, paper: Paper, sink: &Sink) -> Result<(), CouponError> {
    let slug = format!("{}-coupon", survey.slug);
    let stack = stack(&survey.coupon);
    let solid = build(&stack)?;
    let mesh = mesh(&solid, CHORD)?;
    let size = [LONG.length(), SHORT.length(), survey.coupon.heights[2].length()];
    let bed = survey.bed();
    if size.iter().zip(&bed).any(|(s, b)| s > b) {
        return Err(CouponError::TooLarge { size, bed });
    }
    // In the bed's middle, where printers print truest.
    let at = [0, 1].map(|i| ((bed[i] - size[i]) / 2.0).as_mm());
    let at = [at[0], at[1], 0.0];
    let thumbnail = picture::single(&solid, &mesh, 256)?;
    let title = format!("Coupon for {}", survey.title);
    let package = threemf::Package {
        title: &title,
        description: "test piece at nominal sizes; x along the bed's x",
        items: vec![threemf::Item { name: &slug, mesh: &mesh, at }],
    };
    let mut outputs = vec![
        sink.put(&format!("{slug}.3mf"), threemf::write(&package)?.with(&thumbnail)?),
        sink.put(&format!("{slug}.stl"), stl::write(&mesh)?),
    ];
    let pages = pages(survey, &stack, paper);
    outputs.extend(put(&slug, &title, &pages, sink));
    listing::put(LIST, &slug, None, outputs, sink);
    Ok(())
}

/// The sheet's pages.
pub fn pages(survey: &PrinterSurvey, stack: &Stack, paper: Paper) -> Vec<Page> {
    let of_coupon = survey.coupon.sizes().len();
    let known = survey.sizes.iter().take(of_coupon);
    let rows: Vec<Row> =
        known.enumerate().map(|(i, known)| Row { number: i + 1, known, again: None, wanted: None }).collect();
    let rows: Vec<&Row> = rows.iter().collect();
    let about = rows::About {
        title: &survey.title,
        strings: 0,
        positions: &[],
        known: "known so far",
        unit: Unit::Mm,
        foot: FOOT,
    };
    let mut pages = Vec::new();
    let top = |page: &mut Page, y: f64| angle::drawing(page, y, stack, &survey.coupon, &rows);
    rows::paged(&mut pages, &about, paper, "Coupon", &rows, top);
    number_pages(&mut pages, survey.entries, survey.last_entry);
    pages
}
