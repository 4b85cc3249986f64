//! A page as PNG, for programs that show no SVG.

use bobbinwright_kernel::plane::{Contour, Point};
use noto_sans_mono_bitmap::{FontWeight, RasterHeight, get_raster, get_raster_width};
use tiny_skia::{
    FillRule, LineJoin, Paint, Path, PathBuilder, Pixmap, PremultipliedColorU8, Stroke, StrokeDash, Transform,
};

use crate::png_file::{self, Packing};

use super::{Align, Ink, Item, Page, Pen, Type, WHITE, curves};

/// Why a page can't be drawn.
#[derive(Debug, thiserror::Error)]
pub enum PixelsError {
    /// It has no pixels, or too many.
    #[error("a picture of {0} by {1} pixels can't be drawn")]
    Size(u32, u32),
    /// It could not be packed.
    #[error(transparent)]
    Png(#[from] png::EncodingError),
}

/// The page with so many pixels for a millimetre. Its text is set in letters of one width.
///
/// A page without pixels, or with more than can be held, is an error.
///
/// ```
/// # use bobbinwright_kernel::plane::{Bounds, Point};
/// # use bobbinwright_paper::{Page, PixelsError, png};
/// let page = |wide: f64| Page::new(Bounds::of(Point::origin(), Point::new(wide, 20.0)), "");
/// // 30.2 by 20 mm with 10 pixels each; a PNG's header has width and height from byte 16 on.
/// let file = png(&page(30.2), 10.0)?;
/// let number = |at: usize| u32::from_be_bytes(file[at..at + 4].try_into().unwrap());
/// assert_eq!((number(16), number(20)), (302, 200));
/// assert!(matches!(png(&page(0.0), 10.0), Err(PixelsError::Size(0, 200))));
/// # Ok::<(), PixelsError>(())
/// ```
pub fn png(page: &Page, per_mm: f64) -> Result<Vec<u8>, PixelsError> {
    let sheet = page.sheet;
    let pixels = |mm: f64| (mm * per_mm).ceil() as u32;
    let (wide, high) = (pixels(sheet.max.x - sheet.min.x), pixels(sheet.max.y - sheet.min.y));
    let mut map = Pixmap::new(wide, high).ok_or(PixelsError::Size(wide, high))?;
    map.fill(paint(WHITE).color());
    let k = per_mm as f32;
    let shift = (-sheet.min.x * per_mm, sheet.max.y * per_mm);
    let frame = Transform::from_row(k, 0.0, 0.0, -k, shift.0 as f32, shift.1 as f32);
    let mut canvas = Canvas { map, frame, per_mm };
    canvas.items(&page.items);
    canvas.items(&page.upon);
    Ok(pack(&canvas.map)?)
}

struct Canvas {
    map: Pixmap,
    /// From the page's millimetres to pixels.
    frame: Transform,
    per_mm: f64,
}

impl Canvas {
    fn items(&mut self, all: &[Item]) {
        for item in all {
            match item {
                Item::Region(borders, look) => {
                    let Some(path) = region(borders) else { continue };
                    if let Some(ink) = look.fill {
                        self.map.fill_path(&path, &paint(ink).0, FillRule::EvenOdd, self.frame, None);
                    }
                    if let Some(pen) = &look.pen {
                        self.stroke(&path, pen);
                    }
                }
                Item::Line(from, to, pen) => {
                    let mut path = PathBuilder::new();
                    path.move_to(from.x as f32, from.y as f32);
                    path.line_to(to.x as f32, to.y as f32);
                    if let Some(path) = path.finish() {
                        self.stroke(&path, pen);
                    }
                }
                Item::Text(at, kind, text) => self.text(*at, kind, text),
                Item::Layer(_, inner) => self.items(inner),
            }
        }
    }

    fn stroke(&mut self, path: &Path, pen: &Pen) {
        let dash = pen.dash.and_then(|(on, off)| StrokeDash::new(vec![on as f32, off as f32], 0.0));
        let stroke =
            Stroke { width: pen.width as f32, dash, line_join: LineJoin::Round, ..Stroke::default() };
        self.map.stroke_path(path, &paint(pen.ink).0, &stroke, self.frame, None);
    }

