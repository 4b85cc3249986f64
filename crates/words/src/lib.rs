//! Sentences for people, made from facts: the same on the terminal, in the report and on the page.

mod granted;
mod load;
pub mod room;

pub use granted::granted;
pub use load::{load, ohms};

use bobbinwright_fit::{
    Act, Again, CONFIDENCE, Check, Contradicted, Deciding, Fit, ToDo, Told, Unguarded, Verdict, Whole,
};
use bobbinwright_spec::printer::profile::{Profile, Source};
use bobbinwright_spec::{Estimate, Family, Guard, Length, Quantity, Severity, Unit, uncapitalised};

/// Whether each pickup as a whole goes together and into the body: what is odd about the readings, a line for each position, one
/// for each whose coil is not stated yet, and one for what that takes for granted.
pub fn headline(family: &Family, fit: &Fit) -> Vec<String> {
    // Room for the coil comes first where there may be none.
    let is_little = family.positions.iter().any(|position| room::has_little(family, position));
    let (rooms, wholes) = (room::room_for_coils(family).into_iter(), fit.wholes());
    let wholes = wholes.iter().map(|whole| of_whole(fit, whole));
    let of_all: Vec<String> =
        if is_little { rooms.chain(wholes).collect() } else { wholes.chain(rooms).collect() };
    let odd = family.notices.iter().filter(|notice| notice.severity == Severity::Notice);
    let odd = odd.map(|notice| format!("Odd: {}.", notice.message));
    let mut lines: Vec<String> = odd.chain(of_all).collect();
    lines.push(format!("Taken for granted: {}.", granted(family).join("; ")));
    lines
}

/// Whether a pickup as a whole goes together and into the body.
pub fn of_whole(fit: &Fit, whole: &Whole) -> String {
    let position = &whole.position;
    let on = fit.checks.get(whole.worst).map_or(String::new(), |check| uncapitalised(&check.title));
    match (whole.verdict, &whole.contradicted) {
        (Verdict::TooClose, Some(Contradicted::Trial)) => format!(
            "{position}: whether this pickup goes together and into the body can't be told while a part that jams contradicts what was read."
        ),
        (Verdict::TooClose, Some(Contradicted::Readings(of))) => format!(
            "{position}: whether this pickup goes together and into the body can't be told while the readings of {of} contradict each other, or others."
        ),
        (Verdict::Fits, _) => format!(
            "{position}: this pickup goes together and into the body with a chance of at least {}.",
            at_least(whole.chance)
        ),
        (Verdict::TooClose, None) => format!(
            "{position}: whether this pickup goes together and into the body is too close to call ({}); it hangs most on: {on}.",
            percent(whole.chance)
        ),
        (Verdict::Clashes, _) => format!(
            "{position}: this pickup does not go together and into the body ({}); worst of all: {on}.",
            percent(whole.chance)
        ),
    }
}

/// What to read too, because readings that verdicts hang on could be misread and nothing would show it.
pub fn unguarded(family: &Family, fit: &Fit) -> Vec<String> {
    to_guard(family, fit).into_iter().map(|line| line.words).collect()
}

/// Sizes of parts of which nobody knows how they came out; nothing where all were read.
pub fn not_read(family: &Family, sizes: &[Deciding]) -> Option<String> {
    let unread = || sizes.iter().filter(|d| d.read.is_none());
    let is_cut = |d: &Deciding| family.positions[d.position].wanted.sheet(d.piece.size.part).is_some();
    let how = match (unread().any(|d| !is_cut(d)), unread().any(is_cut)) {
        (true, true) => "printer and cutter make",
        (false, true) => "the cutter makes",
        _ => "the printer makes",
    };
    match unread().count() {
        0 => None,
        1 => Some(format!("one size is not read, and taken as {how} it")),
        n => Some(format!("{n} sizes are not read, and taken as {how} them")),
    }
}

/// What the mark on a check says that one slip would turn.
pub const TURNED_BY_A_SLIP: &str =
    "If one reading were wrong, by no more than would go unnoticed, this would not fit";

/// Nobody reads more than so many once more; what would turn most comes first.
const AT_ONCE: usize = 8;

/// What would turn a check that fits, for a person; nothing where no slip would.
pub fn slip_of(check: &Check, all: &[Unguarded]) -> Option<String> {
    let own: Vec<&Unguarded> = all.iter().filter(|u| u.turns(check)).collect();
    let mut read: Vec<String> = own.iter().map(|u| u.quantity.to_string()).collect();
    read.dedup();
    let mut by: Vec<String> = own.iter().filter_map(|u| u.by.as_ref()).map(ToString::to_string).collect();
    by.sort();
    by.dedup();
    let shown = if by.is_empty() { String::new() } else { format!("; read {} too", listed(&by, "and")) };
    (!own.is_empty()).then(|| {
        format!(
            "A slip of the hand in {} would go unnoticed, and with it this does not fit{shown}.",
            listed(&read, "or")
        )
    })
}

