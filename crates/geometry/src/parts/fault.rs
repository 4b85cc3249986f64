//! What stands in a part's way.

/// What stands in the way, before a value that works has been looked for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    pub parameter: &'static str,
    pub why: String,
}

impl Fault {
    pub fn new(parameter: &'static str, why: impl Into<String>) -> Self {
        Self { parameter, why: why.into() }
    }
}
