//! What became of each part, and which printed ones can stay.

use bobbinwright_fit::{Check, Choice, Printed, Verdict, keep};
use bobbinwright_geometry::Difference;
use bobbinwright_geometry::parts::{Layout, Lie, Part, PartKind, PositionParts, pieces};
use bobbinwright_kernel::{TooManyContours, difference, threads};
use bobbinwright_spec::{BedSide, Copy, Length};

use super::{SizeChange, both};
use crate::Prepared;

/// What became of a position's parts.
pub struct PositionChanges {
    /// The position's name.
    pub name: String,
    /// Its parts, in the order of [`PartKind::ALL`].
    pub parts: Vec<PartChange>,
    /// The worst verdict on the parts that are there together when printed ones stay as is said.
    pub verdict: Verdict,
    /// The least chance that these fit all at once.
    pub chance: f64,
    /// A coil was begun on its bobbin.
    pub is_wound: bool,
    /// Why a part to be printed can't be made well as it is wanted.
    pub making: Option<Check>,
}

/// What became of a part.
pub struct PartChange {
    /// `neck-cover`.
    pub id: String,
    /// The copy that is on the bench, where the log knows of one.
    pub copy: Option<Copy>,
    /// It was printed, as far as is known.
    pub is_there: bool,
    /// What differs.
    pub found: Difference,
    /// Whether a printed one can stay.
    pub choice: Choice,
    /// The earlier version and its sizes.
    pub earlier: (Part, Layout),
    /// The later one.
    pub later: (Part, Layout),
}

impl PartChange {
    /// Less than any printer or caliper tells apart.
    pub fn is_small(&self) -> bool {
        let found = &self.found;
        found.new.is_empty() && found.gone.is_empty() && found.moved.iter().all(|m| m.distance < SEEN.as_mm())
    }
}

/// A size that differs by less is the same to the hundredth that everything is said in.
const SEEN: Length = Length::from_mm(0.005);

/// How parts lie when only their wanted sizes matter.
const UPRIGHT: Lie = Lie { side: BedSide::Underside, turned: false };

/// What was printed of a position.
pub(super) struct Bench<'a> {
    pub name: &'a str,
    /// Its index in the later version.
    pub later: usize,
    /// Its parts as they were drawn, and which copies they are, where that is known.
    pub earlier: Printed<'a>,
    pub copies: [Option<&'a Copy>; 4],
}

/// Of all positions that two versions both have: that the earlier one was printed.
pub(super) fn printed_whole<'a>(a: &'a Prepared, b: &Prepared) -> Vec<Bench<'a>> {
    let all = both(a, b).into_iter();
    let of = |(name, i, later): (&'a str, usize, usize)| {
        let earlier = [Some(&a.positions[i]); 4];
        Bench { name, later, earlier, copies: [None; 4] }
    };
    all.map(of).collect()
}

/// Compares what was printed with the parts of a later version.
pub(super) fn positions(benches: &[Bench], b: &Prepared) -> Result<Vec<PositionChanges>, TooManyContours> {
    let jobs: Vec<(usize, usize)> = (0..benches.len()).flat_map(|at| [0, 1, 2, 3].map(|k| (at, k))).collect();
    let found = threads::map(&jobs, |(at, k)| {
        let (bench, kind) = (&benches[*at], PartKind::ALL[*k]);
        let now = &b.positions[bench.later];
        // What was never printed does not differ from itself.
        let (was, now) = (bench.earlier[*k].unwrap_or(now).bare(kind)?, now.bare(kind)?);
        Some(difference(&was.stack, &now.stack))
    });
    let found: Vec<Option<Difference>> =
        found.into_iter().map(Option::transpose).collect::<Result<_, _>>()?;
    let indices: Vec<usize> = (0..benches.len()).collect();
    Ok(threads::map(&indices, |at| position(&benches[*at], b, &found[at * 4..at * 4 + 4])))
}

fn part(position: &PositionParts, kind: PartKind) -> Option<&Part> {
    position.parts.iter().find(|p| p.kind == kind)
}

fn position(bench: &Bench, b: &Prepared, found: &[Option<Difference>]) -> PositionChanges {
    let (name, later) = (bench.name, &b.positions[bench.later]);
    let changed = std::array::from_fn(|k| found[k].as_ref().is_some_and(|d| !d.is_none()));
    let keeping = keep(&b.family, bench.later, bench.earlier, later, changed, &b.tried);
    let parts = keeping.choices.into_iter().enumerate().filter_map(|(k, choice)| {
        let of = |p: &PositionParts| Some((part(p, choice.kind)?.clone(), p.layout.clone()));
        Some(PartChange {
            id: format!("{name}-{}", choice.kind.name()),
            copy: bench.copies[k].cloned(),
            is_there: bench.earlier[k].is_some(),
            found: found[k].clone()?,
            earlier: of(bench.earlier[k].unwrap_or(later))?,
            later: of(later)?,
            choice,
        })
    });
    PositionChanges {
        name: name.to_owned(),
        parts: parts.collect(),
        verdict: keeping.verdict,
        chance: keeping.chance,
        making: keeping.making,
        is_wound: b.family.winds.is_wound(name),
    }
}

/// Sizes that follow.
pub(super) fn sizes(benches: &[Bench], b: &Prepared) -> Vec<SizeChange> {
    let mut all = Vec::new();
    for bench in benches {
        for (kind, was) in PartKind::ALL.into_iter().zip(bench.earlier) {
            let Some(was) = was else { continue };
            let (was, now) = (&was.layout, &b.positions[bench.later].layout);
            all.extend(sizes_of(was, now, kind).into_iter().map(|(size, before, now)| SizeChange {
                position: bench.name.to_owned(),
                size,
                before,
                now,
            }));
        }
    }
    all
}

type Sized = (bobbinwright_spec::PieceSize, Option<Length>, Option<Length>);

/// A part's sizes that differ.
pub fn sizes_of(was: &Layout, now: &Layout, kind: PartKind) -> Vec<Sized> {
    let (was, now) = (pieces(was, kind, UPRIGHT), pieces(now, kind, UPRIGHT));
    let mut all = Vec::new();
    for piece in &now {
        let before = was.iter().find(|p| p.size == piece.size).map(|p| p.wanted);
        if before.is_none_or(|before| (piece.wanted - before).abs() > SEEN) {
            all.push((piece.size, before, Some(piece.wanted)));
        }
    }
    let gone = was.iter().filter(|p| now.iter().all(|n| n.size != p.size));
    all.extend(gone.map(|p| (p.size, Some(p.wanted), None)));
    all
}
