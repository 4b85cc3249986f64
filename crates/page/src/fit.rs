//! The verdicts, as JSON.

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{is_wanted, name_of, what_is_wrong};
use bobbinwright_export::lie;
use bobbinwright_export::stand::{self, Stand};
use bobbinwright_fit::{Act, Check, ToDo, in_words};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_spec::{Position, Quantity};
use bobbinwright_words::{headline, of_whole, percent, slip_of};
use serde_json::{Value, json};

use crate::desk::Desk;

/// A check by its name on the page.
pub(crate) fn named<'b>(built: &'b Prepared, id: &str) -> Option<&'b Check> {
    built.fit.checks.iter().find(|c| name_of(c) == id)
}

/// The verdicts, worst first; none while they are not known.
pub(crate) fn all(desk: &Desk) -> Value {
    desk.built().map_or(Value::Null, |built| of(built, &desk.stands()))
}

/// The same of a family that is built, whose positions stand so.
pub(crate) fn of(built: &Prepared, stands: &[Stand]) -> Value {
    let slips = built.fit.unguarded(&built.family);
    let one = |check: &&Check| {
        let place = stand::place(built, stands, check).map(|place| {
            json!({
                "at": place.at, "around": place.around, "from": place.from.word(), "towards": place.towards,
                "between": place.between, "beyond": place.beyond,
            })
        });
        let figures: Vec<Value> = check
            .figures
            .iter()
            .map(|f| json!({ "label": f.label, "value": f.value.as_mm(), "u": f.uncertainty.as_mm() }))
            .collect();
        json!({
            "id": name_of(check),
            "position": check.position,
            "title": check.title,
            "verdict": check.verdict.word(),
            "margin": check.margin.value().as_mm(),
            "u": check.margin.uncertainty().as_mm(),
            "chance": percent(check.probability),
            "alone": percent(built.fit.alone(check)),
            "advice": is_wanted(built, check).then(|| what_is_wrong(check, built.family.unit())),
            "figures": figures,
            "parameter": check.parameter(),
            "assumed": in_words(&check.assumed),
            "slip": slip_of(check, slips),
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
            "words": of_whole(&built.fit, w),
        })).collect::<Vec<_>>(),
        "headline": headline(&built.family, &built.fit),
        "checks": built.fit.worst_first().iter().map(one).collect::<Vec<_>>(),
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

/// What to do next: each line with what it asks for.
pub(crate) fn to_do(desk: &Desk) -> Vec<Value> {
    let one = |line: &ToDo| {
        let readings = line.act.as_ref().map(Act::readings).unwrap_or_default();
        let reading = |(of, spot): &(Quantity, Option<String>)| json!({ "of": of.to_string(), "what": of.describe(), "spot": spot });
        let has = |of: fn(&Act) -> bool| line.act.as_ref().is_some_and(of);
        json!({
            "words": line.words, "readings": readings.iter().map(reading).collect::<Vec<_>>(),
            "coupon": has(Act::has_coupon), "print": has(Act::has_print),
        })
    };
    desk.to_do().iter().map(one).collect()
}
