//! Which coil comes closest to a pickup that was measured, in words.

use bobbinwright_coil::alike::{Candidate, Measured, Place, by_height, closest};

use bobbinwright_coil::bobbin::wound;
use bobbinwright_coil::on_bobbin::OnBobbin as Begun;
use bobbinwright_coil::rods::Rods;
use bobbinwright_coil::winding::{Bobbin, Packed, Resistance};
use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{Change, Way, with_change};
use bobbinwright_fit::Bought;
use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::coil::{Coil, End, Packing, Until, Wire};
use bobbinwright_spec::{Family, Hardware, Length, Position, Unit};

use super::ohms::kiloohms;

/// A coil that is nearer than this is as near as two pickups of one make.
const ALIKE: f64 = 1.5;
/// Another height is told of if it comes so much nearer.
const NEARER: f64 = 0.7;
/// Of so many wires, the closest ones on this bobbin, other heights are looked at, and of what comes of it so many are tried on the
/// whole family.
const WIRES: usize = 5;
const TRIED: usize = 8;

/// What comes closest on a position's bobbin, and what can't be reached; none where there is no such position.
pub fn aim(prepared: &Prepared, name: &str, measured: &Measured) -> Option<Vec<String>> {
    let mut both = prepared.family.positions.iter().zip(&prepared.positions);
    let (position, built) = both.find(|(position, _)| position.name == name)?;
    let unit = prepared.family.unit();
    let place = place(&prepared.family, position, &built.layout);
    let all = closest(&place, measured, position.wanted.coil.map(|coil| coil.wire));
    let Some(best) = all.iter().find(|one| one.has_room()) else {
        return Some(vec![no_room(name, &place, all.first(), unit)]);
    };
    let mut lines = vec![format!("{name}: closest is {}.", words(best, measured))];
    if let Some(nearest) = all.first().filter(|nearest| nearest.off < best.off) {
        lines.push(format!(
            "Closer still, but without room ({} of {}), is {}.",
            unit.shown(nearest.coil.build()),
            unit.shown(nearest.coil.bobbin.room),
            words(nearest, measured)
        ));
    }
    if best.off > ALIKE {
        lines.push(format!("Out of reach on this bobbin: {}.", out_of_reach(best, measured)));
    }
    if measured.figures() == 1 {
        lines.push("One figure alone comes out with any wire that has room; resistance and inductance together tell which.".to_owned());
    }
    if best.off > ALIKE {
        // On a higher bobbin another wire may be the one.
        let wires: Vec<Wire> = all.iter().take(WIRES).map(|one| one.wire).collect();
        lines.extend(height(prepared, position, (&place, &wires), best, measured));
    }
    lines.push(format!(
        "To wind it, write coil: (wire: {}, wind: turns({:.0})) for {name} into family.ron.",
        best.wire, best.coil.turns
    ));
    lines.push(taken(position, &place, unit));
    Some(lines)
}

/// Another height of the bobbin that brings it nearer, tried on the whole family; none where there is none.
fn height(
    prepared: &Prepared,
    position: &Position,
    (place, wires): (&Place, &[Wire]),
    best: &Candidate,
    measured: &Measured,
) -> Option<String> {
    let unit = prepared.family.unit();
    let nearer = by_height(place, measured, wires);
    let nearer = nearer.into_iter().filter(|(_, other)| other.off < best.off * NEARER);
    let nearer: Vec<_> = nearer.take(TRIED).collect();
    let tried = nearer.iter().filter_map(|(height, other)| {
        let rods = unit.rounded(place.rods.length + *height - place.bobbin.height);
        Some((*height, other, with_rods(prepared, position, rods, other)?))
    });
    let mut all: Vec<(Length, &Candidate, Way)> = tried.collect();
    // What spoils nothing comes first, of these what is nearest.
    all.sort_by_key(|(.., way)| way.turned.len());
    let Some((height, other, way)) = all.first() else {
        let (height, _) = nearer.first()?;
        let lower = if *height < place.bobbin.height { "A lower" } else { "A higher" };
        return Some(format!(
            "{lower} bobbin would come nearer, but nothing was found that makes room for one."
        ));
    };
    let of_all = if prepared.family.positions.len() > 1 { ", in all its bobbins" } else { "" };
    Some(format!(
        "With {} between the plates instead of {} ({}{of_all}; {}), it would be {}.",
        unit.shown(*height),
        unit.shown(place.bobbin.height),
        way.words(unit),
        way.turned_in_words(),
        words(other, measured)
    ))
}

