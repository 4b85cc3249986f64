//! Parts drawn for a printer: exact offsets, and what can't be drawn.

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::{Lie, PartKind, PositionParts, draw_part, pieces};
use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::Kind;
use bobbinwright_kernel::plane::{Contour, contour_distance, offset};
use bobbinwright_print::{LayError, lay};
use bobbinwright_spec::printer::Trueness;
use bobbinwright_spec::printer::material::Material;
use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{BedSide, Doubts, Estimate, Length, Mounting, SizeOf};
use bobbinwright_tests::{FITTING, demo};

fn mm(v: f64) -> Length {
    Length::from_mm(v)
}

/// A profile that only moves walls, holes and the first layer.
fn profile(growth: f64, hole: f64, foot: f64, stretch: [f64; 3]) -> Profile {
    let mut profile = Profile::usual("test", Material::Pla, &mut Doubts::default());
    let exact = |v: f64| Estimate::exact(mm(v));
    profile.growth = exact(growth);
    profile.hole_far = exact(hole);
    profile.foot = exact(foot);
    profile.stretch = stretch.map(exact);
    profile
}

fn built(name: &str) -> Vec<PositionParts> {
    Prepared::new(demo(name)).unwrap_or_else(|e| panic!("{e}")).positions
}

const LAYER: Length = Length::from_mm(0.2);
const UPRIGHT: Lie = Lie { side: BedSide::Underside, turned: false };

/// Every outline and hollow of every part of every demo, drawn for walls that grow by 0.08 mm, is the
/// nominal one offset by just that (by `cavalier_contours`, which the drawn one does not use): no point
/// of it is nearer or further.
#[test]
fn outlines_are_exact_offsets() {
    let growth = 0.08;
    let profile = profile(growth, 0.0, 0.0, [0.0; 3]);
    for position in FITTING.iter().flat_map(|name| built(name)) {
        for part in &position.parts {
            let drawn = draw_part(&position.layout, part.kind, UPRIGHT, &profile, LAYER).unwrap();
            assert_eq!(drawn.stack.features.len(), part.stack.features.len());
            for (was, now) in part.stack.features.iter().zip(&drawn.stack.features) {
                // What is cut out for bosses stands out over the plate's edge; it is looked at with its outline.
                if was.role.is_hole() || was.role == Role::Relief {
                    continue;
                }
                let reliefs = [&part.stack, &drawn.stack].map(|s| s.with_role(Role::Relief).count());
                if was.role == Role::Outline && reliefs != [0; 2] {
                    beside_bosses(&part.stack, &drawn.stack, growth);
                    continue;
                }
                let expected = match was.kind {
                    Kind::Add => offset::inset(&was.contour, growth),
                    Kind::Cut => offset::outset(&was.contour, growth),
                };
                let [expected] = &expected[..] else { panic!("{:?} falls apart", was.role) };
                // An offset rounds a sharp outward corner by an arc, the drawn one leaves it sharp, as it
                // is wanted: that is at most the square beside the arc more.
                if was.role == Role::LeadOut && part.kind == PartKind::Baseplate {
                    // How far the block reaches in behind the lip is of no account.
                    let wide = |c: &Contour| (c.bounds().max - c.bounds().min).x;
                    assert!((wide(&now.contour) - wide(expected)).abs() < 1e-9);
                    continue;
                }
                if was.contour.first_sharp_corner().is_some() {
                    let more = now.contour.area() - expected.area();
                    let corners = was.contour.segments().len() as f64;
                    assert!((-1e-9..corners * growth * growth).contains(&more), "{:?}: {more}", was.role);
                    assert!((now.contour.bounds().max - expected.bounds().max).norm() < 1e-9);
                    continue;
                }
                same(&now.contour, expected, was.role);
            }
        }
    }
}

/// A plate with cut-outs for bosses: an offset rounds the sharp corners that are left between a cut-out and the edge, the
/// drawn plate leaves them sharp, as they are wanted.
fn beside_bosses(was: &Stack, now: &Stack, growth: f64) {
    let of = |stack: &Stack| {
        let outline = stack.with_role(Role::Outline).next().unwrap().contour.clone();
        let cut: Vec<Contour> = stack.with_role(Role::Relief).map(|f| f.contour.clone()).collect();
        let [whole] = <[_; 1]>::try_from(offset::borders(&[outline], &cut)).unwrap();
        whole.contour
    };
    let (was, now) = (of(was), of(now));
    let expected = offset::inset(&was, growth);
    let [expected] = &expected[..] else { panic!("the plate falls apart") };
    let more = now.area() - expected.area();
    let corners = was.segments().len() as f64;
    assert!((-1e-9..corners * growth * growth).contains(&more), "{more}");
    // No point of the offset is anywhere but on the drawn one, its arcs round corners aside.
    for s in expected.segments().iter().filter(|s| s.length() > 2.0 * growth) {
        for t in [0.1, 0.5, 0.9] {
            assert!(now.depth_of(s.at(t)).abs() < 1e-7, "{s:?}");
        }
    }
}

