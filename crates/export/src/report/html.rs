//! `report.html`: the report with its drawings, the winding sheets and the parts in 3D in one file that needs no other.

use std::collections::BTreeMap;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd, html};

use crate::viewer;
use bobbinwright_paper::escaped;

const CSS: &str = include_str!("../../web/report/report.css");
const SCRIPT: &str = include_str!("../../web/report/report.js");

/// What the 3D view stands in.
const LOOK: &str = r#"<h2>The parts</h2>
<div class="controls">
<label>Seen <select id="view"><option value="corner">from a corner</option><option value="strings">from the strings</option><option value="body">from the body</option><option value="neck">from the neck</option><option value="bridge">from the bridge</option><option value="left">from the {left} side</option><option value="right">from the {right} side</option></select></label>
<label>Pulled apart <input id="apart" type="range" min="0" max="1" step="0.01" value="0"></label>
<label>Cut <select id="cut"><option value="">not</option><option value="x">across the strings' row</option><option value="y">along it</option></select></label>
<label><input id="around" type="checkbox" checked> rout, strings</label>
<label><input id="measure" type="checkbox"> distances</label>
</div>
<div class="look"><canvas id="parts" tabindex="0" role="application" aria-label="The parts in 3D"></canvas></div>
<p id="distance" aria-live="polite"></p>
"#;

/// What the file is made of.
pub(crate) struct Contents<'a> {
    /// For people.
    pub title: &'a str,
    /// Texts in Markdown, one after the other.
    pub texts: Vec<String>,
    /// What the left and the right end of the row of strings are called, the neck up.
    pub ends: [&'static str; 2],
    /// Drawings by the names that the texts call them by.
    pub drawings: BTreeMap<String, String>,
    /// See [`crate::scene`].
    pub scene: &'a [u8],
}

/// The file.
pub(crate) fn page(contents: &Contents) -> String {
    let body: String = contents.texts.iter().map(|text| rendered(text, &contents.drawings)).collect();
    // The 3D view comes after the summary, before the first position.
    let (summary, rest) =
        body.split_once("<h2").map_or((body.as_str(), String::new()), |(a, b)| (a, format!("<h2{b}")));
    let [left, right] = contents.ends;
    let look = LOOK.replace("{left}", left).replace("{right}", right);
    let (title, scene) = (escaped(contents.title), STANDARD.encode(contents.scene));
    let script = format!("{}{SCRIPT}", viewer::bundle());
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <link rel=\"icon\" href=\"data:,\">\n<style>\n{CSS}</style>\n</head>\n<body>\n<main>\n{summary}{look}{rest}</main>\n\
         <script id=\"scene\" type=\"text/plain\">{scene}</script>\n<script type=\"module\">\n{script}</script>\n</body>\n</html>\n"
    )
}

/// Markdown as HTML, its drawings put in. What a person wrote (a title, a spot) stays text.
fn rendered(text: &str, drawings: &BTreeMap<String, String>) -> String {
    let mut inside = 0;
    let events = Parser::new_ext(text, Options::ENABLE_TABLES).filter_map(|event| match event {
        Event::Html(raw) | Event::InlineHtml(raw) => Some(Event::Text(raw)),
        Event::Start(Tag::Image { dest_url, .. }) => {
            inside += 1;
            let drawing = drawings.get(dest_url.as_ref());
            let put = drawing.map(|svg| format!("<div class=\"drawing\">{svg}</div>")).unwrap_or_default();
            Some(Event::InlineHtml(put.into()))
        }
        Event::End(TagEnd::Image) => {
            inside -= 1;
            None
        }
        // The drawing says what it is itself.
        _ if inside > 0 => None,
        Event::Start(Tag::Table(of)) => Some(Event::Start(Tag::Table(of))),
        other => Some(other),
    });
    let mut out = String::new();
    html::push_html(&mut out, events);
    out.replace("<table>", "<div class=\"wide\" tabindex=\"0\"><table>").replace("</table>", "</table></div>")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A title is text, a drawing is a drawing, and nothing is asked for from outside.
    #[test]
    fn what_a_person_wrote_stays_text() {
        let drawings = BTreeMap::from([("a.svg".to_owned(), "<svg></svg>".to_owned())]);
        let title = "<script>alert(1)</script>";
        let texts = vec![format!("# {title}\n\n![a](a.svg)\n")];
        let contents = Contents { title, texts, ends: ["bass", "treble"], drawings, scene: b"bwm1" };
        let page = page(&contents);
        assert!(!page.contains("<script>alert"), "{page}");
        assert!(page.contains("<div class=\"drawing\"><svg></svg></div>"));
        assert!(!page.contains("src=") && !page.contains("http"), "no outside reference");
    }
}
