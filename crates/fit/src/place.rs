//! Where on a position's parts a check is decided.

use bobbinwright_geometry::parts::{Layout, LeadBox, PartKind, PositionParts};
use bobbinwright_spec::{Length, Mounting, Position};

use crate::Check;
use crate::kind::{CheckKind, Where};

/// A place in the frame of the assembled position (mm; z = 0 at the baseplate's underside), with how far round it
/// there is something to see.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Along the row of strings, towards the neck, out of the body.
    pub at: [f64; 3],
    /// Radius, mm.
    pub around: f64,
    /// From where the cut parts show it.
    pub from: Standpoint,
    /// The direction in which its gap is counted, from the first of [`Place::between`] to the second.
    pub towards: [f64; 3],
    /// Between what the gap is, as people call it; twice the same where it is a wall of one.
    pub between: [&'static str; 2],
    /// How far behind the gap the second of them begins, mm: what is wanted between them besides.
    pub beyond: f64,
}

/// A side to look from at parts that are cut open at a place: the half towards it is taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standpoint {
    /// Towards -y, cut along the row of strings.
    Bridge,
    /// Towards +y, cut along the row of strings.
    Neck,
    /// Towards -x, cut across the row.
    Left,
    /// Towards +x, cut across the row.
    Right,
    /// Down on a level cut.
    Strings,
}

impl Standpoint {
    /// As a word.
    pub fn word(self) -> &'static str {
        match self {
            Standpoint::Bridge => "bridge",
            Standpoint::Neck => "neck",
            Standpoint::Left => "left",
            Standpoint::Right => "right",
            Standpoint::Strings => "strings",
        }
    }
}

/// A place on one part, before its level is known.
struct Spot {
    plan: [f64; 2],
    part: PartKind,
    /// Share of the part's height.
    up: f64,
    around: f64,
}

fn spot(plan: [f64; 2], part: PartKind, up: f64, around: f64) -> Spot {
    Spot { plan, part, up, around }
}

impl Check {
    /// Where it is decided: the place that it names, or one of several that are alike.
    pub fn place(&self, position: &Position, built: &PositionParts) -> Place {
        let spot = self.spot(position, &built.layout);
        let part = built.parts.iter().find(|p| p.kind == spot.part);
        let height = part.map_or(0.0, |p| p.place.as_mm() + p.solid.bounds().1.z * spot.up);
        let [x, y] = self.beside(spot.plan, &built.layout);
        Place {
            at: [x, y, height],
            around: spot.around,
            from: self.side(spot.plan),
            towards: self.towards(spot.plan),
            between: self.between(spot.part),
            beyond: match self.kind {
                CheckKind::HeightUnderStrings => built.layout.wanted.seat.string_gap.as_mm(),
                _ => 0.0,
            },
        }
    }

    /// The place on what the gap begins at: a corner's round, a hole's edge.
    fn beside(&self, [x, y]: [f64; 2], layout: &Layout) -> [f64; 2] {
        use CheckKind as K;
        let inwards = |by: f64| [x - by * x.signum(), y - by * y.signum()];
        // What is in a hole ends before its wall, by the margin.
        let out = self.towards([x, y])[0];
        let hole = |of: Length| [x + out * (of.as_mm() / 2.0 - self.margin.value().as_mm()), y];
        match (self.kind, self.at) {
            (K::CoverInRout | K::BaseplateInRout, Where::Corners) => inwards(
                layout.corners.at([x * layout.handed.treble(), y]).as_mm()
                    * (1.0 - std::f64::consts::FRAC_1_SQRT_2),
            ),
            (K::CoverScrewHoles | K::BaseplateScrewHoles | K::HeadOverHole, _) => {
                hole(layout.wanted.cover.screw_hole)
            }
            (K::HeadInRecess, _) => match layout.wanted.cover.mounting {
                Mounting::Bosses { recess_diameter, .. } => hole(recess_diameter),
                Mounting::Ears { .. } => [x, y],
            },
            (K::RodThroughFlatwork | K::RodHeld, _) => hole(layout.wanted.flatwork.pole_hole),
            (K::EyeletThroughHole, _) => hole(layout.wanted.flatwork.eyelet_hole),
            _ => [x, y],
        }
    }

    /// The direction in which the gap is counted.
    fn towards(&self, [x, y]: [f64; 2]) -> [f64; 3] {
        use CheckKind as K;
        const UP: [f64; 3] = [0.0, 0.0, 1.0];
        match (self.kind, self.at) {
            (K::CoverInRout | K::BaseplateInRout, Where::Corners) => {
                let each = std::f64::consts::FRAC_1_SQRT_2;
                [x.signum() * each, y.signum() * each, 0.0]
            }
            (K::CoverInRout | K::BaseplateInRout, Where::Sides) => [0.0, y.signum(), 0.0],
            (K::RoutFloorUnderBaseplate, _) => [0.0, 0.0, -1.0],
            (K::HeightUnderStrings | K::HeadSunk | K::BobbinUnderRoof | K::LipUnderRoof, _) => UP,
            _ if x < -1.0 => [-1.0, 0.0, 0.0],
            _ => [1.0, 0.0, 0.0],
        }
    }

