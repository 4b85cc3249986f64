//! Readings that are not needed, and would check others.

use crate::needed::Surveyed;
use crate::survey::Survey;

/// What nobody needs, but can be read to check the rest.
const OPTIONAL: [&str; 3] = ["nut.spread", "bridge.spread", "scale"];

impl Survey {
    /// Readings that are not needed and were not taken, but would check others: by how strings fan out from nut to
    /// bridge, their distances can be foretold.
    pub fn optional(&self) -> Vec<Surveyed> {
        let last = self.strings;
        let pairs = (1..last).map(|n| (n, n + 1)).chain([(1, last)]);
        let across = pairs.map(|(a, b)| format!("strings.{a}-{b}"));
        let along = [
            "distance",
            "rout.diagonal.treble",
            "rout.diagonal.bass",
            "strings.bass_side",
            "strings.treble_side",
        ]
        .map(str::to_owned);
        let of_each: Vec<String> = along.into_iter().chain(across).collect();
        let of =
            |position: &str| of_each.iter().map(move |what| format!("{position}.{what}")).collect::<Vec<_>>();
        let names =
            OPTIONAL.map(str::to_owned).into_iter().chain(self.positions.iter().flat_map(|p| of(&p.name)));
        let new = |name: String| {
            let quantity = self.quantity(&name).ok()?;
            let is_known = self.quantities.iter().any(|q| q.quantity == quantity);
            (!is_known).then_some(Surveyed::unread(quantity))
        };
        names.filter_map(new).collect()
    }
}
