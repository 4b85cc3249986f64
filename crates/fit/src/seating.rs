//! Where a part can be moved to in the rout, so that its screw holes come over those in the body.

use bobbinwright_spec::{Estimate, Length, PartKind, ScrewPlaces, SizeOf};

use crate::Figure;
use crate::bench::{Bench, figure};
use bobbinwright_estimate::chance;

/// A part that lies loose in the rout, and the screws that it must let through.
///
/// The part is moved by dx and dy and turned by a small θ; its middle line then lies at v(x) = dy + θ x. Seen from the
/// middles of the part's holes, which are half a pitch P/2 from its own, the screws stand at x₁, x₂ along and y₁, y₂
/// across, and their play is a disc of radius r:
///
/// - along: |dx| ≤ s, |xᵢ - dx| ≤ r;
/// - across: |v(±L/2)| ≤ s at the ends of a part of length L, |v(±P/2) - yᵢ| ≤ √(r² - e²), e being what is left of
///   xᵢ - dx.
///
/// Along, two intervals and a third meet if each two do. Across, (v(P/2), v(-P/2)) must lie in a rectangle and in a
/// parallelogram; these meet unless the direction of one of their edges parts them. Each such condition is a margin.
/// Ears are a second parallelogram, for which the same is asked: three of which each two meet may just miss each
/// other (of 4000 drawn cases 6 did, by up to 0.011 mm).
pub(crate) struct Seating {
    /// The screws in the body.
    body: ScrewPlaces,
    /// Half the difference of the two pitches.
    off: Estimate,
    /// The part's pitch.
    pub made: Estimate,
    /// Play in the rout at each end.
    along: Estimate,
    /// Play at the long sides, and over which length.
    across: Vec<(Estimate, Estimate)>,
}

impl Seating {
    pub fn of(bench: &mut Bench, kind: PartKind) -> Self {
        let rout = bench.position.rout.clone();
        let made = bench.printed(kind, SizeOf::ScrewPitch);
        let length = bench.printed(kind, SizeOf::Length);
        let width = bench.printed(kind, SizeOf::Width);
        let half = |outer: &Estimate, inner: &Estimate| (outer.clone() - inner.clone()) * 0.5;
        let mut along = half(&rout.length, &length);
        let mut across = vec![(half(&rout.width, &width), length)];
        if let (Some(_), Some(recess)) = (bench.layout(kind).ears, &rout.ears) {
            let reach = bench.printed(kind, SizeOf::EarToEar);
            let flanks = bench.printed(kind, SizeOf::EarWidth);
            let end = half(&(rout.length.clone() + recess.length.clone() * 2.0), &reach);
            if end.value() < along.value() {
                along = end;
            }
            across.push((half(&recess.width, &flanks), reach));
        }
        let off = half(&rout.screw_pitch, &made);
        Self { body: rout.screws, off, made, along, across }
    }

    /// What is left along where holes leave a screw so much play: as it is, and where the part is moved as far as it
    /// goes.
    pub fn along_margins(&self, play: &Estimate) -> Vec<Estimate> {
        let (off, along) = (&self.off, &self.body.along);
        let mut all = vec![play.clone() - off.clone(), play.clone() + off.clone()];
        for place in [along.clone() + off.clone(), along.clone() - off.clone()] {
            all.extend([1.0, -1.0].map(|sign| play.clone() + self.along.clone() - place.clone() * sign));
        }
        all
    }

    /// What is left for each condition.
    pub fn margins(&self, play: &Estimate) -> Vec<Estimate> {
        let mut all = self.along_margins(play);
        for (side, length) in &self.across {
            all.extend(self.across(play, side, length));
        }
        all
    }

    fn across(&self, play: &Estimate, side: &Estimate, length: &Estimate) -> Vec<Estimate> {
        let [first, second] = &self.body.across;
        let inputs =
            [play, &self.off, &self.body.along, &self.along, side, length, &self.made, first, second];
        let mut all = Vec::new();
        // Both screws, towards the neck and towards the bridge, by either condition.
        for (from, sign) in [(0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)] {
            for condition in [Across::at_the_screw, Across::at_the_end] {
                all.push(Estimate::of(&inputs, |v| {
                    let v: [f64; 9] = std::array::from_fn(|i| v[i].as_mm());
                    let [play, off, along, room, side, length, pitch, ref places @ ..] = v;
                    let left = off.abs() + (along.abs() - room.max(0.0)).max(0.0);
                    // Not to nought, where the slope has no end; whether it is reached the margins along tell.
                    let play = (play * play - left * left).max(0.1 * play * play).sqrt();
                    let places = [places[from] * sign, places[1 - from] * sign];
                    let plays = [play, play];
                    Length::from_mm(condition(&Across { plays, side, longer: length / pitch, places }))
                }));
            }
        }
        all
    }

    /// The chance that all conditions hold at once, by drawing.
    pub fn chance(&self, play: &Estimate) -> f64 {
        // Most are so far from any condition that no draw would come near.
        if self.margins(play).iter().all(|m| m.value().as_mm() > 6.0 * m.uncertainty().as_mm()) {
            return 1.0;
        }
        let [first, second] = &self.body.across;
        let mut inputs = vec![play, &self.off, &self.body.along, &self.along, &self.made, first, second];
        inputs.extend(self.across.iter().flat_map(|(side, length)| [side, length]));
        chance(&inputs, |v| {
            let [play, off, along, room, pitch, first, second, ref sides @ ..] = *v else { return false };
            let moved = along.clamp(-room.max(0.0), room.max(0.0));
            let left = [along + off - moved, along - off - moved].map(f64::abs);
            let plays = left.map(|left| (play * play - left * left).max(0.0).sqrt());
            let goes_across = |side: &[f64]| {
                let [side, length] = *side else { return false };
                let across = Across { plays, side, longer: length / pitch, places: [first, second] };
                across.holds()
            };
            left.iter().all(|left| *left <= play) && sides.chunks(2).all(goes_across)
        })
    }

    /// Where the screws stand, and how far the part can be moved.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = vec![
            figure("screws off the middle between the ends", &self.body.along),
            figure("treble screw off the middle line", &self.body.across[0]),
            figure("bass screw off the middle line", &self.body.across[1]),
            figure("play at the ends", &self.along),
        ];
        figures.extend(self.across.first().map(|(side, _)| figure("play at the long sides", side)));
        figures
    }
}

/// The conditions across, mm.
struct Across {
    plays: [f64; 2],
    side: f64,
    /// The part's length over its pitch.
    longer: f64,
    places: [f64; 2],
}

impl Across {
    /// The first screw against the part turned towards it as far as it goes.
    fn at_the_screw(&self) -> f64 {
        self.plays[0] + self.side * (1.0 / self.longer).max(1.0) - self.places[0]
    }

    /// The part's end beyond the first screw against the rout, where both screws hold the part.
    fn at_the_end(&self) -> f64 {
        let (near, far) = (f64::midpoint(1.0, self.longer), (1.0 - self.longer) / 2.0);
        let held = self.plays[0] * near + self.plays[1] * far.abs();
        self.side + held - (self.places[0] * near + self.places[1] * far)
    }

    /// Both conditions for both screws, either way.
    fn holds(&self) -> bool {
        let [[a, b], [y, z]] = [self.plays, self.places];
        [([a, b], [y, z]), ([b, a], [z, y]), ([a, b], [-y, -z]), ([b, a], [-z, -y])].into_iter().all(
            |(plays, places)| {
                let one = Across { plays, places, ..*self };
                one.at_the_screw() >= 0.0 && one.at_the_end() >= 0.0
            },
        )
    }
}
