//! The bench page and those who are not meant: plain requests, without a browser.

mod common;
#[path = "common/served.rs"]
mod served;

use common::copy;
use served::{Served, asked, get, post};

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
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}content-length: {}\r\n\r\n{body}",
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
    // A body of a gigabyte: said at once, and not taken in.
    let head = format!("POST {read} HTTP/1.1\r\nHost: {host}\r\ncontent-length: 1073741824\r\n\r\n");
    let mut stream = std::net::TcpStream::connect(&host).unwrap();
    stream.write_all(head.as_bytes()).unwrap();
    let block = vec![b' '; 1 << 20];
    let sent = (0..1024).take_while(|_| stream.write_all(&block).is_ok()).count();
    assert!(sent < 64, "{sent} MB were taken");
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
