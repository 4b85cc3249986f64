//! `bobbinwright wound`, and the tools that it is read with.

use bobbinwright_clock as clock;
use bobbinwright_coil::on_bobbin::OnBobbin;
use bobbinwright_core::Prepared;
use bobbinwright_export::bench;
use bobbinwright_export::winding::{WORKSHOP, Winding};
use bobbinwright_spec::load::Ohms;
use bobbinwright_spec::wound::{Meter, Spool, Thermometer};
use bobbinwright_spec::{Folder, NewMeter, NewSpool, NewStop, NewTest, NewThermometer, NotSaid, Survey};

use crate::enter::entered;
use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says how far the coils are, or enters a stop of the winder.
pub(crate) fn run(options: &arguments::Wound) -> Outcome {
    let Some((coil, (turns, reads))) = options.coil.as_ref().zip(options.turns.zip(options.reads.as_ref()))
    else {
        return list(options);
    };
    let stop = NewStop {
        on: options.on.unwrap_or_else(clock::today),
        coil: coil.clone(),
        turns,
        reads: reads.clone(),
        celsius: options.celsius,
        meter: options.meter.clone(),
        thermometer: options.thermometer.clone(),
        spool: options.spool.clone(),
        across: options.across.clone(),
        afresh: options.afresh,
        of: None,
    };
    let folder = Folder::on_disk(&options.family);
    let made = |survey: &Survey| {
        let is_there = survey.positions.iter().any(|p| p.name == *coil);
        let stop = survey.whole_stop(stop.clone(), options.as_wanted);
        is_there.then(|| (stop.to_string(), None)).ok_or_else(|| unknown(survey, coil))
    };
    let entered = match entered(&folder, made) {
        Ok(entered) => entered,
        Err(outcome) => return outcome,
    };
    if let Ok(prepared) = bench::prepared(&folder, &entered.after, clock::now()) {
        return tell(&prepared, coil, options.celsius);
    }
    say::line("What it should be is said as soon as everything is measured.");
    Outcome::Fine
}

/// Enters what tests of a wound coil came to, and judges them.
pub(crate) fn tested(options: &arguments::Tested) -> Outcome {
    let test = NewTest {
        on: options.on.unwrap_or_else(clock::today),
        coil: options.coil.clone(),
        reads: options.ohms.clone(),
        celsius: options.celsius,
        turns: options.turns.map(f64::from),
        henries: options.henries,
        hertz: options.hertz,
        insulation: options.insulation.clone(),
        north: options.north.map(arguments::Pole::north),
        kick: options.kick.map(arguments::Way::kick),
        millitesla: options.millitesla,
        over: options.over.clone(),
        leads: None,
    };
    let folder = Folder::on_disk(&options.family);
    let made = |survey: &Survey| {
        let is_there = survey.positions.iter().any(|p| p.name == options.coil);
        let test = NewTest { leads: survey.leads(&options.coil), ..test.clone() };
        is_there.then(|| (test.to_string(), None)).ok_or_else(|| unknown(survey, &options.coil))
    };
    let entered = match entered(&folder, made) {
        Ok(entered) => entered,
        Err(outcome) => return outcome,
    };
    let Ok(prepared) = bench::prepared(&folder, &entered.after, clock::now()) else { return Outcome::Fine };
    let windings = Winding::all(&prepared, options.celsius.unwrap_or(WORKSHOP));
    for winding in windings.iter().filter(|w| w.position.name == options.coil) {
        for (label, words) in winding.tested() {
            say::line(format_args!("{label}: {words}."));
        }
    }
    Outcome::Fine
}

fn unknown(survey: &Survey, name: &str) -> NotSaid {
    let known: Vec<&str> = survey.positions.iter().map(|p| p.name.as_str()).collect();
    NotSaid::Unknown {
        name: name.to_owned(),
        why: format!("there is no such position; there is {}", known.join(", ")),
    }
}

