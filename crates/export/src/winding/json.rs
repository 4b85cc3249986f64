//! Coils for other programs.

use bobbinwright_coil::magnet::at_strings::AtString;
use bobbinwright_coil::magnet::evening::{Bound, Evening, Remedy};
use bobbinwright_coil::magnet::output::Level;
use bobbinwright_spec::Length;
use bobbinwright_spec::magnets::Alloy;
use serde_json::{Value, json};

use super::response::{BESIDE, notes};
use super::together;
use super::{Magnets, Winding};

pub(super) fn positions(windings: &[Winding]) -> Value {
    json!({ "positions": windings.iter().map(winding).collect::<Vec<_>>(), "together": together::json(windings) })
}

/// Lengths in mm, the rest in SI units as its name says.
fn winding(winding: &Winding) -> Value {
    let (coil, load) = (&winding.coil, &winding.position.wanted.load);
    let [least, expected, most] = winding.resistance().map(|r| r.0);
    let peak = winding.response.peak();
    let wired = &winding.spread.expected;
    let levels = winding.response.levels(notes(), BESIDE);
    let notes: Vec<Value> = notes()
        .zip(levels)
        .map(|(hertz, level)| {
            json!({
                "hertz": hertz,
                "ohms": wired.losing(hertz),
                "henries": wired.inductance_at(hertz).0,
                "decibels": band(level),
            })
        })
        .collect();
    json!({
        "name": winding.position.name,
        "verdict": winding.verdict().word(),
        "turns": coil.turns,
        "most_turns": coil.most_turns(),
        "turning": winding.wanted.turning.word(),
        "start": winding.wanted.start.word(),
        "hot": winding.wanted.hot.word(),
        "copper_mm": coil.wire.bare.nominal.as_mm(),
        "over_film_mm": coil.wire.overall.nominal.as_mm(),
        "packing": coil.packing.share,
        "core": {
            "span_mm": coil.bobbin.core.span.as_mm(),
            "radius_mm": coil.bobbin.core.radius.as_mm(),
            "height_mm": coil.bobbin.height.as_mm(),
            "from_rods_foot_mm": winding.layout.wanted.flatwork.bottom.as_mm(),
        },
        "build_mm": coil.build().as_mm(),
        "room_mm": coil.bobbin.room.as_mm(),
        "mean_turn_mm": coil.mean_turn().as_mm(),
        "wire_m": coil.wire_length(),
        "copper_g": coil.mass(),
        "celsius": winding.celsius,
        "ohms": { "least": least, "expected": expected, "most": most },
        "henries": {
            "without_rods": winding.spread.empty.0,
            "with_rods": band(winding.spread.low().map(|l| l.0)),
            "at_1_khz": winding.spread.reads(1000.0).map(|all| band(all.map(|l| l.0))),
        },
        "load": {
            "cable_farads": load.cable.0,
            "volume_ohms": load.volume.0,
            "tone_ohms": load.tone.map(|t| t.0.0),
            "capacitor_farads": load.tone.map(|t| t.1.0),
            "input_ohms": load.input.0,
        },
        "own_farads": { "least": winding.spread.capacitances()[0].0, "expected": wired.winding.0, "most": winding.spread.capacitances()[1].0 },
        "peak": { "hertz": band(peak.map(|p| p.hertz)), "decibels": band(peak.map(|p| p.decibels)) },
        "notes": notes,
        "magnets": winding.magnets.as_ref().map(|m| magnets(winding, m)),
        "wound": winding.on_bobbin.as_ref().map(|w| w.json(winding.celsius)),
    })
}

fn band([least, expected, most]: [f64; 3]) -> Value {
    json!({ "least": least, "expected": expected, "most": most })
}

fn magnets(winding: &Winding, magnets: &Magnets) -> Value {
    let row = &magnets.row;
    let rods: Vec<Value> =
        row.places.iter().map(|p| json!({ "along_mm": p.along.as_mm(), "top_mm": p.top.as_mm() })).collect();
    let read = |s: &AtString| winding.position.strings.iter().find(|at| at.number == s.number);
    let string = |s: &AtString| {
        json!({
            "number": s.number,
            "along_mm": read(s).map(|at| winding.position.handed.x(winding.position.over_rods(at).value())),
            "gauge_mm": read(s).map(|at| at.gauge.value().as_mm()),
            "above_rods_mm": s.above.as_mm(),
            "tesla": s.field.0,
            "decibels": s.levels.map(|l| l.0),
            "counts_mm": s.counts.middle(),
            "decibels_for_all_makes": { "least": s.range[0].0, "most": s.range[1].0 },
            "aside_mm": s.aside.as_mm(),
            "by_aside_decibels": s.by_aside.0,
            "heard_from_mm": s.heard_from.map(Length::as_mm),
        })
    };
    json!({
        "alloy": winding.position.wanted.magnets.map(Alloy::word),
        "rod_diameter_mm": row.rod.diameter.as_mm(),
        "rod_length_mm": row.rod.length.as_mm(),
        "polarisation_tesla": row.rod.polarisation.0,
        "polarisation_band_tesla": { "least": magnets.kept.least.0, "most": magnets.kept.most.0 },
        "rods": rods,
        "strings": magnets.strings.iter().map(string).collect::<Vec<_>>(),
        "evening": magnets.evening.as_ref().map(evening),
    })
}

fn ends_at(bound: Bound) -> &'static str {
    match bound {
        Bound::Tried => "tried",
        Bound::Foam => "foam",
        Bound::Plate => "plate",
        Bound::Holes => "holes",
    }
}

fn evening(evening: &Evening) -> Value {
    let apart = |[least, most]: [Level; 2]| json!({ "least": least.0, "most": most.0 });
    let best = evening.best.map(|best| {
        let (change, by) = match best.remedy {
            Remedy::BassEndLower(by) => ("bass end lower", by),
            Remedy::TrebleEndLower(by) => ("treble end lower", by),
            Remedy::RodsLower { by, .. } => ("rods of the loudest string lower", by),
            Remedy::Spread(to) => ("spread", to),
        };
        json!({ "change": change, "mm": by.as_mm(), "decibels": apart(best.left), "ends_at": best.bound.map(ends_at) })
    });
    json!({
        "loudest": evening.loudest,
        "softest": evening.softest,
        "decibels": apart(evening.now),
        "hangs_on_make": evening.hangs_on_make,
        "best": best,
    })
}
