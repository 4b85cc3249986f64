//! Which request is for what.

use std::path::PathBuf;
use std::sync::Arc;

use bobbinwright_spec::{
    Angle, FAMILY_FILE, Figure, Folder, Handed, Held, MADE_FILE, Outline, Problems, READINGS_FILE,
    SourceFile, Start, Survey,
};
use http::{Method, StatusCode};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::act;
use crate::answer::Answer;
use crate::copies;
use crate::day::Day;
use crate::desk::{Desk, Desks};
use crate::files::{self, Maker, What};
use crate::once::Once;
use crate::shelf::Shelf;
use crate::{names, pictures, printer, state, teach, versions, ways, winder, wishes};

/// Everything that answers need.
pub struct Bench {
    shelf: Shelf,
    desks: Desks,
    maker: Maker,
    once: Once,
}

/// A request, taken apart.
pub struct Asked<'a> {
    /// `GET` looks, anything else does something.
    pub method: &'a Method,
    /// Without a slash before it: `of/skiff/state`.
    pub path: &'a str,
    /// What stands behind its question mark.
    pub query: &'a str,
    /// What is typed, as JSON.
    pub body: &'a [u8],
    /// When it is asked.
    pub day: Day,
}

impl Bench {
    /// The families of a shelf.
    pub fn new(shelf: Shelf) -> Self {
        Self { shelf, desks: Desks::default(), maker: Maker::default(), once: Once::default() }
    }

    /// The answer to a request.
    pub fn answer(&self, asked: &Asked) -> Answer {
        let parts: Vec<&str> = asked.path.split('/').collect();
        let get = asked.method == Method::GET || asked.method == Method::HEAD;
        match parts[..] {
            ["families"] if get => Answer::json(&self.families(asked.day)),
            ["new"] if !get => done(match parsed::<Like>(asked.body) {
                Ok(like) => self.start_like(&like),
                Err(_) => parsed(asked.body).and_then(|start| self.start(&start, asked.day)),
            }),
            ["of", id, ref rest @ ..] => {
                let Some(folder) = decoded(id).and_then(|id| self.shelf.folder(&id)) else {
                    return Answer::refused(StatusCode::NOT_FOUND, "there is no such family here any more");
                };
                if get { self.shown(&folder, id, rest, asked) } else { self.acted(&folder, rest, asked) }
            }
            _ => Answer::not_here(),
        }
    }

    fn families(&self, day: Day) -> Value {
        let one = |s: &crate::shelf::Standing| {
            let title = Survey::load_at(&s.folder, day.when).map(|survey| survey.title).ok();
            json!({ "id": s.id, "title": title, "folder": s.folder.path().display().to_string() })
        };
        let all: Vec<Value> = self.shelf.standing().iter().map(one).collect();
        json!({ "families": all, "room": self.shelf.room().map(|r| r.path().display().to_string()), "only": self.shelf.only().map(|o| o.id) })
    }

    /// What is to be seen of a family.
    fn shown(&self, folder: &Folder, id: &str, rest: &[&str], asked: &Asked) -> Answer {
        let (query, day) = (asked.query, asked.day);
        let desk = match self.desks.at(folder, day) {
            Ok(desk) => desk,
            Err(problems) => return unreadable(id, &problems),
        };
        match *rest {
            ["state"] => {
                let mut all = state::all(id, &desk);
                all["builds"] = json!(self.shelf.out.is_some());
                Answer::json(&all)
            }
            // What takes longer than a keystroke is asked for by itself.
            ["job"] => {
                let job = bobbinwright_export::job::job(folder, &desk.survey, day.when);
                serde_json::to_value(job).map_or_else(|_| Answer::not_here(), |job| Answer::json(&job))
            }
            ["scene"] => match desk.scene() {
                Some(Ok(bytes)) => Answer::of("application/octet-stream", bytes),
                Some(Err(e)) => Answer::refused(StatusCode::CONFLICT, &e.to_string()),
                None => Answer::refused(StatusCode::CONFLICT, "there are no parts to look at yet"),
            },
            ["bounds"] => {
                let named = |name| field(query, name).unwrap_or_default();
                Answer::json(&wishes::bounds(&desk, &named("path"), &named("position")))
            }
            ["unstated"] => {
                Answer::json(&wishes::unstated(&desk, &field(query, "position").unwrap_or_default()))
            }
            ["advice"] => {
                let id = field(query, "check").unwrap_or_default();
                ways::advice(&desk, &id).map_or_else(Answer::not_here, |advice| Answer::json(&advice))
            }
            ["pictures"] => Answer::json(&pictures::all(&desk)),
            ["printer"] => Answer::json(&printer::state(&desk, day)),
            ["versions"] => Answer::json(&versions::choices(&desk, &self.shelf)),
            ["between", from, to] => {
                let (from, to) = (decoded(from).unwrap_or_default(), decoded(to).unwrap_or_default());
                done(versions::between(&desk, &self.shelf, [&from, &to], day))
            }
            ["made", what] => match What::named(what) {
                Some(what) => self.made(what, &desk, day, |made| {
                    let names: Vec<Value> =
                        made.files.iter().map(|(name, bytes)| json!([name, bytes.len()])).collect();
                    Answer::json(&json!({ "files": names, "words": made.words }))
                }),
                None => Answer::not_here(),
            },
            ["file", what, name] => match (What::named(what), decoded(name)) {
                (Some(what), Some(name)) => self.made(what, &desk, day, |made| {
                    if what == What::Print {
                        self.maker.hand_out(&desk, made);
                    }
                    file(&desk, &made.files, &name)
                }),
                _ => Answer::not_here(),
            },
            _ => Answer::not_here(),
        }
    }

