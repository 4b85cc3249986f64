//! Modules as one script. Each becomes a function that gives what it exports; those that it needs stand before it.
//!
//! It knows the few forms that the page's modules are written in, each on a line of its own, and refuses any other:
//! `import { a, b } from "./c.js";`, and `export` before a function, a class or a constant.

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

/// A module by its path.
pub trait Modules {
    /// Its text; none where there is no such module.
    fn text(&self, path: &str) -> Option<String>;
}

impl<F: Fn(&str) -> Option<String>> Modules for F {
    fn text(&self, path: &str) -> Option<String> {
        self(path)
    }
}

/// One script of a module and all that it needs.
///
/// # Errors
/// What is written in a form that is not known, is missing, or needs itself.
pub fn bundle(entry: &str, modules: &impl Modules) -> Result<String, String> {
    let mut script = String::from("\"use strict\";\n");
    let mut done = BTreeSet::new();
    add(entry, modules, &mut Vec::new(), &mut done, &mut script)?;
    Ok(script)
}

fn add(
    path: &str,
    modules: &impl Modules,
    open: &mut Vec<String>,
    done: &mut BTreeSet<String>,
    script: &mut String,
) -> Result<(), String> {
    if done.contains(path) {
        return Ok(());
    }
    if open.iter().any(|one| one == path) {
        return Err(format!("{path} needs itself, by way of {}", open.join(", ")));
    }
    let text = modules.text(path).ok_or_else(|| format!("there is no module {path}"))?;
    let module = Module::read(path, &text)?;
    open.push(path.to_owned());
    for needed in &module.needs {
        add(needed, modules, open, done, script)?;
    }
    open.pop();
    done.insert(path.to_owned());
    script.push_str(&module.written(path, open.is_empty()));
    Ok(())
}

struct Module {
    needs: Vec<String>,
    exports: Vec<String>,
    body: String,
}

impl Module {
    fn read(path: &str, text: &str) -> Result<Self, String> {
        let mut module = Module { needs: Vec::new(), exports: Vec::new(), body: String::new() };
        let mut in_remark = false;
        for (number, line) in (1..).zip(text.lines()) {
            // What is for people who read the modules is left out here.
            let bare = line.trim();
            let is_remark = in_remark || bare.starts_with("//") || bare.starts_with("/**");
            in_remark = (in_remark || bare.starts_with("/**")) && !bare.ends_with("*/");
            if is_remark || bare.is_empty() {
                continue;
            }
            let odd = || format!("{path}:{number}: this form is not known here: {line}");
            if line.starts_with("import") && !line.starts_with("import(") {
                let (names, from) = imported(line).ok_or_else(odd)?;
                let needed = beside(path, from).ok_or_else(odd)?;
                module.body.extend(["const { ", names, " } = ", &variable(&needed), ";\n"]);
                module.needs.push(needed);
            } else if let Some(rest) = line.strip_prefix("export ") {
                module.exports.push(exported(rest).ok_or_else(odd)?.to_owned());
                module.body.push_str(rest);
                module.body.push('\n');
            } else {
                module.body.push_str(bare);
                module.body.push('\n');
            }
        }
        Ok(module)
    }

    fn written(&self, path: &str, is_entry: bool) -> String {
        // Only what nobody needs may wait for something.
        let (before, after) = if is_entry { ("(async () => {", "})();") } else { ("(() => {", "})();") };
        let name = if is_entry { String::new() } else { format!("const {} = ", variable(path)) };
        let exports = format!("return {{ {} }};\n", self.exports.join(", "));
        format!("{name}{before}\n{}{exports}{after}\n", self.body)
    }
}

/// The names and the path of an import.
fn imported(line: &str) -> Option<(&str, &str)> {
    let rest = line.strip_prefix("import { ")?.strip_suffix("\";")?;
    let (names, from) = rest.split_once(" } from \"")?;
    // Another name in this module is written with a colon when it is taken apart.
    (!names.contains(" as ")).then_some((names, from))
}

/// The name of what is exported.
fn exported(rest: &str) -> Option<&str> {
    let rest = rest.strip_prefix("async ").unwrap_or(rest);
    let rest = ["function ", "class ", "const "].iter().find_map(|word| rest.strip_prefix(word))?;
    let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '$'))?;
    (end > 0).then(|| &rest[..end])
}

/// `viewer/vector.js`, seen from `viewer/scene.js` as `./vector.js`.
fn beside(path: &str, from: &str) -> Option<String> {
    let mut found = PathBuf::from(path).parent()?.to_owned();
    for part in Path::new(from).components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => drop(found.pop()),
            Component::Normal(name) => found.push(name),
            _ => return None,
        }
    }
    Some(found.to_str()?.replace('\\', "/"))
}

/// The name under which a module's exports are known: `viewer_scene_js`.
fn variable(path: &str) -> String {
    path.replace(|c: char| !c.is_alphanumeric(), "_")
}

#[cfg(test)]
mod tests {
    use super::bundle;

    fn of(files: &[(&str, &str)], entry: &str) -> Result<String, String> {
        let text =
            |path: &str| files.iter().find(|(name, _)| *name == path).map(|(_, text)| (*text).to_owned());
        bundle(entry, &text)
    }

    #[test]
    fn what_is_needed_stands_before() {
        let files = [
            ("page.js", "import { b, c } from \"./in/b.js\";\nawait b(c);\n"),
            ("in/b.js", "import { a } from \"../a.js\";\nexport const b = () => a;\nexport class c {\n}\n"),
            ("a.js", "export function a() {}\n"),
        ];
        let script = of(&files, "page.js").unwrap();
        let at = |words: &str| script.find(words).unwrap_or_else(|| panic!("{words} in {script}"));
        assert!(at("const a_js = ") < at("const in_b_js = "));
        assert!(at("return { b, c };") < at("const { b, c } = in_b_js;"));
        assert!(at("(async () => {") < at("await b(c);"));
    }

    #[test]
    fn remarks_are_left_out() {
        let text = "// What it is.\n\n/** One. */\nexport const a = 1;\n/**\n * More.\n */\nconst b = \"// no remark\";\n";
        let script = of(&[("a.js", text)], "a.js").unwrap();
        assert!(!script.contains("What") && !script.contains("One") && !script.contains("More"), "{script}");
        assert!(script.contains("const a = 1;\nconst b = \"// no remark\";\n"), "{script}");
    }

    #[test]
    fn other_forms_are_refused() {
        for line in [
            "import b from \"./b.js\";",
            "import { a as b } from \"./b.js\";",
            "export default 1;",
            "export { a };",
            "export let a = 1;",
        ] {
            let told = of(&[("a.js", line), ("b.js", "")], "a.js").unwrap_err();
            assert!(told.contains("a.js:1"), "{told}");
        }
        assert!(of(&[("a.js", "import { b } from \"./b.js\";")], "a.js").unwrap_err().contains("b.js"));
        let circle = [("a.js", "import { b } from \"./b.js\";"), ("b.js", "import { a } from \"./a.js\";")];
        assert!(of(&circle, "a.js").unwrap_err().contains("itself"));
    }
}
