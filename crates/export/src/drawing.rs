//! Drawings as SVG, at 1:1 in millimetres.

use std::fmt::Write;

use bobbinwright_geometry::parts::{Layout, rout_outline};
use bobbinwright_geometry::plane::{Contour, Point, Segment, Vector, offset};
use bobbinwright_spec::{Channel, Poles, Position, Side};

/// Room round the drawing for labels, mm.
const MARGIN: f64 = 12.0;

/// Room below for the scale bar and the key, mm.
const FOOT: f64 = 15.0;

/// Rout, cover, strings and poles of a position seen from above, neck upwards, bass left.
pub fn plan(position: &Position, layout: &Layout) -> String {
    let rout = &position.rout;
    let ear = rout.ears.as_ref().map_or(0.0, |e| e.length.value().as_mm());
    let half_x = rout.length.value().as_mm() / 2.0 + ear;
    let half_y = rout.width.value().as_mm() / 2.0;
    let title = format!("{}: rout, cover, strings and poles", position.name);
    let mut svg = Svg::new(half_x + MARGIN, half_y + MARGIN, half_y + MARGIN + FOOT, &title);
    let hole = rout_outline(rout);
    svg.group("rout", |svg| {
        for contour in &hole {
            svg.contour(contour, "rout");
        }
    });
    svg.group("cover", |svg| {
        svg.contour(&layout.outline, "cover");
        for border in layout.hollow(bobbinwright_spec::Length::ZERO) {
            svg.contour(&border.contour, "hidden");
        }
        for screw in layout.screws() {
            svg.contour(&Contour::circle(screw, layout.wanted.cover.screw_hole.as_mm() / 2.0), "cover");
        }
        svg.contour(&layout.lead.contour(), "hidden");
    });
    svg.group("flatwork", |svg| {
        let p = layout.plate;
        let plate = Contour::rounded_rectangle(
            Point::origin(),
            p.length.as_mm(),
            p.width.as_mm(),
            p.corner_radius.as_mm(),
        );
        let bites = layout.waists.map(|(center, radius)| Contour::circle(center, radius));
        for border in offset::borders(&[plate], &bites) {
            svg.contour(&border.contour, "plate");
        }
        for eyelet in layout.eyelets {
            svg.contour(&Contour::circle(eyelet, layout.wanted.flatwork.eyelet_hole.as_mm() / 2.0), "plate");
        }
        let (center, radius) = layout.mark;
        svg.contour(&Contour::circle(center, radius), "faint");
        for pole in &layout.poles {
            svg.contour(&Contour::circle(*pole, layout.wanted.flatwork.pole_hole.as_mm() / 2.0), "pole");
        }
    });
    svg.group("strings", |svg| {
        for s in &position.strings {
            let x = s.place.value().as_mm();
            svg.line(Point::new(x, -half_y - 5.0), Point::new(x, half_y + 5.0), s.gauge.value().as_mm());
            svg.text(Point::new(x, half_y + 6.5), "middle", &s.number.to_string());
        }
    });
    if let Some(channel) = &rout.channel {
        svg.group("channel", |svg| svg.channel(channel, half_x - ear, half_y));
    }
    svg.text(Point::new(-half_x - 2.0, 0.0), "end", "bass");
    svg.text(Point::new(half_x + 2.0, 0.0), "start", "treble");
    svg.scale_bar(Point::new(-25.0, -half_y - 9.0));
    let kind = match layout.wanted.poles {
        Poles::Single => "a pole under each string",
        Poles::Pair { .. } => "two poles beside each string",
    };
    let caption = format!("{} position from above, neck up; {kind}", position.name);
    svg.text(Point::new(0.0, -half_y - 15.0), "middle", &caption);
    let key = [
        "grey: rout; black: cover, dashed its hollow and lead-out;",
        "blue: flatwork; triangle: wire channel",
    ];
    for (line, text) in (0..).zip(key) {
        svg.text(Point::new(0.0, -half_y - 19.0 - 4.0 * f64::from(line)), "middle", text);
    }
    svg.finish()
}

/// An SVG document whose user unit is a millimetre and whose y axis points up.
struct Svg {
    text: String,
}

