//! What a coil is, in words: a label and what it says.

use std::fmt::Write;

use bobbinwright_coil::wire::Within;
use bobbinwright_core::what_to_do;
use bobbinwright_fit::Verdict;
use bobbinwright_spec::Unit;
use bobbinwright_spec::coil::{End, Packing, Wire};
use bobbinwright_words::fine;
use bobbinwright_words::room::limit_in_words;

use super::ends::Ends;
use super::ohms::kiloohms;
use super::response;
use super::strings;
use super::tested;
use super::{OnBobbin, Other, Winding};

/// `AWG 42, single film`.
fn wire(wire: Wire) -> String {
    match wire {
        Wire::Gauge(awg, film) => format!("AWG {}, {} film", awg.number(), film.word()),
        Wire::Diameters(..) => "as stated".to_owned(),
    }
}

/// All of them, in the order of the sheet.
pub(super) fn facts(winding: &Winding) -> Vec<(String, String)> {
    let hindrances = winding.to_change();
    let mut all = winds(winding);
    all.extend(measures(winding));
    all.push(("Thickness of the coil", thickness(winding)));
    all.extend(packing(winding).map(|words| ("Packing", words)));
    all.push(("Thickest wire", thickest(winding)));
    let coil = &winding.coil;
    all.push((
        "Length and mass",
        format!("{:.0} m of wire, {:.1} g of copper", coil.wire_length(), coil.mass()),
    ));
    let mut all: Vec<(String, String)> = all.into_iter().map(|(l, w)| (l.to_owned(), w)).collect();
    let [least, expected, most] = winding.resistance().map(kiloohms);
    let label = format!("Resistance at {} °C", winding.celsius);
    let words = format!("{expected} ({least} to {most}; 0.4 % more for a degree)");
    all.insert(6, (label, words));
    all.push(("To test".to_owned(), tested::expected(winding)));
    all.extend(tested::found(winding));
    if let Some(evening) = winding.magnets.as_ref().and_then(|m| m.evening.as_ref()) {
        all.push(("Strings".to_owned(), strings::evenness(evening, winding.unit())));
    }
    let alarms = winding.on_bobbin.iter().flat_map(OnBobbin::alarms);
    let alarms = alarms.map(|words| ("Look at first".to_owned(), words));
    let hindrances = hindrances.into_iter().map(|words| ("Change first".to_owned(), words));
    alarms.chain(hindrances).chain(so_far(winding)).chain(all).collect()
}

impl Winding<'_> {
    /// What is to be changed before it is wound, or wound on.
    pub fn to_change(&self) -> Vec<String> {
        self.hindrances().map(|check| what_to_do(self.prepared, check)).collect()
    }
}

/// What is wound, and what that tells of the rest.
fn so_far(winding: &Winding) -> Vec<(String, String)> {
    let Some(on_bobbin) = &winding.on_bobbin else { return Vec::new() };
    let all = [
        ("Wound so far", on_bobbin.so_far()),
        ("Wire and hand", on_bobbin.learnt()),
        // At the winder it is as warm as it was at the last stop.
        ("The rest", on_bobbin.ahead(on_bobbin.celsius().unwrap_or(winding.celsius))),
    ];
    all.into_iter().filter_map(|(label, words)| Some((label.to_owned(), words?))).collect()
}

/// Of what breaks a wire, so much is wound with (common practice: 15 to 30 g for number 42).
const TENSION: [f64; 2] = [0.2, 0.4];

/// What the hands do.
fn winds(winding: &Winding) -> Vec<(&'static str, String)> {
    let (coil, wanted) = (&winding.coil, &winding.wanted);
    let diameter = |within: Within| fine(within.nominal, winding.unit());
    let hot = Ends::of(winding).hot;
    let side_by_side = coil.bobbin.height / coil.wire.overall.nominal;
    let layers = (coil.turns / side_by_side).ceil();
    vec![
        (
            "Wire",
            format!(
                "{}: {} of copper, {} over the film",
                wire(wanted.wire),
                diameter(coil.wire.bare),
                diameter(coil.wire.overall)
            ),
        ),
        (
            "Turns",
            format!(
                "{:.0}, the wire runs {} seen from the top plate (the bobbin turns {}); {:.0} side by side make a layer, {layers:.0} layer{}; room for {:.0} turns if they are packed just so",
                coil.turns,
                wanted.turning.word(),
                wanted.turning.other().word(),
                side_by_side,
                if layers > 1.0 { "s" } else { "" },
                (coil.most_turns() / 50.0).floor() * 50.0
            ),
        ),
        (
            "At the winder",
            format!(
                "{:.0} to {:.0} g of tension (the wire breaks at {:.0} g), {} of traverse between the plates",
                TENSION[0] * coil.wire.breaks_at(),
                TENSION[1] * coil.wire.breaks_at(),
                coil.wire.breaks_at(),
                winding.unit().shown(coil.bobbin.height)
            ),
        ),
        ("To note", to_note(winding)),
        ("Rods", format!("{} up, at the strings, in all of them", winding.position.wanted.north.pole())),
        (
            "Start and finish",
            format!(
                "start at the eyelet on the {} side, finish at that on the {} side; the {} is hot, the {} is grounded{}",
                wanted.start.word(),
                wanted.start.other().word(),
                hot.word(),
                hot.other().word(),
                outside(hot)
            ),
        ),
    ]
}

