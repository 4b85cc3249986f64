//! Where in an opening jaws stood, by what a person calls the spot.

use crate::figure::Figure;
use crate::quantity::{PositionQuantity, Quantity};
use crate::{Length, Unit};

/// A place along a rout's sides and down them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    /// None is anywhere.
    pub along: Option<Along>,
    /// From 0 at the top edge to 1 at the floor.
    pub depth: f64,
    /// How far from the end or the side that it is at, where that was said.
    pub from: Option<Length>,
}

/// A place along a rout's sides: of a width seen along the row, of a length across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Along {
    /// The bass end, or the bridge side.
    Low,
    Middle,
    /// The treble end, or the neck side.
    High,
}

impl Along {
    /// -1, 0 and 1.
    pub fn sign(self) -> f64 {
        match self {
            Along::Low => -1.0,
            Along::Middle => 0.0,
            Along::High => 1.0,
        }
    }
}

impl Spot {
    /// Nothing was said of where.
    pub const ANYWHERE: Self = Self { along: None, depth: 0.0, from: None };

    /// The spot of a rout's length or width that words like `treble end`, `middle, floor` mean; none where they mean another
    /// place, which only the person knows.
    pub fn of(words: Option<&str>, of: PositionQuantity) -> Option<Self> {
        let ends = match of {
            PositionQuantity::RoutWidth => [("bass", Along::Low), ("treble", Along::High)],
            PositionQuantity::RoutLength => [("bridge", Along::Low), ("neck", Along::High)],
            _ => return None,
        };
        let Some(words) = words else { return Some(Self::ANYWHERE) };
        let (mut along, mut depth) = (None, None);
        for word in words.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty()) {
            let end = ends.iter().find(|(name, _)| *name == word).map(|(_, end)| *end);
            match word {
                "middle" => along = Some(Along::Middle),
                "top" => depth = Some(0.0),
                "halfway" => depth = Some(0.5),
                "floor" | "bottom" => depth = Some(1.0),
                "end" | "side" | "at" | "the" | "from" | "mm" | "in" | "inch" | "inches" => {}
                _ => along = Some(end?),
            }
        }
        if is_unclear(words) {
            return None;
        }
        let from = from_side(words);
        (along.is_some() || depth.is_some()).then(|| Self { along, depth: depth.unwrap_or_default(), from })
    }
}

/// How far from a side it was read, where a spot's words say that with a unit: `neck side, 6 mm`, `1/4 in from the bass end`. A
/// bare figure may be the number of anything.
pub(crate) fn from_side(words: &str) -> Option<Length> {
    let begin = words.find(|c: char| c.is_ascii_digit())?;
    // A point may stand before the first digit.
    let begin = if words[..begin].ends_with('.') { begin - 1 } else { begin };
    let rest = &words[begin..];
    let end = rest.find(|c: char| !(c.is_ascii_digit() || ".,/ ".contains(c))).unwrap_or(rest.len());
    let (figure, unit) = rest.split_at(end);
    let unit: String = unit.chars().take_while(|c| c.is_alphabetic() || *c == '"').collect();
    let unit = match unit.as_str() {
        "mm" => "mm",
        "in" | "inch" | "inches" | "\"" => "in",
        _ => return None,
    };
    Figure::typed(&format!("{}{unit}", figure.trim()), Unit::Mm).ok().map(|figure| figure.length())
}

/// Is a figure set off in the words that is no length with a unit?
pub(crate) fn is_unclear(words: &str) -> bool {
    let is_figure = |part: &str| part.trim().starts_with(|c: char| c.is_ascii_digit() || c == '.');
    words.split(", ").skip(1).any(is_figure) && from_side(words).is_none()
}

/// The spots of a rout's length or width in which it is still to be read: at both ends and in the middle, or, where all that
/// was read at the top edge, at the floor. Nothing where that was read too, and of all that has no spots of that kind.
pub fn unread_spots<'s>(of: &Quantity, read: impl Iterator<Item = Option<&'s str>>) -> Vec<&'static str> {
    let Quantity::At(_, of) = of else { return Vec::new() };
    let (at_top, at_floor) = match of {
        PositionQuantity::RoutWidth => {
            (["bass end", "middle", "treble end"], ["bass end, floor", "treble end, floor"])
        }
        PositionQuantity::RoutLength => {
            (["bridge side", "middle", "neck side"], ["bridge side, floor", "neck side, floor"])
        }
        _ => return Vec::new(),
    };
    let read: Vec<Spot> = read.filter_map(|words| Spot::of(words, *of)).collect();
    let is_there = |a: &Spot, b: &Spot| (a.along, a.depth) == (b.along, b.depth);
    let is_open = |words: &&str| {
        Spot::of(Some(words), *of).is_some_and(|spot| !read.iter().any(|read| is_there(read, &spot)))
    };
    let open: Vec<&str> = at_top.into_iter().filter(is_open).collect();
    let is_floor_read = read.iter().any(|spot| spot.depth > 0.0);
    if open.is_empty() && !is_floor_read { at_floor.to_vec() } else { open }
}

