//! From the log to estimates: the arithmetic of readings.
//!
//! Readings of one quantity with the same tool in the same way are a **series**. A series' value
//! is its mean; its uncertainty has three parts (JCGM 100 4.2, 4.3): scatter of the hand
//! (type A), half a step of the display, and the tool's maximum permissible error, both
//! rectangular. The last two do not average out over repeats: resolution is entered once a series, tool
//! error once for each quantity, tool and part of the tool. Half of the latter's variance is the same in all that
//! the part of the tool reads ([`SHARED`]), so that it adds up along a chain of readings.
//! Several series of one quantity are joined by their weighted mean.
//!
//! Scatter is pooled over everything read with a tool; a series with a suspected slip of the hand
//! keeps its own, so that the slip is felt where it happened and nowhere else.

use bobbinwright_elementary::Elementary;
use std::collections::{BTreeMap, BTreeSet};

use crate::Length;
use crate::bobbins::Bobbins;
use crate::corners::{self, Corners};
use crate::diameters::{self, Earlier, is_diameter};
use crate::form::Form;
use crate::hand::Hand;
use crate::how::How;
use crate::live::live_readings;
use crate::log::{Entry, Log, Matter, Reading};
use crate::over::Over;
use crate::problem::Problem;
use crate::quantity::{Jaws, PositionQuantity, Quantity};
use crate::reader::Noted;
use crate::rounds::{self, Read};
use crate::series::{Series, Taken};
use crate::slips;
use crate::spot::{self, Spot};
use crate::tool::Tool;
use crate::{Doubt, Doubts, Estimate, Origin};

/// Estimates of everything that the log knows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// All causes of doubt.
    pub doubts: Doubts,
    /// Best value and uncertainty of each quantity.
    pub estimates: BTreeMap<Quantity, Estimate>,
    /// How often and when each quantity was read last; figures from packets do not count.
    pub taken: BTreeMap<Quantity, Taken>,
    /// When each spot of a quantity was read last.
    pub(crate) taken_at: BTreeMap<(Quantity, Option<String>), Taken>,
    /// From what on a slip in one of several rounds would show, as far as it moves what was read on the whole.
    pub(crate) least_slips: BTreeMap<Read, Length>,
    /// The last entry in which a quantity was read afresh.
    pub(crate) afresh: BTreeMap<Quantity, usize>,
    /// Where bobbins became others.
    pub(crate) bobbins: Bobbins,
    /// Diameters as they were before an entry in which they were read afresh, see [`Earlier`]; of rods their lengths too.
    pub(crate) earlier: BTreeMap<(Quantity, usize), Estimate>,
    /// What was read in a way that needs a diameter which is not known yet, and that diameter.
    pub waiting: BTreeMap<Quantity, Quantity>,
    /// Routs' lengths and widths where they were read, as long as all their spots say where that is.
    pub(crate) spots: BTreeMap<Quantity, Vec<SpotRead>>,
    /// Strings' places that were read at the rout's edges: all their spots.
    pub(crate) at_edges: BTreeMap<Quantity, Vec<AtEdge>>,
    /// How much wider than the tightest of several holes the widest is, of holes of printed parts.
    pub(crate) wider: BTreeMap<Quantity, Length>,
    /// Routs' corner radii, where one of a position was read by itself.
    pub(crate) corners: BTreeMap<String, Vec<corners::Read>>,
    /// The radii in the corners of the positions' routs.
    pub(crate) radii: BTreeMap<String, Corners<Estimate>>,
    /// The forms of the positions' routs, see [`Form`].
    pub(crate) forms: BTreeMap<String, Form>,
    /// What a part of a tool, in the log's entry of that number, is off by in all that it reads, as a share of its limit of error
    /// of a millimetre.
    shared: Vec<((usize, Jaws), Estimate)>,
}

/// How much of the variance of a tool's error is the same in all that one part of it reads: where its nought is, how its jaws
/// are worn. The rest, as its scale's error and how a size lies between the jaws, is another one for each quantity. A limit says
/// nothing about that, and which part prevails differs from tool to tool: half of each (JCGM 100 F.1.2.3 asks for it to be
/// counted; the half is an assumption of ours).
pub(crate) const SHARED: f64 = 0.5;

/// What was read of an opening in one spot.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SpotRead {
    /// As the person calls it.
    pub words: Option<String>,
    pub spot: Spot,
    pub estimate: Estimate,
}

/// What was read of strings in one spot.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AtEdge {
    /// As the person calls it.
    pub words: Option<String>,
    /// See [`spot::across`].
    pub across: f64,
    /// How far from that edge, where it was said.
    pub from: Option<Length>,
    pub estimate: Estimate,
}

