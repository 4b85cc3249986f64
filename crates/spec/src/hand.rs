//! How much repeated readings with each tool scatter.

use crate::Length;
use crate::log::Entry;
use crate::median::median;
use crate::series::Series;
use bobbinwright_elementary::Elementary;

/// Scatter of a careful hand, assumed where a tool was never used twice on anything
/// (common practice, to be replaced by the first repeated reading).
const HAND: Length = Length::from_mm(0.03);

/// A reading this many times the usual scatter away from its repeats is taken for a slip. With
/// normal scatter that is one in five hundred million; hands make slips far more often.
const SLIP: f64 = 6.0;

/// Pieces that were bought differ among themselves.
const SLIP_OF_BOUGHT: f64 = 12.0;

/// Fewer degrees of freedom than this say little about a hand.
const FEW: f64 = 4.0;

/// Pieces of a kind that differ by so many times more than pieces otherwise do are a kind of their own.
const UNLIKE: f64 = 3.0;

/// The scatter of everything that was read.
pub(crate) struct Hand {
    tools: Vec<OneTool>,
    /// The number of the first tool's pool.
    first_pool: usize,
}

/// What was read with a tool: things, whose repeats tell of the hand; or pieces that were bought, which
/// differ among themselves besides.
struct OneTool {
    tool: Option<usize>,
    bought: bool,
    /// Scatter without regard to slips, from the median of all deviations.
    robust: f64,
    /// Sum of squared deviations without suspected slips, and its degrees of freedom.
    squares: f64,
    freedom: f64,
}

impl OneTool {
    fn is_of(&self, series: &Series) -> bool {
        self.tool == series.reading.tool && self.bought == series.reading.quantity.is_bought()
    }

    /// Standard deviation of one reading.
    fn scatter(&self) -> f64 {
        (self.squares / self.freedom).sqrt()
    }
}

/// Standard deviation of one reading of a series.
pub(crate) struct Scatter {
    pub one: Length,
    pub freedom: f64,
    /// The pool that it was taken from.
    pub pool: Option<usize>,
    /// There is a slip among the readings: more of them do not average it out.
    pub has_slip: bool,
}

impl Hand {
    /// From all series; `resolution` gives a tool's step. Pools are numbered from `first_pool` on.
    pub fn from_series(all: &[&Series], resolution: impl Fn(usize) -> Length, first_pool: usize) -> Self {
        let telling = |s: &&&Series| s.values.len() > 1 && s.reading.tool.is_some();
        let mut hand = Self { tools: Vec::new(), first_pool };
        let mut deviations: Vec<Vec<f64>> = Vec::new();
        for series in all.iter().filter(telling) {
            let n = series.values.len() as f64;
            let mean = series.mean();
            let index = hand.tools.iter().position(|t| t.is_of(series)).unwrap_or_else(|| {
                let (tool, bought) = (series.reading.tool, series.reading.quantity.is_bought());
                hand.tools.push(OneTool { tool, bought, robust: 0.0, squares: 0.0, freedom: 0.0 });
                deviations.push(Vec::new());
                hand.tools.len() - 1
            });
            // Of n readings the mean takes up one degree of freedom.
            let own = series.values.iter().map(|(v, _)| (*v - mean).abs().as_mm() * (n / (n - 1.0)).sqrt());
            deviations[index].extend(own);
            hand.tools[index].freedom += n - 1.0;
        }
        for (t, all) in hand.tools.iter_mut().zip(deviations) {
            // 1.4826 makes the median of absolute deviations a normal standard deviation.
            let usual = if t.freedom < FEW { HAND.as_mm() } else { 1.4826 * median(all) };
            let least = t.tool.map_or(0.0, |t| resolution(t).as_mm()).max(1e-6);
            (t.robust, t.freedom) = (usual.max(least), 0.0);
        }
        for series in all.iter().filter(telling) {
            if hand.slip(series).is_none() {
                let (squares, freedom) = own(series);
                if let Some(t) = hand.tools.iter_mut().find(|t| t.is_of(series)) {
                    t.squares += squares;
                    t.freedom += freedom;
                }
            }
        }
        hand
    }

    /// Pooling (JCGM 100 4.2.4, from memory) gives two or three repeats the weight of all the others. A
    /// few readings may agree by luck: until there are more, a careful hand's scatter is the least. Pieces
    /// can't scatter less than the hand that reads them.
    pub fn of(&self, series: &Series) -> Scatter {
        let (squares, freedom) = own(series);
        let alone = Scatter {
            one: Length::from_mm((squares / freedom.max(1.0)).sqrt()),
            freedom,
            pool: None,
            has_slip: self.slip(series).is_some(),
        };
        let hand = self.pooled(|t| t.tool == series.reading.tool && !t.bought);
        let pooled = if series.reading.quantity.is_bought() {
            let pieces = self.pooled(|t| t.tool == series.reading.tool && t.bought);
            if pieces.one > hand.one { pieces } else { hand }
        } else {
            hand
        };
        let unlike = series.reading.quantity.is_bought() && alone.one > pooled.one * UNLIKE;
        if alone.has_slip || unlike { alone } else { pooled }
    }

    fn pooled(&self, which: impl Fn(&OneTool) -> bool) -> Scatter {
        let assumed = Scatter { one: HAND, freedom: f64::INFINITY, pool: None, has_slip: false };
        let Some(index) = self.tools.iter().position(|t| which(t) && t.freedom > 0.0) else { return assumed };
        let t = &self.tools[index];
        let one = Length::from_mm(t.scatter());
        if t.freedom < FEW && one < HAND {
            return assumed;
        }
        Scatter { one, freedom: t.freedom, pool: Some(self.first_pool + index), has_slip: false }
    }

    /// What in a series can't be scatter.
    pub fn slip(&self, series: &Series) -> Option<Slip> {
        // Figures from packets do not scatter.
        series.reading.tool?;
        let usual = self.tools.iter().find(|t| t.is_of(series))?.robust;
        let factor = if series.reading.quantity.is_bought() { SLIP_OF_BOUGHT } else { SLIP };
        let mut sorted: Vec<f64> = series.values.iter().map(|(v, _)| v.as_mm()).collect();
        sorted.sort_by(f64::total_cmp);
        if let [low, high] = sorted[..] {
            return (high - low > factor * 2f64.sqrt() * usual).then_some(Slip::Several);
        }
        let middle = f64::midpoint(*sorted.get((sorted.len().max(1) - 1) / 2)?, sorted[sorted.len() / 2]);
        let far = |(_, (v, _)): &(usize, &(Length, &Entry))| (v.as_mm() - middle).abs() > factor * usual;
        let mut all = series.values.iter().enumerate().filter(far);
        match (all.next(), all.next()) {
            (Some((index, _)), None) => Some(Slip::One(index)),
            (None, _) => None,
            _ => Some(Slip::Several),
        }
    }
}

/// Readings that differ by more than scatter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slip {
    /// The one with this index is far from all others.
    One(usize),
    /// There is no telling which of them is wrong.
    Several,
}

/// Sum of squared deviations from the series' own mean, mm², and degrees of freedom.
fn own(series: &Series) -> (f64, f64) {
    let mean = series.mean();
    let squares = series.values.iter().map(|(v, _)| (*v - mean).as_mm().power(2)).sum();
    (squares, series.values.len() as f64 - 1.0)
}
