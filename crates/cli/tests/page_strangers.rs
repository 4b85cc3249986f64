//! The bench page and those who are not meant: plain requests, without a browser.

mod common;
#[path = "common/served.rs"]
mod served;

use common::copy;
use served::{Served, asked, get, post};

const JSON: &str = "content-type: application/json\r\n";

/// What a hostile page or program may try.
#[test]
fn nobody_else_gets_in() {
    use std::io::Write;
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let served = Served::of(scratch.path(), &["tidewick"]);
    let (path, host) = (served.path().to_owned(), served.address().to_owned());
    let request = |method: &str, path: &str, host: &str, more: &str, body: &str| {
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{JSON}{more}content-length: {}\r\n\r\n{body}",
            body.len()
        );
        asked(served.address(), head.as_bytes())
    };
    assert_eq!(request("GET", &path, &host, "", "").0, 200);
    // Another name that leads here, and an address without the secret, or with another.
    assert_eq!(request("GET", &path, "elsewhere.example", "", "").0, 403);
    assert_eq!(request("GET", "/", &host, "", "").0, 403);
    assert_eq!(request("GET", &path.replace(['a', 'b', 'c', '1', '2'], "0"), &host, "", "").0, 403);
    // A foreign page that sends something.
    let log = std::fs::read(family.join("readings.ron")).unwrap();
    let reading = r#"{"of":"neck.rout.length","figures":"92.2"}"#;
    let read = format!("{path}of/tidewick/read");
    assert_eq!(request("POST", &read, &host, "Origin: http://elsewhere.example\r\n", reading).0, 403);
    assert_eq!(request("POST", &read, &host, "Origin: null\r\n", reading).0, 403);
    assert_eq!(std::fs::read(family.join("readings.ron")).unwrap(), log);
    // Out of the folder, by every name that a request can have.
    std::fs::write(scratch.path().join("secret.txt"), "not for you").unwrap();
    for up in [
        "../secret.txt",
        "..%2fsecret.txt",
        "%2e%2e/secret.txt",
        "..%2F..%2Fetc%2Fpasswd",
        "....//secret.txt",
        "%00",
        "%zz",
    ] {
        for at in [
            "",
            "web/",
            "web/viewer/",
            "of/",
            "of/tidewick/",
            "of/tidewick/file/print/",
            "of/tidewick/made/",
            "of/tidewick/bounds?path=",
        ] {
            let (status, body) = get(&served, &format!("{at}{up}"));
            assert!(!String::from_utf8_lossy(&body).contains("not for you"), "{at}{up}");
            let null = body == b"null";
            assert!(matches!(status, 400 | 403 | 404) || null, "{at}{up}: {status}");
        }
    }
    for typed in [
        r#"{"of":"../../x","figures":"1"}"#,
        r#"{"of":"neck.rout.length\"),evil(","figures":"92.2"}"#,
        r#"{"of":"neck.rout.length","figures":"92.2","spot":"a\nwithdraw(on: \"2026-01-01\", entry: 1, why: \"x\")"}"#,
        "[]",
        "{",
        "",
    ] {
        let (status, body) = request("POST", &read, &host, "", typed);
        let text = std::fs::read_to_string(family.join("readings.ron")).unwrap();
        assert!(
            status == 422 || (status == 200 && !text.contains("\nwithdraw(")),
            "{typed}: {status} {}",
            String::from_utf8_lossy(&body)
        );
    }
    for path_and_value in [
        ("cover.rounding", "1.4), evil: ("),
        ("like", "\"../x\""),
        ("title", "\"x\""),
        ("printer", "\"/etc\""),
    ] {
        let body = serde_json::json!({ "path": path_and_value.0, "position": "neck", "value": path_and_value.1, "rev": "" }).to_string();
        assert_eq!(
            request("POST", &format!("{path}of/tidewick/tryvalue"), &host, "", &body).0,
            422,
            "{path_and_value:?}"
        );
    }
    a_gigabyte_is_not_taken_in(&host, &read);
    // A thousand that say nothing, or a letter now and then: whoever asks properly is answered all the same.
    let mut slow: Vec<_> = (0..1000).filter_map(|_| std::net::TcpStream::connect(&host).ok()).collect();
    assert!(slow.len() > 900, "{}", slow.len());
    for stream in &mut slow {
        let _ = stream.write_all(b"GET /");
    }
    assert_eq!(request("GET", &path, &host, "", "").0, 200);
    drop(slow);
    // The family goes while it is open: that is said, and nothing else happens.
    std::fs::remove_dir_all(&family).unwrap();
    let (status, body) = get(&served, "of/tidewick/state");
    assert!(
        status == 409 && String::from_utf8_lossy(&body).contains("is not a folder"),
        "{status} {}",
        String::from_utf8_lossy(&body)
    );
    assert_eq!(request("POST", &read, &host, "", reading).0, 422);
    assert_eq!(get(&served, "").0, 200);
}

