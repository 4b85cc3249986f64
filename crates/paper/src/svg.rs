//! A page as SVG: true arcs, and text as text.

use std::fmt::Write;

use bobbinwright_kernel::plane::{Contour, Point};

use super::{Align, Ink, Item, Look, Page, Pen, Type};

/// The page as an SVG document, a user unit a millimetre. Lines and outlines are written to a ten-thousandth of that or
/// finer, the paper and the places of texts to a hundredth.
pub fn svg(page: &Page) -> String {
    let sheet = page.sheet;
    let (width, height) = (sheet.max.x - sheet.min.x, sheet.max.y - sheet.min.y);
    let (left, up) = (sheet.min.x, -sheet.max.y);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.2}mm\" height=\"{height:.2}mm\" \
         viewBox=\"{left:.2} {up:.2} {width:.2} {height:.2}\" role=\"img\" \
         font-family=\"Helvetica, Arial, sans-serif\" stroke-linejoin=\"round\">\n<title>{}</title>\n\
         <rect x=\"{left:.2}\" y=\"{up:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"#fff\"/>\n",
        escaped(&page.title)
    );
    out.push_str(&inside(page));
    out.push_str("</svg>\n");
    out
}

/// What is on a page as the inside of an SVG document, for those who put it into one of theirs.
///
/// ```
/// # use bobbinwright_kernel::plane::{Bounds, Point};
/// # use bobbinwright_paper::{Page, Type, inside, svg};
/// let mut page = Page::new(Bounds::of(Point::origin(), Point::new(9.0, 9.0)), "Rod");
/// page.text(Point::new(1.0, 2.0), Type::new(3.0), "here");
/// assert!(inside(&page).starts_with("<text x=\"1.00\"") && svg(&page).contains(&inside(&page)));
/// ```
pub fn inside(page: &Page) -> String {
    let mut out = String::new();
    items(&mut out, &page.items);
    items(&mut out, &page.upon);
    out
}

// Writing to a String does not fail.
fn items(out: &mut String, all: &[Item]) {
    for item in all {
        match item {
            Item::Region(borders, look) => region(out, borders, look),
            Item::Line(from, to, pen) => {
                let _ = writeln!(
                    out,
                    "<line x1=\"{:.4}\" y1=\"{:.4}\" x2=\"{:.4}\" y2=\"{:.4}\"{}/>",
                    from.x,
                    -from.y,
                    to.x,
                    -to.y,
                    stroke(pen)
                );
            }
            Item::Text(at, kind, text) => set(out, *at, kind, text),
            Item::Layer(name, inner) => {
                let _ = writeln!(out, "<g id=\"{name}\">");
                items(out, inner);
                out.push_str("</g>\n");
            }
        }
    }
}

fn region(out: &mut String, borders: &[Contour], look: &Look) {
    out.push_str("<path d=\"");
    for border in borders {
        path(out, border);
    }
    let fill = look.fill.map_or("none".to_owned(), hex);
    let rule = if borders.len() > 1 { " fill-rule=\"evenodd\"" } else { "" };
    let pen = look.pen.as_ref().map(stroke).unwrap_or_default();
    let _ = writeln!(out, "\" fill=\"{fill}\"{rule}{pen}/>");
}

fn path(out: &mut String, contour: &Contour) {
    let Some(first) = contour.segments().first() else { return };
    let _ = write!(out, "M{:.6} {:.6}", first.from.x, -first.from.y);
    for s in contour.segments() {
        let (x, y) = (s.to.x, -s.to.y);
        let _ = match s.bend {
            None => write!(out, "L{x:.6} {y:.6}"),
            // The y axis points up here and down in SVG, so counter-clockwise is sweep 0.
            Some(b) => write!(out, "A{r:.6} {r:.6} 0 0 {} {x:.6} {y:.6}", u8::from(!b.ccw), r = b.radius),
        };
    }
    out.push('Z');
}

fn stroke(pen: &Pen) -> String {
    let dash = pen.dash.map_or(String::new(), |(on, off)| format!(" stroke-dasharray=\"{on} {off}\""));
    format!(" stroke=\"{}\" stroke-width=\"{:.2}\"{dash}", hex(pen.ink), pen.width)
}

fn set(out: &mut String, at: Point, kind: &Type, text: &str) {
    let anchor = match kind.align {
        Align::Start => "",
        Align::Middle => " text-anchor=\"middle\"",
        Align::End => " text-anchor=\"end\"",
    };
    let weight = if kind.bold { " font-weight=\"bold\"" } else { "" };
    let _ = writeln!(
        out,
        "<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"{}\" fill=\"{}\"{anchor}{weight}>{}</text>",
        at.x,
        -at.y + kind.drop(),
        kind.size,
        hex(kind.ink),
        escaped(text)
    );
}

fn hex(ink: Ink) -> String {
    format!("#{:02x}{:02x}{:02x}", ink.0, ink.1, ink.2)
}

/// A text as it stands in XML.
///
/// ```
/// assert_eq!(bobbinwright_paper::escaped("4 < 5 & \"so\""), "4 &lt; 5 &amp; &quot;so&quot;");
/// assert_eq!(bobbinwright_paper::escaped("a\nb\u{1}"), "a b ");
/// ```
pub fn escaped(text: &str) -> String {
    // XML 1.0 has no place for control characters.
    let text = text.replace(char::is_control, " ");
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
