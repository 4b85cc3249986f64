//! The entry of a log that says what tests of a wound coil came to.
//!
//! Which way a meter goes hangs on leads and rods, and what a compass says on the rods. Both may be turned since, which
//! is what tests are for; so each is kept with how leads and rods were said to be when it was entered.

use crate::Length;
use crate::coil::{End, Mistaken};
use crate::magnets::North;
use crate::node::Node;
use crate::reader::{Noted, Record, choice, length, text};
use crate::wound::{Shown, TURNS, shown, within};

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

/// What a compass said of the rods.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Compass {
    /// Which end is north.
    pub found: North,
    /// Which one the family stated then, where that was kept.
    pub stated: Option<North>,
}

impl Compass {
    /// Which end is north now: as it was found, unless the family states otherwise since, as it does when rods are turned.
    ///
    /// ```
    /// # use bobbinwright_spec::{magnets::North::{Down, Up}, tested::Compass};
    /// let odd = Compass { found: Down, stated: Some(Up) };
    /// assert_eq!([odd.now(Up), odd.now(Down)], [Down; 2]);
    /// // As stated, and turned over since.
    /// assert_eq!(Compass { found: Up, stated: Some(Up) }.now(Down), Down);
    /// ```
    pub fn now(self, stated: North) -> North {
        if self.stated.is_none_or(|then| then == stated) { self.found } else { stated }
    }
}

/// Which way a meter went, and with which leads and rods.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kicked {
    /// Which way.
    pub way: Kick,
    /// The end at the hot eyelet, where that was kept.
    pub hot: Option<End>,
    /// Which end of the rods the family stated as north then, where that was kept.
    pub stated: Option<North>,
    /// Which one it was by a compass, of rods that were not turned in between.
    pub found: Option<North>,
}

impl Kicked {
    /// Which end of the rods was north, as far as it is known.
    pub fn north(&self) -> Option<North> {
        self.found.or(self.stated)
    }

    /// With what a compass says of rods that are stated as they were then.
    fn with_rods_of(self, compass: Option<Compass>) -> Self {
        let same = compass.filter(|compass| compass.stated == self.stated);
        Self { found: self.found.or(same.map(|compass| compass.found)), ..self }
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
    /// How many turns are on it, as they were counted.
    pub turns: Option<f64>,
    /// Inductance, H, and the frequency that it was read at, Hz.
    pub inductance: Option<(f64, f64)>,
    /// From an eyelet to the rods.
    pub insulation: Option<Shown>,
    /// By a compass.
    pub north: Option<Compass>,
    /// By a meter.
    pub kick: Option<Kicked>,
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
        self.turns = later.turns.or(self.turns);
        self.inductance = later.inductance.or(self.inductance);
        self.insulation = later.insulation.or(self.insulation);
        self.kick = match (later.kick, self.kick) {
            (Some(kick), _) => Some(kick.with_rods_of(self.north)),
            (None, kick) => kick.map(|kick| kick.with_rods_of(later.north)),
        };
        self.north = later.north.or(self.north);
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
    let hot = said(record.get("hot"), |n| choice(n, "hot", &End::ALL, noted)).ok()?;
    let stated = said(record.get("stated_north"), |n| choice(n, "stated_north", &North::ALL, noted)).ok()?;
    let turns = said(record.get("turns"), |n| within(n, "turns", TURNS, noted)).ok()?;
    let hertz = hertz.ok()?.unwrap_or(USUAL_HERTZ);
    let millitesla =
        said(record.get("millitesla"), |n| within(n, "millitesla", [0.1, 2000.0], noted)).ok()?;
    let over = said(record.get("over"), |n| length(n, "over", OVER, noted)).ok()?;
    let north = north.ok()?;
    Some(Test {
        coil: coil?,
        reads: reads.ok()?,
        celsius: celsius.ok()?,
        turns,
        inductance: henries.ok()?.map(|henries| (henries, hertz)),
        insulation: insulation.ok()?,
        north: north.map(|found| Compass { found, stated }),
        kick: kick.ok()?.map(|way| Kicked { way, hot, stated, found: north }),
        field: millitesla.map(|millitesla| (millitesla, over.unwrap_or(TOUCHING))),
    })
}

/// None where it is not said.
fn said<T>(node: Option<&Node>, read: impl FnOnce(&Node) -> Option<T>) -> Result<Option<T>, Mistaken> {
    node.map_or(Ok(None), |node| read(node).map(Some).ok_or(Mistaken))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kick(hot: End, stated: North) -> Test {
        let kicked = Kicked { way: Kick::Plus, hot: Some(hot), stated: Some(stated), found: None };
        Test { kick: Some(kicked), ..Test::default() }
    }

    fn compass(found: North, stated: North) -> Test {
        Test { north: Some(Compass { found, stated: Some(stated) }), ..Test::default() }
    }

    /// A compass tells of the rods that a meter was looked at with, before or after, as long as they are stated alike; of
    /// rods that are stated otherwise since it says nothing of what they were.
    #[test]
    fn a_compass_tells_of_the_rods_of_a_kick() {
        use North::{Down, Up};
        let north = |all: &[&Test]| {
            let mut test = all[0].clone();
            all[1..].iter().for_each(|later| test.then(later));
            test.kick.unwrap().north()
        };
        let kick = kick(End::Start, Up);
        assert_eq!(north(&[&kick]), Some(Up));
        assert_eq!(north(&[&kick, &compass(Down, Up)]), Some(Down));
        assert_eq!(north(&[&compass(Down, Up), &kick]), Some(Down));
        // Turned over since, and said so.
        assert_eq!(north(&[&kick, &compass(Down, Down)]), Some(Up));
        assert_eq!(north(&[&kick, &compass(Up, Up), &compass(Down, Up)]), Some(Up));
    }
}
