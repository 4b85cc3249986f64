//! Pages as PDF (ISO 32000-1), at 1:1, with the fonts that every reader has built in.

use bobbinwright_kernel::plane::{Contour, Point};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::text::{encoded, width};
use super::{Align, Ink, Item, Look, Page, Pen, Type, curves};

/// Points in a millimetre; a point is 1/72 inch.
const POINTS: f64 = 72.0 / 25.4;

/// The pages as one document. The same pages give the same bytes: no date and no identifier is in it.
///
/// Each page has its own paper. Text is in the one-byte encoding of the built-in fonts, and what they lack becomes a
/// question mark ([`crate::spelt`] helps with units).
///
/// ```
/// # use bobbinwright_kernel::plane::{Bounds, Point};
/// # use bobbinwright_paper::{Page, pdf};
/// let page = Page::new(Bounds::of(Point::new(-1.0, -1.0), Point::new(24.4, 49.8)), "");
/// let file = pdf("Sheet", std::slice::from_ref(&page));
/// // 1 by 2 inches of paper are 72 by 144 points, wherever the page's origin is.
/// let text = String::from_utf8_lossy(&file);
/// assert!(text.starts_with("%PDF-") && text.contains("/MediaBox [0 0 72 144]") && text.contains("/Count 1"));
/// assert_eq!(file, pdf("Sheet", &[page]));
/// ```
pub fn pdf(title: &str, pages: &[Page]) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let mut next = Ref::new(1);
    let mut id = || next.bump();
    let (catalog, tree, info, regular, bold) = (id(), id(), id(), id(), id());
    let ids: Vec<(Ref, Ref)> = pages.iter().map(|_| (id(), id())).collect();
    pdf.catalog(catalog).pages(tree);
    pdf.document_info(info).title(TextStr(title)).creator(TextStr("bobbinwright"));
    pdf.pages(tree).kids(ids.iter().map(|(page, _)| *page)).count(pages.len() as i32);
    for (font, name) in [(regular, "Helvetica"), (bold, "Helvetica-Bold")] {
        pdf.type1_font(font).base_font(Name(name.as_bytes())).encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    for (page, (page_id, content_id)) in pages.iter().zip(&ids) {
        let sheet = page.sheet;
        let (wide, high) = (sheet.max.x - sheet.min.x, sheet.max.y - sheet.min.y);
        let mut entry = pdf.page(*page_id);
        entry.media_box(Rect::new(0.0, 0.0, (wide * POINTS) as f32, (high * POINTS) as f32));
        entry.parent(tree).contents(*content_id);
        entry.resources().fonts().pair(Name(b"R"), regular).pair(Name(b"B"), bold);
        entry.finish();
        pdf.stream(*content_id, &content(page));
    }
    pdf.finish()
}

fn content(page: &Page) -> pdf_writer::Buf {
    let mut content = Content::new();
    // From here on every figure is in millimetres and in the page's own frame.
    let k = POINTS as f32;
    let from = page.sheet.min;
    content.transform([k, 0.0, 0.0, k, (-from.x * POINTS) as f32, (-from.y * POINTS) as f32]);
    content.set_line_join(pdf_writer::types::LineJoinStyle::RoundJoin);
    items(&mut content, &page.items);
    items(&mut content, &page.upon);
    content.finish()
}

fn items(content: &mut Content, all: &[Item]) {
    for item in all {
        match item {
            Item::Region(borders, look) => region(content, borders, look),
            Item::Line(from, to, pen) => {
                take(content, pen);
                move_to(content, *from);
                line_to(content, *to);
                content.stroke();
            }
            Item::Text(at, kind, text) => set(content, *at, kind, text),
            Item::Layer(_, inner) => items(content, inner),
        }
    }
}

fn region(content: &mut Content, borders: &[Contour], look: &Look) {
    if let Some(pen) = &look.pen {
        take(content, pen);
    }
    if let Some(ink) = look.fill {
        let [r, g, b] = rgb(ink);
        content.set_fill_rgb(r, g, b);
    }
    for border in borders {
        path(content, border);
    }
    match (look.pen, look.fill, borders.len() > 1) {
        (Some(_), Some(_), false) => content.close_fill_nonzero_and_stroke(),
        (Some(_), Some(_), true) => content.close_fill_even_odd_and_stroke(),
        (Some(_), None, _) => content.close_and_stroke(),
        (None, Some(_), false) => content.close_path().fill_nonzero(),
        (None, Some(_), true) => content.close_path().fill_even_odd(),
        (None, None, _) => content.end_path(),
    };
}

/// A border; all but the last of several are closed by the next one's beginning.
fn path(content: &mut Content, contour: &Contour) {
    let Some(first) = contour.segments().first() else { return };
    move_to(content, first.from);
    for segment in contour.segments() {
        if segment.bend.is_none() {
            line_to(content, segment.to);
        }
        for [a, b, to] in curves(segment) {
            content.cubic_to(a.x as f32, a.y as f32, b.x as f32, b.y as f32, to.x as f32, to.y as f32);
        }
    }
}

fn take(content: &mut Content, pen: &Pen) {
    let [r, g, b] = rgb(pen.ink);
    content.set_stroke_rgb(r, g, b).set_line_width(pen.width as f32);
    match pen.dash {
        Some((on, off)) => content.set_dash_pattern([on as f32, off as f32], 0.0),
        None => content.set_dash_pattern([], 0.0),
    };
}

fn set(content: &mut Content, at: Point, kind: &Type, text: &str) {
    let back = match kind.align {
        Align::Start => 0.0,
        Align::Middle => width(text, kind) / 2.0,
        Align::End => width(text, kind),
    };
    let [r, g, b] = rgb(kind.ink);
    content.set_fill_rgb(r, g, b).begin_text();
    content.set_font(Name(if kind.bold { b"B" } else { b"R" }), kind.size as f32);
    content.next_line((at.x - back) as f32, (at.y - kind.drop()) as f32);
    content.show(Str(&encoded(text))).end_text();
}

fn move_to(content: &mut Content, p: Point) {
    content.move_to(p.x as f32, p.y as f32);
}

fn line_to(content: &mut Content, p: Point) {
    content.line_to(p.x as f32, p.y as f32);
}

fn rgb(ink: Ink) -> [f32; 3] {
    [ink.0, ink.1, ink.2].map(|c| f32::from(c) / 255.0)
}