/// Others in the network are let in only when that is asked for, and then by the same rules.
#[test]
fn the_network_is_let_in_when_asked() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let Some(shared) = Served::in_network(scratch.path(), &["tidewick"]) else {
        eprintln!("skipped: this machine is in no network");
        return;
    };
    assert_eq!(get(&shared, "").0, 200);
    let path = format!("{}of/tidewick/read", shared.path());
    let (status, said) = post(shared.address(), &path, r#"{"of":"neck.rout.length","figures":"92.21"}"#);
    assert_eq!(status, 200, "{}", String::from_utf8_lossy(&said));
    assert!(std::fs::read_to_string(family.join("readings.ron")).unwrap().contains("92.21"));
    // Neither without the secret nor by another name.
    assert_eq!(post(shared.address(), "/of/tidewick/read", "{}").0, 403);
    let head =
        format!("GET {} HTTP/1.1\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n", shared.path());
    assert_eq!(asked(shared.address(), head.as_bytes()).0, 403);
    // Not asked for, only this machine reaches it.
    let alone = Served::of(scratch.path(), &["tidewick"]);
    let port = alone.address().rsplit_once(':').unwrap().1;
    let outside = shared.address().rsplit_once(':').unwrap().0;
    assert_eq!(asked(&format!("{outside}:{port}"), b"GET / HTTP/1.1\r\n\r\n"), (0, Vec::new()));
}

/// Only GET reads and only POST with JSON changes; whoever asks names this host, once.
#[test]
fn nothing_is_changed_by_the_way() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let served = Served::of(scratch.path(), &["tidewick"]);
    let (path, host) = (served.path(), served.address());
    let before = common::content(&family);
    let reading = r#"{"of":"neck.rout.length","figures":"92.21"}"#;
    let request = |method: &str, what: &str, heads: &str, body: &str| {
        let head = format!(
            "{method} {path}of/tidewick/{what} HTTP/1.1\r\n{heads}Connection: close\r\ncontent-length: {}\r\n\r\n{body}",
            body.len()
        );
        asked(host, head.as_bytes()).0
    };
    let own = format!("Host: {host}\r\n");
    let json = format!("{own}{JSON}");
    for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND"] {
        assert_eq!(request(method, "read", &json, reading), 405, "{method}");
        assert_eq!(request(method, "undo", &json, "{}"), 405, "{method}");
    }
    // What a form of another page can send without being asked first.
    for kind in ["", "content-type: text/plain\r\n", "content-type: application/x-www-form-urlencoded\r\n"] {
        for what in ["read", "undo", "build", "value", "way", "tool", "printer", "printed", "withdraw"] {
            assert_eq!(request("POST", what, &format!("{own}{kind}"), reading), 415, "{what} {kind}");
        }
    }
    // Asking changes nothing, whatever is asked with.
    let asked_for = [
        "read",
        "undo",
        "build",
        "value",
        "way",
        "tool",
        "withdraw",
        "printer",
        "state",
        "made/print",
        "file/print/everything.zip",
    ];
    for what in asked_for {
        let status = request("GET", what, &json, reading);
        assert!(matches!(status, 200 | 404), "{what}: {status}");
    }
    // A host that is named twice, another one beside it, or none.
    let twice =
        [format!("{own}{own}{JSON}"), format!("{own}Host: elsewhere.example\r\n{JSON}"), JSON.to_owned()];
    for heads in twice {
        let status = request("POST", "read", &heads, reading);
        assert!(matches!(status, 400 | 403), "{heads}: {status}");
    }
    assert!(common::content(&family) == before, "something was changed");
    assert!(!scratch.path().join("out").exists());
    assert_eq!(request("POST", "read", &json, reading), 200);
}

/// A page that hears of changes.
fn listening(served: &Served) -> std::net::TcpStream {
    use std::io::{Read, Write};
    let mut page = std::net::TcpStream::connect(served.address()).unwrap();
    page.set_read_timeout(Some(std::time::Duration::from_secs(5))).unwrap();
    let head =
        format!("GET {}of/tidewick/changes HTTP/1.1\r\nHost: {}\r\n\r\n", served.path(), served.address());
    page.write_all(head.as_bytes()).unwrap();
    let mut heard = [0; 4096];
    let first = page.read(&mut heard).unwrap();
    assert!(String::from_utf8_lossy(&heard[..first]).contains("200"), "the stream begins");
    page
}

