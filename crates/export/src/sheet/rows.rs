//! The list of readings with blanks to fill in.

use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_spec::{Quantity, SurveyedPosition, Unit};
use bobbinwright_words::with_doubt;

use bobbinwright_paper::{Align, BLACK, GREY, Look, Page, Pen, Type, width, wrapped};

use super::{EDGE, Paper, Row, dims, guide, upright};

/// Room for a row: as much as there is, between these, mm.
const LEAST: f64 = 6.8;
const MOST: f64 = 9.2;

const HAIR: Pen = Pen::new(GREY, 0.1);
const BLANK: Look = Look::line(Pen::new(BLACK, 0.2));
const BLANKS: usize = 4;

/// Width of the columns of what is known and of one blank, mm.
const KNOWN: f64 = 29.0;
const ONE_BLANK: f64 = 13.0;

/// What stands over the blanks: `read` takes figures without a unit for millimetres.
pub(super) fn readings(unit: Unit) -> &'static str {
    match unit {
        Unit::Mm => "readings in mm (inches: write the unit)",
        Unit::Inch => "readings (write the unit: 0.145in)",
    }
}

/// What the pages of a sheet are about.
pub(super) struct About<'a> {
    pub title: &'a str,
    pub strings: usize,
    pub positions: &'a [SurveyedPosition],
    /// Over the column of what is known, before the unit.
    pub known: &'a str,
    /// In which all is shown.
    pub unit: Unit,
    /// Lines at the foot.
    pub foot: [&'a str; 3],
}

/// Adds as many pages as the rows need. `top` draws above the list of the first one, from the height it
/// is given down to the height that it gives back.
pub(super) fn paged(
    pages: &mut Vec<Page>,
    about: &About,
    paper: Paper,
    title: &str,
    rows: &[&Row],
    top: impl Fn(&mut Page, f64) -> f64,
) {
    let mut rest = rows;
    let mut first = true;
    while first || !rest.is_empty() {
        let title = if first { title.to_owned() } else { format!("{title}, continued") };
        let mut page = Page::new(upright(paper), format!("{}: {title}", about.title));
        let mut y = head(&mut page, about, &title);
        if first {
            y = top(&mut page, y);
        }
        let bottom = EDGE + 10.5;
        y = heading(&mut page, y, about);
        let room = y - bottom;
        let fit = ((room / LEAST) as usize).clamp(1, rest.len().max(1)).min(rest.len());
        let height = (room / fit.max(1) as f64).clamp(LEAST, MOST);
        let (now, later) = rest.split_at(fit);
        for row in now {
            y = one(&mut page, y, height, about, row);
        }
        foot(&mut page, about);
        pages.push(page);
        rest = later;
        first = false;
    }
}

/// Title, and blanks for day and tool. Gives the height below.
fn head(page: &mut Page, about: &About, title: &str) -> f64 {
    let sheet = page.sheet();
    let y = sheet.max.y - EDGE - 4.0;
    page.text(Point::new(EDGE, y), Type::new(5.0).bold(), title);
    let small = Type::new(2.8);
    page.text(
        Point::new(EDGE, y - 6.0),
        small.ink(GREY),
        short(about.title, &small, sheet.max.x - 2.0 * EDGE - 76.0),
    );
    let x = sheet.max.x - EDGE - 72.0;
    for (x, label, line) in [(x, "on", 24.0), (x + 31.0, "with", 33.0)] {
        page.text(Point::new(x, y - 6.0), small, label);
        let from = x + width(label, &small) + 1.5;
        page.line(Point::new(from, y - 7.4), Point::new(from + line, y - 7.4), Pen::new(BLACK, 0.2));
    }
    y - 10.0
}

fn heading(page: &mut Page, y: f64, about: &About) -> f64 {
    let right = page.sheet().max.x - EDGE;
    let small = Type::new(2.4).ink(GREY);
    let blanks = right - BLANKS as f64 * ONE_BLANK;
    page.text(Point::new(EDGE + 7.0, y - 2.0), small, "what, and how to read it");
    page.text(Point::new(blanks - KNOWN - 3.0, y - 2.0), small.align(Align::End), "its name in the log");
    page.text(Point::new(blanks - KNOWN, y - 2.0), small, format!("{}, {}", about.known, about.unit.short()));
    page.text(Point::new(blanks, y - 2.0), small, readings(about.unit));
    page.line(Point::new(EDGE, y - 4.2), Point::new(right, y - 4.2), HAIR);
    y - 4.2
}

