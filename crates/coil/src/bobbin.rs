//! The bobbin of a position, and the coil that is wanted on it.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::Layout;
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::coil::{self as wish, Packing, Until};
use bobbinwright_spec::magnets::Alloy;
use bobbinwright_spec::{Hardware, Length};

use crate::inductance::{Inductance, Racetrack};
use crate::response;
use crate::rods::Rods;
use crate::winding::{Bobbin, Coil, Packed, Resistance};
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
    /// What is cut out of the plates for the bosses round the screws.
    Boss,
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
    let [least, most] = row_ends(layout);
    let span = Length::from_mm((most - least).max(0.0));
    Racetrack { span, radius: hardware.rod_diameter.value() / 2.0 + tape }
}

/// How thick a coil can become before it meets each of its limits.
pub fn rooms(layout: &Layout, hardware: &Hardware, core: Racetrack) -> Vec<(Length, Limit)> {
    let ends = layout.poles.iter().map(|p| p.x.abs()).fold(0.0, f64::max);
    let plate = layout.plate;
    let to_edge = plate.width / 2.0 - Length::from_mm(layout.row.abs()) - core.radius;
    let to_end = plate.length / 2.0 - Length::from_mm(ends) - core.radius;
    let mut all = vec![(to_edge, Limit::Edge), (to_end, Limit::End)];
    for eyelet in layout.eyelets {
        let away = Length::from_mm(distance_to_row(layout, eyelet));
        all.push((away - core.radius - hardware.eyelet_flange.value() / 2.0, Limit::Eyelet));
    }
    for relief in &layout.reliefs {
        all.push((Length::from_mm(relief.from_row(row_ends(layout), layout.row)) - core.radius, Limit::Boss));
    }
    all
}

/// The outer rods' places, mm.
fn row_ends(layout: &Layout) -> [f64; 2] {
    let ends = || layout.poles.iter().map(|p| p.x);
    [ends().fold(f64::INFINITY, f64::min), ends().fold(f64::NEG_INFINITY, f64::max)]
}

/// From the line through the outer rods' centres, mm.
fn distance_to_row(layout: &Layout, place: Point) -> f64 {
    let [least, most] = row_ends(layout);
    (place.x - place.x.clamp(least.min(most), most.max(least))).hypotenuse(place.y - layout.row)
}

/// The coil that is wanted, on rods of a material where one is stated.
pub fn wound(layout: &Layout, hardware: &Hardware, wanted: &wish::Coil, alloy: Option<Alloy>) -> Coil {
    let bobbin = Bobbin::of(layout, hardware, wanted.tape);
    let packing = packed(&bobbin, wanted);
    let coil = Coil { bobbin, wire: Wire::of(wanted.wire), packing, turns: 1.0 };
    let turns = match wanted.until {
        Until::Turns(turns) => turns,
        Until::Ohms(ohms) => coil.turns_for(Resistance(ohms), ROOM),
        Until::Henries(henries) => coil.turns_for_inductance(Inductance(henries)),
        Until::HenriesWithRods(henries) => {
            let rods = Rods::of(layout, hardware);
            let reads = |coil: &Coil| response::reads(coil, &rods, alloy, wanted.hot, BRIDGE);
            // The empty coil of that inductance is not far off.
            let begin = Coil { turns: coil.turns_for_inductance(Inductance(henries)), ..coil };
            begin.turns_reading(Inductance(henries), reads)
        }
    };
    Coil { turns: turns.round(), ..coil }
}

/// What an inductance with rods is read at, Hz.
pub const BRIDGE: f64 = 1000.0;

/// A caliper's jaws press a coil in by up to this (common practice).
const PRESSED: Length = Length::from_mm(0.1);

/// As it is stated, or as a coil came out that was wound of the wanted wire.
fn packed(bobbin: &Bobbin, wanted: &wish::Coil) -> Packed {
    let (turns, across) = match wanted.packing {
        Packing::Share(share) => return Packed::assumed(share),
        Packing::Measured { turns, across } => (turns, across),
    };
    let build = across / 2.0 - bobbin.core.radius;
    let share = turns * Wire::of(wanted.wire).taken() / (build.as_mm() * bobbin.height.as_mm());
    if Packing::POSSIBLE.contains(&share) {
        Packed { share, half: share * (PRESSED / 2.0 / build), with_film: true, refused: None }
    } else {
        Packed { refused: Some(share), ..Packed::assumed(Packing::BY_HAND) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bobbinwright_spec::coil::{Awg, Film};

    /// A coil that is 8,000 turns of number 42, 0.0762 mm over its film, and 4.738 mm thick round a core of 2.75
    /// mm between plates 11 mm apart, is packed to 0.7: the worked example the other way round.
    #[test]
    fn a_wound_coil_says_how_it_is_packed() {
        let mm = Length::from_mm;
        let core = Racetrack { span: mm(52.0), radius: mm(2.75) };
        let bobbin = Bobbin { core, height: mm(11.0), room: mm(5.0) };
        let wanted = |across: f64| wish::Coil {
            wire: wish::Wire::Gauge(Awg::new(42).unwrap(), Film::Heavy),
            until: Until::Turns(8000.0),
            packing: Packing::Measured { turns: 8000.0, across: mm(across) },
            tape: Length::ZERO,
            turning: wish::Turning::Clockwise,
            start: wish::Start::Bass,
            hot: wish::End::Start,
        };
        let found = packed(&bobbin, &wanted(2.0 * (2.75 + 4.738)));
        assert!((found.share - 0.7).abs() < 1e-4, "{found:?}");
        assert!((found.half - 0.7 * 0.05 / 4.738).abs() < 1e-5);
        // Thinner than the wire's own section, or than the core.
        for across in [12.0, 5.0] {
            let found = packed(&bobbin, &wanted(across));
            assert!(found.refused.is_some() && found.share == Packing::BY_HAND, "{found:?}");
        }
    }
}
