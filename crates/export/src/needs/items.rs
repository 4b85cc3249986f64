//! What one pickup needs.

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::{Layout, Part};
use bobbinwright_print::cost::cost;
use bobbinwright_print::printed;
use bobbinwright_print::weigh::weigh;
use bobbinwright_spec::coil::Wire;
use bobbinwright_spec::{Estimate, Length, Mounting, PositionQuantity, Printer, Quantity, Survey, Unit};
use std::f64::consts::PI;

use super::Item;
use crate::winding::{RESERVE, Winding};

/// So many diameters of its thread a wood screw bites, and at least so much (common practice).
const BITE: f64 = 3.5;
const LEAST_BITE: Length = Length::from_mm(8.0);

/// Lengths in which wood screws are sold, mm (DIN 97, from memory) and in (common practice).
const SCREWS_MM: [f64; 12] = [8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0];
const SCREWS_IN: [f64; 12] = [0.375, 0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5];

/// From the saddles on to the controls and up to where it is soldered, and what is taken where nobody measured how far the
/// position is from the saddles (common practice: measure it along the channel, and take more).
const LEAD: Length = Length::from_mm(250.0);
const LEAD_UNKNOWN: Length = Length::from_mm(450.0);

/// Foam is taken half as thick again as it shall lift, and in two strips of that width (common practice).
const FOAM: f64 = 1.5;
const STRIP: Length = Length::from_mm(15.0);

/// A tape's ends overlap by so much (common practice).
const OVERLAP: Length = Length::from_mm(10.0);

/// Filament for skirts and a part that fails (common practice).
const SPARE: f64 = 1.3;

/// Support fills so much of its room (common practice), and less room than this is not worth a word, mm³.
const FILLED: f64 = 0.25;
const LITTLE: f64 = 500.0;

/// Everything, in the order of the work.
pub(super) const ORDER: [&str; 9] = [
    "filament",
    SHEET,
    "magnet rod",
    "eyelet",
    "winding wire",
    "tape",
    "lead, two conductors",
    "foam strip",
    "wood screw",
];

/// What flatwork is cut from.
const SHEET: &str = "sheet for flatwork";

/// Everything for a position.
pub(super) fn of(prepared: &Prepared, survey: &Survey, index: usize, windings: &[Winding]) -> Vec<Item> {
    let family = &prepared.family;
    let position = &family.positions[index];
    let layout = &prepared.positions[index].layout;
    let unit = family.unit();
    let hardware = &family.hardware;
    let of = || vec![format!("{} {}", family.slug, position.name)];
    let shown = |e: &Estimate| unit.shown(e.value());
    let piece = |what, count, size, length, why: String| Item {
        what,
        count: Some(count),
        size,
        length,
        amount: None,
        of: of(),
        why,
    };
    let alloy = position.wanted.magnets.map_or(String::new(), |alloy| format!(", {}", alloy.word()));
    let rods = format!("Ø {} by {}{alloy}", shown(&hardware.rod_diameter), shown(&hardware.rod_length));
    let mut all = vec![piece("magnet rod", layout.poles.len(), rods, None, String::new())];
    let eyelets =
        format!("barrel Ø {}, flange Ø {}", shown(&hardware.eyelet_barrel), shown(&hardware.eyelet_flange));
    all.push(piece("eyelet", 2, eyelets, None, String::new()));
    let winding = windings.iter().find(|w| w.position.name == position.name);
    all.extend(winding.iter().flat_map(|w| wire_and_tape(w, &of())));
    let (lead, why) = lead(survey, &position.name, unit);
    all.push(piece(
        "lead, two conductors",
        1,
        format!("Ø {}", shown(&hardware.lead_diameter)),
        Some(lead),
        why,
    ));
    let (screw, why) = screw(prepared, layout);
    let head =
        format!("thread Ø {}, head Ø {}", shown(&hardware.screw_diameter), shown(&hardware.screw_head));
    all.push(piece("wood screw", layout.screws.len(), head, Some(screw), why));
    let lift = layout.wanted.seat.lift;
    if lift > Length::ZERO {
        // Ears are what rests on something; without them it is the plate's underside.
        let (count, wide, long, under) = match &layout.ears {
            Some(ear) => {
                (layout.screws.len(), ear.length, ear.width, "under an ear, with a hole for its screw, ")
            }
            None => (2, STRIP, layout.width, ""),
        };
        let size = format!("{} wide, {} thick", unit.shown(wide), unit.shown(lift * FOAM));
        let why = format!("{under}pressed to the {} that the plate is lifted", unit.shown(lift));
        all.push(piece("foam strip", count, size, Some(Length::from_mm(long.as_mm().floor())), why));
    }
    all.push(Item { of: of(), ..filament(prepared, index) });
    all.extend(sheets(layout, unit, &of()));
    all
}

