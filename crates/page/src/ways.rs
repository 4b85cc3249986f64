//! What was found to help a check: each way is tried on the whole family first, then taken. A way is named by its check and its
//! number, so that what is taken is what was proposed.

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{Advice, Change, Way, known_advice, what_to_do};
use bobbinwright_core::want::{NotWanted, Wanting, said, set_together, tried_together};
use bobbinwright_fit::{Check, Verdict};
use bobbinwright_spec::Quantity;
use bobbinwright_spec::edit::Scope;
use serde::Deserialize;
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::fit;
use crate::say::in_words;
use crate::wishes::words;

/// A way that somebody chose.
#[derive(Debug, Deserialize)]
pub(crate) struct Chosen {
    /// The check, by its name on the page.
    check: String,
    way: usize,
    /// The files as the page saw them.
    rev: String,
}

/// What to do about a check, by its name on the page: with what was tried, which takes a moment; none where there is no such
/// check.
pub(crate) fn advice(desk: &Desk, id: &str) -> Option<Value> {
    let built = desk.built()?;
    let check = fit::named(built, id)?;
    let unit = built.family.unit();
    let one = |way: &Way| json!({ "words": way.words(unit), "bought": bought(way).map(|q| q.to_string()) });
    let ways: Vec<Value> = known_advice(built, check).ways.iter().map(one).collect();
    Some(json!({ "advice": what_to_do(built, check), "ways": ways }))
}

/// What would turn with a way; nothing is written.
pub(crate) fn try_one(desk: &Desk, chosen: &Chosen, day: Day) -> Result<Value, String> {
    let (built, check, way) = chosen.of(desk)?;
    let after = if bought(&way).is_some() {
        with_bought(built, check, &way)?
    } else {
        let wanted = wanted(built, check, &way);
        let (_, survey) = tried_together(&wanted, &desk.survey, day.when).map_err(|not| words(&not))?;
        let after = Desk::of(&desk.folder, survey, day);
        match after.prepared {
            Some(Ok(after)) => after,
            Some(Err(problems)) => return Err(in_words(&problems)),
            None => return Err("Readings are missing with it.".into()),
        }
    };
    Ok(json!({ "fit": fit::of(&after, &desk.stands()), "turned": turned(built, &after) }))
}

/// Writes a way into the family's file: all of it, or nothing.
pub(crate) fn take(desk: &Desk, chosen: &Chosen, day: Day) -> Result<Value, String> {
    let (built, check, way) = chosen.of(desk)?;
    if bought(&way).is_some() {
        return Err("What is bought is read, not written down: enter its size on Measure.".into());
    }
    let wanted = wanted(built, check, &way);
    match set_together(&wanted, &desk.folder, &desk.survey, day.when) {
        Ok((edit, _)) => Ok(json!({ "path": edit.path, "value": said(&edit.value) })),
        Err(NotWanted::Refused(problems)) => Err(in_words(&problems)),
        Err(not) => Err(words(&not)),
    }
}

impl Chosen {
    /// The way with the check that it helps.
    fn of<'d>(&self, desk: &'d Desk) -> Result<(&'d Prepared, &'d Check, Way), String> {
        if self.rev != desk.rev {
            return Err("The files were changed meanwhile: look at what is proposed now.".into());
        }
        let gone = "This is not proposed any more.";
        let built = desk.built().ok_or(gone)?;
        let check = fit::named(built, &self.check).ok_or(gone)?;
        let Advice { mut ways, .. } = known_advice(built, check);
        if self.way >= ways.len() {
            return Err(gone.into());
        }
        Ok((built, check, ways.swap_remove(self.way)))
    }
}

/// The values of a way as they would be typed.
fn wanted(built: &Prepared, check: &Check, way: &Way) -> Vec<Wanting> {
    let unit = built.family.unit();
    let typed = way.changes.iter().flat_map(|change| change.typed(unit));
    typed
        .map(|(path, value)| Wanting {
            path: path.to_owned(),
            value,
            scope: Scope::WhereItStands(check.position.clone()),
        })
        .collect()
}

/// The piece that a way would have somebody buy.
fn bought(way: &Way) -> Option<Quantity> {
    way.changes.iter().find_map(|change| match change {
        Change::Bought { what, .. } => Some(Quantity::Instrument(what.quantity())),
        _ => None,
    })
}

fn with_bought(built: &Prepared, check: &Check, way: &Way) -> Result<Prepared, String> {
    let mut family = built.family.clone();
    let index = family.positions.iter().position(|p| p.name == check.position).unwrap_or_default();
    way.put_in(&mut family, index);
    Prepared::with_tried(family, built.tried.clone()).map_err(|problems| in_words(&problems))
}

/// Every check that is called otherwise, the worst of them first.
pub(crate) fn turned(before: &Prepared, after: &Prepared) -> Vec<Value> {
    let was = |check: &Check| before.fit.checks.iter().find(|b| b.is_same(check)).map(|b| b.verdict);
    let others = after.fit.worst_first().into_iter().filter(|check| was(check) != Some(check.verdict));
    others
        .map(|check| {
            let title = format!("{}: {}", check.position, check.title);
            json!({ "title": title, "was": was(check).map(Verdict::word), "now": check.verdict.word() })
        })
        .collect()
}
