//! The file: the page's own HTML with style, script, worker and core in it.

use std::fs;
use std::num::NonZeroU64;
use std::path::Path;

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use sha2::{Digest, Sha256};
use zopfli::{Format, Options};

use crate::bundle::bundle;
use crate::letters;

/// Where modules are looked for: what stands here in the place of what reaches a program goes before the page's own.
const FOLDERS: [&str; 3] = ["browser/web", "page/web", "export/web"];

const STYLE: &str = "<link rel=\"stylesheet\" href=\"web/page.css\">\n";
const SCRIPT: &str = "<script type=\"module\" src=\"web/page.js\"></script>\n";
const CHARSET: &str = "<meta charset=\"utf-8\">\n";
const END: &str = "</body>";

/// The page with the core in it; `crates` is the folder of all crates.
///
/// # Errors
/// When the page's own files are not as they are known here.
pub fn page(core: &[u8], crates: &Path) -> Result<String, String> {
    let text = |path: &str| {
        FOLDERS.iter().find_map(|folder| fs::read_to_string(crates.join(folder).join(path)).ok())
    };
    let script = bundle("page.js", &text)?;
    let first = bundle("first.js", &text)?;
    let worker = bundle("worker.js", &text)?;
    let style = text("page.css").ok_or("the page has no style")?;
    let index = text("index.html").ok_or("the page has no beginning")?;
    for (name, inner) in [("what runs first", &first), ("the style", &style)] {
        if inner.contains("</script") || inner.contains("</style") || inner.contains("<!--") {
            return Err(format!("{name} has something in it that would end it"));
        }
    }
    let [core, worker, held] =
        [held("core", core)?, held("worker", worker.as_bytes())?, held("page", script.as_bytes())?];
    let end = format!("{core}{worker}{held}<script>{first}</script>\n{END}");
    let policy = policy([&first, &script]);
    // Of which letters it is its first two bytes say, before anything else that says so.
    let head = format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">\n");
    let mut page = index;
    for (was, now) in
        [(CHARSET, head.as_str()), (STYLE, &format!("<style>\n{style}</style>\n")), (SCRIPT, ""), (END, &end)]
    {
        if page.matches(was).count() != 1 {
            return Err(format!("index.html does not have {} once", was.trim_end()));
        }
        page = page.replace(was, now);
    }
    Ok(page)
}

/// Something packed, under a name.
fn held(name: &str, bytes: &[u8]) -> Result<String, String> {
    let packed = packed(bytes).map_err(|e| e.to_string())?;
    let (length, letters) = (packed.len(), letters::of(&packed));
    Ok(format!("<script type=\"text/plain\" id=\"{name}\" data-bytes=\"{length}\">{letters}</script>\n"))
}

/// Nothing is loaded from anywhere, and no script runs but the file's own. Drawings have styles of their own in them.
fn policy(scripts: [&str; 2]) -> String {
    let [first, page] = scripts
        .map(|script| format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(script.as_bytes()))));
    format!(
        "default-src 'none'; script-src {first} {page} 'wasm-unsafe-eval'; worker-src blob:; style-src 'unsafe-inline'; \
         img-src blob: data:; base-uri 'none'; form-action 'none'"
    )
}

/// Rounds of looking for a shorter way to say the same: more take minutes, and save less than a thousandth.
const ROUNDS: NonZeroU64 = NonZeroU64::MIN.saturating_add(4);

/// As small as a browser can unpack it by itself.
fn packed(plain: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut packed = Vec::new();
    let options = Options { iteration_count: ROUNDS, ..Options::default() };
    zopfli::compress(options, Format::Deflate, plain, &mut packed)?;
    Ok(packed)
}
