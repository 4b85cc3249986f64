//! What printed parts teach about the printer: offered, and entered in its log only when asked for.

use bobbinwright_clock as clock;
use bobbinwright_elementary::Elementary;
use std::collections::BTreeMap;
use std::path::Path;

use bobbinwright_export::bench::Lying;
use bobbinwright_export::{manifest, whose};
use bobbinwright_spec::printer::coupon::CouponSize;
use bobbinwright_spec::{
    Book, Estimate, Family, Folder, Length, NewReading, NewTool, PieceSize, PrinterSurvey, Quantity,
    SourceFile, Survey, append, part_name, with_entry,
};
use serde::Deserialize;

use crate::outcome::Outcome;
use crate::{arguments, complain, profile, say};

/// What a manifest says of the sizes that its parts were drawn with.
#[derive(Deserialize)]
struct Built {
    log_entries: usize,
    parts: Vec<BuiltPart>,
    profile: Option<BuiltFor>,
}

#[derive(Deserialize)]
struct BuiltFor {
    printer: String,
}

#[derive(Deserialize)]
struct BuiltPart {
    position: String,
    part: String,
    printed: BuiltPrint,
}

#[derive(Deserialize)]
struct BuiltPrint {
    drawn: BTreeMap<String, String>,
}

impl Built {
    fn read(file: &Path) -> Option<Self> {
        serde_json::from_slice(&std::fs::read(file).ok()?).ok()
    }

    /// For a size of a part, the name of what was drawn.
    fn drawn(&self, position: &str, part: &str, size: &str) -> Option<&str> {
        let part = self.parts.iter().find(|p| p.position == position && p.part == part)?;
        part.printed.drawn.get(size).map(String::as_str)
    }
}

