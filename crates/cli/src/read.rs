//! `bobbinwright read` and `bobbinwright withdraw`.

use std::path::Path;

use bobbinwright_export::Prepared;
use bobbinwright_spec::{
    AppendError, Estimate, Length, NewReading, NewWithdrawal, PositionQuantity, Problem, Problems, Quantity,
    Severity, SourceFile, Survey, Taken, When, append, with_entry,
};
use clap::ValueEnum;

use crate::arguments::How;
use crate::{Outcome, arguments, changes, complain, family, figure, say, table};

/// Enters a reading.
pub(crate) fn run(options: &arguments::Read) -> Outcome {
    let figures: Vec<_> = options.values.iter().chain(&options.within).cloned().collect();
    let Some((mut digits, unit)) = figure::in_one_unit(&figures) else {
        return complain::failure(
            "figures of one entry need one unit: all in mm, or all ending in in",
            false,
        );
    };
    let within = options.within.as_ref().and_then(|_| digits.pop());
    let is_packet = options.how == Some(How::Packet);
    if is_packet != within.is_some() {
        let message = "a figure from the packet needs its tolerance: --how packet --within 0.05";
        return complain::failure(message, false);
    }
    enter(&options.family, |survey| {
        let quantity =
            survey.quantity(&options.quantity).map_err(|why| format!("{}: {why}", options.quantity))?;
        if options.how.is_none() && quantity.is_between_things() {
            return Err(format!(
                "how was {quantity} read? Add {}, or --how outside if from centre to centre",
                how_to_say(&quantity)
            ));
        }
        let with = options.with.clone().or_else(|| survey.usual_tool(&quantity).map(str::to_owned));
        let reading = NewReading {
            on: options.on.unwrap_or_else(family::today),
            of: options.quantity.clone(),
            with: with.filter(|_| !is_packet),
            how: options.how.and_then(|how| how.to_possible_value()).map(|word| word.get_name().to_owned()),
            within: within.clone(),
            spot: options.spot.clone(),
            afresh: options.afresh,
            unit,
            got: digits.clone(),
        };
        Ok((reading.to_string(), Some(quantity)))
    })
}

/// The options that fit a distance between things.
fn how_to_say(quantity: &Quantity) -> &'static str {
    match quantity {
        Quantity::At(_, PositionQuantity::ScrewPitch) => {
            "--how holes_far (far edges of the holes) or --how holes_near"
        }
        Quantity::At(_, PositionQuantity::BassSide | PositionQuantity::TrebleSide) => {
            "--how string_near (to the string's near face) or --how string_far"
        }
        _ => "--how strings_outer (over both strings) or --how strings_inner (between them)",
    }
}

/// Enters a withdrawal.
pub(crate) fn withdraw(options: &arguments::Withdraw) -> Outcome {
    enter(&options.family, |_| {
        let withdrawal =
            NewWithdrawal { on: family::today(), entry: options.entry, why: options.why.clone() };
        Ok((withdrawal.to_string(), None))
    })
}

/// Others may add to the log at the same time; after so many tries somebody is at it all day.
const TRIES: usize = 50;

/// Makes an entry, tries it on the log's text, appends it to the file when it can be read, and says what
/// it changes. When the log has changed meanwhile, all of that again.
fn enter(folder: &Path, make: impl Fn(&Survey) -> Result<(String, Option<Quantity>), String>) -> Outcome {
    for _ in 0..TRIES {
        let before = match family::survey(folder, None) {
            Ok(survey) => survey,
            Err(problems) => return complain::wrong_input(&problems, false),
        };
        if before.problems.has_errors() {
            return complain::wrong_input(&before.problems, false);
        }
        let (entry, quantity) = match make(&before) {
            Ok(made) => made,
            Err(why) => return complain::failure(&why, false),
        };
        let after = match with(&before, &entry) {
            Ok(after) => after,
            Err(problems) => return complain::wrong_input(&problems, false),
        };
        let tried_on = before.problems.files.get(1).map_or(0, |log| log.text.len());
        match append(folder, &entry, tried_on) {
            Ok(()) => {}
            Err(AppendError::Changed) => continue,
            Err(e) => return complain::failure(&e.to_string(), false),
        }
        let new: Vec<&Problem> =
            after.problems.all.iter().filter(|p| !before.problems.all.contains(p)).collect();
        complain::each(&after.problems.files, new);
        say::line(format_args!("Entry {}: {entry}", after.entries));
        tell(before, after, quantity);
        return Outcome::Fine;
    }
    complain::failure("the log changes all the time; nothing was written", false)
}

/// The family with one more entry; what is wrong with that entry otherwise.
fn with(before: &Survey, entry: &str) -> Result<Survey, Problems> {
    let [family, log] = &before.problems.files[..] else { return Err(before.problems.clone()) };
    let log = SourceFile { name: log.name.clone(), text: with_entry(&log.text, entry) };
    let when = When { latest: Some(family::latest_day()), as_of: None };
    let after = Survey::read_at(&before.slug, family.clone(), log, when)?;
    if !after.problems.has_errors() {
        return Ok(after);
    }
    let mut problems = after.problems;
    problems.all.retain(|p| p.severity == Severity::Error);
    Err(problems)
}

/// What the entry changes: its quantity, what is still to be measured, or the verdicts.
fn tell(before: Survey, after: Survey, quantity: Option<Quantity>) {
    let all = after.quantities.iter().chain(&before.quantities).map(|q| &q.quantity);
    let moved = all.filter(|q| stands(&before, q) != stands(&after, q)).cloned();
    let changed: Vec<Quantity> = quantity.into_iter().chain(moved).collect();
    for (i, quantity) in changed.iter().enumerate() {
        if !changed[..i].contains(quantity) {
            say::text(changes::of_quantity(quantity, &before, &after));
        }
    }
    if after.missing().next().is_some() {
        say::text(changes::to_measure(&after));
        return;
    }
    let was_missing = before.missing().next().is_some();
    let told = after.problems.all.clone();
    let was = before.family();
    let now = after.family();
    // What shows only when everything is known: string readings that contradict each other.
    if let Ok(now) = &now {
        let known = was.as_ref().map_or(&[][..], |was| &was.notices[..]);
        let new = now.notices.iter().filter(|n| !told.contains(n) && !known.contains(n));
        complain::each(&now.files, new);
    }
    let now = match now.and_then(Prepared::new) {
        Ok(now) => now,
        Err(problems) => {
            say::line("Everything is measured; what is wanted can't be made yet:");
            complain::each(&problems.files, problems.all.iter().filter(|p| p.severity == Severity::Error));
            return;
        }
    };
    match was.and_then(Prepared::new) {
        Ok(was) if !was_missing => {
            say::text(changes::of_verdicts(&was, &now));
            say::text(table::conclusion(&now));
        }
        _ => {
            say::line("Everything is measured.\n");
            say::text(table::checks(&now, false));
        }
    }
}

/// Readings of a quantity that count, with their last entry, and what they give.
fn stands(survey: &Survey, quantity: &Quantity) -> Option<(Option<Taken>, Option<Length>)> {
    let known = survey.quantities.iter().find(|q| q.quantity == *quantity)?;
    // The doubt changes with every other reading of the same tool.
    let packet = known.estimate.as_ref().filter(|_| known.taken.is_none()).map(Estimate::value);
    Some((known.taken, packet))
}
