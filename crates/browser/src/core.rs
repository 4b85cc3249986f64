//! A shelf of families in memory, and what is answered about it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bobbinwright_folder::{Folder, Memory};
use bobbinwright_page::{Answer, Asked, Bench, Day, Shelf};
use bobbinwright_spec::When;
use http::{Method, StatusCode};
use serde_json::json;

use crate::backup::{self, Took};
use crate::frame::{self, Answered};

/// What the shelf is called where a disk's would have its path.
const ROOT: &str = "this browser";

/// The page of a shelf in memory, from its first request on.
#[derive(Default)]
pub struct Core {
    shelf: Option<Kept>,
}

struct Kept {
    memory: Arc<Memory>,
    bench: Bench,
    /// The shelf's own path. No other browser's is the same, so that families keep their identity from one to the other.
    root: PathBuf,
}

impl Kept {
    fn of(shelf: &str) -> Self {
        let is_plain = !shelf.is_empty() && shelf.len() <= 32 && shelf.bytes().all(|b| b.is_ascii_hexdigit());
        let root = PathBuf::from(if is_plain { format!("{ROOT} ({shelf})") } else { ROOT.to_owned() });
        let memory = Arc::new(Memory::default());
        let bench = Bench::new(Shelf::all(Folder::in_store(memory.clone(), &root), None));
        Self { memory, bench, root }
    }

    /// A file's path as whoever keeps it calls it.
    fn below(&self, path: &Path) -> PathBuf {
        path.strip_prefix(&self.root).unwrap_or(path).to_owned()
    }
}

impl Core {
    /// The answer to a request; see `frame` for how both are written.
    pub fn answer(&mut self, request: &[u8]) -> Vec<u8> {
        let answer = frame::read(request).and_then(|(asked, rest)| {
            let kept = self.shelf.get_or_insert_with(|| Kept::of(&asked.shelf));
            kept.answered(&asked, rest)
        });
        let answer = answer
            .unwrap_or_else(|| Answer::refused(StatusCode::BAD_REQUEST, "this is no request of the page"));
        let (changes, files): (Vec<_>, Vec<_>) = self
            .shelf
            .iter()
            .flat_map(|kept| kept.memory.news().into_iter().map(|(path, bytes)| (kept.below(&path), bytes)))
            .map(|(path, bytes)| ((path, bytes.as_ref().map(Vec::len)), bytes.unwrap_or_default()))
            .unzip();
        let head = Answered {
            status: answer.status.as_u16(),
            kind: answer.kind,
            keep_as: answer.keep_as.as_deref(),
            body: answer.bytes.len(),
            changes,
        };
        frame::written(&head, &answer.bytes, &files)
    }
}

impl Kept {
    fn answered(&self, asked: &frame::Asked, rest: &[u8]) -> Option<Answer> {
        let (body, mut rest) = rest.split_at_checked(asked.body)?;
        for (path, length) in &asked.kept {
            let (bytes, others) = rest.split_at_checked(*length)?;
            self.memory.put(&self.root.join(path), bytes.to_vec());
            rest = others;
        }
        let day = Day {
            today: asked.today.parse().ok()?,
            when: When { latest: Some(asked.latest.parse().ok()?), as_of: None },
        };
        let method = Method::from_bytes(asked.method.as_bytes()).ok()?;
        Some(match asked.path.as_str() {
            "backup" if method == Method::GET => self.backup(),
            "backup" => self.restore(body, asked.query == "instead", day),
            path => self.bench.answer(&Asked { method: &method, path, query: &asked.query, body, day }),
        })
    }

    /// Everything in one file.
    fn backup(&self) -> Answer {
        let all: Vec<_> =
            self.memory.all().into_iter().map(|(path, bytes)| (self.below(&path), bytes)).collect();
        match backup::pack(&all) {
            Ok(bytes) => Answer::file("application/zip", bytes, "bobbinwright-backup.zip"),
            Err(why) => Answer::refused(StatusCode::INTERNAL_SERVER_ERROR, &why),
        }
    }

    /// Takes a backup in.
    fn restore(&self, file: &[u8], instead: bool, day: Day) -> Answer {
        let unpacked = match backup::unpack(file) {
            Ok(unpacked) => unpacked,
            Err(why) => {
                return Answer::refused(
                    StatusCode::UNPROCESSABLE_ENTITY,
                    &format!("Nothing was taken in: {why}."),
                );
            }
        };
        let took = backup::take(&self.memory, &self.root, unpacked.files, instead, day.today);
        match took {
            Took::All { new, same, aside } => Answer::json(
                &json!({ "new": new, "same": same, "aside": aside, "left_out": unpacked.left_out }),
            ),
            Took::Nothing { differ } => Answer::json(&json!({ "differ": differ })),
        }
    }
}
