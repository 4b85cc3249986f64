//! What stands in a part's way.

use bobbinwright_spec::Sentence;

/// What stands in the way, before a value that works has been looked for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    pub parameter: &'static str,
    pub why: Sentence,
}

impl Fault {
    pub fn new(parameter: &'static str, why: impl Into<Sentence>) -> Self {
        Self { parameter, why: why.into() }
    }
}
