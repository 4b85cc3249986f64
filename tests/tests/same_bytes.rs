//! What a one-file page answers is what the program answers, byte for byte: state, scene, advice, and every file that can be
//! made, of every demo, of demos that were read a little otherwise, and of random instruments: `FAMILIES` of either.

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use bobbinwright_browser::Core;
use bobbinwright_tests::random_family;
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
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
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../specs")
}

/// All texts below a folder, by their paths.
fn texts(folder: &Path, below: &str, all: &mut Vec<(String, String)>) {
    let mut entries: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        let name = format!("{below}{}", path.file_name().unwrap().to_string_lossy());
        if path.is_dir() {
            texts(&path, &format!("{name}/"), all);
        } else if name.strip_suffix(".ron").is_some() {
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
    for (_, text) in files {
        all.extend(text.bytes());
    }
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

/// The text with every figure that has a decimal point, outside of quotes, another one, by up to a quarter of a per cent.
fn read_otherwise(text: &str, seed: &mut u64) -> String {
    let mut by_chance = || {
        // Knuth's constants (The Art of Computer Programming, 3.3.4, from memory).
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        1.0 + 0.005 * (f64::from((*seed >> 40) as u32) / f64::from(1 << 24) - 0.5)
    };
    let otherwise = |part: &str, by_chance: &mut dyn FnMut() -> f64| {
        let is_figure = |c: char| c.is_ascii_digit() || c == '.';
        let mut all = String::new();
        let mut rest = part;
        while let Some(start) = rest.find(is_figure) {
            let end = rest[start..].find(|c| !is_figure(c)).map_or(rest.len(), |end| start + end);
            let figure = &rest[start..end];
            all.push_str(&rest[..start]);
            match (figure.split_once('.'), figure.parse::<f64>()) {
                (Some((_, digits)), Ok(value)) => {
                    let _ = write!(all, "{:.*}", digits.len(), value * by_chance());
                }
                _ => all.push_str(figure),
            }
            rest = &rest[end..];
        }
        all + rest
    };
    let parts = text.split('"').enumerate();
    let parts: Vec<String> =
        parts.map(|(i, p)| if i % 2 == 0 { otherwise(p, &mut by_chance) } else { p.to_owned() }).collect();
    parts.join("\"")
}

/// A family's name, and all files of its shelf.
type Shelf = (String, Vec<(String, String)>);

/// So many demos, each read otherwise.
fn others(demos: &[Shelf], count: usize) -> Vec<Shelf> {
    let mut seed = 26;
    let one = |(name, files): &Shelf| {
        let log = format!("{name}/readings.ron");
        let files = files.iter().map(|(path, text)| {
            (path.clone(), if *path == log { read_otherwise(text, &mut seed) } else { text.clone() })
        });
        (name.clone(), files.collect())
    };
    demos.iter().cycle().take(count).map(one).collect()
}

/// So many random instruments, each alone on its shelf.
fn instruments(count: usize) -> Vec<Shelf> {
    let mut rng = ChaCha8Rng::seed_from_u64(26);
    let mut one = || {
        let [family, log] = random_family::texts(&mut rng);
        let files = vec![("drawn/family.ron".to_owned(), family), ("drawn/readings.ron".to_owned(), log)];
        ("drawn".to_owned(), files)
    };
    (0..count).map(|_| one()).collect()
}

/// What the program's own processor makes of it, as `answers.mjs` prints it.
fn here((name, all): &Shelf) -> Vec<String> {
    let mut lines = Vec::new();
    let mut core = Core::default();
    let mut kept = &all[..];
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
            let (_, body) = answered(&mut core, &format!("{}/{file}", path.replace("/made/", "/file/")), &[]);
            lines.push(format!("{file} {}", hash(&body)));
        }
    }
    lines
}

#[test]
fn every_answer_about_demos_and_random_instruments() {
    let Some(file) = std::env::var_os("ONE_FILE") else {
        eprintln!("skipped: ONE_FILE names no bobbinwright.html to look at");
        return;
    };
    let mut all = Vec::new();
    texts(&specs(), "", &mut all);
    let demos: Vec<String> =
        all.iter().filter_map(|(name, _)| Some(name.strip_suffix("/family.ron")?.to_owned())).collect();
    assert!(demos.len() >= 9, "{demos:?}");
    let mut shelves: Vec<Shelf> = demos.into_iter().map(|name| (name, all.clone())).collect();
    let count = std::env::var("FAMILIES").map_or(4, |n| n.parse().unwrap());
    shelves.extend(others(&shelves, count));
    let drawn = shelves.len();
    shelves.extend(instruments(count));
    let requests = json!({
        "days": { "today": "2026-09-20", "latest": "2026-09-21" },
        "families": shelves.iter().map(|(name, files)| json!({ "name": name, "files": files })).collect::<Vec<_>>(),
        "asked": ASKED,
    });
    let scratch = tempfile::tempdir().unwrap();
    let list = scratch.path().join("requests.json");
    fs::write(&list, requests.to_string()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/answers.mjs");
    let node = Command::new("node").arg(script).arg(file).arg(&list).output().expect("there is node");
    assert!(node.status.success(), "{}", String::from_utf8_lossy(&node.stderr));
    let there: Vec<String> = String::from_utf8(node.stdout).unwrap().lines().map(str::to_owned).collect();
    let of_each: Vec<Vec<String>> = shelves.iter().map(here).collect();
    let here = of_each.concat();
    let differ: Vec<_> = here.iter().zip(&there).filter(|(a, b)| a != b).collect();
    assert!(
        differ.is_empty() && here.len() == there.len(),
        "{} of {}: {differ:#?}",
        differ.len(),
        here.len()
    );
    // It saw what there is to see.
    assert!(here.len() > 300, "{}", here.len());
    let is_built = |lines: &&Vec<String>| lines.iter().any(|line| line.contains(".stl "));
    let built = of_each[drawn..].iter().filter(is_built).count();
    assert!(2 * built >= count, "{built} of {count} random instruments are built");
    println!("{} answers and files alike; {built} of {count} random instruments were built", here.len());
}
