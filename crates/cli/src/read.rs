//! `bobbinwright read` and `bobbinwright withdraw`, of a family or of a printer.

use std::path::Path;

use bobbinwright_spec::{
    AppendError, NewReading, NewWithdrawal, PositionQuantity, PrinterSurvey, Problem, Problems, Quantity,
    Severity, SourceFile, Survey, Unit, append, with_entry,
};
use clap::ValueEnum;

use crate::arguments::How;
use crate::book::Book;
use crate::{Outcome, arguments, complain, family, figure, say};

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
    if PrinterSurvey::is_one(&options.family) {
        return entered::<PrinterSurvey>(options, &digits, within.as_deref(), unit);
    }
    entered::<Survey>(options, &digits, within.as_deref(), unit)
}

fn entered<B: Book>(
    options: &arguments::Read,
    digits: &[String],
    within: Option<&str>,
    unit: Unit,
) -> Outcome {
    let is_packet = within.is_some();
    enter(&options.family, |book: &B| {
        let quantity =
            book.quantity(&options.quantity).map_err(|why| format!("{}: {why}", options.quantity))?;
        if options.how.is_none() && quantity.is_between_things() {
            return Err(format!(
                "how was {quantity} read? Add {}, or --how outside if from centre to centre",
                how_to_say(&quantity)
            ));
        }
        let with = options.with.clone().or_else(|| book.usual_tool(&quantity).map(str::to_owned));
        let reading = NewReading {
            on: options.on.unwrap_or_else(family::today),
            of: options.quantity.clone(),
            with: with.filter(|_| !is_packet),
            how: options.how.and_then(|how| how.to_possible_value()).map(|word| word.get_name().to_owned()),
            within: within.map(str::to_owned),
            spot: options.spot.clone(),
            afresh: options.afresh,
            unit,
            got: digits.to_vec(),
        };
        Ok((reading.to_string(), Some(quantity)))
    })
}

/// The options that fit a distance between things.
fn how_to_say(quantity: &Quantity) -> &'static str {
    match quantity {
        Quantity::At(_, PositionQuantity::ScrewPitch) | Quantity::Piece(..) => {
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
    if PrinterSurvey::is_one(&options.family) {
        return withdrawn::<PrinterSurvey>(options);
    }
    withdrawn::<Survey>(options)
}

fn withdrawn<B: Book>(options: &arguments::Withdraw) -> Outcome {
    enter(&options.family, |_: &B| {
        let withdrawal =
            NewWithdrawal { on: family::today(), entry: options.entry, why: options.why.clone() };
        Ok((withdrawal.to_string(), None))
    })
}

/// Others may add to the log at the same time; after so many tries somebody is at it all day.
const TRIES: usize = 50;

/// Makes an entry, tries it on the log's text, appends it to the file when it can be read, and says what
/// it changes. When the log has changed meanwhile, all of that again.
fn enter<B: Book>(folder: &Path, make: impl Fn(&B) -> Result<(String, Option<Quantity>), String>) -> Outcome {
    for _ in 0..TRIES {
        let before = match B::load(folder) {
            Ok(before) => before,
            Err(problems) => return complain::wrong_input(&problems, false),
        };
        if before.problems().has_errors() {
            return complain::wrong_input(before.problems(), false);
        }
        let (entry, quantity) = match make(&before) {
            Ok(made) => made,
            Err(why) => return complain::failure(&why, false),
        };
        let after = match with(&before, &entry) {
            Ok(after) => after,
            Err(problems) => return complain::wrong_input(&problems, false),
        };
        let tried_on = before.problems().files.get(1).map_or(0, |log| log.text.len());
        match append(&before.log_folder(), &entry, tried_on) {
            Ok(()) => {}
            Err(AppendError::Changed) => continue,
            Err(e) => return complain::failure(&e.to_string(), false),
        }
        let new: Vec<&Problem> =
            after.problems().all.iter().filter(|p| !before.problems().all.contains(p)).collect();
        complain::each(&after.problems().files, new);
        say::line(format_args!("Entry {}: {entry}", after.entries()));
        B::tell(before, after, quantity);
        return Outcome::Fine;
    }
    complain::failure("the log changes all the time; nothing was written", false)
}

/// The log with one more entry; what is wrong with that entry otherwise.
fn with<B: Book>(before: &B, entry: &str) -> Result<B, Problems> {
    let Some(log) = before.problems().files.get(1) else { return Err(before.problems().clone()) };
    let log = SourceFile { name: log.name.clone(), text: with_entry(&log.text, entry) };
    let after = before.with_log(log)?;
    if !after.problems().has_errors() {
        return Ok(after);
    }
    let mut problems = after.problems().clone();
    problems.all.retain(|p| p.severity == Severity::Error);
    Err(problems)
}
