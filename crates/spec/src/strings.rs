//! Where the strings run over a position.
//!
//! Each reading is an equation of the [plan](crate::plan): a pair gives a difference, a side reading ties an outer string
//! to the rout.

use crate::Length;
use crate::measured::{AtEdge, Measured};
use crate::median::median;
use crate::problem::Problem;
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};
use crate::read_form::waves;
use crate::reader::Noted;
use crate::runs::Lines;
use crate::told::{Told, string};
use crate::wanted::Side;
use crate::{Doubt, Doubts, Estimate, Origin};
use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::student;

/// How unevenly a nut or bridge may be slotted where single spacings were not read: half-width of
/// a rectangular distribution (common practice).
const UNEVEN: Length = Length::from_mm(0.3);

/// A spacing that differs more than this from what its neighbours make one expect is rather a slip
/// than a slot cut that far off (common practice).
const ODD: Length = Length::from_mm(0.6);

/// What saddles that are not equally far from the nut change the fan-out by (common practice: they are set a few
/// millimetres apart): standard uncertainty.
const COMPENSATION: Length = Length::from_mm(0.03);

/// So seldom may honest readings be accused.
const ACCUSED: f64 = 0.01;

/// The outer strings' distance by fan-out: w(x) = `w_bridge` + (`w_nut` - `w_bridge`) x / scale, where x
/// is the distance from the saddles. Strings are straight, so this is exact for equal distances of
/// all saddles (compensation of a few millimetres changes it by hundredths).
pub(crate) fn fan_out(measured: &Measured, position: &str) -> Option<Estimate> {
    let instrument = |q| measured.estimates.get(&Quantity::Instrument(q));
    let at = |q| measured.estimates.get(&Quantity::At(position.to_owned(), q));
    let inputs = [
        instrument(InstrumentQuantity::BridgeSpread)?,
        instrument(InstrumentQuantity::NutSpread)?,
        at(PositionQuantity::BridgeDistance)?,
        instrument(InstrumentQuantity::Scale)?,
    ];
    Some(Estimate::of(&inputs, |v| {
        let [bridge, nut, x, scale] = [v[0], v[1], v[2], v[3]];
        bridge + (nut - bridge) * (x.as_mm() / scale.as_mm())
    }))
}

/// The outer strings' distance in two independent ways, and whether they agree.
#[derive(Clone, Debug, PartialEq)]
pub struct FanOut {
    /// From nut, bridge, scale and distance.
    pub predicted: Estimate,
    /// From the readings over the position, where they tie all strings.
    pub read: Option<Estimate>,
}

impl FanOut {
    /// How far the two are apart, when their doubts do not explain that.
    pub fn contradiction(&self, doubts: &Doubts) -> Option<Length> {
        let apart = self.predicted.clone() - self.read.clone()?;
        let ratio = apart.value().as_mm() / apart.uncertainty().as_mm().hypotenuse(COMPENSATION.as_mm());
        (student::beyond(ratio, doubts.freedom(&apart)) < ACCUSED).then(|| apart.value().abs())
    }
}

/// All that the readings say about the strings' places.
struct Readings {
    told: Vec<Told>,
    linked: Links,
    /// What is needed to tie the strings to the rout and to each other.
    lacking: Vec<Quantity>,
}

