//! What was read and what is wanted otherwise.

use std::collections::HashSet;

use bobbinwright_spec::coil::{Coil, Packing, Until, Wire};
use bobbinwright_spec::printer::Trueness;
use bobbinwright_spec::printer::profile::Source;
use bobbinwright_spec::string_set::StringSet;
use bobbinwright_spec::{
    Family, Finish, Length, Mounting, PARAMETERS, PartKind, Poles, Position, Printer, Quantity, Survey, Unit,
    Wanted,
};
use bobbinwright_words::{fine, with_doubt};

use super::Version;

/// Readings that give something else, or are surer or less sure by a hundredth, a line each.
pub fn readings(a: &Survey, b: &Survey) -> Vec<String> {
    let unit = b.unit();
    let known_in = |survey: &Survey, quantity: &Quantity, unit: Unit| {
        let found = survey.quantities.iter().find(|s| s.quantity == *quantity)?;
        found.estimate.as_ref().map(|e| format!("{} {}", with_doubt(e, unit), unit.short()))
    };
    // A hundredth of a millimetre is less than the step of an inch family.
    let known = |survey: &Survey, quantity: &Quantity| known_in(survey, quantity, Unit::Mm);
    let mut all: Vec<&Quantity> = a.quantities.iter().map(|s| &s.quantity).collect();
    let listed: HashSet<&Quantity> = all.iter().copied().collect();
    all.extend(b.quantities.iter().map(|s| &s.quantity).filter(|q| !listed.contains(q)));
    let mut lines = Vec::new();
    for quantity in all.into_iter().filter(|q| q.position().is_none_or(|p| in_both(a, b, p))) {
        let (before, now) = (known(a, quantity), known(b, quantity));
        if before != now {
            let shown = [a, b].map(|survey| known_in(survey, quantity, unit));
            let [before, now] = shown;
            lines.push(match (before, now) {
                (Some(before), Some(now)) => format!("{quantity}: {now}, before {before}"),
                (None, Some(now)) => format!("{quantity}: {now}, not read before"),
                (Some(before), None) => format!("{quantity}: not read, before {before}"),
                (None, None) => continue,
            });
        }
    }
    lines
}

/// Of a position that only one version has it is enough to say that.
fn in_both(a: &Survey, b: &Survey, position: &str) -> bool {
    [a, b].iter().all(|survey| survey.positions.iter().any(|p| p.name == position))
}

/// What is wanted otherwise, a line each: lengths, then everything else.
pub fn wanted(a: &Version, b: &Version) -> Vec<String> {
    let mut lines = lengths(&a.survey, &b.survey);
    let (before, now) = (&a.prepared.family, &b.prepared.family);
    lines.extend(of_family(before, now));
    let unit = now.unit();
    for position in &now.positions {
        let Some(earlier) = before.positions.iter().find(|p| p.name == position.name) else { continue };
        for ((path, was), (_, is)) in body(earlier).into_iter().zip(body(position)) {
            if was != is {
                lines.push(format!("{} {path}: {is}, before {was}", position.name));
            }
        }
        // A coil that is begun counts as what it is; wanted is what the file says.
        let as_stated =
            |of: &Version, wanted: &Wanted| Wanted { coil: of.survey.coil(&position.name), ..wanted.clone() };
        let both = [as_stated(a, &earlier.wanted), as_stated(b, &position.wanted)];
        // Compared as finely as can be, shown as the family has it.
        let [was, is] = both.each_ref().map(|wanted| choices(wanted, Unit::Mm));
        let [shown_was, shown_is] = both.each_ref().map(|wanted| choices(wanted, unit));
        for (i, (path, now)) in is.iter().enumerate() {
            if was[i].1 != *now {
                lines.push(format!("{} {path}: {}, before {}", position.name, shown_is[i].1, shown_was[i].1));
            }
        }
    }
    lines
}

