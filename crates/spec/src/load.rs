//! What a coil works into: `load: (cable: picofarads(450), volume: kilohms(250), tone: off)`.

use crate::coil::Mistaken;
use crate::node::{Node, NodeKind};
use crate::reader::{Noted, Record, tagged_number};

/// A resistance.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Ohms(pub f64);

/// A capacitance.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Farads(pub f64);

/// Cable, controls and amplifier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Of the cable.
    pub cable: Farads,
    /// Of the volume potentiometer, turned up.
    pub volume: Ohms,
    /// Of the tone potentiometer, turned up, with its capacitor.
    pub tone: Option<(Ohms, Farads)>,
    /// Of the amplifier's input.
    pub input: Ohms,
}

/// Usual tone controls (common practice).
const TONE: (Ohms, Farads) = (Ohms(250e3), Farads(22e-9));

impl Load {
    /// What is usual (common practice): 4.5 m of cable at 100 pF for a metre, both potentiometers 250 kΩ, the tone's
    /// capacitor 22 nF, an input of 1 MΩ.
    pub const USUAL: Self =
        Self { cable: Farads(450e-12), volume: Ohms(250e3), tone: Some(TONE), input: Ohms(1e6) };
}

/// Words for a kind of figure, what one of them is, and the least and the most that make sense.
struct Kind {
    words: [(&'static str, f64); 2],
    bounds: [f64; 2],
    example: &'static str,
}

const CABLE: Kind = Kind {
    words: [("picofarads", 1e-12), ("nanofarads", 1e-9)],
    bounds: [0.0, 10e-9],
    example: "picofarads(450)",
};
const CAPACITOR: Kind = Kind {
    words: [("nanofarads", 1e-9), ("picofarads", 1e-12)],
    bounds: [100e-12, 1e-6],
    example: "nanofarads(22)",
};
const POTENTIOMETER: Kind =
    Kind { words: [("kilohms", 1e3), ("megohms", 1e6)], bounds: [1e3, 20e6], example: "kilohms(250)" };

/// Reads the load; the usual one for what is not stated.
pub(crate) fn read(position: &mut Record, noted: &mut Noted) -> Result<Load, Mistaken> {
    if position.get("load").is_none() {
        return Ok(Load::USUAL);
    }
    let record = position.sub("load", noted).ok_or(Mistaken)?;
    load(record, noted).ok_or(Mistaken)
}

fn load(mut record: Record, noted: &mut Noted) -> Option<Load> {
    let Load { cable, volume, tone: _, input } = Load::USUAL;
    let cable = figure(&mut record, "cable", &CABLE, cable.0, noted);
    let volume = figure(&mut record, "volume", &POTENTIOMETER, volume.0, noted);
    let input = figure(&mut record, "input", &POTENTIOMETER, input.0, noted);
    let tone = tone(&mut record, noted);
    record.finish(noted);
    Some(Load { cable: Farads(cable?), volume: Ohms(volume?), tone: tone.ok()?, input: Ohms(input?) })
}

/// None where the tone control is off.
fn tone(record: &mut Record, noted: &mut Noted) -> Result<Option<(Ohms, Farads)>, Mistaken> {
    let (Ohms(usual), Farads(usual_capacitor)) = TONE;
    let capacitor = figure(record, "capacitor", &CAPACITOR, usual_capacitor, noted).ok_or(Mistaken)?;
    if record.get("tone").is_some_and(|node| node.kind == NodeKind::Word("off".to_owned())) {
        return Ok(None);
    }
    let tone = figure(record, "tone", &POTENTIOMETER, usual, noted).ok_or(Mistaken)?;
    Ok(Some((Ohms(tone), Farads(capacitor))))
}

fn figure(
    record: &mut Record,
    name: &'static str,
    kind: &Kind,
    usual: f64,
    noted: &mut Noted,
) -> Option<f64> {
    let Some(node) = record.get(name) else { return Some(usual) };
    read_figure(node, name, kind, noted)
}

fn read_figure(node: &Node, name: &str, kind: &Kind, noted: &mut Noted) -> Option<f64> {
    let found = tagged_number(node).and_then(|(tag, value)| {
        let (_, one) = kind.words.iter().find(|(word, _)| *word == tag)?;
        Some(value * one)
    });
    let Some(value) = found else {
        noted.error(node.span, format!("load.{name}: of what?"), format!("write {}", kind.example));
        return None;
    };
    let [least, most] = kind.bounds;
    if !(least..=most).contains(&value) {
        let (word, one) = kind.words[0];
        let in_words = |value: f64| format!("{word}({})", (value / one * 1e6).round() / 1e6);
        let message = format!("load.{name} is {}, which makes no sense here", in_words(value));
        noted.error(node.span, message, format!("use {} to {}", in_words(least), in_words(most)));
        return None;
    }
    Some(value)
}
