//! The files that a family or a printer is read from.

use std::collections::VecDeque;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use bobbinwright_folder::Folder;

use crate::document::parse_one;
use crate::family::{FAMILY_FILE, MADE_FILE, READINGS_FILE};
use crate::identity::{Identity, Known};
use crate::made::Texts;
use crate::node::{Node, NodeKind};
use crate::printer::{PRINTER_FILE, PrinterSurvey};
use crate::problem::{Problem, Problems, SourceFile, Span};

/// The texts of everything that a family is read from.
#[derive(Clone, Debug)]
pub struct Sources {
    /// What is wanted.
    pub family: SourceFile,
    /// What was measured.
    pub readings: SourceFile,
    /// What the families want that it is like, the nearest first.
    pub forebears: Vec<SourceFile>,
    /// Its printer, when that has a folder of its own.
    pub printer: Option<PrinterFiles>,
    /// What was made of it, where that is not in the log of what was measured; empty before something was.
    pub made: Option<SourceFile>,
    /// What the family's file and those of its forebears say, in this order.
    pub(crate) roots: Vec<Result<Node, Problem>>,
    /// Which family it is, as far as its folder tells.
    pub(crate) known: Known,
}

impl Sources {
    /// Which family they are of; none before anything was entered in it.
    pub fn identity(&self) -> Option<&Identity> {
        self.known.identity()
    }

    /// Of a family that stands alone and describes its printer itself.
    pub fn alone(family: SourceFile, readings: SourceFile) -> Self {
        let roots = vec![parse_one(0, &family)];
        let known = Known::Nothing;
        Self { family, readings, forebears: Vec::new(), printer: None, made: None, roots, known }
    }

    /// The same with another text of its log, or of that of what was made.
    #[must_use]
    pub fn with_log(self, log: SourceFile) -> Self {
        match &self.made {
            Some(made) if made.name == log.name => Self { made: Some(log), ..self },
            _ => Self { readings: log, ..self },
        }
    }

    /// Is the log of what was measured another family's?
    fn shares_readings(&self) -> bool {
        let [own, of_readings] = [&self.family, &self.readings].map(|file| Path::new(&file.name).parent());
        own != of_readings
    }

