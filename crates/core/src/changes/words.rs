//! Changes in sentences.

use std::fmt::Write;

use bobbinwright_fit::{Check, Verdict};
use bobbinwright_geometry::{Difference, Role};
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::{Handed, Length, PartKind, Unit};

use super::{Changes, PartChange, PositionChanges, SizeChange};
use bobbinwright_words::{doubt, margin, percent, rough};

impl SizeChange {
    /// `neck.cover.length: 91.84 mm, before 91.54 mm`.
    pub fn line(&self, unit: Unit) -> String {
        let name = format!("{}.{}", self.position, self.size);
        let shown = |length: Option<Length>| length.map(|l| unit.shown(l));
        match (shown(self.before), shown(self.now)) {
            (Some(before), Some(now)) => format!("{name}: {now}, before {before}"),
            (None, Some(now)) => format!("{name}: {now}, new"),
            (before, _) => {
                format!("{name}: gone{}", before.map_or(String::new(), |b| format!(", before {b}")))
            }
        }
    }
}

impl PartChange {
    /// What became of the part.
    pub fn what(&self, unit: Unit) -> String {
        if !self.is_there && self.copy.is_some() {
            "how it was drawn is not known".to_owned()
        } else if !self.is_there {
            format!("not {} yet", self.way().done)
        } else if self.found.is_none() {
            "drawn as before".to_owned()
        } else if self.is_small() {
            format!("drawn as before, to {}", unit.shown(unit.step()))
        } else {
            changed(&self.found, self.later.1.handed, unit)
        }
    }

    /// Whether a printed one can stay, and why.
    pub fn still_good(&self, unit: Unit) -> String {
        let of = |check: &Check| {
            let (margin, u) = (margin(check.margin.value(), unit), check.margin.uncertainty());
            format!("{margin} ± {} {}, {}", doubt(u, unit), unit.short(), check.title)
        };
        if !self.is_there && self.copy.is_some() {
            return "whether it still fits can't be said, so it counts as not there".into();
        }
        let Way { make, done } = self.way();
        if !self.is_there {
            return format!("{make} it");
        }
        match (&self.choice.worst, self.choice.stays) {
            (None, true) => format!("keep a {done} one: nothing hangs on it"),
            (Some(worst), true) => match worst.verdict {
                Verdict::Fits => format!("keep a {done} one, it still fits ({})", of(worst)),
                Verdict::TooClose => format!("try a {done} one, it may still fit ({})", of(worst)),
                Verdict::Clashes => {
                    format!("a {done} one clashes, which a new one would not mend ({})", of(worst))
                }
            },
            (Some(worst), false) => match worst.verdict {
                Verdict::Clashes => format!("{make} it again: a {done} one clashes ({})", of(worst)),
                Verdict::TooClose => {
                    format!("{make} it again: whether a {done} one fits is too close to call ({})", of(worst))
                }
                Verdict::Fits => format!("{make} it again, to go with the others ({})", of(worst)),
            },
            (None, false) => format!("{make} it again"),
        }
    }

    fn is_cut(&self) -> bool {
        self.later.1.wanted.sheet(self.choice.kind).is_some()
    }

    /// As it would be made now, and as the one was that lies there.
    fn way(&self) -> Way {
        let there = if self.is_there { &self.earlier } else { &self.later };
        let was_cut = there.1.wanted.sheet(self.choice.kind).is_some();
        Way {
            make: if self.is_cut() { "cut" } else { "print" },
            done: if was_cut { "cut" } else { "printed" },
        }
    }
}

/// How a part is made, in words.
struct Way {
    make: &'static str,
    done: &'static str,
}

