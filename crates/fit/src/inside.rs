//! Flatwork, bobbin and eyelets inside the hollow.

use bobbinwright_geometry::parts::PlateShape;
use bobbinwright_kernel::plane::{Contour, Point, contour_distance};
use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, Length, PartKind, SizeOf, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::{Bought, Help};
use crate::kind::{CheckKind, Where};

pub(crate) fn check(bench: &mut Bench) {
    flatwork(bench);
    bobbin(bench);
    eyelets(bench);
    lip(bench);
}

/// A room that the flatwork must stay in: its outer border, the bosses that stand free in it, and the part
/// that it belongs to.
struct Room {
    outer: Contour,
    bosses: Vec<Contour>,
    of: PartKind,
}

impl Room {
    /// Distance of an outline from the room's borders; negative by how far its worst place lies outside
    /// the room or a boss reaches into it.
    fn clearance(&self, outline: &Contour) -> f64 {
        clearance(outline, &self.outer, &self.bosses)
    }
}

/// The rooms that the flatwork must stay in: inside the lip, or the hollow where there is none; both when
/// they may not go together. None where there is no such room; the part has been refused then.
fn rooms(bench: &Bench) -> Vec<Room> {
    let room = |of: PartKind, inwards: Length| {
        let (outer, bosses) = bench.layout(of).single_hollow(inwards)?;
        Some(Room { outer, bosses, of })
    };
    let lip = bench.layout(PartKind::Baseplate).wanted.baseplate.lip;
    let inside_lip = lip.and_then(|l| room(PartKind::Baseplate, l.gap + l.wall));
    let with_hollow = lip.is_none() || bench.is_mixed();
    let hollow = with_hollow.then(|| room(PartKind::Cover, Length::ZERO)).flatten();
    inside_lip.into_iter().chain(hollow).collect()
}

/// The plates against hollow, bosses and lip. Both are printed, so each side's play has a share of
/// both errors.
fn flatwork(bench: &mut Bench) {
    let rooms = rooms(bench);
    let Some(first) = rooms.first() else { return };
    let inner = if first.of == PartKind::Baseplate { "lip" } else { "hollow" };
    let plate = bench.layout(PartKind::FlatworkBottom).plate;
    let Some((margin, (), others)) = bench.least_likely_of_plates(&rooms) else { return };
    let short = bench.short(&margin, &others);
    let parameter = what_makes_room(bench, &rooms, short);
    bench.enter(Draft {
        kind: CheckKind::FlatworkInHollow,
        at: Where::Alike,
        title: format!("Flatwork and coil space inside the {inner}, clear of bosses and corners"),
        why: sentence!("The plates are too large for the {}.", inner),
        help: vec![Help::Dimension(parameter), Help::Dimension("flatwork.corner_radius")],
        figures: vec![
            figure("plate length", &plate.length.into()),
            figure("plate width", &plate.width.into()),
            figure("plate corner radius", &plate.corner_radius.into()),
        ],
        margin,
        others,
    });
}

/// The dimension that makes plates smaller where they are too large: the play, unless length or width are stated; of
/// these the one that leaves more room.
fn what_makes_room(bench: &Bench, rooms: &[Room], short: Length) -> &'static str {
    let layout = bench.layout(PartKind::FlatworkBottom);
    let (shape, wanted) = (layout.plate, &layout.wanted.flatwork);
    let less = short * 2.0;
    let room = |length: Length, width: Length| {
        let outline = layout.plate_outline(PlateShape { length, width, ..shape });
        rooms.iter().map(|r| r.clearance(&outline)).fold(f64::INFINITY, f64::min)
    };
    let (length, width) = (shape.length, shape.width);
    match (wanted.length, wanted.width) {
        (None, None) => "flatwork.play",
        (Some(_), None) => "flatwork.length",
        (None, Some(_)) => "flatwork.width",
        (Some(_), Some(_)) if room(length - less, width) > room(length, width - less) => "flatwork.length",
        (Some(_), Some(_)) => "flatwork.width",
    }
}

