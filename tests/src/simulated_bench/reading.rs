//! A caliper in a hand: what it shows of a size, as entries of a log.

use std::fmt::Write;

use rand::RngExt;
use rand::rngs::ChaCha8Rng;
use rand_distr::{Distribution, Normal};

use super::CaliperError;

/// Step and limits of the caliper: outside, inside, depth, mm.
const STEP: f64 = 0.01;
const LIMITS: [f64; 3] = [0.02, 0.04, 0.04];
/// What the cutter's packet states its radius within, mm.
pub(super) const WITHIN: f64 = 0.15;

pub(super) fn between(rng: &mut ChaCha8Rng, low: f64, high: f64) -> f64 {
    rng.random_range(low..=high)
}

pub(super) fn normal(rng: &mut ChaCha8Rng, mean: f64, deviation: f64) -> f64 {
    Normal::new(mean, deviation).map_or(mean, |n| n.sample(rng))
}

/// Half of all hands scatter alike with all of a caliper; the others close the large jaws well and seek with the rest.
pub(super) fn hand(rng: &mut ChaCha8Rng) -> [f64; 3] {
    if rng.random_bool(0.5) {
        return [between(rng, 0.01, 0.05); 3];
    }
    let others = between(rng, 0.03, 0.08);
    [between(rng, 0.004, 0.012), others, others]
}

pub(super) const OUTSIDE: usize = 0;
pub(super) const INSIDE: usize = 1;
pub(super) const DEPTH: usize = 2;

/// A caliper in a hand, and the log.
pub(super) struct Bench<'r> {
    hand: [f64; 3],
    error: CaliperError,
    /// What it is off with outside jaws, inside jaws and depth rod, if by the same everywhere.
    off: [f64; 3],
    pub rng: &'r mut ChaCha8Rng,
    pub log: String,
}

impl<'r> Bench<'r> {
    pub fn new(hand: [f64; 3], error: CaliperError, rng: &'r mut ChaCha8Rng) -> Self {
        let off = LIMITS.map(|limit| between(rng, -limit, limit));
        let [outside, inside, depth] = LIMITS;
        let log = format!(
            "tool(on: \"2026-09-01\", name: \"caliper\", resolution: mm({STEP}), mpe_outside: mm({outside}), mpe_inside: mm({inside}), mpe_depth: mm({depth}))\n"
        );
        Self { hand, error, off, rng, log }
    }

    /// Reads a size two to four times.
    pub fn read(&mut self, name: &str, how: &str, size: f64, jaws: usize) {
        self.read_in_spots(name, &[(how.to_owned(), size)], jaws);
    }

    /// Reads it in several spots, where it is nearly the same, so that the caliper is off by the same.
    pub fn read_in_spots(&mut self, name: &str, spots: &[(String, f64)], jaws: usize) {
        let off = self.off_at(jaws);
        for (how, size) in spots {
            let times = self.rng.random_range(2..=4);
            let read: Vec<String> = (0..times).map(|_| self.display(size + off, jaws)).collect();
            self.enter(name, how, &read);
        }
    }

    /// Reads several pieces alike, each once.
    pub fn read_pieces(&mut self, name: &str, mean: f64, deviation: f64) {
        let off = self.off_at(OUTSIDE);
        let times = self.rng.random_range(2..=4);
        let read: Vec<String> = (0..times)
            .map(|_| {
                let piece = normal(self.rng, mean, deviation);
                self.display(piece + off, OUTSIDE)
            })
            .collect();
        self.enter(name, "", &read);
    }

    pub fn packet(&mut self, name: &str, size: f64) {
        let how = format!(", how: packet, within: mm({WITHIN})");
        self.enter(name, &how, &[format!("{size:.6}")]);
    }

    fn off_at(&mut self, jaws: usize) -> f64 {
        match self.error {
            CaliperError::AnewAtEachSize => between(self.rng, -LIMITS[jaws], LIMITS[jaws]),
            CaliperError::TheSameEverywhere => self.off[jaws],
        }
    }

    fn display(&mut self, size: f64, jaws: usize) -> String {
        let read = normal(self.rng, size, self.hand[jaws]);
        format!("{:.2}", (read / STEP).round() * STEP)
    }

    fn enter(&mut self, name: &str, how: &str, read: &[String]) {
        let read = read.join(", ");
        // Writing to a String does not fail.
        let _ = writeln!(self.log, "reading(on: \"2026-09-01\", of: \"{name}\"{how}, got: mm([{read}]))");
    }
}
