//! New entries of a log that are about winding, as they are typed and as they stand in the log.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;

use crate::Length;
use crate::figure::Figure;
use crate::magnets::North;
use crate::tested::Kick;
use crate::winds::Leads;
use crate::wound::{Meter, Spool, Thermometer, WoundOf};

/// What a meter shows, as it is typed: `402.1`, `2.055k`, `12M`, `open`. Digits are kept.
///
/// ```
/// # use bobbinwright_spec::MeterFigure;
/// let written = |typed: &str| typed.parse::<MeterFigure>().map(|f| f.to_string());
/// assert_eq!(written("402.10"), Ok("ohms(402.10)".to_owned()));
/// assert_eq!(written("2,055k"), Ok("kilohms(2.055)".to_owned()));
/// assert_eq!(written("OL"), Ok("open".to_owned()));
/// assert!(written("2.0.5k").is_err() && written("").is_err() && written("-3").is_err());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeterFigure(String);

impl FromStr for MeterFigure {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let text = typed.trim();
        if ["open", "ol", "o.l"].contains(&text.to_ascii_lowercase().as_str()) {
            return Ok(Self("open".to_owned()));
        }
        let text = text.trim_end_matches(['Ω', 'Ω']).trim_end();
        let text = text.strip_suffix("ohms").or_else(|| text.strip_suffix("ohm")).unwrap_or(text).trim_end();
        let (figure, unit) = match text.chars().next_back() {
            Some('k' | 'K') => (&text[..text.len() - 1], "kilohms"),
            Some('M') => (&text[..text.len() - 1], "megohms"),
            _ => (text, "ohms"),
        };
        let figure = decimal(figure.trim_end()).ok_or_else(|| {
            format!("{typed:?} is no resistance: write 402.1, 2.055k, or open where the meter shows nothing")
        })?;
        Ok(Self(format!("{unit}({figure})")))
    }
}

/// As it stands in the log.
impl fmt::Display for MeterFigure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Digits with a point; a comma will do.
fn decimal(text: &str) -> Option<String> {
    let text = text.replacen(',', ".", 1);
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let sound = match text.split_once('.') {
        Some((whole, part)) => digits(whole) && digits(part),
        None => digits(&text),
    };
    (sound && text.parse::<f64>().is_ok()).then_some(text)
}

/// A stop of the winder to be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct NewStop {
    /// The day.
    pub on: Date,
    /// The position whose coil it is.
    pub coil: String,
    /// What the counter says.
    pub turns: u32,
    /// What the meter shows.
    pub reads: MeterFigure,
    /// °C beside the winder, where it was read.
    pub celsius: Option<f64>,
    /// The meter's name; by default the last one entered.
    pub meter: Option<String>,
    /// The thermometer's; the same.
    pub thermometer: Option<String>,
    /// What the wire's spool is called; by default as at the stop before.
    pub spool: Option<String>,
    /// Over the coil, across the row of rods, where a caliper read it.
    pub across: Option<Figure>,
    /// It begins another coil.
    pub afresh: bool,
    /// What is stated of the coil, see [`Survey::whole_stop`](crate::Survey::whole_stop): kept with what is read of it.
    pub of: Option<WoundOf>,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewStop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { on, coil, turns, reads, .. } = self;
        write!(f, "wound(on: \"{on}\", coil: {coil:?}, turns: {turns}, reads: {reads}")?;
        if let Some(celsius) = self.celsius {
            write!(f, ", celsius: {celsius}")?;
        }
        for (field, name) in
            [("meter", &self.meter), ("thermometer", &self.thermometer), ("spool", &self.spool)]
        {
            if let Some(name) = name {
                write!(f, ", {field}: {name:?}")?;
            }
        }
        if let Some(across) = &self.across {
            write!(f, ", across: {}({})", across.unit.word(), across.digits)?;
        }
        if self.afresh {
            f.write_str(", afresh: true")?;
        }
        if let Some(WoundOf { wire, tape }) = self.of {
            write!(f, ", wire: {wire}")?;
            if tape > Length::ZERO {
                write!(f, ", tape: mm({})", tape.as_mm())?;
            }
        }
        f.write_str(")")
    }
}

