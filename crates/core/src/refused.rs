//! Why a family can't be made, as problems at the lines to change.

use bobbinwright_fit::{Help, NotSnug, make_snug};
use bobbinwright_geometry::parts::{Refusal, Remedy, all_of};
use bobbinwright_spec::{Family, Length, Problem, Problems, Span, Unit, parameter};
use bobbinwright_words::percent;

use crate::advice::{Change, FIRST, Reach, nearest, stepped, value};
use crate::drawable::is_made;

/// A value that works, rounded to what is said of it: no nearer to one that does not.
fn said_of(value: Length, wanted: Length, unit: Unit) -> Length {
    let steps = value / unit.step();
    let whole = if value < wanted { (steps + 1e-6).floor() } else { (steps - 1e-6).ceil() };
    unit.rounded(unit.step() * whole)
}

/// Gaps that can't be made snug, at the lines that ask for it.
pub(crate) fn not_snug(family: &Family, failed: &[NotSnug]) -> Problems {
    let all = failed.iter().map(|not| {
        let name = &family.positions[not.position].name;
        let message = format!(
            "{name}: no gap up to {} lets the cover go in with a chance of {} %; the most is {}",
            family.unit().shown(not.largest),
            not.asked * 100.0,
            percent(not.best)
        );
        let severity = bobbinwright_spec::Severity::Error;
        let span = family.origin(not.position, "cover.fit_gap");
        Problem { severity, span, message, hint: Some(what_helps(family, not)) }
    });
    // What is odd about the readings may be the cause.
    let notices = family.notices.iter().cloned();
    Problems { files: family.files.clone(), all: notices.chain(all).collect() }
}

/// What lies in the way of a snug gap, and the nearest value of a dimension with which there is one.
fn what_helps(family: &Family, not: &NotSnug) -> String {
    let unit = family.unit();
    let why = not.why.shown(unit);
    if let Some(of) = &not.contradicted {
        return format!(
            "most of the doubt is that the readings of {of} contradict each other, or others: settle that before anything is changed"
        );
    }
    let found = not.help.iter().find_map(|help| {
        let Help::Dimension(path) = help else { return None };
        let dimension = parameter(path).filter(|p| p.path != "cover.fit_gap")?;
        let wanted = value(family, not.position, dimension)?;
        let found = nearest(FIRST, |steps| {
            let change = Change::Dimension(dimension.path, stepped(wanted, steps, unit));
            let mut with = family.clone();
            change.put_in(&mut with, not.position, Reach::WholeLine).then_some(())?;
            let others = make_snug(&mut with).err().unwrap_or_default();
            let has_gap = others.iter().all(|other| other.position != not.position);
            // A gap is no use to parts that can't be made.
            let is_made = || all_of(&with.positions[not.position], &with.hardware).is_some();
            (has_gap && is_made()).then_some(change)
        });
        let Some(Change::Dimension(path, value)) = found else { return None };
        Some(format!("{why} With {path} {} there is such a gap", unit.shown(value)))
    });
    found.unwrap_or_else(|| why.trim_end_matches('.').to_owned())
}

/// Refusals as problems at the lines that state the dimensions, one for each line: where several parts
/// or positions refuse the same stated value, the value is offered that suits all of them.
pub(crate) fn not_made(family: &Family, refusals: &[Refusal]) -> Problems {
    let refusals = &agreed(family, refusals);
    let mut groups: Vec<(Option<Span>, Vec<&Refusal>)> = Vec::new();
    for refusal in refusals {
        let position = family.positions.iter().position(|p| p.name == refusal.position);
        let span = position.and_then(|p| family.origin(p, refusal.parameter));
        let same =
            |g: &&mut (Option<Span>, Vec<&Refusal>)| g.0 == span && g.1[0].parameter == refusal.parameter;
        match groups.iter_mut().find(same) {
            Some(group) => group.1.push(refusal),
            None => groups.push((span, vec![refusal])),
        }
    }
    let then = if is_made_with(family, refusals) {
        "it can be made, everything else left as it is"
    } else {
        "this can be made; then something else is in the way, which is said next"
    };
    let all = groups.into_iter().map(|(span, group)| problem(span, &group, then, family.unit()));
    // What is odd about the readings may be the cause.
    let notices = family.notices.iter().cloned();
    Problems { files: family.files.clone(), all: notices.chain(all).collect() }
}

