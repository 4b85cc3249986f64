//! Every size and place of one position's parts, worked out from readings and wishes.
//!
//! The frame of all parts of a position: origin in the middle of the rout, x along the row of
//! strings to the right, y towards the neck, z upwards out of the body, as seen from above with the
//! neck up. Bass is left, or right on an instrument for the left hand.

use bobbinwright_spec::sentence;
use bobbinwright_spec::{Handed, Hardware, LeadOut, Length, Mounting, Poles, Position, ScrewAt, Side};

use super::PartKind;
use super::fault::Fault;
use bobbinwright_kernel::plane::offset::{self, Border};
use bobbinwright_kernel::plane::{Contour, Point, Vector};

/// How far the lead-out's cutter stands out of the outline; only there to cut clean through.
const OVERSHOOT: f64 = 1.0;

/// A tab at each end of cover and baseplate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EarShape {
    /// How far it reaches beyond the body.
    pub length: Length,
    /// Its width.
    pub width: Length,
    /// Thickness on the cover.
    pub thickness: Length,
    /// Radius of the outer corners.
    pub corner_radius: Length,
    /// Radius between ear and body.
    pub blend: Length,
}

/// Material round a screw inside the hollow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boss {
    /// Outer diameter.
    pub diameter: Length,
    /// Diameter of the head's seat.
    pub recess_diameter: Length,
    /// Depth of the head's seat.
    pub recess_depth: Length,
}

/// A block of air for the lead, in plan, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadBox {
    /// Lower left corner.
    pub min: Point,
    /// Upper right corner.
    pub max: Point,
}

impl LeadBox {
    /// Its border.
    pub fn contour(&self) -> Contour {
        Contour::rectangle(self.min, self.max)
    }

    /// The block that holds this one and another, given by its corners.
    pub(super) fn with(self, min: Point, max: Point) -> Self {
        let min = Point::new(self.min.x.min(min.x), self.min.y.min(min.y));
        Self { min, max: Point::new(self.max.x.max(max.x), self.max.y.max(max.y)) }
    }
}

/// The outline of a flatwork plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateShape {
    /// Along the row of strings.
    pub length: Length,
    /// Across.
    pub width: Length,
    /// Of the corners.
    pub corner_radius: Length,
}

/// All sizes of one position.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Which end of the row of strings is bass.
    pub handed: Handed,
    /// Length of the cover's body.
    pub length: Length,
    /// Width of the cover's body.
    pub width: Length,
    /// The cover's body in plan.
    pub body: Contour,
    /// Cover and baseplate in plan, ears included.
    pub outline: Contour,
    /// Ears, when the cover has them.
    pub ears: Option<EarShape>,
    /// Bosses, when the cover has them.
    pub boss: Option<Boss>,
    /// Centres of the screw holes over those in the body, bass side first, mm.
    pub screws: Vec<Point>,
    /// Centres of the poles from bass to treble, a string's two together, mm.
    pub poles: Vec<Point>,
    /// The cover's lead-out.
    pub lead: LeadBox,
    /// The baseplate's lead-out.
    pub plate_lead: Option<LeadBox>,
    /// Both flatwork plates.
    pub plate: PlateShape,
    /// Centres of the eyelets, bass side first, mm.
    pub eyelets: [Point; 2],
    /// Discs that cut the waists: centre and radius, mm.
    pub waists: [(Point, f64); 2],
    /// Disc that cuts the bass mark: centre and radius, mm.
    pub mark: (Point, f64),
    /// Total height of the bobbin without what stands out above: rods from the lower plate's
    /// underside to the upper plate's top.
    pub bobbin: Length,
    /// Room for the coil between the plates.
    pub coil_height: Length,
    /// What is wanted, as it was given.
    pub wanted: bobbinwright_spec::Wanted,
}

