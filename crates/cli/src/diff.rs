//! `bobbinwright diff`.

use std::fmt::Write;

use bobbinwright_export::Prepared;
use bobbinwright_fit::{Check, Fit, Verdict, check};
use bobbinwright_geometry::parts::{Lie, Part, PartKind, pieces};
use bobbinwright_geometry::{Difference, difference};
use bobbinwright_spec::{BedSide, Length, PARAMETERS, Quantity, Survey};

use crate::{Outcome, arguments, complain, family, say};

/// A family, read and built.
struct Version {
    survey: Survey,
    prepared: Prepared,
}

/// Says what changed, and what that means for the parts that are printed.
pub(crate) fn run(options: &arguments::Diff) -> Outcome {
    let later = options.later.as_ref().unwrap_or(&options.earlier);
    let versions = load(&options.earlier, options.as_of).and_then(|a| Ok((a, load(later, None)?)));
    let (earlier, later) = match versions {
        Ok(both) => both,
        Err(outcome) => return outcome,
    };
    let mut out = String::new();
    readings(&mut out, &earlier, &later);
    wishes(&mut out, &earlier, &later);
    sizes(&mut out, &earlier.prepared, &later.prepared);
    let outcome = parts(&mut out, &earlier.prepared, &later.prepared);
    say::text(out);
    outcome
}

fn load(folder: &std::path::Path, as_of: Option<jiff::civil::Date>) -> Result<Version, Outcome> {
    let survey = family::survey(folder, as_of).map_err(|p| complain::wrong_input(&p, false))?;
    if !survey.problems.has_errors() && survey.missing().next().is_some() {
        return Err(complain::to_measure(&survey, folder, false));
    }
    let prepared = survey.clone().family().and_then(Prepared::new);
    let prepared = prepared.map_err(|p| complain::wrong_input(&p, false))?;
    Ok(Version { survey, prepared })
}

/// Readings that give something else, or are surer or less sure by a hundredth.
fn readings(out: &mut String, a: &Version, b: &Version) {
    let known = |v: &Version, q: &Quantity| {
        let found = v.survey.quantities.iter().find(|s| s.quantity == *q)?;
        found.estimate.as_ref().map(|e| format!("{:.2} ± {:.2}", e.value().as_mm(), e.uncertainty().as_mm()))
    };
    let mut all: Vec<&Quantity> = a.survey.quantities.iter().map(|s| &s.quantity).collect();
    all.extend(b.survey.quantities.iter().map(|s| &s.quantity).filter(|q| known(a, q).is_none()));
    let mut lines = Vec::new();
    for quantity in all {
        let (was, now) = (known(a, quantity), known(b, quantity));
        if was != now {
            let show = |e: Option<String>| e.unwrap_or_else(|| "not read".into());
            lines.push(format!("  {quantity}: {} mm, before {}", show(now), show(was)));
        }
    }
    section(out, "Readings", &lines);
}

/// Wanted values that are stated otherwise.
fn wishes(out: &mut String, a: &Version, b: &Version) {
    let mut lines = Vec::new();
    for parameter in &PARAMETERS {
        let (was, now) = (a.survey.stated(parameter.path), b.survey.stated(parameter.path));
        for (position, value, _) in &now {
            let before = was.iter().find(|(p, ..)| p == position).and_then(|(_, v, _)| *v);
            if before != *value {
                let show = |v: Option<Length>| v.map_or("not stated".to_owned(), |v| v.to_string());
                lines.push(format!(
                    "  {position} {}: {}, before {}",
                    parameter.path,
                    show(*value),
                    show(before)
                ));
            }
        }
        for (position, value, _) in &was {
            if !now.iter().any(|(p, ..)| p == position) {
                let before = value.map_or(String::new(), |v| format!(", before {v}"));
                lines.push(format!("  {position} {}: not stated{before}", parameter.path));
            }
        }
    }
    section(out, "Wanted", &lines);
}

/// Sizes of parts that follow.
fn sizes(out: &mut String, a: &Prepared, b: &Prepared) {
    let mut lines = Vec::new();
    let lie = Lie { side: BedSide::Underside, turned: false };
    for (position, i, j) in both(a, b) {
        for kind in PartKind::ALL {
            let of = |p: &Prepared, index: usize| pieces(&p.positions[index].layout, kind, lie);
            let was = of(a, i);
            for now in of(b, j) {
                let Some(before) = was.iter().find(|p| p.size == now.size).map(|p| p.wanted) else {
                    continue;
                };
                if (now.wanted - before).abs() > Length::from_mm(0.005) {
                    lines.push(format!("  {position}.{}: {}, before {before}", now.size, now.wanted));
                }
            }
        }
    }
    section(out, "Sizes that follow", &lines);
}