/// Can all parts be made once each refusal is mended as it says? One part's mending may be in another's way, and what can't be drawn
/// at all hides what else is wrong with it.
fn is_made_with(family: &Family, refusals: &[Refusal]) -> bool {
    let mut with = family.clone();
    for refusal in refusals {
        let Some(at) = with.positions.iter().position(|p| p.name == refusal.position) else { continue };
        match refusal.remedy() {
            // Whoever writes it changes the line, and with it whatever else that speaks for.
            Some(Remedy::Dimensions(all)) => {
                for (path, value) in all {
                    Change::Dimension(path, value).put_in(&mut with, at, Reach::WholeLine);
                }
            }
            Some(other) => {
                other.put_in(&mut with.positions[at]);
            }
            None => {}
        }
    }
    is_made(with)
}

/// The refusals with the values that are said of them: rounded, and where several change the same line by the one that suits all.
fn agreed(family: &Family, refusals: &[Refusal]) -> Vec<Refusal> {
    let mut all = refusals.to_vec();
    let at = |refusal: &Refusal| family.positions.iter().position(|p| p.name == refusal.position);
    let wanted = |index: usize, path: &str| {
        (parameter(path)?.field)(&mut family.positions[index].wanted.clone()).copied()
    };
    let mut said: Vec<(Option<Span>, &str, Length)> = Vec::new();
    let mut each = |refusal: &Refusal, path: &'static str, value: &mut Length, is_last: bool| {
        let Some((index, now)) = at(refusal).and_then(|index| Some((index, wanted(index, path)?))) else {
            return;
        };
        let span = family.origin(index, path);
        let rounded = said_of(*value, now, family.unit());
        let same = said.iter_mut().find(|(s, p, _)| *s == span && span.is_some() && *p == path);
        match same {
            Some((.., known)) if is_last => *value = *known,
            Some((.., known)) if (rounded < now) == (*known < now) => {
                *known = if rounded < now { known.min(rounded) } else { known.max(rounded) };
            }
            _ => said.push((span, path, rounded)),
        }
        if is_last && span.is_none() {
            *value = rounded;
        }
    };
    // First what suits all is found, then it is said of each.
    for is_last in [false, true] {
        for refusal in &mut all {
            let own = refusal.clone();
            if let Some(value) = &mut refusal.works {
                each(&own, own.parameter, value, is_last);
            }
            if let Some(Remedy::Dimensions(others)) = refusal.instead.as_deref_mut() {
                for (path, value) in others {
                    each(&own, path, value, is_last);
                }
            }
        }
    }
    all
}

fn problem(span: Option<Span>, group: &[&Refusal], then: &str, unit: Unit) -> Problem {
    let first = group[0];
    let path = first.parameter;
    let place = format!("{} {}", first.position, first.part.name());
    let why = first.why.shown(unit);
    let message = match first.value {
        Some(value) => format!("{place}: {path} is {}, but {why}", unit.shown(value)),
        None if span.is_some() => format!("{place}: {why}"),
        None => format!("{place}: {path} is missing: {why}"),
    };
    let values: Option<Vec<Length>> = group.iter().map(|r| r.works).collect();
    let hint = match (values, first.value) {
        (Some(values), Some(wanted)) => {
            // Below the wanted value the smallest suits all, above it the largest.
            let below = values.iter().all(|v| *v < wanted);
            let pick = |a: Length, b: Length| if below { a.min(b) } else { a.max(b) };
            let value = values.into_iter().reduce(pick).unwrap_or(wanted);
            let value = unit.shown(said_of(value, wanted, unit));
            format!("with {path} {value} {then}; check then says whether it fits")
        }
        (_, Some(_)) => match group.iter().find_map(|r| r.instead.as_deref()) {
            Some(remedy) => {
                format!("no value of {path} alone helps; with {} {then}", in_words(remedy, unit))
            }
            None => format!("no value of {path} alone helps: change what it runs into"),
        },
        (_, None) if span.is_some() => match first.instead.as_deref() {
            Some(remedy) => format!("with {} {then}", in_words(remedy, unit)),
            None => "read the screws again".into(),
        },
        (_, None) => {
            format!("state {path} in family.ron, or say rout: (ear_recesses: true) where the body has them")
        }
    };
    let severity = bobbinwright_spec::Severity::Error;
    Problem { severity, span, message, hint: Some(hint) }
}

/// `flatwork.play 0.30 mm`, `cover.roof 1.20 mm and cover.rounding 0.80 mm`.
fn in_words(remedy: &Remedy, unit: Unit) -> String {
    match remedy {
        Remedy::Dimensions(all) => {
            let one = |(path, value): &(&str, Length)| format!("{path} {}", unit.shown(*value));
            all.iter().map(one).collect::<Vec<_>>().join(" and ")
        }
        Remedy::LeadOut(side, offset) => {
            let offset = unit.shown(*offset);
            format!("cover.lead_out.side {} and cover.lead_out.offset {offset}", side.name())
        }
        Remedy::Mounting(mounting) => format!("cover.mounting: {mounting}"),
    }
}
