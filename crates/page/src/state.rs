//! Everything that the page shows of a family, as JSON.

use bobbinwright_core::want::said;
use bobbinwright_export::sheet::{drawing, how_to_read};
use bobbinwright_fit::Act;
use bobbinwright_paper::svg;
use bobbinwright_spec::edit::to_undo;
use bobbinwright_spec::{
    Copy, Length, PositionQuantity as P, Problem, Quantity, Severity, State, Surveyed, SurveyedPosition, ways,
};
use serde_json::{Value, json};

use crate::desk::Desk;
use crate::{fit, say, wishes};

/// All of it.
pub(crate) fn all(id: &str, desk: &Desk) -> Value {
    let survey = &desk.survey;
    let undo = to_undo(&desk.folder).map(|e| json!({ "path": e.path, "value": said(&e.value) }));
    json!({
        "id": id,
        "rev": desk.rev,
        "slug": survey.slug,
        "title": survey.title,
        "folder": desk.folder.path().display().to_string(),
        "home": desk.folder.home(),
        "handed": survey.handed.word(),
        "unit": survey.unit().short(),
        "positions": survey.positions.iter().map(|p| &p.name).collect::<Vec<_>>(),
        "tools": survey.tools().collect::<Vec<_>>(),
        "problems": problems(desk),
        "quantities": quantities(desk, &asked_for(desk)),
        "next": next(desk),
        "entries": entries(desk),
        "drawings": survey.positions.iter().map(|p| drawn(desk, p)).collect::<Vec<_>>(),
        "fit": fit::all(desk),
        "to_do": fit::to_do(desk),
        "lies": fit::lies(desk),
        "wishes": wishes::all(desk),
        "undo": undo,
        "copies": copies(desk),
    })
}

/// The parts that were printed, copy by copy.
fn copies(desk: &Desk) -> Vec<Value> {
    let one = |c: &Copy| {
        json!({
            "part": c.part(), "number": c.number, "on": c.on.to_string(), "build": c.build, "current": c.is_current,
            "state": State::ALL.iter().find(|(_, state)| *state == c.state).map(|(word, _)| word),
        })
    };
    desk.survey.copies().iter().map(one).collect()
}

fn problems(desk: &Desk) -> Vec<Value> {
    let own = (&desk.survey.problems.files, desk.survey.problems.all.iter().collect::<Vec<_>>());
    let unbuilt = desk.prepared.as_ref().and_then(|p| p.as_ref().err());
    let (files, all) = match unbuilt {
        Some(problems) => (&problems.files, problems.all.iter().collect()),
        None => match desk.built() {
            Some(built) => (&built.family.files, built.family.notices.iter().collect()),
            None => own,
        },
    };
    let one = |p: &&Problem| {
        let place = p.span.and_then(|span| {
            let file = files.get(span.file)?;
            Some(format!("{}:{}", file.name, file.line_column(span.start).0))
        });
        let is = |severity| p.severity == severity;
        json!({ "error": is(Severity::Error), "odd": is(Severity::Notice), "words": say::sentence(p), "place": place })
    };
    all.iter().map(one).collect()
}

/// What is asked for and not read yet, so that it can be entered.
fn asked_for(desk: &Desk) -> Vec<Quantity> {
    let acts = desk.to_do().iter().filter_map(|line| line.act.as_ref());
    let is_of_family = |of: &Quantity| !matches!(of, Quantity::Coupon(_) | Quantity::Piece(..));
    acts.flat_map(Act::readings).map(|(of, _)| of).filter(is_of_family).collect()
}

/// Every quantity with what is known of it; those of `more` too that are neither needed nor would check others.
pub(crate) fn quantities(desk: &Desk, more: &[Quantity]) -> Vec<Value> {
    let again = desk.built().map(|b| b.fit.to_repeat().again).unwrap_or_default();
    let one = |(number, known): (usize, &Surveyed)| {
        let quantity = &known.quantity;
        let position = match quantity {
            Quantity::At(position, _) | Quantity::Piece(position, _) => Some(position),
            _ => None,
        };
        let ways: Vec<Value> = ways(quantity).iter().map(|(word, means)| json!([word, means])).collect();
        let taking = how_to_read(&desk.survey, quantity);
        let repeat = again.iter().find(|a| a.quantity == *quantity);
        json!({
            "number": number,
            "name": quantity.to_string(),
            "what": quantity.describe(),
            "how": taking.line(),
            "times": taking.times, "counted": taking.counted,
            "spots": taking.spots,
            "at": desk.survey.readings_at(quantity),
            "ways": ways,
            "position": position,
            "signed": is_signed(desk, quantity),
            "missing": known.missing,
            "value": known.estimate.as_ref().map(|e| e.value().as_mm()),
            "u": known.estimate.as_ref().map(|e| e.uncertainty().as_mm()),
            "readings": known.taken.map(|t| t.readings),
            "last": known.taken.map(|t| t.last.to_string()),
            "untilRead": known.until_read,
            "waits": known.waits_for.as_ref().map(ToString::to_string),
            "again": repeat.map(|a| a.times),
            "spot": repeat.and_then(|a| a.spot.clone()),
        })
    };
    let mut others = desk.survey.optional();
    for of in more {
        let known = desk.survey.quantities.iter().chain(&others);
        if known.into_iter().all(|known| known.quantity != *of) {
            others.push(Surveyed::unread(of.clone()));
        }
    }
    (1..).zip(desk.survey.quantities.iter().chain(&others)).map(one).collect()
}

/// May it be less than nothing? A screw stands beyond a side of the rout only where there are ears.
fn is_signed(desk: &Desk, quantity: &Quantity) -> bool {
    let has_ears =
        |name: &String| desk.survey.positions.iter().any(|p| p.name == *name && !p.ears.is_empty());
    let stands_inside = matches!(quantity, Quantity::At(name, P::ScrewSide(..)) if !has_ears(name));
    quantity.sensible().0 < Length::ZERO && !stands_inside
}

/// The reading that would help most: the first that is missing, or else the first that is worth repeating.
fn next(desk: &Desk) -> Option<String> {
    let missing = desk.survey.missing().find(|q| q.waits_for.is_none()).map(|q| q.quantity.to_string());
    missing.or_else(|| desk.built()?.fit.to_repeat().again.first().map(|a| a.quantity.to_string()))
}

fn entries(desk: &Desk) -> Vec<Value> {
    let lines = desk.survey.lines();
    let one = |l: &bobbinwright_spec::Line| {
        json!({
            "number": l.number,
            "on": l.on.to_string(),
            "text": l.text,
            "of": l.quantity.as_ref().map(ToString::to_string),
            "what": l.quantity.as_ref().map(Quantity::describe),
            "counts": l.counts,
            "open": l.is_open,
        })
    };
    lines.iter().map(one).collect()
}

fn drawn(desk: &Desk, position: &SurveyedPosition) -> Value {
    let page = drawing(&desk.survey, desk.built(), position);
    let spots: Vec<Value> =
        page.spots().map(|(number, [x, y])| json!({ "number": number, "x": x, "y": y })).collect();
    json!({ "position": position.name, "svg": svg(&page), "spots": spots })
}
