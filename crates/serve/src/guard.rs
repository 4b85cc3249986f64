//! Who may ask: whoever knows the secret in the address, by an address that is this machine's own, from a page of it.

use std::net::SocketAddr;

use hyper::header::{CONTENT_TYPE, HOST, HeaderMap, ORIGIN};

/// A word that only those know to whom the address was shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Secret(String);

impl Secret {
    /// A new one, from the system's randomness: 128 bits.
    ///
    /// # Errors
    /// When the system has none to give.
    pub fn new() -> std::io::Result<Self> {
        let mut bytes = [0u8; 16];
        getrandom::fill(&mut bytes).map_err(|e| std::io::Error::other(e.to_string()))?;
        Ok(Self(bytes.iter().map(|b| format!("{b:02x}")).collect()))
    }

    /// One that was made before; none where it can't be one.
    pub fn known(word: &str) -> Option<Self> {
        let is_one = word.len() == 32 && word.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        is_one.then(|| Self(word.to_owned()))
    }

    /// As it stands in the address.
    pub fn word(&self) -> &str {
        &self.0
    }

    /// What follows the secret in a path; none where it is missing or another.
    pub(crate) fn strip<'p>(&self, path: &'p str) -> Option<&'p str> {
        path.strip_prefix('/')?.strip_prefix(self.0.as_str())?.strip_prefix('/')
    }
}

/// Was it asked by one of the names that this machine's page has? A foreign name that leads here is how a foreign page
/// would get at it (DNS rebinding).
pub(crate) fn is_own_host(headers: &HeaderMap, own: SocketAddr) -> bool {
    let mut hosts = headers.get_all(HOST).into_iter();
    // Of two, whoever stands between may have read the other one.
    let (Some(host), None) = (hosts.next(), hosts.next()) else { return false };
    host.to_str().is_ok_and(|host| names(own).any(|name| name == host))
}

/// What is told comes as JSON, which no page of another address can send without being asked first, and no form at all.
pub(crate) fn is_told_as_json(headers: &HeaderMap) -> bool {
    let kind = headers.get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    kind.is_some_and(|kind| {
        kind.split(';').next().unwrap_or_default().trim().eq_ignore_ascii_case("application/json")
    })
}

/// A request that changes something names the page that it comes from; so do browsers. Other programs name none.
pub(crate) fn is_own_origin(headers: &HeaderMap, own: SocketAddr) -> bool {
    let Some(origin) = headers.get(ORIGIN) else { return true };
    origin.to_str().is_ok_and(|origin| names(own).any(|name| format!("http://{name}") == origin))
}

fn names(own: SocketAddr) -> impl Iterator<Item = String> {
    let local = own.ip().is_loopback().then(|| format!("localhost:{}", own.port()));
    std::iter::once(own.to_string()).chain(local)
}
