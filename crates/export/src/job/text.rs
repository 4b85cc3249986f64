//! The job as a table for a terminal.

use std::fmt::Write;

use bobbinwright_spec::{Length, Unit, capitalised};

use super::{Job, Pickup, Set, Stage};

impl Job {
    /// A line for each pickup, then what comes next for each.
    pub fn text(&self, unit: Unit) -> String {
        let mut out = format!("{}, {}\n", self.title, self.folder);
        let name = self.positions.iter().map(|p| p.position.chars().count()).max().unwrap_or_default();
        let heads: Vec<&str> =
            self.positions.first().map_or(Vec::new(), |p| p.stages.iter().map(|s| s.what).collect());
        let width = |column: usize| {
            let cells = self.positions.iter().map(|p| cell(&p.stages[column]).chars().count());
            cells.chain([heads[column].len()]).max().unwrap_or_default()
        };
        let widths: Vec<usize> = (0..heads.len()).map(width).collect();
        let mut row = |first: &str, cells: Vec<String>| {
            let cells = cells.iter().zip(&widths).map(|(cell, width)| format!("  {cell:width$}"));
            // Writing to a String does not fail.
            let _ = writeln!(out, "{}", format!("{first:name$}{}", cells.collect::<String>()).trim_end());
        };
        row("", heads.iter().map(|head| (*head).to_owned()).collect());
        for pickup in &self.positions {
            row(&pickup.position, pickup.stages.iter().map(cell).collect());
        }
        for pickup in &self.positions {
            out.push_str(&after(pickup, unit));
        }
        out
    }
}

/// `2026-10-14`, or how it stands.
fn cell(stage: &Stage) -> String {
    match &stage.on {
        Some(day) if stage.done && matches!(stage.words.as_str(), "all" | "yes") => day.clone(),
        Some(day) => format!("{} ({day})", stage.words),
        None => stage.words.clone(),
    }
}

fn after(pickup: &Pickup, unit: Unit) -> String {
    let mut out = String::new();
    if let Some(set) = &pickup.set {
        let _ = writeln!(out, "{}, {}", pickup.position, words(set, unit));
    }
    let _ = match &pickup.next {
        Some(next) => writeln!(
            out,
            "{}, next: {}. {}.\n    {}",
            pickup.position,
            next.what.trim_end_matches('.'),
            capitalised(&next.why),
            next.how
        ),
        None => writeln!(out, "{}: all done.", pickup.position),
    };
    out
}

/// `as set on 2026-10-20: 2.50 and 2.00 mm under the outer strings, …`
fn words(set: &Set, unit: Unit) -> String {
    let both = |both: [f64; 2]| {
        let [bass, treble] = both.map(Length::from_mm);
        format!("{} (bass) and {} (treble)", unit.shown(bass), unit.shown(treble))
    };
    let gaps = set.gaps_mm.map(|gaps| format!("strings {} over it", both(gaps)));
    let action = set.action_mm.map(|action| format!("strings {} over the twelfth fret", both(action)));
    let heard = set.heard.as_ref().map(|heard| format!("heard: {heard}"));
    let all: Vec<String> = [gaps, action, heard].into_iter().flatten().collect();
    format!("as set on {}: {}", set.on, all.join("; "))
}