    fn made(
        &self,
        what: What,
        desk: &Desk,
        day: Day,
        show: impl FnOnce(&Arc<files::Made>) -> Answer,
    ) -> Answer {
        match self.maker.of(what, desk, self.shelf.out.as_deref(), day) {
            Ok(made) => show(&made),
            Err(why) => Answer::refused(StatusCode::CONFLICT, &why),
        }
    }

    /// What is done to a family.
    fn acted(&self, folder: &Folder, rest: &[&str], asked: &Asked) -> Answer {
        let (body, day) = (asked.body, asked.day);
        let desk = || -> Result<Arc<Desk>, String> {
            self.desks.at(folder, day).map_err(|p| crate::say::in_words(&p))
        };
        if let ["tryscene"] = *rest {
            let bytes = parsed(body).and_then(|typed| wishes::try_scene(&*desk()?, &typed, day));
            return match bytes {
                Ok(bytes) => Answer::of("application/octet-stream", bytes),
                Err(why) => Answer::refused(StatusCode::UNPROCESSABLE_ENTITY, &why),
            };
        }
        if rest == ["read"]
            && let Ok(typed) = parsed::<act::Typed>(body)
            && typed.is_elsewhere(folder)
        {
            let why = format!("this is {}, and the reading is of {}", folder.home(), typed.home());
            return Answer::refused(StatusCode::MISDIRECTED_REQUEST, &why);
        }
        let told = self.once.of(body, || match self.act(folder, rest, asked) {
            Some(told) => told.map_err(Some),
            None => Err(None),
        });
        match told {
            Ok(value) => Answer::json(&value),
            Err(Some(why)) => Answer::refused(StatusCode::UNPROCESSABLE_ENTITY, &why),
            Err(None) => Answer::not_here(),
        }
    }

