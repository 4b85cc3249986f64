//! What is wanted, changed by the program.

mod common;

use std::fs;

use common::{copy, ends_with};

/// Listed with its bounds, changed, refused beyond them with a value that works, and taken back to the byte.
#[test]
fn wanted_values() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.display().to_string();
    let file = family.join("family.ron");
    let first = fs::read_to_string(&file).unwrap();
    let want = |code, words: &[&str]| ends_with(code, &[&["want", &name], words].concat());

    let (all, _) = want(0, &[]);
    insta::assert_snapshot!("want", all);

    let (said, _) = want(0, &["cover.wall", "0.09in"]);
    assert!(said.starts_with("cover.wall: 0.09 in, before 2.0 mm.\n"), "{said}");
    let (said, _) = want(0, &["cover.rounding", "1.2", "--only", "neck"]);
    assert!(said.starts_with("cover.rounding: 1.2 mm, before 1.4 mm.\n"), "{said}");
    let (said, _) = want(0, &["cover.rounding"]);
    let bounds: Vec<&str> = said.lines().filter(|l| l.contains("cover.rounding")).collect();
    assert!(bounds[0].contains("1.2 mm") && bounds[1].contains("1.4 mm"), "{said}");

    let before = fs::read_to_string(&file).unwrap();
    let (_, err) = want(2, &["cover.rounding", "9"]);
    assert!(err.contains("can't be larger than the corner radius, 5.70 mm"), "{err}");
    let works = err.split("with cover.rounding ").nth(1).unwrap().split(" it can be made").next().unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), before, "what is refused is not written");
    want(0, &["cover.rounding", &works.replace(' ', "")]);
    let (_, err) = want(2, &["cover.wal", "2"]);
    assert!(err.contains("did you mean cover.wall?"), "{err}");
    let (_, err) = want(2, &["cover.mounting"]);
    assert!(err.contains("cover.mounting can't be changed this way: change it in"), "{err}");
    assert!(err.contains("family.ron, line 17"), "{err}");
    let (_, err) = want(2, &["cover.fit_gap", "tight"]);
    assert!(err.contains("or snug(chance: 0.98)"), "{err}");
    let (_, err) = want(2, &["cover.wall", "soon"]);
    assert!(err.contains("write it in digits"), "{err}");
    want(0, &["cover.rounding", "9", "--anyway"]);

    for _ in 0..4 {
        want(0, &["--undo"]);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), first);
    let (_, err) = want(2, &["--undo"]);
    assert!(err.contains("there is no change to take back"), "{err}");
}

/// A family that is like another one gets what it wants otherwise into its own file; the other one stays.
#[test]
fn what_is_wanted_of_a_like_family() {
    let scratch = tempfile::tempdir().unwrap();
    let (like, family) = (copy("tidewick", scratch.path()), copy("skerry", scratch.path()));
    let like = like.join("family.ron");
    let before = fs::read_to_string(&like).unwrap();
    let name = family.display().to_string();
    ends_with(0, &["want", &name, "cover.mounting.recess_depth", "2.6"]);
    ends_with(0, &["want", &name, "flatwork.eyelets.side", "neck", "--only", "bridge"]);
    let (said, _) = ends_with(0, &["want", &name, "cover.mounting.recess_depth"]);
    assert_eq!(said.matches("2.6 mm").count(), 2, "{said}");
    assert_eq!(fs::read_to_string(&like).unwrap(), before);
}
