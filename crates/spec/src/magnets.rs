//! The rods as magnets: `magnets: alnico5`, `north: up`.

use crate::coil::Mistaken;
use crate::reader::{Noted, Record, choice};

/// What the rods are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Alloy {
    /// Aluminium, nickel and cobalt, number 2.
    Alnico2,
    /// Number 3, without cobalt.
    Alnico3,
    /// Number 4.
    Alnico4,
    /// Number 5, of which most rods are.
    Alnico5,
    /// Number 8.
    Alnico8,
    /// Hard ferrite.
    Ferrite,
    /// Sintered neodymium, iron and boron.
    Neodymium,
}

/// Which end of the rods is north.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum North {
    /// The one at the strings.
    #[default]
    Up,
    /// The one in the body.
    Down,
}

impl North {
    /// The words used in files.
    pub const ALL: [(&'static str, North); 2] = [("up", North::Up), ("down", North::Down)];

    /// The pole at the strings.
    pub fn pole(self) -> &'static str {
        match self {
            North::Up => "north",
            North::Down => "south",
        }
    }

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, n)| *n == self).map_or("", |(word, _)| word)
    }
}

impl Alloy {
    /// The words used in files.
    pub const ALL: [(&'static str, Alloy); 7] = [
        ("alnico2", Alloy::Alnico2),
        ("alnico3", Alloy::Alnico3),
        ("alnico4", Alloy::Alnico4),
        ("alnico5", Alloy::Alnico5),
        ("alnico8", Alloy::Alnico8),
        ("ferrite", Alloy::Ferrite),
        ("neodymium", Alloy::Neodymium),
    ];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, a)| *a == self).map_or("", |(word, _)| word)
    }
}

/// Reads what the rods are made of; none where it is not stated.
pub(crate) fn read_alloy(position: &mut Record, noted: &mut Noted) -> Result<Option<Alloy>, Mistaken> {
    let Some(node) = position.get("magnets") else { return Ok(None) };
    choice(node, "magnets", &Alloy::ALL, noted).map(Some).ok_or(Mistaken)
}

/// Reads which end of the rods is north.
pub(crate) fn read_north(position: &mut Record, noted: &mut Noted) -> Option<North> {
    let Some(node) = position.get("north") else { return Some(North::default()) };
    choice(node, "north", &North::ALL, noted)
}