/// Connections of strangers close each other's, not those of a page that is open.
#[test]
fn strangers_do_not_close_a_page() {
    use std::io::Read;
    use std::net::TcpStream;
    let scratch = tempfile::tempdir().unwrap();
    copy("tidewick", scratch.path());
    let served = Served::of(scratch.path(), &["tidewick"]);
    let mut page = listening(&served);
    let mut heard = [0; 4096];
    let strangers: Vec<TcpStream> =
        (0..700).filter_map(|_| TcpStream::connect(served.address()).ok()).collect();
    assert!(strangers.len() > 600);
    // What it hears every second goes on.
    for _ in 0..3 {
        assert!(page.read(&mut heard).unwrap() > 0, "the page's stream was closed");
    }
    assert_eq!(get(&served, "of/tidewick/state").0, 200);
}

/// An editor takes a file away for a moment, or longer: of a shelf's family a page hears of what comes after it as before.
#[test]
fn a_file_that_is_away_for_a_while_is_still_listened_for() {
    use std::io::Read;
    let scratch = tempfile::tempdir().unwrap();
    let wanted = copy("tidewick", scratch.path()).join("family.ron");
    let served = Served::of(scratch.path(), &[]);
    let mut page = listening(&served);
    let mut heard = [0; 4096];
    // Before the next look at the files, of which there are five a second.
    let mut is_told = |what: &str| {
        let since = std::time::Instant::now();
        loop {
            let many = page.read(&mut heard).unwrap();
            if String::from_utf8_lossy(&heard[..many]).contains("changed") {
                return;
            }
            assert!(many > 0 && since.elapsed().as_secs() < 20, "nothing was heard of {what}");
        }
    };
    let text = std::fs::read_to_string(&wanted).unwrap();
    std::fs::remove_file(&wanted).unwrap();
    is_told("a file that is gone");
    std::fs::write(&wanted, &text).unwrap();
    is_told("a file that is there again");
    for comment in ["// one\n", "// and another\n"] {
        std::fs::write(&wanted, format!("{comment}{text}")).unwrap();
        is_told(comment);
    }
}

/// What was not answered in time is told again: a stop of the winder is entered once.
#[test]
fn what_is_told_twice_is_entered_once() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let served = Served::of(scratch.path(), &["tidewick"]);
    let path = format!("{}of/tidewick/wound", served.path());
    let stop = |id: &str| {
        format!(
            "{{\"id\":{id:?},\"coil\":\"neck\",\"turns\":\"500\",\"reads\":\"402.1\",\"celsius\":\"21\"}}"
        )
    };
    let entries = || std::fs::read_to_string(family.join("readings.ron")).unwrap().matches("wound(").count();
    let answers = ["a", "a", "b"].map(|id| served::post(served.address(), &path, &stop(id)));
    assert!(answers.iter().all(|(status, _)| *status == 200), "{answers:?}");
    assert_eq!(answers[0].1, answers[1].1);
    assert_eq!(entries(), 2);
}

/// The browser that the program opens is started with a way in that is good for one time, since everybody on the machine can
/// read with what a program is started.
#[cfg(target_os = "linux")]
#[test]
fn the_opened_browser_does_not_show_the_secret() {
    use std::os::unix::fs::PermissionsExt;
    let scratch = tempfile::tempdir().unwrap();
    copy("tidewick", scratch.path());
    let told = scratch.path().join("opened-with");
    let opener = scratch.path().join("xdg-open");
    let script = format!("#!/bin/sh\necho \"$@\" > {0}.new && mv {0}.new {0}\n", told.display());
    std::fs::write(&opener, script).unwrap();
    std::fs::set_permissions(&opener, std::fs::Permissions::from_mode(0o755)).unwrap();
    let served = Served::opening(scratch.path(), &["tidewick"]);
    let since = std::time::Instant::now();
    let opened = loop {
        if let Ok(text) = std::fs::read_to_string(&told) {
            break text.trim().to_owned();
        }
        assert!(since.elapsed().as_secs() < 20, "no browser was opened");
        std::thread::sleep(std::time::Duration::from_millis(20));
    };
    let secret = served.path().trim_matches('/');
    assert!(!opened.contains(secret), "{opened}");
    let way = opened.strip_prefix(&format!("http://{}", served.address())).unwrap();
    let head = format!("GET {way} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", served.address());
    assert_eq!(asked(served.address(), head.as_bytes()).0, 303, "it leads to the page");
    assert_eq!(asked(served.address(), head.as_bytes()).0, 403, "once");
}

/// A body of a gigabyte: said at once, and not taken in.
fn a_gigabyte_is_not_taken_in(host: &str, read: &str) {
    use std::io::Write;
    let head = format!(
        "POST {read} HTTP/1.1\r\nHost: {host}\r\ncontent-type: application/json\r\ncontent-length: 1073741824\r\n\r\n"
    );
    let mut stream = std::net::TcpStream::connect(host).unwrap();
    stream.write_all(head.as_bytes()).unwrap();
    let block = vec![b' '; 1 << 20];
    let sent = (0..1024).take_while(|_| stream.write_all(&block).is_ok()).count();
    assert!(sent < 64, "{sent} MB were taken");
}
