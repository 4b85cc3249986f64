//! What to buy and what to cut for a family, with lengths that follow from its build.

mod items;
mod table;

use bobbinwright_core::Prepared;
use bobbinwright_spec::{Length, Survey, Unit};

use crate::winding::{WORKSHOP, Winding};

/// Something to buy, of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What: `magnet rod`.
    pub what: &'static str,
    /// How many pieces; none where it is bought by the metre or the gram.
    pub count: Option<usize>,
    /// Its size, in words: `Ø 4.75 mm`.
    pub size: String,
    /// How long each piece is, where that follows from the build.
    pub length: Option<Length>,
    /// How much of it, where it is not counted: metres or grams, with its unit.
    pub amount: Option<(f64, &'static str)>,
    /// The pickups that it is for: `tidewick neck`.
    pub of: Vec<String>,
    /// How its length or amount comes about.
    pub why: String,
}

/// Everything for some families, alike things together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Needs {
    /// In the order of the work.
    pub items: Vec<Item>,
}

impl Needs {
    /// Adds what a family needs.
    pub fn add(&mut self, prepared: &Prepared, survey: &Survey) {
        let is_another = prepared.family.positions.iter().any(|p| p.next_coil().is_some());
        // What is on a bobbin nobody buys again.
        let next = is_another.then(|| prepared.for_next_coils().ok()).flatten();
        let windings = Winding::all(next.as_ref().unwrap_or(prepared), WORKSHOP);
        for index in 0..prepared.positions.len() {
            for item in items::of(prepared, survey, index, &windings) {
                self.put(item);
            }
        }
    }

    fn put(&mut self, item: Item) {
        let alike = |known: &&mut Item| {
            (known.what, &known.size, known.length, &known.why)
                == (item.what, &item.size, item.length, &item.why)
        };
        let Some(known) = self.items.iter_mut().find(alike) else {
            self.items.push(item);
            // Stable: of one kind in the order of the families.
            self.items.sort_by_key(|item| items::ORDER.iter().position(|what| *what == item.what));
            return;
        };
        known.count = known.count.zip(item.count).map(|(a, b)| a + b);
        known.amount = known.amount.zip(item.amount).map(|((a, unit), (b, _))| (a + b, unit));
        known.of.extend(item.of);
    }

    /// For a person.
    pub fn text(&self, unit: Unit) -> String {
        table::text(&self.items, unit)
    }

    /// For a spreadsheet (RFC 4180): lengths in millimetres.
    pub fn csv(&self) -> String {
        table::csv(&self.items)
    }
}