/// Two contours with the same area and length, each point of one on the other.
fn same(a: &Contour, b: &Contour, role: Role) {
    assert!((a.area() - b.area()).abs() < 1e-6, "{role:?}: {} {}", a.area(), b.area());
    assert!((a.length() - b.length()).abs() < 1e-6, "{role:?}");
    for s in a.segments() {
        for t in [0.0, 0.3, 0.7] {
            assert!(b.depth_of(s.at(t)).abs() < 1e-7, "{role:?}");
        }
    }
    assert!(contour_distance(a, b) < 1e-7);
}

/// Every drawn size in the drawn part's own contours and levels is what the profile asks for: a printer
/// that does what it says makes it what it shall be. Both flat ways, turned and not, with all faults at
/// once. Walls and radii go by the mean of both axes' stretches, which is 0.1 % of a wall of 2 mm twice.
#[test]
fn every_drawn_size_is_the_one_that_comes_out_as_wanted() {
    let mut profile = profile(0.06, 0.18, 0.0, [-0.4, -0.2, 0.1]);
    profile.lift = Estimate::exact(mm(-0.07));
    let micrometres = 0.005;
    for position in FITTING.iter().flat_map(|name| built(name)) {
        for side in [BedSide::Underside, BedSide::Top] {
            for turned in [false, true] {
                let lie = Lie { side, turned };
                for part in PartKind::ALL {
                    let drawn = draw_part(&position.layout, part, lie, &profile, LAYER).unwrap();
                    for piece in pieces(&position.layout, part, lie) {
                        // With ears, a baseplate's outline is that of body and ears together.
                        let whole = matches!(piece.size.size, SizeOf::Length | SizeOf::Width);
                        if whole && part == PartKind::Baseplate && position.layout.ears.is_some() {
                            continue;
                        }
                        // Between slanted ends it is read square to them, which no box tells.
                        let along = matches!(piece.size.size, SizeOf::Length | SizeOf::HollowLength);
                        let is_of_plates = matches!(part, PartKind::FlatworkBottom | PartKind::FlatworkTop);
                        if along && !is_of_plates && position.layout.slanted.is_some() {
                            continue;
                        }
                        let Some(found) = measured(&drawn.stack, piece.size.size) else { continue };
                        let asked = profile.drawn(piece.wanted, piece.made).as_mm();
                        let off = (found - asked).abs();
                        assert!(off < micrometres, "{lie:?} {:?}: {found} {asked}", piece.size);
                        let printed = profile.printed(profile.drawn(piece.wanted, piece.made), piece.made);
                        assert!((printed.value() - piece.wanted).abs() < mm(1e-9), "{:?}", piece.size);
                    }
                }
            }
        }
    }
}

/// A size as it is in a stack.
fn measured(stack: &Stack, size: SizeOf) -> Option<f64> {
    let of = |role| stack.with_role(role).collect::<Vec<_>>();
    let extent = |role, axis: usize| {
        let bounds = of(role).first()?.contour.bounds();
        Some((bounds.max - bounds.min)[axis])
    };
    let diameter = |role| of(role).first()?.contour.as_circle().map(|(_, r)| 2.0 * r);
    // Straight from the first to the last along the row, wherever across it they are.
    let span = |role| {
        let mut middles: Vec<_> =
            of(role).iter().filter_map(|f| f.contour.as_circle()).map(|(middle, _)| middle).collect();
        middles.sort_by(|a, b| a.x.total_cmp(&b.x));
        let (first, last) = (middles.first()?, middles.last()?);
        (middles.len() > 1).then(|| (last - first).norm())
    };
    let high = |role| of(role).first().map(|f| f.top - f.bottom);
    match size {
        SizeOf::Length => extent(Role::Outline, 0),
        SizeOf::Width => extent(Role::Outline, 1),
        SizeOf::Height => Some(of(Role::Outline).iter().map(|f| f.top).fold(0.0, f64::max)),
        SizeOf::EarToEar => extent(Role::Ears, 0),
        SizeOf::EarThickness => high(Role::Ears),
        SizeOf::HollowWidth => extent(Role::Hollow, 1),
        SizeOf::HollowLength => extent(Role::Hollow, 0),
        SizeOf::HollowDepth => high(Role::Hollow),
        SizeOf::ScrewHole => diameter(Role::ScrewHole),
        SizeOf::ScrewPitch => span(Role::ScrewHole),
        SizeOf::Recess => diameter(Role::HeadRecess),
        SizeOf::RecessDepth => high(Role::HeadRecess),
        SizeOf::PoleHole => diameter(Role::PoleHole),
        SizeOf::PoleSpan => span(Role::PoleHole),
        SizeOf::EyeletHole => diameter(Role::EyeletHole),
        SizeOf::LipLength => extent(Role::Lip, 0),
        SizeOf::LipWidth => extent(Role::Lip, 1),
        SizeOf::LipHeight => high(Role::Lip),
        SizeOf::EarWidth => None,
    }
}

