//! What printed parts teach about the printer: entries for its log, and what they would change.

use std::collections::BTreeMap;

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::printer::coupon::CouponSize;
use bobbinwright_spec::{
    Book, Calibrated, Estimate, Family, Length, NewReading, NewTool, Origin, PartKind, PieceSize,
    PrinterSurvey, Problems, Quantity, SourceFile, Survey, When, with_entry,
};

use crate::bench::Lying;
use crate::mixed::{Drawn, Rival, Size, rival};

/// What readings of printed parts would add to the printer's log.
pub struct Lesson {
    /// Entries that it does not have yet: readings, and tools before them where it does not know them.
    pub entries: Vec<String>,
    /// What is odd about other readings, a line each.
    pub odd: Vec<String>,
    /// Builds of copies that may be mixed up: who knows by the copy itself that it is of one of them may say so.
    pub to_confirm: Vec<String>,
}

/// What else is known when copies are to teach.
#[derive(Clone, Copy, Default)]
pub struct Bench<'b> {
    /// All that was ever printed for the printer, see [`crate::mixed::ever_printed`].
    pub others: &'b [Drawn],
    /// The build that somebody says the copies are of, by what is written on them.
    pub said: Option<&'b str>,
}

impl Lesson {
    /// How many of the entries are readings.
    pub fn readings(&self) -> usize {
        self.entries.iter().filter(|entry| entry.starts_with("reading(")).count()
    }

    /// The printer as it would be with them.
    ///
    /// # Errors
    /// What is wrong with its files then.
    pub fn learnt(&self, printer: &PrinterSurvey, when: When) -> Result<Calibrated, Problems> {
        let name = printer.problems.files.get(1).map(|log| log.name.clone()).unwrap_or_default();
        let text = with_entry(log_of(printer), &self.entries.join("\n"));
        let after = printer.with_log(SourceFile { name, text }, when)?;
        if after.problems.has_errors() { Err(after.problems) } else { after.printer() }
    }
}

/// The text of a printer's log.
pub fn log_of(printer: &PrinterSurvey) -> &str {
    printer.problems.files.get(1).map_or("", |log| log.text.as_str())
}

/// Why nothing is learnt from the copies on the bench.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NothingLearnt {
    /// The family says itself what its printer can do.
    #[error(
        "the family says itself what its printer can do; bobbinwright coupon FOLDER --for FAMILY starts a printer's folder"
    )]
    NoPrinter,
    /// A profile has to be there first.
    #[error("nothing was read on a coupon of {0} yet")]
    NoCoupon(String),
    /// They were drawn for another printer.
    #[error("none of the copies on the bench was drawn for {0}")]
    DrawnForAnother(String),
    /// Nobody knows how one was drawn.
    #[error("how {copy} was drawn is not known ({why})")]
    Unknown {
        /// Which copy.
        copy: String,
        /// Why not.
        why: String,
    },
    /// Somebody says a build that none of them is of.
    #[error(
        "no copy on the bench is of build {said}; they are of {there}. If the part says {said}, another one was read: withdraw that"
    )]
    NoSuchBuild {
        /// What was said.
        said: String,
        /// The builds of the copies on the bench, with those.
        there: String,
    },
    /// There is nothing new.
    #[error("no wall, hole or height was read on them that its log does not have")]
    NothingNew,
}

