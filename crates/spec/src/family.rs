//! A family as it is used: readings turned into estimates, wanted dimensions checked.

use bobbinwright_estimate::Unit;
use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::Length;
use crate::angle::Angle;
use crate::coil::Coil;
use crate::corners::Corners;
use crate::ears::{self, EarAt};
pub use crate::files::{FAMILY_FILE, MADE_FILE, READINGS_FILE};
use crate::finished::Finished;
use crate::guard::Guard;
use crate::handed::Handed;
use crate::identity::Identity;
use crate::measured::Measured;
use crate::outline::Outline;
use crate::part::{PartKind, PieceSize};
use crate::plan::{Plan, plan};
use crate::printer::Printer;
use crate::problem::{Problem, SourceFile, Span};
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};
use crate::reader::Noted;
use crate::runs::WAY;
use crate::screws::ScrewAt;
use crate::sides::Sides;
use crate::strings::{self, FanOut};
use crate::wanted::{Side, Wanted};
use crate::winds::Winds;
use crate::written::Written;
use crate::{Doubts, Estimate};

/// Parts for all positions of one instrument.
#[derive(Clone, Debug, PartialEq)]
pub struct Family {
    /// The folder's name; names the files that are built.
    pub slug: String,
    /// Which family it is, whatever its folder is called; none before anything was entered in it.
    pub identity: Option<Identity>,
    /// For people.
    pub title: String,
    /// How many strings.
    pub strings: usize,
    /// From the first to the last in the file.
    pub positions: Vec<Position>,
    /// Bought parts.
    pub hardware: Hardware,
    /// What the printer can do.
    pub printer: Printer,
    /// Every independent cause of doubt.
    pub doubts: Doubts,
    /// Sizes of printed parts that were read, of the parts' names.
    pub pieces: BTreeMap<(String, PieceSize), Estimate>,
    /// Of holes that were read one by one, how much wider the widest is than the tightest, which is the one above.
    pub wider: BTreeMap<(String, PieceSize), Length>,
    /// Which of them are finished.
    pub finished: Finished,
    /// What the log knows of coils that were wound.
    pub winds: Winds,
    /// The day as of which its log was read, when not as it stands.
    pub as_of: Option<Date>,
    /// How many entries its log has.
    pub entries: usize,
    /// The files it was read from, in the order of [`Span::file`].
    pub files: Vec<SourceFile>,
    /// Worth a look.
    pub notices: Vec<Problem>,
}

/// One pickup of the family.
#[derive(Clone, Debug, PartialEq)]
pub struct Position {
    /// Its name: `neck`.
    pub name: String,
    /// Which end of the row of strings is bass.
    pub handed: Handed,
    /// The hole in the body.
    pub rout: Rout,
    /// Strings 1 to n.
    pub strings: Vec<StringAt>,
    /// How far the row is from square to them, the bass end nearer to the neck.
    pub slant: Angle,
    /// What would show if a reading of rout, screws or strings were wrong.
    pub guards: Vec<Guard>,
    /// The outer strings' distance by fan-out, when nut and bridge were measured.
    pub fan_out: Option<FanOut>,
    /// What is wanted here; of a coil that is begun, what it is or can still become.
    pub wanted: Wanted,
    /// The coil that is stated, whatever is on the bobbin.
    pub stated_coil: Option<Coil>,
}

/// The hole in the body.
#[derive(Clone, Debug, PartialEq)]
pub struct Rout {
    /// Along the row of strings, where it is tightest.
    pub length: Estimate,
    /// In the strings' direction, where it is tightest.
    pub width: Estimate,
    /// What it was routed as.
    pub outline: Outline,
    /// Its four sides, all along.
    pub sides: Sides,
    /// Radius in the corners; of several that of the roundest, which stands furthest in.
    pub corner_radius: Estimate,
    /// In each of them.
    pub corners: Corners<Estimate>,
    /// Shallowest depth.
    pub depth: Estimate,
    /// Centre distance of the first two screw holes, where it was read.
    pub screw_pitch: Option<Estimate>,
    /// Diameter of the screw holes.
    pub screw_hole: Estimate,
    /// Where they are: screw 1 first, which of two is on the treble side.
    pub screws: Vec<ScrewAt>,
    /// Recesses for ears.
    pub ears: Option<EarRecess>,
    /// Where the wire channel opens.
    pub channel: Option<Channel>,
}

