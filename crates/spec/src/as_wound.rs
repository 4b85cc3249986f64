//! A coil that is begun is what it was begun as: what is wanted afterwards is wanted of another one.

use crate::Survey;
use crate::coil::{Coil, Packing, Until, Wire};
use crate::family::Position;
use crate::problem::Problem;
use crate::reader::Noted;
use crate::winds::{Leads, Winds, WoundCoil};
use crate::wound::WoundOf;
use crate::written::{Written, WrittenPosition};

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

    /// What a position's coil is of when it is wound on: a coil that is begun stays what it is. Of what is wanted today are one
    /// that is begun now, and one that was `as_wanted` all along.
    pub fn wound_of(&self, position: &str, as_wanted: bool) -> Option<WoundOf> {
        let begun = self.winds.on_bobbin(position).filter(|_| !as_wanted).and_then(WoundCoil::of);
        begun.or_else(|| self.wanted(position)?.coil.as_ref().map(WoundOf::of))
    }
}

impl WoundOf {
    fn of(wanted: &Coil) -> Self {
        Self { wire: wanted.wire, tape: wanted.tape }
    }
}

impl WoundCoil {
    /// The coil that is wanted, as far as this one can become it: of its own wire, and with no fewer turns than it has.
    #[must_use]
    pub fn made(&self, wanted: Coil) -> Coil {
        let of = self.of().unwrap_or(WoundOf::of(&wanted));
        let on = self.stops.last().map_or(0.0, |(.., stop)| stop.turns);
        let until = match wanted.until {
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
        if let (Some(wanted), Some(begun)) = (&mut position.wanted.coil, winds.on_bobbin(&position.name)) {
            *wanted = begun.made(*wanted);
        }
    }
}

/// Points out coils that are begun of something else than is wanted now.
pub(crate) fn note(winds: &Winds, written: &Written, noted: &mut Noted) {
    let wanted = |p: &WrittenPosition| Some((p.name.clone(), p.wanted.as_ref()?.coil?));
    for (position, wanted) in written.positions.iter().filter_map(wanted) {
        let Some(begun) = winds.on_bobbin(&position) else { continue };
        let Some(of) = begun.of().filter(|of| *of != WoundOf::of(&wanted)) else { continue };
        let (was, now) = if of.wire == wanted.wire {
            (format!("tape of {} mm", of.tape.as_mm()), format!("one of {} mm", wanted.tape.as_mm()))
        } else {
            (wire(of.wire), wire(wanted.wire))
        };
        let message = format!(
            "the coil on the {position} bobbin was entered as wound of {was}, and {now} is wanted now: it counts as what it was entered as"
        );
        let hint = "if it was of that all along, enter its last stop again, as one of the wire wanted now; another coil that is begun is of that anyway";
        noted.problems.push(Problem::notice(begun.span, message).hint(hint));
    }
}

fn wire(wire: Wire) -> String {
    match wire {
        Wire::Gauge(gauge, film) => format!("AWG {} ({} film)", gauge.number(), film.word()),
        // As it is typed: hundredths of a millimetre would be the same for two wires.
        Wire::Diameters(..) => wire.to_string(),
    }
}
