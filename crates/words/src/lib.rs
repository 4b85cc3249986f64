//! Sentences for people, made from facts: the same on the terminal, in the report and on the page.

mod load;

pub use load::load;

use bobbinwright_fit::Fit;
use bobbinwright_spec::printer::profile::{Profile, Source};
use bobbinwright_spec::{Estimate, Family, Length, Unit};

/// How all checks stand when all of them fit.
pub fn all_fit(fit: &Fit) -> String {
    let total = fit.checks.len();
    let chance = fit.chance_of_all();
    let least = if chance > 0.999 { "99.9 %".into() } else { percent(chance) };
    let all = format!("All {total} checks fit; the chance that all of them do at once is at least {least}");
    if fit.of_one_piece().is_empty() { format!("{all}.") } else { format!("{all}, {ONE_OF_EACH}.") }
}

/// What a chance of all checks leaves out, beside the figure.
pub const ONE_OF_EACH: &str = "with one rod, one eyelet and one screw counted for all of their kind";

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

/// A margin with its sign, in a unit and to its step; none where it rounds to nought.
pub fn margin(length: Length, unit: Unit) -> String {
    let shown = unit.figure(length);
    let is_more = length > Length::ZERO && shown.bytes().any(|b| (b'1'..=b'9').contains(&b));
    if is_more { format!("+{shown}") } else { shown }
}

/// The gaps that the program chose, a line each.
pub fn snug_gaps(family: &Family) -> Vec<String> {
    let chosen = family.positions.iter().filter_map(|p| Some((p, p.wanted.cover.snug?)));
    let line = |(position, chance): (&bobbinwright_spec::Position, f64)| {
        format!(
            "{}: a gap of {} is the smallest with which the cover goes in with a chance of {} %.",
            position.name,
            family.unit().shown(position.wanted.cover.fit_gap),
            chance * 100.0
        )
    };
    chosen.map(line).collect()
}

/// What a printer makes of what is drawn: in words, and in mm.
pub fn what_it_does(p: &Profile) -> Vec<(&'static str, Estimate)> {
    let hundred = |axis: usize| Estimate::exact(Length::from_mm(100.0)) + p.stretch[axis].clone();
    let hole = |share: f64| p.hole_far.clone() + p.hole_near.clone() * share;
    vec![
        ("100 mm between middles along x come out as", hundred(0)),
        ("the same along y", hundred(1)),
        ("the same upwards", hundred(2)),
        ("each wall stands out further by", p.growth.clone()),
        ("a hole of 3 mm comes out smaller by", hole(1.0)),
        ("a hole of 6 mm comes out smaller by", hole(0.5)),
        ("the first layer spreads on each side by", p.foot.clone()),
        ("a height over the bed comes out higher by", p.lift.clone()),
    ]
}

/// Where a profile comes from.
pub fn where_from(profile: &Profile) -> String {
    match profile.source {
        Source::Usual(material) => format!(
            "what is usual for {} (common practice); print and read a coupon to replace it",
            material.title()
        ),
        Source::Coupon { sizes, last } => format!("{sizes} sizes read on its prints, the last on {last}"),
    }
}

/// `0.06 ± 0.01`: a doubt is never shown as none.
pub fn with_doubt(e: &Estimate) -> String {
    let value = format!("{:.2}", e.value().as_mm());
    let value = if value == "-0.00" { "0.00".to_owned() } else { value };
    format!("{value} ± {:.2}", (e.uncertainty().as_mm() * 100.0).ceil().max(1.0) / 100.0)
}

/// What the system says of a file, without the number that only programmers look up: `(os error 2)`.
pub fn without_numbers(message: &str) -> String {
    let Some((before, rest)) = message.split_once(" (os error ") else { return message.to_owned() };
    let after = rest.split_once(')').map_or("", |(_, after)| after);
    format!("{before}{after}")
}

#[cfg(test)]
mod tests {
    use super::without_numbers;

    #[test]
    fn the_systems_number_is_left_out() {
        assert_eq!(
            without_numbers("out: the folder can't be made: No such file (os error 2); free some space"),
            "out: the folder can't be made: No such file; free some space"
        );
        assert_eq!(without_numbers("2 things to mend"), "2 things to mend");
    }
}
