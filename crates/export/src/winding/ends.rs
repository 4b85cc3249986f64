//! Which way a coil's voltage goes: as its family states it, or, where somebody looked, as it was found.

use bobbinwright_spec::coil::{End, Turning};
use bobbinwright_spec::magnets::North;
use bobbinwright_spec::tested::Kick;

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
        let winds = &winding.prepared.family.winds;
        let test = winds.tested(&winding.position.name).unwrap_or_default();
        let hot = winds.hot(&winding.position.name).unwrap_or(stated.hot);
        let found = Self { north: test.north.unwrap_or(stated.north), hot, ..stated };
        let runs_otherwise = test.kick.is_some_and(|way| way != found.kick());
        let turning = if runs_otherwise { stated.turning.other() } else { stated.turning };
        let found = Self { turning, ..found };
        Self { is_otherwise: found != stated, ..found }
    }

    /// Which way a meter goes when steel comes down on the rods, its red lead at the hot eyelet: the steel adds to the
    /// flux, and the coil drives a current against that (Lenz). With north up and wire that runs anticlockwise from its
    /// start, the start is where that current comes out.
    pub fn kick(self) -> Kick {
        let against =
            [self.north == North::Down, self.turning == Turning::Clockwise, self.hot == End::Finish];
        if against.iter().filter(|a| **a).count() % 2 == 0 { Kick::Plus } else { Kick::Minus }
    }

    /// Which way it should go with these rods and leads, if the wire runs as it is stated.
    pub fn expected_kick(winding: &Winding) -> Kick {
        Self { turning: winding.wanted.turning, ..Self::of(winding) }.kick()
    }
}