impl StringAt {
    /// Place along the row, treble positive, so far from the middle line towards the neck.
    pub fn at(&self, across: Length) -> Estimate {
        if across == Length::ZERO {
            return self.place.clone();
        }
        self.place.clone() + self.goes.clone() * (across / WAY)
    }
}

impl Position {
    /// Where a string crosses the row of rods, along it, treble positive.
    pub fn over_rods(&self, string: &StringAt) -> Estimate {
        string.at(self.wanted.row())
    }

    /// How far a string goes along x on a way of 1 towards the neck, in the parts' frame.
    pub fn run(&self, string: &StringAt) -> f64 {
        self.handed.x(string.goes.value()) / WAY.as_mm()
    }
}

impl Rout {
    /// How far from the middle a side is at a place along it, mm from its middle, along the row or across it: at the top edge, and
    /// at the floor where it is known to lean.
    pub fn reaches(&self, side: Side, along: f64) -> Vec<Estimate> {
        let half = |i: usize, size: &Estimate| {
            if self.outline.is_square() { size.value().as_mm() / 2.0 } else { self.sides.half[i] }
        };
        let at = |half: f64| along / half;
        let (length, width) = (half(0, &self.length), half(1, &self.width));
        match side {
            Side::Treble => self.sides.treble.reaches(at(width)),
            Side::Bass => self.sides.bass.reaches(at(width)),
            Side::Neck => self.sides.neck.reaches(at(length)),
            Side::Bridge => self.sides.bridge.reaches(at(length)),
        }
    }

    /// How much further out a side is for each mm along it, where it is slanted on purpose.
    pub fn slope(&self, side: Side) -> f64 {
        let [along, across] = self.sides.half;
        let (of, half) = match side {
            Side::Treble => (&self.sides.treble, across),
            Side::Bass => (&self.sides.bass, across),
            Side::Neck => (&self.sides.neck, along),
            Side::Bridge => (&self.sides.bridge, along),
        };
        if self.outline.is_square() { 0.0 } else { of.line()[1] / half }
    }

    /// What a screw is called, by its index: of two by its end.
    pub fn screw_name(&self, index: usize) -> String {
        let are_at_ends = matches!(&self.screws[..], [a, b] if a.along.value() > b.along.value());
        match index {
            0 if are_at_ends => "treble screw".to_owned(),
            1 if are_at_ends => "bass screw".to_owned(),
            n => format!("screw {}", n + 1),
        }
    }
}

/// The recesses for ears, all alike.
#[derive(Clone, Debug, PartialEq)]
pub struct EarRecess {
    /// How far it reaches beyond the rout.
    pub length: Estimate,
    /// Width.
    pub width: Estimate,
    /// Depth under the body's face.
    pub depth: Estimate,
    /// Radius in its outer corners.
    pub corner_radius: Estimate,
    /// Where they are: that of screw 1 first.
    pub at: Vec<EarAt>,
}

/// The wire channel's mouth.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// The side it opens in.
    pub side: Side,
    /// From the side's middle, towards treble on the long sides, towards the neck on the ends.
    pub offset: Estimate,
}

/// A string over a position.
#[derive(Clone, Debug, PartialEq)]
pub struct StringAt {
    /// 1 is the thinnest.
    pub number: usize,
    /// Place along the row from the rout's middle, treble positive, over the middle line between its long sides.
    pub place: Estimate,
    /// How far it goes towards treble on a way of `WAY` towards the neck, as far as that is asked for: by readings at the
    /// rout's edges, a slant, or a row beside the middle.
    pub goes: Estimate,
    /// Its underside over the body's face.
    pub height: Estimate,
    /// Its diameter.
    pub gauge: Estimate,
}

/// Bought parts, measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Hardware {
    /// Magnet rod, diameter.
    pub rod_diameter: Estimate,
    /// Magnet rod, length.
    pub rod_length: Estimate,
    /// Eyelet, outer diameter of the barrel.
    pub eyelet_barrel: Estimate,
    /// Eyelet, outer diameter of the flange.
    pub eyelet_flange: Estimate,
    /// Mounting screw, thread diameter.
    pub screw_diameter: Estimate,
    /// Mounting screw, head diameter.
    pub screw_head: Estimate,
    /// Mounting screw, head height.
    pub screw_head_height: Estimate,
    /// Lead, diameter.
    pub lead_diameter: Estimate,
}

