//! An instrument with its true sizes, and what a bench makes of it.

use bobbinwright_geometry::parts::{Layout, Tab};
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::Family;
use rand::RngExt;
use rand::rngs::ChaCha8Rng;

use super::CaliperError;
use super::body::{Body, Loose};
use super::reading::{Bench, DEPTH, INSIDE, OUTSIDE, WITHIN, between, hand, normal};

const STRINGS: usize = 6;

/// A printed size may be off by plus or minus this, mm.
const TOLERANCE: f64 = 0.10;

/// True sizes, mm.
pub(super) struct World {
    has_ears: bool,
    rout: [f64; 3],
    depth: f64,
    ear: [f64; 4],
    hole: f64,
    body: Body,
    /// How much further apart the outer strings are for each mm towards the bridge, and how much further towards treble all
    /// of them are for each towards the neck.
    runs: [f64; 2],
    /// How far the row is from square to the strings, degrees: truly, and as somebody states it; in a fifth of all.
    slant: Option<[f64; 2]>,
    /// At which edges of the rout the strings are read: the neck's 1, the bridge's -1; none is over its middle line.
    edges: Vec<f64>,
    /// Centres from the rout's middle, string 1 first.
    strings: Vec<f64>,
    /// Undersides over the face; strings lie on a line.
    heights: Vec<f64>,
    gauges: Vec<f64>,
    channel: f64,
    /// Mean and standard deviation from piece to piece: rod, rod's length, screw, head, head's height,
    /// eyelet, flange, lead.
    bought: [(f64, f64); 8],
    /// The corner radius that the cutter's packet states.
    stated_radius: f64,
    /// Scatter of the hand with outside jaws, inside jaws and depth rod.
    hand: [f64; 3],
}

impl World {
    pub fn new(rng: &mut ChaCha8Rng, crooked: f64) -> Self {
        let has_ears = rng.random_bool(0.4);
        let length = between(rng, 84.0, 98.0);
        let stated_radius = between(rng, 4.5, 7.5);
        let radius = stated_radius + between(rng, -WITHIN, WITHIN);
        let pitch =
            if has_ears { length + between(rng, 9.0, 11.0) } else { length - between(rng, 12.0, 13.0) };
        let spacing = between(rng, 9.3, 10.2);
        let middle = between(rng, -0.4, 0.4);
        let width = between(rng, 32.0, 40.0);
        let rout = [length, width, radius];
        // A fifth of all pickups have a screw in each corner.
        let is_cornered = !has_ears && rng.random_bool(0.3);
        let meant = if is_cornered {
            let (x, y) = (0.5 * length - 7.5, 0.5 * width - 7.0);
            vec![[x, y], [x, -y], [-x, y], [-x, -y]]
        } else {
            vec![[0.5 * pitch, 0.0], [-0.5 * pitch, 0.0]]
        };
        let slant = rng.random_bool(0.2).then(|| {
            let truly = between(rng, -16.0, 16.0);
            [truly, truly + between(rng, -1.0, 1.0)]
        });
        let cosine = slant.map_or(1.0, |[truly, _]| truly.to_radians().cos());
        let place = |i: usize| middle + spacing * (2.5 - i as f64) / cosine;
        let strings: Vec<f64> = (0..STRINGS).map(|i| place(i) + between(rng, -0.1, 0.1)).collect();
        let (first, last) = (between(rng, 11.0, 12.5), between(rng, 11.5, 13.0));
        let over = |x: f64| first + (last - first) * (strings[0] - x) / (strings[0] - strings[STRINGS - 1]);
        let heights = strings.iter().map(|x| over(*x)).collect();
        Self {
            has_ears,
            rout,
            depth: between(rng, 17.5, 20.0),
            ear: [
                between(rng, 10.0, 12.0),
                between(rng, 13.0, 15.0),
                between(rng, 6.0, 7.0),
                between(rng, 3.0, 4.0),
            ],
            hole: between(rng, 2.2, 2.6),
            body: Body::new(rng, rout, &meant, crooked),
            runs: [between(rng, 0.01, 0.032), normal(rng, 0.0, 0.0035)],
            slant,
            edges: [vec![], vec![], vec![1.0], vec![-1.0], vec![1.0, -1.0]][rng.random_range(0..5)].clone(),
            strings,
            heights,
            gauges: (0..STRINGS).map(|i| 0.5 + 0.2 * i as f64 + between(rng, -0.02, 0.02)).collect(),
            channel: between(rng, 10.0, 16.0),
            bought: [
                (between(rng, 2.4, 2.6), between(rng, 0.005, 0.03)),
                (between(rng, 15.5, 16.2), 0.02),
                (between(rng, 2.9, 3.0), 0.01),
                (between(rng, 5.3, 5.6), 0.02),
                (between(rng, 1.9, 2.1), 0.02),
                (between(rng, 2.25, 2.35), 0.01),
                (between(rng, 3.5, 3.7), 0.01),
                (between(rng, 2.6, 2.8), 0.03),
            ],
            stated_radius,
            hand: hand(rng),
        }
    }

