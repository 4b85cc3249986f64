//! The entry of a log that says what tests of a wound coil came to.

use crate::Length;
use crate::coil::Mistaken;
use crate::magnets::North;
use crate::node::Node;
use crate::reader::{Noted, Record, choice, length, text};
use crate::wound::{Shown, shown, within};

/// Which way a meter's needle goes first when steel comes down on the rods, its red lead at the hot eyelet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kick {
    /// Up.
    Plus,
    /// Down.
    Minus,
}

impl Kick {
    /// The words used in logs.
    pub const ALL: [(&'static str, Kick); 2] = [("plus", Kick::Plus), ("minus", Kick::Minus)];

    /// The word used in logs.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, k)| *k == self).map_or("", |(word, _)| word)
    }
}

/// What was tested of a coil, as far as it was.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Test {
    /// The position whose coil it is.
    pub coil: String,
    /// From eyelet to eyelet.
    pub reads: Option<Shown>,
    /// At which temperature, °C.
    pub celsius: Option<f64>,
    /// Inductance, H, and the frequency that it was read at, Hz.
    pub inductance: Option<(f64, f64)>,
    /// From an eyelet to the rods.
    pub insulation: Option<Shown>,
    /// By a compass.
    pub north: Option<North>,
    /// By a meter.
    pub kick: Option<Kick>,
    /// A teslameter's figure, mT, and how far over a rod in the middle of the row.
    pub field: Option<(f64, Length)>,
}

impl Test {
    /// What of it is of the rods alone.
    pub(crate) fn of_rods(&self) -> Self {
        Self { coil: self.coil.clone(), north: self.north, field: self.field, ..Self::default() }
    }

    /// With what a later one says besides or otherwise.
    pub(crate) fn then(&mut self, later: &Self) {
        if later.reads.is_some() {
            (self.reads, self.celsius) = (later.reads, later.celsius);
        }
        self.inductance = later.inductance.or(self.inductance);
        self.insulation = later.insulation.or(self.insulation);
        self.north = later.north.or(self.north);
        self.kick = later.kick.or(self.kick);
        self.field = later.field.or(self.field);
    }
}

/// A probe that touches the rod feels about so far over its end, where nobody says (Zollner: about 0.4 mm).
const TOUCHING: Length = Length::from_mm(0.4);
const OVER: (Length, Length) = (Length::ZERO, Length::from_mm(20.0));

/// What an inductance is read at where nobody says, Hz.
const USUAL_HERTZ: f64 = 1000.0;

/// Reads `tested(…)`.
pub(crate) fn read(record: &mut Record, noted: &mut Noted) -> Option<Test> {
    let coil = record.need("coil", "\"neck\"", noted).and_then(|n| text(n, "coil", noted));
    let reads = said(record.get("reads"), |n| shown(n, [0.1, 200_000.0], noted));
    let celsius = said(record.get("celsius"), |n| within(n, "celsius", [0.0, 45.0], noted));
    let henries = said(record.get("henries"), |n| within(n, "henries", [0.001, 100.0], noted));
    let hertz = said(record.get("hertz"), |n| within(n, "hertz", [20.0, 20_000.0], noted));
    let insulation = said(record.get("insulation"), |n| shown(n, [0.0, 1e12], noted));
    let north = said(record.get("north"), |n| choice(n, "north", &North::ALL, noted));
    let kick = said(record.get("kick"), |n| choice(n, "kick", &Kick::ALL, noted));
    let hertz = hertz.ok()?.unwrap_or(USUAL_HERTZ);
    let millitesla =
        said(record.get("millitesla"), |n| within(n, "millitesla", [0.1, 2000.0], noted)).ok()?;
    let over = said(record.get("over"), |n| length(n, "over", OVER, noted)).ok()?;
    Some(Test {
        coil: coil?,
        reads: reads.ok()?,
        celsius: celsius.ok()?,
        inductance: henries.ok()?.map(|henries| (henries, hertz)),
        insulation: insulation.ok()?,
        north: north.ok()?,
        kick: kick.ok()?,
        field: millitesla.map(|millitesla| (millitesla, over.unwrap_or(TOUCHING))),
    })
}

/// None where it is not said.
fn said<T>(node: Option<&Node>, read: impl FnOnce(&Node) -> Option<T>) -> Result<Option<T>, Mistaken> {
    node.map_or(Ok(None), |node| read(node).map(Some).ok_or(Mistaken))
}
