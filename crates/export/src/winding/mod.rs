//! The winding sheet: what to wind, what the meter should read on the way, and in which order all goes together.

mod response;
mod sheet;
mod text;

pub use text::together;

use bobbinwright_coil::bobbin::{ROOM, with_wire, wound};
use bobbinwright_coil::inductance::Inductance;
use bobbinwright_coil::magnet::at_strings::{AtString, at_strings};
use bobbinwright_coil::winding::{Coil, Resistance};
use bobbinwright_fit::{Check, Verdict};
use bobbinwright_spec::coil::{self as wish, Awg, Film, North, Wire};

use crate::Prepared;
use crate::listing;
use crate::output::{InstallError, Sink};
use crate::paper::{PixelsError, pdf, png, svg};
use crate::sheet::Paper;

/// The file that lists what belongs to the sheet's folder.
pub const LIST: &str = "winding.json";

/// Turns between two lines of the table of resistances.
const EVERY: u32 = 500;

/// The coil of a position, worked out.
pub struct Winding<'p> {
    /// The position's name.
    pub position: &'p str,
    /// What is wanted.
    pub wanted: wish::Coil,
    /// What that makes.
    pub coil: Coil,
    /// Its inductance without rods.
    pub inductance: Inductance,
    /// The rods' field at every string, where their material is stated.
    pub field: Option<Vec<AtString>>,
    /// Whether it goes on the bobbin.
    pub check: Option<&'p Check>,
    /// How many rods.
    pub rods: usize,
    /// Which of their ends is north.
    pub north: North,
    /// The same coil of other gauges with the same film.
    pub others: Vec<Other>,
}

/// What another wire would make of what is wanted.
pub struct Other {
    /// Which.
    pub gauge: Awg,
    /// The coil.
    pub coil: Coil,
}

impl<'p> Winding<'p> {
    /// Of every position for which a coil is stated.
    pub fn all(prepared: &'p Prepared) -> Vec<Self> {
        let hardware = &prepared.family.hardware;
        let positions = prepared.family.positions.iter().zip(&prepared.positions);
        let of = |(position, built): (
            &'p bobbinwright_spec::Position,
            &bobbinwright_geometry::parts::PositionParts,
        )| {
            let wanted = position.wanted.coil?;
            let layout = &built.layout;
            let film = match wanted.wire {
                Wire::Gauge(_, film) => film,
                Wire::Diameters(..) => Film::Single,
            };
            let others = Awg::all().filter(|gauge| Wire::Gauge(*gauge, film) != wanted.wire).map(|gauge| {
                let coil = with_wire(layout, hardware, &wanted, Wire::Gauge(gauge, film));
                Other { gauge, coil }
            });
            let coil = wound(layout, hardware, &wanted);
            let is_here = |c: &&Check| c.position == position.name && c.name == "coil-on-bobbin";
            Some(Self {
                position: &position.name,
                wanted,
                coil,
                inductance: coil.inductance(),
                field: at_strings(position, layout, hardware),
                check: prepared.fit.checks.iter().find(is_here),
                rods: layout.poles.len(),
                north: position.wanted.north,
                others: others.collect(),
            })
        };
        positions.filter_map(of).collect()
    }

    /// The resistance that the meter should read at 20 °C: least, expected and most, for 95 of 100 coils.
    pub fn resistance(&self) -> [Resistance; 3] {
        self.band(self.coil.turns)
    }

    fn band(&self, turns: f64) -> [Resistance; 3] {
        let expected = self.coil.resistance_of(turns, ROOM).0;
        let u = self.coil.resistance_doubt();
        [1.0 - 2.0 * u, 1.0, 1.0 + 2.0 * u].map(|part| Resistance(expected * part))
    }

    /// What it should read on the way, every 500 turns: turns, and least, expected and most.
    pub fn on_the_way(&self) -> Vec<(u32, [Resistance; 3])> {
        let steps = (self.coil.turns / f64::from(EVERY)).ceil() as u32;
        (1..steps).map(|i| (i * EVERY, self.band(f64::from(i * EVERY)))).collect()
    }

    /// Whether it goes on.
    pub fn verdict(&self) -> Verdict {
        self.check.map_or(Verdict::Fits, |c| c.verdict)
    }
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

/// Puts the sheets of all coils into a folder: as one PDF, each as SVG, and all as `winding.md`.
pub fn write(prepared: &Prepared, windings: &[Winding], paper: Paper, sink: &Sink) -> Result<(), WriteError> {
    let slug = &prepared.family.slug;
    let beside = together(windings);
    let page = |w: &Winding| sheet::page(prepared, w, &beside, paper);
    let pages: Vec<_> = windings.iter().map(page).collect();
    let title = format!("Winding: {}", prepared.family.title);
    let mut outputs = vec![
        sink.put(&format!("{slug}-winding.pdf"), pdf(&title, &pages)),
        sink.put("winding.md", text::markdown(prepared, windings).into_bytes()),
    ];
    for (winding, page) in windings.iter().zip(&pages) {
        outputs.push(sink.put(&format!("{}-winding.svg", winding.position), svg(page).into_bytes()));
        let plot = response::page(winding);
        outputs.push(sink.put(&format!("{}-response.svg", winding.position), svg(&plot).into_bytes()));
        outputs.push(sink.put(&format!("{}-response.png", winding.position), png(&plot, PER_MM)?));
    }
    listing::put(LIST, slug, None, outputs, sink);
    Ok(())
}
