//! `bobbinwright read`, `withdraw` and `tool`, of a family or of a printer.

use bobbinwright_clock as clock;
use std::path::Path;

use bobbinwright_spec::{
    Entered, Figure, Folder, NewTool, NewWithdrawal, NotEntered, NotSaid, PrinterSurvey, Quantity, Say,
    Survey, Tool, enter, ways, withdraw as enter_withdrawal,
};
use clap::ValueEnum;

use crate::book::Telling;
use crate::outcome::Outcome;
use crate::{arguments, complain, say};

/// Enters a reading.
pub(crate) fn run(options: &arguments::Read) -> Outcome {
    if PrinterSurvey::is_one(&Folder::on_disk(&options.family)) {
        return entered::<PrinterSurvey>(options);
    }
    entered::<Survey>(options)
}

fn entered<B: Telling>(options: &arguments::Read) -> Outcome {
    let how = options.how.and_then(|how| how.to_possible_value());
    let said = Say {
        of: options.quantity.clone(),
        figures: options.values.clone(),
        how: how.map(|word| word.get_name().to_owned()),
        within: options.within.clone(),
        with: options.with.clone(),
        spot: options.spot.clone(),
        afresh: options.afresh,
        on: options.on.unwrap_or_else(clock::today),
    };
    told(
        &options.family,
        enter(&Folder::on_disk(&options.family), clock::now(), |book: &B| {
            said.entry(book).map(|(entry, quantity)| (entry, Some(quantity)))
        }),
    )
}

/// Enters a withdrawal.
pub(crate) fn withdraw(options: &arguments::Withdraw) -> Outcome {
    if PrinterSurvey::is_one(&Folder::on_disk(&options.family)) {
        return withdrawn::<PrinterSurvey>(options);
    }
    withdrawn::<Survey>(options)
}

fn withdrawn<B: Telling>(options: &arguments::Withdraw) -> Outcome {
    let withdrawal = NewWithdrawal { on: clock::today(), entry: options.entry, why: options.why.clone() };
    told(&options.family, enter_withdrawal::<B>(&Folder::on_disk(&options.family), clock::now(), &withdrawal))
}

/// Enters a tool.
pub(crate) fn tool(options: &arguments::Tool) -> Outcome {
    if PrinterSurvey::is_one(&Folder::on_disk(&options.family)) {
        return tool_of::<PrinterSurvey>(options);
    }
    tool_of::<Survey>(options)
}

fn tool_of<B: Telling>(options: &arguments::Tool) -> Outcome {
    let [step, limit] = [&options.step, &options.limit].map(Figure::length);
    let tool = Tool::new(options.name.clone(), step, limit);
    let tool = NewTool { on: clock::today(), tool, unit: options.step.unit };
    match enter(&Folder::on_disk(&options.family), clock::now(), |_: &B| Ok((tool.to_string(), None))) {
        Ok(entered) => {
            complain::each(&entered.after.problems().files, entered.news());
            say::line(format_args!("Entry {}: {}", entered.after.entries(), entered.entry));
            say::line(format_args!("Readings are taken with it by --with {:?}.", options.name));
            Outcome::Fine
        }
        Err(NotEntered::Problems(problems)) => complain::wrong_input(&problems, false),
        Err(other) => complain::failure(&other.to_string(), false),
    }
}

/// Says what an entry changes, or why there is none.
fn told<B: Telling>(folder: &Path, entered: Result<Entered<B>, NotEntered>) -> Outcome {
    let entered = match entered {
        Ok(entered) => entered,
        Err(NotEntered::Problems(problems)) => return complain::wrong_input(&problems, false),
        Err(NotEntered::Wrong(not)) => return complain::failure(&not_said(&not), false),
        Err(other) => return complain::failure(&other.to_string(), false),
    };
    complain::each(&entered.after.problems().files, entered.news());
    // A family that is like another may use the other's readings.
    let is_here = Path::new(&entered.file).parent() == Some(folder);
    let elsewhere = if is_here { String::new() } else { format!(", in {}", entered.file) };
    say::line(format_args!("Entry {}{elsewhere}: {}", entered.after.entries(), entered.entry));
    if !is_here {
        let note = "It has no readings of its own, so that this is said of the other's body too. A body of its own it is once there is a readings.ron beside its family.ron, an empty one to begin with.";
        say::line(note);
    }
    B::tell(&Folder::on_disk(folder), entered.before, entered.after, entered.quantity);
    Outcome::Fine
}

/// What is wrong with what was typed, by the command's own options.
fn not_said(not: &NotSaid) -> String {
    match not {
        NotSaid::Units => {
            "figures of one entry need one unit, --within too: all in mm, or all ending in in".into()
        }
        NotSaid::Tolerance => {
            "a figure from the packet needs its tolerance: --how packet --within 0.05".into()
        }
        NotSaid::Unknown { name, why } => format!("{name}: {why}"),
        NotSaid::HowMissing(quantity) => format!("how was {quantity} read? Add {}", options(quantity)),
        NotSaid::HowWrong(how, quantity) => {
            format!("--how {how} says nothing about {quantity}: write {}", options(quantity))
        }
        NotSaid::Withdrawn { entry, by } => {
            format!("entry {entry} was withdrawn already, by entry {by}; nothing was written")
        }
        NotSaid::OfAnother { entry, log } => {
            format!("entry {entry} is of what another family made, in {log}: withdraw it there")
        }
    }
}

/// `--how holes_far (far edges of the holes), or --how holes_near (…)`.
fn options(quantity: &Quantity) -> String {
    let all: Vec<String> =
        ways(quantity).iter().map(|(word, means)| format!("--how {word} ({means})")).collect();
    all.join(", or ")
}
