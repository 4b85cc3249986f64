//! How a command ended.

use bobbinwright_fit::Verdict;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    Fine,
    Clash,
    WrongInput,
    TooClose,
}

impl Outcome {
    /// What a verdict ends a command with.
    pub(crate) fn of(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Fits => Outcome::Fine,
            Verdict::TooClose => Outcome::TooClose,
            Verdict::Clashes => Outcome::Clash,
        }
    }

    /// The program's exit code.
    pub(crate) fn code(self) -> u8 {
        match self {
            Outcome::Fine => 0,
            Outcome::Clash => 1,
            Outcome::WrongInput => 2,
            Outcome::TooClose => 3,
        }
    }
}
