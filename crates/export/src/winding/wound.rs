//! A coil as far as it is wound: what its stops say of the spool, the winder and the rest, in words.

use bobbinwright_coil::bobbin::ROOM;
use bobbinwright_coil::on_bobbin::OnBobbin as Begun;
use bobbinwright_coil::stops::{Across, Believed, Follow, Judged, Known};
use bobbinwright_coil::winding::Resistance;
use bobbinwright_core::Prepared;
use bobbinwright_spec::coil::Until;
use bobbinwright_spec::load::Ohms;
use bobbinwright_spec::wound::{Meter, Shown, Stop, Thermometer};
use bobbinwright_spec::{Length, Unit};
use serde_json::{Value, json};

use super::ohms::{as_read, slip_of_powers};

/// Turns from one stop to the next.
pub(super) const EVERY: u32 = 500;

/// The coil on a position's bobbin, and what is wanted of it.
#[derive(Clone)]
pub struct OnBobbin {
    /// What its stops tell.
    pub follow: Follow,
    /// The stops that count, each with its entry in the log.
    pub stops: Vec<(usize, Stop)>,
    /// What the wire's spool is called.
    pub spool: Option<String>,
    /// The spool was known before the first stop.
    knew_spool: bool,
    /// When winding ends.
    until: Until,
    turns: f64,
    unit: Unit,
}

/// The coils that the log knows, by their positions.
pub(super) fn on_bobbins(prepared: &Prepared) -> Vec<(String, OnBobbin)> {
    let family = &prepared.family;
    let of = |begun: Begun| {
        let wanted = family.positions.iter().find(|p| p.name == begun.position)?.wanted.coil?;
        let Begun { position, follow, stops, spool, knew_spool } = begun;
        let (until, turns, unit) = (wanted.until, follow.turns(), family.unit());
        Some((position, OnBobbin { follow, stops, spool, knew_spool, until, turns, unit }))
    };
    Begun::all(family).into_iter().filter_map(of).collect()
}

/// What the last stop of a position's coil is, in words, where it does not go with the turns; none where it does.
pub(crate) fn amiss(prepared: &Prepared, position: &str) -> Option<String> {
    let (_, coil) = on_bobbins(prepared).into_iter().find(|(name, _)| name == position)?;
    let (_, last) = coil.judged().next_back()?;
    (last.believed != Believed::Yes).then(|| coil.so_far())?
}

fn shown(shown: Shown) -> String {
    match shown {
        Shown::Ohms(Ohms(ohms)) => as_read(Resistance(ohms)),
        Shown::Open => "open".to_owned(),
    }
}

/// `± 0.8 %`, as 95 of 100 are.
fn percent(known: Known) -> String {
    format!("± {:.1} %", 200.0 * known.doubt)
}

/// A packing that is known no better is not worth telling.
const TOLD: f64 = 0.06;
/// Fewer believed stops than these say little of the rest.
const FEW: usize = 3;

impl OnBobbin {
    /// A stop beside its judgement.
    fn judged(&self) -> impl DoubleEndedIterator<Item = (&(usize, Stop), &Judged)> {
        self.stops.iter().zip(&self.follow.judged)
    }

    /// The temperature beside the winder at the last stop at which it was read, °C.
    pub fn celsius(&self) -> Option<f64> {
        self.stops.iter().rev().find_map(|(_, stop)| stop.celsius)
    }

    /// What the meter showed after so many turns, where it was read.
    pub(super) fn read_at(&self, turns: u32) -> Option<String> {
        let at = self.stops.iter().rev().find(|(_, stop)| stop.turns == f64::from(turns))?;
        Some(shown(at.1.shown))
    }

    /// The stops that are not as the others make one expect, in words.
    pub fn alarms(&self) -> Vec<String> {
        let all: Vec<_> = self.judged().collect();
        let of = |i: usize| {
            let ((entry, stop), judged) = all[i];
            let is_before = |believed| match judged.believed {
                // A wire that read low was not broken yet.
                Believed::Open => believed != Believed::Open,
                _ => believed == Believed::Yes,
            };
            let before = all[..i].iter().rfind(|(_, j)| is_before(j.believed)).map(|(_, j)| j.turns);
            let after = all[i + 1..].iter().any(|(_, j)| j.believed == Believed::Yes);
            // What later ones do not bear out does not count, and nobody need ask for it any more.
            let told = |(_, j): &(_, &Judged)| j.across.is_some_and(|across| across.is_believed);
            let slip = judged.across.filter(|across| !across.is_believed && !all[i + 1..].iter().any(told));
            let slip = slip.map(|across| thickness(*entry, stop.turns, across, self.unit));
            // What stays wrong from stop to stop is said of the last one.
            let goes_on = |j: usize| {
                let kind = |i: usize| std::mem::discriminant(&all[i].1.believed);
                !after && j + 1 < all.len() && kind(j) == kind(j + 1)
            };
            let so_too = (0..i).rev().take_while(|j| goes_on(*j)).count();
            let said = alarm(*entry, stop, judged, before, after).filter(|_| !goes_on(i));
            let said = said.map(|words| match so_too {
                0 => words,
                1 => format!("{words} So it was at the stop before."),
                n => format!("{words} So it was at the {n} stops before."),
            });
            said.into_iter().chain(slip)
        };
        (0..all.len()).flat_map(of).collect()
    }

