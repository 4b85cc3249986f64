//! What a bobbin has room for where no coil is stated yet.

use bobbinwright_coil::bobbin::{Limit, rooms};
use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
use bobbinwright_coil::wire::Wire;
use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::laid_out;
use bobbinwright_spec::coil::{Awg, Film, Packing, Wire as Bought};
use bobbinwright_spec::{Family, Length, Position};

/// Wires that pickups are mostly wound with, the thinner one last (common practice).
const USUAL: [u8; 2] = [42, THINNEST];
/// The thinner of them.
pub const THINNEST: u8 = 43;
/// The fewest and the most turns that pickups mostly have (common practice).
pub const TURNS: [f64; 2] = [5000.0, 10_000.0];

/// For every position that states no coil what there is room for on its bobbin; those with little room first.
pub fn room_for_coils(family: &Family) -> Vec<String> {
    let without = || family.positions.iter().filter(|position| position.wanted.coil.is_none());
    let little = without().filter(|position| has_little(family, position));
    let enough = without().filter(|position| !has_little(family, position));
    little.chain(enough).filter_map(|position| of(family, position)).collect()
}

/// No coil is stated, and one of few turns of a thin wire may have no room.
pub fn has_little(family: &Family, position: &Position) -> bool {
    let bobbin = bobbin(family, position).filter(|_| position.wanted.coil.is_none());
    bobbin.is_some_and(|(bobbin, _)| most(bobbin, THINNEST)[0] < TURNS[0])
}

/// And what a coil on it meets first as it grows; none where the parts can't be laid out.
fn bobbin(family: &Family, position: &Position) -> Option<(Bobbin, Limit)> {
    let layout = laid_out(position, &family.hardware)?;
    let bobbin = Bobbin::of(&layout, &family.hardware, Length::ZERO);
    let rooms = rooms(&layout, &family.hardware, bobbin.core).into_iter();
    let (_, limit) = rooms.min_by(|a, b| a.0.as_mm().total_cmp(&b.0.as_mm()))?;
    Some((bobbin, limit))
}

/// So many turns of a wire there is room for, in fifties: as many as are called a fit where nothing is known of hand and film,
/// and as many as a hand that lays them tightly gets in.
fn most(bobbin: Bobbin, gauge: u8) -> [f64; 2] {
    let Some(gauge) = Awg::new(gauge) else { return [0.0; 2] };
    let wire = Wire::of(Bought::Gauge(gauge, Film::Single));
    let Packed { share, half, .. } = Packed::assumed(Packing::BY_HAND);
    let of = |share: f64| Coil { bobbin, wire, packing: Packed::assumed(share), turns: 1.0 }.most_turns();
    // Half-widths of rectangular distributions, and what plates and rods are off; as the check counts them.
    let film = 2.0 * (wire.overall.half / wire.overall.nominal);
    let parts = PARTS / bobbin.room.max(PARTS);
    let u = ((half / share).hypotenuse(film) / 3f64.sqrt()).hypotenuse(parts);
    [of(share) / (1.0 + SURE * u), of(share + half)].map(|turns| (turns / 50.0).floor() * 50.0)
}

/// What a check needs to be called a fit, 95 % of a normal distribution, and the standard uncertainty of plates and rods.
const SURE: f64 = 1.645;
const PARTS: Length = Length::from_mm(0.07);

fn of(family: &Family, position: &Position) -> Option<String> {
    let (bobbin, limit) = bobbin(family, position)?;
    let unit = family.unit();
    let turns = USUAL.map(|number| {
        let [few, many] = most(bobbin, number);
        format!("{few:.0} to {many:.0} turns of AWG {number}")
    });
    let [least, usual] = TURNS;
    let judged = match most(bobbin, THINNEST)[0] {
        few if few < least => "that is little",
        few if few < usual => "that is enough for the fewer of these, not for the most",
        _ => "it has room for that",
    };
    Some(format!(
        "{}: no coil is stated. Between its plates are {}, and {} from the rods to {}: room for {}, wound by hand. Pickups mostly have {least:.0} to {usual:.0} (common practice): {judged}.",
        position.name,
        unit.shown(bobbin.height),
        unit.shown(bobbin.room),
        limit_in_words(limit),
        turns.join(", or "),
    ))
}

/// What a coil meets first as it grows.
pub fn limit_in_words(limit: Limit) -> &'static str {
    match limit {
        Limit::Edge => "the plates' edges",
        Limit::End => "the plates' ends",
        Limit::Eyelet => "an eyelet",
        Limit::Boss => "a boss round a screw",
    }
}
