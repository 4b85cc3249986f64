//! Whether what was read of a family's folder is still all that there is to read.

use bobbinwright_folder::Folder;

use crate::log::When;
use crate::problem::SourceFile;
use crate::sources::Sources;
use crate::survey::Survey;

impl Survey {
    /// Would reading the folder again, on that day, come to the same? That takes a tenth of reading it.
    pub fn is_current(&self, folder: &Folder, when: When) -> bool {
        self.when == when && Sources::load(folder).is_ok_and(|now| now.are(self.sources()))
    }
}

impl Sources {
    /// Are they the same texts, of the same family and nothing new to say of which that is?
    fn are(&self, others: &Self) -> bool {
        let [own, other] = [&self.known, &others.known].map(|known| (known.identity(), known.notice()));
        self.texts().eq(others.texts()) && own == other
    }

    fn texts(&self) -> impl Iterator<Item = &SourceFile> {
        let printer = self.printer.iter().flat_map(|printer| [&printer.printer, &printer.readings]);
        [&self.family, &self.readings].into_iter().chain(&self.forebears).chain(printer).chain(&self.made)
    }
}
