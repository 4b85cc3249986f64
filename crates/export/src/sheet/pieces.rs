//! The inspection sheet: what to measure on printed parts, the most important first.

use bobbinwright_fit::Deciding;
use bobbinwright_spec::{Length, Quantity, Survey, Surveyed, Unit};

use super::{Paper, Row, number_pages, rows};
use bobbinwright_paper::Page;
use bobbinwright_words::with_doubt;

const FOOT: [&str; 3] = [
    "The first lines decide most whether the parts fit. Cut off what the first layers stand out, blobs and strings, then measure above these layers; close the jaws gently.",
    "To enter: bobbinwright read FAMILY NAME FIGURE, --spot PLACE for a spot, --how WORD for a word in round brackets, --afresh after sanding; say printed first.",
    "What is allowed holds with all other sizes as the printer makes them; once some are read, inspect says it anew. Cut away from your fingers; sand wet, with a dust mask.",
];

/// Where something is put on the parts.
const FOOT_OF_FINISH: [&str; 3] = [
    "The first lines decide most whether the parts fit. Cut off what its first layers stand out; measure the bare print above these, before you sand: of two figures the second is the finished size.",
    FOOT[1],
    "When it is finished: bobbinwright parts FAMILY PART finished, and measure the outside again. Cut away from your fingers; sand wet, with a dust mask.",
];

/// Where parts are cut from sheet, the first line; and the same where something is put on parts.
const FIRST_OF_CUT: [&str; 2] = [
    "The first lines decide most whether the parts fit. Cut off what first layers stand out; measure printed parts above these, cut ones across the whole edge, blobs, burr and soot off; close the jaws gently.",
    "The first lines decide most whether the parts fit. Measure bare parts before you sand, printed ones above their first layers, once what these stand out is cut off, cut ones without burr: of two figures the second is the finished size.",
];

/// The sheet's pages.
pub fn pages(survey: &Survey, sizes: &[Deciding], paper: Paper) -> Vec<Page> {
    let pieces: Vec<Surveyed> = sizes
        .iter()
        .map(|d| Surveyed {
            missing: d.read.is_none(),
            estimate: d.read.clone(),
            ..Surveyed::unread(Quantity::Piece(survey.positions[d.position].name.clone(), d.piece.size))
        })
        .collect();
    let unit = survey.unit();
    let is_cut = |d: &Deciding| survey.is_cut(&survey.positions[d.position].name, d.piece.size.part);
    let is_any_cut = sizes.iter().any(is_cut);
    let is_any_finished = sizes.iter().any(|d| d.piece.wanted != d.piece.finished);
    let mut foot = if is_any_finished { FOOT_OF_FINISH } else { FOOT };
    if is_any_cut {
        foot[0] = FIRST_OF_CUT[usize::from(is_any_finished)];
    }
    let rows: Vec<Row> = pieces
        .iter()
        .zip(sizes)
        .enumerate()
        .map(|(i, (known, d))| {
            let wanted = match &d.read {
                Some(read) => [with_doubt(read, unit), as_wanted(d, unit)],
                None => [as_wanted(d, unit), allowed(d, unit)],
            };
            Row { number: i + 1, known, again: None, wanted: Some(wanted) }
        })
        .collect();
    let rows: Vec<&Row> = rows.iter().collect();
    let about = rows::About {
        title: &survey.title,
        strings: survey.strings,
        positions: &survey.positions,
        known: "wanted, and allowed",
        unit,
        foot,
    };
    let mut pages = Vec::new();
    let title = if is_any_cut { "Inspection of the parts" } else { "Inspection of the printed parts" };
    rows::paged(&mut pages, &about, paper, title, &rows, |_, y| y);
    number_pages(&mut pages, survey.entries, survey.last_entry);
    pages
}

/// `91.30 wanted`; of a size that something is put on later `91.30, then 91.44`.
fn as_wanted(d: &Deciding, unit: Unit) -> String {
    let [printed, finished] = [d.piece.wanted, d.piece.finished].map(|l| unit.figure(l));
    if printed == finished { format!("{printed} wanted") } else { format!("{printed}, then {finished}") }
}

/// `2.61 to 2.97`, `up to 91.80`, `from 16.05`.
pub fn allowed(d: &Deciding, unit: Unit) -> String {
    let shown = |l: Length| unit.figure(l);
    match d.allowed {
        [Some(least), Some(most)] if least > most => "no size fits".to_owned(),
        [Some(least), Some(most)] => format!("{} to {}", shown(least), shown(most)),
        [Some(least), None] => format!("from {}", shown(least)),
        [None, Some(most)] => format!("up to {}", shown(most)),
        [None, None] => "any".to_owned(),
    }
}