impl Measured {
    /// Works out every quantity in the log. New causes of doubt are added to those there are.
    pub(crate) fn from_log(log: &Log, over: &Over, doubts: Doubts, noted: &mut Noted) -> Self {
        let mut by_quantity: BTreeMap<&Quantity, Vec<Series>> = BTreeMap::new();
        let mut taken: BTreeMap<Quantity, Taken> = BTreeMap::new();
        let mut taken_at = BTreeMap::new();
        let live = live_readings(log);
        let without_words: Vec<Option<Reading>> =
            live.iter().map(|(_, reading)| without_words(reading)).collect();
        let live: Vec<(&Entry, &Reading)> =
            live.iter().zip(&without_words).map(|((e, r), w)| (*e, w.as_ref().unwrap_or(r))).collect();
        // Once it is there what was planned does not matter any more.
        let is_planned = |r: &Reading| matches!(r.how, How::Planned(_));
        let there: BTreeSet<&Quantity> =
            live.iter().filter(|(_, r)| !is_planned(r)).map(|(_, r)| &r.quantity).collect();
        let counts = |r: &Reading| !is_planned(r) || !there.contains(&r.quantity);
        let counted = || live.iter().copied().filter(|(_, r)| counts(r));
        let earlier = Earlier::of(log, counted(), over);
        for (entry, reading) in counted() {
            if let Some(tool) = reading.tool {
                let so_far = taken.get(&reading.quantity).map_or(0, |t| t.readings);
                let readings = so_far + reading.values.len();
                let last = Taken { readings, last: entry.on, span: entry.span, entry: entry.number, tool };
                taken.insert(reading.quantity.clone(), last);
                taken_at.insert((reading.quantity.clone(), reading.spot.clone()), last);
            }
            let all = by_quantity.entry(&reading.quantity).or_default();
            Series::sort_in(all, (entry, reading), &earlier.until(entry, reading, over));
        }
        let resolution = |tool| tool_at(log, tool).map_or(Length::ZERO, |t| t.resolution);
        let all: Vec<&Series> = by_quantity.values().flatten().collect();
        let bobbins = Bobbins::of(log);
        let mut replaced = earlier.series(log);
        replaced.extend(bobbins.series(log));
        let all_there_were: Vec<&Series> =
            all.iter().copied().chain(replaced.iter().flat_map(|r| &r.1)).collect();
        let hand = Hand::from_series(&all_there_were, resolution, doubts.next_pool());
        slips::note(&all, &hand, noted);
        let rounds = rounds::count(&live);
        let least_slips = all.iter().filter_map(|series| {
            let read = (series.reading.quantity.clone(), series.reading.spot.clone());
            let slip = rounds::least_slip(&hand, series, *rounds.get(&read)?)?;
            Some((read, slip))
        });
        let least_slips = least_slips.collect();
        let afresh =
            live.iter().filter(|(_, r)| r.afresh).map(|(e, r)| (r.quantity.clone(), e.number)).collect();
        let mut measured = Self { doubts, taken, taken_at, least_slips, afresh, bobbins, ..Self::default() };
        for (which, series) in &replaced {
            // What is odd about them was said when they counted.
            measured.enter(log, &which.0, series, &hand, over, &mut Noted::default());
            let was = measured.estimates.remove(&which.0);
            measured.earlier.extend(was.map(|was| (which.clone(), was)));
        }
        earlier.note(counted(), over, noted);
        // Diameters first: centre distances are worked out with them.
        let (plain, derived): (Vec<_>, Vec<_>) = by_quantity.into_iter().partition(|(q, _)| is_diameter(q));
        for (quantity, series) in plain.into_iter().chain(derived) {
            measured.enter(log, quantity, &series, &hand, over, noted);
        }
        measured
    }

    /// Was something else read between its readings, so that a slip in one of them would show?
    pub(crate) fn is_read_in_rounds(&self, of: &Quantity) -> bool {
        self.least_slips.keys().any(|(read, _)| read == of)
    }

