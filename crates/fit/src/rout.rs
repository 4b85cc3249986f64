//! Cover and ears in the rout.

use bobbinwright_geometry::plane::{Contour, Point, Segment, offset, segment_distance};
use bobbinwright_spec::{Estimate, Length};

use crate::bench::{Bench, Draft, figure, short};
use crate::verdict::Sides;

pub(crate) fn check(bench: &mut Bench) {
    cover_in_rout(bench);
    if bench.layout.ears.is_some() && bench.position.rout.ears.is_some() {
        ears_in_recesses(bench);
    }
}

/// The cover's body against the rout all round, corners included.
fn cover_in_rout(bench: &mut Bench) {
    let rout = &bench.position.rout;
    let (length, width) = (bench.printed(bench.layout.length), bench.printed(bench.layout.width));
    let radius = bench.layout.wanted.cover.corner_radius;
    let inputs = [&rout.length, &rout.width, &rout.corner_radius, &length, &width];
    let play = |v: &[Length]| play_in_corner([v[0], v[1], v[2]], [v[3], v[4], radius]);
    let margin = Estimate::of(&inputs, |v| play(v).0);
    let values: Vec<Length> = inputs.iter().map(|e| e.value()).collect();
    let place = play(&values).1;
    let sharper = place == "in the corners";
    let advice = if sharper {
        format!(
            "The cover's corners are sharper than the rout's: make cover.corner_radius at least {}, or widen cover.fit_gap by {}.",
            rout.corner_radius.value() - bench.layout.wanted.cover.fit_gap,
            short(&margin, Sides::One)
        )
    } else {
        format!(
            "The cover is too large {place}: make cover.fit_gap at least {}.",
            bench.layout.wanted.cover.fit_gap + short(&margin, Sides::One)
        )
    };
    bench.enter(Draft {
        name: "cover-in-rout",
        title: format!("Cover in the rout, tightest {place}"),
        margin,
        sides: Sides::One,
        figures: vec![
            figure("rout length", &rout.length),
            figure("rout width", &rout.width),
            figure("rout corner radius", &rout.corner_radius),
            figure("cover length", &length),
            figure("cover width", &width),
            figure("cover corner radius", &radius.into()),
        ],
        advice,
        parameter: Some(if sharper { "cover.corner_radius" } else { "cover.fit_gap" }),
    });
}

/// Smallest play of a rounded rectangle in another with the same middle, and where it is.
/// Each is given by length, width and corner radius.
///
/// On the straight sides it is half the difference. In a corner the two arcs have centres that
/// differ by d; where the inner arc reaches furthest in d's direction the play is
/// R - r - |d|, as long as that direction points into both arcs' quarter.
fn play_in_corner(outer: [Length; 3], inner: [Length; 3]) -> (Length, &'static str) {
    let [length, width, outer_r] = outer;
    let at_end = (length - inner[0]) / 2.0;
    let at_side = (width - inner[1]) / 2.0;
    let d = |o: Length, i: Length| ((i / 2.0 - inner[2]) - (o / 2.0 - outer_r)).as_mm();
    let (dx, dy) = (d(length, inner[0]), d(width, inner[1]));
    let mut least = (at_end, "at the ends");
    if at_side < least.0 {
        least = (at_side, "at the long sides");
    }
    if dx > 0.0 && dy > 0.0 {
        let corner = outer_r - inner[2] - Length::from_mm(dx.hypot(dy));
        if corner < least.0 {
            least = (corner, "in the corners");
        }
    }
    least
}

