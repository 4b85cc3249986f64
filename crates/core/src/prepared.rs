//! A family with its parts built and its fit checked.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use bobbinwright_fit::{self as fit, CheckKind, Fit, NotSnug};
use bobbinwright_geometry::parts::{
    Lie, Part, PartKind, PositionParts, Refusal, Remedy, build_family, draw_part,
};
use bobbinwright_print::weigh::weigh;
use bobbinwright_spec::{BedSide, Family, Length, Problem, Problems, Span};

use bobbinwright_words::percent;

/// A family with its parts and checks.
pub struct Prepared {
    /// The family, its gaps made snug where that was asked for.
    pub family: Family,
    /// Its parts, position by position.
    pub positions: Vec<PositionParts>,
    /// Its checks.
    pub fit: Fit,
    /// What was tried for each check that does not fit.
    pub(crate) tried: OnceLock<BTreeMap<(String, CheckKind), Option<String>>>,
}

impl Prepared {
    /// Builds and checks. Parts that can't be made as wanted come back as problems that point at
    /// the dimension to change.
    pub fn new(mut family: Family) -> Result<Self, Problems> {
        fit::make_snug(&mut family).map_err(|failed| not_snug(&family, &failed))?;
        let positions = build_family(&family).map_err(|refusals| problems(&family, &refusals))?;
        let mut parts = family.positions.iter().zip(&positions);
        if parts.any(|(p, built)| built.parts.iter().any(|part| Self::part_id(&p.name, part) == family.slug))
        {
            let message = format!("the family's folder is called {}, as one of its parts is", family.slug);
            let problem =
                Problem::anywhere(message).hint("rename the folder: its name names the assembly's file");
            return Err(Problems { files: family.files, all: vec![problem] });
        }
        undrawable(&family, &positions)?;
        let fit = fit::check(&family, &positions);
        Ok(Self { family, positions, fit, tried: OnceLock::new() })
    }

    /// The name of a part's files and of its product: `neck-cover`.
    pub fn part_id(position: &str, part: &Part) -> String {
        format!("{position}-{}", part.kind.name())
    }

    /// How a part is to lie on the bed: as the family says, or else as is best.
    pub fn lie(&self, position: usize, kind: PartKind) -> Lie {
        let layout = &self.positions[position].layout;
        let part = self.positions[position].parts.iter().find(|p| p.kind == kind);
        let weighed = part.and_then(|part| weigh(part, layout, &self.family.printer).ok());
        let stated = layout.wanted.on_bed.of(kind);
        let upright = Lie { side: BedSide::Underside, turned: false };
        weighed.map_or(upright, |w| stated.map_or(w.best(), |side| w.with(side)).lie)
    }

    /// Where a part's frame goes in the assembly: positions lie side by side in the strings'
    /// direction, clear of each other; the parts of a position one upon the other.
    pub fn place(&self, position: usize, part: &Part) -> [Length; 3] {
        let widest = self.positions.iter().map(|p| p.layout.width.as_mm()).fold(0.0, f64::max);
        let pitch = (widest * 1.5).ceil();
        [Length::ZERO, Length::from_mm(-pitch * position as f64), part.place]
    }
}

/// Parts for which the printer's profile can't be made up for.
fn undrawable(family: &Family, positions: &[PositionParts]) -> Result<(), Problems> {
    let Some(profile) = family.printer.profile() else { return Ok(()) };
    let mut all = Vec::new();
    for (position, parts) in family.positions.iter().zip(positions) {
        for part in &parts.parts {
            let lie = Lie::usual(&parts.layout, part.kind, family.printer.bed);
            if let Err(e) = draw_part(&parts.layout, part.kind, lie, profile, family.printer.layer) {
                let hint = "is a reading of the printer's coupon wrong? If not, the printer needs larger distances there";
                all.push(Problem::anywhere(format!("{} {e}", position.name)).hint(hint));
            }
        }
    }
    if all.is_empty() { Ok(()) } else { Err(Problems { files: family.files.clone(), all }) }
}