/// What the copies on the bench teach, of which the log knows how they were drawn; `slug` is the printer's.
///
/// # Errors
/// See [`NothingLearnt`].
pub fn of_copies(
    survey: &Survey,
    family: &Family,
    lying: &[Lying],
    printer: &PrinterSurvey,
    slug: &str,
    bench: Bench,
) -> Result<Lesson, NothingLearnt> {
    if !printer.is_begun() {
        return Err(NothingLearnt::NoCoupon(slug.to_owned()));
    }
    no_such_build(lying, bench.said)?;
    let of = |lies: &&Lying| lies.source().is_ok_and(|s| s.built.drawn_for.as_deref() == Some(slug));
    let drawn_for_it: Vec<&Lying> = lying.iter().filter(of).collect();
    if drawn_for_it.is_empty() {
        let unknown = lying.iter().find_map(|lies| Some((&lies.copy, lies.source().err()?)));
        return Err(unknown.map_or_else(
            || NothingLearnt::DrawnForAnother(slug.to_owned()),
            |(copy, why)| NothingLearnt::Unknown { copy: copy.to_string(), why: why.to_string() },
        ));
    }
    // What was read since a part was finished does not tell of the printer.
    let bare = family.pieces.iter().filter(|(key, _)| !family.finished.read.contains(key));
    let read = bare.filter_map(|((position, size), estimate)| {
        let is_it = |lies: &&&Lying| lies.copy.position == *position && lies.copy.kind == size.part;
        let copy = &drawn_for_it.iter().find(is_it)?.copy;
        let source = drawn_for_it.iter().find(is_it)?.source().ok()?;
        let word = size.to_string();
        let drawn = source.built.drawn(&copy.part(), word.split_once('.')?.1)?;
        // The first copy's readings may have been entered before it on that day.
        let after = if copy.number == 1 { 0 } else { copy.entry };
        let read = Read::new(position, *size, estimate, drawn, format!("{} {copy}", survey.slug), after);
        Some(Read { build: Some(copy.build.clone()), ..read })
    });
    let lesson = with_bench(survey, family, &read.collect::<Vec<_>>(), printer, bench);
    if lesson.entries.is_empty() && lesson.odd.is_empty() {
        return Err(NothingLearnt::NothingNew);
    }
    Ok(lesson)
}

/// Refuses a build that no copy is of, by what is written on one.
fn no_such_build(lying: &[Lying], said: Option<&str>) -> Result<(), NothingLearnt> {
    let Some(said) = said else { return Ok(()) };
    if lying.iter().any(|lies| lies.copy.build.eq_ignore_ascii_case(said)) {
        return Ok(());
    }
    let mut there: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for lies in lying {
        there.entry(&lies.copy.build).or_default().push(lies.copy.to_string());
    }
    let there: Vec<String> =
        there.into_iter().map(|(build, copies)| format!("{build} ({})", copies.join("; "))).collect();
    Err(NothingLearnt::NoSuchBuild { said: said.to_owned(), there: there.join(" and ") })
}

/// A part whose size came out further off than this many of its standard uncertainties, and than this, was drawn
/// otherwise than the build says, or misread.
const ODD: (f64, Length) = (4.0, Length::from_mm(0.15));

/// Entries for the printer's log that are not in it yet, of parts of the last build; and what is odd about others, a
/// line each. A part of which one size is odd teaches nothing at all.
pub fn entries(survey: &Survey, family: &Family, read: &[Read], printer: &PrinterSurvey) -> Lesson {
    with_bench(survey, family, read, printer, Bench::default())
}

