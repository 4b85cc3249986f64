//! Which readings a family needs, and which of them it lacks.

use crate::ears;
use crate::measured::Measured;
use crate::problem::{Problem, SourceFile, Span};
use crate::quantity::{InstrumentQuantity as I, PositionQuantity as P, Quantity};
use crate::screws::{self, Asked};
use crate::series::Taken;
use crate::strings;
use crate::wanted::Side;
use crate::written::{Written, WrittenPosition};
use crate::{Estimate, Origin};

/// A quantity, and what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Surveyed {
    /// The quantity.
    pub quantity: Quantity,
    /// Without it there are no parts.
    pub missing: bool,
    /// Its value with its doubt, when there is one.
    pub estimate: Option<Estimate>,
    /// How often it was read; none when it was not, or is stated on a packet.
    pub taken: Option<Taken>,
    /// At which edges of the rout strings were read, in the person's words; none where it was over the middle line.
    pub at_edges: Vec<String>,
    /// Where something is taken to be that is asked for, but need not be read: `on the middle line`.
    pub until_read: Option<&'static str>,
    /// It was read, but in a way that needs this diameter, which is not known.
    pub waits_for: Option<Quantity>,
}

/// What is planned is taken so.
const AS_PLANNED: &str = "as it is planned";

impl Surveyed {
    /// Nothing is there yet to read; it is known as it is meant to be.
    pub fn is_planned(&self) -> bool {
        self.until_read == Some(AS_PLANNED)
    }

    /// What was not read and need not be.
    pub fn unread(quantity: Quantity) -> Self {
        Self {
            quantity,
            missing: false,
            estimate: None,
            taken: None,
            at_edges: Vec::new(),
            until_read: None,
            waits_for: None,
        }
    }

    /// A quantity that must be there, and what is known of it.
    pub(crate) fn of(quantity: Quantity, measured: &Measured) -> Self {
        let estimate = measured.estimates.get(&quantity).cloned();
        let taken = measured.taken.get(&quantity).copied();
        let waits_for = measured.waiting.get(&quantity).filter(|_| estimate.is_none()).cloned();
        let spots = measured.at_edges.get(&quantity).into_iter().flatten();
        let at_edges = spots.filter_map(|at| at.words.clone()).collect();
        let is_planned = |e: &Estimate| {
            e.contributions().any(|(cause, _)| {
                let doubt = measured.doubts.get(cause);
                doubt.is_some_and(|d| d.origin == Origin::Planned && d.quantity.as_ref() == Some(&quantity))
            })
        };
        let until_read = estimate.as_ref().filter(|e| is_planned(e)).map(|_| AS_PLANNED);
        Self { missing: estimate.is_none(), quantity, estimate, taken, at_edges, until_read, waits_for }
    }

    /// Name and meaning; and, when it was read but can't be worked out, what it waits for.
    pub fn line(&self) -> String {
        let (name, what) = (&self.quantity, self.quantity.describe());
        match &self.waits_for {
            Some(diameter) => format!("{name}: {what}; it was read, but needs {diameter}"),
            None => format!("{name}: {what}"),
        }
    }
}

