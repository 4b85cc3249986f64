//! Parts drawn for a printer: made up for what it does to them.
//!
//! A printed wall stands out by the printer's growth g beyond where it was drawn, so outer borders are
//! drawn g further in and inner ones g further out, and everything is drawn larger by what the material
//! shrinks. The layout is worked out anew from sizes changed by that much, which gives exactly the
//! offset outlines: an outer corner's radius is less by g, an inner one's more, and a hollow's opening
//! (see [`bobbinwright_kernel::plane::offset`]) is grown by g when its walls, bosses and inner radius are. No triangle
//! is ever scaled, and what can't be drawn is refused by the same rules as any part.
//!
//! Where the material stretches differently along and across, lengths and places go by their own axis, and
//! radii and wall thicknesses by the mean: a wall of 2 mm is off by micrometres.

use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::{Made, Profile};
use bobbinwright_spec::sentence;
use bobbinwright_spec::{BedSide, Corners, Handed, Length, Mounting, PartKind, Side};

use super::fault::Fault;
use super::relief::Relief;
use super::rounded;
use super::tabs::{self, Tab};
use super::{Boss, EarShape, Layout, LeadBox, Part, PlateShape, stack_of};
use crate::on_bed::on_bed;
use bobbinwright_kernel::plane::{Point, Vector};
use bobbinwright_kernel::solid::build;

/// How a part lies on the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lie {
    /// The side that lies on it.
    pub side: BedSide,
    /// Turned by a quarter, so that the row of strings runs along the bed's width.
    pub turned: bool,
}

impl Lie {
    /// How a part lies where nobody has weighed it yet: on the stated side, or else a cover on its top and
    /// any other part on its underside; turned where it is longer than the bed.
    pub fn usual(layout: &Layout, part: PartKind, bed: [Length; 3]) -> Self {
        let best = if part == PartKind::Cover { BedSide::Top } else { BedSide::Underside };
        let side = layout.wanted.on_bed.of(part).unwrap_or(best);
        let bounds = layout.outline.bounds();
        Self { side, turned: bounds.max.x - bounds.min.x > bed[0].as_mm() }
    }
}

/// A part that can't be drawn so that it comes out right.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}: {why}", part.name())]
pub struct Undrawable {
    /// The part.
    pub part: PartKind,
    /// In words, with the figures.
    pub why: String,
}

/// A part as it has to be drawn for a printer with this profile and layer height, so that it comes out as it must be before it
/// is finished. Its solid is upright in the part's own frame, as the nominal one; only parts that lie flat are made up for.
pub fn draw_part(
    layout: &Layout,
    kind: PartKind,
    lie: Lie,
    profile: &Profile,
    layer: Length,
) -> Result<Part, Undrawable> {
    let refuse = |why: String| Undrawable { part: kind, why: format!("{why} ({})", figures(profile)) };
    let bare = layout.bare(kind).map_err(|f| Undrawable { part: kind, why: f.why.to_string() })?;
    let drawn =
        Drawing { profile, turned: lie.turned }.layout(&bare).map_err(|f| refuse(f.why.to_string()))?;
    let flat = stack_of(&drawn, kind).map_err(|f| refuse(f.why.to_string()))?;
    let stack = on_bed(&flat, profile, layer, lie.side).map_err(&refuse)?;
    let solid =
        build(&stack).map_err(|e| refuse(Fault::of_stack(&stack, kind, &drawn, &e).why.to_string()))?;
    Ok(Part { kind, stack, solid, place: layout.place_of(kind) })
}

/// What a profile does, for a message.
fn figures(profile: &Profile) -> String {
    let small = Length::from_mm(3.0);
    format!(
        "the profile of {} makes up for walls {} further out, holes of 3 mm {} too small and a first layer {} wider on each side",
        profile.name,
        profile.growth.value(),
        profile.hole_loss(profile.drawn(small, Made::Hole)),
        profile.foot.value()
    )
}

/// Less than this is not drawn: no printer would make anything of it.
const LEAST: Length = Length::from_mm(0.2);

/// Sizes on their way from wanted to drawn.
struct Drawing<'p> {
    profile: &'p Profile,
    turned: bool,
}

