//! `bobbinwright coupon`.

use bobbinwright_clock as clock;
use std::path::Path;

use bobbinwright_export::sheet::{self, coupon};
use bobbinwright_install::install;
use bobbinwright_spec::printer::coupon::Drawn;
use bobbinwright_spec::printer::material::Material;
use bobbinwright_spec::{
    Folder, Length, NewTool, PRINTER_FILE, PrinterStart, PrinterSurvey, READINGS_FILE, Survey,
};

use crate::outcome::Outcome;
use crate::{arguments, complain, say};

/// Makes a printer's coupon with its sheet; starts the printer's folder where there is none.
pub(crate) fn run(options: &arguments::Coupon) -> Outcome {
    let (holes, caliper) = match known(options) {
        Ok(holes) => holes,
        Err(outcome) => return outcome,
    };
    let folder = &options.printer;
    if !PrinterSurvey::is_one(&Folder::on_disk(folder))
        && let Err(outcome) = begin(folder, options.material, &holes, caliper)
    {
        return outcome;
    }
    let survey = match PrinterSurvey::load_at(&Folder::on_disk(folder), clock::now()) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(PrinterSurvey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    complain::each(&survey.problems.files, &survey.problems.all);
    if let Some(material) = options.material.map(Material::from).filter(|m| *m != survey.material()) {
        let message = format!(
            "{} is for {}, not for {}: make another folder for another filament",
            folder.display(),
            survey.material().title(),
            material.title()
        );
        return complain::failure(&message, false);
    }
    let out = options.out.join(format!("{}-coupon", survey.slug));
    let paper = sheet::Paper::from(options.paper);
    let installed = match install(&out, sheet::LIST, |sink| coupon::write(&survey, paper, sink)) {
        Ok(installed) => installed,
        Err(e) => return complain::failure(&format!("nothing was written: {e}"), false),
    };
    for line in installed.kept_in_words() {
        say::line(line);
    }
    let name = |ending: &str| out.join(format!("{}-coupon{ending}", survey.slug)).display().to_string();
    say::line(format_args!(
        "The coupon is {} (also as .stl), its sheet {}.",
        name(".3mf"),
        name("-sheet.pdf")
    ));
    lacking(&survey, &holes);
    next(&survey, folder);
    Outcome::Fine
}

/// Hole sizes of the families that are named, and what the first of them is read with.
fn known(options: &arguments::Coupon) -> Result<(Vec<Length>, Option<NewTool>), Outcome> {
    let (mut holes, mut caliper) = (Vec::new(), None);
    for folder in &options.families {
        // Its printer may be the one that is to be started.
        match Survey::load_without_printer(&Folder::on_disk(folder), clock::now()) {
            Ok(survey) => {
                holes.extend(survey.holes());
                caliper = caliper.or_else(|| survey.caliper(clock::today()));
            }
            Err(problems) => return Err(complain::wrong_input(&problems, false)),
        }
    }
    Ok((holes, caliper))
}

fn begin(
    folder: &Path,
    material: Option<arguments::Filament>,
    holes: &[Length],
    caliper: Option<NewTool>,
) -> Result<(), Outcome> {
    let holds = std::fs::read_dir(folder).ok().and_then(|mut all| all.next()).and_then(Result::ok);
    if let Some(holds) = holds {
        let message = format!(
            "{} is no printer's folder, but holds {}: name a folder that is not there yet",
            folder.display(),
            holds.file_name().to_string_lossy()
        );
        return Err(complain::failure(&message, false));
    }
    let material = material.map_or(Material::Pla, Material::from);
    let name = folder.file_name().map_or("printer".into(), |n| n.to_string_lossy().into_owned());
    let new = PrinterStart {
        title: format!("{name}, {}", material.title()),
        material,
        holes: PrinterStart::holes(holes),
        caliper,
        on: clock::today(),
    };
    let files = [(READINGS_FILE, new.readings()), (PRINTER_FILE, new.printer())];
    let [a, b] = &files;
    Folder::on_disk(folder)
        .create(&[(a.0, &a.1), (b.0, &b.1)])
        .map_err(|e| complain::failure(&format!("{} can't be written: {e}", folder.display()), false))?;
    say::line(format_args!(
        "{} is new: look through it, bed and layer height above all, and make the coupon again if you change it.",
        folder.join(PRINTER_FILE).display()
    ));
    Ok(())
}

/// Sizes that a family wants and the coupon has nothing like.
fn lacking(survey: &PrinterSurvey, holes: &[Length]) {
    let has = |hole: &Length| {
        survey.coupon.holes.iter().any(|d| (d.length() - *hole).abs() < Length::from_mm(0.11))
    };
    let lacking: Vec<String> = holes.iter().filter(|h| !has(h)).map(|h| Drawn::new(*h).to_string()).collect();
    if !lacking.is_empty() {
        say::line(format_args!(
            "The family also wants holes of {} mm, which the coupon has not; what they lose is worked out from the others. Add them to coupon.holes in {PRINTER_FILE} to read them too.",
            lacking.join(", ")
        ));
    }
}

fn next(survey: &PrinterSurvey, folder: &Path) {
    let missing: Vec<_> = survey.missing().collect();
    let Some(first) = missing.first() else {
        say::line("All of it has been read; the profile is worked out from that.");
        return;
    };
    say::line(format_args!(
        "Print it as you print your parts, then read {} and enter each: bobbinwright read {} {} FIGURE FIGURE FIGURE",
        if missing.len() == 1 { "one size".to_owned() } else { format!("{} sizes", missing.len()) },
        say::typed(folder),
        first.quantity
    ));
    say::line(format_args!(
        "In family.ron of what is printed on it: printer: \"path/to/{}\" in place of printer: (…).",
        survey.slug
    ));
}
