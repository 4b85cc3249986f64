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

/// How far the loudest string is from the softest, and what would change that most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evening {
    /// The string that comes out loudest.
    pub loudest: usize,
    /// The string that comes out softest.
    pub softest: usize,
    /// Between these two.
    pub now: Level,
    /// What makes that least, and how much is left; none when nothing gains a tenth of a decibel.
    pub best: Option<(Remedy, Level)>,
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
    /// Number and level of the loudest and the softest over a row; none without strings.
    fn ends(&self, row: &Row) -> Option<[(usize, f64); 2]> {
        let levels: Vec<(usize, f64)> =
            self.over.iter().map(|s| (s.number, s.signal(row).level(s.counts).0)).collect();
        let loudest = levels.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let softest = levels.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some([loudest, softest])
    }

    fn apart(&self, row: &Row) -> f64 {
        self.ends(row).map_or(0.0, |[loudest, softest]| loudest.1 - softest.1)
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
    let [(loudest, high), (softest, low)] = strings.ends(row)?;
    let now = high - low;
    let tried = strings.remedies(row, hardware, loudest).into_iter();
    let best = tried.map(|(remedy, row)| (remedy, strings.apart(&row))).min_by(|a, b| a.1.total_cmp(&b.1));
    let best = best.filter(|(_, left)| now - left >= GAIN).map(|(remedy, left)| (remedy, Level(left)));
    Some(Evening { loudest, softest, now: Level(now), best })
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
