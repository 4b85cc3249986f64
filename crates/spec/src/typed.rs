//! Lengths in the words of somebody who typed them: in inches where inches were typed.

use crate::Length;
use crate::node::Node;
use bobbinwright_elementary::Elementary;

const INCH: f64 = 25.4;

fn in_inches(node: &Node) -> bool {
    node.tag.as_deref() == Some("inch")
}

/// `20.32 mm`, or `0.8 inch (20.32 mm)`.
pub(crate) fn length(value: Length, node: &Node) -> String {
    if !in_inches(node) {
        return value.to_string();
    }
    format!("{} inch ({value})", digits(value, node))
}

/// The figure alone, in the unit of a length that was typed.
pub(crate) fn digits(value: Length, node: &Node) -> String {
    let figure = if in_inches(node) { value.as_mm() / INCH } else { value.as_mm() };
    // Adding nought takes the sign off a nought.
    let figure = format!("{:.4}", figure + 0.0);
    figure.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `0.30 mm to 15.00 mm`, or `0.012 to 0.590 inch`, which is no more than that.
pub(crate) fn range((low, high): (Length, Length), node: &Node) -> String {
    if !in_inches(node) {
        return format!("{low} to {high}");
    }
    let (low, high) = (low.as_mm() / INCH, high.as_mm() / INCH);
    let digits = if high < 0.5 { 5 } else { 3 };
    let steps = 10f64.power(digits as i32);
    format!("{:.digits$} to {:.digits$} inch", (low * steps).ceil() / steps, (high * steps).floor() / steps)
}
