//! A change of what is wanted or bought.

use bobbinwright_fit::Bought;
use bobbinwright_geometry::parts::Remedy;
use bobbinwright_spec::coil::{Until, Wire};
use bobbinwright_spec::{Family, Length, Mounting, Parameter, Poles, Side, Unit, parameter};

/// Something changed.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// A dimension, by its path.
    Dimension(&'static str, Length),
    /// The lead-out's side, and its place on it.
    LeadOut(Side, Length),
    /// How the cover is held.
    Mounting(Mounting),
    /// One rod under each string.
    OneRod,
    /// Where winding ends.
    Wind(Until),
    /// The wire.
    Wire(Wire),
    /// A bought piece of this size, which was another.
    Bought {
        /// Which size.
        what: Bought,
        /// What it would be.
        now: Length,
        /// What it is.
        was: Length,
    },
}

/// Whom a change is for where one line of the file speaks for several positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// For its position alone: the others keep what they have.
    Here,
    /// For all that the line speaks for.
    WholeLine,
}

impl Change {
    /// Makes the change; false where the position has nothing of the kind.
    pub fn put_in(&self, family: &mut Family, index: usize, reach: Reach) -> bool {
        if let Change::Bought { what, now, .. } = self {
            let size = what.of(&mut family.hardware);
            *size = size.clone().moved_to(*now);
            return true;
        }
        let mut together = match reach {
            Reach::Here => Vec::new(),
            Reach::WholeLine => on_same_line(family, index, self.path()),
        };
        together.push(index);
        let mut done = false;
        for i in together {
            let wanted = &mut family.positions[i].wanted;
            let made = match *self {
                Change::Dimension(path, value) => {
                    let field = parameter(path).and_then(|p| (p.field)(wanted));
                    field.map(|field| *field = value).is_some()
                }
                Change::LeadOut(side, offset) => {
                    (wanted.cover.lead_out.side, wanted.cover.lead_out.offset) = (side, offset);
                    true
                }
                Change::Mounting(mounting) => {
                    wanted.cover.mounting = mounting;
                    true
                }
                Change::OneRod => {
                    wanted.poles = Poles::Single;
                    true
                }
                Change::Wind(until) => wanted.coil.as_mut().map(|coil| coil.until = until).is_some(),
                Change::Wire(wire) => wanted.coil.as_mut().map(|coil| coil.wire = wire).is_some(),
                Change::Bought { .. } => false,
            };
            done |= made && i == index;
        }
        done
    }

    /// What it is a change of, as a family's file calls it; empty for what is bought.
    pub fn path(&self) -> &'static str {
        match self {
            Change::Dimension(path, _) => path,
            Change::LeadOut(..) => "cover.lead_out.offset",
            Change::Mounting(_) => "cover.mounting",
            Change::OneRod => "poles",
            Change::Wind(_) => "coil.wind",
            Change::Wire(_) => "coil.wire",
            Change::Bought { .. } => "",
        }
    }

    /// What would be typed for it: paths of what is wanted, with their values; nothing for what is bought.
    pub fn typed(&self, unit: Unit) -> Vec<(&'static str, String)> {
        let length = |of: Length| unit.figure(of) + if unit == Unit::Inch { "in" } else { "" };
        match self {
            Change::Dimension(path, value) => vec![(path, length(*value))],
            Change::LeadOut(side, offset) => {
                vec![
                    ("cover.lead_out.side", side.name().to_owned()),
                    ("cover.lead_out.offset", length(*offset)),
                ]
            }
            Change::Mounting(mounting) => vec![("cover.mounting", mounting.to_string())],
            Change::OneRod => vec![("poles", "single".to_owned())],
            Change::Wind(until) => vec![("coil.wind", until.to_string())],
            Change::Wire(wire) => vec![("coil.wire", wire.to_string())],
            Change::Bought { .. } => Vec::new(),
        }
    }

    /// The changes that mend what can't be made.
    pub(super) fn of_remedy(remedy: Remedy) -> Vec<Self> {
        match remedy {
            Remedy::Dimensions(all) => {
                all.into_iter().map(|(path, value)| Change::Dimension(path, value)).collect()
            }
            Remedy::LeadOut(side, offset) => vec![Change::LeadOut(side, offset)],
            Remedy::Mounting(mounting) => vec![Change::Mounting(mounting)],
        }
    }
}

/// The other positions that a line of the file speaks for too.
pub(super) fn on_same_line(family: &Family, index: usize, path: &str) -> Vec<usize> {
    let here = family.origin(index, path);
    let is_meant = |i: &usize| *i != index && here.is_some() && family.origin(*i, path) == here;
    (0..family.positions.len()).filter(is_meant).collect()
}

/// A dimension's value at a position; none where it has none, or where the program chooses it.
pub(crate) fn value(family: &Family, index: usize, dimension: &Parameter) -> Option<Length> {
    let wanted = &family.positions[index].wanted;
    if dimension.path == "cover.fit_gap" && wanted.cover.snug.is_some() {
        return None;
    }
    (dimension.field)(&mut wanted.clone()).copied()
}