fn lengths(a: &Survey, b: &Survey) -> Vec<String> {
    let unit = b.unit();
    let show = |v: Option<Length>| v.map_or("not stated".to_owned(), |v| unit.shown(v));
    let mut lines = Vec::new();
    for parameter in &PARAMETERS {
        let (was, now) = (a.stated(parameter.path), b.stated(parameter.path));
        let mut names: Vec<&String> = now.iter().chain(&was).map(|(name, ..)| name).collect();
        names.retain(|name| in_both(a, b, name));
        names.sort();
        names.dedup();
        let mut changed: Vec<(Option<Length>, Option<Length>, Vec<&str>)> = Vec::new();
        for name in names {
            let value =
                |all: &[(String, Option<Length>, _)]| all.iter().find(|(n, ..)| n == name).and_then(|s| s.1);
            let (before, after) = (value(&was), value(&now));
            if before != after {
                match changed.iter_mut().find(|c| (c.0, c.1) == (before, after)) {
                    Some(same) => same.2.push(name),
                    None => changed.push((before, after, vec![name])),
                }
            }
        }
        for (before, after, names) in changed {
            let names = names.join(" and ");
            lines.push(format!("{names} {}: {}, before {}", parameter.path, show(after), show(before)));
        }
    }
    lines
}

fn of_family(a: &Family, b: &Family) -> Vec<String> {
    let mut lines = Vec::new();
    let mut note = |what: &str, was: String, is: String| {
        if was != is {
            lines.push(format!("{what}: {is}, before {was}"));
        }
    };
    let handed = |f: &Family| {
        let handed = f.positions.first().map(|p| p.handed).unwrap_or_default();
        handed.word().to_owned()
    };
    note("strings", a.strings.to_string(), b.strings.to_string());
    note("handed", handed(a), handed(b));
    let said = |unit: Unit| [a, b].map(|family| printer(&family.printer, unit));
    if said(Unit::Mm)[0] != said(Unit::Mm)[1] {
        let [was, is] = said(b.unit());
        lines.push(format!("printer: {is}, before {was}"));
    }
    lines
}

/// What of a printer decides how parts come out.
pub(super) fn printer(printer: &Printer, unit: Unit) -> String {
    match &printer.trueness {
        Trueness::Within(within) => format!("within {} of what is wanted", unit.shown(within.stated)),
        Trueness::Profile(profile) => {
            let [out, small] = [profile.growth.value(), profile.hole_loss(Length::from_mm(3.0))];
            let [out, small] = [out, small].map(|length| unit.shown(length));
            let does = format!("walls {out} further out, holes of 3 mm {small} smaller");
            match profile.source {
                Source::Usual(material) => {
                    format!("{}, as is usual for {} ({does})", profile.name, material.title())
                }
                Source::Coupon { sizes, .. } => {
                    format!("{}, {sizes} sizes of its coupon read ({does})", profile.name)
                }
            }
        }
    }
}

