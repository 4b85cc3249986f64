//! A way in that is good for one time and soon for none: for the browser that the program opens.
//!
//! What a program is started with everybody on the machine can read. So the browser is not started with the page's address but
//! with a word that leads to it once, and, where the system tells, only for whoever runs the program.

use std::net::SocketAddr;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use crate::guard::Secret;

/// A browser takes no longer to start.
const GOOD_FOR: Duration = Duration::from_mins(1);

/// The way in.
pub struct Once {
    word: Secret,
    since: Instant,
    used: AtomicBool,
}

impl Once {
    /// A new one, with a word that nobody knows yet.
    ///
    /// # Errors
    /// When the system has no randomness to give.
    pub fn new() -> std::io::Result<Self> {
        Ok(Self { word: Secret::new()?, since: Instant::now(), used: AtomicBool::new(false) })
    }

    /// Its path, behind the machine's address.
    pub fn path(&self) -> String {
        format!("/once/{}", self.word.word())
    }

    pub(crate) fn is_asked_for(&self, path: &str) -> bool {
        path == self.path()
    }

    /// Is whoever asks let in? Nobody is after them.
    pub(crate) fn lets_in(&self, peer: SocketAddr, own: SocketAddr) -> bool {
        is_own_user(peer, own) && self.since.elapsed() < GOOD_FOR && !self.used.swap(true, Ordering::Relaxed)
    }
}

/// Is the other end of a connection of whoever runs this program? Where the system does not tell, it is taken to be.
#[cfg(target_os = "linux")]
fn is_own_user(peer: SocketAddr, own: SocketAddr) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(table), Ok(me)) = (std::fs::read_to_string("/proc/net/tcp"), std::fs::metadata("/proc/self"))
    else {
        return true;
    };
    let (SocketAddr::V4(peer), SocketAddr::V4(own)) = (peer, own) else { return true };
    let end = |at: std::net::SocketAddrV4| {
        format!("{:08X}:{:04X}", u32::from_le_bytes(at.ip().octets()), at.port())
    };
    let ends = [end(peer), end(own)];
    let owner = table.lines().find_map(|line| {
        let words: Vec<&str> = line.split_whitespace().collect();
        (words.get(1..3)? == ends).then(|| words.get(7)?.parse::<u32>().ok())?
    });
    owner.is_none_or(|owner| owner == me.uid())
}

#[cfg(not(target_os = "linux"))]
fn is_own_user(_: SocketAddr, _: SocketAddr) -> bool {
    true
}
