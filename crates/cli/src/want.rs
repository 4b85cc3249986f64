//! `bobbinwright want`.

use bobbinwright_clock as clock;
use bobbinwright_core::advice::{proposal, proposals};
use bobbinwright_core::bounds;
use bobbinwright_core::want::{NotWanted, Wanting, is_known, said, set_together};
use bobbinwright_export::bench;
use bobbinwright_geometry::parts::Ranges;
use bobbinwright_spec::edit::{Scope, undo};
use bobbinwright_spec::{Folder, Span, Survey, Unit, Wish, WishKind, parameter, wish as wish_of, wishes};

use crate::outcome::Outcome;
use crate::{arguments, changes, complain, family, say, table};

/// Changes what is wanted, lists it, or takes the last change back.
pub(crate) fn run(options: &arguments::Want) -> Outcome {
    if options.undo {
        return match undo(&Folder::on_disk(&options.family)) {
            Ok(edit) => {
                let again = if edit.is_of_several() {
                    "as they were".to_owned()
                } else if edit.was.is_empty() {
                    "not stated here".to_owned()
                } else {
                    said(&edit.was)
                };
                let verb = if edit.is_of_several() { "are" } else { "is" };
                say::line(format_args!("{} {verb} {again} again.", edit.path));
                Outcome::Fine
            }
            Err(e) => complain::failure(&e.to_string(), false),
        };
    }
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    if let Some(name) = &options.proposal {
        return take(options, &survey, name);
    }
    match (&options.path, &options.value) {
        (Some(path), Some(value)) => set(options, &survey, path, value),
        (Some(path), None) if !is_known(path) => {
            complain::failure(&NotWanted::unknown_in(path, &survey).to_string(), false)
        }
        _ => list(&survey, options),
    }
}

/// Sets one value, or several that go together.
fn set(options: &arguments::Want, survey: &Survey, path: &str, value: &str) -> Outcome {
    let first = survey.positions.first().map(|p| p.name.clone()).unwrap_or_default();
    let wanting = |path: &str, value: &str| {
        let scope = options.only.clone().map_or(Scope::WhereItStands(first.clone()), Scope::Only);
        Wanting { path: path.to_owned(), value: value.to_owned(), scope }
    };
    let mut all = vec![wanting(path, value)];
    for more in options.more.chunks(2) {
        let [path, value] = more else {
            return complain::failure(&format!("{} has no value: each takes one after it", more[0]), false);
        };
        all.push(wanting(path, value));
    }
    let folder = Folder::on_disk(&options.family);
    let (edit, after) = match set_together(&all, &folder, survey, clock::now(), options.anyway) {
        Ok(done) => done,
        Err(NotWanted::Problems(problems)) => return complain::wrong_input(&problems, false),
        Err(NotWanted::Refused(problems)) => {
            let outcome = complain::wrong_input(&problems, false);
            if all.len() == 1 {
                say::aside(
                    "Values that only go together are set together: bobbinwright want FAMILY PATH VALUE PATH VALUE",
                );
            }
            return outcome;
        }
        Err(e) => return complain::failure(&e.to_string(), false),
    };
    let position = options.only.as_ref().unwrap_or(&first);
    for Wanting { path, .. } in &all {
        let text = |of: &Survey| {
            of.written_at(position, path).map_or_else(|| "not stated".to_owned(), |(text, _)| said(text))
        };
        let was = text(survey);
        let now = if edit.is_of_several() { text(&after) } else { said(&edit.value) };
        say::line(format_args!("{path}: {now}, before {was}."));
    }
    say_what_turned(options, survey, &after);
    Outcome::Fine
}

