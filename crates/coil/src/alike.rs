//! Which wire and how many turns come closest to a pickup that was measured.
//!
//! For every wire that pickups are wound with the turns are sought with which resistance, inductance, peak and count are off
//! by the least, each beside how well such a figure is known (Gauss and Newton's steps on logarithms).

use bobbinwright_elementary::Elementary;

use bobbinwright_spec::Length;
use bobbinwright_spec::coil::{Awg, End, Film, Wire as Bought};
use bobbinwright_spec::load::Load;
use bobbinwright_spec::magnets::Alloy;

use crate::circuit::Circuit;
use crate::response;
use crate::rods::Rods;
use crate::winding::{Bobbin, Coil, Packed};
use crate::wire::Wire;

/// What is known of a pickup; each of its figures may be left out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measured {
    /// Resistance, Ω.
    pub ohms: Option<f64>,
    /// The temperature at which it was read, °C.
    pub celsius: f64,
    /// Inductance with its rods in, H.
    pub henries: Option<f64>,
    /// The frequency at which it was read, Hz.
    pub hertz: f64,
    /// Where its response peaks with cable and controls, Hz.
    pub peak: Option<f64>,
    /// Turns.
    pub turns: Option<f64>,
}

impl Measured {
    /// How many figures are known.
    pub fn figures(&self) -> usize {
        [self.ohms, self.henries, self.peak, self.turns].iter().flatten().count()
    }
}

/// Where it is to be copied.
#[derive(Clone, Debug)]
pub struct Place {
    /// The bobbin.
    pub bobbin: Bobbin,
    /// Its rods.
    pub rods: Rods,
    /// What they are made of.
    pub alloy: Option<Alloy>,
    /// How tightly the wire lies.
    pub packing: Packed,
    /// The end that leads to the output.
    pub hot: End,
    /// What it works into.
    pub load: Load,
}

/// A coil that might do, and what it would come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Its wire, as it is bought.
    pub wire: Bought,
    /// The coil.
    pub coil: Coil,
    /// Ω, at the temperature of the measured one.
    pub ohms: f64,
    /// H, at its frequency.
    pub henries: f64,
    /// Hz.
    pub peak: f64,
    /// How far all that is from what was measured: 1 is about as far as figures of two equal pickups are apart.
    pub off: f64,
}

/// How well such figures are known, as parts of them: ohms by wire's tolerance and temperature, henries and peaks by what
/// two pickups of one make differ, turns by the counter (common practice).
const OHMS: f64 = 0.03;
const HENRIES: f64 = 0.03;
const PEAK: f64 = 0.04;
const TURNS: f64 = 0.02;

/// Steps that find the turns to less than one.
const ROUNDS: u32 = 12;
/// Turns are changed by this part of them to see what that does.
const TRIED: f64 = 0.02;
/// Where the search begins.
const BEGIN: f64 = 7000.0;

impl Candidate {
    /// It goes onto the bobbin.
    pub fn has_room(&self) -> bool {
        // However loosely it is wound.
        let [_, loose] = self.coil.builds();
        loose <= self.coil.bobbin.room
    }
}

/// As far off as this the figures of equal pickups are.
const EQUAL: f64 = 0.1;

/// Every wire's best coil, the closest first, and of those that are as close as can be told the one of the wire that is `usual`
/// first; none where nothing was measured.
pub fn closest(place: &Place, measured: &Measured, usual: Option<Bought>) -> Vec<Candidate> {
    let films = [Film::Single, Film::Heavy];
    let wires = Awg::all().flat_map(|gauge| films.map(|film| Bought::Gauge(gauge, film)));
    let mut all: Vec<Candidate> = wires.filter_map(|wire| best(place, measured, wire)).collect();
    all.sort_by(|a, b| a.off.total_cmp(&b.off));
    let is_usual = |one: &Candidate| Some(one.wire) == usual && one.off < EQUAL && one.has_room();
    if let Some(at) = all.iter().position(is_usual) {
        all[..=at].rotate_right(1);
    }
    all
}

/// Heights between the plates, from three fourths to a half more of what it is, with what the best coil of each of some wires comes to
/// there where it has room; the closest first.
pub fn by_height(place: &Place, measured: &Measured, wires: &[Bought]) -> Vec<(Length, Candidate)> {
    let all = [0.75, 0.85, 0.95, 1.05, 1.15, 1.25, 1.35, 1.5].map(|part| place.bobbin.height * part);
    let of = |(height, wire): (Length, Bought)| {
        let bobbin = Bobbin { height, ..place.bobbin };
        let grows = height - place.bobbin.height;
        let rods = Rods { length: place.rods.length + grows, ..place.rods.clone() };
        let found = best(&Place { bobbin, rods, ..place.clone() }, measured, wire)?;
        found.has_room().then_some((height, found))
    };
    let each = all.into_iter().flat_map(|height| wires.iter().map(move |wire| (height, *wire)));
    let mut found: Vec<_> = each.filter_map(of).collect();
    found.sort_by(|a, b| a.1.off.total_cmp(&b.1.off));
    found
}

