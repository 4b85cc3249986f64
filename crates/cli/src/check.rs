//! `bobbinwright check`.

use bobbinwright_core::Prepared;
use bobbinwright_export::manifest::CheckEntry;
use bobbinwright_spec::Survey;
use bobbinwright_words::granted;
use serde_json::json;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say, shelf, table};

/// Loads, builds and checks a family and prints the verdicts.
pub(crate) fn run(options: &arguments::Check) -> Outcome {
    let [family] = &options.families[..] else { return shelf::check(options) };
    family::with(family, options.as_of, options.json, |survey, prepared| {
        if options.json {
            print_json(survey, prepared);
        } else {
            complain::notices(&prepared.family);
            say::text(table::checks(prepared, options.figures));
        }
        Outcome::of(prepared.fit.verdict())
    })
}

fn print_json(survey: &Survey, prepared: &Prepared) {
    let checks: Vec<CheckEntry> =
        prepared.fit.worst_first().into_iter().map(|c| CheckEntry::of(prepared, c)).collect();
    let again = prepared.fit.to_repeat().again;
    let repeat: Vec<_> = again
        .iter()
        .map(|a| json!({ "quantity": a.quantity.to_string(), "spot": a.spot, "times": a.times }))
        .collect();
    let family = &prepared.family;
    let notices: Vec<_> = family.notices.iter().map(|n| complain::as_value(&family.files, n)).collect();
    let answer = json!({
        "family": prepared.family.slug,
        "title": prepared.family.title,
        "verdict": prepared.fit.verdict().word(),
        "pickups": prepared.fit.wholes().iter().map(|w| json!({
            "position": w.position,
            "verdict": w.verdict.word(),
            "chance": w.chance,
            "hangs_on": prepared.fit.checks.get(w.worst).map(|c| c.kind.name()),
        })).collect::<Vec<_>>(),
        "taken_for_granted": granted(family),
        "checks": checks,
        "repeat": repeat,
        "next": prepared.fit.next().iter().map(|next| json!({
            "position": next.position,
            "act": next.words(),
            "settles": next.settles,
        })).collect::<Vec<_>>(),
        "tried": prepared.fit.told.iter().map(|told| json!({
            "part": told.trial.copy.part(),
            "copy": told.trial.copy.number,
            "with": told.trial.with.word(),
            "goes_in": told.trial.goes_in,
            "at": told.trial.at.map(bobbinwright_spec::Side::name),
            "on": told.trial.on.to_string(),
            "chance": told.chance,
            "counts": !told.contradicts(),
        })).collect::<Vec<_>>(),
        "unguarded": prepared.fit.unguarded(family).iter().map(|u| json!({
            "position": u.position,
            "quantity": u.quantity.to_string(),
            "spot": u.spot,
            "turns": u.turns.iter().map(|kind| kind.name()).collect::<Vec<_>>(),
            "read_too": u.by.as_ref().map(ToString::to_string),
        })).collect::<Vec<_>>(),
        "worth_reading": survey.worth_reading().map(|s| s.quantity.to_string()).collect::<Vec<_>>(),
        "notices": notices,
    });
    say::line(format_args!("{answer:#}"));
}
