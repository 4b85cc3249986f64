//! A shelf out and in again as one file, and files that are no backup or a hostile one.

use std::io::{Cursor, Write};
use std::path::PathBuf;

use bobbinwright_browser::{Core, pack, unpack};
use serde_json::{Value, json};
use zip::write::SimpleFileOptions;

fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// Whether it is refused, and with these words.
fn refused(bytes: &[u8], words: &str) {
    let why = unpack(bytes).unwrap_err().to_string();
    assert!(why.contains(words), "{why}");
}

#[test]
fn out_and_in_again() {
    let files: Vec<(PathBuf, Vec<u8>)> = vec![
        ("quay/printer.ron".into(), b"()\r\n".to_vec()),
        ("skiff/family.ron".into(), "(title: \"Skiff \u{3a9}\")\n".into()),
        ("skiff/printed/7d8ac923.json".into(), vec![0, 255, 10, 13]),
    ];
    let packed = pack(&files).unwrap();
    let back: Vec<_> = unpack(&packed).unwrap().files.into_iter().collect();
    assert_eq!(back, files);
    assert_eq!(pack(&back).unwrap(), packed);
}

#[test]
fn names_that_lead_elsewhere() {
    for name in ["../skiff/family.ron", "/etc/passwd", "skiff/../../x", "skiff//x", "./x"] {
        refused(&zipped(&[(name, b"()")]), "leads out of the shelf");
    }
    refused(&zipped(&[("C:/x", b"()")]), "leads elsewhere");
    refused(&zipped(&[("skiff\\x", b"()")]), "leads elsewhere");
    refused(&zipped(&[("skiff/a\u{1b}[2Jb", b"()")]), "control characters");
    refused(&zipped(&[("a/b/c/d/e/f/g/h/i", b"()")]), "too deep");
    refused(&zipped(&[(&"a".repeat(200), b"()")]), "too long");
    refused(&zipped(&[("skiff", b"()"), ("skiff/family.ron", b"()")]), "a file and a folder");
}

#[test]
fn what_is_no_backup_or_too_much() {
    refused(b"", "no backup");
    refused(b"PK\x03\x04 and nothing more", "no backup");
    refused(&zipped(&[]), "nothing in it");
    let whole = zipped(&[("skiff/family.ron", b"()")]);
    for cut in 1..whole.len() {
        assert!(unpack(&whole[..cut]).is_err());
    }
    let many: Vec<String> = (0..5_001).map(|i| i.to_string()).collect();
    refused(&zipped(&many.iter().map(|n| (n.as_str(), &b""[..])).collect::<Vec<_>>()), "no shelf has more");
    // A small file that unpacks to 100 MB.
    let bomb = zipped(&[("skiff/family.ron", &vec![b' '; 100 << 20])]);
    assert!(bomb.len() < 1 << 20);
    refused(&bomb, "more than 64 MB");
}

#[test]
fn what_systems_put_beside_files_is_left_out() {
    let unpacked =
        unpack(&zipped(&[("skiff/family.ron", b"()"), ("skiff/.hidden", b"x"), ("__MACOSX/skiff/x", b"x")]))
            .unwrap();
    assert_eq!((unpacked.files.len(), unpacked.left_out), (1, 2));
}

/// A request with a body; its status, its answer, and the changes.
fn asked(core: &mut Core, method: &str, path: &str, query: &str, body: &[u8]) -> (u64, Vec<u8>, Value) {
    let head = json!({ "method": method, "path": path, "query": query, "body": body.len(), "today": "2026-09-20", "latest": "2026-09-21" });
    let head = head.to_string();
    let mut request = u32::try_from(head.len()).unwrap().to_le_bytes().to_vec();
    request.extend(head.bytes());
    request.extend(body);
    let answer = core.answer(&request);
    let (length, rest) = answer.split_first_chunk::<4>().unwrap();
    let (head, rest) = rest.split_at(u32::from_le_bytes(*length) as usize);
    let head: Value = serde_json::from_slice(head).unwrap();
    let body = rest[..usize::try_from(head["body"].as_u64().unwrap()).unwrap()].to_vec();
    (head["status"].as_u64().unwrap(), body, head["changes"].clone())
}

#[test]
fn nothing_that_is_there_is_lost() {
    let mut core = Core::default();
    let first =
        zipped(&[("skiff/family.ron", b"first"), ("skiff/notes.txt", b"mine"), ("dory/family.ron", b"()")]);
    let (status, _, changes) = asked(&mut core, "POST", "backup", "", &first);
    assert_eq!((status, changes.as_array().unwrap().len()), (200, 3));
    // The same again changes nothing.
    let (_, answer, changes) = asked(&mut core, "POST", "backup", "", &first);
    let answer: Value = serde_json::from_slice(&answer).unwrap();
    assert_eq!((&answer["same"], &answer["new"]), (&json!(3), &json!(0)));
    assert_eq!(changes, json!([]));
    // Another one of the same name waits for a word, and then sets aside what is there.
    let other = zipped(&[("skiff/family.ron", b"other"), ("yawl/family.ron", b"()")]);
    let (_, answer, changes) = asked(&mut core, "POST", "backup", "", &other);
    let answer: Value = serde_json::from_slice(&answer).unwrap();
    assert_eq!((&answer["differ"], changes), (&json!(["skiff"]), json!([])));
    for number in 1..3 {
        let (status, ..) =
            asked(&mut core, "POST", "backup", "instead", if number == 1 { &other } else { &first });
        assert_eq!(status, 200);
    }
    let (_, all, _) = asked(&mut core, "GET", "backup", "", b"");
    let all = unpack(&all).unwrap().files;
    let names: Vec<String> =
        all.iter().map(|(p, b)| format!("{} {}", p.display(), String::from_utf8_lossy(b))).collect();
    assert_eq!(
        names,
        [
            "dory/family.ron ()",
            "set-aside/2026-09-20-1/skiff/family.ron first",
            "set-aside/2026-09-20-1/skiff/notes.txt mine",
            "set-aside/2026-09-20-2/skiff/family.ron other",
            "skiff/family.ron first",
            "skiff/notes.txt mine",
            "yawl/family.ron ()",
        ]
    );
}
