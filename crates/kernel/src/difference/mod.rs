//! What differs between two versions of a part, from their exact regions.
//!
//! Both stacks are cut into slabs at all levels of either. In a slab the material of each is a region of
//! lines and arcs, and all contours of both in one arrangement tell for every piece which of the two lies
//! on its sides: the area that only one of them covers is exact, and so is its volume in the slab.
//! Where an edge is rounded the outlines change with the height: there the exact areas at many heights are
//! integrated (Gauss-Legendre), unless both are rounded alike, which then differs in nothing.

mod cuts;
mod gauss;
mod movements;

pub use cuts::{Cut, LevelCut, lengthwise_cut, level_cuts};

use gauss::gauss_legendre;
use movements::movements;

use crate::plane::{Arrangement, Contour, MAX_CONTOURS, Membership, Point, SNAP, furthest, offset};
use crate::stack::{Kind, Numbered, Rounding, Stack};

/// What became of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference<R> {
    /// Material that only the earlier version has, mm³.
    pub removed: f64,
    /// Material that only the later version has, mm³.
    pub added: f64,
    /// How far surfaces moved that both versions have, the furthest first.
    pub moved: Vec<Movement<R>>,
    /// Features that only the later version has.
    pub new: Vec<R>,
    /// Features that only the earlier version has.
    pub gone: Vec<R>,
}

/// How far a feature's surface moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Movement<R> {
    /// The feature.
    pub role: R,
    /// How far at most, mm: no point of it is further from the other version's.
    pub distance: f64,
    /// How far in plan, mm.
    pub plan: f64,
    /// How far up or down, mm.
    pub level: f64,
    /// Where the earlier surface moved furthest in plan, mm.
    pub at: Point,
}

/// Two versions with more contours than one arrangement can hold.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("both versions together have {have} contours, more than {MAX_CONTOURS}")]
pub struct TooManyContours {
    /// How many there are.
    pub have: usize,
}

impl<R> Difference<R> {
    /// Nothing differs: no volume, and no surface by a millionth of a millimetre.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use bobbinwright_kernel::{Stack, difference};
    /// let part = |height| {
    ///     let mut stack = Stack::default();
    ///     stack.add("post", Contour::circle(Point::origin(), 5.0), 0.0, height);
    ///     stack
    /// };
    /// assert!(difference(&part(8.0), &part(8.0))?.is_none());
    /// assert!(!difference(&part(8.0), &part(8.00001))?.is_none());
    /// # Ok::<(), bobbinwright_kernel::TooManyContours>(())
    /// ```
    pub fn is_none(&self) -> bool {
        self.moved.is_empty() && self.new.is_empty() && self.gone.is_empty()
    }
}

/// Compares an earlier with a later version of a part, both in the same frame.
///
/// Which one is the earlier matters: exchanged, what was added is removed.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, difference};
/// let part = |width: f64, top: f64| {
///     let mut stack = Stack::default();
///     stack.add("plate", Contour::rectangle(Point::new(0.0, 0.0), Point::new(width, 10.0)), 0.0, top);
///     stack
/// };
/// // 3 mm wider to the right and 4 mm higher: 13 · 10 · 6 less 10 · 10 · 2 mm³, and an edge that went 5 mm.
/// let found = difference(&part(10.0, 2.0), &part(13.0, 6.0))?;
/// assert!((found.added - 580.0).abs() < 1e-9 && found.removed == 0.0);
/// let moved = found.moved[0];
/// assert_eq!((moved.role, moved.plan, moved.level, moved.distance), ("plate", 3.0, 4.0, 5.0));
/// # Ok::<(), bobbinwright_kernel::TooManyContours>(())
/// ```
pub fn difference<R: Copy + Ord>(
    earlier: &Stack<R>,
    later: &Stack<R>,
) -> Result<Difference<R>, TooManyContours> {
    let mut roles: Vec<R> = earlier.features.iter().chain(&later.features).map(|f| f.role).collect();
    roles.sort_unstable();
    roles.dedup();
    // Below every role there is, it is found.
    let number = |role: &R| roles.partition_point(|r| r < role);
    let found = difference_of(&earlier.numbered(number), &later.numbered(number))?;
    let moved = found.moved.into_iter().map(|m| Movement {
        role: roles[m.role],
        distance: m.distance,
        plan: m.plan,
        level: m.level,
        at: m.at,
    });
    let named = |numbers: Vec<usize>| numbers.into_iter().map(|n| roles[n]).collect();
    Ok(Difference {
        removed: found.removed,
        added: found.added,
        moved: moved.collect(),
        new: named(found.new),
        gone: named(found.gone),
    })
}

