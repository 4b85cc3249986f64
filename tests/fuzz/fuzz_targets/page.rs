//! Any path and body, sent to the page of a family with the right address and the secret in it: an answer comes, the
//! log only gets longer, and files outside the family stay as they are.
#![no_main]

use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::PathBuf;
use std::sync::LazyLock;
use std::sync::mpsc::channel;
use std::time::Duration;

use bobbinwright_folder::Folder;
use bobbinwright_page::Shelf;
use bobbinwright_serve::{Secret, Serving, serve};
use libfuzzer_sys::fuzz_target;

struct Served {
    address: SocketAddr,
    secret: String,
    family: PathBuf,
    /// What lies beside the family, and must stay.
    beside: PathBuf,
}

const PATHS: [&str; 16] = [
    "of/tidewick/state", "of/tidewick/read", "of/tidewick/try", "of/tidewick/withdraw", "of/tidewick/value",
    "of/tidewick/tryvalue", "of/tidewick/undo", "of/tidewick/bounds?position=neck&path=", "of/tidewick/tryvalue/scene", "of/tidewick/made/",
    "of/tidewick/file/print/", "of/", "web/", "families", "new", "",
];

static SERVED: LazyLock<Served> = LazyLock::new(|| {
    let scratch = tempfile::tempdir().expect("a folder").keep();
    let family = scratch.join("tidewick");
    std::fs::create_dir(&family).expect("a folder");
    let beside = scratch.join("beside.txt");
    std::fs::write(&beside, "stays").expect("a file");
    std::fs::write(family.join("family.ron"), include_str!("../../../specs/tidewick/family.ron")).expect("a file");
    std::fs::write(family.join("readings.ron"), include_str!("../../../specs/tidewick/readings.ron")).expect("a file");
    let shelf = Shelf::all(Folder::on_disk(&scratch), scratch.join("out"));
    let secret = Secret::new().expect("a secret");
    let word = secret.word().to_owned();
    let (ready, address) = channel();
    std::thread::spawn(move || {
        serve(Serving { shelf, port: 0, lan: None, secret }, |all| ready.send(all[0]).expect("somebody waits"))
    });
    Served { address: address.recv().expect("an address"), secret: word, family, beside }
});

fuzz_target!(|asked: (u8, bool, &str, &[u8])| {
    let (which, post, path, body) = asked;
    let known = PATHS[usize::from(which) % PATHS.len()];
    if path.contains(['\r', '\n', ' ']) || known == "new" && post {
        return;
    }
    let log = SERVED.family.join("readings.ron");
    let before = std::fs::read(&log).expect("the log stays");
    if before.len() > 100_000 {
        std::fs::write(&log, include_str!("../../../specs/tidewick/readings.ron")).expect("the log is ours");
        return;
    }
    let mut stream = TcpStream::connect(SERVED.address).expect("the page answers");
    stream.set_read_timeout(Some(Duration::from_secs(5))).expect("a time");
    let method = if post { "POST" } else { "GET" };
    let head = format!(
        "{method} /{}/{known}{path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\ncontent-length: {}\r\n\r\n",
        SERVED.secret, SERVED.address, body.len()
    );
    let _ = stream.write_all(head.as_bytes()).and_then(|()| stream.write_all(body));
    let mut answer = [0; 12];
    // The one answer that does not end is the stream of changes; its head is enough.
    stream.read_exact(&mut answer).expect("an answer");
    assert!(answer.starts_with(b"HTTP/1."), "{answer:?}");
    let status = &answer[9..12];
    assert_ne!(status, b"500", "{known}{path}");
    let after = std::fs::read(&log).expect("the log stays");
    assert!(after.starts_with(&before), "the log only gets longer");
    assert_eq!(std::fs::read(&SERVED.beside).expect("it stays"), b"stays");
});