/// Under its head: what it goes through, and its bite.
fn screw(prepared: &Prepared, layout: &Layout) -> (Length, String) {
    let wanted = &layout.wanted;
    let unit = prepared.family.unit();
    let plate = wanted.baseplate.thickness;
    let through = match wanted.cover.mounting {
        Mounting::Bosses { recess_depth, .. } => wanted.cover.height - recess_depth,
        Mounting::Ears { thickness, .. } => thickness,
    };
    // What lifts the plate off its seat lies between both, under ears as well.
    let lift = wanted.seat.lift;
    let bite = (prepared.family.hardware.screw_diameter.value() * BITE).max(LEAST_BITE);
    let least = through + plate + lift + bite;
    let lengths: Vec<Length> = match unit {
        Unit::Mm => SCREWS_MM.map(Length::from_mm).to_vec(),
        Unit::Inch => SCREWS_IN.map(Length::from_inch).to_vec(),
    };
    let length = lengths.into_iter().find(|length| *length >= least).unwrap_or(least);
    let of = [("cover", through), ("plate", plate), ("lift", lift), ("bite", bite)];
    let sum: Vec<String> = of
        .iter()
        .filter(|(_, l)| *l > Length::ZERO)
        .map(|(what, l)| format!("{what} {}", unit.figure(*l)))
        .collect();
    let why = format!(
        "under its head {} at least: {}; look how thick the wood is under it",
        unit.shown(least),
        sum.join(" + ")
    );
    (length, why)
}

/// Longer the further the position is from the saddles.
fn lead(survey: &Survey, position: &str, unit: Unit) -> (Length, String) {
    let quantity = Quantity::At(position.to_owned(), PositionQuantity::BridgeDistance);
    let known = survey.quantities.iter().find(|s| s.quantity == quantity).and_then(|s| s.estimate.as_ref());
    match known {
        Some(distance) => (
            rounded_up(distance.value() + LEAD),
            format!(
                "{} to the saddles and {} on to the controls (common practice); measure along the channel",
                unit.shown(distance.value()),
                unit.shown(LEAD)
            ),
        ),
        None => (LEAD_UNKNOWN, "common practice; measure along the channel to the controls".to_owned()),
    }
}

/// To a whole centimetre.
fn rounded_up(length: Length) -> Length {
    Length::from_mm((length.as_mm() / 10.0).ceil() * 10.0)
}

fn wire_and_tape(winding: &Winding, of: &[String]) -> [Item; 2] {
    let coil = &winding.coil;
    let gauge = match winding.wanted.wire {
        Wire::Gauge(awg, film) => format!("AWG {}, {} film", awg.number(), film.word()),
        Wire::Diameters(copper, over) => {
            format!("{:.3} mm of copper, {:.3} mm over the film", copper.as_mm(), over.as_mm())
        }
    };
    let metres = coil.wire_length() * RESERVE;
    let wire = Item {
        what: "winding wire",
        count: None,
        size: gauge,
        length: None,
        amount: Some((coil.mass() * RESERVE, "g")),
        of: of.to_vec(),
        why: format!("{metres:.0} m for each pickup: a fifth more than the {:.0} turns take", coil.turns),
    };
    let core = coil.bobbin.core;
    let round = |radius: Length| core.span * 2.0 + radius * (2.0 * PI) + OVERLAP;
    // Round the rods, and round the coil.
    let both = round(core.radius) + round(core.radius + coil.build());
    let tape = Item {
        what: "tape",
        count: None,
        size: format!("up to {} wide", Unit::Mm.shown(coil.bobbin.height)),
        length: None,
        amount: Some((both.as_mm() / 1000.0, "m")),
        of: of.to_vec(),
        why: "once round the rods and once round the coil".to_owned(),
    };
    [wire, tape]
}

/// What plates take of a sheet, with their cut and what is left round them.
fn sheets(layout: &Layout, unit: Unit, of: &[String]) -> Vec<Item> {
    let Some(sheet) = layout.wanted.flatwork.sheet else { return Vec::new() };
    let round = sheet.kerf * 2.0 + sheet.spacing;
    let [length, width] = [layout.plate.length, layout.plate.width].map(|side| (side + round).as_mm() / 10.0);
    let item = |thickness: Length| Item {
        what: SHEET,
        count: None,
        size: format!("{} thick", unit.shown(thickness)),
        length: None,
        amount: Some((length * width, "cm²")),
        of: of.to_vec(),
        why: format!(
            "cut from pieces of {} by {}, with the cut and what is left beside it",
            unit.shown(sheet.length),
            unit.shown(sheet.width)
        ),
    };
    [layout.wanted.flatwork.bottom, layout.wanted.flatwork.top].map(item).to_vec()
}

fn filament(prepared: &Prepared, index: usize) -> Item {
    let printer = &prepared.family.printer;
    let built = &prepared.positions[index];
    let volume: f64 = printed(built).map(|part| part.solid.volume).sum();
    let support: f64 = printed(built).map(|part| support(part, &built.layout, printer)).sum();
    let cost = cost(volume + support * FILLED, 0.0, 0, printer);
    Item {
        what: "filament",
        count: None,
        size: printer.material.title().to_owned(),
        length: None,
        amount: Some((cost.mass * SPARE, "g")),
        of: Vec::new(),
        why: if support < LITTLE {
            "solid parts and a third more for skirts and a part that fails".to_owned()
        } else {
            format!(
                "solid parts, {:.1} cm³ of support, and a third more for skirts and a part that fails",
                support / 1000.0
            )
        },
    }
}

/// The room that support fills under a part as it lies, mm³.
fn support(part: &Part, layout: &Layout, printer: &Printer) -> f64 {
    let Ok(weighed) = weigh(part, layout, printer) else { return 0.0 };
    let stated = layout.wanted.on_bed.of(part.kind);
    stated.map_or(weighed.best(), |side| weighed.with(side)).support_volume
}
