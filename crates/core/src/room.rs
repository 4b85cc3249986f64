//! Room for a usual coil where none is stated yet: what gives it, tried on the whole family.

use bobbinwright_fit::{Bought, CheckKind, Verdict};
use bobbinwright_spec::coil::{Awg, Coil, End, Film, Packing, Start, Turning, Until, Wire};
use bobbinwright_spec::{Family, Length, parameter};
use bobbinwright_words::room::{THINNEST, TURNS, has_little};

use crate::Prepared;
use crate::advice::{Change, Way, value, with_change};

/// Rods are tried longer by these, and walls thinner, mm.
const LONGER: [f64; 5] = [0.5, 1.0, 2.0, 3.0, 4.0];
const THINNER: [f64; 4] = [0.2, 0.4, 0.6, 0.8];

/// For every position with little room for a coil what gives it room for a usual one, or that nothing was found that does.
pub fn more_room(prepared: &Prepared) -> Vec<String> {
    let family = &prepared.family;
    let little = family.positions.iter().filter(|position| has_little(family, position));
    let of = |name: &String| {
        let coil = format!("{:.0} turns of AWG {THINNEST}", TURNS[0]);
        match way(prepared, name) {
            Some(way) => format!(
                "{name}: with {} it has room for {coil}, and {}.",
                way.words(family.unit()),
                way.turned_in_words()
            ),
            None => format!(
                "{name}: neither longer rods nor a thinner wall alone were found to give it room for {coil}."
            ),
        }
    };
    little.map(|position| of(&position.name)).collect()
}

/// The first change that gives room and spoils nothing.
fn way(prepared: &Prepared, name: &str) -> Option<Way> {
    let at = prepared.family.positions.iter().position(|p| p.name == name)?;
    let mut family = prepared.family.clone();
    family.positions[at].wanted.coil = Some(usual()?);
    let with_coil = Prepared::with_tried(family, prepared.tried.clone()).ok()?;
    let changes = changes(&with_coil.family, at);
    changes.into_iter().find_map(|change| {
        let way = with_change(&with_coil, name, change).filter(|way| way.turned.is_empty())?;
        let mut family = with_coil.family.clone();
        way.put_in(&mut family, at).then_some(())?;
        let made = Prepared::with_tried(family, prepared.tried.clone()).ok()?;
        let mut checks = made.fit.checks.iter();
        let coil = checks.find(|c| c.position == name && c.kind == CheckKind::CoilOnBobbin)?;
        (coil.verdict == Verdict::Fits).then_some(way)
    })
}

fn usual() -> Option<Coil> {
    Some(Coil {
        wire: Wire::Gauge(Awg::new(THINNEST)?, Film::Single),
        until: Until::Turns(TURNS[0]),
        packing: Packing::Share(Packing::BY_HAND),
        tape: Length::ZERO,
        turning: Turning::Clockwise,
        start: Start::default(),
        hot: End::default(),
    })
}

/// What is tried, what costs nothing first.
fn changes(family: &Family, at: usize) -> Vec<Change> {
    let unit = family.unit();
    let wall = parameter("cover.wall").and_then(|wall| Some((wall, value(family, at, wall)?)));
    let thinner = wall.into_iter().flat_map(|(wall, now)| {
        let of = move |by: f64| unit.rounded(now - Length::from_mm(by));
        THINNER
            .map(of)
            .into_iter()
            .filter(|to| to.as_mm() >= wall.low)
            .map(|to| Change::Dimension(wall.path, to))
    });
    let was = family.hardware.rod_length.value();
    let longer = LONGER.map(|by| Change::Bought {
        what: Bought::RodLength,
        now: unit.rounded(was + Length::from_mm(by)),
        was,
    });
    thinner.chain(longer).collect()
}
