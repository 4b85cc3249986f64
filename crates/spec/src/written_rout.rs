//! What `family.ron` says of a position's hole in the body.

use crate::angle::Angle;
use crate::node::{Node, NodeKind};
use crate::outline::Outline;
use crate::reader::{Noted, Record, choice, number, tagged_number};
use crate::wanted::Side;

/// What the family says of a position's hole in the body.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct WrittenRout {
    /// The sides at which it has recesses for ears, that of screw 1 first; none where the screws stand in the rout.
    pub ears: Vec<Side>,
    /// Where the wire channel opens.
    pub channel: Option<Side>,
    /// How far the bass end lies nearer to the neck than square to the strings; none where the row is square to them.
    pub slant: Option<Angle>,
    /// What it was routed as.
    pub outline: Outline,
    screws: Option<usize>,
}

impl WrittenRout {
    /// The hole in the body; none after a mistake, which has been noted.
    pub fn read(record: &mut Record, noted: &mut Noted) -> Option<Self> {
        let Some(mut rout) = record.sub("rout", noted) else { return Some(Self::default()) };
        let before = noted.errors();
        let ears = rout.get("ear_recesses").map(|n| ears(n, noted)).unwrap_or_default();
        let channel = rout.get("channel").and_then(|n| choice(n, "rout.channel", &Side::ALL, noted));
        let screws = rout.get("screws").and_then(|n| screw_count(n, ears.len(), noted));
        let slant = rout.get("slant").and_then(|n| slant(n, noted));
        let outline = rout.get("outline").and_then(|n| choice(n, "rout.outline", &Outline::ALL, noted));
        let outline = outline.unwrap_or_default();
        rout.finish(noted);
        (noted.errors() == before).then_some(Self { ears, channel, slant, outline, screws })
    }

    /// How many mounting screws it has.
    pub fn screws(&self) -> usize {
        self.screws.unwrap_or(if self.ears.is_empty() { 2 } else { self.ears.len() })
    }

    /// Two screws, one at each end: where they stand off the middle line, or unevenly from the ends, has to be read only for
    /// certainty.
    pub fn is_usual(&self) -> bool {
        self.screws() == 2 && (self.ears.is_empty() || self.ears == AT_BOTH_ENDS)
    }
}

/// Ears as most have them.
pub(crate) const AT_BOTH_ENDS: [Side; 2] = [Side::Treble, Side::Bass];

/// As many mounting screws as a position can have.
pub(crate) const MOST_SCREWS: usize = 6;

/// The sides at which there are ears: at both ends, at none, or a list.
fn ears(node: &Node, noted: &mut Noted) -> Vec<Side> {
    const WORDS: [(&str, &[Side]); 2] = [("true", &AT_BOTH_ENDS), ("false", &[])];
    let NodeKind::List(items) = &node.kind else {
        return choice(node, "rout.ear_recesses", &WORDS, noted).unwrap_or_default().to_vec();
    };
    if items.is_empty() || items.len() > MOST_SCREWS {
        let message = format!("rout.ear_recesses names {} sides", items.len());
        noted.error(node.span, message, format!("name 1 to {MOST_SCREWS}, that of screw 1 first"));
    }
    items.iter().filter_map(|side| choice(side, "rout.ear_recesses", &Side::ALL, noted)).collect()
}

/// More than this no row of rods is askew.
const STEEPEST: f64 = 30.0;

fn slant(node: &Node, noted: &mut Noted) -> Option<Angle> {
    let hint =
        "write degrees(8) where the bass end is nearer to the neck, degrees(-8) where the treble end is";
    match tagged_number(node) {
        Some(("degrees", value)) if value.abs() <= STEEPEST => {
            // Square is what it is when nothing is said.
            Some(Angle::from_degrees(value)).filter(|slant| *slant != Angle::default())
        }
        Some(("degrees", value)) => {
            let message = format!("rout.slant is {value} degrees, and at most {STEEPEST} make sense");
            noted.error(node.span, message, hint);
            None
        }
        _ => {
            noted.error(node.span, "rout.slant is no angle", hint);
            None
        }
    }
}

fn screw_count(node: &Node, ears: usize, noted: &mut Noted) -> Option<usize> {
    let n = number(node, "rout.screws", noted)?;
    if n.fract() != 0.0 || !(1.0..=MOST_SCREWS as f64).contains(&n) {
        let hint = format!("a position is held by 1 to {MOST_SCREWS} screws");
        noted.error(node.span, format!("rout.screws is {n}"), hint);
        return None;
    }
    if ears > 0 && n as usize != ears {
        let message = format!("rout.screws is {n}, but there are {ears} ears, each with a screw");
        noted.error(node.span, message, "leave rout.screws out, or name the side of each ear");
    }
    Some(n as usize)
}
