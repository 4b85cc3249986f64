//! Makes `bobbinwright.html`: the bench page with everything that it needs in one file.
//!
//! `cargo run -p bobbinwright-onefile` compiles the core for a browser and puts the file into `out/`; another
//! place can be named.

mod bundle;
mod html;
mod letters;

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::{env, fs};

/// What the core is compiled for.
const TARGET: &str = "wasm32-unknown-unknown";
/// How: see the profile in `Cargo.toml`.
const PROFILE: &str = "carried";

fn main() -> ExitCode {
    let to = env::args_os().nth(1).map_or_else(|| root().join("out/bobbinwright.html"), PathBuf::from);
    match made().and_then(|page| write(&to, &page).map(|()| page.len())) {
        Ok(bytes) => {
            println!("{}: {:.2} MB. Open it in a browser.", to.display(), bytes as f64 / 1e6);
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("error: {why}");
            ExitCode::FAILURE
        }
    }
}

fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_owned()
}

/// The file. Its letters are of two bytes (UTF-16), so that each can hold fifteen bits of the core: the mark that it begins
/// with counts more than what a server says of it.
fn made() -> Result<Vec<u8>, String> {
    let page = html::page(&core()?, &root().join("crates"))?;
    Ok(format!("\u{feff}{page}").encode_utf16().flat_map(u16::to_le_bytes).collect())
}

/// The core, compiled.
fn core() -> Result<Vec<u8>, String> {
    let cargo = env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let target = env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from);
    let done = Command::new(cargo)
        .args(["build", "--profile", PROFILE, "--package", "bobbinwright-browser", "--target", TARGET])
        .arg("--target-dir")
        .arg(&target)
        // Every browser of the last years works on two numbers at a time; what comes out is the same.
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS", "-C target-feature=+simd128")
        .current_dir(root())
        .status()
        .map_err(|e| format!("cargo can't be run: {e}"))?;
    if !done.success() {
        return Err(format!(
            "the core can't be compiled for a browser. If the target is missing: rustup target add {TARGET}"
        ));
    }
    let file = target.join(TARGET).join(PROFILE).join("bobbinwright_browser.wasm");
    fs::read(&file).map_err(|e| format!("{}: {e}", file.display()))
}

fn write(to: &Path, page: &[u8]) -> Result<(), String> {
    let fail = |e: std::io::Error| format!("{}: {e}", to.display());
    if let Some(folder) = to.parent() {
        fs::create_dir_all(folder).map_err(fail)?;
    }
    // Whole or not at all.
    let beside = to.with_extension("html.new");
    fs::write(&beside, page).and_then(|()| fs::rename(&beside, to)).map_err(fail)
}
