//! No two files of a crate import each other, not even by way of others: whoever reads one file need not have read the
//! one that uses it. What a module's own `mod.rs` holds for its files does not count.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Every source file below a folder, by its module: `["parts", "layout"]`.
fn modules(folder: &Path, at: &[String], found: &mut BTreeMap<Vec<String>, PathBuf>) {
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let (path, name) = (entry.path(), entry.file_name().into_string().unwrap());
        let inner = |name: &str| [at, &[name.to_owned()]].concat();
        if path.is_dir() {
            modules(&path, &inner(&name), found);
        } else if let Some(stem) = name.strip_suffix(".rs") {
            let is_face = matches!(stem, "mod" | "lib" | "main");
            found.insert(if is_face { at.to_vec() } else { inner(stem) }, path);
        }
    }
}

/// Paths after `crate::` or `super::`, groups in braces taken apart: `["crate", "parts", "layout", "Layout"]`.
fn paths(text: &str) -> Vec<Vec<String>> {
    let code: String =
        text.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
    let code = code.split("#[cfg(test)]").next().unwrap_or_default();
    let starts = ["crate::", "super::"].into_iter().flat_map(|s| code.match_indices(s));
    let is_whole = |at: usize| !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
    let starts = starts.filter(|(at, _)| is_whole(*at));
    starts.flat_map(|(at, _)| taken_apart(&code[at..])).collect()
}

fn taken_apart(code: &str) -> Vec<Vec<String>> {
    let end = code.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == ':')).unwrap_or(code.len());
    let stem: Vec<String> = code[..end].split("::").filter(|s| !s.is_empty()).map(str::to_owned).collect();
    let Some(group) = code[end..].strip_prefix('{').filter(|_| code[..end].ends_with("::")) else {
        return vec![stem];
    };
    let (mut depth, mut items, mut item) = (0, Vec::new(), String::new());
    for c in group.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => items.push(std::mem::take(&mut item)),
            _ => {
                depth += i32::from(c == '{') - i32::from(c == '}');
                item.push(c);
            }
        }
    }
    items.push(item);
    let inner = items.iter().map(|i| i.trim()).filter(|i| !i.is_empty()).flat_map(taken_apart);
    inner.map(|rest| [stem.clone(), rest].concat()).collect()
}

/// The file that a path means, seen from a module.
fn meant<'m>(
    files: &'m BTreeMap<Vec<String>, PathBuf>,
    from: &[String],
    path: &[String],
) -> Option<&'m Vec<String>> {
    let mut at = match path.first()?.as_str() {
        "crate" => Vec::new(),
        _ => from.to_vec(),
    };
    for name in path {
        match name.as_str() {
            "crate" => {}
            "super" => drop(at.pop()),
            name => {
                let next = [&at[..], &[name.to_owned()]].concat();
                if !files.contains_key(&next) {
                    break;
                }
                at = next;
            }
        }
    }
    files.get_key_value(&at).map(|(module, _)| module)
}

/// Everything that a module imports, by way of others too.
fn reach<'m>(
    arrows: &BTreeMap<&'m Vec<String>, BTreeSet<&'m Vec<String>>>,
    from: &'m Vec<String>,
) -> BTreeSet<&'m Vec<String>> {
    let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
    while let Some(module) = open.pop() {
        open.extend(arrows[module].iter().copied().filter(|next| seen.insert(*next)));
    }
    seen
}

#[test]
fn no_files_import_each_other() {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let (mut all, mut circles) = (0, Vec::<String>::new());
    for folder in fs::read_dir(crates).unwrap().map(|e| e.unwrap().path()) {
        let mut files = BTreeMap::new();
        modules(&folder.join("src"), &[], &mut files);
        let mut arrows: BTreeMap<&Vec<String>, BTreeSet<&Vec<String>>> = BTreeMap::new();
        for (module, file) in &files {
            let text = fs::read_to_string(file).unwrap();
            let to = paths(&text).into_iter().filter_map(|path| meant(&files, module, &path));
            // A folder's own module is its files' face.
            arrows
                .insert(module, to.filter(|to| !module.starts_with(to) && !to.starts_with(module)).collect());
        }
        all += arrows.values().map(BTreeSet::len).sum::<usize>();
        for (module, to) in &arrows {
            let back = to.iter().filter(|to| reach(&arrows, to).contains(module));
            circles.extend(
                back.map(|to| format!("{}: {} and {}", folder.display(), module.join("/"), to.join("/"))),
            );
        }
    }
    assert!(circles.is_empty(), "import each other, or by way of others:\n{}", circles.join("\n"));
    // It sees what there is to see.
    assert!(all > 200, "{all}");
}
