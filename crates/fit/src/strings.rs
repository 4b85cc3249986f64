//! Strings over the cover and over their poles.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, Length, Origin, PartKind, Poles, SizeOf, capitalised, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::{Bought, Help};
use crate::kind::{CheckKind, Where};
use crate::{pose, screws};

pub(crate) fn check(bench: &mut Bench) {
    rout_floor(bench);
    height(bench);
    centred(bench);
}

/// Where ears carry the housing, the baseplate hangs over the rout's floor; a floor that is too high
/// would carry it instead, and lift the ears out of their recesses.
fn rout_floor(bench: &mut Bench) {
    let rout = &bench.position.rout;
    let (Some(_), Some(recess)) = (&bench.layout(PartKind::Cover).ears, &rout.ears) else { return };
    let lift = Estimate::exact(bench.position.wanted.seat.lift);
    let margin = rout.depth.clone() - recess.depth.clone() + lift;
    bench.enter(Draft {
        kind: CheckKind::RoutFloorUnderBaseplate,
        at: Where::Alike,
        title: "Rout's floor below the baseplate".into(),
        why: "The rout is shallower than the ear recesses, so the baseplate stands on its floor and the ears hang in the air.".into(),
        help: vec![Help::Dimension("seat.lift")],
        figures: vec![figure("rout depth", &rout.depth), figure("recess depth", &recess.depth)],
        margin,
        others: Vec::new(),
    });
}

/// The housing's top, or the rods where they stand higher, under the lowest string.
fn height(bench: &mut Bench) {
    let wanted = &bench.position.wanted;
    let floor = bench.printed(PartKind::Baseplate, SizeOf::Height);
    let cover = bench.printed(PartKind::Cover, SizeOf::Height);
    let rout = &bench.position.rout;
    // Ears rest on their recesses, or on the body's face where there are none; a cover on bosses
    // rests on the rout's floor.
    let depth = match (&bench.layout(PartKind::Cover).ears, &rout.ears) {
        (Some(_), Some(recess)) => recess.depth.clone(),
        (Some(_), None) => Estimate::exact(Length::ZERO),
        (None, _) => rout.depth.clone(),
    };
    let seat = Estimate::exact(wanted.seat.lift) - depth.clone();
    let cover_top = seat.clone() + floor.clone() + cover.clone();
    let rod = bench.family.hardware.rod_length.clone();
    let rod_top = seat.clone() + floor.clone() + rod.clone();
    let through = bench.layout(PartKind::Cover).wanted.cover.pole_hole.is_some();
    let gap = Estimate::exact(wanted.seat.string_gap);
    let strings = &bench.position.strings;
    let mut tops: Vec<_> = strings.iter().map(|s| (s, cover_top.clone(), "cover")).collect();
    if through {
        // Under each string there are rods of its own, which may stand out of the roof.
        let rods = bench.pieces_alike(&rod, strings.len());
        tops.extend(strings.iter().zip(rods).map(|(s, rod)| (s, seat.clone() + floor.clone() + rod, "rods")));
    }
    let all = tops.into_iter().map(|(s, top, what)| (s.height.clone() - top - gap.clone(), (s, what)));
    let Some((margin, (string, what), others)) = bench.least_likely(all) else { return };
    let top = if what == "rods" { rod_top } else { cover_top };
    bench.enter(Draft {
        kind: CheckKind::HeightUnderStrings,
        at: Where::String(string.number),
        title: format!("{} under the strings, tightest under string {}", capitalised(what), string.number),
        why: sentence!(
            "The {} stand{} too high under string {}.",
            what,
            if what == "cover" { "s" } else { "" },
            string.number.to_string()
        ),
        help: if what == "cover" {
            vec![
                Help::Dimension("cover.height"),
                Help::Dimension("seat.lift"),
                Help::Dimension("baseplate.thickness"),
                Help::Dimension("seat.string_gap"),
            ]
        } else {
            vec![
                Help::Dimension("seat.lift"),
                Help::Dimension("baseplate.thickness"),
                Help::Dimension("seat.string_gap"),
                Help::Bought(Bought::RodLength),
            ]
        },
        figures: vec![
            figure(format!("string {} over the face", string.number), &string.height),
            figure(format!("top of the {what} over the face"), &top),
            figure("depth of the seat", &depth),
            figure("lift", &wanted.seat.lift.into()),
            figure("wanted gap", &gap),
        ],
        margin,
        others,
    });
}

