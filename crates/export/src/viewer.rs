//! The 3D viewer's own files, in plain JavaScript: served to a page, or put together for a report.

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        /// All modules, each after those that it needs.
        pub const FILES: &[(&str, &str)] = &[$(($name, include_str!(concat!("../web/viewer/", $name)))),*];
    };
}

files!(
    "vector.js",
    "palette.js",
    "scene.js",
    "section.js",
    "face.js",
    "ray.js",
    "pick.js",
    "distance.js",
    "camera.js",
    "overlay.js",
    "gpu.js",
    "shaders.js",
    "renderer.js",
    "input.js",
    "viewer.js",
);

/// All modules as one script: their names are distinct and each import and export stands on a line of its own, so that
/// leaving these words out is enough.
pub fn bundle() -> String {
    let line = |line: &str| match line.strip_prefix("export ") {
        Some(rest) => format!("{rest}\n"),
        None if line.starts_with("import ") => String::new(),
        None => format!("{line}\n"),
    };
    FILES.iter().flat_map(|(_, text)| text.lines().map(line)).collect()
}