    /// Does it; none where that is nothing that can be done.
    fn act(&self, folder: &Folder, rest: &[&str], asked: &Asked) -> Option<Result<Value, String>> {
        let (body, day) = (asked.body, asked.day);
        let desk = || -> Result<Arc<Desk>, String> {
            self.desks.at(folder, day).map_err(|p| crate::say::in_words(&p))
        };
        Some(match *rest {
            ["try"] => parsed(body).and_then(|typed| act::try_reading(&*desk()?, &typed, day)),
            ["read"] => parsed(body).and_then(|typed| act::read(folder, &typed, day)),
            ["tool"] => parsed(body).and_then(|typed| act::tool(folder, &typed, day)),
            ["printer"] => parsed(body).and_then(|chosen| printer::choose(&*desk()?, &chosen, day)),
            ["ability"] => parsed(body).and_then(|said| printer::change(&*desk()?, &said, day)),
            ["teach"] => parsed(body).and_then(|said| teach::enter(&*desk()?, &said, day)),
            ["learnt"] => parsed(body).and_then(|said| teach::with_mark(&*desk()?, &said, day)),
            ["withdraw"] => parsed(body).and_then(|typed| act::take_back(folder, &typed, day)),
            ["tryvalue"] => parsed(body).and_then(|typed| wishes::try_value(&*desk()?, &typed, day)),
            ["value"] => parsed(body).and_then(|typed| wishes::set(&*desk()?, &typed, day)),
            ["tryway"] => parsed(body).and_then(|chosen| ways::try_one(&*desk()?, &chosen, day)),
            ["way"] => parsed(body).and_then(|chosen| ways::take(&*desk()?, &chosen, day)),
            ["undo"] => wishes::take_back(folder),
            ["printed"] => parsed(body).and_then(|said| {
                copies::printed(&*desk()?, &self.maker, self.shelf.out.as_deref(), &said, day)
            }),
            ["became"] => parsed(body).and_then(|said| copies::became(folder, &said, day)),
            ["done"] => parsed(body).and_then(|said| copies::done(folder, &said, day)),
            ["tried"] => parsed(body).and_then(|said| copies::tried(folder, &said, day)),
            ["wound"] => parsed(body).and_then(|said| winder::stop(folder, &said, day)),
            ["tested"] => parsed(body).and_then(|said| winder::test(folder, &said, day)),
            ["meter"] => parsed(body).and_then(|said| winder::meter(folder, &said, day)),
            ["thermometer"] => parsed(body).and_then(|said| winder::thermometer(folder, &said, day)),
            ["build"] => parsed(body).and_then(|how: files::Building| {
                files::build(&*desk()?, self.shelf.out.as_deref(), how.anyway)
            }),
            _ => return None,
        })
    }

    /// Starts a family, as the program's `new` does.
    fn start(&self, new: &New, day: Day) -> Result<Value, String> {
        let room = self.shelf.room().ok_or("this page is of one family")?;
        let folder = room.join(names::checked(&new.folder)?);
        let title =
            if new.title.trim().is_empty() { new.folder.clone() } else { new.title.trim().to_owned() };
        let figure = |text: &str| text.parse::<Figure>().map_err(|why| format!("{text}: {why}"));
        let (step, limit) = (figure(&new.step)?, figure(&new.limit)?);
        let start = Start {
            title,
            strings: new.strings,
            positions: new.positions.split(',').map(|n| n.trim().to_owned()).collect(),
            handed: if new.handed == "left" { Handed::Left } else { Handed::Right },
            held: new.held()?,
            outline: Outline::named(&new.outline).unwrap_or_default(),
            slant: new.slant()?,
            pair: new.poles != "single",
            step: step.length(),
            limit: limit.length(),
            unit: step.unit,
            on: day.today,
        };
        let text = |name: &str, text: String| SourceFile { name: name.to_owned(), text };
        let (wanted, readings) = (text(FAMILY_FILE, start.family()), text(READINGS_FILE, start.readings()));
        match Survey::read_at(&new.folder, wanted.clone(), readings.clone(), day.when) {
            Ok(survey) if !survey.problems.has_errors() => {}
            Ok(Survey { problems, .. }) | Err(problems) => return Err(crate::say::in_words(&problems)),
        }
        folder
            .create(&[(READINGS_FILE, &*readings.text), (FAMILY_FILE, &*wanted.text)])
            .map_err(|e| format!("{} can't be written: {e}", folder.path().display()))?;
        Ok(json!({ "id": new.folder }))
    }

    /// Starts a family that says only what differs from another.
    fn start_like(&self, new: &Like) -> Result<Value, String> {
        let room = self.shelf.room().ok_or("this page is of one family")?;
        let folder = room.join(names::checked(&new.folder)?);
        let other = self.shelf.folder(&new.other).ok_or("there is no such family here any more")?;
        let way = other.path().strip_prefix(room.path()).unwrap_or(other.path());
        let way = way.iter().map(|name| name.to_string_lossy()).collect::<Vec<_>>().join("/");
        let title = if new.title.trim().is_empty() { &new.folder } else { new.title.trim() };
        let handed = match new.handed.as_str() {
            word @ ("left" | "right") => format!("    handed: {word},\n"),
            _ => String::new(),
        };
        let text = format!(
            "// What it does not say, the other says.\n(\n    like: {:?},\n    title: {title:?},\n{handed})\n",
            format!("../{way}")
        );
        folder
            .create(&[(FAMILY_FILE, &text)])
            .map_err(|e| format!("{} can't be written: {e}", folder.path().display()))?;
        Ok(json!({ "id": new.folder }))
    }

