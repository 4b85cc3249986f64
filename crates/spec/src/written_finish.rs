//! `finish: (…)` as it is written.

use crate::Length;
use crate::coil::Mistaken;
use crate::finish::{Finish, Finishes};
use crate::reader::{Noted, Record, length, number};
use crate::wanted::parameter;

/// More coats are no finish.
const MOST: f64 = 12.0;

/// Reads `finish: (cover: coats(primer: 2, paint: 3), baseplate: sanded)`.
pub(crate) fn read(position: &mut Record, noted: &mut Noted) -> Result<Finishes, Mistaken> {
    if position.get("finish").is_none() {
        return Ok(Finishes::default());
    }
    let mut record = position.sub("finish", noted).ok_or(Mistaken)?;
    let cover = of_part(&mut record, "cover", noted);
    let baseplate = of_part(&mut record, "baseplate", noted);
    record.finish(noted);
    Ok(Finishes { cover: cover?, baseplate: baseplate? })
}

fn of_part(record: &mut Record, part: &'static str, noted: &mut Noted) -> Result<Option<Finish>, Mistaken> {
    let Some((tag, span)) = record.tag(part) else { return Ok(None) };
    match tag {
        "sanded" if record.get(part).is_some_and(|node| node.tag.is_none()) => {
            return Ok(Some(Finish::default()));
        }
        "sanded" | "coats" => {}
        _ => {
            let message = format!("finish.{part}: what is done to its outside?");
            noted.error(span, message, "write sanded, coats(primer: 2, paint: 3, clear: 2), or none");
            return Err(Mistaken);
        }
    }
    let mut of = record.sub(part, noted).ok_or(Mistaken)?;
    let stated = match of.get("adds") {
        None => Ok(None),
        Some(node) => {
            let path = format!("finish.{part}.adds");
            let bounds = parameter(&path).map_or((0.0, 0.0), |p| (p.low, p.high));
            let bounds = (Length::from_mm(bounds.0), Length::from_mm(bounds.1));
            length(node, &path, bounds, noted).map(Some).ok_or(Mistaken)
        }
    };
    let mut finish = Finish::default();
    let mut all = Ok(());
    if tag == "coats" {
        for (word, count) in
            [("primer", &mut finish.primer), ("paint", &mut finish.paint), ("clear", &mut finish.clear)]
        {
            match coats(&mut of, part, word, noted) {
                Ok(coats) => *count = coats,
                Err(mistaken) => all = Err(mistaken),
            }
        }
    }
    of.finish(noted);
    finish.stated = stated?;
    all.map(|()| Some(finish))
}

fn coats(of: &mut Record, part: &str, word: &'static str, noted: &mut Noted) -> Result<usize, Mistaken> {
    let Some(node) = of.get(word) else { return Ok(0) };
    let count = number(node, word, noted).ok_or(Mistaken)?;
    if count.fract() != 0.0 || !(0.0..=MOST).contains(&count) {
        let message = format!("finish.{part}.{word} is {count}");
        noted.error(node.span, message, format!("coats are counted: 0 to {MOST}"));
        return Err(Mistaken);
    }
    Ok(count as usize)
}
