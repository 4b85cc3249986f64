//! `bobbinwright read` and `bobbinwright withdraw`.

use std::path::Path;

use bobbinwright_export::Prepared;
use bobbinwright_spec::{
    NewReading, NewWithdrawal, Problem, Problems, Quantity, Severity, SourceFile, Survey, When, append,
    with_entry,
};

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
    if options.how.as_deref() == Some("packet") && options.within.is_none() {
        let message = "a figure from the packet needs its tolerance: add --within 0.05";
        return complain::failure(message, false);
    }
    let within = options.within.as_ref().and_then(|_| digits.pop());
    let reading = NewReading {
        on: options.on.unwrap_or_else(family::today),
        of: options.quantity.clone(),
        with: options.with.clone(),
        how: options.how.clone(),
        within,
        spot: options.spot.clone(),
        afresh: options.afresh,
        unit,
        got: digits,
    };
    enter(&options.family, &reading.to_string())
}

/// Enters a withdrawal.
pub(crate) fn withdraw(options: &arguments::Withdraw) -> Outcome {
    let withdrawal = NewWithdrawal { on: family::today(), entry: options.entry, why: options.why.clone() };
    enter(&options.family, &withdrawal.to_string())
}

/// Tries an entry on the log's text, appends it to the file when it can be read, and says what it
/// changes.
fn enter(folder: &Path, entry: &str) -> Outcome {
    let before = match family::survey(folder, None) {
        Ok(survey) => survey,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if before.problems.has_errors() {
        return complain::wrong_input(&before.problems, false);
    }
    let after = match with(&before, entry) {
        Ok(after) => after,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if let Err(e) = append(folder, entry) {
        return complain::failure(&format!("the entry was not written: {e}"), false);
    }
    let new: Vec<&Problem> = after.problems.all.iter().filter(|p| !before.problems.all.contains(p)).collect();
    complain::each(&after.problems.files, new);
    say::line(format_args!("Entry {}: {entry}", after.entries));
    tell(before, after);
    Outcome::Fine
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
fn tell(before: Survey, after: Survey) {
    let changed: Vec<Quantity> = after
        .quantities
        .iter()
        .chain(&before.quantities)
        .filter(|q| stands(&before, &q.quantity) != stands(&after, &q.quantity))
        .map(|q| q.quantity.clone())
        .collect();
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
    let now = match after.family().and_then(Prepared::new) {
        Ok(now) => now,
        Err(problems) => {
            say::line("Everything is measured; what is wanted can't be made yet:");
            complain::each(&problems.files, &problems.all);
            return;
        }
    };
    match before.family().and_then(Prepared::new) {
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

/// Readings of a quantity that count, with their last entry.
fn stands(survey: &Survey, quantity: &Quantity) -> Option<(Option<usize>, Option<usize>, bool)> {
    let known = survey.quantities.iter().find(|q| q.quantity == *quantity)?;
    let taken = known.taken.as_ref();
    Some((taken.map(|t| t.readings), taken.map(|t| t.entry), known.estimate.is_some()))
}
