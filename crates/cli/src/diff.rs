//! `bobbinwright diff`.

use std::fmt::Write;

use bobbinwright_export::Prepared;
use bobbinwright_fit::{Check, Fit, Verdict, check};
use bobbinwright_geometry::parts::{Lie, Part, PartKind, pieces};
use bobbinwright_geometry::{Difference, difference, threads};
use bobbinwright_spec::{BedSide, Length, PARAMETERS, Quantity, Survey};
use serde_json::{Value, json};

use crate::{Outcome, arguments, complain, family, say};

/// A family, read and built.
pub(crate) struct Version {
    pub survey: Survey,
    pub prepared: Prepared,
}

/// Says what changed, and what that means for the parts that are printed.
pub(crate) fn run(options: &arguments::Diff) -> Outcome {
    let later = options.later.as_ref().unwrap_or(&options.earlier);
    let versions = load(&options.earlier, options.as_of).and_then(|a| Ok((a, load(later, None)?)));
    let (earlier, later) = match versions {
        Ok(both) => both,
        Err(outcome) => return outcome,
    };
    let parts = match parts(&earlier.prepared, &later.prepared) {
        Ok(parts) => parts,
        Err(message) => return complain::failure(&message, options.json),
    };
    let (readings, wishes) = (readings(&earlier, &later), wishes(&earlier, &later));
    let sizes = sizes(&earlier.prepared, &later.prepared);
    if options.json {
        let parts: Vec<Value> = parts.iter().map(PartLine::value).collect();
        let answer = json!({ "readings": readings, "wanted": wishes, "sizes": sizes, "parts": parts });
        say::line(format_args!("{answer:#}"));
    } else {
        let lines: Vec<String> = parts.iter().map(PartLine::line).collect();
        let whole = alone(&earlier.prepared, &later.prepared).into_iter().chain(lines).collect::<Vec<_>>();
        let mut out = String::new();
        section(&mut out, "Readings", &readings);
        section(&mut out, "Wanted", &wishes);
        section(&mut out, "Sizes that follow", &sizes);
        section(&mut out, "Parts, and whether those that are printed can stay, all together", &whole);
        say::text(out);
    }
    let clashes = parts.iter().any(|p| p.worst.as_ref().is_some_and(|c| c.verdict == Verdict::Clashes));
    if clashes { Outcome::Clash } else { Outcome::Fine }
}

pub(crate) fn load(folder: &std::path::Path, as_of: Option<jiff::civil::Date>) -> Result<Version, Outcome> {
    let survey = family::survey(folder, as_of).map_err(|p| complain::wrong_input(&p, false))?;
    if !survey.problems.has_errors() && survey.missing().next().is_some() {
        return Err(complain::to_measure(&survey, folder, false));
    }
    let prepared = survey.clone().family().and_then(Prepared::new);
    let prepared = prepared.map_err(|p| complain::wrong_input(&p, false))?;
    Ok(Version { survey, prepared })
}

/// Everything that was read or is wanted otherwise, a line each.
pub(crate) fn causes(a: &Version, b: &Version) -> Vec<String> {
    readings(a, b).into_iter().chain(wishes(a, b)).collect()
}

/// Readings that give something else, or are surer or less sure by a hundredth.
fn readings(a: &Version, b: &Version) -> Vec<String> {
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
            lines.push(format!("{quantity}: {} mm, before {}", show(now), show(was)));
        }
    }
    lines
}

/// Wanted values that are stated otherwise.
fn wishes(a: &Version, b: &Version) -> Vec<String> {
    let mut lines = Vec::new();
    for parameter in &PARAMETERS {
        let (was, now) = (a.survey.stated(parameter.path), b.survey.stated(parameter.path));
        for (position, value, _) in &now {
            let before = was.iter().find(|(p, ..)| p == position).and_then(|(_, v, _)| *v);
            if before != *value {
                let show = |v: Option<Length>| v.map_or("not stated".to_owned(), |v| v.to_string());
                lines.push(format!(
                    "{position} {}: {}, before {}",
                    parameter.path,
                    show(*value),
                    show(before)
                ));
            }
        }
        for (position, value, _) in &was {
            if !now.iter().any(|(p, ..)| p == position) {
                let before = value.map_or(String::new(), |v| format!(", before {v}"));
                lines.push(format!("{position} {}: not stated{before}", parameter.path));
            }
        }
    }
    lines
}