/// `print cover, baseplate again, cut flatwork-top again`.
fn made(parts: &[&PartChange], again: &str) -> String {
    let of = |is_cut: bool| {
        let parts: Vec<&&PartChange> = parts.iter().filter(|p| p.is_cut() == is_cut).collect();
        let names: Vec<&str> = parts.iter().map(|p| p.choice.kind.name()).collect();
        parts.first().map(|part| format!("{} {}{again}", part.way().make, names.join(", ")))
    };
    [of(false), of(true)].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

impl PositionChanges {
    /// What to make again, in one sentence.
    pub fn what_to_do(&self, unit: Unit) -> String {
        let those = |is_one: &dyn Fn(&PartChange) -> bool| -> Vec<&PartChange> {
            self.parts.iter().filter(|p| is_one(p)).collect()
        };
        let names =
            |of: &[&PartChange]| of.iter().map(|p| p.choice.kind.name()).collect::<Vec<_>>().join(", ");
        let keep = those(&|p| p.choice.stays);
        let again = those(&|p| !p.choice.stays && p.is_there);
        let unknown = those(&|p| !p.is_there && p.copy.is_some());
        let new = those(&|p| !p.is_there && p.copy.is_none());
        let is_any_cut = self.parts.iter().any(PartChange::is_cut);
        let [make, made_so] = if is_any_cut { ["make", "made"] } else { ["print", "printed"] };
        let all_stay = if is_any_cut { "all parts can stay" } else { "all printed parts can stay" };
        let what = match (&keep[..], &again[..], &new[..]) {
            (_, [], []) => all_stay.to_owned(),
            (_, [], new) => format!("{all_stay}; {}, not {made_so} yet", made(new, "")),
            ([], _, []) => format!("{make} all parts again"),
            (keep, again, new) => {
                let keep = if keep.is_empty() { String::new() } else { format!(", keep {}", names(keep)) };
                let new = if new.is_empty() {
                    String::new()
                } else {
                    format!(", and {}, not {made_so} yet", names(new))
                };
                format!("{}{new}{keep}", made(again, " again"))
            }
        };
        let what = match &unknown[..] {
            [] => what,
            all => format!("{what}; how {} was drawn is not known, {make} it again to be sure", names(all)),
        };
        let so = match self.verdict {
            Verdict::Fits => format!("together they fit, with a chance of {}", at_least(self.chance)),
            Verdict::TooClose => "whether they fit together is too close to call".to_owned(),
            Verdict::Clashes => format!("but something clashes whatever is {made_so}: see check"),
        };
        let making = self.making.as_ref().map_or(String::new(), |c| {
            let (margin, unit) = (margin(c.margin.value(), unit), unit.short());
            format!(" But check says of the new ones: {} ({}, {margin} {unit}).", c.title, c.verdict.word())
        });
        let is_again = |p: &PartChange| {
            !p.choice.stays
                && p.is_there
                && matches!(p.choice.kind, PartKind::FlatworkBottom | PartKind::FlatworkTop)
        };
        let coil = if self.is_wound && self.parts.iter().any(is_again) {
            " The coil that is wound is on a plate that does not stay: it is wound anew."
        } else {
            ""
        };
        format!("{}: {what}; {so}.{coil}{making}", self.name)
    }
}

impl Changes {
    /// All of it, for the screen.
    pub fn text(&self) -> String {
        let mut out = String::new();
        section(&mut out, self.what(), &self.what_to_do());
        let parts = self.positions.iter().flat_map(|p| &p.parts);
        let of = |part: &PartChange| {
            let copy = part.copy.as_ref().map_or(String::new(), |copy| {
                format!(" (copy {}, printed {} from build {})", copy.number, copy.on, copy.build)
            });
            format!("{}{copy}: {}; {}", part.id, part.what(self.unit), part.still_good(self.unit))
        };
        let parts = parts.map(of);
        let parts: Vec<String> = parts.collect();
        // Of positions that only one of the two has, all has been said.
        if !parts.is_empty() || self.new.is_empty() && self.gone.is_empty() {
            section(&mut out, "Parts", &parts);
        }
        section(&mut out, "Readings", &self.readings);
        section(&mut out, "Wanted", &self.wanted);
        let sizes: Vec<String> = self.sizes.iter().map(|size| size.line(self.unit)).collect();
        section(&mut out, "Sizes that follow", &sizes);
        out
    }

    /// What [`Changes::what_to_do`] is about.
    pub fn what(&self) -> &'static str {
        if self.is_any_cut() { "What to print and cut" } else { "What to print" }
    }

    fn is_any_cut(&self) -> bool {
        self.positions.iter().flat_map(|p| &p.parts).any(PartChange::is_cut)
    }

    /// What to make again, a line for each position.
    pub fn what_to_do(&self) -> Vec<String> {
        let both = self.positions.iter().map(|p| p.what_to_do(self.unit));
        let new = self.new.iter().map(|name| format!("{name}: all parts are new."));
        let gone = self.gone.iter().map(|name| format!("{name}: all parts are gone."));
        let first = self.contradicted.iter().map(|of| {
            format!("First read {of} again, and what was read beside it: readings contradict each other, and what is said below hangs on them.")
        });
        let mut all: Vec<String> = first.chain(both).chain(new).chain(gone).collect();
        let kept = self.changed_parts().filter(|p| p.choice.stays).map(|p| p.id.as_str());
        let kept: Vec<&str> = kept.collect();
        if !kept.is_empty() && !self.wanted.is_empty() {
            let which = kept.join(", ");
            let ones = if self.is_any_cut() { "ones" } else { "prints" };
            all.push(format!("What is wanted otherwise shows only on new {ones}: {which} would change."));
        }
        if self.printer {
            all.push(
                "What is printed was drawn for the printer as it was known then: inspect it before you keep it."
                    .to_owned(),
            );
        }
        all
    }
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        let _ = writeln!(out, "{title}: nothing changed.");
    } else {
        let _ = writeln!(out, "{title}:\n  {}", lines.join("\n  "));
    }
}

