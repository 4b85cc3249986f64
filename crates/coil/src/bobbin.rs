//! The bobbin of a position, and the coil that is wanted on it.

use bobbinwright_geometry::parts::Layout;
use bobbinwright_geometry::plane::Point;
use bobbinwright_spec::coil::{self as wish, Until};
use bobbinwright_spec::{Hardware, Length};

use crate::inductance::{Inductance, Racetrack};
use crate::winding::{Bobbin, Coil, Resistance};
use crate::wire::Wire;

/// Temperature of a workshop, °C: what resistances are given at.
pub const ROOM: f64 = 20.0;

/// What stands in a coil's way as it grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The long edges of the plates.
    Edge,
    /// The plates' ends.
    End,
    /// An eyelet's flange on the bottom plate.
    Eyelet,
}

impl Bobbin {
    /// Of a position: the rods with their tape between the plates, and the room that the nearest of plate
    /// edge and eyelets leaves.
    pub fn of(layout: &Layout, hardware: &Hardware, tape: Length) -> Self {
        let core = core(layout, hardware, tape);
        let room = rooms(layout, hardware, core).into_iter().map(|(room, _)| room);
        let room = room.fold(Length::from_mm(f64::INFINITY), Length::min);
        Self { core, height: layout.coil_height, room }
    }
}

/// The innermost turn: round the outer rods.
pub fn core(layout: &Layout, hardware: &Hardware, tape: Length) -> Racetrack {
    let ends = layout.poles.iter().map(|p| p.x);
    let least = ends.clone().fold(f64::INFINITY, f64::min);
    let most = ends.fold(f64::NEG_INFINITY, f64::max);
    let span = Length::from_mm((most - least).max(0.0));
    Racetrack { span, radius: hardware.rod_diameter.value() / 2.0 + tape }
}

/// How thick a coil can become before it meets each of its limits.
pub fn rooms(layout: &Layout, hardware: &Hardware, core: Racetrack) -> Vec<(Length, Limit)> {
    let ends = layout.poles.iter().map(|p| p.x.abs()).fold(0.0, f64::max);
    let plate = layout.plate;
    let to_edge = plate.width / 2.0 - core.radius;
    let to_end = plate.length / 2.0 - Length::from_mm(ends) - core.radius;
    let mut all = vec![(to_edge, Limit::Edge), (to_end, Limit::End)];
    for eyelet in layout.eyelets {
        let away = Length::from_mm(distance_to_row(layout, eyelet));
        all.push((away - core.radius - hardware.eyelet_flange.value() / 2.0, Limit::Eyelet));
    }
    all
}

/// From the line through the outer rods' centres, mm.
fn distance_to_row(layout: &Layout, place: Point) -> f64 {
    let ends = || layout.poles.iter().map(|p| p.x);
    let (least, most) = (ends().fold(f64::INFINITY, f64::min), ends().fold(f64::NEG_INFINITY, f64::max));
    (place.x - place.x.clamp(least.min(most), most.max(least))).hypot(place.y)
}

/// The coil that is wanted.
pub fn wound(layout: &Layout, hardware: &Hardware, wanted: &wish::Coil) -> Coil {
    with_wire(layout, hardware, wanted, wanted.wire)
}

/// The same with another wire.
pub fn with_wire(layout: &Layout, hardware: &Hardware, wanted: &wish::Coil, wire: wish::Wire) -> Coil {
    let bobbin = Bobbin::of(layout, hardware, wanted.tape);
    let coil = Coil { bobbin, wire: Wire::of(wire), packing: wanted.packing, turns: 1.0 };
    let turns = match wanted.until {
        Until::Turns(turns) => turns,
        Until::Ohms(ohms) => coil.turns_for(Resistance(ohms), ROOM),
        Until::Henries(henries) => coil.turns_for_inductance(Inductance(henries)),
    };
    Coil { turns: turns.round(), ..coil }
}
