//! x
use bobbinwright_geometry::parts::{PartKind, build_part};
#[test]
fn demos() {
    for name in ["tidewick", "gunwale", "saltern"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs").join(name);
        let family = match bobbinwright_spec::Family::load(&folder) {
            Ok(f) => f,
            Err(e) => panic!("{e}"),
        };
        for n in &family.notices {
            println!("{n:?}");
        }
        for p in &family.positions {
            for s in &p.strings {
                println!("{} {} {} ± {}", p.name, s.number, s.place.value(), s.place.uncertainty());
            }
            println!(
                "{:?}",
                p.fan_out.as_ref().map(|f| (
                    f.predicted.value(),
                    f.predicted.uncertainty(),
                    f.read.as_ref().map(|r| (r.value(), r.uncertainty()))
                ))
            );
            for kind in PartKind::ALL {
                let t = std::time::Instant::now();
                match build_part(p, &family.hardware, kind) {
                    Ok(part) => {
                        let t1 = t.elapsed();
                        let m = bobbinwright_geometry::mesh::mesh(&part.solid, 0.01).unwrap();
                        println!(
                            "{} {} {} faces {} holes {:.3} mm3 {:?} mesh {} {:?}",
                            name,
                            p.name,
                            kind.name(),
                            part.solid.faces.len(),
                            part.solid.volume,
                            t1,
                            m.triangles.len(),
                            t.elapsed() - t1
                        )
                    }
                    Err(e) => println!("{} {} REFUSED {e} {:?}", name, p.name, e),
                }
            }
        }
    }
}
