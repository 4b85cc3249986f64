//! The verdicts, as JSON.

use bobbinwright_core::{Prepared, what_is_wrong, what_to_do};
use bobbinwright_export::lie;
use bobbinwright_fit::{Check, Verdict, in_words};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_spec::Position;
use bobbinwright_words::{headline, percent, unguarded};
use serde_json::{Value, json};

use crate::desk::Desk;

/// What to do about a check, by its name on the page: with what was tried, which takes a moment; none where it fits.
pub(crate) fn advice(desk: &Desk, id: &str) -> Option<Value> {
    let built = desk.built()?;
    let check = built.fit.checks.iter().find(|c| self::id(c) == id && c.verdict != Verdict::Fits)?;
    Some(json!({ "advice": what_to_do(built, check) }))
}

fn id(check: &Check) -> String {
    format!("{}-{}", check.position, check.kind.name())
}

/// The verdicts, worst first; none while they are not known.
pub(crate) fn all(desk: &Desk, asked: Asked) -> Value {
    let Some(built) = desk.built() else { return Value::Null };
    let one = |check: &&Check| {
        let index = built.family.positions.iter().position(|p| p.name == check.position);
        let place = index.map(|i| {
            let place = check.place(&built.family.positions[i], &built.positions[i]);
            let side =
                built.positions[i].parts.first().map(|p| built.place(i, p)[1].as_mm()).unwrap_or_default();
            let at = [place.at[0], place.at[1] + side, place.at[2]];
            json!({ "at": at, "around": place.around, "from": place.from.word() })
        });
        let figures: Vec<Value> = check
            .figures
            .iter()
            .map(|f| json!({ "label": f.label, "value": f.value.as_mm(), "u": f.uncertainty.as_mm() }))
            .collect();
        json!({
            "id": id(check),
            "position": check.position,
            "title": check.title,
            "verdict": check.verdict.word(),
            "margin": check.margin.value().as_mm(),
            "u": check.margin.uncertainty().as_mm(),
            "chance": percent(check.probability),
            "alone": percent(built.fit.alone(check)),
            "advice": (check.verdict != Verdict::Fits).then(|| what_is_wrong(check, built.family.unit())),
            "figures": figures,
            "parameter": check.parameter(),
            "assumed": in_words(&check.assumed),
            "parts": check.kind.parts().iter().map(|p| p.name()).collect::<Vec<_>>(),
            "place": place,
        })
    };
    json!({
        "verdict": built.fit.verdict().word(),
        "pickups": built.fit.wholes().iter().map(|w| json!({
            "position": w.position,
            "verdict": w.verdict.word(),
            "chance": percent(w.chance),
        })).collect::<Vec<_>>(),
        "headline": headline(&built.family, &built.fit),
        "checks": built.fit.worst_first().iter().map(one).collect::<Vec<_>>(),
        "repeat": again(built, asked),
    })
}

/// How the cover of each position lies in its rout, as drawings; none while that is not known.
pub(crate) fn lies(desk: &Desk) -> Vec<Value> {
    let Some(built) = desk.built() else { return Vec::new() };
    let positions = built.family.positions.iter().zip(&built.positions);
    let one = |(position, parts): (&Position, &PositionParts)| {
        let lie = built.fit.lie(&position.name)?;
        let svg = lie::drawing(position, &parts.layout, &lie, built.family.unit());
        Some(json!({ "position": position.name, "svg": svg }))
    };
    positions.filter_map(one).collect()
}

/// How much of it is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    /// All that is known of it.
    All,
    /// What can be had between two keystrokes: not what each act at the bench would tell.
    WhileTyping,
}

/// What to read again, what would tell, and what to read too.
fn again(built: &Prepared, asked: Asked) -> Vec<String> {
    let again = match asked {
        Asked::All => built.fit.what_next(),
        Asked::WhileTyping => built.fit.to_repeat().lines(),
    };
    again.into_iter().chain(unguarded(&built.family, &built.fit)).collect()
}