/// Each string over its pole, or between its two.
fn centred(bench: &mut Bench) {
    let rod = bench.family.hardware.rod_diameter.clone();
    // The cover may lie wherever rout and screws let it, and the bobbin anywhere within its play: the rods in the
    // roof's holes, or under a closed roof the plates in the hollow.
    let (cover, plate) = (bench.layout(PartKind::Cover), bench.layout(PartKind::FlatworkTop));
    let plays = screws::plays(bench, PartKind::Cover);
    let row = Length::from_mm(plate.row);
    let pose::Lies { middle: middle_of_play, play: play_of_cover, at: shift } =
        pose::Lies::of(bench, &plays, [0.0, plate.row], [1.0, 0.0]);
    let loose = match cover.wanted.cover.pole_hole {
        Some(hole) => (hole - rod.value()) / 2.0,
        None => cover.room_for_plates() - plate.plate.length / 2.0,
    };
    let loose = loose.max(Length::ZERO);
    let bobbin = bench.spread(Length::ZERO, loose, Origin::Assumed);
    let print = bench.unread(PartKind::FlatworkTop, Length::ZERO, Made::Between(Axis::X)) * 0.5;
    let poles = &plate.poles;
    let strings = bench.position.strings.clone();
    let treble = bench.position.handed.treble();
    // What is beside a string is square to it, and places are along a row that may be slanted.
    let across = bench.position.slant.as_radians().cosine();
    let off = |place: &Estimate, middle: f64| {
        let d = (place.clone() - shift.clone()) * treble - Estimate::exact(Length::from_mm(middle));
        (d + bobbin.clone() + print.clone()) * across
    };
    let n = strings.len();
    let (a_string, between) = match plate.wanted.poles {
        Poles::Single => (1, false),
        Poles::Pair { .. } => (2, true),
    };
    if poles.len() != n * a_string {
        return made_for_others(bench, &format!("for {} strings", poles.len() / a_string));
    }
    if between != matches!(bench.position.wanted.poles, Poles::Pair { .. }) {
        return made_for_others(
            bench,
            if between { "for two rods a string" } else { "for one rod a string" },
        );
    }
    if plate.handed != bench.position.handed {
        // The mark in their end would tell the wrong one.
        return made_for_others(bench, "for the other hand");
    }
    let rods = bench.pieces_alike(&rod, poles.len());
    // Poles run from bass to treble, strings from treble to bass.
    let all = strings.iter().flat_map(|s| {
        let left = a_string * (n - s.number);
        let (play, middle) = match plate.wanted.poles {
            Poles::Single => ([left, left].map(|i| rods[i].clone() * 0.5), poles[left].x),
            Poles::Pair { spread } => {
                let clear = |rod: &Estimate| {
                    Estimate::exact(spread * 0.5 * across) - rod.clone() * 0.5 - s.gauge.clone() * 0.5
                };
                let sides = [left, left + 1].map(|i| clear(&rods[i]));
                (sides, f64::midpoint(poles[left].x, poles[left + 1].x))
            }
        };
        let off = off(&s.at(row), middle);
        let [to_left, to_right] = play;
        [(to_left + off.clone(), s.number), (to_right - off, s.number)]
    });
    let Some((margin, number, others)) = bench.least_likely(all) else { return };
    let string = &strings[number - 1];
    let (kind, title) = if between {
        let title = format!("Strings between their two poles, tightest at string {number}");
        (CheckKind::StringBetweenPoles, title)
    } else {
        (CheckKind::StringOverPole, format!("Strings over their poles, tightest at string {number}"))
    };
    bench.enter(Draft {
        kind,
        at: Where::String(number),
        title,
        why: if between {
            sentence!("String {} may come over one of its rods.", number.to_string())
        } else {
            sentence!("String {} may lie beside its rod: read where it lies again.", number.to_string())
        },
        help: if between {
            vec![Help::Dimension("poles.spread"), Help::OneRod, Help::Bought(Bought::RodDiameter)]
        } else {
            vec![Help::Bought(Bought::RodDiameter)]
        },
        figures: vec![
            figure(format!("string {number} from the rout's middle"), &string.at(row)),
            figure(format!("diameter of string {number}"), &string.gauge),
            figure("rod diameter", &rod),
            figure("play of the cover either way", &play_of_cover.into()),
            figure("middle of that play, from the rout's middle towards treble", &middle_of_play),
            figure("play of the bobbin", &loose.into()),
        ],
        margin,
        others,
    });
}

/// Plates that were made for something else than what is wanted; their rods are nowhere near.
fn made_for_others(bench: &mut Bench, what: &str) {
    bench.enter(Draft {
        kind: CheckKind::StringBetweenPoles,
        at: Where::Alike,
        title: format!("Strings and poles: the plates were made {what}"),
        margin: Estimate::exact(Length::from_mm(-1.0)),
        others: Vec::new(),
        figures: Vec::new(),
        why: "Their rods are nowhere near the strings.".into(),
        help: vec![Help::PrintAgain],
    });
}
