//! What goes to whoever prints it: one page, and the files.
//!
//! A friend with a printer or a laboratory does not know the instrument. The page says how many of what, of which material, what
//! lies down, which faces stay free of support, and which sizes decide and how they are read.

use std::io;
use std::path::Path;

use bobbinwright_core::Prepared;
use bobbinwright_fit::{Deciding, deciding};
use bobbinwright_install::{InstallError, Sink, gather};
use bobbinwright_kernel::plane::{Bounds, Point};
use bobbinwright_paper::{GREY, Page, Pen, Type, pdf, spelt, svg, wrapped};
use bobbinwright_print::{Marked, Seen};
use bobbinwright_spec::{Finished, Finishes, PartKind, Quantity, Survey, Unit};
use serde_json::Value;

use crate::earlier;
use crate::listing;
use crate::sheet::pieces::allowed;
use crate::sheet::{EDGE, Paper, how_to_read};
use crate::write::{BuildError, write};
use crate::{manifest, whose};

/// The file that lists what belongs to the folder.
pub const LIST: &str = "handover.json";

/// More sizes nobody reads who prints for somebody else.
const SIZES: usize = 10;

/// Less support than this is none, mm³.
const LITTLE: f64 = 0.5;

const TEXT: Type = Type::new(2.7);
const LINE: f64 = 4.0;

/// Why it can't be made.
#[derive(Debug, thiserror::Error)]
pub enum NotHandedOver {
    /// The parts' files can't be made.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// A file can't be put in place.
    #[error(transparent)]
    Install(#[from] InstallError),
}

/// What was handed over.
pub struct HandedOver {
    /// The mark of the build that the files are of.
    pub mark: String,
    /// What that build's manifest says.
    manifest: Vec<u8>,
}

impl HandedOver {
    /// Keeps in a folder of builds how these parts were drawn, so that it can be said later that they were printed, whatever is
    /// built until then.
    ///
    /// # Errors
    /// What the system says.
    pub fn keep(&self, folder: &Path) -> io::Result<()> {
        earlier::keep(folder, &self.mark, &self.manifest)
    }
}

/// The sizes that decide whether a bare print fits that is still to be made, the most important first: whatever was read of
/// copies that are there, or is put on them, is theirs.
pub fn sizes(prepared: &Prepared) -> Vec<Deciding> {
    let mut family = prepared.family.clone();
    family.pieces.clear();
    family.wider.clear();
    family.finished = Finished::default();
    let is_printed =
        |one: &Deciding| prepared.family.positions[one.position].wanted.sheet(one.piece.size.part).is_none();
    let all = deciding(&family, &prepared.positions, &[], &prepared.tried, |position, part| {
        prepared.lie(position, part)
    });
    all.into_iter().filter(is_printed).collect()
}

/// Puts the page and the files into a folder; gives what build they are of. `sizes` are those that decide
/// the fit, the most important first.
///
/// # Errors
/// See [`NotHandedOver`].
pub fn put(
    prepared: &Prepared,
    survey: &Survey,
    sizes: &[Deciding],
    copies: usize,
    paper: Paper,
    sink: &Sink,
) -> Result<HandedOver, NotHandedOver> {
    let files = gather(|sink| write(prepared, survey, None, sink, || ()))?;
    let manifest = files.iter().find(|(name, _)| name == manifest::FILE);
    let bytes = manifest.map(|(_, bytes)| bytes.clone()).unwrap_or_default();
    let manifest: Value = serde_json::from_slice(&bytes).unwrap_or_default();
    let mark = whose::mark_in(&manifest);
    // What is cut from sheet goes to somebody else.
    let is_cut = |name: &str| {
        let all = manifest["parts"].as_array().into_iter().flatten();
        all.filter(|part| part["cut"].is_object()).any(|part| part["files"]["step"] == name)
    };
    let is_part =
        |name: &str| [".3mf", ".stl", ".step"].iter().any(|ending| name.ends_with(ending)) && !is_cut(name);
    let mut outputs: Vec<_> = files
        .into_iter()
        .filter(|(name, _)| is_part(name))
        .map(|(name, bytes)| sink.put(&name, bytes))
        .collect();
    let pages = Sheet { prepared, survey, sizes, copies, manifest: &manifest, mark: &mark }.pages(paper);
    let slug = &prepared.family.slug;
    outputs.push(sink.put(&format!("{slug}-to-print.pdf"), pdf(&title(prepared), &pages)));
    for (number, page) in (1..).zip(&pages) {
        outputs.push(sink.put(&format!("{slug}-to-print-{number}.svg"), svg(page).into_bytes()));
    }
    listing::put_of(LIST, slug, prepared.family.identity.as_ref(), outputs, sink);
    Ok(HandedOver { mark, manifest: bytes })
}

fn title(prepared: &Prepared) -> String {
    format!("To print: {}", prepared.family.title)
}

struct Sheet<'s> {
    prepared: &'s Prepared,
    survey: &'s Survey,
    sizes: &'s [Deciding],
    copies: usize,
    manifest: &'s Value,
    mark: &'s str,
}

