//! Logs that readings are entered in: a family's, or a printer's.

use std::path::{Path, PathBuf};

use bobbinwright_spec::{PrinterSurvey, Problems, Quantity, SourceFile, Survey, When};

use crate::{family, profile, tell};

/// A folder with a log, read.
pub(crate) trait Book: Sized {
    /// Reads the folder.
    fn load(folder: &Path) -> Result<Self, Problems>;
    /// The same with another text of its log.
    fn with_log(&self, log: SourceFile) -> Result<Self, Problems>;
    /// A quantity by its name.
    fn quantity(&self, name: &str) -> Result<Quantity, String>;
    /// The tool to take for granted.
    fn usual_tool(&self, quantity: &Quantity) -> Option<&str>;
    /// Files, and what is wrong with them.
    fn problems(&self) -> &Problems;
    /// How many entries the log has.
    fn entries(&self) -> usize;
    /// The folder that its log is in: a family may share that of another.
    fn log_folder(&self) -> PathBuf {
        let log = self.problems().files.get(1).map_or(Path::new(""), |f| Path::new(&f.name));
        log.parent().unwrap_or(Path::new("")).to_owned()
    }
    /// Says what a new entry changes.
    fn tell(before: Self, after: Self, quantity: Option<Quantity>);
}

fn now() -> When {
    When { latest: Some(family::latest_day()), as_of: None }
}

impl Book for Survey {
    fn load(folder: &Path) -> Result<Self, Problems> {
        Survey::load_at(folder, now())
    }

    fn with_log(&self, log: SourceFile) -> Result<Self, Problems> {
        let sources = self.sources().clone().with_readings(log);
        Survey::read(&self.slug, sources, now())
    }

    fn quantity(&self, name: &str) -> Result<Quantity, String> {
        Survey::quantity(self, name)
    }

    fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        Survey::usual_tool(self, quantity)
    }

    fn problems(&self) -> &Problems {
        &self.problems
    }

    fn entries(&self) -> usize {
        self.entries
    }

    fn tell(before: Self, after: Self, quantity: Option<Quantity>) {
        tell::family(before, after, quantity);
    }
}

impl Book for PrinterSurvey {
    fn load(folder: &Path) -> Result<Self, Problems> {
        PrinterSurvey::load_at(folder, now())
    }

    fn with_log(&self, log: SourceFile) -> Result<Self, Problems> {
        let Some(printer) = self.problems.files.first() else { return Err(self.problems.clone()) };
        PrinterSurvey::read_at(&self.slug, printer.clone(), log, now())
    }

    fn quantity(&self, name: &str) -> Result<Quantity, String> {
        bobbinwright_spec::printer::coupon::CouponSize::parse(name).map(Quantity::Coupon)
    }

    fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        PrinterSurvey::usual_tool(self, quantity)
    }

    fn problems(&self) -> &Problems {
        &self.problems
    }

    fn entries(&self) -> usize {
        self.entries
    }

    fn tell(before: Self, after: Self, quantity: Option<Quantity>) {
        profile::tell(before, after, quantity.as_ref());
    }
}