/// The ears with their blends against the recesses and the corners between recess and rout.
fn ears_in_recesses(bench: &mut Bench) {
    let (Some(ear), Some(recess)) = (bench.layout.ears, bench.position.rout.ears.as_ref()) else { return };
    let rout = &bench.position.rout;
    let reach = bench.printed(bench.layout.length + ear.length * 2.0);
    let width = bench.printed(ear.width);
    let inputs = [&rout.length, &recess.length, &recess.width, &recess.corner_radius, &reach, &width];
    let rout_width = rout.width.value();
    let rout_radius = rout.corner_radius.value();
    let outline = ear_segments(&bench.layout.outline, bench.layout.length);
    let nominal = (reach.value(), width.value());
    let margin = Estimate::of(&inputs, |v| {
        let hole = rout_outline([v[0], rout_width, rout_radius], [v[1], v[2], v[3]]);
        // A printed ear that is larger than wanted uses up half of that on each side; whether it is
        // the end or the flank that is tightest, either error is counted in full.
        let grown = (v[4] - nominal.0) / 2.0 + (v[5] - nominal.1) / 2.0;
        least_inside(&outline, &hole) - grown
    });
    bench.enter(Draft {
        name: "ears-in-recesses",
        title: "Ears in their recesses, blends included".into(),
        advice: format!(
            "The ears are too large for their recesses by {}: widen cover.fit_gap, or make cover.mounting.blend smaller (now {}) if the corner between recess and rout is in the way.",
            short(&margin, Sides::One),
            ear.blend
        ),
        margin,
        sides: Sides::One,
        figures: vec![
            figure("recess length", &recess.length),
            figure("recess width", &recess.width),
            figure("recess corner radius", &recess.corner_radius),
            figure("ear to ear", &reach),
            figure("ear width", &width),
            figure("blend", &ear.blend.into()),
        ],
        parameter: Some("cover.fit_gap"),
    });
}

/// Rout and recesses in plan, as one outline.
fn rout_outline(rout: [Length; 3], recess: [Length; 3]) -> Vec<Contour> {
    let [l, w, r] = rout.map(Length::as_mm);
    let [reach, across, corner] = recess.map(Length::as_mm);
    let main = Contour::rounded_rectangle(Point::origin(), l, w, r.min(w / 2.0));
    let tabs = Contour::rounded_rectangle(Point::origin(), l + 2.0 * reach, across, corner.min(across / 2.0));
    offset::borders(&[main, tabs], &[]).into_iter().filter(|b| !b.hole).map(|b| b.contour).collect()
}

/// The segments of an outline that belong to its ears: those beyond the body's ends.
fn ear_segments(outline: &Contour, length: Length) -> Vec<Segment> {
    let end = length.as_mm() / 2.0 + 1e-3;
    outline.segments().iter().filter(|s| s.at(0.5).x.abs() > end).copied().collect()
}

/// Smallest distance from segments to the border of the hole round them; negative by how far the
/// worst of their ends and middles lies outside.
fn least_inside(segments: &[Segment], hole: &[Contour]) -> Length {
    let mut least = f64::INFINITY;
    for contour in hole {
        for segment in segments {
            for border in contour.segments() {
                least = least.min(segment_distance(segment, border));
            }
            for t in [0.0, 0.25, 0.5, 0.75, 1.0] {
                let depth = contour.depth_of(segment.at(t));
                if depth < 0.0 {
                    least = least.min(depth);
                }
            }
        }
    }
    Length::from_mm(least)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(v: [f64; 3]) -> [Length; 3] {
        v.map(Length::from_mm)
    }

    /// A square corner in a corner of radius 6 with 0.3 mm play on the sides: the corner's
    /// distance from the arc's centre is (6 - 0.3) sqrt 2, so the play is 6 - 5.7 sqrt 2.
    #[test]
    fn a_sharp_corner_meets_the_routs_arc() {
        let (play, place) = play_in_corner(mm([92.0, 38.0, 6.0]), mm([91.4, 37.4, 0.0]));
        assert_eq!(place, "in the corners");
        assert!((play.as_mm() - (6.0 - 5.7 * 2f64.sqrt())).abs() < 1e-12, "{play}");
    }

    /// Parallel outlines have the same play everywhere.
    #[test]
    fn parallel_outlines_have_the_gap_all_round() {
        let (play, _) = play_in_corner(mm([92.0, 38.0, 6.0]), mm([91.4, 37.4, 5.7]));
        assert!((play.as_mm() - 0.3).abs() < 1e-12, "{play}");
    }
}
