//! `family.ron` as it is written: read, bounds checked, nothing worked out yet.

use std::collections::BTreeMap;

use crate::Length;
use crate::coil;
use crate::cut_sheet::CutSheet;
use crate::finish::Finish;
use crate::handed::Handed;
use crate::load;
use crate::magnets;
use crate::node::{Node, NodeKind};
use crate::outline::CoverOutline;
use crate::part::{BedSide, OnBed, PartKind};
use crate::printer::WrittenPrinter;
use crate::problem::Span;
use crate::reader::{Noted, Record, choice, length, number, path, text};
use crate::string_set;
use crate::wanted::{Baseplate, Cover, Flatwork, LeadOut, Lip, Mounting, Seat, Side, Wanted, parameter};
use crate::written_finish;
use crate::written_rout::WrittenRout;

/// A family as written.
#[derive(Clone, Debug)]
pub(crate) struct Written {
    pub title: String,
    pub strings: usize,
    pub handed: Handed,
    pub positions: Vec<WrittenPosition>,
    pub printer: Option<WrittenPrinter>,
    /// False when a dimension is missing or wrong (which has been noted).
    pub complete: bool,
}

/// A position as written.
#[derive(Clone, Debug)]
pub(crate) struct WrittenPosition {
    pub name: String,
    pub rout: WrittenRout,
    pub wanted: Option<Wanted>,
}

/// What only the family says, never a position.
const FAMILY_ONLY: [&str; 6] = ["title", "strings", "handed", "positions", "printer", "like"];

impl Written {
    /// What is put on a part of a position, as far as that is stated.
    pub fn finish(&self, position: &str, part: PartKind) -> Option<Finish> {
        let known = self.positions.iter().find(|p| p.name == position)?;
        known.wanted.as_ref()?.finish.of(part)
    }

    /// Reads the root of `family.ron`, and the roots of the families that it is like, the nearest first;
    /// none when there is no telling what the family is.
    pub fn read(roots: &[&Node], noted: &mut Noted) -> Option<Self> {
        let mut record = Record::new("", roots.to_vec(), noted)?;
        let title = record.need("title", "\"My six string\"", noted).and_then(|n| text(n, "title", noted));
        let strings = record.need("strings", "6", noted).and_then(|n| string_count(n, noted));
        let handed = record.get("handed").map(|n| choice(n, "handed", &Handed::ALL, noted));
        let printer = WrittenPrinter::read(&mut record, noted);
        if let Some(node) = record.get("like") {
            path(node, "like", noted);
        }
        let list = record.need("positions", "[(name: \"neck\")]", noted);
        let positions = list.map(|n| positions(n, roots, noted)).unwrap_or_default();
        let named =
            list.is_none_or(|n| matches!(&n.kind, NodeKind::List(items) if items.len() == positions.len()));
        // The rest of the root is read position by position, as the layer below each.
        let complete = title.is_some()
            && handed != Some(None)
            && printer.is_some()
            && positions.iter().all(|p| p.wanted.is_some());
        let title = title.unwrap_or_default();
        // A position without a proper name would make every reading of it a mistake.
        (named && !positions.is_empty()).then_some(())?;
        let handed = handed.flatten().unwrap_or_default();
        Some(Self { title, strings: strings?, handed, positions, printer, complete })
    }
}

/// As many strings as a family can have.
pub(crate) const MOST_STRINGS: usize = 12;

fn string_count(node: &Node, noted: &mut Noted) -> Option<usize> {
    let n = number(node, "strings", noted)?;
    if n.fract() == 0.0 && (4.0..=MOST_STRINGS as f64).contains(&n) {
        return Some(n as usize);
    }
    noted.error(node.span, format!("strings is {n}"), format!("a family has 4 to {MOST_STRINGS} strings"));
    None
}

fn positions(node: &Node, roots: &[&Node], noted: &mut Noted) -> Vec<WrittenPosition> {
    let NodeKind::List(items) = &node.kind else {
        noted.error(node.span, "positions needs a list", "write [(name: \"neck\"), (name: \"bridge\")]");
        return Vec::new();
    };
    if items.is_empty() {
        noted.error(node.span, "positions is empty", "write at least [(name: \"neck\")]");
    }
    let mut found: Vec<WrittenPosition> = Vec::new();
    for item in items {
        let Some(position) = position(item, &layers(item, roots), noted) else { continue };
        if found.iter().any(|p| p.name == position.name) {
            let message = format!("two positions are called {:?}", position.name);
            noted.error(item.span, message, "give each a name of its own");
            continue;
        }
        found.push(position);
    }
    found
}

