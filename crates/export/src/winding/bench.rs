//! What is done at the bench: what to buy, in which order all goes together, and what to take care of.

use super::Winding;
use bobbinwright_core::Prepared;
use bobbinwright_spec::Estimate;

/// More wire than the coil takes: for tries and breaks (common practice).
pub(crate) const RESERVE: f64 = 1.2;

/// In which order all goes together.
pub(super) const ORDER: [&str; 8] = [
    "Press the rods through both plates, the mark of the top plate at the bass end; check that they stand upright.",
    "Set both eyelets into the bottom plate. Put tape round the rods, so that no edge cuts the wire.",
    "Solder the start of the wire to its eyelet and wind. Stop every 500 turns, read meter and thermometer and enter both (bobbinwright wound): it says whether turns touch through the film.",
    "Solder the finish to its eyelet, tie it down at the waist, put tape round the coil.",
    "Solder the lead to both eyelets, its inner wire to the hot one (above, under start and finish), its screen to the other.",
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
    let shown = |e: &Estimate| prepared.family.unit().shown(e.value());
    let screws = match winding.layout.screws.len() {
        1 => "1 screw".to_owned(),
        n => format!("{n} screws"),
    };
    let metres = winding.coil.wire_length() * RESERVE;
    vec![
        format!(
            "{} magnet rods, {} by {}",
            winding.layout.poles.len(),
            shown(&h.rod_diameter),
            shown(&h.rod_length)
        ),
        format!("{metres:.0} m of wire ({:.0} g), a fifth more than it takes", winding.coil.mass() * RESERVE),
        format!("2 eyelets with a barrel of {}", shown(&h.eyelet_barrel)),
        format!(
            "{} of {}, a lead of {}, foam under the baseplate",
            screws,
            shown(&h.screw_diameter),
            shown(&h.lead_diameter)
        ),
    ]
}
