//! What was found to help a check: each way is tried on the whole family first, then taken. It has the name that
//! `check` gives it on the terminal, so that what is taken is what was proposed.

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{Proposal, proposal, proposals, what_to_do};
use bobbinwright_core::want::{NotWanted, said, set_together, tried_together};
use bobbinwright_fit::{Check, Verdict};
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
    /// By its name.
    name: String,
    /// The files as the page saw them.
    rev: String,
}

/// What to do about a check, by its name on the page: with what was tried, which takes a moment; none where there is no such
/// check.
pub(crate) fn advice(desk: &Desk, id: &str) -> Option<Value> {
    let built = desk.built()?;
    let check = fit::named(built, id)?;
    let unit = built.family.unit();
    let one = |proposal: &Proposal| {
        let way = &proposal.way;
        json!({ "name": proposal.name, "words": way.words(unit), "bought": way.bought().map(|q| q.to_string()) })
    };
    let ways: Vec<Value> = proposals(built, check).iter().map(one).collect();
    Some(json!({ "advice": what_to_do(built, check), "ways": ways }))
}

/// What would turn with a way; nothing is written.
pub(crate) fn try_one(desk: &Desk, chosen: &Chosen, day: Day) -> Result<Value, String> {
    let (built, chosen) = chosen.of(desk)?;
    let after = if chosen.way.bought().is_some() {
        with_bought(built, &chosen)?
    } else {
        let wanted = chosen.wanting(&built.family);
        let (_, survey) =
            tried_together(&wanted, &desk.folder, &desk.survey, day.when).map_err(|not| words(&not))?;
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
    let (built, chosen) = chosen.of(desk)?;
    if chosen.way.bought().is_some() {
        return Err("What is bought is read, not written down: enter its size on Measure.".into());
    }
    let wanted = chosen.wanting(&built.family);
    match set_together(&wanted, &desk.folder, &desk.survey, day.when, false) {
        Ok((edit, _)) => Ok(json!({ "path": edit.path, "value": said(&edit.value) })),
        Err(NotWanted::Refused(problems)) => Err(in_words(&problems)),
        Err(not) => Err(words(&not)),
    }
}

impl Chosen {
    /// The family, and what was chosen.
    fn of<'d>(&self, desk: &'d Desk) -> Result<(&'d Prepared, Proposal<'d>), String> {
        if self.rev != desk.rev {
            return Err("The files were changed meanwhile: look at what is proposed now.".into());
        }
        let gone = "This is not proposed any more.";
        let built = desk.built().ok_or(gone)?;
        Ok((built, proposal(built, &self.name).ok_or(gone)?))
    }
}

fn with_bought(built: &Prepared, chosen: &Proposal) -> Result<Prepared, String> {
    let mut family = built.family.clone();
    let index = family.positions.iter().position(|p| p.name == chosen.check.position).unwrap_or_default();
    chosen.way.put_in(&mut family, index);
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
