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
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    // Stable, so that parts of one size stay in the family's order.
    order.sort_by(|a, b| sizes[*b][1].as_mm().total_cmp(&sizes[*a][1].as_mm()));
    let (mut all, mut plate) = (Vec::new(), Plate::default());
    for part in order {
        if !plate.take(part, sizes[part], printer) {
            all.push(std::mem::take(&mut plate).centred(sizes, printer));
            plate.take(part, sizes[part], printer);
        }
    }
    if !plate.places.is_empty() {
        all.push(plate.centred(sizes, printer));
    }
    Ok(all)
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
    fn take(&mut self, part: usize, size: [Length; 3], printer: &Printer) -> bool {
        if self.next[0] + size[0] > printer.bed[0] {
            self.next = [Length::ZERO, self.row_end + printer.spacing];
        }
        if self.next[1] + size[1] > printer.bed[1] {
            return false;
        }
        self.places.push(Place { part, at: self.next });
        self.row_end = self.row_end.max(self.next[1] + size[1]);
        self.next[0] = self.next[0] + size[0] + printer.spacing;
        true
    }

    fn centred(mut self, sizes: &[[Length; 3]], printer: &Printer) -> Vec<Place> {
        for axis in [0, 1] {
            let end = self.places.iter().map(|p| p.at[axis] + sizes[p.part][axis]);
            let left = printer.bed[axis] - end.fold(Length::ZERO, Length::max);
            for place in &mut self.places {
                place.at[axis] = place.at[axis] + left / 2.0;
            }
        }
        self.places
    }
}
