//! How much repeated readings scatter, with each part of each tool.

use crate::Length;
use crate::log::Entry;
use crate::median::median;
use crate::quantity::{Jaws, Quantity};
use crate::series::Series;
use bobbinwright_elementary::Elementary;

/// Scatter of a careful hand, before it has repeated anything (common practice), and how much that belief weighs beside
/// what its repeats say: as much as so many degrees of freedom.
const HAND: Length = Length::from_mm(0.03);
const BELIEF: f64 = 4.0;

/// No hand and no display scatter less, however well a few readings agree.
const FLOOR: Length = Length::from_mm(0.003);

/// A reading this many times the usual scatter away from its repeats is taken for a slip. With
/// normal scatter that is one in five hundred million; hands make slips far more often.
const SLIP: f64 = 6.0;

/// Pieces that were bought differ among themselves.
const SLIP_OF_BOUGHT: f64 = 12.0;

/// Pieces of a kind that differ by so many times more than pieces otherwise do are a kind of their own.
const UNLIKE: f64 = 3.0;

/// The scatter of everything that was read.
pub(crate) struct Hand {
    pools: Vec<Pool>,
    /// The number of the first pool.
    first_pool: usize,
}

/// What was read with one part of a tool, which scatters in its own way: large jaws close on a size and small ones slip
/// in a bore. Things tell of the hand by their repeats; pieces that were bought differ among themselves besides. Printed
/// parts have a pool of their own: what is read of them must not change how they are drawn.
struct Pool {
    tool: Option<usize>,
    jaws: Jaws,
    of: Thing,
    /// Scatter without regard to slips, from the median of all deviations.
    robust: f64,
    /// Sum of squared deviations without suspected slips, and its degrees of freedom.
    squares: f64,
    freedom: f64,
}

/// What was read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Thing {
    Body,
    Bought,
    Printed,
}

impl Thing {
    fn of(quantity: &Quantity) -> Self {
        match quantity {
            Quantity::Piece(..) => Self::Printed,
            other if other.is_bought() => Self::Bought,
            _ => Self::Body,
        }
    }
}

impl Pool {
    fn of(series: &Series) -> Self {
        let reading = series.reading;
        let (jaws, of) = (reading.how.jaws(), Thing::of(&reading.quantity));
        Self { tool: reading.tool, jaws, of, robust: 0.0, squares: 0.0, freedom: 0.0 }
    }

    fn is_of(&self, series: &Series) -> bool {
        let reading = series.reading;
        (self.tool, self.jaws, self.of) == (reading.tool, reading.how.jaws(), Thing::of(&reading.quantity))
    }

    /// Standard deviation of one reading: what was seen, and what is believed of a hand.
    fn scatter(&self) -> Length {
        let believed = BELIEF * HAND.as_mm().power(2);
        Length::from_mm(((self.squares + believed) / (self.freedom + BELIEF)).sqrt()).max(FLOOR)
    }

    /// The least that a hand scatters by its repeats alone, mm²: one standard deviation of a variance (2 σ⁴ / ν) below what
    /// they say.
    fn least_variance(&self) -> f64 {
        let unsure = (2.0 / self.freedom.max(2.0)).sqrt();
        self.squares / self.freedom.max(1.0) * (1.0 - unsure)
    }
}

/// Pieces of one packet differ by as much at least: a standard deviation (common practice, from memory).
const PIECES: Length = Length::from_mm(0.01);

/// Standard deviation of one reading of a series.
pub(crate) struct Scatter {
    pub one: Length,
    /// Of pieces that were bought, how much of that is theirs and not the hand's.
    pub of_pieces: Length,
    pub freedom: f64,
    /// The pool that it was taken from.
    pub pool: Option<usize>,
    /// There is a slip among the readings: more of them do not average it out.
    pub has_slip: bool,
}

impl Hand {
    /// From all series; `resolution` gives a tool's step. Pools are numbered from `first_pool` on.
    pub fn from_series(all: &[&Series], resolution: impl Fn(usize) -> Length, first_pool: usize) -> Self {
        let mut hand = Self { pools: Vec::new(), first_pool };
        let mut deviations: Vec<Vec<f64>> = Vec::new();
        for series in all.iter().filter(|s| s.reading.tool.is_some()) {
            let n = series.values.len() as f64;
            let mean = series.mean();
            let index = hand.pools.iter().position(|p| p.is_of(series)).unwrap_or_else(|| {
                hand.pools.push(Pool::of(series));
                deviations.push(Vec::new());
                hand.pools.len() - 1
            });
            if series.values.len() > 1 {
                // Of n readings the mean takes up one degree of freedom.
                let own =
                    series.values.iter().map(|(v, _)| (*v - mean).abs().as_mm() * (n / (n - 1.0)).sqrt());
                deviations[index].extend(own);
                hand.pools[index].freedom += n - 1.0;
            }
        }
        for (pool, all) in hand.pools.iter_mut().zip(deviations) {
            // 1.4826 makes the median of absolute deviations a normal standard deviation. Of few it is what one slip
            // makes of it: then only the belief counts.
            let freedom = if pool.freedom < BELIEF { 0.0 } else { pool.freedom };
            let seen = (1.4826 * median(all)).power(2) * freedom;
            let usual = ((seen + BELIEF * HAND.as_mm().power(2)) / (freedom + BELIEF)).sqrt();
            let least = pool.tool.map_or(0.0, |t| resolution(t).as_mm()).max(1e-6);
            (pool.robust, pool.freedom) = (usual.max(least), 0.0);
        }
        for series in all.iter().filter(|s| s.values.len() > 1) {
            if hand.slip(series).is_none() {
                let (squares, freedom) = own(series);
                if let Some(pool) = hand.pools.iter_mut().find(|p| p.is_of(series)) {
                    pool.squares += squares;
                    pool.freedom += freedom;
                }
            }
        }
        hand
    }

