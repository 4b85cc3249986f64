//! What is entered beside the winder, and after winding.

use bobbinwright_spec::magnets::North;
use bobbinwright_spec::tested::Kick;
use bobbinwright_spec::wound::{Meter as Resists, Thermometer as Warms};
use bobbinwright_spec::{
    Figure, Folder, MeterFigure, NewMeter, NewStop, NewTest, NewThermometer, NotSaid, Survey, Unit, enter,
};
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
    /// `afresh` where another coil is begun, `as_wanted` where its wire was stated wrongly until now.
    #[serde(default)]
    goes: String,
    /// `in` for inches.
    #[serde(default)]
    unit: String,
}

/// What tests of a wound coil came to, as it is typed; what was not tested is empty.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Test {
    coil: String,
    reads: String,
    celsius: String,
    turns: String,
    henries: String,
    hertz: String,
    insulation: String,
    north: String,
    kick: String,
    millitesla: String,
    over: String,
    unit: String,
}

/// A meter as its manual describes it, as it is typed.
#[derive(Debug, Deserialize)]
pub(crate) struct Meter {
    name: String,
    counts: String,
    percent: String,
    digits: String,
}

/// A thermometer, as it is typed.
#[derive(Debug, Deserialize)]
pub(crate) struct Thermometer {
    name: String,
    limit: String,
}

/// Enters what counter and meter show; what that tells is among what is said of the coil.
pub(crate) fn stop(folder: &Folder, said: &Stop, day: Day) -> Result<Value, String> {
    let new = NewStop {
        on: day.today,
        coil: said.coil.clone(),
        turns: whole(&said.turns)?.ok_or("how many turns does the counter say? Write 500")?,
        reads: said.reads.parse::<MeterFigure>()?,
        celsius: figure(&said.celsius, "temperature: write degrees Celsius, like 21.5")?,
        meter: None,
        thermometer: None,
        spool: Some(said.spool.trim().to_owned()).filter(|spool| !spool.is_empty()),
        across: length(&said.across, &said.unit)?,
        afresh: said.goes == "afresh",
        of: None,
    };
    of_coil(folder, &said.coil, day, |survey| {
        survey.whole_stop(new.clone(), said.goes == "as_wanted").to_string()
    })
}

/// Enters what tests came to; how they are judged is among what is said of the coil.
pub(crate) fn test(folder: &Folder, said: &Test, day: Day) -> Result<Value, String> {
    let shown = |typed: &str| match typed.trim() {
        "" => Ok(None),
        typed => typed.parse::<MeterFigure>().map(Some),
    };
    let new = NewTest {
        on: day.today,
        coil: said.coil.clone(),
        reads: shown(&said.reads)?,
        celsius: figure(&said.celsius, "temperature: write degrees Celsius, like 21.5")?,
        turns: whole(&said.turns)?.map(f64::from),
        henries: figure(&said.henries, "inductance: write henries, like 1.47")?,
        hertz: figure(&said.hertz, "frequency: write hertz, like 1000")?,
        insulation: shown(&said.insulation)?,
        north: chosen(&said.north, &North::ALL)?,
        kick: chosen(&said.kick, &Kick::ALL)?,
        millitesla: figure(&said.millitesla, "field: write millitesla, like 42")?,
        over: length(&said.over, &said.unit)?,
        leads: None,
    };
    if !new.says_something() {
        return Err("nothing is typed that was tested".to_owned());
    }
    of_coil(folder, &said.coil, day, |survey| {
        NewTest { leads: survey.leads(&said.coil), ..new.clone() }.to_string()
    })
}

/// Enters the meter that resistances are read with.
pub(crate) fn meter(folder: &Folder, said: &Meter, day: Day) -> Result<Value, String> {
    let need =
        |typed: &str, what: &str| figure(typed, what)?.ok_or_else(|| format!("{typed:?} is no {what}"));
    let meter = Resists {
        name: named(&said.name, "meter")?,
        counts: need(&said.counts, "count of its display: write 6000")?,
        share: need(&said.percent, "error: write percent of what it shows, like 0.8")? / 100.0,
        digits: figure(&said.digits, "error: write steps of its last digit, like 3")?.unwrap_or(0.0),
    };
    tool(folder, day, &NewMeter { on: day.today, meter }.to_string())
}

/// Enters the thermometer beside the winder.
pub(crate) fn thermometer(folder: &Folder, said: &Thermometer, day: Day) -> Result<Value, String> {
    let limit = figure(&said.limit, "error: write degrees, like 0.5")?;
    let limit = limit.ok_or("by how much may it be off? Write degrees, like 0.5")?;
    let thermometer = Warms { name: named(&said.name, "thermometer")?, limit };
    tool(folder, day, &NewThermometer { on: day.today, thermometer }.to_string())
}

/// What a figure is; none where nothing is typed.
fn figure(typed: &str, what: &str) -> Result<Option<f64>, String> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    let read = typed.replacen(',', ".", 1).parse::<f64>().ok().filter(|figure| figure.is_finite());
    read.map(Some).ok_or_else(|| format!("{typed:?} is no {what}"))
}

fn whole(typed: &str) -> Result<Option<u32>, String> {
    match typed.trim() {
        "" => Ok(None),
        typed => typed.parse().map(Some).map_err(|_| format!("{typed:?} are no turns: write 500")),
    }
}

fn length(typed: &str, unit: &str) -> Result<Option<Figure>, String> {
    let unit = if unit == "in" { Unit::Inch } else { Unit::Mm };
    match typed.trim() {
        "" => Ok(None),
        typed => Figure::typed(typed, unit).map(Some).map_err(|why| format!("{typed}: {why}")),
    }
}

fn chosen<T: Copy>(typed: &str, words: &[(&str, T)]) -> Result<Option<T>, String> {
    if typed.is_empty() {
        return Ok(None);
    }
    let found = words.iter().find(|(word, _)| *word == typed).map(|(_, chosen)| *chosen);
    found.map(Some).ok_or_else(|| format!("{typed:?} is none of its words"))
}

fn named(typed: &str, what: &str) -> Result<String, String> {
    let name = typed.trim();
    if name.is_empty() { Err(format!("what do you call the {what}?")) } else { Ok(name.to_owned()) }
}

fn of_coil(
    folder: &Folder,
    coil: &str,
    day: Day,
    entry: impl Fn(&Survey) -> String,
) -> Result<Value, String> {
    let made = |survey: &Survey| {
        let is_there = survey.positions.iter().any(|p| p.name == coil);
        is_there.then(|| (entry(survey), None)).ok_or_else(|| NotSaid::Unknown {
            name: coil.to_owned(),
            why: "there is no such position".to_owned(),
        })
    };
    match enter(folder, day.when, made) {
        Ok(entered) => Ok(json!({ "entry": entered.after.entries, "text": entered.entry })),
        Err(not) => Err(not_entered(not)),
    }
}

fn tool(folder: &Folder, day: Day, entry: &str) -> Result<Value, String> {
    match enter(folder, day.when, |_: &Survey| Ok((entry.to_owned(), None))) {
        Ok(entered) => Ok(json!({ "entry": entered.after.entries, "text": entered.entry })),
        Err(not) => Err(not_entered(not)),
    }
}