/// What is said of a position, the strongest first: by the family itself, of this position and of all;
/// then by each family that it is like, in the same way. The item itself may be one of these families'.
fn layers<'n>(item: &'n Node, roots: &[&'n Node]) -> Vec<&'n Node> {
    let name = item_name(item).map(|n| &n.kind);
    let mut layers = Vec::new();
    for root in roots {
        let NodeKind::Record(fields) = &root.kind else { continue };
        let list = fields.iter().find(|f| f.name == "positions").map(|f| &f.value.kind);
        if let Some(NodeKind::List(items)) = list {
            // The item itself is among them, also where its name is wrong.
            let same = |i: &&Node| {
                std::ptr::eq(*i, item) || (name.is_some() && item_name(i).map(|n| &n.kind) == name)
            };
            layers.extend(items.iter().find(same));
        }
        layers.push(root);
    }
    layers
}

fn position(item: &Node, layers: &[&Node], noted: &mut Noted) -> Option<WrittenPosition> {
    if let NodeKind::Record(fields) = &item.kind {
        for field in fields.iter().filter(|f| FAMILY_ONLY.contains(&f.name.as_str())) {
            noted.error(
                field.span,
                format!("{} belongs to the family, not to a position", field.name),
                "move it out of positions",
            );
        }
    }
    let mut record = Record::new("", layers.to_vec(), noted)?;
    for known in FAMILY_ONLY {
        record.get(known);
    }
    let name = if let Some(node) = item_name(item) {
        text(node, "name", noted).and_then(|t| position_name(t, node.span, noted))
    } else {
        noted.error(item.span, "this position has no name", "add name: \"neck\"");
        None
    };
    record.get("name");
    let rout = WrittenRout::read(&mut record, noted);
    let mut taker = Taker { noted, origins: BTreeMap::new() };
    let poles = taker.poles(&mut record);
    let row_offset = taker.row(&mut record);
    let cover = record.need_sub("cover", taker.noted).and_then(|r| taker.cover(r));
    let baseplate = record.need_sub("baseplate", taker.noted).and_then(|r| taker.baseplate(r));
    let flatwork = record.need_sub("flatwork", taker.noted).and_then(|r| taker.flatwork(r));
    let seat = record.need_sub("seat", taker.noted).and_then(|r| taker.seat(r));
    let mut origins = taker.origins;
    let others = ["poles", "cover.lead_out.side", "coil.wire", "coil.wind"];
    origins.extend(others.into_iter().filter_map(|path| Some((path, record.place_of(path)?))));
    let finish = written_finish::read(&mut record, noted);
    let on_bed = on_bed(&mut record, noted);
    let coil = coil::read(&mut record, noted);
    let magnets = magnets::read_alloy(&mut record, noted);
    let north = magnets::read_north(&mut record, noted);
    let load = load::read(&mut record, noted);
    let string_set = string_set::read(&mut record, noted);
    record.finish(noted);
    let wanted = (|| {
        Some(Wanted {
            poles: poles?,
            row_offset: row_offset.ok()?,
            cover: cover?,
            baseplate: baseplate?,
            flatwork: flatwork?,
            seat: seat?,
            finish: finish.ok()?,
            coil: coil.ok()?,
            magnets: magnets.ok()?,
            north: north?,
            load: load.ok()?,
            string_set: string_set.ok()?,
            on_bed: on_bed?,
            origins,
        })
    })();
    Some(WrittenPosition { name: name?, rout: rout?, wanted })
}

fn item_name(item: &Node) -> Option<&Node> {
    match &item.kind {
        NodeKind::Record(fields) => fields.iter().find(|f| f.name == "name").map(|f| &f.value),
        _ => None,
    }
}

/// A position's name stands in file names and in quantities' names.
fn position_name(name: String, span: Span, noted: &mut Noted) -> Option<String> {
    let plain = !name.is_empty()
        && name.len() <= 24
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
    // These begin quantities of the whole instrument.
    let taken = ["strings", "nut", "scale", "rod", "eyelet", "screw", "lead"];
    if !plain || taken.contains(&name.as_str()) {
        noted.error(
            span,
            format!("a position can't be called {name:?}"),
            "use small letters, digits and _, like \"neck\" or \"middle\"",
        );
        return None;
    }
    Some(name)
}

/// Which sides are stated to lie on the bed; none after a mistake, which has been noted.
fn on_bed(record: &mut Record, noted: &mut Noted) -> Option<OnBed> {
    let mut stated = OnBed::default();
    if record.get("on_bed").is_none() {
        return Some(stated);
    }
    let mut sides = record.sub("on_bed", noted)?;
    for (word, part) in OnBed::WORDS {
        if let Some(node) = sides.get(word) {
            let side = choice(node, &format!("on_bed.{word}"), &BedSide::ALL, noted)?;
            stated.set(part, side, node.span);
        }
    }
    sides.finish(noted);
    Some(stated)
}

/// Where the search for a snug gap begins.
const SNUG_START: Length = Length::from_mm(0.3);

/// Reads dimensions and remembers where each was stated.
pub(crate) struct Taker<'n> {
    pub noted: &'n mut Noted,
    origins: BTreeMap<&'static str, Span>,
}

