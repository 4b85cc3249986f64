//! What was drawn, for which copy, when: a bench with printed parts on it, as somebody with pencil and paper would keep it.
//! Nothing here asks the program.

use std::collections::BTreeMap;

/// A part's file name.
pub type PartName = &'static str;

/// The sizes that are read here, each with the wish that it follows from.
pub const SIZES: [(PartName, &str, &str); 7] = [
    ("bridge-cover", "height", "cover.height"),
    ("bridge-cover", "screw_hole", "cover.screw_hole"),
    ("bridge-baseplate", "height", "baseplate.thickness"),
    ("bridge-baseplate", "screw_hole", "cover.screw_hole"),
    ("bridge-flatwork-bottom", "height", "flatwork.bottom"),
    ("bridge-flatwork-top", "height", "flatwork.top"),
    ("bridge-flatwork-top", "pole_hole", "flatwork.pole_hole"),
];

/// What is wanted in the demo, mm, and what else it is asked for: values that build, and that nobody takes for each other.
pub const WISHES: [(&str, [f64; 3]); 6] = [
    ("cover.height", [17.6, 17.9, 18.2]),
    ("cover.screw_hole", [3.5, 3.7, 3.9]),
    ("baseplate.thickness", [2.0, 2.3, 2.6]),
    ("flatwork.bottom", [2.4, 2.6, 2.2]),
    ("flatwork.top", [2.0, 2.2, 2.4]),
    ("flatwork.pole_hole", [5.1, 5.3, 5.5]),
];

pub const PARTS: [PartName; 4] =
    ["bridge-cover", "bridge-baseplate", "bridge-flatwork-bottom", "bridge-flatwork-top"];

/// What was wanted when.
pub type Wishes = BTreeMap<&'static str, f64>;

pub fn usual() -> Wishes {
    WISHES.iter().map(|(path, values)| (*path, values[0])).collect()
}

/// A build: what was wanted then, and what its files say that each size was drawn as.
#[derive(Clone)]
pub struct Build {
    pub mark: String,
    pub wishes: Wishes,
    pub drawn: BTreeMap<(PartName, &'static str), String>,
}

/// A reading of a printed part.
#[derive(Clone)]
pub struct Reading {
    pub size: &'static str,
    pub mm: f64,
    pub on: u32,
    /// Its number in the log.
    pub entry: usize,
}

/// A printed part.
#[derive(Clone)]
pub struct Copy {
    /// Which of the builds it was printed from.
    pub build: usize,
    pub on: u32,
    /// Its number in the log, once that was told.
    pub number: Option<usize>,
    pub state: &'static str,
    pub readings: Vec<Reading>,
}

/// All that was built and printed of a family.
#[derive(Default)]
pub struct Pile {
    pub builds: Vec<Build>,
    copies: BTreeMap<PartName, Vec<Copy>>,
    /// How many of each part the log was told of, slips included.
    told: BTreeMap<PartName, usize>,
}

impl Pile {
    /// It comes off the printer.
    pub fn print(&mut self, part: PartName, build: usize, on: u32) {
        let copy = Copy { build, on, number: None, state: "in_use", readings: Vec::new() };
        self.copies.entry(part).or_default().push(copy);
    }

    /// Which copy is used: the last that came off the printer and is neither spare nor broken.
    pub fn in_use(&mut self, part: PartName) -> Option<&mut Copy> {
        let copies = self.copies.get_mut(part)?;
        copies.iter_mut().rfind(|c| matches!(c.state, "in_use" | "built_in"))
    }

    /// Those that the log does not know yet.
    pub fn untold(&self) -> Vec<(PartName, usize, u32)> {
        let of = |(part, copies): (&PartName, &Vec<Copy>)| {
            let part = *part;
            copies.iter().filter(|c| c.number.is_none()).map(|c| (part, c.build, c.on)).collect::<Vec<_>>()
        };
        self.copies.iter().flat_map(of).collect()
    }

    /// The log was told of the oldest of a part that it did not know.
    pub fn tell(&mut self, part: PartName) -> usize {
        let number = self.slip(part);
        let untold = self.copies.get_mut(part).and_then(|all| all.iter_mut().find(|c| c.number.is_none()));
        if let Some(copy) = untold {
            copy.number = Some(number);
        }
        number
    }

    /// A number was given that no part has.
    pub fn slip(&mut self, part: PartName) -> usize {
        let told = self.told.entry(part).or_default();
        *told += 1;
        *told
    }

    /// The copies of a part that the log knows.
    pub fn told(&mut self, part: PartName) -> Vec<&mut Copy> {
        self.copies.get_mut(part).into_iter().flatten().filter(|c| c.number.is_some()).collect()
    }

    pub fn copy(&self, part: &str, number: usize) -> Option<&Copy> {
        self.copies.get(part)?.iter().find(|c| c.number == Some(number))
    }

    /// What a copy's size was wanted as when it was drawn.
    pub fn wanted(&self, copy: &Copy, part: PartName, size: &str) -> f64 {
        let of = SIZES.iter().find(|(p, s, _)| *p == part && *s == size);
        of.map_or(f64::NAN, |(_, _, wish)| self.builds[copy.build].wishes[wish])
    }
}
