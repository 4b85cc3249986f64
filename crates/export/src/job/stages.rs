//! The stages of a pickup, one after the other.

use bobbinwright_core::what_to_do;
use bobbinwright_fit::{Contradicted, Verdict};
use bobbinwright_spec::coil::Until;
use bobbinwright_spec::{
    Copy, Done, Length, PartKind, PrinterSurvey, Quantity, State, Step, Surveyed, part_name,
};
use jiff::civil::Date;

use super::{Known, Next, Pickup, Set, Stage};
use crate::winding;

/// A stage, and what to do for it where something is left.
type Left = (Stage, Option<Next>);

/// How a pickup stands.
pub(super) fn pickup(known: &Known, index: usize) -> Pickup {
    let position = known.survey.positions[index].name.clone();
    let done: Vec<(Date, Done)> =
        known.survey.done().into_iter().filter(|(_, done)| done.position == position).collect();
    let copies: Vec<Copy> = known.survey.copies().into_iter().filter(|c| c.position == position).collect();
    let all = [
        measured(known, &position),
        checked(known, index, &position),
        coupon(known),
        printed(known, index, &position, &copies),
        inspected(known, index, &position),
        step(known, &position, &done, Step::Wound),
        step(known, &position, &done, Step::Soldered),
        built_in(known, &position, &done, &copies),
    ];
    let is_in = all[7].0.done;
    let set = set(&done);
    let (stages, left): (Vec<Stage>, Vec<Option<Next>>) = all.into_iter().unzip();
    let mut next = left.into_iter().flatten().next();
    if is_in {
        // What was built in is done, whatever nobody said before.
        next = set.is_none().then(|| how_it_was_set(known, &position));
    }
    // What is built in was soldered, and said so then; coils are not worked out for every instrument that is done.
    let off = || if is_in { moved(known, index) } else { off(known, index) };
    next = amiss(known, index).or_else(|| odd_coil(known, index, &stages)).or_else(off).or(next);
    Pickup { position, stages, next, set }
}

/// What a test found goes before all else: the coil is on the bobbin.
fn amiss(known: &Known, index: usize) -> Option<Next> {
    let family = &known.built.as_ref()?.prepared.family;
    let position = &family.positions[index];
    let why = winding::tested::amiss(family, position)?;
    Some(Next {
        what: "put right what a test found, and test it again".into(),
        why: why.into(),
        how: command(known, "tested", &format!(" {}", position.name)),
    })
}

/// A coil whose last stop does not go with its turns is looked at before more is wound on it.
fn odd_coil(known: &Known, index: usize, stages: &[Stage]) -> Option<Next> {
    let is_open = stages.iter().any(|stage| stage.what == Step::Wound.describe() && !stage.done);
    let prepared = &known.built.as_ref().filter(|_| is_open)?.prepared;
    let so_far = winding::wound::amiss(prepared, &prepared.family.positions[index].name)?;
    Some(Next {
        what: "look at the coil before more is wound".into(),
        why: so_far,
        how: command(known, "wind", ""),
    })
}

/// Figures of a test that say that turns are not there, or two coils that are soldered so that they sound thin.
fn off(known: &Known, index: usize) -> Option<Next> {
    let prepared = &known.built.as_ref()?.prepared;
    let position = &prepared.family.positions[index].name;
    let why = winding::amiss(prepared, position)?;
    Some(Next { what: "settle what the coils' figures say".into(), why, how: command(known, "wind", "") })
}

/// What is built in, and by what was read since does not go there.
fn moved(known: &Known, index: usize) -> Option<Next> {
    let verdict = *known.built.as_ref()?.printed.get(index)?;
    (verdict == Verdict::Clashes).then(|| Next {
        what: "look at what clashes, though it is built in".into(),
        why: "by what was read since these parts do not fit".into(),
        how: command(known, "inspect", ""),
    })
}

fn stage(what: &'static str, done: bool, on: Option<Date>, words: impl Into<String>) -> Stage {
    Stage { what, done, on: on.map(|day| day.to_string()), words: words.into() }
}

fn command(known: &Known, name: &str, rest: &str) -> String {
    format!("bobbinwright {name} {}{rest}", known.folder.path().display())
}

fn is_of(surveyed: &Surveyed, position: &str) -> bool {
    match &surveyed.quantity {
        Quantity::At(at, _) => at == position,
        Quantity::Instrument(_) => true,
        _ => false,
    }
}