/// Says what the readings of printed parts would change in the printer's profile; enters them there when
/// that is asked for.
pub(crate) fn what(
    options: &arguments::Inspect,
    survey: &Survey,
    family: &Family,
    lying: &[Lying],
) -> Outcome {
    let Some(known) = &survey.sources().printer else {
        // There is no log, and mostly nobody asks.
        let why = "the family says itself what its printer can do; bobbinwright coupon FOLDER --for FAMILY starts a printer's folder";
        return if options.teach.is_some() { nothing(options, why) } else { Outcome::Fine };
    };
    let (folder, slug) = (&known.folder, known.slug.as_str());
    let printer = match PrinterSurvey::load_at(&Folder::on_disk(folder), clock::now()) {
        Ok(printer) => printer,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if !printer.is_begun() {
        return nothing(options, &format!("nothing was read on a coupon of {slug} yet"));
    }
    if !lying.is_empty() {
        return of_copies(options, survey, family, lying, &printer);
    }
    let folder_of_build = whose::folder(&options.out, family);
    let file = folder_of_build.join(manifest::FILE);
    let Some(built) = Built::read(&file) else {
        let why = format!(
            "the sizes they were drawn with are not known, since {} can't be read (--out names the folder that builds are in)",
            file.display()
        );
        return nothing(options, &why);
    };
    let Some(stands) = whose::standing(&folder_of_build, family) else {
        let why = format!("{} does not tell what the build was made from", file.display());
        return nothing(options, &why);
    };
    if !stands.is_own {
        let why = format!(
            "the build in {} is of another family, {:?} (--out names the folder that builds are in)",
            folder_of_build.display(),
            stands.title
        );
        return nothing(options, &why);
    }
    if built.profile.as_ref().is_none_or(|p| p.printer != slug) {
        let why = format!("the last build in {} was not for {slug}", options.out.display());
        return nothing(options, &why);
    }
    let read = family.pieces.iter().filter_map(|((position, size), estimate)| {
        let part = part_name(position, size.part);
        let word = size.to_string();
        let drawn = built.drawn(position, size.part.name(), word.split_once('.')?.1)?;
        let spot = format!("{} {part}", survey.slug);
        Some(Read::new(position, *size, estimate, drawn, spot, built.log_entries))
    });
    let (new, odd) = entries(survey, family, &read.collect::<Vec<_>>(), &printer);
    for line in &odd {
        say::line(line);
    }
    if new.is_empty() && !odd.is_empty() {
        return nothing(options, "what was read is not of parts that this build drew");
    }
    if new.is_empty() {
        let why = "since the last build no wall, hole or height was read that its log does not have";
        return nothing(options, why);
    }
    // What was printed before that build was drawn otherwise, and nothing on the bench tells which it was.
    let confirmed = match &options.teach {
        None => false,
        Some(mark) if *mark == stands.mark => true,
        Some(given) => {
            let given = if given.is_empty() { String::new() } else { format!(", not {given}") };
            let why = format!(
                "say from which build the parts were printed. The one in {} is {}{given}, of a log of {} entries, and its report says so. If the parts are from it: bobbinwright inspect {} --teach={}. Parts of an earlier build teach nothing, since it is not known any more how they were drawn",
                folder_of_build.display(),
                stands.mark,
                built.log_entries,
                options.family.display(),
                stands.mark
            );
            return nothing(options, &why);
        }
    };
    offer(options, &printer, folder, &new, Some(&stands.mark), confirmed)
}

/// The same where the log knows of which copies was read, and so how they were drawn.
fn of_copies(
    options: &arguments::Inspect,
    survey: &Survey,
    family: &Family,
    lying: &[Lying],
    printer: &PrinterSurvey,
) -> Outcome {
    let Some(known) = &survey.sources().printer else { return Outcome::Fine };
    let of = |lies: &&Lying| {
        lies.source().is_ok_and(|s| s.built.drawn_for.as_deref() == Some(known.slug.as_str()))
    };
    let drawn_for_it: Vec<&Lying> = lying.iter().filter(of).collect();
    if drawn_for_it.is_empty() {
        let unknown = lying.iter().find_map(|lies| Some((&lies.copy, lies.source().err()?)));
        let why = unknown.map_or_else(
            || format!("none of the copies on the bench was drawn for {}", known.slug),
            |(copy, why)| format!("how {copy} was drawn is not known ({why})"),
        );
        return nothing(options, &why);
    }
    let read = family.pieces.iter().filter_map(|((position, size), estimate)| {
        let is_it = |lies: &&&Lying| lies.copy.position == *position && lies.copy.kind == size.part;
        let copy = &drawn_for_it.iter().find(is_it)?.copy;
        let source = drawn_for_it.iter().find(is_it)?.source().ok()?;
        let word = size.to_string();
        let drawn = source.built.drawn(&copy.part(), word.split_once('.')?.1)?;
        // The first copy's readings may have been entered before it on that day.
        let after = if copy.number == 1 { 0 } else { copy.entry };
        Some(Read::new(position, *size, estimate, drawn, format!("{} {copy}", survey.slug), after))
    });
    let (new, odd) = entries(survey, family, &read.collect::<Vec<_>>(), printer);
    for line in &odd {
        say::line(line);
    }
    if new.is_empty() {
        let why = if odd.is_empty() {
            "no wall, hole or height was read on them that its log does not have"
        } else {
            "what was read does not go with how they were drawn"
        };
        return nothing(options, why);
    }
    offer(options, printer, &known.folder, &new, None, options.teach.is_some())
}

/// How many entries a family's log had when the build in a folder was made.
pub(crate) fn entries_at_build(folder: &Path) -> Option<usize> {
    Built::read(&folder.join(manifest::FILE)).map(|built| built.log_entries)
}

/// Nothing is learnt: wrong only when it was asked for.
fn nothing(options: &arguments::Inspect, why: &str) -> Outcome {
    if options.teach.is_some() {
        return complain::failure(&format!("nothing was entered in the printer's log: {why}"), false);
    }
    say::line(format_args!("\nThe printer learns nothing from these parts: {why}."));
    Outcome::Fine
}

/// Shows the profile as it would be, and enters the readings when asked to.
fn offer(
    options: &arguments::Inspect,
    printer: &PrinterSurvey,
    folder: &Path,
    new: &[String],
    mark: Option<&str>,
    confirmed: bool,
) -> Outcome {
    let Some(log) = printer.problems.files.get(1) else { return Outcome::Fine };
    let entry = new.join("\n");
    let after = printer
        .with_log(SourceFile { name: log.name.clone(), text: with_entry(&log.text, &entry) }, clock::now());
    let now = after.and_then(
        |after| {
            if after.problems.has_errors() { Err(after.problems) } else { after.printer() }
        },
    );
    let now = match now {
        Ok(now) => now,
        Err(problems) => {
            // They stand in no file that could be shown.
            let all: Vec<&str> = problems.all.iter().map(|p| p.message.as_str()).collect();
            return nothing(options, &all.join("; "));
        }
    };
    let was = printer.clone().printer().ok();
    if let Some(now) = now.printer.profile() {
        say::line("\nWith these parts' readings among the printer's:");
        say::text(profile::compared(now, was.as_ref().and_then(|was| was.printer.profile())));
    }
    if !confirmed {
        let folder = options.family.display();
        match mark {
            Some(mark) => say::line(format_args!(
                "Nothing of that is entered. If the parts were printed from the build {mark}, which its report names, bobbinwright inspect {folder} --teach={mark} enters it. Do that before you file or drill a part."
            )),
            None => say::line(format_args!(
                "Nothing of that is entered; bobbinwright inspect {folder} --teach enters it. Do that before you file or drill a part."
            )),
        }
        return Outcome::Fine;
    }
    match append(&Folder::on_disk(folder), &entry, &log.text) {
        Ok(()) => {
            let readings = new.iter().filter(|n| n.starts_with("reading(")).count();
            let word = if readings == 1 { "reading" } else { "readings" };
            say::line(format_args!("Entered in the printer's log: {readings} {word}."));
            Outcome::Fine
        }
        Err(e) => complain::failure(&e.to_string(), false),
    }
}

/// A part whose size came out further off than this many of its standard uncertainties, and than this, was drawn
/// otherwise than the build says, or misread.
const ODD: (f64, Length) = (4.0, Length::from_mm(0.15));

/// Entries for the printer's log that are not in it yet, of parts of the last build; and what is odd about others, a
/// line each. A part of which one size is odd teaches nothing at all.
fn entries(
    survey: &Survey,
    family: &Family,
    read: &[Read],
    printer: &PrinterSurvey,
) -> (Vec<String>, Vec<String>) {
    let text = printer.problems.files.get(1).map_or("", |f| f.text.as_str());
    let odd: Vec<&Read> = read.iter().filter(|r| r.off(family).is_some()).collect();
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
    let told = told.collect();
    let mut names = Names { printer, given: Vec::new() };
    let mut new: Vec<String> = Vec::new();
    for r in read {
        if odd.iter().any(|o| (&o.position, o.part) == (&r.position, r.part)) {
            continue;
        }
        for (tool, mut reading) in survey.as_entries(&r.quantity, r.after, r.drawn, &r.spot) {
            let (name, entry) = names.of(&tool);
            reading.with = Some(name);
            // Of the first copy it may have been entered before copies were told apart.
            let plain = reading.clone();
            let before =
                r.after == 0 && text.contains(&NewReading { spot: r.plain_spot(), ..plain }.to_string());
            let reading = reading.to_string();
            if !before && !text.contains(&reading) {
                new.extend(entry);
                new.push(reading);
            }
        }
    }
    (new, told)
}

/// A size that was read on a printed part, and what the build says that it was drawn as.
struct Read<'b> {
    position: String,
    part: &'static str,
    quantity: Quantity,
    drawn: &'b str,
    estimate: Estimate,
    /// What the part is called in the printer's log.
    spot: String,
    /// It was read by entries after this one.
    after: usize,
}

impl<'b> Read<'b> {
    fn new(
        position: &str,
        size: PieceSize,
        estimate: &Estimate,
        drawn: &'b str,
        spot: String,
        after: usize,
    ) -> Self {
        let quantity = Quantity::Piece(position.to_owned(), size);
        let (position, part) = (position.to_owned(), size.part.name());
        Self { position, part, quantity, drawn, estimate: estimate.clone(), spot, after }
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
