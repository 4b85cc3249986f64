//! Checks against published standards and tables; each names its source.

use bobbinwright_core::Prepared;
use bobbinwright_export::{step, stl};
use bobbinwright_fit::{Check, Verdict};
use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_kernel::solid::{Solid, build};
use bobbinwright_spec::{Estimate, Family, Length, SourceFile};
use bobbinwright_tests::{demo, folder};

/// ISO 273 (published table): thread, clearance holes fine, medium, coarse, mm.
const ISO_273: [(f64, [f64; 3]); 6] = [
    (2.0, [2.2, 2.4, 2.6]),
    (2.5, [2.7, 2.9, 3.1]),
    (3.0, [3.2, 3.4, 3.6]),
    (3.5, [3.7, 3.9, 4.2]),
    (4.0, [4.3, 4.5, 4.8]),
    (5.0, [5.3, 5.5, 5.8]),
];

fn check_named(family: Family, name: &str) -> Check {
    let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
    prepared
        .fit
        .checks
        .into_iter()
        .find(|c| c.kind.name() == name)
        .unwrap_or_else(|| panic!("no check {name}"))
}

/// A screw in its ISO 273 hole has half the clearance on each side, and with a caliper's and a
/// printer's doubt a medium hole over an exact pitch fits.
#[test]
fn clearance_holes_of_iso_273_fit_their_screws() {
    for (thread, holes) in ISO_273 {
        for hole in holes {
            let mut family = demo("tidewick");
            family.hardware.screw_diameter = Estimate::exact(Length::from_mm(thread));
            let position = &mut family.positions[0];
            let half = Length::from_mm(40.0);
            for (screw, along) in position.rout.screws.iter_mut().zip([half, half * -1.0]) {
                (screw.along, screw.across) = (Estimate::exact(along), Estimate::exact(Length::ZERO));
            }
            position.wanted.cover.screw_hole = Length::from_mm(hole);
            let check = check_named(family.clone(), "cover-screw-holes");
            let margin = check.margin.value().as_mm();
            assert!((margin - (hole - thread) / 2.0).abs() < 1e-9, "M{thread} in {hole}: {margin}");
            if hole > holes[0] {
                assert_eq!(check.verdict, Verdict::Fits, "M{thread} in {hole}: {}", check.probability);
            }
        }
        // Tapped size: the screw does not pass.
        let mut family = demo("tidewick");
        family.hardware.screw_diameter = Estimate::exact(Length::from_mm(thread));
        family.positions[0].wanted.cover.screw_hole = Length::from_mm(thread - 0.3);
        assert_eq!(check_named(family, "cover-screw-holes").verdict, Verdict::Clashes);
    }
}

/// DIN 862 allows inside jaws and depth rods 0.02 mm more than outside jaws; a log that states only
/// the outside figure gets that, and a log that states all three keeps them.
#[test]
fn inside_jaws_are_allowed_more_than_outside_jaws() {
    let text = |file: &str| std::fs::read_to_string(folder("saltern").join(file)).unwrap();
    let with_tool = |tool: &str| {
        let readings = text("readings.ron").replacen(", mpe_inside: mm(0.04), mpe_depth: mm(0.04)", tool, 1);
        let file = |name: &str, text: String| SourceFile { name: name.into(), text };
        let family =
            Family::read("saltern", file("family.ron", text("family.ron")), file("readings.ron", readings));
        family.unwrap_or_else(|e| panic!("{e}")).positions[0].rout.length.uncertainty()
    };
    assert_eq!(with_tool(""), with_tool(", mpe_inside: mm(0.04), mpe_depth: mm(0.04)"));
    assert!(with_tool(", mpe_inside: mm(0.02)") < with_tool(""));
}

fn cube() -> Solid {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::rectangle(Point::origin(), Point::new(10.0, 10.0)), 0.0, 10.0);
    build(&stack).unwrap()
}

/// Binary STL: 80 bytes of header that do not begin with "solid", a 32-bit count, 50 bytes a
/// triangle. A cube of 12 triangles has 684 bytes. (From memory of the format's description.)
#[test]
fn a_cube_is_684_bytes_of_stl() {
    let bytes = stl::write(&mesh(&cube(), 0.01).unwrap()).unwrap();
    assert_eq!(bytes.len(), 684);
    assert!(!bytes.starts_with(b"solid"));
    assert_eq!(u32::from_le_bytes(bytes[80..84].try_into().unwrap()), 12);
    let read = stl_read(&bytes);
    assert_eq!(read.iter().flatten().copied().fold(f32::MIN, f32::max), 10.0);
}

fn stl_read(bytes: &[u8]) -> Vec<[f32; 12]> {
    let float = |b: &[u8]| f32::from_le_bytes(b.try_into().unwrap());
    bytes[84..].chunks(50).map(|t| std::array::from_fn(|i| float(&t[4 * i..4 * i + 4]))).collect()
}

/// ISO 10303-21: first line, the three header entities once each in this order, `FILE_NAME` with
/// seven parameters, closing lines; AP242 edition 2 by its exact name and object identifier.
#[test]
fn a_step_file_has_the_frame_of_iso_10303_21() {
    let text = step::part("cube", &cube());
    assert!(text.starts_with("ISO-10303-21;\nHEADER;\n"));
    assert!(text.ends_with("ENDSEC;\nEND-ISO-10303-21;\n"));
    let header = &text[..text.find("ENDSEC;").unwrap()];
    let at = |entity: &str| {
        assert_eq!(header.matches(entity).count(), 1, "{entity}");
        header.find(entity).unwrap()
    };
    assert!(at("FILE_DESCRIPTION(") < at("FILE_NAME(") && at("FILE_NAME(") < at("FILE_SCHEMA("));
    assert!(header.contains(
        "FILE_SCHEMA(('AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 3 1 4 }'));"
    ));
    // Every reference is to an entity that is there, and every number is given once.
    let mut defined: Vec<u32> = Vec::new();
    let mut used: Vec<u32> = Vec::new();
    for line in text.lines().filter(|l| l.starts_with('#')) {
        let (name, rest) = line[1..].split_once('=').unwrap();
        defined.push(name.parse().unwrap());
        used.extend(
            rest.split('#')
                .skip(1)
                .map(|r| r[..r.find(|c: char| !c.is_ascii_digit()).unwrap()].parse::<u32>().unwrap()),
        );
    }
    assert!(defined.windows(2).all(|w| w[1] == w[0] + 1));
    assert!(used.iter().all(|u| defined.contains(u)));
}