impl Bench<'_> {
    /// Play of the plates in the rooms, from what it would be at the wanted sizes: half of what a room is
    /// wider and half of what a plate is narrower; the length's too where it can be read.
    fn least_likely_of_plates(&mut self, rooms: &[Room]) -> Option<(Estimate, (), Vec<Estimate>)> {
        let mut all = Vec::new();
        for plate in [PartKind::FlatworkBottom, PartKind::FlatworkTop] {
            let layout = self.layout(plate);
            let outline = layout.plate_outline(layout.plate);
            for room in rooms {
                let wanted = Estimate::exact(Length::from_mm(room.clearance(&outline)));
                for (inner, size) in self.inner_sizes(room.of) {
                    let inner = self.error(room.of, inner) * 0.5;
                    let plate = self.error(plate, size) * 0.5;
                    all.push((wanted.clone() + inner - plate, ()));
                }
            }
        }
        self.least_likely(all)
    }

    /// The sizes of a room, and those of what lies in it. Along the strings it ends at the bosses round the
    /// screws where there are any.
    fn inner_sizes(&self, of: PartKind) -> Vec<(SizeOf, SizeOf)> {
        let (wide, long) = match of {
            PartKind::Baseplate => (SizeOf::LipWidth, SizeOf::LipLength),
            _ => (SizeOf::HollowWidth, SizeOf::HollowLength),
        };
        let layout = self.layout(of);
        let between_bosses =
            layout.boss.is_some() && layout.two_screws().is_some() && layout.reliefs.is_empty();
        let long = if between_bosses { SizeOf::ScrewPitch } else { long };
        let both = vec![(wide, SizeOf::Width), (long, SizeOf::Length)];
        if self.is_separate() { both } else { both[..1].to_vec() }
    }
}

/// Distance of an outline from the room's borders; negative by how far its worst place lies outside
/// the room or a boss reaches into it.
fn clearance(outline: &Contour, outer: &Contour, bosses: &[Contour]) -> f64 {
    let places = |c: &Contour| -> Vec<Point> {
        c.segments().iter().flat_map(|s| [0.0, 0.25, 0.5, 0.75].map(|t| s.at(t))).collect()
    };
    let mut worst: f64 = 0.0;
    for p in places(outline) {
        let into_bosses = bosses.iter().map(|b| -b.depth_of(p)).fold(0.0, f64::min);
        worst = worst.min(outer.depth_of(p)).min(into_bosses);
    }
    for p in bosses.iter().flat_map(places) {
        worst = worst.min(-outline.depth_of(p));
    }
    if worst < 0.0 {
        return worst;
    }
    let borders = std::iter::once(outer).chain(bosses);
    borders.map(|c| contour_distance(outline, c)).fold(f64::INFINITY, f64::min)
}

/// Rods and plates under the roof. Under a closed roof the whole rod must find room; where the
/// rods pass through it, only the upper plate.
fn bobbin(bench: &mut Bench) {
    let hollow = bench.printed(PartKind::Cover, SizeOf::HollowDepth);
    let rod = bench.family.hardware.rod_length.clone();
    let open = bench.layout(PartKind::Cover).wanted.cover.pole_hole.is_some();
    let top = bench.layout(PartKind::FlatworkTop);
    let (above, what) =
        if open { (top.wanted.flatwork.rod_above, "upper plate") } else { (Length::ZERO, "rods") };
    // Every single one; the upper plate stands on the longest.
    let rods = bench.pieces_alike(&rod, top.poles.len());
    let room = |rod: Estimate| (hollow.clone() - rod + Estimate::exact(above), ());
    let Some((margin, (), others)) = bench.least_likely(rods.into_iter().map(room)) else { return };
    let short = bench.short(&margin, &others);
    let instead = if open { Help::Dimension("flatwork.rod_above") } else { Help::Bought(Bought::RodLength) };
    bench.enter(Draft {
        kind: CheckKind::BobbinUnderRoof,
        at: Where::Alike,
        title: format!("Bobbin under the roof: its {what}"),
        why: sentence!("The hollow is too low for the {} by {}.", what, short),
        help: vec![Help::Dimension("cover.height"), instead],
        figures: vec![
            figure("height of the hollow", &hollow),
            figure("rod length", &rod),
            figure("room for the coil", &top.coil_height.into()),
        ],
        margin,
        others,
    });
}