/// The same, each line with what it asks for.
pub fn to_guard(family: &Family, fit: &Fit) -> Vec<ToDo> {
    let all = fit.unguarded(family);
    let mut guards: Vec<&Option<Quantity>> = Vec::new();
    for one in all {
        if !guards.contains(&&one.by) {
            guards.push(&one.by);
        }
    }
    let line = |by: &Option<Quantity>| {
        let own: Vec<&Unguarded> = all.iter().filter(|u| u.by == *by).collect();
        let name = |u: &&Unguarded| u.quantity.named(u.spot.as_deref());
        let mut readings: Vec<String> = Vec::new();
        let mut most: Vec<&&Unguarded> = own.iter().collect();
        // In the order of the body, but where there are more than anybody reads at once.
        if own.len() > AT_ONCE {
            most.sort_by_key(|u| std::cmp::Reverse(u.turns.len()));
        }
        for name in most.into_iter().map(name) {
            // What is bought is believed by every position.
            if !readings.contains(&name) {
                readings.push(name);
            }
        }
        let mut turns: Vec<&str> = own.iter().flat_map(|u| u.turns.iter().map(|kind| kind.name())).collect();
        turns.sort_unstable();
        turns.dedup();
        let others = readings.len().saturating_sub(AT_ONCE);
        if others > 1 {
            readings.truncate(AT_ONCE);
            readings.push(format!("{others} others"));
        }
        let (readings, turns) = (listed(&readings, "or"), turns.join(", "));
        let words = match by {
            Some(by) => format!("  {by}, against a slip in {readings} (would turn {turns})"),
            None => format!(
                "  {readings} once more in another round: after other readings, the tool set anew (would turn {turns})"
            ),
        };
        let again = |u: &&Unguarded| Again { quantity: u.quantity.clone(), spot: u.spot.clone(), times: 1 };
        let act = by.clone().map_or_else(|| Act::Again(own.iter().map(again).collect()), Act::Read);
        ToDo { words, act: Some(act) }
    };
    let trials = fit.told.iter().filter_map(|told| behind_trial(family, fit, told));
    if all.is_empty() {
        return trials.collect();
    }
    let head = "A slip of the hand in some readings would go unnoticed, and would turn what fits. Read too:"
        .to_owned();
    trials.chain(std::iter::once(ToDo::only(head))).chain(guards.into_iter().map(line)).collect()
}

/// What to read again where a part went otherwise than by what was read; nothing where no slip would explain it.
fn behind_trial(family: &Family, fit: &Fit, told: &Told) -> Option<ToDo> {
    let slips = fit.slips_behind_trial(family, told);
    let name =
        |(guard, slip): &(&Guard, Length)| format!("{} ({})", guard.name(), family.unit().shown(*slip));
    let names: Vec<String> = slips.iter().map(name).collect();
    let again = |(guard, _): &(&Guard, Length)| Again {
        quantity: guard.quantity.clone(),
        spot: guard.spot.clone(),
        times: 1,
    };
    (!slips.is_empty()).then(|| ToDo {
        words: format!(
            "{}: a slip in one of these would explain it; read again {}.",
            told.trial,
            listed(&names, "and")
        ),
        act: Some(Act::Again(slips.iter().map(again).collect())),
    })
}

/// `a, b and c`.
fn listed(all: &[impl AsRef<str>], and: &str) -> String {
    let all: Vec<&str> = all.iter().map(AsRef::as_ref).collect();
    match &all[..] {
        [before @ .., last] if !before.is_empty() => format!("{} {and} {last}", before.join(", ")),
        _ => all.concat(),
    }
}

/// A chance that is promised: never more than it is.
fn at_least(p: f64) -> String {
    if p > 0.999 { "99.9 %".into() } else { format!("{:.1} %", (p * 1000.0).floor() / 10.0) }
}

/// How many checks fit, clash, and are too close to call.
pub fn count(fit: &Fit) -> String {
    let count = |v| fit.checks.iter().filter(|c| c.verdict == v).count();
    let total = fit.checks.len();
    let (clashes, close) = (count(Verdict::Clashes), count(Verdict::TooClose));
    let fits = total - clashes - close;
    if clashes + close == 0 {
        // Each may hold, and still not all of them at once.
        return if fit.verdict() == Verdict::Fits {
            format!("All {total} checks fit.")
        } else {
            format!("Each of {total} checks fits by itself.")
        };
    }
    let mut parts = Vec::new();
    match clashes {
        0 => {}
        1 => parts.push("1 clashes".to_owned()),
        n => parts.push(format!("{n} clash")),
    }
    match close {
        0 => {}
        1 => parts.push("1 is too close to call".into()),
        n => parts.push(format!("{n} are too close to call")),
    }
    parts.push(if fits == 1 { "1 fits".into() } else { format!("{fits} fit") });
    format!("Of {total} checks {}.", parts.join(", "))
}

