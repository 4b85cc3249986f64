//! `bobbinwright take`.

use bobbinwright_clock as clock;
use bobbinwright_spec::{
    Folder, InstrumentQuantity as I, NewReading, NewTool, NotEntered, Quantity, Survey, enter,
};
use jiff::civil::Date;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Enters what was read of bought parts for another family, with the tools that they were read with.
pub(crate) fn run(options: &arguments::Take) -> Outcome {
    let read = |folder| match family::survey(folder, None) {
        Ok(survey) if !survey.problems.has_errors() => Ok(survey),
        Ok(Survey { problems, .. }) | Err(problems) => Err(complain::wrong_input(&problems, false)),
    };
    let (own, other) = match (read(&options.family), read(&options.from)) {
        (Ok(own), Ok(other)) => (own, other),
        (Err(outcome), _) | (_, Err(outcome)) => return outcome,
    };
    // What is to be taken, what is known here, and what is not known there.
    let (mut taken, mut known, mut unread) = (Vec::new(), Vec::new(), Vec::new());
    for quantity in I::BOUGHT.map(Quantity::Instrument) {
        let is_read = own.quantities.iter().any(|s| s.quantity == quantity && s.estimate.is_some());
        let entries = other.as_entries(&quantity, 0, &quantity.to_string(), "");
        match (is_read, entries.is_empty()) {
            (true, _) => known.push(quantity.to_string()),
            (false, true) => unread.push(quantity.to_string()),
            (false, false) => taken.push((quantity.to_string(), entries)),
        }
    }
    let folder = Folder::on_disk(&options.family);
    for (tool, reading) in taken.iter().flat_map(|(_, entries)| entries) {
        match enter(&folder, clock::now(), |now: &Survey| Ok((entry(now, &other.slug, tool, reading), None)))
        {
            Ok(_) => {}
            Err(NotEntered::Problems(problems)) => return complain::wrong_input(&problems, false),
            Err(why) => return complain::failure(&why.to_string(), false),
        }
    }
    if let Some(outcome) = keep_in_hand(&folder, &own) {
        return outcome;
    }
    let names: Vec<String> = taken.into_iter().map(|(name, _)| name).collect();
    let from = options.from.display();
    if names.is_empty() {
        say::line(format_args!("Nothing was taken from {from}."));
    } else {
        say::line(format_args!("Taken from {from}: {}.", names.join(", ")));
    }
    if !known.is_empty() {
        say::line(format_args!("Read for this family already, and left as it is: {}.", known.join(", ")));
    }
    if !unread.is_empty() {
        say::line(format_args!("Not read there with a tool: {}.", unread.join(", ")));
    }
    Outcome::Fine
}

/// A tool that came along must not be the one that later readings are taken with where nobody says which: the one that was is
/// entered once more. What went wrong, if anything did.
fn keep_in_hand(folder: &Folder, own: &Survey) -> Option<Outcome> {
    // Nobody has read this yet.
    let any = Quantity::Instrument(I::Scale);
    let usual = own.usual_tool(&any)?.to_owned();
    let now = Survey::load_at(folder, clock::now()).ok()?;
    let tool = now.tool(&usual).filter(|_| now.usual_tool(&any) != Some(&usual))?.clone();
    let again = NewTool { on: now.last_entry.unwrap_or_else(clock::today), tool, unit: now.unit() };
    let entered = enter(folder, clock::now(), |_: &Survey| Ok((again.to_string(), None)));
    entered.err().map(|why| complain::failure(&why.to_string(), false))
}

/// The reading as an entry of this family's log, with its tool before it where that is not there yet. An entry never has an
/// earlier day than the one before it.
fn entry(now: &Survey, from: &str, tool: &NewTool, reading: &NewReading) -> String {
    let on = |day: Date| now.last_entry.map_or(day, |last| last.max(day));
    let own = now.tool(&tool.tool.name);
    // Another one of the same name keeps a name of its own.
    let named = match own {
        Some(own) if *own != tool.tool => format!("{} of {from}", tool.tool.name),
        _ => tool.tool.name.clone(),
    };
    let reading = NewReading { on: on(reading.on), with: Some(named.clone()), spot: None, ..reading.clone() };
    if now.tool(&named).is_some() {
        return reading.to_string();
    }
    let mut tool = NewTool { on: on(tool.on), ..tool.clone() };
    tool.tool.name = named;
    format!("{tool}\n{reading}")
}
