//! Verdicts held against a simulated bench.
//!
//! Each build begins with an instrument whose true sizes nobody knows. A caliper with an error of its
//! own, in a hand that scatters, takes readings; a family is written from them and the program judges
//! it; then the parts are printed, each size off by the printer's own error, and put together. What the
//! verdicts say is compared with what jams. The generator is `ChaCha8` (D. J. Bernstein, 2008), seeded with the build's number.

mod acts;
mod assembled;
mod body;
mod reading;
mod world;

use std::collections::BTreeMap;
use std::fmt;

use bobbinwright_fit::{Act, Verdict, check};
use bobbinwright_geometry::parts::{PositionParts, layout_of};
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Family, PartKind, Problem, SourceFile};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

use acts::{print_first, read_coupon, settle, try_baseplate};
use world::World;

/// What a whole pickup is called in the table.
pub const WHOLE: &str = "the whole pickup";

/// The same of one whose baseplate was tried.
pub const TRIED: &str = "the same, one part tried";

/// The same of one of which parts were printed first and read.
pub const PRINTED: &str = "the same, parts read";

/// The same of one whose printer's coupon was read.
pub const BY_COUPON: &str = "the same, coupon read";

/// How a caliper errs within what its maker permits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CaliperError {
    /// Anew at each size, as the program takes it.
    AnewAtEachSize,
    /// By the same amount everywhere, as a bent or badly zeroed one does.
    TheSameEverywhere,
}

/// What became of one check over all builds.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Called *fits*, and of these how many jammed.
    pub fits: [u32; 2],
    /// Called *clashes*, and of these how many would have gone together.
    pub clashes: [u32; 2],
    /// Too close to call, and of these how many jammed.
    pub close: [u32; 2],
    /// By what chance was stated, the lower bounds in [`Tally::BINS`]: how many, the sum of their chances,
    /// and how many held.
    pub bins: [(u32, f64, u32); 5],
}

impl Tally {
    /// Lower bounds of the bins; the last one ends at 99.9 %.
    pub const BINS: [f64; 6] = [0.05, 0.5, 0.8, 0.9, 0.95, 0.999];

    fn enter(&mut self, verdict: Verdict, probability: f64, holds: bool) {
        let (count, wrong) = match verdict {
            Verdict::Fits => (&mut self.fits, !holds),
            Verdict::Clashes => (&mut self.clashes, holds),
            Verdict::TooClose => (&mut self.close, !holds),
        };
        count[0] += 1;
        count[1] += u32::from(wrong);
        for (bin, bounds) in self.bins.iter_mut().zip(Self::BINS.windows(2)) {
            if (bounds[0]..bounds[1]).contains(&probability) {
                *bin = (bin.0 + 1, bin.1 + probability, bin.2 + u32::from(holds));
            }
        }
    }

    fn add(&mut self, other: &Self) {
        for (a, b) in
            [(&mut self.fits, other.fits), (&mut self.clashes, other.clashes), (&mut self.close, other.close)]
        {
            a[0] += b[0];
            a[1] += b[1];
        }
        for (bin, other) in self.bins.iter_mut().zip(&other.bins) {
            *bin = (bin.0 + other.0, bin.1 + other.1, bin.2 + other.2);
        }
    }

    /// For each bin that has enough to tell: how many, the mean chance stated, and the share that held.
    pub fn held(&self) -> impl Iterator<Item = (u32, f64, f64)> {
        let told = self.bins.iter().filter(|bin| bin.0 > 0);
        told.map(|(n, sum, held)| (*n, sum / f64::from(*n), f64::from(*held) / f64::from(*n)))
    }

    /// Share of those called *fits* that jammed.
    pub fn jammed(&self) -> f64 {
        share(self.fits)
    }

    /// Share of those called *clashes* that would have gone together.
    pub fn spared(&self) -> f64 {
        share(self.clashes)
    }
}

fn share([all, wrong]: [u32; 2]) -> f64 {
    if all == 0 { 0.0 } else { f64::from(wrong) / f64::from(all) }
}

/// The table of all checks.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// How many builds.
    pub builds: u32,
    /// How many times as crooked as usual the bodies are.
    pub crooked: f64,
    /// Of these, in how many a reading was called a slip; none was one.
    pub accused: u32,
    /// Check by check.
    pub checks: BTreeMap<&'static str, Tally>,
    /// Pickups that were too close to call and had readings proposed: how many, how often these were said to settle it, and
    /// how often they did.
    pub settled: (u32, f64, u32),
    /// The same of a baseplate that was printed first and tried.
    pub tried: (u32, f64, u32),
    /// The same of parts that were printed first and read.
    pub printed: (u32, f64, u32),
    /// The same of a coupon.
    pub by_coupon: (u32, f64, u32),
}

