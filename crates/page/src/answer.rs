//! What a browser is answered.

use bobbinwright_words::without_numbers;
use http::StatusCode;
use serde::Serialize;

/// An answer: a status, what kind of bytes, and the bytes.
pub struct Answer {
    /// As HTTP has them.
    pub status: StatusCode,
    /// The media type.
    pub kind: &'static str,
    /// What it says.
    pub bytes: Vec<u8>,
    /// The name under which a browser keeps it, when it is to be kept.
    pub keep_as: Option<String>,
}

impl Answer {
    /// A file to be kept under a name.
    pub fn file(kind: &'static str, bytes: Vec<u8>, name: &str) -> Self {
        Self::of(kind, bytes).kept_as(name)
    }

    pub(crate) fn of(kind: &'static str, bytes: impl Into<Vec<u8>>) -> Self {
        Self { status: StatusCode::OK, kind, bytes: bytes.into(), keep_as: None }
    }

    /// As JSON.
    pub fn json(value: &impl Serialize) -> Self {
        match serde_json::to_vec(value) {
            Ok(bytes) => Self::of("application/json", bytes),
            Err(e) => Self::refused(StatusCode::INTERNAL_SERVER_ERROR, &e.to_string()),
        }
    }

    /// Why it is not done, in words for the person at the page.
    pub fn refused(status: StatusCode, why: &str) -> Self {
        let bytes = serde_json::json!({ "why": without_numbers(why) }).to_string().into_bytes();
        Self { status, kind: "application/json", bytes, keep_as: None }
    }

    pub(crate) fn not_here() -> Self {
        Self::refused(StatusCode::NOT_FOUND, "there is no such thing here")
    }

    pub(crate) fn kept_as(mut self, name: &str) -> Self {
        self.keep_as = Some(name.to_owned());
        self
    }
}
