//! What is wanted, changed in the files of every demo: what was changed is what was meant, nothing else is, and it can
//! be taken back; and the bounds that are named for a value are those of the parts.

use bobbinwright_clock as clock;
use std::fs;

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{Change, Reach};
use bobbinwright_core::bounds;
use bobbinwright_core::want::{NotWanted, Wanting};
use bobbinwright_fit::{Check, Place, Standpoint};
use bobbinwright_geometry::parts::{PartKind, build_part, room_for};
use bobbinwright_spec::edit::{NotEdited, Scope, change, edited, to_undo, undo};
use bobbinwright_spec::{Family, Folder, Length, PARAMETERS, Position, Survey};
use bobbinwright_tests::{demo, folder};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

/// All demos: families of their own, one that is like another, one whose parts clash.
const ALL: [&str; 11] = [
    "tidewick", "gunwale", "saltern", "thwart", "capstan", "halyard", "leeward", "wherry", "skerry",
    "bulkhead", "transom",
];

fn survey(name: &str) -> Survey {
    Survey::load_at(&Folder::on_disk(folder(name)), clock::now())
        .unwrap_or_else(|problems| panic!("{problems}"))
}

/// What counts for every position and dimension, as it is written.
fn written(survey: &Survey) -> Vec<(String, &'static str, Option<String>)> {
    let positions = survey.positions.iter().map(|p| p.name.as_str());
    let all = positions.flat_map(|p| PARAMETERS.iter().map(move |d| (p, d.path)));
    all.map(|(p, path)| (p.to_owned(), path, survey.written_at(p, path).map(|w| w.0.to_owned()))).collect()
}

