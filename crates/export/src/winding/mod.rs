//! The winding sheet: what to wind, what the meter should read on the way, and in which order all goes together.

mod aim;
mod bench;
mod controls;
mod ends;
mod facts;
mod json;
mod map;
mod ohms;
mod response;
mod section;
mod sheet;
mod strings;
pub(crate) mod tested;
mod text;
mod together;
mod wiring;
pub(crate) mod wound;

pub use aim::aim;
pub(crate) use bench::RESERVE;
pub use bobbinwright_coil::alike::Measured;
pub(crate) use ohms::as_read;
pub use together::together;
pub use wound::OnBobbin;

use bobbinwright_coil::bobbin::{self, Limit, rooms};
use bobbinwright_coil::magnet::at_strings::{AtString, at_strings};
use bobbinwright_coil::magnet::cylinder::Tesla;
use bobbinwright_coil::magnet::evening::{Evening, evening};
use bobbinwright_coil::magnet::in_row::Kept;
use bobbinwright_coil::magnet::read::Read;
use bobbinwright_coil::magnet::row::Row;
use bobbinwright_coil::magnet::sees::Sees;
use bobbinwright_coil::response::{Response, Spread};
use bobbinwright_coil::rods::Rods;
use bobbinwright_coil::winding::{Coil, Resistance};
use bobbinwright_fit::{Check, CheckKind, Verdict};
use bobbinwright_geometry::parts::{Layout, PositionParts};
use bobbinwright_kernel::threads;
use bobbinwright_spec::coil::{self as wish, Awg, Film, Until, Wire};
use bobbinwright_spec::{Hardware, Length, Position};

use crate::listing;
use crate::sheet::Paper;
use bobbinwright_core::Prepared;
use bobbinwright_install::{InstallError, Sink};
use bobbinwright_paper::{Page, PixelsError, pdf, png, svg};

/// The file that lists what belongs to the sheets' folder, and what the sheets say.
pub const LIST: &str = "winding.json";

/// The coil of a position, worked out.
pub struct Winding<'p> {
    prepared: &'p Prepared,
    /// The position.
    pub position: &'p Position,
    /// Where its parts are.
    pub layout: &'p Layout,
    /// What is bought for it.
    pub hardware: &'p Hardware,
    /// What is wanted.
    pub wanted: wish::Coil,
    /// What that makes.
    pub coil: Coil,
    /// The temperature of the workshop, °C.
    pub celsius: f64,
    /// Inductance, resistance and capacitance, and how far they may be off.
    pub spread: Spread,
    /// What cable and controls make of it.
    pub response: Response,
    /// Rods and strings, where the rods' material is stated.
    pub magnets: Option<Magnets>,
    /// Whether it goes on the bobbin.
    pub check: Option<&'p Check>,
    /// Whether the bobbin with its rods goes into the housing.
    pub housed: Option<&'p Check>,
    /// The same coil of other gauges with the same film.
    pub others: Vec<Other>,
    /// What of it is wound, where the log knows of a stop.
    pub on_bobbin: Option<OnBobbin>,
}

/// The rods as magnets, and what they do at the strings.
pub struct Magnets {
    /// The rods.
    pub row: Row,
    /// What they are magnetised to.
    pub kept: Kept,
    /// The strings.
    pub strings: Vec<AtString>,
    /// How alike the strings are.
    pub evening: Option<Evening>,
    /// Where a teslameter read their field, what was expected there before: least, middle, most.
    pub expected: Option<[Tesla; 3]>,
}

/// What another wire would make of what is wanted.
pub struct Other {
    /// Which.
    pub gauge: Awg,
    /// The coil.
    pub coil: Coil,
}

/// What the log says of coils that must be put right before a position's is built in, as far as figures tell; none where nothing
/// does. Only a coil that was tested or soldered is worked out.
pub(crate) fn amiss(prepared: &Prepared, position: &str) -> Option<String> {
    let winds = &prepared.family.winds;
    let (is_tested, is_soldered) = (winds.tested(position).is_some(), winds.hot(position).is_some());
    if !is_tested && !is_soldered {
        return None;
    }
    let windings = Winding::all(prepared, WORKSHOP);
    let short = || tested::short(windings.iter().find(|w| w.position.name == position)?).map(str::to_owned);
    // Until both are soldered, either may still be joined the other way.
    let is_done = |w: &Winding| winds.hot(&w.position.name).is_some();
    let short = short();
    let joined: Vec<Winding> = windings.into_iter().filter(is_done).collect();
    short.or_else(|| together::thin(&joined, position))
}

impl<'p> Winding<'p> {
    /// Of every position for which a coil is stated, in a workshop of a temperature, °C.
    pub fn all(prepared: &'p Prepared, celsius: f64) -> Vec<Self> {
        let positions: Vec<_> = prepared.family.positions.iter().zip(&prepared.positions).collect();
        let begun = wound::on_bobbins(prepared);
        let of = |(position, built): &(&'p Position, &'p PositionParts)| {
            let own = begun.iter().find(|(name, _)| *name == position.name);
            Self::of(prepared, position, &built.layout, celsius, own.map(|(_, on_bobbin)| on_bobbin.clone()))
        };
        threads::map(&positions, of).into_iter().flatten().collect()
    }