/// The eyelets' flanges inside the hollow and clear of the rods (a flange that touches a rod may
/// short the coil), their barrels through the holes.
fn eyelets(bench: &mut Bench) {
    let hardware = &bench.family.hardware;
    let flange = hardware.eyelet_flange.clone();
    let rod = hardware.rod_diameter.clone();
    let rooms = rooms(bench);
    let bottom = bench.layout(PartKind::FlatworkBottom);
    let place = bench.unread(PartKind::FlatworkBottom, Length::ZERO, Made::Between(Axis::X)) * 0.5;
    let exact = |v: f64| Estimate::exact(Length::from_mm(v));
    let flanges = bench.pieces_alike(&flange, 2);
    let rods = bench.pieces_alike(&rod, bottom.poles.len());
    let mut all = Vec::new();
    for (eyelet, flange) in bottom.eyelets.into_iter().zip(&flanges) {
        let half = flange.clone() * 0.5;
        for room in &rooms {
            all.push((exact(room.outer.depth_of(eyelet)) - half.clone(), "the hollow's wall"));
            for boss in &room.bosses {
                all.push((exact(-boss.depth_of(eyelet)) - half.clone(), "a boss"));
            }
        }
        for (pole, rod) in bottom.poles.iter().zip(&rods) {
            let apart = exact((pole - eyelet).norm());
            all.push((apart - half.clone() - rod.clone() * 0.5, "a rod"));
        }
    }
    let [first, second] = bottom.eyelets;
    let both = flanges.iter().fold(Estimate::default(), |sum, flange| sum + flange.clone() * 0.5);
    all.push((exact((first - second).norm()) - both, "each other"));
    let all = all.into_iter().map(|(m, of)| (m + place.clone(), of));
    let Some((margin, near, others)) = bench.least_likely(all) else { return };
    bench.enter(Draft {
        kind: CheckKind::EyeletsClear,
        at: Where::Alike,
        title: format!("Eyelet flanges clear, tightest to {near}"),
        why: sentence!("An eyelet's flange is too near to {}, by {}.", near, bench.short(&margin, &others)),
        help: vec![
            Help::Dimension("flatwork.eyelets.inset"),
            Help::Dimension("flatwork.eyelets.spread"),
            Help::Dimension("row.offset"),
            Help::Bought(Bought::EyeletFlange),
        ],
        figures: vec![figure("eyelet flange", &flange), figure("rod diameter", &rod)],
        margin,
        others,
    });
    let hole = bench.printed(PartKind::FlatworkBottom, SizeOf::EyeletHole);
    let barrel = bench.family.hardware.eyelet_barrel.clone();
    let barrels = bench.pieces_alike(&barrel, 2);
    let plays = barrels.into_iter().map(|barrel| (hole.clone() - barrel, ()));
    let Some((margin, (), others)) = bench.least_likely(plays) else { return };
    bench.enter(Draft {
        kind: CheckKind::EyeletThroughHole,
        at: Where::Alike,
        title: "Both eyelets through their holes".into(),
        why: "The eyelets' barrels are too thick for their holes.".into(),
        help: vec![Help::Dimension("flatwork.eyelets.hole")],
        figures: vec![figure("eyelet barrel", &barrel), figure("eyelet hole", &hole)],
        margin,
        others,
    });
    let widest = bench.widest(PartKind::FlatworkBottom, SizeOf::EyeletHole);
    flange_bears(bench, &widest);
}

/// How far an eyelet's flange must bear beside its hole all round (common practice).
const BEARING: Length = Length::from_mm(0.15);

