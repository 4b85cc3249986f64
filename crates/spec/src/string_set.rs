//! What the strings are made of, as their packet says: `string_set: (wound_from: 4, wrap: nickel, core: hex)`.

use crate::Length;
use crate::coil::Mistaken;
use crate::reader::{Noted, Record, choice, lengths, number};

/// A set of strings, as far as it is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StringSet {
    /// The first string that is wound; all thicker ones are.
    pub wound_from: Option<usize>,
    /// What is wrapped round their cores.
    pub wrap: Option<Wrap>,
    /// What shape their cores have.
    pub core: Option<Core>,
    /// How thick their cores are, from the thinnest wound string on.
    pub cores: Vec<Length>,
}

/// What is wrapped round a core.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrap {
    /// Steel, stainless or not.
    Steel,
    /// Steel with nickel on it.
    PlatedSteel,
    /// Nickel.
    Nickel,
    /// Bronze, or anything else that no magnet draws.
    Bronze,
}

/// The shape of a core.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Core {
    /// Round.
    Round,
    /// Six-sided; its thickness is from side to side.
    Hex,
}

impl Wrap {
    /// The words used in files.
    pub const ALL: [(&'static str, Wrap); 4] = [
        ("steel", Wrap::Steel),
        ("plated_steel", Wrap::PlatedSteel),
        ("nickel", Wrap::Nickel),
        ("bronze", Wrap::Bronze),
    ];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, wrap)| *wrap == self).map_or("", |(word, _)| word)
    }
}

impl Core {
    /// The words used in files.
    pub const ALL: [(&'static str, Core); 2] = [("round", Core::Round), ("hex", Core::Hex)];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, core)| *core == self).map_or("", |(word, _)| word)
    }
}

/// Reads the set; what is not stated is not known.
pub(crate) fn read(position: &mut Record, noted: &mut Noted) -> Result<StringSet, Mistaken> {
    if position.get("string_set").is_none() {
        return Ok(StringSet::default());
    }
    let record = position.sub("string_set", noted).ok_or(Mistaken)?;
    set(record, noted).ok_or(Mistaken)
}

fn set(mut record: Record, noted: &mut Noted) -> Option<StringSet> {
    let mut sound = true;
    let mut set = StringSet::default();
    if let Some(node) = record.get("wound_from") {
        let value = number(node, "string_set.wound_from", noted)?;
        sound = value.fract() == 0.0 && (1.0..=13.0).contains(&value);
        if !sound {
            let hint = "write the number of the thinnest string that is wound, 1 to 12; 13 where none is";
            noted.error(node.span, format!("string_set.wound_from is {value}"), hint);
        }
        set.wound_from = Some(value as usize);
    }
    if let Some(node) = record.get("wrap") {
        set.wrap = choice(node, "string_set.wrap", &Wrap::ALL, noted);
        sound &= set.wrap.is_some();
    }
    if let Some(node) = record.get("core") {
        set.core = choice(node, "string_set.core", &Core::ALL, noted);
        sound &= set.core.is_some();
    }
    if let Some(node) = record.get("cores") {
        let errors = noted.errors();
        set.cores = lengths(node, "string_set.cores", noted);
        let bounds = Length::from_mm(0.1)..=Length::from_mm(2.5);
        if let Some(odd) = set.cores.iter().find(|core| !bounds.contains(core)) {
            let hint = "cores are 0.1 to 2.5 mm thick; write them from the thinnest wound string on";
            noted.error(node.span, format!("a core of {odd} makes no sense here"), hint);
        }
        if set.wound_from.is_none() {
            let hint = "state wound_from too, the number of the thinnest string that is wound";
            noted.error(node.span, "string_set.cores does not say of which strings", hint);
        }
        sound &= noted.errors() == errors;
    }
    record.finish(noted);
    sound.then_some(set)
}
