//! What somebody types: a figure, a reading, a value that is wanted, in the path of one or of none.
#![no_main]

use std::sync::LazyLock;

use bobbinwright_core::want::{WORDS, Wanting};
use bobbinwright_spec::edit::Scope;
use bobbinwright_spec::{Figure, PARAMETERS, SourceFile, Survey, When};
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
    let paths: Vec<&str> = PARAMETERS.iter().map(|p| p.path).chain(WORDS.iter().map(|w| w.0)).collect();
    let path = paths.get(usize::from(which)).copied().unwrap_or(text);
    let scope = if only { Scope::Only("neck".into()) } else { Scope::WhereItStands("neck".into()) };
    let wanting = Wanting { path: path.into(), value: text.into(), scope };
    if let Ok((edit, after)) = wanting.tried(&SURVEY) {
        // Only what was meant has changed.
        let before = &SURVEY.sources().family.text;
        assert_eq!(edit.clone().back().on(&edit.on(before).unwrap()).as_ref(), Some(before));
        for other in paths.iter().filter(|p| **p != path && !path.starts_with(&format!("{p}."))) {
            let text = |s: &Survey| s.written_at("bridge", other).map(|w| w.0.to_owned());
            assert_eq!(text(&SURVEY), text(&after), "{other}");
        }
    }
});