    fn enter(
        &mut self,
        log: &Log,
        quantity: &Quantity,
        all: &[Series],
        hand: &Hand,
        over: &Over,
        noted: &mut Noted,
    ) {
        let mut spots: Vec<(Option<&str>, Vec<Figure>)> = Vec::new();
        let mut errors = Vec::new();
        for series in all {
            let known = |diameter: &Quantity, until: Option<usize>| {
                let was = until.and_then(|until| self.earlier.get(&(diameter.clone(), until)));
                was.or_else(|| self.estimates.get(diameter)).cloned()
            };
            let correction = match diameters::correction(series, over, known) {
                Ok(correction) => correction,
                Err(diameter) => {
                    self.waiting.insert(quantity.clone(), diameter);
                    continue;
                }
            };
            let estimate = self.of_series(log, series, hand, &mut errors) + correction;
            let spot = series.reading.spot.as_deref();
            match spots.iter_mut().find(|(s, _)| *s == spot) {
                Some((_, estimates)) => estimates.push((estimate, series)),
                None => spots.push((spot, vec![(estimate, series)])),
            }
        }
        let spots = spots.into_iter().map(|(spot, all)| (spot, without_wrong_packets(quantity, &all, noted)));
        let mut spots: Vec<(Option<&str>, Vec<Estimate>)> = spots.collect();
        for (_, estimates) in &mut spots {
            if let Some(apart) = contradiction(estimates) {
                note_contradiction(quantity, all, estimates, noted);
                let doubt = Doubt::new(Some(quantity.clone()), Origin::Contradiction, f64::INFINITY);
                // Which of them is right nobody knows: anywhere between the outermost.
                let doubt = self.doubts.enter(doubt, apart / 12f64.sqrt());
                for estimate in estimates.iter_mut() {
                    *estimate = estimate.clone() + doubt.clone();
                }
            }
        }
        // The tightest spot decides whether something goes in, and the lowest whether it goes under; any other quantity is
        // the mean of its spots.
        let joined: Vec<(Option<&str>, Estimate)> =
            spots.into_iter().map(|(spot, estimates)| (spot, weighted_mean(&estimates))).collect();
        slips::note_strange_spots(quantity, all, noted);
        if let Some(spots) = in_known_spots(quantity, all, &joined) {
            self.spots.insert(quantity.clone(), spots);
        }
        if spot::is_over_the_row(quantity) && joined.iter().any(|(words, _)| spot::across(*words) != 0.0) {
            let of = |(words, estimate): &(Option<&str>, Estimate)| AtEdge {
                words: words.map(str::to_owned),
                across: spot::across(*words),
                from: words.and_then(spot::from_side),
                estimate: estimate.clone(),
            };
            self.at_edges.insert(quantity.clone(), joined.iter().map(of).collect());
        }
        let of_corners = in_corners(quantity, &joined);
        let found = if let (Quantity::At(position, _), Some(read)) = (quantity, of_corners) {
            let roundest = corners::roundest(&read);
            self.corners.insert(position.clone(), read);
            roundest
        } else if spot::is_overhead(quantity) {
            least(joined)
        } else if spot::is_an_opening(quantity) || spot::is_of_holes(quantity) {
            // What widens on purpose is uneven.
            if spot::is_an_opening(quantity) && !over.widens(quantity) {
                slips::note_uneven(quantity, all, &joined, noted);
            }
            let elsewhere = self.elsewhere(quantity, all, &joined);
            if spot::is_of_holes(quantity) {
                let sizes = || joined.iter().map(|(_, read)| read.value());
                let [least, most] = [sizes().reduce(Length::min), sizes().reduce(Length::max)];
                self.wider.extend(most.zip(least).map(|(most, least)| (quantity.clone(), most - least)));
            }
            least(joined).map(|estimate| estimate + elsewhere)
        } else {
            let all: Vec<Estimate> = joined.into_iter().map(|(_, estimate)| estimate).collect();
            (!all.is_empty()).then(|| weighted_mean(&all))
        };
        if let Some(estimate) = found {
            self.estimates.insert(quantity.clone(), estimate);
        }
    }

    /// How much tighter an opening may be where it was not read. From one spot that is what is usual; several
    /// spots tell of the rest by how far apart they are on the whole, as the next place by chance lies about so
    /// far beyond the least of them. A figure from a packet says within what all of it is.
    fn elsewhere(
        &mut self,
        quantity: &Quantity,
        all: &[Series],
        spots: &[(Option<&str>, Estimate)],
    ) -> Estimate {
        let read = |spot: Option<&str>| {
            all.iter().any(|s| s.reading.spot.as_deref() == spot && s.reading.tool.is_some())
        };
        let values = spots.iter().filter(|(spot, _)| read(*spot)).map(|(_, e)| e.value().as_mm());
        let values: Vec<f64> = values.collect();
        let n = values.len() as f64;
        if values.is_empty() {
            return Estimate::default();
        }
        let usual = spot::usual_unevenness(quantity).as_mm();
        let (low, high) = values.iter().fold((f64::INFINITY, 0.0f64), |(l, h), v| (l.min(*v), h.max(*v)));
        let half = if values.len() == 1 { usual } else { (usual / (n * n)).max((high - low) / (n - 1.0)) };
        let of = Some(quantity.clone());
        let doubt = Doubt::new(of, Origin::Elsewhere { spots: values.len() }, f64::INFINITY);
        self.doubts.enter(doubt, Length::from_mm(half) / 3f64.sqrt())
    }

