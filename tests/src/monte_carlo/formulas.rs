//! The derived quantities again, each by a formula of its own.

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::printer::Trueness;
use bobbinwright_spec::{
    Angle, Estimate, InstrumentQuantity as I, Mounting, Poles, Position, PositionQuantity as P, Quantity,
    Side, Survey,
};

use super::Draw;

/// A quantity as the program states it, and the formula that it is drawn by.
pub(super) struct Derived<'a> {
    pub name: String,
    pub stated: Estimate,
    pub formula: Box<dyn Fn(&mut Draw) -> f64 + Sync + 'a>,
}

/// One position of a demo with everything that formulas need.
struct Scene<'a> {
    survey: &'a Survey,
    prepared: &'a Prepared,
    position: &'a Position,
    layout: &'a Layout,
    tolerance: f64,
    found: Vec<Derived<'a>>,
}

/// Every derived quantity of a position.
pub(super) fn all<'a>(survey: &'a Survey, prepared: &'a Prepared, index: usize) -> Vec<Derived<'a>> {
    let mut scene = Scene {
        survey,
        prepared,
        position: &prepared.family.positions[index],
        layout: &prepared.positions[index].layout,
        tolerance: match &prepared.family.printer.trueness {
            Trueness::Within(within) => within.stated.as_mm(),
            Trueness::Profile(_) => panic!("the formulas are for printers without a profile"),
        },
        found: Vec::new(),
    };
    scene.fan_out();
    scene.string_places();
    scene.heights();
    scene.screws();
    scene.rods();
    scene.air_under_the_strings();
    scene.centred_string();
    scene.lead_out();
    scene.found
}

impl<'a> Scene<'a> {
    fn enter(
        &mut self,
        name: impl AsRef<str>,
        stated: &Estimate,
        formula: impl Fn(&mut Draw) -> f64 + Sync + 'a,
    ) {
        let name = format!("{} {}", self.position.name, name.as_ref());
        self.found.push(Derived { name, stated: stated.clone(), formula: Box::new(formula) });
    }

