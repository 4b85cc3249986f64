//! How much repeated readings with each tool scatter.

use crate::Length;
use crate::log::Entry;
use crate::measured::Series;

/// Scatter of a careful hand, assumed where a tool was never used twice on anything
/// (common practice, to be replaced by the first repeated reading).
const HAND: Length = Length::from_mm(0.03);

/// A reading this many times the usual scatter away from its repeats is taken for a slip. With
/// normal scatter that is one in a hundred million; hands make slips far more often.
const SLIP: f64 = 6.0;

/// Pieces that were bought differ among themselves.
const SLIP_OF_BOUGHT: f64 = 12.0;

/// Fewer repeats than this say little about a hand.
const FEW: usize = 4;

/// The scatter of everything that was read.
pub(crate) struct Hand {
    tools: Vec<OneTool>,
}

struct OneTool {
    tool: Option<usize>,
    /// Scatter without regard to slips, from the median of all deviations.
    robust: f64,
    /// Sum of squared deviations without suspected slips, and its degrees of freedom.
    squares: f64,
    freedom: f64,
}

impl Hand {
    /// From all series; `resolution` gives a tool's step.
    pub fn from_series(all: &[&Series], resolution: impl Fn(usize) -> Length) -> Self {
        let mut deviations: Vec<(Option<usize>, Vec<f64>)> = Vec::new();
        for series in all.iter().filter(|s| s.values.len() > 1) {
            let n = series.values.len() as f64;
            let mean = series.mean();
            // Of n readings the mean takes up one degree of freedom.
            let own = series.values.iter().map(|(v, _)| (*v - mean).abs().as_mm() * (n / (n - 1.0)).sqrt());
            match deviations.iter_mut().find(|(tool, _)| *tool == series.reading.tool) {
                Some((_, known)) => known.extend(own),
                None => deviations.push((series.reading.tool, own.collect())),
            }
        }
        let tools = deviations.into_iter().map(|(tool, mut all)| {
            all.sort_by(f64::total_cmp);
            // 1.4826 makes the median of absolute deviations a normal standard deviation.
            let median = 1.4826 * all[all.len() / 2];
            let least = tool.map_or(0.0, |t| resolution(t).as_mm()).max(1e-6);
            let few = if all.len() < FEW { HAND.as_mm() } else { 0.0 };
            OneTool { tool, robust: median.max(least).max(few), squares: 0.0, freedom: 0.0 }
        });
        let mut hand = Self { tools: tools.collect() };
        for series in all.iter().filter(|s| s.values.len() > 1) {
            if hand.slip(series).is_none() {
                let (squares, freedom) = own(series);
                if let Some(t) = hand.tools.iter_mut().find(|t| t.tool == series.reading.tool) {
                    t.squares += squares;
                    t.freedom += freedom;
                }
            }
        }
        hand
    }

    /// Standard deviation of one reading of a series and its degrees of freedom. Pooling
    /// (JCGM 100 4.2.4, from memory) gives two or three repeats the weight of all the others.
    pub fn of(&self, series: &Series) -> (Length, f64) {
        if self.slip(series).is_some() {
            let (squares, freedom) = own(series);
            return (Length::from_mm((squares / freedom).sqrt()), freedom);
        }
        match self.tools.iter().find(|t| t.tool == series.reading.tool && t.freedom > 0.0) {
            Some(t) => {
                let pooled = (t.squares / t.freedom).sqrt();
                let (squares, freedom) = own(series);
                // Pieces of one kind may differ by more than any hand scatters.
                let pieces = series.reading.quantity.is_bought() && freedom > 0.0;
                let scatter = if pieces { pooled.max((squares / freedom).sqrt()) } else { pooled };
                (Length::from_mm(scatter), t.freedom)
            }
            None => (HAND, f64::INFINITY),
        }
    }

    /// What in a series can't be scatter.
    pub fn slip(&self, series: &Series) -> Option<Slip> {
        let usual = self.tools.iter().find(|t| t.tool == series.reading.tool)?.robust;
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
    let squares = series.values.iter().map(|(v, _)| (*v - mean).as_mm().powi(2)).sum();
    (squares, series.values.len() as f64 - 1.0)
}
