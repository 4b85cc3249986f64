//! Sentences that stand in the report and on the terminal alike.

use bobbinwright_fit::Fit;
use bobbinwright_spec::Family;

/// How all checks stand when all of them fit.
pub fn all_fit(fit: &Fit) -> String {
    let total = fit.checks.len();
    let chance = fit.chance_of_all();
    let least = if chance > 0.999 { "99.9 %".into() } else { percent(chance) };
    format!("All {total} checks fit; the chance that all of them do at once is at least {least}.")
}

/// A probability without the false certainty of 100 %.
pub fn percent(p: f64) -> String {
    if p > 0.999 {
        "> 99.9 %".into()
    } else if p < 0.001 {
        "< 0.1 %".into()
    } else {
        format!("{:.1} %", p * 100.0)
    }
}

/// The gaps that the program chose, a line each.
pub fn snug_gaps(family: &Family) -> Vec<String> {
    let chosen = family.positions.iter().filter_map(|p| Some((p, p.wanted.cover.snug?)));
    let line = |(position, chance): (&bobbinwright_spec::Position, f64)| {
        format!(
            "{}: a gap of {} is the smallest with which the cover goes in with a chance of {} %.",
            position.name,
            position.wanted.cover.fit_gap,
            chance * 100.0
        )
    };
    chosen.map(line).collect()
}
