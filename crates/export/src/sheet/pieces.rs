//! The inspection sheet: what to measure on printed parts, the most important first.

use bobbinwright_fit::Deciding;
use bobbinwright_spec::{Length, Quantity, Survey, Surveyed};

use super::{Paper, Row, number_pages, rows};
use bobbinwright_paper::Page;

const FOOT: [&str; 3] = [
    "The first lines decide most whether the parts fit. Measure above the first layers, after blobs and strings are off; close the jaws gently.",
    "To enter: bobbinwright read FAMILY NAME FIGURE FIGURE, with --how WORD for a word in round brackets, and --afresh for a part printed again.",
    "Cut away from your fingers; sand wet, with a dust mask.",
];

/// The sheet's pages.
pub fn pages(survey: &Survey, sizes: &[Deciding], paper: Paper) -> Vec<Page> {
    let known: Vec<Surveyed> = sizes
        .iter()
        .map(|d| Surveyed {
            quantity: Quantity::Piece(survey.positions[d.position].name.clone(), d.piece.size),
            missing: d.read.is_none(),
            estimate: d.read.clone(),
            taken: None,
            until_read: None,
            waits_for: None,
        })
        .collect();
    let rows: Vec<Row> = known
        .iter()
        .zip(sizes)
        .enumerate()
        .map(|(i, (known, d))| {
            let wanted = match &d.read {
                Some(read) => [
                    format!("{:.2} ± {:.2}", read.value().as_mm(), read.uncertainty().as_mm()),
                    format!("{:.2} wanted", d.piece.wanted.as_mm()),
                ],
                None => [format!("{:.2} wanted", d.piece.wanted.as_mm()), allowed(d)],
            };
            Row { number: i + 1, known, again: None, wanted: Some(wanted) }
        })
        .collect();
    let rows: Vec<&Row> = rows.iter().collect();
    let about = rows::About {
        title: &survey.title,
        strings: survey.strings,
        positions: &survey.positions,
        known: "wanted, and allowed, mm",
        foot: FOOT,
    };
    let mut pages = Vec::new();
    rows::paged(&mut pages, &about, paper, "Inspection of the printed parts", &rows, |_, y| y);
    number_pages(&mut pages, survey.entries, survey.last_entry);
    pages
}

/// `2.61 to 2.97`, `up to 91.80`, `from 16.05`.
pub fn allowed(d: &Deciding) -> String {
    let mm = |l: Length| format!("{:.2}", l.as_mm());
    match d.allowed {
        [Some(least), Some(most)] if least > most => "no size fits".to_owned(),
        [Some(least), Some(most)] => format!("{} to {}", mm(least), mm(most)),
        [Some(least), None] => format!("from {}", mm(least)),
        [None, Some(most)] => format!("up to {}", mm(most)),
        [None, None] => "any".to_owned(),
    }
}
