//! Cover and ears in the rout.

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::{EarRecess, Estimate, Length, PartKind, Rout, SizeOf, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};

pub(crate) fn check(bench: &mut Bench) {
    // The baseplate has the cover's outline.
    let both = [PartKind::Cover, PartKind::Baseplate];
    for part in if bench.is_separate() { &both[..] } else { &both[..1] } {
        in_rout(bench, *part);
        if bench.layout(*part).ears.is_some() && bench.position.rout.ears.is_some() {
            ears_in_recesses(bench, *part);
        }
    }
}

/// A part's body against the rout all round, corners included.
fn in_rout(bench: &mut Bench, part: PartKind) {
    let rout = bench.position.rout.clone();
    let (length, width) = (bench.printed(part, SizeOf::Length), bench.printed(part, SizeOf::Width));
    let radius = Estimate::exact(bench.layout(part).wanted.cover.corner_radius);
    let outer = [&rout.length, &rout.width, &rout.corner_radius];
    let places = plays(outer, [&length, &width, &radius]);
    let Some((margin, at, others)) = bench.least_likely(places) else { return };
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
    bench.enter(Draft {
        kind,
        at,
        title: format!("{title} in the rout, tightest {place}"),
        margin,
        others,
        figures: vec![
            figure("rout length", &rout.length),
            figure("rout width", &rout.width),
            figure("rout corner radius", &rout.corner_radius),
            figure(format!("{} length", part.name()), &length),
            figure(format!("{} width", part.name()), &width),
            figure(format!("{} corner radius", part.name()), &radius),
        ],
        why,
        help,
    });
}

/// Play of a rounded rectangle in another with the same middle, place by place. Each is given by
/// length, width and corner radius. The places are kept apart because they usually tie: a cover
/// follows its rout with the same gap everywhere, and the doubts of the places differ.
///
/// On the straight sides the play is half the difference. In a corner the two arcs' centres differ
/// by d; where the inner arc reaches furthest in d's direction the play is R - r - |d|, as long as
/// that direction points into both arcs' quarter.
fn plays(outer: [&Estimate; 3], inner: [&Estimate; 3]) -> Vec<(Estimate, Where)> {
    let half = |o: &Estimate, i: &Estimate| (o.clone() - i.clone()) * 0.5;
    let mut all = vec![(half(outer[0], inner[0]), Where::Ends), (half(outer[1], inner[1]), Where::Sides)];
    let inputs = [outer[0], outer[1], outer[2], inner[0], inner[1], inner[2]];
    let apart = |v: &[Length], side: usize| ((v[3 + side] / 2.0 - v[5]) - (v[side] / 2.0 - v[2])).as_mm();
    let values = inputs.map(Estimate::value);
    if apart(&values, 0) > 0.0 && apart(&values, 1) > 0.0 {
        let corner =
            Estimate::of(&inputs, |v| v[2] - v[5] - Length::from_mm(apart(v, 0).hypotenuse(apart(v, 1))));
        all.push((corner, Where::Corners));
    }
    all
}

/// A part's ears with their blends against the recesses and the corners between recess and rout.
fn ears_in_recesses(bench: &mut Bench, part: PartKind) {
    let (Some(ear), Some(recess)) = (bench.layout(part).ears, bench.position.rout.ears.clone()) else {
        return;
    };
    let rout = bench.position.rout.clone();
    let reach = bench.printed(part, SizeOf::EarToEar);
    let width = bench.printed(part, SizeOf::EarWidth);
    let radius = Estimate::exact(ear.corner_radius);
    let hole = rout.length.clone() + recess.length.clone() * 2.0;
    let outer = [&hole, &recess.width, &recess.corner_radius];
    let mut places = plays(outer, [&reach, &width, &radius]);
    places.push((corner_beside_blend(bench, part, &rout, &recess), Where::Blends));
    let Some((margin, at, others)) = bench.least_likely(places) else { return };
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
    bench.enter(Draft {
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
        figures: vec![
            figure("recess length", &recess.length),
            figure("recess width", &recess.width),
            figure("recess corner radius", &recess.corner_radius),
            figure("ear to ear", &reach),
            figure("ear width", &width),
            figure("blend", &ear.blend.into()),
        ],
    });
}

/// Distance of the body's corner between rout and recess from the cover's outline, which runs round
/// it in a blend; negative when the corner would be inside the cover. A printed outline errs there
/// by half of its sizes' errors along and across.
fn corner_beside_blend(bench: &mut Bench, part: PartKind, rout: &Rout, recess: &EarRecess) -> Estimate {
    let outline = &bench.layout(part).outline;
    let corner = Estimate::of(&[&rout.length, &recess.width], |v| {
        let corner = Point::new(v[0].as_mm() / 2.0, v[1].as_mm() / 2.0);
        Length::from_mm(-outline.depth_of(corner))
    });
    corner - bench.error(part, SizeOf::EarWidth) * 0.5
}

#[cfg(test)]
mod tests {
    use super::*;
    use bobbinwright_spec::{Doubt, Doubts, Origin};

    fn exact(v: [f64; 3]) -> [Estimate; 3] {
        v.map(|mm| Estimate::exact(Length::from_mm(mm)))
    }

    fn play(outer: [f64; 3], inner: [f64; 3], place: Where) -> Option<f64> {
        let (outer, inner) = (exact(outer), exact(inner));
        let all = plays([&outer[0], &outer[1], &outer[2]], [&inner[0], &inner[1], &inner[2]]);
        all.into_iter().find(|p| p.1 == place).map(|p| p.0.value().as_mm())
    }

    /// A square corner in a corner of radius 6 with 0.3 mm play on the sides: the corner's
    /// distance from the arc's centre is (6 - 0.3) sqrt 2, so the play is 6 - 5.7 sqrt 2.
    #[test]
    fn a_sharp_corner_meets_the_routs_arc() {
        let found = play([92.0, 38.0, 6.0], [91.4, 37.4, 0.0], Where::Corners).unwrap();
        assert!((found - (6.0 - 5.7 * 2f64.sqrt())).abs() < 1e-12, "{found}");
    }

    /// Parallel outlines have the same play on the sides, and no corner of their own.
    #[test]
    fn parallel_outlines_have_the_gap_all_round() {
        for place in [Where::Ends, Where::Sides] {
            assert!((play([92.0, 38.0, 6.0], [91.4, 37.4, 5.7], place).unwrap() - 0.3).abs() < 1e-12);
        }
    }

    /// Half the difference of two lengths has half of each doubt, also where end and side tie.
    #[test]
    fn the_doubt_of_a_tie_is_not_halved() {
        let mut doubts = Doubts::default();
        let doubt = Doubt::new(None, Origin::Stated, f64::INFINITY);
        let long = doubts.enter(doubt, Length::from_mm(0.04)).moved_to(Length::from_mm(92.0));
        let [_, width, radius] = exact([92.0, 38.0, 6.0]);
        let inner = exact([91.4, 37.4, 5.7]);
        let all = plays([&long, &width, &radius], [&inner[0], &inner[1], &inner[2]]);
        assert!((all[0].0.uncertainty().as_mm() - 0.02).abs() < 1e-12);
    }
}
