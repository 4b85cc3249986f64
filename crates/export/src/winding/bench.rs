//! What is done at the bench: what to buy, in which order all goes together, and what to take care of.

use super::Winding;
use bobbinwright_core::Prepared;
use bobbinwright_spec::Estimate;
use bobbinwright_spec::printer::material::Material;

/// More wire than the coil takes: for tries and breaks (common practice).
pub(crate) const RESERVE: f64 = 1.2;

/// In which order all goes together.
pub(super) fn order(prepared: &Prepared) -> Vec<String> {
    [
        "Press the rods through both plates, the mark of the top plate at the bass end; check that they stand upright. Magnetised ones go in one after the other, the same end up by a compass; others are magnetised in their row when all is wound and potted, since heat and neighbours weaken them.",
        "Set both eyelets into the bottom plate. Put tape round the rods, so that no edge cuts the wire.",
        "Bare a finger's breadth of the wire: film of polyurethane melts away under the iron, any other is scraped off (its name is on the spool). Solder the start to its eyelet and wind. Stop every 500 turns, read meter and thermometer and enter both (bobbinwright wound): it says whether turns touch through the film.",
        "Bare the finish too and solder it to its eyelet, tie it down at the waist, put tape round the coil.",
        "Solder the lead to both eyelets, its inner wire to the hot one (above, under start and finish), its screen to the other.",
        "Read the resistance when the coil has cooled. Write it down beside the expected one.",
    ]
    .map(str::to_owned)
    .into_iter()
    .chain([potting(prepared.family.printer.material)])
    .chain(["Bobbin into the cover, lead through the lead-out, baseplate on, screws in.".to_owned()])
    .collect()
}

/// Wax for potting melts at up to this, and is used a little warmer, °C (common practice).
const WAX: [f64; 2] = [60.0, 65.0];
/// So far under where its material softens a plate still holds its rods, degrees (common practice).
const BELOW: f64 = 10.0;

/// Plates hold rods under the coil's pull only while they are cold.
fn potting(material: Material) -> String {
    let (name, softens) = (material.title(), material.usual().softens);
    let [melts, used] = WAX;
    if softens < used + BELOW {
        format!(
            "Lacquer it if you like, and let it dry. No wax: that is at {melts} to {used} °C, and {name} softens from about {softens} °C."
        )
    } else {
        format!(
            "Wax or lacquer it if you like: wax at {melts} to {used} °C, never above {} °C, since {name} softens from about {softens} °C. Let it cool in its upright position.",
            softens - BELOW
        )
    }
}

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