    /// Between what the gap is.
    fn between(&self, part: PartKind) -> [&'static str; 2] {
        use CheckKind as K;
        match self.kind {
            K::CoverInRout => ["cover", "rout"],
            K::BaseplateInRout => ["baseplate", "rout"],
            K::EarsInRecesses => ["cover's ear", "its recess"],
            K::BaseplateEarsInRecesses => ["baseplate's ear", "its recess"],
            K::RoutFloorUnderBaseplate => ["baseplate", "rout's floor"],
            K::HeightUnderStrings => ["cover", "string"],
            K::StringBetweenPoles | K::StringOverPole => ["string", "rod"],
            K::CoverScrewHoles => ["screw", "cover"],
            K::BaseplateScrewHoles => ["screw", "baseplate"],
            K::HeadInRecess | K::HeadSunk => ["screw's head", "cover's recess"],
            K::HeadOnEar | K::HeadOverHole => ["screw's head", "cover"],
            K::FlatworkInHollow => ["flatwork", "cover"],
            K::BobbinUnderRoof => ["bobbin", "cover's roof"],
            K::EyeletsClear => ["eyelet", "cover"],
            K::EyeletThroughHole | K::FlangeOverHole => ["eyelet", "flatwork"],
            K::LipInHollow => ["baseplate's lip", "cover"],
            K::LipUnderRoof => ["baseplate's lip", "cover's roof"],
            K::RodThroughFlatwork | K::RodHeld => ["rod", "flatwork"],
            K::RodThroughRoof => ["rod", "cover's roof"],
            K::CoilOnBobbin => ["coil", "flatwork"],
            K::LeadThroughLeadOut => ["lead", "cover's lead-out"],
            K::LeadThroughBaseplate => ["lead", "baseplate"],
            K::LeadOutAtChannel => ["cover's lead-out", "wire channel"],
            K::PartOnBed => [part.name(), "printer's bed"],
            K::PlateOnSheet => [part.name(), "sheet"],
            K::Webs(_) | K::WallsPrintable | K::HolesPrintable | K::HolesCut => [part.name(), part.name()],
        }
    }

    /// The side of the cut that the check's gap is seen on: gaps around an outline from above, others where a cut
    /// through the place leaves the larger piece behind it.
    fn side(&self, [x, y]: [f64; 2]) -> Standpoint {
        let level = match self.kind {
            CheckKind::CoverInRout | CheckKind::BaseplateInRout => self.at == Where::Corners,
            CheckKind::LeadOutAtChannel | CheckKind::LeadThroughLeadOut | CheckKind::LeadThroughBaseplate => {
                true
            }
            _ => false,
        };
        match () {
            () if level => Standpoint::Strings,
            () if x.abs() > 1.0 && y > 0.0 => Standpoint::Neck,
            () if x.abs() > 1.0 => Standpoint::Bridge,
            () if x < 0.0 => Standpoint::Left,
            () => Standpoint::Right,
        }
    }

