//! Advice in sentences: the same on the terminal, in the report and on the page.

use std::sync::PoisonError;

use bobbinwright_fit::{Bought, Check, Help, Verdict};
use bobbinwright_spec::coil::{Until, Wire};
use bobbinwright_spec::{Length, Unit, uncapitalised};
use bobbinwright_words::margin;

use super::{Advice, Change, Reach, Turned, Way, advice};
use crate::Prepared;

/// What was found to help a check, once it was looked for. It takes some dozen builds for each check, once.
pub fn known_advice(prepared: &Prepared, check: &Check) -> Advice {
    if !is_wanted(prepared, check) {
        return Advice::default();
    }
    let key = (check.position.clone(), check.kind);
    // Whoever comes while it is worked out works it out too: the answer is the same.
    let known = || prepared.advice.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(found) = known().get(&key) {
        return found.clone();
    }
    let found = advice(prepared, check);
    known().insert(key, found.clone());
    found
}

/// What is wrong where a check does not fit, and what was found to help.
pub fn what_to_do(prepared: &Prepared, check: &Check) -> String {
    if !is_wanted(prepared, check) {
        return String::new();
    }
    let unit = prepared.family.unit();
    if let Some(of) = check.contradicted(&prepared.fit.doubts) {
        return format!(
            "{} Most of its doubt is that the readings of {of} contradict each other, or others: settle that before anything is changed.",
            what_is_wrong(check, unit)
        );
    }
    if prepared.fit.is_held_open(check) {
        return format!(
            "{} A part jammed that by what was read goes in: settle that before anything is changed.",
            what_is_wrong(check, unit)
        );
    }
    let slip = prepared.fit.slip_behind(&prepared.family, check).map(|(guards, slip)| {
        let names: Vec<String> = guards.iter().map(|guard| guard.name()).collect();
        let place = if names.len() == 1 { "there" } else { "in one of them" };
        format!(
            "Before anything is changed read {} again: a slip of {} {place} would be all of it.",
            names.join(" and "),
            unit.shown(slip)
        )
    });
    sentences(check, &known_advice(prepared, check), unit)
        .into_iter()
        .chain(slip)
        .collect::<Vec<_>>()
        .join(" ")
}

/// Is there something to be said of a check?
pub fn is_wanted(prepared: &Prepared, check: &Check) -> bool {
    check.verdict != Verdict::Fits || decides(prepared, check)
}

/// Does a check that fits keep its pickup from it, which no other does more?
fn decides(prepared: &Prepared, check: &Check) -> bool {
    let checks = &prepared.fit.checks;
    let own = |c: &&Check| c.position == check.position;
    checks.iter().filter(own).all(|c| c.verdict == Verdict::Fits)
        && prepared.fit.wholes().iter().any(|whole| {
            whole.verdict != Verdict::Fits
                && checks.get(whole.worst).is_some_and(|worst| worst.is_same(check))
        })
}

/// What is wrong, as far as that is known, in a unit.
pub fn what_is_wrong(check: &Check, unit: Unit) -> String {
    let why = check.why.shown(unit);
    match check.verdict {
        Verdict::TooClose => format!("It may fit as it is. If not: {}", uncapitalised(&why)),
        Verdict::Fits => {
            "This fits, but the pickup as a whole hangs on it more than on anything else.".to_owned()
        }
        Verdict::Clashes => why,
    }
}

fn sentences(check: &Check, advice: &Advice, unit: Unit) -> Vec<String> {
    let mut all = vec![what_is_wrong(check, unit)];
    let is_own = |way: &Way| matches!(&way.changes[..], [one] if !matches!(one, Change::Bought { .. } | Change::OneRod));
    match advice.ways.first() {
        None => all.extend(never(advice, unit)),
        Some(first) if !is_own(first) && !advice.never.is_empty() => {
            let paths: Vec<&str> = advice.never.iter().map(|(path, _)| *path).collect();
            all.push(format!("No value of {} alone was found that makes it fit.", paths.join(", or of ")));
        }
        Some(_) => {}
    }
    let outcome = if check.verdict == Verdict::Fits { "that is surer" } else { "it fits" };
    all.extend(ways(&advice.ways, outcome, unit));
    for help in &check.help {
        match help {
            Help::PrintAgain => all.push("Print cover, baseplate and plates of one build.".into()),
            Help::LargerBed => all.push("It needs another printer.".into()),
            _ => {}
        }
    }
    all
}