/// Rods of another length in a family whose position has that coil on its bobbin.
fn with_rods(prepared: &Prepared, position: &Position, rods: Length, coil: &Candidate) -> Option<Way> {
    // What is aimed at is another coil than that on the bobbin.
    let mut family = prepared.family.clone().for_next_coils();
    let at = family.positions.iter().position(|p| p.name == position.name)?;
    if let Some(wanted) = &mut family.positions[at].wanted.coil {
        (wanted.wire, wanted.until) = (coil.wire, Until::Turns(coil.coil.turns));
    }
    let was = family.hardware.rod_length.value();
    let with_coil = Prepared::with_tried(family, prepared.tried.clone()).ok()?;
    let way =
        with_change(&with_coil, &position.name, Change::Bought { what: Bought::RodLength, now: rods, was })?;
    // A coil is not what anybody gives room for the strings up for.
    way.changes.iter().all(|change| change.path() != "seat.string_gap").then_some(way)
}

fn place(family: &Family, position: &Position, layout: &Layout) -> Place {
    let (wanted, hardware): (Option<Coil>, &Hardware) = (position.wanted.coil, &family.hardware);
    // As this winder packs, where a coil was begun here or measured.
    let begun = Begun::all(family).into_iter().find(|coil| coil.position == position.name);
    let stated = wanted.map(|coil| wound(layout, hardware, &coil, position.wanted.magnets).packing);
    let packing = begun.map(|coil| coil.follow.packed()).or(stated);
    Place {
        bobbin: Bobbin::of(layout, hardware, wanted.map_or(Length::ZERO, |coil| coil.tape)),
        rods: Rods::of(layout, hardware),
        alloy: position.wanted.magnets,
        packing: packing.unwrap_or_else(|| Packed::assumed(Packing::BY_HAND)),
        hot: wanted.map_or(End::default(), |coil| coil.hot),
        load: position.wanted.load,
    }
}

fn wire(wire: Wire) -> String {
    match wire {
        Wire::Gauge(gauge, film) => format!("AWG {} with {} film", gauge.number(), film.word()),
        Wire::Diameters(..) => wire.to_string(),
    }
}

/// `AWG 42 with single film, 8350 turns: 6.31 kΩ at 21 °C (6.20 kΩ measured), …`.
fn words(one: &Candidate, measured: &Measured) -> String {
    let mut all = vec![match measured.ohms {
        Some(ohms) => format!(
            "{} at {} °C ({} measured)",
            kiloohms(Resistance(one.ohms)),
            measured.celsius,
            kiloohms(Resistance(ohms))
        ),
        None => format!("{} at {} °C", kiloohms(Resistance(one.ohms)), measured.celsius),
    }];
    let henries = format!("{:.2} H with rods at {:.0} Hz", one.henries, measured.hertz);
    all.push(match measured.henries {
        Some(of) => format!("{henries} ({of:.2} H measured)"),
        None => henries,
    });
    if let Some(of) = measured.peak {
        all.push(format!("peak {:.1} kHz ({:.1} kHz measured)", one.peak / 1000.0, of / 1000.0));
    }
    let turns = measured.turns.map_or(String::new(), |of| format!(" ({of:.0} known)"));
    format!("{}, {:.0} turns{turns}: {}", wire(one.wire), one.coil.turns, all.join(", "))
}

/// By how much what comes closest misses each figure, where that is more than such figures are known.
fn out_of_reach(best: &Candidate, measured: &Measured) -> String {
    const TOLD: f64 = 0.03;
    let all = [
        ("resistance", measured.ohms, best.ohms),
        ("inductance", measured.henries, best.henries),
        ("peak", measured.peak, best.peak),
        ("number of turns", measured.turns, best.coil.turns),
    ];
    let of = |(what, wanted, made): (&str, Option<f64>, f64)| {
        let off = made / wanted? - 1.0;
        let way = if off < 0.0 { "under" } else { "over" };
        (off.abs() > TOLD)
            .then(|| format!("the {what} is {:.0} % {way} what was measured", 100.0 * off.abs()))
    };
    let told: Vec<String> = all.into_iter().filter_map(of).collect();
    if told.is_empty() { "all of it together, each by a little".to_owned() } else { told.join(", ") }
}

fn no_room(name: &str, place: &Place, nearest: Option<&Candidate>, unit: Unit) -> String {
    match nearest {
        None => format!("{name}: say what was measured: --ohms, --henries, --peak or --turns."),
        Some(nearest) => format!(
            "{name}: nothing like it has room: {} turns of {} would be {} thick, where {} is left. A wider cover or fewer turns would help.",
            nearest.coil.turns,
            wire(nearest.wire),
            unit.shown(nearest.coil.build()),
            unit.shown(place.bobbin.room)
        ),
    }
}

/// What is taken for granted of the measured pickup.
fn taken(position: &Position, place: &Place, unit: Unit) -> String {
    let alloy = match position.wanted.magnets {
        Some(alloy) => format!("of {}", alloy.word()),
        None => "of alnico that is not stated (magnets: alnico5 would say)".to_owned(),
    };
    format!(
        "Taken for granted: it has rods like these, {} of {} by {} {alloy}, and works into {}; and that {:.2} of the coil is wire.",
        place.rods.places.len(),
        unit.shown(place.rods.diameter),
        unit.shown(place.rods.length),
        bobbinwright_words::load(&place.load),
        place.packing.share
    )
}
