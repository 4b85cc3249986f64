//! Verdicts as a table for a person.

use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::proposals;
use bobbinwright_core::room::more_room;
use bobbinwright_fit::{Assumed, Check, Fit, Unguarded, Whole, in_words};
use bobbinwright_spec::{Family, Length, Unit};
use bobbinwright_words::{
    self as words, TURNED_BY_A_SLIP, count, headline, margin, percent, snug_gaps, unguarded,
};

/// All checks, worst first, then what to change.
pub(crate) fn checks(prepared: &Prepared, figures: bool) -> String {
    // Writing to a String does not fail.
    let mut out = String::new();
    let _ = writeln!(out, "{}\n", prepared.family.title);
    let unit = prepared.family.unit();
    let slips = prepared.fit.unguarded(&prepared.family);
    of_fit(&mut out, &prepared.fit, slips, unit, figures, |check| {
        bobbinwright_core::what_to_do(prepared, check)
    });
    out.push_str(&proposed(prepared));
    agreements(&mut out, prepared);
    for line in snug_gaps(&prepared.family) {
        let _ = writeln!(out, "{line}");
    }
    out.push_str(&conclusion(&prepared.family, &prepared.fit));
    for line in more_room(prepared) {
        let _ = writeln!(out, "{line}");
    }
    out
}

/// What is proposed with the names by which it is taken; nothing where nothing is that could be written.
fn proposed(prepared: &Prepared) -> String {
    let unit = prepared.family.unit();
    let all = prepared.fit.worst_first().into_iter().flat_map(|check| proposals(prepared, check));
    let all: Vec<(String, String)> =
        all.filter(|p| p.way.bought().is_none()).map(|p| (p.way.words(unit), p.name)).collect();
    let Some(widest) = all.iter().map(|(_, name)| name.chars().count()).max() else { return String::new() };
    let mut out = "To make one of these changes: bobbinwright want FAMILY --proposal NAME\n".to_owned();
    for (words, name) in all {
        // Writing to a String does not fail.
        let _ = writeln!(out, "  {name:widest$}  {words}");
    }
    out
}

/// The checks of a fit, worst first, then what to change.
pub(crate) fn of_fit(
    out: &mut String,
    fit: &Fit,
    slips: &[Unguarded],
    unit: Unit,
    figures: bool,
    advice: impl Fn(&Check) -> String,
) {
    let order = fit.worst_first();
    let widest = order.iter().map(|c| c.position.chars().count()).max().unwrap_or(0);
    let _ = writeln!(
        out,
        "{:<17} {:>16} {:>8}  what, worst first",
        "",
        format!("margin, {}", unit.short()),
        "chance"
    );
    for check in &order {
        let _ = writeln!(
            out,
            "{:<17} {:>8} {:<7} {:>8}  {:widest$}  {}{}{}",
            check.verdict.word(),
            margin(check.margin.value(), unit),
            doubt(check, unit),
            percent(check.probability),
            check.position,
            check.title,
            if check.assumed.is_empty() { "" } else { " *" },
            if slips.iter().any(|slip| slip.turns(check)) { " !" } else { "" }
        );
        if figures {
            write_figures(out, fit, check, unit);
        }
    }
    out.push_str("± is a standard uncertainty: about 19 times of 20 the margin is within twice that.\n\n");
    for line in taken_for_granted(fit) {
        let _ = writeln!(out, "{line}");
    }
    if !slips.is_empty() {
        let _ = writeln!(out, "! {TURNED_BY_A_SLIP}; which one, and what to read too, stands below.\n");
    }
    for check in &order {
        let advice = advice(check);
        if !advice.is_empty() {
            let _ = writeln!(out, "{} {}: {advice}", check.position, check.kind.name());
        }
    }
}

