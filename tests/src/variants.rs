//! Many versions of one family, as somebody tries sizes out.

use bobbinwright_core::Prepared;
use bobbinwright_spec::{FAMILY_FILE, Family, READINGS_FILE, SourceFile};

use crate::folder;

/// The tidewick in so many versions: wall and height differ from each to the next.
pub struct Variants {
    family: String,
    readings: String,
    /// How many there are.
    pub count: usize,
}

impl Variants {
    /// # Panics
    ///
    /// When the demo's files can't be read.
    pub fn new(count: usize) -> Self {
        let text = |file: &str| {
            std::fs::read_to_string(folder("tidewick").join(file)).unwrap_or_else(|e| panic!("{file}: {e}"))
        };
        Self { family: text(FAMILY_FILE), readings: text(READINGS_FILE), count }
    }

    /// One of them, from its texts to its checks.
    ///
    /// # Panics
    ///
    /// When it can't be built.
    pub fn prepared(&self, index: usize) -> Prepared {
        let (wall, height) = (1.8 + 0.0005 * index as f64, 18.0 + 0.001 * index as f64);
        let changed = self.family.replace("wall: mm(2.0)", &format!("wall: mm({wall:.4})"));
        let changed = changed.replace("height: mm(18.5)", &format!("height: mm({height:.3})"));
        let file = |name: &str, text: String| SourceFile { name: name.to_owned(), text };
        let readings = file(READINGS_FILE, self.readings.clone());
        let family = Family::read("variant", file(FAMILY_FILE, changed), readings);
        family.and_then(Prepared::new).unwrap_or_else(|problems| panic!("{problems}"))
    }
}