    /// The last stop, in words.
    pub fn so_far(&self) -> Option<String> {
        let ((_, stop), judged) = self.judged().next_back()?;
        let [least, _, most] = judged.band.map(as_read);
        let at = stop.celsius.map_or("a temperature that was not read".to_owned(), |c| format!("{c} °C"));
        // Beside what came before it may be odd where by itself it would do.
        let is_alone = match stop.shown {
            Shown::Ohms(Ohms(ohms)) => !(judged.band[0].0..=judged.band[2].0).contains(&ohms),
            Shown::Open => true,
        };
        let so = match (judged.believed, is_alone) {
            (Believed::Yes, _) => "as expected",
            (Believed::Low { .. }, true) => "too low",
            (Believed::Low { .. }, false) => "too low beside the stops before, by itself it would do",
            (Believed::High, true) => "too high",
            (Believed::High, false) => "too high beside the stops before, by itself it would do",
            (Believed::Open, _) => "nothing is joined",
        };
        Some(format!("{} turns, {} at {at}: {so} ({least} to {most})", stop.turns, shown(stop.shown)))
    }

    /// All of it for other programs; lengths in mm, the rest in SI units as its name says.
    pub(super) fn json(&self, celsius: f64) -> Value {
        let stop = |((entry, stop), judged): (&(usize, Stop), &Judged)| {
            let shown = match stop.shown {
                Shown::Ohms(Ohms(ohms)) => Some(ohms),
                Shown::Open => None,
            };
            let [least, expected, most] = judged.band.map(|r| r.0);
            json!({
                "entry": entry,
                "turns": stop.turns,
                "ohms": shown,
                "celsius": stop.celsius,
                "expected_ohms": { "least": least, "expected": expected, "most": most },
                "believed": judged.believed == Believed::Yes,
                "across": judged.across.map(|across| json!({
                    "mm": across.read.as_mm(),
                    "expected_mm": across.band.map(Length::as_mm),
                    "believed": across.is_believed,
                })),
            })
        };
        let (wire, lays) = (self.follow.per_metre(), self.follow.packing());
        let known =
            |known: Known| json!({ "value": known.value, "standard_uncertainty": known.value * known.doubt });
        json!({
            "spool": self.spool,
            "stops": self.judged().map(stop).collect::<Vec<_>>(),
            "ohms_per_metre": known(wire),
            "packing": known(lays),
            "turns_noticed_at_next_stop": self.next().map(|next| self.noticed(next, celsius)),
            "alarms": self.alarms(),
        })
    }

    /// What was learnt of the spool and of the winder; none before the first stop that is believed.
    pub fn learnt(&self) -> Option<String> {
        let stops = self.follow.believed();
        if stops == 0 {
            return None;
        }
        let (wire, lays) = (self.follow.per_metre(), self.follow.packing());
        let of = if stops == 1 { "1 stop".to_owned() } else { format!("{stops} stops") };
        let name = self.spool.as_ref().map_or(String::new(), |name| format!("{name:?}: "));
        let guard = if self.knew_spool || stops >= FEW {
            String::new()
        } else {
            "; turns that touched before the third stop can look like another spool: only one that is known tells them apart".to_owned()
        };
        // Resistance alone says little of how turns lie.
        let lays = if lays.doubt < TOLD {
            format!(", packed to {:.2} ({})", lays.value, percent(lays))
        } else {
            String::new()
        };
        Some(format!(
            "{name}{:.3} Ω for a metre ({}) at 20 °C{lays}, by {of}{guard}",
            wire.value,
            percent(wire)
        ))
    }

