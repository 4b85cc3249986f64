//! The same as SVG: a unit of the drawing is a millimetre, a group a layer, y turned down as SVG has it.

use std::fmt::Write;

use bobbinwright_kernel::plane::{Bounds, Contour, Point, Segment};
use bobbinwright_paper::escaped;

use super::{Lines, rounded};

/// Left free round a plate that lies on no sheet, mm.
const EDGE: f64 = 2.0;

/// The text of a file.
pub fn write(lines: &Lines, title: &str) -> String {
    let paper = Paper::round(lines);
    let (width, height) = (paper.max.x - paper.min.x, paper.max.y - paper.min.y);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n<title>{}</title>\n",
        escaped(title)
    );
    // Scored first: what is cut out may move.
    let layer = |name: &str, colour: &str| {
        format!("<g id=\"{name}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.1\">\n")
    };
    // Writing to a String does not fail.
    if !lines.marks.is_empty() {
        out += &layer("mark", "gray");
        for line in &lines.marks {
            let _ = writeln!(out, "<path d=\"{}\"/>", paper.open(line));
        }
        out += "</g>\n";
    }
    out += &layer("cut", "black");
    for contour in &lines.cuts {
        let _ = match contour.as_circle() {
            Some((center, radius)) => {
                let (at, radius) = (paper.at(center), rounded(radius));
                writeln!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"{radius}\"/>", at.x, at.y)
            }
            None => writeln!(out, "<path d=\"{}\"/>", paper.closed(contour)),
        };
    }
    out + "</g>\n</svg>\n"
}

/// Where the drawing lies: the sheet, or the plate with some room round it.
struct Paper {
    min: Point,
    max: Point,
}

impl Paper {
    fn round(lines: &Lines) -> Self {
        if let Some([length, width]) = lines.sheet {
            return Self { min: Point::origin(), max: Point::new(length, width) };
        }
        let all = lines.cuts.iter().map(Contour::bounds).reduce(Bounds::union);
        let bounds = all.unwrap_or_else(|| Bounds::of(Point::origin(), Point::origin()));
        // To whole millimetres.
        let min = bounds.min.map(|v| (v - EDGE).floor());
        Self { min, max: bounds.max.map(|v| (v + EDGE).ceil()) }
    }

    fn at(&self, p: Point) -> Point {
        Point::new(rounded(p.x - self.min.x), rounded(self.max.y - p.y))
    }

    fn open(&self, line: &Segment) -> String {
        let [a, b] = [line.from, line.to].map(|p| self.at(p));
        format!("M{} {}L{} {}", a.x, a.y, b.x, b.y)
    }

    fn closed(&self, contour: &Contour) -> String {
        let mut path = String::new();
        for (i, segment) in contour.segments().iter().enumerate() {
            let [from, to] = [segment.from, segment.to].map(|p| self.at(p));
            if i == 0 {
                let _ = write!(path, "M{} {}", from.x, from.y);
            }
            let _ = match segment.bend {
                None => write!(path, "L{} {}", to.x, to.y),
                // Never more than half a turn; counter-clockwise stays so to the eye, which SVG calls 0.
                Some(bend) => {
                    let (radius, sweep) = (rounded(bend.radius), u8::from(!bend.ccw));
                    write!(path, "A{radius} {radius} 0 0 {sweep} {} {}", to.x, to.y)
                }
            };
        }
        path + "Z"
    }
}
