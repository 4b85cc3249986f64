//! Plates as 3MF files: parts with names, in millimetres, each at its place on the bed.
//!
//! After the 3MF Core Specification 1.4.0: a ZIP package with one model part, whose relationships name it
//! and a thumbnail. The model is written straight into the packing, so that no more of it is in memory
//! at a time than a buffer's worth.

use std::fmt::Write as _;
use std::io::{Cursor, Write};

use bobbinwright_kernel::mesh::Mesh;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use bobbinwright_paper::escaped;

const CONTENT_TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
<Default Extension="png" ContentType="image/png"/>
</Types>
"#;

const RELATIONSHIPS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="model" Target="/3D/3dmodel.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
<Relationship Id="thumbnail" Target="/Metadata/thumbnail.png" Type="http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail"/>
</Relationships>
"#;

/// A plate with its parts.
pub struct Package<'a> {
    /// For people.
    pub title: &'a str,
    /// What is in it, for people.
    pub description: &'a str,
    /// The parts.
    pub items: Vec<Item<'a>>,
}

/// A part on a plate.
pub struct Item<'a> {
    /// `neck-cover`.
    pub name: &'a str,
    /// Its triangles.
    pub mesh: &'a Mesh,
    /// Where its mesh's origin lies, mm.
    pub at: [f64; 3],
}

/// What is written at a time.
const BUFFER: usize = 1 << 15;

/// A package that still lacks its thumbnail.
pub struct Unillustrated(ZipWriter<Cursor<Vec<u8>>>);

impl Unillustrated {
    /// The package as a file, with a picture of what is in it, PNG.
    pub fn with(self, thumbnail: &[u8]) -> std::io::Result<Vec<u8>> {
        let Self(mut zip) = self;
        // A PNG is packed already.
        zip.start_file("Metadata/thumbnail.png", plain().compression_method(CompressionMethod::Stored))?;
        zip.write_all(thumbnail)?;
        Ok(zip.finish()?.into_inner())
    }
}

/// The same content gives the same file, whenever it is written.
fn plain() -> SimpleFileOptions {
    SimpleFileOptions::default().last_modified_time(DateTime::default())
}

/// The package, but for its thumbnail.
pub fn write(package: &Package) -> std::io::Result<Unillustrated> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let packed = plain().compression_method(CompressionMethod::Deflated).compression_level(Some(LEVEL));
    zip.start_file("[Content_Types].xml", packed)?;
    zip.write_all(CONTENT_TYPES.as_bytes())?;
    zip.start_file("_rels/.rels", packed)?;
    zip.write_all(RELATIONSHIPS.as_bytes())?;
    zip.start_file("3D/3dmodel.model", packed)?;
    model(package, &mut zip)?;
    Ok(Unillustrated(zip))
}

/// Packs a third less than the most, in a third of the time.
const LEVEL: i64 = 1;

fn model(package: &Package, out: &mut impl Write) -> std::io::Result<()> {
    // Writing to a String does not fail.
    let mut text = String::with_capacity(BUFFER + 256);
    text.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en-US\" xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n");
    let application = concat!("bobbinwright ", env!("CARGO_PKG_VERSION"));
    let metadata =
        [("Title", package.title), ("Description", package.description), ("Application", application)];
    for (name, value) in metadata {
        let _ = writeln!(text, "<metadata name=\"{name}\">{}</metadata>", escaped(value));
    }
    text.push_str("<resources>\n");
    for (id, item) in (1..).zip(&package.items) {
        object(id, item, &mut text, out)?;
    }
    text.push_str("</resources>\n<build>\n");
    for (id, item) in (1..).zip(&package.items) {
        let [x, y, z] = item.at.map(|v| v as f32);
        let name = escaped(item.name);
        let _ = writeln!(
            text,
            "<item objectid=\"{id}\" transform=\"1 0 0 0 1 0 0 0 1 {x} {y} {z}\" partnumber=\"{name}\"/>"
        );
    }
    text.push_str("</build>\n</model>\n");
    out.write_all(text.as_bytes())
}

fn object(id: u32, item: &Item, text: &mut String, out: &mut impl Write) -> std::io::Result<()> {
    let name = escaped(item.name);
    let _ = writeln!(
        text,
        "<object id=\"{id}\" type=\"model\" name=\"{name}\" partnumber=\"{name}\">\n<mesh>\n<vertices>"
    );
    for p in &item.mesh.points {
        // Readers keep 32-bit floats; the shortest decimals that give the same ones.
        let [x, y, z] = [p.x as f32, p.y as f32, p.z as f32];
        let _ = writeln!(text, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
        flush(text, out)?;
    }
    text.push_str("</vertices>\n<triangles>\n");
    for [a, b, c] in &item.mesh.triangles {
        let _ = writeln!(text, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
        flush(text, out)?;
    }
    text.push_str("</triangles>\n</mesh>\n</object>\n");
    Ok(())
}

fn flush(text: &mut String, out: &mut impl Write) -> std::io::Result<()> {
    if text.len() >= BUFFER {
        out.write_all(text.as_bytes())?;
        text.clear();
    }
    Ok(())
}
