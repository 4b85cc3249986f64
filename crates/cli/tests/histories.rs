//! Random histories of builds, prints, readings and changes of two families that are called alike, held against a plain model
//! of the bench: no reading is ever judged or taught against another drawing than its copy's.
//!
//! `HISTORIES=10000 cargo test --release -p bobbinwright --test histories -- --nocapture`; `FIRST=700` begins with that one,
//! `SECONDS=400` ends then, `THREADS=1` leaves the other cores alone.

mod common;
#[path = "common/pile.rs"]
mod pile;

use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use common::{change, name, run, text, wherry};
use pile::{Build, PARTS, PartName, Pile, Reading, SIZES, WISHES, Wishes, usual};

/// Any sequence will do: splitmix64 (Steele, Lea and Flood 2014, constants from memory).
struct Draw(u64);

impl Draw {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}

/// A family and what its owner knows of it.
struct Family {
    folder: PathBuf,
    wishes: Wishes,
    pile: Pile,
    /// Which of its builds stands in the folder of builds.
    standing: Option<usize>,
}

/// What came of all histories.
#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    histories: usize,
    steps: usize,
    builds: usize,
    prints: usize,
    readings: usize,
    judged: usize,
    /// Sizes that were judged by another build than what was wanted last.
    of_another_build: usize,
    taught: usize,
}

impl Counts {
    fn and(self, other: Self) -> Self {
        Self {
            histories: self.histories + other.histories,
            steps: self.steps + other.steps,
            builds: self.builds + other.builds,
            prints: self.prints + other.prints,
            readings: self.readings + other.readings,
            judged: self.judged + other.judged,
            of_another_build: self.of_another_build + other.of_another_build,
            taught: self.taught + other.taught,
        }
    }
}

struct History {
    draw: Draw,
    families: [Family; 2],
    out: PathBuf,
    day: u32,
    counts: Counts,
    said: Vec<String>,
    _scratch: tempfile::TempDir,
}

fn on(day: u32) -> String {
    format!("2026-10-{day:02}")
}

impl History {
    fn new(seed: u64) -> Self {
        let scratch = tempfile::tempdir().unwrap();
        let (first, _) = wherry(scratch.path());
        let other = scratch.path().join("other");
        fs::create_dir(&other).unwrap();
        let (second, _) = wherry(&other);
        change(&second.join("family.ron"), "Wherry five-string bass", "Another wherry");
        let of = |folder| Family { folder, wishes: usual(), pile: Pile::default(), standing: None };
        Self {
            draw: Draw(seed),
            families: [of(first), of(second)],
            out: scratch.path().join("out"),
            day: 7,
            counts: Counts { histories: 1, ..Counts::default() },
            said: Vec::new(),
            _scratch: scratch,
        }
    }

    /// Runs a command; none where it was refused.
    fn run(&mut self, arguments: &[&str]) -> Option<String> {
        let output = run(arguments);
        let (said, refused) = (text(&output.stdout), text(&output.stderr));
        let code = output.status.code();
        self.said.push(format!("{code:?} {}", arguments.join(" ")));
        (code != Some(2)).then_some(said).or_else(|| {
            self.said.push(refused);
            None
        })
    }

    /// It must not be refused.
    fn done(&mut self, arguments: &[&str]) -> String {
        self.run(arguments).unwrap_or_else(|| panic!("{}", self.said.join("\n")))
    }

    fn step(&mut self, f: usize) {
        self.counts.steps += 1;
        self.day = (self.day + self.draw.below(2) as u32).min(31);
        let folder = name(&self.families[f].folder).to_owned();
        match self.draw.below(40) {
            0..=8 => self.wish(f, &folder),
            9 => {
                let depth = format!("20.{:02}", self.draw.below(12));
                let day = on(self.day);
                self.done(&[
                    "read",
                    &folder,
                    "bridge.rout.depth",
                    &depth,
                    "--spot",
                    "bass end",
                    "--on",
                    &day,
                ]);
            }
            10..=15 => self.build(f, &folder),
            16..=21 => self.print(f, &folder),
            22..=23 => self.became(f, &folder),
            24..=37 => self.read(f, &folder),
            38 => self.slip(f, &folder),
            _ => self.judge(f, &folder),
        }
    }

