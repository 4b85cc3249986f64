//! The page's own files, in the program itself: nothing is fetched from anywhere.

/// A file of the page by the path that a page names it with, without a slash before it: its kind and its text.
pub fn file(path: &str) -> Option<(&'static str, &'static str)> {
    let name = if path.is_empty() { "index.html" } else { path.strip_prefix("web/")? };
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
        "page.js", "carrier.js", "keeping.js", "wire.js", "make.js", "made.js", "measure.js", "asked.js", "panel.js", "queue.js", "want.js", "fit.js", "look.js", "shade.js", "print.js", "sheets.js", "start.js",
    );
    let viewer =
        bobbinwright_export::viewer::FILES.iter().find(|(own, _)| Some(*own) == name.strip_prefix("viewer/"));
    viewer.map(|(_, text)| ("text/javascript; charset=utf-8", *text))
}
