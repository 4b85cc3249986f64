//! Advice that was tried: the value of the dimension that decides a check with which it fits, found by building and
//! judging the whole family with it.

use bobbinwright_fit::{Check, Verdict};
use bobbinwright_geometry::parts::{Ranges, room_for};
use bobbinwright_spec::{Family, Length, Parameter, parameter};

use crate::prepared::Prepared;

/// How far from the wanted value is tried first, mm; then twice as far, and so on.
const FIRST: f64 = 0.05;

/// So often is doubled: 6.4 mm.
const DOUBLED: u32 = 8;

/// Nobody wants anything finer, mm.
const STEP: f64 = 0.01;

/// What came of trying.
enum Tried {
    /// With this value the check fits; what else turns with it.
    Fits(Length, Vec<String>),
    /// No value makes it fit; parts can be made between these.
    Never(Option<Ranges>),
}

/// What to do about a check that does not fit: what was tried first, so that it can be followed as it stands.
/// It takes some dozen builds for each check, once.
pub fn what_to_do(prepared: &Prepared, check: &Check) -> String {
    let all = prepared.tried.get_or_init(|| {
        let open = prepared.fit.checks.iter().filter(|c| c.verdict != Verdict::Fits);
        open.map(|c| ((c.position.clone(), c.kind), sentence(prepared, c))).collect()
    });
    let said = check.what_to_do();
    match all.get(&(check.position.clone(), check.kind)) {
        Some(Some(tried)) => format!("{said} Tried: {tried}"),
        _ => said,
    }
}

/// What a dimension does for a check that does not fit, as a sentence; none where no dimension decides it, or where
/// the program chooses its value itself.
fn sentence(prepared: &Prepared, check: &Check) -> Option<String> {
    let dimension = check.parameter.and_then(parameter)?;
    let index = prepared.family.positions.iter().position(|p| p.name == check.position)?;
    let position = &prepared.family.positions[index];
    if dimension.path == "cover.fit_gap" && position.wanted.cover.snug.is_some() {
        return None;
    }
    let trial = Trial { prepared, check, dimension, index };
    let path = dimension.path;
    Some(match trial.run()? {
        Tried::Fits(value, turned) if turned.is_empty() => {
            format!("With {path} {value} it fits, and nothing else turns.")
        }
        Tried::Fits(value, turned) => format!("With {path} {value} it fits; but then {}.", turned.join(", ")),
        Tried::Never(Some(ranges)) => format!(
            "No value of {path} alone makes it fit: parts can be made with {ranges}, everything else left as it is."
        ),
        Tried::Never(None) => format!("No value of {path} alone makes it fit."),
    })
}

struct Trial<'p> {
    prepared: &'p Prepared,
    check: &'p Check,
    dimension: &'static Parameter,
    index: usize,
}

impl Trial<'_> {
    fn run(&self) -> Option<Tried> {
        let mut wanted = self.prepared.family.positions[self.index].wanted.clone();
        let wanted = (self.dimension.field)(&mut wanted).copied()?.as_mm();
        // Both ways at once, the nearer first.
        for doubled in 0..=DOUBLED {
            let by = FIRST * f64::from(1u32 << doubled);
            let nearer = if doubled == 0 { 0.0 } else { by / 2.0 };
            for sign in [1.0, -1.0] {
                if self.fits(wanted + sign * by).is_some() {
                    let value = self.nearest(wanted, sign, nearer, by);
                    let with = self.fits(value)?;
                    return Some(Tried::Fits(Length::from_mm(value), self.turned(&with)));
                }
            }
        }
        let position = &self.prepared.family.positions[self.index];
        Some(Tried::Never(room_for(position, &self.prepared.family.hardware, self.dimension)))
    }

    /// The nearest value that fits between one that does not and one that does, in whole steps.
    fn nearest(&self, wanted: f64, sign: f64, bad: f64, good: f64) -> f64 {
        let at = |steps: u32| ((wanted + sign * f64::from(steps) * STEP) / STEP).round() * STEP;
        let (mut bad, mut good) = ((bad / STEP).round() as u32, (good / STEP).round() as u32);
        while good - bad > 1 {
            let middle = bad.midpoint(good);
            if self.fits(at(middle)).is_some() {
                good = middle;
            } else {
                bad = middle;
            }
        }
        at(good)
    }

    /// The family with that value where the dimension is stated, when it can be made and the check fits.
    fn fits(&self, mm: f64) -> Option<Prepared> {
        if !(self.dimension.low..=self.dimension.high).contains(&mm) {
            return None;
        }
        let mut family = self.prepared.family.clone();
        self.set(&mut family, Length::from_mm(mm));
        let with = Prepared::new(family).ok()?;
        let found = with.fit.checks.iter().find(|c| self.is_it(c))?;
        (found.verdict == Verdict::Fits).then_some(with)
    }

    fn is_it(&self, other: &Check) -> bool {
        (&other.position, other.kind) == (&self.check.position, self.check.kind)
    }

    /// What stands in one line of the file is one value, whichever positions it is of.
    fn set(&self, family: &mut Family, value: Length) {
        let origin = |family: &Family, i: usize| family.origin(i, self.dimension.path);
        let here = origin(family, self.index);
        for i in 0..family.positions.len() {
            let is_meant = i == self.index || (here.is_some() && origin(family, i) == here);
            let field = (self.dimension.field)(&mut family.positions[i].wanted);
            if let Some(field) = field.filter(|_| is_meant) {
                *field = value;
            }
        }
    }

    /// Checks that were better before.
    fn turned(&self, with: &Prepared) -> Vec<String> {
        let before = |c: &Check| {
            let same = |b: &&Check| (&b.position, b.kind) == (&c.position, c.kind);
            self.prepared.fit.checks.iter().find(same).map_or(Verdict::Fits, |b| b.verdict)
        };
        let worse = with.fit.checks.iter().filter(|c| c.verdict < before(c));
        worse
            .map(|c| {
                let verb = if c.verdict == Verdict::Clashes { "clashes" } else { "is too close to call" };
                format!("{} {} {verb}", c.position, c.kind.name())
            })
            .collect()
    }
}