    /// The texts of its log among all files.
    pub(crate) fn log<'f>(&self, files: &'f [SourceFile]) -> Texts<'f> {
        let made = files.iter().enumerate().next_back();
        let made = made.filter(|_| self.made.as_ref().is_some_and(|made| !made.text.is_empty()));
        Texts { made, of_another: self.shares_readings(), ..Texts::one(1, &files[1]) }
    }

    /// The same with another text of the family's own file.
    #[must_use]
    pub fn with_family(mut self, text: String) -> Self {
        self.family.text = text;
        let root = parse_one(0, &self.family);
        if let Some(own) = self.roots.first_mut() {
            *own = root;
        }
        self
    }

    /// From all files in the order of a family's [`crate::Family::files`]: its own two, those of the families
    /// that it is like, its printer's two, the log of what was made. None when there are others, or fewer than two.
    pub fn of_files(files: Vec<SourceFile>) -> Option<Self> {
        let is = |file: &SourceFile, name: &str| Path::new(&file.name).file_name().is_some_and(|n| n == name);
        let mut files = files.into_iter().peekable();
        let mut next = |name: &str| files.next_if(|file| is(file, name));
        let (family, readings) = (next(FAMILY_FILE)?, next(READINGS_FILE)?);
        let forebears: Vec<SourceFile> = std::iter::from_fn(|| next(FAMILY_FILE)).collect();
        let roots = std::iter::once((0, &family)).chain((2..).zip(&forebears));
        let roots = roots.map(|(number, file)| parse_one(number, file)).collect();
        let printer = match next(PRINTER_FILE) {
            None => None,
            Some(printer) => {
                let folder = Path::new(&printer.name).parent().unwrap_or(Path::new("")).to_owned();
                let slug = slug_of(&folder);
                Some(PrinterFiles { folder, slug, readings: next(READINGS_FILE)?, printer })
            }
        };
        let made = next(MADE_FILE);
        let known = Known::Nothing;
        files.next().is_none().then_some(Self { family, readings, forebears, printer, made, roots, known })
    }

    /// All files, in the order that [`crate::Span::file`] counts in, and the index of the printer's first.
    pub(crate) fn files(&self) -> (Vec<SourceFile>, usize) {
        let mut files = vec![self.family.clone(), self.readings.clone()];
        files.extend(self.forebears.iter().cloned());
        let printer = files.len();
        files.extend(self.printer.iter().flat_map(|p| [p.printer.clone(), p.readings.clone()]));
        files.extend(self.made.clone().filter(|made| !made.text.is_empty()));
        (files, printer)
    }

    /// Reads a family's folder, and those that it names. The error has every file that could be read.
    pub(crate) fn load(folder: &Folder) -> Result<Self, Problems> {
        Self::load_with(folder, true)
    }

    /// The same; without its printer's folder where that is not to be read.
    pub(crate) fn load_with(folder: &Folder, with_printer: bool) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        let Some(family) = read_file(folder, FAMILY_FILE, &mut problems) else { return Err(problems) };
        Self::load_from(folder, family, with_printer)
    }

    /// The same with another text of the family's own file, which may name other folders as seen from its own.
    pub fn named_by(&self, text: String, folder: &Folder) -> Result<Self, Problems> {
        Self::load_from(folder, SourceFile { name: self.family.name.clone(), text }, true)
    }

    fn load_from(folder: &Folder, family: SourceFile, with_printer: bool) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        let mut chain = vec![Link::new(folder, 0, family)];
        while let Some((path, span)) = chain[chain.len() - 1].named("like") {
            let at = chain[chain.len() - 1].folder.join(&path);
            let again = chain.iter().any(|l| l.folder.is(&at));
            if again || chain.len() > DEEPEST {
                let (message, hint) = if again {
                    let message = format!("{path:?} is like this family again: which is to be like which?");
                    (message, "take like out of one of them".to_owned())
                } else {
                    let message =
                        "this is like another family, that like a third, and so on without an end in sight";
                    (
                        message.to_owned(),
                        format!("at most {DEEPEST} may be like each other in a row: name one that is nearer"),
                    )
                };
                problems.all.push(Problem::error(span, message).hint(hint));
                problems.files = files_of(&chain);
                return Err(problems);
            }
            // Readings stand between the family and its forebears.
            let Some(parent) = read_file(&at, FAMILY_FILE, &mut problems) else {
                let message = format!("there is no family in {path:?} that this one could be like");
                let hint = "name the folder that holds its family.ron, as seen from this one's, like \"../tidewick\"";
                problems.all = vec![Problem::error(span, message).hint(hint)];
                problems.files = files_of(&chain);
                return Err(problems);
            };
            let file = chain.len() + 1;
            chain.push(Link::new(&at, file, parent));
        }
        let with_log = chain.iter().find(|l| l.folder.has(READINGS_FILE)).unwrap_or(&chain[0]);
        let Some(readings) = read_file(&with_log.folder, READINGS_FILE, &mut problems) else {
            // What stands in a family that can't be read may be where the readings are.
            if let Some(unread) = chain.iter().find_map(|l| l.root.as_ref().err()) {
                problems.all = vec![unread.clone()];
                problems.files = files_of(&chain);
            }
            return Err(problems);
        };
        let is_one_log = with_log.folder.is(folder) && !folder.has(MADE_FILE);
        let made = (!is_one_log).then(|| made_in(folder, &mut problems));
        if made.is_some() && !problems.all.is_empty() {
            return Err(problems);
        }
        // The nearest that says anything of a printer says it for all.
        let said = chain.iter().find(|l| l.field("printer").is_some()).filter(|_| with_printer);
        let named = said.and_then(|link| Some(link.folder.join(link.named("printer")?.0)));
        let printer = match named {
            Some(folder) => match PrinterFiles::load(&folder, &mut problems) {
                None => return Err(problems),
                loaded => loaded,
            },
            None => None,
        };
        let (mut texts, roots): (VecDeque<SourceFile>, Vec<_>) =
            chain.into_iter().map(|l| (l.text, l.root)).unzip();
        // The chain begins with the family itself.
        let Some(family) = texts.pop_front() else { return Err(problems) };
        let known = Known::of(folder);
        Ok(Self { family, readings, forebears: texts.into(), printer, made, roots, known })
    }
}