impl Layout {
    /// Works the layout out.
    pub(super) fn new(position: &Position, hardware: &Hardware) -> Result<Self, Fault> {
        let w = &position.wanted;
        let gap = w.cover.fit_gap;
        let length = hundredth(position.rout.length.value()) - gap * 2.0;
        let width = hundredth(position.rout.width.value()) - gap * 2.0;
        if length.as_mm() <= 1.0 || width.as_mm() <= 1.0 {
            return Err(Fault::new("cover.fit_gap", "nothing of the cover is left between the gaps"));
        }
        let radius = w.cover.corner_radius;
        if radius > length.min(width) / 2.0 {
            let why = sentence!(
                "a corner radius can't be more than half the shorter side, {}",
                length.min(width) / 2.0
            );
            return Err(Fault::new("cover.corner_radius", why));
        }
        let body = Contour::rounded_rectangle(Point::origin(), length.as_mm(), width.as_mm(), radius.as_mm());
        let (ears, boss) = mounting(position)?;
        let outline = match &ears {
            Some(ear) => ears_outline(&body, length, ear)?,
            None => body.clone(),
        };
        let screws = screws(position);
        let plate = plate_shape(position, length, width, boss, &screws)?;
        let edge = if w.flatwork.eyelet_side == Side::Neck { 1.0 } else { -1.0 };
        let (eyelets, waists) = eyelets_and_waists(w, plate, position.handed, edge);
        let bobbin = hardware.rod_length.value() - w.flatwork.rod_above;
        let coil_height = bobbin - w.flatwork.bottom - w.flatwork.top;
        if coil_height.as_mm() <= 0.1 {
            let why = sentence!(
                "between the plates only {} are left on rods of {}",
                coil_height,
                hardware.rod_length.value()
            );
            return Err(Fault::new("flatwork.rod_above", why));
        }
        let reach = w.cover.wall + w.cover.inner_radius.max(Length::from_mm(0.5));
        let handed = position.handed;
        let place = LeadPlace { handed, lead: &w.cover.lead_out, length, width };
        Ok(Self {
            handed,
            length,
            width,
            lead: place.reaching(reach),
            plate_lead: w.baseplate.lead_depth.map(|depth| place.reaching(depth)),
            body,
            outline,
            ears,
            boss,
            screws,
            poles: poles(position),
            plate,
            eyelets,
            waists,
            mark: (Point::new(handed.x(-plate.length / 2.0), 0.0), w.flatwork.mark_radius.as_mm()),
            bobbin,
            coil_height,
            wanted: w.clone(),
        })
    }

    /// Distance of the outer screw holes' centres.
    pub fn screw_pitch(&self) -> Length {
        let ends = self.screws.first().zip(self.screws.last());
        Length::from_mm(ends.map_or(0.0, |(bass, treble)| (treble - bass).norm()))
    }

    /// Borders of the hollow, moved inwards by `play`: body less wall less bosses, no corner
    /// sharper than the inner radius.
    pub fn hollow(&self, play: Length) -> Vec<Border> {
        let cover = &self.wanted.cover;
        let radius = (cover.inner_radius - play).max(Length::ZERO);
        offset::opened(radius.as_mm(), |r| {
            let walls = offset::inset(&self.body, (cover.wall + play).as_mm() + r);
            let bosses = self.boss.iter().flat_map(|b| {
                let around = (b.diameter / 2.0 + play).as_mm() + r;
                self.screws.iter().map(move |c| Contour::circle(*c, around))
            });
            (walls, bosses.collect())
        })
    }

    /// The one outer border of the hollow, moved inwards by `play`; `None` when there is none or
    /// it falls apart.
    pub fn single_hollow(&self, play: Length) -> Option<(Contour, Vec<Contour>)> {
        let (holes, outer): (Vec<Border>, Vec<Border>) = self.hollow(play).into_iter().partition(|b| b.hole);
        let [outer] = <[Border; 1]>::try_from(outer).ok()?;
        Some((outer.contour, holes.into_iter().map(|h| h.contour).collect()))
    }

    /// From the middle to what stands in the flatwork's way along the row of strings: bosses or walls, and the
    /// baseplate's lip before them.
    pub fn room_for_plates(&self) -> Length {
        let lip = self.wanted.baseplate.lip.map_or(Length::ZERO, |l| l.gap + l.wall);
        half_room(self.length, self.wanted.cover.wall, self.boss, &self.screws) - lip
    }

    /// Radius of the rounding over the cover's top edge: the wanted one, or the corners' own where they are larger by
    /// so little, and no printer shows it, that triangles along the arcs left of them would have no area.
    pub fn rounding(&self) -> Length {
        const NEARLY: Length = Length::from_mm(0.005);
        let cover = &self.wanted.cover;
        let left = cover.corner_radius - cover.rounding;
        if left > Length::ZERO && left < NEARLY { cover.corner_radius } else { cover.rounding }
    }

    /// Height of the hollow.
    pub fn hollow_height(&self) -> Length {
        self.wanted.cover.height - self.wanted.cover.roof
    }

    /// Height of a part's underside over the baseplate's underside.
    pub fn place_of(&self, kind: PartKind) -> Length {
        let floor = self.wanted.baseplate.thickness;
        match kind {
            PartKind::Baseplate => Length::ZERO,
            PartKind::FlatworkBottom | PartKind::Cover => floor,
            PartKind::FlatworkTop => floor + self.bobbin - self.wanted.flatwork.top,
        }
    }
}

