//! 3MF packages, read by `zip` and by their text.

use std::io::Read;

use bobbinwright_export::threemf::{Item, Package, write};
use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_kernel::solid::build;

fn package() -> Vec<u8> {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::rectangle(Point::origin(), Point::new(2.0, 3.0)), 0.0, 4.0);
    let block = mesh(&build(&stack).unwrap(), 0.1).unwrap();
    write(&Package {
        title: "Fish & <chips>",
        description: "a block",
        items: vec![
            Item { name: "one", mesh: &block, at: [1.0, 2.5, 0.0] },
            Item { name: "two", mesh: &block, at: [10.0, 2.5, 0.0] },
        ],
    })
    .and_then(|packed| packed.with(b"not a picture"))
    .unwrap()
}

fn part(bytes: &[u8], name: &str) -> String {
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    zip.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

/// 3MF Core Specification 1.4.0, 2.1 and 3: one model part that the root relationships name, millimetres,
/// items that refer to objects defined before; the text is shown whole.
#[test]
fn a_package_has_what_the_specification_asks_for() {
    let bytes = package();
    assert!(part(&bytes, "_rels/.rels").contains(
        "Target=\"/3D/3dmodel.model\" Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\""
    ));
    assert!(
        part(&bytes, "[Content_Types].xml")
            .contains("application/vnd.ms-package.3dmanufacturing-3dmodel+xml")
    );
    assert_eq!(part(&bytes, "Metadata/thumbnail.png"), "not a picture");
    let model = part(&bytes, "3D/3dmodel.model");
    insta::assert_snapshot!("package", model.replace(env!("CARGO_PKG_VERSION"), "VERSION"));
}

/// The same content is the same file, byte by byte.
#[test]
fn a_package_is_the_same_every_time() {
    assert_eq!(package(), package());
}