fn measured(known: &Known, position: &str) -> Left {
    let survey = known.survey;
    let all = || survey.quantities.iter().filter(|s| is_of(s, position));
    let on = all().filter_map(|s| Some(s.taken?.last)).max();
    let missing: Vec<&Surveyed> = all().filter(|s| s.missing).collect();
    if survey.problems.has_errors() {
        let next = Next {
            what: "put right what the files say".into(),
            why: "as long as they can't be read, nothing else is sure".into(),
            how: command(known, "check", ""),
        };
        return (stage("measured", false, on, "files to mend"), Some(next));
    }
    let Some(first) = missing.iter().find(|s| s.waits_for.is_none()).or(missing.first()) else {
        let planned = all().find(|s| s.is_planned());
        let next = planned.map(|first| Next {
            what: format!("rout the body, then read {}", first.line()),
            why: "what is planned is not there yet; read it before anything is printed".into(),
            how: command(known, "sheet", ""),
        });
        let words = if planned.is_some() { "planned, not read" } else { "all" };
        return (stage("measured", planned.is_none(), on, words), next);
    };
    let next = Next {
        what: format!("measure {}", first.line()),
        why: match missing.len() {
            1 => "it is the last that is missing before the parts can be drawn".into(),
            n => format!("it is the first of {n} without which no part can be drawn"),
        },
        how: command(known, "sheet", ""),
    };
    (stage("measured", false, on, format!("{} to read", missing.len())), Some(next))
}

fn checked(known: &Known, index: usize, position: &str) -> Left {
    let Some(built) = &known.built else {
        let is_ready = !known.survey.problems.has_errors() && known.survey.missing().next().is_none();
        let next = is_ready.then(|| Next {
            what: "change what is wanted so that the parts can be made".into(),
            why: "some of the dimensions do not go together".into(),
            how: command(known, "check", ""),
        });
        return (stage("fits", false, None, if is_ready { "can't be made" } else { "not known" }), next);
    };
    let fit = &built.prepared.fit;
    let wholes = fit.wholes();
    let Some(whole) = wholes.iter().find(|w| w.position == position) else {
        return (stage("fits", true, None, "fits"), None);
    };
    debug_assert_eq!(built.prepared.family.positions[index].name, position);
    let worst = &fit.checks[whole.worst];
    let words = whole.verdict.word();
    let next = match (whole.verdict, &whole.contradicted) {
        (Verdict::Fits, _) => None,
        (Verdict::TooClose, Some(Contradicted::Trial)) => Some(Next {
            what: "settle what was tried: read again what would explain it, or withdraw the trial".into(),
            why: "a part jams that by what was read goes in, and whether the pickup fits hangs on that"
                .into(),
            how: command(known, "check", ""),
        }),
        (Verdict::TooClose, Some(Contradicted::Readings(of))) => Some(Next {
            what: format!("read {of} again, and what was read beside it"),
            why: "its readings contradict each other, or others, and whether the pickup fits hangs on them"
                .into(),
            how: command(known, "check", ""),
        }),
        (Verdict::TooClose, None) => Some(Next {
            what: format!("make sure of {}", worst.title),
            why: "it is too close to call whether the pickup goes together and in".into(),
            how: command(known, "check", ""),
        }),
        (Verdict::Clashes, _) => Some(Next {
            what: what_to_do(&built.prepared, worst),
            why: format!("{} clashes", worst.title),
            how: command(known, "check", ""),
        }),
    };
    (stage("fits", whole.verdict == Verdict::Fits, None, words), next)
}

/// What to read too before hours of printing, where one slip would turn what fits and another reading would show it; and why.
fn to_guard(known: &Known, position: &str) -> Option<[String; 2]> {
    let built = known.built.as_ref()?;
    let all = built.prepared.fit.unguarded(&built.prepared.family);
    let own = || all.iter().filter(|one| one.position == position);
    let mut by: Vec<String> = own().filter_map(|one| Some(one.by.as_ref()?.to_string())).collect();
    by.sort();
    by.dedup();
    let first = own().find(|one| one.by.is_some())?;
    let slip = first.quantity.named(first.spot.as_deref());
    Some([
        format!("read {} too, then ", listed(&by.iter().collect::<Vec<_>>())),
        format!("a slip in {slip} would go unnoticed, and what fits would not; "),
    ])
}

