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

/// A shelf in memory, and its page.
pub struct Core {
    memory: Arc<Memory>,
    bench: Bench,
}

impl Default for Core {
    fn default() -> Self {
        let memory = Arc::new(Memory::default());
        let bench = Bench::new(Shelf::all(Folder::in_store(memory.clone(), ROOT), None));
        Self { memory, bench }
    }
}

impl Core {
    /// The answer to a request; see `frame` for how both are written.
    pub fn answer(&mut self, request: &[u8]) -> Vec<u8> {
        let answer = match frame::read(request) {
            Some((asked, rest)) => self.answered(&asked, rest),
            None => None,
        };
        let answer = answer
            .unwrap_or_else(|| Answer::refused(StatusCode::BAD_REQUEST, "this is no request of the page"));
        let (changes, files): (Vec<_>, Vec<_>) = self
            .memory
            .news()
            .into_iter()
            .map(|(path, bytes)| ((below(&path), bytes.as_ref().map(Vec::len)), bytes.unwrap_or_default()))
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

    fn answered(&mut self, asked: &frame::Asked, rest: &[u8]) -> Option<Answer> {
        let (body, mut rest) = rest.split_at_checked(asked.body)?;
        for (path, length) in &asked.kept {
            let (bytes, others) = rest.split_at_checked(*length)?;
            self.memory.put(&Path::new(ROOT).join(path), bytes.to_vec());
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
        let all: Vec<_> = self.memory.all().into_iter().map(|(path, bytes)| (below(&path), bytes)).collect();
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
        let took = backup::take(&self.memory, Path::new(ROOT), unpacked.files, instead, day.today);
        match took {
            Took::All { new, same, aside } => Answer::json(
                &json!({ "new": new, "same": same, "aside": aside, "left_out": unpacked.left_out }),
            ),
            Took::Nothing { differ } => Answer::json(&json!({ "differ": differ })),
        }
    }
}

/// As whoever keeps it calls it.
fn below(path: &Path) -> PathBuf {
    path.strip_prefix(ROOT).unwrap_or(path).to_owned()
}