/// What a coil's stops say.
fn tell(prepared: &Prepared, coil: &str, celsius: Option<f64>) -> Outcome {
    let windings = Winding::all(prepared, celsius.unwrap_or(WORKSHOP));
    let Some(winding) = windings.iter().find(|w| w.position.name == coil) else {
        say::line("No coil is stated for it in family.ron, so nothing is expected of it.");
        return Outcome::Fine;
    };
    let Some(on_bobbin) = &winding.on_bobbin else { return Outcome::Fine };
    // As it was read just now, or else at the last stop.
    let celsius = celsius.or(on_bobbin.celsius()).unwrap_or(WORKSHOP);
    let alarms = on_bobbin.alarms();
    for line in &alarms {
        say::line(line);
    }
    for (label, words) in [
        ("so far", on_bobbin.so_far()),
        ("wire and hand", on_bobbin.learnt()),
        ("the rest", on_bobbin.ahead(celsius)),
    ] {
        if let Some(words) = words {
            say::line(format_args!("{coil}, {label}: {words}."));
        }
    }
    if let Some(line) = on_bobbin.tools_taken() {
        say::line(line);
    }
    let goes_on = on_bobbin.stops.last().is_none_or(|(_, stop)| stop.turns < winding.coil.turns);
    for line in winding.to_change() {
        say::line(format_args!("{}: {line}", if goes_on { "Before you wind on" } else { "This coil" }));
    }
    if alarms.is_empty() { Outcome::Fine } else { Outcome::Clash }
}

fn list(options: &arguments::Wound) -> Outcome {
    family::with(&options.family, None, false, |_, prepared| {
        let winds = &prepared.family.winds;
        let known = |name: &&String| winds.on_bobbin(name).is_some();
        let names = prepared.family.positions.iter().map(|p| &p.name);
        let wound: Vec<&String> = names.filter(known).collect();
        if wound.is_empty() {
            say::line(format_args!(
                "Nothing is wound yet, as far as the log knows. At the first stop: bobbinwright wound {} {} 500 402.1 --celsius 21",
                say::typed(&options.family),
                prepared.family.positions.first().map_or("neck", |p| p.name.as_str())
            ));
        }
        let outcomes: Vec<Outcome> = wound.iter().map(|coil| tell(prepared, coil, options.celsius)).collect();
        if outcomes.contains(&Outcome::Clash) { Outcome::Clash } else { Outcome::Fine }
    })
}

/// Enters a meter.
pub(crate) fn meter(options: &arguments::Meter) -> Outcome {
    let meter = Meter {
        name: options.name.clone(),
        counts: f64::from(options.counts),
        share: options.percent / 100.0,
        digits: options.digits,
    };
    tool(options.family.as_path(), &NewMeter { on: clock::today(), meter }.to_string())
}

/// Enters a thermometer.
pub(crate) fn thermometer(options: &arguments::Thermometer) -> Outcome {
    let thermometer = Thermometer { name: options.name.clone(), limit: options.limit };
    tool(options.family.as_path(), &NewThermometer { on: clock::today(), thermometer }.to_string())
}

/// Enters what a spool's wire resists: as it is stated, or as the coils of another family told.
pub(crate) fn spool(options: &arguments::Spool) -> Outcome {
    let on = clock::today();
    let stated = |ohms: f64, within: f64| Spool {
        name: options.name.clone(),
        per_metre: Ohms(ohms),
        within: within / ohms,
        packing: None,
    };
    let spool = match (&options.from, options.ohms_per_metre.zip(options.within)) {
        (None, Some((ohms, within))) => stated(ohms, within),
        (Some(other), _) => match told(other, &options.name) {
            Ok(spool) => spool,
            Err(outcome) => return outcome,
        },
        (None, None) => {
            return complain::failure(
                "say what it resists: --ohms-per-metre 7.02 --within 0.03, or --from FAMILY",
                false,
            );
        }
    };
    tool(options.family.as_path(), &NewSpool { on, spool }.to_string())
}

/// What the coils of another family told of a spool.
fn told(other: &std::path::Path, name: &str) -> Result<Spool, Outcome> {
    let folder = Folder::on_disk(other);
    let survey = family::survey(other, None).map_err(|problems| complain::wrong_input(&problems, false))?;
    let prepared = bench::prepared(&folder, &survey, clock::now());
    let prepared = prepared.map_err(|problems| complain::wrong_input(&problems, false))?;
    let told = OnBobbin::of_spool(&prepared.family, name);
    let found = told.and_then(|told| Some((told.per_metre?, told.packing?)));
    let found = found.map(|(wire, lays)| Spool {
        name: name.to_owned(),
        per_metre: Ohms(wire.value),
        within: 2.0 * wire.doubt,
        packing: Some([lays.value, (2.0 * lays.value * lays.doubt).min(0.2)]),
    });
    found.or_else(|| prepared.family.winds.spool(name).cloned()).ok_or_else(|| {
        complain::failure(&format!("no coil of {} is of a spool called {name:?}", other.display()), false)
    })
}

fn tool(family: &std::path::Path, entry: &str) -> Outcome {
    match entered(&Folder::on_disk(family), |_| Ok((entry.to_owned(), None))) {
        Ok(_) => Outcome::Fine,
        Err(outcome) => outcome,
    }
}
