//! What a printer does to a part's levels and to its first layer, made up for.

use bobbinwright_spec::printer::profile::{Made, Profile};
use bobbinwright_spec::{BedSide, Length};

use crate::{Feature, Role, Stack};
use bobbinwright_kernel::plane::{Contour, offset};
use bobbinwright_kernel::{Kind, Rounding};

/// A stack with its levels moved so that heights over the bed come out right, and with its borders drawn
/// in over the first layer, which spreads. The part stands upright or turned over; lying on another side
/// it is left as it is. The error says what stands in the way.
///
/// A rounded edge that lies on the bed is left alone: nothing has to go in past it. What spreads there
/// shows where the rounding is small.
pub(crate) fn on_bed(
    stack: &Stack,
    profile: &Profile,
    layer: Length,
    side: BedSide,
) -> Result<Stack, String> {
    if !side.is_flat() {
        return Ok(stack.clone());
    }
    let levels = Levels { profile, top: stack.height(), turned_over: side == BedSide::Top };
    let moved = levels.moved(stack);
    let (from, to) = match side {
        BedSide::Top => (moved.height() - layer.as_mm(), moved.height()),
        _ => (0.0, layer.as_mm()),
    };
    let foot = profile.foot.value() / profile.scale_of_holes();
    let drawn = drawn_in(&moved, from, to, foot.as_mm())?;
    holes_stay_apart(stack, &drawn)?;
    holes_stay_inside(&drawn)?;
    Ok(drawn)
}

/// Heights over the bed, made up for.
struct Levels<'p> {
    profile: &'p Profile,
    top: f64,
    turned_over: bool,
}

impl Levels<'_> {
    /// What a height over the bed has to be drawn as.
    fn over_bed(&self, height: f64) -> f64 {
        if height < bobbinwright_kernel::plane::SNAP {
            return height;
        }
        self.profile.drawn(Length::from_mm(height), Made::Height).as_mm()
    }

    fn level(&self, z: f64) -> f64 {
        if self.turned_over {
            self.over_bed(self.top) - self.over_bed(self.top - z)
        } else {
            self.over_bed(z)
        }
    }

    fn moved(&self, stack: &Stack) -> Stack {
        let moved =
            |f: &Feature| Feature { bottom: self.level(f.bottom), top: self.level(f.top), ..f.clone() };
        // The rounding is no level of its own: its radius is that of the drawn layout already.
        Stack { features: stack.features.iter().map(moved).collect(), rounding: stack.rounding }
    }
}

/// The stack with material drawn in by `by`, and air drawn out, between two levels at one of its ends.
fn drawn_in(stack: &Stack, from: f64, to: f64, by: f64) -> Result<Stack, String> {
    let mut drawn = Stack::default();
    if by.abs() < bobbinwright_kernel::plane::SNAP {
        return Ok(stack.clone());
    }
    for (i, feature) in stack.features.iter().enumerate() {
        let rounded = stack.rounding.filter(|r| r.feature == i);
        let reaches = feature.bottom < to - bobbinwright_kernel::plane::SNAP
            && feature.top > from + bobbinwright_kernel::plane::SNAP;
        let spared = rounded.is_some() && to >= feature.top - bobbinwright_kernel::plane::SNAP;
        if !reaches || spared {
            drawn.rounding =
                rounded.map(|r| Rounding { feature: drawn.features.len(), ..r }).or(drawn.rounding);
            drawn.features.push(feature.clone());
            continue;
        }
        let contour = narrowed(feature, by)?;
        let (low, high) = (feature.bottom.max(from), feature.top.min(to));
        let pieces = [
            (feature.contour.clone(), feature.bottom, low),
            (contour, low, high),
            (feature.contour.clone(), high, feature.top),
        ];
        for (contour, bottom, top) in pieces {
            if top - bottom > bobbinwright_kernel::plane::SNAP {
                drawn.features.push(Feature { contour, bottom, top, ..feature.clone() });
            }
        }
        // What is rounded is rounded at the upper end.
        if let Some(r) = rounded {
            drawn.rounding = Some(Rounding { feature: drawn.features.len() - 1, ..r });
        }
    }
    Ok(drawn)
}

/// A feature's contour with its material drawn in: smaller for material, larger for air.
fn narrowed(feature: &Feature, by: f64) -> Result<Contour, String> {
    let inwards = if feature.kind == Kind::Add { by } else { -by };
    if let Some((center, radius)) = feature.contour.as_circle() {
        let radius = radius - inwards;
        if radius > 0.05 {
            return Ok(Contour::circle(center, radius));
        }
        return Err(format!("nothing is left of the {} in the first layer", feature.role.name()));
    }
    let moved = if inwards > 0.0 {
        offset::inset(&feature.contour, inwards)
    } else {
        offset::outset(&feature.contour, -inwards)
    };
    match <[Contour; 1]>::try_from(moved) {
        Ok([contour]) => Ok(contour),
        Err(all) if all.is_empty() => {
            Err(format!("nothing is left of the {} in the first layer", feature.role.name()))
        }
        Err(_) => Err(format!("the {} falls apart in the first layer", feature.role.name())),
    }
}

/// A hole must not break through the edge, where it is drawn wider and the outline narrower.
fn holes_stay_inside(drawn: &Stack) -> Result<(), String> {
    let holes = drawn.features.iter().filter(|f| f.kind == Kind::Cut && f.role.is_hole());
    for hole in holes {
        let beside =
            |f: &&Feature| f.bottom.max(hole.bottom) < f.top.min(hole.top) - bobbinwright_kernel::plane::SNAP;
        let outlines = drawn.features.iter().filter(|f| matches!(f.role, Role::Outline | Role::Ears));
        let mut outlines = outlines.filter(beside).peekable();
        let none = outlines.peek().is_none();
        if !none && !outlines.any(|f| crate::parts::is_inside(&hole.contour, &f.contour)) {
            let name = hole.role.name();
            return Err(format!(
                "the {name} breaks through the edge, which is drawn in by as much as it spreads"
            ));
        }
    }
    Ok(())
}

/// Holes that were apart must still be apart, however much wider they are drawn.
fn holes_stay_apart(wanted: &Stack, drawn: &Stack) -> Result<(), String> {
    let circles = |stack: &Stack| -> Vec<(Feature, bobbinwright_kernel::plane::Point, f64)> {
        let holes = stack.features.iter().filter(|f| f.kind == Kind::Cut && f.role.is_hole());
        holes.filter_map(|f| f.contour.as_circle().map(|(c, r)| (f.clone(), c, r))).collect()
    };
    let widest = circles(wanted).iter().map(|(_, _, r)| *r).fold(0.0, f64::max);
    let holes = circles(drawn);
    for (i, (f, c, r)) in holes.iter().enumerate() {
        for (g, d, s) in &holes[i + 1..] {
            let (apart, beside) = ((c - d).norm(), f.bottom.max(g.bottom) < f.top.min(g.top));
            // Holes about one axis are meant to run into each other.
            if beside && apart > widest * 0.01 && apart <= r + s {
                return Err(format!(
                    "a {} and a {} run into each other: drawn as {:.2} mm and {:.2} mm with {apart:.2} mm between their middles",
                    f.role.name(),
                    g.role.name(),
                    2.0 * r,
                    2.0 * s
                ));
            }
        }
    }
    Ok(())
}
