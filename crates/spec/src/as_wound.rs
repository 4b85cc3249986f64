//! A coil that is begun is what it was begun as, and one that is done what it has become: what is wanted afterwards is
//! wanted of another one.

use crate::coil::{Coil, Packing, Until, Wire};
use crate::family::Position;
use crate::problem::Problem;
use crate::reader::Noted;
use crate::steps::{Done, NewDone};
use crate::wind_entry::NewStop;
use crate::winds::{Leads, Winds, WoundCoil};
use crate::wound::WoundOf;
use crate::written::{Written, WrittenPosition};
use crate::{Family, Survey};

impl Survey {
    /// How leads and rods of a position are said to be; none where it states nothing wanted.
    pub fn leads(&self, position: &str) -> Option<Leads> {
        let wanted = self.wanted(position)?;
        Some(self.winds.leads(position, wanted.coil.as_ref(), wanted.north))
    }

    /// A position's coil as its file states it, whatever is on the bobbin; none where none is wanted.
    pub fn coil(&self, position: &str) -> Option<Coil> {
        self.wanted(position)?.coil
    }

    /// A stop with all that hangs on it, so that none hangs on an earlier one: what the coil is wound of, and from which spool.
    ///
    /// A coil that is begun stays what it is. Of what is wanted today are one that is begun now, and one that was `as_wanted` all
    /// along.
    #[must_use]
    pub fn whole_stop(&self, stop: NewStop, as_wanted: bool) -> NewStop {
        let begun = self.winds.on_bobbin(&stop.coil).filter(|_| !stop.afresh);
        let of = begun.filter(|_| !as_wanted).and_then(WoundCoil::of);
        let of = of.or_else(|| self.wanted(&stop.coil)?.coil.as_ref().map(WoundOf::of));
        let spool = stop.spool.or_else(|| begun?.spool().map(str::to_owned));
        NewStop { spool, of, ..stop }
    }
}

/// Who stops within this share of the turns that are wanted has wound them all.
const ALL: f64 = 0.97;

impl Survey {
    /// A step with what hangs on it: the turns of a coil that has all that is wanted of it, so that it stays what it is whatever
    /// is wanted afterwards.
    #[must_use]
    pub fn whole_step(&self, step: NewDone) -> NewDone {
        let wanted = self.wanted(&step.done.position).and_then(|wanted| wanted.coil);
        let on = self.winds.on_bobbin(&step.done.position).map(WoundCoil::turns);
        let turns = on.zip(wanted).and_then(|(on, wanted)| match wanted.until {
            Until::Turns(all) if on >= ALL * all => Some(on.round() as u32),
            _ => None,
        });
        NewDone { done: Done { turns, ..step.done }, ..step }
    }
}

impl WoundOf {
    fn of(wanted: &Coil) -> Self {
        Self { wire: wanted.wire, tape: wanted.tape }
    }
}

impl WoundCoil {
    /// The coil that is wanted, as far as this one can become it: of its own wire, and with no fewer turns than it has; with just
    /// these once it is done.
    #[must_use]
    pub fn made(&self, wanted: Coil) -> Coil {
        let of = self.of().unwrap_or(WoundOf::of(&wanted));
        let on = self.turns();
        let until = match wanted.until {
            _ if self.is_done && on > 0.0 => Until::Turns(on),
            Until::Turns(turns) => Until::Turns(turns.max(on)),
            until => until,
        };
        let packing = match wanted.packing {
            // That was of the wire that is wanted now.
            Packing::Measured { .. } if of.wire != wanted.wire => Packing::Share(Packing::BY_HAND),
            packing => packing,
        };
        Coil { wire: of.wire, tape: of.tape, until, packing, ..wanted }
    }
}

/// Takes coils that are begun for what they are.
pub(crate) fn settle(positions: &mut [Position], winds: &Winds) {
    for position in positions {
        if let (Some(stated), Some(begun)) = (position.stated_coil, winds.on_bobbin(&position.name)) {
            position.wanted.coil = Some(begun.made(stated));
        }
    }
}