    /// The files that a family is read from, to see whether they change.
    pub fn watched(&self, id: &str, day: Day) -> Option<Vec<PathBuf>> {
        let folder = self.shelf.folder(&decoded(id)?)?;
        let mut files = [FAMILY_FILE, READINGS_FILE, MADE_FILE].map(|name| folder.path().join(name)).to_vec();
        if let Ok(desk) = self.desks.at(&folder, day) {
            files.extend(desk.survey.problems.files.iter().map(|f| PathBuf::from(&f.name)));
        }
        files.sort();
        files.dedup();
        Some(files)
    }
}

/// A family to be started.
#[derive(Debug, Deserialize)]
struct New {
    folder: String,
    #[serde(default)]
    title: String,
    strings: usize,
    positions: String,
    handed: String,
    mounting: String,
    #[serde(default)]
    outline: String,
    #[serde(default)]
    slant: String,
    screws: usize,
    /// The sides of ears, with commas between them.
    ears: String,
    poles: String,
    /// Of the caliper's display.
    step: String,
    /// That the caliper's maker permits.
    limit: String,
}

/// A family to be started that is like another.
#[derive(Debug, Deserialize)]
struct Like {
    folder: String,
    #[serde(default)]
    title: String,
    /// The other, by its name in the page's addresses.
    #[serde(rename = "like")]
    other: String,
    /// Where that is another than the other's.
    #[serde(default)]
    handed: String,
}

impl New {
    /// How slanted the row is, in degrees; square where nothing is said.
    fn slant(&self) -> Result<Angle, String> {
        if self.slant.trim().is_empty() {
            return Ok(Angle::default());
        }
        let slant = Angle::typed_slant(&self.slant);
        slant.ok_or_else(|| "Write the slant in degrees from -30 to 30, like 8 or -8.".to_owned())
    }

    /// How the body holds its pickups.
    fn held(&self) -> Result<Held, String> {
        if self.mounting != "ears" {
            return Ok(Held::Screws(self.screws));
        }
        self.ears.split(',').map(str::parse).collect::<Result<_, _>>().map(Held::Ears)
    }
}

fn file(desk: &Desk, files: &[(String, Vec<u8>)], name: &str) -> Answer {
    let slug = &desk.survey.slug;
    if name == "everything.zip" {
        return match files::zipped(slug, files) {
            Ok(bytes) => Answer::of("application/zip", bytes).kept_as(&format!("{slug}.zip")),
            Err(why) => Answer::refused(StatusCode::INTERNAL_SERVER_ERROR, &why),
        };
    }
    let Some((name, bytes)) = files.iter().find(|(n, _)| n == name) else { return Answer::not_here() };
    let (kind, keep) = match name.rsplit('.').next() {
        Some("svg") => ("image/svg+xml", false),
        Some("png") => ("image/png", false),
        Some("pdf") => ("application/pdf", false),
        Some("md") => ("text/markdown; charset=utf-8", true),
        Some("html") => ("text/html; charset=utf-8", true),
        Some("3mf") => ("model/3mf", true),
        Some("stl") => ("model/stl", true),
        Some("step") => ("model/step", true),
        _ => ("application/octet-stream", true),
    };
    let answer = Answer::of(kind, bytes.clone());
    if keep { answer.kept_as(name) } else { answer }
}

/// A family that can't be read: what is wrong, so that the page can show it.
fn unreadable(id: &str, problems: &Problems) -> Answer {
    let words = crate::say::in_words(problems);
    let place = problems.all.first().and_then(|p| problems.place(p));
    let answer = json!({ "why": words, "id": id, "place": place });
    Answer { status: StatusCode::CONFLICT, ..Answer::json(&answer) }
}

fn parsed<T: DeserializeOwned>(body: &[u8]) -> Result<T, String> {
    serde_json::from_slice(body).map_err(|e| format!("this is no request of the page: {e}"))
}

fn done(result: Result<Value, String>) -> Answer {
    match result {
        Ok(value) => Answer::json(&value),
        Err(why) => Answer::refused(StatusCode::UNPROCESSABLE_ENTITY, &why),
    }
}

/// A field of a query.
fn field(query: &str, name: &str) -> Option<String> {
    let pairs = query.split('&').filter_map(|pair| pair.split_once('='));
    pairs.filter(|(n, _)| *n == name).find_map(|(_, value)| decoded(value))
}

/// `%20` and the like undone; none where that is no text.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let hex = [rest.next()?, rest.next()?];
            bytes.push(u8::from_str_radix(std::str::from_utf8(&hex).ok()?, 16).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}