fn readings(measured: &Measured, position: &str, strings: usize, lines: &Lines) -> Readings {
    let at = |q| Quantity::At(position.to_owned(), q);
    let mut found = Readings { told: Vec::new(), linked: Links::new(strings), lacking: Vec::new() };
    for (quantity, estimate) in &measured.estimates {
        let Quantity::At(p, PositionQuantity::StringPair(a, b)) = quantity else { continue };
        if p == position {
            // The lower number lies on the treble side.
            for read in in_spots(measured, quantity, estimate) {
                let across = lines.over(&read);
                let (terms, value) = lines.apart([a - 1, b - 1], across, read.estimate);
                found.told.push(Told::read(quantity.clone(), terms, value).in_spot(read.words));
            }
            found.linked.join(a - 1, b - 1);
        }
    }
    let get = |q| measured.estimates.get(&at(q)).cloned();
    if get(PositionQuantity::RoutLength).is_none() {
        found.lacking.push(at(PositionQuantity::RoutLength));
    }
    match (get(PositionQuantity::BassSide), get(PositionQuantity::TrebleSide)) {
        (None, None) => found.lacking.push(at(PositionQuantity::BassSide)),
        (Some(_), Some(_)) => found.linked.join(0, strings - 1),
        _ => {}
    }
    if !found.linked.all() && fan_out(measured, position).is_none() {
        let open = (1..strings).filter(|n| !found.linked.tied(n - 1, *n));
        found.lacking.extend(open.map(|n| at(PositionQuantity::StringPair(n, n + 1))));
    }
    found
}

/// The readings without which the strings' places are unknown.
pub(crate) fn lacking(measured: &Measured, position: &str, strings: usize) -> Vec<Quantity> {
    readings(measured, position, strings, &Lines::SQUARE).lacking
}

/// Adds what is known of the strings' places, and says whether readings tie them all; none when a reading is lacking.
/// Where neighbours are not tied by readings they are taken to stand as the fan-out says, evenly, with the doubt that they do
/// not.
pub(crate) fn equations(
    measured: &mut Measured,
    position: &str,
    strings: usize,
    lines: &Lines,
    told: &mut Vec<Told>,
) -> Option<bool> {
    let Readings { told: read, mut linked, lacking } = readings(measured, position, strings, lines);
    if !lacking.is_empty() {
        return None;
    }
    told.extend(read);
    told.extend(from_ends(measured, position, strings, lines));
    lines.believe(measured, position, told);
    if linked.all() {
        return Some(true);
    }
    let span = fan_out(measured, position)?;
    let (outer, apart) = lines.apart([0, strings - 1], 0.0, span.clone());
    told.push(Told::believed(Quantity::Instrument(InstrumentQuantity::BridgeSpread), outer, apart));
    let pitch = span * (1.0 / (strings - 1) as f64);
    for i in 0..strings - 1 {
        if linked.tied(i, i + 1) {
            continue;
        }
        let quantity = Quantity::At(position.to_owned(), PositionQuantity::StringPair(i + 1, i + 2));
        let doubt = Doubt::new(Some(quantity.clone()), Origin::Assumed, f64::INFINITY);
        let uneven = measured.doubts.enter(doubt, UNEVEN / 3f64.sqrt());
        let (terms, apart) = lines.apart([i, i + 1], 0.0, pitch.clone() + uneven);
        told.push(Told::believed(quantity, terms, apart));
        linked.join(i, i + 1);
    }
    Some(false)
}

/// The outer strings' distances from the rout's ends, along the row, which runs in the middle between the long sides.
fn from_ends(measured: &mut Measured, position: &str, strings: usize, lines: &Lines) -> Vec<Told> {
    let at = |q| Quantity::At(position.to_owned(), q);
    let ends = [
        (PositionQuantity::BassSide, Side::Bass, strings - 1, 1.0),
        (PositionQuantity::TrebleSide, Side::Treble, 0, -1.0),
    ];
    let of_one = |(of, side, outer, towards)| {
        let read = in_spots(measured, &at(of), measured.estimates.get(&at(of))?);
        let form = measured.forms.get(position)?.clone();
        let one = |read: AtEdge| {
            let across = lines.beside(&read);
            let reach = form.reach(side, across * lines.half).into_iter();
            let runs = lines.runs(outer, across * towards);
            let terms = reach.chain([(string(outer), towards)]).chain(runs).collect();
            let waves = waves(measured, &at(PositionQuantity::RoutLength));
            let missed = lines.missed(measured, &at(of), &read);
            Told::read(at(of), terms, read.estimate + waves + missed).in_spot(read.words)
        };
        Some(read.into_iter().map(one).collect::<Vec<_>>())
    };
    ends.into_iter().filter_map(of_one).flatten().collect()
}