/// One reading. Gives the height below.
fn one(page: &mut Page, y: f64, height: f64, about: &About, row: &Row) -> f64 {
    let right = page.sheet().max.x - EDGE;
    let blanks = right - BLANKS as f64 * ONE_BLANK;
    let quantity = &row.known.quantity;
    let (upper, lower) = (y - height * 0.32, y - height * 0.70);
    dims::disc(page, Point::new(EDGE + 2.6, y - height / 2.0), row);
    let text_from = EDGE + 7.0;
    let what = plain(quantity);
    let bold = Type::new(2.7).bold();
    page.text(Point::new(text_from, upper), bold, what);
    // In a column of its own: other fonts are wider.
    let name = Point::new(blanks - KNOWN - 3.0, upper);
    page.text(name, Type::new(2.5).align(Align::End), quantity.to_string());
    let kind = Type::new(2.4);
    let taking = guide::taking(quantity, about.strings, about.position(quantity));
    let how = taking.line();
    let lines = wrapped(&how, &kind, blanks - KNOWN - text_from - 2.0);
    // The guide's lines are short enough for one; a second would run into the next row.
    page.text(Point::new(text_from, lower), kind, lines.first().cloned().unwrap_or_default());
    known(page, blanks - KNOWN, (upper, lower), row, about.unit);
    for i in 0..BLANKS {
        let x = blanks + i as f64 * ONE_BLANK;
        let from = Point::new(x + 0.7, y - height + 1.0);
        page.outline(&Contour::rectangle(from, Point::new(x + ONE_BLANK - 0.7, y - 0.9)), BLANK);
        let spots = taking.spots;
        if i < spots.len() * taking.times {
            let spot = spots[i % spots.len()];
            page.text(Point::new(x + 1.2, y - 2.6), Type::new(1.9).ink(GREY), spot);
        }
    }
    page.line(Point::new(EDGE, y - height), Point::new(blanks - 1.0, y - height), HAIR);
    y - height
}

/// Value and doubt, how often it was read and when; and whether it should be read again.
fn known(page: &mut Page, x: f64, (upper, lower): (f64, f64), row: &Row, unit: Unit) {
    if let Some([first, second]) = &row.wanted {
        page.text(Point::new(x, upper), Type::new(2.7), first.as_str());
        page.text(Point::new(x, lower), Type::new(2.3).ink(GREY), second.as_str());
        return;
    }
    let Some(estimate) = &row.known.estimate else {
        if let (Some(place), None) = (row.known.until_read, &row.known.waits_for) {
            page.text(Point::new(x, upper), Type::new(2.3).bold(), "not read: taken");
            page.text(Point::new(x, lower), Type::new(2.3), place);
        }
        if let Some(diameter) = &row.known.waits_for {
            page.text(Point::new(x, upper), Type::new(2.3).bold(), "read, but it needs");
            page.text(Point::new(x, lower), Type::new(2.3), diameter.to_string());
        }
        return;
    };
    page.text(Point::new(x, upper), Type::new(2.7), with_doubt(estimate, unit));
    let small = Type::new(2.3);
    match (row.again, row.known.taken) {
        (Some(1), _) => page.text(Point::new(x, lower), small.bold(), "read it once more"),
        (Some(n), _) => page.text(Point::new(x, lower), small.bold(), format!("read it {n} times more")),
        (None, Some(t)) => {
            let times = if t.readings == 1 { "once".to_owned() } else { format!("{} times", t.readings) };
            // A string is elsewhere over the rout's middle line.
            let said = match &row.known.at_edges[..] {
                [] => format!("{times}, {}", t.last),
                [edge] => format!("{times}, at the {edge}"),
                all => format!("{times}, in {} spots", all.len()),
            };
            page.text(Point::new(x, lower), small.ink(GREY), said);
        }
        (None, None) => {
            let said = row.known.until_read.unwrap_or("from the packet");
            page.text(Point::new(x, lower), small.ink(GREY), said);
        }
    }
}

/// What a quantity is, its position left out: the page is about one.
fn plain(quantity: &Quantity) -> String {
    let words = quantity.describe();
    match quantity {
        Quantity::Coupon(_) => words,
        // What is only a length or a width says whose; the position, and any other part, stands in the name beside it.
        Quantity::Piece(_, size) if size.is_overall() => size.describe(),
        Quantity::Piece(_, size) => size.what().to_owned(),
        Quantity::At(position, _) => words.trim_end_matches(&format!(" ({position})")).to_owned(),
        Quantity::Instrument(_) => words,
    }
}

impl About<'_> {
    fn position(&self, quantity: &Quantity) -> Option<&SurveyedPosition> {
        self.positions.iter().find(|p| quantity.position() == Some(p.name.as_str()))
    }
}

fn foot(page: &mut Page, about: &About) {
    let small = Type::new(2.4).ink(GREY);
    for (i, line) in about.foot.iter().enumerate() {
        page.text(Point::new(EDGE, EDGE + 6.4 - 3.2 * i as f64), small, *line);
    }
}

/// A text cut off where it would be too wide.
fn short(text: &str, kind: &Type, most: f64) -> String {
    if width(text, kind) <= most {
        return text.to_owned();
    }
    let mut kept: String = text.to_owned();
    while !kept.is_empty() && width(&format!("{kept}…"), kind) > most {
        kept.pop();
    }
    format!("{}…", kept.trim_end())
}
