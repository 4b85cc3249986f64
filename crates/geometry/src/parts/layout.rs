//! Every size and place of one position's parts, worked out from readings and wishes.
//!
//! The frame of all parts of a position: origin in the middle of the rout, x along the row of
//! strings to the right, y towards the neck, z upwards out of the body, as seen from above with the
//! neck up. Bass is left, or right on an instrument for the left hand.

use bobbinwright_spec::sentence;
use bobbinwright_spec::{
    Corners, CoverOutline, Handed, Hardware, Length, Mounting, Poles, Position, ScrewAt, Side,
};

use super::PartKind;
use super::fault::Fault;
use super::lead_place::LeadPlace;
use super::relief::{InTheWay, Relief};
use super::rounded;
use super::shapes::{Boss, EarShape, LeadBox, PlateShape, hundredth};
use super::slanted::Slanted;
use super::tabs::{self, Tab};
use bobbinwright_kernel::plane::offset;
use bobbinwright_kernel::plane::{Contour, Point};

/// A room in the hollow that is less than this share of the largest one is a pocket behind a boss.
const POCKET: f64 = 0.02;

/// All sizes of one position.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Which end of the row of strings is bass.
    pub handed: Handed,
    /// Length of the cover's body.
    pub length: Length,
    /// Width of the cover's body.
    pub width: Length,
    /// The body's sides, where they are not square to each other.
    pub slanted: Option<Slanted>,
    /// Radii of the body's corners, treble and neck positive.
    pub corners: Corners<Length>,
    /// The cover's body in plan.
    pub body: Contour,
    /// Cover and baseplate in plan, ears included.
    pub outline: Contour,
    /// Ears, when the cover has them.
    pub ears: Option<EarShape>,
    /// Where they are, that of screw 1 first.
    pub tabs: Vec<Tab>,
    /// Bosses, when the cover has them.
    pub boss: Option<Boss>,
    /// Centres of the screw holes over those in the body, bass side first, mm.
    pub screws: Vec<Point>,
    /// How far the row of rods is from the middle line, towards the neck, mm.
    pub row: f64,
    /// Centres of the poles from bass to treble, a string's two together, mm.
    pub poles: Vec<Point>,
    /// The cover's lead-out.
    pub lead: LeadBox,
    /// The baseplate's lead-out.
    pub plate_lead: Option<LeadBox>,
    /// Both flatwork plates.
    pub plate: PlateShape,
    /// What is cut out of them where bosses stand beside the strings' row.
    pub reliefs: Vec<Relief>,
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
        let rout = Slanted::of(position.rout.outline, &position.rout.sides, position.handed)
            .map(|rout| rout.inset(gap.as_mm()));
        let slanted = rout.map(|rout| match w.cover.outline {
            CoverOutline::AsRouted => rout,
            CoverOutline::Rectangle => rout.largest_rectangle(rounded::sharpest(position).as_mm()),
        });
        let [length, width] = slanted.map_or_else(
            || [&position.rout.length, &position.rout.width].map(|size| hundredth(size.value()) - gap * 2.0),
            |slanted| slanted.size(),
        );
        if length.as_mm() <= 1.0 || width.as_mm() <= 1.0 {
            return Err(Fault::new("cover.fit_gap", "nothing of the cover is left between the gaps"));
        }
        let corners = rounded::corners(position, [length, width])?;
        let body = rounded::outline(position.handed, [length, width], slanted.as_ref(), &corners)?;
        let (ears, boss) = mounting(position)?;
        let tabs = ears.map_or(Vec::new(), |ear| tabs::over(position, ear, [length, width], rout.as_ref()));
        let outline = match &ears {
            Some(ear) => tabs::outline(&body, ear, &tabs, position.handed)?,
            None => body.clone(),
        };
        let screws = screws(position);
        let clear = w.flatwork.play + w.baseplate.lip.map_or(Length::ZERO, |l| l.gap + l.wall);
        let row = w.row().as_mm();
        let in_the_way = InTheWay { boss, screws: &screws, clear, row };
        let plate = plate_shape(position, [length, width], slanted.as_ref(), &in_the_way)?;
        let reliefs = in_the_way.reliefs(plate);
        let mark = mark(w, plate, &reliefs, position.handed);
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
        let place = LeadPlace { handed, lead: &w.cover.lead_out, length, width, slanted };
        Ok(Self {
            handed,
            length,
            width,
            lead: place.reaching(reach),
            plate_lead: w.baseplate.lead_depth.map(|depth| place.reaching(depth)),
            slanted,
            corners,
            body,
            outline,
            ears,
            tabs,
            boss,
            screws,
            row,
            poles: poles(position),
            plate,
            reliefs,
            eyelets,
            waists,
            mark,
            bobbin,
            coil_height,
            wanted: w.clone(),
        })
    }

    /// Distance of the two screw holes' centres that are furthest apart; zero where there is but one.
    pub fn screw_pitch(&self) -> Length {
        let from = |a: &Point| self.screws.iter().map(|b| (b - a).norm()).fold(0.0, f64::max);
        Length::from_mm(self.screws.iter().map(from).fold(0.0, f64::max))
    }

    /// Two screw holes, bass side first, whose distance can be read on a printed part: where there are no others to be taken
    /// for them, and they stand along one of a printer's axes, which may stretch differently.
    pub fn two_screws(&self) -> Option<[Point; 2]> {
        const ASKEW: f64 = 0.1;
        let [bass, treble] = self.screws[..] else { return None };
        let [along, across] = [(treble - bass).x.abs(), (treble - bass).y.abs()];
        (along.min(across) < ASKEW * along.max(across)).then_some([bass, treble])
    }

    /// From the end of the ear at one end to that at the other; none where there are not both, or they are not parallel.
    pub fn ear_to_ear(&self) -> Option<Length> {
        let at = |side| self.tabs.iter().find(|tab| tab.side == side);
        let (treble, bass) = (at(Side::Treble)?, at(Side::Bass)?);
        (treble.out == -bass.out).then_some(treble.reach + bass.reach)
    }

    /// Borders of the hollow, moved inwards by `play`: body less wall less bosses, no corner
    /// sharper than the inner radius.
    fn hollow(&self, play: Length) -> Vec<offset::Border> {
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

    /// The one outer border of the hollow, moved inwards by `play`, and the bosses that stand free in it; `None` when there
    /// is none or it falls apart. A pocket that a boss cuts off in a corner is no part of it: nothing goes there.
    pub fn single_hollow(&self, play: Length) -> Option<(Contour, Vec<Contour>)> {
        let (holes, outer): (Vec<offset::Border>, Vec<offset::Border>) =
            self.hollow(play).into_iter().partition(|b| b.hole);
        let area = |border: &offset::Border| border.contour.area().abs();
        let largest = outer.iter().map(area).fold(0.0, f64::max);
        let mut rooms = outer.into_iter().filter(|border| area(border) > largest * POCKET);
        let (outer, None) = (rooms.next()?, rooms.next()) else { return None };
        Some((outer.contour, holes.into_iter().map(|h| h.contour).collect()))
    }

    /// From the middle to what stands in the flatwork's way along the row of strings: bosses or walls, and the
    /// baseplate's lip before them.
    pub fn room_for_plates(&self) -> Length {
        let lip = self.wanted.baseplate.lip.map_or(Length::ZERO, |l| l.gap + l.wall);
        // Which bosses are in the way is told as for the plates, which keep clear by their play.
        let play = self.wanted.flatwork.play;
        let in_the_way = InTheWay { boss: self.boss, screws: &self.screws, clear: play + lip, row: self.row };
        let wall = self.wanted.cover.wall;
        let room = in_the_way.half_room(self.length, wall) + play;
        // Along slanted ends the plates' corners come to them first.
        let between = self.slanted.map(|slanted| {
            let [width, radius] = [self.plate.width / 2.0, self.plate.corner_radius].map(Length::as_mm);
            Length::from_mm(slanted.rectangle((wall + lip).as_mm(), radius, Some(width))[0])
        });
        between.map_or(room, |between| room.min(between))
    }

    /// The dimension to blame where rods are in the way: the row's place where it is not in the middle, or else this one.
    pub(super) fn row_or(&self, otherwise: &'static str) -> &'static str {
        row_or(self.row, otherwise)
    }

    /// Radius of the rounding over the cover's top edge: the wanted one, or the corners' own where they are larger by
    /// so little, and no printer shows it, that triangles along the arcs left of them would have no area.
    pub fn rounding(&self) -> Length {
        const NEARLY: Length = Length::from_mm(0.005);
        let (sharpest, rounding) = (self.sharpest(), self.wanted.cover.rounding);
        let left = sharpest - rounding;
        if left > Length::ZERO && left < NEARLY { sharpest } else { rounding }
    }

    /// Length and width of the body as they are read on it, square to its ends and sides.
    pub fn square_size(&self) -> [Length; 2] {
        self.slanted.map_or([self.length, self.width], |slanted| slanted.square_size())
    }

    /// The smallest radius of the body's corners.
    pub fn sharpest(&self) -> Length {
        self.corners.iter().map(|(_, radius)| *radius).fold(self.length, Length::min)
    }

    /// The border of plates of a shape, with what is cut out of it for bosses.
    pub fn plate_outline(&self, shape: PlateShape) -> Contour {
        let [length, width, radius] = [shape.length, shape.width, shape.corner_radius].map(Length::as_mm);
        let whole = Contour::rounded_rectangle(Point::origin(), length, width, radius);
        if self.reliefs.is_empty() {
            return whole;
        }
        let cut: Vec<Contour> = self.reliefs.iter().map(|relief| relief.contour(shape)).collect();
        let left = offset::borders(std::slice::from_ref(&whole), &cut).into_iter().filter(|b| !b.hole);
        let largest = left.map(|b| b.contour).max_by(|a, b| a.area().abs().total_cmp(&b.area().abs()));
        largest.unwrap_or(whole)
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

fn row_or(row: f64, otherwise: &'static str) -> &'static str {
    if row == 0.0 { otherwise } else { "row.offset" }
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

/// Poles from bass to treble; those of one string stay together.
fn poles(position: &Position) -> Vec<Point> {
    let half = match position.wanted.poles {
        Poles::Single => None,
        Poles::Pair { spread } => Some(spread / 2.0),
    };
    // String 1 lies on the treble side.
    let from_bass = position.strings.iter().rev().map(|s| hundredth(position.over_rods(s).value()));
    let row = position.wanted.row().as_mm();
    let beside = |place: Length| half.map_or(vec![place], |half| vec![place - half, place + half]);
    from_bass.flat_map(beside).map(|place| Point::new(position.handed.x(place), row)).collect()
}

/// The plates fill the hollow's clear box less the play, inside the baseplate's lip; bosses beside the strings' row are
/// cut out of them.
fn plate_shape(
    position: &Position,
    [length, width]: [Length; 2],
    slanted: Option<&Slanted>,
    in_the_way: &InTheWay,
) -> Result<PlateShape, Fault> {
    let w = &position.wanted;
    let clear = in_the_way.clear;
    let mut half_length = in_the_way.half_room(length, w.cover.wall);
    let mut half_width = width / 2.0 - (w.cover.wall + clear);
    if let Some(slanted) = slanted {
        let stated = w.flatwork.width.map(|width| (width / 2.0).as_mm());
        let clear = (w.cover.wall + clear).as_mm();
        let radius = w.flatwork.corner_radius.as_mm();
        let [along, across] = slanted.rectangle(clear, radius, stated).map(Length::from_mm);
        (half_length, half_width) = (half_length.min(along), across);
    }
    let length = w.flatwork.length.unwrap_or(half_length * 2.0);
    let width = w.flatwork.width.unwrap_or(half_width * 2.0);
    if length.as_mm() <= 1.0 || width.as_mm() <= 1.0 {
        let blamed = row_or(in_the_way.row, "flatwork.play");
        return Err(Fault::new(blamed, "no room is left for the flatwork in the hollow"));
    }
    let corner_radius = w.flatwork.corner_radius;
    if corner_radius > length.min(width) / 2.0 {
        let why = sentence!("a plate of {} by {} can't have corners of that radius", length, width);
        // A row that bosses came into leaves less of the plates than was meant.
        let blamed = row_or(in_the_way.row, "flatwork.corner_radius");
        return Err(Fault::new(blamed, why));
    }
    Ok(PlateShape { length, width, corner_radius })
}

/// The screw holes, bass side first: where those in the body are.
fn screws(position: &Position) -> Vec<Point> {
    let at = |screw: &ScrewAt| {
        let [along, across] = [&screw.along, &screw.across].map(|place| hundredth(place.value()));
        Point::new(position.handed.x(along), across.as_mm())
    };
    position.rout.screws.iter().rev().map(at).collect()
}

/// The mark in the bass end: on the row's line, or as near to it as corners and what is cut out for bosses leave an edge.
fn mark(
    w: &bobbinwright_spec::Wanted,
    plate: PlateShape,
    reliefs: &[Relief],
    handed: Handed,
) -> (Point, f64) {
    /// Edge beside the mark, mm: more than printers' least walls.
    const BESIDE: f64 = 1.2;
    let radius = w.flatwork.mark_radius.as_mm();
    let straight = (plate.width / 2.0 - plate.corner_radius).as_mm();
    let at_bass = reliefs.iter().filter(|r| r.corner && r.center.x * handed.treble() < 0.0);
    let [low, high] = at_bass.fold([-straight, straight], |[low, high], relief| {
        let Relief { center, radius, .. } = *relief;
        if relief.to_neck { [low, high.min(center.y - radius)] } else { [low.max(center.y + radius), high] }
    });
    let [low, high] = [low + radius + BESIDE, high - radius - BESIDE];
    let row = w.row().as_mm();
    // One that is too large for that is in the middle of what there is.
    let y = if low < high { row.clamp(low, high) } else { f64::midpoint(low, high) };
    (Point::new(handed.x(-plate.length / 2.0), y), radius)
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