/// Everything that the family needs, in the order in which it is measured best: the strings, what was bought, then position by
/// position; after all of that what the log knows beyond it, so that no number on a sheet becomes another one's by what is
/// read meanwhile.
pub(crate) fn all(written: &Written, measured: &Measured) -> Vec<Surveyed> {
    let mut all: Vec<Surveyed> = Vec::new();
    // First of all: what is read over strings is worked out with their diameters.
    for quantity in (1..=written.strings).map(I::Gauge).chain(I::BOUGHT) {
        enter(&mut all, measured, Quantity::Instrument(quantity), true);
    }
    for position in &written.positions {
        let at = |q| Quantity::At(position.name.clone(), q);
        let lacking = strings::lacking(measured, &position.name, written.strings);
        for quantity in rout(position).into_iter().map(at) {
            enter(&mut all, measured, quantity, true);
        }
        let places = screws::asked(&position.rout).into_iter().chain(ears::asked(&position.rout));
        for Asked { usual, instead, until_read } in places {
            let known = instead.iter().find(|q| measured.estimates.contains_key(&at(**q)));
            let waits = || instead.iter().find(|q| measured.waiting.contains_key(&at(**q)));
            let told = known.or_else(waits).copied();
            let asked = at(told.unwrap_or(usual));
            if !all.iter().any(|s| s.quantity == asked) {
                ask(&mut all, measured, asked, until_read);
            }
        }
        let [usual, others] = over(written.strings).map(|all| all.into_iter().map(at));
        for quantity in usual {
            let must = matches!(quantity, Quantity::At(_, P::StringHeight(_))) || lacking.contains(&quantity);
            enter(&mut all, measured, quantity, must);
        }
        for quantity in others.filter(|quantity| lacking.contains(quantity)) {
            enter(&mut all, measured, quantity, true);
        }
    }
    // Nut and bridge serve where the spacings over a position were not read.
    let spread = [I::NutSpread, I::BridgeSpread, I::Scale].map(Quantity::Instrument);
    let over_positions = written.positions.iter().flat_map(|position| {
        let [_, others] = over(written.strings);
        others.into_iter().map(|q| Quantity::At(position.name.clone(), q))
    });
    let beyond = measured.estimates.keys().filter(|q| matches!(q, Quantity::At(..))).cloned();
    for quantity in spread.into_iter().chain(over_positions).chain(beyond) {
        enter(&mut all, measured, quantity, false);
    }
    let read = measured.estimates.keys().chain(measured.waiting.keys());
    for quantity in read.filter(|q| matches!(q, Quantity::Piece(..))) {
        if !all.iter().any(|s| s.quantity == *quantity) {
            let known = Surveyed::of(quantity.clone(), measured);
            // A part can be made whether or not one was measured.
            all.push(Surveyed { missing: false, ..known });
        }
    }
    all
}

/// Adds a quantity once, if it must be measured or has been.
fn enter(all: &mut Vec<Surveyed>, measured: &Measured, quantity: Quantity, must: bool) {
    let known = measured.estimates.contains_key(&quantity);
    if (known || must) && !all.iter().any(|s| s.quantity == quantity) {
        all.push(Surveyed::of(quantity, measured));
    }
}

/// Adds a quantity whose place something usual takes until it is read; nothing where it must be read.
fn ask(all: &mut Vec<Surveyed>, measured: &Measured, quantity: Quantity, until_read: Option<&'static str>) {
    let known = Surveyed::of(quantity, measured);
    let unread = known.estimate.is_none() && known.waits_for.is_none();
    let missing = known.missing && until_read.is_none();
    all.push(Surveyed { missing, until_read: until_read.filter(|_| unread).or(known.until_read), ..known });
}

/// What the body has at a position.
fn rout(position: &WrittenPosition) -> Vec<P> {
    let rout = &position.rout;
    let mut need = vec![P::RoutLength, P::RoutWidth, P::RoutCornerRadius, P::RoutDepth, P::ScrewHole];
    if !rout.outline.is_square() {
        need.extend([P::Diagonal(Side::Treble), P::Diagonal(Side::Bass)]);
    }
    need.extend(rout.is_usual().then_some(P::ScrewPitch));
    if !rout.ears.is_empty() {
        need.extend([P::EarLength, P::EarWidth, P::EarDepth, P::EarCornerRadius]);
    }
    if rout.channel.is_some() {
        need.push(P::ChannelOffset);
    }
    need
}

/// What is read of the strings over a position, and what can be read too or instead.
fn over(strings: usize) -> [Vec<P>; 2] {
    let mut usual = vec![P::StringHeight(1), P::StringHeight(strings), P::BassSide];
    usual.extend((1..strings).map(|n| P::StringPair(n, n + 1)));
    [usual, vec![P::TrebleSide, P::StringPair(1, strings)]]
}

/// The list of missing readings as one problem at the log's end.
pub(crate) fn problem(missing: &[&Surveyed], file: usize, source: &SourceFile) -> Problem {
    let names: Vec<String> = missing.iter().map(|s| format!("\n  {}", s.line())).collect();
    let count = missing.len();
    let verb = if count == 1 { "quantity has" } else { "quantities have" };
    let end = source.text.trim_end().len();
    let span = Span { file, start: end, end };
    let hint = format!(
        "add a line for each at the end of the log: reading(on: \"2026-10-03\", of: \"{}\", got: mm([ … ]))",
        missing[0].quantity
    );
    Problem::error(span, format!("{count} {verb} not been measured yet:{}", names.concat())).hint(hint)
}
