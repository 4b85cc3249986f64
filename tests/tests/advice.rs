//! Advice does what it says: followed as it stands, the check fits, and nothing turns that was not named.
//!
//! 50 families in every run; `FAMILIES=2000 cargo test --release -p bobbinwright-tests --test advice -- --nocapture`
//! takes more and prints what came up.

use std::collections::BTreeMap;

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{Change, Reach, Way, advice};
use bobbinwright_fit::{Bought, Check, CheckKind, Verdict};
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Family, Poles, parameter};
use bobbinwright_tests::random_family::drawn;
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

/// Wishes that change in a family.
const STEPS: usize = 8;

#[derive(Debug, Default)]
struct Tally {
    families: usize,
    /// Checks that do not fit.
    open: usize,
    /// Of these, for how many something was proposed, and for how many something that spoils nothing.
    advised: usize,
    clean: usize,
    /// Of several changes together.
    sets: usize,
    /// Proposed ways, and those that did what was said.
    ways: usize,
    good: usize,
    without: BTreeMap<&'static str, usize>,
    wrong: Vec<String>,
}

impl Tally {
    fn add(&mut self, other: Self) {
        self.families += other.families;
        self.open += other.open;
        self.advised += other.advised;
        self.clean += other.clean;
        self.sets += other.sets;
        self.ways += other.ways;
        self.good += other.good;
        for (kind, count) in other.without {
            *self.without.entry(kind).or_default() += count;
        }
        self.wrong.extend(other.wrong);
    }
}

/// The person's own hand: each dimension put where it is stated, at every position that the line is for; or where it is
/// said to be for one alone, there.
fn follow(family: &Family, index: usize, way: &Way) -> Family {
    let mut family = family.clone();
    for change in &way.changes {
        let line = |family: &Family, i: usize, path: &str| family.origin(i, path);
        let mut each = |path: &str, put: &dyn Fn(&mut bobbinwright_spec::Wanted)| {
            for i in 0..family.positions.len() {
                let same = line(&family, index, path).is_some()
                    && line(&family, i, path) == line(&family, index, path);
                if i == index || (same && way.reach == Reach::WholeLine) {
                    put(&mut family.positions[i].wanted);
                }
            }
        };
        match *change {
            Change::Dimension(path, value) => each(path, &|w| {
                if let Some(field) = (parameter(path).unwrap().field)(w) {
                    *field = value;
                }
            }),
            Change::LeadOut(side, offset) => each("cover.lead_out.offset", &|w| {
                w.cover.lead_out.side = side;
                w.cover.lead_out.offset = offset;
            }),
            Change::OneRod => each("poles", &|w| w.poles = Poles::Single),
            Change::Mounting(mounting) => each("cover.mounting", &|w| w.cover.mounting = mounting),
            Change::Wind(until) => each("coil.wind", &|w| w.coil.as_mut().unwrap().until = until),
            Change::Wire(wire) => each("coil.wire", &|w| w.coil.as_mut().unwrap().wire = wire),
            Change::Bought { what, now, .. } => {
                let h = &mut family.hardware;
                let size = match what {
                    Bought::RodDiameter => &mut h.rod_diameter,
                    Bought::RodLength => &mut h.rod_length,
                    Bought::EyeletBarrel => &mut h.eyelet_barrel,
                    Bought::EyeletFlange => &mut h.eyelet_flange,
                    Bought::ScrewHead => &mut h.screw_head,
                    Bought::ScrewHeadHeight => &mut h.screw_head_height,
                    Bought::Lead => &mut h.lead_diameter,
                };
                *size = size.clone().moved_to(now);
            }
        }
    }
    family
}

/// Position, name and verdict of what is worse than it was.
fn worse(before: &[Check], now: &[Check]) -> Vec<(String, &'static str, Verdict)> {
    let was = |c: &Check| {
        let found = before.iter().find(|b| b.is_same(c));
        found.map_or(Verdict::Fits, |b| b.verdict)
    };
    let all = now.iter().filter(|c| c.verdict < was(c));
    all.map(|c| (c.position.clone(), c.kind.name(), c.verdict)).collect()
}

