//! One page to stand beside the winder.

use bobbinwright_kernel::plane::{Bounds, Point};

use super::bench::{CAUTIONS, order, to_buy};
use super::facts::facts;
use super::ohms::kiloohms;
use super::text::other;
use super::{Magnets, Winding, map, strings};
use crate::sheet::{EDGE, Paper};
use bobbinwright_core::Prepared;
use bobbinwright_paper::{Align, BLACK, GREY, Page, Pen, Type, spelt, wrapped};
use bobbinwright_spec::Unit;

const TITLE: Type = Type::new(6.0).bold();
const HEADING: Type = Type::new(3.4).bold();
const WORDS: Type = Type::new(2.9);
const SMALL: Type = Type::new(2.6);
const TINY: Type = Type::new(2.1);
/// Where the right column begins, and how wide either is, mm.
const RIGHT: f64 = 93.0;
const COLUMN: f64 = 86.0;
/// Lines of the table that have room, and that have it if they are set closer.
const ROOMY: usize = 17;
const MOST: usize = 24;
/// Beside the drawing of the rods: `bass` and `treble`, mm.
const LABELS: f64 = 26.0;

/// What the page is set at: smaller where there is more on it, so that it stays one page.
const SCALES: [f64; 6] = [1.0, 0.95, 0.9, 0.85, 0.8, 0.75];

/// The page of a position; `beside` says what it does together with others.
pub(super) fn page(prepared: &Prepared, winding: &Winding, beside: &[String], paper: Paper) -> Page {
    let at = |scale: f64| {
        let (wide, high) = paper.size();
        written(prepared, winding, beside, (wide / scale, high / scale)).scaled(scale)
    };
    let mut page = at(SCALES[0]);
    for scale in &SCALES[1..] {
        if page.lowest_text() >= EDGE - 4.0 {
            break;
        }
        page = at(*scale);
    }
    page
}

fn written(prepared: &Prepared, winding: &Winding, beside: &[String], (wide, high): (f64, f64)) -> Page {
    let sheet = Bounds { min: Point::origin(), max: Point::new(wide, high) };
    let mut page = Page::new(sheet, format!("{}: winding sheet", winding.position.name));
    let mut writer = Writer { page: &mut page, y: high - EDGE - 4.0, left: EDGE, wide };
    writer.line(TITLE, &format!("Winding: {}", winding.position.name));
    writer.line(WORDS.ink(GREY), &prepared.family.title);
    writer.space(2.0);
    for (label, words) in facts(winding) {
        writer.fact(&label, &words);
    }
    for line in beside {
        writer.fact("Together", line);
    }
    writer.space(2.0);
    writer.tables(winding);
    writer.at_the_bench(prepared, winding);
    page
}

struct Writer<'p> {
    page: &'p mut Page,
    y: f64,
    /// Where its lines begin, and the paper's width.
    left: f64,
    wide: f64,
}