/// A flange that its hole lets through holds no eyelet.
fn flange_bears(bench: &mut Bench, hole: &Estimate) {
    let flange = bench.family.hardware.eyelet_flange.clone();
    let flanges = bench.pieces_alike(&flange, 2);
    let bears = |flange: Estimate| ((flange - hole.clone()) * 0.5 - Estimate::exact(BEARING), ());
    let Some((margin, (), others)) = bench.least_likely(flanges.into_iter().map(bears)) else { return };
    bench.enter(Draft {
        kind: CheckKind::FlangeOverHole,
        at: Where::Alike,
        title: "Both eyelets' flanges bear on the plate all round their holes".into(),
        why: "The flanges are hardly wider than their holes.".into(),
        help: vec![Help::Dimension("flatwork.eyelets.hole"), Help::Bought(Bought::EyeletFlange)],
        figures: vec![
            figure("eyelet flange", &flange),
            figure("eyelet hole", hole),
            figure("to bear on all round", &BEARING.into()),
        ],
        margin,
        others,
    });
}

/// The baseplate's lip in the hollow.
fn lip(bench: &mut Bench) {
    let Some(gap) = lip_gap(bench) else { return };
    let sides = [(SizeOf::HollowWidth, SizeOf::LipWidth), (SizeOf::HollowLength, SizeOf::LipLength)];
    let sides = if bench.is_separate() { &sides[..] } else { &sides[..1] };
    let plays: Vec<(Estimate, ())> = sides
        .iter()
        .map(|(hollow, ring)| {
            let hollow = bench.error(PartKind::Cover, *hollow) * 0.5;
            let ring = bench.error(PartKind::Baseplate, *ring) * 0.5;
            (Estimate::exact(gap) + hollow - ring, ())
        })
        .collect();
    let Some((margin, (), others)) = bench.least_likely(plays) else { return };
    bench.enter(Draft {
        kind: CheckKind::LipInHollow,
        at: Where::Alike,
        title: "Baseplate's lip in the cover's hollow".into(),
        why: "The lip is too tight in the hollow.".into(),
        help: vec![Help::Dimension("baseplate.lip.gap")],
        figures: vec![figure("lip gap", &gap.into())],
        margin,
        others,
    });
    let height = bench.printed(PartKind::Baseplate, SizeOf::LipHeight);
    let hollow = bench.printed(PartKind::Cover, SizeOf::HollowDepth);
    let margin = hollow.clone() - height.clone();
    bench.enter(Draft {
        kind: CheckKind::LipUnderRoof,
        at: Where::Alike,
        title: "Baseplate's lip under the roof".into(),
        why: "The lip is too high for the hollow.".into(),
        help: vec![Help::Dimension("baseplate.lip.height")],
        figures: vec![figure("lip height", &height), figure("height of the hollow", &hollow)],
        margin,
        others: Vec::new(),
    });
}

/// The gap between lip and hollow all round; none without a lip. In parts of one build it is the wanted one;
/// of two builds the borders may lie anywhere to each other.
fn lip_gap(bench: &Bench) -> Option<Length> {
    let (cover, base) = (bench.layout(PartKind::Cover), bench.layout(PartKind::Baseplate));
    let lip = base.wanted.baseplate.lip?;
    if std::ptr::eq(cover, base) {
        return Some(lip.gap);
    }
    let (hollow, bosses) = cover.single_hollow(Length::ZERO)?;
    let (outer, rings) = base.single_hollow(lip.gap)?;
    let around = clearance(&outer, &hollow, &[]);
    // A boss that stands free needs a ring round it.
    let beside = |boss: &Contour| {
        let inside = rings.iter().map(|ring| clearance(boss, ring, &[]));
        inside.fold(f64::NEG_INFINITY, f64::max)
    };
    let least = bosses.iter().map(beside).fold(around, f64::min);
    // Without a ring the boss stands on the lip; any distance that clashes says so.
    Some(Length::from_mm(if least.is_finite() { least } else { -1.0 }))
}