fn difference_of(earlier: &Numbered, later: &Numbered) -> Result<Difference<usize>, TooManyContours> {
    let (moved, gone, new) = movements(earlier, later);
    if moved.is_empty() && gone.is_empty() && new.is_empty() {
        return Ok(Difference { removed: 0.0, added: 0.0, moved, new, gone });
    }
    let pair = Pair::new(earlier, later);
    let levels = levels(earlier, later);
    let (mut removed, mut added) = (0.0, 0.0);
    for slab in levels.windows(2) {
        let (only_a, only_b) = pair.volumes(slab[0], slab[1])?;
        removed += only_a;
        added += only_b;
    }
    Ok(Difference { removed, added, moved, new, gone })
}

/// The levels of both.
fn levels(a: &Numbered, b: &Numbered) -> Vec<f64> {
    let mut levels = a.levels();
    levels.extend(b.levels());
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|x, y| (*x - *y).abs() < SNAP);
    levels
}

/// The same contour rounded by the same radius at the same height.
fn rounded_alike(a: &Numbered, b: &Numbered) -> bool {
    match (a.rounding, b.rounding) {
        (None, None) => true,
        (Some(r), Some(s)) => {
            let same_height = (a.height() - b.height()).abs() < SNAP;
            r.radius == s.radius && same_height && {
                let (c, d) = (&a.features[r.feature].contour, &b.features[s.feature].contour);
                furthest(c.segments(), d.segments()).0.max(furthest(d.segments(), c.segments()).0) < SNAP
            }
        }
        _ => false,
    }
}

struct Pair<'s> {
    a: &'s Numbered,
    b: &'s Numbered,
    /// Both are rounded alike, so that the rounding can be left out.
    alike: bool,
}

/// Nodes in a stretch of a rounded slab.
const NODES: usize = 6;

/// A stretch whose halves agree with it to this, mm³, is taken as it is; none is halved more often.
const CLOSE: f64 = 1e-4;
const DEEPEST: u32 = 14;

impl<'s> Pair<'s> {
    fn new(a: &'s Numbered, b: &'s Numbered) -> Self {
        Self { a, b, alike: rounded_alike(a, b) }
    }
}

impl Pair<'_> {
    /// Volumes between two levels that only one of the two has.
    fn volumes(&self, low: f64, high: f64) -> Result<(f64, f64), TooManyContours> {
        let rounded = !self.alike && [self.a, self.b].iter().any(|s| is_rounded_in(s, low, high));
        let thick = high - low;
        if !rounded {
            let (a, b) = self.areas(f64::midpoint(low, high))?;
            return Ok((a * thick, b * thick));
        }
        // A rounding ends level: with z = high - thick u² its outline is smooth in u.
        let whole = self.stretch(high, thick, 0.0, 1.0)?;
        self.refined(high, thick, (0.0, 1.0), whole, DEEPEST)
    }

    /// Volumes over a stretch of u, halved until halves agree with the whole: where the two outlines cross,
    /// what only one of them covers begins or ends at once.
    fn refined(
        &self,
        high: f64,
        thick: f64,
        (from, to): (f64, f64),
        whole: (f64, f64),
        depth: u32,
    ) -> Result<(f64, f64), TooManyContours> {
        let middle = f64::midpoint(from, to);
        let (low, up) = (self.stretch(high, thick, from, middle)?, self.stretch(high, thick, middle, to)?);
        let both = (low.0 + up.0, low.1 + up.1);
        let off = (both.0 - whole.0).abs().max((both.1 - whole.1).abs());
        if off < CLOSE || depth == 0 {
            return Ok(both);
        }
        let low = self.refined(high, thick, (from, middle), low, depth - 1)?;
        let up = self.refined(high, thick, (middle, to), up, depth - 1)?;
        Ok((low.0 + up.0, low.1 + up.1))
    }

    fn stretch(&self, high: f64, thick: f64, from: f64, to: f64) -> Result<(f64, f64), TooManyContours> {
        let (mut only_a, mut only_b) = (0.0, 0.0);
        for (x, weight) in gauss_legendre(NODES) {
            let u = f64::midpoint(from, to) + x * (to - from) / 2.0;
            let (a, b) = self.areas(high - thick * u * u)?;
            let share = weight * (to - from) / 2.0 * 2.0 * thick * u;
            only_a += a * share;
            only_b += b * share;
        }
        Ok((only_a, only_b))
    }

    /// Areas at a height that only one of the two covers.
    fn areas(&self, z: f64) -> Result<(f64, f64), TooManyContours> {
        let overlay = Overlay::new(at_height(self.a, z, self.alike), at_height(self.b, z, self.alike))?;
        Ok(overlay.areas())
    }
}

