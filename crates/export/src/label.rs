//! A label for each baseplate, to print at 1:1, cut out and glue on: what somebody wants to know who opens the instrument in
//! ten years.

use bobbinwright_coil::winding::Resistance;
use bobbinwright_core::Prepared;
use bobbinwright_install::{InstallError, Sink};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};

use bobbinwright_paper::{GREY, Look, Page, Pen, Type, pdf, spelt, svg, width};
use bobbinwright_spec::load::Ohms;
use bobbinwright_spec::magnets::North;
use bobbinwright_spec::wound::Shown;
use bobbinwright_spec::{Done, Step, Survey, WireEnd};
use jiff::civil::Date;

use crate::drawing::scale_bar;
use crate::listing;
use crate::sheet::{EDGE, Paper};
use crate::winding::{WORKSHOP, Winding, as_read};

/// The file that lists what belongs to the labels' folder.
pub const LIST: &str = "labels.json";

/// As large as a label is where the plate leaves room, and what stays free of the plate on each side, mm.
const SIZE: [f64; 2] = [64.0, 24.0];
const RIM: f64 = 4.0;

const HEAD: Type = Type::new(2.7).bold();
const TEXT: Type = Type::new(2.2);
/// From line to line, mm.
const LINE: f64 = 3.7;

/// To write on.
const BLANK: &str = "____________";

/// A label.
struct Label {
    position: String,
    size: [f64; 2],
    /// The first is its heading.
    lines: Vec<String>,
}

/// Puts the labels into a folder: each as SVG of its own size, and all on paper as PDF.
///
/// # Errors
/// What can't be written.
pub fn write(prepared: &Prepared, survey: &Survey, paper: Paper, sink: &Sink) -> Result<(), InstallError> {
    let windings = Winding::all(prepared, WORKSHOP);
    let done = survey.done();
    let labels: Vec<Label> =
        (0..prepared.positions.len()).map(|index| label(prepared, index, &windings, &done)).collect();
    let slug = &prepared.family.slug;
    let title = format!("Labels: {}", prepared.family.title);
    let mut outputs =
        vec![sink.put(&format!("{slug}-labels.pdf"), pdf(&title, &[on_paper(&title, &labels, paper)]))];
    for label in &labels {
        let [wide, high] = label.size;
        let sheet = Bounds { min: Point::origin(), max: Point::new(wide, high) };
        let mut page = Page::new(sheet, format!("{}: {}", prepared.family.title, label.position));
        label.draw(&mut page, Vector::new(0.0, 0.0));
        outputs.push(sink.put(&format!("{}-label.svg", label.position), svg(&page).into_bytes()));
    }
    listing::put_of(LIST, slug, prepared.family.identity.as_ref(), outputs, sink);
    Ok(())
}

fn on_paper(title: &str, labels: &[Label], paper: Paper) -> Page {
    let (wide, high) = paper.size();
    let mut page = Page::new(Bounds { min: Point::origin(), max: Point::new(wide, high) }, title);
    let top = high - EDGE - 4.0;
    page.text(Point::new(EDGE, top), Type::new(5.0).bold(), title);
    let words = [
        "Print at 100 % (\"actual size\"): the bar must measure 100 mm. Fill in what is blank with a pen that stays.",
        "Cut out, and glue each on the outer side of its baseplate, where no screw and no slot for the lead is.",
    ];
    for (i, line) in (0..).zip(words) {
        page.text(Point::new(EDGE, top - 7.0 - 4.0 * f64::from(i)), Type::new(2.7), line);
    }
    scale_bar(&mut page, Point::new(EDGE, top - 18.0), 10);
    let mut y = top - 26.0;
    for label in labels {
        let [_, high] = label.size;
        y -= high;
        label.draw(&mut page, Vector::new(EDGE, y));
        y -= 6.0;
    }
    page
}

