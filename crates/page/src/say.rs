//! What is wrong or odd, in sentences.

use bobbinwright_spec::{NotSaid, Problem, Problems, Severity, capitalised, ways};

/// Message and hint as one sentence each.
pub(crate) fn sentence(problem: &Problem) -> String {
    let hint = problem.hint.as_ref().map(|h| format!(" {}.", capitalised(h))).unwrap_or_default();
    format!("{}.{hint}", capitalised(&problem.message))
}

/// Errors in words, their hints after them.
pub(crate) fn in_words(problems: &Problems) -> String {
    let errors: Vec<&Problem> = problems.all.iter().filter(|p| p.severity == Severity::Error).collect();
    errors.iter().map(|p| sentence(p)).collect::<Vec<_>>().join(" ")
}

/// What is wrong with what was typed, by the page's own fields.
pub(crate) fn not_said(not: &NotSaid) -> String {
    match not {
        NotSaid::Units => {
            "Figures of one entry need one unit, the tolerance too: all in mm, or all in inches.".into()
        }
        NotSaid::Tolerance => "A figure from the packet needs its tolerance: type it too.".into(),
        NotSaid::Unknown { name, why } => format!("{name}: {why}"),
        NotSaid::HowMissing(_) => "What did the caliper touch? Choose it beside the figures.".into(),
        NotSaid::HowWrong(_, quantity) => {
            let all: Vec<&str> = ways(quantity).iter().map(|(_, means)| *means).collect();
            format!("{quantity} is read {}: choose it beside the figures.", all.join(", or "))
        }
        NotSaid::OfAnother { entry, log } => {
            format!("Entry {entry} is of what another family made, in {log}: withdraw it there.")
        }
        NotSaid::Withdrawn { entry, by } => {
            format!("Entry {entry} was withdrawn already, by entry {by}; nothing was written.")
        }
    }
}
