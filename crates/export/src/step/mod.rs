//! STEP files (ISO 10303-21, schema AP242 edition 2): one named solid, or an assembly of several.
//!
//! Faces are written as what they are: planes, cylinders, tori and spheres, bounded by lines and
//! circles. The time stamp is fixed, so that the same solid gives the same bytes.

mod assembly;
mod entities;
mod shape;

pub use assembly::{Placed, assembly};

use bobbinwright_kernel::solid::Solid;
use entities::Entities;

/// A part as a STEP file. `name` becomes the product's name.
pub fn part(name: &str, solid: &Solid) -> String {
    let mut entities = Entities::new();
    let context = entities.context();
    let product = entities.product(context, name);
    let shape = shape::write(&mut entities, name, solid);
    let frame = entities.frame([0.0; 3], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]);
    let representation = entities.add(format_args!(
        "ADVANCED_BREP_SHAPE_REPRESENTATION('{}',(#{frame},#{shape}),#{})",
        entities::quoted(name),
        context.units
    ));
    entities.add(format_args!("SHAPE_DEFINITION_REPRESENTATION(#{},#{representation})", product.shape));
    entities.finish(name)
}
