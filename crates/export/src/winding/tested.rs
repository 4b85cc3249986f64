//! A coil that is wound: what tests should come to, and what they did come to.

use bobbinwright_coil::copper::at_temperature;
use bobbinwright_coil::response::Spread;
use bobbinwright_coil::rods::Rods;
use bobbinwright_coil::winding::{Coil, Resistance};
use bobbinwright_spec::coil::Until;
use bobbinwright_spec::load::Ohms;
use bobbinwright_spec::tested::{Compass, Kicked, Test};
use bobbinwright_spec::wound::Shown;
use bobbinwright_spec::{Family, Position};

use super::Winding;
use super::ends::Ends;
use super::ohms::{kiloohms, slip_of_powers};

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

/// What is known of a coil's turns when it is judged.
enum Turns {
    /// They were counted.
    Counted(f64),
    /// Nobody said how many they are.
    Unknown,
}

impl Winding<'_> {
    /// The turns that are on the bobbin, where somebody counted them: with a test, by the family's own count, or at a stop
    /// that comes up to where this coil ends.
    fn turns_on(&self) -> Turns {
        let winds = &self.prepared.family.winds;
        if let Some(turns) = winds.tested(&self.position.name).and_then(|test| test.turns) {
            return Turns::Counted(turns);
        }
        let last = self.on_bobbin.as_ref().and_then(|on_bobbin| on_bobbin.stops.last());
        let last = last.map(|(_, stop)| stop.turns);
        let ends = match (self.wanted.until, &self.on_bobbin) {
            // A coil that is tested is done; what was wound after the last stop was not read.
            (Until::Turns(turns), _) => return Turns::Counted(last.map_or(turns, |last| last.max(turns))),
            (Until::Ohms(ohms), Some(on_bobbin)) => {
                let [turns, give] = on_bobbin.stop_at(ohms);
                turns - give.max(1.0)
            }
            _ => self.coil.turns,
        };
        last.filter(|turns| *turns >= ends).map_or(Turns::Unknown, Turns::Counted)
    }

    /// The coil with other turns.
    fn with_turns(&self, turns: f64) -> Spread {
        let coil = Coil { turns, ..self.coil };
        let hot = Ends::of(self).hot;
        let rods = Rods::of(self.layout, self.hardware);
        Spread::of(&coil, &rods, self.position.wanted.magnets, hot, self.band(turns))
    }

    /// What an inductance bridge reads of so many turns at a frequency: least and most; none too near the coil's own
    /// resonance.
    fn inductance_at(&self, turns: f64, hertz: f64) -> Option<[f64; 2]> {
        // The sheet's own coil is worked out already.
        let is_own = turns.round() == self.coil.turns;
        let [least, _, most] =
            if is_own { self.spread.reads(hertz) } else { self.with_turns(turns).reads(hertz) }?;
        Some([least.0 * (1.0 - BRIDGE), most.0 * (1.0 + BRIDGE)])
    }

    /// The fewest and the most turns of which a resistance is read at a temperature; `open` is by how much of itself it may
    /// be off besides.
    fn turns_of_ohms(&self, ohms: f64, celsius: f64, open: f64) -> [f64; 2] {
        let of = |which: usize, part: f64| {
            let [mut low, mut high] = [1.0, MOST_TURNS];
            // To a thousandth of a turn.
            for _ in 0..26 {
                let middle = f64::midpoint(low, high);
                let reads = self.band_at(middle, celsius)[which].0 * part;
                if reads < ohms { low = middle } else { high = middle }
            }
            high
        };
        [of(2, 1.0 + open), of(0, 1.0 - open)]
    }

    /// The fewest and the most turns of which an inductance is read; none too near the coil's own resonance.
    fn turns_of_henries(&self, henries: f64, hertz: f64) -> Option<[f64; 2]> {
        let of = |which: usize| {
            let mut turns = self.coil.turns;
            // It goes nearly with their square, so that each step leaves a tenth of what is left.
            for _ in 0..4 {
                turns *= (henries / self.inductance_at(turns, hertz)?[which]).sqrt();
            }
            Some(turns)
        };
        Some([of(1)?, of(0)?])
    }
}

/// No coil has more.
const MOST_TURNS: f64 = 50_000.0;

/// What to test when it is wound, and what should come out.
pub(super) fn expected(winding: &Winding) -> String {
    let turns = match winding.turns_on() {
        Turns::Counted(turns) => turns,
        Turns::Unknown => winding.coil.turns,
    };
    let [least, _, most] = winding.band(turns).map(kiloohms);
    let henries = winding.inductance_at(turns, 1000.0);
    let henries =
        henries.map_or(String::new(), |[low, high]| format!("{low:.2} to {high:.2} H at 1 kHz with rods; "));
    let kick = Ends::expected_kick(winding).word();
    format!(
        "{least} to {most}; {henries}open between each eyelet and the rods; {} up by a compass; a meter (DC mV, red lead at the hot eyelet) goes {kick} first when steel comes down on the rods",
        winding.position.wanted.north.pole()
    )
}