    /// The log that a bench takes of it.
    pub fn readings(&self, error: CaliperError, rng: &mut ChaCha8Rng) -> String {
        let mut bench = Bench::new(self.hand, error, rng);
        for (i, gauge) in self.gauges.iter().enumerate() {
            bench.read(&format!("strings.gauge.{}", i + 1), "", *gauge, OUTSIDE);
        }
        self.body.read_sides(&mut bench);
        bench.packet("bridge.rout.corner_radius", self.stated_radius);
        bench.read("bridge.rout.depth", "", self.depth, DEPTH);
        bench.read("bridge.screws.hole", "", self.hole, INSIDE);
        bench.read("bridge.screws.pitch", ", how: holes_far", self.body.pitch() + self.hole, INSIDE);
        self.body.read_screws(&mut bench, self.hole);
        bench.read("bridge.channel.offset", "", self.channel, OUTSIDE);
        if self.has_ears {
            bench.read("bridge.ears.length", "", self.ear[0], INSIDE);
            bench.read("bridge.ears.width", "", self.ear[1], INSIDE);
            bench.read("bridge.ears.depth", "", self.ear[2], DEPTH);
            bench.read("bridge.ears.corner_radius", "", self.ear[3], INSIDE);
            self.body.read_recesses(&mut bench, self.ear[1], self.hole);
        }
        bench.read("bridge.strings.height.1", "", self.heights[0], DEPTH);
        bench.read("bridge.strings.height.6", "", self.heights[STRINGS - 1], DEPTH);
        self.read_strings(&mut bench);
        let names = [
            "rod.diameter",
            "rod.length",
            "screw.diameter",
            "screw.head",
            "screw.head_height",
            "eyelet.barrel",
            "eyelet.flange",
            "lead.diameter",
        ];
        for (name, (mean, deviation)) in names.into_iter().zip(self.bought) {
            bench.read_pieces(name, mean, deviation);
        }
        bench.log
    }

    /// Entries for what was not read yet, of these quantities: screws' and recesses' places, and a rout's length and width in
    /// all their spots.
    pub fn read_more(&self, names: &[String], error: CaliperError, rng: &mut ChaCha8Rng) -> String {
        let is_asked = |line: &&str| names.iter().any(|name| line.contains(&format!("of: \"{name}\"")));
        let all = self.read_everything(error, rng);
        all.lines().filter(is_asked).flat_map(|line| [line, "\n"]).collect()
    }

    /// Entries for the places of screws and recesses, and for the rout's length and width in all their spots.
    pub fn read_everything(&self, error: CaliperError, rng: &mut ChaCha8Rng) -> String {
        let mut bench = Bench::new(self.hand, error, rng);
        let body = self.body.read_thoroughly();
        body.read_sides(&mut bench);
        body.read_screws(&mut bench, self.hole);
        if self.has_ears {
            body.read_recesses(&mut bench, self.ear[1], self.hole);
        }
        let entries = bench.log.lines().filter(|line| !line.starts_with("tool("));
        entries.flat_map(|line| [line, "\n"]).collect()
    }

    /// The angle of a string to the line across the row, towards treble on its way to the neck.
    fn direction(&self, i: usize) -> f64 {
        let [fans, tilt] = self.runs;
        let slant = self.slant.map_or(0.0, |[truly, _]| truly.to_radians());
        tilt.atan() - slant - (fans * (0.5 - i as f64 / (STRINGS - 1) as f64)).atan()
    }

