//! Families that nobody thought of: a random instrument, measured, and wishes that walk off from the usual ones, one at
//! a time, to any size that makes sense, to that of another dimension, and to the very bound of what can be built.

use std::fmt::Write;

use bobbinwright_geometry::parts::{PositionParts, Refusal, build_family};
use bobbinwright_spec::{
    self as spec, Angle, Family, Handed, Length, PARAMETERS, Parameter, Position, Side, SourceFile, Start,
    Survey, Unit, When,
};
use rand::rngs::ChaCha8Rng;
use rand::{Rng, RngExt, SeedableRng};

/// A family that builds, and what was refused on the way to it.
pub struct Drawn {
    /// The family.
    pub family: Family,
    /// Its parts.
    pub built: Vec<PositionParts>,
    /// What was refused, with the family that it was refused for.
    pub refused: Vec<(Family, Vec<Refusal>)>,
}

/// A random family: its instrument first, then as many `steps` of wishes.
///
/// # Panics
///
/// When a started family with random readings can't be read: that is a defect.
pub fn drawn(rng: &mut impl Rng, steps: usize) -> Option<Drawn> {
    walk(instrument(rng, |_, _| Held::default()), rng, steps)
}

/// The same, held by one to six screws in the rout or by ears at any side.
///
/// # Panics
///
/// As [`drawn`].
pub fn held_anyhow(rng: &mut impl Rng, steps: usize) -> Option<Drawn> {
    walk(instrument(rng, |ears, rng| Held::drawn(ears, rng)), rng, steps)
}

fn walk(mut family: Family, rng: &mut impl Rng, steps: usize) -> Option<Drawn> {
    let mut refused = Vec::new();
    vary_what_there_is(&mut family, rng);
    let mut built = settle(&mut family, &mut refused)?;
    for _ in 0..steps {
        let mut next = family.clone();
        step(&mut next, rng);
        if let Some(parts) = settle(&mut next, &mut refused) {
            (family, built) = (next, parts);
        }
    }
    Some(Drawn { family, built, refused })
}

/// Builds, each time with the value that is said to work, until it is built; none where that leads nowhere.
fn settle(family: &mut Family, refused: &mut Vec<(Family, Vec<Refusal>)>) -> Option<Vec<PositionParts>> {
    const MENDS: usize = 12;
    for _ in 0..MENDS {
        match build_family(family) {
            Ok(built) => return Some(built),
            Err(why) => {
                let before = family.clone();
                let first = why.first().cloned();
                refused.push((before, why));
                let position = family
                    .positions
                    .iter_mut()
                    .find(|p| Some(&p.name) == first.as_ref().map(|r| &r.position));
                if !first?.mend_in(position?) {
                    return None;
                }
            }
        }
    }
    None
}

/// One wish that is another one, at all positions alike or at one.
fn step(family: &mut Family, rng: &mut impl Rng) {
    let only = rng.random_bool(0.2).then(|| rng.random_range(0..family.positions.len()));
    let mut trial = family.positions[0].clone();
    let all: Vec<&Parameter> = PARAMETERS.iter().filter(|p| (p.field)(&mut trial.wanted).is_some()).collect();
    let mut current = |p: &Parameter| (p.field)(&mut trial.wanted).map_or(0.0, |l| l.as_mm());
    let dimension = all[rng.random_range(0..all.len())];
    let (low, high) = (dimension.low, dimension.high);
    let value = match rng.random_range(0..10) {
        0..3 => rng.random_range(low..high),
        3..7 => current(dimension) * rng.random_range(0.4..2.0) + rng.random_range(-0.5..0.5),
        7..9 => current(all[rng.random_range(0..all.len())]),
        _ => [low, high][rng.random_range(0..2)],
    };
    // Most people write whole hundredths; some values come from inches.
    let value = if rng.random_bool(0.7) { (value * 100.0).round() / 100.0 } else { value };
    for (i, position) in family.positions.iter_mut().enumerate() {
        if only.is_none_or(|only| only == i)
            && let Some(field) = (dimension.field)(&mut position.wanted)
        {
            *field = Length::from_mm(value.clamp(low, high));
        }
    }
}

