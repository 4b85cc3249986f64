//! The first two files of a family that has not been measured yet.

use std::fmt::Write;

use jiff::civil::Date;

use crate::angle::Angle;
use crate::handed::Handed;
use crate::in_unit::{said_in, written};
use crate::outline::Outline;
use crate::wanted::Side;
use crate::wish;
use crate::written_rout::AT_BOTH_ENDS;
use crate::{Length, Unit};

/// What is known before anything is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Start {
    /// For people.
    pub title: String,
    /// How many strings, 4 to 12.
    pub strings: usize,
    /// The positions' names.
    pub positions: Vec<String>,
    /// For which hand it is strung.
    pub handed: Handed,
    /// How the body holds the pickups.
    pub held: Held,
    /// What the routs were routed as.
    pub outline: Outline,
    /// How far the row is from square to the strings, the bass end nearer to the neck.
    pub slant: Angle,
    /// Two rods beside each string; otherwise one under each, through the cover's top.
    pub pair: bool,
    /// The step of the caliper's display.
    pub step: Length,
    /// The caliper's maximum permissible error with the outside jaws.
    pub limit: Length,
    /// In which the family is stated.
    pub unit: Unit,
    /// The day of the first entry.
    pub on: Date,
}

/// How the body holds its pickups, each alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// So many screws go through each cover, 1 to 6.
    Screws(usize),
    /// There are recesses for ears beside the routs, at these sides, that of screw 1 first.
    Ears(Vec<Side>),
}

impl Held {
    /// Two screws, one at each end of the cover.
    pub const USUAL: Self = Self::Screws(2);

    /// Ears at both ends.
    pub fn usual_ears() -> Self {
        Self::Ears(AT_BOTH_ENDS.to_vec())
    }

    /// By ears?
    pub fn by_ears(&self) -> bool {
        matches!(self, Self::Ears(_))
    }

    /// What a position's `rout` says of it.
    fn said(&self) -> String {
        match self {
            Self::Screws(2) => String::new(),
            Self::Screws(n) => format!("screws: {n}, "),
            Self::Ears(sides) if *sides == AT_BOTH_ENDS => "ear_recesses: true, ".into(),
            Self::Ears(sides) => {
                let names: Vec<&str> = sides.iter().map(|side| side.name()).collect();
                format!("ear_recesses: [{}], ", names.join(", "))
            }
        }
    }
}

impl Start {
    /// `family.ron`: usual sizes, each to be changed when the readings ask for it.
    pub fn family(&self) -> String {
        let said = |text: &str| said_in(self.unit, text);
        let mut text = String::new();
        // Writing to a String does not fail.
        let _ = writeln!(text, "// What is wanted. Every length has its unit: mm(1.5) or inch(0.06).\n(");
        let _ = writeln!(
            text,
            "    title: {:?},\n    strings: {},\n    handed: {:24}// left: bass is right when the neck is up\n",
            self.title,
            self.strings,
            format!("{},", self.handed.word())
        );
        text.push_str("    // What all positions share. A position may say something else; it then wins.\n");
        text.push_str(&said(&self.shared()));
        text.push_str("    positions: [\n");
        let slant = self.slant.as_degrees();
        let slant = if slant == 0.0 { String::new() } else { format!("slant: degrees({slant}), ") };
        let outline = match self.outline {
            Outline::Rectangle => String::new(),
            other => format!("outline: {}, ", other.name()),
        };
        let held = format!("{}{outline}{slant}", self.held.said());
        for name in &self.positions {
            let _ = writeln!(text, "        (name: {name:?}, rout: ({held}channel: bridge)),");
        }
        text.push_str(&said(PRINTER));
        text
    }

    /// What the positions share, in millimetres.
    fn shared(&self) -> String {
        let mut text = String::from(if self.pair { POLES_PAIR } else { POLES_SINGLE });
        let _ = writeln!(text, "{COVER}");
        let _ = writeln!(
            text,
            "        mounting: {},",
            if self.held.by_ears() { wish::EARS } else { wish::BOSSES }
        );
        if !self.pair {
            text.push_str("        pole_hole: mm(5.4),         // the rods pass through the top\n");
        }
        text.push_str(LEAD_OUT);
        text.push_str(BASEPLATE);
        if !self.held.by_ears() {
            let _ = writeln!(text, "        lip: {},   // plugs into the hollow", wish::LIP);
        }
        text.push_str("    ),\n");
        text.push_str(if self.pair { FLATWORK_PAIR } else { FLATWORK_SINGLE });
        text.push_str(if self.held.by_ears() { SEAT_ON_EARS } else { SEAT_ON_FOAM });
        let _ = writeln!(text, "{COIL}\n    // coil: {},\n    // magnets: alnico5,\n", wish::COIL);
        text
    }