/// Sizes of parts that follow.
fn sizes(a: &Prepared, b: &Prepared) -> Vec<String> {
    let mut lines = Vec::new();
    let lie = Lie { side: BedSide::Underside, turned: false };
    for (position, i, j) in both(a, b) {
        for kind in PartKind::ALL {
            let of = |p: &Prepared, index: usize| pieces(&p.positions[index].layout, kind, lie);
            let was = of(a, i);
            for now in of(b, j) {
                let before = was.iter().find(|p| p.size == now.size).map(|p| p.wanted);
                let moved = before.filter(|b| (now.wanted - *b).abs() > Length::from_mm(0.005));
                if let Some(before) = moved {
                    lines.push(format!("{position}.{}: {}, before {before}", now.size, now.wanted));
                }
            }
        }
    }
    lines
}

/// Positions that both have, with their indices.
fn both<'p>(a: &'p Prepared, b: &Prepared) -> Vec<(&'p str, usize, usize)> {
    let find = |name: &str| b.family.positions.iter().position(|p| p.name == name);
    let named = a.family.positions.iter().enumerate();
    named.filter_map(|(i, p)| Some((p.name.as_str(), i, find(&p.name)?))).collect()
}

/// Positions that only one of the two has.
fn alone(a: &Prepared, b: &Prepared) -> Vec<String> {
    let mut lines = Vec::new();
    for (p, other, word) in [(b, a, "new"), (a, b, "gone")] {
        let has = |name: &str| other.family.positions.iter().any(|o| o.name == name);
        let only = p.family.positions.iter().filter(|p| !has(&p.name));
        lines.extend(only.map(|position| format!("{}: all parts are {word}", position.name)));
    }
    lines
}

/// What became of a part, and the worst of the checks that its earlier version is part of now.
struct PartLine {
    id: String,
    found: Difference,
    worst: Option<Check>,
}

fn parts(a: &Prepared, b: &Prepared) -> Result<Vec<PartLine>, String> {
    let both = both(a, b);
    let fits: Vec<Fit> = both.iter().map(|(_, i, j)| old_parts_in_new(a, *i, b, *j)).collect();
    let jobs: Vec<(usize, PartKind)> =
        (0..both.len()).flat_map(|at| PartKind::ALL.map(|kind| (at, kind))).collect();
    let lines = threads::map(&jobs, |(at, kind)| {
        let (position, i, j) = both[*at];
        let part = |p: &Prepared, index: usize| -> Option<Part> {
            p.positions[index].parts.iter().find(|part| part.kind == *kind).cloned()
        };
        let (was, now) = (part(a, i)?, part(b, j)?);
        let id = format!("{position}-{}", kind.name());
        let worst = fits[*at].worst_first().into_iter().find(|c| c.parts().contains(kind)).cloned();
        let found = difference(&was.stack, &now.stack).map_err(|e| format!("{id}: {e}"));
        Some(found.map(|found| PartLine { id, found, worst }))
    });
    lines.into_iter().flatten().collect()
}

impl PartLine {
    fn line(&self) -> String {
        let what = if self.found.is_none() {
            "the same".to_owned()
        } else if is_small(&self.found) {
            "the same to 0.01 mm".to_owned()
        } else {
            changed(&self.found)
        };
        format!("{}: {what}; {}", self.id, self.still_good())
    }

    /// Whether a part that was printed before can stay.
    fn still_good(&self) -> String {
        let Some(worst) = &self.worst else { return "nothing hangs on it".into() };
        let word = match worst.verdict {
            Verdict::Fits => "a printed one still fits",
            Verdict::TooClose => "a printed one may still fit",
            Verdict::Clashes => "a printed one must be printed again",
        };
        let (margin, u) = (worst.margin.value().as_mm(), worst.margin.uncertainty().as_mm());
        format!("{word} ({margin:+.2} ± {u:.2} mm, {})", worst.title)
    }

    fn value(&self) -> Value {
        let moved = self.found.moved.first().map_or(0.0, |m| m.distance);
        json!({
            "id": self.id,
            "same": self.found.is_none(),
            "removed_mm3": self.found.removed,
            "added_mm3": self.found.added,
            "moved_mm": moved,
            "printed_one": self.worst.as_ref().map(|c| c.verdict.word()),
            "margin_mm": self.worst.as_ref().map(|c| c.margin.value().as_mm()),
        })
    }
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

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        let _ = writeln!(out, "{title}: nothing changed.");
    } else {
        let _ = writeln!(out, "{title}:\n  {}", lines.join("\n  "));
    }
}