    /// Letters as they come, level with the middle of their capitals.
    fn text(&mut self, at: Point, kind: &Type, text: &str) {
        let weight = if kind.bold { FontWeight::Bold } else { FontWeight::Regular };
        // The letters' box is higher than their size, as lines of text are apart.
        let height = nearest_height(1.25 * kind.size * self.per_mm);
        let (wide, high) = (get_raster_width(weight, height) as i32, height.val() as i32);
        let mut place = tiny_skia::Point::from_xy(at.x as f32, at.y as f32);
        self.frame.map_point(&mut place);
        let back = match kind.align {
            Align::Start => 0,
            Align::Middle => text.chars().count() as i32 * wide / 2,
            Align::End => text.chars().count() as i32 * wide,
        };
        let (left, top) = (place.x.round() as i32 - back, place.y.round() as i32 - high / 2);
        for (i, letter) in (0..).zip(text.chars()) {
            let letter = if letter == '\u{2212}' { '-' } else { letter };
            let Some(raster) = get_raster(letter, weight, height).or(get_raster('?', weight, height)) else {
                continue;
            };
            for (y, row) in (0..).zip(raster.rows()) {
                for (x, cover) in (0..).zip(row) {
                    self.ink(left + i * wide + x, top + y, kind.ink, *cover);
                }
            }
        }
    }

    /// Covers a pixel by so many parts of 255.
    fn ink(&mut self, x: i32, y: i32, ink: Ink, cover: u8) {
        let (wide, high) = (self.map.width() as i32, self.map.height() as i32);
        if cover == 0 || x < 0 || y < 0 || x >= wide || y >= high {
            return;
        }
        let pixel = &mut self.map.pixels_mut()[(y * wide + x) as usize];
        let mix = |under: u8, over: u8| {
            let (under, over, cover) = (u32::from(under), u32::from(over), u32::from(cover));
            ((under * (255 - cover) + over * cover) / 255) as u8
        };
        let [r, g, b] = [mix(pixel.red(), ink.0), mix(pixel.green(), ink.1), mix(pixel.blue(), ink.2)];
        // The page is opaque, and no colour is more than that.
        *pixel = PremultipliedColorU8::from_rgba(r, g, b, 255).unwrap_or(*pixel);
    }
}

/// Letters come in four heights.
fn nearest_height(size: f64) -> RasterHeight {
    let all = [RasterHeight::Size16, RasterHeight::Size20, RasterHeight::Size24, RasterHeight::Size32];
    let off = |h: &RasterHeight| (h.val() as f64 - size).abs();
    all.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(RasterHeight::Size16)
}

struct Painted(Paint<'static>, tiny_skia::Color);

impl Painted {
    fn color(&self) -> tiny_skia::Color {
        self.1
    }
}

fn paint(ink: Ink) -> Painted {
    let mut paint = Paint::default();
    paint.set_color_rgba8(ink.0, ink.1, ink.2, 255);
    paint.anti_alias = true;
    Painted(paint, tiny_skia::Color::from_rgba8(ink.0, ink.1, ink.2, 255))
}

fn region(borders: &[Contour]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for border in borders {
        let Some(first) = border.segments().first() else { continue };
        path.move_to(first.from.x as f32, first.from.y as f32);
        for segment in border.segments() {
            if segment.bend.is_none() {
                path.line_to(segment.to.x as f32, segment.to.y as f32);
            }
            for [a, b, to] in curves(segment) {
                path.cubic_to(a.x as f32, a.y as f32, b.x as f32, b.y as f32, to.x as f32, to.y as f32);
            }
        }
        path.close();
    }
    path.finish()
}

fn pack(map: &Pixmap) -> Result<Vec<u8>, png::EncodingError> {
    let pixels: Vec<u8> = map.pixels().iter().flat_map(|p| [p.red(), p.green(), p.blue()]).collect();
    png_file::rgb(map.width(), map.height(), &pixels, Packing::Quick)
}