impl Drawing<'_> {
    /// The bed's axis along the row of strings.
    fn x(&self) -> Axis {
        if self.turned { Axis::Y } else { Axis::X }
    }

    fn y(&self) -> Axis {
        if self.turned { Axis::X } else { Axis::Y }
    }

    fn hole(&self, diameter: Length) -> Length {
        self.profile.drawn(diameter, Made::Hole)
    }

    /// A size in no direction of its own, to be drawn larger by so many times the growth.
    fn grown(&self, size: Length, times: f64) -> Length {
        (size + self.profile.growth.value() * times) / self.profile.scale_of_holes()
    }

    /// A radius, which can be none.
    fn radius(&self, size: Length, times: f64) -> Length {
        self.grown(size, times).max(Length::ZERO)
    }

    fn place(&self, p: Point) -> Point {
        let along = |v: f64, axis| self.profile.drawn(Length::from_mm(v), Made::Between(axis)).as_mm();
        Point::new(along(p.x, self.x()), along(p.y, self.y()))
    }

    /// A block of air: its sides are inner ones.
    fn air(&self, lead: LeadBox) -> LeadBox {
        let growth = self.profile.growth.value().as_mm();
        let by = Vector::new(growth, growth);
        LeadBox { min: self.place(lead.min - by), max: self.place(lead.max + by) }
    }

    fn layout(&self, wanted: &Layout) -> Result<Layout, Fault> {
        let outer = |size: Length, axis| self.profile.drawn(size, Made::Outer(axis));
        let growth = self.profile.growth.value().as_mm();
        let slanted = wanted.slanted.map(|sides| sides.inset(growth).mapped(|p| self.place(p)));
        let [length, width] = slanted.map_or_else(
            || [outer(wanted.length, self.x()), outer(wanted.width, self.y())],
            |slanted| slanted.size(),
        );
        let mut w = wanted.wanted.clone();
        self.cover(&mut w.cover)?;
        if let Some(lip) = &mut w.baseplate.lip {
            (lip.gap, lip.wall) = (self.grown(lip.gap, 2.0), self.left(lip.wall, "lip's wall")?);
        }
        w.flatwork.pole_hole = self.open(w.flatwork.pole_hole, "pole hole")?;
        w.flatwork.eyelet_hole = self.open(w.flatwork.eyelet_hole, "eyelet hole")?;
        let plate = PlateShape {
            length: outer(wanted.plate.length, self.x()),
            width: outer(wanted.plate.width, self.y()),
            corner_radius: Length::ZERO,
        };
        let corner = self.radius(wanted.plate.corner_radius, -1.0);
        let plate = PlateShape { corner_radius: corner.min(plate.length.min(plate.width) / 2.0), ..plate };
        let corners = self.corners(&wanted.corners, [length, width]);
        let body = rounded::outline(wanted.handed, [length, width], slanted.as_ref(), &corners)?;
        // The rounding's shape stays; it can't be larger than the corners are now.
        let sharpest = corners.iter().map(|(_, radius)| *radius).fold(length, Length::min);
        w.cover.rounding = self.grown(w.cover.rounding, 0.0).min(sharpest);
        let ears = wanted.ears.map(|ear| self.ears(&ear, wanted.length, length));
        let tabs: Vec<Tab> = wanted.tabs.iter().map(|tab| self.tab(tab, wanted.handed)).collect();
        let outline = match &ears {
            Some(ear) => tabs::outline(&body, ear, &tabs, wanted.handed)?,
            None => body.clone(),
        };
        let bite = |(center, radius): (Point, f64)| {
            (self.place(center), self.grown(Length::from_mm(radius), 1.0).as_mm())
        };
        let boss = match w.cover.mounting {
            Mounting::Bosses { diameter, recess_diameter, recess_depth } => {
                Some(Boss { diameter, recess_diameter, recess_depth })
            }
            Mounting::Ears { .. } => None,
        };
        Ok(Layout {
            handed: wanted.handed,
            length,
            width,
            slanted,
            corners,
            body,
            outline,
            ears,
            tabs,
            boss,
            screws: wanted.screws.iter().map(|p| self.place(*p)).collect(),
            row: self.place(Point::new(0.0, wanted.row)).y,
            poles: wanted.poles.iter().map(|p| self.place(*p)).collect(),
            lead: self.air(wanted.lead),
            plate_lead: wanted.plate_lead.map(|lead| self.air(lead)),
            plate,
            reliefs: wanted.reliefs.iter().map(|relief| self.relief(relief)).collect(),
            eyelets: wanted.eyelets.map(|p| self.place(p)),
            waists: wanted.waists.map(bite),
            mark: bite(wanted.mark),
            bobbin: wanted.bobbin,
            coil_height: wanted.coil_height,
            wanted: w,
        })
    }

    /// Along and across may stretch differently: round corners that meet have no more than the side between them.
    fn corners(&self, wanted: &Corners<Length>, [length, width]: [Length; 2]) -> Corners<Length> {
        let drawn = wanted.map(|radius| self.radius(*radius, -1.0));
        if let Some(radius) = drawn.alike() {
            let most = radius.min(length.min(width) / 2.0);
            return Corners::of(|_| most);
        }
        Corners::of(|at @ [x, y]| {
            let radius = *drawn.at(at);
            let share = |beside: [f64; 2], side: Length| {
                let both = radius + *drawn.at(beside);
                if both > side { side * (radius / both) } else { radius }
            };
            radius.min(share([-x, y], length)).min(share([x, -y], width))
        })
    }

    fn cover(&self, cover: &mut bobbinwright_spec::Cover) -> Result<(), Fault> {
        cover.wall = self.left(cover.wall, "cover's wall")?;
        cover.inner_radius = self.radius(cover.inner_radius, 1.0);
        cover.screw_hole = self.open(cover.screw_hole, "screw hole")?;
        cover.pole_hole = cover.pole_hole.map(|d| self.open(d, "pole hole in the roof")).transpose()?;
        if let Mounting::Bosses { diameter, recess_diameter, .. } = &mut cover.mounting {
            *diameter = self.left(*diameter, "boss")?;
            *recess_diameter = self.open(*recess_diameter, "head recess")?;
        }
        Ok(())
    }

    /// Material between two faces, of which something is left when it is drawn.
    fn left(&self, wanted: Length, what: &str) -> Result<Length, Fault> {
        let drawn = self.grown(wanted, -2.0);
        if drawn < LEAST {
            let why =
                sentence!("the {} of {} would be drawn as {}: nothing is left of it", what, wanted, drawn);
            return Err(Fault::new("printer", why));
        }
        Ok(drawn)
    }

    /// A hole that is still one when it is drawn.
    fn open(&self, wanted: Length, what: &str) -> Result<Length, Fault> {
        let drawn = self.hole(wanted);
        if drawn < LEAST {
            let why = sentence!("the {} of {} would be drawn as {}: it closes", what, wanted, drawn);
            return Err(Fault::new("printer", why));
        }
        Ok(drawn)
    }

    fn relief(&self, relief: &Relief) -> Relief {
        let radius = self.grown(Length::from_mm(relief.radius), 1.0).as_mm();
        Relief { center: self.place(relief.center), radius, ..*relief }
    }

    fn tab(&self, tab: &Tab, handed: Handed) -> Tab {
        let (along, out) = match tab.side {
            Side::Treble | Side::Bass => (self.y(), self.x()),
            Side::Neck | Side::Bridge => (self.x(), self.y()),
        };
        if tab.out.x != 0.0 && tab.out.y != 0.0 {
            return self.slanted_tab(tab, handed);
        }
        Tab {
            side: tab.side,
            out: tab.out,
            offset: self.profile.drawn(tab.offset, Made::Between(along)),
            reach: self.profile.drawn(tab.reach * 2.0, Made::Outer(out)) / 2.0,
            width: self.profile.drawn(tab.width, Made::Outer(along)),
        }
    }

    /// One that stands out askew: its end is as far in as an outer side is drawn, its middle line goes where its places go.
    fn slanted_tab(&self, tab: &Tab, handed: Handed) -> Tab {
        let reach = tab.reach.as_mm() - self.profile.growth.value().as_mm();
        let end = |along: f64| self.place(tab.place(handed, reach, tab.offset.as_mm() + along));
        let (middle, run) = (end(0.0), (end(1.0) - end(0.0)).normalize());
        // Square to the drawn end, on the same side of it.
        let turned = Vector::new(run.y, -run.x);
        let out = if turned.dot(&tab.out) > 0.0 { turned } else { -turned };
        let reach = middle.coords.dot(&out);
        let width = self.grown(tab.width, -2.0);
        let drawn = Tab { out, reach: Length::from_mm(reach), width, ..*tab };
        Tab { offset: Length::from_mm(middle.coords.dot(&drawn.along(handed))), ..drawn }
    }

    fn ears(&self, ear: &EarShape, body: Length, drawn_body: Length) -> EarShape {
        let reach = self.profile.drawn(body + ear.length * 2.0, Made::Outer(self.x()));
        let length = (reach - drawn_body) / 2.0;
        let width = self.profile.drawn(ear.width, Made::Outer(self.y()));
        EarShape {
            length,
            width,
            thickness: ear.thickness,
            corner_radius: self.radius(ear.corner_radius, -1.0).min((width / 2.0).min(length)),
            blend: self.grown(ear.blend, 1.0),
        }
    }
}
