//! Which readings a family needs, and which of them it lacks.

use crate::measured::Measured;
use crate::problem::{Problem, SourceFile, Span};
use crate::quantity::{InstrumentQuantity, PositionQuantity as P, Quantity};
use crate::strings;
use crate::written::Written;

/// What the log does not know yet, in the order in which it is measured best.
pub(crate) fn missing(written: &Written, measured: &Measured) -> Vec<Quantity> {
    let mut missing = Vec::new();
    for position in &written.positions {
        let at = |q| Quantity::At(position.name.clone(), q);
        let mut need = vec![
            P::RoutLength,
            P::RoutWidth,
            P::RoutCornerRadius,
            P::RoutDepth,
            P::ScrewHole,
            P::ScrewPitch,
            P::StringHeight(1),
            P::StringHeight(written.strings),
        ];
        if position.rout_has_ears {
            need.extend([P::EarLength, P::EarWidth, P::EarDepth, P::EarCornerRadius]);
        }
        if position.channel.is_some() {
            need.push(P::ChannelOffset);
        }
        let lacks = need.into_iter().map(at).filter(|q| !measured.estimates.contains_key(q));
        missing.extend(lacks);
        let lacking = strings::lacking(measured, &position.name, written.strings);
        for quantity in lacking {
            if !missing.contains(&quantity) {
                missing.push(quantity);
            }
        }
    }
    let gauges = (1..=written.strings).map(InstrumentQuantity::Gauge);
    let hardware = [
        InstrumentQuantity::RodDiameter,
        InstrumentQuantity::RodLength,
        InstrumentQuantity::EyeletBarrel,
        InstrumentQuantity::EyeletFlange,
        InstrumentQuantity::ScrewDiameter,
        InstrumentQuantity::ScrewHead,
        InstrumentQuantity::ScrewHeadHeight,
        InstrumentQuantity::LeadDiameter,
    ];
    let instrument = gauges.chain(hardware).map(Quantity::Instrument);
    missing.extend(instrument.filter(|q| !measured.estimates.contains_key(q)));
    missing
}

/// The list of missing readings as one problem at the log's end.
pub(crate) fn problem(missing: &[Quantity], file: usize, source: &SourceFile) -> Problem {
    let names: Vec<String> = missing.iter().map(|q| format!("\n  {q}: {}", q.describe())).collect();
    let count = missing.len();
    let verb = if count == 1 { "quantity has" } else { "quantities have" };
    let end = source.text.trim_end().len();
    let span = Span { file, start: end, end };
    let hint = format!(
        "add a line for each at the end of the log: reading(on: \"2026-10-03\", of: \"{}\", got: mm([ … ]))",
        missing[0]
    );
    Problem::error(span, format!("{count} {verb} not been measured yet:{}", names.concat())).hint(hint)
}