fn with_bench(
    survey: &Survey,
    family: &Family,
    read: &[Read],
    printer: &PrinterSurvey,
    bench: Bench,
) -> Lesson {
    let text = printer.problems.files.get(1).map_or("", |f| f.text.as_str());
    let (contradict, read): (Vec<&Read>, Vec<&Read>) =
        read.iter().partition(|r| r.contradicts_itself(family));
    let odd: Vec<&Read> = read.iter().copied().filter(|r| r.off(family).is_some()).collect();
    let told = odd.iter().filter_map(|r| {
        let off = r.off(family)?;
        let side = if off < Length::ZERO { "smaller" } else { "larger" };
        Some(format!(
            "{} was read {} {side} than this printer makes of what its build drew: the {} was printed from another build, or misread. It teaches nothing.",
            r.quantity,
            off.abs(),
            r.part
        ))
    });
    let mut told: Vec<String> = told.collect();
    told.extend(contradict.iter().map(|r| {
        format!(
            "{}: its readings contradict each other, so it teaches nothing before it was read again and what is wrong withdrawn.",
            r.quantity
        )
    }));
    let read: Vec<&Read> = read.into_iter().filter(|r| !odd.iter().any(|o| o.is_of_the_same(r))).collect();
    let is_taught = |r: &Read| {
        let mut names = Names { printer, given: Vec::new() };
        let new = new_entries(survey, r, &mut names, text);
        new.is_empty()
    };
    let mut doubtful = Doubtful::of(&read, family, bench, is_taught);
    told.append(&mut doubtful.told);
    let mut names = Names { printer, given: Vec::new() };
    let mut new: Vec<String> = Vec::new();
    for r in read.iter().filter(|r| !doubtful.of.contains(&r.quantity)) {
        new.extend(new_entries(survey, r, &mut names, text));
    }
    Lesson { entries: new, odd: told, to_confirm: doubtful.to_confirm }
}

/// Entries of what was read that a printer's log does not have.
fn new_entries(survey: &Survey, r: &Read, names: &mut Names, text: &str) -> Vec<String> {
    let mut new = Vec::new();
    for (tool, mut reading) in survey.as_entries(&r.quantity, r.after, r.drawn, &r.spot) {
        let (name, entry) = names.of(&tool);
        reading.with = Some(name);
        // Of the first copy it may have been entered before copies were told apart.
        let plain = reading.clone();
        let before = r.after == 0 && text.contains(&NewReading { spot: r.plain_spot(), ..plain }.to_string());
        let reading = reading.to_string();
        if !before && !text.contains(&reading) {
            new.extend(entry);
            new.push(reading);
        }
    }
    new
}

/// What may have been read of another part than is said.
#[derive(Default)]
struct Doubtful {
    /// What is not believed.
    of: Vec<Quantity>,
    told: Vec<String>,
    to_confirm: Vec<String>,
}

impl Doubtful {
    fn of(read: &[&Read], family: &Family, bench: Bench, is_taught: impl Fn(&Read) -> bool) -> Self {
        let mut all = Self::default();
        let Some(profile) = family.printer.profile() else { return all };
        let mut seen: Vec<&Read> = Vec::new();
        for first in read {
            let Some(build) =
                first.build.as_deref().filter(|_| !seen.iter().any(|s| s.is_of_the_same(first)))
            else {
                continue;
            };
            seen.push(first);
            let of_it = || read.iter().filter(|r| r.is_of_the_same(first));
            let sizes: Vec<Size> = of_it().filter_map(|r| r.as_size()).collect();
            let Some(found) = rival([build, &first.position], first.kind, &sizes, profile, bench.others)
            else {
                continue;
            };
            let is_said = bench.said.is_some_and(|said| said.eq_ignore_ascii_case(build));
            if is_said && !found.is_likelier() {
                continue;
            }
            let differs = |r: &&&Read| found.differ.iter().any(|(word, _)| *word == r.word());
            // Said before by whoever looked: there is nothing to ask any more.
            if of_it().filter(differs).all(|r| is_taught(r)) {
                continue;
            }
            if !found.is_likelier() {
                all.to_confirm.push(build.to_owned());
            }
            all.told.push(in_words(first, build, &found, family));
            all.of.extend(of_it().filter(differs).map(|r| r.quantity.clone()));
        }
        all
    }
}

/// What else a copy may be, and what would tell.
fn in_words(read: &Read, build: &str, rival: &Rival, family: &Family) -> String {
    let unit = family.unit();
    let sizes = rival.differ.iter().map(|(word, [here, there])| {
        format!("{word} (this one's {}, that one's {})", unit.figure(*here), unit.shown(*there))
    });
    let sizes = sizes.collect::<Vec<_>>().join(", ");
    let how = if rival.is_likelier() { "goes better with" } else { "goes as well with" };
    format!(
        "What was read of the {} {}, said to be of build {build}, {how} {}. They differ in {sizes}: that teaches nothing now. Look which of both it is: if it is the other one, withdraw its readings; if not, read what differs again.",
        read.position, read.part, rival.name
    )
}