    fn wish(&mut self, f: usize, folder: &str) {
        // Mostly of something that was read: that is where builds could be taken for each other.
        let pile = &mut self.families[f].pile;
        let mut is_read = |part: PartName, size: &str| {
            pile.in_use(part).is_some_and(|copy| copy.readings.iter().any(|r| r.size == size))
        };
        let read: Vec<&str> =
            SIZES.into_iter().filter(|(part, size, _)| is_read(part, size)).map(|(.., wish)| wish).collect();
        let of = if read.is_empty() || self.draw.below(3) == 0 { None } else { Some(self.draw.one(&read)) };
        let (path, values) =
            WISHES.into_iter().find(|(path, _)| Some(*path) == of).unwrap_or_else(|| self.draw.one(&WISHES));
        let value = self.draw.one(&values);
        if self.families[f].wishes[path] != value {
            self.done(&["want", folder, path, &value.to_string()]);
            self.families[f].wishes.insert(path, value);
        }
    }

    /// Into a folder that the other one's build may stand in: then it is refused.
    fn build(&mut self, f: usize, folder: &str) {
        let out = name(&self.out).to_owned();
        let built = self.run(&["build", folder, "--anyway", "--out", &out]);
        assert_eq!(built.is_none(), self.families[1 - f].standing.is_some(), "{}", self.said.join("\n"));
        let Some(said) = built else { return };
        self.counts.builds += 1;
        let mark = said.rsplit_once(", build ").unwrap().1[..8].to_owned();
        let manifest = fs::read(self.out.join("wherry/manifest.json")).unwrap();
        let manifest: serde_json::Value = serde_json::from_slice(&manifest).unwrap();
        let drawn = |part: PartName, size: &str| {
            let parts = manifest["parts"].as_array().unwrap();
            let part = parts.iter().find(|p| p["id"] == part).unwrap();
            part["printed"]["drawn"][size].as_str().unwrap().to_owned()
        };
        let drawn = SIZES.iter().map(|(part, size, _)| ((*part, *size), drawn(part, size))).collect();
        let family = &mut self.families[f];
        family.pile.builds.push(Build { mark, wishes: family.wishes.clone(), drawn });
        family.standing = Some(family.pile.builds.len() - 1);
    }

    /// From the files that stand there, or from some of before; told at once, or later.
    fn print(&mut self, f: usize, folder: &str) {
        let family = &mut self.families[f];
        let Some(standing) = family.standing else { return };
        let build = if self.draw.below(3) == 0 { self.draw.below(standing + 1) } else { standing };
        let parts: Vec<PartName> =
            if self.draw.below(4) == 0 { PARTS.to_vec() } else { vec![self.draw.one(&PARTS)] };
        for part in &parts {
            // Of two on one day nobody could say later which was first.
            if family.pile.untold().iter().any(|(p, ..)| p == part) {
                return;
            }
        }
        for part in &parts {
            family.pile.print(part, build, self.day);
            self.counts.prints += 1;
        }
        if self.draw.below(4) > 0 {
            self.tell(f, folder);
        }
    }

    /// The log is told of all that was printed and not told of.
    fn tell(&mut self, f: usize, folder: &str) {
        let out = name(&self.out).to_owned();
        for (part, build, day) in self.families[f].pile.untold() {
            let mark = self.families[f].pile.builds[build].mark.clone();
            let is_standing = self.families[f].standing == Some(build);
            let day = on(day);
            let mut arguments = vec!["printed", folder, part, "--again", "--on", &day, "--out", &out];
            // Whoever prints from what stands there need not name it.
            if !is_standing || self.draw.below(2) == 0 {
                arguments.extend(["--build", &mark]);
            }
            let said = self.done(&arguments);
            let number = self.families[f].pile.tell(part);
            assert!(said.contains(&format!("{part}, copy {number}, of build {mark}")), "{said}");
        }
    }

    fn became(&mut self, f: usize, folder: &str) {
        let part = self.draw.one(&PARTS);
        let state = self.draw.one(&["in_use", "spare", "broken", "built_in"]);
        let day = on(self.day);
        let all = self.families[f].pile.told(part).into_iter().filter_map(|c| c.number);
        let all: Vec<usize> = all.collect();
        if all.is_empty() {
            return;
        }
        let number = self.draw.one(&all);
        let (copy, word) = (number.to_string(), state.replace('_', "-"));
        self.done(&["parts", folder, part, &word, "--copy", &copy, "--on", &day]);
        for copy in self.families[f].pile.told(part) {
            if copy.number == Some(number) {
                copy.state = state;
            }
        }
    }