/// Was everything named that is worse? What is named besides does not fit, as it did not before: it wants the same the other way.
fn is_named(before: &[Check], now: &[Check], said: &[(String, &'static str, Verdict)]) -> bool {
    let stands = |(position, kind, verdict): &(String, &'static str, Verdict)| {
        now.iter().any(|c| c.position == *position && c.kind.name() == *kind && c.verdict == *verdict)
    };
    let worse = worse(before, now);
    worse.iter().all(|one| said.contains(one))
        && said.iter().all(|one| worse.contains(one) || (stands(one) && one.2 != Verdict::Fits))
}

fn one(number: u64) -> Tally {
    let mut tally = Tally::default();
    let mut rng = ChaCha8Rng::seed_from_u64(7 * 1_000_003 + number);
    let Some(found) = drawn(&mut rng, STEPS) else { return tally };
    let Ok(prepared) = Prepared::new(found.family) else { return tally };
    tally.families += 1;
    for check in prepared.fit.checks.iter().filter(|c| c.verdict != Verdict::Fits) {
        tally.open += 1;
        let index = prepared.family.positions.iter().position(|p| p.name == check.position).unwrap();
        let ways = advice(&prepared, check).ways;
        if ways.is_empty() {
            *tally.without.entry(check.kind.name()).or_default() += 1;
        }
        tally.advised += usize::from(!ways.is_empty());
        tally.clean += usize::from(ways.iter().any(|way| way.turned.is_empty()));
        tally.sets += ways.iter().filter(|way| way.changes.len() > 1).count();
        for way in &ways {
            tally.ways += 1;
            let said: Vec<_> =
                way.turned.iter().map(|t| (t.position.clone(), t.kind.name(), t.verdict)).collect();
            let followed = Prepared::new(follow(&prepared.family, index, way)).map(|with| with.fit.checks);
            let fits = |checks: &[Check]| {
                let same = checks.iter().find(|c| c.is_same(check));
                same.is_some_and(|c| c.verdict == Verdict::Fits)
            };
            match followed {
                Ok(checks) if fits(&checks) && is_named(&prepared.fit.checks, &checks, &said) => {
                    tally.good += 1;
                }
                Ok(checks) => tally.wrong.push(format!(
                    "family {number} {} {}: {way:?}: fits {}, turned {:?}",
                    check.position,
                    check.kind.name(),
                    fits(&checks),
                    worse(&prepared.fit.checks, &checks)
                )),
                Err(problems) => tally.wrong.push(format!("family {number}: {way:?}: {problems}")),
            }
        }
    }
    tally
}

#[test]
fn advice_does_what_it_says_and_spoils_only_what_it_names() {
    let families = std::env::var("FAMILIES").ok().and_then(|n| n.parse().ok()).unwrap_or(50);
    let numbers: Vec<u64> = (0..families).collect();
    let mut tally = Tally::default();
    for of_one in threads::map(&numbers, |number| one(*number)) {
        tally.add(of_one);
    }
    println!("{tally:#?}");
    assert!(tally.ways > 20 && tally.sets > 0, "{tally:#?}");
    assert!(tally.good * 100 >= tally.ways * 99, "{tally:#?}");
}

/// Pairs so far apart that webs close, and so near that strings come over them, want the spread both ways: who takes one proposal
/// after the other comes to an end, by one rod under each string or otherwise, and not back to where he was.
#[test]
fn proposals_do_not_go_in_a_circle() {
    let mut family = bobbinwright_tests::demo("tidewick");
    // Rods as thick as these leave pairs no room between strings that are 10 mm apart.
    let rod = &mut family.hardware.rod_diameter;
    *rod = rod.clone().moved_to(bobbinwright_spec::Length::from_mm(3.9));
    for position in &mut family.positions {
        position.wanted.flatwork.pole_hole = bobbinwright_spec::Length::from_mm(4.1);
    }
    let mut seen = Vec::new();
    let mut singles = 0;
    for _ in 0..12 {
        let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
        let about = [CheckKind::StringBetweenPoles, CheckKind::StringOverPole, CheckKind::RodThroughFlatwork];
        let is_open = |c: &&Check| {
            let of_rods = about.contains(&c.kind) || matches!(c.kind, CheckKind::Webs(_));
            of_rods && c.verdict != Verdict::Fits
        };
        let Some(check) = prepared.fit.checks.iter().find(is_open) else { break };
        let index = prepared.family.positions.iter().position(|p| p.name == check.position).unwrap();
        let Some(way) = advice(&prepared, check).ways.into_iter().next() else { break };
        let words = format!("{} {} {:?}", check.position, check.kind.name(), way.changes);
        assert!(!seen.contains(&words), "{words} again, after {seen:#?}");
        singles += usize::from(way.changes.contains(&Change::OneRod));
        family = follow(&prepared.family, index, &way);
        seen.push(words);
    }
    println!("{seen:#?}");
    assert!(seen.len() < 12 && singles > 0, "{seen:#?}");
}