fn changed(found: &Difference, handed: Handed, unit: Unit) -> String {
    let mut text = format!("{} off, {} on", volume(found.removed), volume(found.added));
    if let Some(most) = found.moved.first() {
        let at = if most.level > most.plan {
            String::new()
        } else {
            format!(", {}", from_middle(most.at, handed, unit))
        };
        let far = unit.shown(Length::from_mm(most.distance));
        let _ = write!(text, ", surfaces move by up to {far} ({}{at})", most.role.name());
    }
    for (roles, word) in [(&found.new, "new"), (&found.gone, "gone")] {
        if !roles.is_empty() {
            let _ = write!(text, ", {word}: {}", counted(roles));
        }
    }
    text
}

fn at_least(chance: f64) -> String {
    let words = percent(chance);
    match words.strip_prefix('>') {
        Some(more) => format!("more than{more}"),
        None => format!("at least {words}"),
    }
}

/// Where a place is, from the part's middle: `43 mm towards treble, 16 mm towards the bridge`. To find it, whole
/// millimetres do.
pub fn from_middle(at: Point, handed: Handed, unit: Unit) -> String {
    let [left, right] = handed.ends();
    let along = (at.x.abs(), if at.x < 0.0 { left } else { right });
    let across = (at.y.abs(), if at.y < 0.0 { "the bridge" } else { "the neck" });
    let far = [along, across].into_iter().filter(|(mm, _)| *mm >= 0.5);
    let shown = |mm: f64| match unit {
        Unit::Mm => format!("{mm:.0} mm"),
        Unit::Inch => rough(Length::from_mm(mm), unit),
    };
    let words: Vec<String> = far.map(|(mm, to)| format!("{} towards {to}", shown(mm))).collect();
    if words.is_empty() { "in the middle".into() } else { words.join(", ") }
}

/// `6 pole holes, lip`.
fn counted(roles: &[Role]) -> String {
    let mut all: Vec<(Role, usize)> = Vec::new();
    for role in roles {
        match all.iter_mut().find(|(known, _)| known == role) {
            Some((_, count)) => *count += 1,
            None => all.push((*role, 1)),
        }
    }
    let words = all.into_iter().map(|(role, count)| match count {
        1 => role.name().to_owned(),
        n => format!("{n} {}s", role.name()),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// Small volumes to a tenth.
fn volume(mm3: f64) -> String {
    if mm3 > 0.0 && mm3 < 10.0 { format!("{mm3:.1} mm³") } else { format!("{mm3:.0} mm³") }
}