impl Sheet<'_> {
    /// As many pages as it takes; mostly one.
    fn pages(&self, paper: Paper) -> Vec<Page> {
        let (wide, high) = paper.size();
        let mut lines: Vec<(Type, String)> = vec![(Type::new(5.0).bold(), title(self.prepared))];
        lines.push((TEXT.ink(GREY), format!("build {}; the files have the parts' names", self.mark)));
        let mut add = |heading: &str, all: Vec<String>| {
            lines.push((TEXT, String::new()));
            lines.push((Type::new(3.4).bold(), heading.to_owned()));
            for line in all {
                let wrapped = wrapped(&spelt(&line), &TEXT, wide - 2.0 * EDGE);
                lines.extend(wrapped.into_iter().map(|line| (TEXT, line)));
            }
        };
        add("What", self.what());
        add("How", self.how());
        add("Each part", self.parts());
        add("Sizes that decide, the most important first", self.read());
        add("Please", PLEASE.map(str::to_owned).to_vec());
        let mut pages = Vec::new();
        let (mut page, mut y) = (None, 0.0);
        for (kind, line) in lines {
            if page.is_none() || y < EDGE {
                pages.extend(page.take());
                let sheet = Bounds { min: Point::origin(), max: Point::new(wide, high) };
                page = Some(Page::new(sheet, title(self.prepared)));
                y = high - EDGE - 4.0;
            }
            if let Some(page) = &mut page {
                page.text(Point::new(EDGE, y), kind, line);
                if kind.bold && kind.size < 5.0 {
                    let under = y - 2.6;
                    page.line(Point::new(EDGE, under), Point::new(wide - EDGE, under), Pen::new(GREY, 0.15));
                }
            }
            y -= LINE.max(kind.size * 1.45);
        }
        pages.extend(page);
        pages
    }

    /// What is printed.
    fn all_parts(&self) -> impl Iterator<Item = &Value> {
        self.manifest["parts"].as_array().into_iter().flatten().filter(|part| part["printed"].is_object())
    }

    fn what(&self) -> Vec<String> {
        let names: Vec<&str> = self.all_parts().filter_map(|p| p["id"].as_str()).collect();
        let times =
            if self.copies == 1 { "once each".to_owned() } else { format!("{} of each", self.copies) };
        let grams: f64 = self.all_parts().filter_map(|p| p["printed"]["cost"]["mass_g"].as_f64()).sum();
        let material = self.prepared.family.printer.material.title();
        let cut =
            self.manifest["parts"].as_array().into_iter().flatten().filter(|part| part["cut"].is_object());
        let cut: Vec<&str> = cut.filter_map(|p| p["id"].as_str()).collect();
        let not_these = (!cut.is_empty())
            .then(|| format!("Not printed, and not here: {}, cut from sheet.", cut.join(", ")));
        let mut all = vec![
            format!("{}: {times}.", names.join(", ")),
            format!(
                "Of {material}, all of one colour and spool; {:.0} g without support.",
                grams * self.copies as f64
            ),
        ];
        all.extend(not_these);
        all
    }

    fn how(&self) -> Vec<String> {
        let printer = &self.prepared.family.printer;
        let mut all = vec![
            format!(
                "In millimetres, at 100 %: never scaled to fit. Layers of {} or finer; solid, or walls at least {} thick and dense infill.",
                printer.layer, printer.least_wall
            ),
            format!(
                "Support under slopes beyond {} from the vertical and flat spans longer than {}.",
                printer.overhang, printer.bridge
            ),
        ];
        let is_finished =
            self.prepared.family.positions.iter().any(|p| p.wanted.finish != Finishes::default());
        all.push(match printer.profile() {
            Some(profile) if is_finished => format!(
                "Careful: STL and 3MF are drawn for the printer {}, whose errors they make up for, and for what is sanded off or put on later. STEP files are finished sizes: print nothing from them. For another printer ask for other files.",
                profile.name
            ),
            None if is_finished => "STL and 3MF allow for what is sanded off or put on later, and are else nominal: outer sizes and holes are to come out as drawn. STEP files are finished sizes: print nothing from them.".to_owned(),
            Some(profile) => format!(
                "Careful: STL and 3MF are drawn for the printer {}, whose errors they make up for. On any other one print from the STEP files, which are nominal, and say so.",
                profile.name
            ),
            None => "All files are nominal: nothing is made up for. Outer sizes and holes are to come out as drawn.".to_owned(),
        });
        all
    }

    /// Something is put on it later.
    fn has_finish(&self, part: &Value) -> bool {
        let position = self.prepared.family.positions.iter().find(|p| part["position"] == p.name.as_str());
        let kind = PartKind::ALL.into_iter().find(|kind| part["part"] == kind.name());
        position.zip(kind).is_some_and(|(position, kind)| position.wanted.finish.of(kind).is_some())
    }

    fn parts(&self) -> Vec<String> {
        self.all_parts().map(|part| one_part(part, self.has_finish(part))).collect()
    }

    fn read(&self) -> Vec<String> {
        // Whoever prints has millimetres.
        let unit = Unit::Mm;
        let of = |d: &Deciding| {
            let position = &self.prepared.family.positions[d.position].name;
            let quantity = Quantity::Piece(position.clone(), d.piece.size);
            let part = PartKind::name(d.piece.size.part);
            let will_do = if will_do(d) {
                format!("{} will do", allowed(d, unit))
            } else {
                "as near to that as can be".to_owned()
            };
            format!(
                "{position}-{part}, {}: {} wanted, {will_do}; {}.",
                d.piece.size.what(),
                unit.shown(d.piece.wanted),
                how_to_read(self.survey, &quantity).line()
            )
        };
        self.sizes.iter().take(SIZES).map(of).collect()
    }
}

