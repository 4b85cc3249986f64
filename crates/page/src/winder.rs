//! What is entered beside the winder.

use bobbinwright_spec::{Figure, Folder, MeterFigure, NewStop, Survey, Unit, enter};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::copies::not_entered;
use crate::day::Day;

/// A stop of the winder, as it is typed; what was not read is empty.
#[derive(Debug, Deserialize)]
pub(crate) struct Stop {
    coil: String,
    turns: String,
    reads: String,
    #[serde(default)]
    celsius: String,
    #[serde(default)]
    across: String,
    #[serde(default)]
    spool: String,
    /// `in` for inches.
    #[serde(default)]
    unit: String,
}

/// Enters what counter and meter show; what that tells is among what is said of the coil.
pub(crate) fn stop(folder: &Folder, said: &Stop, day: Day) -> Result<Value, String> {
    let number = said.turns.trim().parse();
    let turns: u32 = number.map_err(|_| format!("{:?} are no turns: write 500", said.turns))?;
    let celsius = match said.celsius.trim() {
        "" => None,
        typed => {
            let read = typed.replacen(',', ".", 1).parse::<f64>().ok();
            Some(
                read.ok_or_else(|| format!("{typed:?} is no temperature: write degrees Celsius, like 21.5"))?,
            )
        }
    };
    let across = match said.across.trim() {
        "" => None,
        typed => {
            let unit = if said.unit == "in" { Unit::Inch } else { Unit::Mm };
            Some(Figure::typed(typed, unit).map_err(|why| format!("{typed}: {why}"))?)
        }
    };
    let new = NewStop {
        on: day.today,
        coil: said.coil.clone(),
        turns,
        reads: said.reads.parse::<MeterFigure>()?,
        celsius,
        meter: None,
        thermometer: None,
        spool: Some(said.spool.trim().to_owned()).filter(|spool| !spool.is_empty()),
        across,
        afresh: false,
    };
    let made = |survey: &Survey| {
        let is_there = survey.positions.iter().any(|p| p.name == said.coil);
        is_there.then(|| (new.to_string(), None)).ok_or_else(|| bobbinwright_spec::NotSaid::Unknown {
            name: said.coil.clone(),
            why: "there is no such position".to_owned(),
        })
    };
    match enter(folder, day.when, made) {
        Ok(entered) => Ok(json!({ "entry": entered.after.entries, "text": entered.entry })),
        Err(not) => Err(not_entered(not)),
    }
}
