//! Printers: what they can do, and how large they make what was drawn.
//!
//! A family either states in a few words what its printer can do, and then gets parts of nominal size;
//! or it names a printer's folder, with `printer.ron` and a log of readings of what that printer
//! printed, and gets parts drawn so that they come out right.

mod ability;
mod calibrate;
pub mod coupon;
pub mod material;
pub mod profile;
mod start;
mod survey;

pub use ability::{ABILITIES, Ability, AbilityKind, NotChanged, abilities_of, change_ability};
pub use start::PrinterStart;
pub use survey::{Calibrated, PRINTER_FILE, PrinterSurvey};

use crate::angle::Angle;
use crate::node::{Node, NodeKind};
use crate::problem::Span;
use crate::reader::{Noted, Record, choice, length, lengths, number, path};
use crate::{Length, Quantity};
use coupon::Coupon;
use material::Material;
use profile::{Made, Profile};

/// What a printer can do.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    /// Bed: length, width, height.
    pub bed: [Length; 3],
    /// Thinnest wall.
    pub least_wall: Length,
    /// Smallest hole.
    pub least_hole: Length,
    /// Height of a layer.
    pub layer: Length,
    /// The flattest slope that holds itself, from the vertical.
    pub overhang: Angle,
    /// The longest flat underside that spans freely.
    pub bridge: Length,
    /// Between two parts on the bed.
    pub spacing: Length,
    /// The filament.
    pub material: Material,
    /// How true its parts are.
    pub trueness: Trueness,
}

/// How true printed sizes are.
#[derive(Clone, Debug, PartialEq)]
pub enum Trueness {
    /// Off by plus or minus so much; nothing is made up for.
    Within(Within),
    /// As a profile says, which is made up for.
    Profile(Box<Profile>),
}

/// How far printed sizes may be off, either way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Within {
    /// As somebody states it.
    pub stated: Length,
    /// What counts of holes: more, where such were read that are further off.
    pub holes: Length,
    /// The same of everything else.
    pub others: Length,
}

impl Within {
    /// As it is stated, of everything.
    pub fn stated(stated: Length) -> Self {
        Self { stated, holes: stated, others: stated }
    }

    /// What counts of a size.
    pub fn of(&self, made: Made) -> Length {
        if made == Made::Hole { self.holes } else { self.others }
    }
}

impl Printer {
    /// The profile, when there is one.
    pub fn profile(&self) -> Option<&Profile> {
        match &self.trueness {
            Trueness::Profile(profile) => Some(profile),
            Trueness::Within(_) => None,
        }
    }

    /// How far a drawn height or depth is from a whole number of layers, up or down.
    pub fn beside_layers(&self, drawn: Length, made: Made) -> Length {
        if !matches!(made, Made::Height | Made::Depth) {
            return Length::ZERO;
        }
        let layers = drawn.as_mm() / self.layer.as_mm();
        self.layer * (layers - layers.round()).abs()
    }

    /// A wanted size as it will come out: the value is the wanted one. A height that is no whole number of
    /// layers comes out as one; which, the slicer decides.
    pub fn made(
        &self,
        wanted: Length,
        made: Made,
        of: Option<Quantity>,
        doubts: &mut crate::Doubts,
    ) -> crate::Estimate {
        use crate::{Doubt, Origin};
        match &self.trueness {
            Trueness::Profile(profile) => {
                let beside = self.beside_layers(profile.drawn(wanted, made), made);
                let rounded =
                    doubts.enter(Doubt::new(None, Origin::Print, f64::INFINITY), beside / 3f64.sqrt());
                profile.made(wanted, made, of, doubts) + rounded
            }
            // Half-width of a rectangular distribution; each printed size errs on its own.
            Trueness::Within(within) => doubts
                .enter(Doubt::new(of, Origin::Print, f64::INFINITY), within.of(made) / 3f64.sqrt())
                .moved_to(wanted),
        }
    }
}

/// What a file says about a printer, its trueness left out.
#[derive(Clone, Debug)]
pub(crate) struct Abilities {
    bed: [Length; 3],
    least_wall: Length,
    least_hole: Length,
    layer: Length,
    overhang: Angle,
    bridge: Length,
    spacing: Length,
    material: Material,
}

impl Abilities {
    fn with(self, trueness: Trueness) -> Printer {
        let Self { bed, least_wall, least_hole, layer, overhang, bridge, spacing, material } = self;
        Printer { bed, least_wall, least_hole, layer, overhang, bridge, spacing, material, trueness }
    }
}

/// What a family says about its printer.
#[derive(Clone, Debug)]
pub(crate) enum WrittenPrinter {
    /// All of it.
    Here(Box<Printer>),
    /// The folder that says it.
    Folder {
        /// As written, from the family's folder.
        path: String,
        /// Where that stands.
        span: Span,
    },
}

impl WrittenPrinter {
    /// Reads a family's `printer`.
    pub fn read(root: &mut Record, noted: &mut Noted) -> Option<Self> {
        let node = root.need("printer", "\"../printers/mine\"", noted)?;
        if let NodeKind::Text(_) = node.kind {
            let path = path(node, "printer", noted)?;
            return Some(WrittenPrinter::Folder { path, span: node.span });
        }
        let mut record = root.sub("printer", noted)?;
        let abilities = abilities(&mut record, noted);
        let tolerance = record
            .need("tolerance", "mm(0.12)", noted)
            .and_then(|n| bounded(n, "printer.tolerance", 0.005, 2.0, noted));
        record.finish(noted);
        Some(WrittenPrinter::Here(Box::new(abilities?.with(Trueness::Within(Within::stated(tolerance?))))))
    }
}