    /// What comes next and at the end, in a workshop of a temperature.
    pub fn ahead(&self, celsius: f64) -> Option<String> {
        let last = self.stops.last()?.1.turns;
        let mut all = Vec::new();
        let band = |turns: f64| {
            let [least, _, most] = self.follow.band(turns, celsius).map(as_read);
            format!("{least} to {most}")
        };
        if let Some(next) = self.next() {
            let noticed = self.noticed(next, celsius);
            all.push(format!(
                "at {next} turns the meter should show {}; if {noticed} turns touch by then, that shows in 95 of 100 cases",
                band(next)
            ));
        }
        match self.until {
            Until::Ohms(ohms) => {
                let [turns, give] = self.stop_at(ohms);
                all.push(format!(
                    "stop at {turns:.0} turns (give or take {give:.0}) for {} at 20 °C",
                    as_read(Resistance(ohms))
                ));
            }
            _ if last >= self.turns => all.push("all turns are on".to_owned()),
            _ => {
                all.push(format!("at {:.0} turns it should show {}", self.turns, band(self.turns)));
            }
        }
        Some(format!("{} (at {celsius} °C)", all.join("; ")))
    }

    /// Where the next stop is, if the coil goes on beyond it.
    fn next(&self) -> Option<f64> {
        let last = self.stops.last()?.1.turns;
        let next = f64::from((last as u32 / EVERY + 1) * EVERY);
        (next < self.turns).then_some(next)
    }

    /// The fewest whole turns that would be noticed there.
    fn noticed(&self, next: f64, celsius: f64) -> f64 {
        self.follow.noticed(next, celsius).ceil()
    }

    /// The turns to stop at for a resistance at 20 °C, and how many more or fewer it may take.
    pub(super) fn stop_at(&self, ohms: f64) -> [f64; 2] {
        self.follow.turns_for(Resistance(ohms), ROOM)
    }

    /// The tools that were taken for usual ones, since the log has none; none where it has both.
    pub fn tools_taken(&self) -> Option<String> {
        let last = &self.stops.last()?.1;
        let mut all = Vec::new();
        if last.meter.is_none() {
            let Meter { counts, share, digits, .. } = Meter::usual();
            all.push(format!(
                "a meter of {counts} counts that may err by {} % and {digits} digits",
                share * 100.0
            ));
        }
        if last.celsius.is_some() && last.thermometer.is_none() {
            all.push(format!("a thermometer that may err by {} K", Thermometer::usual().limit));
        }
        if last.celsius.is_none() {
            all.push("20 °C, since no temperature was read".to_owned());
        }
        (!all.is_empty()).then(|| format!("Taken for granted: {}.", all.join("; ")))
    }
}

/// A thickness that can't be believed, and what to do.
fn thickness(entry: usize, turns: f64, across: Across, unit: Unit) -> String {
    let [least, _, most] = across.band.map(|length| unit.shown(length));
    format!(
        "Entry {entry}: {} across the coil after {turns} turns, where {least} to {most} is expected: measure it again, across the row of rods. It counts as soon as a second one says the same.",
        unit.shown(across.read)
    )
}

/// What is wrong with a stop, and what to do; none where nothing is.
fn alarm(entry: usize, stop: &Stop, judged: &Judged, before: Option<f64>, after: bool) -> Option<String> {
    let [least, _, most] = judged.band.map(as_read);
    let read = format!("{} turns read {} where {least} to {most} is expected", stop.turns, shown(stop.shown));
    let [low, _, high] = judged.band.map(|resistance| resistance.0);
    let slip = match stop.shown {
        Shown::Ohms(Ohms(ohms)) => slip_of_powers(ohms, [low, high]),
        Shown::Open => String::new(),
    };
    if !slip.is_empty() {
        return Some(format!("Entry {entry}: {read}{slip} Withdraw it, and enter what the meter shows."));
    }
    let since = before.map_or(String::new(), |turns| format!(" since {turns} turns"));
    let misread = if after {
        "; what was read later goes on as before, so this was misread, or mended since: withdraw it if it was misread"
    } else {
        ""
    };
    Some(match judged.believed {
        Believed::Yes => return None,
        _ if after => format!("Entry {entry}: {read}{misread}."),
        Believed::Open => format!(
            "Entry {entry}: {} turns and nothing is joined: read it again; if it stays so the wire is broken{since}. Wind back to the break and solder it, or begin again.",
            stop.turns
        ),
        Believed::Low { turns } => format!(
            "Entry {entry}: {read}: about {turns:.0} turns touch{since}. Read it again; if it stays so, wind back until the meter agrees.",
        ),
        Believed::High => format!(
            "Entry {entry}: {read}: a bad joint, wire pulled thin{since}, a spool that was changed, or turns that touched before. Read it again with clean probes.",
        ),
    })
}
