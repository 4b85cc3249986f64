//! Parts side by side on the bed, on as many plates as it takes.

use bobbinwright_spec::{Length, Printer};

/// Where a part lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its index among the parts.
    pub part: usize,
    /// The least corner of its box, from the bed's front left corner.
    pub at: [Length; 2],
}

/// A part that the bed is too small for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooLarge {
    /// Its index among the parts.
    pub part: usize,
    /// Its length, width and height as it lies.
    pub size: [Length; 3],
}

/// Does a part of this size fit the bed?
pub fn fits(size: [Length; 3], printer: &Printer) -> bool {
    size.iter().zip(&printer.bed).all(|(s, bed)| s <= bed)
}

/// Lays parts, given by length, width and height, in rows, the widest first, the printer's spacing
/// between them; what is left of the bed is shared evenly round them.
pub fn plates(sizes: &[[Length; 3]], printer: &Printer) -> Result<Vec<Vec<Place>>, TooLarge> {
    if let Some(part) = (0..sizes.len()).find(|i| !fits(sizes[*i], printer)) {
        return Err(TooLarge { part, size: sizes[part] });
    }
    let [x, y, _] = printer.bed;
    let flat: Vec<[Length; 2]> = sizes.iter().map(|size| [size[0], size[1]]).collect();
    let mut all = rows(&flat, [x, y], printer.spacing);
    for plate in &mut all {
        centre(plate, &flat, [x, y]);
    }
    Ok(all)
}

/// Lays pieces, given by length and width, all of which fit, in rows from a corner of as many beds as it takes, the widest
/// first.
pub(crate) fn rows(sizes: &[[Length; 2]], bed: [Length; 2], spacing: Length) -> Vec<Vec<Place>> {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    // Stable, so that parts of one size stay in the family's order.
    order.sort_by(|a, b| sizes[*b][1].as_mm().total_cmp(&sizes[*a][1].as_mm()));
    let (mut all, mut plate) = (Vec::new(), Plate::default());
    for part in order {
        if !plate.take(part, sizes[part], bed, spacing) {
            all.push(std::mem::take(&mut plate).places);
            plate.take(part, sizes[part], bed, spacing);
        }
    }
    if !plate.places.is_empty() {
        all.push(plate.places);
    }
    all
}

fn centre(places: &mut [Place], sizes: &[[Length; 2]], bed: [Length; 2]) {
    for axis in [0, 1] {
        let end = places.iter().map(|p| p.at[axis] + sizes[p.part][axis]);
        let left = bed[axis] - end.fold(Length::ZERO, Length::max);
        for place in &mut *places {
            place.at[axis] = place.at[axis] + left / 2.0;
        }
    }
}

/// A plate being filled, row by row.
#[derive(Default)]
struct Plate {
    places: Vec<Place>,
    /// Where the next part of the row goes.
    next: [Length; 2],
    /// Where the row ends, across.
    row_end: Length,
}

impl Plate {
    /// Puts a part in this row or the next one; false when there is no room.
    fn take(&mut self, part: usize, size: [Length; 2], bed: [Length; 2], spacing: Length) -> bool {
        if self.next[0] + size[0] > bed[0] {
            self.next = [Length::ZERO, self.row_end + spacing];
        }
        if self.next[1] + size[1] > bed[1] {
            return false;
        }
        self.places.push(Place { part, at: self.next });
        self.row_end = self.row_end.max(self.next[1] + size[1]);
        self.next[0] = self.next[0] + size[0] + spacing;
        true
    }
}