fn bounded(node: &Node, name: &str, low: f64, high: f64, noted: &mut Noted) -> Option<Length> {
    length(node, name, (Length::from_mm(low), Length::from_mm(high)), noted)
}

/// What printers are alike in where a file does not say it (common practice).
const LAYER: Length = Length::from_mm(0.2);
const OVERHANG: Angle = Angle::from_degrees(45.0);
const BRIDGE: Length = Length::from_mm(10.0);
const SPACING: Length = Length::from_mm(6.0);

fn abilities(record: &mut Record, noted: &mut Noted) -> Option<Abilities> {
    let bed = record.need("bed", "mm([220, 220, 250])", noted).and_then(|n| bed(n, noted));
    let mut need = |name: &'static str, noted: &mut Noted| {
        let node = record.need(name, "mm(0.8)", noted)?;
        bounded(node, &format!("printer.{name}"), 0.1, 5.0, noted)
    };
    let (least_wall, least_hole) = (need("least_wall", noted), need("least_hole", noted));
    // A mistake has been noted and spoils the whole; what is left out is as usual.
    let before = noted.errors();
    let mut take = |name: &'static str, low: f64, high: f64, usual: Length, noted: &mut Noted| {
        let node = record.get(name);
        node.map_or(Some(usual), |n| bounded(n, &format!("printer.{name}"), low, high, noted))
    };
    let layer = take("layer", 0.03, 1.0, LAYER, noted);
    let bridge = take("bridge", 0.0, 100.0, BRIDGE, noted);
    let spacing = take("spacing", 1.0, 50.0, SPACING, noted);
    let overhang = record.get("overhang").map_or(Some(OVERHANG), |n| degrees(n, noted));
    let material = record
        .get("material")
        .map_or(Some(Material::Pla), |n| choice(n, "printer.material", &Material::ALL, noted));
    if noted.errors() > before {
        return None;
    }
    Some(Abilities {
        bed: bed?,
        least_wall: least_wall?,
        least_hole: least_hole?,
        layer: layer?,
        overhang: overhang?,
        bridge: bridge?,
        spacing: spacing?,
        material: material?,
    })
}

fn bed(node: &Node, noted: &mut Noted) -> Option<[Length; 3]> {
    let sizes = lengths(node, "printer.bed", noted);
    let bed: Option<[Length; 3]> = sizes.try_into().ok();
    let sound = bed.filter(|b| b.iter().all(|l| l.as_mm() >= 20.0 && l.as_mm() <= 2000.0));
    if sound.is_none() {
        noted.error(
            node.span,
            "printer.bed needs length, width and height of the bed, each from 20 to 2000 mm",
            "write mm([220, 220, 250])",
        );
    }
    sound
}

/// An angle in `degrees(45)`.
fn degrees(node: &Node, noted: &mut Noted) -> Option<Angle> {
    let value = match (node.tag.as_deref(), &node.kind) {
        (Some("degrees"), NodeKind::List(items)) => match &items[..] {
            [one] => number(one, "printer.overhang", noted),
            _ => None,
        },
        _ => None,
    };
    let sound = value.filter(|v| (10.0..=85.0).contains(v));
    if sound.is_none() {
        noted.error(
            node.span,
            "printer.overhang needs an angle from the vertical, from 10 to 85 degrees",
            "write degrees(45)",
        );
    }
    sound.map(Angle::from_degrees)
}

/// Sizes of the coupon's holes that a printer's file states.
fn coupon(record: &mut Record, layer: Length, noted: &mut Noted) -> Option<Coupon> {
    let usual = || Coupon::USUAL_HOLES.map(Length::from_mm).to_vec();
    let Some(node) = record.get("coupon") else { return Some(Coupon::new(layer, &usual())) };
    let mut inner = record.sub("coupon", noted)?;
    let holes = inner.need("holes", "mm([2.6, 2.75, 3.6])", noted);
    let holes = holes.map(|n| lengths(n, "coupon.holes", noted));
    inner.finish(noted);
    let holes = holes.filter(|all| !all.is_empty())?;
    if let Some(odd) = holes.iter().find(|d| !(1.0..=12.0).contains(&d.as_mm())) {
        noted.error(node.span, format!("coupon.holes: {odd} is no hole for a coupon"), "use 1 to 12 mm");
        return None;
    }
    let coupon = Coupon::new(layer, &holes);
    if coupon.holes.len() < 3 {
        noted.error(
            node.span,
            "coupon.holes needs three sizes or more: what a hole loses depends on its size",
            "write mm([2.6, 3.6, 6.0])",
        );
        return None;
    }
    let (least, most) = (coupon.holes[0].length(), coupon.holes[coupon.holes.len() - 1].length());
    if most < least * 1.5 {
        let message =
            format!("coupon.holes: {least} to {most} are too much alike to tell how a hole's size matters");
        noted.error(node.span, message, format!("let the largest be {} or more", least * 1.5));
        return None;
    }
    if coupon.row() > Coupon::ROOM {
        let message = format!(
            "coupon.holes: {} holes take {} side by side, but the coupon has room for {}",
            coupon.holes.len(),
            coupon.row(),
            Coupon::ROOM
        );
        noted.error(node.span, message, "leave out sizes that lie between two others");
        return None;
    }
    Some(coupon)
}
