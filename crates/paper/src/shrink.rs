//! A page made smaller, where more has to stand on it than it has room for.

use bobbinwright_kernel::plane::{Bounds, Contour, Segment};

use super::{Item, Look, Page, Pen, Type};

impl Page {
    /// The same page, everything on it `factor` times as large, about its origin.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// # use bobbinwright_paper::{Page, Type, svg};
    /// let mut page = Page::new(Bounds::of(Point::new(0.0, 0.0), Point::new(40.0, 30.0)), "");
    /// page.text(Point::new(10.0, 20.0), Type::new(4.0), "half");
    /// let half = page.scaled(0.5);
    /// // Paper, places and letters alike.
    /// assert_eq!((half.sheet().max, half.lowest_text()), (Point::new(20.0, 15.0), 10.0));
    /// assert!(svg(&half).contains("font-size=\"2\""));
    /// ```
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        let items = |all: Vec<Item>| all.into_iter().map(|item| scaled(item, factor)).collect();
        let sheet = Bounds { min: self.sheet.min * factor, max: self.sheet.max * factor };
        let spots = self.spots.into_iter().map(|(number, at)| (number, at * factor)).collect();
        Self { title: self.title, sheet, items: items(self.items), upon: items(self.upon), spots }
    }

    /// The height of the lowest line of text, mm; infinite where there is none.
    pub fn lowest_text(&self) -> f64 {
        let all = self.items.iter().chain(&self.upon).map(lowest);
        all.fold(f64::INFINITY, f64::min)
    }
}

fn scaled(item: Item, factor: f64) -> Item {
    let pen = |pen: Pen| Pen {
        width: pen.width * factor,
        dash: pen.dash.map(|(dash, gap)| (dash * factor, gap * factor)),
        ..pen
    };
    match item {
        Item::Region(borders, look) => {
            let borders = borders.iter().map(|border| contour(border, factor)).collect();
            Item::Region(borders, Look { pen: look.pen.map(pen), ..look })
        }
        Item::Line(from, to, own) => Item::Line(from * factor, to * factor, pen(own)),
        Item::Text(at, kind, text) => {
            Item::Text(at * factor, Type { size: kind.size * factor, ..kind }, text)
        }
        Item::Layer(name, items) => {
            Item::Layer(name, items.into_iter().map(|item| scaled(item, factor)).collect())
        }
    }
}

fn contour(border: &Contour, factor: f64) -> Contour {
    let segment = |s: &Segment| match s.bend {
        Some(bend) => Segment::arc(s.from * factor, s.to * factor, bend.center * factor, bend.ccw),
        None => Segment::line(s.from * factor, s.to * factor),
    };
    Contour::new(border.segments().iter().map(segment).collect())
}

fn lowest(item: &Item) -> f64 {
    match item {
        Item::Region(..) | Item::Line(..) => f64::INFINITY,
        Item::Text(at, ..) => at.y,
        Item::Layer(_, items) => items.iter().map(lowest).fold(f64::INFINITY, f64::min),
    }
}
