//! Readings as another log would have them.

use crate::entry::{NewReading, NewTool};
use crate::how::How;
use crate::live::readings_as_printed;
use crate::log::Matter;
use crate::quantity::Quantity;
use crate::{Survey, Unit};

impl Survey {
    /// The readings of a quantity that count and were taken of the thing itself after so many entries of
    /// the log, as entries for another log, in which it is called `name` and the thing `spot`; each with
    /// the tool's entry. None when the thing was read afresh since: it is not what it was.
    pub fn as_entries(
        &self,
        quantity: &Quantity,
        after: usize,
        name: &str,
        spot: &str,
    ) -> Vec<(NewTool, NewReading)> {
        let live = readings_as_printed(self.log());
        let of_it = live.into_iter().filter(|(e, r)| r.quantity == *quantity && e.number > after);
        let of_it: Vec<_> = of_it.collect();
        if self.was_changed(quantity, after) {
            return Vec::new();
        }
        let of_it = of_it.into_iter();
        let entries = of_it.filter_map(|(entry, reading)| {
            let How::Direct(jaws) = reading.how else { return None };
            let Matter::Tool(tool) = &self.log().entries.get(reading.tool?)?.matter else { return None };
            let got = reading.values.iter().map(|v| figure(v.as_mm()));
            let new = NewReading {
                on: entry.on,
                of: name.to_owned(),
                with: Some(tool.name.clone()),
                how: Some(jaws.word().to_owned()),
                within: None,
                spot: Some(spot.to_owned()),
                afresh: false,
                unit: Unit::Mm,
                got: got.collect(),
            };
            Some((NewTool { on: entry.on, tool: tool.clone(), unit: Unit::Mm }, new))
        });
        entries.collect()
    }
}

/// Digits of a figure in mm, to a tenth of a micrometre.
fn figure(mm: f64) -> String {
    let text = format!("{mm:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