/// Ends that are half circles stay buildable where the axes stretch differently.
#[test]
fn round_ends_can_be_drawn_on_an_uneven_printer() {
    let mut family = demo("gunwale");
    if let Mounting::Ears { length, width, corner_radius, .. } =
        &mut family.positions[0].wanted.cover.mounting
    {
        (*length, *width, *corner_radius) = (Some(mm(9.8)), Some(mm(13.8)), Some(mm(6.9)));
    }
    let built = Prepared::new(family).unwrap_or_else(|e| panic!("{e}")).positions;
    for stretch in [[-0.4, 0.1, 0.0], [0.1, -0.4, 0.0]] {
        let profile = profile(0.0, 0.0, 0.0, stretch);
        for kind in [PartKind::Cover, PartKind::Baseplate] {
            draw_part(&built[0].layout, kind, UPRIGHT, &profile, LAYER).unwrap_or_else(|e| panic!("{e}"));
        }
    }
}

/// The drawn solid has the drawn sizes: length and width along the axes that they lie on, height.
#[test]
fn drawn_solids_have_the_drawn_sizes() {
    let profile = profile(0.06, 0.18, 0.0, [-0.4, -0.2, 0.1]);
    for position in FITTING.iter().flat_map(|name| built(name)) {
        for (turned, side) in [(false, BedSide::Underside), (true, BedSide::Top)] {
            let lie = Lie { side, turned };
            let drawn = draw_part(&position.layout, PartKind::FlatworkTop, lie, &profile, LAYER).unwrap();
            let (min, max) = drawn.solid.bounds();
            let all = pieces(&position.layout, PartKind::FlatworkTop, lie);
            for (axis, piece) in all.iter().take(3).enumerate() {
                let expected = profile.drawn(piece.wanted, piece.made).as_mm();
                assert!((max[axis] - min[axis] - expected).abs() < 1e-9, "{turned} {axis}");
            }
        }
    }
}

/// Only the layer on the bed is drawn in: material by what it spreads, holes by the same outwards.
#[test]
fn the_first_layer_is_drawn_in() {
    let foot = 0.15;
    let plain = profile(0.0, 0.2, 0.0, [0.0; 3]);
    let spread = profile(0.0, 0.2, foot, [0.0; 3]);
    for position in FITTING.iter().flat_map(|name| built(name)) {
        for kind in [PartKind::Baseplate, PartKind::FlatworkBottom] {
            let was = draw_part(&position.layout, kind, UPRIGHT, &plain, LAYER).unwrap();
            let now = draw_part(&position.layout, kind, UPRIGHT, &spread, LAYER).unwrap();
            let (above, below) = (
                |f: &&bobbinwright_geometry::Feature| f.bottom > 0.19,
                |f: &&bobbinwright_geometry::Feature| f.top < 0.21,
            );
            let of = |role| now.stack.with_role(role).collect::<Vec<_>>();
            let outline = was.stack.with_role(Role::Outline).next().unwrap();
            let outlines = of(Role::Outline);
            let low = outlines.iter().copied().find(below).unwrap();
            let high = outlines.iter().copied().find(above).unwrap();
            assert_eq!(high.contour, outline.contour);
            let [expected] = &offset::inset(&outline.contour, foot)[..] else { panic!() };
            assert!((low.contour.area() - expected.area()).abs() < 1e-9);
            // Steiner: the border is drawn in by foot, so the area is less by its length times that, and
            // more by what the corners (of one whole turn in all) are counted twice.
            let steiner =
                outline.contour.area() - outline.contour.length() * foot + std::f64::consts::PI * foot * foot;
            assert!((low.contour.area() - steiner).abs() < 0.02, "{} {steiner}", low.contour.area());
            for hole in was.stack.features.iter().filter(|f| f.role.is_hole()) {
                let (center, radius) = hole.contour.as_circle().unwrap();
                let wider = now.stack.features.iter().filter(|f| f.top < 0.21).any(|f| {
                    let circle = f.contour.as_circle();
                    circle
                        .is_some_and(|(c, r)| (c - center).norm() < 1e-9 && (r - radius - foot).abs() < 1e-9)
                });
                assert!(wider, "{:?}", hole.role);
            }
        }
    }
}

