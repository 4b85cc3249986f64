//! A family straight from its files, when nothing is wrong and nothing is missing.

use bobbinwright_folder::Folder;

use crate::family::Family;
use crate::log::When;
use crate::problem::{Problems, SourceFile};
use crate::survey::Survey;

impl Family {
    /// Reads a family's folder.
    pub fn load(folder: &Folder) -> Result<Self, Problems> {
        Self::load_at(folder, When::default())
    }

    /// Reads a family's folder, its log as of a day.
    pub fn load_at(folder: &Folder, when: When) -> Result<Self, Problems> {
        Survey::load_at(folder, when)?.family()
    }

    /// Makes a family from the texts of its two files.
    pub fn read(slug: &str, family: SourceFile, readings: SourceFile) -> Result<Self, Problems> {
        Self::read_at(slug, family, readings, When::default())
    }

    /// Makes a family from the texts of its two files, its log as of a day.
    pub fn read_at(
        slug: &str,
        family: SourceFile,
        readings: SourceFile,
        when: When,
    ) -> Result<Self, Problems> {
        Survey::read_at(slug, family, readings, when)?.family()
    }
}
