//! What a new entry changes.

use bobbinwright_spec::Unit;
use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_fit::{Check, Fit, Verdict, Whole};
use bobbinwright_geometry::parts::Part;
use bobbinwright_spec::{Length, Quantity, Survey, Surveyed};
use bobbinwright_words::{margin, percent, with_doubt};

/// A chance that moves by less than this is not worth a line.
const WORTH_A_LINE: f64 = 0.001;

/// How a quantity stands before and after.
pub(crate) fn of_quantity(quantity: &Quantity, before: &Survey, after: &Survey) -> String {
    let find = |s: &Survey| s.quantities.iter().find(|q| q.quantity == *quantity).cloned();
    of_known(quantity, find(before), find(after), after.unit())
}

/// The same from what was known before and after.
pub(crate) fn of_known(
    quantity: &Quantity,
    before: Option<Surveyed>,
    after: Option<Surveyed>,
    unit: Unit,
) -> String {
    let was = before.filter(|s| s.estimate.is_some());
    let Some(now) = after else {
        // What other readings now give is not asked for any more.
        let known = was.is_some();
        return if known { format!("{quantity} is not known any more.\n") } else { String::new() };
    };
    match was {
        Some(was) if was != now => {
            format!("{quantity}: {}; before: {}.\n", stand(&now, unit), stand(&was, unit))
        }
        _ => format!("{quantity}: {}.\n", stand(&now, unit)),
    }
}

fn stand(stands: &Surveyed, unit: Unit) -> String {
    let Some(estimate) = &stands.estimate else {
        return match &stands.waits_for {
            Some(diameter) => format!("read, but it needs {diameter}"),
            None => "not known".into(),
        };
    };
    let known = with_doubt(estimate, unit);
    let readings = stands.taken.map_or(String::new(), |t| match t.readings {
        1 => " from one reading".into(),
        n => format!(" from {n} readings"),
    });
    let at = match &stands.at_edges[..] {
        [] => String::new(),
        all => format!(" at the {}", all.join(" and the ")),
    };
    format!("{known} {}{at}{readings}", unit.short())
}

/// What is still to be measured; empty when nothing is.
pub(crate) fn to_measure(survey: &Survey) -> String {
    let missing: Vec<&Surveyed> = survey.missing().collect();
    let Some(next) = missing.iter().find(|s| s.waits_for.is_none()).or(missing.first()) else {
        return String::new();
    };
    format!(
        "{} of {} quantities still to be measured; next: {}.\n",
        missing.len(),
        survey.quantities.len(),
        next.line()
    )
}

/// The checks that came out differently.
pub(crate) fn of_verdicts(before: &Prepared, after: &Prepared) -> String {
    let (mut out, unit) = (String::new(), after.family.unit());
    for now in after.fit.worst_first() {
        let Some(was) = same(&before.fit, now) else {
            if now.verdict != Verdict::Fits {
                let _ = writeln!(out, "{} {}: {}, new", now.position, now.kind.name(), word(now, unit));
            }
            continue;
        };
        if was.verdict == now.verdict && (was.probability - now.probability).abs() < WORTH_A_LINE {
            continue;
        }
        // Writing to a String does not fail.
        let _ = writeln!(
            out,
            "{} {}: {}, before: {}",
            now.position,
            now.kind.name(),
            word(now, unit),
            word(was, unit)
        );
    }
    // What is new and fits by itself may still be what the whole hangs on.
    let wholes = before.fit.wholes();
    for now in after.fit.wholes() {
        let Some(was) = wholes.iter().find(|was| was.position == now.position) else { continue };
        if was.verdict != now.verdict {
            let said = |whole: &Whole| format!("{} ({})", whole.verdict.word(), percent(whole.chance));
            let _ = writeln!(out, "{} pickup: {}, before: {}", now.position, said(now), said(was));
        }
    }
    if out.is_empty() {
        out.push_str("No verdict changes, and no chance moves by 0.1 % or more.\n");
    }
    out
}

fn same<'f>(fit: &'f Fit, check: &Check) -> Option<&'f Check> {
    fit.checks.iter().find(|c| c.position == check.position && c.kind == check.kind)
}

fn word(check: &Check, unit: Unit) -> String {
    format!(
        "{} ({}, {} ± {})",
        check.verdict.word(),
        percent(check.probability),
        margin(check.margin.value(), unit),
        unit.shown(check.margin.uncertainty())
    )
}

/// The parts that are drawn otherwise, with their sizes where these differ; empty where none is.
pub(crate) fn of_parts(before: &Prepared, after: &Prepared) -> String {
    let positions = before.positions.iter().zip(after.family.positions.iter().zip(&after.positions));
    let pairs = positions.flat_map(|(was, (position, now))| {
        was.parts.iter().zip(&now.parts).map(|(was, now)| (position.name.as_str(), was, now))
    });
    let unit = after.family.unit();
    let changed: Vec<String> = pairs
        .filter(|(_, was, now)| was.stack != now.stack)
        .map(|(position, was, now)| {
            let name = Prepared::part_id(position, now);
            let (was, now) = (over_all(was, unit), over_all(now, unit));
            if was == now { name } else { format!("{name} ({now}, before {was})") }
        })
        .collect();
    if changed.is_empty() {
        return String::new();
    }
    format!("Drawn otherwise now: {}. diff says which printed part is still good.\n", changed.join(", "))
}

/// `83.09 by 37.61 by 18.50 mm`.
fn over_all(part: &Part, unit: Unit) -> String {
    let (min, max) = part.solid.bounds();
    let size = max - min;
    let [x, y, z] = [size.x, size.y, size.z].map(|mm| unit.figure(Length::from_mm(mm)));
    format!("{x} by {y} by {z} {}", unit.short())
}