impl Svg {
    /// A sheet `half` to the left and right of the origin, `above` and `below` it.
    fn new(half: f64, above: f64, below: f64, title: &str) -> Self {
        let (left, up, width, height) = (-half, -above, 2.0 * half, above + below);
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.2}mm\" height=\"{height:.2}mm\" \
             viewBox=\"{left:.2} {up:.2} {width:.2} {height:.2}\" role=\"img\">\n<title>{}</title>\n\
             <style>\n\
             path {{ fill: none; stroke: #222; stroke-width: 0.25; stroke-linejoin: round; }}\n\
             .rout {{ stroke: #777; stroke-width: 0.5; }}\n\
             .cover {{ stroke: #111; stroke-width: 0.4; }}\n\
             .hidden {{ stroke: #111; stroke-dasharray: 1.6 0.9; }}\n\
             .plate {{ stroke: #06c; }}\n\
             .faint {{ stroke: #06c; stroke-width: 0.15; stroke-dasharray: 0.7 0.7; }}\n\
             .solid {{ fill: #222; }}\n\
             .pole {{ stroke: #222; fill: #d8d8d8; }}\n\
             .string {{ stroke: #b35900; stroke-opacity: 0.6; }}\n\
             text {{ font: 3.2px sans-serif; fill: #222; }}\n\
             </style>\n<rect x=\"{left:.2}\" y=\"{up:.2}\" width=\"{width:.2}\" height=\"{height:.2}\" fill=\"#fff\"/>\n",
            escaped(title)
        );
        Self { text }
    }

    fn group(&mut self, name: &str, draw: impl FnOnce(&mut Self)) {
        let _ = writeln!(self.text, "<g id=\"{name}\">");
        draw(self);
        self.text.push_str("</g>\n");
    }

    /// Lines and arcs as they are: SVG has both.
    fn contour(&mut self, contour: &Contour, class: &str) {
        let Some(first) = contour.segments().first() else { return };
        let _ = write!(self.text, "<path class=\"{class}\" d=\"M{:.4} {:.4}", first.from.x, -first.from.y);
        for s in contour.segments() {
            self.step(s);
        }
        self.text.push_str("Z\"/>\n");
    }

    fn step(&mut self, s: &Segment) {
        let (x, y) = (s.to.x, -s.to.y);
        let _ = match s.bend {
            None => write!(self.text, "L{x:.4} {y:.4}"),
            // The y axis points up here and down in SVG, so counter-clockwise is sweep 0.
            Some(b) => {
                write!(self.text, "A{r:.4} {r:.4} 0 0 {} {x:.4} {y:.4}", u8::from(!b.ccw), r = b.radius)
            }
        };
    }

    fn line(&mut self, from: Point, to: Point, width: f64) {
        let _ = writeln!(
            self.text,
            "<line class=\"string\" x1=\"{:.4}\" y1=\"{:.4}\" x2=\"{:.4}\" y2=\"{:.4}\" stroke-width=\"{width:.2}\"/>",
            from.x, -from.y, to.x, -to.y
        );
    }

    /// A filled triangle that points at the channel's mouth from outside.
    fn channel(&mut self, channel: &Channel, half_x: f64, half_y: f64) {
        let along = channel.offset.value().as_mm();
        let (mouth, out) = match channel.side {
            Side::Bass => (Point::new(-half_x, along), Vector::new(-1.0, 0.0)),
            Side::Treble => (Point::new(half_x, along), Vector::new(1.0, 0.0)),
            Side::Neck => (Point::new(along, half_y), Vector::new(0.0, 1.0)),
            Side::Bridge => (Point::new(along, -half_y), Vector::new(0.0, -1.0)),
        };
        let (foot, across) = (mouth + out * 4.0, Vector::new(-out.y, out.x) * 1.6);
        self.contour(&Contour::polygon(&[mouth + out * 0.6, foot - across, foot + across]), "solid");
    }

    /// A bar of 50 mm, to see whether a print came out at 1:1.
    fn scale_bar(&mut self, from: Point) {
        for i in 0..5 {
            let low = from + Vector::new(10.0 * f64::from(i), 0.0);
            let class = if i % 2 == 0 { "solid" } else { "cover" };
            self.contour(&Contour::rectangle(low, low + Vector::new(10.0, 1.2)), class);
        }
        self.text(from + Vector::new(51.5, 0.6), "start", "50 mm");
    }

    fn text(&mut self, at: Point, anchor: &str, text: &str) {
        let _ = writeln!(
            self.text,
            "<text x=\"{:.2}\" y=\"{:.2}\" text-anchor=\"{anchor}\">{}</text>",
            at.x,
            -at.y + 1.1,
            escaped(text)
        );
    }

    fn finish(mut self) -> String {
        self.text.push_str("</svg>\n");
        self.text
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
