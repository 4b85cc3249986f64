//! The measuring sheet: what to read, where, and how, to print and take to the bench; and paper
//! templates at 1:1 to lay into the rout before anything is printed.

mod angle;
pub mod coupon;
mod dims;
mod guide;
mod looks;
pub mod pieces;
mod routing;
mod rows;
mod section;
mod sizes;
mod template;
mod view;

pub use guide::Taking;

use bobbinwright_fit::Again;
use bobbinwright_kernel::plane::{Bounds, Point};
use bobbinwright_spec::{Identity, Quantity, Survey, Surveyed, SurveyedPosition};
use jiff::civil::Date;

use crate::listing;
use bobbinwright_core::Prepared;
use bobbinwright_install::HashedFile;
use bobbinwright_install::{InstallError, Sink};
use bobbinwright_paper::{Align, GREY, Page, Type, pdf, svg};

/// The paper that sheets are printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm (ISO 216).
    A4,
    /// 8.5 in by 11 in (ANSI/ASME Y14.1 A).
    Letter,
}

impl Paper {
    /// Width and height upright, mm.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        }
    }
}

/// What stands at the foot of a measuring sheet.
const FOOT: [&str; 3] = [
    "Black number: to be read, or read again. ±: standard uncertainty. Close the jaws gently and set the caliper on anew each time: the spread tells how sure it is.",
    "To enter: bobbinwright read FAMILY NAME FIGURE FIGURE, with --how WORD for a word in round brackets, --within FIGURE for packet, --spot PLACE for each place.",
    "Strings carry tension: eyes away from a slack or cut end.",
];

/// What no printer reaches, mm; nothing is drawn nearer to the paper's edge.
pub(crate) const EDGE: f64 = 10.0;

/// A row of the sheet: a quantity with its number.
pub(crate) struct Row<'a> {
    pub number: usize,
    pub known: &'a Surveyed,
    /// How many times it should be read again.
    pub again: Option<usize>,
    /// What is wanted, in two lines, where that is shown instead of what is known.
    pub wanted: Option<[String; 2]>,
}

/// A sheet, and what there was no paper for.
pub struct MeasuringSheet {
    /// Its pages.
    pub pages: Vec<Page>,
    /// Positions whose template is larger than the paper.
    pub too_large: Vec<String>,
    /// How many of the pages are templates.
    pub templates: usize,
}

/// The sheet: a page for what the whole instrument has, one for each position with its drawing, and,
/// when the family can be built, a template for each position.
pub fn measuring_sheet(survey: &Survey, prepared: Option<&Prepared>, paper: Paper) -> MeasuringSheet {
    let mut pages = to_read(survey, prepared, paper);
    let (mut too_large, mut templates) = (Vec::new(), 0);
    for index in prepared.map_or(0..0, |p| 0..p.positions.len()) {
        let Some(prepared) = prepared else { break };
        let guide = routing::page(prepared, index, paper);
        templates += usize::from(guide.is_some());
        pages.extend(guide);
        match template::page(prepared, index, paper) {
            Some(page) => {
                pages.push(page);
                templates += 1;
            }
            None => too_large.push(prepared.family.positions[index].name.clone()),
        }
    }
    number_pages(&mut pages, survey.entries, survey.last_entry);
    MeasuringSheet { pages, too_large, templates }
}

/// The pages with what is to be read, not numbered yet.
fn to_read(survey: &Survey, prepared: Option<&Prepared>, paper: Paper) -> Vec<Page> {
    let again = prepared.map(|p| p.fit.to_repeat().again).unwrap_or_default();
    let guards = prepared.map(|p| guards(survey, p)).unwrap_or_default();
    let rows = numbered(survey, &again);
    let about = rows::About {
        title: &survey.title,
        strings: survey.strings,
        positions: &survey.positions,
        known: "known so far",
        unit: survey.unit(),
        foot: FOOT,
    };
    let mut pages = Vec::new();
    let rest: Vec<&Row> =
        rows.iter().filter(|r| matches!(r.known.quantity, Quantity::Instrument(_))).collect();
    rows::paged(&mut pages, &about, paper, "Measuring sheet: strings, rods and screws", &rest, |_, y| y);
    for position in &survey.positions {
        let is_here = |r: &&Row| matches!(&r.known.quantity, Quantity::At(p, _) if *p == position.name);
        let here: Vec<&Row> = rows.iter().filter(is_here).collect();
        let title = format!("Measuring sheet: {}", position.name);
        let top = |page: &mut Page, y: f64| view::position(page, y, survey, position, &here);
        rows::paged(&mut pages, &about, paper, &title, &here, top);
    }
    // Last, so that all others have the numbers that they have on the page.
    let guards: Vec<Row> =
        (rows.len() + 1..).zip(&guards).map(|(number, known)| guard(number, known)).collect();
    if !guards.is_empty() {
        let title = "Measuring sheet: read too, against slips";
        rows::paged(&mut pages, &about, paper, title, &guards.iter().collect::<Vec<_>>(), |_, y| y);
    }
    pages
}

fn guard(number: usize, known: &Surveyed) -> Row<'_> {
    let wanted = Some(["read it too: it", "would show a slip"].map(str::to_owned));
    Row { number, known, again: Some(1), wanted }
}

