//! Whether parts can be made, bare of their coats and for their printer.

use bobbinwright_fit::make_snug;
use bobbinwright_geometry::parts::{Lie, PositionParts, bare_part, build_family, draw_part};
use bobbinwright_spec::{Family, Problem, Problems};

/// Parts for which the printer's profile, or their finish, can't be made up for.
pub(crate) fn undrawable(family: &Family, positions: &[PositionParts]) -> Result<(), Problems> {
    let mut all = Vec::new();
    for (position, parts) in family.positions.iter().zip(positions) {
        for part in &parts.parts {
            if let Err(e) = bare_part(&parts.layout, part.kind) {
                let hint = "fewer coats, or more of what has no room for them";
                all.push(Problem::anywhere(format!("{} {e}", position.name)).hint(hint));
                continue;
            }
            // What is cut is no printer's to draw.
            let is_printed = parts.layout.wanted.sheet(part.kind).is_none();
            let Some(profile) = family.printer.profile().filter(|_| is_printed) else { continue };
            let lie = Lie::usual(&parts.layout, part.kind, family.printer.bed);
            if let Err(e) = draw_part(&parts.layout, part.kind, lie, profile, family.printer.layer) {
                let hint = "is a reading of the printer's coupon wrong? If not, the printer needs larger distances there";
                all.push(Problem::anywhere(format!("{} {e}", position.name)).hint(hint));
            }
        }
    }
    if all.is_empty() { Ok(()) } else { Err(Problems { files: family.files.clone(), all }) }
}

/// Can all of it be made?
pub(crate) fn is_made(mut family: Family) -> bool {
    make_snug(&mut family).is_ok()
        && build_family(&family).is_ok_and(|positions| undrawable(&family, &positions).is_ok())
}
