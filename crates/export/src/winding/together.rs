//! Two coils joined, in words: signal, hum, peak, and what to swap.

use bobbinwright_coil::magnet::output::Level;
use bobbinwright_coil::pair::{Joined, Source, Together, add_and_cancel, alone, together as joined_level};
use bobbinwright_coil::response::Response;
use bobbinwright_coil::winding::Resistance;
use serde_json::{Value, json};

use super::Winding;
use super::ends::Ends;
use super::ohms::kiloohms;
use super::response::{BESIDE, notes};

/// So far under one coil alone hum is as good as gone, dB (common practice).
const GONE: f64 = -20.0;
/// Coils whose levels are nearer than this are told as one, dB (common practice: a difference that can't be heard).
const ALIKE: f64 = 0.5;

/// Every two of some coils.
pub(super) fn pairs<'w, 'p>(
    windings: &'w [Winding<'p>],
) -> impl Iterator<Item = (&'w Winding<'p>, &'w Winding<'p>)> {
    windings.iter().enumerate().flat_map(|(i, a)| windings[i + 1..].iter().map(move |b| (a, b)))
}

fn source(winding: &Winding) -> Source {
    let Ends { north, hot, turning, .. } = Ends::of(winding);
    Source {
        turns: winding.coil.turns,
        area: winding.coil.area_turns(),
        resistance: winding.resistance()[1],
        inductance: winding.spread.low()[1],
        north,
        turning,
        hot,
    }
}

/// What every two coils do together: first in a sentence, then what series and parallel give.
pub fn together(windings: &[Winding]) -> Vec<String> {
    let of = |(a, b): (&Winding, &Winding)| [sentence(a, b), figures(a, b)];
    pairs(windings).flat_map(of).collect()
}

/// The sentences alone.
pub(super) fn in_short(windings: &[Winding]) -> Vec<String> {
    pairs(windings).map(|(a, b)| sentence(a, b)).collect()
}

/// What is said of a position's coil beside another one that it sounds thin with.
pub(super) fn thin(windings: &[Winding], position: &str) -> Option<String> {
    let is_one = |(a, b): &(&Winding, &Winding)| [a, b].iter().any(|w| w.position.name == position);
    let mut pairs = pairs(windings).filter(is_one);
    pairs.find(|(a, b)| !add_and_cancel(&source(a), &source(b))[0]).map(|(a, b)| sentence(a, b))
}

fn sentence(a: &Winding, b: &Winding) -> String {
    let (one, other) = (source(a), source(b));
    let (name, beside) = (&a.position.name, &b.position.name);
    let hum = joined_level(&one, &other, Joined::Series).hum.0;
    let cancel = |hum: f64| if hum <= GONE { "cancel hum" } else { "cancel part of the hum" };
    let so = match add_and_cancel(&one, &other) {
        [true, true] if hum <= GONE => "together they cancel hum and sound full".to_owned(),
        [true, true] => format!(
            "together they sound full but cancel only part of the hum, since {name}'s turns enclose {:.0} % of what {beside}'s do; {}",
            100.0 * one.area / other.area,
            alike([(a, one.area), (b, other.area)])
        ),
        [true, false] => format!(
            "together they sound full, and hum as each does alone; turn the rods of {beside} over and swap its two leads, then they {}",
            cancel(hum_left(&one, &other))
        ),
        [false, false] => format!(
            "together they sound thin and hum: swap the two leads of {beside}{}, then they sound full and {}",
            swapped(b),
            cancel(hum_left(&one, &other))
        ),
        [false, true] => format!(
            "together they sound thin: turn the rods of {beside} over, then they sound full and {}; or swap its two leads{}, then they sound full and hum",
            cancel(hum),
            swapped(b)
        ),
    };
    let found =
        if [a, b].iter().any(|w| Ends::of(w).is_otherwise) { ", by what was tested and entered" } else { "" };
    format!("{name} and {beside}{found}: {so}.")
}

/// How swapping two leads is stated, where they are not soldered yet.
fn swapped(winding: &Winding) -> String {
    let is_soldered = winding.prepared.family.winds.hot(&winding.position.name).is_some();
    let hot = Ends::of(winding).hot.other().word();
    if is_soldered { String::new() } else { format!(" (coil.hot: {hot})") }
}

