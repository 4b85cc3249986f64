//! Copies that may be mixed up: what was read of one is held against what other builds drew of such a part.
//!
//! A build's mark is on a bag or on nothing. Who takes the part of another build into his hands and reads that would teach the
//! printer that it made what it never was told to. So every part of the kind that was ever printed, of whatever build, position or
//! family beside this one, is asked whether it explains the readings as well as the copy's own build does, with all that
//! is unsure of printer and caliper. Where one does, the sizes in which they differ are not believed; in the others it does not matter
//! which of both was read.

use std::collections::BTreeMap;

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::printer::coupon::CouponSize;
use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{
    Estimate, Folder, Length, MADE_FILE, PartKind, READINGS_FILE, Survey, part_name, part_named,
};

use crate::bench;
use crate::changes::Built;

/// A part that another build drew.
pub struct Drawn {
    /// `bridge-cover of build 7d8ac923`.
    pub name: String,
    kind: PartKind,
    /// Build and part, to know a copy's own again.
    of: (String, String),
    /// What was drawn for each of its sizes, by the size's word.
    sizes: BTreeMap<String, CouponSize>,
}

/// Everything that was printed for a printer, of this family and of those whose folders lie beside it.
pub fn ever_printed(folder: &Folder, log: &Folder, survey: &Survey, printer: &str) -> Vec<Drawn> {
    let own = survey.copies().into_iter().map(|copy| copy.build);
    let mut all: Vec<Drawn> = Vec::new();
    let mut known: Vec<String> = own.collect();
    known.sort();
    known.dedup();
    let mut add = |from: &Folder, mark: &str| {
        if !all.iter().any(|drawn| drawn.of.0 == mark) {
            let text = bench::kept(from, mark).unwrap_or_default();
            all.extend(
                Built::of(text.as_bytes(), mark.as_ref()).into_iter().flat_map(|b| parts(&b, mark, printer)),
            );
        }
    };
    for mark in &known {
        add(log, mark);
    }
    for other in folder.at("..").folders().unwrap_or_default() {
        for mark in marks(&other) {
            add(&other, &mark);
        }
    }
    all
}

/// The marks of builds that a family's log says were printed from.
fn marks(family: &Folder) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for name in [READINGS_FILE, MADE_FILE] {
        let bytes = family.read(name, LARGEST).unwrap_or_default();
        let text = String::from_utf8_lossy(&bytes);
        let printed = text.lines().filter(|line| line.trim_start().starts_with("printed("));
        all.extend(printed.filter_map(|l| Some(l.split_once("build: \"")?.1.split_once('"')?.0.to_owned())));
    }
    all.sort();
    all.dedup();
    all
}

/// A log is not larger.
const LARGEST: usize = 4 << 20;

fn parts(built: &Built, mark: &str, printer: &str) -> Vec<Drawn> {
    if built.drawn_for.as_deref() != Some(printer) {
        return Vec::new();
    }
    let of = |part: &str| {
        let (_, kind) = part_named(part)?;
        let sizes =
            built.sizes(part).filter_map(|(word, drawn)| Some((word, CouponSize::parse(drawn).ok()?)));
        Some(Drawn {
            name: format!("{part} of build {mark}"),
            kind,
            of: (mark.to_owned(), part.to_owned()),
            sizes: sizes.collect(),
        })
    };
    built.parts().filter_map(of).collect()
}

/// A size that was read of a copy.
pub struct Size {
    /// `hollow_length`.
    pub word: String,
    /// What its build drew.
    pub drawn: CouponSize,
    /// What was read.
    pub read: Estimate,
}

/// Another part that what was read of a copy may be of.
pub struct Rival {
    /// Which.
    pub name: String,
    /// How many times likelier the readings are of it than of the copy's own build: their logarithm.
    pub evidence: f64,
    /// The sizes that were read in which they differ, with what the printer makes of each: here and there.
    pub differ: Vec<(String, [Length; 2])>,
}

impl Rival {
    /// Is it that part rather than the copy, as far as anybody can tell?
    pub fn is_likelier(&self) -> bool {
        self.evidence > SURE
    }
}

/// Whoever names a build is right at least nineteen times of twenty: readings have to say more than that against it.
const SURE: f64 = 2.944_438_979_166_440_3;

/// Drawn as near as this it teaches the same.
const ALIKE: Length = Length::from_mm(0.03);

/// The part that explains what was read of a copy best of those that do so as well as the build that it is said to be of.
pub fn rival(
    [build, position]: [&str; 2],
    kind: PartKind,
    sizes: &[Size],
    profile: &Profile,
    others: &[Drawn],
) -> Option<Rival> {
    let off: Vec<Estimate> = sizes.iter().map(|s| s.read.clone() - profile.comes_out(s.drawn)).collect();
    let own = part_name(position, kind);
    let scatter = profile.scatter.one.as_mm().power(2);
    let found =
        others.iter().filter(|o| o.kind == kind && (o.of.0 != build || o.of.1 != own)).filter_map(|other| {
            let makes = |size: CouponSize| profile.comes_out(size).value();
            let by: Vec<f64> = sizes
                .iter()
                .map(|s| {
                    other.sizes.get(&s.word).map_or(0.0, |there| (makes(*there) - makes(s.drawn)).as_mm())
                })
                .collect();
            // What is alike in both takes part: it tells of what the printer does to the others too.
            by.iter().any(|by| by.abs() > ALIKE.as_mm()).then_some(())?;
            let weighed = solved(&off, scatter, &by)?;
            let evidence = off
                .iter()
                .zip(&by)
                .zip(&weighed)
                .map(|((off, by), w)| w * (off.value().as_mm() - by / 2.0))
                .sum();
            let differ = sizes.iter().zip(&by).filter(|(_, by)| by.abs() > ALIKE.as_mm());
            let differ = differ
                .map(|(s, by)| (s.word.clone(), [makes(s.drawn), makes(s.drawn) + Length::from_mm(*by)]));
            Some(Rival { name: other.name.clone(), evidence, differ: differ.collect() })
        });
    found.filter(|rival| rival.evidence >= 0.0).max_by(|a, b| a.evidence.total_cmp(&b.evidence))
}

/// C⁻¹ · right, C what the offs have in common and the scatter of single prints; by Cholesky's method. None where C is none.
fn solved(off: &[Estimate], scatter: f64, right: &[f64]) -> Option<Vec<f64>> {
    let n = off.len();
    let mut low = vec![vec![0.0f64; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let own = if i == j { scatter + LEAST } else { 0.0 };
            let rest = (0..j).map(|k| low[i][k] * low[j][k]).sum::<f64>();
            let left = off[i].covariance(&off[j]) + own - rest;
            if i == j {
                (left > 0.0).then_some(())?;
                low[i][i] = left.sqrt();
            } else {
                low[i][j] = left / low[j][j];
            }
        }
    }
    let mut x = right.to_vec();
    for i in 0..n {
        let rest = (0..i).map(|k| low[i][k] * x[k]).sum::<f64>();
        x[i] = (x[i] - rest) / low[i][i];
    }
    for i in (0..n).rev() {
        let rest = (i + 1..n).map(|k| low[k][i] * x[k]).sum::<f64>();
        x[i] = (x[i] - rest) / low[i][i];
    }
    Some(x)
}

/// A micrometre's variance, mm²: nothing is known better.
const LEAST: f64 = 1e-6;
