//! What a family's file says of its rods.

use crate::Length;
use crate::coil::Mistaken;
use crate::reader::Record;
use crate::wanted::Poles;
use crate::written::Taker;

impl Taker<'_> {
    /// One rod under each string, or two; none after a mistake, which has been noted.
    pub fn poles(&mut self, record: &mut Record) -> Option<Poles> {
        record.need("poles", "pair(spread: mm(5.0)), or single", self.noted)?;
        match record.tag("poles")? {
            ("single", _) => Some(Poles::Single),
            ("pair", _) => {
                let mut pair = record.sub("poles", self.noted)?;
                let spread = self.need(&mut pair, "spread");
                pair.finish(self.noted);
                Some(Poles::Pair { spread: spread? })
            }
            (_, span) => {
                self.noted.error(
                    span,
                    "poles: one rod or two under each string?",
                    "write single, or pair(spread: mm(5.0))",
                );
                None
            }
        }
    }

    /// Where the row is, when that is stated.
    pub fn row(&mut self, record: &mut Record) -> Result<Option<Length>, Mistaken> {
        if record.get("row").is_none() {
            return Ok(None);
        }
        let before = self.noted.errors();
        let mut row = record.sub("row", self.noted).ok_or(Mistaken)?;
        let offset = self.optional(&mut row, "offset");
        row.finish(self.noted);
        if self.noted.errors() == before { Ok(offset) } else { Err(Mistaken) }
    }
}