/// What is stated of a position's body.
fn body(position: &Position) -> [(&'static str, String); 5] {
    let rout = &position.rout;
    let channel = rout.channel.as_ref().map_or("none", |channel| channel.side.name());
    [
        ("rout.outline", rout.outline.name().to_owned()),
        ("rout.slant", position.slant.to_string()),
        ("rout.screws", rout.screws.len().to_string()),
        ("rout.ear_recesses", if rout.ears.is_some() { "there" } else { "none" }.to_owned()),
        ("rout.channel", channel.to_owned()),
    ]
}

/// What is wanted that is no length.
fn choices(wanted: &Wanted, unit: Unit) -> Vec<(&'static str, String)> {
    let poles = match wanted.poles {
        Poles::Single => "single",
        Poles::Pair { .. } => "pair",
    };
    let mounting = match wanted.cover.mounting {
        Mounting::Bosses { .. } => "bosses",
        Mounting::Ears { .. } => "ears",
    };
    let snug = wanted.cover.snug.map_or("stated".to_owned(), |chance| format!("snug, chance {chance}"));
    let there = |is: bool| if is { "there" } else { "none" }.to_owned();
    let mut all = vec![
        ("poles", poles.to_owned()),
        ("cover.fit_gap", snug),
        ("cover.mounting", mounting.to_owned()),
        ("cover.outline", wanted.cover.outline.name().to_owned()),
        ("cover.lead_out.side", wanted.cover.lead_out.side.name().to_owned()),
        ("baseplate.lip", there(wanted.baseplate.lip.is_some())),
        ("flatwork.sheet", there(wanted.flatwork.sheet.is_some())),
        ("flatwork.eyelets.side", wanted.flatwork.eyelet_side.name().to_owned()),
        ("coil", wanted.coil.as_ref().map_or("none".to_owned(), |c| coil(c, unit))),
        ("load", bobbinwright_words::load(&wanted.load)),
        ("string_set", string_set(&wanted.string_set, unit)),
        ("finish.cover", finish(wanted.finish.cover)),
        ("finish.baseplate", finish(wanted.finish.baseplate)),
        ("north", wanted.north.word().to_owned()),
        ("magnets", wanted.magnets.map_or("not stated", bobbinwright_spec::magnets::Alloy::word).to_owned()),
    ];
    all.extend(PartKind::ALL.map(|kind| {
        let side = wanted.on_bed.of(kind).map_or("as is best", bobbinwright_spec::BedSide::name);
        (on_bed(kind), side.to_owned())
    }));
    all
}

fn string_set(set: &StringSet, unit: Unit) -> String {
    let wound = set.wound_from.map(|from| match from {
        13 => "none wound".to_owned(),
        from => format!("wound from string {from}"),
    });
    let wrap = set.wrap.map(|wrap| format!("wrap {}", wrap.word()));
    let core = set.core.map(|core| format!("core {}", core.word()));
    let cores: Vec<String> = set.cores.iter().map(|core| fine(*core, unit)).collect();
    let cores = (!cores.is_empty()).then(|| format!("cores {}", cores.join(", ")));
    let known: Vec<String> = [wound, wrap, core, cores].into_iter().flatten().collect();
    if known.is_empty() { "not stated".to_owned() } else { known.join(", ") }
}

fn finish(finish: Option<Finish>) -> String {
    finish.map_or("none".to_owned(), |finish| finish.describe())
}

fn coil(coil: &Coil, unit: Unit) -> String {
    let wire = match coil.wire {
        Wire::Gauge(awg, film) => format!("AWG {} with {} film", awg.number(), film.word()),
        Wire::Diameters(copper, over) => {
            format!("wire of {}, {} over the film", fine(copper, unit), fine(over, unit))
        }
    };
    let until = match coil.until {
        Until::Turns(turns) => format!("{turns} turns"),
        Until::Ohms(ohms) => format!("until {ohms} Ω"),
        Until::Henries(henries) => format!("until {henries} H without rods"),
        Until::HenriesWithRods(henries) => format!("until {henries} H with rods"),
    };
    let packed = match coil.packing {
        Packing::Share(share) => share.to_string(),
        Packing::Measured { turns, across } => {
            format!("what {turns:.0} turns, {} across, came to", unit.shown(across))
        }
    };
    let (turning, start, hot) = (coil.turning.word(), coil.start.word(), coil.hot.word());
    let tape = unit.shown(coil.tape);
    format!(
        "{wire}, {until} {turning} from the {start} side, the {hot} hot, packed to {packed}, tape of {tape}"
    )
}

fn on_bed(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Cover => "on_bed.cover",
        PartKind::Baseplate => "on_bed.baseplate",
        PartKind::FlatworkBottom => "on_bed.flatwork_bottom",
        PartKind::FlatworkTop => "on_bed.flatwork_top",
    }
}