/// With how many turns of the one or the other two coils would enclose as much: of one that is not wound yet, and that has
/// room for them.
fn alike([(a, area_a), (b, area_b)]: [(&Winding, f64); 2]) -> String {
    let of = |winding: &Winding, area: f64| {
        let turns = winding.coil.turns_for_area(area).round();
        let wound =
            winding.on_bobbin.as_ref().and_then(|on| on.stops.last()).map_or(0.0, |stop| stop.1.turns);
        (turns >= wound && turns <= winding.coil.most_turns())
            .then(|| format!("with {turns:.0} turns on {} it would cancel", winding.position.name))
    };
    of(a, area_b).or_else(|| of(b, area_a)).unwrap_or_else(|| {
        "neither bobbin has room, or is empty enough, for the turns with which it would cancel".to_owned()
    })
}

/// Hum in series if one of them were reversed.
fn hum_left(one: &Source, other: &Source) -> f64 {
    joined_level(one, &Source { hot: other.hot.other(), ..*other }, Joined::Series).hum.0
}

fn decibels(level: Level) -> String {
    if level.0 < -40.0 {
        "under -40 dB".to_owned()
    } else {
        format!("{:+.1} dB", super::strings::tidy(level.0))
    }
}

fn figures(a: &Winding, b: &Winding) -> String {
    let (one, other) = (source(a), source(b));
    let of = |joined| {
        let level = joined_level(&one, &other, joined);
        let [low, _, high] = response(a, b, joined).peak().map(|peak| peak.hertz / 1000.0);
        format!(
            "signal {}, hum {}, {}, peak {low:.1} to {high:.1} kHz",
            decibels(level.signal),
            decibels(level.hum),
            kiloohms(resistance(a, b, joined))
        )
    };
    let each = alone(&one, &other);
    // Coils that are alike need no telling.
    let is_alike = each.iter().all(|one| one.signal.0.abs() < ALIKE && one.hum.0.abs() < ALIKE);
    let of_one = |(winding, level): (&&Winding, &Together)| {
        format!(
            "{} alone: signal {}, hum {}",
            winding.position.name,
            decibels(level.signal),
            decibels(level.hum)
        )
    };
    let alone: Vec<String> = [a, b].iter().zip(&each).map(of_one).collect();
    let alone = if is_alike { String::new() } else { format!("; {}", alone.join(", ")) };
    format!(
        "{} and {} in series (one's hot to the other's ground): {}; in parallel (hot to hot): {}{alone}. Levels are beside the mean of each alone{}.",
        a.position.name,
        b.position.name,
        of(Joined::Series),
        of(Joined::Parallel),
        controls(a, b)
    )
}

/// What is taken of the controls where two positions state different ones.
fn controls(a: &Winding, b: &Winding) -> &'static str {
    let of = |w: &Winding| (w.position.wanted.load.volume, w.position.wanted.load.tone);
    if of(a) == of(b) { "" } else { "; each has its own controls, and both hang on the output" }
}

fn response(a: &Winding, b: &Winding, joined: Joined) -> Response {
    a.spread.joined(&b.spread, joined, [a.position.wanted.load, b.position.wanted.load])
}

fn resistance(a: &Winding, b: &Winding, joined: Joined) -> Resistance {
    let [one, other] = [a, b].map(|w| w.resistance()[1].0);
    Resistance(match joined {
        Joined::Series => one + other,
        Joined::Parallel => one * other / (one + other),
    })
}

/// For other programs.
pub(super) fn json(windings: &[Winding]) -> Vec<Value> {
    let of = |(a, b): (&Winding, &Winding)| {
        let (one, other) = (source(a), source(b));
        let [adds, cancels] = add_and_cancel(&one, &other);
        let joined = |joined| {
            let level = joined_level(&one, &other, joined);
            let response = response(a, b, joined);
            let levels = notes().map(|hertz| response.expected_level(hertz, BESIDE)).collect::<Vec<_>>();
            json!({
                "signal_decibels": level.signal.0,
                "hum_decibels": level.hum.0,
                "ohms": resistance(a, b, joined).0,
                "peak_hertz": response.peak().map(|peak| peak.hertz),
                "decibels": levels,
            })
        };
        json!({
            "positions": [a.position.name, b.position.name],
            "signals_add": adds,
            "hum_cancels": cancels,
            "area_turns_m2": [one.area, other.area],
            "alone": alone(&one, &other).map(|level| json!({
                "signal_decibels": level.signal.0,
                "hum_decibels": level.hum.0,
            })),
            "series": joined(Joined::Series),
            "parallel": joined(Joined::Parallel),
        })
    };
    pairs(windings).map(of).collect()
}
