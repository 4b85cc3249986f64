//! A printer's profile in words.

use std::fmt::Write;

use bobbinwright_spec::printer::profile::{Profile, Source};
use bobbinwright_spec::{Estimate, PrinterSurvey, Quantity, Surveyed};

use crate::{changes, complain, say};

/// Says what a new entry in a printer's log changes.
pub(crate) fn tell(before: PrinterSurvey, after: PrinterSurvey, quantity: Option<&Quantity>) {
    let moved = after.sizes.iter().map(|s| &s.quantity);
    let find = |survey: &PrinterSurvey, q: &Quantity| -> Option<Surveyed> {
        survey.sizes.iter().find(|s| s.quantity == *q).cloned()
    };
    let differs = |q: &&Quantity| {
        let of = |s: &PrinterSurvey| find(s, q).map(|known| known.taken);
        Some(*q) == quantity || of(&before) != of(&after)
    };
    for quantity in moved.filter(differs) {
        say::text(changes::of_known(quantity, find(&before, quantity), find(&after, quantity)));
    }
    let missing = after.missing().count();
    if missing > 0 && after.is_begun() {
        let next = after.missing().next().map(Surveyed::line).unwrap_or_default();
        say::line(format_args!(
            "{missing} of the coupon's {} sizes are still to be read; next: {next}.",
            after.coupon.sizes().len()
        ));
        return;
    }
    let files = after.problems.files.clone();
    let was = before.printer().ok();
    match after.printer() {
        Ok(now) => {
            let known = was.as_ref().map_or(&[][..], |was| &was.notices[..]);
            complain::each(&files, now.notices.iter().filter(|n| !known.contains(n)));
            let was = was.as_ref().and_then(|was| was.printer.profile());
            if let Some(now) = now.printer.profile() {
                say::text(compared(now, was));
            }
        }
        Err(problems) => complain::each(&problems.files, &problems.all),
    }
}

/// The profile's figures, beside an earlier one's where these differ.
pub(crate) fn compared(now: &Profile, was: Option<&Profile>) -> String {
    let mut out = String::new();
    // Writing to a String does not fail.
    let _ = writeln!(out, "What {} does, by {}, mm:", now.name, origin(now));
    for (i, (label, e)) in figures(now).into_iter().enumerate() {
        let before = was.map(|w| figures(w)[i].1.clone()).filter(|b| pm(b) != pm(e));
        let before = before.map_or(String::new(), |b| format!(", before {}", pm(&b)));
        let _ = writeln!(out, "  {label:<42} {}{before}", pm(e));
    }
    let _ = writeln!(out, "  the same part printed again differs by ± {:.2}", now.scatter.one.as_mm());
    out
}

fn origin(profile: &Profile) -> String {
    match profile.source {
        Source::Usual(material) => format!("what is usual for {} (common practice)", material.title()),
        Source::Coupon { sizes, last } => format!("{sizes} sizes read, the last on {last}"),
    }
}

fn figures(p: &Profile) -> [(&'static str, &Estimate); 8] {
    [
        ("100 mm along x come out longer by", &p.stretch[0]),
        ("100 mm along y come out longer by", &p.stretch[1]),
        ("100 mm upwards come out longer by", &p.stretch[2]),
        ("walls stand out further by", &p.growth),
        ("holes lose of their diameter", &p.hole_far),
        ("a hole of 3 mm loses besides", &p.hole_near),
        ("the first layer spreads on each side by", &p.foot),
        ("heights over the bed come out higher by", &p.lift),
    ]
}

fn pm(e: &Estimate) -> String {
    let value = format!("{:+.2}", e.value().as_mm());
    let value = if value == "-0.00" { "+0.00".to_owned() } else { value };
    format!("{value} ± {:.2}", e.uncertainty().as_mm())
}
