//! What stands on the sheet, in words.

use std::fmt::Write;

use bobbinwright_coil::magnet::at_strings::AtString;
use bobbinwright_coil::winding::Resistance;
use bobbinwright_fit::Verdict;
use bobbinwright_spec::coil::{North, Wire};

use super::response::{self, WITH_RODS};
use super::{Other, Winding};
use crate::Prepared;

/// More wire than the coil takes: for tries and breaks (common practice).
const RESERVE: f64 = 1.2;

/// `5.96 kΩ`.
pub(super) fn kiloohms(resistance: Resistance) -> String {
    format!("{:.2} kΩ", resistance.0 / 1000.0)
}

/// `AWG 42, single film`.
pub(super) fn wire(wire: Wire) -> String {
    match wire {
        Wire::Gauge(awg, film) => format!("AWG {}, {} film", awg.number(), film.word()),
        Wire::Diameters(..) => "as stated".to_owned(),
    }
}

/// What is wound: a label and what it says.
pub(super) fn facts(winding: &Winding) -> Vec<(&'static str, String)> {
    let coil = &winding.coil;
    let [least, expected, most] = winding.resistance();
    let henries = winding.inductance.0;
    let micrometres = |within: bobbinwright_coil::wire::Within| format!("{:.3} mm", within.nominal.as_mm());
    vec![
        (
            "Wire",
            format!(
                "{}: {} of copper, {} over the film",
                wire(winding.wanted.wire),
                micrometres(coil.wire.bare),
                micrometres(coil.wire.overall)
            ),
        ),
        ("Turns", format!("{:.0}, {} seen from the top plate", coil.turns, winding.wanted.turning.word())),
        (
            "Rods",
            match winding.north {
                North::Up => "north up, at the strings, in all of them".to_owned(),
                North::Down => "south up, at the strings, in all of them".to_owned(),
            },
        ),
        (
            "Start and finish",
            "start at the eyelet on the bass side, finish at that on the treble side".to_owned(),
        ),
        (
            "Resistance at 20 °C",
            format!(
                "{} ({} to {}; 0.4 % more for a degree)",
                kiloohms(expected),
                kiloohms(least),
                kiloohms(most)
            ),
        ),
        (
            "Inductance",
            format!(
                "{henries:.2} H without rods; with rods of alnico {:.1} to {:.1} H (an estimate)",
                henries * WITH_RODS[0],
                henries * WITH_RODS[1]
            ),
        ),
        ("Peak", response::peaks(winding)),
        (
            "Thickness of the coil",
            format!(
                "{} on each side of the rods, room for {}; {}",
                coil.build(),
                coil.bobbin.room,
                stands(winding)
            ),
        ),
        ("Length and mass", format!("{:.0} m of wire, {:.1} g of copper", coil.wire_length(), coil.mass())),
    ]
}

impl Winding<'_> {
    /// The coil, and what hinders it, for the screen.
    pub fn text(&self) -> String {
        let mut out = format!("{}:\n", self.position);
        for (label, words) in facts(self) {
            // Writing to a String does not fail.
            let _ = writeln!(out, "  {label:22} {words}");
        }
        if let Some(check) = self.check.filter(|c| c.verdict != Verdict::Fits) {
            let _ = writeln!(out, "  {}", check.what_to_do());
        }
        out
    }
}

fn stands(winding: &Winding) -> &'static str {
    match winding.verdict() {
        Verdict::Fits => "it fits",
        Verdict::TooClose => "whether it fits is too close to call",
        Verdict::Clashes => "it does not fit",
    }
}

/// What two coils do together when they are joined alike, start to start and finish to finish: the one's signal
/// turns with its rods and with its winding, hum with its winding alone.
pub fn together(windings: &[Winding]) -> Vec<String> {
    let pairs = windings.iter().enumerate().flat_map(|(i, a)| windings[i + 1..].iter().map(move |b| (a, b)));
    let words = |(a, b): (&Winding, &Winding)| {
        let (rods, turns) = (a.north != b.north, a.wanted.turning != b.wanted.turning);
        let so = match (rods, turns) {
            (true, true) => "rods and winding are both reversed: together they cancel hum and sound full",
            (false, false) => "both are alike: together they sound full, and hum as each does alone",
            (true, false) => "only the rods are reversed: together they sound thin; reverse the winding too",
            (false, true) => "only the winding is reversed: together they sound thin; reverse the rods too",
        };
        format!("{} and {}: {so}.", a.position, b.position)
    };
    pairs.map(words).collect()
}

/// What the table of the field says at its head.
pub(super) const FIELD: [&str; 4] = ["string", "above the rods", "field", "0.5 mm aside"];

/// Of what the field is an estimate.
pub(super) const ABOUT_FIELD: &str = "An estimate, to 10 % at best: rods of one grade, magnetised evenly along, each alone in the air, all with the same pole up; the steel of the strings left out.";