/// A size that was read on a printed part, and what the build says that it was drawn as.
pub struct Read<'b> {
    position: String,
    part: &'static str,
    kind: PartKind,
    size: PieceSize,
    /// The build that it is said to be of, where the log says one.
    build: Option<String>,
    quantity: Quantity,
    drawn: &'b str,
    estimate: Estimate,
    /// What the part is called in the printer's log.
    spot: String,
    /// It was read by entries after this one.
    after: usize,
}

impl<'b> Read<'b> {
    /// `drawn` is the size's name on a coupon, `spot` what the part is called in the printer's log; entries count from the one after
    /// `after` on.
    pub fn new(
        position: &str,
        size: PieceSize,
        estimate: &Estimate,
        drawn: &'b str,
        spot: String,
        after: usize,
    ) -> Self {
        let quantity = Quantity::Piece(position.to_owned(), size);
        let (position, part, kind) = (position.to_owned(), size.part.name(), size.part);
        Self {
            position,
            part,
            kind,
            size,
            build: None,
            quantity,
            drawn,
            estimate: estimate.clone(),
            spot,
            after,
        }
    }

    /// What the size is called on its part.
    fn word(&self) -> &'static str {
        self.size.size.word()
    }

    fn is_of_the_same(&self, other: &Read) -> bool {
        (&self.position, self.part) == (&other.position, other.part)
    }

    fn as_size(&self) -> Option<Size> {
        let drawn = CouponSize::parse(self.drawn).ok()?;
        Some(Size { word: self.word().to_owned(), drawn, read: self.estimate.clone() })
    }

    /// Was it pointed out that what was read of it can't all be right?
    fn contradicts_itself(&self, family: &Family) -> bool {
        let is_one = |id| family.doubts.get(id).is_some_and(|doubt| doubt.origin == Origin::Contradiction);
        self.estimate.contributions().any(|(id, _)| is_one(id))
    }

    /// What the part was called before its copies were told apart.
    fn plain_spot(&self) -> Option<String> {
        self.spot.split_once(", copy ").map(|(plain, _)| plain.to_owned())
    }

    /// How far off it is of what the printer makes, where that is too far.
    fn off(&self, family: &Family) -> Option<Length> {
        let size = CouponSize::parse(self.drawn).ok()?;
        let (expected, u) = family.printer.profile()?.expected(size);
        let off = self.estimate.value() - expected;
        let u = u.as_mm().hypotenuse(self.estimate.uncertainty().as_mm());
        (off.abs().as_mm() > (ODD.0 * u).max(ODD.1.as_mm())).then_some(off)
    }
}

/// The tools' names in the printer's log.
struct Names<'p> {
    printer: &'p PrinterSurvey,
    /// Tools entered with the readings.
    given: Vec<NewTool>,
}

impl Names<'_> {
    /// The name under which the printer's log knows a tool, and the entry that makes it known if it does
    /// not yet. A name that stands for another tool there is not taken.
    fn of(&mut self, new: &NewTool) -> (String, Option<String>) {
        let mut tool = new.tool.clone();
        for number in 2.. {
            let given = self.given.iter().map(|t| &t.tool).find(|t| t.name == tool.name);
            match given.or(self.printer.tool(&tool.name)) {
                Some(known) if *known == tool => return (tool.name, None),
                Some(_) => tool.name = format!("{} {number}", new.tool.name),
                None => break,
            }
        }
        let entered = NewTool { on: new.on, tool: tool.clone(), unit: new.unit };
        let entry = entered.to_string();
        self.given.push(entered);
        (tool.name, Some(entry))
    }
}