    fn measured(&self, quantity: &Quantity) -> Option<&'a Estimate> {
        self.survey.quantities.iter().find(|q| q.quantity == *quantity)?.estimate.as_ref()
    }

    fn here(&self, quantity: P) -> Option<&'a Estimate> {
        self.measured(&Quantity::At(self.position.name.clone(), quantity))
    }

    /// A check's margin and title.
    fn check(&self, name: &str) -> Option<(&'a Estimate, &'a str)> {
        let named = |c: &&bobbinwright_fit::Check| c.kind.name() == name && c.position == self.position.name;
        self.prepared.fit.checks.iter().find(named).map(|c| (&c.margin, c.title.as_str()))
    }

    /// Similar triangles.
    fn fan_out(&mut self) {
        let at = |q| self.measured(&Quantity::Instrument(q));
        let inputs = (at(I::BridgeSpread), at(I::NutSpread), at(I::Scale), self.here(P::BridgeDistance));
        let (Some(bridge), Some(nut), Some(scale), Some(x)) = inputs else { return };
        let Some(fan) = &self.position.fan_out else { return };
        self.enter("spread by fan-out", &fan.predicted, |d| {
            let (bridge, nut, scale, x) = (d.of(bridge), d.of(nut), d.of(scale), d.of(x));
            (bridge * (scale - x) + nut * x) / scale
        });
    }

    /// Weighted least squares over everything read of the strings, solved anew for each draw.
    fn string_places(&mut self) {
        let n = self.position.strings.len();
        // Those of a slanted row are held against lines in the instrument's own frame, in spec's tests.
        if self.position.slant != Angle::default() {
            return;
        }
        let mut equations: Vec<(Vec<f64>, &'a Estimate, Option<f64>)> = Vec::new();
        for known in &self.survey.quantities {
            let (Quantity::At(place, q), Some(estimate)) = (&known.quantity, &known.estimate) else {
                continue;
            };
            if *place != self.position.name {
                continue;
            }
            let mut left = vec![0.0; n];
            match q {
                P::StringPair(a, b) => {
                    (left[a - 1], left[b - 1]) = (1.0, -1.0);
                    equations.push((left, estimate, None));
                }
                P::BassSide => {
                    left[n - 1] = 1.0;
                    equations.push((left, estimate, Some(-1.0)));
                }
                P::TrebleSide => {
                    left[0] = 1.0;
                    equations.push((left, estimate, Some(1.0)));
                }
                _ => {}
            }
        }
        let length = &self.position.rout.length;
        let weight = |(_, e, side): &(Vec<f64>, &Estimate, Option<f64>)| {
            let whole = side.map_or((*e).clone(), |s| (*e).clone() * -s + length.clone() * (0.5 * s));
            whole.uncertainty().as_mm().powi(-2)
        };
        let weights: Vec<f64> = equations.iter().map(weight).collect();
        let last = &self.position.strings[n - 1].place;
        self.enter(format!("place of string {n}"), last, move |d| {
            let half = 0.5 * d.of(length);
            let right = equations.iter().map(|(_, e, side)| {
                let read = d.of(e);
                side.map_or(read, |s| s * (half - read))
            });
            let right: Vec<f64> = right.collect();
            let rows = equations.iter().map(|(left, ..)| left.as_slice());
            least_squares(&rows.collect::<Vec<_>>(), &right, &weights)[n - 1]
        });
    }

    /// A string between two whose heights were read lies on the straight line between them; where, is
    /// drawn too.
    fn heights(&mut self) {
        let n = self.position.strings.len();
        let (Some(first), Some(last)) = (self.here(P::StringHeight(1)), self.here(P::StringHeight(n))) else {
            return;
        };
        if (2..n).any(|i| self.here(P::StringHeight(i)).is_some()) {
            return;
        }
        let strings = &self.position.strings;
        let middle = n / 2;
        self.enter(format!("height of string {middle}"), &strings[middle - 1].height, move |d| {
            let x = |d: &mut Draw, i: usize| d.of(&strings[i - 1].place);
            let (a, b, c) = (x(d, 1), x(d, middle), x(d, n));
            d.of(first) + (d.of(last) - d.of(first)) * (b - a) / (c - a)
        });
    }

    fn screws(&mut self) {
        let (hardware, tolerance) = (&self.prepared.family.hardware, self.tolerance);
        let cover = &self.layout.wanted.cover;
        // Where screws go in their holes, and ears in their recesses, is held against moved parts by the simulated bench.
        let Mounting::Bosses { recess_depth, .. } = cover.mounting else { return };
        if let Some((margin, _)) = self.check("head-sunk") {
            self.enter("head below the top", margin, move |d| {
                d.print(recess_depth.as_mm(), tolerance) - d.of(&hardware.screw_head_height)
            });
        }
    }

    fn rods(&mut self) {
        let (hardware, tolerance, wanted) =
            (&self.prepared.family.hardware, self.tolerance, &self.layout.wanted);
        if let Some((margin, _)) = self.check("rod-through-flatwork") {
            self.enter("play of a rod", margin, move |d| {
                d.print(wanted.flatwork.pole_hole.as_mm(), tolerance) - d.of(&hardware.rod_diameter)
            });
        }
        if let Some((margin, _)) = self.check("eyelet-through-hole") {
            self.enter("play of an eyelet", margin, move |d| {
                d.print(wanted.flatwork.eyelet_hole.as_mm(), tolerance) - d.of(&hardware.eyelet_barrel)
            });
        }
        if let Some((margin, _)) = self.check("bobbin-under-roof") {
            let above = wanted.cover.pole_hole.map_or(0.0, |_| wanted.flatwork.rod_above.as_mm());
            self.enter("room over the bobbin", margin, move |d| {
                let hollow = (wanted.cover.height - wanted.cover.roof).as_mm();
                d.print(hollow, tolerance) - (d.of(&hardware.rod_length) - above)
            });
        }
    }

    fn air_under_the_strings(&mut self) {
        let Some((margin, title)) = self.check("height-under-strings") else { return };
        let Some(number) = title.rsplit(' ').next().and_then(|n| n.parse::<usize>().ok()) else { return };
        let (string, rout) = (&self.position.strings[number - 1], &self.position.rout);
        let (wanted, tolerance) = (&self.layout.wanted, self.tolerance);
        let rods = title.starts_with("Rods").then_some(&self.prepared.family.hardware.rod_length);
        self.enter(format!("air under string {number}"), margin, move |d| {
            let depth = rout.ears.as_ref().map_or(&rout.depth, |ears| &ears.depth);
            let seat = wanted.seat.lift.as_mm() - d.of(depth)
                + d.print(wanted.baseplate.thickness.as_mm(), tolerance);
            let top = match rods {
                Some(rod) => d.of(rod),
                None => d.print(wanted.cover.height.as_mm(), tolerance),
            };
            d.of(&string.height) - seat - top - wanted.seat.string_gap.as_mm()
        });
    }

    /// Where the cover lies along the row: anywhere between where the rout's ends, the recesses' or a screw stop it first, as
    /// sizes are believed to be. (That another may stop it is held against moved covers by the simulated bench.)
    fn cover_along(&self) -> impl Fn(&mut Draw) -> f64 + use<'a> {
        let (rout, layout, tolerance) = (&self.position.rout, self.layout, self.tolerance);
        let (hardware, treble) = (&self.prepared.family.hardware, self.position.handed.treble());
        let reaches = [&rout.sides.bass, &rout.sides.treble].map(|side| side.reach(0.0));
        let pitch = layout.screw_pitch().as_mm();
        let holes: Vec<f64> = layout.screws.iter().map(|hole| hole.x * treble).collect();
        let nearest = move |along: f64| {
            let near = |a: &&f64, b: &&f64| (**a - along).abs().total_cmp(&(**b - along).abs());
            holes.iter().min_by(near).copied().unwrap_or_default()
        };
        // All limits towards bass and treble: the ends, the recesses', each screw.
        let limits = move |of: &mut dyn FnMut(&Estimate) -> f64, made: &mut dyn FnMut(f64) -> f64| {
            let half = 0.5 * made(layout.length.as_mm());
            let mut all = vec![reaches.each_ref().map(|reach| of(reach) - half)];
            if let (Some(ear), Some(recess)) = (layout.ears, &rout.ears) {
                let half = 0.5 * made((layout.length + ear.length * 2.0).as_mm());
                all.push(reaches.each_ref().map(|reach| of(reach) + of(&recess.length) - half));
            }
            // The flanks of recesses in the long sides.
            for (ear, tab) in rout.ears.iter().flat_map(|ears| ears.at.iter().zip(&layout.tabs)) {
                if let (false, Some(recess)) = (ear.side.is_end(), &rout.ears) {
                    let play = 0.5 * (of(&recess.width) - made(tab.width.as_mm()));
                    // The mouth's corner meets the ear's blend, a quarter of a circle, before the flank.
                    let side = if ear.side == Side::Neck { &rout.sides.neck } else { &rout.sides.bridge };
                    let gap = of(&side.reach(0.0)) - 0.5 * made(layout.width.as_mm());
                    let blend = match layout.wanted.cover.mounting {
                        Mounting::Ears { blend, .. } => blend.as_mm(),
                        Mounting::Bosses { .. } => 0.0,
                    };
                    let over = (blend - gap).clamp(0.0, blend);
                    let play = play - (blend - (blend * blend - over * over).sqrt());
                    let off = of(&ear.offset) - tab.offset.as_mm();
                    all.push([play - off, play + off]);
                }
            }
            let (hole, stretch) = (made(layout.wanted.cover.screw_hole.as_mm()), made(0.0));
            for screw in &rout.screws {
                let x = nearest(screw.along.value().as_mm());
                let off = of(&screw.along) - x - stretch * x / pitch;
                let play = 0.5 * (hole - of(&hardware.screw_diameter));
                all.push([play - off, play + off]);
            }
            all
        };
        let believed = limits(&mut |e| e.value().as_mm(), &mut |size| size);
        let first = [0, 1].map(|way| {
            let order = |a: &usize, b: &usize| believed[*a][way].total_cmp(&believed[*b][way]);
            (0..believed.len()).min_by(order).unwrap_or_default()
        });
        move |d| {
            let d = std::cell::RefCell::new(d);
            let drawn =
                limits(&mut |e| d.borrow_mut().of(e), &mut |size| d.borrow_mut().print(size, tolerance));
            let [bass, treble] = [0, 1].map(|way| drawn[first[way]][way]);
            0.5 * (treble - bass) + d.borrow_mut().rectangle((0.5 * (treble + bass)).max(1e-9))
        }
    }

    /// A string against the nearer of its rods, cover and bobbin anywhere within their play.
    fn centred_string(&mut self) {
        let name = if self.layout.wanted.poles == Poles::Single {
            "string-over-pole"
        } else {
            "string-between-poles"
        };
        let Some((margin, title)) = self.check(name) else { return };
        let Some(number) = title.rsplit(' ').next().and_then(|n| n.parse::<usize>().ok()) else { return };
        let strings = &self.position.strings;
        let string = &strings[number - 1];
        let (rod, wanted, tolerance) =
            (&self.prepared.family.hardware.rod_diameter, &self.layout.wanted, self.tolerance);
        let along = self.cover_along();
        let loose = match wanted.cover.pole_hole {
            Some(hole) => 0.5 * (hole.as_mm() - rod.value().as_mm()),
            None => wanted.flatwork.play.as_mm(),
        };
        // Poles stand where the string was read, to a hundredth.
        let place = self.position.over_rods(string);
        let pole = (place.value().as_mm() * 100.0).round() / 100.0;
        let across = self.position.slant.as_degrees().to_radians().cos();
        self.enter(format!("string {number} to its rods"), margin, move |d| {
            let shift = d.rectangle(loose.max(0.0)) + 0.5 * d.print(0.0, tolerance) - along(d);
            // Square to the string, where the row is slanted to it.
            let off = (d.of(&place) - pole + shift) * across;
            match wanted.poles {
                Poles::Single => 0.5 * d.of(rod) - off,
                Poles::Pair { spread } => {
                    0.5 * (spread.as_mm() * across - d.of(rod) - d.of(&string.gauge)) - off
                }
            }
        });
    }

    fn lead_out(&mut self) {
        let Some((margin, _)) = self.check("lead-out-at-channel") else { return };
        let Some(channel) = &self.position.rout.channel else { return };
        let lead_out = self.layout.wanted.cover.lead_out;
        if channel.side != lead_out.side || !matches!(channel.side, Side::Neck | Side::Bridge) {
            return;
        }
        let lead = &self.prepared.family.hardware.lead_diameter;
        let side = 1f64.copysign((channel.offset.value() - lead_out.offset).as_mm());
        let moved = self.cover_along();
        // The way straight across, on the side on which the mouth is.
        self.enter("lead-out to channel", margin, move |d| {
            let along = d.of(&channel.offset) - lead_out.offset.as_mm() - moved(d);
            0.5 * (lead_out.width.as_mm() - d.of(lead)) - side * along
        });
    }
}

/// The unknowns that leave the least sum of weighted squares, by the normal equations and elimination.
fn least_squares(rows: &[&[f64]], right: &[f64], weights: &[f64]) -> Vec<f64> {
    let n = rows[0].len();
    let mut normal = vec![vec![0.0; n + 1]; n];
    for ((row, value), weight) in rows.iter().zip(right).zip(weights) {
        for i in 0..n {
            for j in 0..n {
                normal[i][j] += weight * row[i] * row[j];
            }
            normal[i][n] += weight * row[i] * value;
        }
    }
    for i in 0..n {
        // A sum of squares: the pivots are positive where the strings are tied to the rout.
        let pivot = normal[i].clone();
        for row in normal.iter_mut().enumerate().filter(|(k, _)| *k != i).map(|(_, row)| row) {
            let factor = row[i] / pivot[i];
            for (value, of_pivot) in row.iter_mut().zip(&pivot) {
                *value -= factor * of_pivot;
            }
        }
    }
    (0..n).map(|i| normal[i][n] / normal[i][i]).collect()
}