    /// Mean of a series with its three doubts. `errors` holds the tool-error doubts entered for this
    /// quantity so far: one for each tool and part of it, however many series use it.
    fn of_series(
        &mut self,
        log: &Log,
        series: &Series,
        hand: &Hand,
        errors: &mut Vec<((usize, Jaws), Estimate)>,
    ) -> Estimate {
        let mean = series.mean();
        let quantity = Some(series.reading.quantity.clone());
        let spot = series.reading.spot.clone();
        let mut enter = |origin, freedom, pool, u| {
            let doubt = Doubt { pool, spot: spot.clone(), ..Doubt::new(quantity.clone(), origin, freedom) };
            self.doubts.enter(doubt, u)
        };
        let index = series.reading.tool.unwrap_or_default();
        let Some(tool) = series.reading.tool.and_then(|t| tool_at(log, t)) else {
            let (origin, within) = match series.reading.how {
                How::Packet(within) => (Origin::Stated, within),
                How::Planned(within) => (Origin::Planned, within),
                _ => return Estimate::exact(mean),
            };
            return enter(origin, f64::INFINITY, None, within / 3f64.sqrt()).moved_to(mean);
        };
        let scatter = hand.of(series);
        let n = series.values.len() as f64;
        let scatter = if scatter.has_slip {
            // A slip is not averaged out.
            enter(Origin::Contradiction, scatter.freedom, scatter.pool, scatter.one * (1.0 + 1.0 / n).sqrt())
        } else {
            let origin = Origin::Scatter { readings: series.values.len() };
            let mean = enter(origin, scatter.freedom, scatter.pool, scatter.one / n.sqrt());
            // Of bought parts every single one must go in, not their mean.
            if series.reading.quantity.is_bought() {
                mean + enter(Origin::OfOnePiece, scatter.freedom, scatter.pool, scatter.of_pieces)
            } else {
                mean
            }
        };
        let resolution = enter(Origin::Resolution, f64::INFINITY, None, tool.resolution / 12f64.sqrt());
        let part = (index, series.reading.how.jaws());
        if let Some((_, limit)) = errors.iter().find(|(of, _)| *of == part) {
            return (scatter + resolution + limit.clone()).moved_to(mean);
        }
        let u = tool.limit(part.1) / 3f64.sqrt();
        let own = enter(Origin::ToolError, f64::INFINITY, None, u * (1.0 - SHARED).sqrt());
        let limit = own + self.shared(part) * u.as_mm();
        errors.push((part, limit.clone()));
        (scatter + resolution + limit).moved_to(mean)
    }

    /// What a part of a tool is off by in all that it reads, where its standard uncertainty in all is a millimetre.
    fn shared(&mut self, part: (usize, Jaws)) -> Estimate {
        if let Some((_, known)) = self.shared.iter().find(|(of, _)| *of == part) {
            return known.clone();
        }
        let doubt = Doubt::new(None, Origin::ToolError, f64::INFINITY);
        let shared = self.doubts.enter(doubt, Length::from_mm(SHARED.sqrt()));
        self.shared.push((part, shared.clone()));
        shared
    }
}

/// A reading without its spot, where spots of such a thing are no places; none where it stays as it is.
fn without_words(reading: &Reading) -> Option<Reading> {
    let is_word = reading.spot.is_some() && !spot::has_spots(&reading.quantity);
    is_word.then(|| Reading { spot: None, ..reading.clone() })
}

/// That which may be the least: one that is known well does not vouch for another that was read by a rule.
fn least(spots: Vec<(Option<&str>, Estimate)>) -> Option<Estimate> {
    let least = |e: &Estimate| e.value().as_mm() - SURE * e.uncertainty().as_mm();
    spots.into_iter().map(|(_, estimate)| estimate).min_by(|a, b| least(a).total_cmp(&least(b)))
}

/// Less than so many standard uncertainties to one side lie 95 of 100 cases (normal table).
pub(crate) const SURE: f64 = 1.645;

