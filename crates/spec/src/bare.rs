//! Sizes that are entered after their part was said to be finished, and are the bare print's.
//!
//! Whoever lets figures lie until the paint is dry, or takes another copy into his hands, enters what the print was before. Where
//! the same face was read bare, that shows: what was put on it is thicker than the readings are unsure. Such a reading is
//! believed neither of the finished part nor of the bare one until somebody reads again, afresh; and that counts, whatever it
//! is, since faces are masked and parts worked over.

use std::collections::BTreeSet;

use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::student;

use crate::Length;
use crate::copies::Copies;
use crate::finish::Finish;
use crate::hand::Hand;
use crate::live::{is_of_another_copy, readings_as_printed};
use crate::log::{Entry, Log, Matter, Reading};
use crate::part::{PartKind, PieceSize};
use crate::problem::Problem;
use crate::quantity::Quantity;
use crate::reader::Noted;
use crate::series::Series;
use crate::tool::Tool;

/// Less likely than this it is not by chance that a reading of the finished part lies so far off.
const FINISHED: f64 = 0.025;

/// A coat that is thinner than this share of the usual is asked about, though it may be.
const THIN: f64 = 0.5;

/// Less likely than this it is not the bare print that was read, but some other slip.
const BARE: f64 = 0.0025;

type Read<'l> = (&'l Entry, &'l Reading);

/// Notes readings that are the bare print's, and has the log not believe them. `finish` is what is put on a part.
pub(crate) fn note(log: &mut Log, finish: impl Fn(&str, PartKind) -> Option<Finish>, noted: &mut Noted) {
    let copies = Copies::of(log);
    let since = since_finished(log, &copies);
    if since.is_empty() {
        return;
    }
    let bare: Vec<Read> =
        readings_as_printed(log).into_iter().filter(|(_, r)| is_face(r) && r.tool.is_some()).collect();
    let bench = Bench::of(log, &bare, &since);
    let mut doubted = Vec::new();
    let mut problems = Vec::new();
    for (i, (_, first)) in since.iter().enumerate() {
        let is_it = |r: &Reading| r.quantity == first.quantity && r.spot == first.spot;
        if since[..i].iter().any(|(_, r)| is_it(r)) {
            continue;
        }
        let Some(coat) = coat(first, &finish) else { continue };
        let of_it: Vec<Read> = since.iter().copied().filter(|(_, r)| is_it(r)).collect();
        let before: Vec<Read> = bare.iter().copied().filter(|(_, r)| is_it(r)).collect();
        let (found, open) = doubtful(&of_it, |read| bench.is_bare(read, &before, coat));
        doubted.extend(found.iter().map(|(entry, _)| entry.number));
        problems.extend(said(&open, &before, coat));
    }
    noted.problems.extend(problems);
    log.not_believed.extend(doubted);
}

/// Sizes that were read since their part was finished, but neither before nor once more afresh.
pub(crate) fn alone(log: &Log, copies: &Copies) -> BTreeSet<(String, PieceSize)> {
    let since = since_finished(log, copies);
    if since.is_empty() {
        return BTreeSet::new();
    }
    let bare: BTreeSet<&Quantity> = readings_as_printed(log).into_iter().map(|(_, r)| &r.quantity).collect();
    let first = |q: &Quantity| since.iter().find(|(_, r)| r.quantity == *q).map(|(entry, _)| entry.number);
    let again: BTreeSet<&Quantity> = since
        .iter()
        .filter(|(entry, r)| r.afresh && first(&r.quantity) != Some(entry.number))
        .map(|(_, r)| &r.quantity)
        .collect();
    let alone = since.iter().filter(|(_, r)| !bare.contains(&r.quantity) && !again.contains(&r.quantity));
    let size = |q: &Quantity| match q {
        Quantity::Piece(position, size) => Some((position.clone(), *size)),
        _ => None,
    };
    alone.filter_map(|(_, r)| size(&r.quantity)).collect()
}

/// What is between the least and the most that a finish adds to a size.
type Coat = [Length; 2];

fn coat(reading: &Reading, finish: impl Fn(&str, PartKind) -> Option<Finish>) -> Option<Coat> {
    let Quantity::Piece(position, size) = &reading.quantity else { return None };
    let (finish, faces) = (finish(position, size.part)?, size.finished_faces() as f64);
    Some([(finish.adds() - finish.within()) * faces, (finish.adds() + finish.within()) * faces])
}

fn is_face(reading: &Reading) -> bool {
    matches!(&reading.quantity, Quantity::Piece(_, size) if size.finished_faces() > 0)
}

/// Readings of faces of the copies on the bench since they are finished, in the log's order; what was replaced by one afresh is
/// among them.
fn since_finished<'l>(log: &'l Log, copies: &Copies) -> Vec<Read<'l>> {
    let withdrawn: Vec<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let all = log.entries.iter().filter_map(|entry| match &entry.matter {
        Matter::Reading(reading) => Some((entry, reading)),
        _ => None,
    });
    let counts = |(entry, reading): &Read| {
        reading.tool.is_some()
            && copies.is_of_finished(&reading.quantity, entry)
            && !is_of_another_copy(&reading.quantity, entry, copies)
            && !withdrawn.contains(&entry.number)
    };
    all.filter(counts).collect()
}

