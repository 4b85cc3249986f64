//! Flatwork, bobbin and eyelets inside the hollow.

use bobbinwright_geometry::plane::{Contour, Point, contour_distance};
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, Length, PartKind, SizeOf};

use crate::bench::{Bench, Draft, figure};

pub(crate) fn check(bench: &mut Bench) {
    flatwork(bench);
    bobbin(bench);
    eyelets(bench);
    lip(bench);
}

/// What the flatwork must keep clear of: the outer border of the room inside lip or hollow, and the
/// bosses that stand free in it. None where there is no such room; the part has been refused then.
fn room(bench: &Bench) -> Option<(Contour, Vec<Contour>)> {
    let lip = bench.layout.wanted.baseplate.lip.map_or(Length::ZERO, |l| l.gap + l.wall);
    bench.layout.single_hollow(lip)
}

/// The plates against hollow, bosses and lip. Both are printed, so each side's play has a share of
/// both errors.
fn flatwork(bench: &mut Bench) {
    let plate = bench.layout.plate;
    let outline = Contour::rounded_rectangle(
        Point::origin(),
        plate.length.as_mm(),
        plate.width.as_mm(),
        plate.corner_radius.as_mm(),
    );
    let Some((outer, bosses)) = room(bench) else { return };
    let value = clearance(&outline, &outer, &bosses);
    let Some((margin, (), others)) = bench.least_likely_of_plates(value) else { return };
    let inner = if bench.layout.wanted.baseplate.lip.is_some() { "lip" } else { "hollow" };
    bench.enter(Draft {
        name: "flatwork-in-hollow",
        title: format!("Flatwork and coil space inside the {inner}, clear of bosses and corners"),
        advice: format!(
            "The plates are too large: make flatwork.play larger by {}, or flatwork.corner_radius larger if only the corners meet.",
            bench.short(&margin, &others)
        ),
        figures: vec![
            figure("plate length", &plate.length.into()),
            figure("plate width", &plate.width.into()),
            figure("plate corner radius", &plate.corner_radius.into()),
        ],
        margin,
        others,
        parameter: Some("flatwork.play"),
    });
}

impl Bench<'_> {
    /// Play of the plates in the room, from what it would be at the wanted sizes: half of what the hollow
    /// is wider and half of what a plate is narrower; the length's too where it can be read.
    fn least_likely_of_plates(&mut self, wanted: f64) -> Option<(Estimate, (), Vec<Estimate>)> {
        // The room ends at the lip where there is one, and along the strings at the bosses round the screws.
        let (around, wide, long) = match self.layout.wanted.baseplate.lip {
            Some(_) => (PartKind::Baseplate, SizeOf::LipWidth, SizeOf::LipLength),
            None => (PartKind::Cover, SizeOf::HollowWidth, SizeOf::HollowLength),
        };
        let long = if self.layout.boss.is_some() { SizeOf::ScrewPitch } else { long };
        let both = [(wide, SizeOf::Width), (long, SizeOf::Length)];
        let ways = if self.of_pieces { &both[..] } else { &both[..1] };
        let mut all = Vec::new();
        for plate in self.plates() {
            for (room, size) in ways {
                let room = self.error(around, *room) * 0.5;
                let plate = self.error(*plate, *size) * 0.5;
                all.push((Estimate::exact(Length::from_mm(wanted)) + room - plate, ()));
            }
        }
        self.least_likely(all)
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
    let wanted = &bench.layout.wanted;
    let hollow = bench.printed(PartKind::Cover, SizeOf::HollowDepth);
    let rod = bench.family.hardware.rod_length.clone();
    let open = wanted.cover.pole_hole.is_some();
    let (needed, what) = if open {
        (rod.clone() - Estimate::exact(wanted.flatwork.rod_above), "upper plate")
    } else {
        (rod.clone(), "rods")
    };
    let margin = hollow.clone() - needed.clone();
    bench.enter(Draft {
        name: "bobbin-under-roof",
        title: format!("Bobbin under the roof: its {what}"),
        advice: format!(
            "The hollow is too low for the {what} by {}: make cover.height larger{}.",
            bench.short(&margin, &[]),
            if open { ", or flatwork.rod_above larger" } else { ", or use shorter rods" }
        ),
        figures: vec![
            figure("height of the hollow", &hollow),
            figure("rod length", &rod),
            figure("room for the coil", &bench.layout.coil_height.into()),
        ],
        margin,
        others: Vec::new(),
        parameter: Some("cover.height"),
    });
}