/// How far the outermost of several series are apart, when their doubts do not explain it.
pub(crate) fn contradiction(estimates: &[Estimate]) -> Option<Length> {
    const EXPLAINED: f64 = 4.0;
    let by_value = |a: &&Estimate, b: &&Estimate| a.value().as_mm().total_cmp(&b.value().as_mm());
    let (low, high) = (estimates.iter().min_by(by_value)?, estimates.iter().max_by(by_value)?);
    let difference = high.clone() - low.clone();
    let apart = difference.value();
    (apart.as_mm() > EXPLAINED * difference.uncertainty().as_mm() + 1e-9).then_some(apart)
}

/// What a series of readings came to.
type Figure<'s> = (Estimate, &'s Series<'s>);

/// What a maker states is of all pieces that he makes; where somebody read this one and the two contradict each other, the
/// readings count alone, and that is said.
fn without_wrong_packets(quantity: &Quantity, all: &[Figure], noted: &mut Noted) -> Vec<Estimate> {
    let estimates = |all: &[Figure]| all.iter().map(|(e, _)| e.clone()).collect::<Vec<_>>();
    let (own, packets): (Vec<_>, Vec<_>) =
        all.iter().cloned().partition(|(_, series)| series.reading.tool.is_some());
    if own.is_empty() || packets.is_empty() || contradiction(&estimates(all)).is_none() {
        return estimates(all);
    }
    for (stated, series) in packets {
        let Some(entry) = series.last() else { continue };
        let read = weighted_mean(&estimates(&own)).value();
        let message = format!(
            "entry {}: {quantity} is {} by its packet, but was read as {read}; the packet is set aside",
            entry.number,
            stated.value()
        );
        let hint = "withdraw whichever is wrong; is the packet that of another piece?";
        noted.problems.push(Problem::notice(entry.span, message).hint(hint));
    }
    estimates(&own)
}

fn note_contradiction(quantity: &Quantity, all: &[Series], estimates: &[Estimate], noted: &mut Noted) {
    let values: Vec<String> = estimates.iter().map(|e| e.value().to_string()).collect();
    let message = format!("{quantity} was read as {}, which contradict each other", values.join(" and as "));
    let last = all.last().and_then(Series::last).map(|entry| entry.span).unwrap_or_default();
    let hint = "withdraw the wrong one, or mark the new one afresh: true if the thing has changed; until then it counts as that much less sure";
    noted.problems.push(Problem::notice(last, message).hint(hint));
}

fn tool_at(log: &Log, entry: usize) -> Option<&Tool> {
    match &log.entries.get(entry)?.matter {
        Matter::Tool(tool) => Some(tool),
        _ => None,
    }
}

/// A rout's length or width by the spots in which a tool read it; none where one of several is a place that only the person
/// knows.
fn in_known_spots(
    quantity: &Quantity,
    all: &[Series],
    joined: &[(Option<&str>, Estimate)],
) -> Option<Vec<SpotRead>> {
    let Quantity::At(_, of) = quantity else { return None };
    let is_read = all.iter().any(|s| s.reading.tool.is_some());
    let known = |words: Option<&str>| Spot::of(words, *of);
    // Beside spots that are known one that is not is anywhere; several that are not are kept apart.
    let strange = joined.iter().filter(|(words, _)| known(*words).is_none()).count();
    let of_one = |(words, estimate): &(Option<&str>, Estimate)| {
        let spot = known(*words).or_else(|| Spot::of(None, *of).filter(|_| strange == 1))?;
        Some(SpotRead { words: words.map(str::to_owned), spot, estimate: estimate.clone() })
    };
    joined.iter().map(of_one).collect::<Option<Vec<SpotRead>>>().filter(|_| is_read)
}

/// A rout's corner radius by the corners in which it was read; none where none of them was read by itself.
fn in_corners(quantity: &Quantity, joined: &[(Option<&str>, Estimate)]) -> Option<Vec<corners::Read>> {
    let Quantity::At(_, PositionQuantity::RoutCornerRadius) = quantity else { return None };
    let of =
        |(words, estimate): &(Option<&str>, Estimate)| (words.and_then(corners::in_words), estimate.clone());
    let read: Vec<corners::Read> = joined.iter().map(of).collect();
    read.iter().any(|(at, _)| at.is_some()).then_some(read)
}

/// Mean weighted by the inverse variances.
pub(crate) fn weighted_mean(estimates: &[Estimate]) -> Estimate {
    let weight = |e: &Estimate| 1.0 / e.uncertainty().as_mm().max(1e-6).power(2);
    let total: f64 = estimates.iter().map(weight).sum();
    let share = |e: &Estimate| e.clone() * (weight(e) / total);
    estimates.iter().map(share).fold(Estimate::default(), |sum, e| sum + e)
}
