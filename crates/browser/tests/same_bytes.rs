//! What a one-file page answers is what the program answers, byte for byte: every demo's state, scene, advice, and every
//! file that can be made of it.

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use bobbinwright_browser::Core;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

const ASKED: [&str; 7] = [
    "families",
    "of/NAME/state",
    "of/NAME/scene",
    "of/NAME/made/sheet",
    "of/NAME/made/print",
    "of/NAME/made/wind",
    "of/NAME/made/versions",
];

fn specs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs")
}

/// All texts below a folder, by their paths.
fn texts(folder: &Path, below: &str, all: &mut Vec<(String, String)>) {
    let mut entries: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        let name = format!("{below}{}", path.file_name().unwrap().to_string_lossy());
        if path.is_dir() {
            texts(&path, &format!("{name}/"), all);
        } else if name.ends_with(".ron") {
            all.push((name, fs::read_to_string(path).unwrap()));
        }
    }
}

/// A request as the browser's side writes it.
fn request(path: &str, files: &[(String, String)]) -> Vec<u8> {
    let kept: Vec<Value> = files.iter().map(|(name, text)| json!([name, text.len()])).collect();
    let head =
        json!({ "method": "GET", "path": path, "today": "2026-09-20", "latest": "2026-09-21", "kept": kept });
    let head = head.to_string();
    let mut all = u32::try_from(head.len()).unwrap().to_le_bytes().to_vec();
    all.extend(head.bytes());
    files.iter().for_each(|(_, text)| all.extend(text.bytes()));
    all
}

/// Its status and body.
fn answered(core: &mut Core, path: &str, files: &[(String, String)]) -> (u64, Vec<u8>) {
    let answer = core.answer(&request(path, files));
    let (length, rest) = answer.split_first_chunk::<4>().unwrap();
    let (head, rest) = rest.split_at(u32::from_le_bytes(*length) as usize);
    let head: Value = serde_json::from_slice(head).unwrap();
    let body = usize::try_from(head["body"].as_u64().unwrap()).unwrap();
    (head["status"].as_u64().unwrap(), rest[..body].to_vec())
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, b| {
        let _ = write!(text, "{b:02x}");
        text
    })
}

/// What the program's own processor makes of it, as `answers.mjs` prints it.
fn here(demos: &[String], all: &[(String, String)]) -> Vec<String> {
    let mut lines = Vec::new();
    for name in demos {
        let mut core = Core::default();
        let mut kept = all;
        for path in ASKED {
            let path = path.replace("NAME", name);
            let (status, body) = answered(&mut core, &path, kept);
            kept = &[];
            lines.push(format!("{status} {}", hash(&body)));
            if !path.contains("/made/") || status != 200 {
                continue;
            }
            let made: Value = serde_json::from_slice(&body).unwrap();
            for file in made["files"].as_array().unwrap() {
                let file = file[0].as_str().unwrap();
                let (_, body) =
                    answered(&mut core, &format!("{}/{file}", path.replace("/made/", "/file/")), &[]);
                lines.push(format!("{file} {}", hash(&body)));
            }
        }
    }
    lines
}

#[test]
fn every_answer_about_every_demo() {
    let Some(file) = std::env::var_os("ONE_FILE") else {
        eprintln!("skipped: ONE_FILE names no bobbinwright.html to look at");
        return;
    };
    let mut all = Vec::new();
    texts(&specs(), "", &mut all);
    let demos: Vec<String> =
        all.iter().filter_map(|(name, _)| Some(name.strip_suffix("/family.ron")?.to_owned())).collect();
    assert!(demos.len() >= 9, "{demos:?}");
    let requests = json!({
        "days": { "today": "2026-09-20", "latest": "2026-09-21" },
        "families": demos.iter().map(|name| json!({ "name": name, "files": all })).collect::<Vec<_>>(),
        "asked": ASKED,
    });
    let scratch = tempfile::tempdir().unwrap();
    let list = scratch.path().join("requests.json");
    fs::write(&list, requests.to_string()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/answers.mjs");
    let node = Command::new("node").arg(script).arg(file).arg(&list).output().expect("there is node");
    assert!(node.status.success(), "{}", String::from_utf8_lossy(&node.stderr));
    let there: Vec<String> = String::from_utf8(node.stdout).unwrap().lines().map(str::to_owned).collect();
    let here = here(&demos, &all);
    let differ: Vec<_> = here.iter().zip(&there).filter(|(a, b)| a != b).collect();
    assert!(
        differ.is_empty() && here.len() == there.len(),
        "{} of {}: {differ:#?}",
        differ.len(),
        here.len()
    );
    // It saw what there is to see.
    assert!(here.len() > 300, "{}", here.len());
}