/// Where a string was read, across the rout: at its neck edge 1, at its bridge edge -1, and over its middle line, where the
/// rods are, 0. That is also where a string was read of which nothing else is said.
pub(crate) fn across(words: Option<&str>) -> f64 {
    let Some(words) = words.filter(|words| !is_unclear(words)) else { return 0.0 };
    let has = |name: &str| words.split(|c: char| !c.is_alphabetic()).any(|word| word == name);
    match (has("neck"), has("bridge")) {
        (true, false) => 1.0,
        (false, true) => -1.0,
        _ => 0.0,
    }
}

/// Do the words say where along a string that is?
pub(crate) fn is_across(words: &str) -> bool {
    const KNOWN: [&str; 7] = ["neck", "bridge", "middle", "row", "rods", "rod", "poles"];
    words.split(|c: char| !c.is_alphabetic()).any(|word| KNOWN.contains(&word)) && !is_unclear(words)
}

/// A string's place, which is another one at each edge of the rout.
pub(crate) fn is_over_the_row(q: &Quantity) -> bool {
    use PositionQuantity as P;
    matches!(q, Quantity::At(_, P::StringPair(..) | P::BassSide | P::TrebleSide))
}

/// What differs from place to place, so that readings in two of them are no repeats. Of anything else a spot is only a word beside
/// the figure: which of some screws it was, who read it.
pub(crate) fn has_spots(q: &Quantity) -> bool {
    use PositionQuantity as P;
    let is_at_places =
        matches!(q, Quantity::At(_, P::RoutCornerRadius | P::EarCornerRadius | P::StringHeight(_)));
    is_at_places
        || is_an_opening(q)
        || is_over_the_row(q)
        || matches!(q, Quantity::Piece(..) | Quantity::Coupon(_))
}

/// Something that stands in the way where it is lowest: of several spots that one counts.
pub(crate) fn is_overhead(q: &Quantity) -> bool {
    matches!(q, Quantity::At(_, PositionQuantity::StringHeight(_)))
}

/// Something another thing must go into: of several spots the smallest counts.
pub(crate) fn is_an_opening(q: &Quantity) -> bool {
    use PositionQuantity as P;
    matches!(
        q,
        Quantity::At(
            _,
            P::RoutLength | P::RoutWidth | P::RoutDepth | P::EarLength | P::EarWidth | P::EarDepth
        )
    )
}

/// Holes of a printed part of which there are several: the one that came out smallest stops what goes into all of them.
pub(crate) fn is_of_holes(q: &Quantity) -> bool {
    matches!(q, Quantity::Piece(_, piece) if piece.is_hole())
}

/// By how much an opening routed by hand along a template is tighter in one place than in another: half-width of a
/// rectangular distribution (common practice, from memory: some tenths along its sides, half of that where a
/// cutter stands on its tip or in a recess).
pub(crate) fn usual_unevenness(quantity: &Quantity) -> Length {
    match quantity {
        Quantity::At(_, PositionQuantity::RoutLength | PositionQuantity::RoutWidth) => Length::from_mm(0.2),
        // Holes beside each other on one plate (common practice, from memory).
        Quantity::Piece(..) => Length::from_mm(0.04),
        _ => Length::from_mm(0.1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_mean_places() {
        use PositionQuantity::{RoutDepth, RoutLength, RoutWidth};
        let spot = |words, of| Spot::of(Some(words), of).map(|s| (s.along, s.depth));
        assert_eq!(spot("bass end", RoutWidth), Some((Some(Along::Low), 0.0)));
        assert_eq!(spot("neck side, floor", RoutLength), Some((Some(Along::High), 1.0)));
        assert_eq!(spot("at the bottom", RoutLength), Some((None, 1.0)));
        assert_eq!(spot("halfway", RoutWidth), Some((None, 0.5)));
        // Only the person knows where that is.
        assert_eq!((spot("b", RoutWidth), spot("bass end", RoutLength)), (None, None));
        assert_eq!((spot("middle", RoutDepth), spot("", RoutWidth)), (None, None));
        assert_eq!(Spot::of(None, RoutWidth), Some(Spot::ANYWHERE));
        // A second time is no distance; what is set off and has no unit is asked about.
        assert_eq!(spot("neck side 2", RoutLength), Some((Some(Along::High), 0.0)));
        assert_eq!([spot("neck side, 7", RoutLength), spot("neck side, 0.7 cm", RoutLength)], [None, None]);
        let from = |words: &str| from_side(words).map(|length| (length.as_mm() * 1e6).round() / 1e6);
        assert_eq!(spot("neck side, 6.5 mm", RoutLength), Some((Some(Along::High), 0.0)));
        assert_eq!(
            [from("neck side, 6.5 mm"), from("bass end, 6,5mm"), from("treble end, .25 inches")],
            [Some(6.5), Some(6.5), Some(6.35)]
        );
        assert_eq!(
            [from("neck side 2"), from("6 mm from the neck side, floor"), from("bass end, 1/4 in")],
            [None, Some(6.0), Some(6.35)]
        );
    }

    #[test]
    fn strings_are_read_at_edges() {
        let places =
            [Some("neck edge"), Some("at the bridge"), Some("middle"), Some("between neck and bridge"), None];
        assert_eq!(places.map(across), [1.0, -1.0, 0.0, 0.0, 0.0]);
        assert!(places.into_iter().flatten().all(is_across) && !is_across("nek edge"));
    }
}
