//! Cuts through two versions of a part, to look at.

use super::{Overlay, Pair, TooManyContours, at_height, is_rounded_in, levels};
use crate::plane::{Contour, Point, SNAP, offset};
use crate::stack::{Kind, Numbered, Stack};

/// What a cut through two versions shows. A place belongs to a region when it lies inside an odd number of the
/// region's borders.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cut {
    /// Material of both.
    pub kept: Vec<Contour>,
    /// Material that only the earlier version has.
    pub removed: Vec<Contour>,
    /// Material that only the later version has.
    pub added: Vec<Contour>,
}

impl Cut {
    /// Both versions are the same here.
    pub fn is_same(&self) -> bool {
        self.removed.is_empty() && self.added.is_empty()
    }
}

/// A level cut, and between which heights it looks like that.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelCut {
    /// From this height over the part's underside, mm.
    pub from: f64,
    /// To this height, mm.
    pub to: f64,
    /// Volume between them that only one version has, mm³; roughly where an edge is rounded.
    pub volume: f64,
    /// What it shows.
    pub cut: Cut,
}

/// Level cuts where both versions have material and differ, one for each run of heights with the same outlines,
/// from the one with the most volume to the least.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, level_cuts};
/// let part = |deep: f64| {
///     let mut stack = Stack::default();
///     stack.add("plate", Contour::rectangle(Point::new(0.0, 0.0), Point::new(9.0, 9.0)), 0.0, 5.0);
///     stack.cut("pocket", Contour::rectangle(Point::new(2.0, 2.0), Point::new(5.0, 6.0)), 5.0 - deep, 5.0);
///     stack
/// };
/// // A pocket of 3 by 4 mm made deeper, from 1 to 3 mm: between 2 and 4 mm above the underside 24 mm³ are gone.
/// let cuts = level_cuts(&part(1.0), &part(3.0))?;
/// assert_eq!((cuts.len(), cuts[0].from, cuts[0].to), (1, 2.0, 4.0));
/// assert!((cuts[0].volume - 24.0).abs() < 1e-9);
/// assert!((cuts[0].cut.removed[0].area() - 12.0).abs() < 1e-9 && cuts[0].cut.added.is_empty());
/// # Ok::<(), bobbinwright_kernel::TooManyContours>(())
/// ```
pub fn level_cuts<R>(earlier: &Stack<R>, later: &Stack<R>) -> Result<Vec<LevelCut>, TooManyContours> {
    level_cuts_of(&earlier.numbered(|_| 0), &later.numbered(|_| 0))
}

fn level_cuts_of(earlier: &Numbered, later: &Numbered) -> Result<Vec<LevelCut>, TooManyContours> {
    let pair = Pair::new(earlier, later);
    let shared = earlier.height().min(later.height());
    let mut found: Vec<LevelCut> = Vec::new();
    for slab in levels(earlier, later).windows(2).filter(|slab| slab[1] < shared + SNAP) {
        let (from, to) = (slab[0], slab[1]);
        // Of a rounded slab the lower part shows the outline, its upper end next to nothing.
        let rounded = [earlier, later].iter().any(|s| is_rounded_in(s, from, to));
        let height = if rounded { to - (to - from) * 0.25 } else { f64::midpoint(from, to) };
        let cut = pair.cut(height)?;
        let (removed, added) = pair.areas(height)?;
        let volume = (removed + added) * (to - from);
        match found.last_mut() {
            Some(last) if last.cut == cut && (last.to - from).abs() < SNAP => {
                last.to = to;
                last.volume += volume;
            }
            _ => found.push(LevelCut { from, to, volume, cut }),
        }
    }
    found.retain(|level| !level.cut.is_same() && level.volume > 0.0);
    found.sort_by(|a, b| b.volume.total_cmp(&a.volume));
    Ok(found)
}

/// Slices of a rounded slab in an upright cut.
const SLICES: u32 = 24;

