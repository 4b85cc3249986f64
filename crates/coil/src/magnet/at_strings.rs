//! How strong the rods' field is where the strings lie, and how loud that makes them.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::{Length, Position, StringAt};

use super::cylinder::Tesla;
use super::output::{Level, MODEL, Signal};
use super::row::Row;
use super::sees::Sees;
use super::steel::Counts;

/// A string over its rods.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtString {
    /// Which: 1 is the thinnest.
    pub number: usize,
    /// How far the string's middle is above its rods' ends.
    pub above: Length,
    /// The field upwards there.
    pub field: Tesla,
    /// What its steel counts for.
    pub counts: Counts,
    /// How loud it comes out beside the mean of all, magnetised across and along, in the middle of what its steel may be.
    pub levels: [Level; 2],
    /// The same from least to most, with all that its steel and that of the others may be and what the model is off.
    pub range: [Level; 2],
    /// How far it lies beside the middle of its rods, treble positive.
    pub aside: Length,
    /// What that makes of its level.
    pub by_aside: Level,
    /// The least distance from that middle at which its level would be [`HEARD`] off; none within
    /// [`FURTHEST_ASIDE`].
    pub heard_from: Option<Length>,
}

/// A difference of level that can just be heard (common practice).
pub const HEARD: Level = Level(1.0);
/// A string that lies further aside is over its neighbour's rods.
pub const FURTHEST_ASIDE: Length = Length::from_mm(4.0);
/// Between two places that are tried.
const STEP: f64 = 0.5;

/// A string as the field sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Over {
    pub number: usize,
    pub along: Length,
    pub height: Length,
    /// What its steel and its speed count for.
    pub counts: Counts,
}

impl Over {
    pub fn all(position: &Position) -> Vec<Self> {
        let of = |string: &StringAt| Self {
            number: string.number,
            along: Length::from_mm(position.handed.x(position.over_rods(string).value())),
            height: string.height.value() + string.gauge.value() / 2.0,
            counts: Counts::of(string.number, string.gauge.value(), &position.wanted.string_set),
        };
        position.strings.iter().map(of).collect()
    }

    fn signal(&self, row: &Row, sees: &Sees) -> Signal {
        Signal::of(row, sees, self.along, self.height)
    }

    /// Its level if it lay there along the row.
    fn level_at(&self, row: &Row, sees: &Sees, along: Length) -> Level {
        Signal::of(row, sees, along, self.height).level(self.counts.middle())
    }
}

/// Every string over a row of rods, as the coil round them sees it.
pub fn at_strings(position: &Position, layout: &Layout, row: &Row, sees: &Sees) -> Vec<AtString> {
    let strings = Over::all(position);
    let levels: Vec<_> = strings.iter().map(|s| s.signal(row, sees).levels(s.counts.middle())).collect();
    let mean = |way: usize| levels.iter().map(|l| l[way].0).sum::<f64>() / levels.len().max(1) as f64;
    let means = [mean(0), mean(1)];
    // What strings may be made of moves the mean of all, too, beside which each is told.
    let half = |string: &Over| 10.0 * (string.counts.most / string.counts.least).decadic_logarithm();
    let count = strings.len().max(1) as f64;
    let of_mean = strings.iter().map(half).sum::<f64>() / count;
    let of = |(string, levels): (&Over, &[Level; 2])| {
        let own = rods_of(string.number, strings.len(), layout);
        let rods = row.places.get(own).unwrap_or_default();
        let own_count = rods.len().max(1) as f64;
        let middle = Length::from_mm(rods.iter().map(|r| r.along.as_mm()).sum::<f64>() / own_count);
        let top = Length::from_mm(rods.iter().map(|r| r.top.as_mm()).sum::<f64>() / own_count);
        let here = f64::midpoint(levels[0].0, levels[1].0);
        let centred = string.level_at(row, sees, middle);
        let beside = [0, 1].map(|way| Level(levels[way].0 - means[way]));
        let half = half(string) * (1.0 - 2.0 / count) + of_mean;
        let [least, most] = [f64::min, f64::max].map(|of| of(beside[0].0, beside[1].0));
        AtString {
            number: string.number,
            counts: string.counts,
            range: [Level(least - half - MODEL.0), Level(most + half + MODEL.0)],
            above: string.height - top,
            field: row.upwards(string.along, string.height),
            levels: beside,
            aside: Length::from_mm(position.handed.x(string.along - middle)),
            by_aside: Level(here - centred.0),
            heard_from: heard_from(|along| string.level_at(row, sees, along), middle, centred),
        }
    };
    strings.iter().zip(&levels).map(of).collect()
}

/// Which of the rods are under a string: they are listed from the thickest string's on.
pub(super) fn rods_of(number: usize, strings: usize, layout: &Layout) -> std::ops::Range<usize> {
    let each = layout.poles.len() / strings.max(1);
    let first = strings.saturating_sub(number) * each;
    first..first + each
}

fn heard_from(level_at: impl Fn(Length) -> Level, middle: Length, centred: Level) -> Option<Length> {
    let off = |aside: f64| {
        let at = |side: f64| level_at(middle + Length::from_mm(side * aside)).0 - centred.0;
        at(1.0).abs().max(at(-1.0).abs())
    };
    let mut before = 0.0;
    for step in 1..=(FURTHEST_ASIDE.as_mm() / STEP) as u32 {
        let here = off(f64::from(step) * STEP);
        if here >= HEARD.0 {
            let part = (HEARD.0 - before) / (here - before);
            return Some(Length::from_mm((f64::from(step - 1) + part) * STEP));
        }
        before = here;
    }
    None
}
