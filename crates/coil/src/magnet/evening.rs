//! Which one dimension would make the strings most alike.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::{Hardware, Length, Poles, Position};

use super::at_strings::{Over, rods_of};
use super::output::{Level, MODEL, PANELS, Places, Signal, over, places};
use super::row::{Place, Row};
use super::sees::{Rods, Sees};

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
    /// Between these two: least and most, whatever the strings are made of and with what the model is off.
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
    /// What keeps it from going further, where it is as far as it was tried.
    pub bound: Option<Bound>,
}

/// What a change ends at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// Nothing further was tried: more might do better.
    Tried,
    /// Foam under the pickup is pressed together as far as it goes.
    Foam,
    /// Rods would come out of the upper plate.
    Plate,
    /// Nothing would be left between two holes.
    Holes,
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
    sees: &'p Sees,
    over: Vec<(Over, Known)>,
}

/// A change, and how rods and coil would then stand.
struct Tried {
    remedy: Remedy,
    row: Row,
    tilt: Option<Tilt>,
}

/// The screws hold the ends: what is at one of them sinks by all of it, what is at the other by nothing.
#[derive(Clone, Copy)]
struct Tilt {
    by: Length,
    /// -1 where the bass end sinks, 1 where the treble end does.
    side: f64,
    ends: [f64; 2],
}

impl Tilt {
    fn sinks(&self, along: f64) -> Length {
        let [bass, treble] = self.ends;
        let from_bass = (along - bass) / (treble - bass);
        self.by * (0.5 + self.side * (from_bass - 0.5)).clamp(0.0, 1.0)
    }
}

/// What the coil makes itself of the places along one string, worked out once at some heights over the coil.
struct Known {
    places: Places,
    from: f64,
    /// For each place, what it is from height to height.
    fields: Vec<Vec<[f64; 3]>>,
}

/// Heights at which that is known, mm: over what a pickup is lowered by, and one more on both sides.
const HEIGHTS: f64 = 0.5;

impl Known {
    fn of(string: &Over, row: &Row, sees: &Sees) -> Self {
        let (x, z) = (string.along.as_mm(), string.height.as_mm());
        let places = places(over(row, z), PANELS);
        let (from, many) = (z - 2.0 * HEIGHTS, (LOWERED.as_mm() / HEIGHTS) as u32 + 5);
        let at = |y: f64| {
            (0..many).map(|i| sees.own_mm([x, y, from + HEIGHTS * f64::from(i)])).collect::<Vec<_>>()
        };
        Self { fields: places.iter().map(|(y, _)| at(*y)).collect(), places, from }
    }

    /// Between four heights by the cubic through them (Lagrange).
    fn at(&self, place: usize, z: f64) -> [f64; 3] {
        let fields = &self.fields[place];
        let steps = (z - self.from) / HEIGHTS;
        let first = (steps.floor() as usize).saturating_sub(1).min(fields.len().saturating_sub(4));
        let t = steps - first as f64;
        let weights = [
            -(t - 1.0) * (t - 2.0) * (t - 3.0) / 6.0,
            t * (t - 2.0) * (t - 3.0) / 2.0,
            -t * (t - 1.0) * (t - 3.0) / 2.0,
            t * (t - 1.0) * (t - 2.0) / 6.0,
        ];
        let four = &fields[first..first + 4];
        [0, 1, 2].map(|i| four.iter().zip(weights).map(|(field, weight)| weight * field[i]).sum())
    }
}

