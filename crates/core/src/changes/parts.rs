//! What became of each part, and which printed ones can stay.

use bobbinwright_fit::{Check, Choice, Verdict, keep};
use bobbinwright_geometry::Difference;
use bobbinwright_geometry::parts::{Layout, Lie, Part, PartKind, PositionParts, pieces};
use bobbinwright_kernel::{TooManyContours, difference, threads};
use bobbinwright_spec::{BedSide, Length};

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
    /// Why a part to be printed can't be made well as it is wanted.
    pub making: Option<Check>,
}

/// What became of a part.
pub struct PartChange {
    /// `neck-cover`.
    pub id: String,
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

/// Compares the parts of all positions that both have.
pub(super) fn positions(a: &Prepared, b: &Prepared) -> Result<Vec<PositionChanges>, TooManyContours> {
    let both = both(a, b);
    let jobs: Vec<(usize, PartKind)> =
        (0..both.len()).flat_map(|at| PartKind::ALL.map(|kind| (at, kind))).collect();
    let found = threads::map(&jobs, |(at, kind)| {
        let (_, i, j) = both[*at];
        let (was, now) = (part(&a.positions[i], *kind)?, part(&b.positions[j], *kind)?);
        Some(difference(&was.stack, &now.stack))
    });
    let found: Vec<Option<Difference>> =
        found.into_iter().map(Option::transpose).collect::<Result<_, _>>()?;
    let indices: Vec<usize> = (0..both.len()).collect();
    Ok(threads::map(&indices, |at| position(a, b, both[*at], &found[at * 4..at * 4 + 4])))
}

fn part(position: &PositionParts, kind: PartKind) -> Option<&Part> {
    position.parts.iter().find(|p| p.kind == kind)
}

fn position(
    a: &Prepared,
    b: &Prepared,
    (name, i, j): (&str, usize, usize),
    found: &[Option<Difference>],
) -> PositionChanges {
    let (earlier, later) = (&a.positions[i], &b.positions[j]);
    let changed = std::array::from_fn(|k| found[k].as_ref().is_some_and(|d| !d.is_none()));
    let keeping = keep(&b.family, j, earlier, later, changed);
    let parts = keeping.choices.into_iter().zip(found).filter_map(|(choice, found)| {
        let of = |p: &PositionParts| Some((part(p, choice.kind)?.clone(), p.layout.clone()));
        Some(PartChange {
            id: format!("{name}-{}", choice.kind.name()),
            found: found.clone()?,
            earlier: of(earlier)?,
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
    }
}

/// Sizes that follow, of all positions that both have.
pub(super) fn sizes(a: &Prepared, b: &Prepared) -> Vec<SizeChange> {
    let mut all = Vec::new();
    for (name, i, j) in both(a, b) {
        for kind in PartKind::ALL {
            let (was, now) = (&a.positions[i].layout, &b.positions[j].layout);
            all.extend(sizes_of(was, now, kind).into_iter().map(|(size, before, now)| SizeChange {
                position: name.to_owned(),
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