/// A probability without the false certainty of 100 %, and on the side of a verdict's limit on which it is.
pub fn percent(p: f64) -> String {
    let tenths = (p * 1000.0).round() / 10.0;
    let sure = CONFIDENCE * 100.0;
    if p > 0.999 {
        "> 99.9 %".into()
    } else if p < 0.001 {
        "< 0.1 %".into()
    } else if p < CONFIDENCE && tenths >= sure {
        format!("{:.1} %", sure - 0.1)
    } else if p > 1.0 - CONFIDENCE && tenths <= 100.0 - sure {
        format!("{:.1} %", 100.0 - sure + 0.1)
    } else {
        format!("{tenths:.1} %")
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

/// What a printer makes of what is drawn: in the words of somebody who thinks in a unit, and in mm.
pub fn what_it_does(p: &Profile, unit: Unit) -> Vec<(&'static str, Estimate)> {
    let [along, large, small] = match unit {
        Unit::Mm => [
            "100 mm between middles along x come out as",
            "a hole of 3 mm comes out smaller by",
            "a hole of 6 mm comes out smaller by",
        ],
        Unit::Inch => [
            "4 in between middles along x come out as",
            "a hole of 0.118 in comes out smaller by",
            "a hole of 0.236 in comes out smaller by",
        ],
    };
    let far = Length::from_mm(if unit == Unit::Mm { 100.0 } else { 4.0 * 25.4 });
    let far_off = |axis: usize| Estimate::exact(far) + p.stretch[axis].clone() * (far.as_mm() / 100.0);
    let hole = |share: f64| p.hole_far.clone() + p.hole_near.clone() * share;
    vec![
        (along, far_off(0)),
        ("the same along y", far_off(1)),
        ("the same upwards", far_off(2)),
        ("each wall stands out further by", p.growth.clone()),
        (large, hole(1.0)),
        (small, hole(0.5)),
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

/// `0.06 ± 0.01`, in a unit: a doubt is never shown as none, and what has none is shown without.
pub fn with_doubt(e: &Estimate, unit: Unit) -> String {
    let (value, u) = (unit.figure(e.value()), e.uncertainty());
    if u > Length::ZERO { format!("{value} ± {}", doubt(u, unit)) } else { value }
}

/// The figure of a standard uncertainty, never as none where there is one: `0.01`.
pub fn doubt(u: Length, unit: Unit) -> String {
    unit.figure(if u > Length::ZERO && u < unit.step() { unit.step() } else { u })
}

/// A thin wire's diameter, a digit finer than anything else is shown: `0.064 mm`, `0.0025 in`.
pub fn fine(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("{:.3} mm", length.as_mm()),
        Unit::Inch => format!("{:.4} in", length.as_inch()),
    }
}

/// A length of which more digits would claim too much: `3.4 mm`, `0.13 in`.
pub fn rough(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("{:.1} mm", length.as_mm()),
        Unit::Inch => format!("{:.2} in", length.as_inch()),
    }
}

/// What the system says of a file, without the number that only programmers look up: `(os error 2)`.
pub fn without_numbers(message: &str) -> String {
    let Some((before, rest)) = message.split_once(" (os error ") else { return message.to_owned() };
    let after = rest.split_once(')').map_or("", |(_, after)| after);
    format!("{before}{after}")
}

#[cfg(test)]
mod tests {
    use super::{percent, with_doubt, without_numbers};
    use bobbinwright_spec::{Doubt, Doubts, Estimate, Length, Origin, Unit};

    #[test]
    fn a_doubt_is_never_shown_as_none() {
        let mut doubts = Doubts::default();
        let mut of = |mm, u| {
            let doubt = doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u));
            doubt.moved_to(Length::from_mm(mm))
        };
        let shown =
            [(1.0, 0.001), (-0.001, 0.02), (3.0, 0.0201)].map(|(mm, u)| with_doubt(&of(mm, u), Unit::Mm));
        assert_eq!(shown, ["1.00 ± 0.01", "0.00 ± 0.02", "3.00 ± 0.02"]);
        assert_eq!(with_doubt(&of(25.4, 0.04), Unit::Inch), "1.000 ± 0.002");
        assert_eq!(with_doubt(&Estimate::exact(Length::from_mm(2.0)), Unit::Mm), "2.00");
    }

    #[test]
    fn a_chance_is_shown_on_its_side_of_a_limit() {
        let shown = [0.9496, 0.95, 0.9504, 0.05, 0.0504, 0.0496, 0.9999, 0.5].map(percent);
        assert_eq!(shown, ["94.9 %", "95.0 %", "95.0 %", "5.0 %", "5.1 %", "5.0 %", "> 99.9 %", "50.0 %"]);
    }

    #[test]
    fn the_systems_number_is_left_out() {
        assert_eq!(
            without_numbers("out: the folder can't be made: No such file (os error 2); free some space"),
            "out: the folder can't be made: No such file; free some space"
        );
        assert_eq!(without_numbers("2 things to mend"), "2 things to mend");
    }
}