impl Strings<'_> {
    /// For each of what the strings may be made of, level by string: all of them in the middle, and every mixture of least
    /// and most, as one string's packet says nothing of the next.
    fn makes(&self) -> Vec<Vec<f64>> {
        let middle: Vec<f64> = self.over.iter().map(|(s, _)| s.counts.middle()).collect();
        let is_open = |i: &usize| self.over[*i].0.counts.least < self.over[*i].0.counts.most;
        let open: Vec<usize> = (0..self.over.len()).filter(is_open).collect();
        let mixture = |mixed: u32| {
            let mut levels = middle.clone();
            for (bit, i) in open.iter().enumerate() {
                let counts = self.over[*i].0.counts;
                levels[*i] = if mixed >> bit & 1 == 0 { counts.least } else { counts.most };
            }
            levels
        };
        // No instrument here has more than twelve strings.
        let mixtures = (0..1u32 << open.len().min(12)).map(mixture);
        std::iter::once(middle.clone()).chain(mixtures).collect()
    }

    /// Those makes by which the strings come as near to one level over a row as they can: the least that they can be apart lies between
    /// the ends of what they may be made of, not at them.
    fn alike(&self, row: &Row, tilt: Option<Tilt>) -> Vec<Vec<f64>> {
        let signals = self.signals(row, tilt);
        let ends = |(signal, (string, _)): (&(usize, Signal), &(Over, Known))| {
            [string.counts.least, string.counts.most].map(|counts| signal.1.level(counts).0)
        };
        let ends: Vec<[f64; 2]> = signals.iter().zip(&self.over).map(ends).collect();
        let nearest = |level: f64| -> Vec<f64> {
            let of = |([least, most], (string, _)): (&[f64; 2], &(Over, Known))| {
                let up = level.clamp(*least, *most) - least;
                string.counts.least * 10f64.to_power(up / 20.0)
            };
            ends.iter().zip(&self.over).map(of).collect()
        };
        ends.iter().flatten().map(|level| nearest(*level)).collect()
    }

    /// Number and signal of every string over a row.
    fn signals(&self, row: &Row, tilt: Option<Tilt>) -> Vec<(usize, Signal)> {
        let signal = |(string, known): &(Over, Known)| {
            let (x, z) = (string.along.as_mm(), string.height.as_mm());
            let sinks = tilt.map_or(0.0, |tilt| tilt.sinks(x).as_mm());
            let at = |place: usize, [x, y, z]: [f64; 3]| {
                let own = known.at(place, z + sinks);
                let Rods { field, pass_on } = self.sees.rods_mm(row, [x, y, z]);
                [field, [0, 1, 2].map(|i| own[i] + pass_on[i])]
            };
            (string.number, Signal::added_up([x, z], &known.places, at))
        };
        self.over.iter().map(signal).collect()
    }

    /// Number and level of the loudest and the softest over a row, for each make; none without strings.
    fn ends(&self, row: &Row, tilt: Option<Tilt>, makes: &[Vec<f64>]) -> Option<Vec<[(usize, f64); 2]>> {
        let signals = self.signals(row, tilt);
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
    fn remedies(&self, row: &Row, hardware: &Hardware, loudest: usize) -> Vec<Tried> {
        let mut all = Vec::new();
        // One screw, or a row of them across the strings, tilts nothing.
        let ends = self.outer_screws();
        let tilts = (ends[1] - ends[0]).abs() > TILTS;
        for by in steps(self.lowered().0).filter(|_| tilts) {
            for (remedy, side) in [(Remedy::BassEndLower(by), -1.0), (Remedy::TrebleEndLower(by), 1.0)] {
                let tilt = Tilt { by, side, ends };
                all.push(Tried { remedy, row: tilted(row, tilt), tilt: Some(tilt) });
            }
        }
        let own = rods_of(loudest, self.over.len(), self.layout);
        let mut push = |remedy, row| all.push(Tried { remedy, row, tilt: None });
        for by in steps(PUSHED) {
            let mut lower = row.clone();
            lower.places.get_mut(own.clone()).unwrap_or_default().iter_mut().for_each(|p| p.top = p.top - by);
            push(Remedy::RodsLower { string: loudest, by }, lower);
        }
        if let Poles::Pair { spread } = self.position.wanted.poles {
            let least = hardware.rod_diameter.value() + BETWEEN_HOLES;
            let tried = steps(SPREAD).flat_map(|by| [spread - by, spread + by]).filter(|s| *s >= least);
            tried.for_each(|wanted| push(Remedy::Spread(wanted), spread_to(row, wanted)));
        }
        all
    }

    /// How far an end can be lowered, and what that ends at.
    fn lowered(&self) -> (Length, Bound) {
        let foam = self.position.wanted.seat.lift - FOAM_LEFT;
        if foam < LOWERED { (foam, Bound::Foam) } else { (LOWERED, Bound::Tried) }
    }

    /// What keeps a change from going further that is as far as it was tried.
    fn bound(&self, remedy: Remedy) -> Bound {
        match remedy {
            Remedy::BassEndLower(_) | Remedy::TrebleEndLower(_) => self.lowered().1,
            Remedy::RodsLower { .. } => Bound::Plate,
            Remedy::Spread(to) => match self.position.wanted.poles {
                Poles::Pair { spread } if to < spread && spread - to < SPREAD => Bound::Holes,
                _ => Bound::Tried,
            },
        }
    }

    /// The places along the row of the screws nearest to bass and to treble, mm.
    fn outer_screws(&self) -> [f64; 2] {
        let towards = self.layout.handed.treble();
        let screws = || self.layout.screws.iter().map(|screw| screw.x * towards);
        let ends = [screws().fold(f64::INFINITY, f64::min), screws().fold(f64::NEG_INFINITY, f64::max)];
        ends.map(|x| x * towards)
    }
}

