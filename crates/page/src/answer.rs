//! What a browser is answered.

use bobbinwright_words::without_numbers;
use hyper::StatusCode;
use serde::Serialize;

/// An answer: a status, what kind of bytes, and the bytes.
pub(crate) struct Answer {
    pub status: StatusCode,
    pub kind: &'static str,
    pub bytes: Vec<u8>,
    /// The name under which a browser keeps it, when it is to be kept.
    pub keep_as: Option<String>,
}

impl Answer {
    pub fn of(kind: &'static str, bytes: impl Into<Vec<u8>>) -> Self {
        Self { status: StatusCode::OK, kind, bytes: bytes.into(), keep_as: None }
    }

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

    pub fn not_here() -> Self {
        Self::refused(StatusCode::NOT_FOUND, "there is no such thing here")
    }

    pub fn kept_as(mut self, name: &str) -> Self {
        self.keep_as = Some(name.to_owned());
        self
    }
}