impl Table {
    /// What was proposed: how often, how often it was said to settle a pickup, and how often it did.
    pub fn promises(&self) -> [(&'static str, (u32, f64, u32)); 4] {
        [
            ("readings", self.settled),
            ("the baseplate to be tried first", self.tried),
            ("parts to be printed first and read", self.printed),
            ("the printer's coupon", self.by_coupon),
        ]
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{:22} {:>7} {:>6} | {:>7} {:>6} | {:>7} |  stated chance > share that held, %",
            "check", "fits", "jam %", "clashes", "go in %", "close"
        )?;
        for (name, t) in &self.checks {
            let held =
                t.held().map(|(_, stated, held)| format!("{:5.1} > {:4.1}", 100.0 * stated, 100.0 * held));
            writeln!(
                f,
                "{name:22} {:7} {:6.2} | {:7} {:7.2} | {:7} | {}",
                t.fits[0],
                100.0 * t.jammed(),
                t.clashes[0],
                100.0 * t.spared(),
                t.close[0],
                held.collect::<Vec<_>>().join("  "),
            )?;
        }
        for (what, (proposed, said, did)) in self.promises() {
            let share = |of: f64| 100.0 * of / f64::from(proposed.max(1));
            writeln!(
                f,
                "{proposed} pickups were too close to call and had {what} proposed: {:.0} % were said to be settled by that, {:.0} % were",
                share(said),
                share(f64::from(did))
            )?;
        }
        let accused = 100.0 * f64::from(self.accused) / f64::from(self.builds.max(1));
        writeln!(f, "honest readings called slips in {accused:.2} % of the builds")
    }
}

/// Simulates builds number 0 up to `builds`, of bodies so many times as crooked as usual.
///
/// # Panics
///
/// When a simulated family does not read: the simulation is wrong then.
pub fn simulate(builds: u32, error: CaliperError, crooked: f64) -> Table {
    const PORTION: u32 = 50;
    let portions: Vec<u32> = (0..builds.div_ceil(PORTION)).collect();
    let done = threads::map(&portions, |portion| {
        let from = portion * PORTION;
        let mut table = Table::default();
        for number in from..(from + PORTION).min(builds) {
            one(number, error, crooked, &mut table);
        }
        table
    });
    let mut all = Table { builds, crooked, ..Table::default() };
    for table in done {
        all.accused += table.accused;
        let add = |a: &mut (u32, f64, u32), b: (u32, f64, u32)| *a = (a.0 + b.0, a.1 + b.1, a.2 + b.2);
        add(&mut all.settled, table.settled);
        add(&mut all.tried, table.tried);
        add(&mut all.printed, table.printed);
        add(&mut all.by_coupon, table.by_coupon);
        for (name, tally) in &table.checks {
            all.checks.entry(name).or_default().add(tally);
        }
    }
    all
}

/// Pickups with a stated gap round the cover and room everywhere else, read as most read them and with everything that
/// the sheet asks for: how many were too close to call, how many were called fits, and how many of these failed.
#[derive(Clone, Copy, Debug, Default)]
pub struct AtGap {
    /// Of how many.
    pub builds: u32,
    /// Too close to call, fits, and failed of these: read as most do.
    pub as_most: [u32; 3],
    /// With everything read that is asked for.
    pub thorough: [u32; 3],
}

impl fmt::Display for AtGap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let share = |n: u32, of: u32| 100.0 * f64::from(n) / f64::from(of.max(1));
        for (how, [close, fits, failed]) in
            [("read as most do", self.as_most), ("everything asked for read", self.thorough)]
        {
            writeln!(
                f,
                "{how}: {:.1} % of {} too close to call, {fits} called fits, {:.2} % of these fail",
                share(close, self.builds),
                self.builds,
                share(failed, fits)
            )?;
        }
        Ok(())
    }
}

