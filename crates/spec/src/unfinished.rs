//! Parts of which nobody said what they are finished with.

use crate::part::PartKind;
use crate::prints::part_name;
use crate::survey::Survey;

impl Survey {
    /// Why no copy of a part can be said to be finished; none where what its finish is stands in the file.
    pub fn has_no_finish(&self, position: &str, part: PartKind) -> Option<String> {
        let name = part_name(position, part);
        if !matches!(part, PartKind::Cover | PartKind::Baseplate) {
            return Some(format!("{name} lies inside, and nothing of it is finished"));
        }
        let path = format!("finish.{}", part.name());
        self.written_at(position, &path).is_none().then(|| {
            format!("nothing says what {name} is finished with, and so how much it gains: want {path} first (sanded, or painted)")
        })
    }
}
