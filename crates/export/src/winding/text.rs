//! All coils as Markdown.

use std::fmt::Write;

use super::bench::{CAUTIONS, order, to_buy};
use super::controls;
use super::facts::facts;
use super::ohms::kiloohms;
use super::strings;
use super::together::{pairs, together};
use super::{Other, Winding};
use crate::plain::plain;
use bobbinwright_core::Prepared;
use bobbinwright_fit::Verdict;
use bobbinwright_spec::Unit;

/// A line for another wire.
pub(super) fn other(other: &Other, celsius: f64, unit: Unit) -> [String; 4] {
    let coil = &other.coil;
    let fits = match other.has_room() {
        Verdict::Fits => "has room",
        Verdict::TooClose => "too close to call",
        Verdict::Clashes => "has no room",
    };
    [
        format!("AWG {}", other.gauge.number()),
        format!("{:.0} turns", coil.turns),
        kiloohms(coil.resistance(celsius)),
        format!("{}, {fits}", unit.shown(coil.build())),
    ]
}

/// The file.
pub(super) fn markdown(prepared: &Prepared, windings: &[Winding]) -> String {
    let mut out = format!("# Winding: {}\n", plain(&prepared.family.title));
    for winding in windings {
        position(&mut out, prepared, winding);
    }
    if windings.len() > 1 {
        list(&mut out, "## Together", together(windings));
        for (a, b) in pairs(windings) {
            let (a, b) = (&a.position.name, &b.position.name);
            // Writing to a String does not fail.
            let _ = writeln!(out, "\n![{a} and {b}: joined]({a}-{b}-joined.svg)");
        }
    }
    for (name, _) in controls::pages(windings) {
        // Writing to a String does not fail.
        let _ = writeln!(out, "\n![{}]({name}.svg)", name.replace('-', " "));
    }
    let _ = writeln!(out, "\n## In this order\n");
    for (number, line) in (1..).zip(order(prepared)) {
        let _ = writeln!(out, "{number}. {line}");
    }
    list(&mut out, "## Take care", CAUTIONS.map(str::to_owned));
    out
}

fn list(out: &mut String, title: &str, lines: impl IntoIterator<Item = String>) {
    let _ = writeln!(out, "\n{title}\n");
    for line in lines {
        let _ = writeln!(out, "- {line}");
    }
}

fn table<const N: usize>(
    out: &mut String,
    title: &str,
    head: [&str; N],
    rows: impl IntoIterator<Item = [String; N]>,
) {
    let line = head.map(|_| "---:").join("|");
    let _ = writeln!(out, "\n{title}\n\n| {} |\n|{line}|", head.join(" | "));
    for row in rows {
        let _ = writeln!(out, "| {} |", row.join(" | "));
    }
}

fn position(out: &mut String, prepared: &Prepared, winding: &Winding) {
    let name = &winding.position.name;
    let _ = writeln!(out, "\n## {name}\n\n| | |\n|---|---|");
    for (label, words) in facts(winding) {
        let _ = writeln!(out, "| {label} | {words} |");
    }
    let mut drawings = vec![("rods", "rods and winding"), ("section", "coil in section")];
    if winding.magnets.is_some() {
        drawings.push(("field", "field along the strings"));
    }
    drawings.push(("response", "response"));
    for (file, words) in drawings {
        let _ = writeln!(out, "\n![{name}: {words}]({name}-{file}.svg)");
    }
    let way = winding.on_the_way().into_iter().map(|(turns, [least, expected, most])| {
        let read = winding.on_bobbin.as_ref().and_then(|on_bobbin| on_bobbin.read_at(turns));
        [turns.to_string(), kiloohms(least), kiloohms(expected), kiloohms(most), read.unwrap_or_default()]
    });
    let title = format!("On the way, at {} °C:", winding.celsius);
    table(out, &title, ["turns", "least", "expected", "most", "read"], way);
    let unit = prepared.family.unit();
    let others = winding.others.iter().map(|o| other(o, winding.celsius, unit));
    let title = "Other wire with the same film would make of it:";
    table(out, title, ["wire", "turns", "resistance", "thickness"], others);
    if let Some(magnets) = &winding.magnets {
        table(out, "At the strings:", strings::HEAD, strings::lines(magnets, unit));
        let _ = writeln!(out, "\n{} {}", strings::heard(), strings::about());
    }
    list(out, "To buy:", to_buy(prepared, winding));
}