    fn of(
        prepared: &'p Prepared,
        position: &'p Position,
        layout: &'p Layout,
        celsius: f64,
        on_bobbin: Option<OnBobbin>,
    ) -> Option<Self> {
        let hardware = &prepared.family.hardware;
        let wanted = position.wanted.coil?;
        let alloy = position.wanted.magnets;
        let mut coil = bobbin::wound(layout, hardware, &wanted, alloy);
        // With the same rods another wire needs the same empty inductance, or nearly.
        let empty = match wanted.until {
            Until::HenriesWithRods(_) => Until::Henries(coil.inductance().0),
            until => until,
        };
        let film = match wanted.wire {
            Wire::Gauge(_, film) => film,
            Wire::Diameters(..) => Film::Single,
        };
        let others = Awg::all().filter(|gauge| Wire::Gauge(*gauge, film) != wanted.wire).map(|gauge| {
            let wanted = wish::Coil { wire: Wire::Gauge(gauge, film), until: empty, ..wanted };
            Other { gauge, coil: bobbin::wound(layout, hardware, &wanted, alloy) }
        });
        if let Some(on_bobbin) = &on_bobbin {
            // For a wanted resistance it ends where this wire has it; how tightly it lies is what it came to.
            if let Until::Ohms(ohms) = wanted.until {
                coil.turns = on_bobbin.stop_at(ohms)[0].round();
            }
            coil.packing = on_bobbin.follow.packed();
        }
        let kept = Kept::of_position(position, layout, hardware);
        let field = prepared.family.winds.tested(&position.name).and_then(|test| test.field);
        let rods = Row::of(position, layout, hardware).zip(kept).zip(alloy);
        let magnets = rods.map(|((row, kept), alloy)| {
            // What a teslameter read of them counts, and not what they might be.
            let read = field.map(|(millitesla, over)| Read::of(&row, kept, Tesla(millitesla / 1000.0), over));
            let (row, kept) = read.as_ref().map_or((row, kept), |read| (read.row.clone(), read.kept));
            let top = row.places.first().map_or(Length::ZERO, |place| place.top);
            let sees = Sees::of(&coil, &Rods::of(layout, hardware), alloy, top);
            Magnets {
                kept,
                strings: at_strings(position, layout, &row, &sees),
                evening: evening(position, layout, hardware, &row, &sees),
                expected: read.map(|read| read.expected),
                row,
            }
        });
        let hot = prepared.family.winds.hot(&position.name).unwrap_or(wanted.hot);
        let resistance = band_of(&coil, on_bobbin.as_ref(), coil.turns, celsius);
        let spread = Spread::of(&coil, &Rods::of(layout, hardware), alloy, hot, resistance);
        let check = |kind| prepared.fit.checks.iter().find(|c| c.position == position.name && c.kind == kind);
        Some(Self {
            prepared,
            position,
            layout,
            hardware,
            wanted,
            coil,
            celsius,
            response: spread.response(position.wanted.load),
            spread,
            magnets,
            check: check(CheckKind::CoilOnBobbin),
            housed: check(CheckKind::BobbinUnderRoof),
            others: others.collect(),
            on_bobbin,
        })
    }

    /// The resistance that the meter should read: least, expected and most, for 95 of 100 coils.
    pub fn resistance(&self) -> [Resistance; 3] {
        self.band(self.coil.turns)
    }

    fn band(&self, turns: f64) -> [Resistance; 3] {
        self.band_at(turns, self.celsius)
    }

    /// After so many turns, at a temperature.
    fn band_at(&self, turns: f64, celsius: f64) -> [Resistance; 3] {
        band_of(&self.coil, self.on_bobbin.as_ref(), turns, celsius)
    }

    /// What it should read on the way, every 500 turns and at the end: turns, and least, expected and most.
    pub fn on_the_way(&self) -> Vec<(u32, [Resistance; 3])> {
        let last = self.coil.turns as u32;
        let stops = (1..).map(|i| i * wound::EVERY).take_while(|turns| *turns < last).chain([last]);
        stops.map(|turns| (turns, self.band(f64::from(turns)))).collect()
    }

    /// Whether it goes on.
    pub fn verdict(&self) -> Verdict {
        self.check.map_or(Verdict::Fits, |c| c.verdict)
    }

    /// What keeps it from going on or into the housing.
    pub fn hindrances(&self) -> impl Iterator<Item = &'p Check> {
        [self.check, self.housed].into_iter().flatten().filter(|c| c.verdict != Verdict::Fits)
    }

    /// What the coil meets first as it grows.
    pub fn limit(&self) -> Limit {
        let all = rooms(self.layout, self.hardware, self.coil.bobbin.core).into_iter();
        all.min_by(|a, b| a.0.as_mm().total_cmp(&b.0.as_mm())).map_or(Limit::Edge, |(_, limit)| limit)
    }
}

