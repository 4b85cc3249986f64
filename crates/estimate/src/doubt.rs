//! One independent cause of doubt.

/// Where a doubt comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Scatter of repeated readings: of their mean (type A).
    Scatter {
        /// How many readings.
        readings: usize,
    },
    /// How one piece of many that are alike differs from their mean (type A).
    OfOnePiece,
    /// The step of the tool's display (type B).
    Resolution,
    /// The tool's maximum permissible error (type B).
    ToolError,
    /// A tolerance that the maker states (type B).
    Stated,
    /// How what does not exist yet will come out (type B).
    Planned,
    /// An assumption made where nothing was measured (type B).
    Assumed,
    /// What an opening is where it was not read, of that many spots read (type B).
    Elsewhere {
        /// How many.
        spots: usize,
    },
    /// Where along a slanted side jaws stood (type B).
    Station,
    /// Where a side lies beside one thing that was read from it, seen from another (type B).
    Straightness,
    /// The printed part's size (type B).
    Print,
    /// The size of a part that is cut from sheet (type B).
    Cut,
    /// How thick a finish gets on a face of it (type B).
    Finish,
    /// Readings that can't all be true: how far they are apart (type B).
    Contradiction,
}

/// One independent cause of doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt<Q> {
    /// The quantity whose reading it belongs to, or that will be printed; `None` for anything else.
    pub quantity: Option<Q>,
    /// What kind of cause.
    pub origin: Origin,
    /// Degrees of freedom; infinite when the figure itself is taken as sure.
    pub freedom: f64,
    /// Causes of one pool share one estimate of their scatter, and with it its degrees of freedom.
    pub pool: Option<usize>,
    /// Where the reading was taken, when a quantity is read in several spots.
    pub spot: Option<String>,
}

impl<Q> Doubt<Q> {
    /// A cause that shares its degrees of freedom with none.
    pub fn new(quantity: Option<Q>, origin: Origin, freedom: f64) -> Self {
        Self { quantity, origin, freedom, pool: None, spot: None }
    }
}

/// Names a [`Doubt`] in a [`crate::Doubts`] table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DoubtId(pub(crate) u32);