/// What is wanted is among what will do: where a check is too close to call, it may not be.
fn will_do(d: &Deciding) -> bool {
    let [least, most] = d.allowed;
    least.is_none_or(|least| least <= d.piece.wanted) && most.is_none_or(|most| d.piece.wanted <= most)
}

/// Which faces stay free of support as a part lies, and where it stands if it must; `scarred` are the faces that it takes.
fn free(part: &str, on_bed: &str, needs_support: bool, scarred: &[&str]) -> String {
    if part != "cover" {
        let free = if part == "baseplate" {
            "the lip, where it has one, and the screw holes"
        } else {
            "both faces and all holes"
        };
        return if needs_support {
            format!("support as little as can be, and none on {free}")
        } else {
            format!("free of support: {free}")
        };
    }
    let seen = [("the top", Seen::Top), ("its rounded edge", Seen::Rounding), ("the sides", Seen::Sides)];
    let seen = seen.into_iter().filter(|(_, face)| !scarred.contains(&face.name()));
    let seen: Vec<&str> = seen.map(|(words, _)| words).collect();
    let free = format!("free of support, since they are seen: {}", seen.join(", "));
    match (needs_support, on_bed, scarred) {
        (false, ..) => format!("{free}; the hollow needs none either"),
        (true, "underside", []) => {
            format!("{free}; it stands in the hollow and comes out of the open underside")
        }
        (true, _, []) => free,
        (true, _, scarred) => {
            format!("{free}; it can't be helped on the {}: as light as can be there", scarred.join(" and "))
        }
    }
}

/// `neck-cover: lies on its top; no support; keep free: the top, the sides, …; 91.4 by 37.4 by 18.0 mm, 12 g`
fn one_part(part: &Value, has_finish: bool) -> String {
    let printed = &part["printed"];
    let on_bed = printed["on_bed"].as_str().unwrap_or_default();
    let chosen = printed["candidates"].as_array().into_iter().flatten().find(|c| c["on_bed"] == on_bed);
    let volume = chosen.and_then(|c| c["support_volume_mm3"].as_f64()).unwrap_or_default();
    let support = match volume {
        v if v < LITTLE => "needs no support".to_owned(),
        v if v < 100.0 => format!("needs about {v:.0} mm3 of support"),
        v => format!("needs about {:.1} cm3 of support", v / 1000.0),
    };
    let marks = chosen.and_then(|c| c["marks"].as_array()).into_iter().flatten();
    let scarred: Vec<&str> =
        marks.filter(|m| m["by"] == Marked::Support.name()).filter_map(|m| m["face"].as_str()).collect();
    let free = free(part["part"].as_str().unwrap_or_default(), on_bed, volume >= LITTLE, &scarred);
    let size = |i: usize| {
        let at = |end: &str| part["bounds_mm"][end][i].as_f64().unwrap_or_default();
        at("max") - at("min")
    };
    format!(
        "{}: lies on its {on_bed}; {support}; {free}. {}{:.2} by {:.2} by {:.2} mm, {:.1} g.",
        part["id"].as_str().unwrap_or_default(),
        if has_finish { "With its finish, which you don't put on, " } else { "" },
        size(0),
        size(1),
        size(2),
        printed["cost"]["mass_g"].as_f64().unwrap_or_default()
    )
}

const PLEASE: [&str; 4] = [
    "Take support off and let blobs and strings be cut, but sand nothing: the sizes are read first.",
    "Put copies that came out otherwise beside each other, and say which is which.",
    "Say what was changed: material, layer, scale, turned otherwise.",
    "Dust and fumes: mask and fresh air, as the material's safety sheet says.",
];
