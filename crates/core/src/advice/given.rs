//! A change that somebody has in mind, tried on the whole family as all advice is.

use bobbinwright_fit::{CONFIDENCE, Check, Verdict};

use super::trial::Trial;
use super::{Change, Reach, Turned, Way, holds, mended};
use crate::Prepared;

/// A change at a position, for it alone unless it is bought, with what mends what it spoils, or, where nothing was found
/// that does, with what turns; none where parts can't be made with it.
pub fn with_change(prepared: &Prepared, position: &str, change: Change) -> Option<Way> {
    let index = prepared.family.positions.iter().position(|p| p.name == position)?;
    let mut family = prepared.family.clone();
    let reach = if matches!(change, Change::Bought { .. }) { Reach::WholeLine } else { Reach::Here };
    change.put_in(&mut family, index, reach).then_some(())?;
    let made = Prepared::with_tried(family.clone(), prepared.tried.clone()).ok()?;
    let before = |c: &Check| {
        let same = prepared.fit.checks.iter().find(|b| b.is_same(c));
        same.map_or(Verdict::Fits, |b| b.verdict)
    };
    let worse: Vec<&Check> = made.fit.checks.iter().filter(|c| c.verdict < before(c)).collect();
    let turned = worse
        .iter()
        .map(|c| Turned { position: c.position.clone(), kind: c.kind, verdict: c.verdict })
        .collect();
    let alone = Way::new(&prepared.family, index, reach, vec![change.clone()], turned);
    let Some(first) = worse.first() else { return Some(alone) };
    let trial = Trial::new(prepared, first, CONFIDENCE).map(|trial| trial.for_it_alone());
    let mended = trial.and_then(|trial| {
        let way = mended(&trial, &family, vec![change], &made.fit.checks)?;
        holds(&trial, &way).then_some(way)
    });
    Some(mended.unwrap_or(alone))
}
