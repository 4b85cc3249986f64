//! How requests and answers are written: the length of a head (four bytes, the least first), the head as JSON, then the
//! bytes that it tells of, one after the other.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

/// The head of a request.
#[derive(Debug, Deserialize)]
pub(crate) struct Asked {
    /// As HTTP has them.
    pub method: String,
    /// Without a slash before it.
    pub path: String,
    /// Behind the question mark.
    #[serde(default)]
    pub query: String,
    /// How many bytes its body has.
    #[serde(default)]
    pub body: usize,
    /// What tells this browser's shelf apart from those of all others; only what is asked first counts.
    #[serde(default)]
    pub shelf: String,
    /// The day where the person is.
    pub today: String,
    /// The latest day that it can be anywhere.
    pub latest: String,
    /// Files that are kept, each with how many bytes it has: laid into the memory first.
    #[serde(default)]
    pub kept: Vec<(PathBuf, usize)>,
}

/// The head of an answer.
#[derive(Debug, Serialize)]
pub(crate) struct Answered<'a> {
    pub status: u16,
    pub kind: &'a str,
    pub keep_as: Option<&'a str>,
    pub body: usize,
    /// Files that are another than they were, each with how many bytes it has; none where it is gone.
    pub changes: Vec<(PathBuf, Option<usize>)>,
}

/// A request taken apart: its head, and what follows; none where it is no request.
pub(crate) fn read(bytes: &[u8]) -> Option<(Asked, &[u8])> {
    let (length, rest) = bytes.split_first_chunk::<4>()?;
    let (head, rest) = rest.split_at_checked(u32::from_le_bytes(*length) as usize)?;
    Some((serde_json::from_slice(head).ok()?, rest))
}

/// An answer, put together.
pub(crate) fn written(head: &Answered, body: &[u8], files: &[Vec<u8>]) -> Vec<u8> {
    // Numbers and texts can always be written as JSON.
    let head = serde_json::to_vec(head).unwrap_or_default();
    let length = u32::try_from(head.len()).unwrap_or_default().to_le_bytes();
    let mut all = Vec::with_capacity(4 + head.len() + body.len() + files.iter().map(Vec::len).sum::<usize>());
    for part in [&length[..], &head, body].into_iter().chain(files.iter().map(Vec::as_slice)) {
        all.extend_from_slice(part);
    }
    all
}