/// Makes what is proposed for a check: all of its changes, as one that is taken back as one.
fn take(options: &arguments::Want, survey: &Survey, name: &str) -> Outcome {
    let folder = Folder::on_disk(&options.family);
    if survey.missing().next().is_some() {
        return complain::to_measure(survey, &options.family, false);
    }
    let built = match bench::prepared(&folder, survey, clock::now()) {
        Ok(built) => built,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    let Some(found) = proposal(&built, name) else {
        let known: Vec<String> =
            built.fit.worst_first().into_iter().flat_map(|c| proposals(&built, c)).map(|p| p.name).collect();
        let now = if known.is_empty() {
            "nothing is".to_owned()
        } else {
            format!("proposed are {}", known.join(", "))
        };
        return complain::failure(&format!("{name} is not proposed as the family is now: {now}"), false);
    };
    if let Some(piece) = found.way.bought() {
        let family = options.family.display();
        return complain::failure(
            &format!(
                "{} would have to be bought: when you have them, enter what you read with bobbinwright read {family} {piece} FIGURE FIGURE --afresh",
                found.way.words(built.family.unit())
            ),
            false,
        );
    }
    match set_together(&found.wanting(&built.family), &folder, survey, clock::now(), false) {
        Ok((_, after)) => {
            say::line(format_args!("Written: {}.", found.way.words(built.family.unit())));
            say_what_turned(options, survey, &after);
            Outcome::Fine
        }
        Err(NotWanted::Problems(problems) | NotWanted::Refused(problems)) => {
            complain::wrong_input(&problems, false)
        }
        Err(e) => complain::failure(&e.to_string(), false),
    }
}

/// What became of parts and verdicts.
fn say_what_turned(options: &arguments::Want, before: &Survey, after: &Survey) {
    let folder = Folder::on_disk(&options.family);
    let built = |survey: &Survey| bench::prepared(&folder, survey, clock::now()).ok();
    if let (Some(before), Some(now)) = (built(before), built(after)) {
        say::text(changes::of_parts(&before, &now));
        say::text(changes::of_verdicts(&before, &now));
        say::text(table::conclusion_since(&before, &now));
    }
}

/// Values with their bounds: what the parts can be made with now, everything else left as it is.
fn list(survey: &Survey, options: &arguments::Want) -> Outcome {
    let positions: Vec<String> = survey.positions.iter().map(|p| p.name.clone()).collect();
    let known = survey.clone();
    let built = bench::prepared(&Folder::on_disk(&options.family), survey, clock::now()).ok();
    let asked: Vec<Wish> =
        wishes().filter(|w| options.path.as_ref().is_none_or(|path| path == w.path)).collect();
    if let (Some(_), [wish]) = (&options.path, &asked[..]) {
        say::line(format_args!("{}: {}.", wish.path, wish.what));
    }
    let of_family = asked.iter().filter(|w| w.of_family).filter_map(|w| {
        let (text, _) = known.written_at(positions.first()?, w.path)?;
        Some((w.path, shown(w, text), can_be(w)))
    });
    let of_family: Vec<_> = of_family.collect();
    if !of_family.is_empty() {
        say::line("family:");
        for (path, text, room) in &of_family {
            row(path, text, room);
        }
    }
    let unit = built.as_ref().map_or(Unit::Mm, |built| built.family.unit());
    let mut any = false;
    let mut found: Vec<(&str, Option<Span>, Option<Ranges>)> = Vec::new();
    for (index, position) in positions.iter().enumerate() {
        if options.only.as_ref().is_some_and(|only| only != position) {
            continue;
        }
        let mut rows = Vec::new();
        for wish in asked.iter().filter(|w| !w.of_family) {
            let Some((text, _)) = known.written_at(position, wish.path) else { continue };
            let room = parameter(wish.path).zip(built.as_ref()).and_then(|(dimension, built)| {
                // A line that speaks for several positions has the same bounds at each.
                let line = built.family.origin(index, wish.path);
                let is_same = |(path, at, _): &&(&str, Option<Span>, Option<Ranges>)| {
                    *path == wish.path && line.is_some() && *at == line
                };
                if let Some((.., room)) = found.iter().find(is_same) {
                    return room.clone();
                }
                let room = bounds(built, index, dimension);
                found.push((wish.path, line, room.clone()));
                room
            });
            any |= room.is_some();
            rows.push((
                wish.path,
                shown(wish, text),
                room.map_or_else(|| can_be(wish), |r| format!("can be {} now", r.shown(unit))),
            ));
        }
        if !rows.is_empty() {
            say::line(format_args!("{position}:"));
            for (path, text, room) in &rows {
                row(path, text, room);
            }
        }
    }
    if any {
        say::line(
            "Within these bounds the parts can be made, one value changed at a time; check says whether they fit.",
        );
    }
    not_stated(&known, &positions, &asked, options.path.is_some());
    Outcome::Fine
}

/// What could be said and is not.
fn not_stated(survey: &Survey, positions: &[String], asked: &[Wish], one: bool) {
    let text = |path: &str| positions.iter().find_map(|p| survey.written_at(p, path)).map(|(text, _)| text);
    // What belongs to a group that is not there can't be said alone, nor what only ears have of bosses.
    let has_group = |wish: &&Wish| {
        let groups = wish.path.match_indices('.').map(|(at, _)| &wish.path[..at]);
        let of_ears = wish.path.starts_with("cover.mounting.");
        groups.filter_map(wish_of).all(|group| text(group.path).is_some_and(|text| text != "none"))
            && (!of_ears || text("cover.mounting").is_some_and(|text| text.starts_with("ears")))
    };
    let is_needed = |wish: &Wish| matches!(wish.kind, WishKind::Length { or_none: false });
    let silent = asked.iter().filter(|w| text(w.path).is_none());
    let silent: Vec<&Wish> = silent.filter(|w| one || (has_group(w) && !is_needed(w))).collect();
    match &silent[..] {
        [] => {}
        [wish] if one => say::line(format_args!("It is not stated; it {}.", can_be(wish))),
        all => {
            let paths: Vec<&str> = all.iter().map(|w| w.path).collect();
            say::line(format_args!("Not stated: {}.", paths.join(", ")));
            say::line("What each of them is, and what it can be, want says with its name.");
        }
    }
}

/// What is said; of a group of values, which have lines of their own, only the word before it.
fn shown<'t>(wish: &Wish, text: &'t str) -> &'t str {
    match (wish.kind, text.split_once('(')) {
        (WishKind::Words(_) | WishKind::Text, Some(("", _))) => "stated",
        (WishKind::Words(_), Some((tag, _))) => tag,
        _ => text,
    }
}

/// What can be said, where it does not hang on the parts.
fn can_be(wish: &Wish) -> String {
    match wish.kind {
        WishKind::Length { or_none } => {
            format!("can be a length{}", if or_none { ", or none" } else { "" })
        }
        WishKind::Words(words) => {
            format!("can be {}", words.iter().map(|w| w.word).collect::<Vec<_>>().join(", "))
        }
        WishKind::Number([least, most]) => format!("can be {least} to {most}"),
        WishKind::Text => String::new(),
        WishKind::Written(like) => format!("is written like {like}"),
    }
}

fn row(path: &str, text: &str, room: &str) {
    let line = format!("  {path:32} {:28} {room}", said(text));
    say::line(line.trim_end());
}
