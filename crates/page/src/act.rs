//! What changes the log: readings entered, tried without entering them, and withdrawn.

use bobbinwright_spec::{
    Book, Entered, Figure, Folder, NewTool, NewWithdrawal, NotEntered, PrinterSurvey, Problem, Say, Severity,
    Survey, Tool, Unit, enter, tried, withdraw,
};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::copies::not_entered;
use crate::day::Day;
use crate::desk::Desk;
use crate::printer::folder_of;
use crate::say::{in_words, not_said, sentence};
use crate::{fit, state};

/// A reading as it is typed on the page.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Typed {
    of: String,
    /// One figure or several, with spaces between them.
    figures: String,
    how: String,
    within: String,
    with: String,
    spot: String,
    afresh: bool,
    /// `mm` or `in`, for figures without one.
    unit: String,
    /// How many entries the log had when it was sent first.
    known: usize,
    /// It was sent before, and no answer came: it may be in the log.
    again: bool,
    /// The day it was typed; today where that is not said.
    on: String,
    /// The family's folder, by its one path; nothing where nobody minds.
    home: String,
    /// The entry that it stands in place of.
    corrects: Option<usize>,
    /// It is of the printer's coupon, and goes into the printer's log.
    coupon: bool,
    /// The printer that it is of, as the page was told of it: the family may name another one by now.
    printer: String,
}

impl Typed {
    fn said(&self, day: Day) -> Result<Say, String> {
        let unit = if self.unit == "in" { Unit::Inch } else { Unit::Mm };
        let figure = |text: &str| Figure::typed(text, unit).map_err(|why| format!("{text}: {why}"));
        let some = |text: &str| (!text.trim().is_empty()).then(|| text.trim().to_owned());
        let figures: Vec<Figure> =
            pieces(&self.figures).iter().map(|t| figure(t)).collect::<Result<_, _>>()?;
        if figures.is_empty() {
            return Err("type a figure, like 92.24 or 3.631in".into());
        }
        Ok(Say {
            of: self.of.clone(),
            figures,
            how: some(&self.how),
            within: some(&self.within).map(|t| figure(&t)).transpose()?,
            with: some(&self.with),
            spot: some(&self.spot),
            afresh: self.afresh,
            on: self.on.parse().unwrap_or(day.today),
        })
    }

    /// What takes the entry back that it stands in place of; none where that does not count any more.
    fn without<B: Book>(&self, before: &B, day: Day) -> Option<String> {
        let entry = self.corrects.filter(|entry| before.withdrawn_by(*entry).is_none())?;
        Some(NewWithdrawal { on: day.today, entry, why: "corrected".to_owned() }.to_string())
    }

    /// The family that it was typed for.
    pub fn home(&self) -> &str {
        &self.home
    }

    /// Was it typed for another family that this page's address led to?
    pub fn is_elsewhere(&self, folder: &Folder) -> bool {
        !self.home.is_empty() && self.home != folder.home()
    }
}