    /// Over the rout's middle line, which a hand misses by some millimetres, or at one edge or at both.
    fn read_strings(&self, bench: &mut Bench) {
        let at = |i: usize, y: f64| self.strings[i] + y * self.direction(i).tan();
        // Along the row a string is wider, and two are further apart than square to them.
        let wide = |i: usize| self.gauges[i] / self.direction(i).cos();
        let edges = if self.edges.is_empty() { vec![0.0] } else { self.edges.clone() };
        // A size, in the spots in which it is read.
        let mut read = |name: &str, how: &str, jaws: usize, size: &dyn Fn(f64) -> f64| {
            let in_spot = |edge: &f64| {
                let missed = if *edge == 0.0 { normal(bench.rng, 0.0, 2.0) } else { 0.0 };
                let spot = match *edge {
                    0.0 => "",
                    edge if edge > 0.0 => ", spot: \"neck edge\"",
                    _ => ", spot: \"bridge edge\"",
                };
                (format!("{how}{spot}"), size(edge * 0.5 * self.rout[1] + missed))
            };
            let sizes: Vec<(String, f64)> = edges.iter().map(in_spot).collect();
            bench.read_in_spots(name, &sizes, jaws);
        };
        let near = ", how: string_near";
        let bass = |y: f64| at(STRINGS - 1, y) + self.body.end_at(false, y) - wide(STRINGS - 1) / 2.0;
        let treble = |y: f64| self.body.end_at(true, y) - at(0, y) - wide(0) / 2.0;
        read("bridge.strings.bass_side", near, INSIDE, &bass);
        read("bridge.strings.treble_side", near, INSIDE, &treble);
        for i in 1..STRINGS {
            let over = f64::midpoint(self.gauges[i - 1], self.gauges[i]);
            let square = f64::midpoint(self.direction(i - 1), self.direction(i)).cos();
            let outer = |y: f64| (at(i - 1, y) - at(i, y)) * square + over;
            read(&format!("bridge.strings.{i}-{}", i + 1), ", how: strings_outer", OUTSIDE, &outer);
        }
    }

    /// A family for it, with what is wanted around the edge of what fits. The builder knows the sizes
    /// from the shop, as good as anybody does before measuring.
    pub fn wanted(&self, rng: &mut ChaCha8Rng) -> String {
        // Half of the builders leave room where they can, and are mean in a place or two.
        let generous = if rng.random_bool(0.5) { 0.85 } else { 0.0 };
        self.wanted_by(rng, generous, None)
    }

    /// The same by somebody who leaves room everywhere, with a gap round the cover that is stated.
    pub fn wanted_with_gap(&self, rng: &mut ChaCha8Rng, gap: f64) -> String {
        self.wanted_by(rng, 1.0, Some(gap))
    }