/// Of what was read of a size since, in its order: which is not believed, and which of it nobody has read again afresh.
fn doubtful<'l>(since: &[Read<'l>], is_bare: impl Fn(&[Read]) -> bool) -> (Vec<Read<'l>>, Vec<Read<'l>>) {
    let (mut doubted, mut open): (Vec<Read>, Vec<Read>) = (Vec::new(), Vec::new());
    let mut believed: Vec<Read> = Vec::new();
    for (i, one) in since.iter().enumerate() {
        // Read once more on purpose: from there on it is as it is said.
        if i > 0 && one.1.afresh {
            return (doubted, Vec::new());
        }
        if is_bare(&[*one]) {
            doubted.push(*one);
            open.push(*one);
            continue;
        }
        believed.push(*one);
        // One figure an entry says less than several entries do together.
        if believed.len() > 1 && is_bare(&believed) {
            doubted.extend(&believed);
            open.append(&mut believed);
        }
    }
    (doubted, open)
}

/// What is known of hand and tools.
struct Bench<'l> {
    log: &'l Log,
    hand: Hand,
}

impl<'l> Bench<'l> {
    fn of(log: &'l Log, bare: &[Read<'l>], since: &[Read<'l>]) -> Self {
        let alike = |a: &Reading, b: &Reading| {
            (&a.quantity, a.tool, a.how, &a.spot) == (&b.quantity, b.tool, b.how, &b.spot)
        };
        let mut all: Vec<Series> = Vec::new();
        for one in bare {
            match all.iter_mut().find(|s| alike(s.reading, one.1)) {
                Some(series) => series.values.extend(one.1.values.iter().map(|v| (*v, one.0))),
                None => all.push(series(&[*one], one.1)),
            }
        }
        // Each by itself: which of them are alike is the question.
        all.extend(since.iter().map(|one| series(&[*one], one.1)));
        let resolution = |tool| tool_at(log, tool).map_or(Length::ZERO, |t| t.resolution);
        Self { log, hand: Hand::from_series(&all.iter().collect::<Vec<_>>(), resolution, 0) }
    }

    /// Do readings agree with what was read of the bare print, and not with that and its finish?
    fn is_bare(&self, read: &[Read], bare: &[Read], [least, most]: Coat) -> bool {
        let (Some((_, last)), Some(as_it_was)) = (read.last(), as_read_like(read, bare)) else {
            return false;
        };
        let now = series(read, last);
        let off = (now.mean() - as_it_was.mean()).as_mm();
        // A coat may be so thin that both are the same; one less than half as thick as usual is asked about all the same.
        let least = if least <= Length::ZERO { (least + most) * THIN / 2.0 } else { least };
        let beyond = if least > Length::ZERO { least.as_mm() - off } else { off - most.as_mm() };
        if (least <= Length::ZERO && most >= Length::ZERO) || beyond <= 0.0 {
            return false;
        }
        let scatter = self.hand.of(&now);
        let of_mean = |s: &Series| self.hand.of(s).one.as_mm().power(2) / s.values.len() as f64;
        let u = (of_mean(&now) + of_mean(&as_it_was) + self.of_tools(&now, &as_it_was)).sqrt();
        let chance = |far: f64| student::beyond(far / u, scatter.freedom) / 2.0;
        chance(beyond) < FINISHED && chance(off.abs()) >= BARE
    }

    /// What resolution, and tools where they are not the same, add to the variance of a difference, mm².
    fn of_tools(&self, a: &Series, b: &Series) -> f64 {
        let tools = [a, b].map(|s| Some((tool_at(self.log, s.reading.tool?)?, s.reading.how.jaws())));
        let of = |(tool, jaws): (&Tool, _)| {
            let own = if tools[0] == tools[1] { 0.0 } else { tool.limit(jaws).as_mm().power(2) / 3.0 };
            own + tool.resolution.as_mm().power(2) / 12.0
        };
        tools.into_iter().flatten().map(of).sum()
    }
}

/// Readings of the bare print, those with the same part of the same tool where there are any: what that is off is the same.
fn as_read_like<'b>(read: &[Read], bare: &[Read<'b>]) -> Option<Series<'b>> {
    let (_, like) = read.last()?;
    let is_alike = |r: &Reading| (r.tool, r.how.jaws()) == (like.tool, like.how.jaws());
    let alike: Vec<Read> = bare.iter().copied().filter(|(_, r)| is_alike(r)).collect();
    let used = if alike.is_empty() { bare.to_vec() } else { alike };
    let (_, first) = *used.first()?;
    Some(series(&used, first))
}

fn series<'b>(read: &[Read<'b>], like: &'b Reading) -> Series<'b> {
    let values = read.iter().flat_map(|(entry, r)| r.values.iter().map(|v| (*v, *entry)));
    Series { reading: like, values: values.collect(), until: Vec::new() }
}

fn tool_at(log: &Log, index: usize) -> Option<&Tool> {
    match &log.entries.get(index)?.matter {
        Matter::Tool(tool) => Some(tool),
        _ => None,
    }
}

/// What is odd about them, and what to do.
fn said(open: &[Read], bare: &[Read], [least, most]: Coat) -> Option<Problem> {
    let ((entry, reading), (_, first)) = (open.last()?, bare.first()?);
    let (now, was) = (series(open, reading).mean(), series(bare, first).mean());
    let numbers: Vec<String> = open.iter().map(|(entry, _)| entry.number.to_string()).collect();
    let (word, them) = if open.len() > 1 { ("entries", "them") } else { ("entry", "it") };
    let message = format!(
        "{word} {}: {} is {now} since its part is finished; as a bare print it was {was}, and finished it would be {} to {}: that does not count yet",
        numbers.join(" and "),
        reading.quantity.named(reading.spot.as_deref()),
        was + least,
        was + most
    );
    let hint = format!(
        "was {them} read before it was finished, or on another copy? Then withdraw {them}, and enter what was read before with the day on which it was; else read it once more, afresh (worked over since), and that counts"
    );
    Some(Problem::notice(entry.span, message).hint(hint))
}
