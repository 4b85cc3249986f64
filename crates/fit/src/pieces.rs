//! What to measure on printed parts, what is allowed there, and what was read.

use std::collections::BTreeMap;

use bobbinwright_geometry::parts::{Lie, PartKind, Piece, PositionParts, pieces};
use bobbinwright_spec::{Doubts, Estimate, Family, Length, Origin, PieceSize, Quantity};

use crate::together::holds;
use crate::verdict::{CONFIDENCE, Verdict, probability};
use crate::{Check, Fit, check};

/// A size that decides whether a printed part fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Deciding {
    /// Index of the position.
    pub position: usize,
    /// The size, what it shall be, and how it is made.
    pub piece: Piece,
    /// What was read on the printed part.
    pub read: Option<Estimate>,
    /// The least and the most that it may be for everything to fit, everything else as it is.
    pub allowed: [Option<Length>; 2],
    /// Is what was read allowed?
    pub verdict: Option<Verdict>,
    /// What it decides: the check that leaves it the least room.
    pub decides: String,
    /// How many of its standard uncertainties lie between what is wanted and what is no longer allowed,
    /// while it is not read; the smaller, the more it matters.
    pub room: f64,
}

/// Every size that a check hangs on, what matters most first.
pub fn deciding(
    family: &Family,
    built: &[PositionParts],
    lie: impl Fn(usize, PartKind) -> Lie,
) -> Vec<Deciding> {
    let fit = check(family, built);
    let mut all = Vec::new();
    for (index, (position, parts)) in family.positions.iter().zip(built).enumerate() {
        let bounds = bounds(&fit, &position.name);
        for part in PartKind::ALL {
            for piece in pieces(&parts.layout, part, lie(index, part)) {
                let Some(bound) = bounds.get(&piece.size) else { continue };
                let read = family.pieces.get(&(position.name.clone(), piece.size)).cloned();
                all.push(bound.deciding(index, piece, read, &fit.doubts));
            }
        }
    }
    all.sort_by(|a, b| a.room.total_cmp(&b.room));
    all
}

/// How far a size may be off before a check no longer fits.
struct Bound<'f> {
    /// Downwards, negative, and upwards, positive, mm.
    off: [Option<f64>; 2],
    /// The check that leaves the least room.
    check: &'f Check,
    /// Standard uncertainty of the size while it is not read, mm.
    u: f64,
}

impl Bound<'_> {
    fn deciding(&self, position: usize, piece: Piece, read: Option<Estimate>, doubts: &Doubts) -> Deciding {
        let allowed = self.off.map(|off| off.map(|mm| piece.wanted + Length::from_mm(mm)));
        let [least, most] = allowed;
        let verdict = read.as_ref().map(|read| {
            let over = least.map(|l| read.clone() - Estimate::exact(l));
            let under = most.map(|m| Estimate::exact(m) - read.clone());
            let margins: Vec<Estimate> = over.into_iter().chain(under).collect();
            Verdict::of(holds(&margins, doubts))
        });
        let room = self.off.iter().flatten().map(|mm| mm.abs()).fold(f64::INFINITY, f64::min);
        // Wanted itself is not allowed: nothing matters more.
        let inside = self.off[0].is_none_or(|l| l <= 0.0) && self.off[1].is_none_or(|m| m >= 0.0);
        let room = if inside { room / self.u } else { -room / self.u };
        Deciding { position, piece, read, allowed, verdict, decides: self.check.title.clone(), room }
    }
}

/// For each size of a position's parts, how far it may be off.
///
/// A margin m with standard uncertainty u changes by c for a millimetre of a size whose own standard
/// uncertainty is `u_s`; once that size is known the margin's is √(u² - c² `u_s`²), and m + c Δ must be as
/// many of these as a fit needs.
fn bounds<'f>(fit: &'f Fit, position: &str) -> BTreeMap<PieceSize, Bound<'f>> {
    let mut all: BTreeMap<PieceSize, Bound> = BTreeMap::new();
    for check in fit.checks.iter().filter(|c| c.position == position) {
        for margin in check.margins() {
            for (size, slope, u) in sizes_in(margin, fit) {
                let (whole, own) = (margin.uncertainty().as_mm(), slope * u);
                let rest = (whole * whole - own * own).max(0.0).sqrt();
                let off = (factor(margin, &fit.doubts) * rest - margin.value().as_mm()) / slope;
                let side = usize::from(slope < 0.0);
                let bound = all.entry(size).or_insert(Bound { off: [None, None], check, u });
                let tighter = |b: &Bound| b.off.iter().flatten().all(|other| off.abs() < other.abs());
                if tighter(bound) {
                    bound.check = check;
                }
                bound.off[side] = Some(match (bound.off[side], side) {
                    (None, _) => off,
                    (Some(known), 0) => known.max(off),
                    (Some(known), _) => known.min(off),
                });
            }
        }
    }
    all
}

/// The sizes of printed parts that a margin hangs on, with what it changes by for a millimetre of each,
/// and each one's standard uncertainty, mm.
fn sizes_in(margin: &Estimate, fit: &Fit) -> Vec<(PieceSize, f64, f64)> {
    let of = |id| match fit.doubts.get(id) {
        Some(d) if d.origin == Origin::Print => match &d.quantity {
            Some(Quantity::Piece(_, size)) => Some(*size),
            _ => None,
        },
        _ => None,
    };
    let own = margin.contributions().filter_map(|(id, share)| Some((of(id)?, id, share.as_mm())));
    own.filter_map(|(size, id, share)| {
        let (print, whole) = fit.prints.get(&id)?;
        Some((size, share / print.as_mm(), whole.as_mm()))
    })
    .filter(|(_, slope, _)| slope.abs() > 1e-6)
    .collect()
}

/// How many standard uncertainties of a margin make it a fit: 1.645 where its doubt is normal, more where
/// it rests on few readings.
fn factor(margin: &Estimate, doubts: &Doubts) -> f64 {
    let u = margin.uncertainty();
    if u <= Length::ZERO {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, 40.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if probability(&margin.clone().moved_to(u * middle), doubts) < CONFIDENCE {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
