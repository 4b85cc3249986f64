//! What a finish does to parts: they are printed smaller by it, every check counts it, and finished they are what was wanted.

use bobbinwright_core::Prepared;
use bobbinwright_fit::{CheckKind, check_pieces, deciding};
use bobbinwright_geometry::Role;
use bobbinwright_geometry::parts::{PartKind, bare_part, draw_part};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_kernel::plane::offset;
use bobbinwright_print::lay;
use bobbinwright_spec::printer::material::Material;
use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{Doubts, Estimate, Family, Finish, Length, SizeOf};
use bobbinwright_tests::random_family::drawn;
use bobbinwright_tests::{FITTING, demo};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

fn mm(v: f64) -> Length {
    Length::from_mm(v)
}

/// The same family with covers and baseplates that something is put on.
fn finished(mut family: Family, adds: f64) -> Family {
    for position in &mut family.positions {
        let finish = Finish { primer: 2, paint: 3, clear: 2, stated: Some(mm(adds)) };
        position.wanted.finish.cover = Some(finish);
        position.wanted.finish.baseplate = Some(finish);
    }
    family
}

fn prepared(family: Family) -> Prepared {
    Prepared::new(family).unwrap_or_else(|e| panic!("{e}"))
}

/// Coated all round by what was left off, each printed outline is the finished one again, ears and their corners with it: by
/// `cavalier_contours`, which draws neither. Where a corner is sharper than the coat is thick the coat rounds it.
#[test]
fn the_coat_gives_back_what_was_left_off() {
    let mut with_ears = 0;
    for name in FITTING {
        for adds in [0.12, 0.3, -0.05] {
            let Ok(with) = Prepared::new(finished(demo(name), adds)) else { continue };
            for parts in &with.positions {
                let without = &parts.layout;
                for kind in [PartKind::Cover, PartKind::Baseplate] {
                    let bare = bare_part(without, kind).unwrap();
                    let whole = parts.parts.iter().find(|p| p.kind == kind).unwrap();
                    for role in [Role::Outline, Role::Ears] {
                        let pairs = bare.stack.with_role(role).zip(whole.stack.with_role(role));
                        for (bare, whole) in pairs {
                            with_ears += usize::from(role == Role::Ears);
                            let coated = if adds > 0.0 {
                                offset::outset(&bare.contour, adds)
                            } else {
                                offset::inset(&bare.contour, -adds)
                            };
                            let [coated] = &coated[..] else { panic!("{name}: {}", coated.len()) };
                            let off = coated.area().abs() - whole.contour.area().abs();
                            assert!(off.abs() < 1e-6, "{name} {kind:?} {role:?} {adds}: {off} mm2");
                            for s in coated.segments() {
                                for t in [0.0, 0.3, 0.7] {
                                    let apart = whole.contour.depth_of(s.at(t)).abs();
                                    assert!(apart < 1e-7, "{name} {kind:?} {role:?} {adds}: {apart}");
                                }
                            }
                        }
                    }
                    // Tops and floors, by hand.
                    let lower = if kind == PartKind::Cover { adds } else { 0.0 };
                    let off = whole.stack.height() - bare.stack.height() - lower;
                    assert!(off.abs() < 1e-9, "{name} {kind:?}: {off}");
                    let inside = |stack: &bobbinwright_geometry::Stack, role: Role| {
                        stack.with_role(role).map(|f| (f.contour.area(), f.top)).collect::<Vec<_>>()
                    };
                    for role in [Role::Hollow, Role::Lip, Role::PoleHole, Role::ScrewHole] {
                        for (a, b) in inside(&bare.stack, role).iter().zip(inside(&whole.stack, role)) {
                            // Holes through the roof and through ears end at a top that is lower.
                            let top = (a.1 - b.1).abs();
                            assert!(
                                (a.0 - b.0).abs() < 1e-6 && (top < 1e-9 || (top - adds.abs()).abs() < 1e-9)
                            );
                        }
                    }
                    let floors = |stack: &bobbinwright_geometry::Stack| {
                        stack.with_role(Role::HeadRecess).map(|f| f.bottom).collect::<Vec<_>>()
                    };
                    for (a, b) in floors(&bare.stack).iter().zip(floors(&whole.stack)) {
                        assert!((a - b).abs() < 1e-9, "a seat's floor is masked");
                    }
                }
            }
        }
    }
    assert!(with_ears > 3);
}