fn tilted(row: &Row, tilt: Tilt) -> Row {
    let sinks = |place: &Place| Place { top: place.top - tilt.sinks(place.along.as_mm()), ..*place };
    Row { places: row.places.iter().map(sinks).collect(), ..row.clone() }
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
pub fn evening(
    position: &Position,
    layout: &Layout,
    hardware: &Hardware,
    row: &Row,
    sees: &Sees,
) -> Option<Evening> {
    let over = Over::all(position).into_iter().map(|string| {
        let known = Known::of(&string, row, sees);
        (string, known)
    });
    let strings = Strings { position, layout, sees, over: over.collect() };
    let makes: Vec<Vec<f64>> = strings.makes().into_iter().chain(strings.alike(row, None)).collect();
    let now = strings.ends(row, None, &makes)?;
    let apart = |ends: &[[(usize, f64); 2]]| -> Vec<f64> { ends.iter().map(|[a, b]| a.1 - b.1).collect() };
    let before = apart(&now);
    let loudest = now.first()?[0].0;
    let tried =
        strings.remedies(row, hardware, loudest).into_iter().filter_map(|Tried { remedy, row, tilt }| {
            let mut left = apart(&strings.ends(&row, tilt, &makes)?);
            let gains: Vec<f64> = before.iter().zip(&left).map(|(before, left)| before - left).collect();
            left.extend(apart(&strings.ends(&row, tilt, &strings.alike(&row, tilt))?));
            Some((remedy, left, gains))
        });
    let tried: Vec<_> = tried.collect();
    let least = |all: &[f64]| all.iter().copied().fold(f64::INFINITY, f64::min);
    let most = |all: &[f64]| all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let holds = tried.iter().filter(|(.., gains)| least(gains) >= GAIN);
    let best = holds.min_by(|a, b| most(&a.1).total_cmp(&most(&b.1)));
    let spread = match position.wanted.poles {
        Poles::Pair { spread } => Some(spread),
        Poles::Single => None,
    };
    let goes_on = |remedy: Remedy| tried.iter().any(|(other, ..)| remedy.goes_on_to(*other, spread));
    Some(Evening {
        loudest: distinct(now.iter().map(|ends| ends[0].0)),
        softest: distinct(now.iter().map(|ends| ends[1].0)),
        now: beside_model(least(&before), most(&before)),
        hangs_on_make: best.is_none() && tried.iter().any(|(.., gains)| most(gains) >= GAIN),
        best: best.map(|(remedy, left, _)| Best {
            remedy: *remedy,
            left: beside_model(least(left), most(left)),
            bound: (!goes_on(*remedy)).then(|| strings.bound(*remedy)),
        }),
    })
}

impl Remedy {
    /// The other one is the same change, and more of it; pairs that are so far apart go either way.
    fn goes_on_to(self, other: Self, spread: Option<Length>) -> bool {
        match (self, other) {
            (Self::BassEndLower(a), Self::BassEndLower(b))
            | (Self::TrebleEndLower(a), Self::TrebleEndLower(b))
            | (Self::RodsLower { by: a, .. }, Self::RodsLower { by: b, .. }) => a < b,
            (Self::Spread(a), Self::Spread(b)) => {
                spread.is_some_and(|now| if a < now { b < a } else { b > a })
            }
            _ => false,
        }
    }
}

/// How far two strings may be apart, where the model of each may be off.
fn beside_model(least: f64, most: f64) -> [Level; 2] {
    [Level((least - 2.0 * MODEL.0).max(0.0)), Level(most + 2.0 * MODEL.0)]
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
