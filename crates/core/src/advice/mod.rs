//! Advice that was tried: changes with which a check fits, found by building and judging the whole family with them.
//!
//! One change is looked for first, of everything that may help ([`bobbinwright_fit::Help`]), the nearest to what is
//! wanted. Where none helps without spoiling something else, what it spoils is mended by another change, and another;
//! where parts can't be made with it, what their refusal names is changed too. Everything that is proposed was judged
//! once more as it would be if the person had written it.

mod bounds;
mod change;
mod given;
mod proposal;
mod search;
mod trial;
mod way;
mod words;

use bobbinwright_fit::{COMFORT, CONFIDENCE, Check, Help, Verdict};
use bobbinwright_geometry::parts::{Ranges, build_family};
use bobbinwright_spec::{Family, Length, parameter};

pub use bounds::bounds;
pub use change::{Change, Reach};
pub use given::with_change;
pub use proposal::{Proposal, name_of, proposal, proposals};
pub use way::{Turned, Way};
pub use words::{is_wanted, known_advice, what_is_wrong, what_to_do};

use crate::Prepared;
pub(crate) use change::value;
use search::{Came, Found};
pub(crate) use search::{FIRST, nearest, stepped};
use trial::Trial;

/// What to do about a check that does not fit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Advice {
    /// Changes with which it fits, the best first.
    pub ways: Vec<Way>,
    /// Dimensions of which no value alone was found that makes it fit, and between which values all parts can be made.
    pub never: Vec<(&'static str, Option<Ranges>)>,
    /// Where there is no way: what comes nearest, and the margin that it leaves.
    pub nearest: Option<(Change, Length)>,
}

/// More ways than these nobody reads.
const WAYS: usize = 2;

/// More changes together than these nobody makes.
const TOGETHER: usize = 3;

/// Looks for changes with which a check fits: comfortably, or else as well as it is called a fit.
///
/// Around what contradicts each other, readings or a trial and these, nothing is changed.
pub fn advice(prepared: &Prepared, check: &Check) -> Advice {
    if check.contradicted(&prepared.fit.doubts).is_some() || prepared.fit.is_held_open(check) {
        return Advice::default();
    }
    // A check that fits, and that its pickup hangs on, is to fail a third as often.
    let comfort = COMFORT.max(1.0 - (1.0 - check.probability) / 3.0);
    let mut found = Advice::default();
    for aim in [comfort, CONFIDENCE] {
        let Some(trial) = Trial::new(prepared, check, aim) else { return found };
        found = advice_by(&trial);
        // What does not mend the others that lack the same is for this one alone.
        if found.ways.is_empty() && trial.is_for_others() {
            found = advice_by(&trial.for_it_alone());
        }
        if !found.ways.is_empty() {
            break;
        }
    }
    found
}

fn advice_by(trial: &Trial) -> Advice {
    let (prepared, check) = (trial.prepared, trial.check);
    let mut came = Came::default();
    let (bought, own): (Vec<Help>, Vec<Help>) =
        check.help.iter().partition(|help| matches!(help, Help::Bought(_) | Help::OneRod));
    let mut singles = singles(trial, &own, &mut came);
    let mut ways: Vec<Way> = clean(trial, &singles);
    if ways.is_empty() {
        ways.extend(together(trial, &singles).or_else(|| past_refusals(trial, &own)));
    }
    if ways.is_empty() {
        // Another arrangement of rods, and what has to be bought, come last.
        let others = self::singles(trial, &bought, &mut came);
        ways = clean(trial, &others);
        if ways.len() < WAYS {
            let is_new = |(change, _): &&Found| ways.iter().all(|way| way.changes != [change.clone()]);
            let rest: Vec<Found> = others.iter().filter(is_new).cloned().collect();
            ways.extend(together(trial, &rest));
        }
        singles.extend(others);
    }
    if ways.is_empty() {
        ways.extend(least_bad(trial, &singles));
    }
    // Two kinds of help may come to the same change.
    let mut said: Vec<Vec<Change>> = Vec::new();
    ways.retain(|way| {
        let is_new = !said.contains(&way.changes);
        said.push(way.changes.clone());
        is_new && holds(trial, way)
    });
    ways.truncate(WAYS);
    let dimensions = own.iter().filter_map(|help| match help {
        Help::Dimension(path) => {
            parameter(path).filter(|p| value(&prepared.family, trial.index, p).is_some())
        }
        _ => None,
    });
    let is_found = |path: &str| singles.iter().any(|(change, _)| change.path() == path);
    let never = dimensions.filter(|p| !is_found(p.path));
    let never = never.map(|p| (p.path, bounds(prepared, trial.index, p))).collect();
    Advice {
        nearest: if ways.is_empty() { came.nearest(trial, check.margin.value()) } else { None },
        ways,
        never,
    }
}

/// For each kind of help the nearest change that makes the check fit.
fn singles(trial: &Trial, all: &[Help], came: &mut Came) -> Vec<Found> {
    let family = &trial.prepared.family;
    all.iter().filter_map(|help| trial.with(family, trial.check, (*help, trial.reach(&[])), came)).collect()
}

/// Those that spoil nothing.
fn clean(trial: &Trial, singles: &[Found]) -> Vec<Way> {
    let is_clean = |(change, checks): &&Found| trial.turned(checks, std::slice::from_ref(change)).is_empty();
    let clean = singles.iter().filter(is_clean);
    clean.map(|(change, _)| trial.way(vec![change.clone()], Vec::new())).collect()
}