impl Family {
    /// The unit in which most of its own lengths are stated; of those of the families that it is like where it states
    /// none.
    pub fn unit(&self) -> Unit {
        unit_of(&self.files)
    }

    /// The line that states a dimension of a position, for messages.
    pub fn origin(&self, position: usize, path: &str) -> Option<Span> {
        self.positions.get(position)?.wanted.origins.get(path).copied()
    }
}

/// The unit in which the first of some files that states lengths states most of them.
pub(crate) fn unit_of(files: &[SourceFile]) -> Unit {
    let own = files.iter().filter(|file| file.name.ends_with(FAMILY_FILE));
    own.map(|file| [Unit::Mm, Unit::Inch].map(|unit| file.text.matches(&format!("{}(", unit.word())).count()))
        .find(|[mm, inch]| mm + inch > 0)
        .map_or(Unit::Mm, |[mm, inch]| if inch > mm { Unit::Inch } else { Unit::Mm })
}

/// Everything measured and wanted as one family, without its files; none when something lacks, which
/// has been noted.
pub(crate) fn resolve(
    slug: &str,
    written: Written,
    printer: Printer,
    measured: &mut Measured,
    noted: &mut Noted,
) -> Option<Family> {
    if printer.profile().is_some() && !lie_flat(&written, noted) {
        return None;
    }
    let mut positions = Vec::new();
    for position in written.positions {
        positions.push(resolve_position(position, written.strings, written.handed, measured, noted)?);
    }
    let instrument = |q| measured.estimates.get(&Quantity::Instrument(q)).cloned();
    let hardware = Hardware {
        rod_diameter: instrument(InstrumentQuantity::RodDiameter)?,
        rod_length: instrument(InstrumentQuantity::RodLength)?,
        eyelet_barrel: instrument(InstrumentQuantity::EyeletBarrel)?,
        eyelet_flange: instrument(InstrumentQuantity::EyeletFlange)?,
        screw_diameter: instrument(InstrumentQuantity::ScrewDiameter)?,
        screw_head: instrument(InstrumentQuantity::ScrewHead)?,
        screw_head_height: instrument(InstrumentQuantity::ScrewHeadHeight)?,
        lead_diameter: instrument(InstrumentQuantity::LeadDiameter)?,
    };
    Some(Family {
        slug: slug.to_owned(),
        identity: None,
        title: written.title,
        strings: written.strings,
        positions,
        hardware,
        printer,
        pieces: pieces(&measured.estimates),
        wider: pieces(&measured.wider),
        finished: Finished::default(),
        winds: Winds::default(),
        entries: 0,
        as_of: None,
        doubts: measured.doubts.clone(),
        files: Vec::new(),
        notices: Vec::new(),
    })
}

/// Parts that are drawn for what a printer does to them must lie flat: how walls grow and holes shrink is
/// known of upright ones only. Notes those that shall not.
fn lie_flat(written: &Written, noted: &mut Noted) -> bool {
    let before = noted.errors();
    for position in &written.positions {
        let Some(wanted) = &position.wanted else { continue };
        for part in PartKind::ALL {
            let is_printed = wanted.sheet(part).is_none();
            let side = wanted.on_bed.of(part).filter(|side| is_printed && !side.is_flat());
            if let (Some(side), Some(span)) = (side, wanted.on_bed.stated()) {
                let message = format!(
                    "on_bed: the {} of {} shall lie on {}, but what the printer does to sizes is made up for only where parts lie flat",
                    part.name(),
                    position.name,
                    side.describe()
                );
                let hint = "write underside or top, or describe the printer in the family itself, printer: (…), for parts of nominal size";
                noted.error(span, message, hint);
            }
        }
    }
    noted.errors() == before
}

fn pieces<R: Clone>(read: &BTreeMap<Quantity, R>) -> BTreeMap<(String, PieceSize), R> {
    let read = read.iter().filter_map(|(quantity, read)| match quantity {
        Quantity::Piece(position, size) => Some(((position.clone(), *size), read.clone())),
        _ => None,
    });
    read.collect()
}