/// Printed top down, the cover's rounded edge is left as it is, and its head recesses are wider there.
#[test]
fn a_rounded_edge_on_the_bed_is_left_alone() {
    let profile = profile(0.0, 0.0, 0.15, [0.0; 3]);
    let position = &built("tidewick")[0];
    let lie = Lie { side: BedSide::Top, turned: false };
    let drawn = draw_part(&position.layout, PartKind::Cover, lie, &profile, LAYER).unwrap();
    assert!(drawn.stack.rounding.is_some());
    let height = drawn.stack.height();
    let low: Vec<_> = drawn.stack.features.iter().filter(|f| f.bottom > height - 0.21).collect();
    assert!(low.iter().all(|f| f.kind == Kind::Cut));
    assert!(low.iter().any(|f| f.role == Role::HeadRecess));
}

/// What can't be drawn is refused with the part, the profile and the figures.
#[test]
fn what_closes_or_merges_is_refused() {
    let position = &built("tidewick")[0];
    for (profile, part, said) in [
        (profile(0.0, -2.9, 0.0, [0.0; 3]), PartKind::FlatworkTop, "it closes"),
        (profile(0.0, 2.6, 0.0, [0.0; 3]), PartKind::FlatworkTop, "two pole holes run into each other"),
        (profile(0.0, 0.2, 1.3, [0.0; 3]), PartKind::FlatworkTop, "run into each other: drawn as"),
        (
            profile(0.55, 0.2, 0.0, [0.0; 3]),
            PartKind::Baseplate,
            "the lip's wall of 1.20 mm would be drawn as 0.10 mm",
        ),
    ] {
        let refused = draw_part(&position.layout, part, UPRIGHT, &profile, LAYER).map(|_| ()).unwrap_err();
        let text = refused.to_string();
        assert!(text.contains(said), "{text}");
        assert!(text.contains("the profile of test") && text.starts_with(part.name()), "{text}");
    }
}

/// A part larger than the bed is refused with its sizes and the bed's; on a bed that is long enough only
/// the other way it lies turned.
#[test]
fn a_part_larger_than_the_bed_is_refused() {
    let mut family = demo("tidewick");
    let built = built("tidewick");
    family.printer.bed = [mm(80.0), mm(80.0), mm(80.0)];
    let refused = lay(&family, &built, 0.05).unwrap_err();
    assert!(matches!(refused, LayError::TooLarge { part: PartKind::Cover, .. }), "{refused}");
    let text = refused.to_string();
    assert!(text.contains("neck cover") && text.contains("the bed is 80.00 mm"), "{text}");
    family.printer.bed = [mm(60.0), mm(100.0), mm(80.0)];
    let laid = lay(&family, &built, 0.05).unwrap();
    assert!(laid.parts.iter().all(|p| p.chosen.lie.turned));
    assert!(laid.plates.len() > 1);
}

/// The same figures make the same parts: with a profile of nothing but zeros the drawn part is the
/// nominal one.
#[test]
fn a_profile_of_zeros_draws_the_nominal_part() {
    let mut profile = profile(0.0, 0.0, 0.0, [0.0; 3]);
    profile.lift = Estimate::default();
    let mut family = demo("gunwale");
    let built = built("gunwale");
    let nominal = lay(&family, &built, 0.01).unwrap();
    family.printer.trueness = Trueness::Profile(Box::new(profile));
    let drawn = lay(&family, &built, 0.01).unwrap();
    for (a, b) in nominal.parts.iter().zip(&drawn.parts) {
        assert!((a.volume - b.volume).abs() < 1e-6, "{:?}", a.kind);
    }
}
