//! Printed parts: what to measure on them, what is allowed there, and whether these very copies fit.

use bobbinwright_core::{Prepared, what_is_wrong};
use bobbinwright_export::bench::{self, Lying};
use bobbinwright_export::sheet::pieces::{self, allowed};
use bobbinwright_export::sheet::{self, Paper};
use bobbinwright_fit::{Check, Deciding, Fit, Rework, Verdict, check_pieces, deciding, in_words};
use bobbinwright_install::gather;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Book, PieceSize, Quantity, Unit, capitalised, ways};
use bobbinwright_words::{not_read, percent};
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::{pictures, teach};

/// Files and words.
type Files = (Vec<(String, Vec<u8>)>, Value);

/// The inspection's sheet, and all that there is to say of the printed parts.
pub(crate) fn made(desk: &Desk, built: &Prepared, day: Day) -> Result<Files, String> {
    let lying = bench::lying(&desk.survey.log_folder(&desk.folder), &desk.survey, day.when);
    let printed = bench::printed(&lying, built);
    let sizes = deciding(&built.family, &built.positions, &printed, &built.tried, |position, part| {
        built.lie(position, part)
    });
    let pages = pieces::pages(&desk.survey, &sizes, Paper::A4);
    let slug = format!("{}-inspection", desk.survey.slug);
    let title = format!("Inspection: {}", desk.survey.title);
    let files = gather(|sink| sheet::write(&slug, &title, &pages, desk.survey.sources().identity(), sink))
        .map_err(|e| e.to_string())?;
    let fit = (!built.family.pieces.is_empty())
        .then(|| check_pieces(&built.family, &built.positions, &printed, &built.tried));
    let words = json!({
        "sizes": (1..).zip(&sizes).map(|(number, d)| size(built, number, d)).collect::<Vec<_>>(),
        "drawings": pictures::to_inspect(built, &sizes),
        "learnt": teach::state(desk, built, &lying, None, day).unwrap_or_else(|why| json!({ "why": why })),
        "copies": lying.iter().map(copy).collect::<Vec<_>>(),
        "fit": fit.map(|fit| of_copies(built, &fit, &sizes)),
    });
    Ok((files, words))
}

fn size(built: &Prepared, number: usize, d: &Deciding) -> Value {
    let position = &built.family.positions[d.position].name;
    let quantity = Quantity::Piece(position.clone(), d.piece.size);
    let (wanted, finished) = (d.piece.wanted, d.piece.finished);
    let then = if wanted == finished {
        String::new()
    } else {
        format!(", before it is finished; {} then", built.family.unit().shown(finished))
    };
    let ways: Vec<Value> = ways(&quantity).iter().map(|(word, means)| json!([word, means])).collect();
    json!({
        "number": number,
        "name": quantity.to_string(),
        "what": quantity.describe() + &then,
        "part": format!("{position}-{}", d.piece.size.part.name()),
        "ways": ways,
        "hole": d.piece.size.is_hole(),
        "wanted": wanted.as_mm(),
        "allowed": allowed(d, built.family.unit()),
        "value": d.read.as_ref().map(|e| e.value().as_mm()),
        "u": d.read.as_ref().map(|e| e.uncertainty().as_mm()),
        "verdict": d.verdict.map(Verdict::word),
        "decides": d.decides,
    })
}

fn copy(lies: &Lying) -> Value {
    json!({ "copy": lies.copy.to_string(), "unknown": lies.source().err().map(ToString::to_string) })
}

/// Whether these copies fit this instrument, and what may be filed or drilled where they do not.
fn of_copies(built: &Prepared, fit: &Fit, sizes: &[Deciding]) -> Value {
    let unit = built.family.unit();
    let open = fit.worst_first().into_iter().filter(|check| check.verdict != Verdict::Fits);
    let checks: Vec<Value> = open
        .map(|check| {
            let work = fit.rework(check, unit, |size| made_how(built, sizes, &check.position, size));
            json!({
                "title": format!("{}: {}", check.position, check.title),
                "verdict": check.verdict.word(),
                "margin": check.margin.value().as_mm(),
                "u": check.margin.uncertainty().as_mm(),
                "why": what_is_wrong(check, unit),
                "rework": work.iter().take(WAYS).map(|work| rework(check, work, unit)).collect::<Vec<_>>(),
            })
        })
        .collect();
    let pickups = fit
        .wholes()
        .iter()
        .map(|w| json!({ "position": w.position, "verdict": w.verdict.word(), "chance": percent(w.chance) }));
    let mut assumed: Vec<_> = fit.checks.iter().flat_map(|check| check.assumed.iter().cloned()).collect();
    assumed.sort();
    assumed.dedup();
    json!({
        "verdict": fit.verdict().word(),
        "pickups": pickups.collect::<Vec<_>>(),
        "checks": checks,
        "assumed": in_words(&assumed),
        "unread": not_read(&built.family, sizes).map(|words| capitalised(&words)),
    })
}

/// More ways to work a part over nobody reads.
const WAYS: usize = 2;

fn rework(check: &Check, work: &Rework, unit: Unit) -> Value {
    let name = Quantity::Piece(check.position.clone(), work.size);
    let (from, to) = (unit.figure(work.from), unit.shown(work.to));
    let what = name.describe();
    let words = if work.to > work.from {
        format!("Open the {what} from {from} to {to}")
    } else {
        format!("Take the {what} from {from} down to {to}")
    };
    json!({ "of": name.to_string(), "words": words, "to": work.to.as_mm() })
}

/// How a size that was read came to be.
fn made_how(built: &Prepared, sizes: &[Deciding], position: &str, size: PieceSize) -> Option<Made> {
    let of = |d: &&Deciding| built.family.positions[d.position].name == position && d.piece.size == size;
    sizes.iter().find(of).filter(|d| d.read.is_some()).map(|d| d.piece.made)
}