/// No chain of families is longer.
const DEEPEST: usize = 16;

/// The log of what was made in a family's folder; empty before something was. What can't be read goes to the problems.
fn made_in(folder: &Folder, problems: &mut Problems) -> SourceFile {
    let read = folder.has(MADE_FILE).then(|| read_file(folder, MADE_FILE, problems)).flatten();
    read.unwrap_or_else(|| SourceFile { name: path_of(folder, MADE_FILE), text: String::new() })
}

/// A family in the chain of those that are like each other.
struct Link {
    folder: Folder,
    text: SourceFile,
    /// What can't be read is said when the family is put together.
    root: Result<Node, Problem>,
}

impl Link {
    fn new(folder: &Folder, file: usize, text: SourceFile) -> Self {
        let root = parse_one(file, &text);
        Self { folder: folder.clone(), text, root }
    }

    fn field(&self, name: &str) -> Option<&Node> {
        let NodeKind::Record(fields) = &self.root.as_ref().ok()?.kind else { return None };
        fields.iter().find(|f| f.name == name).map(|f| &f.value)
    }

    /// A text that the file gives under a name, with its place.
    fn named(&self, name: &str) -> Option<(String, Span)> {
        let node = self.field(name)?;
        match &node.kind {
            NodeKind::Text(text) => Some((text.clone(), node.span)),
            _ => None,
        }
    }
}

/// The chain's files, with an empty one where the readings would stand.
fn files_of(chain: &[Link]) -> Vec<SourceFile> {
    let none = SourceFile { name: READINGS_FILE.to_owned(), text: String::new() };
    let mut files: Vec<SourceFile> = chain.iter().map(|l| l.text.clone()).collect();
    files.insert(1, none);
    files
}

fn path_of(folder: &Folder, name: &str) -> String {
    folder.path().join(name).display().to_string()
}

fn read_file(folder: &Folder, name: &str, problems: &mut Problems) -> Option<SourceFile> {
    let path = path_of(folder, name);
    match read_text(folder, name) {
        Ok(text) => Some(SourceFile { name: path, text }),
        Err(why) => {
            problems.all.push(Problem::anywhere(format!("{path} can't be read: {why}")));
            None
        }
    }
}

/// The texts of a printer's folder.
#[derive(Clone, Debug)]
pub struct PrinterFiles {
    /// The folder.
    pub folder: PathBuf,
    /// Its name.
    pub slug: String,
    /// What it can do.
    pub printer: SourceFile,
    /// What was read of its prints.
    pub readings: SourceFile,
}

impl PrinterFiles {
    pub(crate) fn load(folder: &Folder, problems: &mut Problems) -> Option<Self> {
        let [printer, readings] = PrinterSurvey::files(folder, problems)?;
        Some(Self { folder: folder.path().to_owned(), slug: slug(folder), printer, readings })
    }
}

/// The name of a folder.
pub fn slug(folder: &Folder) -> String {
    folder.name().unwrap_or_else(|| "family".into())
}

/// The name of a folder on this machine's disk.
pub fn slug_of(folder: &Path) -> String {
    slug(&Folder::on_disk(folder))
}

/// Files of people are small; a larger one is not what it seems.
pub(crate) const LARGEST_FILE: usize = 4 << 20;

pub(crate) fn read_text(folder: &Folder, name: &str) -> Result<String, String> {
    let bytes = folder.read(name, LARGEST_FILE).map_err(|e| match e.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        ErrorKind::IsADirectory => "it is a folder, not a file".to_owned(),
        ErrorKind::InvalidInput => "it is no plain file".to_owned(),
        _ => e.to_string(),
    })?;
    if bytes.len() > LARGEST_FILE {
        let most = LARGEST_FILE >> 20;
        return Err(format!("it has more than {most} MB; a family's files have a few thousand bytes"));
    }
    if bytes.contains(&b'\r') && !bytes.contains(&b'\n') {
        return Err("its lines end with a carriage return alone, so that it is all one line: save it with the usual line ends (LF or CRLF)".into());
    }
    String::from_utf8(bytes).map_err(|e| {
        let line = e.as_bytes()[..e.utf8_error().valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
        format!("line {line} is not text (UTF-8)")
    })
}
