//! The coil between its plates.

use bobbinwright_coil::bobbin::{Limit, ROOM, rooms, wound};
use bobbinwright_coil::on_bobbin::OnBobbin;
use bobbinwright_coil::winding::Resistance;
use bobbinwright_spec::coil::Until;
use bobbinwright_spec::{Estimate, Length, Origin, PartKind, SizeOf, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};

/// The coil as it is wanted, against the plates' edges and the eyelets on the bottom plate: what is wound beyond
/// them falls off, or chafes on the cover.
pub(crate) fn check(bench: &mut Bench) {
    let Some(wanted) = bench.position.wanted.coil else { return };
    let layout = bench.layout(PartKind::FlatworkBottom);
    let mut coil = wound(layout, &bench.family.hardware, &wanted, bench.position.wanted.magnets);
    // A coil that is begun tells how tightly it lies, and how many turns it takes for a resistance.
    let begun = OnBobbin::all(bench.family).into_iter().find(|on| on.position == bench.position.name);
    if let Some(begun) = &begun {
        coil.packing = begun.follow.packed();
        if let Until::Ohms(ohms) = wanted.until {
            coil.turns = begun.follow.turns_for(Resistance(ohms), ROOM)[0].round();
        }
        let on = begun.stops.last().map_or(0.0, |(_, stop)| stop.turns);
        coil.turns = coil.turns.max(on);
    }
    let build = coil.build();
    // How tightly a hand winds is the larger doubt, what the film measures the smaller.
    let packing =
        bench.spread(Length::ZERO, build * (coil.packing.half / coil.packing.share), Origin::Assumed);
    let overall = coil.wire.overall;
    let film = if coil.packing.with_film { 0.0 } else { 2.0 * (overall.half / overall.nominal) };
    let film = bench.spread(Length::ZERO, build * film, Origin::Assumed);
    let rod = bench.family.hardware.rod_diameter.clone();
    let rod = rod.clone().moved_to(Length::ZERO) * 0.5;
    let plate = bench.error(PartKind::FlatworkBottom, SizeOf::Width) * 0.5;
    let end = bench.error(PartKind::FlatworkBottom, SizeOf::Length) * 0.5;
    let flange = bench.family.hardware.eyelet_flange.clone().moved_to(Length::ZERO) * 0.5;
    let made = Estimate::exact(build) + packing + film + rod;
    let limits = rooms(layout, &bench.family.hardware, coil.bobbin.core);
    let all = limits.into_iter().map(|(room, limit)| {
        let room = Estimate::exact(room);
        let room = match limit {
            Limit::Edge => room + plate.clone(),
            Limit::End => room + end.clone(),
            Limit::Eyelet => room - flange.clone(),
            // A boss and what clears it stand where both sizes are drawn.
            Limit::Boss => room,
        };
        (room - made.clone(), limit)
    });
    let Some((margin, limit, others)) = bench.least_likely(all) else { return };
    let at = match limit {
        Limit::Edge => "the plates' long edges",
        Limit::End => "the plates' ends",
        Limit::Eyelet => "an eyelet's flange",
        Limit::Boss => "a boss's cut-out",
    };
    let mut help = vec![Help::FewerTurns, Help::Dimension("row.offset")];
    if begun.is_none() {
        help.insert(1, Help::ThinnerWire);
    }
    bench.enter(Draft {
        kind: CheckKind::CoilOnBobbin,
        at: Where::Alike,
        title: format!("Coil on its bobbin, tightest at {at}"),
        why: sentence!(
            "The coil of {} turns becomes {} thick and meets {}.",
            format!("{:.0}", coil.turns),
            build,
            at
        ),
        help,
        figures: vec![
            figure("thickness of the coil", &made),
            figure("height between the plates", &coil.bobbin.height.into()),
        ],
        margin,
        others,
    });
}