/// Both versions cut upright along x, at a y: x and height.
///
/// The cut's contours have the part's x as their x and the height as their y.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, lengthwise_cut};
/// let part = |height: f64| {
///     let mut stack = Stack::default();
///     stack.add("post", Contour::circle(Point::new(10.0, 0.0), 3.0), 0.0, height);
///     stack
/// };
/// let cut = lengthwise_cut(&part(4.0), &part(5.0), 0.0);
/// // Through its axis a post is a rectangle: 6 by 4 mm were there, 6 by 1 mm came on top.
/// let area = |all: &[Contour]| all.iter().map(Contour::area).sum::<f64>();
/// assert!((area(&cut.kept) - 24.0).abs() < 1e-9 && (area(&cut.added) - 6.0).abs() < 1e-9);
/// assert!(cut.added[0].contains(Point::new(12.9, 4.5)) && cut.removed.is_empty());
/// ```
pub fn lengthwise_cut<R>(earlier: &Stack<R>, later: &Stack<R>, y: f64) -> Cut {
    lengthwise_cut_of(&earlier.numbered(|_| 0), &later.numbered(|_| 0), y)
}

fn lengthwise_cut_of(earlier: &Numbered, later: &Numbered, y: f64) -> Cut {
    let mut cut = Cut::default();
    for slab in levels(earlier, later).windows(2) {
        let rounded = [earlier, later].iter().any(|s| is_rounded_in(s, slab[0], slab[1]));
        let slices = if rounded { SLICES } else { 1 };
        for i in 0..slices {
            let at = |i: u32| slab[0] + (slab[1] - slab[0]) * f64::from(i) / f64::from(slices);
            add_slice(&mut cut, [earlier, later], y, [at(i), at(i + 1)]);
        }
    }
    cut
}

fn add_slice(cut: &mut Cut, versions: [&Numbered; 2], y: f64, [low, high]: [f64; 2]) {
    let [a, b] = versions.map(|stack| runs(stack, y, f64::midpoint(low, high)));
    let mut ends: Vec<f64> = a.iter().chain(&b).flat_map(|(from, to)| [*from, *to]).collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|x, y| (*x - *y).abs() < SNAP);
    let inside = |runs: &[(f64, f64)], x: f64| runs.iter().any(|(from, to)| *from < x && x < *to);
    for pair in ends.windows(2) {
        let middle = f64::midpoint(pair[0], pair[1]);
        let region = match (inside(&a, middle), inside(&b, middle)) {
            (true, true) => &mut cut.kept,
            (true, false) => &mut cut.removed,
            (false, true) => &mut cut.added,
            (false, false) => continue,
        };
        region.push(Contour::rectangle(Point::new(pair[0], low), Point::new(pair[1], high)));
    }
}

/// Where a line along x runs through material at a height.
fn runs(stack: &Numbered, y: f64, z: f64) -> Vec<(f64, f64)> {
    let layers = at_height(stack, z, false);
    let mut ends: Vec<f64> = layers.iter().flat_map(|(_, c)| c.crossings_at(y)).collect();
    ends.sort_by(f64::total_cmp);
    let holds = |x: f64| {
        let place = Point::new(x, y);
        layers.iter().rev().find(|(_, c)| c.contains(place)).is_some_and(|(kind, _)| *kind == Kind::Add)
    };
    let pairs = ends.windows(2).filter(|e| e[1] - e[0] > SNAP);
    pairs.filter(|e| holds(f64::midpoint(e[0], e[1]))).map(|e| (e[0], e[1])).collect()
}

impl Pair<'_> {
    fn cut(&self, z: f64) -> Result<Cut, TooManyContours> {
        let overlay = Overlay::new(at_height(self.a, z, self.alike), at_height(self.b, z, self.alike))?;
        let region = |wanted: (bool, bool)| {
            let borders = offset::trace(&overlay.arrangement, |place| overlay.of(place) == wanted);
            borders.into_iter().map(|b| b.contour).collect()
        };
        Ok(Cut { kept: region((true, true)), removed: region((true, false)), added: region((false, true)) })
    }
}
