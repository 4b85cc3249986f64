//! Something of each of the four corners of a rout.

use crate::Estimate;

/// Where the corners are: treble or bass, neck or bridge, as signs.
pub(crate) const CORNERS: [[f64; 2]; 4] = [[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]];

/// The radii in the four corners of a rout, or of a cover for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Corners<R>([R; 4]);

impl<R> Corners<R> {
    /// By what each is, told where it is: treble or bass as 1 or -1, neck or bridge likewise.
    pub fn of(radius: impl FnMut([f64; 2]) -> R) -> Self {
        Self(CORNERS.map(radius))
    }

    pub(crate) fn by_number(all: [R; 4]) -> Self {
        Self(all)
    }

    /// That of a corner, treble and neck positive.
    pub fn at(&self, [along, across]: [f64; 2]) -> &R {
        &self.0[usize::from(along < 0.0) + 2 * usize::from(across < 0.0)]
    }

    /// All of them, each with where it is.
    pub fn iter(&self) -> impl Iterator<Item = ([f64; 2], &R)> {
        CORNERS.into_iter().zip(&self.0)
    }

    /// The same in other terms.
    pub fn map<S>(&self, of: impl FnMut(&R) -> S) -> Corners<S> {
        Corners(self.0.each_ref().map(of))
    }
}

impl<R: PartialEq> Corners<R> {
    /// The one radius of all, where they are alike.
    pub fn alike(&self) -> Option<&R> {
        self.0.iter().all(|radius| *radius == self.0[0]).then_some(&self.0[0])
    }
}

/// What a corner is called: `treble corner at the neck`.
pub fn corner_name([along, across]: [f64; 2]) -> String {
    let [end, side] =
        [if along > 0.0 { "treble" } else { "bass" }, if across > 0.0 { "neck" } else { "bridge" }];
    format!("{end} corner at the {side}")
}

/// Is that what words like `treble, neck` or `bass corner at the bridge` mean, by the corners they name? One word of the two
/// names both corners there.
pub(crate) fn in_words(words: &str) -> Option<[bool; 4]> {
    let [mut along, mut across] = [None, None];
    for word in words.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty()) {
        match word {
            "treble" => along = Some(1.0),
            "bass" => along = Some(-1.0),
            "neck" => across = Some(1.0),
            "bridge" => across = Some(-1.0),
            "corner" | "corners" | "end" | "side" | "at" | "the" | "and" => {}
            _ => return None,
        }
    }
    let is_there = |said: Option<f64>, at: f64| said.is_none_or(|said| said == at);
    let named = CORNERS.map(|[x, y]| is_there(along, x) && is_there(across, y));
    (along.is_some() || across.is_some()).then_some(named)
}

/// A corner radius as it was read: in which corners, none of which the words told.
pub(crate) type Read = (Option<[bool; 4]>, Estimate);

/// The radius that counts where only one can: the roundest corner stands furthest in.
pub(crate) fn roundest(read: &[Read]) -> Option<Estimate> {
    let all = read.iter().map(|(_, radius)| radius);
    all.max_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm())).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_name_corners() {
        assert_eq!(in_words("treble, neck"), Some([true, false, false, false]));
        assert_eq!(in_words("bass corner at the bridge"), Some([false, false, false, true]));
        assert_eq!(in_words("neck side"), Some([true, true, false, false]));
        assert_eq!((in_words("lower left"), in_words("corner")), (None, None));
        assert_eq!(in_words(&corner_name([1.0, -1.0])), Some([false, false, true, false]));
    }
}
