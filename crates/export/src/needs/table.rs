//! The list in words, and as a table for other programs.

use std::fmt::Write;

use bobbinwright_spec::{Length, Unit};

use super::Item;

/// A line for each, with why it is so much below.
pub(super) fn text(items: &[Item], unit: Unit) -> String {
    let many: Vec<String> = items.iter().map(many).collect();
    let width = many.iter().map(|m| m.chars().count()).max().unwrap_or_default();
    let mut out = String::new();
    for (item, many) in items.iter().zip(&many) {
        let length = item.length.map_or(String::new(), |l| format!(", {} long", whole(l, unit)));
        // Writing to a String does not fail.
        let _ =
            writeln!(out, "{many:>width$}  {}, {}{length}  ({})", item.what, item.size, item.of.join(", "));
        if !item.why.is_empty() {
            let _ = writeln!(out, "{:width$}    {}", "", item.why);
        }
    }
    out
}

/// What is cut or sold by the millimetre needs no hundredths.
fn whole(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("{:.0} mm", length.as_mm()),
        Unit::Inch => unit.shown(length),
    }
}

/// `12`, `23.4 g`.
fn many(item: &Item) -> String {
    match (item.count, item.amount) {
        (Some(count), _) => count.to_string(),
        (None, Some((amount, unit))) => format!("{amount:.1} {unit}"),
        (None, None) => String::new(),
    }
}

/// Lines as RFC 4180 has them, with a heading; every field quoted.
pub(super) fn csv(items: &[Item]) -> String {
    let head = ["what", "pieces", "amount", "unit", "size", "length_mm", "for", "why"].map(str::to_owned);
    let line = |item: &Item| {
        let (amount, unit) = item.amount.map_or((String::new(), ""), |(a, unit)| (format!("{a:.2}"), unit));
        [
            item.what.to_owned(),
            item.count.map_or(String::new(), |n| n.to_string()),
            amount,
            unit.to_owned(),
            item.size.clone(),
            item.length.map_or(String::new(), |l| format!("{:.1}", l.as_mm())),
            item.of.join(", "),
            item.why.clone(),
        ]
    };
    std::iter::once(head)
        .chain(items.iter().map(line))
        .map(|fields| fields.map(|f| quoted(&f)).join(",") + "\r\n")
        .collect()
}

fn quoted(field: &str) -> String {
    format!("\"{}\"", field.replace('"', "\"\""))
}
