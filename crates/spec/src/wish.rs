//! Everything that can be wanted, in one table: what it is called, what it means, and what may be said of it.
//!
//! Lengths stand in [`PARAMETERS`], with their bounds and their place in a [`crate::Wanted`]; what is no length stands
//! here. [`wishes`] gives all of it: whoever lists, changes or explains wishes needs nothing else.

use crate::Unit;
use crate::cut_sheet::USUAL as SHEET;
use crate::in_unit::said_in;
use crate::wanted::PARAMETERS;

/// Something that can be wanted.
#[derive(Clone, Copy, Debug)]
pub struct Wish {
    /// Dotted path in the file: `cover.rounding`.
    pub path: &'static str,
    /// What it is, in one line.
    pub what: &'static str,
    /// What can be said of it.
    pub kind: WishKind,
    /// It is said of the whole family, not of a position.
    pub of_family: bool,
}

/// What can be said of a wish.
#[derive(Clone, Copy, Debug)]
pub enum WishKind {
    /// A length; none where it may be left out.
    Length {
        /// It may be `none`.
        or_none: bool,
    },
    /// One of some words.
    Words(&'static [Word]),
    /// A number between two bounds.
    Number([f64; 2]),
    /// A text, written in quotes.
    Text,
    /// As the file has it, like this.
    Written(&'static str),
}

/// A word that is typed, and what the file says for it.
#[derive(Clone, Copy, Debug)]
pub struct Word {
    /// As it is typed and shown.
    pub word: &'static str,
    /// As it is written.
    pub text: &'static str,
}

impl Word {
    /// As it is written where lengths are thought of in a unit.
    ///
    /// ```
    /// # use bobbinwright_spec::{Unit, WishKind, wish};
    /// let Some(WishKind::Words(words)) = wish("poles").map(|w| w.kind) else { panic!() };
    /// let pair = words.iter().find(|w| w.word == "pair").unwrap();
    /// assert_eq!(pair.text_in(Unit::Inch), "pair(spread: inch(0.205))");
    /// ```
    pub fn text_in(&self, unit: Unit) -> String {
        said_in(unit, self.text)
    }
}

/// A word that is written as it is typed.
const fn same(word: &'static str) -> Word {
    Word { word, text: word }
}

/// A word for more than a word.
const fn usual(word: &'static str, text: &'static str) -> Word {
    Word { word, text }
}

const fn of_position(path: &'static str, what: &'static str, kind: WishKind) -> Wish {
    Wish { path, what, kind, of_family: false }
}

const fn of_family(path: &'static str, what: &'static str, kind: WishKind) -> Wish {
    Wish { path, what, kind, of_family: true }
}

/// Covers held by bosses and by ears, and a lip, as a new family has them.
pub(crate) const BOSSES: &str = "bosses(diameter: mm(9.0), recess_diameter: mm(6.4), recess_depth: mm(2.4))";
pub(crate) const EARS: &str = "ears(thickness: mm(3.0), blend: mm(0.4))";
pub(crate) const LIP: &str = "(gap: mm(0.25), wall: mm(1.2), height: mm(1.6))";
/// A coil, as a new family's file proposes it.
pub(crate) const COIL: &str = "(wire: awg(number: 42, film: single), wind: turns(7500))";

const NONE: Word = same("none");
const FINISH: WishKind = WishKind::Words(&[
    same("sanded"),
    usual("primed", "coats(primer: 2)"),
    usual("painted", "coats(primer: 2, paint: 3)"),
    usual("clear_coated", "coats(primer: 2, paint: 3, clear: 2)"),
    NONE,
]);
const COATS: WishKind = WishKind::Number([0.0, 12.0]);
const SIDES: WishKind = WishKind::Words(&[same("neck"), same("bridge"), same("bass"), same("treble")]);
const ON_BED: WishKind = WishKind::Words(&[
    same("underside"),
    same("top"),
    same("bass"),
    same("treble"),
    same("neck"),
    same("bridge"),
    NONE,
]);

/// What is no length. Groups that may be there or not have a usual form, to begin with.
const OTHERS: [Wish; 48] = [
    of_family("title", "what the family is called, for people", WishKind::Text),
    of_family("strings", "how many strings", WishKind::Number([4.0, 12.0])),
    of_family("handed", "for which hand it is strung", WishKind::Words(&[same("right"), same("left")])),
    of_family(
        "like",
        "the folder of a family that says what this one does not, as seen from this one's",
        WishKind::Text,
    ),
    of_family("printer", "the printer's folder, as seen from the family's", WishKind::Text),
    of_position(
        "poles",
        "one rod under each string, or two with the string between",
        WishKind::Words(&[same("single"), usual("pair", "pair(spread: mm(5.2))")]),
    ),
    of_position(
        "cover.mounting",
        "how the screws hold the cover: through it, or through tabs beside it",
        WishKind::Words(&[usual("bosses", BOSSES), usual("ears", EARS)]),
    ),
    of_position(
        "cover.outline",
        "what the cover of a rout that is no rectangle is: the same, or the largest rectangle that goes in",
        WishKind::Words(&[same("as_routed"), same("rectangle")]),
    ),
    of_position("cover.lead_out.side", "the side of the lead's notch", SIDES),
    of_position(
        "baseplate.lip",
        "the ring on the baseplate that plugs into the hollow",
        WishKind::Words(&[usual("usual", LIP), NONE]),
    ),
    of_position(
        "flatwork.eyelets.side",
        "the edge at which the eyelets sit",
        WishKind::Words(&[same("neck"), same("bridge")]),
    ),
    of_position(
        "flatwork.sheet",
        "the sheet that the flatwork is cut from, by a laser or a router; none where it is printed",
        WishKind::Words(&[usual("usual", SHEET), NONE]),
    ),
    of_position(
        "rout.channel",
        "the side of the rout that the wire channel opens in",
        WishKind::Words(&[same("neck"), same("bridge"), same("bass"), same("treble"), NONE]),
    ),
    of_position(
        "rout.ear_recesses",
        "whether the body has recesses for ears: one at each end, or a list of sides, that of screw 1 first",
        WishKind::Written("true, false or [neck, bridge]"),
    ),
    of_position(
        "rout.outline",
        "what the rout was routed as: its sides square to each other, its ends leaning alike, or four straight sides",
        WishKind::Words(&[same("rectangle"), same("parallelogram"), same("trapezoid")]),
    ),
    of_position(
        "rout.slant",
        "how far the row is from square to the strings, the bass end nearer to the neck; minus for the treble end",
        WishKind::Written("degrees(8)"),
    ),
    of_position("rout.screws", "how many screws hold the pickup", WishKind::Number([1.0, 6.0])),
    of_position("coil", "what is wound on the bobbin", WishKind::Words(&[usual("usual", COIL), NONE])),
    of_position("coil.wire", "the wire", WishKind::Written("awg(number: 42, film: single)")),
    of_position(
        "coil.wind",
        "when winding ends",
        WishKind::Written("turns(7800), ohms(6200) or henries(2.4)"),
    ),
    of_position(
        "coil.packing",
        "how much of the coil's section is wire",
        WishKind::Written("0.65, or measured(turns: 7600, across: mm(12.4))"),
    ),
    of_position("coil.tape", "thickness of the tape round the rods", WishKind::Written("mm(0.06)")),
    of_position(
        "coil.turning",
        "which way the wire runs, seen from the top plate",
        WishKind::Words(&[same("clockwise"), same("anticlockwise")]),
    ),
    of_position(
        "coil.start",
        "the eyelet at which the wire begins",
        WishKind::Words(&[same("bass"), same("treble")]),
    ),
    of_position(
        "coil.hot",
        "which end of the wire leads to the output; the other one is grounded",
        WishKind::Words(&[same("start"), same("finish")]),
    ),
    of_position(
        "magnets",
        "what the rods are made of",
        WishKind::Words(&[
            same("alnico2"),
            same("alnico3"),
            same("alnico4"),
            same("alnico5"),
            same("alnico8"),
            same("ferrite"),
            same("neodymium"),
            NONE,
        ]),
    ),
    of_position("north", "which end of the rods is north", WishKind::Words(&[same("up"), same("down")])),
    of_position(
        "string_set.wound_from",
        "the thinnest string that is wound, by its number; 13 where none is",
        WishKind::Number([1.0, 13.0]),
    ),
    of_position(
        "string_set.wrap",
        "what is wrapped round the wound strings' cores",
        WishKind::Words(&[same("steel"), same("plated_steel"), same("nickel"), same("bronze")]),
    ),
    of_position(
        "string_set.core",
        "the shape of the wound strings' cores",
        WishKind::Words(&[same("round"), same("hex")]),
    ),
    of_position(
        "string_set.cores",
        "how thick the wound strings' cores are, from the thinnest on",
        WishKind::Written("mm([0.36, 0.41, 0.46])"),
    ),
    of_position("load.cable", "the cable's capacitance", WishKind::Written("picofarads(450)")),
    of_position("load.volume", "the volume's resistance", WishKind::Written("kilohms(250)")),
    of_position("load.tone", "the tone control's resistance", WishKind::Written("kilohms(250), or off")),
    of_position("load.capacitor", "the tone control's capacitor", WishKind::Written("nanofarads(22)")),
    of_position("load.input", "the resistance of what it is plugged into", WishKind::Written("megohms(1)")),
    of_position("finish.cover", "what is done to the cover's outside when it is printed", FINISH),
    of_position("finish.cover.primer", "its coats of primer", COATS),
    of_position("finish.cover.paint", "its coats of paint", COATS),
    of_position("finish.cover.clear", "its coats of clear", COATS),
    of_position("finish.baseplate", "the same for the baseplate's edge", FINISH),
    of_position("finish.baseplate.primer", "its coats of primer", COATS),
    of_position("finish.baseplate.paint", "its coats of paint", COATS),
    of_position("finish.baseplate.clear", "its coats of clear", COATS),
    of_position("on_bed.cover", "the cover's side that lies on the printer's bed", ON_BED),
    of_position("on_bed.baseplate", "the baseplate's", ON_BED),
    of_position("on_bed.flatwork_bottom", "the bottom plate's", ON_BED),
    of_position("on_bed.flatwork_top", "the top plate's", ON_BED),
];

/// All that can be wanted: what is of the family first, then the lengths, then the rest.
pub fn wishes() -> impl Iterator<Item = Wish> {
    let lengths =
        PARAMETERS.iter().map(|p| of_position(p.path, p.what, WishKind::Length { or_none: p.or_none }));
    let (family, rest): (Vec<Wish>, Vec<Wish>) = OTHERS.into_iter().partition(|wish| wish.of_family);
    family.into_iter().chain(lengths).chain(rest)
}

/// Looks one up by its path.
pub fn wish(path: &str) -> Option<Wish> {
    wishes().find(|wish| wish.path == path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::magnets::Alloy;

    #[test]
    fn every_alloy_can_be_wanted() {
        let Some(Wish { kind: WishKind::Words(words), .. }) = wish("magnets") else { panic!("no words") };
        let words: Vec<&str> = words.iter().map(|w| w.word).filter(|w| *w != "none").collect();
        assert_eq!(words, Alloy::ALL.map(|(word, _)| word));
    }

    #[test]
    fn nothing_stands_in_the_table_twice() {
        let mut all: Vec<&str> = wishes().map(|w| w.path).collect();
        let many = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), many);
        assert!(wishes().all(|w| !w.what.is_empty()));
    }
}
