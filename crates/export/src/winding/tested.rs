//! A coil that is wound: what tests should come to, and what they did come to.

use bobbinwright_elementary::Elementary;

use bobbinwright_coil::copper::at_temperature;
use bobbinwright_coil::winding::Resistance;
use bobbinwright_spec::coil::Until;
use bobbinwright_spec::load::Ohms;
use bobbinwright_spec::magnets::North;
use bobbinwright_spec::tested::{Kick, Test};
use bobbinwright_spec::wound::Shown;

use super::Winding;
use super::ends::Ends;
use super::ohms::kiloohms;

/// Between an eyelet and the rods less than this is a wire that touches (common practice).
const INSULATES: f64 = 10e6;
/// What an inductance bridge for the hand errs (common practice).
const BRIDGE: f64 = 0.01;

/// How far a coil is from 20 °C where nobody read it, degrees (common practice: a workshop).
const UNREAD: f64 = 3.0;

/// How a figure stands to its band.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stands {
    Low,
    Within,
    High,
}

impl Stands {
    fn of(value: f64, [least, most]: [f64; 2]) -> Self {
        match value {
            v if v < least => Self::Low,
            v if v > most => Self::High,
            _ => Self::Within,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Low => "too low",
            Self::Within => "as expected",
            Self::High => "too high",
        }
    }
}

impl Winding<'_> {
    /// The turns that are on the bobbin, or will be.
    fn turns_on(&self) -> f64 {
        let wound = self.on_bobbin.as_ref().and_then(|on_bobbin| on_bobbin.stops.last());
        let wound = wound.map(|(_, stop)| stop.turns);
        // A coil that is tested is done; what was wound after the last stop was not read. One that is wound to ohms may end
        // sooner.
        let is_counted = !matches!(self.wanted.until, Until::Ohms(_));
        wound.filter(|turns| !is_counted || *turns >= self.coil.turns).unwrap_or(self.coil.turns)
    }

    /// What an inductance bridge reads at a frequency: least and most; none too near the coil's own resonance.
    fn inductance_at(&self, hertz: f64) -> Option<[f64; 2]> {
        let turns = (self.turns_on() / self.coil.turns).power(2);
        let [least, _, most] = self.spread.reads(hertz)?.map(|l| l.0 * turns);
        Some([least * (1.0 - BRIDGE), most * (1.0 + BRIDGE)])
    }
}

/// What to test when it is wound, and what should come out.
pub(super) fn expected(winding: &Winding) -> String {
    let [least, _, most] = winding.resistance().map(kiloohms);
    let henries = winding.inductance_at(1000.0);
    let henries =
        henries.map_or(String::new(), |[low, high]| format!("{low:.2} to {high:.2} H at 1 kHz with rods; "));
    let kick = Ends::expected_kick(winding).word();
    format!(
        "{least} to {most}; {henries}open between each eyelet and the rods; {} up by a compass; a meter (DC mV, red lead at the hot eyelet) goes {kick} first when steel comes down on the rods",
        winding.position.wanted.north.pole()
    )
}

/// What was tested, judged; what hangs together is explained.
pub(super) fn found(winding: &Winding) -> Vec<(String, String)> {
    let Some(test) = winding.prepared.family.winds.tested(&winding.position.name) else { return Vec::new() };
    let resistance = test.reads.map(|shown| resistance(winding, &test, shown));
    let inductance = test.inductance.map(|(henries, hertz)| {
        let Some(band) = winding.inductance_at(hertz) else {
            let near = "too near the coil's own resonance to be judged: read it at 1 kHz or below";
            return (None, format!("{henries:.2} H at {hertz:.0} Hz: {near}"));
        };
        let stands = Stands::of(henries, band);
        let words = format!(
            "{henries:.2} H at {hertz:.0} Hz: {} ({:.2} to {:.2} H)",
            stands.words(),
            band[0],
            band[1]
        );
        (Some(stands), words)
    });
    let why = why(resistance.as_ref().map(|r| r.0), inductance.as_ref().and_then(|l| l.0));
    let all = [
        ("Measured resistance", resistance.map(|r| r.1)),
        ("Measured inductance", inductance.map(|l| l.1)),
        ("Which says", why.map(str::to_owned)),
        ("Insulation", test.insulation.map(insulation)),
        ("Field", field(winding, &test)),
        ("Compass", test.north.map(|north| compass(winding, north))),
        ("Meter's kick", test.kick.map(|way| kicked(winding, &test, way))),
    ];
    all.into_iter().filter_map(|(label, words)| Some((label.to_owned(), words?))).collect()
}

