//! Bodies that are slanted on purpose and crooked besides, drawn by chance and read by a caliper.

use std::fmt::Write;

use bobbinwright_geometry::parts::{PositionParts, layout_of};
use bobbinwright_spec::{Estimate, Family, Length, Side, SourceFile};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

use crate::folder;

/// So many parallelograms and trapezoids, held by screws through their covers that stand a little beside where they were when
/// the cover was drawn; those that no cover can be made for are left out.
pub fn slanted_families(count: u32) -> impl Iterator<Item = (Family, PositionParts)> {
    (0..count).filter_map(|number| {
        let mut rng = ChaCha8Rng::seed_from_u64(u64::from(number));
        let mut family = Body::drawn(&mut rng).family(&[], &mut rng);
        let position = family.positions.first_mut()?;
        let layout = layout_of(position, &family.hardware).ok()?;
        for screw in &mut position.rout.screws {
            for place in [&mut screw.along, &mut screw.across] {
                *place = place.clone() + Estimate::exact(Length::from_mm(rng.random_range(-BESIDE..BESIDE)));
            }
        }
        Some((family, PositionParts { layout, parts: Vec::new() }))
    })
}

/// A parallelogram or trapezoid whose sides are straight, held by ears at these sides.
///
/// # Panics
///
/// When it can't be read: that is a defect.
pub fn eared_family(number: u64, ears: &[Side]) -> Family {
    let mut rng = ChaCha8Rng::seed_from_u64(number);
    let mut body = Body::drawn(&mut rng);
    body.is_crooked = false;
    // So round that the ears have room between the corners.
    body.radii = body.radii.map(|radius| radius.min(4.0));
    body.family(ears, &mut rng)
}

/// How far from its hole a screw stands at most, along and across, mm.
const BESIDE: f64 = 0.35;

/// Spots along a side, from its bass end or bridge side on.
const ALONG: [f64; 3] = [-0.85, 0.0, 0.85];
const ENDS: [&str; 3] = ["bass end", "middle", "treble end"];
const SIDES: [&str; 3] = ["bridge side", "middle", "neck side"];
const CORNERS: [(&str, [f64; 2]); 4] = [
    ("treble, neck", [1.0, 1.0]),
    ("bass, neck", [-1.0, 1.0]),
    ("treble, bridge", [1.0, -1.0]),
    ("bass, bridge", [-1.0, -1.0]),
];

/// A rout's straight sides, and what it differs from them.
struct Body {
    is_parallel: bool,
    /// Half of length and width, along and across through the middle, mm.
    half: [f64; 2],
    /// What the treble and the bass end go towards treble by on a way of 1 towards the neck, and the neck's and the bridge's side
    /// towards the neck on one towards treble.
    ends: [f64; 2],
    sides: [f64; 2],
    bow: f64,
    /// Its sides differ from straight ones by what a hand errs.
    is_crooked: bool,
    radii: [f64; 4],
}

impl Body {
    fn drawn(rng: &mut ChaCha8Rng) -> Self {
        let is_parallel = rng.random_bool(0.5);
        let lean = rng.random_range(-0.22..0.22);
        let mut apart = |by: f64| if is_parallel { 0.0 } else { rng.random_range(-by..by) };
        let ends = [lean + apart(0.1), lean + apart(0.1)];
        let sides = [apart(0.04), apart(0.04)];
        let half = [rng.random_range(40.0..46.0), rng.random_range(16.0..20.0)];
        let radii = [0; 4].map(|_| rng.random_range(2.5..8.0));
        Self { is_parallel, half, ends, sides, bow: rng.random_range(-0.12..0.12), is_crooked: true, radii }
    }

    /// The middle of the arc in a corner: where both sides cross that are moved in by its radius.
    fn centre(&self, [x, y]: [f64; 2], radius: f64) -> [f64; 2] {
        let (lean, rise) = (self.ends[usize::from(x < 0.0)], self.sides[usize::from(y < 0.0)]);
        let end = x * (self.half[0] - radius * lean.hypot(1.0));
        let side = y * (self.half[1] - radius * rise.hypot(1.0));
        let along = (end + lean * side) / (1.0 - lean * rise);
        [along, side + rise * along]
    }

    fn diagonal(&self, from: usize, to: usize) -> f64 {
        let [[a, b], [c, d]] = [from, to].map(|n| self.centre(CORNERS[n].1, self.radii[n]));
        (a - c).hypot(b - d) + self.radii[from] + self.radii[to]
    }

    /// What jaws read, of a length at a place across the body or of a width at one along it.
    fn opening(&self, ends: bool, at: f64) -> f64 {
        let ([one, other], half, place) = if ends {
            (self.ends, self.half[0], at * self.half[1])
        } else {
            (self.sides, self.half[1], at * self.half[0])
        };
        let apart = 2.0 * half + (one - other) * place;
        apart / f64::midpoint(one, other).hypot(1.0)
            + if self.is_crooked { self.bow * (1.0 / 3.0 - at * at) } else { 0.0 }
    }