/// A rounded box by hand: its volume is that of 2 c less all round, and the printed part's.
#[test]
fn it_is_printed_smaller_by_two_coats() {
    let with = prepared(finished(demo("tidewick"), 0.15));
    let laid = lay(&with.family, &with.positions, 0.01).unwrap();
    let layout = &with.positions[0].layout;
    let cover = laid.parts.iter().find(|p| p.position == 0 && p.kind == PartKind::Cover).unwrap();
    let [mut low, mut high] = [[f64::INFINITY; 3], [f64::NEG_INFINITY; 3]];
    for vertex in &cover.mesh.points {
        for (i, v) in [vertex.x, vertex.y, vertex.z].into_iter().enumerate() {
            low[i] = low[i].min(v);
            high[i] = high[i].max(v);
        }
    }
    let sides = [layout.length, layout.width].map(|l| l.as_mm() - 0.30);
    let extent = [high[0] - low[0], high[1] - low[1]];
    let [a, b] = if cover.chosen.lie.turned { [sides[1], sides[0]] } else { sides };
    assert!((extent[0] - a).abs() < 1e-6 && (extent[1] - b).abs() < 1e-6, "{extent:?} {sides:?}");
    let height = layout.wanted.cover.height.as_mm() - 0.15;
    assert!((high[2] - low[2] - height).abs() < 1e-6);
}

/// Its doubt stands in the check of how it goes in, its value does not: that is what was drawn smaller for.
#[test]
fn a_check_counts_the_coat_and_its_doubt() {
    let (bare, coated) = (prepared(demo("tidewick")), prepared(finished(demo("tidewick"), 0.3)));
    let check = |of: &Prepared| {
        let kind = CheckKind::CoverInRout;
        of.fit
            .checks
            .iter()
            .find(|c| c.kind == kind)
            .map(|c| (c.margin.value(), c.margin.uncertainty()))
            .unwrap()
    };
    let ((was, u_was), (is, u_is)) = (check(&bare), check(&coated));
    assert!((was - is).abs() < mm(0.02), "{was} {is}");
    // 0.3 mm within a fifth: 0.06 / sqrt(3) on a face, and a margin of one side has half of two faces.
    let own = 0.06 / 3f64.sqrt();
    let expected = (u_was.as_mm() * u_was.as_mm() + own * own).sqrt();
    assert!((u_is.as_mm() - expected).abs() < 0.004, "{u_is} {expected}");
}

/// Read before it is finished, a size is held against what it must be then, and with the coat against the rout.
#[test]
fn what_is_read_is_the_bare_part() {
    let mut family = finished(demo("tidewick"), 0.2);
    let name = family.positions[0].name.clone();
    let with = prepared(family.clone());
    let sizes = deciding(&with.family, &with.positions, &[], &[], |position, part| with.lie(position, part));
    let length = sizes
        .iter()
        .find(|d| {
            d.position == 0 && d.piece.size.part == PartKind::Cover && d.piece.size.size == SizeOf::Length
        })
        .unwrap();
    assert!((length.piece.finished - length.piece.wanted - mm(0.4)).abs() < mm(1e-9));
    let [least, most] = length.allowed;
    assert!(
        most.is_none_or(|most| most >= length.piece.wanted)
            && least.is_none_or(|least| least <= length.piece.wanted)
    );
    // Printed as large as the finished part shall be, it does not go in when it is painted.
    let size = length.piece.size;
    let chance = |family: &Family, read: Length| {
        let mut family = family.clone();
        family.pieces.insert((name.clone(), size), Estimate::exact(read));
        let fit = check_pieces(&family, &with.positions, &[], &[]);
        fit.checks
            .iter()
            .find(|c| c.position == name && c.kind == CheckKind::CoverInRout)
            .unwrap()
            .probability
    };
    let most = most.unwrap_or(length.piece.wanted);
    assert!(chance(&family, length.piece.wanted) > 0.95);
    assert!(chance(&family, most + mm(0.4)) < 0.5);
    // Read when the paint is on, it counts as it is.
    let finished_now = chance(&family, most + mm(0.39));
    family.finished.parts.insert((name.clone(), PartKind::Cover));
    family.finished.read.insert((name.clone(), size));
    assert!(chance(&family, most + mm(0.39)) > finished_now);
}

/// Families by chance, with coats: what builds can be printed or is refused, and prints soundly.
#[test]
fn random_families_are_printed_bare() {
    let mut printed = 0;
    let mut rng = ChaCha8Rng::seed_from_u64(22);
    for number in 0..20 {
        let Some(family) = drawn(&mut rng, 8) else { continue };
        let adds = [0.08, 0.2, -0.06][number % 3];
        let Ok(with) = Prepared::new(finished(family.family, adds)) else { continue };
        for parts in &with.positions {
            for kind in [PartKind::Cover, PartKind::Baseplate] {
                let bare = bare_part(&parts.layout, kind).unwrap();
                let triangles = mesh(&bare.solid, 0.01).unwrap_or_else(|e| panic!("{number}: {e}"));
                assert!(!triangles.triangles.is_empty());
                let whole = parts.parts.iter().find(|p| p.kind == kind).unwrap();
                assert_eq!(bare.solid.volume < whole.solid.volume, adds > 0.0, "{number} {kind:?}");
                let profile = Profile::usual("test", Material::Pla, &mut Doubts::default());
                let lie = with.lie(0, kind);
                if lie.side.is_flat() {
                    let _ = draw_part(&parts.layout, kind, lie, &profile, mm(0.2));
                }
                printed += 1;
            }
        }
    }
    assert!(printed > 10, "{printed}");
}
