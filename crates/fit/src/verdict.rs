//! One of three words, by the rule of ISO 14253-1.
//!
//! *Fits* is said only when the probability that the true margin is not negative reaches the
//! stated confidence, *clashes* only when the opposite has that probability; between them nothing
//! is proved and it is *too close to call*. The default confidence of 95 % is that of the
//! standard's 2017 edition (from memory).

/// Probability that a claim must have.
pub const CONFIDENCE: f64 = 0.95;

/// What a change, or work on a printed part, should make of a check: a pickup has to pass several, and as a whole it fits with
/// 95 %.
pub const COMFORT: f64 = 0.98;

/// Whether something fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It does not fit.
    Clashes,
    /// The readings do not decide it.
    TooClose,
    /// It fits.
    Fits,
}

impl Verdict {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Clashes => "clashes",
            Verdict::TooClose => "too close to call",
            Verdict::Fits => "fits",
        }
    }

    /// The verdict for a probability of fitting.
    pub fn of(probability: f64) -> Self {
        if probability >= CONFIDENCE {
            Verdict::Fits
        } else if probability <= 1.0 - CONFIDENCE {
            Verdict::Clashes
        } else {
            Verdict::TooClose
        }
    }
}