/// Positions that both have, with their indices.
fn both<'p>(a: &'p Prepared, b: &Prepared) -> Vec<(&'p str, usize, usize)> {
    let find = |name: &str| b.family.positions.iter().position(|p| p.name == name);
    let named = a.family.positions.iter().enumerate();
    named.filter_map(|(i, p)| Some((p.name.as_str(), i, find(&p.name)?))).collect()
}

/// Each part: the same, changed, new or gone; and whether a printed one is still good.
fn parts(out: &mut String, a: &Prepared, b: &Prepared) -> Outcome {
    let mut lines = Vec::new();
    for (p, other, word) in [(b, a, "new"), (a, b, "gone")] {
        for position in
            p.family.positions.iter().filter(|p| other.family.positions.iter().all(|o| o.name != p.name))
        {
            lines.push(format!("  {}: all parts are {word}", position.name));
        }
    }
    let mut outcome = Outcome::Fine;
    for (position, i, j) in both(a, b) {
        let fit = old_parts_in_new(a, i, b, j);
        for kind in PartKind::ALL {
            let part = |p: &Prepared, index: usize| -> Option<Part> {
                p.positions[index].parts.iter().find(|part| part.kind == kind).cloned()
            };
            let (Some(was), Some(now)) = (part(a, i), part(b, j)) else { continue };
            let name = format!("{position}-{}", kind.name());
            let found = match difference(&was.stack, &now.stack) {
                Ok(found) => found,
                Err(e) => return complain::failure(&format!("{name}: {e}"), false),
            };
            let (printed, verdict) = still_good(&fit, kind);
            if verdict == Some(Verdict::Clashes) {
                outcome = Outcome::Clash;
            }
            let what = if found.is_none() {
                "the same".to_owned()
            } else if is_small(&found) {
                "the same to 0.01 mm".to_owned()
            } else {
                changed(&found)
            };
            lines.push(format!("  {name}: {what}; {printed}"));
        }
    }
    section(out, "Parts, and whether those that are printed can stay, all together", &lines);
    outcome
}

/// The checks of a position's earlier parts by the later readings.
fn old_parts_in_new(a: &Prepared, i: usize, b: &Prepared, j: usize) -> Fit {
    let mut family = b.family.clone();
    family.positions = vec![b.family.positions[j].clone()];
    check(&family, &a.positions[i..=i])
}

/// Less than any printer or caliper tells apart.
fn is_small(found: &Difference) -> bool {
    found.new.is_empty() && found.gone.is_empty() && found.moved.iter().all(|m| m.distance < 0.005)
}

fn changed(found: &Difference) -> String {
    let mut text = format!("{:.0} mm³ off, {:.0} mm³ on", found.removed, found.added);
    if let Some(most) = found.moved.first() {
        // Writing to a String does not fail.
        let _ = write!(
            text,
            ", surfaces move by up to {:.2} mm ({} at {:.1}, {:.1})",
            most.distance,
            most.role.name(),
            most.at.x,
            most.at.y
        );
    }
    for (roles, word) in [(&found.new, "new"), (&found.gone, "gone")] {
        if !roles.is_empty() {
            let names: Vec<&str> = roles.iter().map(|r| r.name()).collect();
            let _ = write!(text, ", {word}: {}", names.join(", "));
        }
    }
    text
}

/// Whether a part that was printed before can stay, by the worst check that concerns it.
fn still_good(fit: &Fit, kind: PartKind) -> (String, Option<Verdict>) {
    let order = fit.worst_first();
    let worst: Option<&&Check> = order.iter().find(|c| c.parts().contains(&kind));
    let Some(worst) = worst else { return ("nothing hangs on it".into(), None) };
    let margin = format!(
        "{:+.2} ± {:.2} mm, {}",
        worst.margin.value().as_mm(),
        worst.margin.uncertainty().as_mm(),
        worst.title
    );
    let text = match worst.verdict {
        Verdict::Fits => format!("a printed one still fits ({margin})"),
        Verdict::TooClose => format!("a printed one may still fit ({margin})"),
        Verdict::Clashes => format!("a printed one must be printed again ({margin})"),
    };
    (text, Some(worst.verdict))
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        let _ = writeln!(out, "{title}: nothing changed.");
    } else {
        let _ = writeln!(out, "{title}:\n{}", lines.join("\n"));
    }
}
