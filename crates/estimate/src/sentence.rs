//! Words with lengths among them, for whoever thinks in millimetres and for whoever thinks in inches.

use std::fmt;

use crate::Length;

/// The unit in which somebody measures and thinks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    #[default]
    Mm,
    /// Inches of 25.4 mm.
    Inch,
}

impl Unit {
    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Inch => "inch",
        }
    }

    /// The word beside a figure.
    pub fn short(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Inch => "in",
        }
    }

    /// The word in a sentence: in `mm`, in `inches`.
    pub fn spoken(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Inch => "inches",
        }
    }

    /// The finest that anybody asks for: a hundredth of a millimetre, a thousandth of an inch.
    ///
    /// ```
    /// use bobbinwright_estimate::{Length, Unit};
    /// assert_eq!(Unit::Mm.step(), Length::from_mm(0.01));
    /// assert_eq!(Unit::Inch.step(), Length::from_inch(0.001));
    /// ```
    pub fn step(self) -> Length {
        match self {
            Unit::Mm => Length::from_mm(0.01),
            Unit::Inch => Length::from_inch(0.001),
        }
    }

    /// The figure of a length in this unit, to its step, without the unit; no negative nought.
    ///
    /// ```
    /// use bobbinwright_estimate::{Length, Unit};
    /// assert_eq!(Unit::Inch.figure(Length::from_mm(25.4)), "1.000");
    /// assert_eq!(Unit::Mm.figure(Length::from_mm(-0.001)), "0.00");
    /// ```
    pub fn figure(self, length: Length) -> String {
        let shown = match self {
            Unit::Mm => format!("{:.2}", length.as_mm()),
            Unit::Inch => format!("{:.3}", length.as_inch()),
        };
        let nought = shown.trim_start_matches('-').bytes().all(|b| b == b'0' || b == b'.');
        if nought { shown.trim_start_matches('-').to_owned() } else { shown }
    }

    /// A length in this unit: `20.70 mm`, `0.815 in`.
    pub fn shown(self, length: Length) -> String {
        format!("{} {}", self.figure(length), self.short())
    }

    /// The nearest length in whole steps of this unit.
    ///
    /// ```
    /// use bobbinwright_estimate::{Length, Unit};
    /// assert_eq!(Unit::Mm.rounded(Length::from_mm(1.2345)), Length::from_mm(1.23));
    /// ```
    #[must_use]
    pub fn rounded(self, length: Length) -> Length {
        match self {
            Unit::Mm => Length::from_mm((length.as_mm() * 100.0).round() / 100.0),
            Unit::Inch => Length::from_inch((length.as_inch() * 1000.0).round() / 1000.0),
        }
    }
}

/// Words with lengths among them.
///
/// ```
/// use bobbinwright_estimate::{Length, Unit, sentence};
/// let said = sentence!("The {} is too low by {}.", "hollow", Length::from_inch(0.02));
/// assert_eq!(said.shown(Unit::Mm), "The hollow is too low by 0.51 mm.");
/// assert_eq!(said.shown(Unit::Inch), "The hollow is too low by 0.020 in.");
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sentence(Vec<Piece>);

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Words.
    Words(String),
    /// A length.
    Length(Length),
}

impl Sentence {
    /// A text in which each `{}` is the next of the pieces.
    pub fn of(text: &str, pieces: impl IntoIterator<Item = Piece>) -> Self {
        let mut pieces = pieces.into_iter();
        let mut all = Vec::new();
        for (i, words) in text.split("{}").enumerate() {
            if i > 0 {
                all.extend(pieces.next());
            }
            all.push(Piece::Words(words.to_owned()));
        }
        Self(all)
    }

    /// In a unit.
    pub fn shown(&self, unit: Unit) -> String {
        let one = |piece: &Piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Length(length) => unit.shown(*length),
        };
        self.0.iter().map(one).collect()
    }
}

/// A sentence from a text with `{}` where words or lengths go.
#[macro_export]
macro_rules! sentence {
    ($text:literal $(, $piece:expr)* $(,)?) => {
        $crate::Sentence::of($text, [$($crate::Piece::from($piece)),*])
    };
}

/// In millimetres.
impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.shown(Unit::Mm))
    }
}

impl From<&str> for Sentence {
    fn from(words: &str) -> Self {
        Self(vec![Piece::Words(words.to_owned())])
    }
}

impl From<String> for Sentence {
    fn from(words: String) -> Self {
        Self(vec![Piece::Words(words)])
    }
}

impl From<&str> for Piece {
    fn from(words: &str) -> Self {
        Piece::Words(words.to_owned())
    }
}

impl From<String> for Piece {
    fn from(words: String) -> Self {
        Piece::Words(words)
    }
}

impl From<Length> for Piece {
    fn from(length: Length) -> Self {
        Piece::Length(length)
    }
}
