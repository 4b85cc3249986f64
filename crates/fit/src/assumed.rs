//! What a check takes for granted that nobody has measured.

use bobbinwright_spec::{Doubts, Estimate, Origin, PositionQuantity, Quantity, Side};

/// A reading that a check goes without.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Assumed {
    /// What is taken for granted.
    pub what: Belief,
    /// The reading that would end it.
    pub until_read: Quantity,
}

/// What may be taken for granted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Belief {
    /// An opening that was read in one place only is as wide or deep all along.
    AlikeEverywhere,
    /// The rout's corners are as round as somebody stated.
    CornersAsStated,
    /// Of several holes of a printed part one was read, and the others are like it.
    HolesAlike,
    /// The rout's ends are square to its long sides.
    Square,
    /// The screws stand on the rout's middle line.
    ScrewsOnTheLine,
    /// They stand evenly from its ends.
    ScrewsEven,
    /// Recesses for ears are on the rout's middle line, or about their screws.
    EarsInPlace,
    /// The strings are evenly spaced.
    EvenSpacing,
    /// Strings run square to the rout, or as slanted as is stated.
    StringsSquare,
    /// They fan out as is usual.
    FanOut,
    /// What is not there yet comes out as it is planned.
    AsPlanned,
}

/// What has a smaller share of a margin's variance decides nothing.
const MATTERS: f64 = 0.01;

/// A cutter's packet is not nothing: corners that it was stated for are only pointed out where they decide.
const MATTERS_OF_STATED: f64 = 0.1;

/// Whatever the margins hang on that was not read, each once. The doubt of it is in them.
pub(crate) fn in_margins<'e>(margins: impl Iterator<Item = &'e Estimate>, doubts: &Doubts) -> Vec<Assumed> {
    let of_one = |margin: &'e Estimate| {
        let least = margin.uncertainty() * MATTERS.sqrt();
        let much = margin.uncertainty() * MATTERS_OF_STATED.sqrt();
        let is_stated = |id| doubts.get(id).is_some_and(|doubt| doubt.origin == Origin::Stated);
        margin.contributions().filter(move |(id, u)| u.abs() >= if is_stated(*id) { much } else { least })
    };
    let causes = margins.flat_map(of_one).filter_map(|(id, _)| doubts.get(id));
    let assumed = causes.filter_map(|doubt| {
        let until_read = doubt.quantity.clone()?;
        let what = match (doubt.origin, &until_read) {
            (Origin::Elsewhere { spots: 1 }, Quantity::Piece(..)) => Belief::HolesAlike,
            (Origin::Elsewhere { spots: 1 }, _) => Belief::AlikeEverywhere,
            (Origin::Planned, _) => Belief::AsPlanned,
            (Origin::Stated, Quantity::At(_, PositionQuantity::RoutCornerRadius)) => Belief::CornersAsStated,
            (Origin::Assumed, Quantity::At(_, PositionQuantity::ScrewSide(_, side))) => {
                if matches!(side, Side::Neck | Side::Bridge) {
                    Belief::ScrewsOnTheLine
                } else {
                    Belief::ScrewsEven
                }
            }
            (Origin::Assumed, Quantity::At(_, PositionQuantity::Diagonal(_))) => Belief::Square,
            (Origin::Assumed, Quantity::At(_, PositionQuantity::EarSide(..))) => Belief::EarsInPlace,
            (Origin::Assumed, Quantity::At(_, PositionQuantity::StringPair(..))) => Belief::EvenSpacing,
            (Origin::Assumed, Quantity::At(_, PositionQuantity::BassSide | PositionQuantity::TrebleSide)) => {
                Belief::StringsSquare
            }
            (Origin::Assumed, Quantity::Instrument(_)) => Belief::FanOut,
            _ => return None,
        };
        let all =
            if doubt.origin == Origin::Assumed { unread(&until_read, doubts) } else { vec![until_read] };
        Some(all.into_iter().map(move |until_read| Assumed { what, until_read }))
    });
    let mut all: Vec<Assumed> = assumed.flatten().collect();
    all.sort();
    all.dedup();
    all
}