/// What was not read and would show a slip in readings that a verdict hangs on.
fn guards(survey: &Survey, prepared: &Prepared) -> Vec<Surveyed> {
    let mut all: Vec<Surveyed> = Vec::new();
    for quantity in prepared.fit.unguarded(&prepared.family).iter().filter_map(|u| u.by.clone()) {
        let is_known = survey.quantities.iter().chain(&all).any(|q| q.quantity == quantity);
        if !is_known {
            all.push(Surveyed::unread(quantity));
        }
    }
    all
}

/// The measuring sheet without its templates, which are of use on paper only: a text with its pages, by the names that
/// it calls them by.
pub(crate) fn for_report(survey: &Survey, prepared: &Prepared) -> (String, Vec<(String, String)>) {
    let mut pages = to_read(survey, Some(prepared), Paper::A4);
    number_pages(&mut pages, survey.entries, survey.last_entry);
    let drawn = pages.iter().enumerate().map(|(i, page)| (format!("sheet-{}.svg", i + 1), svg(page)));
    let pages: Vec<(String, String)> = drawn.collect();
    let called: String =
        pages.iter().map(|(name, _)| format!("\n![the measuring sheet]({name})\n")).collect();
    (format!("# As measured\n{called}"), pages)
}

/// Beside the outermost number of a drawing there is room for a word, mm.
const BESIDE: f64 = 14.0;

/// The drawing of a position by itself, without numbers and notes. Its [`Page::spots`] are where the readings' numbers
/// would stand, counted from 1 in the order of [`Survey::quantities`].
pub fn drawing(survey: &Survey, prepared: Option<&Prepared>, position: &SurveyedPosition) -> Page {
    let again = prepared.map(|p| p.fit.to_repeat().again).unwrap_or_default();
    let rows = numbered(survey, &again);
    let is_here = |r: &&Row| matches!(&r.known.quantity, Quantity::At(p, _) if *p == position.name);
    let here: Vec<&Row> = rows.iter().filter(is_here).collect();
    let mut page = Page::new(upright(Paper::A4), format!("{}: where the readings are taken", position.name));
    let mut sheet = page.sheet();
    sheet.min.y = view::position(&mut page, sheet.max.y, survey, position, &here) - 2.0;
    // On a screen it has the width to itself.
    let half = f64::midpoint(sheet.max.x, -sheet.min.x);
    let out = page.spots().map(|(_, [x, _])| (x - 0.5).abs() * 2.0 * half).fold(half / 2.0, f64::max);
    let beside = (out + BESIDE).min(half);
    (sheet.min.x, sheet.max.x) = (half - beside, half + beside);
    page.crop(sheet);
    page.without(dims::NUMBERS).without(looks::NOTES)
}

/// How a reading is taken, and how often.
pub fn how_to_read(survey: &Survey, quantity: &Quantity) -> Taking {
    let position = survey.positions.iter().find(|p| quantity.position() == Some(p.name.as_str()));
    guide::taking(quantity, survey.strings, position)
}

/// At the foot of each page: its number, and how far the log had got.
fn number_pages(pages: &mut [Page], entries: usize, last_entry: Option<Date>) {
    let all = pages.len();
    let last = last_entry.map_or(String::new(), |day| format!(", the last of {day}"));
    for (number, page) in (1..).zip(pages) {
        let text = format!("page {number} of {all}; log of {entries} entries{last}");
        let at = Point::new(page.sheet().max.x - EDGE, EDGE - 2.2);
        page.text(at, Type::new(2.4).ink(GREY).align(Align::End), text);
    }
}

/// Every quantity with its number, in the order of the pages.
fn numbered<'a>(survey: &'a Survey, again: &[Again]) -> Vec<Row<'a>> {
    let times = |q: &Quantity| again.iter().find(|a| a.quantity == *q).map(|a| a.times);
    let all = survey.quantities.iter().enumerate();
    all.map(|(i, known)| Row { number: i + 1, known, again: times(&known.quantity), wanted: None }).collect()
}

/// The file that lists what belongs to a sheet.
pub const LIST: &str = "sheet.json";

/// Puts the sheet into a folder: all pages as one PDF, and each as SVG.
pub fn write(
    slug: &str,
    title: &str,
    pages: &[Page],
    of: Option<&Identity>,
    sink: &Sink,
) -> Result<(), InstallError> {
    let outputs = put(slug, title, pages, sink);
    listing::put_of(LIST, slug, of, outputs, sink);
    Ok(())
}

/// The pages' files.
fn put(slug: &str, title: &str, pages: &[Page], sink: &Sink) -> Vec<HashedFile> {
    let mut outputs = vec![sink.put(&format!("{slug}-sheet.pdf"), pdf(title, pages))];
    for (number, page) in (1..).zip(pages) {
        outputs.push(sink.put(&format!("{slug}-sheet-{number}.svg"), svg(page).into_bytes()));
    }
    outputs
}

/// Upright paper with its origin in the lower left corner.
fn upright(paper: Paper) -> Bounds {
    let (wide, high) = paper.size();
    Bounds { min: Point::origin(), max: Point::new(wide, high) }
}
