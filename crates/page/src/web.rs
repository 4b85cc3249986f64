//! The page's own files, in the program itself: nothing is fetched from anywhere.

/// A file of the page by the path that a page names it with, without a slash before it: its kind and its text.
pub fn file(path: &str) -> Option<(&'static str, String)> {
    let (kind, text) = own(if path.is_empty() { "index.html" } else { path.strip_prefix("web/")? })?;
    Some((kind, if kind.starts_with("text/javascript") { lean(text) } else { text.to_owned() }))
}

/// A script without its remarks and its lines' indents: a third of it, which a phone need not load.
fn lean(script: &str) -> String {
    let mut out = String::with_capacity(script.len());
    let mut in_remark = false;
    for line in script.lines().map(str::trim) {
        in_remark |= line.starts_with("/*");
        if !in_remark && !line.starts_with("//") && !line.is_empty() {
            out.push_str(line);
            out.push('\n');
        }
        in_remark &= !line.ends_with("*/");
    }
    out
}

fn own(name: &str) -> Option<(&'static str, &'static str)> {
    macro_rules! web {
        ($kind:literal: $($name:literal),* $(,)?) => {
            match name {
                $($name => return Some(($kind, include_str!(concat!("../web/", $name)))),)*
                _ => {}
            }
        };
    }
    web!("text/html; charset=utf-8": "index.html");
    web!("text/css; charset=utf-8": "page.css");
    web!("text/javascript; charset=utf-8":
        "page.js", "job.js", "carrier.js", "keeping.js", "wire.js", "make.js", "made.js", "measure.js", "asked.js", "panel.js", "queue.js", "want.js", "unstated.js", "drawn.js", "fit.js", "look.js", "shade.js", "focus.js", "labels.js", "ways.js", "fields.js", "inspect.js", "printer.js", "log.js", "print.js", "sheets.js", "form.js", "trial.js", "step.js", "winder.js", "start.js",
    );
    let viewer =
        bobbinwright_export::viewer::FILES.iter().find(|(own, _)| Some(*own) == name.strip_prefix("viewer/"));
    viewer.map(|(_, text)| ("text/javascript; charset=utf-8", *text))
}

#[cfg(test)]
mod tests {
    use super::lean;

    #[test]
    fn remarks_are_left_out() {
        let script = "// what\n/** Of\n * lines. */\nexport const a = 1; // stays\n\n  /** One. */\n  b(\"// no remark\");\n";
        assert_eq!(lean(script), "export const a = 1; // stays\nb(\"// no remark\");\n");
    }
}