/// What is still to be read so that nothing is taken for granted of a quantity; nothing where all of it was read, and what is
/// usual decides little beside that.
pub(crate) fn unread(of: &Quantity, doubts: &Doubts) -> Vec<Quantity> {
    let is_open = |of: &Quantity| match of {
        // Strings are read at two edges under one name.
        Quantity::At(_, PositionQuantity::BassSide | PositionQuantity::TrebleSide) => true,
        of => !doubts.is_read(of),
    };
    let all = match of {
        // One diagonal alone says little: a longer one may be that of a larger rout.
        Quantity::At(position, PositionQuantity::Diagonal(_)) => [Side::Treble, Side::Bass]
            .map(|end| Quantity::At(position.clone(), PositionQuantity::Diagonal(end)))
            .to_vec(),
        other => vec![other.clone()],
    };
    all.into_iter().filter(is_open).collect()
}

/// The same for a person: a sentence for each thing that is taken for granted, with the readings that would tell.
pub fn in_words(assumed: &[Assumed]) -> Vec<String> {
    let about = |what: Belief| {
        let of: Vec<String> =
            assumed.iter().filter(|a| a.what == what).map(|a| a.until_read.to_string()).collect();
        (!of.is_empty()).then(|| (listed(&of), if of.len() == 1 { "was" } else { "were" }))
    };
    let everywhere = about(Belief::AlikeEverywhere).map(|(of, was)| {
        format!("{of} {was} read at one spot and taken to be alike all along, with the doubt that is usual of a hand-routed body; {} would tell.", other_spots(assumed))
    });
    let corners = about(Belief::CornersAsStated).map(|(of, was)| {
        format!("{of} {was} stated and not read: all corners are believed to be as round as that; each of them, with a gauge, would tell.")
    });
    let holes = about(Belief::HolesAlike).map(|(of, was)| {
        format!("{of} {was} read of one hole and the others beside it are taken to be like it, with the doubt that is usual of a print; another one, with a spot of its own, would tell.")
    });
    let square = about(Belief::Square).map(|(of, _)| {
        format!("The rout's ends are taken to be square to its long sides, with the doubt that is usual of a hand-routed body; {of} would tell.")
    });
    let screws = |place: &str, of: &str| {
        format!(
            "The screws are taken {place}, with the doubt that is usual of holes drilled by hand; {of} would tell."
        )
    };
    let on_the_line = about(Belief::ScrewsOnTheLine).map(|(of, _)| screws("on the rout's middle line", &of));
    let even = about(Belief::ScrewsEven).map(|(of, _)| screws("evenly from the rout's ends", &of));
    let spacing = about(Belief::EvenSpacing).map(|(of, _)| {
        format!("Strings are taken to be evenly spaced, with the doubt that is usual; {of} would tell.")
    });
    let ears = about(Belief::EarsInPlace).map(|(of, _)| {
        format!(
            "Recesses for ears are taken to be in the middle, with the doubt that is usual; {of} would tell."
        )
    });
    let run = about(Belief::StringsSquare).map(|(of, was)| {
        format!("How the strings run across the rout, square to it or as slanted as is stated, is taken with the doubt that is usual; {of}, where it {was} not read yet, at the neck edge and at the bridge edge would tell.")
    });
    let fan = about(Belief::FanOut).map(|_| {
        "Strings that were read at an edge of the rout are taken to fan out as is usual; nut.spread, bridge.spread and scale would tell.".to_owned()
    });
    let planned = about(Belief::AsPlanned).map(|(of, was)| {
        format!("{of} {was} planned and not read: the body is believed to come out so within what was said. Read it once it is routed, before anything is printed.")
    });
    [planned, everywhere, corners, holes, square, on_the_line, even, ears, spacing, run, fan]
        .into_iter()
        .flatten()
        .collect()
}

/// The spots that would tell of openings that were read at one.
fn other_spots(assumed: &[Assumed]) -> &'static str {
    let everywhere = assumed.iter().filter(|a| a.what == Belief::AlikeEverywhere);
    let of: Vec<&Quantity> = everywhere.map(|a| &a.until_read).collect();
    let is = |q: &Quantity, size| matches!(q, Quantity::At(_, of) if *of == size);
    let lengths = of.iter().filter(|q| is(q, PositionQuantity::RoutLength)).count();
    let widths = of.iter().filter(|q| is(q, PositionQuantity::RoutWidth)).count();
    if lengths + widths < of.len() {
        return "another spot";
    }
    match (lengths, widths) {
        (_, 0) => "its neck and its bridge side",
        (0, _) => "its bass and its treble end",
        _ => "a length's neck and bridge side, a width's bass and treble end",
    }
}

/// `a, b and c`.
pub(crate) fn listed(all: &[String]) -> String {
    match all {
        [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => all.concat(),
    }
}
