//! Which end of the row of strings is bass.

use crate::Length;

/// For which hand an instrument is strung. All readings and wishes say bass and treble, so that they hold
/// for an instrument and its mirrored twin alike; only where the parts are drawn does left differ from right.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Handed {
    /// Seen from above with the neck up, bass is left.
    #[default]
    Right,
    /// Seen from above with the neck up, bass is right.
    Left,
}

impl Handed {
    /// The words used in files.
    pub const ALL: [(&'static str, Handed); 2] = [("right", Handed::Right), ("left", Handed::Left)];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, h)| *h == self).map_or("", |(word, _)| word)
    }

    /// Which end is left and which is right, seen from above with the neck up.
    pub fn ends(self) -> [&'static str; 2] {
        match self {
            Handed::Right => ["bass", "treble"],
            Handed::Left => ["treble", "bass"],
        }
    }

    /// The sign of x towards treble, in the parts' frame: 1 or -1.
    pub fn treble(self) -> f64 {
        match self {
            Handed::Right => 1.0,
            Handed::Left => -1.0,
        }
    }

    /// The x, mm, of a place along the row of strings that is given with treble positive.
    pub fn x(self, place: Length) -> f64 {
        self.treble() * place.as_mm()
    }
}