/// The one that spoils least.
fn least_bad(trial: &Trial, singles: &[Found]) -> Option<Way> {
    let ways = singles.iter().map(|(change, checks)| {
        let changes = vec![change.clone()];
        let turned = trial.all_turned(checks, &changes);
        trial.way(changes, turned)
    });
    ways.min_by_key(|way| {
        let clashes = way.turned.iter().filter(|t| t.verdict == Verdict::Clashes).count();
        (clashes, way.turned.len())
    })
}

/// A change that spoils something, and others that mend that.
fn together(trial: &Trial, singles: &[Found]) -> Option<Way> {
    singles.iter().find_map(|(change, checks)| {
        let mut family = trial.prepared.family.clone();
        change.put_in(&mut family, trial.index, trial.reach(&[])).then_some(())?;
        mended(trial, &family, vec![change.clone()], checks)
    })
}

/// Goes on until the check fits and nothing is spoilt, or there are too many changes.
fn mended(trial: &Trial, family: &Family, changes: Vec<Change>, checks: &[Check]) -> Option<Way> {
    let target = checks.iter().find(|c| c.is_same(trial.check) && !trial.is_enough(c));
    let turned = trial.turned(checks, &changes);
    if target.is_none() && turned.is_empty() {
        return Some(trial.way(changes, Vec::new()));
    }
    if changes.len() == TOGETHER || !trial.goes_on() {
        return None;
    }
    // What one line says of several positions is mended for all of them here.
    let open = target.or_else(|| turned.into_iter().find(|c| c.position == trial.check.position))?;
    let is_new = |help: &Help| match help {
        Help::Dimension(path) => changes.iter().all(|c| c.path() != *path),
        _ => false,
    };
    let reach = trial.reach(&changes);
    open.help.iter().copied().filter(is_new).find_map(|help| {
        let (change, checks) = trial.with(family, open, (help, reach), &mut Came::default())?;
        let mut family = family.clone();
        change.put_in(&mut family, trial.index, reach).then_some(())?;
        mended(trial, &family, [&changes[..], &[change]].concat(), &checks)
    })
}

/// How far a dimension is moved to where parts can't be made any more, mm: nearer first.
const BEYOND: [f64; 5] = [0.25, 0.5, 1.0, 2.0, 4.0];

/// So many refusals are asked what would mend them: each answer takes dozens of builds.
const ASKED: usize = 4;

/// A value of a dimension with which parts can't be made, and what their refusals say makes them so.
fn past_refusals(trial: &Trial, all: &[Help]) -> Option<Way> {
    let mut asked = 0;
    for help in all {
        let Help::Dimension(path) = help else { continue };
        let dimension = parameter(path)?;
        let Some(wanted) = value(&trial.prepared.family, trial.index, dimension) else { continue };
        for by in BEYOND.into_iter().flat_map(|by| [by, -by]) {
            let now = wanted + Length::from_mm(by);
            let mut family = trial.prepared.family.clone();
            let change = Change::Dimension(dimension.path, now);
            let is_sensible = (dimension.low..=dimension.high).contains(&now.as_mm());
            if !is_sensible
                || !change.put_in(&mut family, trial.index, trial.reach(&[]))
                || trial.judged(&family).is_some()
            {
                continue;
            }
            asked += 1;
            if asked > ASKED || !trial.goes_on() {
                return None;
            }
            if let Some(way) = past_refusal(trial, family, change) {
                return Some(way);
            }
        }
    }
    None
}

fn past_refusal(trial: &Trial, mut family: Family, first: Change) -> Option<Way> {
    let refusals = build_family(&family).err()?;
    let mut changes = vec![first];
    for refusal in refusals {
        let here = family.positions[trial.index].name == refusal.position;
        let remedies = Change::of_remedy(refusal.remedy().filter(|_| here)?);
        for change in remedies {
            change.put_in(&mut family, trial.index, trial.reach(&[])).then_some(())?;
            changes.retain(|c| c.path() != change.path());
            changes.push(change);
        }
    }
    if changes.len() > TOGETHER {
        return None;
    }
    let checks = trial.judged(&family)?;
    mended(trial, &family, changes, &checks)
}

/// What makes a check surer that fits must make its pickup so: two that want the opposite would take turns for ever.
fn is_surer(trial: &Trial, with: &Prepared) -> bool {
    let chance = |prepared: &Prepared| {
        let wholes = prepared.fit.wholes();
        wholes.iter().find(|w| w.position == trial.check.position).map_or(0.0, |whole| whole.chance)
    };
    trial.check.verdict != Verdict::Fits || chance(with) > chance(trial.prepared) + SURER
}

/// A pickup's chance is drawn, and told to half a point.
const SURER: f64 = 0.005;

/// As the person would do it: the family with it can be built, the check fits, and nothing turns but what is said.
fn holds(trial: &Trial, way: &Way) -> bool {
    let mut family = trial.prepared.family.clone();
    way.put_in(&mut family, trial.index)
        && Prepared::with_tried(family, trial.prepared.tried.clone()).is_ok_and(|with| {
            trial.fits(&with.fit.checks)
                && way.mends_all(trial.check, &with.fit.checks)
                && trial.all_turned(&with.fit.checks, &way.changes) == way.turned
                && is_surer(trial, &with)
        })
}