/// What tests of a coil came to, to be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct NewTest {
    /// The day.
    pub on: Date,
    /// The position whose coil it is.
    pub coil: String,
    /// From eyelet to eyelet.
    pub reads: Option<MeterFigure>,
    /// °C.
    pub celsius: Option<f64>,
    /// How many turns are on it.
    pub turns: Option<f64>,
    /// H.
    pub henries: Option<f64>,
    /// Hz.
    pub hertz: Option<f64>,
    /// From an eyelet to the rods.
    pub insulation: Option<MeterFigure>,
    /// By a compass.
    pub north: Option<North>,
    /// By a meter.
    pub kick: Option<Kick>,
    /// A teslameter's figure over a rod in the middle of the row, mT.
    pub millitesla: Option<f64>,
    /// How far over it.
    pub over: Option<Figure>,
    /// How leads and rods are said to be, see [`Survey::leads`](crate::Survey::leads): kept with what hangs on them.
    pub leads: Option<Leads>,
}

impl NewTest {
    /// Something was tested.
    pub fn says_something(&self) -> bool {
        let figures = [self.turns, self.henries, self.millitesla];
        figures.iter().any(Option::is_some)
            || self.reads.is_some()
            || self.insulation.is_some()
            || self.north.is_some()
            || self.kick.is_some()
    }
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewTest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "tested(on: \"{}\", coil: {:?}", self.on, self.coil)?;
        let figure = |of: Option<f64>| of.map(|figure| figure.to_string());
        let kicked = self.leads.filter(|_| self.kick.is_some());
        let of_rods = self.leads.filter(|_| self.kick.is_some() || self.north.is_some());
        let all = [
            ("reads", self.reads.as_ref().map(MeterFigure::to_string)),
            ("celsius", figure(self.celsius)),
            ("turns", figure(self.turns)),
            ("henries", figure(self.henries)),
            ("hertz", figure(self.hertz)),
            ("insulation", self.insulation.as_ref().map(MeterFigure::to_string)),
            ("north", self.north.map(|north| north.word().to_owned())),
            ("kick", self.kick.map(|kick| kick.word().to_owned())),
            ("hot", kicked.and_then(|leads| leads.hot).map(|hot| hot.word().to_owned())),
            ("stated_north", of_rods.map(|leads| leads.north.word().to_owned())),
            ("millitesla", figure(self.millitesla)),
            ("over", self.over.as_ref().map(|over| format!("{}({})", over.unit.word(), over.digits))),
        ];
        for (field, said) in all {
            if let Some(said) = said {
                write!(f, ", {field}: {said}")?;
            }
        }
        f.write_str(")")
    }
}

/// A meter to be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct NewMeter {
    /// The day.
    pub on: Date,
    /// The meter.
    pub meter: Meter,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewMeter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Meter { name, counts, share, digits } = &self.meter;
        let percent = tidy(share * 100.0);
        write!(
            f,
            "meter(on: \"{}\", name: {name:?}, counts: {counts}, percent: {percent}, digits: {digits})",
            self.on
        )
    }
}

/// A thermometer to be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct NewThermometer {
    /// The day.
    pub on: Date,
    /// The thermometer.
    pub thermometer: Thermometer,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewThermometer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Thermometer { name, limit } = &self.thermometer;
        write!(f, "thermometer(on: \"{}\", name: {name:?}, limit: {limit})", self.on)
    }
}

/// A spool to be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct NewSpool {
    /// The day.
    pub on: Date,
    /// The spool.
    pub spool: Spool,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewSpool {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Spool { name, per_metre, within, packing } = &self.spool;
        let within = tidy(per_metre.0 * within);
        write!(
            f,
            "spool(on: \"{}\", name: {name:?}, ohms_per_metre: {}, within: {within}",
            self.on,
            tidy(per_metre.0)
        )?;
        if let Some([share, within]) = packing {
            write!(f, ", packing: {}, packing_within: {}", tidy(*share), tidy(*within))?;
        }
        f.write_str(")")
    }
}

/// To a ten-thousandth, so that sums and products are written as short as they were typed.
fn tidy(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