/// `With cover.fit_gap 0.95 mm, or with cover.corner_radius 4.25 mm, it fits, and nothing else turns.`
fn ways(ways: &[Way], outcome: &str, unit: Unit) -> Option<String> {
    let first = ways.first()?;
    let with: Vec<String> = ways.iter().map(|way| format!("with {}", way.words(unit))).collect();
    let turned = first.turned_in_words();
    Some(if first.turned.is_empty() {
        let with = if let [one] = &with[..] { one.clone() } else { format!("{},", with.join(", or ")) };
        format!("{} {outcome}, and {turned}.", bobbinwright_spec::capitalised(&with))
    } else {
        format!("{} {outcome}; {turned}.", bobbinwright_spec::capitalised(&with[0]))
    })
}

fn in_words(turned: &Turned) -> String {
    let verb = if turned.verdict == Verdict::Clashes { "clashes" } else { "is too close to call" };
    format!("{} {} {verb}", turned.position, turned.kind.name())
}

fn never(advice: &Advice, unit: Unit) -> Vec<String> {
    let mut all: Vec<String> = advice
        .never
        .iter()
        .map(|(path, ranges)| match ranges {
            Some(ranges) => format!(
                "No value of {path} alone was found that makes it fit: parts can be made with {}, everything else left as it is.",
                ranges.shown(unit)
            ),
            None => format!("No value of {path} alone was found that makes it fit."),
        })
        .collect();
    if let Some((change, left)) = &advice.nearest {
        let (with, left) = (one(change, unit), margin(*left, unit));
        all.push(format!(
            "It comes nearest with {with}: the margin is {left} {} then, which does not do.",
            unit.short()
        ));
    }
    all
}

impl Way {
    /// `nothing else turns`, or `but then neck bobbin-under-roof clashes`.
    pub fn turned_in_words(&self) -> String {
        if self.turned.is_empty() {
            return "nothing else turns".to_owned();
        }
        let turned: Vec<String> = self.turned.iter().map(in_words).collect();
        format!("but then {}", turned.join(", "))
    }

    /// `cover.wall 2.10 mm and cover.height 18.70 mm together`, and whom it is for where a line speaks for several.
    pub fn words(&self, unit: Unit) -> String {
        let whom = match (self.reach, &self.sharing[..]) {
            (_, [] | [_]) => String::new(),
            (Reach::Here, _) => format!(" for {} alone", self.position),
            (Reach::WholeLine, [all @ .., last]) => format!(" for {} and {last}", all.join(", ")),
        };
        changes(&self.changes, unit) + &whom
    }
}

fn changes(all: &[Change], unit: Unit) -> String {
    let mut each: Vec<String> = all.iter().map(|change| one(change, unit)).collect();
    let Some(last) = each.pop() else { return String::new() };
    if each.is_empty() { last } else { format!("{} and {last} together", each.join(", ")) }
}

fn one(change: &Change, unit: Unit) -> String {
    match change {
        Change::Dimension(path, value) => format!("{path} {}", unit.shown(*value)),
        Change::LeadOut(side, offset) => {
            let offset = unit.shown(*offset);
            format!("cover.lead_out.side {} and cover.lead_out.offset {offset}", side.name())
        }
        Change::Mounting(mounting) => format!("cover.mounting: {mounting}"),
        Change::OneRod => "one rod under each string (poles single)".into(),
        Change::Wind(Until::Turns(turns)) => format!("{turns:.0} turns"),
        Change::Wind(Until::Ohms(ohms)) => format!("{:.2} kΩ of wire", ohms / 1000.0),
        Change::Wind(Until::Henries(henries)) => format!("{henries:.2} H"),
        Change::Wind(Until::HenriesWithRods(henries)) => format!("{henries:.2} H with rods"),
        Change::Wire(Wire::Gauge(gauge, _)) => format!("wire of AWG {}", gauge.number()),
        Change::Wire(Wire::Diameters(copper, _)) => format!("wire of {copper}"),
        Change::Bought { what, now, was } => bought(*what, *now, *was, unit),
    }
}

/// `rods of at most 2.10 mm`.
fn bought(what: Bought, now: Length, was: Length, unit: Unit) -> String {
    let limit = if now < was { "at most" } else { "at least" };
    let now = unit.shown(now);
    match what {
        Bought::RodDiameter => format!("rods of {limit} {now} across"),
        Bought::RodLength => format!("rods of {limit} {now}"),
        Bought::EyeletBarrel => format!("eyelets with barrels of {limit} {now}"),
        Bought::EyeletFlange => format!("eyelets with flanges of {limit} {now}"),
        Bought::ScrewHead => format!("screws with heads of {limit} {now} across"),
        Bought::ScrewHeadHeight => format!("screws with heads of {limit} {now} in height"),
        Bought::Lead => format!("a lead of {limit} {now}"),
    }
}
