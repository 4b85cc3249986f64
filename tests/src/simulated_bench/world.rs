//! An instrument with its true sizes, and what a bench makes of it.

use rand::RngExt;
use rand::rngs::ChaCha8Rng;

use super::CaliperError;
use super::body::Body;
use super::reading::{Bench, DEPTH, INSIDE, OUTSIDE, WITHIN, between, hand, normal};

pub(super) const STRINGS: usize = 6;

/// A printed size may be off by plus or minus this, mm.
pub(super) const TOLERANCE: f64 = 0.10;

/// True sizes, mm.
pub(super) struct World {
    pub has_ears: bool,
    pub rout: [f64; 3],
    pub depth: f64,
    pub ear: [f64; 4],
    pub hole: f64,
    pub body: Body,
    /// How much further apart the outer strings are for each mm towards the bridge, and how much further towards treble all
    /// of them are for each towards the neck.
    pub runs: [f64; 2],
    /// How far the row is from square to the strings, degrees: truly, and as somebody states it; in a fifth of all.
    pub slant: Option<[f64; 2]>,
    /// At which edges of the rout the strings are read: the neck's 1, the bridge's -1; none is over its middle line.
    pub edges: Vec<f64>,
    /// Centres from the rout's middle, string 1 first.
    pub strings: Vec<f64>,
    /// Undersides over the face; strings lie on a line.
    pub heights: Vec<f64>,
    pub gauges: Vec<f64>,
    pub channel: f64,
    /// Mean and standard deviation from piece to piece: rod, rod's length, screw, head, head's height,
    /// eyelet, flange, lead.
    pub bought: [(f64, f64); 8],
    /// The corner radius that the cutter's packet states.
    pub stated_radius: f64,
    /// Scatter of the hand with outside jaws, inside jaws and depth rod.
    pub hand: [f64; 3],
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
    pub fn direction(&self, i: usize) -> f64 {
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
            // Beside an end jaws stand where its corner's round begins, or so; strings lie over the body's face.
            let straight =
                if jaws == INSIDE { 0.5 * self.rout[1] - self.rout[2] } else { 0.5 * self.rout[1] };
            let in_spot = |edge: &f64| {
                let missed = if *edge == 0.0 {
                    2.0
                } else if jaws == INSIDE {
                    1.0
                } else {
                    0.0
                };
                let missed = if missed > 0.0 { normal(bench.rng, 0.0, missed) } else { 0.0 };
                let spot = match *edge {
                    0.0 => "",
                    edge if edge > 0.0 => ", spot: \"neck edge\"",
                    _ => ", spot: \"bridge edge\"",
                };
                (format!("{how}{spot}"), size(edge * straight + missed))
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
}
