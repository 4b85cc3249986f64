//! The tool that a reading is taken with where nobody says which.

use crate::log::{Log, Matter};
use crate::{InstrumentQuantity, Length, PositionQuantity, Quantity};

/// Index in the log, name and resolution of every tool.
pub(crate) fn tools(log: &Log) -> Vec<(usize, String, Length)> {
    let tool = |(i, e): (usize, &crate::log::Entry)| match &e.matter {
        Matter::Tool(tool) => Some((i, tool.name.clone(), tool.resolution)),
        _ => None,
    };
    log.entries.iter().enumerate().filter_map(tool).collect()
}

/// What no jaws reach: from the middle of something, or further than a caliper opens.
pub(crate) fn is_by_rule(quantity: &Quantity) -> bool {
    matches!(
        quantity,
        Quantity::Instrument(InstrumentQuantity::Scale)
            | Quantity::At(_, PositionQuantity::BridgeDistance | PositionQuantity::ChannelOffset)
    )
}

/// The tool that a thing was read with last, or else the finest; of equally fine ones the last. By a rule it is the coarsest.
pub(crate) fn usual_tool(
    tools: &[(usize, String, Length)],
    taken: Option<usize>,
    by_rule: bool,
) -> Option<&str> {
    let last = taken.and_then(|t| tools.iter().find(|tool| tool.0 == t));
    let step = |tool: &(usize, String, Length)| tool.2.as_mm();
    let coarsest = || tools.iter().max_by(|a, b| step(a).total_cmp(&step(b)));
    let finest = || tools.iter().rev().min_by(|a, b| step(a).total_cmp(&step(b)));
    last.or_else(|| if by_rule { coarsest() } else { finest() }).map(|tool| tool.1.as_str())
}
