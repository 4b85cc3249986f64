//! Cover and ears in the rout.

use bobbinwright_spec::{Corners, Estimate, PartKind, SizeOf, corner_name, sentence};

use crate::Figure;
use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};
use crate::pose::{self, Pose};

/// Cover or baseplate, which has the cover's outline.
pub(crate) fn check(bench: &mut Bench, part: PartKind) {
    in_rout(bench, part);
    if let Some(pose) = of_ears(bench, part) {
        ears_in_recesses(bench, part, pose);
    }
}

/// What the part must keep to in the rout, and its ears in their recesses.
pub(crate) fn places(bench: &mut Bench, part: PartKind) -> Vec<Pose> {
    std::iter::once(of_body(bench, part)).chain(of_ears(bench, part)).collect()
}

fn of_body(bench: &mut Bench, part: PartKind) -> Pose {
    let mut pose = Pose::default();
    for (condition, at) in pose::body(bench, part) {
        pose.must(condition, at);
    }
    pose.at_its_turn()
}

/// None where part or rout has no ears.
fn of_ears(bench: &mut Bench, part: PartKind) -> Option<Pose> {
    bench.layout(part).ears?;
    bench.position.rout.ears.as_ref()?;
    Some(pose::ears_with_body(bench, part))
}

/// A part's body against the rout all round, corners included.
fn in_rout(bench: &mut Bench, part: PartKind) {
    let rout = bench.position.rout.clone();
    let (length, width) = (bench.printed(part, SizeOf::Length), bench.printed(part, SizeOf::Width));
    let corners = bench.layout(part).corners.map(|radius| Estimate::exact(*radius));
    let pose = of_body(bench, part);
    let Some((margin, at, others)) = bench.least_likely_of(&pose) else { return };
    let (kind, title) = match part {
        PartKind::Cover => (CheckKind::CoverInRout, "Cover"),
        _ => (CheckKind::BaseplateInRout, "Baseplate"),
    };
    let in_corners = at == Where::Corners;
    let place = match at {
        Where::Ends => "at the ends",
        Where::Sides => "at the long sides",
        _ => "in the corners",
    };
    let gap = Help::Dimension("cover.fit_gap");
    let (why, help) = if in_corners {
        let why = sentence!("The {}'s corners are sharper than the rout's.", part.name());
        (why, vec![Help::Dimension("cover.corner_radius"), gap])
    } else {
        (sentence!("The {} is too large {}.", part.name(), place), vec![gap])
    };
    // Slanted ends are read square to them, and strings and screws lie along the row.
    let along = if rout.outline.is_square() {
        ["rout length", "length"]
    } else {
        ["rout length along the row", "length square to its ends"]
    };
    let draft = Draft {
        kind,
        at,
        title: format!("{title} in the rout, tightest {place}"),
        margin,
        others,
        figures: [figure(along[0], &rout.length), figure("rout width", &rout.width)]
            .into_iter()
            .chain(radii("rout", &rout.corners))
            .chain([
                figure(format!("{} {}", part.name(), along[1]), &length),
                figure(format!("{} width", part.name()), &width),
            ])
            .chain(radii(part.name(), &corners))
            .collect(),
        why,
        help,
    };
    bench.enter_posed(draft, pose);
}

/// The radius of an outline's corners, or of each where they are not alike.
fn radii(of: &str, corners: &Corners<Estimate>) -> Vec<Figure> {
    if let Some(radius) = corners.alike() {
        return vec![figure(format!("{of} corner radius"), radius)];
    }
    let one =
        |(at, radius): ([f64; 2], &Estimate)| figure(format!("{of} radius, {}", corner_name(at)), radius);
    corners.iter().map(one).collect()
}

/// A part's ears with their blends against the recesses and the corners between recess and rout.
fn ears_in_recesses(bench: &mut Bench, part: PartKind, pose: Pose) {
    let (Some(ear), Some(recess)) = (bench.layout(part).ears, bench.position.rout.ears.clone()) else {
        return;
    };
    let reach = bench.layout(part).ear_to_ear().map(|_| bench.printed(part, SizeOf::EarToEar));
    let width = bench.printed(part, SizeOf::EarWidth);
    let Some((margin, at, others)) = bench.least_likely_of(&pose) else { return };
    let at_blend = at == Where::Blends;
    let place = match at {
        Where::Ends => "at their ends",
        Where::Sides => "at their flanks",
        Where::Blends => "at the blends",
        _ => "in the corners",
    };
    let stated = match at {
        Where::Ends => "cover.mounting.length",
        Where::Sides => "cover.mounting.width",
        _ => "cover.mounting.corner_radius",
    };
    let (kind, title) = match part {
        PartKind::Cover => (CheckKind::EarsInRecesses, "Ears"),
        _ => (CheckKind::BaseplateEarsInRecesses, "Baseplate's ears"),
    };
    let draft = Draft {
        kind,
        at,
        title: format!("{title} in their recesses, tightest {place}"),
        why: if at_blend {
            "The blend meets the corner between recess and rout.".into()
        } else {
            sentence!("The ears are too large {}.", place)
        },
        help: if at_blend {
            vec![Help::Dimension("cover.mounting.blend"), Help::Dimension("cover.fit_gap")]
        } else {
            vec![Help::Dimension("cover.fit_gap"), Help::Dimension(stated)]
        },
        margin,
        others,
        figures: [
            figure("recess length", &recess.length),
            figure("recess width", &recess.width),
            figure("recess corner radius", &recess.corner_radius),
        ]
        .into_iter()
        .chain(reach.map(|reach| figure("ear to ear", &reach)))
        .chain([figure("ear width", &width), figure("blend", &ear.blend.into())])
        .collect(),
    };
    bench.enter_posed(draft, pose);
}