fn mounting(position: &Position) -> Result<(Option<EarShape>, Option<Boss>), Fault> {
    let gap = position.wanted.cover.fit_gap;
    match position.wanted.cover.mounting {
        Mounting::Bosses { diameter, recess_diameter, recess_depth } => {
            Ok((None, Some(Boss { diameter, recess_diameter, recess_depth })))
        }
        Mounting::Ears { length, width, thickness, corner_radius, blend } => {
            let recess = position.rout.ears.as_ref();
            let missing = |what: &'static str, parameter: &'static str| {
                Fault::new(
                    parameter,
                    format!("the rout has no ear recesses, so the ears' {what} must be stated"),
                )
            };
            // The recess begins at the rout's end, the ear at the body's: both gaps cancel.
            let length = length.or(recess.map(|r| r.length.value()));
            let width = width.or(recess.map(|r| r.width.value() - gap * 2.0));
            let followed = recess.map(|r| (r.corner_radius.value() - gap).max(Length::ZERO));
            let corner_radius = corner_radius.or(followed);
            let ear = EarShape {
                length: length.ok_or_else(|| missing("length", "cover.mounting.length"))?,
                width: width.ok_or_else(|| missing("width", "cover.mounting.width"))?,
                thickness,
                corner_radius: corner_radius
                    .ok_or_else(|| missing("corner radius", "cover.mounting.corner_radius"))?,
                blend,
            };
            Ok((Some(ear), None))
        }
    }
}

/// Body and ears as one outline: united, then grown and shrunk by the blend, which rounds the
/// inward corners and leaves the outward ones.
pub(super) fn ears_outline(body: &Contour, length: Length, ear: &EarShape) -> Result<Contour, Fault> {
    let full = length.as_mm() + 2.0 * ear.length.as_mm();
    let width = ear.width.as_mm();
    if width <= 0.5 {
        return Err(Fault::new("cover.fit_gap", "nothing of the ears is left between the gaps"));
    }
    let radius = ear.corner_radius.as_mm();
    if radius > (width / 2.0).min(ear.length.as_mm()) {
        let why = "an ear's corner radius can't be more than half its width or its length";
        return Err(Fault::new("cover.mounting.corner_radius", why));
    }
    let tabs = Contour::rounded_rectangle(Point::origin(), full, width, radius);
    let united = offset::borders(&[body.clone(), tabs], &[]);
    let mut outer = united.into_iter().filter(|b| !b.hole).map(|b| b.contour);
    let (Some(sharp), None) = (outer.next(), outer.next()) else {
        return Err(Fault::new("cover.mounting.width", "the ears do not join the body"));
    };
    let blend = ear.blend.as_mm();
    let grown = offset::outset(&sharp, blend);
    let blended = grown.iter().flat_map(|c| offset::inset(c, blend)).collect::<Vec<_>>();
    match <[Contour; 1]>::try_from(blended) {
        Ok([outline]) => Ok(outline),
        Err(_) => Err(Fault::new("cover.mounting.blend", "the blend is too large for ear and body")),
    }
}

/// Poles from bass to treble; those of one string stay together.
fn poles(position: &Position) -> Vec<Point> {
    let half = match position.wanted.poles {
        Poles::Single => None,
        Poles::Pair { spread } => Some(spread / 2.0),
    };
    // String 1 lies on the treble side.
    let from_bass = position.strings.iter().rev().map(|s| hundredth(s.place.value()));
    let beside = |place: Length| half.map_or(vec![place], |half| vec![place - half, place + half]);
    from_bass.flat_map(beside).map(|place| Point::new(position.handed.x(place), 0.0)).collect()
}

/// The plates fill the hollow's clear box less the play, inside the baseplate's lip.
fn plate_shape(
    position: &Position,
    length: Length,
    width: Length,
    boss: Option<Boss>,
    screws: &[Point],
) -> Result<PlateShape, Fault> {
    let w = &position.wanted;
    let lip = w.baseplate.lip.map_or(Length::ZERO, |l| l.gap + l.wall);
    let clear = w.flatwork.play + lip;
    let half_length = half_room(length, w.cover.wall, boss, screws) - clear;
    let length = w.flatwork.length.unwrap_or(half_length * 2.0);
    let width = w.flatwork.width.unwrap_or(width - (w.cover.wall + clear) * 2.0);
    if length.as_mm() <= 1.0 || width.as_mm() <= 1.0 {
        return Err(Fault::new("flatwork.play", "no room is left for the flatwork in the hollow"));
    }
    let corner_radius = w.flatwork.corner_radius;
    if corner_radius > length.min(width) / 2.0 {
        let why = sentence!("a plate of {} by {} can't have corners of that radius", length, width);
        return Err(Fault::new("flatwork.corner_radius", why));
    }
    Ok(PlateShape { length, width, corner_radius })
}