/// Is a coil that is wanted another than the one that there is?
fn is_another(on: &Coil, wanted: &Coil) -> bool {
    let turns = match (on.until, wanted.until) {
        // Who stopped where all are on has what was wanted.
        (Until::Turns(on), Until::Turns(wanted)) => (on - wanted).abs() > (1.0 - ALL) * wanted,
        (on, wanted) => on != wanted,
    };
    turns || on.wire != wanted.wire || on.tape != wanted.tape
}

impl Position {
    /// The coil that is wanted is another than that on the bobbin, which can't become it.
    pub fn next_coil(&self) -> Option<&Coil> {
        let on = self.wanted.coil?;
        self.stated_coil.as_ref().filter(|stated| is_another(&on, stated))
    }
}

impl Family {
    /// The same with all coils as they are stated, for bobbins on which nothing is yet: what the next ones will be.
    #[must_use]
    pub fn for_next_coils(mut self) -> Self {
        self.winds = self.winds.with_empty_bobbins();
        for position in &mut self.positions {
            position.wanted.coil = position.stated_coil;
        }
        self
    }
}

/// Points out coils that are another than is wanted now.
pub(crate) fn note(winds: &Winds, written: &Written, noted: &mut Noted) {
    let wanted = |p: &WrittenPosition| Some((p.name.clone(), p.wanted.as_ref()?.coil?));
    for (position, wanted) in written.positions.iter().filter_map(wanted) {
        let Some(begun) = winds.on_bobbin(&position) else { continue };
        if begun.is_done {
            noted.problems.extend(differs(begun, &wanted));
        } else if let Some(of) = begun.of().filter(|of| *of != WoundOf::of(&wanted)) {
            noted.problems.push(begun_of(begun, of, &wanted));
        }
    }
}

/// A coil that is done is not odd because another is wanted.
fn differs(done: &WoundCoil, wanted: &Coil) -> Option<Problem> {
    let made = done.made(*wanted);
    if !is_another(&made, wanted) {
        return None;
    }
    let (was, now) = match (made.until, wanted.until) {
        (Until::Turns(was), Until::Turns(now)) if WoundOf::of(&made) == WoundOf::of(wanted) => {
            (format!("{was:.0} turns"), format!("{now:.0}"))
        }
        _ => both(WoundOf::of(&made), wanted),
    };
    let message = format!(
        "the coil on the {} bobbin is done, with {was}: that {now} is wanted now is taken to be of the next one",
        done.position
    );
    Some(
        Problem::reminder(done.span, message).hint("the next one is begun at its first stop, entered afresh"),
    )
}

fn begun_of(begun: &WoundCoil, of: WoundOf, wanted: &Coil) -> Problem {
    let (was, now) = both(of, wanted);
    let message = format!(
        "the coil on the {} bobbin was entered as wound of {was}, and {now} is wanted now: it counts as what it was entered as",
        begun.position
    );
    let hint = "if it was of that all along, enter its last stop again, as one of the wire wanted now; another coil that is begun is of that anyway";
    Problem::notice(begun.span, message).hint(hint)
}

/// In what the two differ: their wires, or else their tapes.
fn both(of: WoundOf, wanted: &Coil) -> (String, String) {
    if of.wire == wanted.wire {
        (format!("tape of {} mm", of.tape.as_mm()), format!("one of {} mm", wanted.tape.as_mm()))
    } else {
        (wire(of.wire), wire(wanted.wire))
    }
}

fn wire(wire: Wire) -> String {
    match wire {
        Wire::Gauge(gauge, film) => format!("AWG {} ({} film)", gauge.number(), film.word()),
        // As it is typed: hundredths of a millimetre would be the same for two wires.
        Wire::Diameters(..) => wire.to_string(),
    }
}