    /// By somebody who leaves room in so many cases.
    fn wanted_by(&self, rng: &mut ChaCha8Rng, generous: f64, gap: Option<f64>) -> String {
        let mut near = |size: f64, tight: f64, loose: f64| {
            let (low, high) = (tight.min(loose), tight.max(loose));
            size + if generous > 0.0 && rng.random_bool(generous) { loose } else { between(rng, low, high) }
        };
        let [(rod, _), (rod_length, _), (screw, _), (head, _), (head_height, _), (eyelet, _), _, (lead, _)] =
            self.bought;
        let usual = near(0.0, 0.0, 0.4);
        let gap = gap.unwrap_or(usual);
        // Between parallel to the rout's corners and sharper than they.
        let corner = near(self.stated_radius - gap, -0.3, 1.0);
        let screw_hole = near(screw, -0.3, 0.7);
        let (recess, recess_depth) = (near(head, -0.3, 0.8), near(head_height, -0.4, 0.4));
        let height = near(rod_length + 1.6, -0.4, 0.4);
        let depth = if self.has_ears { self.ear[2] } else { self.depth };
        let lift = if self.has_ears { 0.0 } else { 4.0 };
        let air = self.heights[0].min(self.heights[STRINGS - 1]) - (lift - depth + 2.0 + height);
        let string_gap = near(air, 0.4, -0.5).clamp(0.0, 19.0);
        // The outer string, its rods and the play of cover and bobbin.
        let spread = near(rod + self.gauges[STRINGS - 1] + 2.0 * (gap + 0.3), -1.4, 1.2);
        // Between too tight and too loose.
        let (tighter, looser) = (near(rod + 0.25, -0.55, 0.0), near(0.0, 0.65, 0.0));
        let pole_hole = tighter + looser;
        let (eyelet_hole, lead_out) = (near(eyelet, -0.4, 0.4), near(lead, -0.4, 0.4));
        let mounting = if self.has_ears {
            "ears(thickness: mm(2.5), blend: mm(0.3))".to_owned()
        } else {
            format!(
                "bosses(diameter: mm(9.0), recess_diameter: mm({recess}), recess_depth: mm({recess_depth}))"
            )
        };
        let held = if self.has_ears {
            "ear_recesses: true".to_owned()
        } else {
            format!("screws: {}", self.body.screws())
        };
        let held = match self.slant {
            Some([_, stated]) => format!("{held}, slant: degrees({stated:.1})"),
            None => held,
        };
        format!(
            "(title: \"Simulated\", strings: 6, poles: pair(spread: mm({spread})),
            cover: (fit_gap: mm({gap}), wall: mm(2.0), roof: mm(1.6), height: mm({height}), corner_radius: mm({corner}),
                rounding: mm(1.2), inner_radius: mm(1.0), screw_hole: mm({screw_hole}), mounting: {mounting},
                lead_out: (side: bridge, offset: mm(13.0), width: mm(8.0), height: mm({lead_out}))),
            baseplate: (thickness: mm(2.0)),
            flatwork: (bottom: mm(2.4), top: mm(2.0), play: mm(0.3), corner_radius: mm(4.0), pole_hole: mm({pole_hole}),
                rod_above: mm(0.0), eyelets: (side: bridge, hole: mm({eyelet_hole}), spread: mm(14.0), inset: mm(4.0)),
                waists: (offset: mm(7.0), width: mm(5.0), depth: mm(1.6)), mark_radius: mm(1.6)),
            seat: (lift: mm({lift}), string_gap: mm({string_gap})),
            positions: [(name: \"bridge\", rout: ({held}, channel: bridge))],
            printer: (bed: mm([220, 220, 240]), least_wall: mm(0.8), least_hole: mm(2.0), tolerance: mm({TOLERANCE})))"
        )
    }

    /// True margins of the printed parts in this instrument, mm, by check.
    pub fn put_together(
        &self,
        family: &Family,
        layout: &Layout,
        rng: &mut ChaCha8Rng,
    ) -> Vec<(&'static str, f64)> {
        let wanted = &family.positions[0].wanted;
        let mut print = |size: f64| size + between(rng, -TOLERANCE, TOLERANCE);
        let length = self.rout[0];
        let made = [print(layout.length.as_mm()), print(layout.width.as_mm()), layout.sharpest().as_mm()];
        let mut margins = vec![("cover-in-rout", self.body.goes_in(made))];
        let mut flanks = None;
        if let Some(ear) = layout.ears {
            let reach = print(layout.length.as_mm() + 2.0 * ear.length.as_mm());
            let inner = [reach, print(ear.width.as_mm()), ear.corner_radius.as_mm()];
            let at = |tab: &Tab, sign: f64| [sign * 0.5 * (length + self.ear[0]), tab.offset.as_mm()];
            if let [treble, bass] = &layout.tabs[..] {
                flanks = Some(([at(treble, 1.0), at(bass, -1.0)], 0.5 * (self.ear[1] - inner[1])));
            }
            let ends = self.body.end(true) + self.body.end(false);
            let outer = [ends + 2.0 * self.ear[0], self.ear[1], self.ear[3]];
            // The corner between rout and recess, beside an ear that is moved across by so much.
            let off = 0.5 * print(0.0);
            let corner = |is_treble: bool, across: f64| {
                let end = if is_treble { 0.5 * length } else { -0.5 * length };
                -layout.outline.depth_of(Point::new(end, across)) + off
            };
            let loose = Loose { plays: Vec::new(), holes: Vec::new(), size: made, ears: flanks };
            let left = self.body.ears_left(&loose, self.ear[1], corner);
            margins.push(("ears-in-recesses", nested(outer, inner).min(left)));
        }
        let pitch = layout.screw_pitch().as_mm();
        let cover_pitch = print(pitch);
        let cover_hole = print(wanted.cover.screw_hole.as_mm());
        let base = [print(layout.length.as_mm()), print(layout.width.as_mm()), made[2]];
        let plate = (print(wanted.cover.screw_hole.as_mm()), print(pitch));
        let (hollow, high, floor) = (
            print((wanted.cover.height - wanted.cover.roof).as_mm()),
            print(wanted.cover.height.as_mm()),
            print(wanted.baseplate.thickness.as_mm()),
        );
        let pole_holes = [0; 2].map(|_| print(wanted.flatwork.pole_hole.as_mm()));
        let eyelet_hole = print(wanted.flatwork.eyelet_hole.as_mm());
        let lead_out = print(wanted.cover.lead_out.height.as_mm());
        let poles_off = 0.5 * print(0.0);
        let recess = layout.boss.map(|b| (print(b.recess_diameter.as_mm()), print(b.recess_depth.as_mm())));
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
        margins
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