/// From the middle to what stands in the plates' way along the strings' row: the nearer boss, or the walls. The plates
/// lie in the middle, since the strings do.
fn half_room(length: Length, wall: Length, boss: Option<Boss>, screws: &[Point]) -> Length {
    let to_walls = length / 2.0 - wall;
    let nearest = screws.iter().map(|screw| screw.x.abs()).min_by(f64::total_cmp);
    match (boss, nearest) {
        (Some(boss), Some(nearest)) => Length::from_mm(nearest) - boss.diameter / 2.0,
        _ => to_walls,
    }
}

/// What was read is drawn to a caliper's hundredth, so that a reading elsewhere that only weighs it a little
/// otherwise does not draw all parts anew.
fn hundredth(read: Length) -> Length {
    const STEPS: f64 = 100.0;
    Length::from_mm((read.as_mm() * STEPS).round() / STEPS)
}

/// The screw holes, bass side first: where those in the body are.
fn screws(position: &Position) -> Vec<Point> {
    let at = |screw: &ScrewAt| {
        let [along, across] = [&screw.along, &screw.across].map(|place| hundredth(place.value()));
        Point::new(position.handed.x(along), across.as_mm())
    };
    position.rout.screws.iter().rev().map(at).collect()
}

/// Places of eyelets and waists along the plate's edge on the eyelets' side.
fn eyelets_and_waists(
    w: &bobbinwright_spec::Wanted,
    plate: PlateShape,
    handed: Handed,
    edge: f64,
) -> ([Point; 2], [(Point, f64); 2]) {
    let f = &w.flatwork;
    let border = plate.width.as_mm() / 2.0;
    let (x, y) = (handed.x(f.eyelet_spread / 2.0), edge * (border - f.eyelet_inset.as_mm()));
    // A waist is the piece of a disc that cuts `width` out of the edge and `depth` into it.
    let (chord, depth) = (f.waist_width.as_mm(), f.waist_depth.as_mm());
    let radius = (chord * chord / 4.0 + depth * depth) / (2.0 * depth);
    let waist_y = edge * (border + radius - depth);
    let waist_x = x + handed.x(f.waist_offset);
    (
        [Point::new(-x, y), Point::new(x, y)],
        [(Point::new(-waist_x, waist_y), radius), (Point::new(waist_x, waist_y), radius)],
    )
}

/// Where a cover's lead-out opens.
struct LeadPlace<'w> {
    handed: Handed,
    lead: &'w LeadOut,
    length: Length,
    width: Length,
}

impl LeadPlace<'_> {
    /// The block of air, from outside the outline to `reach` inside the body's side.
    fn reaching(&self, reach: Length) -> LeadBox {
        let mouth = on_side(self.lead.side, self.lead.offset, self.length, self.width, self.handed);
        let out = outwards(self.lead.side, self.handed);
        let half = self.lead.width.as_mm() / 2.0;
        let across = Vector::new(out.y.abs(), out.x.abs()) * half;
        let (outer, inner) = (mouth + out * OVERSHOOT, mouth - out * reach.as_mm());
        LeadBox { min: outer.inf(&inner) - across, max: outer.sup(&inner) + across }
    }
}

/// The direction in which a side of the rout faces, in plan.
pub fn outwards(side: Side, handed: Handed) -> Vector {
    match side {
        Side::Bass => Vector::new(-handed.treble(), 0.0),
        Side::Treble => Vector::new(handed.treble(), 0.0),
        Side::Neck => Vector::new(0.0, 1.0),
        Side::Bridge => Vector::new(0.0, -1.0),
    }
}

/// A place on a side of a rectangle round the origin, mm: from the side's middle towards treble on the long
/// sides, towards the neck on the ends.
pub fn on_side(side: Side, offset: Length, length: Length, width: Length, handed: Handed) -> Point {
    let out = outwards(side, handed);
    let middle = Point::new(out.x * length.as_mm() / 2.0, out.y * width.as_mm() / 2.0);
    match side {
        Side::Bass | Side::Treble => middle + Vector::new(0.0, offset.as_mm()),
        Side::Neck | Side::Bridge => middle + Vector::new(handed.x(offset), 0.0),
    }
}
