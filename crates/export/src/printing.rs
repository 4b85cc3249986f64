//! How parts are laid on the bed: for other programs, and in words.

use std::collections::BTreeMap;

use bobbinwright_geometry::parts::{Layout, pieces};
use bobbinwright_print::cost::Cost;
use bobbinwright_print::plates::Place;
use bobbinwright_print::{Candidate, Laid, Lying, Mark, Marked, Seen, pose};
use bobbinwright_spec::printer::profile::{Profile, Source};
use bobbinwright_spec::{Estimate, Length, Printer};

use crate::manifest::{
    CandidateEntry, CostEntry, LengthEntry, MarkEntry, PlacedEntry, PlateEntry, PrintedEntry, ProfileEntry,
};

impl CostEntry {
    fn of(cost: &Cost) -> Self {
        Self {
            mass_g: cost.mass,
            filament_m: cost.filament.as_mm() / 1000.0,
            minutes: cost.time.map(|t| t.as_secs_f64() / 60.0),
            time: time(cost),
        }
    }
}

impl PrintedEntry {
    /// A part as it lies.
    pub(crate) fn of(lying: &Lying, layout: &Layout, printer: &Printer) -> Self {
        let turn = pose::rotation(lying.chosen.lie, layout.handed);
        Self {
            on_bed: lying.chosen.lie.side.name(),
            chosen_by_builder: lying.by_builder,
            profile: is_made_up_for(lying, printer).map(str::to_owned),
            rotation: std::array::from_fn(|i| std::array::from_fn(|j| turn[(i, j)])),
            shift_mm: lying.shift,
            drawn: drawn(lying, layout, printer),
            volume_mm3: lying.volume,
            triangles: lying.mesh.triangles.len(),
            cost: CostEntry::of(&lying.cost),
            candidates: lying.weighed.candidates.iter().map(CandidateEntry::of).collect(),
        }
    }
}

impl ProfileEntry {
    /// A printer's profile; none without one.
    pub(crate) fn of(printer: &Printer) -> Option<Self> {
        let p = printer.profile()?;
        let entry =
            |e: &Estimate| LengthEntry { value: e.value().as_mm(), uncertainty: e.uncertainty().as_mm() };
        let [x, y, z] = &p.stretch;
        Some(Self {
            printer: p.name.clone(),
            source: match p.source {
                Source::Usual(material) => format!("usual for {}", material.title()),
                Source::Coupon { sizes, .. } => format!("{sizes} sizes read"),
            },
            stretch_mm: [entry(x), entry(y), entry(z)],
            growth_mm: entry(&p.growth),
            hole_far_mm: entry(&p.hole_far),
            hole_near_mm: entry(&p.hole_near),
            foot_mm: entry(&p.foot),
            lift_mm: entry(&p.lift),
            scatter_mm: p.scatter.one.as_mm(),
            layer_mm: printer.layer.as_mm(),
        })
    }
}

/// What was drawn for each size of a part that tells of a printer's walls.
fn drawn(lying: &Lying, layout: &Layout, printer: &Printer) -> BTreeMap<String, String> {
    let profile = printer.profile().filter(|_| lying.chosen.lie.side.is_flat());
    let names = pieces(layout, lying.kind, lying.chosen.lie).into_iter().filter_map(|piece| {
        let drawn = profile.map_or(piece.wanted, |p| p.drawn(piece.wanted, piece.made));
        let name = Profile::as_coupon(drawn, piece.made)?;
        let size = piece.size.to_string();
        let (_, word) = size.split_once('.')?;
        Some((word.to_owned(), name.to_string()))
    });
    names.collect()
}

/// The profile that a part is drawn by; none when it is nominal.
pub(crate) fn is_made_up_for<'p>(lying: &Lying, printer: &'p Printer) -> Option<&'p str> {
    let flat = lying.chosen.lie.side.is_flat();
    printer.profile().filter(|_| flat).map(|profile| profile.name.as_str())
}

impl CandidateEntry {
    fn of(c: &Candidate) -> Self {
        let mark = |m: &Mark| MarkEntry { face: m.seen.name(), by: m.by.name(), area_mm2: m.area };
        Self {
            on_bed: c.lie.side.name(),
            fits: c.fits,
            height_mm: c.size[2].as_mm(),
            layers: c.layers,
            support_area_mm2: c.support_area,
            support_volume_mm3: c.support_volume,
            bridged_mm2: c.bridged,
            drooping_mm2: c.drooping,
            contact_mm2: c.contact,
            marks: c.marks.iter().map(mark).collect(),
        }
    }
}

/// A plate's entry; `ids` are the parts' names.
pub(crate) fn plate(
    laid: &Laid,
    places: &[Place],
    file: String,
    ids: &[&str],
    printer: &Printer,
) -> PlateEntry {
    let parts =
        places.iter().map(|p| PlacedEntry { id: ids[p.part].to_owned(), at_mm: p.at.map(Length::as_mm) });
    PlateEntry {
        file,
        parts: parts.collect(),
        spacing_mm: printer.spacing.as_mm(),
        bed_mm: printer.bed.map(Length::as_mm),
        cost: CostEntry::of(&cost_of(laid, places)),
    }
}

/// What all parts of a plate take.
pub(crate) fn cost_of(laid: &Laid, places: &[Place]) -> Cost {
    places.iter().map(|p| laid.parts[p.part].cost).fold(Cost::default(), Cost::with)
}

/// `1 to 3 h`, `25 to 80 min`: in steps that do not pretend to know more.
pub(crate) fn time(cost: &Cost) -> String {
    let [low, high] = cost.time.map(|t| t.as_secs_f64() / 60.0);
    if high < 100.0 {
        let step = |minutes: f64| (minutes / 5.0).round().max(1.0) * 5.0;
        return format!("{:.0} to {:.0} min", step(low), step(high));
    }
    let half_hours = |minutes: f64| (minutes / 30.0).round().max(1.0) / 2.0;
    format!("{} to {} h", half_hours(low), half_hours(high))
}

/// What of a candidate counts, in one sentence's part: `41.2 cm³ of support; marks nothing that is seen`.
pub(crate) fn in_words(c: &Candidate) -> String {
    let mut parts = Vec::new();
    if !c.fits {
        parts.push("larger than the bed".to_owned());
    }
    if !c.stands() {
        parts.push("too little of it touches the bed".to_owned());
    }
    parts.push(support_in_words(c));
    // The largest first; what is less than these does not decide.
    parts.extend(c.marks.iter().take(3).map(mark_in_words));
    if c.marks.is_empty() {
        parts.push("marks nothing that is seen".to_owned());
    }
    parts.join("; ")
}

/// `no support`, `55 mm³ of support`, `46.7 cm³ of support`.
pub(crate) fn support_in_words(c: &Candidate) -> String {
    match c.support_volume {
        v if v < 0.5 => "no support".to_owned(),
        v if v < 100.0 => format!("{v:.0} mm³ of support"),
        v => format!("{:.1} cm³ of support", v / 1000.0),
    }
}

fn mark_in_words(m: &Mark) -> String {
    let (what, area) = (m.seen.name(), m.area);
    let takes = if matches!(m.seen, Seen::Sides | Seen::Ears) { "take" } else { "takes" };
    match m.by {
        Marked::Support => format!("support scars {area:.0} mm² of the {what}"),
        Marked::Droop => format!("{area:.0} mm² of the {what} overhang just over the bed and droop a little"),
        Marked::Bed => format!("the {what} {takes} the bed's texture ({area:.0} mm²)"),
    }
}
