//! What the tables must show.

use bobbinwright_fit::CONFIDENCE;

use crate::monte_carlo::Row;
use crate::simulated_bench::{AtGap, Table, WHOLE};

/// A stated interval may claim this much less than the drawn one, mm: half a unit of the second digit of
/// an uncertainty of some hundredths (JCGM 101 8.1), and the noise of the draws.
const CLAIMS_LESS: f64 = 0.0015;

/// Stated over drawn standard uncertainty, wherever scatter has so many degrees of freedom that Student's t has a
/// standard deviation that draws find.
const RATIO: std::ops::RangeInclusive<f64> = 0.98..=1.02;

/// Honest readings may be called slips in no more of the builds.
const ACCUSED: f64 = 0.01;

/// A share of so many or more means something.
const ENOUGH: u32 = 200;

/// So much less than the stated chance may hold, from 80 % on: the linear model and the normal one are
/// approximations. Four standard deviations of the draws are allowed besides.
const HOLDS_LESS: f64 = 0.02;

/// The same below 80 %, where a play's rectangle differs most from the normal distribution that it is
/// taken for; nothing is called by such a chance.
const HOLDS_LESS_IN_THE_MIDDLE: f64 = 0.05;

/// The same below 50 %: what an opening is where it was not read is taken for wider as well as tighter, though of
/// several places the tightest is what counts; that makes small chances larger than they are. A part with such a
/// chance nobody prints.
const HOLDS_LESS_BELOW_HALF: f64 = 0.08;

/// Of whole pickups called *fits* no more fail, and so much less than the stated chance hold, from 80 % on.
const WHOLES_FAIL: f64 = 0.01;
const WHOLES_HOLD_LESS: f64 = 0.015;

/// Bodies that are twice as crooked as is believed: of what is called *fits* no more may jam, and honest readings may be
/// called slips in no more of the builds. That as many hold as were said nobody can promise of them.
const CROOKED_JAM: f64 = 0.03;
const CROOKED_ACCUSED: f64 = 0.02;

/// From two or three degrees of freedom on, the formula of Welch and Satterthwaite claims up to this much
/// less than the draws show: a known weakness, kept in sight here.
const CLAIMS_LESS_FROM_FEW: f64 = 0.25;

/// What the rows of a Monte Carlo table do not keep.
pub fn rows(rows: &[Row]) -> Vec<String> {
    let kept = |r: &Row| {
        if r.from_few() {
            return r.to_spare() > -CLAIMS_LESS_FROM_FEW * r.drawn[2];
        }
        r.to_spare() > -CLAIMS_LESS && RATIO.contains(&r.ratio())
    };
    rows.iter().filter(|r| !kept(r)).map(ToString::to_string).collect()
}

/// After the readings that a sheet asks for no more pickups may be too close to call.
const STAYS_CLOSE: f64 = 0.2;

/// What pickups with a stated gap do not keep.
pub fn gap(at: &AtGap) -> Vec<String> {
    let [close, fits, failed] = at.thorough;
    let share = |n: u32, of: u32| f64::from(n) / f64::from(of.max(1));
    let mut broken = Vec::new();
    if share(close, at.builds) > STAYS_CLOSE {
        broken.push(format!("{close} of {} pickups stay too close to call", at.builds));
    }
    if share(failed, fits) > WHOLES_FAIL + 4.0 * (WHOLES_FAIL / f64::from(fits.max(1))).sqrt() {
        broken.push(format!("{failed} of {fits} pickups called fits fail at that gap"));
    }
    broken
}

/// What a simulated bench does not keep: of those called *fits* no more may jam than the confidence
/// leaves open, of those called *clashes* no more go together, and whatever chance is stated must hold.
pub fn table(table: &Table) -> Vec<String> {
    let is_usual = table.crooked <= 1.0;
    let open = if is_usual { 1.0 - CONFIDENCE } else { CROOKED_JAM };
    let mut broken = Vec::new();
    let accused = f64::from(table.accused) / f64::from(table.builds.max(1));
    if accused > if is_usual { ACCUSED } else { CROOKED_ACCUSED } {
        broken.push(format!("honest readings are called slips in {:.2} % of the builds", 100.0 * accused));
    }
    for (what, (proposed, said, did)) in table.promises() {
        let by_chance = 4.0 * (0.25 * f64::from(proposed)).sqrt();
        if f64::from(did) + by_chance < said {
            broken.push(format!("{what}: settles {did} of {proposed} pickups, and {said:.0} were promised"));
        }
    }
    if let Some(whole) = table.checks.get(WHOLE).filter(|_| is_usual) {
        let by_chance = 4.0 * (WHOLES_FAIL / f64::from(whole.fits[0].max(1))).sqrt();
        if whole.jammed() > WHOLES_FAIL + by_chance {
            broken.push(format!("{:.2} % of the pickups called fits fail", 100.0 * whole.jammed()));
        }
    }
    for (name, tally) in &table.checks {
        let by_chance = 4.0 * (open / f64::from(tally.fits[0].max(1))).sqrt();
        if tally.fits[0] > ENOUGH && tally.jammed() > open + if is_usual { 0.0 } else { by_chance } {
            broken.push(format!("{name}: {:.2} % of those called fits jam", 100.0 * tally.jammed()));
        }
        if tally.clashes[0] > ENOUGH && tally.spared() > 1.0 - CONFIDENCE {
            broken
                .push(format!("{name}: {:.2} % of those called clashes go together", 100.0 * tally.spared()));
        }
    }
    for (name, tally) in &table.checks {
        for (n, stated, held) in tally.held().filter(|(n, ..)| *n >= ENOUGH && is_usual) {
            let chance_alone = 4.0 * (stated * (1.0 - stated) / f64::from(n)).sqrt();
            let less = match stated {
                s if s < 0.5 => HOLDS_LESS_BELOW_HALF,
                s if s < 0.8 => HOLDS_LESS_IN_THE_MIDDLE,
                _ if *name == WHOLE => WHOLES_HOLD_LESS,
                _ => HOLDS_LESS,
            };
            if held < stated - less - chance_alone {
                broken.push(format!(
                    "{name}: {:.1} % stated, {:.1} % held of {n}",
                    100.0 * stated,
                    100.0 * held
                ));
            }
        }
    }
    broken
}
