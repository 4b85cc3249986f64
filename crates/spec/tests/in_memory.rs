//! The same family, its wishes and entries, where there is no disk.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use bobbinwright_folder::{Folder, Memory, Store};
use bobbinwright_spec::edit::{Scope, change, edited, to_undo, undo};
use bobbinwright_spec::{Book, NewWithdrawal, Survey, When, withdraw};

/// All demo families and printers, as they lie on the disk.
fn demos() -> Arc<dyn Store> {
    let memory = Memory::default();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs"), Path::new("specs"), &memory);
    Arc::new(memory)
}

fn copy(from: &Path, to: &Path, memory: &Memory) {
    for path in fs::read_dir(from).unwrap().flatten().map(|e| e.path()) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            copy(&path, &to.join(name), memory);
        } else if path.extension().is_some_and(|e| e == "ron") {
            memory.create(to, &[(&name, &fs::read_to_string(&path).unwrap())]).unwrap();
        }
    }
}

#[test]
fn a_family_needs_no_disk() {
    let store = demos();
    let root = Folder::in_store(store, "specs");
    let on_disk = Folder::on_disk(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs"));
    let mut read = 0;
    for folder in root.folders().unwrap() {
        if !folder.has("family.ron") {
            continue;
        }
        read += 1;
        let here = Survey::load_at(&folder, When::default()).unwrap();
        let there =
            Survey::load_at(&on_disk.join(folder.path().file_name().unwrap()), When::default()).unwrap();
        let texts = |s: &Survey| s.problems.files.iter().map(|f| f.text.clone()).collect::<Vec<_>>();
        assert_eq!(texts(&here), texts(&there));
        assert_eq!(here.quantities, there.quantities);
        assert_eq!(here.slug, there.slug);
    }
    assert!(read >= 8, "{read}");
}

#[test]
fn wishes_and_entries_need_no_disk() {
    let folder = Folder::in_store(demos(), "specs/tidewick");
    let load = || Survey::load_at(&folder, When::default()).unwrap();
    let before = load();
    let text = before.sources().family.text.clone();
    let edit = edited(before.sources(), &Scope::All, "cover.wall", "mm(2.1)").unwrap();
    change(&folder, &text, &edit).unwrap();
    assert_eq!(to_undo(&folder).as_ref(), Some(&edit));
    assert_ne!(load().sources().family.text, text);
    undo(&folder).unwrap();
    assert_eq!(load().sources().family.text, text);
    assert!(!folder.has("family.undo"));

    let withdrawal = NewWithdrawal { on: "2026-05-04".parse().unwrap(), entry: 5, why: "misread".into() };
    let entered = withdraw::<Survey>(&folder, When::default(), &withdrawal).unwrap();
    assert_eq!(entered.after.entries(), before.entries() + 1);
    assert_eq!(load().withdrawn_by(5), Some(load().entries()));
}

/// Seventeen in a row are no circle; twenty is more than anybody meant.
#[test]
fn a_long_row_of_families_is_no_circle() {
    let memory = Memory::default();
    for n in 0..20 {
        let like = format!("(like: \"../f{}\")", n + 1);
        memory.create(&Path::new("specs").join(format!("f{n}")), &[("family.ron", &like)]).unwrap();
    }
    let row = Folder::in_memory(memory, "specs/f0");
    let problems = Survey::load_at(&row, When::default()).unwrap_err().to_string();
    assert!(problems.contains("without an end in sight") && problems.contains("at most 16"), "{problems}");
}

/// A wish that was killed before it was written, and then its undo that was killed before its line went: what was wished before can be
/// undone all the same; what somebody wrote by hand is not.
#[test]
fn kills_do_not_keep_from_undoing() {
    let memory = Arc::new(Memory::default());
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs"), Path::new("specs"), &memory);
    let folder = Folder::in_store(memory.clone(), "specs/tidewick");
    let file = |name: &str| folder.read(name, 1 << 20).unwrap();
    let put = |name: &str, bytes: &[u8]| memory.put(&Path::new("specs/tidewick").join(name), bytes.to_vec());
    let want = |value: &str| {
        let survey = Survey::load_at(&folder, When::default()).unwrap();
        let edit = edited(survey.sources(), &Scope::All, "cover.wall", value).unwrap();
        change(&folder, &survey.sources().family.text, &edit).unwrap();
        file("family.ron")
    };
    let first = file("family.ron");
    let [one, two, three] = ["mm(2.1)", "mm(2.2)", "mm(2.3)"].map(want);
    let journal = file("family.undo");
    // The third was never written.
    put("family.ron", &two);
    undo(&folder).unwrap();
    assert_eq!(file("family.ron"), one);
    // The line of the second was not taken out.
    put("family.undo", &journal);
    assert_eq!(to_undo(&folder).unwrap().value, "mm(2.1)");
    undo(&folder).unwrap();
    assert_eq!(file("family.ron"), first);
    assert!(undo(&folder).is_err());
    // By hand.
    put("family.undo", &journal);
    let by_hand = String::from_utf8(three).unwrap().replace("mm(2.3)", "mm(2.7)");
    put("family.ron", by_hand.as_bytes());
    assert!(undo(&folder).unwrap_err().to_string().contains("in another way"));
}
