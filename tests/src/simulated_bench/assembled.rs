//! Printed parts put together in an instrument: what is truly left, and what a caliper shows of their sizes.

use bobbinwright_geometry::parts::{Layout, Tab};
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Family, Length, PartKind};
use rand::rngs::ChaCha8Rng;

use crate::simulated_coupon::Truth;

use super::CaliperError;
use super::body::Loose;
use super::reading::{Bench, DEPTH, INSIDE, OUTSIDE, between, normal};
use super::world::{STRINGS, TOLERANCE, World};

/// Where the ears of a part are, treble and bass, and half of what their recesses are wider.
type Flanks = Option<([[f64; 2]; 2], f64)>;

/// What nobody can read on a printed part.
const NOT_READ: &str = "";

/// Printed parts in an instrument.
pub(super) struct Assembled {
    /// What is left, mm, by check.
    pub margins: Vec<(&'static str, f64)>,
    /// The parts' true sizes, mm, by what they are called in the log behind the position.
    sizes: Vec<(&'static str, f64)>,
}

impl Assembled {
    /// Does all of it go together and in?
    pub fn holds(&self) -> bool {
        self.margins.iter().all(|(_, left)| *left >= 0.0)
    }

    /// What is left by a check; none where that is not put together here.
    pub fn of(&self, check: &str) -> Option<f64> {
        self.margins.iter().find(|(known, _)| *known == check).map(|(_, left)| *left)
    }

    /// Entries for the sizes of some parts, read with the caliper in the hand that read the rest.
    pub fn read(
        &self,
        parts: &[PartKind],
        world: &World,
        error: CaliperError,
        rng: &mut ChaCha8Rng,
    ) -> String {
        let mut bench = Bench::new(world.hand, error, rng);
        let is_asked = |name: &str| parts.iter().any(|part| name.split('.').next() == Some(part.name()));
        for (name, made) in self.sizes.iter().filter(|(name, _)| is_asked(name)) {
            let of = |size: &str| name.ends_with(size);
            let name = format!("bridge.{name}");
            // Two holes are apart by what their far edges are, less a hole.
            let holes = name.replace("screw_pitch", "screw_hole");
            let hole = self.sizes.iter().find(|(other, _)| holes == format!("bridge.{other}"));
            match hole {
                Some((_, hole)) if of("screw_pitch") && world.body.screws() == 2 => {
                    bench.read(&name, ", how: holes_far", made + hole, INSIDE);
                }
                // Of four holes no distance is read.
                _ if of("screw_pitch") => {}
                _ if of("_hole") || of("recess") => bench.read(&name, "", *made, INSIDE),
                _ if of("_depth") => bench.read(&name, "", *made, DEPTH),
                _ => bench.read(&name, "", *made, OUTSIDE),
            }
        }
        let entries = bench.log.lines().filter(|line| !line.starts_with("tool("));
        entries.flat_map(|line| [line, "\n"]).collect()
    }
}

impl World {
    /// The printed parts, and the true margins of them in this instrument.
    pub fn put_together(&self, family: &Family, layout: &Layout, rng: &mut ChaCha8Rng) -> Assembled {
        self.put_together_by(&|size, _, rng| size + between(rng, -TOLERANCE, TOLERANCE), family, layout, rng)
    }

    /// The same of parts that are drawn by a profile for a printer with faults of its own.
    pub fn put_together_from(
        &self,
        printer: &Truth,
        family: &Family,
        layout: &Layout,
        rng: &mut ChaCha8Rng,
    ) -> Assembled {
        let profile = family.printer.profile();
        let print = |size: f64, name: &str, rng: &mut ChaCha8Rng| {
            let made = made(name);
            let drawn = profile.map_or(size, |p| p.drawn(Length::from_mm(size), made).as_mm());
            // What is nothing by itself is how far off something is.
            let made = if size == 0.0 { 0.0 } else { printer.makes(drawn, made) };
            made + normal(rng, 0.0, printer.scatter)
        };
        self.put_together_by(&print, family, layout, rng)
    }

    /// The cover's length, width and radius, its ears, and what is left of both in the body.
    fn cover_in_rout(
        &self,
        layout: &Layout,
        print: &mut dyn FnMut(&'static str, f64) -> f64,
    ) -> ([f64; 3], Flanks, Vec<(&'static str, f64)>) {
        let length = self.rout[0];
        let made = [
            print("cover.length", layout.length.as_mm()),
            print("cover.width", layout.width.as_mm()),
            layout.sharpest().as_mm(),
        ];
        let mut margins = vec![("cover-in-rout", self.body.goes_in(made))];
        let mut flanks = None;
        if let Some(ear) = layout.ears {
            let reach = print("cover.ear_to_ear", layout.length.as_mm() + 2.0 * ear.length.as_mm());
            let inner = [reach, print("cover.ear_width", ear.width.as_mm()), ear.corner_radius.as_mm()];
            let at = |tab: &Tab, sign: f64| [sign * 0.5 * (length + self.ear[0]), tab.offset.as_mm()];
            if let [treble, bass] = &layout.tabs[..] {
                flanks = Some(([at(treble, 1.0), at(bass, -1.0)], 0.5 * (self.ear[1] - inner[1])));
            }
            let ends = self.body.end(true) + self.body.end(false);
            let outer = [ends + 2.0 * self.ear[0], self.ear[1], self.ear[3]];
            // The corner between rout and recess, beside an ear that is moved across by so much.
            let off = 0.5 * print(NOT_READ, 0.0);
            let corner = |is_treble: bool, across: f64| {
                let end = if is_treble { 0.5 * length } else { -0.5 * length };
                -layout.outline.depth_of(Point::new(end, across)) + off
            };
            let loose = Loose { plays: Vec::new(), holes: Vec::new(), size: made, ears: flanks };
            let left = self.body.ears_left(&loose, self.ear[1], corner);
            margins.push(("ears-in-recesses", nested(outer, inner).min(left)));
        }
        (made, flanks, margins)
    }

    /// Each size as somebody prints it that is wanted so and called so.
    fn put_together_by(
        &self,
        printed: &dyn Fn(f64, &str, &mut ChaCha8Rng) -> f64,
        family: &Family,
        layout: &Layout,
        rng: &mut ChaCha8Rng,
    ) -> Assembled {
        let wanted = &family.positions[0].wanted;
        let mut sizes: Vec<(&'static str, f64)> = Vec::new();
        let mut print = |name: &'static str, size: f64| {
            let made = printed(size, name, rng);
            sizes.push((name, made));
            made
        };
        let (made, flanks, mut margins) = self.cover_in_rout(layout, &mut print);
        let pitch = layout.screw_pitch().as_mm();
        let cover_pitch = print("cover.screw_pitch", pitch);
        let cover_hole = print("cover.screw_hole", wanted.cover.screw_hole.as_mm());
        let base = [
            print("baseplate.length", layout.length.as_mm()),
            print("baseplate.width", layout.width.as_mm()),
            made[2],
        ];
        let plate = (
            print("baseplate.screw_hole", wanted.cover.screw_hole.as_mm()),
            print("baseplate.screw_pitch", pitch),
        );
        let (hollow, high, floor) = (
            print("cover.hollow_depth", (wanted.cover.height - wanted.cover.roof).as_mm()),
            print("cover.height", wanted.cover.height.as_mm()),
            print("baseplate.height", wanted.baseplate.thickness.as_mm()),
        );
        let pole_holes = ["flatwork-bottom.pole_hole", "flatwork-top.pole_hole"]
            .map(|name| print(name, wanted.flatwork.pole_hole.as_mm()));
        let eyelet_hole = print("flatwork-bottom.eyelet_hole", wanted.flatwork.eyelet_hole.as_mm());
        let lead_out = print(NOT_READ, wanted.cover.lead_out.height.as_mm());
        let poles_off = 0.5 * print(NOT_READ, 0.0);
        let recess = layout.boss.map(|b| {
            (
                print("cover.recess", b.recess_diameter.as_mm()),
                print("cover.recess_depth", b.recess_depth.as_mm()),
            )
        });
        let mut pieces = |i: usize, count: usize| -> Vec<f64> {
            (0..count).map(|_| normal(rng, self.bought[i].0, self.bought[i].1)).collect()
        };
        let (rods, lengths) = (pieces(0, 2 * STRINGS), pieces(1, 2 * STRINGS));
        let count = self.body.screws();
        let [screws, more_screws, heads, high_heads] = [2, 2, 3, 4].map(|i| pieces(i, count));
        let eyelets = pieces(5, 2);
        let lead = pieces(7, 1)[0];
        let most = |all: &[f64]| all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = |all: &[f64]| all.iter().copied().fold(f64::INFINITY, f64::min);
        let holes = |made: f64| {
            layout.screws.iter().rev().map(|p| [p.x * made / pitch, p.y * made / pitch]).collect::<Vec<_>>()
        };
        let plays = |hole: f64, pieces: &[f64]| pieces.iter().map(|piece| 0.5 * (hole - piece)).collect();
        let loose = |plays: Vec<f64>, made: f64, size: [f64; 3]| Loose {
            plays,
            holes: holes(made),
            size,
            ears: flanks,
        };
        let into = |hole: f64, pieces: &[f64], made: f64, size: [f64; 3]| {
            self.body.screwed_down(&loose(plays(hole, pieces), made, size))
        };
        let mut round_screws: Vec<f64> = plays(cover_hole, &screws);
        margins.push(("baseplate-in-rout", self.body.goes_in(base)));
        margins.push(("cover-screw-holes", into(cover_hole, &screws, cover_pitch, made)));
        margins.push(("baseplate-screw-holes", into(plate.0, &more_screws, plate.1, base)));
        if let Some((wide, deep)) = recess {
            margins.push(("head-in-recess", into(wide, &heads, cover_pitch, made)));
            // Screws and heads of one cover, which has one place.
            let round_heads: Vec<f64> = plays(wide, &heads);
            for (screw, head) in round_screws.iter_mut().zip(round_heads) {
                *screw = screw.min(head);
            }
            let both = loose(round_screws.clone(), cover_pitch, made);
            margins.push((ONE_PLACE, self.body.screwed_down(&both)));
            margins.push(("head-sunk", deep - most(&high_heads)));
        }
        margins.push(("bobbin-under-roof", hollow - most(&lengths)));
        margins.push(("rod-through-flatwork", least(&pole_holes) - most(&rods)));
        margins.push(("rod-held", 0.5 - (most(&pole_holes) - least(&rods))));
        margins.push(("eyelet-through-hole", eyelet_hole - most(&eyelets)));
        margins.push(("lead-through-lead-out", lead_out - lead));
        let depth = if self.has_ears { self.ear[2] } else { self.depth };
        let top = wanted.seat.lift.as_mm() - depth + floor + high;
        let lowest = self.heights.iter().copied().fold(f64::INFINITY, f64::min);
        margins.push(("height-under-strings", lowest - top - wanted.seat.string_gap.as_mm()));
        let play = wanted.flatwork.play.as_mm();
        // The cover lies anywhere where rout and screws let it.
        let [low, high] = self.body.reaches(&loose(round_screws, cover_pitch, made));
        let along = if low < high { between(rng, low, high) } else { f64::midpoint(low, high) };
        let shift = along + between(rng, -play, play) + poles_off;
        margins.push(("string-between-poles", self.straddled(layout, &rods, shift)));
        Assembled { margins, sizes }
    }

    /// The least distance of a string from the rods beside it, all rods shifted alike.
    fn straddled(&self, layout: &Layout, rods: &[f64], shift: f64) -> f64 {
        let string = |(i, x): (usize, &f64)| {
            let left = 2 * (STRINGS - 1 - i);
            let (a, b) = (layout.poles[left].x, layout.poles[left + 1].x);
            let off = x - f64::midpoint(a, b) - shift;
            let beside = 0.5 * (b - a) - 0.5 * self.gauges[i] / self.direction(i).cos();
            (beside - 0.5 * rods[left] + off).min(beside - 0.5 * rods[left + 1] - off)
        };
        self.strings.iter().enumerate().map(string).fold(f64::INFINITY, f64::min)
    }
}

/// How a printed size comes to be.
fn made(name: &str) -> Made {
    match name.split_once('.').map_or("", |(_, size)| size) {
        "length" | "ear_to_ear" => Made::Outer(Axis::X),
        "width" | "ear_width" => Made::Outer(Axis::Y),
        "height" => Made::Height,
        "hollow_depth" | "recess_depth" => Made::Depth,
        "screw_pitch" => Made::Between(Axis::X),
        "" => Made::Inner(Axis::Y),
        _ => Made::Hole,
    }
}

/// What no check asks by itself: that all of a cover's holes and recesses go over their screws in one place of it.
const ONE_PLACE: &str = "the cover in one place";

/// The least play of a rounded rectangle in another with the same middle.
fn nested(outer: [f64; 3], inner: [f64; 3]) -> f64 {
    let half = |i: usize| 0.5 * (outer[i] - inner[i]);
    let apart = |i: usize| outer[2] - inner[2] - half(i);
    let sides = half(0).min(half(1));
    if apart(0) > 0.0 && apart(1) > 0.0 {
        sides.min(outer[2] - inner[2] - apart(0).hypot(apart(1)))
    } else {
        sides
    }
}
