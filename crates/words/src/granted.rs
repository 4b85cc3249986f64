//! What no chance covers: what is believed of printer, body and screws because nobody measured it.

use bobbinwright_spec::printer::profile::Source;
use bobbinwright_spec::printer::{Trueness, Within};
use bobbinwright_spec::{Family, Length, Mounting};

/// Sine of one degree: how far a screw that leans by that stands aside for each millimetre up.
const A_DEGREE: f64 = 0.017_452_406;

/// Everything that a family's verdicts take for granted, each a clause with `that`.
pub fn granted(family: &Family) -> Vec<String> {
    let mut all = vec![of_printer(family)];
    all.extend(of_cutter(family));
    all.push("that the body stays as it was read (screws and strings, paint in the rout)".to_owned());
    all.push("that tools show nought at nought".to_owned());
    all.extend(of_screws(family));
    let is_known = family.positions.iter().all(|position| position.rout.sides.are_known_at_floor());
    let down =
        if is_known { "" } else { ", and its sides go straight down where they were not read at the floor" };
    all.push(format!("that the rout is as even between the spots as at them{down}"));
    if family.positions.iter().any(|position| position.wanted.seat.lift > Length::ZERO) {
        all.push("that what lies under the baseplate lifts it by as much as is stated".to_owned());
    }
    all
}

fn of_printer(family: &Family) -> String {
    let shown = |length| family.unit().shown(length);
    match &family.printer.trueness {
        Trueness::Within(within) if *within != Within::stated(within.stated) => format!(
            "that no size is further off than those that were read on printed parts, ± {} of holes and ± {} of others, where ± {} is stated",
            shown(within.holes),
            shown(within.others),
            shown(within.stated)
        ),
        Trueness::Within(Within { stated, .. }) => format!(
            "that the printer keeps each size within the stated ± {}, which a coupon would tell",
            shown(*stated)
        ),
        Trueness::Profile(profile) => match profile.source {
            Source::Usual(material) => format!(
                "that the printer prints as is usual for {}, which a coupon would tell",
                material.title()
            ),
            Source::Coupon { .. } => "that the printer prints as it printed its coupon".to_owned(),
        },
    }
}

/// The largest tolerances of sizes and thicknesses of what is cut from sheet; none where nothing is.
fn of_cutter(family: &Family) -> Option<String> {
    let all = family.positions.iter().filter_map(|position| position.wanted.flatwork.sheet);
    let largest = all
        .map(|sheet| [sheet.tolerance, sheet.thickness_tolerance])
        .reduce(|a, b| [a[0].max(b[0]), a[1].max(b[1])]);
    let [cut, thick] = largest?.map(|within| family.unit().shown(within));
    Some(format!(
        "that the cutter keeps each size within ± {cut}, and the sheet its thickness within ± {thick}"
    ))
}

/// A screw goes through all of a boss, through an ear's thickness only.
fn of_screws(family: &Family) -> Option<String> {
    let bossed = family.positions.iter().map(|position| &position.wanted.cover);
    let bossed = bossed.filter(|cover| matches!(cover.mounting, Mounting::Bosses { .. }));
    let highest = bossed.map(|cover| cover.height).reduce(Length::max)?;
    let aside = family.unit().shown(highest * A_DEGREE);
    Some(format!("that screws go in upright (one that leans by 1° is {aside} aside at the cover's top)"))
}