/// What a family has or has not, by chance.
fn vary_what_there_is(family: &mut Family, rng: &mut impl Rng) {
    let handed = if rng.random_bool(0.2) { Handed::Left } else { Handed::Right };
    let (open, no_lip, no_lead) = (rng.random_bool(0.3), rng.random_bool(0.3), rng.random_bool(0.2));
    for Position { handed: hand, wanted, rout, .. } in &mut family.positions {
        *hand = handed;
        wanted.cover.pole_hole = open.then_some(wanted.flatwork.pole_hole);
        if no_lip {
            wanted.baseplate.lip = None;
        }
        if no_lead {
            wanted.baseplate.lead_depth = None;
        }
        wanted.cover.lead_out.side = Side::ALL[rng.random_range(0..4)].1;
        if rng.random_bool(0.5) {
            wanted.cover.lead_out.offset = Length::ZERO;
        }
        wanted.flatwork.eyelet_side = [Side::Neck, Side::Bridge][rng.random_range(0..2)];
        // With screws anywhere as well, of 543 families that are refused for one thing 10 are refused again once what is said to
        // work is done: the row leaves no plate any room, and what makes room for it is too little for another part.
        // By a chance of its own, so that what else is drawn stays as it was.
        let own =
            wanted.cover.wall.as_mm().to_bits() ^ wanted.flatwork.pole_hole.as_mm().to_bits().rotate_left(7);
        let mut own = ChaCha8Rng::seed_from_u64(own);
        if rout.screws.len() <= 2 && own.random_bool(0.3) {
            wanted.row_offset = Some(Length::from_mm(own.random_range(-8.0..8.0)));
        }
    }
}

/// The texts of `family.ron` and `readings.ron` of a random instrument, held by one to six screws in the rout or by ears at any
/// side; whether it can be built is another matter.
///
/// # Panics
///
/// When a started family with random readings can't be read: that is a defect.
pub fn texts(rng: &mut impl Rng) -> [String; 2] {
    measured(rng, |ears, rng| Held::drawn(ears, rng))
}

fn instrument<R: Rng>(rng: &mut R, held: impl Fn(bool, &mut R) -> Held) -> Family {
    let [family, log] = measured(rng, held);
    survey(&family, &log).family().unwrap_or_else(|e| panic!("{e}"))
}

fn survey(family: &str, log: &str) -> Survey {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    let files = (file("family.ron", family), file("readings.ron", log));
    Survey::read_at("drawn", files.0, files.1, When::default()).unwrap_or_else(|e| panic!("{e}"))
}

/// An instrument by chance, measured by a caliper.
fn measured<R: Rng>(rng: &mut R, held: impl Fn(bool, &mut R) -> Held) -> [String; 2] {
    let positions: Vec<String> =
        if rng.random_bool(0.5) { vec!["neck".into(), "bridge".into()] } else { vec!["bridge".into()] };
    let start = Start {
        title: "Drawn".into(),
        strings: rng.random_range(4..=12),
        positions,
        handed: Handed::Right,
        outline: spec::Outline::Rectangle,
        slant: Angle::default(),
        held: if rng.random_bool(0.5) { spec::Held::usual_ears() } else { spec::Held::USUAL },
        pair: rng.random_bool(0.5),
        step: Length::from_mm(0.01),
        limit: Length::from_mm(0.03),
        unit: Unit::Mm,
        on: jiff::civil::date(2026, 10, 3),
    };
    let held = held(start.held.by_ears(), rng);
    let family = held.stated(&start.family());
    let mut log = start.readings();
    let mut sizes = Sizes { held: held.clone(), ..Sizes::drawn(&start, rng) };
    if !held.screws.is_empty() {
        sizes.width = sizes.width.max(ROOM_FOR_BOSSES);
    }
    for one in survey(&family, &log).missing() {
        let (figure, how) = sizes.read(&one.quantity.to_string());
        let _ = writeln!(
            log,
            "reading(on: \"2026-10-04\", of: \"{}\"{how}, got: mm([{figure:.2}]))",
            one.quantity
        );
    }
    [family, log]
}