impl Taker<'_> {
    pub fn optional(&mut self, record: &mut Record, field: &'static str) -> Option<Length> {
        let node = record.get(field)?;
        let path = format!("{}.{field}", record.path());
        let Some(known) = parameter(&path) else {
            // Every path read here is in the registry; a test holds this.
            return None;
        };
        self.origins.insert(known.path, node.span);
        let bounds = (Length::from_mm(known.low), Length::from_mm(known.high));
        length(node, &path, bounds, self.noted)
    }

    pub fn need(&mut self, record: &mut Record, field: &'static str) -> Option<Length> {
        record.need(field, "mm(…)", self.noted)?;
        self.optional(record, field)
    }

    fn cover(&mut self, mut r: Record) -> Option<Cover> {
        let mounting = self.mounting(&mut r);
        let pole_hole = self.optional(&mut r, "pole_hole");
        let lead_out = r.need_sub("lead_out", self.noted).and_then(|r| self.lead_out(r));
        let (fit_gap, snug) = self.fit_gap(&mut r).unzip();
        let mut take = |field| self.need(&mut r, field);
        let (wall, roof, height) = (take("wall"), take("roof"), take("height"));
        let (rounding, inner_radius, screw_hole) =
            (take("rounding"), take("inner_radius"), take("screw_hole"));
        let corner_radius = self.optional(&mut r, "corner_radius");
        let outline =
            r.get("outline").and_then(|n| choice(n, "cover.outline", &CoverOutline::ALL, self.noted));
        r.finish(self.noted);
        Some(Cover {
            fit_gap: fit_gap?,
            snug: snug?,
            wall: wall?,
            roof: roof?,
            height: height?,
            outline: outline.unwrap_or_default(),
            corner_radius,
            rounding: rounding?,
            inner_radius: inner_radius?,
            screw_hole: screw_hole?,
            mounting: mounting?,
            pole_hole,
            lead_out: lead_out?,
        })
    }

    /// A gap, or the chance with which the cover shall go in.
    fn fit_gap(&mut self, r: &mut Record) -> Option<(Length, Option<f64>)> {
        let node = r.need("fit_gap", "mm(0.3), or snug(chance: 0.98)", self.noted)?;
        if node.tag.as_deref() != Some("snug") {
            return self.optional(r, "fit_gap").map(|gap| (gap, None));
        }
        self.origins.insert("cover.fit_gap", node.span);
        let mut snug = r.sub("fit_gap", self.noted)?;
        let chance = snug.need("chance", "0.98", self.noted)?;
        let value = number(chance, "cover.fit_gap.chance", self.noted)?;
        snug.finish(self.noted);
        if !(0.95..=0.9999).contains(&value) {
            let message = format!("cover.fit_gap.chance is {value}");
            self.noted.error(chance.span, message, "use 0.95 to 0.9999: from 0.95 on it counts as fitting");
            return None;
        }
        Some((SNUG_START, Some(value)))
    }

    fn mounting(&mut self, r: &mut Record) -> Option<Mounting> {
        r.need("mounting", "bosses(…) or ears(…)", self.noted)?;
        let (tag, span) = r.tag("mounting")?;
        if !matches!(tag, "ears" | "bosses") {
            self.noted.error(
                span,
                "cover.mounting: how do the screws hold it?",
                "write ears(…) or bosses(…)",
            );
            return None;
        }
        self.origins.insert("cover.mounting", span);
        let mut m = r.sub("mounting", self.noted)?;
        let mounting = if tag == "ears" {
            let (length, width) = (self.optional(&mut m, "length"), self.optional(&mut m, "width"));
            let corner_radius = self.optional(&mut m, "corner_radius");
            let (thickness, blend) = (self.need(&mut m, "thickness"), self.need(&mut m, "blend"));
            thickness.zip(blend).map(|(thickness, blend)| Mounting::Ears {
                length,
                width,
                thickness,
                corner_radius,
                blend,
            })
        } else {
            let diameter = self.need(&mut m, "diameter");
            let recess = self.need(&mut m, "recess_diameter").zip(self.need(&mut m, "recess_depth"));
            diameter.zip(recess).map(|(diameter, (recess_diameter, recess_depth))| Mounting::Bosses {
                diameter,
                recess_diameter,
                recess_depth,
            })
        };
        m.finish(self.noted);
        mounting
    }

    fn lead_out(&mut self, mut r: Record) -> Option<LeadOut> {
        let side = r
            .need("side", "bridge", self.noted)
            .and_then(|n| choice(n, "cover.lead_out.side", &Side::ALL, self.noted));
        let mut take = |field| self.need(&mut r, field);
        let (offset, width, height) = (take("offset"), take("width"), take("height"));
        r.finish(self.noted);
        Some(LeadOut { side: side?, offset: offset?, width: width?, height: height? })
    }

    fn baseplate(&mut self, mut r: Record) -> Option<Baseplate> {
        let thickness = self.need(&mut r, "thickness");
        let lead_depth = self.optional(&mut r, "lead_depth");
        let lip = r.get("lip").is_some().then(|| r.sub("lip", self.noted)).flatten().map(|mut l| {
            let mut take = |field| self.need(&mut l, field);
            let (gap, wall, height) = (take("gap"), take("wall"), take("height"));
            l.finish(self.noted);
            Some(Lip { gap: gap?, wall: wall?, height: height? })
        });
        r.finish(self.noted);
        Some(Baseplate { thickness: thickness?, lead_depth, lip: lip.map_or(Some(None), |l| l.map(Some))? })
    }

    fn flatwork(&mut self, mut r: Record) -> Option<Flatwork> {
        let (length, width) = (self.optional(&mut r, "length"), self.optional(&mut r, "width"));
        let eyelets = r.need_sub("eyelets", self.noted).and_then(|mut e| {
            let sides = [("neck", Side::Neck), ("bridge", Side::Bridge)];
            let side = e
                .need("side", "bridge", self.noted)
                .and_then(|n| choice(n, "flatwork.eyelets.side", &sides, self.noted));
            let mut take = |field| self.need(&mut e, field);
            let (hole, spread, inset) = (take("hole"), take("spread"), take("inset"));
            e.finish(self.noted);
            Some((side?, hole?, spread?, inset?))
        });
        let waists = r.need_sub("waists", self.noted).and_then(|mut w| {
            let mut take = |field| self.need(&mut w, field);
            let (offset, width, depth) = (take("offset"), take("width"), take("depth"));
            w.finish(self.noted);
            Some((offset?, width?, depth?))
        });
        let sheet = r.get("sheet").is_some().then(|| r.sub("sheet", self.noted)).flatten();
        let sheet = sheet.map_or(Some(None), |s| self.sheet(s).map(Some));
        let mut take = |field| self.need(&mut r, field);
        let (bottom, top, play) = (take("bottom"), take("top"), take("play"));
        let (corner_radius, pole_hole) = (take("corner_radius"), take("pole_hole"));
        let (rod_above, mark_radius) = (take("rod_above"), take("mark_radius"));
        r.finish(self.noted);
        let (eyelet_side, eyelet_hole, eyelet_spread, eyelet_inset) = eyelets?;
        let (waist_offset, waist_width, waist_depth) = waists?;
        Some(Flatwork {
            bottom: bottom?,
            top: top?,
            length,
            width,
            play: play?,
            corner_radius: corner_radius?,
            pole_hole: pole_hole?,
            rod_above: rod_above?,
            eyelet_hole,
            eyelet_spread,
            eyelet_inset,
            eyelet_side,
            waist_offset,
            waist_width,
            waist_depth,
            mark_radius: mark_radius?,
            sheet: sheet?,
        })
    }

    fn sheet(&mut self, mut r: Record) -> Option<CutSheet> {
        let mut take = |field| self.need(&mut r, field);
        let (length, width, kerf) = (take("length"), take("width"), take("kerf"));
        let (tolerance, thickness_tolerance) = (take("tolerance"), take("thickness_tolerance"));
        let (least_hole, least_web, spacing) = (take("least_hole"), take("least_web"), take("spacing"));
        r.finish(self.noted);
        Some(CutSheet {
            length: length?,
            width: width?,
            kerf: kerf?,
            tolerance: tolerance?,
            thickness_tolerance: thickness_tolerance?,
            least_hole: least_hole?,
            least_web: least_web?,
            spacing: spacing?,
        })
    }

    fn seat(&mut self, mut r: Record) -> Option<Seat> {
        let (lift, string_gap) = (self.need(&mut r, "lift"), self.need(&mut r, "string_gap"));
        r.finish(self.noted);
        Some(Seat { lift: lift?, string_gap: string_gap? })
    }
}
