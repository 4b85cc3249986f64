//! The baseplate's lip: a ring that plugs into the hollow, open where the lead passes.

use bobbinwright_spec::{Length, Lip as WantedLip};

use super::fault::Fault;
use super::{Layout, LeadBox, outwards};
use crate::{Role, Stack};
use bobbinwright_kernel::plane::{Bounds, Contour, Vector, offset};

/// A piece of the lip that the opening cuts off and that is nowhere longer than this, mm, is a crumb: no printer
/// makes anything of it.
const CRUMB: f64 = 1.0;

/// How far the opening then reaches beyond the crumb, mm.
const BEYOND: f64 = 0.02;

/// A ring between two insets of the hollow, and one round each boss that stands free in it.
struct Rings {
    outer: Contour,
    inner: Contour,
    /// Free bosses, with the gap; the lip is cut there.
    bosses: Vec<Contour>,
    /// Outer borders of the rings round them.
    around_bosses: Vec<Contour>,
}

impl Rings {
    fn of(layout: &Layout, lip: WantedLip) -> Result<Self, Fault> {
        let Some((outer, bosses)) = layout.single_hollow(lip.gap) else {
            return Err(Fault::new("baseplate.lip.gap", "the lip falls apart with this gap"));
        };
        let Some((inner, around_bosses)) = layout.single_hollow(lip.gap + lip.wall) else {
            return Err(Fault::new("baseplate.lip.wall", "the lip leaves no room inside"));
        };
        Ok(Self { outer, inner, bosses, around_bosses })
    }

    /// Boxes round the pieces that are left beside the opening.
    fn pieces(&self, opening: &LeadBox) -> Vec<Bounds> {
        let cut = |mut holes: Vec<Contour>| {
            holes.push(opening.contour());
            holes
        };
        let mut pieces = offset::borders(std::slice::from_ref(&self.outer), &cut(vec![self.inner.clone()]));
        pieces.extend(offset::borders(&self.around_bosses, &cut(self.bosses.clone())));
        pieces.iter().filter(|b| !b.hole).map(|b| b.contour.bounds()).collect()
    }
}

/// Adds the lip between two heights; its opening is still to be cut.
pub(super) fn add(
    layout: &Layout,
    lip: WantedLip,
    stack: &mut Stack,
    from: f64,
    to: f64,
) -> Result<LeadBox, Fault> {
    let rings = Rings::of(layout, lip)?;
    let opening = opening_in(layout, lip, &rings);
    stack.add(Role::Lip, rings.outer, from, to);
    stack.cut(Role::Hollow, rings.inner, from, to);
    for ring in rings.around_bosses {
        stack.add(Role::Lip, ring, from, to);
    }
    for boss in rings.bosses {
        stack.cut(Role::Boss, boss, from, to);
    }
    Ok(opening)
}

impl Layout {
    /// The gap that the lead needs in the baseplate's lip, when there is a lip: the lead-out's block, reaching as far
    /// in as it takes to open the lip, and wider where else a crumb of the lip would be left beside it.
    pub fn lip_opening(&self) -> Option<LeadBox> {
        let lip = self.wanted.baseplate.lip?;
        let rings = Rings::of(self, lip).ok()?;
        Some(opening_in(self, lip, &rings))
    }
}

fn opening_in(layout: &Layout, lip: WantedLip, rings: &Rings) -> LeadBox {
    let mut opening = without_tunnel(layout, lip);
    // Whatever is taken away adds to the opening, so this ends.
    while let Some(crumb) = rings.pieces(&opening).into_iter().find(is_crumb) {
        let beyond = Vector::new(BEYOND, BEYOND);
        opening = opening.with(crumb.min - beyond, crumb.max + beyond);
    }
    opening
}

fn is_crumb(piece: &Bounds) -> bool {
    (piece.max.x - piece.min.x).max(piece.max.y - piece.min.y) < CRUMB
}

/// The lead-out's block, moved in through the lip. Over a slot in the plate nothing of the lip is left standing: it
/// would be a bridge over a tunnel.
fn without_tunnel(layout: &Layout, lip: WantedLip) -> LeadBox {
    let into: Length = lip.gap + lip.wall + layout.wanted.cover.inner_radius;
    let inwards = -outwards(layout.wanted.cover.lead_out.side, layout.handed) * into.as_mm();
    let lead = layout.lead;
    let moved = lead.with(lead.min + inwards, lead.max + inwards);
    layout.plate_lead.map_or(moved, |slot| moved.with(slot.min, slot.max))
}
