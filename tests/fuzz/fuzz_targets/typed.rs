//! What somebody types: a figure, a reading, a value that is wanted, in the path of one or of none.
#![no_main]

use std::sync::LazyLock;

use bobbinwright_core::want::Wanting;
use bobbinwright_folder::{Folder, Memory};
use bobbinwright_spec::edit::Scope;
use bobbinwright_spec::{Figure, SourceFile, Survey, When, wish, wishes};
use libfuzzer_sys::fuzz_target;

static SURVEY: LazyLock<Survey> = LazyLock::new(|| {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    let family = file("family.ron", include_str!("../../../specs/tidewick/family.ron"));
    let readings = file("readings.ron", include_str!("../../../specs/tidewick/readings.ron"));
    Survey::read_at("fuzzed", family, readings, When::default()).expect("the demo is read")
});

fuzz_target!(|typed: (u8, bool, &str)| {
    let (which, only, text) = typed;
    let _ = text.parse::<Figure>();
    // What names other folders is not read here.
    let paths: Vec<&str> = wishes().filter(|w| !w.of_family).map(|w| w.path).collect();
    let path = paths.get(usize::from(which)).copied().unwrap_or(text);
    if wish(path).is_some_and(|w| w.of_family) {
        return;
    }
    let scope = if only { Scope::Only("neck".into()) } else { Scope::WhereItStands("neck".into()) };
    let wanting = Wanting { path: path.into(), value: text.into(), scope };
    let folder = Folder::in_memory(Memory::default(), "fuzzed");
    if let Ok((edit, after)) = wanting.tried(&folder, &SURVEY, When::default()) {
        // Only what was meant has changed.
        let before = &SURVEY.sources().family.text;
        assert_eq!(edit.clone().back().on(&edit.on(before).unwrap()).as_ref(), Some(before));
        let is_apart = |p: &&&str| {
            **p != path && !path.starts_with(&format!("{p}.")) && !p.starts_with(&format!("{path}."))
        };
        for other in paths.iter().filter(is_apart) {
            let text = |s: &Survey| s.written_at("bridge", other).map(|w| w.0.to_owned());
            assert_eq!(text(&SURVEY), text(&after), "{other}");
        }
    }
});