    fn family(&self, ears: &[Side], rng: &mut ChaCha8Rng) -> Family {
        let text = |file: &str| std::fs::read_to_string(folder("transom").join(file)).unwrap_or_default();
        let outline = if self.is_parallel { "parallelogram" } else { "trapezoid" };
        let gap = rng.random_range(0.2..0.5);
        let names: Vec<&str> = ears.iter().map(|side| side.name()).collect();
        let held = match ears {
            [] => [
                "bosses(diameter: mm(8.0), recess_diameter: mm(6.0), recess_depth: mm(2.4))".to_owned(),
                "screws: 3".to_owned(),
            ],
            _ => [EARS.to_owned(), format!("ear_recesses: [{}]", names.join(", "))],
        };
        let [mounting, holes] = held;
        let wanted = [
            ("fit_gap: snug(chance: 0.98)", format!("fit_gap: mm({gap:.2})")),
            (EARS, mounting),
            ("outline: parallelogram", format!("outline: {outline}")),
            ("ear_recesses: [neck, bridge]", holes),
        ];
        let family = wanted.into_iter().fold(text("family.ron"), |family, (from, to)| {
            assert!(family.contains(from), "the transom does not say {from:?}");
            family.replace(from, &to)
        });
        let others = ["rout.", "screws.", "ears."].map(|of| format!("of: \"bridge.{of}"));
        let is_kept = |line: &&str| !others.iter().any(|of| line.contains(of.as_str()));
        let mut log: String =
            text("readings.ron").lines().filter(is_kept).flat_map(|line| [line, "\n"]).collect();
        let mut crooked = || if self.is_crooked { rng.random_range(-0.06..0.06) } else { 0.0 };
        let mut entry = |of: &str, more: &str, got: f64| {
            let _ = writeln!(
                log,
                "reading(on: \"2026-11-25\", of: \"bridge.{of}\", with: \"caliper\"{more}, got: mm({got:.3}))"
            );
        };
        for (n, at) in ALONG.into_iter().enumerate() {
            let spot = |words: &str| format!(", spot: \"{words}\"");
            entry("rout.length", &spot(SIDES[n]), self.opening(true, at) + crooked());
            entry("rout.width", &spot(ENDS[n]), self.opening(false, at) + crooked());
        }
        entry("rout.diagonal.treble", "", self.diagonal(0, 3));
        entry("rout.diagonal.bass", "", self.diagonal(1, 2));
        for ((name, _), radius) in CORNERS.into_iter().zip(self.radii) {
            let how = format!(", how: packet, within: mm(0.1), spot: \"{name}\"");
            entry("rout.corner_radius", &how, (radius * 100.0).round() / 100.0);
        }
        entry("rout.depth", "", 18.9);
        entry("screws.hole", "", 2.4);
        self.screws(ears, &mut entry);
        let file = |name: &str, text: String| SourceFile { name: name.into(), text };
        let read = Family::read("slanted", file("family.ron", family), file("readings.ron", log));
        read.unwrap_or_else(|e| panic!("{e}"))
    }

    /// Nothing else tells where the screws are: they are where this puts them, those of ears half of these out.
    fn screws(&self, ears: &[Side], entry: &mut impl FnMut(&str, &str, f64)) {
        const MIDDLE: &str = ", how: outside";
        if ears.is_empty() {
            for (number, [x, y]) in [[30.0, 8.0], [-4.0, -9.0], [-30.0, 7.0]].into_iter().enumerate() {
                entry(&format!("screws.{}.treble_side", number + 1), MIDDLE, self.half[0] - x);
                entry(&format!("screws.{}.neck_side", number + 1), MIDDLE, self.half[1] - y);
            }
            return;
        }
        for (what, got) in [("length", 10.6), ("width", 14.4), ("depth", 11.7)] {
            entry(&format!("ears.{what}"), "", got);
        }
        entry("ears.corner_radius", ", how: packet, within: mm(0.1)", 3.2);
        if ears == [Side::Treble, Side::Bass] {
            let [a, b] = [0, 1].map(|n| self.beyond_end(ears[n], 5.3, self.half[1] + 1.5));
            entry("screws.pitch", ", how: holes_far", (a[0] - b[0]).hypot(a[1] - b[1]) + 2.4);
        }
        for (n, side) in ears.iter().enumerate() {
            let (number, [length, width]) = (n + 1, self.half);
            let (beside, half) = if side.is_end() { ("neck_side", width) } else { ("treble_side", length) };
            entry(&format!("screws.{number}.{}_side", side.name()), MIDDLE, -5.3);
            // A little beside the middle.
            entry(&format!("screws.{number}.{beside}"), MIDDLE, half + 1.5);
            entry(&format!("ears.{number}.{beside}"), MIDDLE, 7.3);
        }
    }
}

impl Body {
    /// Where a screw is that stands so far out of an end and so far from the neck's side, both square to these.
    fn beyond_end(&self, side: Side, out: f64, from_neck: f64) -> [f64; 2] {
        let (sign, lean) = if side == Side::Treble { (1.0, self.ends[0]) } else { (-1.0, self.ends[1]) };
        let rise = self.sides[0];
        // sign · x = half length + out + sign · lean · y, and y = half width - from the neck's side + rise · x, each square.
        let end = sign * (self.half[0] + out * lean.hypot(1.0));
        let neck = self.half[1] - from_neck * rise.hypot(1.0);
        let along = (end + lean * neck) / (1.0 - lean * rise);
        [along, neck + rise * along]
    }
}

/// As the transom has them.
const EARS: &str = "ears(thickness: mm(3.0), blend: mm(0.6))";