/// What belongs beside the figures, with room for what is not known yet.
fn to_note(winding: &Winding) -> String {
    let blank = "________";
    let last = winding.on_bobbin.as_ref().and_then(|on| Some((on, &on.stops.last()?.1)));
    let spool = last.and_then(|(on, _)| on.spool.as_deref()).unwrap_or(blank);
    let meter = last.and_then(|(_, stop)| Some(stop.meter.as_ref()?.name.as_str())).unwrap_or(blank);
    let thermometer =
        last.and_then(|(_, stop)| Some(stop.thermometer.as_ref()?.name.as_str())).unwrap_or(blank);
    format!("spool {spool}, its film {blank}, meter {meter}, thermometer {thermometer}")
}

/// What that makes of the coil's outside.
fn outside(hot: End) -> &'static str {
    match hot {
        End::Start => ", and with it the coil's outside",
        End::Finish => {
            ": the coil's outside is hot and hums more when a hand comes near, unless foil surrounds it"
        }
    }
}

/// What can be measured when it is wound.
fn measures(winding: &Winding) -> Vec<(&'static str, String)> {
    let alone = winding.spread.empty.0;
    // Coils of few turns, wound for an amplifier beside them, have thousandths of a henry.
    let (part, unit, digits) =
        if alone < 0.2 { (1e-3, "mH", usize::from(alone < 0.02)) } else { (1.0, "H", 2) };
    let [least, expected, most] = winding.spread.low().map(|l| l.0);
    let [alone, least, expected, most] =
        [alone, least, expected, most].map(|l| format!("{:.digits$}", l / part));
    let rods = match winding.position.wanted.magnets {
        Some(alloy) => format!("rods of {}", alloy.word()),
        None => "rods of alnico, which of them is not stated (magnets says it),".to_owned(),
    };
    let [few, many] = winding.spread.capacitances().map(|c| c.0 * 1e12);
    vec![
        (
            "Inductance",
            format!(
                "{expected} {unit} ({least} to {most} {unit}) with {rods} at low notes, {alone} {unit} without rods"
            ),
        ),
        (
            "Capacitance",
            format!(
                "{few:.0} to {many:.0} pF, by its layers: from turns apart in air to turns that touch in wax, {}",
                match Ends::of(winding).hot {
                    End::Start => "its hot inner turns beside rods that may be grounded",
                    End::Finish => "its inner turns grounded",
                }
            ),
        ),
        ("Peak", response::peaks(winding)),
    ]
}

fn thickness(winding: &Winding) -> String {
    let coil = &winding.coil;
    let core = coil.bobbin.core;
    let outer = (core.radius + coil.build()) * 2.0;
    let stands = match winding.verdict() {
        Verdict::Fits => "it fits",
        Verdict::TooClose => "whether it fits is too close to call",
        Verdict::Clashes => "it does not fit",
    };
    let limit = limit_in_words(winding.limit());
    let [build, room, long, wide] =
        [coil.build(), coil.bobbin.room, core.span + outer, outer].map(|l| winding.unit().shown(l));
    format!("{build} on each side of the rods, {room} to {limit}; {stands}; {long} by {wide} over all")
}

/// What a wound coil says about how tightly it is wound.
fn packing(winding: &Winding) -> Option<String> {
    let Packing::Measured { turns, across } = winding.wanted.packing else { return None };
    let packed = winding.coil.packing;
    let coil = format!("a coil of {turns:.0} turns that measures {} across", winding.unit().shown(across));
    Some(match packed.refused {
        None => format!("{:.2}, by {coil}", packed.share),
        Some(share) => format!(
            "{coil} would be packed to {share:.2}, where 0.3 to 0.907 is possible: count and measure it again; {:.2} is taken",
            packed.share
        ),
    })
}

/// The thickest wire of which as many turns have room.
fn thickest(winding: &Winding) -> String {
    let has_room = |other: &&Other| other.has_room() == Verdict::Fits;
    let found = winding.others.iter().find(has_room);
    let own = match winding.wanted.wire {
        Wire::Gauge(gauge, _) => Some(gauge),
        Wire::Diameters(..) => None,
    };
    let thicker = found.map(|o| o.gauge).filter(|found| own.is_some_and(|own| *found < own));
    if winding.verdict() == Verdict::Fits && own.is_some() && thicker.is_none() {
        return "this is the thickest that has room".to_owned();
    }
    let Some(found) = found else { return "none from 40 to 46 has room".to_owned() };
    let resistance = kiloohms(found.coil.resistance(winding.celsius));
    format!("AWG {} has room: {:.0} turns, {resistance}", found.gauge.number(), found.coil.turns)
}

impl Other {
    /// Has it room, wound as loosely as that hand may wind?
    pub(super) fn has_room(&self) -> Verdict {
        match self.coil.builds().map(|build| build <= self.coil.bobbin.room) {
            [_, true] => Verdict::Fits,
            [true, false] => Verdict::TooClose,
            [false, false] => Verdict::Clashes,
        }
    }
}

impl Winding<'_> {
    /// In which the family was measured.
    pub(super) fn unit(&self) -> Unit {
        self.prepared.family.unit()
    }

    /// What the coil is: labels, and what they say.
    pub fn facts(&self) -> Vec<(String, String)> {
        facts(self)
    }

    /// What tests of it came to, judged: labels, and what they say.
    pub fn tested(&self) -> Vec<(String, String)> {
        tested::found(self)
    }

    /// The coil, and what hinders it, for the screen.
    pub fn text(&self) -> String {
        let mut out = format!("{}:\n", self.position.name);
        for (label, words) in facts(self) {
            // Writing to a String does not fail.
            let _ = writeln!(out, "  {label:22} {words}");
        }
        out
    }
}
