//! Which coil comes closest to a pickup that was measured, in words.

use bobbinwright_coil::alike::{Candidate, Measured, Place, better_height, closest};

use bobbinwright_coil::bobbin::wound;
use bobbinwright_coil::on_bobbin::OnBobbin as Begun;
use bobbinwright_coil::rods::Rods;
use bobbinwright_coil::winding::{Bobbin, Packed, Resistance};
use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::coil::{Coil, End, Packing, Wire};
use bobbinwright_spec::{Family, Hardware, Length, Position, Unit};

use super::ohms::kiloohms;

/// A coil that is nearer than this is as near as two pickups of one make.
const ALIKE: f64 = 1.5;
/// Another height is told of if it comes so much nearer.
const NEARER: f64 = 0.7;

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
    let height = better_height(&place, measured, best.wire);
    if let Some((height, other)) =
        height.filter(|(_, other)| best.off > ALIKE && other.off < best.off * NEARER)
    {
        lines.push(format!(
            "With {} between the plates instead of {}, and rods as much {}, it would be {}; whether cover and rout have room for that is not looked at.",
            unit.shown(height),
            unit.shown(place.bobbin.height),
            if height < place.bobbin.height { "shorter" } else { "longer" },
            words(&other, measured)
        ));
    }
    lines.push(format!(
        "To wind it, write coil: (wire: {}, wind: turns({:.0})) for {name} into family.ron.",
        best.wire, best.coil.turns
    ));
    lines.push(taken(position, &place, unit));
    Some(lines)
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
