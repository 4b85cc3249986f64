//! The lines of a STEP file: numbered entities, header, products.

use std::fmt::{self, Write};

use rustc_hash::FxHashMap;

/// The one time stamp: files depend on their content only.
const TIME_STAMP: &str = "2000-01-01T00:00:00";

/// Schema name and object identifier of AP242 edition 2.
const SCHEMA: &str = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 3 1 4 }";

/// Places of equal vertices are taken as one below this, mm; readers use it for sewing.
const ACCURACY: &str = "1.E-7";

/// Entities written so far.
pub(super) struct Entities {
    text: String,
    last: u32,
    /// Directions written so far, by their bits: a part has few different ones.
    directions: FxHashMap<[u64; 3], u32>,
}

/// What all products of a file share.
#[derive(Clone, Copy)]
pub(super) struct Context {
    product: u32,
    definition: u32,
    /// Units and accuracy of every shape.
    pub units: u32,
}

/// A product's entities that others refer to.
#[derive(Clone, Copy)]
pub(super) struct Product {
    /// `PRODUCT_DEFINITION`.
    pub definition: u32,
    /// `PRODUCT_DEFINITION_SHAPE`.
    pub shape: u32,
}

impl Entities {
    pub fn new() -> Self {
        Self { text: String::with_capacity(64 * 1024), last: 0, directions: FxHashMap::default() }
    }

    /// Adds an entity and gives its number.
    pub fn add(&mut self, entity: fmt::Arguments<'_>) -> u32 {
        self.last += 1;
        // Writing to a String does not fail.
        let _ = writeln!(self.text, "#{}={entity};", self.last);
        self.last
    }

    pub fn point(&mut self, p: [f64; 3]) -> u32 {
        self.add(format_args!("CARTESIAN_POINT('',({},{},{}))", Real(p[0]), Real(p[1]), Real(p[2])))
    }

    pub fn direction(&mut self, d: [f64; 3]) -> u32 {
        // Adding zero turns a negative zero into a positive one.
        let key = d.map(|v| (v + 0.0).to_bits());
        if let Some(known) = self.directions.get(&key) {
            return *known;
        }
        let entity = self.add(format_args!("DIRECTION('',({},{},{}))", Real(d[0]), Real(d[1]), Real(d[2])));
        self.directions.insert(key, entity);
        entity
    }

    /// A place with a direction of its axis and a reference direction across it.
    pub fn frame(&mut self, origin: [f64; 3], axis: [f64; 3], reference: [f64; 3]) -> u32 {
        let (o, a, r) = (self.point(origin), self.direction(axis), self.direction(reference));
        self.add(format_args!("AXIS2_PLACEMENT_3D('',#{o},#{a},#{r})"))
    }

    pub fn context(&mut self) -> Context {
        let application = self.add(format_args!("APPLICATION_CONTEXT('managed model based 3d engineering')"));
        self.add(format_args!(
            "APPLICATION_PROTOCOL_DEFINITION('international standard','ap242_managed_model_based_3d_engineering',2014,#{application})"
        ));
        let product = self.add(format_args!("PRODUCT_CONTEXT('',#{application},'mechanical')"));
        let definition =
            self.add(format_args!("PRODUCT_DEFINITION_CONTEXT('part definition',#{application},'design')"));
        let length = self.add(format_args!("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))"));
        let angle = self.add(format_args!("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))"));
        let solid = self.add(format_args!("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())"));
        let accuracy = self.add(format_args!(
            "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({ACCURACY}),#{length},'distance_accuracy_value','')"
        ));
        let units = self.add(format_args!(
            "(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{accuracy}))\
             GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length},#{angle},#{solid}))REPRESENTATION_CONTEXT('',''))"
        ));
        Context { product, definition, units }
    }

    pub fn product(&mut self, context: Context, name: &str) -> Product {
        let name = quoted(name);
        let product = self.add(format_args!("PRODUCT('{name}','{name}','',(#{}))", context.product));
        self.add(format_args!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{product}))"));
        let formation = self.add(format_args!("PRODUCT_DEFINITION_FORMATION('','',#{product})"));
        let definition =
            self.add(format_args!("PRODUCT_DEFINITION('design','',#{formation},#{})", context.definition));
        let shape = self.add(format_args!("PRODUCT_DEFINITION_SHAPE('','',#{definition})"));
        Product { definition, shape }
    }

    /// The whole file.
    pub fn finish(self, name: &str) -> String {
        let version = env!("CARGO_PKG_VERSION");
        format!(
            "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n\
             FILE_NAME('{}.step','{TIME_STAMP}',(''),(''),'bobbinwright {version}','bobbinwright','');\n\
             FILE_SCHEMA(('{SCHEMA}'));\nENDSEC;\nDATA;\n{}ENDSEC;\nEND-ISO-10303-21;\n",
            quoted(name),
            self.text
        )
    }
}

/// Text between apostrophes: an apostrophe is doubled, a backslash too, and anything beyond plain
/// ASCII is written as `\X2\....\X0\` (ISO 10303-21, 6.4.3).
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\'' => out.push_str("''"),
            '\\' => out.push_str("\\\\"),
            ' '..='~' => out.push(c),
            _ => {
                let mut units = [0; 2];
                out.push_str("\\X2\\");
                for unit in c.encode_utf16(&mut units) {
                    let _ = write!(out, "{unit:04X}");
                }
                out.push_str("\\X0\\");
            }
        }
    }
    out
}

/// A number in STEP's spelling: always with a point, shortest digits that read back the same.
pub(super) struct Real(pub f64);

impl fmt::Display for Real {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A thousandth of a picometre is rounding noise of a sine or cosine.
        let v = if self.0.abs() < 1e-15 { 0.0 } else { self.0 };
        if v == v.trunc() && v.abs() < 1e15 { write!(f, "{v}.") } else { write!(f, "{v}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_text_is_escaped() {
        assert_eq!(Real(2.0).to_string(), "2.");
        assert_eq!(Real(-0.25).to_string(), "-0.25");
        assert_eq!(Real(-1e-17).to_string(), "0.");
        assert_eq!(quoted("d'or ö"), "d''or \\X2\\00F6\\X0\\");
    }
}