    /// Pooling (JCGM 100 4.2.4, from memory) gives two or three repeats the weight of all the others, and what is
    /// believed of a careful hand weighs as four: a few readings may agree by luck. Readings of pieces can't scatter
    /// less than the hand that takes them.
    pub fn of(&self, series: &Series) -> Scatter {
        let (squares, freedom) = own(series);
        let alone = Scatter {
            one: Length::from_mm((squares / freedom.max(1.0)).sqrt()),
            of_pieces: Length::from_mm((squares / freedom.max(1.0)).sqrt()),
            freedom,
            pool: None,
            has_slip: self.slip(series).is_some(),
        };
        let reading = series.reading;
        let thing = Thing::of(&reading.quantity);
        let of = |p: &Pool| p.tool == reading.tool && p.jaws == reading.how.jaws();
        let hand = self.pooled(|p| of(p) && p.of == if thing == Thing::Bought { Thing::Body } else { thing });
        let pieces = self.pooled(|p| of(p) && p.of == Thing::Bought).filter(|_| thing == Thing::Bought);
        let assumed = Scatter { one: HAND, of_pieces: HAND, freedom: BELIEF, pool: None, has_slip: false };
        let wider = hand.into_iter().chain(pieces).max_by(|a, b| a.one.as_mm().total_cmp(&b.one.as_mm()));
        let mut pooled = wider.unwrap_or(assumed);
        // Only where enough pieces were read do they tell how they differ; else it is the hand's scatter, and stays.
        let are_told = |p: &Pool| of(p) && p.of == Thing::Bought && p.freedom >= BELIEF;
        let told = self.pools.iter().position(are_told).map(|index| self.first_pool + index);
        if told.is_some() && pooled.pool == told {
            pooled.of_pieces = self.of_pieces(pooled.one, |p| of(p) && p.of == Thing::Body);
        }
        let unlike = series.reading.quantity.is_bought() && alone.one > pooled.one * UNLIKE;
        if alone.has_slip || unlike { alone } else { pooled }
    }

    fn pooled(&self, which: impl Fn(&Pool) -> bool) -> Option<Scatter> {
        let index = self.pools.iter().position(which)?;
        let pool = &self.pools[index];
        let (one, freedom) = (pool.scatter(), pool.freedom + BELIEF);
        Some(Scatter { one, of_pieces: one, freedom, pool: Some(self.first_pool + index), has_slip: false })
    }

    /// How much pieces differ among themselves where readings of them scatter so: what the hand most likely adds to that at
    /// least is not theirs. Never less than half of it, since somebody may have read one and the same piece again.
    fn of_pieces(&self, one: Length, hand: impl Fn(&Pool) -> bool) -> Length {
        let of_hand = self.pools.iter().find(|p| hand(p)).map_or(0.0, Pool::least_variance);
        let variance = one.as_mm().power(2) - of_hand;
        Length::from_mm(variance.max(0.0).sqrt()).max(one * 0.5).max(PIECES)
    }

    /// How far from its repeats a reading of a series is taken for a slip; none of figures from packets, which do not scatter.
    pub fn far(&self, series: &Series) -> Option<Length> {
        series.reading.tool?;
        let usual = self.pools.iter().find(|p| p.is_of(series))?.robust;
        let factor = if series.reading.quantity.is_bought() { SLIP_OF_BOUGHT } else { SLIP };
        Some(Length::from_mm(factor * usual))
    }

    /// What in a series can't be scatter.
    pub fn slip(&self, series: &Series) -> Option<Slip> {
        let far = self.far(series)?.as_mm();
        let mut sorted: Vec<f64> = series.values.iter().map(|(v, _)| v.as_mm()).collect();
        sorted.sort_by(f64::total_cmp);
        if let [low, high] = sorted[..] {
            return (high - low > far * 2f64.sqrt()).then_some(Slip::Several);
        }
        let middle = f64::midpoint(*sorted.get((sorted.len().max(1) - 1) / 2)?, sorted[sorted.len() / 2]);
        let is_far = |(_, (v, _)): &(usize, &(Length, &Entry))| (v.as_mm() - middle).abs() > far;
        let mut all = series.values.iter().enumerate().filter(is_far);
        match (all.next(), all.next()) {
            (Some((index, _)), None) => Some(Slip::One(index)),
            (None, _) => are_two(&series.values, far).then_some(Slip::Several),
            _ => Some(Slip::Several),
        }
    }
}

/// Do readings fall into two groups of two or more whose means are further apart than that of readings that are no slips? Then
/// each lies only half as far from the middle between both. Who read both in one go had no slip, but a thing that is hard to
/// read. `far` is for one reading.
fn are_two(values: &[(Length, &Entry)], far: f64) -> bool {
    let mut sorted: Vec<(f64, usize)> = values.iter().map(|(v, entry)| (v.as_mm(), entry.number)).collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mean = |part: &[(f64, usize)]| part.iter().map(|one| one.0).sum::<f64>() / part.len() as f64;
    let gap = |i: &usize| sorted[*i].0 - sorted[*i - 1].0;
    let widest = (2..sorted.len().saturating_sub(1)).max_by(|a, b| gap(a).total_cmp(&gap(b)));
    widest.is_some_and(|i| {
        let (low, high) = sorted.split_at(i);
        let share = 1.0 / low.len() as f64 + 1.0 / high.len() as f64;
        let is_in_both = |one: &(f64, usize)| high.iter().any(|other| other.1 == one.1);
        mean(high) - mean(low) > far * share.sqrt() && !low.iter().any(is_in_both)
    })
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