/// How a housing is held: by two screws on its middle line most often, or by others anywhere.
#[derive(Clone, Debug, Default)]
struct Held {
    /// The side of each ear, and where it is along that as a share of the way to its ends; empty without ears, and where
    /// there is one at each end.
    ears: Vec<(Side, f64)>,
    /// Screws in the rout, each as shares of the way from its middle to where it can stand at most; empty where there are
    /// two on the middle line.
    screws: Vec<[f64; 2]>,
}

impl Held {
    fn drawn(ears: bool, rng: &mut impl Rng) -> Self {
        if ears {
            let mut sides = Side::ALL.map(|(_, side)| side);
            sides.rotate_left(rng.random_range(0..4));
            let count = rng.random_range(1..=4);
            let at = sides.into_iter().take(count).map(|side| (side, rng.random_range(-0.5..0.5)));
            return Self { ears: at.collect(), screws: Vec::new() };
        }
        // In the corners, beside the long sides' middles, at an end's.
        let all = [[1.0, 1.0], [1.0, -1.0], [0.0, 1.0], [-0.1, -1.0], [-1.0, 1.0], [-1.0, -1.0]];
        let count = rng.random_range(1..=all.len());
        let mut near = |share: f64| share * rng.random_range(0.8..1.0);
        let screws = all.into_iter().take(count).map(|at| at.map(&mut near)).collect();
        Self { ears: Vec::new(), screws }
    }

    /// The family's text with them.
    fn stated(&self, family: &str) -> String {
        if !self.screws.is_empty() {
            return family.replace("rout: (", &format!("rout: (screws: {}, ", self.screws.len()));
        }
        if self.ears.is_empty() {
            return family.to_owned();
        }
        let sides: Vec<&str> = self.ears.iter().map(|(side, _)| side.name()).collect();
        family.replace("ear_recesses: true", &format!("ear_recesses: [{}]", sides.join(", ")))
    }
}

/// Narrower routs have no room for bosses beside the strings' row, mm.
const ROOM_FOR_BOSSES: f64 = 34.0;

/// The longest rout, mm.
const LONGEST: f64 = 228.0;

/// The longest distance that is believed of a caliper, mm.
const FURTHEST: f64 = 250.0;

/// True sizes of an instrument.
struct Sizes {
    strings: usize,
    spacing: f64,
    end: f64,
    width: f64,
    corner: f64,
    depth: f64,
    screw: f64,
    ears: bool,
    held: Held,
    ear: [f64; 3],
    channel: f64,
    height: f64,
    rod: [f64; 2],
    eyelet: f64,
    lead: f64,
}

impl Sizes {
    fn drawn(start: &Start, rng: &mut impl Rng) -> Self {
        let width = rng.random_range(22.0..55.0);
        Self {
            strings: start.strings,
            spacing: rng.random_range(7.0..(170.0 / (start.strings - 1) as f64).min(20.0)),
            end: rng.random_range(16.0..32.0),
            width,
            corner: [0.5, rng.random_range(0.5..width / 2.0), width / 2.0][rng.random_range(0..3)],
            depth: rng.random_range(12.0..30.0),
            screw: rng.random_range(2.0..4.0),
            ears: start.held.by_ears(),
            held: Held::default(),
            ear: [rng.random_range(7.0..20.0), rng.random_range(8.0..21.0), rng.random_range(0.2..4.0)],
            channel: rng.random_range(-15.0..15.0),
            height: rng.random_range(8.0..20.0),
            rod: [
                if start.pair { rng.random_range(1.5..3.5) } else { rng.random_range(3.0..6.4) },
                rng.random_range(9.0..22.0),
            ],
            eyelet: rng.random_range(1.4..2.6),
            lead: rng.random_range(1.5..4.5),
        }
    }

