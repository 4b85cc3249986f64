//! Several named solids in their places.

use bobbinwright_kernel::solid::Solid;
use bobbinwright_spec::Length;

use super::entities::{Entities, quoted};
use super::shape;

/// A part in an assembly.
pub struct Placed<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its solid, in its own frame.
    pub solid: &'a Solid,
    /// Where its frame's origin goes.
    pub at: [Length; 3],
}

/// All parts as one STEP file: a product for the whole, and each part an occurrence in it.
pub fn assembly(name: &str, parts: &[Placed]) -> String {
    let mut entities = Entities::new();
    let context = entities.context();
    let whole = entities.product(context, name);
    let home = entities.frame([0.0; 3], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]);
    let frames: Vec<u32> = parts
        .iter()
        .map(|p| entities.frame(p.at.map(Length::as_mm), [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]))
        .collect();
    let items: String = frames.iter().map(|f| format!(",#{f}")).collect();
    let root = entities.add(format_args!(
        "SHAPE_REPRESENTATION('{}',(#{home}{items}),#{})",
        quoted(name),
        context.units
    ));
    entities.add(format_args!("SHAPE_DEFINITION_REPRESENTATION(#{},#{root})", whole.shape));
    for (part, target) in parts.iter().zip(frames) {
        let product = entities.product(context, part.name);
        let solid = shape::write(&mut entities, part.name, part.solid);
        let origin = entities.frame([0.0; 3], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]);
        let label = quoted(part.name);
        let representation = entities.add(format_args!(
            "ADVANCED_BREP_SHAPE_REPRESENTATION('{label}',(#{origin},#{solid}),#{})",
            context.units
        ));
        entities.add(format_args!("SHAPE_DEFINITION_REPRESENTATION(#{},#{representation})", product.shape));
        let usage = entities.add(format_args!(
            "NEXT_ASSEMBLY_USAGE_OCCURRENCE('{label}','{label}','',#{},#{},$)",
            whole.definition, product.definition
        ));
        let usage_shape = entities.add(format_args!("PRODUCT_DEFINITION_SHAPE('','',#{usage})"));
        let transformation =
            entities.add(format_args!("ITEM_DEFINED_TRANSFORMATION('','',#{origin},#{target})"));
        let relation = entities.add(format_args!(
            "(REPRESENTATION_RELATIONSHIP('','',#{representation},#{root})\
             REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#{transformation})SHAPE_REPRESENTATION_RELATIONSHIP())"
        ));
        entities.add(format_args!("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#{relation},#{usage_shape})"));
    }
    entities.finish(name)
}
