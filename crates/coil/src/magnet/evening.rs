//! Which one dimension would make the strings most alike.

use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::{Hardware, Length, Poles, Position};

use super::at_strings::{Over, rods_of};
use super::output::Level;
use super::row::{Place, Row};

/// What could be changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Remedy {
    /// The bass end of the pickup lower by this.
    BassEndLower(Length),
    /// The treble end of the pickup lower by this.
    TrebleEndLower(Length),
    /// The rods of one string pushed down by this.
    RodsLower {
        /// Which string's: the loudest one's.
        string: usize,
        /// How far.
        by: Length,
    },
    /// The two rods of each string so far apart.
    Spread(Length),
}

/// How far the loudest string is from the softest, and what would change that most, whatever the strings are made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Evening {
    /// The strings that may come out loudest.
    pub loudest: Vec<usize>,
    /// The strings that may come out softest.
    pub softest: Vec<usize>,
    /// Between these two: least and most.
    pub now: [Level; 2],
    /// What makes that least, and how much is left then; none when nothing gains a tenth of a decibel.
    pub best: Option<Best>,
    /// Something would gain, but for some of what the strings may be made of it would lose.
    pub hangs_on_make: bool,
}

/// A change, and what it does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Best {
    /// What is changed.
    pub remedy: Remedy,
    /// Between the loudest and the softest string then: least and most.
    pub left: [Level; 2],
    /// It is as far as it can go.
    pub at_bound: bool,
}

/// Dimensions are tried in such steps: finer ones are not set by hand.
const STEP: Length = Length::from_mm(0.25);
/// Rods are pushed down no further than this: they must still be held by the top plate.
const PUSHED: Length = Length::from_mm(1.0);
/// An end is lowered until so much of the foam is left, and no further than this (common practice).
const FOAM_LEFT: Length = Length::from_mm(1.5);
const LOWERED: Length = Length::from_mm(3.0);
/// Pairs are tried this much wider and closer, as long as so much is left between two holes.
const SPREAD: Length = Length::from_mm(1.5);
const BETWEEN_HOLES: Length = Length::from_mm(0.8);
/// Less of a gain is none.
const GAIN: f64 = 0.1;

/// The strings of a position over its row of rods.
struct Strings<'p> {
    position: &'p Position,
    layout: &'p Layout,
    over: Vec<Over>,
}

impl Strings<'_> {
    /// For each of what the strings may be made of, level by string: all of them in the middle, and every mixture of least
    /// and most, as one string's packet says nothing of the next.
    fn makes(&self) -> Vec<Vec<f64>> {
        let middle: Vec<f64> = self.over.iter().map(|s| s.counts.middle()).collect();
        let is_open = |i: &usize| self.over[*i].counts.least < self.over[*i].counts.most;
        let open: Vec<usize> = (0..self.over.len()).filter(is_open).collect();
        let mixture = |mixed: u32| {
            let mut levels = middle.clone();
            for (bit, i) in open.iter().enumerate() {
                let counts = self.over[*i].counts;
                levels[*i] = if mixed >> bit & 1 == 0 { counts.least } else { counts.most };
            }
            levels
        };
        // No instrument here has more than twelve strings.
        let mixtures = (0..1u32 << open.len().min(12)).map(mixture);
        std::iter::once(middle.clone()).chain(mixtures).collect()
    }

    /// Number and level of the loudest and the softest over a row, for each make; none without strings.
    fn ends(&self, row: &Row, makes: &[Vec<f64>]) -> Option<Vec<[(usize, f64); 2]>> {
        let signals: Vec<_> = self.over.iter().map(|s| (s.number, s.signal(row))).collect();
        let of = |counts: &Vec<f64>| {
            let levels: Vec<(usize, f64)> =
                signals.iter().zip(counts).map(|((n, signal), c)| (*n, signal.level(*c).0)).collect();
            let loudest = levels.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
            let softest = levels.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))?;
            Some([loudest, softest])
        };
        makes.iter().map(of).collect()
    }

    /// Everything to try, with the rods as they would then stand.
    fn remedies(&self, row: &Row, hardware: &Hardware, loudest: usize) -> Vec<(Remedy, Row)> {
        let lowered = LOWERED.min(self.position.wanted.seat.lift - FOAM_LEFT);
        let mut all = Vec::new();
        // One screw, or a row of them across the strings, tilts nothing.
        let [bass, treble] = self.outer_screws();
        let tilts = (treble - bass).abs() > TILTS;
        for by in steps(lowered).filter(|_| tilts) {
            all.push((Remedy::BassEndLower(by), self.tilted(row, by, -1.0)));
            all.push((Remedy::TrebleEndLower(by), self.tilted(row, by, 1.0)));
        }
        let own = rods_of(loudest, self.over.len(), self.layout);
        for by in steps(PUSHED) {
            let mut lower = row.clone();
            lower.places.get_mut(own.clone()).unwrap_or_default().iter_mut().for_each(|p| p.top = p.top - by);
            all.push((Remedy::RodsLower { string: loudest, by }, lower));
        }
        if let Poles::Pair { spread } = self.position.wanted.poles {
            let least = hardware.rod_diameter.value() + BETWEEN_HOLES;
            let tried = steps(SPREAD).flat_map(|by| [spread - by, spread + by]).filter(|s| *s >= least);
            all.extend(tried.map(|wanted| (Remedy::Spread(wanted), spread_to(row, wanted))));
        }
        all
    }

    /// The places along the row of the screws nearest to bass and to treble, mm.
    fn outer_screws(&self) -> [f64; 2] {
        let towards = self.layout.handed.treble();
        let screws = || self.layout.screws.iter().map(|screw| screw.x * towards);
        let ends = [screws().fold(f64::INFINITY, f64::min), screws().fold(f64::NEG_INFINITY, f64::max)];
        ends.map(|x| x * towards)
    }

    /// The screws hold the ends: what is at one of them sinks by all of it, what is at the other by nothing.
    fn tilted(&self, row: &Row, by: Length, side: f64) -> Row {
        let [bass, treble] = self.outer_screws();
        let sinks = |place: &Place| {
            let from_bass = (place.along.as_mm() - bass) / (treble - bass);
            let share = (0.5 + side * (from_bass - 0.5)).clamp(0.0, 1.0);
            Place { top: place.top - by * share, ..*place }
        };
        Row { places: row.places.iter().map(sinks).collect(), ..row.clone() }
    }
}

