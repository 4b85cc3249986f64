//! What to do next, in words.

use bobbinwright_spec::{PartKind, Quantity};

use crate::act::Act;
use crate::assumed::listed;
use crate::repeat::Again;

/// An act for a person: `reading neck.screws.1.bridge_side, which was not read`.
pub(crate) fn in_words(act: &Act) -> String {
    match act {
        Act::Read(of) => format!("reading {of}, which was not read"),
        Act::Elsewhere(of @ Quantity::Piece(..), _) => {
            format!("reading {of} in the holes that were not read yet")
        }
        Act::Elsewhere(of, spots) if spots.is_empty() => format!("reading {of} in another spot"),
        Act::Elsewhere(of, spots) => {
            let spots: Vec<String> = spots.iter().map(|spot| format!("{spot:?}")).collect();
            format!("reading {of} in the spots where it was not read yet, {}", listed(&spots))
        }
        Act::Again(all) => {
            let times = |again: &Again| match again.times {
                1 => format!("{} once more", again.quantity),
                n => format!("{} {n} times more", again.quantity),
            };
            format!("reading {}", listed(&all.iter().map(times).collect::<Vec<_>>()))
        }
        Act::Together(acts) => together_in_words(acts),
        Act::Coupon => "printing and reading the printer's coupon".to_owned(),
        Act::Try(part) => {
            format!("printing the {} first and trying it in the rout and on its screws (tried)", part.name())
        }
        Act::Print(parts) => first("printing", parts),
        Act::Cut(parts) => first("cutting", parts),
    }
}

fn first(making: &str, parts: &[PartKind]) -> String {
    let names: Vec<String> = parts.iter().map(|part| format!("the {}", part.name())).collect();
    let their = if parts.len() == 1 { "its" } else { "their" };
    format!("{making} {} first and reading {their} sizes (inspect)", listed(&names))
}

fn together_in_words(acts: &[Act]) -> String {
    let unread =
        acts.iter().filter_map(|act| if let Act::Read(of) = act { Some(of.to_string()) } else { None });
    let unread: Vec<String> = unread.collect();
    let rest = acts.iter().filter(|act| !matches!(act, Act::Read(_))).map(in_words);
    let unread = match &unread[..] {
        [] => None,
        [one] => Some(format!("reading {one}, which was not read")),
        all => Some(format!("reading {}, which were not read", listed(all))),
    };
    unread.into_iter().chain(rest).collect::<Vec<_>>().join("; ")
}
