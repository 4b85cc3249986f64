//! Coils and their sheets.

mod common;

use std::fs;

use common::{change, content, copy, ends_with};

/// What is wound, and the files to stand beside the winder.
#[test]
fn a_winding_sheet_is_made() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let (family, out) = (family.to_str().unwrap(), scratch.path().join("out"));
    let (said, _) = ends_with(0, &["wind", family, "--out", out.to_str().unwrap()]);
    let said = said.replace(scratch.path().to_str().unwrap(), "");
    insta::assert_snapshot!("wind_tidewick", said);
    let folder = out.join("tidewick-winding");
    let files: Vec<String> = content(&folder).into_iter().map(|(n, _)| n).collect();
    let expected = [
        "bridge-response.png",
        "bridge-response.svg",
        "bridge-winding.svg",
        "neck-response.png",
        "neck-response.svg",
        "neck-winding.svg",
        "tidewick-winding.pdf",
        "winding.json",
        "winding.md",
    ];
    assert_eq!(files, expected);
    insta::assert_snapshot!("winding_sheet", fs::read_to_string(folder.join("winding.md")).unwrap());
}

/// More than goes on, wire that is none, and no coil at all: what was asked, and what would do.
#[test]
fn a_coil_that_can_not_be_wound_is_said() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let (file, name) = (family.join("family.ron"), family.to_str().unwrap().to_owned());
    let out = scratch.path().join("out").to_str().unwrap().to_owned();
    let wind = |code| ends_with(code, &["wind", &name, "--out", &out]);
    // A coil's signal turns with its rods and with its winding, hum with the winding alone.
    change(&file, "north: down,", "north: up,");
    assert!(wind(0).0.contains("only the winding is reversed: together they sound thin"));
    change(&file, "turns(7600)", "turns(12000)");
    let (said, _) = wind(1);
    assert!(said.contains("The coil of 12000 turns becomes 5.29 mm thick"), "{said}");
    assert!(said.contains("wind no more than 7650 turns"), "{said}");
    for (from, to, message) in [
        ("turns(12000)", "turns(12)", "coil.wind is turns(12), which makes no sense here"),
        ("turns(12)", "metres(900)", "coil.wind: until when?"),
        ("metres(900)", "ohms(6500)", ""),
        ("number: 43", "number: 38", "coil.wire.number is 38"),
        (
            "awg(number: 38, film: single)",
            "diameters(copper: mm(0.07), over_film: mm(0.06))",
            "are the two exchanged?",
        ),
        (
            "diameters(copper: mm(0.07), over_film: mm(0.06))",
            "diameters(copper: mm(0.056), over_film: mm(0.064))",
            "",
        ),
        ("packing: 0.62", "packing: 0.95", "round wire can't take more than 0.907"),
    ] {
        change(&file, from, to);
        let (_, err) = wind(if message.is_empty() { 0 } else { 2 });
        assert!(err.contains(message), "{err}");
    }
    let (_, err) = ends_with(2, &["wind", &common::spec("gunwale"), "--out", &out]);
    assert!(err.contains("no coil is stated in family.ron; write coil: ("), "{err}");
}