/// What checks marked with a star believe, position by position.
fn taken_for_granted(fit: &Fit) -> Vec<String> {
    let mut lines = Vec::new();
    let mut positions: Vec<&str> = Vec::new();
    for check in &fit.checks {
        if !positions.contains(&check.position.as_str()) {
            positions.push(&check.position);
        }
    }
    for position in positions {
        let of_it = fit.checks.iter().filter(|c| c.position == position);
        let mut all: Vec<Assumed> = of_it.flat_map(|c| c.assumed.iter().cloned()).collect();
        all.sort();
        all.dedup();
        lines.extend(in_words(&all).into_iter().map(|words| format!("* {position}: {words}")));
    }
    if !lines.is_empty() {
        lines.push(String::new());
    }
    lines
}

/// How the checks stand as a whole, and which readings would settle what is open.
pub(crate) fn conclusion(family: &Family, fit: &Fit) -> String {
    let mut out = summary(family, fit);
    for line in fit.what_next().into_iter().chain(unguarded(family, fit)) {
        let _ = writeln!(out, "{line}");
    }
    out
}

/// The same once something was entered: how the pickups stand, what is odd and what that believes; and of what is worth reading
/// what is another than it was.
pub(crate) fn conclusion_since(was: &Prepared, now: &Prepared) -> String {
    let before = conclusion(&was.family, &was.fit);
    let said: Vec<&str> = before.lines().collect();
    let mut out = summary(&now.family, &now.fit);
    let (mut head, mut stands, mut is_new) = (None, false, false);
    let worth: Vec<String> =
        now.fit.what_next().into_iter().chain(unguarded(&now.family, &now.fit)).collect();
    for line in worth.iter().map(String::as_str) {
        let is_under = line.starts_with(' ');
        if !is_under {
            head = None;
            is_new = !said.contains(&line);
        }
        // Under a head that was not said before nothing was.
        if said.contains(&line) && !is_new {
            // What stands under it may be another.
            head = (!is_under).then(|| line.to_owned()).or(head);
            stands |= is_under;
            continue;
        }
        for line in head.take().as_deref().into_iter().chain([line]) {
            // Writing to a String does not fail.
            let _ = writeln!(out, "{line}");
        }
    }
    if stands {
        out.push_str("What was worth reading before is so still; bobbinwright check lists it.\n");
    }
    out
}

/// `± 0.05`, or nothing for a margin between wishes.
fn doubt(check: &Check, unit: Unit) -> String {
    let u = check.margin.uncertainty();
    if u > Length::ZERO { format!("± {}", words::doubt(u, unit)) } else { String::new() }
}

fn write_figures(out: &mut String, fit: &Fit, check: &Check, unit: Unit) {
    for f in &check.figures {
        let _ = write!(out, "{:>46}: {}", f.label, unit.figure(f.value));
        if f.uncertainty > Length::ZERO {
            let _ = write!(out, " ± {}", words::doubt(f.uncertainty, unit));
        }
        let _ = writeln!(out, " {}", unit.short());
    }
    let _ = writeln!(out, "{:>46}: {}", "chance there, of one by itself", percent(fit.alone(check)));
    if let Some((quantity, share)) = &check.doubt {
        let _ = writeln!(
            out,
            "{:>46}: {quantity}, {:.0} % of its variance",
            "reading that adds most to the doubt",
            share * 100.0
        );
    }
}

fn agreements(out: &mut String, prepared: &Prepared) {
    let unit = prepared.family.unit();
    for a in &prepared.fit.agreements {
        let word = if a.agrees {
            "which agrees"
        } else {
            "which does not agree: read nut, bridge and this spread again"
        };
        let _ = writeln!(
            out,
            "{}: outer strings {} apart by nut, bridge and scale, {} as read, {word}.",
            a.position,
            unit.shown(a.predicted.value()),
            unit.shown(a.read.value())
        );
    }
}

/// The same in a line.
pub(crate) fn in_a_line(fit: &Fit) -> String {
    let whole = |w: &Whole| format!("{} {}", w.position, percent(w.chance));
    let wholes: Vec<String> = fit.wholes().iter().map(whole).collect();
    format!("{} Chance of the whole pickup: {}.", count(fit), wholes.join(", "))
}

/// How the checks and the pickups stand.
pub(crate) fn summary(family: &Family, fit: &Fit) -> String {
    let lines = std::iter::once(count(fit)).chain(headline(family, fit));
    lines.map(|line| line + "\n").collect()
}
