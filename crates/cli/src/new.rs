//! `bobbinwright new`.

use bobbinwright_clock as clock;
use bobbinwright_spec::{
    Angle, FAMILY_FILE, Figure, Folder, Handed, Held, Outline, READINGS_FILE, Side, SourceFile, Start,
    Survey, Unit, When,
};

use crate::arguments::{self, Hand, Mounting, Poles};
use crate::ask::Ask;
use crate::outcome::Outcome;
use crate::{complain, say};

/// Makes the folder with its two files and says what to measure.
pub(crate) fn run(options: &arguments::New) -> Outcome {
    let folder = &options.folder;
    for name in [FAMILY_FILE, READINGS_FILE] {
        let file = folder.join(name);
        if file.exists() {
            let message = format!("{} is there already: name another folder", file.display());
            return complain::failure(&message, false);
        }
    }
    let start = asked(options);
    let text = |name: &str, text: String| SourceFile { name: folder.join(name).display().to_string(), text };
    let (wanted, readings) = (text(FAMILY_FILE, start.family()), text(READINGS_FILE, start.readings()));
    // What the options or answers say is judged by the same rules as a file that somebody wrote.
    let slug = folder.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let survey = match Survey::read_at(&slug, wanted.clone(), readings.clone(), When::default()) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    let files = [(READINGS_FILE, &*readings.text), (FAMILY_FILE, &*wanted.text)];
    if let Err(e) = Folder::on_disk(folder).create(&files) {
        return complain::failure(&format!("{} can't be written: {e}", folder.display()), false);
    }
    say::line(format_args!("{} and {} are in {}.\n", FAMILY_FILE, READINGS_FILE, folder.display()));
    complain::to_measure(&survey, folder, false);
    Outcome::Fine
}

/// What the options say, the rest asked for.
fn asked(options: &arguments::New) -> Start {
    let ask = Ask::new();
    let name = options.folder.file_name().map_or("pickups".into(), |n| n.to_string_lossy().into_owned());
    let any = |t: &str| Ok(t.to_owned());
    let title = ask.or(options.title.clone(), "What do you call it?", (&name, name.clone()), any);
    let strings = ask.or(options.strings, "How many strings, 4 to 12?", ("6", 6), |t| {
        t.parse().ok().filter(|n| (4..=12).contains(n)).ok_or("Write a number from 4 to 12.".to_owned())
    });
    let trimmed = |all: &Vec<String>| all.iter().map(|n| n.trim().to_owned()).collect();
    let positions = ask.or(
        options.positions.as_ref().map(trimmed),
        "Which positions, with commas between them?",
        ("bridge", vec!["bridge".to_owned()]),
        |t| Ok(t.split(',').map(|n| n.trim().to_owned()).collect()),
    );
    let handed = ask.or(
        options.handed.map(|hand| if hand == Hand::Left { Handed::Left } else { Handed::Right }),
        "Is it strung for the right or the left hand?",
        ("right", Handed::Right),
        |t| {
            let found = Handed::ALL.iter().find(|(word, _)| *word == t);
            found.map(|(_, hand)| *hand).ok_or("Write right or left.".into())
        },
    );
    let slant = ask.or(
        options.slant,
        "How many degrees is the row slanted to the strings, the bass end nearer to the neck (minus: the treble end)?",
        ("0", 0.0),
        arguments::degrees,
    );
    let outline = ask.or(
        options.outline,
        "Is the rout a rectangle, or on purpose a parallelogram or a trapezoid?",
        ("rectangle", Outline::Rectangle),
        arguments::outline,
    );
    let held = held(options, &ask);
    let poles = ask.or(
        options.poles,
        "A pair of rods beside each string (pair), or one under it (single)?",
        ("pair", Poles::Pair),
        |t| match t {
            "pair" => Ok(Poles::Pair),
            "single" => Ok(Poles::Single),
            _ => Err("Write pair or single.".into()),
        },
    );
    let figure = |t: &str| t.parse::<Figure>();
    let usual = |digits: &str, unit| Figure { digits: digits.to_owned(), unit };
    let step = ask.or(
        options.step.clone(),
        "The step of your caliper's display, in mm, or in inches as 0.0005in?",
        ("0.01", usual("0.01", Unit::Mm)),
        figure,
    );
    let limit = ask.or(
        options.limit.clone(),
        "The largest error that its maker permits (its data sheet says; 0.03, or 0.001in, is usual)?",
        match step.unit {
            Unit::Mm => ("0.03", usual("0.03", Unit::Mm)),
            Unit::Inch => ("0.001in", usual("0.001", Unit::Inch)),
        },
        figure,
    );
    Start {
        title,
        strings: usize::from(strings),
        positions,
        handed,
        held,
        outline,
        slant: Angle::from_degrees(slant),
        pair: poles == Poles::Pair,
        step: step.length(),
        limit: limit.length(),
        unit: step.unit,
        on: clock::today(),
    }
}

/// Screws through the cover or ears beside it, how many and where.
fn held(options: &arguments::New, ask: &Ask) -> Held {
    let said = match (options.mounting, &options.ears, options.screws) {
        (None, Some(_), _) => Some(Mounting::Ears),
        (None, None, Some(_)) => Some(Mounting::Bosses),
        (mounting, ..) => mounting,
    };
    let mounting = ask.or(
        said,
        "Do the screws go through the cover (bosses) or through ears beside it (ears)?",
        ("bosses", Mounting::Bosses),
        |t| match t {
            "bosses" => Ok(Mounting::Bosses),
            "ears" => Ok(Mounting::Ears),
            _ => Err("Write bosses or ears.".into()),
        },
    );
    match mounting {
        Mounting::Ears => Held::Ears(ask.or(
            options.ears.clone(),
            "At which sides of the rout are the recesses for them, that of screw 1 first?",
            ("treble,bass", vec![Side::Treble, Side::Bass]),
            |t| t.split(',').map(str::parse).collect(),
        )),
        Mounting::Bosses => Held::Screws(usize::from(ask.or(
            options.screws,
            "How many screws hold each, 1 to 6?",
            ("2", 2),
            |t| {
                t.parse().ok().filter(|n| (1..=6).contains(n)).ok_or("Write a number from 1 to 6.".to_owned())
            },
        ))),
    }
}