    fn gauge(n: usize) -> f64 {
        0.3 + 0.08 * n as f64
    }

    /// Where the middle of an ear is from its side's.
    fn ear_offset(&self, index: usize, length: f64) -> f64 {
        let Some((side, share)) = self.held.ears.get(index) else { return 0.0 };
        share * if side.is_end() { self.width / 2.0 } else { length / 2.0 }
    }

    /// Where a screw is from the rout's middle.
    fn screw(&self, number: usize, length: f64) -> [f64; 2] {
        if let Some(at) = self.held.screws.get(number - 1) {
            return [at[0] * (length / 2.0 - 7.5), at[1] * (self.width / 2.0 - 7.5)];
        }
        let Some((side, _)) = self.held.ears.get(number - 1) else { return [0.0, 0.0] };
        let along = self.ear_offset(number - 1, length);
        let beyond = self.ear[0] / 2.0;
        match side {
            Side::Treble => [length / 2.0 + beyond, along],
            Side::Bass => [-length / 2.0 - beyond, along],
            Side::Neck => [along, self.width / 2.0 + beyond],
            Side::Bridge => [along, -self.width / 2.0 - beyond],
        }
    }

    /// What the caliper shows for a quantity, with the word for how.
    fn read(&self, quantity: &str) -> (f64, &'static str) {
        let name = quantity.trim_start_matches("neck.").trim_start_matches("bridge.");
        // With an ear at each end it is still something that a caliper's readings are believed for.
        let row = self.spacing * (self.strings - 1) as f64;
        let end = self.end.min((LONGEST - row) / 2.0);
        let length = row + 2.0 * end;
        if let Some((a, b)) = name.strip_prefix("strings.").and_then(|n| n.split_once('-')) {
            let diameters = [a, b].map(|n| n.parse().map_or(0.0, Self::gauge));
            return (self.spacing + f64::midpoint(diameters[0], diameters[1]), ", how: strings_outer");
        }
        if let Some(n) = name.strip_prefix("strings.gauge.") {
            return (n.parse().map_or(0.0, Self::gauge), "");
        }
        if let Some((number, side)) = name.strip_prefix("screws.").and_then(|n| n.split_once('.')) {
            let [along, across] = self.screw(number.parse().unwrap_or(1), length);
            let to_middle = match side {
                "treble_side" => length / 2.0 - along,
                "bass_side" => length / 2.0 + along,
                "neck_side" => self.width / 2.0 - across,
                _ => self.width / 2.0 + across,
            };
            return (to_middle, ", how: outside");
        }
        let size = match name {
            "rout.length" => length,
            "rout.width" => self.width,
            "rout.corner_radius" => self.corner,
            "rout.depth" => self.depth,
            "screws.hole" => self.screw - 0.4,
            "screws.pitch" if self.ears => {
                return ((length + self.ear[0] + self.screw - 0.4).min(FURTHEST), ", how: holes_far");
            }
            "screws.pitch" => return (length - 12.0 + self.screw - 0.4, ", how: holes_far"),
            "ears.length" => self.ear[0],
            "ears.width" => self.ear[1],
            "ears.depth" => self.depth / 2.0,
            "ears.corner_radius" => self.ear[2],
            "channel.offset" => self.channel,
            "strings.bass_side" => return (end - Self::gauge(self.strings) / 2.0, ", how: string_near"),
            "strings.treble_side" => return (end - Self::gauge(1) / 2.0, ", how: string_near"),
            "scale" => 648.0,
            "rod.diameter" => self.rod[0],
            "rod.length" => self.rod[1],
            "eyelet.barrel" => self.eyelet,
            "eyelet.flange" => self.eyelet + 1.1,
            "screw.diameter" => self.screw,
            "screw.head" => self.screw * 1.9,
            "screw.head_height" => self.screw * 0.7,
            "lead.diameter" => self.lead,
            n if n.starts_with("strings.height") => self.height,
            other => unreachable!("no figure for {other}"),
        };
        (size, "")
    }
}
