//! One page to stand beside the winder.

use bobbinwright_geometry::plane::{Bounds, Point};

use bobbinwright_coil::magnet::at_strings::AtString;

use super::Winding;
use super::text::{ABOUT_FIELD, CAUTIONS, FIELD, ORDER, facts, field, kiloohms, other, to_buy};
use crate::Prepared;
use crate::paper::{Align, BLACK, GREY, Page, Pen, Type, wrapped};
use crate::sheet::{EDGE, Paper};

const TITLE: Type = Type::new(6.0).bold();
const HEADING: Type = Type::new(3.4).bold();
const WORDS: Type = Type::new(2.9);
const SMALL: Type = Type::new(2.6);

/// The built-in fonts have no omega.
fn spelt(text: &str) -> String {
    text.replace('Ω', "ohm")
}

/// The page of a position; `beside` says what it does together with others.
pub(super) fn page(prepared: &Prepared, winding: &Winding, beside: &[String], paper: Paper) -> Page {
    let (wide, high) = paper.size();
    let sheet = Bounds { min: Point::origin(), max: Point::new(wide, high) };
    let mut page = Page::new(sheet, format!("{}: winding sheet", winding.position));
    let mut writer = Writer { page: &mut page, y: high - EDGE - 4.0, wide };
    writer.line(TITLE, &format!("Winding: {}", winding.position));
    writer.line(WORDS.ink(GREY), &prepared.family.title);
    writer.space(2.0);
    for (label, words) in facts(winding) {
        writer.fact(label, &words);
    }
    for line in beside {
        writer.fact("Together", line);
    }
    writer.space(2.0);
    writer.tables(winding);
    writer.heading("To buy");
    for line in to_buy(prepared, winding) {
        writer.line(SMALL, &line);
    }
    writer.heading("In this order");
    for (number, line) in (1..).zip(ORDER) {
        writer.paragraph(&format!("{number}.  {line}"));
    }
    writer.heading("Take care");
    for line in CAUTIONS {
        writer.paragraph(line);
    }
    page
}

struct Writer<'p> {
    page: &'p mut Page,
    y: f64,
    wide: f64,
}

impl Writer<'_> {
    fn space(&mut self, mm: f64) {
        self.y -= mm;
    }

    fn line(&mut self, kind: Type, text: &str) {
        self.page.text(Point::new(EDGE, self.y), kind, spelt(text));
        self.y -= kind.size * 1.55;
    }

    fn heading(&mut self, text: &str) {
        self.space(2.0);
        self.line(HEADING, text);
    }

    fn paragraph(&mut self, text: &str) {
        for line in wrapped(text, &SMALL, self.wide - 2.0 * EDGE) {
            self.line(SMALL, &line);
        }
    }

    /// A label, and what it says beside it.
    fn fact(&mut self, label: &str, words: &str) {
        self.page.text(Point::new(EDGE, self.y), WORDS.bold(), label);
        let left = EDGE + 40.0;
        for line in wrapped(&spelt(words), &WORDS, self.wide - EDGE - left) {
            self.page.text(Point::new(left, self.y), WORDS, line);
            self.y -= WORDS.size * 1.55;
        }
    }

    /// The field at the strings; gives the height below it.
    fn field(&mut self, strings: &[AtString], left: f64, top: f64) -> f64 {
        self.page.text(Point::new(left, top), HEADING, "Field at the strings");
        let mut y = top - 6.0;
        for (row, ink) in std::iter::once((FIELD.map(str::to_owned), GREY))
            .chain(field(strings).into_iter().map(|r| (r, BLACK)))
        {
            for (x, text) in [0.0, 16.0, 42.0, 70.0].into_iter().zip(row) {
                self.page.text(Point::new(left + x, y), SMALL.ink(ink), text);
            }
            y -= 4.4;
        }
        for line in wrapped(ABOUT_FIELD, &SMALL, self.wide - EDGE - left) {
            self.page.text(Point::new(left, y), SMALL.ink(GREY), line);
            y -= 4.0;
        }
        y
    }

    /// What the meter reads on the way on the left, with room for what it did read; other wire on the right.
    fn tables(&mut self, winding: &Winding) {
        let top = self.y;
        self.page.text(Point::new(EDGE, top), HEADING, "On the way, at 20 °C");
        let columns = [EDGE + 12.0, EDGE + 32.0, EDGE + 66.0];
        let mut y = top - 6.0;
        for (x, head) in columns.into_iter().zip(["turns", "expected", "least to most"]) {
            self.page.text(Point::new(x, y), SMALL.ink(GREY).align(Align::End), head);
        }
        self.page.text(Point::new(EDGE + 72.0, y), SMALL.ink(GREY), "read");
        for (turns, [least, expected, most]) in winding.on_the_way() {
            y -= 4.4;
            let range = format!("{} to {}", kiloohms(least), kiloohms(most));
            for (x, text) in columns.into_iter().zip([turns.to_string(), kiloohms(expected), range]) {
                self.page.text(Point::new(x, y), SMALL.align(Align::End), spelt(&text));
            }
            self.page.line(
                Point::new(EDGE + 70.0, y - 1.6),
                Point::new(EDGE + 88.0, y - 1.6),
                Pen::new(BLACK, 0.15),
            );
        }
        let left = EDGE + 98.0;
        self.page.text(Point::new(left, top), HEADING, "Other wire, same film");
        let mut beside = top - 6.0;
        for one in &winding.others {
            let [wire, turns, resistance, build] = other(one);
            for (x, text) in [0.0, 16.0, 36.0, 54.0].into_iter().zip([wire, turns, resistance, build]) {
                self.page.text(Point::new(left + x, beside), SMALL, spelt(&text));
            }
            beside -= 4.4;
        }
        if let Some(strings) = &winding.field {
            beside = self.field(strings, left, beside - 3.0);
        }
        self.y = y.min(beside) - 5.0;
    }
}