fn resistance(winding: &Winding, test: &Test, shown: Shown) -> (Stands, String) {
    let Shown::Ohms(Ohms(ohms)) = shown else {
        return (
            Stands::High,
            "open: the wire is broken, or an end is not soldered through its film".to_owned(),
        );
    };
    let celsius = test.celsius.unwrap_or(super::WORKSHOP);
    let [least, _, most] = winding.band_at(winding.turns_on(), celsius);
    let (open, read_at) = match test.celsius {
        Some(celsius) => (0.0, format!("{celsius} °C")),
        None => (
            at_temperature(20.0 + UNREAD) - 1.0,
            format!("a temperature that was not read ({celsius} °C is taken)"),
        ),
    };
    let [least, most] = [Resistance(least.0 * (1.0 - open)), Resistance(most.0 * (1.0 + open))];
    let stands = Stands::of(ohms, [least.0, most.0]);
    let [read, least, most] = [Resistance(ohms), least, most].map(kiloohms);
    (stands, format!("{read} at {read_at}: {} ({least} to {most})", stands.words()))
}

/// What resistance and inductance say together: the one goes with wire and turns, the other with turns and rods.
fn why(resistance: Option<Stands>, inductance: Option<Stands>) -> Option<&'static str> {
    use Stands::{High, Low, Within};
    Some(match (resistance?, inductance?) {
        (Within, Within) => return None,
        (Low, Low) => "fewer turns than counted, or turns that touch",
        (High, High) => "more turns than counted, or thin copper and rods of more permeability",
        (Low, Within) => {
            "thicker or better copper than stated, or turns that touch, too few for the inductance to tell"
        }
        (Low, High) => "thicker or better copper than stated, and rods of more permeability",
        (High, Within) => "thinner copper than stated, or wire that was pulled: the turns are there",
        (High, Low) => "thinner copper than stated, and turns that touch or rods of less permeability",
        (Within, Low) => {
            "rods of less permeability than stated, or none: turns that touch would take half as much of the ohms too"
        }
        (Within, High) => "rods of more permeability than stated, or iron near the coil",
    })
}

fn insulation(shown: Shown) -> String {
    match shown {
        Shown::Open => "open from coil to rods, as it should be".to_owned(),
        Shown::Ohms(Ohms(ohms)) if ohms >= INSULATES => {
            format!("{:.0} MΩ from coil to rods: enough", ohms / 1e6)
        }
        Shown::Ohms(Ohms(ohms)) => format!(
            "{} from coil to rods: the wire touches a rod, which crackles and hums once that is grounded; tape the rods and wind again",
            kiloohms(Resistance(ohms))
        ),
    }
}

/// What a teslameter read, beside what rods of the alloy give there.
fn field(winding: &Winding, test: &Test) -> Option<String> {
    let (millitesla, over) = test.field?;
    let read = format!("{millitesla} mT {} over a rod in the middle of the row", winding.unit().shown(over));
    let Some([least, _, most]) = winding.magnets.as_ref().and_then(|magnets| magnets.expected) else {
        return Some(format!(
            "{read}: state what the rods are made of (magnets: alnico5), then it is judged"
        ));
    };
    let [least, most] = [least, most].map(|field| field.0 * 1000.0);
    let stands = Stands::of(millitesla, [least, most]);
    let why = match stands {
        Stands::Low => "; the rods are magnetised in part only, were weakened since, or are of another alloy",
        Stands::Within => "",
        Stands::High => "; the rods are of a stronger alloy, or the probe was nearer than stated",
    };
    Some(format!(
        "{read}: {} ({least:.0} to {most:.0} mT){why}; fields at the strings go by it",
        stands.words()
    ))
}

fn compass(winding: &Winding, north: North) -> String {
    if north == winding.position.wanted.north {
        format!("{} up, as wanted", north.pole())
    } else {
        format!(
            "{} up, but {} is wanted: turn the rods, or say north: {}",
            north.pole(),
            winding.position.wanted.north.pole(),
            north.word()
        )
    }
}

fn kicked(winding: &Winding, test: &Test, way: Kick) -> String {
    let expected = Ends::expected_kick(winding);
    if way == expected {
        return format!("{}, as it should: winding and leads are as stated", way.word());
    }
    let so = if test.north.is_some() { "" } else { " (if the rods are as stated: a compass tells)" };
    format!(
        "{} where {} is expected: the two leads are exchanged, or the wire runs the other way{so}",
        way.word(),
        expected.word()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_go_together_is_explained() {
        use Stands::{High, Low, Within};
        assert!(why(Some(Within), Some(Within)).is_none() && why(None, Some(Low)).is_none());
        assert!(why(Some(Low), Some(Low)).unwrap().contains("touch"));
        assert!(why(Some(High), Some(Within)).unwrap().contains("copper"));
        assert!(why(Some(Within), Some(High)).unwrap().contains("rods"));
    }
}