/// What was read, spot by spot where edges of the rout are among the spots.
fn in_spots(measured: &Measured, quantity: &Quantity, whole: &Estimate) -> Vec<AtEdge> {
    let spots = measured.at_edges.get(quantity).cloned();
    spots.unwrap_or_else(|| vec![AtEdge { words: None, across: 0.0, from: None, estimate: whole.clone() }])
}

/// Points out, position by position, the spacing that the others do not bear out.
pub(crate) fn note_odd_spacings(
    measured: &Measured,
    positions: &[String],
    strings: usize,
    noted: &mut Noted,
) {
    for position in positions {
        let Some((quantity, expected)) = odd_spacing(measured, position, strings) else { continue };
        let read = measured.estimates.get(&quantity).map(Estimate::value).unwrap_or_default();
        // A spacing is read, never on a packet.
        let Some(taken) = measured.taken.get(&quantity) else { continue };
        let message = format!(
            "{quantity} is {read}; the spacings beside it make one expect about {expected} (last in entry {})",
            taken.entry
        );
        let hint = if measured.is_read_in_rounds(&quantity) {
            "it was read in more than one round, and counts as it is"
        } else {
            "read it again after something else; until then what hangs on it counts as that much less sure. Over both strings it is strings_outer, between them strings_inner"
        };
        noted.problems.push(Problem::notice(taken.span, message).hint(hint));
    }
}

/// The spacing of neighbours that fits least among the others: strings fan out evenly, or widen
/// steadily towards the thick ones. Its quantity, and what the others make one expect; none where all
/// are within [`ODD`] and their doubt, or where too few were read to tell.
pub(crate) fn odd_spacing(measured: &Measured, position: &str, strings: usize) -> Option<(Quantity, Length)> {
    let read = (1..strings).filter_map(|n| {
        let quantity = Quantity::At(position.to_owned(), PositionQuantity::StringPair(n, n + 1));
        let estimate = measured.estimates.get(&quantity)?;
        Some((n as f64, estimate.value().as_mm(), estimate.uncertainty().as_mm(), quantity))
    });
    let read: Vec<_> = read.collect();
    if read.len() < 3 {
        return None;
    }
    // The line through the medians (Theil and Sen): one odd spacing does not bend it. Of four
    // points or fewer an end one has a hand in half of all slopes.
    let mut slopes = Vec::new();
    for (i, a) in read.iter().enumerate() {
        slopes.extend(read[i + 1..].iter().map(|b| (b.1 - a.1) / (b.0 - a.0)));
    }
    let slope = if read.len() > 4 { median(slopes) } else { 0.0 };
    let level = median(read.iter().map(|r| r.1 - slope * r.0).collect());
    let off = |r: &(f64, f64, f64, Quantity)| r.1 - level - slope * r.0;
    let worst = read.iter().max_by(|a, b| off(a).abs().total_cmp(&off(b).abs()))?;
    let odd = off(worst).abs() > ODD.as_mm() + 4.0 * worst.2;
    odd.then(|| (worst.3.clone(), Length::from_mm(level + slope * worst.0)))
}

/// Which strings are tied together by readings.
struct Links {
    group: Vec<usize>,
}

impl Links {
    fn new(strings: usize) -> Self {
        Self { group: (0..strings).collect() }
    }

    fn join(&mut self, a: usize, b: usize) {
        let (from, to) = (self.group[a], self.group[b]);
        for g in &mut self.group {
            if *g == from {
                *g = to;
            }
        }
    }

    fn tied(&self, a: usize, b: usize) -> bool {
        self.group[a] == self.group[b]
    }

    fn all(&self) -> bool {
        self.group.iter().all(|g| *g == self.group[0])
    }
}