/// Contours of a version at a height, in order: later ones win.
type Layers = Vec<(Kind, Contour)>;

/// Two versions at a height, in one arrangement.
struct Overlay {
    a: Vec<Kind>,
    b: Vec<Kind>,
    arrangement: Arrangement,
}

impl Overlay {
    fn new(a: Layers, b: Layers) -> Result<Self, TooManyContours> {
        let have = a.len() + b.len();
        if have > MAX_CONTOURS {
            return Err(TooManyContours { have });
        }
        let (a, mut contours): (Vec<Kind>, Vec<Contour>) = a.into_iter().unzip();
        let (b, of_b): (Vec<Kind>, Vec<Contour>) = b.into_iter().unzip();
        contours.extend(of_b);
        Ok(Self { a, b, arrangement: Arrangement::new(&contours) })
    }

    /// Areas that only the earlier and only the later version cover, mm².
    fn areas(&self) -> (f64, f64) {
        let (mut only_a, mut only_b) = (0.0, 0.0);
        for piece in &self.arrangement.pieces {
            let (left, right) = (self.of(piece.left), self.of(piece.right));
            let twice = piece.segment.twice_area();
            let side = |l: bool, r: bool| f64::from(i8::from(l) - i8::from(r)) * twice / 2.0;
            only_a += side(left.0 && !left.1, right.0 && !right.1);
            only_b += side(left.1 && !left.0, right.1 && !right.0);
        }
        (only_a, only_b)
    }

    /// Whether the earlier and the later version have material at a place with this membership.
    fn of(&self, place: Membership) -> (bool, bool) {
        let covers = |layers: &[Kind], first: usize| {
            let last = (0..layers.len()).rev().find(|i| place >> (first + i) & 1 == 1);
            last.is_some_and(|i| layers[i] == Kind::Add)
        };
        (covers(&self.a, 0), covers(&self.b, self.a.len()))
    }
}

fn is_rounded_in(stack: &Numbered, low: f64, high: f64) -> bool {
    let from = stack.rounding.map(|r| stack.height() - r.radius);
    from.is_some_and(|from| high > from + SNAP && low < stack.height() - SNAP)
}

/// The features of a stack at a height, in order, a rounded outline as far in as it is there.
fn at_height(stack: &Numbered, z: f64, without_rounding: bool) -> Layers {
    let mut layers = Vec::new();
    for (i, f) in stack.features.iter().enumerate().filter(|(_, f)| f.bottom < z && z < f.top) {
        let rounding = stack.rounding.filter(|r| r.feature == i && !without_rounding);
        let inwards = rounding.map_or(0.0, |r| set_in(r, stack.height() - z));
        layers.extend(offset::inset(&f.contour, inwards).into_iter().map(|c| (f.kind, c)));
    }
    layers
}

/// How far a quarter-round lies behind the outline, so far below its upper end.
fn set_in(rounding: Rounding, below: f64) -> f64 {
    let (r, up) = (rounding.radius, rounding.radius - below);
    if up <= 0.0 { 0.0 } else { r - (r * r - up * up).max(0.0).sqrt() }
}