    /// `readings.ron`: a rule and a caliper, and how to go on.
    pub fn readings(&self) -> String {
        let [step, limit] = [self.step, self.limit].map(|length| written(length, self.unit));
        let rule = said_in(self.unit, "resolution: mm(0.5), mpe_outside: mm(0.3)");
        format!(
            "// What was measured. Entries are only ever added, at the end; a wrong one is withdrawn by a later\n\
             // entry: withdraw(on: \"{on}\", entry: 3, why: \"misread\"). String 1 is the thinnest, on the\n\
             // treble side. Take every reading two or three times: the spread tells how sure it is.\n\n\
             // The step of each tool's scale or display, and the largest error that its maker permits.\n\
             tool(on: \"{on}\", name: \"rule\", {rule})\n\
             tool(on: \"{on}\", name: \"caliper\", resolution: {step}, mpe_outside: {limit})\n",
            on = self.on
        )
    }
}

/// Nothing is wound until somebody says so.
const COIL: &str = "    // When you know what to wind: what it takes, and what the meter should read, says `bobbinwright wind`.";

const POLES_PAIR: &str =
    "    poles: pair(spread: mm(5.2)),   // two rods beside each string, their middles that far apart\n";
const POLES_SINGLE: &str = "    poles: single,                  // one rod under each string\n";

const COVER: &str = "    cover: (
        fit_gap: snug(chance: 0.98),    // or the play on each side: mm(0.35)
        wall: mm(2.0),
        roof: mm(1.6),
        height: mm(18.0),           // without the baseplate
        corner_radius: mm(5.0),     // not sharper than the rout's less the play
        rounding: mm(1.2),          // of the top edge
        inner_radius: mm(1.0),
        screw_hole: mm(3.6),        // a little more than the screws' thread";

const LEAD_OUT: &str = "        lead_out: (side: bridge, offset: mm(14.0), width: mm(6.0), height: mm(3.4)),
    ),
";

const BASEPLATE: &str = "    baseplate: (
        thickness: mm(2.0),
        lead_depth: mm(5.0),        // how far the lead's slot cuts into it
";

const FLATWORK_PAIR: &str = "    flatwork: (
        bottom: mm(2.4),
        top: mm(2.0),
        play: mm(0.3),              // to the hollow
        corner_radius: mm(4.0),
        pole_hole: mm(2.75),        // a little more than your rods
        rod_above: mm(0.0),
        eyelets: (side: bridge, hole: mm(2.6), spread: mm(14.0), inset: mm(4.0)),
        waists: (offset: mm(7.0), width: mm(5.0), depth: mm(1.6)),
        mark_radius: mm(1.6),       // the bite in the bass end of the top plate
    ),
";

const FLATWORK_SINGLE: &str = "    flatwork: (
        bottom: mm(2.4),
        top: mm(2.0),
        play: mm(0.3),              // to the hollow
        corner_radius: mm(4.0),
        pole_hole: mm(5.2),         // a little more than your rods
        rod_above: mm(2.0),         // how far they stand out over the top plate
        eyelets: (side: bridge, hole: mm(2.6), spread: mm(12.0), inset: mm(3.2)),
        waists: (offset: mm(6.0), width: mm(4.0), depth: mm(1.2)),
        mark_radius: mm(0.8),       // the bite in the bass end of the top plate
    ),
";

const SEAT_ON_FOAM: &str = "    seat: (lift: mm(5.0), string_gap: mm(2.5)),     // foam under the baseplate; air under the strings\n\n";
const SEAT_ON_EARS: &str = "    seat: (lift: mm(0.0), string_gap: mm(2.5)),     // the ears lie in their recesses; air under the strings\n\n";

const PRINTER: &str = "    ],

    // What your printer can do; a printed size may be off by plus or minus the tolerance.
    printer: (
        bed: mm([220, 220, 240]),
        least_wall: mm(0.8),
        least_hole: mm(2.0),
        tolerance: mm(0.12),
    ),
)
";
