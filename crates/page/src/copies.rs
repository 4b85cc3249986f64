//! Printed parts, copy by copy: what went on the printer, and what became of it.

use std::path::Path;

use bobbinwright_export::bench::{NotNoted, entered_already, note_printed};
use bobbinwright_spec::{
    Done, Figure, Folder, NewDone, NewState, NewTrial, NotEntered, NotSaid, Side, State, Step, Survey,
    TriedWith, Unit, WireEnd, enter, in_one_unit, part_named,
};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::files::Maker;
use crate::say::{in_words, not_said};

/// Parts that went on the printer.
#[derive(Debug, Deserialize)]
pub(crate) struct Printed {
    parts: Vec<String>,
    /// Also where the same part is in the log for today.
    #[serde(default)]
    again: bool,
    /// The mark of the build that their files are of: they may have been taken before something was changed.
    build: String,
}

/// Enters that parts went on the printer, drawn as their build has them.
pub(crate) fn printed(
    desk: &Desk,
    maker: &Maker,
    out: Option<&Path>,
    said: &Printed,
    day: Day,
) -> Result<Value, String> {
    if said.parts.is_empty() {
        return Err("Say which parts: tick them.".into());
    }
    let found = maker.manifest(&said.build, desk, out, day)?;
    let manifest = &found.ok_or_else(|| {
        format!(
            "How build {} was drawn is not known any more: take its files again, or say it of another one.",
            said.build
        )
    })?;
    if let (false, Some(copy)) = (said.again, entered_already(&desk.survey, manifest, &said.parts, day.today))
    {
        return Err(format!(
            "{copy} is in the log already, printed today from the same build. If this is another print, press once more."
        ));
    }
    match note_printed(&desk.folder, manifest, &said.parts, day.today, day.when) {
        Ok(entered) => {
            let before = entered.before.entries;
            let new = entered.after.copies().into_iter().filter(|copy| copy.entry > before);
            Ok(json!({ "copies": new.map(|copy| copy.to_string()).collect::<Vec<_>>() }))
        }
        Err(NotNoted::Entry(not)) => Err(not_entered(not)),
        Err(other) => Err(other.to_string()),
    }
}

/// What became of a copy.
#[derive(Debug, Deserialize)]
pub(crate) struct Became {
    part: String,
    copy: usize,
    state: String,
}

/// Enters what became of a copy.
pub(crate) fn became(folder: &Folder, said: &Became, day: Day) -> Result<Value, String> {
    let found = State::ALL.iter().find(|(word, _)| *word == said.state);
    let (_, state) = found.ok_or("a part is in_use, finished, spare, broken or built_in")?;
    let new = NewState { on: day.today, part: said.part.clone(), copy: said.copy, state: *state };
    let entry = |survey: &Survey| {
        let why = part_named(&said.part)
            .filter(|_| *state == State::Finished)
            .and_then(|(position, part)| survey.has_no_finish(position, part));
        let not = |why| NotSaid::Unknown { name: said.part.clone(), why };
        why.map_or_else(|| Ok((new.to_string(), None)), |why| Err(not(why)))
    };
    match enter(folder, day.when, entry) {
        Ok(entered) => Ok(json!({ "entry": entered.after.entries, "text": entered.entry })),
        Err(not) => Err(not_entered(not)),
    }
}

/// A step of the work that is done.
#[derive(Debug, Deserialize)]
pub(crate) struct StepDone {
    position: String,
    step: String,
    #[serde(default)]
    hot: String,
    /// On the bass and on the treble side, as typed.
    #[serde(default)]
    gaps: Vec<String>,
    #[serde(default)]
    action: Vec<String>,
    #[serde(default)]
    heard: String,
    /// `in` for inches.
    #[serde(default)]
    unit: String,
}

/// Enters that a step of the work is done, and how it came out.
pub(crate) fn done(folder: &Folder, said: &StepDone, day: Day) -> Result<Value, String> {
    let (_, step) = Step::ALL
        .iter()
        .find(|(word, _)| *word == said.step)
        .ok_or("a step is wound, soldered or built_in")?;
    let bare = if said.unit == "in" { Unit::Inch } else { Unit::Mm };
    let both = "say two lengths, on the bass and on the treble side";
    if said.gaps.iter().chain(&said.action).any(|typed| typed.trim().is_empty()) {
        return Err(both.to_owned());
    }
    let figure = |text: &String| Figure::typed(text, bare).map_err(|why| format!("{text}: {why}"));
    let typed = said.gaps.iter().chain(&said.action).map(figure).collect::<Result<Vec<_>, _>>()?;
    let none = (Vec::new(), Unit::Mm);
    let (digits, unit) =
        if typed.is_empty() { none } else { in_one_unit(&typed).ok_or("say all lengths in one unit")? };
    let two = |from: usize, many: usize| match digits.get(from..from + many) {
        Some([bass, treble]) => Ok(Some([bass.clone(), treble.clone()])),
        Some([]) => Ok(None),
        _ => Err(both),
    };
    let done = Done {
        position: said.position.clone(),
        step: *step,
        hot: WireEnd::ALL.iter().find(|(word, _)| *word == said.hot).map(|(_, end)| *end),
        turns: None,
        gaps: two(0, said.gaps.len())?,
        action: two(said.gaps.len(), said.action.len())?,
        heard: Some(said.heard.trim().to_owned()).filter(|heard| !heard.is_empty()),
    };
    let new = NewDone { on: day.today, done, unit };
    match enter(folder, day.when, |survey: &Survey| Ok((survey.whole_step(new.clone()).to_string(), None))) {
        Ok(entered) => Ok(json!({ "entry": entered.after.entries, "text": entered.entry })),
        Err(not) => Err(not_entered(not)),
    }
}

/// How it went when a copy was tried in the body.
#[derive(Debug, Deserialize)]
pub(crate) struct Tried {
    part: String,
    copy: usize,
    with: String,
    it: String,
    #[serde(default)]
    at: String,
}

/// Enters how it went when a copy was tried in the body.
pub(crate) fn tried(folder: &Folder, said: &Tried, day: Day) -> Result<Value, String> {
    let with = TriedWith::ALL.iter().find(|(word, _)| *word == said.with);
    let (_, with) = with.ok_or("a part is tried with the rout or with its screws")?;
    let goes_in = match said.it.as_str() {
        "goes_in" => true,
        "jams" => false,
        _ => return Err("say how it went: did it go in, or does it jam?".to_owned()),
    };
    let at = match said.at.as_str() {
        "" => None,
        at => Some(at.parse::<Side>()?),
    };
    let new = NewTrial { on: day.today, part: said.part.clone(), copy: said.copy, with: *with, goes_in, at };
    match enter(folder, day.when, |_: &Survey| Ok((new.to_string(), None))) {
        Ok(entered) => Ok(json!({ "entry": entered.after.entries, "text": entered.entry })),
        Err(not) => Err(not_entered(not)),
    }
}

/// Why nothing was entered, in words.
pub(crate) fn not_entered(not: NotEntered) -> String {
    match not {
        NotEntered::Problems(problems) => in_words(&problems),
        NotEntered::Wrong(not) => not_said(&not),
        other => other.to_string(),
    }
}