impl Label {
    fn draw(&self, page: &mut Page, at: Vector) {
        let [wide, high] = self.size;
        let corner = Point::origin() + at;
        let cut = Look::line(Pen::new(GREY, 0.1).dashed(1.0, 1.0));
        page.outline(&Contour::rectangle(corner, corner + Vector::new(wide, high)), cut);
        let apart = LINE.min((high - 2.0) / self.lines.len() as f64);
        for (i, line) in self.lines.iter().enumerate() {
            let kind = if i == 0 { HEAD } else { TEXT };
            // A long title is set smaller, and not cut off.
            let fits = ((wide - 4.0) / width(line, &kind)).min(apart / LINE).min(1.0);
            let from = corner + Vector::new(2.0, high - 1.0 - apart * (i as f64 + 0.5));
            page.text(from, Type { size: kind.size * fits, ..kind }, line.clone());
        }
    }
}

fn label(prepared: &Prepared, index: usize, windings: &[Winding], done: &[(Date, Done)]) -> Label {
    let (position, layout) = (&prepared.family.positions[index], &prepared.positions[index].layout);
    let of_it = || done.iter().filter(|(_, done)| done.position == position.name);
    let hot = of_it().rev().find_map(|(_, done)| done.hot);
    let built_in = of_it().rfind(|(_, done)| done.step == Step::BuiltIn).map(|(on, _)| *on);
    let winding = windings.iter().find(|w| w.position.name == position.name);
    // A stop on the way says nothing of the coil that is glued in.
    let is_wound = of_it().any(|(_, done)| done.step == Step::Wound);
    let last = prepared.family.winds.on_bobbin(&position.name).and_then(|coil| coil.stops.last());
    let last = last.filter(|_| is_wound).map(|(_, _, stop)| stop);
    // What was tested is the coil as it is now.
    let test = prepared.family.winds.tested(&position.name);
    let turns = test.as_ref().and_then(|test| test.turns).or(last.map(|stop| stop.turns));
    let wound = turns.map(|turns| format!("{turns:.0} turns"));
    let tested = test.as_ref().and_then(|test| Some((test.reads?, test.celsius)));
    let read =
        tested.or(last.map(|stop| (stop.shown, stop.celsius))).and_then(|(shown, celsius)| match shown {
            Shown::Ohms(Ohms(ohms)) => {
                let celsius = celsius.map_or("______".to_owned(), |degrees| format!("{degrees}"));
                Some(format!("{} at {celsius} °C", as_read(Resistance(ohms))))
            }
            Shown::Open => None,
        });
    let turns = winding.map_or(format!("{BLANK} turns"), |w| {
        format!("{:.0} turns wanted, {} seen from the top", w.coil.turns, w.wanted.turning.word())
    });
    let ohms = winding.map_or(format!("{BLANK} Ω"), |w| {
        let [_, expected, _] = w.resistance();
        format!("{BLANK} kΩ at ______ °C ({:.2} expected at {WORKSHOP})", expected.0 / 1000.0)
    });
    let ends = winding.map_or(String::new(), |w| format!(", start on the {} side", w.wanted.start.word()));
    // A compass tells what they are, whatever is wanted.
    let found = test.and_then(|test| test.north);
    let stated = position.wanted.north;
    let up = match found.map_or(stated, |compass| compass.now(stated)) {
        North::Up => "north",
        North::Down => "south",
    };
    let hot = match hot {
        Some(WireEnd::Start) => "hot: start, ground: finish".to_owned(),
        Some(WireEnd::Finish) => "hot: finish, ground: start".to_owned(),
        None => format!("hot: {BLANK}"),
    };
    let date = built_in.map_or(format!("built in {BLANK}"), |on| format!("built in {on}"));
    let lines = [
        format!("{}, {}", prepared.family.title, position.name),
        read.unwrap_or(ohms),
        wound.unwrap_or(turns),
        format!("rods {up} up, at the strings{ends}"),
        hot,
        date,
    ];
    let room = [layout.length, layout.width].map(|length| length.as_mm() - 2.0 * RIM);
    let lines = lines.map(|line| spelt(&line)).to_vec();
    let size = [SIZE[0].min(room[0]), SIZE[1].min(room[1])];
    Label { position: position.name.clone(), size, lines }
}