    /// Of the copy in use, near what it was drawn for. Before it is told that it was printed, only on a later day.
    fn read(&mut self, f: usize, folder: &str) {
        let off = self.draw.below(9) as f64 * 0.01 - 0.04;
        let day = self.day;
        let pile = &mut self.families[f].pile;
        let there: Vec<_> = SIZES.iter().filter(|(part, ..)| pile.in_use(part).is_some()).collect();
        if there.is_empty() {
            return;
        }
        let (part, size, _) = *self.draw.one(&there);
        let Some(copy) = pile.in_use(part).map(|c| c.clone()) else { return };
        if copy.number.is_none() && copy.on >= day {
            return;
        }
        let figure = format!("{:.2}", pile.wanted(&copy, part, size) + off);
        let of = format!("{}.{size}", part.replacen('-', ".", 1));
        let said = self.done(&["read", folder, &of, &figure, "--on", &on(day)]);
        let number = said.lines().find_map(|l| l.strip_prefix("Entry ")?.split_once(':')?.0.parse().ok());
        let reading = Reading { size, mm: figure.parse().unwrap(), on: day, entry: number.unwrap() };
        self.counts.readings += 1;
        self.families[f].pile.in_use(part).unwrap().readings.push(reading);
    }

    /// A print or a reading that never was, withdrawn again.
    fn slip(&mut self, f: usize, folder: &str) {
        let (part, out, day) = (self.draw.one(&PARTS), name(&self.out).to_owned(), on(self.day));
        let entry = if self.draw.below(2) == 0 && self.families[f].standing.is_some() {
            self.tell(f, folder);
            let said = self.done(&["printed", folder, part, "--again", "--on", &day, "--out", &out]);
            self.families[f].pile.slip(part);
            said.lines().find_map(|l| Some(l.strip_prefix("Entry ")?.split_once(':')?.0.to_owned()))
        } else {
            let readings = self.families[f].pile.in_use(part).and_then(|c| c.readings.pop());
            readings.map(|r| r.entry.to_string())
        };
        if let Some(entry) = entry {
            self.done(&["withdraw", folder, &entry, "a slip"]);
        }
    }

    /// What was read is judged, and the printer taught.
    fn judge(&mut self, f: usize, folder: &str) {
        self.tell(f, folder);
        self.counts.judged += 1;
        let printer = self.families[f].folder.join("quay/readings.ron");
        let before = fs::read_to_string(&printer).unwrap();
        let out = name(&self.out).to_owned();
        // Where there is nothing to be taught, that is said after the table.
        let output = run(&["inspect", folder, "--out", &out, "--teach"]);
        let said = text(&output.stdout);
        self.said.push(format!("{:?} inspect {folder} --teach", output.status.code()));
        self.is_judged_by_its_drawing(f, &said);
        let now = fs::read_to_string(&printer).unwrap();
        self.is_taught_by_its_drawing(f, &now[before.len()..], &now);
    }

    /// Every size that was read of a copy in use is in the table with what that copy was wanted as, and nothing else is.
    fn is_judged_by_its_drawing(&mut self, f: usize, said: &str) {
        let at = |why: &str, history: &Vec<String>| format!("{why}\n{said}\n{}", history.join("\n"));
        for (part, size, wish) in SIZES {
            let wanted_now = self.families[f].wishes[wish];
            let pile = &mut self.families[f].pile;
            let copy = pile.in_use(part).map(|c| c.clone());
            let of = format!("{}.{size}", part.replacen('-', ".", 1));
            let row = said.lines().find_map(|l| {
                let mut words = l.split_whitespace().skip_while(|w| *w != of);
                words.next()?;
                let wanted: f64 = words.next()?.parse().ok()?;
                let read: f64 = words.next()?.parse().ok()?;
                Some((wanted, read))
            });
            let read: Vec<f64> = copy
                .iter()
                .flat_map(|c| c.readings.iter().filter(|r| r.size == size).map(|r| r.mm))
                .collect();
            match (copy, row) {
                (Some(copy), Some((wanted, measured))) if !read.is_empty() => {
                    let mean = read.iter().sum::<f64>() / read.len() as f64;
                    let drawn_as = pile.wanted(&copy, part, size);
                    assert!((wanted - drawn_as).abs() < 0.006, "{}", at(&of, &self.said));
                    assert!((measured - mean).abs() < 0.006, "{}", at(&of, &self.said));
                    self.counts.of_another_build += usize::from((wanted_now - drawn_as).abs() > 0.01);
                }
                // Nothing may hang on it.
                (_, None) if !read.is_empty() => {
                    let idle = said.lines().any(|l| l.starts_with("Read too") && l.contains(&of));
                    assert!(idle, "{}", at(&format!("{of} was read and is not judged"), &self.said));
                }
                (_, row) => {
                    assert!(row.is_none(), "{}", at(&format!("{of} was not read of this one"), &self.said));
                }
            }
        }
    }

