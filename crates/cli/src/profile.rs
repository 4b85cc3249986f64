//! A printer's profile in words.

use std::fmt::Write;

use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{PrinterSurvey, Quantity, Surveyed, Unit, closest};
use bobbinwright_words::{what_it_does, where_from, with_doubt};

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
        say::text(changes::of_known(quantity, find(&before, quantity), find(&after, quantity), Unit::Mm));
    }
    if let Some(Quantity::Coupon(size)) = quantity
        && !after.coupon.sizes().contains(size)
    {
        let near = closest(&size.to_string(), after.coupon.sizes().iter().map(ToString::to_string));
        let near = near.map_or(String::new(), |near| format!(" If {near} was meant, withdraw it."));
        say::line(format_args!("{size} is no size of this coupon; it counts as one of another part.{near}"));
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
    let _ = writeln!(
        out,
        "What {} makes of what is drawn, by {}; mm, ± standard uncertainty:",
        now.name,
        where_from(now)
    );
    let before = was.map(|was| what_it_does(was, Unit::Mm));
    for (i, (label, e)) in what_it_does(now, Unit::Mm).into_iter().enumerate() {
        let shown = with_doubt(&e, Unit::Mm);
        let before = before.as_ref().map(|b| with_doubt(&b[i].1, Unit::Mm)).filter(|b| *b != shown);
        let before = before.map_or(String::new(), |b| format!("   before {b}"));
        let _ = writeln!(out, "  {label:<43} {shown:>13}{before}");
    }
    let _ = writeln!(out, "  one print of a part differs from the next by ± {:.2}", now.scatter.one.as_mm());
    out
}