fn resolve_position(
    written: crate::written::WrittenPosition,
    strings: usize,
    handed: Handed,
    measured: &mut Measured,
    noted: &mut Noted,
) -> Option<Position> {
    let row = written.wanted.as_ref().and_then(|wanted| wanted.row_offset);
    let Plan { strings: places, goes, slant, spread, screws, size: [length, width], sides, guards, is_odd } =
        plan(measured, &written.name, &written.rout, strings, row, noted)?;
    let fan_out =
        strings::fan_out(measured, &written.name).map(|predicted| FanOut { predicted, read: spread });
    // What is wrong over the position has been said; the spread follows from it.
    if let (Some(fan_out), false) = (&fan_out, is_odd) {
        note_contradicting_spread(fan_out, &written.name, measured, noted);
    }
    let corners = measured.radii.get(&written.name)?.clone();
    let recesses = ears::places(measured, &written.name, &written.rout, &screws, noted);
    let at = |q| measured.estimates.get(&Quantity::At(written.name.clone(), q)).cloned();
    let gauge = |n| measured.estimates.get(&Quantity::Instrument(InstrumentQuantity::Gauge(n))).cloned();
    let ears = if written.rout.ears.is_empty() {
        None
    } else {
        Some(EarRecess {
            at: recesses?,
            length: at(PositionQuantity::EarLength)?,
            width: at(PositionQuantity::EarWidth)?,
            depth: at(PositionQuantity::EarDepth)?,
            corner_radius: at(PositionQuantity::EarCornerRadius)?,
        })
    };
    let channel = match written.rout.channel {
        Some(side) => Some(Channel { side, offset: at(PositionQuantity::ChannelOffset)? }),
        None => None,
    };
    let heights = heights(&places, |n| at(PositionQuantity::StringHeight(n)))?;
    let mut over = Vec::with_capacity(strings);
    for (i, ((place, goes), height)) in places.into_iter().zip(goes).zip(heights).enumerate() {
        over.push(StringAt { number: i + 1, place, goes, height, gauge: gauge(i + 1)? });
    }
    let wanted = written.wanted?;
    Some(Position {
        handed,
        rout: Rout {
            length,
            width,
            outline: written.rout.outline,
            sides,
            corner_radius: at(PositionQuantity::RoutCornerRadius)?,
            corners,
            depth: at(PositionQuantity::RoutDepth)?,
            screw_pitch: at(PositionQuantity::ScrewPitch),
            screw_hole: at(PositionQuantity::ScrewHole)?,
            screws,
            ears,
            channel,
        },
        strings: over,
        slant,
        guards,
        fan_out,
        stated_coil: wanted.coil,
        wanted,
        name: written.name,
    })
}

/// Points out that nut and bridge make one expect another spread of the strings than was read.
fn note_contradicting_spread(fan_out: &FanOut, position: &str, measured: &Measured, noted: &mut Noted) {
    let (Some(apart), Some(read)) = (fan_out.contradiction(&measured.doubts), &fan_out.read) else { return };
    let distance = Quantity::At(position.to_owned(), PositionQuantity::BridgeDistance);
    let of = [InstrumentQuantity::NutSpread, InstrumentQuantity::BridgeSpread, InstrumentQuantity::Scale];
    let taken = of.map(Quantity::Instrument).into_iter().chain([distance.clone()]);
    let last = taken.filter_map(|q| measured.taken.get(&q)).max_by_key(|taken| taken.entry);
    let Some(last) = last else { return };
    let message = format!(
        "{position}: by nut, bridge, scale and {distance} the outer strings are {} apart here, by the readings over the position {}: {apart} differ",
        fan_out.predicted.value(),
        read.value()
    );
    let hint = "the readings over the position count; read nut.spread, bridge.spread and the distance from the saddles again";
    noted.problems.push(Problem::notice(last.span, message).hint(hint));
}

/// Heights of all strings: those read, and between two of them a straight line.
fn heights(places: &[Estimate], read: impl Fn(usize) -> Option<Estimate>) -> Option<Vec<Estimate>> {
    let known: Vec<(usize, Estimate)> =
        (1..=places.len()).filter_map(|n| read(n).map(|e| (n - 1, e))).collect();
    let between = |i: usize| {
        let above = known.iter().find(|(k, _)| *k >= i)?;
        let below = known.iter().rfind(|(k, _)| *k <= i)?;
        if above.0 == below.0 {
            return Some(above.1.clone());
        }
        let x = |k: usize| places[k].value().as_mm();
        let t = (x(i) - x(below.0)) / (x(above.0) - x(below.0));
        Some(below.1.clone() * (1.0 - t) + above.1.clone() * t)
    };
    (0..places.len()).map(between).collect()
}