/// What the meter should read of a coil after so many turns, by its stops where it has some.
fn band_of(coil: &Coil, on_bobbin: Option<&OnBobbin>, turns: f64, celsius: f64) -> [Resistance; 3] {
    if let Some(on_bobbin) = on_bobbin {
        return on_bobbin.follow.band(turns, celsius);
    }
    let expected = coil.resistance_of(turns, celsius).0;
    let u = coil.resistance_doubt();
    [1.0 - 2.0 * u, 1.0, 1.0 + 2.0 * u].map(|part| Resistance(expected * part))
}

/// Pixels of a plot for a millimetre.
const PER_MM: f64 = 6.0;

/// Why the files can't be made.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// A plot can't be drawn.
    #[error(transparent)]
    Pixels(#[from] PixelsError),
    /// A file can't be put in place.
    #[error(transparent)]
    Install(#[from] InstallError),
}

/// Puts the sheets of all coils into a folder: as one PDF, each as SVG, and all as `winding.md`; and for each its
/// drawings as SVG and PNG.
pub fn write(prepared: &Prepared, windings: &[Winding], paper: Paper, sink: &Sink) -> Result<(), WriteError> {
    let slug = &prepared.family.slug;
    let beside = together::in_short(windings);
    let page = |w: &Winding| sheet::page(prepared, w, &beside, paper);
    let pages: Vec<_> = windings.iter().map(page).collect();
    let title = format!("Winding: {}", prepared.family.title);
    let mut outputs = vec![
        sink.put(&format!("{slug}-winding.pdf"), pdf(&title, &pages)),
        sink.put("winding.md", text::markdown(prepared, windings).into_bytes()),
    ];
    for (winding, page) in windings.iter().zip(&pages) {
        outputs.push(sink.put(&format!("{}-winding.svg", winding.position.name), svg(page).into_bytes()));
    }
    let joined = together::pairs(windings).map(|(a, b)| wired(a, b));
    let drawings: Vec<(String, Page)> =
        windings.iter().flat_map(drawings).chain(joined).chain(controls::pages(windings)).collect();
    let made = threads::map(&drawings, |(name, page)| {
        let vector = sink.put(&format!("{name}.svg"), svg(page).into_bytes());
        Ok::<_, PixelsError>([vector, sink.put(&format!("{name}.png"), png(page, PER_MM)?)])
    });
    for files in made {
        outputs.extend(files?);
    }
    let list = json::positions(windings);
    listing::put(LIST, slug, Some(list), outputs, sink);
    Ok(())
}

/// Degrees Celsius in a workshop where nobody says otherwise.
pub const WORKSHOP: f64 = 20.0;

/// A coil with its drawings for the report, by the names that the text calls them by.
pub(crate) struct Drawn<'p> {
    winding: Winding<'p>,
    drawings: Vec<(String, String)>,
}

impl<'p> Drawn<'p> {
    /// Of a position; none where no coil is stated.
    pub fn of(prepared: &'p Prepared, position: usize) -> Option<Self> {
        let (place, built) = (&prepared.family.positions[position], &prepared.positions[position]);
        let own = wound::on_bobbins(prepared).into_iter().find(|(name, _)| *name == place.name);
        let winding =
            Winding::of(prepared, place, &built.layout, WORKSHOP, own.map(|(_, on_bobbin)| on_bobbin))?;
        let drawn = drawings(&winding).into_iter().map(|(name, page)| (format!("{name}.svg"), svg(&page)));
        Some(Self { drawings: drawn.collect(), winding })
    }
}

/// `winding.md` and its drawings; none where there is no coil.
pub(crate) fn for_report(prepared: &Prepared, drawn: Vec<Drawn>) -> Option<(String, Vec<(String, String)>)> {
    let (windings, drawings): (Vec<Winding>, Vec<_>) =
        drawn.into_iter().map(|d| (d.winding, d.drawings)).unzip();
    let mut drawings = drawings;
    let joined = together::pairs(&windings).map(|(a, b)| wired(a, b));
    let joined = joined.chain(controls::pages(&windings));
    drawings.push(joined.map(|(name, page)| (format!("{name}.svg"), svg(&page))).collect());
    let text = (!windings.is_empty()).then(|| text::markdown(prepared, &windings))?;
    Some((text, drawings.into_iter().flatten().collect()))
}

/// Two coils joined, by the name of its file.
fn wired(a: &Winding, b: &Winding) -> (String, Page) {
    (format!("{}-{}-joined", a.position.name, b.position.name), wiring::page(a, b))
}

/// The drawings of a coil, by the names of their files.
fn drawings(winding: &Winding) -> Vec<(String, Page)> {
    let name = &winding.position.name;
    let mut all = vec![
        (format!("{name}-response"), response::page(winding)),
        (format!("{name}-section"), section::page(winding)),
        (format!("{name}-rods"), map::page(winding)),
    ];
    all.extend(winding.magnets.as_ref().map(|m| (format!("{name}-field"), strings::page(winding, m))));
    all
}

impl Winding<'_> {
    /// All of it for other programs.
    pub fn json(windings: &[Self]) -> serde_json::Value {
        json::positions(windings)
    }
}