impl Writer<'_> {
    fn space(&mut self, mm: f64) {
        self.y -= mm;
    }

    fn line(&mut self, kind: Type, text: &str) {
        self.page.text(Point::new(self.left, self.y), kind, spelt(text));
        self.y -= kind.size * 1.55;
    }

    fn heading(&mut self, text: &str) {
        self.space(2.0);
        self.line(HEADING, text);
    }

    /// In a column of the page.
    fn paragraph(&mut self, text: &str) {
        for line in wrapped(text, &SMALL, COLUMN) {
            self.line(SMALL, &line);
        }
    }

    /// A label, and what it says beside it.
    fn fact(&mut self, label: &str, words: &str) {
        self.page.text(Point::new(EDGE, self.y), WORDS.bold(), label);
        let left = EDGE + 40.0;
        for line in wrapped(&spelt(words), &WORDS, self.wide - EDGE - left) {
            self.page.text(Point::new(left, self.y), WORDS, line);
            self.y -= WORDS.size * 1.4;
        }
    }

    /// What to buy and to do on the left; rods and winding from above, and what to take care of, on the right.
    fn at_the_bench(&mut self, prepared: &Prepared, winding: &Winding) {
        let top = self.y;
        self.heading("To buy");
        for line in to_buy(prepared, winding) {
            self.line(SMALL, &line);
        }
        self.heading("In this order");
        for (number, line) in (1..).zip(order(prepared)) {
            self.paragraph(&format!("{number}.  {line}"));
        }
        let left = EDGE + RIGHT;
        let mut right = Writer { page: &mut *self.page, y: top, left, wide: self.wide };
        right.heading("Seen from the strings, neck up");
        let room = right.wide - EDGE - left;
        let plate = winding.layout.plate;
        let scale = ((room - LABELS) / plate.length.as_mm()).min(1.25);
        let half = plate.width.as_mm() / 2.0 * scale + map::AROUND;
        let middle = Point::new(left + room / 2.0, right.y - half + 3.0);
        map::draw(right.page, winding, middle, scale);
        right.y = middle.y - half + 3.0;
        right.heading("Take care");
        for line in CAUTIONS {
            right.paragraph(line);
        }
    }

    /// How loud the strings come out; gives the height below it.
    fn strings(&mut self, magnets: &Magnets, unit: Unit, left: f64, top: f64) -> f64 {
        self.page.text(Point::new(left, top), HEADING, "At the strings");
        let mut y = top - 6.0;
        let apart = if magnets.strings.len() > 6 { 3.0 } else { 4.0 };
        let heads = ["string", "over rods", "field", "level", "aside"].map(str::to_owned);
        for (row, ink) in std::iter::once((heads, GREY))
            .chain(strings::lines(magnets, unit).into_iter().map(|r| (r, BLACK)))
        {
            for (x, text) in [0.0, 9.0, 23.0, 36.0, 62.0].into_iter().zip(row) {
                self.page.text(Point::new(left + x, y), TINY.ink(ink), text);
            }
            y -= apart;
        }
        let about = format!("{} {}", strings::heard(), strings::in_short());
        for line in wrapped(&about, &TINY, self.wide - EDGE - left) {
            self.page.text(Point::new(left, y), TINY.ink(GREY), line);
            y -= 3.0;
        }
        y
    }

    /// What the meter reads on the way on the left, with room for what it did read; other wire on the right.
    fn tables(&mut self, winding: &Winding) {
        let top = self.y;
        let title = format!("On the way, at {} °C", winding.celsius);
        self.page.text(Point::new(EDGE, top), HEADING, title);
        let columns = [EDGE + 12.0, EDGE + 32.0, EDGE + 66.0];
        let mut y = top - 6.0;
        for (x, head) in columns.into_iter().zip(["turns", "expected", "least to most"]) {
            self.page.text(Point::new(x, y), SMALL.ink(GREY).align(Align::End), head);
        }
        self.page.text(Point::new(EDGE + 72.0, y), SMALL.ink(GREY), "read");
        let way = winding.on_the_way();
        // More lines than these are set closer, and of more still every other one is left out.
        let every = way.len().div_ceil(MOST).max(1);
        let (kind, apart) = if way.len() / every > ROOMY { (TINY, 2.8) } else { (SMALL, 4.4) };
        y -= SMALL.size - kind.size;
        let last = way.len();
        let kept = (1..).zip(way).filter(|(i, _)| i % every == 0 || *i == last).map(|(_, row)| row);
        for (turns, [least, expected, most]) in kept {
            y -= apart;
            let range = format!("{} to {}", kiloohms(least), kiloohms(most));
            for (x, text) in columns.into_iter().zip([turns.to_string(), kiloohms(expected), range]) {
                self.page.text(Point::new(x, y), kind.align(Align::End), spelt(&text));
            }
            if let Some(read) = winding.on_bobbin.as_ref().and_then(|on_bobbin| on_bobbin.read_at(turns)) {
                self.page.text(Point::new(EDGE + 71.0, y), kind, spelt(&read));
            }
            let foot = y - 0.36 * apart;
            self.page.line(
                Point::new(EDGE + 70.0, foot),
                Point::new(EDGE + 88.0, foot),
                Pen::new(BLACK, 0.15),
            );
        }
        let left = EDGE + RIGHT;
        self.page.text(Point::new(left, top), HEADING, "Other wire, same film");
        let mut beside = top - 6.0;
        for one in &winding.others {
            let [wire, turns, resistance, build] = other(one, winding.celsius, winding.unit());
            for (x, text) in [0.0, 16.0, 36.0, 54.0].into_iter().zip([wire, turns, resistance, build]) {
                self.page.text(Point::new(left + x, beside), SMALL, spelt(&text));
            }
            beside -= 4.4;
        }
        if let Some(magnets) = &winding.magnets {
            beside = self.strings(magnets, winding.unit(), left, beside - 3.0);
        }
        self.y = y.min(beside) - 2.0;
    }
}