fn coupon(known: &Known) -> Left {
    let printer: &PrinterSurvey = match &known.printer {
        None => return (stage("coupon", true, None, "no printer named"), None),
        Some(Err(())) => return (stage("coupon", false, None, "its files to mend"), None),
        Some(Ok(printer)) => printer,
    };
    let missing = printer.missing().count();
    if printer.is_begun() {
        let words = if missing == 0 { "read".to_owned() } else { format!("{missing} not read") };
        return (stage("coupon", true, printer.last_entry, words), None);
    }
    let folder =
        known.survey.sources().printer.as_ref().map_or(String::new(), |p| p.folder.display().to_string());
    let next = Next {
        what: format!("print and read the coupon of {}", printer.slug),
        why: "until then the parts are drawn for what is usual of the filament, and far less sure".into(),
        how: format!("bobbinwright coupon {folder}"),
    };
    (stage("coupon", false, None, "not read"), Some(next))
}

fn printed(known: &Known, index: usize, position: &str, copies: &[Copy]) -> Left {
    let kinds: Vec<PartKind> = match &known.built {
        Some(built) => built.prepared.positions[index].parts.iter().map(|p| p.kind).collect(),
        None => PartKind::ALL.to_vec(),
    };
    let current = |kind: &PartKind| copies.iter().find(|c| c.kind == *kind && c.is_current);
    let on = kinds.iter().filter_map(current).map(|c| c.on).max();
    let lacking: Vec<String> =
        kinds.iter().filter(|kind| current(kind).is_none()).map(|kind| part_name(position, *kind)).collect();
    if lacking.is_empty() {
        return (stage("printed", true, on, "all"), None);
    }
    let words = format!("{} of {}", kinds.len() - lacking.len(), kinds.len());
    let wanted = known.built.as_ref().map(|built| &built.prepared.positions[index].layout.wanted);
    let is_cut = |name: &&String| {
        let sheet = |kind: &PartKind| wanted.and_then(|wanted| wanted.sheet(*kind));
        kinds.iter().any(|kind| part_name(position, *kind) == **name && sheet(kind).is_some())
    };
    let (cut, print): (Vec<&String>, Vec<&String>) = lacking.iter().partition(is_cut);
    let all = if lacking.len() == kinds.len() && cut.is_empty() { "all of it: " } else { "" };
    let made =
        [("print", print, all), ("cut", cut, "")].into_iter().filter(|(_, parts, _)| !parts.is_empty());
    let made: Vec<String> = made.map(|(how, parts, all)| format!("{how} {all}{}", listed(&parts))).collect();
    let [first, slip] = copies.is_empty().then(|| to_guard(known, position)).flatten().unwrap_or_default();
    let next = Next {
        what: format!("{first}{}", made.join(", and ")),
        why: if copies.is_empty() {
            format!("{slip}nothing of it was made yet, as far as the log knows")
        } else {
            "the other parts are there".into()
        },
        how: format!(
            "{}, then {}",
            command(known, "build", ""),
            command(known, "printed", &format!(" {}", lacking.join(" ")))
        ),
    };
    (stage("printed", false, on, words), Some(next))
}

fn listed(names: &[&String]) -> String {
    names.iter().map(|name| name.as_str()).collect::<Vec<_>>().join(", ")
}

fn inspected(known: &Known, index: usize, position: &str) -> Left {
    let Some(built) = &known.built else { return (stage("inspected", false, None, "–"), None) };
    let of = || built.sizes.iter().filter(|d| d.position == index);
    let (all, read) = (of().count(), of().filter(|d| d.read.is_some()).count());
    let is_piece = |s: &&Surveyed| matches!(&s.quantity, Quantity::Piece(at, _) if at == position);
    let on = known.survey.quantities.iter().filter(is_piece).filter_map(|s| Some(s.taken?.last)).max();
    let verdict = built.printed[index];
    let fits = verdict == Verdict::Fits;
    let first =
        of().find(|d| d.read.is_none()).map_or(String::new(), |d| format!("{position}.{}", d.piece.size));
    let next = match (read, fits) {
        (0, _) => Some(Next {
            what: format!("measure the printed parts, {first} first"),
            why: format!(
                "{all} sizes decide whether they fit; what the printer made is known only when it is read"
            ),
            how: command(known, "inspect", ""),
        }),
        (_, true) => None,
        _ => Some(Next {
            what: "work the printed parts over, or read more of them".into(),
            why: format!("with what was read of them it is said: {}", verdict.word()),
            how: command(known, "inspect", ""),
        }),
    };
    let words = if read == 0 { "–".to_owned() } else { format!("{read} of {all}, {}", verdict.word()) };
    (stage("inspected", read > 0 && fits, on, words), next)
}

