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
    // All of it or nothing: what a stop in between left out nobody would miss.
    let folder = Folder::on_disk(&options.family);
    let all = || taken.iter().flat_map(|(_, entries)| entries);
    if all().next().is_some() {
        let entered = enter(&folder, clock::now(), |now: &Survey| Ok((lines(now, &other.slug, all()), None)));
        match entered {
            Ok(_) => {}
            Err(NotEntered::Problems(problems)) => return complain::wrong_input(&problems, false),
            Err(why) => return complain::failure(&why.to_string(), false),
        }
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

/// The readings as entries of this family's log, each tool before the first that was taken with it. No entry has an earlier
/// day than the one before it.
fn lines<'e>(now: &Survey, from: &str, taken: impl Iterator<Item = &'e (NewTool, NewReading)>) -> String {
    let mut last = now.last_entry;
    let mut given: Vec<NewTool> = Vec::new();
    let mut lines = Vec::new();
    for (tool, reading) in taken {
        let (tool, is_new) = named(now, &given, from, tool);
        let mut in_order = |day: Date| *last.insert(last.map_or(day, |last| last.max(day)));
        let name = tool.tool.name.clone();
        if is_new {
            let tool = NewTool { on: in_order(tool.on), ..tool };
            lines.push(tool.to_string());
            given.push(tool);
        }
        let on = in_order(reading.on);
        lines.push(NewReading { on, with: Some(name), spot: None, ..reading.clone() }.to_string());
    }
    lines.extend(kept_in_hand(now, &given, last).map(|again| again.to_string()));
    lines.join("\n")
}

/// A tool under the name that it has here, and whether it has to be entered first. Another one of the same name keeps a name of
/// its own, also where both came along.
fn named(now: &Survey, given: &[NewTool], from: &str, tool: &NewTool) -> (NewTool, bool) {
    let mut tool = tool.clone();
    let plain = format!("{} of {from}", tool.tool.name);
    for number in 1.. {
        let known = given.iter().map(|new| &new.tool).find(|known| known.name == tool.tool.name);
        match known.or(now.tool(&tool.tool.name)) {
            None => return (tool, true),
            Some(known) if *known == tool.tool => return (tool, false),
            Some(_) if number == 1 => tool.tool.name.clone_from(&plain),
            Some(_) => tool.tool.name = format!("{plain} {number}"),
        }
    }
    (tool, true)
}

/// A tool that came along must not be the one that later readings are taken with where nobody says which: of equally fine
/// ones that is the last, so the one that was is entered once more.
fn kept_in_hand(now: &Survey, given: &[NewTool], last: Option<Date>) -> Option<NewTool> {
    // A caliper reads it, and hardly anybody has yet.
    let tool = now.tool(now.usual_tool(&Quantity::Instrument(I::NutSpread))?)?.clone();
    let is_as_fine = |new: &NewTool| new.tool.resolution <= tool.resolution;
    given.iter().any(is_as_fine).then(|| NewTool {
        on: last.unwrap_or_else(clock::today),
        tool,
        unit: now.unit(),
    })
}