/// What a test found that must be put right before a coil is built in, whatever its figures are expected to be; none where
/// nothing did.
pub(crate) fn amiss(family: &Family, position: &Position) -> Option<&'static str> {
    let test = family.winds.tested(&position.name)?;
    let wanted = position.wanted.north;
    if test.reads == Some(Shown::Open) {
        return Some("it reads open: the wire is broken, or an end is not soldered through its film");
    }
    if matches!(test.insulation, Some(Shown::Ohms(Ohms(ohms))) if ohms < INSULATES) {
        return Some("its wire touches a rod");
    }
    let is_turned = test.north.is_some_and(|compass| compass.now(wanted) != wanted);
    is_turned.then_some("by the compass its rods are the other way up than is wanted")
}

/// What a test's figures say of a coil that has not the turns that were counted; none where they may all be there.
pub(super) fn short(winding: &Winding) -> Option<&'static str> {
    let test = winding.prepared.family.winds.tested(&winding.position.name)?;
    let counted = winding.turns_on();
    let Turns::Counted(_) = counted else { return None };
    let [resistance, inductance] = figures(winding, &test, &counted).map(|said| said.and_then(|s| s.stands));
    why(resistance, inductance)
        .filter(|_| inductance == Some(Stands::Low) && resistance != Some(Stands::Within))
}

/// Resistance and inductance, as far as they were read.
fn figures(winding: &Winding, test: &Test, counted: &Turns) -> [Option<Said>; 2] {
    [
        test.reads.map(|shown| resistance(winding, test, shown, counted)),
        test.inductance.map(|reading| inductance(winding, reading, counted)),
    ]
}

/// What was tested, judged; what hangs together is explained.
pub(super) fn found(winding: &Winding) -> Vec<(String, String)> {
    let Some(test) = winding.prepared.family.winds.tested(&winding.position.name) else { return Vec::new() };
    let counted = winding.turns_on();
    let [resistance, inductance] = figures(winding, &test, &counted);
    let why = match counted {
        Turns::Counted(_) => {
            let stands = |of: &Option<Said>| of.as_ref().and_then(|said| said.stands);
            why(stands(&resistance), stands(&inductance)).map(str::to_owned)
        }
        Turns::Unknown => without_count(
            resistance.as_ref().and_then(|said| said.turns),
            inductance.as_ref().and_then(|said| said.turns),
        ),
    };
    let all = [
        ("Measured resistance", resistance.map(|said| said.words)),
        ("Measured inductance", inductance.map(|said| said.words)),
        ("Which says", why),
        ("Insulation", test.insulation.map(insulation)),
        ("Field", field(winding, &test)),
        ("Compass", test.north.map(|north| compass(winding, north))),
        ("Meter's kick", test.kick.map(|kick| kicked(winding, kick))),
    ];
    all.into_iter().filter_map(|(label, words)| Some((label.to_owned(), words?))).collect()
}

/// What a figure says.
struct Said {
    /// How it stands to what is expected; none where that is not known.
    stands: Option<Stands>,
    /// Where nobody counted them, the fewest and the most turns that it is of.
    turns: Option<[f64; 2]>,
    words: String,
}

impl Said {
    fn words(words: String) -> Self {
        Self { stands: None, turns: None, words }
    }

    fn judged(stands: Stands, words: String) -> Self {
        Self { stands: Some(stands), ..Self::words(words) }
    }

    /// Of turns that nobody counted.
    fn of_turns(read: &str, turns: [f64; 2]) -> Self {
        let [few, many] = turns.map(tens);
        let words = format!(
            "{read}: {few:.0} to {many:.0} turns, if all is as stated; nobody counted them: enter the turns too, and it is judged"
        );
        Self { turns: Some(turns), ..Self::words(words) }
    }
}

/// To the ten: nobody needs it finer.
fn tens(turns: f64) -> f64 {
    (turns / 10.0).round() * 10.0
}