/// The eyelets' flanges inside the hollow and clear of the rods (a flange that touches a rod may
/// short the coil), their barrels through the holes.
fn eyelets(bench: &mut Bench) {
    let hardware = &bench.family.hardware;
    let flange = hardware.eyelet_flange.clone();
    let rod = hardware.rod_diameter.clone();
    let Some((outer, bosses)) = room(bench) else { return };
    let place = bench.unread(Length::ZERO, Made::Depth) * 0.5;
    let exact = |v: f64| Estimate::exact(Length::from_mm(v));
    let mut all = Vec::new();
    for eyelet in bench.layout.eyelets {
        all.push((exact(outer.depth_of(eyelet)) - flange.clone() * 0.5, "the hollow's wall"));
        for boss in &bosses {
            all.push((exact(-boss.depth_of(eyelet)) - flange.clone() * 0.5, "a boss"));
        }
        for pole in &bench.layout.poles {
            let apart = exact((pole - eyelet).norm());
            all.push((apart - flange.clone() * 0.5 - rod.clone() * 0.5, "a rod"));
        }
    }
    let [first, second] = bench.layout.eyelets;
    all.push((exact((first - second).norm()) - flange.clone(), "each other"));
    let all = all.into_iter().map(|(m, of)| (m + place.clone(), of));
    let Some((margin, near, others)) = bench.least_likely(all) else { return };
    bench.enter(Draft {
        name: "eyelets-clear",
        title: format!("Eyelet flanges clear, tightest to {near}"),
        advice: format!(
            "An eyelet's flange is too near to {near}, by {}: change flatwork.eyelets.inset or flatwork.eyelets.spread.",
            bench.short(&margin, &others)
        ),
        figures: vec![figure("eyelet flange", &flange), figure("rod diameter", &rod)],
        margin,
        others,
        parameter: Some("flatwork.eyelets.inset"),
    });
    let hole = bench.printed(PartKind::FlatworkBottom, SizeOf::EyeletHole);
    let barrel = bench.family.hardware.eyelet_barrel.clone();
    let margin = hole.clone() - barrel.clone();
    bench.enter(Draft {
        name: "eyelet-through-hole",
        title: "Eyelet through its hole".into(),
        advice: format!("Make flatwork.eyelets.hole larger by {}.", bench.short(&margin, &[])),
        figures: vec![figure("eyelet barrel", &barrel), figure("eyelet hole", &hole)],
        margin,
        others: Vec::new(),
        parameter: Some("flatwork.eyelets.hole"),
    });
}

/// The baseplate's lip in the hollow.
fn lip(bench: &mut Bench) {
    let Some(lip) = bench.layout.wanted.baseplate.lip else { return };
    let sides = [(SizeOf::HollowWidth, SizeOf::LipWidth), (SizeOf::HollowLength, SizeOf::LipLength)];
    // Both ways are wanted alike, and a check is about one of them until they can be read.
    let sides = if bench.of_pieces { &sides[..] } else { &sides[..1] };
    let plays: Vec<(Estimate, ())> = sides
        .iter()
        .map(|(hollow, ring)| {
            let hollow = bench.error(PartKind::Cover, *hollow) * 0.5;
            let ring = bench.error(PartKind::Baseplate, *ring) * 0.5;
            (Estimate::exact(lip.gap) + hollow - ring, ())
        })
        .collect();
    let Some((margin, (), others)) = bench.least_likely(plays) else { return };
    bench.enter(Draft {
        name: "lip-in-hollow",
        title: "Baseplate's lip in the cover's hollow".into(),
        advice: format!("Make baseplate.lip.gap larger by {}.", bench.short(&margin, &others)),
        figures: vec![figure("lip gap", &lip.gap.into())],
        margin,
        others,
        parameter: Some("baseplate.lip.gap"),
    });
    let height = bench.printed(PartKind::Baseplate, SizeOf::LipHeight);
    let hollow = bench.printed(PartKind::Cover, SizeOf::HollowDepth);
    let margin = hollow.clone() - height.clone();
    bench.enter(Draft {
        name: "lip-under-roof",
        title: "Baseplate's lip under the roof".into(),
        advice: format!("Make baseplate.lip.height smaller by {}.", bench.short(&margin, &[])),
        figures: vec![figure("lip height", &height), figure("height of the hollow", &hollow)],
        margin,
        others: Vec::new(),
        parameter: Some("baseplate.lip.height"),
    });
}
