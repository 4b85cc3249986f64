//! What is proposed for certainty, done: readings taken, parts printed first and tried or read, a coupon read. Whether that
//! settles a pickup is held against what was promised.

use std::path::Path;
use std::sync::Arc;

use bobbinwright_fit::{Act, Next, Tried, Verdict, check, check_pieces};
use bobbinwright_folder::{Folder, Memory, Store};
use bobbinwright_geometry::parts::{PositionParts, layout_of};
use bobbinwright_spec::{Family, PositionQuantity as P, Quantity, SourceFile, Survey, When};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

use crate::simulated_coupon;

use super::assembled::Assembled;
use super::reading::OUTSIDE;
use super::world::World;
use super::{BY_COUPON, CaliperError, PRINTED, TRIED, Table};

/// Takes the readings that are most likely to settle a pickup that is too close to call, where the bench can.
pub(super) fn settle(world: &World, family: &Family, next: &[Next], error: CaliperError, table: &mut Table) {
    let Some(best) = next.iter().find(|next| named(&next.act).is_some()) else { return };
    let names = named(&best.act).unwrap_or_default();
    // As many numbers as the log has entries: the same every time.
    let mut rng = ChaCha8Rng::seed_from_u64(family.entries as u64 + (best.settles * 1e6) as u64);
    let more = world.read_more(&names, error, &mut rng);
    let [wanted, log] = [0, 1].map(|i| family.files[i].clone());
    let log = SourceFile { text: log.text + &more, ..log };
    let after = Family::read("simulated", wanted, log).unwrap_or_else(|e| panic!("{e}"));
    let Ok(layout) = layout_of(&after.positions[0], &after.hardware) else { return };
    let parts = [PositionParts { layout, parts: Vec::new() }];
    let (n, said, did) = table.settled;
    let is_settled = check(&after, &parts, &[]).verdict() != Verdict::TooClose;
    table.settled = (n + 1, said + best.settles, did + u32::from(is_settled));
}

/// Prints the baseplate first and tries it in the rout and on its screws; the parts are then judged as they are.
pub(super) fn try_baseplate(
    family: &Family,
    parts: &[PositionParts],
    truth: &Assembled,
    said: f64,
    table: &mut Table,
) {
    let goes =
        truth.margins.iter().filter(|(name, _)| name.starts_with("baseplate-")).all(|(_, left)| *left >= 0.0);
    let went = if goes { "goes_in" } else { "jams" };
    let entries = format!(
        "printed(on: \"2026-09-02\", part: \"bridge-baseplate\", build: \"00000000\")\n\
         tried(on: \"2026-09-03\", part: \"bridge-baseplate\", copy: 1, with: screws, it: {went})\n"
    );
    let [wanted, log] = [0, 1].map(|i| family.files[i].clone());
    let log = SourceFile { text: log.text + &entries, ..log };
    let survey = Survey::read_at("simulated", wanted, log, When::default()).unwrap_or_else(|e| panic!("{e}"));
    let of = |trial| Tried { trial, parts: Arc::new(parts[0].clone()) };
    let tried: Vec<Tried> = survey.trials().into_iter().map(of).collect();
    let after = survey.family().unwrap_or_else(|e| panic!("{e}"));
    let fit = check_pieces(&after, parts, &[], &tried);
    let Some(whole) = fit.wholes().first() else { return };
    table.checks.entry(TRIED).or_default().enter(whole.verdict, whole.chance, truth.holds());
    let (n, all, did) = table.tried;
    table.tried = (n + 1, all + said, did + u32::from(whole.verdict != Verdict::TooClose));
}

/// Prints some parts first and reads their sizes; all parts are then judged, those as they are.
pub(super) fn print_first(
    world: &World,
    family: &Family,
    parts: &[PositionParts],
    (truth, next): (&Assembled, &Next),
    error: CaliperError,
    table: &mut Table,
) {
    let Act::Print(first) = &next.act else { return };
    let mut rng = ChaCha8Rng::seed_from_u64(family.entries as u64 + (next.settles * 1e6) as u64);
    let more = truth.read(first, world, error, &mut rng);
    let [wanted, log] = [0, 1].map(|i| family.files[i].clone());
    let log = SourceFile { text: log.text + &more, ..log };
    let after = Family::read("simulated", wanted, log).unwrap_or_else(|e| panic!("{e}"));
    let fit = check_pieces(&after, parts, &[], &[]);
    let Some(whole) = fit.wholes().first() else { return };
    table.checks.entry(PRINTED).or_default().enter(whole.verdict, whole.chance, truth.holds());
    let (n, all, did) = table.printed;
    table.printed = (n + 1, all + next.settles, did + u32::from(whole.verdict != Verdict::TooClose));
}

/// Prints the printer's coupon, reads it, and draws everything by what that tells.
pub(super) fn read_coupon(world: &World, family: &Family, said: f64, table: &mut Table) {
    let mut rng = ChaCha8Rng::seed_from_u64(family.entries as u64 + (said * 1e6) as u64);
    let printer = simulated_coupon::Truth::drawn(&mut rng);
    let how = simulated_coupon::CaliperError::AnotherEachTime;
    let coupon = simulated_coupon::log(&printer, world.hand[OUTSIDE], how, &mut rng);
    let store = Memory::default();
    let [wanted, log] = [0, 1].map(|i| family.files[i].text.clone());
    // The printer is stated last.
    let wanted = wanted
        .find("printer: (")
        .map_or_else(String::new, |at| format!("{}printer: \"../press\")", &wanted[..at]));
    let texts = [
        ("family", ["family.ron", "readings.ron"], [wanted, log]),
        ("press", ["printer.ron", "readings.ron"], [simulated_coupon::PRINTER.to_owned(), coupon]),
    ];
    for (folder, names, [one, other]) in texts {
        let files = [(names[0], one.as_str()), (names[1], other.as_str())];
        store.create(Path::new("shelf").join(folder).as_path(), &files).unwrap_or_else(|e| panic!("{e}"));
    }
    let folder = Folder::in_store(Arc::new(store), "shelf/family");
    let after = Survey::load_at(&folder, When::default()).and_then(Survey::family);
    let after = after.unwrap_or_else(|e| panic!("{e}"));
    let Ok(layout) = layout_of(&after.positions[0], &after.hardware) else { return };
    let parts = [PositionParts { layout, parts: Vec::new() }];
    let fit = check(&after, &parts, &[]);
    let Some(whole) = fit.wholes().first() else { return };
    let truth = world.put_together_from(&printer, &after, &parts[0].layout, &mut rng);
    table.checks.entry(BY_COUPON).or_default().enter(whole.verdict, whole.chance, truth.holds());
    let (n, all, did) = table.by_coupon;
    table.by_coupon = (n + 1, all + said, did + u32::from(whole.verdict != Verdict::TooClose));
}

/// The quantities that an act reads; none where the bench has no way to do it.
fn named(act: &Act) -> Option<Vec<String>> {
    match act {
        Act::Read(of @ Quantity::At(_, P::ScrewSide(..) | P::EarSide(..))) => Some(vec![of.to_string()]),
        // Floors it has no jaws for.
        Act::Elsewhere(of @ Quantity::At(_, P::RoutLength | P::RoutWidth), spots)
            if spots.iter().all(|spot| !spot.ends_with("floor")) =>
        {
            Some(vec![of.to_string()])
        }
        Act::Together(acts) => acts.iter().map(named).try_fold(Vec::new(), |mut all, one| {
            all.extend(one?);
            Some(all)
        }),
        _ => None,
    }
}