/// Gaps that can't be made snug, at the lines that ask for it.
fn not_snug(family: &Family, failed: &[NotSnug]) -> Problems {
    let all = failed.iter().map(|not| {
        let name = &family.positions[not.position].name;
        let message = format!(
            "{name}: no gap up to {} lets the cover go in with a chance of {} %; the most is {}",
            not.largest,
            not.asked * 100.0,
            percent(not.best)
        );
        let severity = bobbinwright_spec::Severity::Error;
        let span = family.origin(not.position, "cover.fit_gap");
        Problem { severity, span, message, hint: Some(not.advice.clone()) }
    });
    // What is odd about the readings may be the cause.
    let notices = family.notices.iter().cloned();
    Problems { files: family.files.clone(), all: notices.chain(all).collect() }
}

/// Refusals as problems at the lines that state the dimensions, one for each line: where several parts
/// or positions refuse the same stated value, the value is offered that suits all of them.
fn problems(family: &Family, refusals: &[Refusal]) -> Problems {
    let mut groups: Vec<(Option<Span>, Vec<&Refusal>)> = Vec::new();
    for refusal in refusals {
        let position = family.positions.iter().position(|p| p.name == refusal.position);
        let span = position.and_then(|p| family.origin(p, refusal.parameter));
        let same =
            |g: &&mut (Option<Span>, Vec<&Refusal>)| g.0 == span && g.1[0].parameter == refusal.parameter;
        match groups.iter_mut().find(same) {
            Some(group) => group.1.push(refusal),
            None => groups.push((span, vec![refusal])),
        }
    }
    let all = groups.into_iter().map(|(span, group)| problem(span, &group));
    // What is odd about the readings may be the cause.
    let notices = family.notices.iter().cloned();
    Problems { files: family.files.clone(), all: notices.chain(all).collect() }
}

fn problem(span: Option<Span>, group: &[&Refusal]) -> Problem {
    let first = group[0];
    let path = first.parameter;
    let place = format!("{} {}", first.position, first.part.name());
    let message = match first.value {
        Some(value) => format!("{place}: {path} is {value}, but {}", first.why),
        None if span.is_some() => format!("{place}: {}", first.why),
        None => format!("{place}: {path} is missing: {}", first.why),
    };
    let values: Option<Vec<Length>> = group.iter().map(|r| r.works).collect();
    let hint = match (values, first.value) {
        (Some(values), Some(wanted)) => {
            // Below the wanted value the smallest suits all, above it the largest.
            let below = values.iter().all(|v| *v < wanted);
            let pick = |a: Length, b: Length| if below { a.min(b) } else { a.max(b) };
            let value = values.into_iter().reduce(pick).unwrap_or(wanted);
            format!(
                "with {path} {value} it can be made, everything else left as it is; check then says whether it fits"
            )
        }
        (_, Some(_)) => match group.iter().find_map(|r| r.instead.as_deref()) {
            Some(remedy) => format!(
                "no value of {path} alone helps; with {} it can be made, everything else left as it is",
                in_words(remedy)
            ),
            None => format!("no value of {path} alone helps: change what it runs into"),
        },
        (_, None) if span.is_some() => match first.instead.as_deref() {
            Some(remedy) => {
                format!("with {} it can be made, everything else left as it is", in_words(remedy))
            }
            None => "read the screws again".into(),
        },
        (_, None) => {
            format!("state {path} in family.ron, or say rout: (ear_recesses: true) where the body has them")
        }
    };
    let severity = bobbinwright_spec::Severity::Error;
    Problem { severity, span, message, hint: Some(hint) }
}

/// `flatwork.play 0.30 mm`, `cover.roof 1.20 mm and cover.rounding 0.80 mm`.
fn in_words(remedy: &Remedy) -> String {
    match remedy {
        Remedy::Dimensions(all) => {
            all.iter().map(|(path, value)| format!("{path} {value}")).collect::<Vec<_>>().join(" and ")
        }
        Remedy::LeadOut(side, offset) => {
            format!("cover.lead_out.side {} and cover.lead_out.offset {offset}", side.name())
        }
        Remedy::Mounting(mounting) => format!("cover.mounting: {mounting}"),
    }
}
