//! Which way a coil's voltage goes: as its family states it, or, where somebody looked, as it was found.

use bobbinwright_spec::coil::{End, Turning};
use bobbinwright_spec::magnets::North;
use bobbinwright_spec::tested::{Kick, Kicked};

use super::Winding;

/// What decides which way a coil's voltage goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ends {
    /// By a compass, or as stated.
    pub north: North,
    /// As it was entered when it was soldered, or as stated.
    pub hot: End,
    /// As stated; the other way where a meter's kick says that it, or the leads, are.
    pub turning: Turning,
    /// Something was found that is not as stated.
    pub is_otherwise: bool,
}

impl Ends {
    fn stated(winding: &Winding) -> Self {
        let (north, wanted) = (winding.position.wanted.north, &winding.wanted);
        Self { north, hot: wanted.hot, turning: wanted.turning, is_otherwise: false }
    }

    /// As it was found, as far as somebody looked.
    pub fn of(winding: &Winding) -> Self {
        let stated = Self::stated(winding);
        let now = Self::as_joined(winding);
        // Leads and rods may have been turned since somebody looked; the way that the wire runs stays.
        let runs_otherwise = kick_of(winding).is_some_and(|kick| kick.way != now.at(kick).kick());
        let turning = if runs_otherwise { stated.turning.other() } else { stated.turning };
        let found = Self { turning, ..now };
        Self { is_otherwise: found != stated, ..found }
    }

    /// Leads and rods as they are by compass and log, the wire as it is stated.
    fn as_joined(winding: &Winding) -> Self {
        let stated = Self::stated(winding);
        let winds = &winding.prepared.family.winds;
        let test = winds.tested(&winding.position.name).unwrap_or_default();
        let hot = winds.hot(&winding.position.name).unwrap_or(stated.hot);
        let north = test.north.map_or(stated.north, |compass| compass.now(stated.north));
        Self { north, hot, ..stated }
    }

    /// With leads and rods as they were when a meter was looked at.
    fn at(self, kick: Kicked) -> Self {
        Self { north: kick.north().unwrap_or(self.north), hot: kick.hot.unwrap_or(self.hot), ..self }
    }

    /// What a meter's kick was seen with, the wire as it is stated; and whether leads and rods were turned since.
    pub fn of_kick(winding: &Winding, kick: Kicked) -> (Self, [bool; 2]) {
        let now = Self::as_joined(winding);
        let then = now.at(kick);
        (then, [then.hot != now.hot, then.north != now.north])
    }

    /// Which way a meter goes when steel comes down on the rods, its red lead at the hot eyelet: the steel adds to the
    /// flux, and the coil drives a current against that (Lenz). With north up and wire that runs anticlockwise from its
    /// start, the start is where that current comes out.
    pub fn kick(self) -> Kick {
        let against =
            [self.north == North::Down, self.turning == Turning::Clockwise, self.hot == End::Finish];
        if against.iter().filter(|a| **a).count() % 2 == 0 { Kick::Plus } else { Kick::Minus }
    }

    /// Which way it should go: with these rods and leads as the wire is stated to run, or, where they were turned since
    /// somebody looked, as it was found to run.
    pub fn expected_kick(winding: &Winding) -> Kick {
        let turned = kick_of(winding).is_some_and(|kick| Self::of_kick(winding, kick).1.contains(&true));
        if turned { Self::of(winding).kick() } else { Self::as_joined(winding).kick() }
    }
}

fn kick_of(winding: &Winding) -> Option<Kicked> {
    winding.prepared.family.winds.tested(&winding.position.name)?.kick
}