    fn spot(&self, position: &Position, layout: &Layout) -> Spot {
        use CheckKind as K;
        use PartKind::{Baseplate, Cover, FlatworkBottom, FlatworkTop};
        let (half_length, half_width) = (layout.length.as_mm() / 2.0, layout.width.as_mm() / 2.0);
        let Landmarks { end, screw, ear, pole, eyelet } = Landmarks::of(layout);
        let lead = |b: &LeadBox| {
            let half = |lo: f64, hi: f64, most: f64| f64::midpoint(lo, hi).clamp(-most, most);
            [half(b.min.x, b.max.x, half_length), half(b.min.y, b.max.y, half_width)]
        };
        let plate_end = [layout.plate.length.as_mm() / 2.0, 0.0];
        let string = [self.string_place(position).unwrap_or(pole[0]), layout.row];
        let has_ears = layout.ears.is_some();
        match (self.kind, self.at) {
            (K::WallsPrintable | K::HolesPrintable | K::HolesCut, Where::Dimension(path)) => {
                of_dimension(path, &Landmarks::of(layout))
            }
            (K::CoverInRout, Where::Sides) => spot([0.0, half_width], Cover, 0.5, 6.0),
            (K::CoverInRout, Where::Corners) => spot([half_length, half_width], Cover, 0.5, 8.0),
            (K::CoverInRout, _) => spot(end, Cover, 0.5, 6.0),
            (K::BaseplateInRout, Where::Sides) => spot([0.0, half_width], Baseplate, 0.5, 6.0),
            (K::BaseplateInRout, Where::Corners) => spot([half_length, half_width], Baseplate, 0.5, 8.0),
            (K::BaseplateInRout, _) => spot(end, Baseplate, 0.5, 6.0),
            (K::EarsInRecesses, _) => spot(ear, Cover, 0.1, 8.0),
            (K::BaseplateEarsInRecesses, _) => spot(ear, Baseplate, 0.5, 8.0),
            (K::HeadOnEar, _) => spot(screw, Cover, 0.15, 6.0),
            (K::HeadOverHole, _) if has_ears => spot(screw, Cover, 0.15, 6.0),
            (K::CoverScrewHoles | K::HeadInRecess | K::HeadSunk | K::HeadOverHole, _) => {
                spot(screw, Cover, 0.95, 6.0)
            }
            (K::BaseplateScrewHoles, _) => spot(screw, Baseplate, 0.5, 6.0),
            (K::LeadOutAtChannel | K::LeadThroughLeadOut, _) => spot(lead(&layout.lead), Cover, 0.1, 6.0),
            (K::LeadThroughBaseplate, _) => {
                spot(layout.plate_lead.as_ref().map_or(end, lead), Baseplate, 0.5, 6.0)
            }
            (K::LipInHollow | K::LipUnderRoof, _) => spot(end, Baseplate, 0.9, 6.0),
            (K::RoutFloorUnderBaseplate, _) => spot([0.0, 0.0], Baseplate, 0.0, 10.0),
            (K::HeightUnderStrings, _) => spot(string, Cover, 1.0, 8.0),
            (K::RodThroughRoof, _) => spot(pole, Cover, 1.0, 5.0),
            (K::StringBetweenPoles | K::StringOverPole, _) => spot(string, FlatworkTop, 1.0, 6.0),
            (K::RodThroughFlatwork | K::RodHeld, _) => spot(pole, FlatworkTop, 0.5, 4.0),
            (K::Webs(part @ (FlatworkBottom | FlatworkTop)), _) => spot(pole, part, 0.5, 4.0),
            (K::Webs(Baseplate), _) => spot(screw, Baseplate, 0.5, 6.0),
            (K::Webs(Cover), _) => spot(screw, Cover, 0.95, 6.0),
            (K::BobbinUnderRoof, _) => spot(pole, FlatworkTop, 1.0, 6.0),
            (K::FlatworkInHollow | K::PlateOnSheet, _) => spot(plate_end, FlatworkTop, 0.5, 6.0),
            (K::CoilOnBobbin, _) => spot(plate_end, FlatworkBottom, 1.5, 8.0),
            (K::EyeletThroughHole | K::FlangeOverHole | K::EyeletsClear, _) => {
                spot(eyelet, FlatworkBottom, 0.5, 5.0)
            }
            // The part as a whole, as for the printer's bed.
            (K::PartOnBed | K::WallsPrintable | K::HolesPrintable | K::HolesCut, _) => {
                spot([0.0, 0.0], Cover, 0.5, half_length)
            }
        }
    }

    /// Where the string lies that decides it.
    fn string_place(&self, position: &Position) -> Option<f64> {
        let Where::String(number) = self.at else { return None };
        let string = position.strings.iter().find(|s| s.number == number)?;
        Some(position.handed.x(position.over_rods(string).value()))
    }
}

/// Places in plan that several checks are about.
struct Landmarks {
    end: [f64; 2],
    screw: [f64; 2],
    ear: [f64; 2],
    pole: [f64; 2],
    eyelet: [f64; 2],
}

impl Landmarks {
    fn of(layout: &Layout) -> Landmarks {
        let half_length = layout.length.as_mm() / 2.0;
        let end = [half_length, 0.0];
        Landmarks {
            end,
            screw: layout.screws.last().map_or(end, |p| [p.x, p.y]),
            ear: layout.tabs.first().map_or(end, |tab| {
                let length = layout.ears.map_or(0.0, |ear| ear.length.as_mm());
                let at = tab.place(layout.handed, tab.reach.as_mm() - length / 2.0, tab.offset.as_mm());
                [at.x, at.y]
            }),
            pole: layout.poles.last().map_or(end, |p| [p.x, p.y]),
            eyelet: [layout.eyelets[1].x, layout.eyelets[1].y],
        }
    }
}

/// What is about a dimension alone is where that dimension is.
fn of_dimension(parameter: &str, landmarks: &Landmarks) -> Spot {
    use PartKind::{Baseplate, Cover, FlatworkBottom, FlatworkTop};
    let Landmarks { end, screw, ear, pole, eyelet } = *landmarks;
    match parameter {
        "cover.wall" => spot(end, Cover, 0.5, 5.0),
        "cover.rounding" => spot(end, Cover, 1.0, 5.0),
        "baseplate.lip.wall" => spot(end, Baseplate, 0.9, 5.0),
        "cover.mounting.thickness" => spot(ear, Cover, 0.15, 6.0),
        "cover.mounting.recess_depth" | "cover.screw_hole" => spot(screw, Cover, 0.9, 6.0),
        "cover.pole_hole" => spot(pole, Cover, 1.0, 5.0),
        "flatwork.pole_hole" | "flatwork.top" => spot(pole, FlatworkTop, 0.5, 4.0),
        "flatwork.bottom" => spot(pole, FlatworkBottom, 0.5, 4.0),
        "flatwork.eyelets.hole" => spot(eyelet, FlatworkBottom, 0.5, 5.0),
        "baseplate.thickness" => spot([0.0, 0.0], Baseplate, 0.5, 8.0),
        _ => spot([0.0, 0.0], Cover, 1.0, 8.0),
    }
}