    /// What the printer is taught names a copy, what that one was drawn as, and a figure that was read of it; once each.
    fn is_taught_by_its_drawing(&mut self, f: usize, new: &str, log: &str) {
        let pile = &self.families[f].pile;
        let quoted = |line: &str, field: &str| {
            let rest = line.split_once(&format!("{field}: \""))?.1;
            Some(rest.split_once('"')?.0.to_owned())
        };
        for line in new.lines().filter(|l| l.starts_with("reading(")) {
            self.counts.taught += 1;
            let is_known = || {
                let spot = quoted(line, "spot")?;
                let (part, number) = spot.strip_prefix("wherry ")?.split_once(", copy ")?;
                let copy = pile.copy(part, number.parse().ok()?)?;
                let (of, day) = (quoted(line, "of")?, quoted(line, "on")?);
                let figures = line.split_once("got: mm(")?.1.split_once(')')?.0;
                let figure: f64 = figures.trim_matches(['[', ']']).parse().ok()?;
                let is_it = |r: &&Reading| {
                    let drawn = pile.builds[copy.build].drawn.iter();
                    let mut of_it = drawn.filter(|((p, s), _)| *p == part && *s == r.size);
                    of_it.any(|(_, drawn)| *drawn == of) && (r.mm - figure).abs() < 1e-9 && on(r.on) == day
                };
                copy.readings.iter().find(is_it).map(|_| ())
            };
            assert!(is_known().is_some(), "{line}\n{}", self.said.join("\n"));
        }
        for part in PARTS {
            for copy in self.families[f].pile.told(part) {
                let spot = format!("wherry {part}, copy {}\"", copy.number.unwrap_or_default());
                let taught = log.lines().filter(|l| l.contains(&spot)).count();
                // Those that were withdrawn later stay in the printer's log.
                assert!(taught <= copy.readings.len() + 3, "{spot}: {taught}\n{}", self.said.join("\n"));
            }
        }
    }
}

fn many(variable: &str, usual: usize) -> usize {
    std::env::var(variable).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// One from its first build on.
fn history(number: usize) -> Counts {
    let mut history = History::new(number as u64);
    // Mostly with one of them, whose builds stand there first; the other comes in between.
    let owner = usize::from(number % 4 == 3);
    let folder = name(&history.families[owner].folder).to_owned();
    history.build(owner, &folder);
    history.print(owner, &folder);
    for _ in 0..12 {
        let comes_between = history.draw.below(6) == 0;
        history.step(if comes_between { 1 - owner } else { owner });
    }
    history.judge(owner, &folder);
    history.counts
}

#[test]
fn no_reading_is_held_against_another_drawing_than_its_copys() {
    let (histories, first) = (many("HISTORIES", 8), many("FIRST", 0));
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let threads = many("THREADS", threads.min(4));
    let most = Duration::from_secs(many("SECONDS", 100_000) as u64);
    let begun = Instant::now();
    let of_thread = &|thread: usize| {
        let numbers = (first..first + histories).skip(thread).step_by(threads);
        let in_time = numbers.take_while(|_| begun.elapsed() < most);
        in_time.map(history).fold(Counts::default(), Counts::and)
    };
    let all = std::thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|thread| scope.spawn(move || of_thread(thread))).collect();
        running.into_iter().map(|t| t.join().unwrap()).fold(Counts::default(), Counts::and)
    });
    println!("{all:#?} from {first} on, {:.0} s", begun.elapsed().as_secs_f64());
    // Nothing of that may come to nothing.
    let run = all.histories;
    assert!(all.prints > run && all.readings > run && all.of_another_build * 4 > run && all.taught * 4 > run);
}