/// Every stated dimension of every demo, changed for one position, for where it stands, and for all: the positions
/// that are meant have the new value, every other value stays, and the change back gives the same bytes.
#[test]
fn a_change_is_of_what_was_meant() {
    const NEW: &str = "mm(1.23)";
    let mut tried = 0;
    for name in ALL {
        let before = survey(name);
        let stated = written(&before);
        for (position, path, was) in &stated {
            let Some(was) = was else { continue };
            let scopes = [Scope::Only(position.clone()), Scope::WhereItStands(position.clone()), Scope::All];
            for scope in scopes {
                let what = format!("{name}: {position} {path} {scope:?}");
                let edit =
                    edited(before.sources(), &scope, path, NEW).unwrap_or_else(|e| panic!("{what}: {e}"));
                let text = edit.on(&before.sources().family.text).unwrap();
                assert_eq!(
                    edit.clone().back().on(&text).as_ref(),
                    Some(&before.sources().family.text),
                    "{what}"
                );
                let sources = before.sources().clone().with_family(text.clone());
                let after = match Survey::read(&before.slug, sources, clock::now()) {
                    Ok(after) => after,
                    Err(problems) => panic!("{what}: {problems}\n{text}"),
                };
                // What the own file states for a position alone counts before what it says for all.
                let list = before.sources().family.text.find("positions:").unwrap();
                let own = |p: &str| {
                    let at = before.written_at(p, path).map(|w| w.1);
                    at.is_some_and(|at| at.file == 0 && at.start > list)
                };
                for ((p, d, now), (_, _, then)) in written(&after).iter().zip(&stated) {
                    let meant = d == path
                        && match &scope {
                            Scope::Only(only) => p == only,
                            Scope::WhereItStands(_) if own(position) => p == position,
                            Scope::WhereItStands(_) | Scope::All => !own(p),
                        };
                    if meant {
                        assert_eq!(now.as_deref(), Some(NEW), "{what}: {p} {d} was {was}\n{text}");
                    } else {
                        assert_eq!(now, then, "{what}: {p} {d}\n{text}");
                    }
                }
                tried += 1;
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

/// At the bounds that are named, and between them, the parts can be made, and a little beyond them not. On 88f1e19 8 of
/// 1,880 values between the bounds were refused.
#[test]
fn bounds_are_those_of_the_parts() {
    let mut rng = ChaCha8Rng::seed_from_u64(19);
    let (mut inner, mut between, mut refused, mut gaps) = (0, 0, Vec::new(), 0);
    for name in ["tidewick", "gunwale", "saltern", "wherry"] {
        let family = demo(name);
        for position in &family.positions {
            for dimension in &PARAMETERS {
                let Some(ranges) = room_for(position, &family.hardware, dimension) else { continue };
                let works = |mm: f64| {
                    let mut trial: Position = position.clone();
                    *(dimension.field)(&mut trial.wanted).unwrap() = Length::from_mm(mm);
                    PartKind::ALL.iter().all(|kind| build_part(&trial, &family.hardware, *kind).is_ok())
                };
                gaps += ranges.all().len() - 1;
                for [least, most] in ranges.all() {
                    for (bound, end, beyond) in [(least, dimension.low, -0.02), (most, dimension.high, 0.02)]
                    {
                        let what = format!("{name} {} {} {bound} of {end}", position.name, dimension.path);
                        assert!(works(bound.as_mm()), "{what} can't be made");
                        if (bound.as_mm() - end).abs() > 0.02 {
                            assert!(!works(bound.as_mm() + beyond), "{what} is not the end");
                            inner += 1;
                        }
                    }
                    for _ in 0..8 {
                        let mm = rng.random_range(least.as_mm()..=most.as_mm());
                        between += 1;
                        if !works(mm) {
                            refused.push(format!("{name} {} {} {mm:.3}", position.name, dimension.path));
                        }
                    }
                }
            }
        }
    }
    println!("{gaps} gaps; {} of {between} values between bounds are refused: {refused:?}", refused.len());
    assert!(inner > 100 && between > 1000, "{inner} {between}");
    assert!(refused.len() * 1000 <= between, "{} of {between}: {refused:#?}", refused.len());
}

/// Bounds hold for the whole family: where a line speaks for two positions, where a printer's profile and coats have to be made up
/// for, and where a gap is asked to be snug.
#[test]
fn bounds_are_those_of_the_family() {
    let mut rng = ChaCha8Rng::seed_from_u64(23);
    let (mut tried, mut refused) = (0, Vec::new());
    for name in ["tidewick", "gunwale", "wherry", "leeward"] {
        let family = demo(name);
        let prepared = Prepared::new(family.clone()).unwrap();
        for dimension in &PARAMETERS {
            let Some(ranges) = bounds(&prepared, 0, dimension) else { continue };
            let mut works = |mm: f64| {
                let mut with = family.clone();
                if dimension.path == "cover.fit_gap" {
                    with.positions[0].wanted.cover.snug = None;
                }
                let change = Change::Dimension(dimension.path, Length::from_mm(mm));
                tried += 1;
                change.put_in(&mut with, 0, Reach::WholeLine) && Prepared::new(with).is_ok()
            };
            for [least, most] in ranges.all() {
                let inside = rng.random_range(least.as_mm()..=most.as_mm());
                for mm in [least.as_mm(), most.as_mm(), inside] {
                    if !works(mm) {
                        refused.push(format!("{name} {} {mm:.3}", dimension.path));
                    }
                }
            }
        }
    }
    assert!(tried > 400, "{tried}");
    assert!(refused.len() * 200 <= tried, "{} of {tried}: {refused:#?}", refused.len());
}

/// What a refusal says that it can be made with is written so that it can: rounded no nearer to what does not work, by the one value
/// that suits all positions for which a line speaks, and where a printer's profile is made up for.
#[test]
fn what_it_can_be_made_with_is_true() {
    let mut kept = 0;
    for (name, path, mm) in [
        ("wherry", "cover.wall", 14.05),
        ("wherry", "cover.fit_gap", 2.06),
        ("tidewick", "cover.mounting.diameter", 37.8),
        ("tidewick", "flatwork.corner_radius", 16.0),
        ("gunwale", "cover.height", 0.21 * 25.4),
        ("gunwale", "cover.inner_radius", 0.88 * 25.4),
    ] {
        let mut family = demo(name);
        let put = |family: &mut Family, path: &str, value: Length| {
            let dimension = PARAMETERS.iter().find(|p| p.path == path).unwrap();
            assert!(Change::Dimension(dimension.path, value).put_in(family, 0, Reach::WholeLine), "{path}");
        };
        put(&mut family, path, Length::from_mm(mm));
        if path == "cover.fit_gap" {
            family.positions.iter_mut().for_each(|position| position.wanted.cover.snug = None);
        }
        let Err(problems) = Prepared::new(family.clone()) else { panic!("{name} {path} {mm} is refused") };
        let hints: Vec<&String> = problems.all.iter().filter_map(|p| p.hint.as_ref()).collect();
        for hint in hints.iter().filter(|hint| hint.contains("it can be made, everything else left")) {
            // `… with cover.wall 10.93 mm it can be made …`
            let words = hint.split("with ").last().unwrap().split(" it can").next().unwrap();
            for one in words.split(" and ") {
                let [path, figure, unit] = one.split(' ').collect::<Vec<_>>()[..] else { panic!("{hint}") };
                let of_unit = if unit == "in" { 25.4 } else { 1.0 };
                put(&mut family, path, Length::from_mm(figure.parse::<f64>().unwrap() * of_unit));
            }
            kept += 1;
        }
        if hints.iter().any(|hint| hint.contains("it can be made, everything else left")) {
            Prepared::new(family).unwrap_or_else(|e| panic!("{name} {path}: {hints:?} {e}"));
        }
    }
    assert!(kept >= 4, "{kept}");
}

/// Each check of every demo is somewhere on the parts.
#[test]
fn every_check_has_a_place() {
    for name in ["tidewick", "gunwale", "saltern", "wherry"] {
        let family = demo(name);
        let built = bobbinwright_core::Prepared::new(family).unwrap();
        for (position, parts) in built.family.positions.iter().zip(&built.positions) {
            let all: Vec<&Check> = built.fit.checks.iter().filter(|c| c.position == position.name).collect();
            for check in all {
                let Place { at, around, from, .. } = check.place(position, parts);
                // The printer's bed is about the whole part.
                let whole = around > parts.layout.length.as_mm() / 4.0;
                assert_eq!(
                    whole,
                    check.kind.name() == "part-on-bed",
                    "{name} {} has no place",
                    check.kind.name()
                );
                let reach = [parts.layout.length, parts.layout.width].map(|l| l.as_mm() / 2.0 + 25.0);
                let what = format!("{name} {} {}: {at:?}", position.name, check.title);
                assert!(at[0].abs() < reach[0] && at[1].abs() < reach[1] && around > 0.5, "{what}");
                assert!((-1.0..40.0).contains(&at[2]), "{what}");
                // What is left behind an upright cut is at least half of the part.
                let left = match from {
                    Standpoint::Bridge => -at[1],
                    Standpoint::Neck => at[1],
                    Standpoint::Left => -at[0],
                    Standpoint::Right => at[0],
                    Standpoint::Strings => at[2],
                };
                assert!(left >= 0.0, "{what} from {from:?}");
            }
        }
    }
}

/// A changed value is written with its remark left where it was; what can't be made is refused with a value that can;
/// a change is only taken back while it stands as it was written.
#[test]
fn a_value_is_written_and_taken_back() {
    let scratch = tempfile::tempdir().unwrap();
    for file in ["family.ron", "readings.ron"] {
        fs::copy(folder("tidewick").join(file), scratch.path().join(file)).unwrap();
    }
    let file = scratch.path().join("family.ron");
    let text = || fs::read_to_string(&file).unwrap();
    let load = || Survey::load_at(&Folder::on_disk(scratch.path()), clock::now()).unwrap();
    let first = text();
    let want = |path: &str, value: &str| Wanting {
        path: path.into(),
        value: value.into(),
        scope: Scope::WhereItStands("neck".into()),
    };
    let refused = want("cover.wall", "40")
        .set(&Folder::on_disk(scratch.path()), &load(), clock::now(), false)
        .unwrap_err();
    assert!(matches!(refused, NotWanted::Problems(_) | NotWanted::Refused(_)), "{refused}");
    assert_eq!(text(), first);
    assert_eq!(to_undo(&Folder::on_disk(scratch.path())), None);

    let old = load();
    want("cover.wall", "0.08in").set(&Folder::on_disk(scratch.path()), &old, clock::now(), false).unwrap();
    assert!(text().contains("wall: inch(0.08)"), "{}", text());
    // Another page that has not seen the change yet.
    let late = want("cover.wall", "2.1")
        .set(&Folder::on_disk(scratch.path()), &old, clock::now(), false)
        .unwrap_err();
    assert!(matches!(late, NotWanted::Edit(NotEdited::Changed)), "{late}");
    want("cover.rounding", "1.1")
        .set(&Folder::on_disk(scratch.path()), &load(), clock::now(), false)
        .unwrap();
    while to_undo(&Folder::on_disk(scratch.path())).is_some() {
        undo(&Folder::on_disk(scratch.path())).unwrap();
    }
    assert_eq!(text(), first);
    let nothing = undo(&Folder::on_disk(scratch.path())).unwrap_err();
    assert!(matches!(nothing, NotEdited::Nothing(_)), "{nothing}");

    // A change of the text in between, and the change that is to be taken back is not there any more.
    let edit = edited(load().sources(), &Scope::All, "cover.rounding", "mm(1.1)").unwrap();
    change(&Folder::on_disk(scratch.path()), &first, &edit).unwrap();
    let other = text().replace("mm(1.1)", "mm(1.3)");
    fs::write(&file, &other).unwrap();
    assert!(matches!(undo(&Folder::on_disk(scratch.path())), Err(NotEdited::Nothing(_))));
    assert_eq!(text(), other);
}
