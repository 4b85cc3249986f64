//! What is wrong or odd, in sentences.

use bobbinwright_spec::{Problem, Problems, Severity, capitalised};

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