fn best(place: &Place, measured: &Measured, wire: Bought) -> Option<Candidate> {
    let coil = Coil { bobbin: place.bobbin, wire: Wire::of(wire), packing: place.packing, turns: BEGIN };
    let mut turns = measured.turns.or_else(|| begin(&coil, measured))?;
    for _ in 0..ROUNDS {
        let at = |turns: f64| misses(&found(place, measured, wire, Coil { turns, ..coil }), measured);
        let (here, there) = (at(turns), at(turns * (1.0 + TRIED)));
        let slope = |(a, b): (&f64, &f64)| (b - a) / TRIED;
        let (down, square) = here.iter().zip(&there).fold((0.0, 0.0), |(down, square), both| {
            let slope = slope(both);
            (down + slope * both.0, square + slope * slope)
        });
        // Above its own resonance a coil is none, and a peak that is not there tells nothing.
        if !(square > 0.0 && down.is_finite()) {
            return None;
        }
        turns *= (-down / square).clamp(-0.5, 0.5).exponential();
    }
    let made = found(place, measured, wire, Coil { turns: turns.round(), ..coil });
    let off = misses(&made, measured).iter().map(|miss| miss * miss).sum::<f64>().sqrt();
    off.is_finite().then_some(())?;
    Some(Candidate { off, ..made })
}

fn begin(coil: &Coil, measured: &Measured) -> Option<f64> {
    let by_ohms =
        measured.ohms.map(|ohms| coil.turns_for(crate::winding::Resistance(ohms), measured.celsius));
    by_ohms.or(measured.henries.or(measured.peak).map(|_| BEGIN))
}

fn found(place: &Place, measured: &Measured, wire: Bought, coil: Coil) -> Candidate {
    let wired = response::expected(&coil, &place.rods, place.alloy, place.hot);
    let circuit = Circuit { coil: wired, beside: None, load: place.load, controls: None };
    Candidate {
        wire,
        coil,
        ohms: coil.resistance(measured.celsius).0,
        henries: wired.reads(measured.hertz).0,
        peak: if measured.peak.is_some() { circuit.peak().hertz } else { 0.0 },
        off: 0.0,
    }
}

/// How far each figure that was measured is off, beside how well it is known.
fn misses(made: &Candidate, measured: &Measured) -> Vec<f64> {
    let all = [
        (measured.ohms, made.ohms, OHMS),
        (measured.henries, made.henries, HENRIES),
        (measured.peak, made.peak, PEAK),
        (measured.turns, made.coil.turns, TURNS),
    ];
    let of = |(wanted, made, known): (Option<f64>, f64, f64)| Some((made / wanted?).logarithm() / known);
    all.into_iter().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inductance::Racetrack;

    fn place() -> Place {
        let mm = Length::from_mm;
        let bobbin =
            Bobbin { core: Racetrack { span: mm(52.0), radius: mm(2.6) }, height: mm(11.0), room: mm(5.0) };
        let places: Vec<Length> = (0..6).map(|i| mm(10.4 * (f64::from(i) - 2.5))).collect();
        Place {
            bobbin,
            rods: Rods { diameter: mm(5.0), length: mm(16.0), places, coil_from: mm(2.4) },
            alloy: Some(Alloy::Alnico5),
            packing: Packed::assumed(0.62),
            hot: End::Start,
            load: Load::USUAL,
        }
    }

    /// A coil that is measured is found again: its wire and its turns, by resistance and inductance, and by inductance alone
    /// its turns whatever the wire.
    #[test]
    fn a_coil_is_found_again() {
        let place = place();
        let wire = Bought::Gauge(Awg::new(43).unwrap(), Film::Single);
        let coil = Coil { bobbin: place.bobbin, wire: Wire::of(wire), packing: place.packing, turns: 7800.0 };
        let asked = Measured { celsius: 22.0, hertz: 1000.0, peak: Some(1.0), ..Measured::default() };
        let made = found(&place, &asked, wire, coil);
        let measured =
            Measured { ohms: Some(made.ohms), henries: Some(made.henries), peak: Some(made.peak), ..asked };
        let all = closest(&place, &measured, None);
        assert_eq!(all[0].wire, wire);
        assert!((all[0].coil.turns - 7800.0).abs() <= 2.0 && all[0].off < 0.02, "{:?}", all[0]);
        assert!(all.windows(2).all(|pair| pair[0].off <= pair[1].off));
        let by_henries = Measured { ohms: None, peak: None, ..measured };
        for other in closest(&place, &by_henries, None) {
            assert!((other.henries / made.henries - 1.0).abs() < 1e-3, "{other:?}");
        }
        assert!(closest(&place, &Measured { hertz: 1000.0, ..Measured::default() }, None).is_empty());
    }

    /// A pickup that was wound on a lower bobbin is copied better on one.
    #[test]
    fn a_lower_bobbin_is_seen() {
        let place = place();
        let low =
            Place { bobbin: Bobbin { height: place.bobbin.height * 0.75, ..place.bobbin }, ..place.clone() };
        let rods = Rods { length: place.rods.length - place.bobbin.height * 0.25, ..place.rods.clone() };
        let low = Place { rods, ..low };
        let wire = Bought::Gauge(Awg::new(43).unwrap(), Film::Single);
        let coil = Coil { bobbin: low.bobbin, wire: Wire::of(wire), packing: low.packing, turns: 7000.0 };
        let asked = Measured { celsius: 20.0, hertz: 1000.0, turns: Some(7000.0), ..Measured::default() };
        let made = found(&low, &asked, wire, coil);
        let measured = Measured { ohms: Some(made.ohms), henries: Some(made.henries), ..asked };
        let here = best(&place, &measured, wire).unwrap();
        let (height, there) = by_height(&place, &measured, &[wire])[0];
        assert!(there.off < here.off && height < place.bobbin.height, "{height} {} {}", there.off, here.off);
    }
}