fn step(known: &Known, position: &str, done: &[(Date, Done)], step: Step) -> Left {
    let what = step.describe();
    if let Some((on, _)) = done.iter().rfind(|(_, done)| done.step == step) {
        return (stage(what, true, Some(*on), "yes"), None);
    }
    let begun = known.survey.winds.on_bobbin(position).filter(|_| step == Step::Wound);
    let begun = begun.and_then(|coil| coil.stops.last()).map(|(_, on, stop)| (*on, stop.turns));
    let coil = known
        .built
        .as_ref()
        .and_then(|b| b.prepared.family.positions.iter().find(|p| p.name == position))
        .and_then(|p| p.wanted.coil);
    let has_coil = coil.is_some();
    let (to_do, why, how) = match step {
        Step::Wound if has_coil => ("wind the coil", "the parts are there and fit", "wind"),
        Step::Wound => (
            "say what coil is wanted, then wind it",
            "the parts are there and fit, and no coil is stated",
            "want",
        ),
        Step::Soldered => ("solder wire, eyelets and lead", "the coil is wound", "wind"),
        Step::BuiltIn => ("build it in and set its height", "it is wound and soldered", "label"),
    };
    let word = step.word().replace('_', "-");
    let rest = format!("; when it is done: {}", command(known, "done", &format!(" {position} {word}")));
    let asked = if step == Step::Wound && !has_coil { " coil usual" } else { "" };
    let next =
        Next { what: to_do.into(), why: why.into(), how: command(known, how, &format!("{asked}{rest}")) };
    let until = coil.map(|coil| coil.until);
    match begun {
        Some((on, turns)) if matches!(until, Some(Until::Turns(all)) if turns >= all) => {
            let next = Next {
                what: "say that it is wound".into(),
                why: format!("all {turns:.0} turns are on"),
                how: command(known, "done", &format!(" {position} {word}")),
            };
            (stage(what, false, Some(on), format!("{turns:.0} turns")), Some(next))
        }
        Some((on, turns)) => (stage(what, false, Some(on), format!("{turns:.0} turns so far")), Some(next)),
        None => (stage(what, false, None, "–"), Some(next)),
    }
}

/// Somebody said so of the pickup, or of all that was printed of it.
fn built_in(known: &Known, position: &str, done: &[(Date, Done)], copies: &[Copy]) -> Left {
    let (said, next) = step(known, position, done, Step::BuiltIn);
    let current: Vec<&Copy> = copies.iter().filter(|c| c.is_current).collect();
    if !said.done && !current.is_empty() && current.iter().all(|c| c.state == State::BuiltIn) {
        return (stage(said.what, true, None, "yes"), None);
    }
    (said, next)
}

/// The latest word on each, of the days since it was built in.
fn set(done: &[(Date, Done)]) -> Option<Set> {
    let all = || done.iter().filter(|(_, done)| done.step == Step::BuiltIn);
    let mm = |both: [Length; 2]| both.map(Length::as_mm);
    let said =
        |(_, done): &&(Date, Done)| done.gaps.is_some() || done.action.is_some() || done.heard.is_some();
    let (on, _) = all().rfind(said)?;
    Some(Set {
        on: on.to_string(),
        gaps_mm: all().rev().find_map(|(_, done)| done.gaps).map(mm),
        action_mm: all().rev().find_map(|(_, done)| done.action).map(mm),
        heard: all().rev().find_map(|(_, done)| done.heard.clone()),
    })
}

fn how_it_was_set(known: &Known, position: &str) -> Next {
    Next {
        what: "write down how it is set and what you hear".into(),
        why: "strings get changed and screws turned: then you can set it as it was".into(),
        how: command(
            known,
            "done",
            &format!(" {position} built-in --gaps BASS TREBLE --action BASS TREBLE --heard WORDS"),
        ),
    }
}