fn resistance(winding: &Winding, test: &Test, shown: Shown, counted: &Turns) -> Said {
    let Shown::Ohms(Ohms(ohms)) = shown else {
        // Nothing follows from it beside an inductance: a broken coil has none.
        return Said::words(
            "open: the wire is broken, or an end is not soldered through its film".to_owned(),
        );
    };
    let celsius = test.celsius.unwrap_or(super::WORKSHOP);
    let (open, read_at) = match test.celsius {
        Some(celsius) => (0.0, format!("{celsius} °C")),
        None => (
            at_temperature(20.0 + UNREAD) - 1.0,
            format!("a temperature that was not read ({celsius} °C is taken)"),
        ),
    };
    let read = format!("{} at {read_at}", kiloohms(Resistance(ohms)));
    let Turns::Counted(turns) = counted else {
        return Said::of_turns(&read, winding.turns_of_ohms(ohms, celsius, open));
    };
    let [least, _, most] = winding.band_at(*turns, celsius);
    let [least, most] = [least.0 * (1.0 - open), most.0 * (1.0 + open)];
    let (stands, slip) = (Stands::of(ohms, [least, most]), slip_of_powers(ohms, [least, most]));
    let [least, most] = [least, most].map(|ohms| kiloohms(Resistance(ohms)));
    Said::judged(stands, format!("{read}: {} ({least} to {most}){slip}", stands.words()))
}

fn inductance(winding: &Winding, (henries, hertz): (f64, f64), counted: &Turns) -> Said {
    let read = format!("{henries:.2} H at {hertz:.0} Hz");
    let near = || {
        let near = "too near the coil's own resonance to be judged: read it at 1 kHz or below";
        Said::words(format!("{read}: {near}"))
    };
    let Turns::Counted(turns) = counted else {
        let turns = winding.turns_of_henries(henries, hertz);
        return turns.map_or_else(near, |turns| Said::of_turns(&read, turns));
    };
    let Some([least, most]) = winding.inductance_at(*turns, hertz) else { return near() };
    let (stands, slip) = (Stands::of(henries, [least, most]), slip_of_powers(henries, [least, most]));
    Said::judged(stands, format!("{read}: {} ({least:.2} to {most:.2} H){slip}", stands.words()))
}

/// What resistance and inductance say together of turns that nobody counted: of how many the one is, and the other.
fn without_count(by_ohms: Option<[f64; 2]>, by_henries: Option<[f64; 2]>) -> Option<String> {
    let ([few, many], [least, most]) = (by_ohms?, by_henries?);
    Some(if many < least {
        "more inductance than so many ohms go with: thicker or better copper than stated, or rods of more permeability".to_owned()
    } else if few > most {
        "less inductance than so many ohms go with: thinner copper than stated, turns that touch, or rods of less permeability".to_owned()
    } else {
        let [few, many] = [few.max(least), many.min(most)].map(tens);
        format!("both go together, with {few:.0} to {many:.0} turns")
    })
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

fn compass(winding: &Winding, compass: Compass) -> String {
    let (found, wanted) = (compass.found, winding.position.wanted.north);
    if compass.now(wanted) != found {
        return format!(
            "{} up when it was read; stated otherwise since, and that counts: read it again",
            found.pole()
        );
    }
    if found == wanted {
        format!("{} up, as wanted", found.pole())
    } else {
        format!(
            "{} up, but {} is wanted: turn the rods, or say north: {}",
            found.pole(),
            wanted.pole(),
            found.word()
        )
    }
}

fn kicked(winding: &Winding, kick: Kicked) -> String {
    let (then, [leads, rods]) = Ends::of_kick(winding, kick);
    let (way, expected) = (kick.way.word(), then.kick());
    let so = if kick.way == expected {
        format!("{way}, as it should: winding and leads are as stated")
    } else {
        let so = if kick.found.is_some() { "" } else { " (if the rods are as stated: a compass tells)" };
        format!(
            "{way} where {} is expected: the two leads are exchanged, or the wire runs the other way{so}",
            expected.word()
        )
    };
    let turned = match [leads, rods] {
        [false, false] => return so,
        [true, false] => "its leads were exchanged",
        [false, true] => "its rods were turned over",
        [true, true] => "its leads were exchanged and its rods turned over",
    };
    format!("{so}; {turned} since, so that it should go {} now", Ends::expected_kick(winding).word())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of turns that nobody counted, resistance and inductance say whether they go together.
    #[test]
    fn what_is_not_counted_is_held_against_each_other() {
        let of = |ohms, henries| without_count(Some(ohms), Some(henries)).unwrap();
        assert!(of([7000.0, 7400.0], [7203.0, 7600.0]).contains("with 7200 to 7400 turns"));
        assert!(of([7000.0, 7400.0], [7500.0, 7900.0]).contains("thicker"));
        assert!(of([7000.0, 7400.0], [6500.0, 6900.0]).contains("touch"));
        assert!(without_count(None, Some([1.0, 2.0])).is_none());
    }

    #[test]
    fn what_does_not_go_together_is_explained() {
        use Stands::{High, Low, Within};
        assert!(why(Some(Within), Some(Within)).is_none() && why(None, Some(Low)).is_none());
        assert!(why(Some(Low), Some(Low)).unwrap().contains("touch"));
        assert!(why(Some(High), Some(Within)).unwrap().contains("copper"));
        assert!(why(Some(Within), Some(High)).unwrap().contains("rods"));
    }
}