/// Simulates builds number 0 up to `builds` with such a gap, mm.
///
/// # Panics
///
/// When a simulated family does not read: the simulation is wrong then.
pub fn at_gap(builds: u32, gap: f64) -> AtGap {
    let numbers: Vec<u32> = (0..builds).collect();
    let done = threads::map(&numbers, |number| {
        let mut rng = ChaCha8Rng::seed_from_u64(u64::from(*number));
        let world = World::new(&mut rng, 1.0);
        let error = CaliperError::AnewAtEachSize;
        let log = world.readings(error, &mut rng);
        let wanted = world.wanted_with_gap(&mut rng, gap);
        let more = world.read_everything(error, &mut rng);
        let judged = [log.clone(), log + &more].map(|log| {
            let file = |name: &str, text: String| SourceFile { name: name.into(), text };
            let family =
                Family::read("simulated", file("family.ron", wanted.clone()), file("readings.ron", log));
            let family = family.unwrap_or_else(|e| panic!("{e}"));
            let layout = layout_of(&family.positions[0], &family.hardware).ok()?;
            let parts = [PositionParts { layout, parts: Vec::new() }];
            let verdict = check(&family, &parts, &[]).verdict();
            Some((verdict, family, parts))
        });
        let [Some(as_most), Some(thorough)] = judged else { return None };
        let truth = world.put_together(&as_most.1, &as_most.2[0].layout, &mut rng);
        Some(([as_most.0, thorough.0], truth.holds()))
    });
    let mut all = AtGap::default();
    for (verdicts, holds) in done.into_iter().flatten() {
        all.builds += 1;
        for (counts, verdict) in [&mut all.as_most, &mut all.thorough].into_iter().zip(verdicts) {
            counts[0] += u32::from(verdict == Verdict::TooClose);
            counts[1] += u32::from(verdict == Verdict::Fits);
            counts[2] += u32::from(verdict == Verdict::Fits && !holds);
        }
    }
    all
}

/// Families with bodies four times as crooked as usual, as the program knows them, each laid out.
///
/// # Panics
///
/// When a simulated family does not read: the simulation is wrong then.
pub fn crooked_families(count: u32) -> impl Iterator<Item = (Family, PositionParts)> {
    (0..count).filter_map(|number| {
        let mut rng = ChaCha8Rng::seed_from_u64(u64::from(number));
        let world = World::new(&mut rng, 4.0);
        let family = family(&world, CaliperError::AnewAtEachSize, &mut rng);
        let layout = layout_of(&family.positions[0], &family.hardware).ok()?;
        Some((family, PositionParts { layout, parts: Vec::new() }))
    })
}

/// As it is read and wanted.
fn family(world: &World, error: CaliperError, rng: &mut ChaCha8Rng) -> Family {
    let log = world.readings(error, rng);
    let wanted = world.wanted(rng);
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let family = Family::read("simulated", file("family.ron", wanted), file("readings.ron", log));
    family.unwrap_or_else(|e| panic!("{e}"))
}

fn one(number: u32, error: CaliperError, crooked: f64, table: &mut Table) {
    let mut rng = ChaCha8Rng::seed_from_u64(u64::from(number));
    let world = World::new(&mut rng, crooked);
    let family = family(&world, error, &mut rng);
    let is_accused = |notice: &Problem| {
        notice.message.contains("contradict each other") || notice.message.contains(" off its other ")
    };
    table.accused += u32::from(family.notices.iter().any(is_accused));
    // A plate that is cut away by its own waists and the like: nothing would be printed.
    let Ok(layout) = layout_of(&family.positions[0], &family.hardware) else { return };
    let parts = [PositionParts { layout, parts: Vec::new() }];
    let fit = check(&family, &parts, &[]);
    let truth = world.put_together(&family, &parts[0].layout, &mut rng);
    let next = fit.next();
    settle(&world, &family, &next, error, table);
    if let Some(next) = next.iter().find(|next| next.act == Act::Try(PartKind::Baseplate)) {
        try_baseplate(&family, &parts, &truth, next.settles, table);
    }
    if let Some(next) = next.iter().find(|next| matches!(next.act, Act::Print(_))) {
        print_first(&world, &family, &parts, (&truth, next), error, table);
    }
    if let Some(next) = next.iter().find(|next| next.act == Act::Coupon) {
        read_coupon(&world, &family, next.settles, table);
    }
    let is_put_together = |name: &str| truth.of(name).is_some();
    // What is not put together here must be beyond doubt for a pickup to be counted.
    let mut beside = fit.checks.iter().filter(|c| !is_put_together(c.kind.name()));
    if let ([whole], true) = (fit.wholes(), beside.all(|c| c.probability > 0.999)) {
        let holds = truth.holds();
        table.checks.entry(WHOLE).or_default().enter(whole.verdict, whole.chance, holds);
    }
    for found in &fit.checks {
        if let Some(margin) = truth.of(found.kind.name()) {
            let tally = table.checks.entry(found.kind.name()).or_default();
            tally.enter(found.verdict, found.probability, margin >= 0.0);
        }
    }
}