/// A line for each string: its number, its height over the rods, the field, and that beside it.
pub(super) fn field(strings: &[AtString]) -> Vec<[String; 4]> {
    let mean = strings.iter().map(|s| s.field.0).sum::<f64>() / strings.len().max(1) as f64;
    let line = |s: &AtString| {
        let off = 100.0 * (s.field.0 / mean - 1.0);
        [
            s.number.to_string(),
            format!("{:.1} mm", s.above.as_mm()),
            format!("{:.1} mT ({off:+.0} %)", s.field.0 * 1000.0),
            format!("{:.1} mT", s.beside.0 * 1000.0),
        ]
    };
    strings.iter().map(line).collect()
}

/// In which order all goes together.
pub(super) const ORDER: [&str; 8] = [
    "Press the rods through both plates, the mark of the top plate at the bass end; check that they stand upright.",
    "Set both eyelets into the bottom plate. Put tape round the rods, so that no edge cuts the wire.",
    "Solder the start of the wire to its eyelet and wind. Stop every 500 turns and read the meter: far less than the table says means that turns touch through the film.",
    "Solder the finish to its eyelet, tie it down at the waist, put tape round the coil.",
    "Solder the lead to both eyelets; the outermost turns belong on the grounded side.",
    "Read the resistance when the coil has cooled. Write it down beside the expected one.",
    "Wax or lacquer it if you like, then let it cool in its upright position.",
    "Bobbin into the cover, lead through the lead-out, baseplate on, screws in.",
];

/// Where work can hurt somebody.
pub(super) const CAUTIONS: [&str; 5] = [
    "Solder: hot metal and fumes; fresh air, eye protection, wash your hands.",
    "Wax: only in a water bath with a thermometer, never over a flame or unattended, away from parts that soften.",
    "Magnets snap together and chip; keep them from pacemakers, cards and children (two swallowed ones are an emergency).",
    "Fine wire cuts and whips: glasses on, hair and sleeves away, no gloves near the spinning bobbin.",
    "Sand wet and with a mask. Follow the makers' safety sheets and local rules.",
];

/// What to buy for one position.
pub(super) fn to_buy(prepared: &Prepared, winding: &Winding) -> Vec<String> {
    let h = &prepared.family.hardware;
    let metres = winding.coil.wire_length() * RESERVE;
    vec![
        format!("{} magnet rods, {} by {}", winding.rods, h.rod_diameter.value(), h.rod_length.value()),
        format!("{metres:.0} m of wire ({:.0} g), a fifth more than it takes", winding.coil.mass() * RESERVE),
        format!("2 eyelets with a barrel of {}", h.eyelet_barrel.value()),
        format!(
            "2 screws of {}, a lead of {}, foam under the baseplate",
            h.screw_diameter.value(),
            h.lead_diameter.value()
        ),
    ]
}

/// A line for another wire.
pub(super) fn other(other: &Other) -> [String; 4] {
    let coil = &other.coil;
    let fits = if coil.build() <= coil.bobbin.room { "has room" } else { "has no room" };
    [
        format!("AWG {}", other.gauge.number()),
        format!("{:.0} turns", coil.turns),
        kiloohms(coil.resistance(bobbinwright_coil::bobbin::ROOM)),
        format!("{}, {fits}", coil.build()),
    ]
}

/// All coils as Markdown.
pub(super) fn markdown(prepared: &Prepared, windings: &[Winding]) -> String {
    let mut out = format!("# Winding: {}\n", prepared.family.title);
    // Writing to a String does not fail.
    for winding in windings {
        let _ = writeln!(out, "\n## {}\n\n| | |\n|---|---|", winding.position);
        for (label, words) in facts(winding) {
            let _ = writeln!(out, "| {label} | {words} |");
        }
        let _ = writeln!(
            out,
            "\nOn the way, at 20 °C:\n\n| turns | least | expected | most |\n|---:|---:|---:|---:|"
        );
        for (turns, [least, expected, most]) in winding.on_the_way() {
            let _ = writeln!(
                out,
                "| {turns} | {} | {} | {} |",
                kiloohms(least),
                kiloohms(expected),
                kiloohms(most)
            );
        }
        let _ = writeln!(
            out,
            "\nOther wire with the same film would make of it:\n\n| wire | turns | resistance | thickness |\n|---|---:|---:|---|"
        );
        for one in &winding.others {
            let _ = writeln!(out, "| {} |", other(one).join(" | "));
        }
        if let Some(strings) = &winding.field {
            let _ = writeln!(
                out,
                "\nField of the rods at the strings, in brackets how far off the mean of all:\n\n| {} |\n|---:|---:|---:|---:|",
                FIELD.join(" | ")
            );
            for line in field(strings) {
                let _ = writeln!(out, "| {} |", line.join(" | "));
            }
            let _ = writeln!(out, "\n{ABOUT_FIELD}");
        }
        let _ = writeln!(out, "\nTo buy:\n");
        for line in to_buy(prepared, winding) {
            let _ = writeln!(out, "- {line}");
        }
    }
    if windings.len() > 1 {
        let _ = writeln!(out, "\n## Together\n");
        for line in together(windings) {
            let _ = writeln!(out, "- {line}");
        }
    }
    let _ = writeln!(out, "\n## In this order\n");
    for (number, line) in (1..).zip(ORDER) {
        let _ = writeln!(out, "{number}. {line}");
    }
    let _ = writeln!(out, "\n## Take care\n");
    for line in CAUTIONS {
        let _ = writeln!(out, "- {line}");
    }
    out
}