/// The figures that stand in a line; a unit may stand apart from its figure.
fn pieces(line: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in line.split([' ', ';', '\t']).filter(|w| !w.is_empty()) {
        match all.last_mut() {
            Some(last) if matches!(word, "mm" | "in" | "inch" | "\"") => last.push_str(word),
            // Whole inches before a fraction.
            Some(last) if word.contains('/') && last.bytes().all(|b| b.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => all.push(word.to_owned()),
        }
    }
    all
}

/// What an entry would make of the family; nothing is written.
pub(crate) fn try_reading(desk: &Desk, typed: &Typed, day: Day) -> Result<Value, String> {
    let (entry, quantity) = typed.said(day)?.entry(&desk.survey).map_err(|not| not_said(&not))?;
    let without = typed.without(&desk.survey, day).map(|taken| tried(&desk.survey, &taken, day.when));
    let without = without.transpose().map_err(|p| in_words(&p))?;
    let after =
        tried(without.as_ref().unwrap_or(&desk.survey), &entry, day.when).map_err(|p| in_words(&p))?;
    let known = &desk.survey.problems.all;
    let news = in_sentences(after.problems.all.iter().filter(|p| !known.contains(p)));
    let after = Desk::of(&desk.folder, after, day);
    let stands = state::quantities(&after, &[]).into_iter().find(|q| q["name"] == quantity.to_string());
    let refused = after.prepared.as_ref().and_then(|prepared| prepared.as_ref().err()).map(in_words);
    Ok(json!({ "quantity": stands, "fit": fit::all(&after), "refused": refused, "news": news }))
}

/// Enters a reading.
pub(crate) fn read(folder: &Folder, typed: &Typed, day: Day) -> Result<Value, String> {
    if !typed.coupon {
        return enter_one::<Survey>(folder, typed, day);
    }
    let survey = Survey::load_at(folder, day.when).map_err(|problems| in_words(&problems))?;
    let printer = folder_of(folder, &survey).ok_or("the family names no printer's folder")?;
    if printer.path().display().to_string() != typed.printer {
        return Err("This was read of another printer's coupon: nothing was entered.".into());
    }
    enter_one::<PrinterSurvey>(&printer, typed, day)
}

fn enter_one<B: Book>(folder: &Folder, typed: &Typed, day: Day) -> Result<Value, String> {
    let said = typed.said(day)?;
    if typed.again
        && let Some(entered) = entered_already::<B>(folder, &said, typed.known, day)
    {
        return Ok(entered);
    }
    // What can't be entered takes nothing back; and the page keeps what it sent until it is in the log.
    if typed.corrects.is_some() {
        let book = B::load(folder, day.when).map_err(|problems| in_words(&problems))?;
        let (entry, _) = said.entry(&book).map_err(|not| not_said(&not))?;
        if let Some(taken) = typed.without(&book, day) {
            let without = tried(&book, &taken, day.when).map_err(|p| in_words(&p))?;
            tried(&without, &entry, day.when).map_err(|p| in_words(&p))?;
            enter(folder, day.when, |_: &B| Ok((taken.clone(), None))).map_err(not_entered)?;
        }
    }
    let entered =
        enter(folder, day.when, |book: &B| said.entry(book).map(|(entry, quantity)| (entry, Some(quantity))));
    told(entered)
}

/// The entry that a reading made whose answer did not reach the page; none where it made none.
fn entered_already<B: Book>(folder: &Folder, said: &Say, known: usize, day: Day) -> Option<Value> {
    let book = B::load(folder, day.when).ok()?;
    let (text, _) = said.entry(&book).ok()?;
    let number = book.entry_like(&text, known)?;
    Some(json!({ "entry": number, "text": text, "news": [] }))
}

/// A tool that readings are taken with.
#[derive(Debug, Deserialize)]
pub(crate) struct Tooled {
    name: String,
    /// Of its display or scale.
    step: String,
    /// The error that its maker permits.
    limit: String,
}

/// Enters a tool.
pub(crate) fn tool(folder: &Folder, typed: &Tooled, day: Day) -> Result<Value, String> {
    let name = typed.name.trim();
    if name.is_empty() {
        return Err("Name it, like caliper or rule.".into());
    }
    let figure = |text: &str| text.parse::<Figure>().map_err(|why| format!("{text}: {why}"));
    let (step, limit) = (figure(&typed.step)?, figure(&typed.limit)?);
    let tool = Tool::new(name.to_owned(), step.length(), limit.length());
    let tool = NewTool { on: day.today, tool, unit: step.unit };
    told(enter(folder, day.when, |_: &Survey| Ok((tool.to_string(), None))))
}

/// An entry that shall not count any more.
#[derive(Debug, Deserialize)]
pub(crate) struct Withdrawn {
    entry: usize,
    why: String,
}

/// Withdraws an entry, by another one.
pub(crate) fn take_back(folder: &Folder, withdrawn: &Withdrawn, day: Day) -> Result<Value, String> {
    let why = if withdrawn.why.trim().is_empty() { "misread" } else { withdrawn.why.trim() };
    let withdrawal = NewWithdrawal { on: day.today, entry: withdrawn.entry, why: why.to_owned() };
    told(withdraw::<Survey>(folder, day.when, &withdrawal))
}

fn told<B: Book>(entered: Result<Entered<B>, NotEntered>) -> Result<Value, String> {
    match entered {
        Ok(entered) => {
            let news = in_sentences(entered.news());
            Ok(json!({ "entry": entered.after.entries(), "text": entered.entry, "news": news }))
        }
        Err(not) => Err(not_entered(not)),
    }
}

/// What is odd, in words. A reminder is no news: it stands among what is known.
fn in_sentences<'p>(news: impl Iterator<Item = &'p Problem>) -> Vec<String> {
    news.filter(|p| p.severity != Severity::Reminder).map(sentence).collect()
}

#[cfg(test)]
mod tests {
    use super::pieces;

    #[test]
    fn figures_and_units_find_each_other() {
        assert_eq!(pieces("92.2 92.24mm; 3 53/64 in 1/4\""), ["92.2", "92.24mm", "3 53/64in", "1/4\""]);
        assert_eq!(pieces("3-53/64 in 3 5"), ["3-53/64in", "3", "5"]);
    }
}
