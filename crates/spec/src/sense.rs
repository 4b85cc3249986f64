//! Slips that only sense can find: nothing contradicts them, and yet nobody means them. Pointed out, never refused.

use crate::Length;
use crate::how::How;
use crate::live::live_readings;
use crate::log::{Log, Matter};
use crate::measured::Measured;
use crate::problem::{Problem, Span};
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};
use crate::reader::Noted;
use crate::tool::Tool;

/// A tool that is entered again and is so many times coarser or finer is another one, or mistyped.
const UNLIKE: f64 = 10.0;

/// Notes packets that promise to be never off, tools that became others, positions that lie in each other, holes that hold no screw.
pub(crate) fn note(log: &Log, measured: &Measured, positions: &[String], noted: &mut Noted) {
    packets(log, noted);
    tools(log, noted);
    noted.problems.extend(positions.iter().filter_map(|position| holds_no_screw(measured, position)));
    for (i, one) in positions.iter().enumerate() {
        for other in &positions[i + 1..] {
            noted.problems.extend(overlap(measured, one, other));
        }
    }
}

/// A hole in the body is drilled narrower than its screw, which bites into what is left. What is read over it is off by half of
/// what its diameter is.
fn holds_no_screw(measured: &Measured, position: &str) -> Option<Problem> {
    let hole = Quantity::At(position.to_owned(), PositionQuantity::ScrewHole);
    let screw = Quantity::Instrument(InstrumentQuantity::ScrewDiameter);
    let taken = measured.taken.get(&hole)?;
    let [wide, thread] = [measured.estimates.get(&hole)?, measured.estimates.get(&screw)?];
    let more = wide.clone() - thread.clone();
    if more.value().as_mm() < 2.0 * more.uncertainty().as_mm() {
        return None;
    }
    let message = format!(
        "{hole} is {} (last in entry {}), and {screw} {}: it would hold no screw",
        wide.value(),
        taken.entry,
        thread.value()
    );
    let hint = "read both again: where screws stand is read over that hole, and off by half of what it is; where it is so wide it is plugged and drilled again";
    Some(Problem::notice(taken.span, message).hint(hint))
}

fn packets(log: &Log, noted: &mut Noted) {
    for (entry, reading) in live_readings(log) {
        let (who, hint) = match reading.how {
            How::Packet(Length::ZERO) => (
                "the packet",
                "what a packet states is off by some hundredths: withdraw it, and say within what it is meant",
            ),
            How::Planned(Length::ZERO) => (
                "the plan",
                "what is routed and drilled by hand is off by some tenths: withdraw it, and say within what it will come out",
            ),
            _ => continue,
        };
        let message =
            format!("entry {}: {who} of {} promises to be never off", entry.number, reading.quantity);
        noted.problems.push(Problem::notice(entry.span, message).hint(hint));
    }
}

fn tools(log: &Log, noted: &mut Noted) {
    let all = log.entries.iter().filter_map(|e| match &e.matter {
        Matter::Tool(tool) => Some((e, tool)),
        _ => None,
    });
    let mut known: Vec<&Tool> = Vec::new();
    for (entry, tool) in all {
        if let Some(before) = known.iter().find(|t| t.name == tool.name) {
            let times = tool.outside / before.outside;
            if !(1.0 / UNLIKE..=UNLIKE).contains(&times) {
                let message = format!(
                    "entry {}: {:?} is entered again with {} where it had {}",
                    entry.number, tool.name, tool.outside, before.outside
                );
                let hint =
                    "is it another tool? Then give it another name; every reading from here on counts by it";
                noted.problems.push(Problem::notice(entry.span, message).hint(hint));
            }
        }
        known.retain(|t| t.name != tool.name);
        known.push(tool);
    }
}

/// Two routs that would be one hole: their middles are nearer than half of both widths.
fn overlap(measured: &Measured, one: &str, other: &str) -> Option<Problem> {
    let at = |position: &str, of| Quantity::At(position.to_owned(), of);
    let known = |quantity: &Quantity| measured.estimates.get(quantity);
    let place = |position: &str| known(&at(position, PositionQuantity::BridgeDistance));
    let width = |position: &str| known(&at(position, PositionQuantity::RoutWidth));
    let apart = (place(one)?.clone() - place(other)?.clone()).value().abs();
    let needed = (width(one)?.value() + width(other)?.value()) * 0.5;
    if apart >= needed {
        return None;
    }
    let taken = [one, other].map(|p| measured.taken.get(&at(p, PositionQuantity::BridgeDistance)));
    let span = taken.into_iter().flatten().max_by_key(|t| t.entry).map_or_else(Span::default, |t| t.span);
    let message = format!(
        "{one} and {other} lie in each other: {apart} from middle to middle, where their routs are {needed} wide together"
    );
    let hint = "read both distances from the saddles again: is one the other's?";
    Some(Problem::notice(span, message).hint(hint))
}