/// Screws that far apart along the row of strings tilt a pickup, mm.
const TILTS: f64 = 10.0;

fn steps(most: Length) -> impl Iterator<Item = Length> {
    (1..=(most / STEP).max(0.0) as u32).map(|i| STEP * f64::from(i))
}

/// The two rods of every string moved about their middle.
fn spread_to(row: &Row, wanted: Length) -> Row {
    let of_pair = |pair: &[Place]| {
        let middle = pair.iter().map(|p| p.along.as_mm()).sum::<f64>() / pair.len() as f64;
        let moved = |p: &Place| {
            let side = (p.along.as_mm() - middle).signum();
            Place { along: Length::from_mm(middle) + wanted * (side / 2.0), ..*p }
        };
        pair.iter().map(moved).collect::<Vec<_>>()
    };
    Row { places: row.places.chunks(2).flat_map(of_pair).collect(), ..row.clone() }
}

/// How alike the strings of a position are, and what would make them most alike; none without strings.
pub fn evening(position: &Position, layout: &Layout, hardware: &Hardware, row: &Row) -> Option<Evening> {
    let strings = Strings { position, layout, over: Over::all(position) };
    let makes = strings.makes();
    let now = strings.ends(row, &makes)?;
    let apart = |ends: &[[(usize, f64); 2]]| -> Vec<f64> { ends.iter().map(|[a, b]| a.1 - b.1).collect() };
    let before = apart(&now);
    let loudest = now.first()?[0].0;
    let tried = strings.remedies(row, hardware, loudest).into_iter().filter_map(|(remedy, row)| {
        let left = apart(&strings.ends(&row, &makes)?);
        let gains: Vec<f64> = before.iter().zip(&left).map(|(before, left)| before - left).collect();
        Some((remedy, left, gains))
    });
    let tried: Vec<_> = tried.collect();
    let least = |all: &[f64]| all.iter().copied().fold(f64::INFINITY, f64::min);
    let most = |all: &[f64]| all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let holds = tried.iter().filter(|(.., gains)| least(gains) >= GAIN);
    let best = holds.min_by(|a, b| most(&a.1).total_cmp(&most(&b.1)));
    let furthest = |remedy: Remedy| !tried.iter().any(|(other, ..)| remedy.is_less_than(*other));
    Some(Evening {
        loudest: distinct(now.iter().map(|ends| ends[0].0)),
        softest: distinct(now.iter().map(|ends| ends[1].0)),
        now: [Level(least(&before)), Level(most(&before))],
        hangs_on_make: best.is_none() && tried.iter().any(|(.., gains)| most(gains) >= GAIN),
        best: best.map(|(remedy, left, _)| Best {
            remedy: *remedy,
            left: [Level(least(left)), Level(most(left))],
            at_bound: furthest(*remedy),
        }),
    })
}

impl Remedy {
    /// The same change, and less of it.
    fn is_less_than(self, other: Self) -> bool {
        match (self, other) {
            (Self::BassEndLower(a), Self::BassEndLower(b))
            | (Self::TrebleEndLower(a), Self::TrebleEndLower(b))
            | (Self::RodsLower { by: a, .. }, Self::RodsLower { by: b, .. })
            | (Self::Spread(a), Self::Spread(b)) => a < b,
            _ => false,
        }
    }
}

fn distinct(numbers: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut all: Vec<usize> = numbers.collect();
    all.sort_unstable();
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::magnet::cylinder::{Rod, Tesla};

    /// The rods of each string move about its middle, and nothing else changes.
    #[test]
    fn pairs_are_spread_about_their_middles() {
        let mm = Length::from_mm;
        let rod = Rod { diameter: mm(2.5), length: mm(16.0), polarisation: Tesla(0.5) };
        let pairs = |half: f64| {
            let at = |x: f64| Place { along: mm(x), top: mm(-4.0) };
            [10.0 - half, 10.0 + half, -10.0 - half, -10.0 + half].map(at).to_vec()
        };
        let found = spread_to(&Row { rod, places: pairs(2.6) }, mm(6.0));
        for (found, expected) in found.places.iter().zip(pairs(3.0)) {
            assert!((found.along - expected.along).abs() < mm(1e-12) && found.top == expected.top);
        }
    }
}
